package durations

import (
	"cmp"
	"slices"
	"time"

	"valveround/events"
)

// Class is what a test takes its time by.
type Class string

// The classes. AnyClass is of work that takes its time by size alone.
const (
	AnyClass      Class = ""
	VacuumBreaker Class = "vacuum breaker"
	DoubleCheck   Class = "double check"
	Reduced       Class = "reduced pressure"
)

// Band is a range of nominal sizes.
type Band string

// The bands. AnySize is of vacuum breakers, which are all small. A size that is not known counts as larger.
const (
	AnySize Band = ""
	ToTwo   Band = "to 2 in"
	ToFour  Band = "to 4 in"
	Larger  Band = "larger"
)

// Work is what was done in the time.
type Work string

// The kinds of work. Cleaned is a test that failed as found and the repair and retest of the same visit; Return is the
// repair and retest of a visit made for them.
const (
	Tested  Work = "test"
	Cleaned Work = "test, repair and retest at once"
	Return  Work = "repair and retest"
)

// Cell is what one mean is of.
type Cell struct {
	Class Class `json:"class,omitempty"`
	Band  Band  `json:"band,omitempty"`
	Work  Work  `json:"work"`
}

// CellOf is where work on an assembly belongs. ok is false for what has no test cocks.
func CellOf(a *events.Assembly, w Work) (c Cell, ok bool) {
	c = Cell{Work: w, Band: bandOf(a.Size)}
	switch {
	case !a.Type.Testable():
		return c, false
	case w == Return:
	case a.Type == events.PVB || a.Type == events.SVB:
		c.Class, c.Band = VacuumBreaker, AnySize
	case a.Type.HasRelief():
		c.Class = Reduced
	default:
		c.Class = DoubleCheck
	}
	return c, true
}

func bandOf(size events.Size) Band {
	switch {
	case size.IsZero() || size > events.InchSize(4, 0):
		return Larger
	case size > events.InchSize(2, 0):
		return ToFour
	}
	return ToTwo
}

// Observation is one piece of work and how long it took.
type Observation struct {
	Cell
	Crew    events.CrewID
	Day     events.Date
	Minutes float64
}

// done is one job that a crew finished on a day.
type done struct {
	a    *events.Assembly
	cell Cell
}

type visitKey struct {
	site events.SiteID
	crew events.CrewID
	day  events.Date
}

// Observe finds in an office's book every piece of work whose time is known for itself. The time is that from water off to
// water on when that was recorded and the feed held no other work of the visit; else, of a visit for one job alone, the time
// from arriving to leaving less what overhead says goes before and after. What cannot be told apart is no observation.
func Observe(b *events.Book, office events.OfficeID, overhead func(*events.Assembly) time.Duration) []Observation {
	visits := finished(b, office)
	keys := make([]visitKey, 0, len(visits))
	for k := range visits {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(x, y visitKey) int {
		return cmp.Or(x.day.Sub(y.day), cmp.Compare(x.site, y.site), cmp.Compare(x.crew, y.crew))
	})
	var list []Observation
	for _, k := range keys {
		list = append(list, ofVisit(b, k, visits[k], overhead)...)
	}
	return list
}

// finished sorts finished jobs by the visit they were finished in.
func finished(b *events.Book, office events.OfficeID) map[visitKey][]done {
	visits := map[visitKey][]done{}
	for _, a := range b.Assemblies {
		if a.Office != office {
			continue
		}
		loc := zoneOf(b, a.Site)
		for i := range a.Jobs {
			for _, x := range a.Jobs[i].Attempts {
				work, finished := workOf(&a.Jobs[i], x, loc)
				if cell, testable := CellOf(a, work); finished && testable && x.Crew != "" {
					k := visitKey{a.Site, x.Crew, x.On}
					visits[k] = append(visits[k], done{a, cell})
				}
			}
		}
	}
	for _, list := range visits {
		slices.SortFunc(list, func(x, y done) int { return cmp.Compare(x.a.ID, y.a.ID) })
	}
	return visits
}

func zoneOf(b *events.Book, id events.SiteID) *time.Location {
	if s := b.Sites[id]; s != nil {
		if loc, err := time.LoadLocation(s.Zone); err == nil {
			return loc
		}
	}
	return time.UTC
}

// workOf says what a visit to a job was, by the tests recorded in it. A visit that ended otherwise than with a pass or a fail
// was not finished.
func workOf(j *events.Job, x events.Attempt, loc *time.Location) (w Work, finished bool) {
	switch x.Outcome {
	case events.OutcomePassed, events.OutcomeFailed, events.OutcomeRepairedPassed:
	default:
		return "", false
	}
	initial, final := false, false
	for _, t := range j.Tests {
		if t.Crew != x.Crew || events.DateIn(t.At, loc) != x.On {
			continue
		}
		for _, r := range t.Readings {
			initial, final = initial || r.Phase == events.Initial, final || r.Phase == events.Final
		}
	}
	switch {
	case initial && final:
		return Cleaned, true
	case initial:
		return Tested, true
	case final:
		return Return, true
	}
	return "", false
}

// ofVisit finds what one visit tells.
func ofVisit(b *events.Book, k visitKey, jobs []done, overhead func(*events.Assembly) time.Duration) []Observation {
	var list []Observation
	for _, job := range jobs {
		alone := !slices.ContainsFunc(jobs, func(other done) bool { return other.a != job.a && other.a.Feed == job.a.Feed })
		took := dryFor(b, k, job.a.Feed)
		switch {
		case took > 0 && !alone:
			continue
		case took == 0 && len(jobs) > 1:
			continue
		case took == 0:
			took = stayed(b.Sites[k.site], k) - overhead(job.a)
		}
		if took > 0 {
			list = append(list, Observation{Cell: job.cell, Crew: k.crew, Day: k.day, Minutes: took.Minutes()})
		}
	}
	return list
}

func dryFor(b *events.Book, k visitKey, id events.FeedID) time.Duration {
	f := b.Feeds[id]
	if f == nil {
		return 0
	}
	loc, sum := zoneOf(b, k.site), time.Duration(0)
	for _, d := range f.Dried {
		if d.Crew == k.crew && events.DateIn(d.From, loc) == k.day {
			sum += d.To.Sub(d.From)
		}
	}
	return sum
}

func stayed(s *events.Site, k visitKey) time.Duration {
	if s == nil {
		return 0
	}
	sum := time.Duration(0)
	for _, stay := range s.Stays {
		if stay.Crew == k.crew && stay.Day == k.day {
			sum += stay.To.Sub(stay.From)
		}
	}
	return sum
}
