package routing

import "math"

// Routes with breaks in the fast search. Their breaks are part of the segments of
// the nodes they are taken at, so that a plan with breaks is chains like any other.
// Where the breaks are best taken depends on the whole route: a route with breaks
// is therefore priced stop by stop and not by joining stretches. That costs time in
// proportion to the stops, for these routes only.

// resting is the scratch for pricing routes with breaks.
type resting struct {
	rester rester
	nodes  []int32 // the route to price, both ends included
	owns   []segment
	before []segment // up to and with each node
	after  []segment
	legs   []int32
	ready  []Seconds // node × state: earliest ready to go on
	atDoor []Seconds // node × state: earliest served or rested at the door
	rested []bool    // node × state: by a rest before driving on
	waited []bool    // node × state: by a rest at the door
}

// restsOn reports whether a route has breaks.
func (s *chains) restsOn(r int32) bool { return s.p.resting && len(s.p.spec.Routes[r].Breaks) > 0 }

// listNodes lists a route with a stretch between two of its nodes.
func (s *chains) listNodes(r, left int32, x stretch, right int32) {
	t := &s.rests
	t.nodes = t.nodes[:0]
	for at := s.start(r); ; at = s.nodes[at].next {
		t.nodes = append(t.nodes, at)
		if at == left {
			break
		}
	}
	if x.size > 0 {
		t.nodes = append(t.nodes, x.first)
	}
	if x.size == 2 {
		t.nodes = append(t.nodes, x.last)
	}
	for at := right; at >= 0; at = s.nodes[at].next {
		t.nodes = append(t.nodes, at)
	}
}

// restedTotals is how long the listed route takes with its breaks where they are
// best, and the time warp when there is no room for everything. It fills owns when
// asked to.
func (s *chains) restedTotals(r int32, owns bool) (dur, warp int32) {
	t := &s.rests
	t.legs = t.legs[:0]
	for i := range len(t.nodes) - 1 {
		t.legs = append(t.legs, s.leg(t.nodes[i], t.nodes[i+1]).seconds)
	}
	best, ok := s.shortestRested(r)
	if !ok {
		return s.squeezeRests(r)
	}
	if owns {
		s.followRests(r, best.from)
	}
	return int32(best.to - best.from), 0
}

// shortestRested is the shortest way to drive the listed route in time.
func (s *chains) shortestRested(r int32) (span, bool) {
	t, route := &s.rests, RouteIndex(r)
	q := &t.rester
	q.leave(s.p, route, 0)
	var open [1]span
	last := len(t.nodes) - 1
	for i := 1; i < last; i++ {
		q.drive(route, Seconds(t.legs[i-1]))
		q.serve(s.p.door(VisitIndex(t.nodes[i]), route, &open), s.serviceOn(t.nodes[i], r))
	}
	ways := q.back(route, Seconds(t.legs[last-1]))
	if len(ways) == 0 {
		return span{}, false
	}
	best := ways[0]
	for _, way := range ways[1:] {
		if way.to-way.from < best.to-best.from {
			best = way
		}
	}
	return best, true
}

func (s *chains) serviceOn(v, r int32) Seconds { return Seconds(s.windowsOn(v, r)[0].dur) }

// followRests follows the listed route from a departure, always as early as may
// be, and makes the owns of its nodes: the windows met, and the breaks taken.
func (s *chains) followRests(r int32, depart Seconds) {
	t := &s.rests
	breaks := s.p.spec.Routes[r].Breaks
	states := len(breaks) + 1
	size := len(t.nodes) * states
	for len(t.ready) < size {
		t.ready, t.atDoor = append(t.ready, 0), append(t.atDoor, 0)
		t.rested, t.waited = append(t.rested, false), append(t.waited, false)
	}
	for j := range states {
		t.ready[j], t.rested[j], t.waited[j] = farTime, false, false
		if depart >= s.p.rested[r][j] {
			t.ready[j] = depart
		}
	}
	last := len(t.nodes) - 1
	for i := 1; i <= last; i++ {
		from, to := (i-1)*states, i*states
		relaxRests(breaks, t.ready[from:from+states], t.rested[from:from+states])
		for j := range states {
			t.atDoor[to+j] = t.ready[from+j]
			if t.atDoor[to+j] < farTime {
				t.atDoor[to+j] += Seconds(t.legs[i-1])
			}
		}
		if i == last {
			break
		}
		relaxRests(breaks, t.atDoor[to:to+states], t.waited[to:to+states])
		for j := range states {
			t.ready[to+j], t.rested[to+j] = farTime, false
			if k := s.optionFrom(t.nodes[i], r, t.atDoor[to+j]); k >= 0 {
				o := s.windowsOn(t.nodes[i], r)[k]
				t.ready[to+j] = max(t.atDoor[to+j], Seconds(o.early)+s.base) + Seconds(o.dur)
			}
		}
	}
	s.traceRests(r)
}

// relaxRests lets each state come of the one before by a rest, where that is
// earlier than what there is.
func relaxRests(breaks []Break, ready []Seconds, rested []bool) {
	for j := range ready {
		rested[j] = false
		if j == 0 || ready[j-1] >= farTime {
			continue
		}
		if start, ok := nextStart(breaks[j-1].Windows, ready[j-1]); ok && start+breaks[j-1].Length < ready[j] {
			ready[j], rested[j] = start+breaks[j-1].Length, true
		}
	}
}

// optionFrom is a visit's first window on a route that is not over at an instant;
// -1 when there is none, or the instant is never.
func (s *chains) optionFrom(v, r int32, instant Seconds) int {
	if instant >= farTime {
		return -1
	}
	for k, o := range s.windowsOn(v, r) {
		if instant <= Seconds(o.late)+s.base {
			return k
		}
	}
	return -1
}

// traceRests goes back from the earliest return to find where the breaks were
// taken, and makes the owns.
func (s *chains) traceRests(r int32) {
	t, route := &s.rests, &s.p.spec.Routes[r]
	states := len(route.Breaks) + 1
	last := len(t.nodes) - 1
	state, back := -1, farTime
	for j := range states {
		if b := t.atDoor[last*states+j]; b <= min(route.Latest, s.p.backBy[r][j]) && b < back {
			state, back = j, b
		}
	}
	s.plainOwns(r)
	if state < 0 {
		return // cannot be: the departure was one of a way back in time
	}
	t.owns[last].late = s.clip(min(route.Latest, s.p.backBy[r][state]))
	for i := last; i > 0; i-- {
		if i < last {
			v := t.nodes[i]
			o := s.windowsOn(v, r)[s.optionFrom(v, r, t.atDoor[i*states+state])]
			// What was rested after service was put behind the plain own.
			t.owns[i] = join(o, 0, t.owns[i])
			for ; t.waited[i*states+state]; state-- {
				// The rest that made this state began when the one before was at the door.
				t.owns[i] = join(s.restFrom(route, state-1, t.atDoor[i*states+state-1]), 0, t.owns[i])
			}
		}
		left := (i - 1) * states
		rested := segment{early: -most, late: most}
		for ; t.rested[left+state]; state-- {
			rested = join(s.restFrom(route, state-1, t.ready[left+state-1]), 0, rested)
		}
		t.owns[i-1] = rested
	}
	t.owns[0] = segment{early: s.clip(max(route.Earliest, s.p.rested[r][state])), late: s.clip(route.Latest)}
}

// restFrom is a break as a segment, in its first window not over at an instant.
func (s *chains) restFrom(route *Route, j int, instant Seconds) segment {
	b := &route.Breaks[j]
	w := b.Windows[len(b.Windows)-1]
	for _, other := range b.Windows {
		if instant <= other.Close {
			w = other
			break
		}
	}
	return segment{dur: int32(b.Length), early: s.clip(w.Open), late: s.clip(w.Close)}
}

// clip is an instant in compact form.
func (s *chains) clip(t Seconds) int32 { return int32(min(max(t-s.base, -most), most)) }

// plainOwns makes owns without breaks.
func (s *chains) plainOwns(r int32) {
	t, route := &s.rests, &s.p.spec.Routes[r]
	t.owns = t.owns[:0]
	hours := segment{early: s.clip(route.Earliest), late: s.clip(route.Latest)}
	for range t.nodes {
		t.owns = append(t.owns, hours)
	}
}

// squeezeRests makes owns for a listed route that has no room for everything: the
// windows as they come from the earliest departure, then the breaks one after the
// other where they add the least time warp, and of those the least time.
func (s *chains) squeezeRests(r int32) (dur, warp int32) {
	t, route := &s.rests, &s.p.spec.Routes[r]
	s.plainOwns(r)
	last := len(t.nodes) - 1
	joined := t.owns[0]
	for i := 1; i < last; i++ {
		options := s.windowsOn(t.nodes[i], r)
		instant := joined.early + joined.dur - joined.warp + t.legs[i-1]
		k := 0
		for k < len(options)-1 && options[k].late < instant {
			k++
		}
		t.owns[i] = options[k]
		joined = join(joined, t.legs[i-1], options[k])
	}
	at := 0 // breaks come in order
	for j := range route.Breaks {
		s.joinListed()
		best, bestDur, bestWarp := -1, int32(0), int32(math.MaxInt32)
		var own segment
		for i := at; i <= last; i++ {
			changed, ok := s.withRest(r, j, i)
			if !ok {
				continue
			}
			all := changed
			if i > 0 {
				all = join(t.before[i-1], t.legs[i-1], all)
			}
			if i < last {
				all = join(all, t.legs[i], t.after[i+1])
			}
			if all.warp < bestWarp || all.warp == bestWarp && all.dur < bestDur {
				best, bestDur, bestWarp, own = i, all.dur, all.warp, changed
			}
		}
		t.owns[best], at = own, best
		if best == last {
			break // this and all others are taken at home
		}
	}
	s.joinListed()
	return t.before[last].dur, t.before[last].warp
}

// withRest is what node i is with a break there: at home before leaving, which
// only the first breaks can be; after a visit; or at home after the return, with
// all that follow.
func (s *chains) withRest(r int32, j, i int) (segment, bool) {
	t, route := &s.rests, &s.p.spec.Routes[r]
	own := t.owns[i]
	switch {
	case i == 0:
		own.early = max(own.early, s.clip(s.p.rested[r][j+1]))
		own.late = max(own.late, own.early)
		return own, s.p.rested[r][j+1] <= route.Latest
	case i == len(t.nodes)-1:
		own.late = min(own.late, s.clip(s.p.backBy[r][j]))
		own.early = min(own.early, own.late)
		return own, true
	}
	before := t.before[i]
	instant := before.early + before.dur - before.warp
	return join(own, 0, s.restFrom(route, j, Seconds(instant)+s.base)), true
}

// joinListed joins the listed nodes from both ends.
func (s *chains) joinListed() {
	t := &s.rests
	n := len(t.nodes)
	t.before, t.after = t.before[:0], append(t.after[:0], t.owns...)
	t.before = append(t.before, t.owns[0])
	for i := 1; i < n; i++ {
		t.before = append(t.before, join(t.before[i-1], t.legs[i-1], t.owns[i]))
	}
	for i := n - 2; i >= 0; i-- {
		t.after[i] = join(t.owns[i], t.legs[i], t.after[i+1])
	}
}

// takeRests puts the breaks of a route where they are best, into the segments of
// its nodes. An empty route has none.
func (s *chains) takeRests(r int32) {
	s.listNodes(r, s.start(r), nothing, s.nodes[s.start(r)].next)
	if s.lines[r].size == 0 {
		s.plainOwns(r)
	} else {
		s.restedTotals(r, true)
	}
	for i, u := range s.rests.nodes {
		s.nodes[u].own = s.rests.owns[i]
	}
}

// restedPrice is the price of the listed route.
func (s *chains) restedPrice(r int32, metres, excess int64) int64 {
	dur, warp := s.restedTotals(r, false)
	return s.price(r, metres, dur, warp, excess)
}
