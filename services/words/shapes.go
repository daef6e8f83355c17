package words

import (
	"fmt"
	"strings"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/planner/hours"
)

// Span is a stretch of time.
type Span struct {
	Open  time.Time `json:"open"`
	Close time.Time `json:"close"`
}

// SpansOf converts expanded hours.
func SpansOf(spans []hours.Span, loc *time.Location) []Span {
	list := []Span{}
	for _, s := range spans {
		list = append(list, Span{s.Open.In(loc), s.Close.In(loc)})
	}
	return list
}

// Crew names a crew.
type Crew struct {
	ID     string    `json:"id"`
	Name   string    `json:"name"`
	Letter string    `json:"letter"`
	People []string  `json:"people" doc:"names, from the details kept apart from the log"`
	Home   geo.Point `json:"home"`
	Off    string    `json:"off,omitempty" doc:"why it does not work on the day asked about"`
}

// CrewOf says a crew; an unknown one by its id.
func CrewOf(b *events.Book, p *People, id events.CrewID) Crew {
	crew := b.Crews[id]
	if crew == nil {
		return Crew{ID: string(id), Name: string(id), People: []string{}}
	}
	v := Crew{ID: string(id), Name: crew.Name, Letter: crew.Letter, Home: crew.Home, People: []string{}}
	for _, person := range crew.People {
		v.People = append(v.People, p.Name(person))
	}
	return v
}

// Site names a site.
type Site struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	Address  string    `json:"address,omitempty"`
	Use      string    `json:"use,omitempty"`
	Zone     string    `json:"zone"`
	Position geo.Point `json:"position"`
	Sure     string    `json:"position_source,omitempty"`
	Area     string    `json:"neighbourhood,omitempty"`
	Customer string    `json:"customer,omitempty"`
}

// neighbourhoodLevel is the S2 level of a neighbourhood: cells about 4 km across.
const neighbourhoodLevel = 11

// SiteOf says a site; an unknown one by its id.
func SiteOf(b *events.Book, id events.SiteID) Site {
	s := b.Sites[id]
	if s == nil {
		return Site{ID: string(id), Name: string(id)}
	}
	v := Site{ID: string(id), Name: s.Name, Address: s.Address, Use: s.Use, Zone: s.Zone, Position: s.Position,
		Sure: string(s.PositionSource), Area: geo.Neighbourhood(s.Position, neighbourhoodLevel)}
	if c := b.Customers[s.Customer]; c != nil {
		v.Customer = c.Name
	}
	return v
}

// Zone is a site's time zone; UTC when its name is not known.
func Zone(b *events.Book, id events.SiteID) *time.Location {
	if s := b.Sites[id]; s != nil {
		if loc, err := time.LoadLocation(s.Zone); err == nil {
			return loc
		}
	}
	return time.UTC
}

// Job is one job in lists.
type Job struct {
	Assembly string           `json:"assembly"`
	Job      string           `json:"job"`
	Kind     string           `json:"kind"`
	Work     string           `json:"work,omitempty" doc:"in words: test; repair and retest"`
	Type     string           `json:"type"`
	TypeName string           `json:"type_name"`
	Size     string           `json:"size,omitempty"`
	Service  string           `json:"service,omitempty"`
	Hazard   string           `json:"hazard,omitempty"`
	Place    string           `json:"place,omitempty"`
	Number   string           `json:"purveyor_number,omitempty"`
	Serial   string           `json:"serial,omitempty"`
	Purveyor string           `json:"purveyor"`
	Stage    string           `json:"stage"`
	Due      events.Date      `json:"due,omitzero"`
	Before   string           `json:"before_use,omitempty" doc:"the use before which it must be done, in words"`
	RetestBy *events.Deadline `json:"retest_by,omitempty"`
	DaysLeft *int             `json:"days_left,omitempty" doc:"to the retest deadline, else to the due date; none: not known, ask"`
	Minutes  int              `json:"minutes" doc:"with the water off or at the unit, without travel and paper"`
}

// JobOf says a job as seen on a day.
func JobOf(b *events.Book, a *events.Assembly, j *events.Job, on events.Date, s planner.Settings) Job {
	work := planner.WorkOf(a, j)
	v := Job{Assembly: string(a.ID), Job: string(j.ID), Kind: Plain(string(j.Kind)), Work: Plain(string(work)), Type: string(a.Type), TypeName: a.Type.Name(),
		Service: string(a.Service), Hazard: string(a.Hazard), Place: a.Place, Number: a.PurveyorNumber, Serial: a.Serial, Stage: string(j.Stage),
		Due: j.Due, Purveyor: string(a.Purveyor), Minutes: s.WorkMinutes(a, work)}
	if !a.Size.IsZero() {
		v.Size = a.Size.String()
	}
	if p := b.Purveyors[a.Purveyor]; p != nil {
		v.Purveyor = p.Name
	}
	v.Before = BeforeUse(j)
	if j.Failure != nil {
		v.RetestBy = &j.Failure.RetestBy
	}
	if j.Failure == nil && !j.Due.IsZero() || j.Failure != nil && j.Failure.RetestBy.Known {
		left := s.DaysLeft(j, on)
		v.DaysLeft = &left
	}
	return v
}

// BeforeUse says the use before which a job must be done; empty when there is none.
func BeforeUse(j *events.Job) string {
	days := events.Date{}
	for _, u := range j.BeforeUse {
		if !u.Back.IsZero() && (days.IsZero() || u.Back.Before(days)) {
			days = u.Back
		}
	}
	switch {
	case len(j.BeforeUse) == 0:
		return ""
	case days.IsZero():
		return "before it is used again: ask when"
	}
	return "before use on " + Day(days)
}

// disuseRule says when a test is owed for want of use.
func disuseRule(what string, r events.DisuseRule) string {
	switch {
	case r.None:
		return what + ": no test"
	case !r.Known():
		return what + ": not known, ask"
	}
	return what + ": tested after " + Count(r.Months, "month", "months")
}

// UnitOf says an assembly in a few words: RP, 2 in, riser room.
func UnitOf(a *events.Assembly) string {
	parts := []string{string(a.Type)}
	if !a.Size.IsZero() {
		parts = append(parts, a.Size.String())
	}
	if a.Place != "" {
		parts = append(parts, a.Place)
	}
	return strings.Join(parts, ", ")
}

// Plain turns a written word of the log into one for people: failed-retest, failed retest.
func Plain(word string) string { return strings.ReplaceAll(word, "-", " ") }

// Duration says a length of time: 45 min, 1 h 20.
func Duration(d time.Duration) string {
	m := int(d.Round(time.Minute) / time.Minute)
	if m < 60 {
		return fmt.Sprintf("%d min", m)
	}
	return fmt.Sprintf("%d h %02d", m/60, m%60)
}

// Count says a number of things: 1 visit, 8 visits.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// Rules says a purveyor's clocks in words.
func Rules(p *events.Purveyor) string {
	say := func(what string, r events.DeadlineRule) string {
		if r.IsZero() {
			return what + ": not known, ask"
		}
		unit := string(r.Unit) + " days"
		if r.Unit == events.Hours {
			unit = "hours"
		}
		return fmt.Sprintf("%s: %d %s", what, r.Count, unit)
	}
	parts := []string{
		say("repair and retest, health hazard", p.Repair[events.Health]),
		say("other hazard", p.Repair[events.NonHealth]),
		say("report of a pass", p.ReportPass),
	}
	parts = append(parts, disuseRule("before a building that stood empty is used again", p.Vacancy), disuseRule("before use of what was out of use", p.Idle))
	if p.EarliestDaysBefore > 0 {
		parts = append(parts, fmt.Sprintf("a test counts from %d days before it is due", p.EarliestDaysBefore))
	}
	return strings.Join(parts, "; ")
}
