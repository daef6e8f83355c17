package routing

// tour is a route in the form to search in: its order with, for every gap
// between stops, the clock function of what comes before and after.
type tour struct {
	route  RouteIndex
	visits []VisitIndex

	before []span  // from leaving the start to being ready to leave stop k-1
	after  []span  // from arriving at stop k (or the end) to being back
	cut    []int32 // before of gap k is before[cut[k]:cut[k+1]]
	cutEnd []int32 // after of gap k is after[cutEnd[k+1]:cutEnd[k]], built backwards

	legs     []Metres // drive over gap k; 0 for the one gap of an unused route
	used     []int64  // by resource
	metres   Metres
	duration Seconds
	cost     Cost // driving, hours, overtime, use; not placement
	held     int  // visits pinned to positions, at the front
	feasible bool
	rester   rester // of a route with breaks, for which before and after know no breaks
}

// restedWith are the ways to drive a tour with breaks with a visit in gap k, and
// skip visits of behind it left out.
func (p *Problem) restedWith(t *tour, extra Seconds, k int, v VisitIndex, skip int) []span {
	return p.restedWays(&t.rester, t.route, extra, len(t.visits)+1-skip, func(i int) VisitIndex {
		switch {
		case i < k:
			return t.visits[i]
		case i == k:
			return v
		}
		return t.visits[i-1+skip]
	})
}

func (t *tour) beforeGap(k int) []span { return t.before[t.cut[k]:t.cut[k+1]] }
func (t *tour) afterGap(k int) []span  { return t.after[t.cutEnd[k+1]:t.cutEnd[k]] }

// hours is the clock function of standing still within a route's hours.
func hours(route *Route) span {
	return span{route.Earliest, route.Earliest, route.Latest - route.Earliest}
}

// gapPlaces are the places on both sides of gap k.
func (p *Problem) gapPlaces(t *tour, k int) (from, to PlaceIndex) {
	route := &p.spec.Routes[t.route]
	from, to = route.Start, route.End
	if k > 0 {
		from = p.spec.Visits[t.visits[k-1]].Place
	}
	if k < len(t.visits) {
		to = p.spec.Visits[t.visits[k]].Place
	}
	return from, to
}

// door is the clock function of a visit's door on a route: its windows.
func (p *Problem) door(v VisitIndex, r RouteIndex, open *[1]span) []span {
	if len(p.spec.Visits[v].Windows) == 0 {
		open[0] = hours(&p.spec.Routes[r])
		open[0].slack += relaxedHours
		return open[:]
	}
	w := p.windows[int(v)*p.RouteCount()+int(r)]
	return p.doors[p.doorAt[v]+w.low : p.doorAt[v]+w.high]
}

// refresh works out everything about the tour from its order. extra lengthens
// the route's hours and takes away its longest duration (0 = the real route).
func (p *Problem) refresh(t *tour, extra Seconds) {
	route := &p.spec.Routes[t.route]
	n := len(t.visits)
	t.before, t.after, t.cut, t.cutEnd = t.before[:0], t.after[:0], t.cut[:0], t.cutEnd[:0]
	var open [1]span
	day := hours(route)
	day.slack += extra

	t.before = append(t.before, day)
	t.cut = append(t.cut, 0, 1)
	place := route.Start
	t.metres, t.legs = 0, t.legs[:0]
	for k, v := range t.visits {
		next := p.spec.Visits[v].Place
		metres, drive := p.drives.between(place, next)
		t.metres += metres
		t.legs = append(t.legs, metres)
		start := len(t.before)
		t.before = joinSpans(t.before, t.before[t.cut[k]:start], drive, p.door(v, t.route, &open))
		service := p.ServiceOn(v, t.route)
		for i := start; i < len(t.before); i++ {
			t.before[i].to += service
		}
		t.cut = append(t.cut, int32(len(t.before)))
		place = next
	}
	metres, _ := p.drives.between(place, route.End)
	t.metres += metres
	t.legs = append(t.legs, metres)

	t.cutEnd = append(t.cutEnd, make([]int32, n+2)...)
	t.after = append(t.after, day)
	t.cutEnd[n+1], t.cutEnd[n] = 0, 1
	place = route.End
	for k := n - 1; k >= 0; k-- {
		v := t.visits[k]
		here := p.spec.Visits[v].Place
		_, drive := p.drives.between(here, place)
		start := int32(len(t.after))
		t.after = joinSpans(t.after, p.door(v, t.route, &open), p.ServiceOn(v, t.route)+drive, t.after[t.cutEnd[k+2]:start])
		t.cutEnd[k] = int32(len(t.after))
		place = here
	}
	p.refreshTotals(t, route, extra)
}

func (p *Problem) refreshTotals(t *tour, route *Route, extra Seconds) {
	t.used = append(t.used[:0], make([]int64, p.resources)...)
	t.held = 0
	for _, v := range t.visits {
		for _, n := range p.needs[v] {
			t.used[n.index] += n.quantity
		}
		if p.position(v) > 0 {
			t.held++
		}
	}
	t.feasible, t.cost, t.duration = true, 0, 0
	if len(t.visits) == 0 {
		t.metres, t.legs[0] = 0, 0
		return
	}
	var buffer [8]span
	var whole []span
	if p.restsOn(t.route) {
		whole = p.restedWays(&t.rester, t.route, extra, len(t.visits), func(k int) VisitIndex { return t.visits[k] })
	} else {
		_, drive := p.gapDrive(t, 0)
		whole = joinSpans(buffer[:0], t.beforeGap(0), drive, t.afterGap(0))
	}
	duration, ok := shortest(whole)
	t.duration = duration
	t.cost = drivingCost(route, t.metres, duration)
	t.feasible = ok && (extra > 0 || withinDuration(route, duration))
}

func (p *Problem) gapDrive(t *tour, k int) (Metres, Seconds) {
	from, to := p.gapPlaces(t, k)
	return p.drives.between(from, to)
}

// position is the position a visit is pinned to, 0 for none.
func (p *Problem) position(v VisitIndex) int {
	if pin := p.spec.Visits[v].Pin; pin != nil {
		return pin.Position
	}
	return 0
}

// drivingCost is what a used route costs apart from placements.
func drivingCost(route *Route, metres Metres, duration Seconds) Cost {
	cost := route.CostPerMetre*Cost(metres) + route.CostPerSecond*Cost(duration) + route.CostWhenUsed
	if route.Duration > 0 && duration > route.Duration {
		cost += route.CostPerOvertimeSecond * Cost(duration-route.Duration)
	}
	return cost
}

func withinDuration(route *Route, duration Seconds) bool {
	return route.Duration == 0 || duration <= route.Duration+route.Overtime
}
