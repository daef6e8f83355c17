package routing

import "math"

// anneal improves a feasible draft by the fast search and returns the best plan
// found, never a worse one, and the rounds run.
func anneal(c *core, d *draft, near neighbours, o Options, clock *clock) ([][]VisitIndex, int) {
	typical := d.typicalCost()
	c.priceLeftOut(int64(min(1e15, 1000*typical)))
	s := newChains(c)
	s.take(d.orders())
	a := newAnnealer(newImprover(s, findNearby(c, near, insertReach), searchReach), o.Seed, typical)
	if o.onStep != nil {
		s.onMove = func(before, delta int64) { o.onStep(s, before, delta) }
	}
	a.best.take(s)
	hot, cold := temperatures(typical, len(d.routeOf), o.Start != nil)
	temperature, round := hot, 0
	if len(a.seeds) == 0 {
		return a.best.orders(), 0
	}
	for ; o.Iterations == 0 || round < o.Iterations; round++ {
		if round%16 == 0 && clock.look() {
			break
		}
		if round%64 == 0 {
			share := clock.spent()
			if o.Iterations > 0 {
				share = float64(round) / float64(o.Iterations)
			}
			temperature = hot * math.Pow(cold/hot, share)
		}
		a.round(temperature)
		if o.Progress != nil && round%500 == 0 {
			o.Progress(Progress{Round: round, Elapsed: clock.elapsed(), Cost: Cost(a.best.cost), Unserved: int(c.visits) - len(a.best.visits), Missing: int(a.best.missing)})
		}
	}
	return a.best.orders(), round
}

// temperatures are the first and the last, in cost units. A plan to keep near
// starts cooler.
func temperatures(typical float64, visits int, warm bool) (hot, cold float64) {
	hot = 2.5 * typical
	cold = typical * max(0.006, min(0.03, 3/float64(visits)))
	if warm {
		hot = max(cold, hot/30)
	}
	return hot, cold
}
