package events

import (
	"encoding/json"
	"maps"
	"time"
)

// PurveyorFacts are a water supplier's dated rules.
type PurveyorFacts struct {
	Name           string `json:"name"`
	SystemNumber   string `json:"system_number,omitempty"` // its number as a public water system, as report forms ask
	Zone           string `json:"zone"`
	Criteria       string `json:"criteria_profile"` // key of a criteria profile; empty: the strictest
	IntervalMonths int    `json:"interval_months,omitempty"`
	// EarliestDaysBefore is how many days before its due date a test may be done and still count; zero: any.
	EarliestDaysBefore int `json:"earliest_days_before,omitempty"`
	// Vacancy is when an assembly is tested before premises that stood empty are used again, Idle before it is used again itself.
	Vacancy DisuseRule `json:"vacancy,omitzero"`
	Idle    DisuseRule `json:"idle,omitzero"`
	// Repair says by hazard how soon repair and retest are owed. A hazard without a rule is not known: ask.
	Repair     map[Hazard]DeadlineRule `json:"repair,omitempty"`
	ReportPass DeadlineRule            `json:"report_pass,omitzero"`
	ReportFail DeadlineRule            `json:"report_fail,omitzero"`
	PhoneFail  DeadlineRule            `json:"phone_fail,omitzero"` // a failure must be told by telephone within
	Closed     Closures                `json:"closed,omitzero"`
	// RegistrationRequired: only people registered with the purveyor may test its assemblies.
	RegistrationRequired bool `json:"registration_required,omitempty"`
	// GaugeRegistrationRequired: only gauges registered with the purveyor count.
	GaugeRegistrationRequired bool `json:"gauge_registration_required,omitempty"`
	// GaugeAnniversaryCounts: it takes a test on the very anniversary of a gauge's certificate. No source read settles it; the
	// default is the stricter, that it does not.
	GaugeAnniversaryCounts bool `json:"gauge_anniversary_counts,omitempty"`
}

// Purveyor is the folded state of a purveyor.
type Purveyor struct {
	Office OfficeID   `json:"office"`
	ID     PurveyorID `json:"id"`
	PurveyorFacts
	// Mappings are saved column mappings of due lists, by the fingerprint of the header.
	Mappings map[string]json.RawMessage `json:"mappings,omitempty"`
	Lists    []ListReceived             `json:"lists,omitempty"`
}

// Location is the purveyor's time zone; UTC when the name is not known.
func (p *Purveyor) Location() *time.Location {
	loc, err := time.LoadLocation(p.Zone)
	if err != nil {
		return time.UTC
	}
	return loc
}

// The events of a purveyor besides its registry facts.
type (
	// MappingSaved keeps how the columns of a purveyor's list are read.
	MappingSaved struct {
		Fingerprint string          `json:"fingerprint"`
		Mapping     json.RawMessage `json:"mapping"`
	}
	// ListReceived: a due list was taken in.
	ListReceived struct {
		File   string         `json:"file"`
		SHA256 string         `json:"sha256"`
		AsOf   Date           `json:"as_of"`
		Counts map[string]int `json:"counts"`
	}
)

func (p Purveyor) fold(at stamp, event any) (Purveyor, error) {
	switch e := event.(type) {
	case Registered[PurveyorFacts]:
		p.Office, p.ID, p.PurveyorFacts = at.Entity.Office, PurveyorID(at.Entity.ID), e.Facts
	case Corrected[PurveyorFacts]:
		p.Office, p.ID, p.PurveyorFacts = at.Entity.Office, PurveyorID(at.Entity.ID), e.Facts
	case MappingSaved:
		p.Mappings = maps.Clone(p.Mappings)
		if p.Mappings == nil {
			p.Mappings = map[string]json.RawMessage{}
		}
		p.Mappings[e.Fingerprint] = e.Mapping
	case ListReceived:
		p.Lists = append(p.Lists[:len(p.Lists):len(p.Lists)], e)
	default:
		return p, errNotMine(at, event)
	}
	return p, nil
}

func (p *Purveyor) entity() Entity { return Entity{p.Office, KindPurveyor, string(p.ID)} }

// CustomerFacts is an owner or manager of sites.
type CustomerFacts struct {
	Name string `json:"name"`
	// Repair is the standing consent: yes, no or ask. Up to RepairLimitUSD when that is not zero.
	Repair         string `json:"repair,omitempty"`
	RepairLimitUSD int    `json:"repair_limit_usd,omitempty"`
	OnHold         string `json:"on_hold,omitempty"` // why nothing is done for them now
	MailingAddress string `json:"mailing_address,omitempty"`
	PurchaseOrder  string `json:"purchase_order,omitempty"` // a standing one, for invoices
}

// Customer is the folded state of a customer.
type Customer struct {
	Office OfficeID   `json:"office"`
	ID     CustomerID `json:"id"`
	CustomerFacts
}

func (c Customer) fold(at stamp, event any) (Customer, error) {
	switch e := event.(type) {
	case Registered[CustomerFacts]:
		c.Office, c.ID, c.CustomerFacts = at.Entity.Office, CustomerID(at.Entity.ID), e.Facts
	case Corrected[CustomerFacts]:
		c.Office, c.ID, c.CustomerFacts = at.Entity.Office, CustomerID(at.Entity.ID), e.Facts
	default:
		return c, errNotMine(at, event)
	}
	return c, nil
}

func declareOthers(v *vocabulary) {
	declare[CrewOff](v, KindCrew, "off")
	declare[CrewBack](v, KindCrew, "back")
	declare[GaugeDropped](v, KindGauge, "dropped")
	declare[GaugeVerified](v, KindGauge, "verified")
	declare[MappingSaved](v, KindPurveyor, "mapping-saved")
	declare[ListReceived](v, KindPurveyor, "list-received")
}
