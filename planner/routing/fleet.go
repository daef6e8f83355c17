package routing

// fewestRoutes empties one route after the other: its visits go to the others
// under penalties, and the search, with the route closed, looks for a plan
// without any. It gives up when its share of the budget is used.
//
// Penalised search for a smaller fleet: Nagata & Bräysy 2009, OR Letters 37:333,
// for the idea of one route less under broken rules; the search here is the
// annealer's own.
func (e *engine) fewestRoutes(a *annealer) {
	const most = 0.6 // of the budget
	e.closed = make([]bool, len(a.lines))
	for r := range a.lines {
		e.closed[r] = a.lines[r].size == 0
		a.open[r] = !e.closed[r]
	}
	for e.spent() < most && e.best.routes() > e.leastRoutes() && !e.enoughRoutes() {
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

// closeOne closes one of the shortest routes and leaves its visits to the pool of
// a first recreate. It returns the route, or -1 when none may be closed.
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

// mend anneals until no penalty and no required visit is left over; false when
// the share of the budget is used up.
func (e *engine) mend(a *annealer, most float64) bool {
	const rounds = 20_000 // of one cooling
	for length := rounds; ; length *= 2 {
		a.resetWeights()
		hot, cold := 0.3*e.typical, 0.01*e.typical
		for k := range length {
			if a.penalty == 0 && a.missing == 0 {
				return true
			}
			if e.done%16 == 0 && (e.clock.look() || e.spent() >= most) {
				return false
			}
			a.best.cost, a.best.missing = -1, 0 // not looked for
			a.round(cooled(hot, cold, float64(k)/float64(length)))
			a.weigh()
			e.done++
		}
	}
}
