package routing

import (
	"cmp"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Two workers.
const (
	// largeEnough is from how many visits on two workers share one plan; smaller
	// ones are searched twice, apart.
	largeEnough = 300
	// phase is how many rounds each worker runs at most before both are looked at.
	phase = weighEvery / 2
	// batchRounds is about how many rounds each runs between two meetings on one plan.
	batchRounds = 16
	// halvedEvery is the least number of meetings between two cuts of the map.
	halvedEvery = 64
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
	counts := [2]int{}
	for !e.over() {
		ran := counts
		counts = e.next()
		e.inParallel(func(w int) {
			temperature := courses[w].next(ran[w])
			for range counts[w] {
				workers[w].round(temperature)
				workers[w].weigh()
			}
		})
		e.done += counts[0] + counts[1]
		for _, w := range workers {
			if w.best.better(&e.best) {
				e.best.copyFrom(&w.best)
			}
		}
		e.report(1)
	}
}

// next is how many rounds each worker runs next, at most.
func (e *engine) next() [2]int {
	if e.o.Iterations == 0 {
		return [2]int{64, 64}
	}
	left := e.o.Iterations - e.done
	return [2]int{min(phase, (left+1)/2), min(phase, left/2)}
}

func (e *engine) inParallel(work func(worker int)) {
	var both sync.WaitGroup
	both.Go(func() { work(0) })
	work(1)
	both.Wait()
}

// together lets two workers search one plan. Between two meetings each runs a few
// rounds on a copy of its own, about visits of its own half of the map. At the
// meeting what one of them changed goes into the other's copy as well, route by
// route; where both changed the same route, one of them has its way, by turns. So a
// round of either is a round of one search, as if there was one fast worker, but
// for the few that are lost.
//
// How long a batch is, is told in prices worked out and not in rounds or by the
// clock: so both are done at about the same time, and the same in every run.
func (e *engine) together(a *annealer) {
	b := e.newWorker(1)
	copy(b.open, a.open)
	b.copyFrom(a.chains)
	b.best.copyFrom(&e.best)
	p := newPair(e, a, b)
	p.shareWeights()
	turns := newTurns(func() { p.batch(1) })
	defer turns.end()
	begun, priced := e.done, e.evaluations()
	for turn := 0; !e.over(); turn++ {
		if turn%max(halvedEvery, len(p.seeds)/batchRounds) == 0 {
			p.halve()
		}
		p.prices = 1
		if ran := e.done - begun; ran > 0 {
			p.prices = max(1, batchRounds*(e.evaluations()-priced)/int64(ran))
		}
		p.most = e.next()
		p.temperature = cooled(e.hot, e.cold, e.share())
		turns.begin()
		p.batch(0)
		turns.await()
		p.meet(turn % 2)
		e.report(500)
	}
}

// turns lets another goroutine do something again and again, at the same time as the
// caller. Both wait by looking, for a turn is over in a millisecond or two, and to be
// woken takes a good part of one.
type turns struct {
	begun, done atomic.Int64
	ended       atomic.Bool
}

func newTurns(work func()) *turns {
	t := &turns{}
	go func() {
		for turn := int64(1); ; turn++ {
			for t.begun.Load() < turn {
				if t.ended.Load() {
					return
				}
				runtime.Gosched()
			}
			work()
			t.done.Store(turn)
		}
	}()
	return t
}

func (t *turns) begin() { t.begun.Add(1) }

func (t *turns) await() {
	for t.done.Load() < t.begun.Load() {
		runtime.Gosched()
	}
}

func (t *turns) end() { t.ended.Store(true) }

// pair is two workers on one plan.
type pair struct {
	*engine
	workers [2]*annealer
	seeds   []int32  // visits that rounds may begin at
	away    []ranked // they, by how far from the middle of a half
	taken   []bool   // by route and left-out visit: changed by the one who has its way
	tied    []int32  // by route and left-out visit: one it was changed along with

	// The next batch: how hot, until about so many prices are worked out, and at most
	// so many rounds of each worker.
	temperature float64
	prices      int64
	most        [2]int
}

// batch runs one worker's rounds.
func (p *pair) batch(worker int) {
	a := p.workers[worker]
	a.changes.clear()
	for end := a.evaluations + p.prices; a.changes.ran < p.most[worker] && a.evaluations < end; a.changes.ran++ {
		a.round(p.temperature)
	}
}

func newPair(e *engine, a, b *annealer) *pair {
	things := len(a.lines) + int(e.visits)
	p := &pair{engine: e, workers: [2]*annealer{a, b}, seeds: a.seeds, taken: make([]bool, things), tied: make([]int32, things)}
	for i := range p.tied {
		p.tied[i] = int32(i)
	}
	for _, w := range p.workers {
		w.seeds = nil
		w.changes = &changeLog{wasOn: make([]int64, e.visits)}
		w.best.copyFrom(&e.best)
		w.begin()
	}
	return p
}

// halve deals the visits to begin at: those nearer to one drawn at random, and the
// others.
func (p *pair) halve() {
	a, b := p.workers[0], p.workers[1]
	centre := p.seeds[a.random.IntN(len(p.seeds))]
	p.away = p.away[:0]
	for _, v := range p.seeds {
		p.away = append(p.away, ranked{v, p.meanCost(p.leg(centre, v))})
	}
	slices.SortFunc(p.away, func(x, y ranked) int { return cmp.Or(cmp.Compare(x.rank, y.rank), cmp.Compare(x.visit, y.visit)) })
	a.seeds, b.seeds = a.seeds[:0], b.seeds[:0]
	for i, s := range p.away {
		if 2*i < len(p.away) {
			a.seeds = append(a.seeds, s.visit)
		} else {
			b.seeds = append(b.seeds, s.visit)
		}
	}
}

// meet makes both copies the same again, with the changes of both; first is who has
// its way.
func (p *pair) meet(first int) {
	a, b := p.workers[0], p.workers[1]
	p.settle(p.workers[first], p.workers[1-first])
	if p.o.onMeet != nil {
		p.o.onMeet(a.chains, b.chains)
	}
	for _, w := range p.workers {
		p.done += w.changes.ran
		w.keepIfBest() // what both changed may be better than either
		if w.best.better(&p.best) {
			p.best.copyFrom(&w.best)
		}
	}
	for _, w := range p.workers {
		if p.best.better(&w.best) {
			w.best.copyFrom(&p.best)
		}
	}
	a.rounds, b.rounds = a.rounds+b.rounds, 0
	for k := range a.clean {
		a.clean[k], b.clean[k] = a.clean[k]+b.clean[k], 0
	}
	if a.weigh() {
		p.shareWeights()
	}
}

// shareWeights gives the second worker the weights of the first.
func (p *pair) shareWeights() {
	a, b := p.workers[0], p.workers[1]
	b.warpWeight, b.excessWeight, b.longWeight, b.scarce = a.warpWeight, a.excessWeight, a.longWeight, a.scarce
	b.setWeights()
}

// settle brings the changes of x, and those of y that are apart from them, into
// both copies.
func (p *pair) settle(x, y *annealer) {
	from, to := x.changes, y.changes
	for _, k := range from.things {
		p.taken[k] = true
	}
	// Routes that a round of y changed together stay together: a visit may have
	// gone from one to the other.
	for _, c := range to.rounds {
		things := to.things[c.low:c.high]
		for _, k := range things[1:] {
			p.tied[p.root(k)] = p.root(things[0])
		}
	}
	for _, k := range to.things {
		if p.taken[k] {
			p.taken[p.root(k)] = true
		}
	}
	cost, penalty, wrong, served, missing := x.cost, x.penalty, x.broken, x.served, x.missing
	for _, c := range to.rounds {
		if p.taken[p.root(to.things[c.low])] {
			continue
		}
		cost, penalty, served, missing = cost+c.cost, penalty+c.penalty, served+c.served, missing+c.missing
		wrong.add(c.broken)
		for _, k := range to.things[c.low:c.high] {
			x.copyThing(y.chains, k)
		}
	}
	for _, c := range to.rounds {
		if p.taken[p.root(to.things[c.low])] {
			for _, k := range to.things[c.low:c.high] {
				y.copyThing(x.chains, k)
			}
		}
	}
	for _, k := range from.things {
		y.copyThing(x.chains, k)
	}
	for _, w := range p.workers {
		w.cost, w.penalty, w.broken, w.served, w.missing = cost, penalty, wrong, served, missing
		w.begin()
	}
	for _, c := range [2]*changeLog{from, to} {
		for _, k := range c.things {
			p.taken[k] = false
		}
	}
	for _, k := range to.things {
		p.taken[p.root(k)] = false
	}
	for _, k := range to.things {
		p.tied[k] = k
	}
}

// root is what stands for all that was changed together.
func (p *pair) root(k int32) int32 {
	for p.tied[k] != k {
		p.tied[k] = p.tied[p.tied[k]]
		k = p.tied[k]
	}
	return k
}

// copyThing copies a route, or that a visit is left out.
func (s *chains) copyThing(t *chains, k int32) {
	if k >= int32(len(s.lines)) {
		v := k - int32(len(s.lines))
		if t.nodes[v].route < 0 {
			s.nodes[v] = t.nodes[v]
		}
		return
	}
	resources := s.p.resources
	s.lines[k] = t.lines[k]
	copy(s.total[int(k)*resources:int(k+1)*resources], t.total[int(k)*resources:])
	for at := s.start(k); at >= 0; at = t.nodes[at].next {
		s.nodes[at], s.out[at], s.outTo[at] = t.nodes[at], t.out[at], t.outTo[at]
		copy(s.load[int(at)*resources:int(at+1)*resources], t.load[int(at)*resources:])
	}
}

// changeLog is what a worker changed since the last meeting: round by round, the
// routes, and the visits that were served before and not after, or the other way
// round (numbered after the routes).
type changeLog struct {
	things []int32
	rounds []roundChange
	wasOn  []int64 // by visit: the round in which it was on a changed route before
	round  int64
	ran    int // rounds
}

// roundChange is what one round changed.
type roundChange struct {
	low, high       int // of things
	cost, penalty   int64
	broken          broken
	served, missing int32
}

func (c *changeLog) clear() { c.things, c.rounds, c.ran = c.things[:0], c.rounds[:0], 0 }

// logRound records what the round changed for good.
func (a *annealer) logRound() {
	c, u := a.changes, &a.undo
	low := len(c.things)
	c.round++
	someLeftOut := u.served < a.visits || a.served < a.visits
	for i, r := range u.touched {
		if ids := u.nodesOf(i); a.differs(r, ids, u.nodes[u.cut[i]:]) {
			c.things = append(c.things, r)
			for _, id := range ids {
				if someLeftOut && id < a.visits {
					c.wasOn[id] = c.round
				}
			}
		}
	}
	high := len(c.things)
	if high == low {
		return
	}
	if someLeftOut {
		routes := int32(len(a.lines))
		for i, r := range u.touched {
			for _, id := range u.nodesOf(i) {
				if id < a.visits && c.wasOn[id] == c.round && a.nodes[id].route < 0 {
					c.things = append(c.things, routes+id)
				}
			}
			if !slices.Contains(c.things[low:high], r) {
				continue
			}
			for v := a.nodes[a.start(r)].next; v < a.visits; v = a.nodes[v].next {
				if c.wasOn[v] != c.round {
					c.things = append(c.things, routes+v)
				}
			}
		}
	}
	wrong := a.broken
	wrong.subtract(u.broken)
	c.rounds = append(c.rounds, roundChange{low, len(c.things), a.cost - u.cost, a.penalty - u.penalty, wrong, a.served - u.served, a.missing - u.missing})
}

// nodesOf are the nodes of the i-th route touched, as they were.
func (u *undoLog) nodesOf(i int) []int32 {
	if i+1 < len(u.cut) {
		return u.ids[u.cut[i]:u.cut[i+1]]
	}
	return u.ids[u.cut[i]:]
}

// differs reports whether a route has other visits than it had, in another order or
// other windows.
func (s *chains) differs(r int32, ids []int32, nodes []node) bool {
	at := s.start(r)
	for i, id := range ids {
		if at != id || s.nodes[at].own != nodes[i].own {
			return true
		}
		at = s.nodes[at].next
	}
	return false
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
	s.cost, s.penalty, s.broken, s.served, s.missing = t.cost, t.penalty, t.broken, t.served, t.missing
	s.begin()
}
