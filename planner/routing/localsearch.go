package routing

import "math"

// search improves a draft.
type search struct {
	*draft
	near   neighbours
	clock  *clock
	marked []int // by route: round in which nearRoutes listed it
	round  int
	routes []RouteIndex // scratch of nearRoutes
	// onMove, set by tests, is told the plan's cost before each applied move and
	// the move's own delta.
	onMove func(before, delta Cost)
}

func newSearch(d *draft, near neighbours, c *clock) *search {
	return &search{draft: d, near: near, clock: c, marked: make([]int, len(d.tours))}
}

// localSearch applies moves that gain until none is left: insert, relocate, swap,
// replace. Hard rules are kept throughout.
func (s *search) localSearch() {
	for improved := true; improved; {
		improved = false
		for i := range s.p.spec.Visits {
			if s.clock.due() {
				return
			}
			v := VisitIndex(i)
			if s.routeOf[v] == NoRoute {
				improved = s.insertLeftOut(v) || s.replace(v) || improved
				continue
			}
			if s.movable(v) {
				improved = s.relocate(v) || s.swap(v) || improved
			}
		}
	}
}

// nearRoutes lists the routes that serve the visit's neighbours, the first unused
// route of each kind, and everything it fits when that is few.
func (s *search) nearRoutes(v VisitIndex) []RouteIndex {
	const few = 8
	s.round++
	s.routes = s.routes[:0]
	if fitting := s.p.fitting[v]; len(fitting) <= few || len(s.near[v]) == 0 {
		for _, r := range fitting {
			if s.openRoute(r) {
				s.routes = append(s.routes, r)
			}
		}
		return s.routes
	}
	for _, u := range s.near[v] {
		if r := s.routeOf[u]; r != NoRoute {
			s.list(v, r)
		}
	}
	for _, r := range s.p.fitting[v] {
		if len(s.tours[r].visits) == 0 && s.marked[r] != s.round && s.openRoute(r) {
			s.list(v, r)
		}
	}
	return s.routes
}

func (s *search) list(v VisitIndex, r RouteIndex) {
	if s.marked[r] != s.round && s.p.Compatible(v, r) {
		s.marked[r] = s.round
		s.routes = append(s.routes, r)
	}
}

// bestNear is the cheapest insertion into the near routes, below limit.
func (s *search) bestNear(v VisitIndex, limit Cost, blink func() bool) insertion {
	best := insertion{route: NoRoute, delta: limit}
	for _, r := range s.nearRoutes(v) {
		if in := s.bestInsertion(v, r, best.delta, blink); in.route != NoRoute {
			best = in
		}
	}
	return best
}

func (s *search) applied(before, delta Cost) {
	if s.onMove != nil {
		s.onMove(before, delta)
	}
	s.begin()
}

// insertLeftOut serves a left-out visit where that gains; a required one
// wherever it can be.
func (s *search) insertLeftOut(v VisitIndex) bool {
	limit := Cost(0)
	if s.p.required[v] {
		limit = math.MaxInt64
	}
	in := s.bestNear(v, limit, nil)
	if in.route == NoRoute && s.p.required[v] {
		in = s.bestEverywhere(v)
	}
	if in.route == NoRoute {
		return false
	}
	before := s.cost
	s.begin()
	s.insert(v, in.route, in.gap)
	s.applied(before, in.delta)
	return true
}

// relocate moves a served visit to a better place on any near route, its own
// included, or leaves an optional one out when that is cheaper.
//
//	… a v b …   … c d …   →   … a b …   … c v d …
func (s *search) relocate(v VisitIndex) bool {
	r, before := s.routeOf[v], s.cost
	s.begin()
	s.remove(r, s.find(v))
	if !s.tours[r].feasible {
		s.rollback()
		return false
	}
	removed := s.cost - before
	limit := -removed
	if !s.p.required[v] {
		limit = min(limit, 0) // staying out must not be better
	}
	in := s.bestNear(v, limit, nil)
	switch {
	case in.route != NoRoute:
		s.insert(v, in.route, in.gap)
		s.applied(before, removed+in.delta)
		return true
	case !s.p.required[v] && removed < 0:
		s.applied(before, removed)
		return true
	}
	s.rollback()
	return false
}

// swap exchanges a served visit with a near one on another route, each taking
// the other's place.
//
//	… a u b …   … c v d …   →   … a v b …   … c u d …
func (s *search) swap(u VisitIndex) bool {
	r, k := s.routeOf[u], s.find(u)
	for _, v := range s.near[u] {
		q := s.routeOf[v]
		if q == NoRoute || q == r || !s.movable(v) || s.p.groupOf[u] >= 0 || s.p.groupOf[v] >= 0 {
			continue
		}
		first, ok := s.replaceDelta(r, k, v)
		if !ok {
			continue
		}
		m := s.find(v)
		second, ok := s.replaceDelta(q, m, u)
		if !ok || first+second >= 0 {
			continue
		}
		before := s.cost
		s.begin()
		s.drop(r, k)
		s.drop(q, m)
		s.insert(v, r, k)
		s.insert(u, q, m)
		s.applied(before, first+second)
		return true
	}
	return false
}

// replace serves a left-out visit in the place of a near, optional one.
//
//	… a u b …   →   … a v b …
func (s *search) replace(v VisitIndex) bool {
	for _, u := range s.near[v] {
		r := s.routeOf[u]
		if r == NoRoute || !s.movable(u) || s.p.required[u] || !s.groupAllows(v, r) {
			continue
		}
		k := s.find(u)
		delta, ok := s.replaceDelta(r, k, v)
		if !ok || !s.p.required[v] && delta >= 0 {
			continue
		}
		before := s.cost
		s.begin()
		s.drop(r, k)
		s.insert(v, r, k)
		s.applied(before, delta)
		return true
	}
	return false
}

// replaceDelta is the change of one route when stop k becomes v: driving, hours
// and placements of both. v's own place elsewhere is not counted.
func (s *search) replaceDelta(r RouteIndex, k int, v VisitIndex) (Cost, bool) {
	p, t := s.p, &s.tours[r]
	u := t.visits[k]
	if !p.Compatible(v, r) || p.position(v) > 0 || !s.resourcesAllow(v, t, u) {
		return 0, false
	}
	route := &p.spec.Routes[r]
	from, _ := p.gapPlaces(t, k)
	_, to := p.gapPlaces(t, k+1)
	place := p.spec.Visits[v].Place
	metresIn, driveIn := p.drives.arriving(from, place)
	metresOut, driveOut := p.drives.between(place, to)
	var open [1]span
	s.scratchA = joinSpans(s.scratchA[:0], t.beforeGap(k), driveIn, p.door(v, r, &open))
	s.scratchB = joinSpans(s.scratchB[:0], s.scratchA, p.ServiceOn(v, r)+driveOut, t.afterGap(k+1))
	ways := s.scratchB
	if len(route.Breaks) > 0 {
		ways = p.restedWith(t, 0, k, v, 1)
	}
	duration, ok := shortest(ways)
	if !ok || !withinDuration(route, duration) {
		return 0, false
	}
	driving := drivingCost(route, t.metres+metresIn+metresOut-t.legs[k]-t.legs[k+1], duration) - t.cost
	return driving + s.placement(v, r) - s.placement(u, r), true
}
