package events_test

import (
	"slices"
	"strings"
	"testing"

	"valveround/events"
)

func TestDisuse(t *testing.T) {
	// In the world a1, due 10 March, hangs on f1 and answers to pv1; a2, due 20 March, hangs on f2, and nobody knows its purveyor.
	rules := func(r events.DisuseRule) events.Put[events.PurveyorFacts] {
		return events.Put[events.PurveyorFacts]{ID: "nobody", Facts: events.PurveyorFacts{Name: "Nobody's Water", Zone: "America/New_York", Idle: r, Vacancy: r}}
	}
	three, none := rules(events.DisuseRule{Months: 3}), rules(events.DisuseRule{None: true})
	out := func(since, back string) events.SayOutOfUse {
		d := events.Disuse{Since: date(since), By: "owner"}
		if back != "" {
			d.Back = date(back)
		}
		return events.SayOutOfUse{Feed: "f2", Disuse: d}
	}
	winter := out("2025-12-01", "2026-03-15")
	pass := events.FinishJob{JobRef: job2, Crew: "c1", Day: march(2), Outcome: events.OutcomePassed, Initial: rpTest("6.4", "2.4", events.OpinionPass)}
	early := pass
	early.Day = events.NewDate(2025, 12, 10)
	mistake := events.SayOutOfUse{Feed: "f2", Disuse: events.Disuse{By: "owner", Words: "it was another feed"}}
	due := func(day string, uses int) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			t.Helper()
			j := b.Assemblies["a2"].OpenJob()
			if j == nil || j.Due.String() != day || len(j.BeforeUse) != uses {
				t.Fatalf("the open job is %+v, want it due %q before %d uses", j, day, uses)
			}
		}
	}
	decide(t, []decision{
		{name: "the open job is due before use", given: []any{three}, when: winter, then: "feed.out-of-use assembly.before-use", after: due("2026-03-14", 1)},
		{name: "the same again", given: []any{three, winter}, when: winter},
		{name: "said before the rule was known, and again since", given: []any{out("2025-12-01", "2026-03-15"), none}, when: winter, then: "assembly.before-use-lifted", after: due("2026-03-20", 0)},
		{name: "used again after it is due anyway", given: []any{three}, when: out("2025-12-01", "2026-04-15"), then: "feed.out-of-use assembly.before-use", after: due("2026-03-20", 1)},
		{name: "used again later than was thought: due as listed", given: []any{three, winter}, when: out("2025-12-01", "2026-04-15"), then: "feed.out-of-use assembly.before-use", after: due("2026-03-20", 1)},
		{name: "used again sooner than was thought: none is owed", given: []any{three, winter}, when: out("2025-12-01", "2026-02-15"), then: "feed.out-of-use assembly.before-use-lifted", after: due("2026-03-20", 0)},
		{name: "noted by mistake", given: []any{three, winter}, when: mistake, then: "feed.out-of-use assembly.before-use-lifted", after: due("2026-03-20", 0)},
		{name: "a list moves the date, and not past the use", given: []any{three, winter}, when: events.ListDue{Assembly: "a2", NewJob: "jx", Due: date("2026-05-20"), AsOf: date("2026-03-01")},
			then: "assembly.deadline-moved", after: due("2026-03-14", 1)},
		{name: "and that date holds when the use moves", given: []any{three, winter, events.ListDue{Assembly: "a2", NewJob: "jx", Due: date("2026-05-20"), AsOf: date("2026-03-01")}},
			when: mistake, then: "feed.out-of-use assembly.before-use-lifted", after: due("2026-05-20", 0)},
		{name: "a list that says the same moves nothing", given: []any{three, winter}, when: events.ListDue{Assembly: "a2", NewJob: "jx", Due: date("2026-03-20"), AsOf: date("2026-03-01")}},
		{name: "no such rule", given: []any{none}, when: winter, then: "feed.out-of-use"},
		{name: "a rule that is not known is asked for, and the strictest holds", when: winter, then: "feed.out-of-use assembly.before-use assembly.questioned", after: due("2026-03-14", 1)},
		{name: "it is asked once", given: []any{winter}, when: out("2025-12-01", "2026-03-14"), then: "feed.out-of-use assembly.before-use", after: due("2026-03-13", 1)},
		{name: "nobody knows when it is used again: due as listed", given: []any{three}, when: out("2025-12-01", ""), then: "feed.out-of-use assembly.before-use", after: due("2026-03-20", 1)},
		{name: "a job of its own, without a day", given: []any{three, pass}, when: out("2026-03-03", ""), then: "feed.out-of-use assembly.due assembly.before-use",
			after: func(t *testing.T, b *events.Book) {
				due("", 1)(t, b)
				if j := b.Assemblies["a2"].OpenJob(); j.Kind != events.BeforeUseAgain || !j.UseNotKnown() || !j.ForUseAlone() || j.Standing != events.Ours || j.Earliest != date("2026-06-03") {
					t.Errorf("%+v", j)
				}
			}},
		{name: "and then its day", given: []any{three, pass, out("2026-03-03", "")}, when: out("2026-03-03", "2026-07-01"), then: "feed.out-of-use assembly.before-use",
			after: func(t *testing.T, b *events.Book) {
				due("2026-06-30", 1)(t, b)
				if j := b.Assemblies["a2"].OpenJob(); j.Earliest != date("2026-04-02") {
					t.Errorf("a test counts from %s on", j.Earliest)
				}
			}},
		{name: "and then too soon to owe a test: it is over", given: []any{three, pass, out("2026-03-03", "")}, when: out("2026-03-03", "2026-05-01"),
			then: "feed.out-of-use assembly.before-use-lifted assembly.withdrawn"},
		{name: "a list names a job that was opened for the use", given: []any{three, pass, out("2026-03-03", "")}, when: events.ListDue{Assembly: "a2", NewJob: "jx", Due: date("2027-03-20"), AsOf: date("2026-03-09")},
			then: "assembly.deadline-moved", after: due("2027-03-20", 1)},
		{name: "tested in time", given: []any{three, winter}, when: pass, then: "assembly.tested assembly.passed assembly.alarm-raised assembly.alarm-raised"},
		{name: "tested too early for the use: it is owed again", given: []any{three, winter}, when: early, then: "assembly.tested assembly.passed assembly.due assembly.before-use assembly.alarm-raised assembly.alarm-raised",
			after: due("2026-03-14", 1)},
		{name: "tested before it went out of use", given: []any{three, early}, when: winter, then: "feed.out-of-use assembly.due assembly.before-use", after: due("2026-03-14", 1)},
		{name: "a site stands empty: every assembly there", given: []any{three}, when: events.SayVacant{Site: "s1", Disuse: events.Disuse{Since: date("2025-01-01"), Back: date("2026-03-09"), By: "owner"}},
			then: "site.vacant assembly.before-use assembly.questioned assembly.before-use", after: due("2026-03-08", 1)},
		{name: "both: the earlier counts", given: []any{three, winter}, when: events.SayVacant{Site: "s1", Disuse: events.Disuse{Since: date("2025-01-01"), Back: date("2026-03-09"), By: "owner"}},
			then: "site.vacant assembly.before-use assembly.questioned assembly.before-use", after: due("2026-03-08", 2)},
		{name: "both, and one is taken back", given: []any{three, events.SayVacant{Site: "s1", Disuse: events.Disuse{Since: date("2025-01-01"), Back: date("2026-03-09"), By: "owner"}}, winter},
			when: mistake, then: "feed.out-of-use assembly.before-use-lifted", after: due("2026-03-08", 1)},
		{name: "nobody says so", when: events.SayOutOfUse{Feed: "f2", Disuse: events.Disuse{Since: date("2025-12-01")}}, refused: "say who says so"},
		{name: "no day", when: events.SayOutOfUse{Feed: "f2", Disuse: events.Disuse{By: "owner"}}, refused: "since when"},
		{name: "taken back without a reason", given: []any{winter}, when: events.SayOutOfUse{Feed: "f2", Disuse: events.Disuse{By: "owner"}}, refused: "why it is taken back"},
		{name: "used again before it went out of use", when: out("2025-12-01", "2025-12-01"), refused: "must be the later"},
		{name: "no such feed", when: events.SayOutOfUse{Feed: "fx"}, refused: `no feed "fx"`},
		{name: "no such site", when: events.SayVacant{Site: "sx"}, refused: `no site "sx"`},
	})
}

// A result that is taken back leaves what was learned of the use meanwhile.
func TestVoidKeepsTheUse(t *testing.T) {
	s := world(t)
	for _, do := range []any{sendOut(2, job2), events.FinishJob{JobRef: job2, Crew: "c1", Day: march(2), Outcome: events.OutcomeCouldNotTest, Why: "no-pressure"},
		events.SayOutOfUse{Feed: "f2", Disuse: events.Disuse{Since: date("2025-12-01"), Back: date("2026-03-15"), By: "owner"}}} {
		if _, err := s.try(do); err != nil {
			t.Fatal(err)
		}
	}
	j := s.book.Assemblies["a2"].Job("j2")
	if _, err := s.try(events.VoidResult{JobRef: job2, About: j.Results[0].Event, Why: "wrong job"}); err != nil {
		t.Fatal(err)
	}
	j = s.book.Assemblies["a2"].Job("j2")
	if j.Stage != events.StageDue || j.Due != date("2026-03-14") || j.ListedDue() != date("2026-03-20") || len(j.BeforeUse) != 1 {
		t.Errorf("%+v", j)
	}
	if !slices.ContainsFunc(j.Questions, func(q string) bool { return strings.Contains(q, "must be tested before use") }) {
		t.Errorf("questions %q", j.Questions)
	}
}
