package routing_test

import (
	"context"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"valveround/planner/routing"
	"valveround/planner/routing/verify"
)

func mustProblem(t interface{ Fatalf(string, ...any) }, spec routing.Spec) *routing.Problem {
	p, err := routing.NewProblem(spec)
	if err != nil {
		t.Fatalf("NewProblem: %v", err)
	}
	return p
}

func missing(faults []routing.PlanFault) (count int, others []routing.PlanFault) {
	for _, f := range faults {
		if f.Kind == routing.FaultRequired {
			count++
		} else {
			others = append(others, f)
		}
	}
	return count, others
}

// Solve keeps every rule but that of required visits it cannot place, its sums
// are the sums from scratch after every move, and the checker agrees.
func TestSolveKeepsTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustProblem(t, randomSpec(t))
		options := routing.Options{Seed: rapid.Uint64().Draw(t, "seed"), Iterations: 60}
		s, err := routing.SolveChecked(p, options, t.Fatalf)
		if err != nil {
			t.Fatalf("Solve: %v", err)
		}
		_, others := missing(verify.Check(p, s))
		if len(others) > 0 {
			t.Fatalf("plan %v: %v", s.Routes, others)
		}
		again, _ := routing.Solve(context.Background(), p, options)
		if !reflect.DeepEqual(s, again) {
			t.Fatalf("the same seed gave %v, then %v", s.Routes, again.Routes)
		}
	})
}

// A warm start that keeps every rule never ends worse.
func TestWarmStartNeverWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustProblem(t, randomSpec(t))
		first, _ := routing.Solve(context.Background(), p, routing.Options{Seed: 1})
		before, others := missing(first.Evaluation.Faults)
		if len(others) > 0 {
			t.Fatalf("first plan breaks %v", others)
		}
		second, _ := routing.Solve(context.Background(), p, routing.Options{Seed: 2, Iterations: 10, Start: &first})
		after, _ := missing(second.Evaluation.Faults)
		if after > before || after == before && second.Evaluation.Cost.Total() > first.Evaluation.Cost.Total() {
			t.Fatalf("from %d missing at %d to %d missing at %d", before, first.Evaluation.Cost.Total(), after, second.Evaluation.Cost.Total())
		}
	})
}

// Evaluate and verify agree on any plan, good or bad: on its costs where both
// can follow it, and on whether it keeps the rules.
func TestEvaluateAgreesWithVerify(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := randomSpec(t)
		p := mustProblem(t, spec)
		s := randomPlan(t, p)
		s.Evaluation = routing.Evaluate(p, s.Routes)
		kinds := func(faults []routing.PlanFault) map[routing.FaultKind]bool {
			set := map[routing.FaultKind]bool{}
			for _, f := range faults {
				set[f.Kind] = true
			}
			return set
		}
		want, got := kinds(s.Evaluation.Faults), kinds(verify.Check(p, s))
		if !reflect.DeepEqual(want, got) {
			t.Fatalf("plan %v: Evaluate finds %v, verify %v", s.Routes, s.Evaluation.Faults, verify.Check(p, s))
		}
	})
}

// randomPlan deals the visits out at random, some not at all.
func randomPlan(t *rapid.T, p *routing.Problem) routing.Solution {
	s := routing.Solution{Routes: make([][]routing.VisitIndex, p.RouteCount())}
	order := make([]routing.VisitIndex, p.VisitCount())
	for i := range order {
		order[i] = routing.VisitIndex(i)
	}
	for _, v := range rapid.Permutation(order).Draw(t, "order") {
		r := rapid.IntRange(-2, p.RouteCount()-1).Draw(t, "route")
		if r >= 0 {
			s.Routes[r] = append(s.Routes[r], v)
		}
	}
	return s
}

// The shortest schedule is the shortest of all departures, tried one by one.
func TestScheduleAgainstEveryDeparture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustProblem(t, randomSpec(t))
		s := randomPlan(t, p)
		e := routing.Evaluate(p, s.Routes)
		for r, order := range s.Routes {
			if len(order) == 0 {
				continue
			}
			duration, back, ok := bruteForce(p, routing.RouteIndex(r), order)
			late := slices.ContainsFunc(e.Faults, func(f routing.PlanFault) bool {
				return f.Route == routing.RouteIndex(r) && (f.Kind == routing.FaultWindow || f.Kind == routing.FaultReturn)
			})
			if ok == late {
				t.Fatalf("route %d %v: possible %v, faults %v", r, order, ok, e.Faults)
			}
			got := e.Routes[r]
			if ok && (got.Duration != duration || got.Return != back) {
				t.Fatalf("route %d %v takes %d back at %d, want %d back at %d", r, order, got.Duration, got.Return, duration, back)
			}
		}
	})
}

func bruteForce(p *routing.Problem, r routing.RouteIndex, order []routing.VisitIndex) (duration, back routing.Seconds, ok bool) {
	route := p.Route(r)
	for depart := route.Earliest; depart <= route.Latest; depart++ {
		now, at, possible := depart, route.Start, true
		for _, v := range order {
			_, drive := p.Between(at, p.Visit(v).Place)
			now += drive
			if windows := p.Visit(v).Windows; len(windows) > 0 {
				k := slices.IndexFunc(windows, func(w routing.Window) bool { return now <= w.Close })
				if k < 0 {
					possible = false
					break
				}
				now = max(now, windows[k].Open)
			}
			now += p.ServiceOn(v, r)
			at = p.Visit(v).Place
		}
		_, drive := p.Between(at, route.End)
		now += drive
		if possible && now <= route.Latest && (!ok || now-depart < duration || now-depart == duration && now < back) {
			duration, back, ok = now-depart, now, true
		}
	}
	return duration, back, ok
}

// What Probe says of a visit and a route is what trying it from scratch says.
func TestProbeAgainstTrying(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustProblem(t, randomSpec(t))
		if p.VisitCount() == 0 {
			return
		}
		s, _ := routing.Solve(context.Background(), p, routing.Options{})
		prober := routing.NewProber(p, s)
		before := s.Evaluation.Cost.Total()
		for v := range routing.VisitIndex(p.VisitCount()) {
			for r := range routing.RouteIndex(p.RouteCount()) {
				got := prober.Probe(v, r)
				delta, position, ok := tryEverywhere(p, s.Routes, v, r)
				if ok != (got.Outcome == routing.ProbeFits) {
					t.Fatalf("visit %d on route %d %v: fits %v, Probe says %+v", v, r, s.Routes, ok, got)
				}
				if ok && got.Delta != delta-before {
					t.Fatalf("visit %d on route %d: delta %d at %d, Probe says %+v", v, r, delta-before, position, got)
				}
				if !ok && got.Reason == "" {
					t.Fatalf("no reason: %+v", got)
				}
			}
		}
	})
}

func tryEverywhere(p *routing.Problem, routes [][]routing.VisitIndex, v routing.VisitIndex, r routing.RouteIndex) (best routing.Cost, position int, ok bool) {
	without := make([][]routing.VisitIndex, len(routes))
	for i := range routes {
		without[i] = slices.DeleteFunc(slices.Clone(routes[i]), func(u routing.VisitIndex) bool { return u == v })
	}
	for k := range len(without[r]) + 1 {
		plan := slices.Clone(without)
		plan[r] = slices.Insert(slices.Clone(without[r]), k, v)
		e := routing.Evaluate(p, plan)
		if _, others := missing(e.Faults); len(others) > 0 {
			continue
		}
		if cost := e.Cost.Total(); !ok || cost < best {
			best, position, ok = cost, k, true
		}
	}
	return best, position, ok
}

// A start plan that breaks rules is mended, not believed.
func TestBrokenStartIsMended(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := mustProblem(t, randomSpec(t))
		start := randomPlan(t, p)
		s, err := routing.SolveChecked(p, routing.Options{Start: &start, Iterations: 5}, t.Fatalf)
		if err != nil {
			t.Fatal(err)
		}
		if _, others := missing(verify.Check(p, s)); len(others) > 0 {
			t.Fatalf("from %v to %v: %v", start.Routes, s.Routes, others)
		}
	})
}

// Figures at the edge of what fits are refused in words or added up right.
func TestHugeFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := randomSpec(t)
		shift := func(name string) int64 { return int64(1) << rapid.IntRange(0, 62).Draw(t, name) }
		for i := range spec.Visits {
			spec.Visits[i].Service *= routing.Seconds(shift("service"))
			spec.Visits[i].Value *= routing.Cost(shift("value"))
			spec.Visits[i].ValueByDay = nil
		}
		for i := range spec.Routes {
			spec.Routes[i].CostPerMetre *= routing.Cost(shift("per metre"))
			spec.Routes[i].CostPerSecond *= routing.Cost(shift("per second"))
			spec.Routes[i].Latest += routing.Seconds(shift("latest"))
		}
		p, err := routing.NewProblem(spec)
		if err != nil {
			return
		}
		s, _ := routing.SolveChecked(p, routing.Options{Iterations: 5}, t.Fatalf)
		if _, others := missing(verify.Check(p, s)); len(others) > 0 || s.Evaluation.Cost.Total() < 0 {
			t.Fatalf("cost %d, %v", s.Evaluation.Cost.Total(), others)
		}
	})
}

// One seed and one number of rounds give one plan, with one worker and with two,
// whether they share a plan or search apart.
func TestSameSeedSamePlan(t *testing.T) {
	for _, c := range []struct {
		name    string
		visits  int
		workers int
		rounds  int
	}{{"one", 120, 1, 1500}, {"two apart", 120, 2, 1500}, {"two together", 420, 2, 3100}} {
		t.Run(c.name, func(t *testing.T) {
			p := mustProblem(t, countySpec(c.visits, 4, 3, 5))
			options := routing.Options{Seed: 3, Iterations: c.rounds, Workers: c.workers}
			first, err := routing.Solve(context.Background(), p, options)
			if err != nil {
				t.Fatal(err)
			}
			if faults := verify.Check(p, first); len(faults) > 0 {
				t.Fatal(faults)
			}
			again, _ := routing.Solve(context.Background(), p, options)
			if !reflect.DeepEqual(first, again) {
				t.Fatalf("cost %d, then %d", first.Evaluation.Cost.Total(), again.Evaluation.Cost.Total())
			}
			start, err := routing.Solve(context.Background(), p, routing.Options{Seed: 3})
			if err != nil {
				t.Fatal(err)
			}
			if start.Evaluation.Cost.Total() < first.Evaluation.Cost.Total() {
				t.Error("the search made the plan dearer")
			}
		})
	}
}

// Small problems with everything switched on at random: the search finds the
// optimum that exhaustive search over all plans finds, where all required visits
// can be served.
func TestOptimumOfSmallProblems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := randomSpec(t)
		spec.Visits = spec.Visits[:min(len(spec.Visits), 4)]
		for i := range spec.Visits {
			if pin := spec.Visits[i].Pin; pin != nil && int(pin.Route) >= 3 {
				spec.Visits[i].Pin = nil
			}
		}
		p := mustProblem(t, spec)
		lost, cost := exhaustive(p)
		s, err := routing.SolveChecked(p, routing.Options{Seed: 1, Iterations: 3000}, t.Fatalf)
		if err != nil {
			t.Fatal(err)
		}
		gone, others := missing(s.Evaluation.Faults)
		// What is pinned to a position is driven already, and never left out for another: then too many may be missing.
		held := slices.ContainsFunc(spec.Visits, func(v routing.Visit) bool { return v.Pin != nil && v.Pin.Position > 0 })
		if len(others) > 0 || gone < lost || (lost == 0 || !held) && (gone > lost || s.Evaluation.Cost.Total() != cost) {
			t.Fatalf("%d missing at %d, exhaustive search has %d at %d; %v", gone, s.Evaluation.Cost.Total(), lost, cost, s.Routes)
		}
	})
}

// exhaustive is the least number of required visits missing, and the least cost
// of a plan with so many missing: every order on every route is tried.
func exhaustive(p *routing.Problem) (lost int, cost routing.Cost) {
	lost = p.VisitCount() + 1
	routes := make([][]routing.VisitIndex, p.RouteCount())
	var place func(v routing.VisitIndex)
	place = func(v routing.VisitIndex) {
		if int(v) == p.VisitCount() {
			e := routing.Evaluate(p, routes)
			gone, others := missing(e.Faults)
			if len(others) == 0 && (gone < lost || gone == lost && e.Cost.Total() < cost) {
				lost, cost = gone, e.Cost.Total()
			}
			return
		}
		place(v + 1)
		for r := range routes {
			if !p.Compatible(v, routing.RouteIndex(r)) {
				continue
			}
			old := routes[r]
			for k := range len(old) + 1 {
				routes[r] = slices.Insert(slices.Clone(old), k, v)
				place(v + 1)
			}
			routes[r] = old
		}
	}
	place(0)
	return lost, cost
}

// The rounds of the search ask for no memory once its buffers have grown.
func TestNoAllocationPerRound(t *testing.T) {
	for _, visits := range []int{100, 400} {
		p := mustProblem(t, countySpec(visits, 5, 3, 5))
		if got := routing.AllocationsPerRound(p); got != 0 {
			t.Errorf("%d visits: %v allocations a round, want none", visits, got)
		}
	}
}
