package backlog_test

import (
	"reflect"
	"strings"
	"testing"

	"valveround/events"
	"valveround/services/backlog"
)

// TestPartStates: every part of a failure says how far it has come, and which kits could be set aside for it.
func TestPartStates(t *testing.T) {
	s := newStory(t).furnish()
	s.do(events.Put[events.KitFacts]{ID: "shelf", Facts: events.KitFacts{Code: "RK-3", Where: "shop"}})
	s.do(events.Put[events.KitFacts]{ID: "coming", Facts: events.KitFacts{Code: "RK-3", Where: "on order", Promised: date("2026-03-09")}})
	ref := s.unit("a1", nil)
	s.fail(ref, events.PartWanted{Code: "RK-1"}, events.PartWanted{Code: "RK-2"}, events.PartWanted{Code: "RK-3"})
	which := func(code string) events.WhichPart { return events.WhichPart{JobRef: ref, Code: code} }
	s.do(events.ReceivePart{WhichPart: which("RK-1"), Item: "k1"})
	s.do(events.ReservePart{WhichPart: which("RK-1")})
	s.do(events.LoadPart{WhichPart: which("RK-1"), Where: "c1"})
	s.do(events.PromisePart{WhichPart: which("RK-2"), For: date("2026-03-03")})
	s.at("2026-03-05 09:00")
	got := only(t, s.view().Rows).PartStates
	want := []backlog.PartState{
		{Nth: 1, Code: "RK-1", Step: events.PartSetAside, Words: "RK-1, reserved for this job, on the truck of Crew A", Item: "k1", Where: "c1"},
		{Nth: 2, Code: "RK-2", Step: events.PartIsDue, Words: "RK-2, promised for 3 Mar 2026", Late: true},
		{Nth: 3, Code: "RK-3", Step: events.PartNeeded, Words: "RK-3, no day promised", Kits: []backlog.FreeKit{{ID: "shelf", Where: "at shop"}},
			Coming: []backlog.FreeKit{{ID: "coming", Where: "promised for 9 Mar 2026"}}},
	}
	for i := range want {
		if i >= len(got) || !reflect.DeepEqual(got[i], want[i]) {
			t.Fatalf("part %d of %+v, want %+v", i+1, got, want[i])
		}
	}
}

// TestPhoned: the telephone's clock stops once the purveyor was told.
func TestPhoned(t *testing.T) {
	s := newStory(t).furnish()
	s.do(events.Put[events.PurveyorFacts]{ID: "pv", Facts: events.PurveyorFacts{Name: "Millbrook Water", Zone: "America/New_York",
		PhoneFail: events.DeadlineRule{Count: 24, Unit: events.Hours}}})
	ref := s.unit("a1", nil)
	s.fail(ref)
	if row := only(t, s.view().Rows); row.PhoneBy == nil || row.Phoned != "" {
		t.Fatalf("before the call: %+v", row)
	}
	s.at("2026-03-02 12:30").do(events.PhoneFailure{JobRef: ref, To: "cross-connection desk"})
	if row := only(t, s.view().Rows); row.PhoneBy != nil || row.Phoned != "12:30 on 2 Mar 2026, to the cross-connection desk" {
		t.Errorf("after the call: %+v, %q", row.PhoneBy, row.Phoned)
	}
}

// TestMistakesStayVisible: a corrected entry stays, and says beside it what is wrong with it.
func TestMistakesStayVisible(t *testing.T) {
	log := openLog(t)
	s := newStory(t)
	s.log = log
	s.furnish()
	ref := s.unit("a1", nil)
	s.fail(ref)
	s.at("2026-03-02 11:00").as("c1", events.ShutFeed{Feed: "f1", Crew: "c1"})
	history := func() map[string]backlog.HistoryEntry {
		v, err := backlog.HistoryAt(t.Context(), log, s.book, people(t), "a1", s.now)
		if err != nil {
			t.Fatal(err)
		}
		byName := map[string]backlog.HistoryEntry{}
		for _, e := range v.Entries {
			byName[e.Entity+" "+e.Name] = e
		}
		return byName
	}
	before := history()
	failed, shut := before["assembly failed-retest"], before["feed shut-off"]
	s.do(events.VoidResult{JobRef: ref, About: failed.Event, Why: "it was the unit next door"})
	s.do(events.CorrectEntry{Kind: events.KindFeed, ID: "f1", Correction: events.Correction{About: shut.Event, Words: "it was the roof feed"}})
	after := history()
	for name, want := range map[string]string{"assembly failed-retest": "does not count: it was the unit next door", "assembly tested": "does not count: it was the unit next door",
		"feed shut-off": "it was the roof feed", "assembly due": ""} {
		if e := after[name]; e.Mistake != want || e.Words != before[name].Words {
			t.Errorf("%s: %q, mistake %q, want %q", name, e.Words, e.Mistake, want)
		}
	}
	if e := after["assembly result-voided"]; !strings.Contains(e.Words, "the job stands where it stood before") {
		t.Errorf("the correction reads %q", e.Words)
	}
	if rows := s.view().Rows; len(rows) != 0 {
		t.Errorf("the failure is still on the backlog: %+v", rows)
	}
}
