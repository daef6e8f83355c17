package routing

import (
	"context"
	"slices"
	"testing"
)

// SolveChecked is Solve with the delta check on: after every applied move of the
// local search, the cost before plus the move's delta must be the cost kept, and
// that must be the cost from scratch.
func SolveChecked(p *Problem, o Options, fault func(format string, args ...any)) (Solution, error) {
	o.onMove = func(d *draft, before, delta Cost) {
		e := Evaluate(p, d.orders())
		if before+delta != d.cost || d.cost != e.Cost.Total() {
			fault("cost before %d, delta %d, kept %d, from scratch %d", before, delta, d.cost, e.Cost.Total())
		}
		broken := slices.DeleteFunc(e.Faults, func(f PlanFault) bool { return f.Kind == FaultRequired })
		if len(broken) > 0 {
			fault("a move broke a rule: %v", broken[0])
		}
	}
	o.onStep = func(s *chains, before, delta int64) { checkStep(s, before, delta, fault) }
	return Solve(context.Background(), p, o)
}

// checkStep compares a plan of the fast search with its delta, with the same
// plan loaded afresh, and with the plan worked out from scratch.
func checkStep(s *chains, before, delta int64, fault func(format string, args ...any)) {
	after := s.cost + s.penalty
	if after > before+delta || s.single && after < before+delta {
		fault("cost before %d, delta %d, kept %d", before, delta, after)
	}
	orders := s.orders()
	fresh := newChains(s.core)
	fresh.weightWarp, fresh.weightExcess, fresh.weightLong = s.weightWarp, s.weightExcess, s.weightLong
	fresh.take(orders)
	if s.single && (fresh.cost != s.cost || fresh.penalty != s.penalty || fresh.broken != s.broken) || fresh.served != s.served || fresh.missing != s.missing {
		fault("kept %d and %d, loaded afresh %d and %d", s.cost, s.penalty, fresh.cost, fresh.penalty)
	}
	e := Evaluate(s.p, orders)
	soft := []FaultKind{FaultRequired}
	if s.penalty > 0 {
		soft = append(soft, FaultWindow, FaultReturn, FaultDuration, FaultBreak, FaultLoad, FaultStock)
	}
	for _, f := range e.Faults {
		if !slices.Contains(soft, f.Kind) {
			fault("a move broke a rule: %v", f)
		}
	}
	if s.penalty > 0 {
		return
	}
	cost := int64(e.Cost.Total())
	for _, v := range e.Unserved {
		cost += s.leftOut[v] - int64(s.p.leftOut[v])
	}
	if cost != s.cost {
		fault("kept %d, from scratch %d", s.cost, cost)
	}
}

// SolveTogether is Solve with two workers, where after every meeting both must have the
// same plan, at the cost it has from scratch. It tells how often they met.
func SolveTogether(p *Problem, o Options, fault func(format string, args ...any)) (s Solution, met int, err error) {
	o.Workers = 2
	o.onMeet = func(a, b *chains) {
		met++
		for i := range a.nodes {
			if a.nodes[i].route != b.nodes[i].route || a.nodes[i].route >= 0 && a.nodes[i] != b.nodes[i] {
				fault("meeting %d: node %d is %+v and %+v", met, i, a.nodes[i], b.nodes[i])
			}
		}
		if !slices.Equal(a.lines, b.lines) || a.cost != b.cost || a.penalty != b.penalty || a.broken != b.broken || a.served != b.served || a.missing != b.missing {
			fault("meeting %d: the plans cost %d and %d, penalties %d and %d, serve %d and %d", met, a.cost, b.cost, a.penalty, b.penalty, a.served, b.served)
		}
		checkStep(a, a.cost+a.penalty, 0, fault)
	}
	s, err = Solve(context.Background(), p, o)
	return s, met, err
}

// AskForTravel makes the problem ask its travel times each time, as it does for
// many places.
func (p *Problem) AskForTravel() { p.drives = drives{asked: p.spec.Travel} }

// Part names a part of the search, and SolveWithout switches it off.
var Parts = map[string]part{
	"relocate": offRelocate, "pairs": offPairs, "swap": offSwap, "tails": offTails, "within": offWithin,
	"local search": offLocalSearch, "pruning": offPruning, "split strings": offSplit, "blinks": offBlinks, "annealing": offAnnealing, "whole routes": offRoutes, "several coolings": offSeveral,
	"nothing": 0,
}

func SolveWithout(p *Problem, o Options, name string) (Solution, error) {
	o.off = Parts[name]
	return Solve(context.Background(), p, o)
}

// AllocationsPerRound is how often one round of the search asks for memory, once
// its buffers have grown.
func AllocationsPerRound(p *Problem) float64 {
	c := newClock(context.Background(), 0)
	near := findNeighbours(p, 1, c)
	compact, ok := newCore(p)
	if !ok {
		return -1
	}
	e := newEngine(compact, near, Options{Seed: 1}, c)
	e.begin(construct(p, near, Options{}, c))
	a := e.first
	a.best.copyFrom(&e.best)
	step := func() {
		a.round(e.hot)
		a.weigh()
	}
	for range 3000 {
		step()
	}
	return testing.AllocsPerRun(500, step)
}

// Cross is the child of two plans, and the visits it leaves to be put back.
func Cross(p *Problem, x, y Solution, seed uint64) (child [][]VisitIndex, rest []int32) {
	c := newClock(context.Background(), 0)
	compact, _ := newCore(p)
	e := newEngine(compact, findNeighbours(p, 1, c), Options{Seed: seed}, c)
	e.price(1000)
	worker := e.newWorker(0)
	var ends [2]kept
	for i, plan := range []Solution{x, y} {
		worker.take(plan.Routes)
		ends[i].take(worker.chains)
	}
	return newCourse(e, worker).cross(&ends[0], &ends[1])
}

// ExpectAmpleRounds makes so many rounds enough for several coolings.
func (o *Options) ExpectAmpleRounds(rounds float64) { o.ample = rounds }
