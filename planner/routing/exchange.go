package routing

// stretch is none, one or two visits of a route that follow each other.
type stretch struct {
	first, last int32
	size        int32
}

// part is a part of the search that can be switched off for the table in ablation.md.
type part uint16

const (
	offRelocate part = 1 << iota
	offPairs         // relocate and swap of two visits
	offSwap
	offTails
	offWithin
	offLocalSearch
	offPruning
	offSplit
	offBlinks
	offAnnealing
	offRoutes
	offSeveral
)

var nothing = stretch{first: -1, last: -1}

// improver looks for moves that gain, near what was changed last.
type improver struct {
	*chains
	near   nearby
	reach  int    // neighbours the local search looks at, of each list
	open   []bool // by route: may be changed
	queue  []int32
	queued []bool  // by node
	order  []int32 // scratch of moves within a route
	tried  []int64 // by node: the insertion that last tried the gap after it
	trial  int64
	picked [2]segment // the windows behind the last price, where there is a choice

	off         part  // parts switched off, to measure what they bring
	evaluations int64 // of full prices, for the rate

	_ memoryLine
}

// memoryLine keeps what one worker writes all the time out of the memory line of what
// another reads all the time: a shared line cost two workers a third of their speed.
type memoryLine [64]byte

func newImprover(s *chains, near nearby, reach int) *improver {
	m := &improver{chains: s, near: near, reach: reach,
		open: make([]bool, len(s.lines)), queued: make([]bool, len(s.nodes)), tried: make([]int64, len(s.nodes))}
	for r := range m.open {
		m.open[r] = true
	}
	return m
}

// push marks a node as worth a look: something next to it has changed.
func (m *improver) push(u int32) {
	if u >= 0 && u < m.visits && !m.queued[u] {
		m.queued[u] = true
		m.queue = append(m.queue, u)
	}
}

// forget takes the marks of push back.
func (m *improver) forget() {
	for _, u := range m.queue {
		m.queued[u] = false
	}
	m.queue = m.queue[:0]
}

// settle applies moves that gain until none is left about the pushed nodes.
func (m *improver) settle() {
	for head := 0; head < len(m.queue); head++ {
		u := m.queue[head]
		m.queued[u] = false
		for m.nodes[u].route >= 0 && m.improve(u) {
		}
	}
	m.queue = m.queue[:0]
}

// improve applies one move that gains and makes a short drive from or to u.
//
// Gain pruning: a new drive is only worth a try when it is cheaper than the one
// it replaces and the penalties at stake, because an
// improving exchange can be begun at one of its drives where that holds (Lin &
// Kernighan 1973, Operations Research 21:498).
func (m *improver) improve(u int32) bool {
	n := &m.nodes[u]
	r := n.route
	if m.prizes && m.dropVisit(u) {
		return true
	}
	metre, second := m.metre[r], m.second[r]
	loose := int64(0)
	if m.off&offPruning != 0 {
		loose = 1 << 50
	}
	saved := metre*int64(m.out[u].metres) + second*int64(m.out[u].seconds) + m.lines[r].penalty + loose
	all := m.served == m.visits
	next := m.near.next[u]
	for k := range next[:min(m.reach, len(next))] {
		v, d := next[k].visit, next[k].drive
		if all && metre*int64(d.metres)+second*int64(d.seconds) >= saved+m.penalty {
			continue
		}
		q := m.nodes[v].route
		if q < 0 {
			if m.insertBeside(v, u) {
				return true
			}
			continue
		}
		stake := m.lines[q].penalty
		if q == r {
			stake = 0
		}
		if metre*int64(d.metres)+second*int64(d.seconds) >= saved+stake || !m.open[q] {
			continue
		}
		if m.tryArc(u, v, d) {
			return true
		}
	}
	in := m.out[n.prev]
	saved = metre*int64(in.metres) + second*int64(in.seconds) + m.lines[r].penalty + loose
	last := m.near.last[u]
	for k := range last[:min(m.reach, len(last))] {
		v, d := last[k].visit, last[k].drive
		if all && metre*int64(d.metres)+second*int64(d.seconds) >= saved+m.penalty {
			continue
		}
		q := m.nodes[v].route
		if q < 0 {
			if m.insertBeside(v, n.prev) {
				return true
			}
			continue
		}
		stake := m.lines[q].penalty
		if q == r {
			stake = 0
		}
		if metre*int64(d.metres)+second*int64(d.seconds) >= saved+stake || !m.open[q] {
			continue
		}
		if m.tryArc(v, u, d) {
			return true
		}
	}
	return false
}

// tryArc tries the moves that make x drive straight to y, and applies the first
// that gains.
func (m *improver) tryArc(x, y int32, d drive) bool {
	nodes := m.nodes
	a, b := nodes[x].route, nodes[y].route
	nx, py := nodes[x].next, nodes[y].prev
	if nx == y {
		return false
	}
	if a == b {
		return m.off&offWithin == 0 && m.tryWithin(x, y)
	}
	yMoves := !m.held[y]
	xMoves := !m.held[x]
	nxVisit := nx < m.visits
	pyVisit := py < m.visits
	if nxVisit && m.held[nx] {
		return false // nothing may come between x and nx, nor nx leave
	}
	ny, px := nodes[y].next, nodes[x].prev
	pairs := m.off&offPairs == 0
	relocate, swap := m.off&offRelocate == 0, m.off&offSwap == 0
	if relocate && yMoves { // … x [y] nx …
		if m.exchange(a, x, nothing, nx, b, py, stretch{y, y, 1}, ny, d, m.leg(y, nx)) {
			return true
		}
		if pairs && ny < m.visits && m.exchange(a, x, nothing, nx, b, py, stretch{y, ny, 2}, nodes[ny].next, d, m.leg(ny, nx)) {
			return true
		}
	}
	if relocate && xMoves && yMoves { // … py [x] y …
		if m.exchange(b, py, nothing, y, a, px, stretch{x, x, 1}, nx, m.legInto(py, x), d) {
			return true
		}
		if pairs && px < m.visits && !m.held[px] && m.exchange(b, py, nothing, y, a, nodes[px].prev, stretch{px, x, 2}, nx, m.legInto(py, px), d) {
			return true
		}
	}
	if m.off&offTails == 0 && yMoves && m.tails(x, y, d) {
		return true
	}
	if swap && nxVisit && yMoves { // nx and what follows against y and what follows
		nnx := nodes[nx].next
		if m.exchange(a, x, stretch{nx, nx, 1}, nnx, b, py, stretch{y, y, 1}, ny, d, m.leg(y, nnx)) {
			return true
		}
		if pairs && ny < m.visits && m.exchange(a, x, stretch{nx, nx, 1}, nnx, b, py, stretch{y, ny, 2}, nodes[ny].next, d, m.leg(ny, nnx)) {
			return true
		}
		if pairs && nnx < m.visits && m.exchange(a, x, stretch{nx, nnx, 2}, nodes[nnx].next, b, py, stretch{y, y, 1}, ny, d, m.leg(y, nodes[nnx].next)) {
			return true
		}
	}
	if swap && pyVisit && xMoves && yMoves && !m.held[py] { // x and what precedes against py and what precedes
		ppy := nodes[py].prev
		if m.exchange(b, ppy, stretch{py, py, 1}, y, a, px, stretch{x, x, 1}, nx, m.legInto(ppy, x), d) {
			return true
		}
		if pairs && px < m.visits && !m.held[px] && m.exchange(b, ppy, stretch{py, py, 1}, y, a, nodes[px].prev, stretch{px, x, 2}, nx, m.legInto(ppy, px), d) {
			return true
		}
		if pairs && ppy < m.visits && !m.held[ppy] && m.exchange(b, nodes[ppy].prev, stretch{ppy, py, 2}, y, a, px, stretch{x, x, 1}, nx, m.legInto(nodes[ppy].prev, x), d) {
			return true
		}
	}
	return false
}

// exchange is relocate (one stretch empty, also called or-opt) and swap between
// two routes, applied if it gains:
//
//	a: … la [p] ra …        a: … la [q] ra …
//	b: … lb [q] rb …   →    b: … lb [p] rb …
//
// inA and outA are the drives from la to q and from q, which is not empty, to ra.
func (m *improver) exchange(a, la int32, p stretch, ra int32, b, lb int32, q stretch, rb int32, inA, outA drive) bool {
	lineA, lineB := &m.lines[a], &m.lines[b]
	sizeA, sizeB := lineA.size+q.size-p.size, lineB.size+p.size-q.size
	placement := int64(0)
	if m.placed {
		placement = m.moving(p, a, b) + m.moving(q, b, a)
	}
	removedA, removedB := m.out[la], m.out[lb]
	metresA, metresB := -int64(removedA.metres), -int64(removedB.metres)
	seconds := -int64(removedA.seconds) - int64(removedB.seconds)
	if p.size > 0 {
		end := m.out[p.last]
		metresA -= int64(end.metres)
		seconds -= int64(end.seconds)
	}
	if q.size > 0 {
		end := m.out[q.last]
		metresB -= int64(end.metres)
		seconds -= int64(end.seconds)
	}
	// The new drives of the first route, then of the second: most tries end
	// here. An emptied route saves its last, empty drive too, so that the bound
	// may be too high: then leave it to the full price.
	bounded := m.sameRates && sizeA > 0 && sizeB > 0
	stake := lineA.stake + lineB.stake - placement
	metresA += int64(inA.metres) + int64(outA.metres)
	seconds += int64(inA.seconds) + int64(outA.seconds)
	if bounded && m.metre[a]*(metresA+metresB)+m.second[a]*seconds >= stake {
		return false
	}
	inB, outB := m.around(lb, p, rb)
	metresB += int64(inB.metres) + int64(outB.metres)
	seconds += int64(inB.seconds) + int64(outB.seconds)
	if bounded && m.metre[a]*(metresA+metresB)+m.second[a]*seconds >= stake {
		return false
	}
	if !m.takes(a, q) || !m.takes(b, p) {
		return false
	}
	if p.size == 2 {
		inner := int64(m.out[p.first].metres)
		metresA, metresB = metresA-inner, metresB+inner
	}
	if q.size == 2 {
		inner := int64(m.out[q.first].metres)
		metresA, metresB = metresA+inner, metresB-inner
	}
	before := lineA.cost + lineA.penalty + lineB.cost + lineB.penalty
	limit := before - placement
	after := int64(0)
	var pickedQ [2]segment
	if sizeA > 0 {
		after = m.priceWith(a, la, q, ra, inA.seconds, outA.seconds, lineA.metres+metresA, m.excessWith(a, p, q))
		if after >= limit {
			return false
		}
	}
	pickedQ = m.picked
	if sizeB > 0 {
		after += m.priceWith(b, lb, p, rb, inB.seconds, outB.seconds, lineB.metres+metresB, m.excessWith(b, q, p))
	}
	if after >= limit {
		return false
	}
	m.change(a, b, after-limit, func() {
		m.cut(p)
		m.cut(q)
		m.paste(q, la, a)
		m.paste(p, lb, b)
		if m.kinds > 1 || !m.single {
			m.use(q, pickedQ)
			m.use(p, m.picked)
		}
	})
	for _, u := range [...]int32{la, ra, lb, rb, p.first, p.last, q.first, q.last} {
		m.push(u)
	}
	return true
}

// change makes one applied move: undo log, links, refresh. (Called for moves that
// gain only, so its function value is not in the hot path.)
func (m *improver) change(a, b int32, delta int64, relink func()) {
	before := m.cost + m.penalty
	m.touch(a)
	if b != a && b >= 0 {
		m.touch(b)
	}
	relink()
	m.refresh(a)
	if b != a && b >= 0 {
		m.refresh(b)
	}
	if m.onMove != nil {
		m.onMove(before, delta)
	}
}

// around are the drives from left to a stretch and from it to right; from left to
// right, and none, when it is empty.
func (m *improver) around(left int32, x stretch, right int32) (in, out drive) {
	if x.size == 0 {
		return m.leg(left, right), drive{}
	}
	return m.legInto(left, x.first), m.leg(x.last, right)
}

func (m *improver) cut(x stretch) {
	if x.size == 2 {
		m.unlink(x.last)
	}
	if x.size > 0 {
		m.unlink(x.first)
	}
}

func (m *improver) paste(x stretch, left, r int32) {
	if x.size > 0 {
		m.link(x.first, left, r)
	}
	if x.size == 2 {
		m.link(x.last, x.first, r)
	}
}

// use puts windows into use.
func (m *improver) use(x stretch, picked [2]segment) {
	if x.size > 0 {
		m.nodes[x.first].own = picked[0]
	}
	if x.size == 2 {
		m.nodes[x.last].own = picked[1]
	}
}

func (m *improver) takes(r int32, x stretch) bool {
	if x.size == 0 || m.allFit && m.p.groups == 0 {
		return true
	}
	return m.admits(x.first, r) && (x.size == 1 || m.admits(x.last, r))
}

// moving is the change of placement when a stretch moves from one route to
// another.
func (m *improver) moving(x stretch, from, to int32) int64 {
	sum := int64(0)
	if x.size > 0 {
		sum = m.placement(x.first, to) - m.placement(x.first, from)
	}
	if x.size == 2 {
		sum += m.placement(x.last, to) - m.placement(x.last, from)
	}
	return sum
}

// excessWith is the route's excess with the stretch in for the stretch out.
func (m *improver) excessWith(r int32, out, in stretch) int64 {
	resources := m.p.resources
	sum := int64(0)
	for k := range resources {
		used := m.total[int(r)*resources+k]
		used += m.need(in, k) - m.need(out, k)
		sum += max(0, used-m.capacity[int(r)*resources+k])
	}
	return sum
}

func (m *improver) need(x stretch, k int) int64 {
	resources := m.p.resources
	sum := int64(0)
	if x.size > 0 {
		sum = m.needs[int(x.first)*resources+k]
	}
	if x.size == 2 {
		sum += m.needs[int(x.last)*resources+k]
	}
	return sum
}

// priceWith is the route's price with a stretch between left and right, which
// are nodes of it. Visits with several windows take the best of them, the others
// keep theirs, so that the true price may be lower, never higher.
func (m *improver) priceWith(r, left int32, x stretch, right, in, out int32, metres, excess int64) int64 {
	m.evaluations++
	if m.restsOn(r) {
		return m.priceRested(r, left, x, right, metres, excess)
	}
	first, last := m.nodes[left].before, m.nodes[right].after
	if x.size == 0 {
		dur, warp := joinTotals(first, in, last)
		return m.price(r, metres, dur, warp, excess)
	}
	if m.single && m.kinds == 1 {
		first = join(first, in, m.nodes[x.first].own)
		if x.size == 2 {
			first = join(first, m.out[x.first].seconds, m.nodes[x.last].own)
		}
		dur, warp := joinTotals(first, out, last)
		return m.price(r, metres, dur, warp, excess)
	}
	best := int64(1)<<62 - 1
	for _, own := range m.windowsOn(x.first, r) {
		joined := join(first, in, own)
		if x.size == 1 {
			dur, warp := joinTotals(joined, out, last)
			if price := m.price(r, metres, dur, warp, excess); price < best {
				best, m.picked[0] = price, own
			}
			continue
		}
		for _, second := range m.windowsOn(x.last, r) {
			dur, warp := joinTotals(join(joined, m.out[x.first].seconds, second), out, last)
			if price := m.price(r, metres, dur, warp, excess); price < best {
				best, m.picked[0], m.picked[1] = price, own, second
			}
		}
	}
	return best
}

// priceRested is priceWith for a route with breaks; which windows are best shows
// when the change is made.
func (m *improver) priceRested(r, left int32, x stretch, right int32, metres, excess int64) int64 {
	if x.size > 0 {
		m.picked = [2]segment{m.windowsOn(x.first, r)[0], m.windowsOn(x.last, r)[0]}
	}
	m.listNodes(r, left, x, right)
	return m.restedPrice(r, metres, excess)
}
