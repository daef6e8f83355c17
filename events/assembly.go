package events

import (
	"slices"

	"valveround/geo"
)

// Vault says what kind of hole an assembly sits in.
type Vault string

// Kinds of vault. A permit vault needs an attendant outside who does nothing else.
const (
	NoVault     Vault = ""
	OpenVault   Vault = "open"   // a pit or vault that needs no entry permit
	PermitVault Vault = "permit" // a permit-required confined space (29 CFR 1910.146)
)

// AssemblyFacts is what the registry knows of a backflow prevention assembly. Its identity is its id and never
// its serial, which is often wrong, missing or damaged by a spreadsheet.
type AssemblyFacts struct {
	Site           SiteID       `json:"site"`
	Feed           FeedID       `json:"feed"`
	Purveyor       PurveyorID   `json:"purveyor"`
	PurveyorNumber string       `json:"purveyor_number,omitempty"` // the purveyor's own number for it
	Type           AssemblyType `json:"type"`
	Size           Size         `json:"size,omitzero"`
	Service        Service      `json:"service,omitempty"`
	Hazard         Hazard       `json:"hazard,omitempty"`
	Maker          string       `json:"maker,omitempty"`
	Model          string       `json:"model,omitempty"`
	Serial         string       `json:"serial,omitempty"`
	SerialDoubt    string       `json:"serial_doubt,omitempty"` // why the serial is not to be trusted
	Bypass         *BypassFacts `json:"bypass,omitempty"`
	Position       geo.Point    `json:"position,omitzero"`
	Place          string       `json:"place,omitempty"`    // where at the site, in words
	Isolates       string       `json:"isolates,omitempty"` // zone or equipment that it cuts off
	Installation   Installation `json:"installation,omitzero"`
	Vault          Vault        `json:"vault,omitempty"`
	LastPassed     Date         `json:"last_passed,omitzero"` // as first entered; later passes come from the log
}

// Installation is how an assembly was put in and what is measured beside it, as report forms ask (WAC 246-292-036; forms of
// New York, Iowa City and Wisconsin). What is empty is not known.
type Installation struct {
	Permit        string `json:"permit,omitempty"`   // of the plumbing permit it was put in under
	Approved      YesNo  `json:"approved,omitempty"` // the model was approved when it was put in
	Orientation   string `json:"orientation,omitempty"`
	HeightIn      *int   `json:"height_in,omitempty"`       // above the floor, in inches
	FrostFlood    string `json:"frost_flood,omitempty"`     // how it is kept from frost and flooding
	OutletsBefore string `json:"outlets_before,omitempty"`  // bypasses, or outlets before it
	ReliefGap     YesNo  `json:"relief_gap,omitempty"`      // an air gap below the relief port
	WaterMeter    string `json:"water_meter,omitempty"`     // its number
	DetectorMeter string `json:"detector_meter,omitempty"`  // its number
	DesignFlowGPM *int   `json:"design_flow_gpm,omitempty"` // forward flow a fire line was designed for, in US gallons a minute
}

// YesNo is an answer that may be wanting.
type YesNo string

// The answers; the empty one is not known.
const (
	SaidYes YesNo = "yes"
	SaidNo  YesNo = "no"
)

// BypassFacts is the small assembly round the meter of a detector assembly.
type BypassFacts struct {
	Maker  string `json:"maker,omitempty"`
	Model  string `json:"model,omitempty"`
	Size   Size   `json:"size,omitzero"`
	Serial string `json:"serial,omitempty"`
}

// Assembly is the folded state of an assembly and its jobs.
type Assembly struct {
	Office OfficeID   `json:"office"`
	ID     AssemblyID `json:"id"`
	AssemblyFacts
	Passed Date          `json:"passed,omitzero"` // the newest pass known, from the registry or the log
	Gone   bool          `json:"gone,omitempty"`  // removed: nothing is left to test
	Jobs   []Job         `json:"jobs,omitempty"`  // oldest first; ended ones stay
	Alarms []RaisedAlarm `json:"alarms,omitempty"`
	// Corrections are notes on mistaken entries of its history.
	Corrections []Correction `json:"corrections,omitempty"`
	Serials     []string     `json:"serials,omitempty"` // of replaced units
	// SerialsSeen are serials that crews read off the unit and the record does not follow yet.
	SerialsSeen []SerialDiffers `json:"serials_seen,omitempty"`
	Photos      []PhotoKept     `json:"photos,omitempty"`
	// SendAgain is set when a list names as due what has passed: the report is to be sent again.
	SendAgain *NotCredited `json:"send_again,omitempty"`
	// SentAgain is when that was done; a list of a later day that still names it as due sets SendAgain anew.
	SentAgain Date `json:"sent_again,omitzero"`
}

// Job finds a job of the assembly by id; nil when it has none such.
func (a *Assembly) Job(id JobID) *Job {
	for i := range a.Jobs {
		if a.Jobs[i].ID == id {
			return &a.Jobs[i]
		}
	}
	return nil
}

// asksAgain reports whether the purveyor's list wants the report of this job sent again, and it was not yet.
func (a *Assembly) asksAgain(j *Job) bool {
	again := a.SendAgain
	return j != nil && again != nil && a.SentAgain.IsZero() && (again.Job == j.ID || again.Job == "" && again.Passed == j.PassedOn)
}

// OwesAgain is the pass that the purveyor's list does not credit, so that its report is to be sent again; nil when none is. The
// job is the one that passed, nil when it is not on record. It is settled once it is sent again, the job is accepted or a later
// test is due; while the job still owes its report, that is asked for by the job itself.
func (a *Assembly) OwesAgain() (*NotCredited, *Job) {
	again := a.SendAgain
	if again == nil || !a.SentAgain.IsZero() || a.Gone || slices.ContainsFunc(a.Jobs, func(j Job) bool { return again.Due.Before(j.Due) }) {
		return nil, nil
	}
	if known := a.Job(again.Job); known != nil {
		if known.Stage != StageReported {
			return nil, nil
		}
		return again, known
	}
	for i := range a.Jobs {
		if !a.Jobs[i].PassedOn.IsZero() && a.Jobs[i].PassedOn == again.Passed {
			return again, &a.Jobs[i]
		}
	}
	return again, nil
}

// OpenJob is the oldest job that a crew must still go to; when there is none, the newest of which only the report is not
// accepted yet; nil when all are over. A report that nobody accepts must not hide the next test that is owed.
func (a *Assembly) OpenJob() *Job { return a.openJob(func(*Job) bool { return true }) }

// ListedJob is the open job that a purveyor's list speaks of: OpenJob without what only a caller asked for.
func (a *Assembly) ListedJob() *Job {
	return a.openJob(func(j *Job) bool { return j.Kind != Discharging && j.Kind != SurveyOnSite })
}

func (a *Assembly) openJob(counts func(*Job) bool) *Job {
	var reporting *Job
	for i := range a.Jobs {
		switch job := &a.Jobs[i]; {
		case !counts(job):
		case job.NeedsVisit():
			return job
		case job.Open():
			reporting = job
		}
	}
	return reporting
}

func (a *Assembly) entity() Entity { return Entity{a.Office, KindAssembly, string(a.ID)} }

// AssemblyAlarm is raised when something recorded looks impossible; both stand.
type AssemblyAlarm struct {
	Alarm
}

func declareAssembly(v *vocabulary) {
	declare[AssemblyAlarm](v, KindAssembly, "alarm-raised")
}

func (a Assembly) fold(at stamp, event any) (Assembly, error) {
	switch e := event.(type) {
	case Registered[AssemblyFacts]:
		a.Office, a.ID = at.Entity.Office, AssemblyID(at.Entity.ID)
		a.AssemblyFacts, a.Passed = e.Facts, e.Facts.LastPassed
	case Corrected[AssemblyFacts]:
		a.Office, a.ID, a.AssemblyFacts = at.Entity.Office, AssemblyID(at.Entity.ID), e.Facts
		a.SerialsSeen = openSerials(a.SerialsSeen, e.Facts)
		if a.Passed.Before(e.Facts.LastPassed) {
			a.Passed = e.Facts.LastPassed
		}
	case AssemblyAlarm:
		a.Alarms = raise(a.Alarms, at, e.Alarm)
	case AssemblyAlarmSettled:
		a.Alarms = settle(a.Alarms, e.AlarmSettled)
	case AssemblyPhoto:
		a.Photos = append(slices.Clone(a.Photos), PhotoKept{at.ID, at.Happened, e.Photo})
	case SerialDiffers:
		a.SerialsSeen = a.proposes(e)
	case SerialKept:
		a.SerialsSeen = a.withoutProposal(e.Part)
	case AssemblyEntryCorrected:
		a.Corrections = append(slices.Clone(a.Corrections), e.Correction)
	default:
		return a.foldJob(at, event)
	}
	return a, nil
}
