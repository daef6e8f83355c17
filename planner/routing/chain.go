package routing

import "slices"

// node is a visit, or an end of a route, in the chain of its route.
type node struct {
	before segment // from the route's start to this node, both included
	after  segment // from this node to the route's end, both included
	own    segment // this node alone, with the window in use
	next   int32
	prev   int32
	route  int32 // -1 = left out
	place  int32 // number on its route, the start is 0
}

// chain is the totals of one route.
type chain struct {
	size     int32 // visits
	held     int32 // visits pinned to positions, at the front
	dur      int32
	warp     int32
	metres   int64
	driving  int64 // cost of metres and of seconds driven or served
	excess   int64 // load and stock beyond capacity, added up
	cost     int64 // what the route costs, without penalties and placements
	penalty  int64 // at the weights of now
	stake    int64 // of cost and penalty, what a change of order could save besides driving
	grouped  int32 // visits that belong to a group
	serviced int64 // seconds of service
}

// chains is a plan in the form the fast search works on: linked nodes with the
// segments of what lies before and after each, so that any exchange of stretches
// is priced with two or three joins. Rules of load, windows and longest duration
// may be broken at a penalty; all others are kept.
type chains struct {
	*core
	nodes []node
	out   []drive // by node: the drive to the next
	outTo []int32 // by node: whom that drive leads to
	lines []chain
	load  []int64 // node × resource: from the start up to and including the node
	total []int64 // route × resource

	cost    int64 // of the plan, left-out visits included, without penalties
	penalty int64
	broken  broken
	served  int32
	missing int32 // required visits left out

	weightWarp, weightExcess, weightLong int64

	groupCount []int32 // day × group: visits served that day
	groupRoute []int32

	undo       undoLog
	span       [2][]span // scratch of bestDeparture
	oldWindows []segment // scratch of reopenIfBetter
	rests      resting
	lately     []recalled // drives worked out lately

	onMove func(before, delta int64) // tests

	_ memoryLine
}

// broken is by how much rules with a penalty are broken: seconds too late, load and
// stock beyond capacity, seconds beyond the longest duration.
type broken struct{ warp, excess, long int64 }

func (b *broken) add(other broken) {
	b.warp, b.excess, b.long = b.warp+other.warp, b.excess+other.excess, b.long+other.long
}

func (b *broken) subtract(other broken) {
	b.warp, b.excess, b.long = b.warp-other.warp, b.excess-other.excess, b.long-other.long
}

// brokenOn is what a route breaks.
func (s *chains) brokenOn(r int32) broken {
	l := &s.lines[r]
	return broken{int64(l.warp), l.excess, int64(max(0, l.dur-s.longest[r]))}
}

// undoLog holds routes as they were when first touched.
type undoLog struct {
	isTouched []bool
	touched   []int32
	lines     []chain
	totals    []int64
	cut       []int32 // where each route's nodes begin
	ids       []int32
	nodes     []node
	outs      []drive
	loads     []int64
	cost      int64
	penalty   int64
	broken    broken
	served    int32
	missing   int32
}

func newChains(c *core) *chains {
	routes := len(c.kindOf)
	s := &chains{
		core:  c,
		nodes: make([]node, len(c.point)), out: make([]drive, len(c.point)), outTo: make([]int32, len(c.point)), lines: make([]chain, routes),
		load: make([]int64, len(c.point)*c.p.resources), total: make([]int64, routes*c.p.resources),
		groupCount: make([]int32, c.p.days*c.p.groups), groupRoute: make([]int32, c.p.days*c.p.groups),
	}
	for i := range s.outTo {
		s.outTo[i] = -1
	}
	if c.asked != nil {
		s.lately = newLately()
	}
	s.weightWarp, s.weightExcess, s.weightLong = 1e6, 1e6, 1e6
	s.undo.isTouched = make([]bool, routes)
	for r := range int32(routes) {
		hours := segment{early: int32(c.p.spec.Routes[r].Earliest - c.base), late: int32(c.p.spec.Routes[r].Latest - c.base)}
		s.nodes[c.start(r)] = node{own: hours, route: r, prev: -1, next: c.end(r)}
		s.nodes[c.end(r)] = node{own: hours, route: r, prev: c.start(r), next: -1}
	}
	for v := range c.visits {
		s.nodes[v].route = -1
		s.cost += c.leftOut[v]
		if c.p.required[v] {
			s.missing++
		}
	}
	for r := range int32(routes) {
		s.refresh(r)
	}
	return s
}

// take makes the plan the one given, which keeps the rules that have no penalty.
func (s *chains) take(orders [][]VisitIndex) {
	for r := range int32(len(s.lines)) {
		for s.lines[r].size > 0 {
			v := s.nodes[s.start(r)].next
			s.unlink(v)
			s.lines[r].size--
		}
	}
	for r, order := range orders {
		last := s.start(int32(r))
		for _, v := range order {
			s.link(int32(v), last, int32(r))
			last = int32(v)
		}
		s.refresh(int32(r))
	}
	s.begin()
}

func (s *chains) orders() [][]VisitIndex {
	orders := make([][]VisitIndex, len(s.lines))
	for r := range orders {
		orders[r] = []VisitIndex{}
		for v := s.nodes[s.start(int32(r))].next; v < s.visits; v = s.nodes[v].next {
			orders[r] = append(orders[r], VisitIndex(v))
		}
	}
	return orders
}

// link puts a left-out visit after a node. The route needs a refresh.
func (s *chains) link(v, left, r int32) {
	right := s.nodes[left].next
	n := &s.nodes[v]
	n.prev, n.next = left, right
	s.nodes[left].next, s.nodes[right].prev = v, v
	s.note(v, r)
	s.cost += s.placement(v, r) - s.leftOut[v]
}

// unlink leaves a visit out. The route needs a refresh.
func (s *chains) unlink(v int32) {
	n := &s.nodes[v]
	s.nodes[n.prev].next, s.nodes[n.next].prev = n.next, n.prev
	s.cost -= s.placement(v, n.route) - s.leftOut[v]
	s.note(v, -1)
}

// note records who serves a visit.
func (s *chains) note(v, r int32) {
	n := &s.nodes[v]
	if n.route == r {
		return
	}
	group := s.p.groupOf[v]
	if group >= 0 && n.route >= 0 {
		s.groupCount[s.p.dayOf[n.route]*s.p.groups+group]--
	}
	if group >= 0 && r >= 0 {
		cell := s.p.dayOf[r]*s.p.groups + group
		s.groupCount[cell]++
		s.groupRoute[cell] = r
	}
	if n.route < 0 {
		s.served++
		if s.p.required[v] {
			s.missing--
		}
	} else if r < 0 {
		s.served--
		if s.p.required[v] {
			s.missing++
		}
	}
	n.route = r
	if r >= 0 { // keep the window in use if the route has it too
		options := s.windowsOn(v, r)
		if len(options) == 1 || !slices.Contains(options, n.own) {
			n.own = options[0]
		}
	}
}

// admits reports whether a route may take a visit at all: compatible, its group
// not elsewhere that day.
func (s *chains) admits(v, r int32) bool {
	if !s.fits(v, r) {
		return false
	}
	group := s.p.groupOf[v]
	if group < 0 {
		return true
	}
	cell := s.p.dayOf[r]*s.p.groups + group
	return s.groupCount[cell] == 0 || s.groupRoute[cell] == r
}

// refresh works out everything about a route from its order.
func (s *chains) refresh(r int32) {
	l := &s.lines[r]
	s.cost -= l.cost
	s.penalty -= l.penalty
	s.broken.subtract(s.brokenOn(r))
	*l = chain{}
	s.forward(r)
	switch {
	case s.restsOn(r):
		s.takeRests(r)
		*l = chain{}
		s.forward(r)
	case !s.single && l.size > 0:
		s.reopenIfBetter(r)
	}
	s.backward(r)
	s.sumUp(r)
	s.cost += l.cost
	s.penalty += l.penalty
	s.broken.add(s.brokenOn(r))
}

func (s *chains) forward(r int32) {
	l := &s.lines[r]
	first, end := s.start(r), s.end(r)
	resources := s.p.resources
	n := &s.nodes[first]
	n.before = n.own
	for k := range resources {
		s.load[int(first)*resources+k] = 0
	}
	for at := first; at != end; {
		next := n.next
		if s.outTo[at] != next {
			s.outTo[at], s.out[at] = next, s.leg(at, next)
		}
		leg := s.out[at]
		m := &s.nodes[next]
		m.before = join(n.before, leg.seconds, m.own)
		m.place = n.place + 1
		l.metres += int64(leg.metres)
		l.driving += int64(leg.seconds)
		if next != end {
			l.size++
			l.serviced += int64(m.own.dur)
			if s.p.resting { // what is rested may be rested at home
				l.serviced += int64(s.windowsOn(next, r)[0].dur - m.own.dur)
			}
			for k := range resources {
				s.load[int(next)*resources+k] = s.load[int(at)*resources+k] + s.needs[int(next)*resources+k]
			}
			if s.held[next] {
				l.held++
			}
			if s.p.groupOf[next] >= 0 {
				l.grouped++
			}
		} else {
			for k := range resources {
				s.total[int(r)*resources+k] = s.load[int(at)*resources+k]
			}
		}
		at, n = next, m
	}
	l.dur, l.warp = n.before.dur, n.before.warp
}

func (s *chains) backward(r int32) {
	at := s.end(r)
	n := &s.nodes[at]
	n.after = n.own
	for at != s.start(r) {
		at = n.prev
		m := &s.nodes[at]
		m.after = join(m.own, s.out[at].seconds, n.after)
		n = m
	}
}

// sumUp prices a route.
func (s *chains) sumUp(r int32) {
	l := &s.lines[r]
	if l.size == 0 {
		*l = chain{}
		s.out[s.start(r)], s.outTo[s.start(r)] = drive{}, -1
		return
	}
	resources := s.p.resources
	for k := range resources {
		l.excess += max(0, s.total[int(r)*resources+k]-s.capacity[int(r)*resources+k])
	}
	l.penalty = s.penaltyOf(r, l.dur, l.warp, l.excess)
	l.cost = s.costOf(r, l.metres, l.dur)
	l.driving = s.metre[r]*l.metres + s.second[r]*(l.driving+l.serviced)
	l.stake = l.cost + l.penalty - l.driving
	if l.size > 3 {
		l.stake -= s.use[r]
	}
}

func (s *chains) penaltyOf(r, dur, warp int32, excess int64) int64 {
	penalty := s.weightWarp*int64(warp) + s.weightExcess*excess
	if dur > s.longest[r] {
		penalty += s.weightLong * int64(dur-s.longest[r])
	}
	return penalty
}

func (s *chains) costOf(r int32, metres int64, dur int32) int64 {
	cost := s.metre[r]*metres + s.use[r]
	if s.timed {
		cost += s.second[r] * int64(dur)
		if dur > s.planned[r] {
			cost += s.over[r] * int64(dur-s.planned[r])
		}
	}
	return cost
}

// price is cost and penalty of a used route.
func (s *chains) price(r int32, metres int64, dur, warp int32, excess int64) int64 {
	return s.costOf(r, metres, dur) + s.penaltyOf(r, dur, warp, excess)
}

// reweigh works the penalties out anew after the weights have changed.
func (s *chains) reweigh() {
	s.penalty = 0
	for r := range s.lines {
		l := &s.lines[r]
		if l.penalty > 0 {
			old := l.penalty
			l.penalty = s.penaltyOf(int32(r), l.dur, l.warp, l.excess)
			l.stake += l.penalty - old
		}
		s.penalty += l.penalty
	}
}

// reopenIfBetter finds the route's shortest schedule over all windows exactly,
// and puts the windows it uses into use, unless that costs more than the windows
// of now with their warp. A route that no departure serves in time keeps them.
func (s *chains) reopenIfBetter(r int32) {
	departure, ok := s.bestDeparture(r)
	if !ok {
		return
	}
	l := &s.lines[r]
	s.oldWindows = s.oldWindows[:0]
	for v := s.nodes[s.start(r)].next; v < s.visits; v = s.nodes[v].next {
		s.oldWindows = append(s.oldWindows, s.nodes[v].own)
	}
	before := s.price(r, l.metres, l.dur, l.warp, 0)
	if !s.chooseWindows(r, departure) {
		return
	}
	*l = chain{}
	s.forward(r)
	if s.price(r, l.metres, l.dur, l.warp, 0) <= before {
		return
	}
	k := 0
	for v := s.nodes[s.start(r)].next; v < s.visits; v = s.nodes[v].next {
		s.nodes[v].own = s.oldWindows[k]
		k++
	}
	*l = chain{}
	s.forward(r)
}

// chooseWindows puts the windows into use that a departure meets, and reports
// whether any changed.
func (s *chains) chooseWindows(r, departure int32) bool {
	changed := false
	clock := departure
	for at := s.start(r); ; {
		next := s.nodes[at].next
		if next >= s.visits {
			return changed
		}
		clock += s.out[at].seconds
		options := s.windowsOn(next, r)
		k := 0
		for k < len(options)-1 && options[k].late < clock {
			k++
		}
		if s.nodes[next].own != options[k] {
			s.nodes[next].own, changed = options[k], true
		}
		clock = max(clock, options[k].early) + options[k].dur
		at = next
	}
}

// bestDeparture is when the shortest schedule leaves; the earliest and false when
// there is none.
func (s *chains) bestDeparture(r int32) (int32, bool) {
	route := &s.p.spec.Routes[r]
	spans := append(s.span[0][:0], hours(route))
	other := s.span[1]
	var open [1]span
	at := s.start(r)
	for v := s.nodes[at].next; v < s.visits; at, v = v, s.nodes[v].next {
		other = joinSpans(other[:0], spans, Seconds(s.out[at].seconds), s.p.door(VisitIndex(v), RouteIndex(r), &open))
		service := Seconds(s.nodes[v].own.dur)
		for i := range other {
			other[i].to += service
		}
		spans, other = other, spans
	}
	day := [1]span{hours(route)}
	other = joinSpans(other[:0], spans, Seconds(s.out[at].seconds), day[:])
	s.span[0], s.span[1] = spans, other
	if len(other) == 0 {
		return s.nodes[s.start(r)].own.early, false
	}
	best := other[0]
	for _, o := range other[1:] {
		if o.to-o.from < best.to-best.from {
			best = o
		}
	}
	return int32(best.from - s.base), true
}

// begin forgets how to undo what was done so far.
func (s *chains) begin() {
	u := &s.undo
	for _, r := range u.touched {
		u.isTouched[r] = false
	}
	u.touched, u.lines, u.cut, u.ids, u.nodes, u.outs = u.touched[:0], u.lines[:0], u.cut[:0], u.ids[:0], u.nodes[:0], u.outs[:0]
	u.loads, u.totals = u.loads[:0], u.totals[:0]
	u.cost, u.penalty, u.broken, u.served, u.missing = s.cost, s.penalty, s.broken, s.served, s.missing
}

// touch keeps a route as it is, before its first change.
func (s *chains) touch(r int32) {
	u := &s.undo
	if u.isTouched[r] {
		return
	}
	u.isTouched[r] = true
	u.touched = append(u.touched, r)
	u.lines = append(u.lines, s.lines[r])
	u.cut = append(u.cut, int32(len(u.ids)))
	resources := s.p.resources
	u.totals = append(u.totals, s.total[int(r)*resources:int(r+1)*resources]...)
	for at := s.start(r); at >= 0; at = s.nodes[at].next {
		u.ids = append(u.ids, at)
		u.nodes = append(u.nodes, s.nodes[at])
		u.outs = append(u.outs, s.out[at])
		u.loads = append(u.loads, s.load[int(at)*resources:int(at+1)*resources]...)
	}
}

// rollback takes back everything since begin.
func (s *chains) rollback() {
	u := &s.undo
	for _, r := range u.touched {
		for v := s.nodes[s.start(r)].next; v < s.visits; v = s.nodes[v].next {
			s.note(v, -1)
		}
	}
	resources := s.p.resources
	for i, id := range u.ids {
		if old := &u.nodes[i]; id < s.visits {
			s.note(id, old.route)
		}
		s.nodes[id], s.out[id], s.outTo[id] = u.nodes[i], u.outs[i], u.nodes[i].next
		copy(s.load[int(id)*resources:int(id+1)*resources], u.loads[i*resources:])
	}
	for i, r := range u.touched {
		s.lines[r] = u.lines[i]
		copy(s.total[int(r)*resources:int(r+1)*resources], u.totals[i*resources:])
	}
	s.cost, s.penalty, s.broken, s.served, s.missing = u.cost, u.penalty, u.broken, u.served, u.missing
	s.begin()
}
