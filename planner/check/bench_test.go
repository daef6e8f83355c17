package check_test

import (
	"testing"

	"valveround/events"
	"valveround/planner/check"
)

// A day of 80 crews out of a book of 15,000 assemblies.
func BenchmarkPlan(b *testing.B) {
	book, plan := demoPlan(b, 80, 6000, 1, events.NewDate(2026, 5, 12))
	visits := 0
	for _, r := range plan.Routes {
		visits += len(r.Visits)
	}
	for b.Loop() {
		if found := check.Plan(book, plan, plan.Settings); len(found) > 0 {
			b.Fatal(found[0])
		}
	}
	b.ReportMetric(float64(visits), "visits")
	b.ReportMetric(float64(len(book.Assemblies)), "assemblies")
}
