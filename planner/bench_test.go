package planner_test

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
)

// benchmarkDay plans a day of the demo from start to checked plan.
func benchmarkDay(b *testing.B, crews, sites int, seconds float64) {
	r := demoRequest(b, crews, sites, 1, events.NewDate(2026, 5, 13))
	r.Iterations, r.Seconds = 0, seconds
	for b.Loop() {
		plan, err := planner.Make(context.Background(), r)
		if err != nil {
			b.Fatal(err)
		}
		if broken := check.Plan(r.Book, plan, r.Settings); len(broken) > 0 {
			b.Fatalf("refused: %v", broken[0])
		}
		b.ReportMetric(plan.Cost.Total.USD(), "USD")
		b.ReportMetric(float64(len(planner.OrderOf(plan))), "routes")
	}
}

func BenchmarkDemoDay(b *testing.B)         { benchmarkDay(b, 8, 600, 3) }
func BenchmarkTenTimesTheDemo(b *testing.B) { benchmarkDay(b, 80, 6000, 20) }

// BenchmarkProving makes ten times the demo day with the shortest search: what is left is collecting, and proving of every job left
// out what would fit it.
func BenchmarkProving(b *testing.B) {
	r := demoRequest(b, 80, 6000, 1, events.NewDate(2026, 5, 13))
	r.Iterations = 1
	brief := r
	brief.Brief = true
	for b.Loop() {
		began := time.Now()
		if _, err := planner.Make(context.Background(), brief); err != nil {
			b.Fatal(err)
		}
		reasons := time.Since(began)
		plan, err := planner.Make(context.Background(), r)
		if err != nil {
			b.Fatal(err)
		}
		all := time.Since(began) - reasons
		b.ReportMetric(float64(len(plan.LeftOut)), "left-out")
		b.ReportMetric(float64(all)/float64(reasons), "times-brief")
	}
}

// BenchmarkTenDays plans ten days of 50 crews with about 6,000 open jobs, day by day, each checked.
func BenchmarkTenDays(b *testing.B) {
	r := demoRequest(b, 50, 8600, 1, events.NewDate(2026, 5, 13))
	r.Iterations, r.Seconds = 0, 1
	open := 0
	for _, a := range r.Book.Assemblies {
		for _, j := range a.Jobs {
			if j.NeedsVisit() {
				open++
			}
		}
	}
	for b.Loop() {
		days, err := planner.MakeDays(context.Background(), r, 10)
		if err != nil {
			b.Fatal(err)
		}
		jobs := 0
		for _, day := range days {
			if broken := check.Plan(day.Book, day.Plan, r.Settings); len(broken) > 0 {
				b.Fatalf("refused: %v", broken[0])
			}
			jobs += len(onPlan(day.Plan))
		}
		b.ReportMetric(float64(open), "open")
		b.ReportMetric(float64(jobs), "planned")
	}
}

// BenchmarkRestOfTheDay plans the rest of the demo day at ten, when a crew has fallen sick, and has it checked.
func BenchmarkRestOfTheDay(b *testing.B) {
	r := demoRequest(b, 8, 600, 1, events.NewDate(2026, 5, 13))
	r.Iterations, r.Seconds = 0, 1
	plan, err := planner.Make(context.Background(), r)
	if err != nil {
		b.Fatal(err)
	}
	r.Book, r.Seconds = planner.SentOut(r.Book, plan), 0.4
	r.Now = r.Date.In(r.Now.Location()).Add(10 * time.Hour)
	sick, err := planner.Suppose(r.Book, r.Office, r.Date, planner.Supposition{What: planner.SupposeCrewOff, Crew: plan.Routes[2].Crew})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		kept, rest, err := planner.RestIf(context.Background(), r, sick)
		if err != nil {
			b.Fatal(err)
		}
		if broken := (check.Options{Amending: true}).Plan(sick, rest, r.Settings); len(broken) > 0 {
			b.Fatalf("refused: %v", broken[0])
		}
		b.ReportMetric(float64(planner.CompareRest(*r.Book.Day(r.Office, r.Date).Sent, kept, rest).Moved), "moved")
	}
}

// BenchmarkPlanAgain plans the demo day again after a crew has called in sick.
func BenchmarkPlanAgain(b *testing.B) {
	r := demoRequest(b, 8, 600, 1, events.NewDate(2026, 5, 13))
	r.Iterations, r.Seconds = 0, 2
	plan, err := planner.Make(context.Background(), r)
	if err != nil {
		b.Fatal(err)
	}
	r.Seconds = 0.3
	for b.Loop() {
		again, book, d, err := planner.WhatIf(context.Background(), r, plan, planner.Supposition{What: planner.SupposeCrewOff, Crew: plan.Routes[2].Crew})
		if err != nil {
			b.Fatal(err)
		}
		if broken := check.Plan(book, again, r.Settings); len(broken) > 0 {
			b.Fatalf("refused: %v", broken[0])
		}
		b.ReportMetric(float64(d.Moved), "moved")
	}
}

// BenchmarkCollect makes stops, with the times at which each may begin, out of all that is open in a county: 10,000 assemblies,
// and ten such counties side by side. The second also says how many times as long an assembly takes as in the first.
func BenchmarkCollect(b *testing.B) {
	r := demoRequest(b, 50, 4_000, 1, events.NewDate(2026, 5, 13))
	one := 0.0
	for _, times := range []int{1, 10} {
		beside(r.Book, times)
		n := len(r.Book.Assemblies)
		b.Run(fmt.Sprintf("%dAssemblies", n), func(b *testing.B) {
			stops := 0
			for b.Loop() {
				list, _, err := planner.CollectStops(r)
				if err != nil {
					b.Fatal(err)
				}
				stops = len(list)
			}
			each := b.Elapsed().Seconds() / float64(b.N) / float64(n)
			b.ReportMetric(float64(stops), "stops")
			b.ReportMetric(each*1e6, "µs/assembly")
			if times == 1 {
				one = each
			} else {
				b.ReportMetric(each/one, "times-the-smaller")
			}
		})
	}
}

// beside puts copies of a county's sites, feeds and assemblies into its book, so that there are so many of each.
func beside(book *events.Book, times int) {
	for n := 1; n < times; n++ {
		of := fmt.Sprintf("-%d", n)
		for _, s := range slices.Collect(maps.Values(book.Sites)) {
			if c := *s; !strings.Contains(string(s.ID), "-copy-") {
				c.ID += events.SiteID("-copy" + of)
				book.Sites[c.ID] = &c
			}
		}
		for _, f := range slices.Collect(maps.Values(book.Feeds)) {
			if c := *f; !strings.Contains(string(f.ID), "-copy-") {
				c.ID, c.Site = c.ID+events.FeedID("-copy"+of), c.Site+events.SiteID("-copy"+of)
				if c.FedFrom != "" {
					c.FedFrom += events.FeedID("-copy" + of)
				}
				book.Feeds[c.ID] = &c
			}
		}
		for _, a := range slices.Collect(maps.Values(book.Assemblies)) {
			if c := *a; !strings.Contains(string(a.ID), "-copy-") {
				c.ID, c.Site, c.Feed = c.ID+events.AssemblyID("-copy"+of), c.Site+events.SiteID("-copy"+of), c.Feed+events.FeedID("-copy"+of)
				book.Assemblies[c.ID] = &c
			}
		}
	}
}
