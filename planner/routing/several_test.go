package routing_test

import (
	"context"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"valveround/planner/routing"
)

// A child serves a visit at most once, keeps the order in which one of its parents
// drives, and loses nothing that a parent serves.
func TestCross(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := countySpec(rapid.IntRange(2, 40).Draw(t, "visits"), 3, 2, rapid.Uint64Range(1, 50).Draw(t, "county"))
		if rapid.Bool().Draw(t, "alike") {
			for i := range spec.Visits {
				spec.Visits[i].Skills = nil
			}
			for r := range spec.Routes {
				spec.Routes[r] = spec.Routes[0]
				spec.Routes[r].Crew = routing.CrewIndex(r)
			}
		}
		p := mustProblem(t, spec)
		var plans [2]routing.Solution
		for i := range plans {
			plans[i], _ = routing.Solve(context.Background(), p, routing.Options{Seed: uint64(i), Iterations: 30})
		}
		child, rest := routing.Cross(p, plans[0], plans[1], rapid.Uint64().Draw(t, "seed"))
		times := make([]int, p.VisitCount())
		for _, v := range rest {
			times[v]++
		}
		for _, order := range child {
			for _, v := range order {
				times[v]++
			}
			if !slices.ContainsFunc(slices.Concat(plans[0].Routes, plans[1].Routes), func(old []routing.VisitIndex) bool { return within(order, old) }) {
				t.Errorf("route %v is in neither %v nor %v", order, plans[0].Routes, plans[1].Routes)
			}
		}
		for v := range times {
			want := 0
			for _, plan := range plans {
				for _, order := range plan.Routes {
					if slices.Contains(order, routing.VisitIndex(v)) {
						want = 1
					}
				}
			}
			if times[v] != want {
				t.Errorf("visit %d is %d times in %v and %v, want %d", v, times[v], child, rest, want)
			}
		}
	})
}

// within reports whether a route's visits are in another's, in the same order.
func within(order, old []routing.VisitIndex) bool {
	for _, v := range old {
		if len(order) > 0 && order[0] == v {
			order = order[1:]
		}
	}
	return len(order) == 0
}

// After every change of a run with children, the sums are the sums from scratch.
func TestSeveralCoolingsKeepTheSums(t *testing.T) {
	p := mustProblem(t, countySpec(7, 2, 2, 9))
	options := routing.Options{Seed: 1, Iterations: 9000}
	options.ExpectAmpleRounds(1000)
	s, err := routing.SolveChecked(p, options, t.Fatalf)
	if err != nil || !s.Evaluation.Feasible() {
		t.Fatal(err, s.Evaluation.Faults)
	}
}
