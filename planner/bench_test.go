package planner_test

import (
	"context"
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
