package backlog_test

import (
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/backlog"
)

func (s *story) view(proposals ...planner.Plan) backlog.View {
	return backlog.Of(s.book, office, s.now, planner.DefaultSettings(), proposals)
}

func only(t *testing.T, rows []backlog.Row) backlog.Row {
	t.Helper()
	if len(rows) != 1 {
		t.Fatalf("got %d rows, want 1: %+v", len(rows), rows)
	}
	return rows[0]
}

// A failure on Monday 2 March 2026 at 10:00, looked at as each case says, by the rule of each purveyor.
func TestDaysLeftByThePurveyorsRule(t *testing.T) {
	calendar := func(n int) events.DeadlineRule { return events.DeadlineRule{Count: n, Unit: events.CalendarDays} }
	for _, c := range []struct {
		name string // the published rule
		zone string
		rule events.DeadlineRule
		look string // in New York
		on   string
		left int
	}{
		{"Carthage NC code, health: 7 days", "America/New_York", calendar(7), "2026-03-02 12:00", "2026-03-09", 7},
		{"the same on its last day", "America/New_York", calendar(7), "2026-03-09 23:59", "2026-03-09", 0},
		{"the same a minute later", "America/New_York", calendar(7), "2026-03-10 00:00", "2026-03-09", -1},
		{"Carthage NC code, non-health: 21 days", "America/New_York", calendar(21), "2026-03-10 12:00", "2026-03-23", 13},
		{"Beaufort County NC code, severe: 10 business days", "America/New_York", events.DeadlineRule{Count: 10, Unit: events.BusinessDays},
			"2026-03-10 12:00", "2026-03-16", 6},
		{"Franklin KY code, imminent: 24 hours", "America/New_York", events.DeadlineRule{Count: 24, Unit: events.Hours}, "2026-03-02 12:00", "2026-03-03", 1},
		// The purveyor's own midnight counts: two hours behind New York it is still the day before.
		{"a purveyor in a zone further west", "America/Denver", calendar(7), "2026-03-10 01:00", "2026-03-09", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newStory(t).furnish()
			s.do(events.Put[events.PurveyorFacts]{ID: "other", Facts: events.PurveyorFacts{Name: "Other Water", Zone: c.zone, Criteria: "usc-10",
				Repair: map[events.Hazard]events.DeadlineRule{events.Health: c.rule}}})
			s.fail(s.unit("a1", func(f *events.AssemblyFacts) { f.Purveyor = "other" }))
			row := only(t, s.at(c.look).view().Rows)
			if row.RetestBy == nil || row.RetestBy.On != date(c.on) || row.DaysLeft == nil || *row.DaysLeft != c.left {
				t.Errorf("retest by %+v with %v days left, want %s and %d", row.RetestBy, row.DaysLeft, c.on, c.left)
			}
			if row.FailedOn != date("2026-03-02") || row.Purveyor != "Other Water" {
				t.Errorf("failed on %s with %s", row.FailedOn, row.Purveyor)
			}
		})
	}
}

func TestWhatAFailureWaitsFor(t *testing.T) {
	shy := func(f *events.AssemblyFacts) { f.Site = "s2" }
	for _, c := range []struct {
		name   string
		change func(*events.AssemblyFacts)
		parts  []events.PartWanted
		then   func(s *story, ref events.JobRef)
		who    string
		words  string
	}{
		{"nothing but its turn", nil, nil, nil, "slot", "a place on a route"},
		{"parts with a promise", nil, []events.PartWanted{{Code: "RK-1", Promised: date("2026-03-04")}}, nil, "parts", "parts: RK-1, promised for 4 Mar 2026"},
		{"parts without", nil, []events.PartWanted{{Code: "RK-1"}, {Code: "RK-2", Component: events.Relief, Promised: date("2026-03-04")}}, nil, "parts",
			"parts: RK-1, no day promised; RK-2 for relief, promised for 4 Mar 2026"},
		{"a promise that is past", nil, []events.PartWanted{{Code: "RK-1", Promised: date("2026-03-04")}},
			func(s *story, _ events.JobRef) { s.at("2026-03-05 09:00") }, "parts", "parts: RK-1, promised for 4 Mar 2026, which is past: ask"},
		{"parts are ready", nil, []events.PartWanted{{Code: "RK-1"}},
			func(s *story, ref events.JobRef) { s.do(events.ReadyParts{JobRef: ref, Where: "shop"}) }, "slot", "a place on a route"},
		{"ordered, then here, and for no job yet", nil, []events.PartWanted{{Code: "RK-1"}}, func(s *story, ref events.JobRef) {
			which := events.WhichPart{JobRef: ref, Code: "RK-1"}
			s.do(events.OrderPart{WhichPart: which, Supplier: "Valve parts house", Number: "4711", On: date("2026-03-02")})
			s.do(events.ReceivePart{WhichPart: which, Item: "k1"})
		}, "parts", "parts: RK-1, ordered on 2 Mar 2026 from Valve parts house, order 4711, came and is to be reserved, at shop"},
		{"the wrong part", nil, []events.PartWanted{{Code: "RK-1"}}, func(s *story, ref events.JobRef) {
			which := events.WhichPart{JobRef: ref, Code: "RK-1"}
			s.do(events.ReceivePart{WhichPart: which, Item: "k1"})
			s.do(events.ReservePart{WhichPart: which})
			s.do(events.WrongPart{WhichPart: which, Why: "for 1 in"})
		}, "parts", "parts: RK-1, no day promised"},
		{"the report of the failure came back", nil, nil, func(s *story, ref events.JobRef) {
			s.do(events.FileReport{JobRef: ref, On: date("2026-03-03")})
			s.do(events.ReturnReport{JobRef: ref, On: date("2026-03-04"), Why: "no gauge serial."})
		}, "slot", "a place on a route; the report of the failure, which the purveyor sent back on 4 Mar 2026: no gauge serial, to be filed again"},
		{"no yes", shy, nil, nil, "owner", "the owner's yes to the repair"},
		{"no yes and no parts", shy, []events.PartWanted{{Code: "RK-1"}}, nil, "owner", "the owner's yes to the repair; parts: RK-1, no day promised"},
		{"a yes", shy, nil, func(s *story, ref events.JobRef) {
			s.do(events.SayYesToRepair{JobRef: ref, RepairYes: events.RepairYes{Basis: "quote", On: date("2026-03-02")}})
		}, "slot", "a place on a route"},
		{"on hold", nil, nil, func(s *story, _ events.JobRef) {
			s.do(events.Put[events.CustomerFacts]{ID: "cu", Facts: events.CustomerFacts{Name: "Wren Holdings", Repair: "yes", OnHold: "bill open"}})
		}, "owner", "nothing is done for Wren Holdings now: bill open"},
		{"no access", nil, nil, func(s *story, ref events.JobRef) {
			s.at("2026-03-04 07:00").do(events.MeetNoAccess{Site: "s1", Crew: "c1", Day: date("2026-03-04"), Jobs: []events.JobRef{ref}})
		}, "access", "access: nobody let the crew in on 4 Mar 2026"},
		{"stopped", nil, nil, func(s *story, ref events.JobRef) {
			s.at("2026-03-04 07:00").do(events.FinishJob{JobRef: ref, Crew: "c1", Day: date("2026-03-04"), Outcome: events.OutcomeCouldNotTest, Why: "flooded"})
		}, "way", "the way to be cleared: could not be tested on 4 Mar 2026, flooded"},
		{"a question", nil, nil, func(s *story, ref events.JobRef) { s.do(events.QuestionJob{JobRef: ref, Words: "which door?"}) },
			"slot", "a place on a route; to ask: which door?"},
		{"went out and nothing came back", nil, nil, func(s *story, ref events.JobRef) {
			s.send("2026-03-04", ref)
			s.at("2026-03-05 09:00")
		}, "slot", "a place on a route: it was sent out for 4 Mar 2026 and no result came back"},
		{"no position", func(f *events.AssemblyFacts) { f.Site = "s3" }, nil, nil, "way", "its site to be placed on the map"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newStory(t).furnish()
			s.site("s2", "Shy shop", "shy")
			s.do(events.Put[events.SiteFacts]{ID: "s3", Facts: events.SiteFacts{Name: "Lost shop", Customer: "cu", Zone: "America/New_York"}})
			s.feed("s3")
			ref := s.unit("a1", c.change)
			s.fail(ref, c.parts...)
			if c.then != nil {
				c.then(s, ref)
			}
			row := only(t, s.view().Rows)
			if row.WaitsFor != c.who || row.WaitsWords != c.words {
				t.Errorf("waits for %s: %q, want %s: %q", row.WaitsFor, row.WaitsWords, c.who, c.words)
			}
		})
	}
}

// plan is a proposal with one visit to a job, over at an hour of New York.
func plan(t *testing.T, day string, leave string, ref events.JobRef) planner.Plan {
	at, err := time.ParseInLocation("2006-01-02 15:04", day+" "+leave, newYork(t))
	if err != nil {
		t.Fatal(err)
	}
	return planner.Plan{Office: office, Date: date(day), Routes: []planner.Route{{Crew: "c1", Date: date(day), Visits: []planner.Visit{
		{Key: "s1", Site: "s1", Arrive: at.Add(-time.Hour), Leave: at, Jobs: []planner.Job{{Assembly: ref.Assembly, Job: ref.Job, Work: planner.RepairWork}}}}}}}
}

func TestPlannedBeforeTheDeadline(t *testing.T) {
	ref := events.JobRef{Assembly: "a1", Job: "ja1"}
	for _, c := range []struct {
		name  string
		rule  events.DeadlineRule
		plans []planner.Plan
		out   string // a day that is out
		want  *backlog.PlannedFor
	}{
		{"nothing", events.DeadlineRule{Count: 7, Unit: events.CalendarDays}, nil, "", nil},
		{"on the last day", events.DeadlineRule{Count: 7, Unit: events.CalendarDays}, []planner.Plan{plan(t, "2026-03-09", "16:00", ref)}, "",
			&backlog.PlannedFor{Date: date("2026-03-09"), Crew: "A", BeforeDeadline: true}},
		{"the day after", events.DeadlineRule{Count: 7, Unit: events.CalendarDays}, []planner.Plan{plan(t, "2026-03-10", "06:00", ref)}, "",
			&backlog.PlannedFor{Date: date("2026-03-10"), Crew: "A"}},
		{"the earlier of two", events.DeadlineRule{Count: 7, Unit: events.CalendarDays},
			[]planner.Plan{plan(t, "2026-03-06", "06:00", ref), plan(t, "2026-03-04", "06:00", ref)}, "",
			&backlog.PlannedFor{Date: date("2026-03-04"), Crew: "A", BeforeDeadline: true}},
		{"what is out counts before what is proposed", events.DeadlineRule{Count: 7, Unit: events.CalendarDays}, []planner.Plan{plan(t, "2026-03-03", "06:00", ref)}, "2026-03-05",
			&backlog.PlannedFor{Date: date("2026-03-05"), Crew: "A", SentOut: true, BeforeDeadline: true}},
		{"a day that is over plans nothing", events.DeadlineRule{Count: 7, Unit: events.CalendarDays}, nil, "2026-03-01", nil},
		{"a deadline in hours ends within its day", events.DeadlineRule{Count: 24, Unit: events.Hours}, []planner.Plan{plan(t, "2026-03-03", "10:01", ref)}, "",
			&backlog.PlannedFor{Date: date("2026-03-03"), Crew: "A"}},
		{"and is met at its very hour", events.DeadlineRule{Count: 24, Unit: events.Hours}, []planner.Plan{plan(t, "2026-03-03", "10:00", ref)}, "",
			&backlog.PlannedFor{Date: date("2026-03-03"), Crew: "A", BeforeDeadline: true}},
		{"an unknown deadline is never met", events.DeadlineRule{}, []planner.Plan{plan(t, "2026-03-03", "10:00", ref)}, "",
			&backlog.PlannedFor{Date: date("2026-03-03"), Crew: "A"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newStory(t).furnish()
			s.do(events.Put[events.PurveyorFacts]{ID: "other", Facts: events.PurveyorFacts{Name: "Other Water", Zone: "America/New_York", Criteria: "usc-10",
				Repair: map[events.Hazard]events.DeadlineRule{events.Health: c.rule}}})
			s.unit("a1", func(f *events.AssemblyFacts) { f.Purveyor = "other" })
			s.fail(ref)
			if c.out != "" {
				s.send(c.out, ref)
			}
			got := only(t, s.view(c.plans...).Rows).Planned
			if (got == nil) != (c.want == nil) || got != nil && *got != *c.want {
				t.Errorf("got %+v, want %+v", got, c.want)
			}
		})
	}
}

func TestOrderAndHeadline(t *testing.T) {
	s := newStory(t).furnish()
	if v := s.view(); v.Headline != "No failure open." || v.Rows == nil || v.Others == nil {
		t.Errorf("empty: %+v", v)
	}
	s.do(events.Put[events.PurveyorFacts]{ID: "quiet", Facts: events.PurveyorFacts{Name: "Quiet Water", Zone: "America/New_York"}})
	late := s.unit("late", nil)
	s.fail(late) // owed by 9 March
	s.at("2026-03-04 10:00")
	s.fail(s.unit("soon", nil)) // owed by 11 March
	s.fail(s.unit("planned", nil))
	s.fail(s.unit("wide", func(f *events.AssemblyFacts) { f.Hazard = events.NonHealth }))
	s.fail(s.unit("unknown", func(f *events.AssemblyFacts) { f.Purveyor = "quiet" }))
	s.unit("due", nil)
	s.at("2026-03-10 09:00")
	v := s.view(plan(t, "2026-03-11", "09:00", events.JobRef{Assembly: "planned", Job: "jplanned"}))
	var order []string
	for _, r := range v.Rows {
		order = append(order, r.Assembly)
	}
	want := []string{"unknown", "late", "planned", "soon", "wide"}
	for i := range want {
		if i >= len(order) || order[i] != want[i] {
			t.Fatalf("order %v, want %v", order, want)
		}
	}
	if want := "5 failures open, 1 past its deadline, 1 due within 7 days without a visit planned in time, 1 whose deadline is not known: ask."; v.Headline != want {
		t.Errorf("headline %q, want %q", v.Headline, want)
	}
	for key, n := range map[string]int{"open": 5, "past": 1, "soon": 1, "unknown": 1, "slot": 5} {
		if v.Counts[key] != n {
			t.Errorf("count of %s: %d, want %d", key, v.Counts[key], n)
		}
	}
	if r := v.Rows[0]; r.DaysLeft != nil || r.RetestBy == nil || r.RetestBy.Rule != "not known: ask the purveyor for its rule" {
		t.Errorf("the unknown deadline is shown as %+v with %v days left", r.RetestBy, r.DaysLeft)
	}
	if len(v.Others) != 0 {
		t.Errorf("a job that is only due waits for nobody: %+v", v.Others)
	}
}

// TestDaysLeftOfAReport: what passed after a failure counts to its report, 10 business days after Monday 2 March, and no more
// to its retest; what is listed again counts to the list's date.
func TestDaysLeftOfAReport(t *testing.T) {
	s := newStory(t).furnish()
	ref := s.unit("a1", nil)
	s.fail(ref)
	s.as("p1", events.FinishJob{JobRef: ref, Crew: "c1", Day: date("2026-03-02"), Outcome: events.OutcomeRepairedPassed,
		Repair: &events.Repaired{Cleaned: true}, Final: rpTest("6.4", "2.6", events.Final, events.OpinionPass)})
	if r := only(t, s.view().Others); r.RetestBy != nil || r.DaysLeft == nil || *r.DaysLeft != 14 {
		t.Errorf("retest by %+v, %v days left, want none and 14", r.RetestBy, r.DaysLeft)
	}
	s.do(events.FileReport{JobRef: ref, On: date("2026-03-02")})
	s.do(events.ListDue{Assembly: "a1", NewJob: "again", Due: date("2026-03-10"), AsOf: date("2026-03-02"), Standing: events.Ours})
	if r := only(t, s.view().Others); r.RetestBy != nil || r.DaysLeft == nil || *r.DaysLeft != 8 {
		t.Errorf("retest by %+v, %v days left, want none and 8", r.RetestBy, r.DaysLeft)
	}
}

func TestOthers(t *testing.T) {
	passed := func(s *story, ref events.JobRef) {
		s.as("p1", events.FinishJob{JobRef: ref, Crew: "c1", Day: date("2026-03-02"), Outcome: events.OutcomePassed,
			Initial: rpTest("6.0", "2.4", events.Initial, events.OpinionPass)})
	}
	filed := func(s *story, ref events.JobRef) {
		passed(s, ref)
		s.do(events.FileReport{JobRef: ref, On: date("2026-03-03")})
	}
	listedAgain := func(s *story) {
		s.do(events.ListDue{Assembly: "a1", NewJob: "again", Due: date("2026-03-10"), AsOf: date("2026-03-05"), Standing: events.Ours})
	}
	for _, c := range []struct {
		name string
		then func(s *story, ref events.JobRef)
		who  string // empty: nothing to show
		want string
	}{
		{"stopped", func(s *story, ref events.JobRef) {
			s.do(events.FinishJob{JobRef: ref, Crew: "c1", Day: date("2026-03-02"), Outcome: events.OutcomeNotFound, Words: "fence moved"})
		}, "way", "the way to be cleared: not found on 2 Mar 2026, fence moved"},
		{"a report to file", passed, "purveyor", "its report to be filed by 16 Mar 2026"}, // 10 business days after Monday 2 March
		{"overdue", func(s *story, ref events.JobRef) { passed(s, ref); s.at("2026-03-17 09:00") }, "purveyor", "its report to be filed since 16 Mar 2026"},
		{"a report that came back", func(s *story, ref events.JobRef) {
			filed(s, ref)
			s.do(events.ReturnReport{JobRef: ref, On: date("2026-03-04"), Why: "gauge serial missing"})
		}, "purveyor", "its report, which the purveyor sent back on 4 Mar 2026: gauge serial missing, to be corrected and filed again"},
		{"a report on its way", filed, "", ""},
		{"listed again", func(s *story, ref events.JobRef) { filed(s, ref); listedAgain(s) }, "purveyor",
			"its report to be sent again: it passed on 2 Mar 2026 and is still listed as due by 10 Mar 2026"},
		{"listed again before the report was filed", func(s *story, ref events.JobRef) { passed(s, ref); listedAgain(s) }, "purveyor", "its report to be filed by 16 Mar 2026"},
		{"listed again and accepted since", func(s *story, ref events.JobRef) {
			filed(s, ref)
			listedAgain(s)
			s.do(events.AcceptReport{JobRef: ref, On: date("2026-03-06")})
		}, "", ""},
		{"accepted and yet listed", func(s *story, ref events.JobRef) {
			filed(s, ref)
			s.do(events.AcceptReport{JobRef: ref, On: date("2026-03-06")})
			listedAgain(s)
		}, "purveyor", "its report to be sent again: it passed on 2 Mar 2026 and is still listed as due by 10 Mar 2026"},
		{"whose is it", func(s *story, ref events.JobRef) { s.do(events.SetStanding{JobRef: ref, Standing: events.Ask}) }, "owner", "an answer whether the job is ours"},
		{"not ours", func(s *story, ref events.JobRef) { s.do(events.SetStanding{JobRef: ref, Standing: events.NotOurs}) }, "", ""},
		{"a question", func(s *story, ref events.JobRef) { s.do(events.QuestionJob{JobRef: ref, Words: "which door?"}) }, "purveyor", "an answer; to ask: which door?"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newStory(t).furnish()
			c.then(s, s.unit("a1", nil))
			v := s.view()
			if len(v.Rows) != 0 {
				t.Errorf("shown as a failure: %+v", v.Rows)
			}
			if c.who == "" {
				if len(v.Others) != 0 {
					t.Errorf("got %+v, want nothing", v.Others)
				}
				return
			}
			if row := only(t, v.Others); row.WaitsFor != c.who || row.WaitsWords != c.want {
				t.Errorf("waits for %s: %q, want %s: %q", row.WaitsFor, row.WaitsWords, c.who, c.want)
			}
		})
	}
}
