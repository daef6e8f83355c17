package routing

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Parameters of the search, as measured best (see ablation.md).
const (
	insertReach  = 60   // neighbours of each list tried for putting a visit back
	searchReach  = 20   // and in the local search
	weighEvery   = 200  // rounds between changes of the penalty weights, at most
	weighUp      = 1.15 // when too few rounds end without penalties
	weighDown    = 0.9
	dearest      = 1e12 // a penalty weight, so that sums stay far from overflow
	strangers    = 2    // left-out visits drawn from all, to compete
	feasibleGoal = 0.5  // share of rounds that should end without penalties
	eachGoal     = 0.7  // and without one penalty, where two kinds are frequent in a large plan
	wholeRoutes  = 0.03 // share of rounds that take a whole route out of a large plan, at least
	daring       = 0.1  // share of rounds that put optional visits in at a loss
)

// annealer runs rounds of: take strings of visits out, put them back greedily
// under penalties, local search about what was touched, keep or take back by
// simulated annealing.
//
// String removal: Christiaens & Vanden Berghe 2020, Transportation Science 54:417.
// Penalties and their adaptation: Vidal et al. 2013 (see segment.go). Cooling:
// Kirkpatrick, Gelatt, Vecchi 1983, Science 220:671.
type annealer struct {
	*improver
	random  *rand.Rand
	source  rand.PCG
	pool    []int32
	ruined  []bool
	changed []int32
	key     []float64
	empties []int32
	seeds   []int32    // visits a round may begin at
	beside  neighbours // of all visits, on the map

	warpWeight, excessWeight, longWeight weight
	rounds                               int    // since the weights last changed
	clean                                [3]int // of them, without penalty for warp, excess, duration
	scarce                               bool   // see raiseCeilings
	typical                              float64
	blinkEvery                           float64 // one gap in so many is overlooked
	untilBlink                           int     // so many gaps from now
	routesOut                            float64 // share of rounds that take a whole route out
	meanDrive                            float64
	dare                                 int64 // loss at which an optional visit is put in, for now

	best    kept       // the best plan without penalties
	changes *changeLog // of a worker who shares a plan; nil = none

	_ memoryLine
}

// weight is a penalty weight between bounds.
type weight struct{ value, low, high float64 }

func (w *weight) move(factor float64) { w.value = min(max(w.value*factor, w.low), w.high) }

func newAnnealer(m *improver, seed uint64, typical float64) *annealer {
	a := &annealer{improver: m, source: *rand.NewPCG(seed, 0x76616c7665),
		ruined: make([]bool, len(m.lines)), key: make([]float64, m.visits),
		blinkEvery: max(8, min(128, 2*float64(m.visits)))} // few gaps need more of it
	a.random = rand.New(&a.source)
	a.drawBlink()
	if m.visits >= manyVisits {
		a.routesOut = wholeRoutes
	}
	for v := range m.visits {
		if !m.held[v] {
			a.seeds = append(a.seeds, v)
		}
	}
	a.typical = typical
	a.resetWeights()
	return a
}

// resetWeights puts the penalty weights where they start.
func (a *annealer) resetWeights() {
	m := a.improver
	perSecond := max(1, m.meanSecond+m.meanMetre*m.metresPerSecond())
	a.warpWeight = weight{10 * perSecond, max(1, perSecond/10), 5000 * perSecond}
	a.longWeight = a.warpWeight
	need := 0.0
	for _, n := range m.needs {
		need += float64(n)
	}
	perNeed := max(1, a.typical/max(1, need/float64(m.visits)))
	a.excessWeight = weight{2 * perNeed, max(1, perNeed/50), 800 * perNeed}
	a.scarce = false
	a.setWeights()
}

// raiseCeilings lets the weights grow until breaking a rule by one unit costs more
// than leaving a required visit out: where not all can be served, the search would
// never come to a plan that keeps the rules otherwise.
func (a *annealer) raiseCeilings() {
	a.scarce = true
	for _, w := range []*weight{&a.warpWeight, &a.excessWeight, &a.longWeight} {
		w.high = max(w.high, min(4*float64(a.dear), dearest))
	}
}

func (a *annealer) setWeights() {
	a.weightWarp = int64(math.Round(a.warpWeight.value))
	a.weightExcess = int64(math.Round(a.excessWeight.value))
	a.weightLong = int64(math.Round(a.longWeight.value))
	a.reweigh()
}

// weigh moves the weights towards the share of clean rounds aimed at, once in so
// many rounds, and reports whether it did.
func (a *annealer) weigh() bool {
	if a.rounds < min(weighEvery, max(10, 2*int(a.visits))) {
		return false
	}
	a.settleWeights()
	return true
}

func (a *annealer) settleWeights() {
	if !a.scarce && a.best.missing > 0 && a.best.missing < unknown {
		a.raiseCeilings()
	}
	often := 0 // rules broken often
	for _, clean := range a.clean {
		if float64(clean) < 0.9*float64(a.rounds) {
			often++
		}
	}
	goal := feasibleGoal
	if a.visits >= manyVisits && often > 1 {
		goal = eachGoal
	}
	for k, w := range [...]*weight{&a.warpWeight, &a.excessWeight, &a.longWeight} {
		switch clean := float64(a.clean[k]); {
		case clean == 0:
			w.move(weighUp * weighUp)
		case clean > goal*float64(a.rounds):
			w.move(weighDown)
		default:
			w.move(weighUp)
		}
	}
	a.rounds, a.clean = 0, [3]int{}
	a.setWeights()
}

// round is one round at a temperature.
func (a *annealer) round(temperature float64) {
	a.begin()
	before := a.cost + a.penalty
	a.ruin()
	a.recreate()
	if a.off&offLocalSearch == 0 && (a.visits < manyVisits || !a.unchanged()) {
		a.settle()
	}
	a.forget()
	if a.off&offAnnealing != 0 {
		temperature = 0
	}
	worse := float64(a.cost + a.penalty - before)
	if worse > 0 && worse > -temperature*math.Log(1-a.random.Float64()) {
		a.rollback()
	} else {
		a.keepIfBest()
		if a.changes != nil {
			a.logRound()
		}
	}
	a.count()
}

// unchanged reports whether all that was taken out went back where it was, as it often
// does: about that the local search has looked before. (In small plans looking again
// pays.)
func (a *annealer) unchanged() bool {
	u := &a.undo
	for i, r := range u.touched {
		if a.differs(r, u.nodesOf(i), u.nodes[u.cut[i]:]) {
			return false
		}
	}
	return true
}

// count counts the round, and what it broke. In large plans each weight moves for
// itself; in small ones all three together.
func (a *annealer) count() {
	a.rounds++
	for k, amount := range [...]int64{a.broken.warp, a.broken.excess, a.broken.long} {
		if a.penalty == 0 || a.visits >= manyVisits && amount == 0 {
			a.clean[k]++
		}
	}
}

// keepIfBest keeps the plan of now, if it is the best without penalties.
func (a *annealer) keepIfBest() {
	if a.penalty == 0 && (a.missing < a.best.missing || a.missing == a.best.missing && a.cost < a.best.cost) {
		a.best.take(a.chains)
	}
}

// ruin takes strings of visits out of routes round a random visit.
func (a *annealer) ruin() {
	a.pool, a.changed = a.pool[:0], a.changed[:0]
	seed := a.seeds[a.random.IntN(len(a.seeds))]
	served, used := 0, 0
	for r := range a.lines {
		if n := a.lines[r].size; n > 0 && a.open[r] {
			served, used = served+int(n), used+1
		}
	}
	if used > 0 {
		longest := min(longestString, float64(served)/float64(used))
		most := 4*meanRemoved/(1+longest) - 1
		strings := int(a.random.Float64()*most) + 1
		if a.off&offRoutes == 0 && a.takesRoute(float64(served)/float64(used)) {
			a.ruinRoute(seed)
		} else {
			a.ruinString(seed, longest)
			a.ruinBeside(seed, strings, longest)
		}
	}
	for _, r := range a.changed {
		a.ruined[r] = false
		a.refresh(r)
	}
	if int(a.served)+len(a.pool) < int(a.visits) {
		a.inviteRivals(seed)
	}
}

// takesRoute draws whether a round takes a whole route out: in large plans more often
// where routes are short, for the longer they are the longer it takes.
func (a *annealer) takesRoute(visits float64) bool {
	if a.routesOut == 0 {
		return false
	}
	share := a.routesOut
	if a.visits >= manyVisits {
		share = max(share, min(0.1, 1/visits))
	}
	return a.random.Float64() < share
}

// ruinRoute takes all visits out of the shortest route among those of the seed and
// its first neighbours. Strings alone hardly ever empty a route of fifty visits, and
// a plan with a route too many is dear: with it RC2_10_4 came to 2.0 % from 5.3 %
// above the best known (60,000 rounds, two seeds). In plans of 100 visits, with
// shorter routes, it did harm (0.32 against 0.22 %, 39 instances, 15,000 rounds).
func (a *annealer) ruinRoute(seed int32) {
	const looked = 10 // neighbours
	shortest := int32(-1)
	offer := func(v int32) {
		r := a.nodes[v].route
		if r >= 0 && a.open[r] && a.lines[r].held == 0 && (shortest < 0 || a.lines[r].size < a.lines[shortest].size) {
			shortest = r
		}
	}
	offer(seed)
	next := a.near.next[seed]
	for i := range min(looked, len(next)) {
		offer(next[i].visit)
	}
	if shortest < 0 {
		return
	}
	a.touch(shortest)
	a.ruined[shortest] = true
	a.changed = append(a.changed, shortest)
	for u := a.nodes[a.start(shortest)].next; u < a.visits; {
		next := a.nodes[u].next
		a.pool = append(a.pool, u)
		a.unlink(u)
		u = next
	}
}

// ruinBeside takes strings that hold neighbours of the seed, until there are
// enough: neighbours on the map, as published; in large plans every other time
// neighbours in time as well, which left a smaller gap (three instances of 1,000
// visits, 60,000 rounds, two seeds: R2_10_4 2.3 against 4.1 %, RC2_10_4 2.5
// against 4.4 %, R1_10_1 1.5 against 1.4 %, map and time by turns against time only).
func (a *annealer) ruinBeside(seed int32, strings int, longest float64) {
	if a.visits < manyVisits || a.random.IntN(2) == 0 {
		for _, v := range a.beside[seed] {
			if len(a.changed) >= strings {
				return
			}
			a.ruinString(int32(v), longest)
		}
		return
	}
	next, last := a.near.next[seed], a.near.last[seed]
	for i := 0; i < max(len(next), len(last)) && len(a.changed) < strings; i++ {
		if i < len(next) {
			a.ruinString(next[i].visit, longest)
		}
		if i < len(last) && len(a.changed) < strings {
			a.ruinString(last[i].visit, longest)
		}
	}
}

// ruinString takes a random string that holds v out of its route, once a round
// and route; every other time it jumps over a piece in the middle.
func (a *annealer) ruinString(v int32, longest float64) {
	r := a.nodes[v].route
	if r < 0 || a.ruined[r] || !a.open[r] || a.held[v] {
		return
	}
	line := &a.lines[r]
	free := int(line.size - line.held)
	length := min(int(a.random.Float64()*min(longest, float64(free)))+1, free)
	skip := 0
	if length > 1 && length < free && a.off&offSplit == 0 && a.random.Float64() < splitShare {
		for skip = 1; length+skip < free && a.random.Float64() < splitGrow; skip++ {
		}
	}
	total := length + skip
	at := int(a.nodes[v].place - 1 - line.held) // among the free ones
	low, high := max(0, at-total+1), min(at, free-total)
	first := low + a.random.IntN(high-low+1)
	skipFrom := total
	if skip > 0 {
		skipFrom = 1 + a.random.IntN(length-1)
	}
	a.touch(r)
	a.ruined[r] = true
	a.changed = append(a.changed, r)
	u := v
	for ; at > first; at-- {
		u = a.nodes[u].prev
	}
	a.push(a.nodes[u].prev)
	for k := range total {
		next := a.nodes[u].next
		if k < skipFrom || k >= skipFrom+skip {
			a.pool = append(a.pool, u)
			a.unlink(u)
		} else {
			a.push(u)
		}
		u = next
	}
	a.push(u)
}

// inviteRivals adds left-out visits near the hole to the pool.
func (a *annealer) inviteRivals(seed int32) {
	removed := len(a.pool)
	if a.nodes[seed].route < 0 && !slices.Contains(a.pool, seed) {
		a.pool = append(a.pool, seed)
	}
	invited := 0
	for _, near := range a.near.next[seed] {
		v := near.visit
		if invited == rivals {
			return
		}
		if a.nodes[v].route < 0 && !a.held[v] && a.random.IntN(2) == 0 && !slices.Contains(a.pool[:removed], v) {
			a.pool = append(a.pool, v)
			invited++
		}
	}
	// Visits that no route serves one after the other are on none of each
	// other's lists, but may compete for the same hour.
	for range strangers {
		v := a.seeds[a.random.IntN(len(a.seeds))]
		if a.nodes[v].route < 0 && !slices.Contains(a.pool, v) {
			a.pool = append(a.pool, v)
		}
	}
}

// recreate puts the pool back, in an order drawn at random, each visit where it
// costs least, overlooking a gap in 128, or more where there are few. Now and then optional
// visits go in at a loss: a route may pay only when several share it. The local search
// takes out again what does not.
func (a *annealer) recreate() {
	a.sortPool(a.random.IntN(15))
	a.listEmpties()
	a.dare = 0
	if a.prizes && a.random.Float64() < daring {
		// What is served may have cost next to nothing, beside where the crew starts.
		a.dare = int64(-max(a.typical, a.meanDrive) * math.Log(1-a.random.Float64()))
	}
	for _, v := range a.pool {
		a.putBack(v)
	}
	a.dare = 0
}

func (a *annealer) putBack(v int32) { a.put(v, a.bestSpot(v)) }

// put serves a left-out visit at a spot, if there is one.
func (a *annealer) put(v int32, at spot) bool {
	if at.left < 0 {
		return false
	}
	r := a.nodes[at.left].route
	right := a.nodes[at.left].next
	a.change(r, r, at.delta, func() { a.linkPicked(v, at.left, r, at.window) })
	a.push(at.left)
	a.push(v)
	a.push(right)
	return true
}

// bestSpotAnywhere is the cheapest gap of all used routes.
func (a *annealer) bestSpotAnywhere(v int32) spot {
	best := spot{left: -1}
	for r := range int32(len(a.lines)) {
		if a.lines[r].size == 0 || !a.open[r] || !a.admits(v, r) {
			continue
		}
		if a.lines[r].serviced+int64(a.serviceOn(v, r)) > int64(a.longest[r]) {
			continue // the visits alone take too long
		}
		for left := a.start(r); left < a.visits || left == a.start(r); left = a.nodes[left].next {
			if !a.mayFollow(left) {
				continue
			}
			if delta := a.trySpot(v, left, best.delta); delta < best.delta {
				best = spot{left, delta, a.picked[0]}
			}
		}
	}
	return best
}

// bestSpot is the cheapest gap beside a neighbour, or on an empty route, if it
// is cheaper than leaving the visit out.
func (a *annealer) bestSpot(v int32) spot {
	best := spot{left: -1, delta: a.dare}
	a.trial++
	for i := range a.near.last[v] {
		near := &a.near.last[v][i]
		u := near.visit
		if r := a.nodes[u].route; r >= 0 && a.open[r] && a.worthTrying(v, u, near.drive, best.delta) {
			a.trySpotBeside(v, u, near.drive, a.leg(v, a.nodes[u].next), &best)
		}
	}
	for i := range a.near.next[v] {
		near := &a.near.next[v][i]
		n := &a.nodes[near.visit]
		if n.route >= 0 && a.open[n.route] && a.worthTrying(v, n.prev, near.drive, best.delta) {
			a.trySpotBeside(v, n.prev, a.legInto(n.prev, v), near.drive, &best)
		}
	}
	for _, r := range a.empties {
		if left := a.start(r); a.lines[r].size == 0 && a.tried[left] != a.trial {
			a.trySpotBeside(v, left, a.legInto(left, v), a.leg(v, a.end(r)), &best)
		}
	}
	return best
}

// worthTrying reports whether the gap after a node was not tried yet, and one of
// the two new drives alone is not too dear already: time and load only add to it.
func (a *annealer) worthTrying(v, left int32, one drive, limit int64) bool {
	if a.tried[left] == a.trial {
		return false
	}
	longer := int64(one.metres) - int64(a.out[left].metres)
	if longer <= 0 {
		return true
	}
	r := a.nodes[left].route
	return a.metre[r]*longer+a.placement(v, r)-a.leftOut[v] < limit || a.restsOn(r)
}

// trySpotBeside prices a gap, unless it is overlooked, and keeps it if it is the
// best so far.
func (a *annealer) trySpotBeside(v, left int32, in, out drive, best *spot) {
	a.tried[left] = a.trial
	if !a.mayFollow(left) || a.overlooks() {
		return
	}
	if delta := a.trySpotBetween(v, left, in, out, best.delta); delta < best.delta {
		*best = spot{left, delta, a.picked[0]}
	}
}

// overlooks is true once in so many times: a blink.
func (a *annealer) overlooks() bool {
	a.untilBlink--
	if a.untilBlink > 0 {
		return false
	}
	a.drawBlink()
	return a.off&offBlinks == 0
}

// drawBlink draws after how many gaps the next is overlooked.
func (a *annealer) drawBlink() {
	a.untilBlink = 1 + int(math.Log(1-a.random.Float64())/math.Log1p(-1/a.blinkEvery))
}

// listEmpties lists empty routes, of those that are alike the first few.
func (a *annealer) listEmpties() {
	const few = 3
	a.empties = a.empties[:0]
	for r := range int32(len(a.lines)) {
		if a.lines[r].size > 0 || !a.open[r] {
			continue
		}
		listed := 0
		if len(a.p.alike[r]) > 0 {
			for _, q := range a.empties {
				if a.p.alike[q] != nil && &a.p.alike[q][0] == &a.p.alike[r][0] {
					listed++
				}
			}
		}
		if listed < few {
			a.empties = append(a.empties, r)
		} else if a.oneKind {
			break
		}
	}
}

// littleTimeFirst is the criterion of sortPool that puts visits first that are
// seldom open.
const littleTimeFirst = 11

// sortPool orders the pool by a criterion, 0 to 14; required visits come before
// optional ones.
func (a *annealer) sortPool(criterion int) {
	for _, v := range a.pool {
		visit := &a.p.spec.Visits[v]
		key := a.random.Float64()
		switch {
		case criterion < 4:
		case criterion < 8:
			if len(a.p.needs[v]) > 0 {
				key = -float64(a.p.needs[v][0].quantity)
			} else if !a.p.required[v] { // value for the time
				key = -float64(a.p.leftOut[v]) / float64(visit.Service+300)
			}
		case criterion < 11: // far first, near first
			d := a.leg(a.start(0), v)
			key = float64(d.seconds)
			if criterion < 10 {
				key = -key
			}
		case criterion < 13: // littleTimeFirst
			key = a.timeOpen(v)
		case criterion < 14:
			key = float64(a.options[a.optionAt[v*a.kinds]].early)
		default:
			key = float64(a.options[a.optionAt[v*a.kinds+a.kinds]-1].late)
		}
		a.key[v] = key
	}
	slices.SortFunc(a.pool, func(x, y int32) int {
		switch {
		case a.p.required[x] != a.p.required[y]:
			if a.p.required[x] {
				return -1
			}
			return 1
		case a.key[x] < a.key[y]:
			return -1
		case a.key[x] > a.key[y]:
			return 1
		}
		return int(x - y)
	})
}

func (a *annealer) timeOpen(v int32) float64 {
	sum := 0.0
	for _, o := range a.options[a.optionAt[v*a.kinds]:a.optionAt[(v+1)*a.kinds]] {
		sum += float64(o.late - o.early)
	}
	return sum
}

// kept is the best plan seen, flat: each route's visits after one another.
type kept struct {
	cost    int64
	missing int32
	visits  []int32
	cut     []int32
}

// unknown is more visits than can be missing: no plan yet.
const unknown = 1 << 30

// forget makes it no plan.
func (k *kept) forget() {
	k.cost, k.missing, k.visits, k.cut = 1<<62, unknown, k.visits[:0], k.cut[:0]
}

// route is what a route serves.
func (k *kept) route(r int32) []int32 { return k.visits[k.cut[r]:k.cut[r+1]] }

func (k *kept) better(than *kept) bool {
	if k.missing != than.missing {
		return k.missing < than.missing
	}
	return k.cost < than.cost
}

func (k *kept) copyFrom(other *kept) {
	k.cost, k.missing = other.cost, other.missing
	k.visits, k.cut = append(k.visits[:0], other.visits...), append(k.cut[:0], other.cut...)
}

// routes is how many are used.
func (k *kept) routes() int {
	used := 0
	for r := range len(k.cut) - 1 {
		if k.cut[r+1] > k.cut[r] {
			used++
		}
	}
	return used
}

// trueCost is the cost without the dearness of required visits left out.
func (k *kept) trueCost(c *core) int64 { return k.cost - int64(k.missing)*c.dear }

func (k *kept) take(s *chains) {
	k.cost, k.missing = s.cost, s.missing
	k.visits, k.cut = k.visits[:0], append(k.cut[:0], 0)
	for r := range int32(len(s.lines)) {
		for v := s.nodes[s.start(r)].next; v < s.visits; v = s.nodes[v].next {
			k.visits = append(k.visits, v)
		}
		k.cut = append(k.cut, int32(len(k.visits)))
	}
}

func (k *kept) orders() [][]VisitIndex {
	orders := make([][]VisitIndex, len(k.cut)-1)
	for r := range orders {
		orders[r] = []VisitIndex{}
		for _, v := range k.visits[k.cut[r]:k.cut[r+1]] {
			orders[r] = append(orders[r], VisitIndex(v))
		}
	}
	return orders
}
