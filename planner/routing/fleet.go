package routing

import (
	"math"
	"slices"
)

// fewestRoutes closes one route after the other: its visits go to the others as far
// as there is room, and the search makes room for the rest. It gives up when its share
// of the budget is used.
func (e *engine) fewestRoutes(a *annealer) {
	const most = 0.6 // of the budget
	e.closed = make([]bool, len(a.lines))
	for r := range a.lines {
		e.closed[r] = a.lines[r].size == 0
		a.open[r] = !e.closed[r]
	}
	a.forbid()
	for e.best.missing == 0 && e.spent() < most && e.best.routes() > e.leastRoutes() && !e.enoughRoutes() {
		closing := e.closeOne(a)
		if closing < 0 || !e.mend(a, most) {
			break
		}
		e.best.take(a.chains)
	}
	a.take(e.best.orders())
	for r := range a.lines {
		e.closed[r] = a.lines[r].size == 0
		a.open[r] = !e.closed[r]
	}
	a.resetWeights()
	e.used = min(0.9, e.spent())
	a.best.copyFrom(&e.best)
}

// spent is the share of the budget used.
func (e *engine) spent() float64 {
	if e.o.Iterations > 0 {
		return float64(e.done) / float64(e.o.Iterations)
	}
	return e.clock.spent()
}

func (e *engine) enoughRoutes() bool {
	return e.o.Enough != nil && e.best.routes() <= e.o.Enough.Routes
}

// leastRoutes is the number of routes the load alone asks for.
func (e *engine) leastRoutes() int {
	least := 1
	resources := e.p.resources
	for k := range resources {
		sum, largest := int64(0), int64(0)
		for v := range int(e.visits) {
			sum += e.needs[v*resources+k]
		}
		for r := range e.kindOf {
			largest = max(largest, e.capacity[r*resources+k])
		}
		if largest > 0 {
			least = max(least, int((sum+largest-1)/largest))
		}
	}
	return least
}

// closeOne closes one of the shortest routes and puts its visits where there is room. It
// returns the route, or -1 when none may be closed.
func (e *engine) closeOne(a *annealer) int32 {
	closing := int32(-1)
	for r := range int32(len(a.lines)) {
		l := &a.lines[r]
		if l.size == 0 || l.held > 0 {
			continue
		}
		if closing < 0 || l.size < a.lines[closing].size || l.size == a.lines[closing].size && a.random.IntN(2) == 0 {
			closing = r
		}
	}
	if closing < 0 {
		return closing
	}
	a.begin()
	a.pool = a.pool[:0]
	a.touch(closing)
	for a.lines[closing].size > 0 {
		v := a.nodes[a.start(closing)].next
		a.pool = append(a.pool, v)
		a.unlink(v)
		a.lines[closing].size--
	}
	a.refresh(closing)
	e.closed[closing], a.open[closing] = true, false
	a.recreate()
	a.settle()
	a.begin()
	return closing
}

// mend looks for room for the required visits left out until there is none; false when
// the share of the budget is used up.
//
// No rule is broken on the way. A visit is the dearer the more often it was left
// out, so that the search gives up one that is easily placed for one that is not:
// the sum of absences of Christiaens & Vanden Berghe 2020 (see anneal.go).
func (e *engine) mend(a *annealer, most float64) bool {
	const rounds = 20_000 // of one cooling
	defer func() { e.priceLeftOut(e.dear) }()
	absences := make([]int64, e.visits)
	for length := rounds; ; length *= 2 {
		hot, cold := 0.3*e.typical, 0.01*e.typical
		for k := range length {
			if a.missing == 0 {
				return true
			}
			if e.done%16 == 0 && (e.clock.look() || e.spent() >= most) {
				a.take(e.best.orders()) // at the prices it was left at
				return false
			}
			a.roundForAbsent(absences, cooled(hot, cold, float64(k)/float64(length)))
			e.done++
		}
	}
}

// roundForAbsent is one round for the visits left out: kept if they were left out less
// often than those before, or as often and the plan is about as cheap.
func (a *annealer) roundForAbsent(absences []int64, temperature float64) {
	a.begin()
	costBefore, before := a.cost, a.absent(absences)
	a.ruin()
	for v := range a.visits {
		if a.nodes[v].route < 0 && a.p.required[v] && !slices.Contains(a.pool, v) {
			a.pool = append(a.pool, v)
		}
	}
	a.recreate()
	a.settle()
	tried := a.absent(absences)
	a.pool = a.pool[:0]
	for v := range a.visits {
		if a.nodes[v].route < 0 && a.p.required[v] {
			a.pool = append(a.pool, v)
		}
	}
	worse := float64(a.cost - costBefore)
	if a.penalty > 0 || tried > before || tried == before && worse > 0 && worse > -temperature*math.Log(1-a.random.Float64()) {
		a.rollback()
	}
	for _, v := range a.pool {
		absences[v]++
		a.leftOut[v] += int64(a.typical)
		if a.nodes[v].route < 0 {
			a.cost += int64(a.typical)
		}
	}
}

// absent is how often the required visits left out were so before, in all.
func (a *annealer) absent(absences []int64) int64 {
	sum := int64(0)
	for v := range a.visits {
		if a.nodes[v].route < 0 && a.p.required[v] {
			sum += absences[v]
		}
	}
	return sum
}
