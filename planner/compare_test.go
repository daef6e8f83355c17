package planner_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"valveround/events"
	"valveround/planner"
)

// whatIf plans, supposes, checks the plan on the supposed book, and adds up what is said of the difference.
func (c *county) whatIf(list ...planner.Supposition) (before, after planner.Plan, d planner.Difference) {
	c.Helper()
	before = c.plan()
	r := c.request()
	after, book, d, err := planner.WhatIf(context.Background(), r, before, list...)
	if err != nil {
		c.Fatal(err)
	}
	r.Book = book
	passes(c, r, after)
	addsUp(c, after)
	differenceHolds(c, before, after, d)
	return before, after, d
}

func differenceHolds(t failer, before, after planner.Plan, d planner.Difference) {
	t.Helper()
	moves := planner.MicroUSD(0)
	for _, m := range d.Moves {
		moves += m.Money
	}
	if total := after.Cost.Total - before.Cost.Total; d.Money.Total != total || moves+d.Money.Distance+d.Money.Hours+d.Money.Overtime+d.Money.Change != total {
		t.Errorf("the plan costs %d more, the difference says %d, its moves %d of it", total, d.Money.Total, moves)
	}
	was, is := onPlan(before), onPlan(after)
	for job := range was {
		said := slices.ContainsFunc(d.Moves, func(m planner.Move) bool {
			return slices.Contains(m.Jobs, job.Job) && (m.How == "falls out" || m.How == "needs no visit now")
		})
		if (is[job] == "") != said {
			t.Errorf("job %s: on the new plan %q, said to fall out %v", job.Job, is[job], said)
		}
	}
}

func TestWhatIf(t *testing.T) {
	for _, tc := range []struct {
		name    string
		suppose func(*county) planner.Supposition
		moved   int
		words   []string
	}{
		{"nothing to do with the day", func(*county) planner.Supposition {
			return planner.Supposition{What: planner.SupposeWider, Site: "school", Minutes: 15}
		}, 0, []string{"0 visits moved, +0 min driving, +0 min on the road in all, +0.00 USD"}},
		{"a crew is sick", func(*county) planner.Supposition {
			return planner.Supposition{What: planner.SupposeCrewOff, Crew: "b"}
		}, 1, []string{"The mill: another crew, Crew A at"}},
		{"a job now", func(*county) planner.Supposition {
			return planner.Supposition{What: planner.SupposeNewJob, Assembly: "idle", Kind: events.Discharging}
		}, 1, []string{"The yard: comes in, Crew"}},
		{"a window moved", func(*county) planner.Supposition {
			return planner.Supposition{What: planner.SupposeWindow, Feed: "school", Hours: "Mo-Fr 13:00-15:00"}
		}, 0, []string{"The school: another time"}},
		{"a window moved out of the day", func(*county) planner.Supposition {
			return planner.Supposition{What: planner.SupposeWindow, Feed: "school", Hours: "Mo-Fr 01:00-02:00"}
		}, 1, []string{"The school: falls out, was Crew"}},
		{"parts late", func(c *county) planner.Supposition {
			return planner.Supposition{What: planner.SupposePartsLate, Assembly: "mill", Job: "j-mill", Promised: tuesday.AddDays(3)}
		}, 1, []string{"The mill: falls out, was Crew B"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c := newCounty(t)
			c.person("cy", events.TesterCertificate, events.RepairLicence)
			c.crew("b", "g2", "cy")
			failed(c.shop("mill", 40.05, "Mo-Fr 08:00-12:00"))
			c.wish(events.Wish{Site: "mill"})
			c.shop("school", 39.9, "Mo-Fr 08:00-10:00")
			c.shop("yard", 40.01, "24/7")
			c.assembly("idle", "yard", events.DC, 1)
			c.book.Assemblies["idle"].Jobs = nil
			c.book.Assemblies["yard"].Jobs = nil
			c.book.Crews["b"].Home = c.book.Sites["mill"].Position
			before := c.request().Book.Snapshot()
			_, _, d := c.whatIf(tc.suppose(c))
			words := d.InWords(c.book)
			for _, want := range tc.words {
				if !strings.Contains(words, want) {
					t.Errorf("want %q in\n%s", want, words)
				}
			}
			if d.Moved != tc.moved {
				t.Errorf("%d visits moved, want %d:\n%s", d.Moved, tc.moved, words)
			}
			for id, a := range before.Assemblies {
				if c.book.Assemblies[id] != a {
					t.Errorf("the book has changed at %s", id)
				}
			}
		})
	}
}

func TestWhatCannotBeSupposed(t *testing.T) {
	c := newCounty(t)
	for _, x := range []planner.Supposition{
		{What: "magic"}, {What: planner.SupposeCrewOff, Crew: "z"}, {What: planner.SupposeWindow, Feed: "z"}, {What: planner.SupposeAccess, Site: "z"},
		{What: planner.SupposeNewJob, Assembly: "z"}, {What: planner.SupposePartsLate, Assembly: "z"}, {What: planner.SupposeOffHold, Customer: "z"}, {What: planner.SupposeFilled, Feed: "z"},
	} {
		if _, err := planner.Suppose(c.book, office, tuesday, x); err == nil {
			t.Errorf("%+v was supposed", x)
		}
	}
}
