package routing

import (
	"cmp"
	"slices"
	"sync"
)

// Two workers.
const (
	// largeEnough is from how many visits on two workers share one plan, each
	// on half of the routes; smaller ones are searched twice, apart.
	largeEnough = 300
	// phase is how many rounds each worker runs between two meetings; the weights
	// move at the meetings.
	phase = weighEvery / 2
)

// apart runs two searches with generators of their own and keeps the better end.
// They do not know of each other, so that neither is drawn into the other's
// valley, and the first is the search that one worker would have run.
func (e *engine) apart(a *annealer) {
	b := e.newWorker(1)
	copy(b.open, a.open)
	b.take(e.best.orders())
	b.best.copyFrom(&e.best)
	workers := [2]*annealer{a, b}
	courses := [2]*course{newCourse(e, a), newCourse(e, b)}
	count := 0
	for !e.over() {
		ran := count
		count = e.next()
		e.inParallel(func(w int) {
			temperature := courses[w].next(ran)
			for range count {
				workers[w].round(temperature)
				workers[w].weigh()
			}
		})
		e.done += 2 * count
		for _, w := range workers {
			if w.best.better(&e.best) {
				e.best.copyFrom(&w.best)
			}
		}
		e.report(1)
	}
}

// next is how many rounds each worker runs next.
func (e *engine) next() int {
	if e.o.Iterations == 0 {
		return min(phase, 64)
	}
	return max(1, min(phase, (e.o.Iterations-e.done)/2))
}

func (e *engine) inParallel(work func(worker int)) {
	var both sync.WaitGroup
	both.Go(func() { work(0) })
	work(1)
	both.Wait()
}

// together lets two workers search one plan: each takes half of the routes, cut
// round a visit drawn at random, and what lies in the other half stays as it is
// until they meet. A round changes a few routes close to each other, so that
// rounds in different halves are as good as rounds one after the other.
func (e *engine) together(a *annealer) {
	b := e.newWorker(1)
	workers := [2]*annealer{a, b}
	for _, w := range workers {
		w.mine = make([]bool, e.visits)
	}
	seeds := [2][]int32{}
	for !e.over() {
		temperature := cooled(e.hot, e.cold, e.share())
		b.copyFrom(a.chains)
		b.warpWeight, b.excessWeight, b.longWeight = a.warpWeight, a.excessWeight, a.longWeight
		b.weightWarp, b.weightExcess, b.weightLong = a.weightWarp, a.weightExcess, a.weightLong
		e.halve(a, workers, &seeds)
		if len(seeds[0]) == 0 || len(seeds[1]) == 0 {
			e.unite(a)
			e.alone(a)
			return
		}
		start := a.cost
		startMissing := a.missing
		count := phase
		if e.o.Iterations > 0 {
			count = max(1, min(phase, (e.o.Iterations-e.done)/2))
		}
		for w, worker := range workers {
			worker.beginHalf(seeds[w])
		}
		e.inParallel(func(w int) {
			for range count {
				workers[w].round(temperature)
			}
		})
		e.done += 2 * count
		e.meet(workers, start, startMissing)
		e.report(1)
	}
}

// unite gives the whole plan back to one worker.
func (e *engine) unite(a *annealer) {
	a.mine, a.frozen, a.goal, a.seeds = nil, 0, feasibleGoal, nil
	for r := range a.open {
		a.open[r] = e.closed == nil || !e.closed[r]
	}
	for v := range a.visits {
		if !a.held[v] {
			a.seeds = append(a.seeds, v)
		}
	}
	a.best.copyFrom(&e.best)
	a.begin()
}

// beginHalf prepares a worker for a phase on its open routes.
func (a *annealer) beginHalf(seeds []int32) {
	a.seeds = seeds
	a.frozen = 0
	for r := range a.lines {
		if !a.open[r] {
			a.frozen += a.lines[r].penalty
		}
	}
	a.best.forget()
	if a.penalty == a.frozen {
		a.best.take(a.chains)
	}
	a.begin()
}

// meet brings the two halves together in the first worker, and keeps the best
// halves if together they are the best plan.
func (e *engine) meet(workers [2]*annealer, start int64, startMissing int32) {
	a, b := workers[0], workers[1]
	if x, y := &a.best, &b.best; x.cost < 1<<62 && y.cost < 1<<62 {
		both := kept{cost: x.cost + y.cost - start, missing: x.missing + y.missing - startMissing}
		if both.better(&e.best) {
			both.cut = append(both.cut, 0)
			for r := range a.lines {
				half := x
				if b.open[r] {
					half = y
				}
				both.visits = append(both.visits, half.visits[half.cut[r]:half.cut[r+1]]...)
				both.cut = append(both.cut, int32(len(both.visits)))
			}
			e.best = both
		}
	}
	a.adopt(b, start, startMissing)
	a.rounds += b.rounds
	a.clean += b.clean
	b.rounds, b.clean = 0, 0
	a.goal = halfGoal
	a.settleWeights()
}

// halfGoal is feasibleGoal for half of a plan: both halves must be clean.
const halfGoal = 0.7

// adopt takes over the other's open routes and visits.
func (a *annealer) adopt(b *annealer, start int64, startMissing int32) {
	resources := a.p.resources
	move := func(id int32) {
		a.nodes[id], a.out[id], a.outTo[id] = b.nodes[id], b.out[id], b.outTo[id]
		copy(a.load[int(id)*resources:int(id+1)*resources], b.load[int(id)*resources:])
	}
	for r := range int32(len(a.lines)) {
		if !b.open[r] {
			continue
		}
		a.penalty += b.lines[r].penalty - a.lines[r].penalty
		a.lines[r] = b.lines[r]
		copy(a.total[int(r)*resources:int(r+1)*resources], b.total[int(r)*resources:])
		move(a.start(r))
		move(a.end(r))
	}
	for v := range a.visits {
		if b.mine[v] {
			if (a.nodes[v].route >= 0) != (b.nodes[v].route >= 0) {
				a.served--
				if b.nodes[v].route >= 0 {
					a.served += 2
				}
			}
			move(v)
		}
	}
	a.cost += b.cost - start
	a.missing += b.missing - startMissing
	a.begin()
}

// copyFrom makes the plan another's.
func (s *chains) copyFrom(t *chains) {
	copy(s.nodes, t.nodes)
	copy(s.out, t.out)
	copy(s.outTo, t.outTo)
	copy(s.lines, t.lines)
	copy(s.load, t.load)
	copy(s.total, t.total)
	copy(s.groupCount, t.groupCount)
	copy(s.groupRoute, t.groupRoute)
	s.cost, s.penalty, s.served, s.missing = t.cost, t.penalty, t.served, t.missing
	s.begin()
}

// halve deals routes and left-out visits to the workers: the half nearer to a
// visit drawn at random, and the other.
func (e *engine) halve(a *annealer, workers [2]*annealer, seeds *[2][]int32) {
	centre := int32(a.random.IntN(int(a.visits)))
	type distant struct {
		route int32
		mean  float64
	}
	var order []distant
	empty := 0
	for r := range int32(len(a.lines)) {
		workers[0].open[r], workers[1].open[r] = false, false
		if e.closed != nil && e.closed[r] {
			continue
		}
		if a.lines[r].size == 0 {
			workers[empty%2].open[r] = true
			empty++
			continue
		}
		sum := 0.0
		for v := a.nodes[a.start(r)].next; v < a.visits; v = a.nodes[v].next {
			sum += a.meanCost(a.leg(centre, v))
		}
		order = append(order, distant{r, sum / float64(a.lines[r].size)})
	}
	slices.SortFunc(order, func(x, y distant) int {
		return cmp.Or(cmp.Compare(x.mean, y.mean), cmp.Compare(x.route, y.route))
	})
	taken := int32(0)
	for _, d := range order {
		half := 0
		if 2*taken >= a.served {
			half = 1
		}
		taken += a.lines[d.route].size
		workers[half].open[d.route] = true
	}
	seeds[0], seeds[1] = seeds[0][:0], seeds[1][:0]
	for v := range a.visits {
		half := 0
		if workers[1].open[e.homeOf(a, v)] {
			half = 1
		}
		workers[half].mine[v], workers[1-half].mine[v] = true, false
		if !a.held[v] {
			seeds[half] = append(seeds[half], v)
		}
	}
}

// homeOf is the route of a visit, or of the nearest served one.
func (e *engine) homeOf(a *annealer, v int32) int32 {
	if r := a.nodes[v].route; r >= 0 {
		return r
	}
	for _, near := range a.near.next[v] {
		if r := a.nodes[near.visit].route; r >= 0 {
			return r
		}
	}
	return v % int32(len(a.lines))
}
