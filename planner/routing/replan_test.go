package routing_test

import (
	"context"
	"testing"
	"time"

	"valveround/planner/routing"
	"valveround/planner/routing/verify"
)

// sentOut is a day of 50 routes as it was sent out, and the same day after three
// changes: a new visit, one that is worth three times as much, one that is
// cancelled.
func sentOut(t testing.TB) (changed *routing.Problem, old routing.Solution) {
	spec := countySpec(600, 50, 1, 7)
	added := spec.Visits[599]
	spec.Visits = spec.Visits[:599]
	old, err := routing.Solve(context.Background(), mustProblem(t, spec), routing.Options{Seed: 1, Iterations: 2000})
	if err != nil {
		t.Fatal(err)
	}
	next := spec
	next.Visits = append(append([]routing.Visit{}, spec.Visits...), added)
	next.Visits[0].Value *= 3
	next.Visits[1].Value = 0
	for r, order := range old.Routes {
		for _, v := range order {
			next.Visits[v].Reference = &routing.Reference{Crew: spec.Routes[r].Crew, Day: spec.Routes[r].Day, CrewChange: routing.CostOf(5)}
		}
	}
	return mustProblem(t, next), old
}

// Planning again after three changes is never worse than keeping the old plan.
func TestReplanNeverWorse(t *testing.T) {
	p, old := sentOut(t)
	kept := routing.Evaluate(p, old.Routes)
	for _, rounds := range []int{0, 500} {
		s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 2, Iterations: rounds, Start: &old})
		if err != nil {
			t.Fatal(err)
		}
		if faults := verify.Check(p, s); len(faults) > 0 {
			t.Fatal(faults)
		}
		if s.Evaluation.Cost.Total() > kept.Cost.Total() {
			t.Errorf("%d rounds: %d, keeping the old plan costs %d", rounds, s.Evaluation.Cost.Total(), kept.Cost.Total())
		}
	}
}

// BenchmarkReplan plans a sent-out day of 50 routes again after three changes, to a number of rounds that takes less than a
// second here, and reports what that gains on keeping the old plan.
func BenchmarkReplan(b *testing.B) {
	p, old := sentOut(b)
	kept := routing.Evaluate(p, old.Routes).Cost.Total().Amount()
	for _, c := range []struct {
		name string
		o    routing.Options
	}{
		{"rounds=2000", routing.Options{Seed: 2, Iterations: 2000, Start: &old}},
		{"within 900 ms", routing.Options{Seed: 2, TimeLimit: 900 * time.Millisecond, Start: &old}},
	} {
		b.Run(c.name, func(b *testing.B) {
			var s routing.Solution
			for b.Loop() {
				s, _ = routing.Solve(context.Background(), p, c.o)
			}
			b.ReportMetric(kept, "kept")
			b.ReportMetric(s.Evaluation.Cost.Total().Amount(), "cost")
			b.ReportMetric(float64(s.Rounds), "rounds")
		})
	}
}
