package events_test

import (
	"errors"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
)

const office events.OfficeID = "north"

// story runs commands one after another on a book, as the log would.
type story struct {
	t    testing.TB
	book *events.Book
	log  []events.Record
	now  time.Time
	n    byte
}

func newStory(t testing.TB) *story {
	return &story{t: t, book: events.NewBook(), now: time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)}
}

func (s *story) try(do any) ([]events.Record, error) {
	s.n++
	c := events.Command{ID: events.CommandID{s.n, 1}, Actor: "p-desk", Office: office, Happened: s.now, Do: do}
	batch, err := events.Prepare(s.book, c, s.now)
	var stored []events.Record
	for _, a := range batch {
		r := a.Record
		r.Seq = s.book.Position() + 1
		if got := s.book.Apply(r); !got.Accepted || got.Unknown {
			s.t.Fatalf("%T: the fold did not accept %s: %+v", do, r.Subject(), got)
		}
		s.log, stored = append(s.log, r), append(stored, r)
	}
	return stored, err
}

func (s *story) do(do any, want ...string) {
	s.t.Helper()
	stored, err := s.try(do)
	if err != nil {
		s.t.Fatalf("%T: %v", do, err)
	}
	var got []string
	for _, r := range stored {
		got = append(got, string(r.Entity.Kind)+"."+r.Name)
	}
	if len(want) != len(got) {
		s.t.Fatalf("%T: got events %v, want %v", do, got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			s.t.Fatalf("%T: got events %v, want %v", do, got, want)
		}
	}
}

func (s *story) refused(do any) *events.Refusal {
	s.t.Helper()
	stored, err := s.try(do)
	var refusal *events.Refusal
	if !errors.As(err, &refusal) {
		s.t.Fatalf("%T: got error %v, want a refusal", do, err)
	}
	if len(stored) > 0 {
		s.t.Fatalf("%T: refused, and yet %d events were written", do, len(stored))
	}
	return refusal
}

func date(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

// furnish registers one purveyor, site, feed, assembly and crew.
func (s *story) furnish() *story {
	s.do(events.Put[events.PurveyorFacts]{ID: "pv", Facts: events.PurveyorFacts{Name: "Millbrook Water", Zone: "America/New_York",
		Criteria: "usc-10", IntervalMonths: 12, Repair: map[events.Hazard]events.DeadlineRule{
			events.Health: {Count: 7, Unit: events.CalendarDays}, events.NonHealth: {Count: 21, Unit: events.CalendarDays}},
		ReportPass: events.DeadlineRule{Count: 10, Unit: events.BusinessDays}}}, "purveyor.registered")
	s.do(events.Put[events.SiteFacts]{ID: "s1", Facts: events.SiteFacts{Name: "Corner kitchen", Zone: "America/New_York",
		Position: geo.MustPoint(41, -74), AccessHours: "Mo-Fr 05:00-17:00"}}, "site.registered")
	s.do(events.Put[events.FeedFacts]{ID: "f1", Facts: events.FeedFacts{Site: "s1", Name: "main", ShutdownWindow: "Mo-Fr 05:00-09:00"}}, "feed.registered")
	s.do(events.Put[events.AssemblyFacts]{ID: "a1", Facts: events.AssemblyFacts{Site: "s1", Feed: "f1", Purveyor: "pv",
		Type: events.RP, Hazard: events.Health, LastPassed: date("2025-03-10")}}, "assembly.registered")
	s.do(events.Put[events.CrewFacts]{ID: "c1", Facts: events.CrewFacts{Name: "Crew 1", Letter: "A"}}, "crew.registered")
	s.do(events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{CertifiedUntil: date("2026-12-01")}}, "gauge.registered")
	return s
}

var job1 = events.JobRef{Assembly: "a1", Job: "j1"}

func (s *story) due() *story {
	s.do(events.ListDue{Assembly: "a1", NewJob: "j1", Due: date("2026-03-10"), AsOf: date("2026-02-01"), Standing: events.Ours}, "assembly.due")
	return s
}

func rpTest(check1, relief string, says events.Opinion) *events.Test {
	n := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	return &events.Test{Gauge: "g1", Tester: "p1", Procedure: "usc-10", Says: says, Readings: []events.Reading{
		{Part: events.MainPart, Component: events.Relief, Number: n(relief), Unit: events.PSID, Result: events.Opened},
		{Part: events.MainPart, Component: events.Check2, Result: events.Held},
		{Part: events.MainPart, Component: events.Check1, Number: n(check1), Unit: events.PSID},
	}}
}

func TestListsAndJobs(t *testing.T) {
	s := newStory(t).furnish().due()
	list := events.ListDue{Assembly: "a1", NewJob: "j2", Due: date("2026-03-10"), AsOf: date("2026-02-01"), Standing: events.Ours}
	s.do(list) // the same list twice changes nothing
	list.Due, list.AsOf = date("2026-03-20"), date("2026-02-20")
	s.do(list, "assembly.deadline-moved")
	list.Due, list.AsOf = date("2026-03-10"), date("2026-02-01")
	s.do(list) // an older list moves nothing back
	s.do(events.FinishJob{JobRef: job1, Crew: "c1", Day: date("2026-03-02"), Outcome: events.OutcomePassed,
		Initial: rpTest("6.0", "2.4", events.OpinionPass)}, "assembly.tested", "assembly.passed", "assembly.alarm-raised")
	list.AsOf = date("2026-03-05")
	s.do(list, "assembly.not-credited") // passed in this cycle and listed as due: send the report again
	s.do(list)
}

func TestOnlyFailedIsAFail(t *testing.T) {
	failing := events.FinishJob{JobRef: job1, Crew: "c1", Day: date("2026-03-02"), Outcome: events.OutcomeFailed,
		Initial: rpTest("4.9", "2.0", events.OpinionFail)}
	s := newStory(t).furnish().due()
	s.do(failing, "assembly.tested", "assembly.failed-retest", "assembly.alarm-raised")
	job := s.book.Assemblies["a1"].Job("j1")
	// Carthage NC: health hazards are repaired within 7 days; a failure on 2 March 2026 is owed by 9 March.
	if got := job.Failure.RetestBy; !got.Known || got.On != date("2026-03-09") {
		t.Errorf("retest owed by %v, want 2026-03-09", got)
	}
	s.now = s.now.AddDate(0, 0, 3)
	failing.Day = date("2026-03-05")
	s.do(failing, "assembly.tested", "assembly.failed-retest", "assembly.alarm-raised")
	if got := s.book.Assemblies["a1"].Job("j1").Failure.RetestBy.On; got != date("2026-03-09") {
		t.Errorf("a second failure restarted the clock: %v", got)
	}
	for _, outcome := range []events.VisitOutcome{events.OutcomeCouldNotTest, events.OutcomeNotFound, events.OutcomeRemoved,
		events.OutcomeNoAccess, events.OutcomeRefused, events.OutcomeRanOut, events.OutcomeWrongType} {
		t.Run(string(outcome), func(t *testing.T) {
			s := newStory(t).furnish().due()
			_, err := s.try(events.FinishJob{JobRef: job1, Crew: "c1", Day: date("2026-03-02"), Outcome: outcome,
				Why: "winterised", Seen: events.DC})
			if err != nil {
				t.Fatal(err)
			}
			if job := s.book.Assemblies["a1"].Job("j1"); job.Failure != nil || job.NeedsRepair() {
				t.Errorf("%s was taken as a fail: %+v", outcome, job)
			}
		})
	}
}

func TestPartsAndReturn(t *testing.T) {
	s := newStory(t).furnish().due()
	s.refused(events.ReadyParts{JobRef: job1})
	s.do(events.FinishJob{JobRef: job1, Crew: "c1", Day: date("2026-03-02"), Outcome: events.OutcomeFailed,
		Initial: rpTest("4.9", "1.8", events.OpinionFail), Parts: []events.PartWanted{{Code: "RK-1"}}},
		"assembly.tested", "assembly.failed-retest", "assembly.parts-pending", "assembly.alarm-raised")
	if by, ok := s.book.Assemblies["a1"].Job("j1").PartsBy(); ok {
		t.Errorf("parts without a promise are at hand by %v", by)
	}
	s.do(events.WantParts{JobRef: job1, Parts: []events.PartWanted{{Code: "RK-1", Promised: date("2026-03-04")}}}, "assembly.parts-pending")
	if by, ok := s.book.Assemblies["a1"].Job("j1").PartsBy(); !ok || by != date("2026-03-04") {
		t.Errorf("parts at hand by %v %v, want 2026-03-04", by, ok)
	}
	s.do(events.ReadyParts{JobRef: job1, Where: "shop"}, "assembly.parts-ready")
	s.do(events.FinishJob{JobRef: job1, Crew: "c1", Day: date("2026-03-05"), Outcome: events.OutcomeRepairedPassed,
		Repair: &events.Repaired{Fitted: []events.PartWanted{{Code: "RK-1"}}}, Final: rpTest("6.4", "2.6", events.OpinionPass)},
		"assembly.repaired", "assembly.tested", "assembly.passed", "assembly.alarm-raised")
	s.do(events.FileReport{JobRef: job1, On: date("2026-03-06")}, "assembly.reported")
	s.do(events.ReturnReport{JobRef: job1, On: date("2026-03-07"), Why: "gauge serial missing"}, "assembly.report-returned")
	s.do(events.FileReport{JobRef: job1, On: date("2026-03-08")}, "assembly.reported")
	s.do(events.AcceptReport{JobRef: job1, On: date("2026-03-09")}, "assembly.report-accepted")
	if s.book.Assemblies["a1"].OpenJob() != nil {
		t.Error("the job is accepted and still open")
	}
}

func TestVoidAndChain(t *testing.T) {
	s := newStory(t).furnish()
	late := s.log[0]
	late.Seq = s.book.Position() + 1
	before := s.book.Snapshot()
	if got := s.book.Apply(late); !got.Void {
		t.Fatalf("a record whose hash does not follow was %+v", got)
	}
	if got := s.book.Head(late.Entity); got.Voided != 1 || got.Seq != late.Seq {
		t.Errorf("head after a void record: %+v", got)
	}
	if len(before.Purveyors) != len(s.book.Purveyors) {
		t.Error("a void record changed the book")
	}
	again := events.NewBook()
	for _, r := range append(s.log, late) {
		again.Apply(r)
	}
	if again.Digest() != s.book.Digest() {
		t.Error("replaying the same records gives another digest")
	}
}

func TestUnknownEventMakesReadOnly(t *testing.T) {
	s := newStory(t).furnish()
	head := s.book.Head(events.Entity{Office: office, Kind: events.KindSite, ID: "s1"})
	r := events.Seal(events.Envelope{ID: "x-0", Entity: events.Entity{Office: office, Kind: events.KindSite, ID: "s1"},
		Name: "from-the-future", Version: 1, Command: events.CommandID{9, 9}, Happened: s.now, Recorded: s.now, Prev: head.Hash}, []byte(`{}`))
	r.Seq = s.book.Position() + 1
	if got := s.book.Apply(r); !got.Accepted || !got.Unknown {
		t.Fatalf("got %+v", got)
	}
	s.refused(events.Arrive{Site: "s1", Crew: "c1"})
}

// A job that a caller asked for stands beside the one that a list names; neither moves the other's date.
func TestCallerAndListEachHaveAJob(t *testing.T) {
	s := newStory(t).furnish()
	s.do(events.OpenJob{Assembly: "a1", NewJob: "j9", Kind: events.Discharging, Due: date("2026-03-03")}, "assembly.due")
	s.do(events.OpenJob{Assembly: "a1", NewJob: "j9", Kind: events.Discharging, Due: date("2026-03-03")})
	s.due()
	s.do(events.ListDue{Assembly: "a1", NewJob: "j2", Due: date("2026-03-20"), AsOf: date("2026-02-20"), Standing: events.Ours}, "assembly.deadline-moved")
	a := s.book.Assemblies["a1"]
	if a.Job("j9").Due != date("2026-03-03") || a.Job("j1").Due != date("2026-03-20") {
		t.Errorf("the discharging unit is due %s, the annual test %s", a.Job("j9").Due, a.Job("j1").Due)
	}
	s.refused(events.OpenJob{Assembly: "a1", NewJob: "j3", Kind: "tea", Due: date("2026-03-03")})
	s.refused(events.OpenJob{Assembly: "a1", NewJob: "j3", Kind: events.NewInstall})
	s.refused(events.OpenJob{Assembly: "a9", NewJob: "j3", Kind: events.NewInstall, Due: date("2026-03-03")})
}
