package routing

import (
	"cmp"
	"math"
	"slices"
)

// engine is one run of the fast search: what all workers share.
type engine struct {
	*core
	o         Options
	clock     *clock
	near      nearby
	typical   float64
	first     *annealer // the first worker
	around    neighbours
	hot, cold float64 // temperatures
	best      kept
	done      int     // rounds
	told      int     // of them, when the caller was last told
	used      float64 // share of the budget spent before cooling began
	closed    []bool  // by route: not to be used; nil = none
	workers   []*annealer
}

func newEngine(c *core, near neighbours, o Options, clock *clock) *engine {
	return &engine{core: c, o: o, clock: clock, told: -1, near: findNearby(c, near, insertReach, o.Workers), around: near}
}

// begin takes a draft to start from; it keeps every hard rule.
func (e *engine) begin(d *draft) {
	e.price(d.typicalCost())
	e.first = e.newWorker(0)
	e.first.take(d.orders())
	e.best.take(e.first.chains)
}

// price sets what depends on what serving a visit costs about.
func (e *engine) price(typical float64) {
	e.typical = typical
	e.hot, e.cold = temperatures(max(e.meanDrive(), typical/5), int(e.visits), e.o.Start != nil)
	e.priceLeftOut(int64(min(1e15, 1000*typical)))
}

// manyVisits is from how many visits on the first plan is made by the fast search
// too: each visit once, at its cheapest gap beside a neighbour.
const manyVisits = 600

// constructMany makes the first plan from a draft with what is pinned or given;
// false when it breaks a rule. Required visits that find no gap beside a neighbour
// are tried everywhere, and once more after the local search has made room.
func (e *engine) constructMany(d *draft) bool {
	e.price(max(1, 3*e.near.meanDrive(e.core)))
	e.first = e.newWorker(0)
	a := e.first
	a.take(d.orders())
	a.forbid()
	e.putIn(a, false)
	if a.penalty == 0 && a.missing == 0 {
		e.best.take(a.chains)
		e.report(1) // soon, for whoever waits for any plan at all
	}
	slices.SortFunc(a.queue, func(u, v int32) int { return cmp.Or(cmp.Compare(a.point[u], a.point[v]), cmp.Compare(u, v)) })
	a.settle()
	if a.missing > 0 {
		e.putIn(a, true)
		e.makeRoom(a)
	}
	a.forget()
	if a.penalty > 0 {
		return false
	}
	cost := int64(0)
	for r := range a.lines {
		cost += a.lines[r].cost
	}
	e.price(max(1, float64(cost)/float64(max(1, a.served))))
	orders := a.orders()
	e.first = e.newWorker(0)
	e.first.take(orders)
	e.best.take(e.first.chains)
	return true
}

// makeRoom runs rounds about the required visits left out, as long as they help.
func (e *engine) makeRoom(a *annealer) {
	const turns, most = 12, 300 // rounds a visit, and in all
	all := a.seeds
	for rounds, before := 0, a.missing+1; 0 < a.missing && a.missing < before && rounds < most; {
		before = a.missing
		a.seeds = a.seeds[:0:0]
		for v := range e.visits {
			if e.p.required[v] && a.nodes[v].route < 0 {
				a.seeds = append(a.seeds, v)
			}
		}
		for range min(turns*len(a.seeds), most-rounds) {
			if e.clock.look() {
				break
			}
			a.round(0)
			rounds++
		}
	}
	a.seeds = all
}

// forbid lets penalties weigh so much that no broken rule pays.
func (a *annealer) forbid() {
	forbidding := math.Max(1e5*a.warpWeight.value, 4*float64(a.dear))
	for _, w := range []*weight{&a.warpWeight, &a.excessWeight, &a.longWeight} {
		w.value = min(forbidding, dearest)
	}
	a.setWeights()
}

// putIn puts left-out visits in, required ones first; those only, when asked to.
func (e *engine) putIn(a *annealer, requiredOnly bool) {
	a.pool = a.pool[:0]
	for v := range e.visits {
		if a.nodes[v].route < 0 && !e.held[v] && (e.p.required[v] || !requiredOnly) {
			a.pool = append(a.pool, v)
		}
	}
	a.sortPool(littleTimeFirst)
	a.begin()
	a.listEmpties()
	for _, v := range a.pool {
		if e.clock.look() {
			return
		}
		served := a.put(v, a.bestSpot(v)) || e.p.required[v] && a.put(v, a.bestSpotAnywhere(v))
		if served && a.lines[a.nodes[v].route].size == 1 {
			a.listEmpties()
		}
		a.begin()
	}
}

// anneal improves the first plan and leaves the best one found, never a worse
// one, in best.
func (e *engine) anneal() {
	a := e.first
	if len(a.seeds) == 0 || e.o.Iterations == 0 && e.o.TimeLimit == 0 {
		return
	}
	if e.p.spec.Objective == FewestRoutesFirst {
		e.fewestRoutes(a)
	}
	a.best.copyFrom(&e.best)
	switch {
	case e.o.Workers < 2:
		e.alone(a)
	case int(e.visits) >= largeEnough && e.p.groups == 0 && len(a.seeds) > 1:
		e.together(a)
	default:
		e.apart(a)
	}
}

// newWorker is an annealer with a generator of its own.
func (e *engine) newWorker(number uint64) *annealer {
	s := newChains(e.core)
	if e.o.onStep != nil {
		s.onMove = func(before, delta int64) { e.o.onStep(s, before, delta) }
	}
	m := newImprover(s, e.near, searchReach)
	m.off = e.o.off
	a := newAnnealer(m, e.o.Seed+number*0x9e3779b97f4a7c15, e.typical)
	a.beside, a.meanDrive = e.around, e.near.meanDrive(e.core)
	e.workers = append(e.workers, a)
	return a
}

// evaluations is how many changes were priced in full.
func (e *engine) evaluations() int64 {
	sum := int64(0)
	for _, w := range e.workers {
		sum += w.evaluations
	}
	return sum
}

// meanDrive is the mean cost of a drive between neighbours: in large plans those on
// the map, for neighbours in time as well are far apart where windows are narrow,
// and heat by them was too hot (three of four instances of 1,000 visits better at 12
// seconds). In small plans that heat is needed: without it R206 ended 0.46 % above
// the optimum, four times of six.
func (e *engine) meanDrive() float64 {
	if int(e.visits) >= manyVisits {
		return e.around.meanDrive(e.core)
	}
	return e.near.meanDrive(e.core)
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

// cooled is the exponential cooling from hot to cold by the share of the budget
// used.
func cooled(hot, cold, share float64) float64 { return hot * math.Pow(cold/hot, min(1, share)) }

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
	if e.o.Progress == nil || e.done-e.told < every {
		return
	}
	e.told = e.done
	e.o.Progress(Progress{Round: e.done, Elapsed: e.clock.elapsed(), Cost: Cost(e.best.trueCost(e.core)),
		Unserved: int(e.visits) - len(e.best.visits), Missing: int(e.best.missing)})
}

// alone is the search with one worker.
func (e *engine) alone(a *annealer) {
	temperature := e.hot
	course := newCourse(e, a)
	for e.done%16 != 0 || !e.over() {
		if e.o.Iterations > 0 && e.done >= e.o.Iterations {
			break
		}
		if (e.done-course.begun)%64 == 0 {
			temperature = course.next(64)
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
