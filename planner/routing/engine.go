package routing

import "math"

// engine is one run of the fast search: what all workers share.
type engine struct {
	*core
	o         Options
	clock     *clock
	near      nearby
	typical   float64
	hot, cold float64 // temperatures
	best      kept
	done      int     // rounds
	used      float64 // share of the budget spent before cooling began
	closed    []bool  // by route: not to be used; nil = none
}

// anneal improves a draft that keeps every hard rule by the fast search, and
// returns the best plan found, never a worse one, and the rounds run.
func anneal(c *core, d *draft, near neighbours, o Options, clock *clock) ([][]VisitIndex, int) {
	e := &engine{core: c, o: o, clock: clock, near: findNearby(c, near, insertReach), typical: d.typicalCost()}
	e.hot, e.cold = temperatures(max(e.near.meanDrive(c), e.typical/5), len(d.routeOf), o.Start != nil)
	c.priceLeftOut(int64(min(1e15, 1000*e.typical)))
	a := e.newWorker(0)
	a.take(d.orders())
	e.best.take(a.chains)
	switch {
	case len(a.seeds) == 0:
		return e.best.orders(), 0
	case c.p.spec.Objective == FewestRoutesFirst:
		e.fewestRoutes(a)
	}
	a.best.copyFrom(&e.best)
	switch {
	case o.Workers < 2:
		e.alone(a)
	case int(c.visits) >= largeEnough && c.p.groups == 0:
		e.together(a)
	default:
		e.apart(a)
	}
	return e.best.orders(), e.done
}

// newWorker is an annealer with a generator of its own.
func (e *engine) newWorker(number uint64) *annealer {
	s := newChains(e.core)
	if e.o.onStep != nil {
		s.onMove = func(before, delta int64) { e.o.onStep(s, before, delta) }
	}
	m := newImprover(s, e.near, searchReach)
	m.off = e.o.off
	return newAnnealer(m, e.o.Seed+number*0x9e3779b97f4a7c15, e.typical)
}

// temperatures are the first and the last, in cost units, from the mean cost of a
// drive between neighbours (or a fifth of what a visit costs, if that is more). A
// plan to keep near starts cooler.
func temperatures(drive float64, visits int, warm bool) (hot, cold float64) {
	hot = 3.5 * drive
	cold = drive * max(0.011, min(0.025, 4/float64(visits)))
	if warm {
		hot = max(cold, hot/30)
	}
	return hot, cold
}

// temperature is the exponential cooling from hot to cold by the share of the
// budget used: of the rounds when they are given, otherwise of the time.
func (e *engine) temperature() float64 {
	share := e.clock.spent()
	if e.o.Iterations > 0 {
		share = float64(e.done) / float64(e.o.Iterations)
	}
	share = max(0, share-e.used) / (1 - e.used)
	return cooled(e.hot, e.cold, share)
}

func cooled(hot, cold, share float64) float64 { return hot * math.Pow(cold/hot, share) }

// over reports whether the budget is used up, or a plan found that is enough.
func (e *engine) over() bool {
	if e.o.Iterations > 0 && e.done >= e.o.Iterations || e.clock.look() {
		return true
	}
	g := e.o.Enough
	return g != nil && e.best.missing == 0 && Cost(e.best.cost) <= g.Cost && e.best.routes() <= g.Routes
}

// report tells the caller about the best plan once in so many rounds.
func (e *engine) report(every int) {
	if e.o.Progress == nil || e.done%every != 0 {
		return
	}
	e.o.Progress(Progress{Round: e.done, Elapsed: e.clock.elapsed(), Cost: Cost(e.best.trueCost(e.core)),
		Unserved: int(e.visits) - len(e.best.visits), Missing: int(e.best.missing)})
}

// alone is the search with one worker.
func (e *engine) alone(a *annealer) {
	temperature := e.hot
	for {
		if e.done%16 == 0 && e.over() {
			break
		}
		if e.o.Iterations > 0 && e.done >= e.o.Iterations {
			break
		}
		if e.done%64 == 0 {
			temperature = e.temperature()
		}
		a.round(temperature)
		a.weigh()
		e.done++
		if a.best.better(&e.best) {
			e.best.copyFrom(&a.best)
		}
		e.report(500)
	}
}
