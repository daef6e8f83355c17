package intake_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/services/intake"
	"valveround/services/intake/duelist"
)

func actions(p intake.Proposal) string {
	var out []string
	for _, r := range p.Rows {
		out = append(out, string(r.Action))
	}
	return strings.Join(out, " ")
}

func expect(t *testing.T, what string, got, want any) {
	t.Helper()
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

func TestSameListTwiceChangesNothing(t *testing.T) {
	s := newStory(t).furnish()
	list := []duelist.Row{row(2, "MW-1", "2026-05-01"), row(3, "mw-2 ", "2026-05-02", standing(events.Ask)), row(4, "MW-9", "2026-05-03", at("1 New Lane"))}
	first := s.propose("2026-04-01", list...)
	expect(t, "actions", actions(first), "new new added") // MW-2 is at the site of a customer of ours
	expect(t, "written", s.take(first), "[site.registered feed.registered assembly.registered assembly.due assembly.due assembly.due purveyor.list-received]")
	second := s.propose("2026-04-01", list...)
	expect(t, "actions the second time", actions(second), "unchanged unchanged unchanged")
	expect(t, "written the second time", s.take(second), "[]")
	if !second.ChangesNothing() {
		t.Error("the second proposal says that it changes something")
	}
}

func TestChangedDateMovesTheDeadlineOnly(t *testing.T) {
	s := newStory(t).furnish()
	s.take(s.propose("2026-04-01", row(2, "MW-1", "2026-05-01"), row(3, "MW-2", "2026-05-02")))
	p := s.propose("2026-04-08", row(2, "MW-1", "2026-05-11"), row(3, "MW-2", "2026-05-02"))
	expect(t, "actions", actions(p), "moved unchanged")
	expect(t, "written", s.take(p), "[assembly.deadline-moved purveyor.list-received]")
	expect(t, "due", s.book.Assemblies["a1"].OpenJob().Due, "2026-05-11")
	old := s.propose("2026-03-20", row(2, "MW-1", "2026-05-01"))
	expect(t, "an older list", actions(old), "unchanged")
	expect(t, "warned", len(old.Warnings), 1)
	expect(t, "written by an older list", s.take(old), "[purveyor.list-received]")
}

func TestMissingIsAskedAboutOnce(t *testing.T) {
	s := newStory(t).furnish()
	s.take(s.propose("2026-04-01", row(2, "MW-1", "2026-05-01"), row(3, "MW-2", "2026-05-02")))
	p := s.propose("2026-04-08", row(2, "MW-1", "2026-05-01"))
	expect(t, "missing", fmt.Sprint(p.Missing), "[MW-2, 12 North Mill Street, Ashby, due 2026-05-02]")
	expect(t, "written", s.take(p), "[assembly.questioned purveyor.list-received]")
	job := s.book.Assemblies["a2"].OpenJob()
	expect(t, "questions", job.Questions, "[not on the list of 2026-04-08: ask the purveyor]")
	again := s.propose("2026-04-15", row(2, "MW-1", "2026-05-01"))
	expect(t, "missing and asked", again.Missing[0].Asked, true)
	expect(t, "written the next week", s.take(again), "[purveyor.list-received]")
}

func TestRejectedRowsAreNotMissing(t *testing.T) {
	s := newStory(t).furnish()
	s.take(s.propose("2026-04-01", row(2, "MW-1", "2026-05-01"), row(3, "MW-2", "2026-05-02")))
	p, err := intake.Propose(s.book, duelist.Result{Rows: []duelist.Row{row(2, "MW-1", "2026-05-01")}},
		intake.Options{Purveyor: "pv", Office: office, AsOf: date("2026-04-08"), Rejected: []string{"RP", "MW-2"}})
	if err != nil || len(p.Missing) > 0 {
		t.Errorf("missing %v, error %v", p.Missing, err)
	}
}

func TestNotCredited(t *testing.T) {
	s := newStory(t).furnish()
	s.take(s.propose("2026-02-01", row(2, "MW-1", "2026-03-10")))
	job := events.JobRef{Assembly: "a1", Job: s.book.Assemblies["a1"].OpenJob().ID}
	n := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	s.do(events.FinishJob{JobRef: job, Day: date("2026-03-02"), Outcome: events.OutcomePassed, Initial: &events.Test{Says: events.OpinionPass, Readings: []events.Reading{
		{Part: events.MainPart, Component: events.Relief, Number: n("2.6"), Unit: events.PSID, Result: events.Opened},
		{Part: events.MainPart, Component: events.Check1, Number: n("6.2"), Unit: events.PSID},
		{Part: events.MainPart, Component: events.Check2, Result: events.Held}}}})
	p := s.propose("2026-03-15", row(2, "MW-1", "2026-03-10"))
	expect(t, "actions", actions(p), "not-credited")
	expect(t, "written", s.take(p), "[assembly.not-credited purveyor.list-received]")
	again := s.propose("2026-03-15", row(2, "MW-1", "2026-03-10"))
	expect(t, "again", actions(again), "not-credited")
	expect(t, "written again", s.take(again), "[]")
}

func TestALateTestThatTheListKnowsOfIsCredited(t *testing.T) {
	s := newStory(t).furnish()
	facts := s.book.Assemblies["a1"].AssemblyFacts
	facts.LastPassed = date("2025-11-25") // long after the due date of that year, 10 March
	s.do(events.Put[events.AssemblyFacts]{ID: "a1", Facts: facts})
	tested := func(day string) func(*duelist.Row) { return func(r *duelist.Row) { r.LastTest = date(day) } }
	expect(t, "the list knows of it", actions(s.propose("2026-02-01", row(2, "MW-1", "2026-03-10", tested("2025-11-25")))), "new")
	expect(t, "the list does not", actions(s.propose("2026-02-01", row(2, "MW-1", "2026-03-10", tested("2024-03-01")))), "not-credited")
}

func TestNamesStayOutOfTheLog(t *testing.T) {
	s := newStory(t).furnish()
	person := func(r *duelist.Row) { r.Customer, r.Contact, r.Phone = "Ada Quill", "Ben Quill", "555 0100" }
	p := s.propose("2026-04-01", row(2, "MW-70", "2026-05-01", at("3 Elm"), person))
	waves, err := p.Commands(events.CommandID{3}, "p-desk", noon)
	if err != nil {
		t.Fatal(err)
	}
	if text := fmt.Sprintf("%+v", waves); strings.Contains(text, "Quill") || strings.Contains(text, "555 0100") {
		t.Errorf("the commands name a person: %s", text)
	}
	for _, d := range p.Details() {
		expect(t, "kept apart", d.Name+" "+d.Phone, "Ben Quill 555 0100")
	}
	expect(t, "sites with details", len(p.Details()), 1)
}

func TestUnknownNumberIsAdded(t *testing.T) {
	s := newStory(t).furnish()
	bypass := func(r *duelist.Row) {
		r.Type, r.Service, r.Lines = events.DCDA, events.Fire, []int{2, 3}
		r.Bypass = &duelist.Part{Size: events.InchSize(0, 6), Serial: "BY1"}
	}
	p := s.propose("2026-04-01", row(2, "MW-7", "2026-05-01", at("12 N Mill St"), standing(events.Ask), serial("Z9"), bypass),
		row(4, "MW-8", "2026-05-01", at("9 Far Way"), standing(events.Ask)), row(5, "MW-9", "2026-05-01", at("9 Far Way")))
	expect(t, "actions", actions(p), "added added added")
	wrote := s.take(p)
	expect(t, "sites registered", strings.Count(fmt.Sprint(wrote), "site.registered"), 1)
	a := s.book.Assemblies[p.Rows[0].Assembly]
	expect(t, "site", a.Site, "s1") // one site an address
	expect(t, "bypass", a.Bypass.Serial, "BY1")
	expect(t, "fire feed", s.book.Feeds[a.Feed].Fire, true)
	expect(t, "standing", a.OpenJob().Standing, events.Ask)
	b, c := s.book.Assemblies[p.Rows[1].Assembly], s.book.Assemblies[p.Rows[2].Assembly]
	expect(t, "shared site", b.Site, c.Site)
	expect(t, "standing of the listed as ours", c.OpenJob().Standing, events.Ours)
	if site := s.book.Sites[b.Site]; site.PositionSource != events.NoPosition || site.Position.IsSet() || site.Zone != "America/New_York" {
		t.Errorf("the new site is %+v", site.SiteFacts)
	}
}

func TestSerialIsNeverIdentity(t *testing.T) {
	tests := []struct {
		name string
		row  duelist.Row
		want string
		asks events.AssemblyID // whose job gets a question
	}{
		{"look-alike serial at the same address", row(2, "MW-77", "2026-05-01", at("12 N. Mill St."), serial("B1OI")), "ask", "a2"},
		{"look-alike serial elsewhere", row(2, "MW-77", "2026-05-01", at("99 Elm Street"), serial("B10I")), "added", ""},
		{"same serial, no address", row(2, "MW-77", "2026-05-01", serial("B10I")), "added", ""},
		{"no number, same address and serial", row(2, "", "2026-05-01", at("12 N Mill St"), serial("00417")), "ask", "a1"},
		{"make, model and size, no serial", row(2, "MW-77", "2026-05-01", at("7 Weir Rd"), func(r *duelist.Row) {
			r.Main.Maker, r.Main.Model, r.Main.Size = "ORRIN", "R2", events.InchSize(2, 0)
		}), "ask", "a3"},
		{"same address, another serial", row(2, "MW-77", "2026-05-01", at("7 Weir Rd"), serial("Q5"), func(r *duelist.Row) {
			r.Main.Maker, r.Main.Model, r.Main.Size = "ORRIN", "R2", events.InchSize(2, 0)
		}), "added", ""},
		{"the number decides, whatever the serial", row(2, "MW-3", "2026-05-01", at("7 Weir Rd"), serial("00417")), "new", ""},
		{"another town", row(2, "MW-77", "2026-05-01", at("12 N Mill St"), serial("B10I"), func(r *duelist.Row) { r.City = "Corby" }), "added", ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := newStory(t).furnish()
			p := s.propose("2026-04-01", test.row)
			expect(t, "actions", actions(p), test.want)
			before := len(s.book.Assemblies)
			s.take(p)
			if test.asks == "" {
				return
			}
			expect(t, "assemblies", len(s.book.Assemblies), before)
			expect(t, "number on record", s.book.Assemblies[test.asks].PurveyorNumber == test.row.Number, false)
			job := s.book.Assemblies[test.asks].OpenJob()
			if job == nil || job.Standing != events.Ask || len(job.Questions) != 1 {
				t.Fatalf("the job to be asked about is %+v", job)
			}
			expect(t, "written again", s.take(s.propose("2026-04-01", test.row)), "[]")
		})
	}
}

func TestADoubtfulRowNeverTakesWhatAnotherRowNames(t *testing.T) {
	s := newStory(t).furnish()
	p := s.propose("2026-04-01", row(2, "MW-77", "2026-05-01", at("12 N Mill St"), serial("B10I")), row(3, "MW-2", "2026-05-02"))
	expect(t, "actions", actions(p), "added new")
}

func TestStanding(t *testing.T) {
	s := newStory(t).furnish()
	p := s.propose("2026-04-01", row(2, "MW-3", "2026-05-01", standing(events.Ask)), row(3, "MW-1", "2026-05-01", standing(events.NotOurs)),
		row(4, "MW-50", "2026-05-01", standing(events.NotOurs)))
	expect(t, "actions", actions(p), "ask not-ours not-ours")
	expect(t, "written", s.take(p), "[assembly.due purveyor.list-received]")
	p = s.propose("2026-04-08", row(2, "MW-3", "2026-05-01"))
	expect(t, "ours now", actions(p), "new")
	expect(t, "written", s.take(p), "[assembly.ordered purveyor.list-received]")
}

func TestDueDateNotGiven(t *testing.T) {
	s := newStory(t).furnish()
	tested := func(r *duelist.Row) { r.LastTest = date("2025-05-20") }
	p := s.propose("2026-04-01", row(2, "MW-1", ""), row(3, "MW-2", "", tested), row(4, "MW-60", "", at("3 Elm")))
	expect(t, "actions", actions(p), "ask new added")
	expect(t, "computed", p.Rows[1].Due, "2026-05-20")
	expect(t, "written", s.take(p), "[site.registered feed.registered assembly.registered assembly.due purveyor.list-received]")
	again := s.propose("2026-04-01", row(2, "MW-1", ""), row(3, "MW-2", "", tested), row(4, "MW-60", "", at("3 Elm")))
	expect(t, "again", actions(again), "ask unchanged ask")
	expect(t, "written again", s.take(again), "[]")
}

func TestRepeatedNumbers(t *testing.T) {
	s := newStory(t).furnish()
	repeated := func(r *duelist.Row) { r.NumberRepeated = true }
	list := []duelist.Row{row(2, "MW-3", "2026-05-01", at("7 Weir Rd"), serial("C3"), repeated), row(3, "MW-3", "2026-06-01", at("7 Weir Rd"), serial("D4"), repeated),
		row(4, "MW-3", "2026-06-01", at("7 Weir Rd"), serial("D4"), repeated)}
	p := s.propose("2026-04-01", list...)
	expect(t, "actions", actions(p), "new added added") // the serial only tells apart those that share the number
	s.take(p)
	expect(t, "assemblies", len(s.book.Assemblies), 5)
	again := s.propose("2026-04-01", list...)
	expect(t, "again", actions(again), "unchanged unchanged unchanged")
	expect(t, "written again", s.take(again), "[]")
}

func TestMoreRowsTwiceIsOnce(t *testing.T) {
	numbers := []string{"MW-1", "MW-2", "MW-3", "MW-8", "mw-9", ""}
	addresses := []string{"", "12 N Mill St", "12 North Mill Street", "7 Weir Rd", "1 New Lane"}
	serials := []string{"", "B1OI", "00417", "C3", "Z"}
	rapid.Check(t, func(rt *rapid.T) {
		s := newStory(t).furnish()
		var list []duelist.Row
		for i := range rapid.IntRange(0, 9).Draw(rt, "rows") {
			r := row(i+2, rapid.SampledFrom(numbers).Draw(rt, "number"), rapid.SampledFrom([]string{"", "2026-05-01", "2026-05-09"}).Draw(rt, "due"),
				at(rapid.SampledFrom(addresses).Draw(rt, "address")), serial(rapid.SampledFrom(serials).Draw(rt, "serial")),
				standing(rapid.SampledFrom([]events.Standing{events.Ours, events.NotOurs, events.Ask}).Draw(rt, "standing")))
			if r.Number == "" && r.Address == "" {
				r.Address = "2 Old Lane"
			}
			r.NumberRepeated = slices.ContainsFunc(list, func(o duelist.Row) bool { return o.Number != "" && strings.EqualFold(o.Number, r.Number) })
			for k := range list {
				list[k].NumberRepeated = list[k].NumberRepeated || r.Number != "" && strings.EqualFold(list[k].Number, r.Number)
			}
			list = append(list, r)
		}
		if rapid.Bool().Draw(rt, "an earlier list") {
			s.take(s.propose("2026-03-01", row(2, "MW-1", "2026-05-01"), row(3, "MW-2", "2026-05-05"), row(4, "MW-8", "2026-05-05", at("1 New Lane"))))
		}
		p := s.propose("2026-04-01", list...)
		total := 0
		for action, n := range p.Counts {
			if action != "missing" {
				total += n
			}
		}
		if total != len(list) {
			rt.Fatalf("%d rows are counted as %d actions: %v", len(list), total, p.Counts)
		}
		s.take(p)
		before := s.book.Digest()
		if wrote := s.take(s.propose("2026-04-01", list...)); len(wrote) > 0 || s.book.Digest() != before {
			rt.Fatalf("the same list again wrote %v", wrote)
		}
	})
}
