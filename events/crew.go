package events

import (
	"slices"

	"valveround/geo"
)

// CrewFacts is a vehicle with one or more people.
type CrewFacts struct {
	Name            string     `json:"name"`
	Letter          string     `json:"letter"` // told apart on maps and sheets by it
	People          []PersonID `json:"people"`
	Gauges          []GaugeID  `json:"gauges,omitempty"`
	Home            geo.Point  `json:"home"` // where the route starts and ends
	Zone            string     `json:"zone"`
	Region          string     `json:"region,omitempty"` // ISO 3166 code; whose public holidays "PH" means
	Hours           string     `json:"hours"`            // working time in opening-hours syntax
	OvertimeMinutes int        `json:"overtime_minutes,omitempty"`
	// A break of so many minutes within a span of the crew's wall clock, as 11:30 and 13:30; none when zero. A span that ends before it
	// begins ends on the next date.
	BreakMinutes int    `json:"break_minutes,omitempty"`
	BreakFrom    string `json:"break_from,omitempty"`
	BreakTo      string `json:"break_to,omitempty"`
}

// Crew is the folded state of a crew.
type Crew struct {
	Office OfficeID `json:"office"`
	ID     CrewID   `json:"id"`
	CrewFacts
	Off []CrewOff `json:"off,omitempty"`
}

// OffOn reports why the crew does not work on a day; empty when it does.
func (c *Crew) OffOn(d Date) string {
	for _, off := range c.Off {
		if off.Date == d {
			return off.Why
		}
	}
	return ""
}

// CrewOff: the crew does not work on a day.
type CrewOff struct {
	Date Date   `json:"date"`
	Why  string `json:"why"`
}

// CrewBack: the crew works on that day after all.
type CrewBack struct {
	Date Date `json:"date"`
}

func (c Crew) fold(at stamp, event any) (Crew, error) {
	switch e := event.(type) {
	case Registered[CrewFacts]:
		c.Office, c.ID, c.CrewFacts = at.Entity.Office, CrewID(at.Entity.ID), e.Facts
	case Corrected[CrewFacts]:
		c.Office, c.ID, c.CrewFacts = at.Entity.Office, CrewID(at.Entity.ID), e.Facts
	case CrewOff:
		c.Off = append(slices.Clone(c.Off), e)
	case CrewBack:
		c.Off = slices.DeleteFunc(slices.Clone(c.Off), func(o CrewOff) bool { return o.Date == e.Date })
	default:
		return c, errNotMine(at, event)
	}
	return c, nil
}

func (c *Crew) entity() Entity { return Entity{c.Office, KindCrew, string(c.ID)} }

// PersonFacts is what planning must know of a person. The name lives apart from the log.
type PersonFacts struct {
	Credentials   []Credential   `json:"credentials,omitempty"`
	Registrations []Registration `json:"registrations,omitempty"`
}

// CredentialKind is what a certificate or licence allows.
type CredentialKind string

// Kinds of credential. A repair licence differs from a test certificate; fire lines may need a third.
const (
	TesterCertificate  CredentialKind = "tester"
	RepairLicence      CredentialKind = "repairer"
	FireLicence        CredentialKind = "fire"
	ConfinedSpaceEntry CredentialKind = "confined-space"
)

// Credential is a certificate or licence and the last day it is valid.
type Credential struct {
	Kind   CredentialKind `json:"kind"`
	Number string         `json:"number,omitempty"`
	Until  Date           `json:"until"`
}

// Registration is a purveyor's permission to work on its assemblies and the last day it is valid.
type Registration struct {
	Purveyor PurveyorID `json:"purveyor"`
	Until    Date       `json:"until"`
}

// Person is the folded state of a person.
type Person struct {
	Office OfficeID `json:"office"`
	ID     PersonID `json:"id"`
	PersonFacts
	Access Access `json:"access,omitzero"`
}

func (p Person) fold(at stamp, event any) (Person, error) {
	switch e := event.(type) {
	case Registered[PersonFacts]:
		p.Office, p.ID, p.PersonFacts = at.Entity.Office, PersonID(at.Entity.ID), e.Facts
	case Corrected[PersonFacts]:
		p.Office, p.ID, p.PersonFacts = at.Entity.Office, PersonID(at.Entity.ID), e.Facts
	default:
		access, ok := p.Access.fold(at, event)
		if !ok {
			return p, errNotMine(at, event)
		}
		p.Access = access
	}
	return p, nil
}

// Holds reports whether the person's credential of this kind is valid on a day. The last day counts as valid.
func (p *Person) Holds(kind CredentialKind, on Date) bool {
	return slices.ContainsFunc(p.Credentials, func(c Credential) bool { return c.Kind == kind && !c.Until.Before(on) })
}

// RegisteredWith reports whether the purveyor lets the person work on a day.
func (p *Person) RegisteredWith(purveyor PurveyorID, on Date) bool {
	return slices.ContainsFunc(p.Registrations, func(r Registration) bool {
		return r.Purveyor == purveyor && !r.Until.Before(on)
	})
}
