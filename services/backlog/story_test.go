package backlog_test

import (
	"context"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/words"
)

const office events.OfficeID = "north"

// store is where a story's records go.
type store interface {
	Append(ctx context.Context, batch []events.Append) (uint64, error)
}

// story carries commands out one after another, at the instant now, as the desk and the crews would send them.
type story struct {
	t    *testing.T
	book *events.Book
	log  store // nil: in memory only
	now  time.Time
	n    byte
}

// monday is 2 March 2026, 10:00 in New York: the failing day of the worked deadlines in events/deadline_test.go.
var monday = time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)

func newStory(t *testing.T) *story { return &story{t: t, book: events.NewBook(), now: monday} }

func (s *story) as(actor events.PersonID, do any) {
	s.t.Helper()
	s.n++
	batch, err := events.Prepare(s.book, events.Command{ID: events.CommandID{s.n, 1}, Actor: actor, Office: office, Happened: s.now, Do: do}, s.now)
	if err != nil {
		s.t.Fatalf("%T: %v", do, err)
	}
	if s.log != nil {
		if _, err := s.log.Append(s.t.Context(), batch); err != nil {
			s.t.Fatalf("%T: %v", do, err)
		}
	}
	for _, a := range batch {
		a.Seq = s.book.Position() + 1
		if got := s.book.Apply(a.Record); !got.Accepted || got.Unknown {
			s.t.Fatalf("%T: the fold did not accept %s: %+v", do, a.Subject(), got)
		}
	}
}

func (s *story) do(do any) { s.t.Helper(); s.as("office", do) }

func (s *story) at(clock string) *story {
	s.t.Helper()
	at, err := time.ParseInLocation("2006-01-02 15:04", clock, newYork(s.t))
	if err != nil {
		s.t.Fatal(err)
	}
	s.now = at
	return s
}

func newYork(t *testing.T) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func date(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

// furnish registers a crew, a gauge, an owner with a standing yes, and one site with its feed. The purveyor of most tests
// repairs health hazards within 7 days and others within 21 (Carthage, North Carolina, code).
func (s *story) furnish() *story {
	s.do(events.Put[events.PurveyorFacts]{ID: "pv", Facts: events.PurveyorFacts{Name: "Millbrook Water", Zone: "America/New_York",
		Criteria: "usc-10", IntervalMonths: 12, Repair: map[events.Hazard]events.DeadlineRule{
			events.Health: {Count: 7, Unit: events.CalendarDays}, events.NonHealth: {Count: 21, Unit: events.CalendarDays}},
		ReportPass: events.DeadlineRule{Count: 10, Unit: events.BusinessDays}}})
	s.do(events.Put[events.CustomerFacts]{ID: "cu", Facts: events.CustomerFacts{Name: "Wren Holdings", Repair: "yes"}})
	s.do(events.Put[events.CustomerFacts]{ID: "shy", Facts: events.CustomerFacts{Name: "Shy Holdings", Repair: "ask"}})
	s.site("s1", "Corner kitchen", "cu")
	s.do(events.Put[events.CrewFacts]{ID: "c1", Facts: events.CrewFacts{Name: "Crew A", Letter: "A"}})
	s.do(events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{Serial: "DG1042", CertifiedUntil: date("2026-12-01"), Potable: true}})
	return s
}

func (s *story) site(id events.SiteID, name string, customer events.CustomerID) {
	s.do(events.Put[events.SiteFacts]{ID: string(id), Facts: events.SiteFacts{Name: name, Customer: customer, Zone: "America/New_York",
		Position: geo.MustPoint(41, -30), AccessHours: "Mo-Fr 05:00-17:00"}})
	s.feed(id)
}

// feed registers the one feed of a site: f1 of s1.
func (s *story) feed(site events.SiteID) {
	s.do(events.Put[events.FeedFacts]{ID: "f" + string(site)[1:], Facts: events.FeedFacts{Site: site, Name: "main", ShutdownWindow: "Mo-Fr 05:00-09:00"}})
}

// send sends a day out with one visit of crew A to the job, from 07:10 to 08:30, and writes it on the job.
func (s *story) send(day string, ref events.JobRef) {
	s.t.Helper()
	on := date(day)
	at := func(hour, minute int) time.Time {
		y, m, d := on.YMD()
		return time.Date(y, m, d, hour, minute, 0, 0, newYork(s.t))
	}
	s.as("dispatcher", events.SendOut{SentOut: events.SentOut{Date: on, Routes: []events.DayRoute{{Crew: "c1", Start: at(6, 40), End: at(9, 0),
		Visits: []events.DayVisit{{Site: "s1", Key: "s1", Arrive: at(7, 10), Leave: at(8, 30), Jobs: []events.DayJob{{JobRef: ref, Work: "test"}},
			WaterOff: []events.WaterOff{{Feed: "f1", From: at(7, 20), To: at(8, 5)}}}}}}}})
	s.as("dispatch", events.EchoDispatch{Day: s.book.Day(office, on).SentBy, Date: on, Crew: "c1", JobRef: ref})
}

// unit registers an assembly with a job that is due; the job has its assembly's id with a j before it.
func (s *story) unit(id events.AssemblyID, change func(*events.AssemblyFacts)) events.JobRef {
	facts := events.AssemblyFacts{Site: "s1", Feed: "f1", Purveyor: "pv", Type: events.RP, Size: events.InchSize(1, 0), Hazard: events.Health,
		Serial: "004711", Place: "riser room", LastPassed: date("2025-03-10")}
	if change != nil {
		change(&facts)
		facts.Feed = events.FeedID("f" + string(facts.Site)[1:])
	}
	s.do(events.Put[events.AssemblyFacts]{ID: string(id), Facts: facts})
	ref := events.JobRef{Assembly: id, Job: events.JobID("j" + string(id))}
	s.do(events.ListDue{Assembly: id, NewJob: ref.Job, Due: date("2026-03-10"), AsOf: date("2026-02-01"), List: "march.csv, row 4", Standing: events.Ours})
	return ref
}

func rpTest(check1, relief string, phase events.Phase, says events.Opinion) *events.Test {
	n := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	return &events.Test{Gauge: "g1", Tester: "p1", Procedure: "usc-10", Says: says, Readings: []events.Reading{
		{Part: events.MainPart, Component: events.Check1, Phase: phase, Number: n(check1), Unit: events.PSID},
		{Part: events.MainPart, Component: events.Relief, Phase: phase, Number: n(relief), Unit: events.PSID, Result: events.Opened},
		{Part: events.MainPart, Component: events.Check2, Phase: phase, Result: events.Held},
	}}
}

// fail makes the job fail today, waiting for the kits named.
func (s *story) fail(ref events.JobRef, parts ...events.PartWanted) {
	s.t.Helper()
	s.as("p1", events.FinishJob{JobRef: ref, Crew: "c1", Day: events.DateIn(s.now, newYork(s.t)), Outcome: events.OutcomeFailed,
		Initial: rpTest("4.9", "2.0", events.Initial, events.OpinionFail), Parts: parts})
}

// people knows one tester's name.
func people(t *testing.T) *words.People {
	t.Helper()
	p := &words.People{}
	if err := p.Put(t.Context(), nowhere{}, "p1", words.Details{Name: "Bo Wren"}); err != nil {
		t.Fatal(err)
	}
	return p
}

// nowhere forgets at once: what a test names is known to the people in memory only.
type nowhere struct{ events.PeopleStore }

func (nowhere) Put(context.Context, string, []byte) error { return nil }
