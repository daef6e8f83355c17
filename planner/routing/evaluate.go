package routing

import (
	"fmt"
	"slices"
)

// Evaluate works a plan out from scratch: every clock, every cost, every broken
// rule. It is plain and slow on purpose, and is what every faster way of reckoning
// is tested against.
//
// The schedule of a route is the one with the shortest time from leaving to
// return; of those, the one that returns earliest. (With several windows a visit,
// the earliest possible return may need a long wait at some door, and a later
// start none.) Each stop starts as soon as it may after arriving. An order that
// no departure can serve in time leaves at the route's earliest, starts late
// stops on arrival, and carries faults.
func Evaluate(p *Problem, routes [][]VisitIndex) Evaluation {
	e := Evaluation{Routes: make([]RouteSchedule, p.RouteCount())}
	if len(routes) != p.RouteCount() {
		e.fault(FaultShape, NoRoute, NoVisit, "%d routes given for %d of the problem", len(routes), p.RouteCount())
	}
	served := make([]RouteIndex, p.VisitCount())
	for v := range served {
		served[v] = NoRoute
	}
	for r := range p.RouteCount() {
		e.Routes[r].Route = RouteIndex(r)
		if r < len(routes) {
			order := e.countVisits(p, RouteIndex(r), routes[r], served)
			e.evaluateRoute(p, RouteIndex(r), order)
		}
		e.Cost = e.Cost.Plus(e.Routes[r].Cost)
	}
	e.evaluateGroups(p, served)
	e.evaluateLeftOut(p, served)
	return e
}

func (e *Evaluation) fault(kind FaultKind, r RouteIndex, v VisitIndex, format string, args ...any) {
	e.Faults = append(e.Faults, PlanFault{Kind: kind, Route: r, Visit: v, Detail: fmt.Sprintf(format, args...)})
}

// countVisits notes who serves what, and leaves out visits that do not exist or
// were already served.
func (e *Evaluation) countVisits(p *Problem, r RouteIndex, order []VisitIndex, served []RouteIndex) []VisitIndex {
	var kept []VisitIndex
	for _, v := range order {
		switch {
		case v < 0 || int(v) >= p.VisitCount():
			e.fault(FaultShape, r, NoVisit, "visit %d does not exist", v)
		case served[v] != NoRoute:
			e.fault(FaultTwice, r, v, "already served by route %d", served[v])
		default:
			served[v] = r
			kept = append(kept, v)
		}
	}
	return kept
}

func (e *Evaluation) evaluateRoute(p *Problem, r RouteIndex, order []VisitIndex) {
	if len(order) == 0 {
		return
	}
	e.evaluateFit(p, r, order)
	e.evaluateResources(p, r, order)
	e.evaluatePositions(p, r, order)
	e.Routes[r] = shortestSchedule(p, r, order)
	e.evaluateClocks(p, r)
	e.Routes[r].Cost = scheduleCost(p, &e.Routes[r])
}

// evaluateFit checks skills, allowed routes and pins, visit by visit.
func (e *Evaluation) evaluateFit(p *Problem, r RouteIndex, order []VisitIndex) {
	route := p.Route(r)
	for _, v := range order {
		visit := p.Visit(v)
		for _, s := range visit.Skills {
			if !slices.Contains(route.Skills, s) {
				e.fault(FaultSkill, r, v, "skill %d is missing", s)
			}
		}
		if visit.Allowed != nil && !slices.Contains(visit.Allowed, r) {
			e.fault(FaultAllowed, r, v, "not among its allowed routes")
		}
		if visit.Pin != nil && visit.Pin.Route != r {
			e.fault(FaultPin, r, v, "held to route %d", visit.Pin.Route)
		}
	}
}

// evaluateResources adds up load and parts over the route.
func (e *Evaluation) evaluateResources(p *Problem, r RouteIndex, order []VisitIndex) {
	route := p.Route(r)
	for d, capacity := range route.Capacity {
		load := int64(0)
		for _, v := range order {
			if demand := p.Visit(v).Demand; d < len(demand) {
				load += demand[d]
			}
		}
		if load > capacity {
			e.fault(FaultLoad, r, NoVisit, "load %d is over the capacity %d in dimension %d", load, capacity, d)
		}
	}
	carried := map[StockID]int64{}
	for _, n := range route.Stock {
		carried[n.Item] = n.Quantity
	}
	for _, v := range order {
		for _, n := range p.Visit(v).Stock {
			if n.Quantity > 0 && carried[n.Item] < n.Quantity {
				e.fault(FaultStock, r, v, "needs %d of item %d, %d left", n.Quantity, n.Item, max(carried[n.Item], 0))
			}
			carried[n.Item] -= n.Quantity
		}
	}
}

// evaluatePositions checks that visits pinned to positions come first, in order.
func (e *Evaluation) evaluatePositions(p *Problem, r RouteIndex, order []VisitIndex) {
	last, free := 0, false
	for _, v := range order {
		pin := p.Visit(v).Pin
		if pin == nil || pin.Route != r || pin.Position == 0 {
			free = true
			continue
		}
		if free || pin.Position < last {
			e.fault(FaultPin, r, v, "held to position %d but comes later", pin.Position)
		}
		last = max(last, pin.Position)
	}
}

// task is what a crew does at one place: a visit, or a rest where it is.
type task struct {
	visit   VisitIndex // NoVisit for a rest
	rest    int        // the break, for a rest
	moves   bool       // it comes with the drive of its leg
	drive   Seconds    // of the leg, whoever of its tasks comes with it
	metres  Metres
	windows []Window
	seconds Seconds
}

// coming is the drive right before the task.
func (t task) coming() Seconds {
	if t.moves {
		return t.drive
	}
	return 0
}

// visitTasks are the visits of an order as tasks.
func visitTasks(p *Problem, r RouteIndex, order []VisitIndex) []task {
	tasks := make([]task, len(order))
	place := p.Route(r).Start
	for i, v := range order {
		visit := p.Visit(v)
		metres, drive := p.Between(place, visit.Place)
		tasks[i] = task{visit: v, moves: true, drive: drive, metres: metres, windows: visit.Windows, seconds: p.ServiceOn(v, r)}
		place = visit.Place
	}
	return tasks
}

// shortestSchedule is the shortest over all places for the breaks. When none has
// room for them the route is followed without, and no break is stated.
func shortestSchedule(p *Problem, r RouteIndex, order []VisitIndex) RouteSchedule {
	route := p.Route(r)
	visits := visitTasks(p, r, order)
	if len(route.Breaks) == 0 {
		s, _ := shortestOf(p, r, visits, route.Earliest, route.Latest)
		return s
	}
	rested, back := restedBy(route.Breaks), backBy(route.Breaks)
	var best RouteSchedule
	found := false
	// Spots for a break: 0 is at home before leaving, 2k+1 on arriving at stop k,
	// 2k+2 after serving it, and the last at home after the return.
	last := 2*len(order) + 1
	spots := make([]int, len(route.Breaks))
	var place func(j int)
	place = func(j int) {
		if j < len(spots) {
			spots[j] = 0
			if j > 0 {
				spots[j] = spots[j-1]
			}
			for ; spots[j] <= last; spots[j]++ {
				place(j + 1)
			}
			return
		}
		before, after := 0, 0
		for _, spot := range spots {
			if spot == 0 {
				before++
			}
			if spot == last {
				after++
			}
		}
		earliest, latest := max(route.Earliest, rested[before]), min(route.Latest, back[len(spots)-after])
		s, ok := shortestOf(p, r, withRests(&route, visits, spots), earliest, latest)
		if ok && s.Depart <= route.Latest && (!found || s.Duration < best.Duration || s.Duration == best.Duration && s.Return < best.Return) {
			best, found = s, true
		}
	}
	place(0)
	if !found {
		best, _ = shortestOf(p, r, visits, route.Earliest, route.Latest)
	}
	return best
}

// withRests puts the breaks of a route into its visits, at the spots given.
func withRests(route *Route, visits []task, spots []int) []task {
	var tasks []task
	rest := func(spot int, leg task) (rested bool) {
		for j, at := range spots {
			if at == spot {
				tasks = append(tasks, task{visit: NoVisit, rest: j, moves: leg.moves && !rested, drive: leg.drive, windows: route.Breaks[j].Windows, seconds: route.Breaks[j].Length})
				rested = true
			}
		}
		return rested
	}
	for k, visit := range visits {
		visit.moves = !rest(2*k+1, visit)
		tasks = append(tasks, visit)
		rest(2*k+2, task{})
	}
	return tasks
}

// shortestOf tries every departure that could be best. Leaving a second later
// shortens the route unless some task's start moves with it; so the best
// departure is the earliest possible, or the latest that still reaches some task
// by the opening of one of its windows.
func shortestOf(p *Problem, r RouteIndex, tasks []task, earliest, latest Seconds) (RouteSchedule, bool) {
	best, ok := schedule(p, r, tasks, earliest, latest)
	if !ok {
		return best, false
	}
	for i, t := range tasks {
		for _, w := range t.windows {
			depart, possible := latestDeparture(tasks[:i], t, w.Open)
			if !possible || depart < earliest {
				continue
			}
			s, ok := schedule(p, r, tasks, depart, latest)
			if ok && (s.Duration < best.Duration || s.Duration == best.Duration && s.Return < best.Return) {
				best = s
			}
		}
	}
	return best, true
}

// schedule follows a route from a departure: drive, wait for the next opening,
// serve or rest. It reports false when a task has no window left to start in or
// the return is too late.
func schedule(p *Problem, r RouteIndex, tasks []task, depart, latest Seconds) (RouteSchedule, bool) {
	route := p.Route(r)
	s := RouteSchedule{Route: r, Used: true, Depart: depart}
	clock, place, inTime, arrived := depart, route.Start, true, depart
	for _, t := range tasks {
		arrive := clock + t.coming()
		if t.moves {
			arrived = arrive
		}
		start, ok := nextStart(t.windows, arrive)
		inTime = inTime && ok
		clock = start + t.seconds
		s.Waiting += start - arrive
		if t.visit == NoVisit {
			s.Rests = append(s.Rests, Rest{Break: t.rest, After: len(s.Stops), Start: start, End: clock})
			s.Resting += t.seconds
			continue
		}
		s.Stops = append(s.Stops, Stop{Visit: t.visit, Arrive: arrived, Start: start, Leave: clock, Drive: t.drive, Metres: t.metres})
		s.Metres += t.metres
		s.Driving += t.drive
		s.Service += t.seconds
		place = p.Visit(t.visit).Place
	}
	s.ReturnMetres, s.ReturnDrive = p.Between(place, route.End)
	s.Metres += s.ReturnMetres
	s.Driving += s.ReturnDrive
	s.Return = clock + s.ReturnDrive
	s.Duration = s.Return - s.Depart
	if route.Duration > 0 {
		s.Overtime = max(0, s.Duration-route.Duration)
	}
	return s, inTime && s.Return <= latest
}

// nextStart is the first instant at or after arrive inside a window; arrive and
// false when every window has closed.
func nextStart(windows []Window, arrive Seconds) (Seconds, bool) {
	if len(windows) == 0 {
		return arrive, true
	}
	for _, w := range windows {
		if arrive <= w.Close {
			return max(arrive, w.Open), true
		}
	}
	return arrive, false
}

// latestDeparture is the latest departure that does the tasks of before in their
// windows and then comes to a task by a given instant.
func latestDeparture(before []task, to task, by Seconds) (Seconds, bool) {
	by -= to.coming()
	for i := len(before) - 1; i >= 0; i-- {
		start, ok := lastStart(before[i].windows, by-before[i].seconds)
		if !ok {
			return 0, false
		}
		by = start - before[i].coming()
	}
	return by, true
}

// lastStart is the last instant at or before by inside a window.
func lastStart(windows []Window, by Seconds) (Seconds, bool) {
	if len(windows) == 0 {
		return by, true
	}
	for i := len(windows) - 1; i >= 0; i-- {
		if by >= windows[i].Open {
			return min(by, windows[i].Close), true
		}
	}
	return by, false
}

// evaluateClocks notes late stops, late returns and over-long routes.
func (e *Evaluation) evaluateClocks(p *Problem, r RouteIndex) {
	route, s := p.Route(r), &e.Routes[r]
	for _, stop := range s.Stops {
		windows := p.Visit(stop.Visit).Windows
		if _, ok := nextStart(windows, stop.Arrive); !ok {
			e.fault(FaultWindow, r, stop.Visit, "arrives %d s after its last window has closed", stop.Arrive-windows[len(windows)-1].Close)
		}
	}
	if s.Return > route.Latest {
		e.fault(FaultReturn, r, NoVisit, "returns %d s after %d", s.Return-route.Latest, route.Latest)
	}
	if !restsStated(&route, s) {
		e.fault(FaultBreak, r, NoVisit, "there is no room for its breaks")
	}
	if route.Duration > 0 && s.Overtime > route.Overtime {
		e.fault(FaultDuration, r, NoVisit, "takes %d s, %d s longer than allowed", s.Duration, s.Overtime-route.Overtime)
	}
}

// restsStated reports whether every break is on the way, or can be taken at home:
// the first ones before leaving, the last ones after the return.
func restsStated(route *Route, s *RouteSchedule) bool {
	rested, back := restedBy(route.Breaks), backBy(route.Breaks)
	for before := 0; before+len(s.Rests) <= len(route.Breaks); before++ {
		if s.Depart >= rested[before] && s.Return <= back[before+len(s.Rests)] && (len(s.Rests) == 0 || s.Rests[0].Break == before) {
			return true
		}
	}
	return false
}

func scheduleCost(p *Problem, s *RouteSchedule) CostParts {
	route := p.Route(s.Route)
	parts := CostParts{
		Distance: saturatingCost(route.CostPerMetre, int64(s.Metres)),
		Hours:    saturatingCost(route.CostPerSecond, int64(s.Duration)),
		Overtime: saturatingCost(route.CostPerOvertimeSecond, int64(s.Overtime)),
		RouteUse: route.CostWhenUsed,
	}
	for _, stop := range s.Stops {
		visit := p.Visit(stop.Visit)
		lower, change := placementCosts(&visit, &route)
		parts.LowerDays += lower
		parts.Change += change
	}
	return parts
}

// saturatingCost multiplies rate and quantity, both 0 or more. Plans that keep
// the rules never reach the ceiling (NewProblem saw to that); broken ones may.
func saturatingCost(rate Cost, quantity int64) Cost {
	const ceiling = int64(1) << 61
	if rate > 0 && quantity > ceiling/int64(rate) {
		return Cost(ceiling)
	}
	return rate * Cost(quantity)
}

// evaluateGroups checks that a group is on one route a day.
func (e *Evaluation) evaluateGroups(p *Problem, served []RouteIndex) {
	type groupDay struct {
		group GroupID
		day   DayIndex
	}
	first := map[groupDay]RouteIndex{}
	for i, r := range served {
		group := p.Visit(VisitIndex(i)).Group
		if r == NoRoute || group == 0 {
			continue
		}
		key := groupDay{group, p.Route(r).Day}
		if other, ok := first[key]; ok && other != r {
			e.fault(FaultGroup, r, VisitIndex(i), "group %d is also on route %d that day", group, other)
		} else {
			first[key] = r
		}
	}
}

func (e *Evaluation) evaluateLeftOut(p *Problem, served []RouteIndex) {
	for i, r := range served {
		if r != NoRoute {
			continue
		}
		v := VisitIndex(i)
		visit := p.Visit(v)
		e.Unserved = append(e.Unserved, v)
		e.Cost.LeftOut += visit.Value
		e.Cost.Change += leftOutChange(&visit)
		if visit.Required || visit.Pin != nil {
			e.fault(FaultRequired, NoRoute, v, "left out")
		}
	}
}
