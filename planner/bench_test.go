package planner_test

import (
	"context"
	"testing"

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
