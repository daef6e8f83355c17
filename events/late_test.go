package events_test

import (
	"strings"
	"testing"
	"time"

	"valveround/events"
)

// by is a result of a crew.
func by(crew events.CrewID, do events.FinishJob) events.FinishJob {
	do.Crew = crew
	return do
}

// TestLateResult: crew 2 was sent to a job while crew 1 had no signal and did it anyway. Word of the later visit comes
// first; the earlier one is kept beside it with an alarm, and changes how the job stands only when the later visit found
// nothing out.
func TestLateResult(t *testing.T) {
	ten, eleven := time.Date(2026, 3, 3, 16, 0, 0, 0, time.UTC), time.Date(2026, 3, 3, 17, 0, 0, 0, time.UTC)
	could := ends(events.OutcomeCouldNotTest, "buried")
	for _, row := range []struct {
		name            string
		first, second   events.FinishJob // as they come in: of eleven, then of ten
		stage           events.Stage
		late            int
		tests           int
		newest          string // reading of the relief in the newest test; empty: none was made
		alarm           string
		failure, passed bool
	}{
		{"a pass of ten does not end a failure of eleven", by("c2", fails(3)), by("c1", passes(3)), events.StageFailedRetest, 1, 2, "1.8", "came in after a later one (failed)", true, false},
		{"a failure of ten does not undo a pass of eleven", by("c2", passes(3)), by("c1", fails(3)), events.StagePassed, 1, 2, "2.4", "came in after a later one (passed)", false, true},
		{"a pass of ten stands over no access at eleven", by("c2", ends(events.OutcomeNoAccess, "")), by("c1", passes(3)), events.StagePassed, 0, 1, "2.4", "", false, true},
		{"could not test at ten says nothing against a failure of eleven", by("c2", fails(3)), by("c1", could), events.StageFailedRetest, 1, 1, "1.8", "came in after a later one (failed)", true, false},
		{"no access at ten after could not test at eleven", by("c2", could), by("c1", ends(events.OutcomeNoAccess, "")), events.StageStopped, 1, 0, "", "came in after a later one (could-not-test)", false, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := world(t)
			for _, step := range []struct {
				at time.Time
				do any
			}{{eleven, row.first}, {ten, row.second}} {
				s.now = step.at
				if _, err := s.try(step.do); err != nil {
					t.Fatal(err)
				}
			}
			j := a1(s.book)
			if j.Stage != row.stage || len(j.Late) != row.late || (j.Failure != nil) != row.failure || !j.PassedOn.IsZero() != row.passed {
				t.Errorf("the job is %s with %d late results, failure %v, passed on %s", j.Stage, len(j.Late), j.Failure, j.PassedOn)
			}
			if len(j.Tests) != row.tests {
				t.Fatalf("%d tests are kept, want %d", len(j.Tests), row.tests)
			}
			if row.newest != "" {
				newest := j.Tests[len(j.Tests)-1]
				if got := newest.Readings[0]; got.Number.String() != row.newest {
					t.Errorf("the newest test reads %s, want %s", got.Number, row.newest)
				}
			}
			var said []string
			for _, a := range s.book.Assemblies["a1"].Alarms {
				said = append(said, a.Words)
			}
			if !strings.Contains(strings.Join(said, "; "), row.alarm) {
				t.Errorf("alarms %q, want one that says %q", said, row.alarm)
			}
		})
	}
}

// TestLateWordOfAFeed: how a feed stands follows the newest moment, not the newest message.
func TestLateWordOfAFeed(t *testing.T) {
	s := world(t)
	ten := time.Date(2026, 3, 3, 16, 0, 0, 0, time.UTC)
	at := func(minutes int, do any, want ...string) {
		t.Helper()
		s.now = ten.Add(time.Duration(minutes) * time.Minute)
		s.do(do, want...)
	}
	left := func(crew events.CrewID, service events.ServiceState) events.LeaveFeed {
		return events.LeaveFeed{Feed: "f1", Crew: crew, Condition: events.Condition{Service: service}}
	}
	at(60, events.ShutFeed{Feed: "f1", Crew: "c2"}, "feed.shut-off")
	at(90, events.RestoreFeed{Feed: "f1", Crew: "c2"}, "feed.restored")
	at(91, left("c2", events.InService), "feed.as-left")
	at(0, events.ShutFeed{Feed: "f1", Crew: "c1"}, "feed.shut-off", "feed.alarm-raised")
	if f := s.book.Feeds["f1"]; !f.DrySince.IsZero() || f.AsLeft.Service != events.InService {
		t.Errorf("after late word the feed is dry since %s, left %s", f.DrySince, f.AsLeft.Service)
	}
	at(30, left("c1", events.Shut), "feed.as-left", "feed.alarm-raised")
	if f := s.book.Feeds["f1"]; f.AsLeft.Service != events.InService || f.LeftBy != "c2" {
		t.Errorf("left %s by %s: late word overwrote the newer", f.AsLeft.Service, f.LeftBy)
	}
	// A second phone of the crew that spoke last is no surprise.
	at(89, events.RestoreFeed{Feed: "f1", Crew: "c2"}, "feed.restored")
	at(120, left("c1", events.Shut), "feed.as-left")
	if f := s.book.Feeds["f1"]; f.AsLeft.Service != events.Shut {
		t.Errorf("newer word did not count: left %s", f.AsLeft.Service)
	}
	if n := len(s.book.AlarmsOf(events.KindFeed, "f1")); n != 2 {
		t.Errorf("%d alarms on the feed, want 2", n)
	}
}

// TestLateWordOfACrew: a crew that came, or went, before another one did does not chase that one away.
func TestLateWordOfACrew(t *testing.T) {
	s := world(t)
	ten := time.Date(2026, 3, 3, 16, 0, 0, 0, time.UTC)
	at := func(minutes int, do any) {
		t.Helper()
		s.now = ten.Add(time.Duration(minutes) * time.Minute)
		if _, err := s.try(do); err != nil {
			t.Fatal(err)
		}
	}
	at(60, events.Arrive{Site: "s1", Crew: "c2", Day: march(3)})
	at(0, events.Arrive{Site: "s1", Crew: "c1", Day: march(3)})
	at(40, events.Leave{Site: "s1", Crew: "c1", Day: march(3)})
	site := s.book.Sites["s1"]
	if site.Here == nil || site.Here.Crew != "c2" {
		t.Errorf("here is %+v, want crew 2", site.Here)
	}
	if site.LeftBy("c1") == nil || site.LeftBy("c2") != nil {
		t.Errorf("left: %+v", site.Left)
	}
	at(80, events.Leave{Site: "s1", Crew: "c2", Day: march(3)})
	at(20, events.Leave{Site: "s1", Crew: "c1", Day: march(3)})
	if site = s.book.Sites["s1"]; site.Here != nil || site.Gone.Crew != "c2" || !site.LeftBy("c1").Since.Equal(ten.Add(40*time.Minute)) {
		t.Errorf("here %+v, gone %+v, left %+v", site.Here, site.Gone, site.Left)
	}
}

// TestTakenBackMeanwhile: a crew without signal comes to a stop that was taken back, or that is with another crew now.
func TestTakenBackMeanwhile(t *testing.T) {
	job := events.JobRef{Assembly: "a1", Job: "j1"}
	arrive := events.Arrive{Site: "s1", Crew: "c1", Day: march(3)}
	toTheOther := events.SendOut{SentOut: events.SentOut{Date: march(3), Routes: []events.DayRoute{{Crew: "c2",
		Visits: []events.DayVisit{{Site: "s1", Jobs: []events.DayJob{{JobRef: job, Work: "test"}}}}}}}}
	out := []any{sendOut(3, job), echo(3, 1, job)}
	back := append(out, events.TakeBack{Date: march(3), Why: "rain"}, events.EchoStandDown{Date: march(3), JobRef: job})
	given := append(back, toTheOther, events.EchoDispatch{Day: sentBy(5), Date: march(3), Crew: "c2", JobRef: job})
	says := func(kind events.Kind, id, want string) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			var said []string
			for _, a := range b.AlarmsOf(kind, id) {
				said = append(said, a.Words)
			}
			if !strings.Contains(strings.Join(said, "; "), want) {
				t.Errorf("alarms %q, want one that says %q", said, want)
			}
		}
	}
	decide(t, []decision{
		{name: "it comes as it was sent", given: out, when: arrive, then: "site.arrived"},
		{name: "it comes on a day that was taken back", given: back, when: arrive, then: "site.arrived site.alarm-raised", after: says(events.KindSite, "s1", "had been taken back")},
		{name: "it comes to a stop of another crew", given: given, when: arrive, then: "site.arrived site.alarm-raised", after: says(events.KindSite, "s1", "is with Crew 2 now")},
		{name: "it tests on a day that was taken back", given: back, when: passes(3), then: "assembly.tested assembly.passed assembly.alarm-raised", after: says(events.KindAssembly, "a1", "had been taken back when this result came in")},
		{name: "it tests what is with another crew", given: given, when: passes(3), then: "assembly.tested assembly.passed assembly.alarm-raised", after: says(events.KindAssembly, "a1", "from another crew than the one the job was sent out with, Crew 2")},
	})
}

func TestSettleAlarm(t *testing.T) {
	raised := []any{events.Arrive{Site: "s1", Crew: "c2", Day: march(3)}, events.Arrive{Site: "s1", Crew: "c1", Day: march(3)}}
	alarm := events.EventID(events.CommandID{worldCommands + 2, 1}.String() + "-1")
	settle := events.SettleAlarm{Kind: events.KindSite, ID: "s1", Alarm: alarm, By: "p1", Words: "they shared the lift"}
	decide(t, []decision{
		{name: "once", given: raised, when: settle, then: "site.alarm-settled", after: func(t *testing.T, b *events.Book) {
			a := b.AlarmsOf(events.KindSite, "s1")
			if len(a) != 1 || a[0].Settled == nil || a[0].Settled.By != "p1" || a[0].Settled.Words != "they shared the lift" {
				t.Errorf("alarms %+v", a)
			}
		}},
		{name: "twice", given: append(raised, settle), when: settle},
		{name: "without a word", given: raised, when: events.SettleAlarm{Kind: events.KindSite, ID: "s1", Alarm: alarm}, refused: "say what came of it"},
		{name: "no such alarm", when: settle, refused: "no such alarm"},
		{name: "of a kind that has none", when: events.SettleAlarm{Kind: events.KindCrew, ID: "c1", Alarm: alarm, Words: "x"}, refused: "no such alarm"},
	})
}

// TestToldTwice: a crew has two phones. What they say the same is there once; where they disagree both are kept, and an alarm
// asks which holds.
func TestToldTwice(t *testing.T) {
	first := by("c1", fails(3))
	repaired := by("c1", passes(3))
	repaired.Outcome, repaired.Final, repaired.Initial = events.OutcomeRepairedPassed, repaired.Initial, nil
	out := []any{sendOut(3, events.JobRef{Assembly: "a1", Job: "j1"}), echo(3, 1, events.JobRef{Assembly: "a1", Job: "j1"})}
	said := append(out, first)
	asks := func(n int) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			asked := 0
			for _, a := range b.AlarmsOf(events.KindAssembly, "a1") {
				if a.Sort == events.AlarmToldTwice {
					asked++
				}
			}
			if asked != n {
				t.Errorf("asked %d times, want %d: %+v", asked, n, b.AlarmsOf(events.KindAssembly, "a1"))
			}
		}
	}
	decide(t, []decision{
		{name: "the same", given: said, when: first, then: "assembly.late-result", after: asks(0)},
		{name: "the same, but for a part", given: said, when: changed(first, func(do *events.FinishJob) { do.Parts = []events.PartWanted{{Code: "RK-1"}} }),
			then: "assembly.tested assembly.failed-retest assembly.parts-pending assembly.alarm-raised", after: asks(1)},
		{name: "failed, and passed", given: said, when: by("c1", passes(3)), then: "assembly.tested assembly.passed assembly.alarm-raised", after: asks(1)},
		{name: "failed, then repaired and passed", given: said, when: repaired, then: "assembly.tested assembly.passed", after: asks(0)},
		{name: "no access, then passed", given: append(out, by("c1", ends(events.OutcomeNoAccess, ""))), when: by("c1", passes(3)), then: "assembly.tested assembly.passed", after: asks(0)},
		{name: "the next day", given: said, when: by("c1", fails(4)), then: "assembly.tested assembly.failed-retest assembly.alarm-raised", after: asks(0)},
	})
}

func changed(do events.FinishJob, change func(*events.FinishJob)) events.FinishJob {
	change(&do)
	return do
}

// TestNeverRefused: what would be refused at the desk is kept when it comes from the field, and settled by the office.
func TestNeverRefused(t *testing.T) {
	for _, do := range []any{
		events.Arrive{Site: "nowhere", Crew: "c1", Day: march(3)},
		events.FinishJob{JobRef: noJob, Crew: "c1", Day: march(3), Outcome: events.OutcomePassed},
		events.FinishJob{JobRef: events.JobRef{Assembly: "a1", Job: "j1"}, Outcome: "half"},
		events.LeaveFeed{Feed: "f1", Condition: events.Condition{Service: "drained"}},
		events.NotUnderstood{Why: "kind: \"dive\" is not something a phone records"},
	} {
		s := world(t)
		c := events.Command{ID: events.CommandID{1, 2, 3}, Actor: "c1", Office: office, Happened: s.now, Do: do}
		if _, err := events.Prepare(s.book, c, s.now); err == nil {
			t.Errorf("%T is not refused at the desk", do)
		}
		c.Field = &events.FieldFact{Crew: "c1", Request: []byte(`{"kind":"x"}`)}
		batch, err := events.Prepare(s.book, c, s.now)
		if err != nil || len(batch) != 1 {
			t.Errorf("%T from the field: %d records, %v", do, len(batch), err)
			continue
		}
		batch[0].Seq = s.book.Position() + 1
		s.book.Apply(batch[0].Record)
		kept := s.book.Unplaced[c.ID.String()]
		if kept == nil || kept.Crew != "c1" || string(kept.Request) != `{"kind":"x"}` || len(kept.Alarms) != 1 || kept.Alarms[0].Sort != events.AlarmUnplaced {
			t.Errorf("%T is kept as %+v", do, kept)
			continue
		}
		s.do(events.SettleAlarm{Kind: events.KindField, ID: c.ID.String(), Alarm: kept.Alarms[0].Event, Words: "entered by hand"}, "field.alarm-settled")
	}
}
