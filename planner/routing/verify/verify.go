// Package verify checks a plan of package routing against its problem: every
// clock, window, skill, part, load, group, pin, route limit and cost is worked
// out again from the problem's specification. It shares no code with the engine
// or its evaluation (of package routing it uses the types only), so that a
// mistake there cannot hide here. It refuses, and never repairs.
//
// The shortest schedule of a route is found another way than in the evaluation:
// as a step function from departure to return, built stop by stop.
package verify

import (
	"fmt"
	"math"
	"sort"

	"valveround/planner/routing"
)

// Fault is one broken rule or one wrong statement.
type Fault = routing.PlanFault

// Check lists everything that is wrong with a plan; nothing for a plan that
// keeps every hard rule and states its clocks and costs truly.
func Check(p *routing.Problem, s routing.Solution) []Fault {
	c := &checker{spec: p.Spec(), said: s.Evaluation, servedBy: map[routing.VisitIndex]routing.RouteIndex{}}
	if len(s.Routes) != len(c.spec.Routes) {
		c.add(routing.FaultShape, routing.NoRoute, routing.NoVisit, "%d routes in the plan, %d in the problem", len(s.Routes), len(c.spec.Routes))
		return c.faults
	}
	if len(c.said.Routes) != len(c.spec.Routes) {
		c.add(routing.FaultShape, routing.NoRoute, routing.NoVisit, "%d schedules in the plan, %d routes in the problem", len(c.said.Routes), len(c.spec.Routes))
		return c.faults
	}
	var total routing.CostParts
	for i := range s.Routes {
		cost := c.checkRoute(routing.RouteIndex(i), s.Routes[i])
		total = total.Plus(cost)
	}
	c.checkGroups(s.Routes)
	total = total.Plus(c.checkLeftOut())
	if c.said.Cost != total {
		c.add(routing.FaultCost, routing.NoRoute, routing.NoVisit, "the plan says it costs %+v, it costs %+v", c.said.Cost, total)
	}
	return c.faults
}

type checker struct {
	spec     routing.Spec
	said     routing.Evaluation
	servedBy map[routing.VisitIndex]routing.RouteIndex
	faults   []Fault
}

func (c *checker) add(kind routing.FaultKind, r routing.RouteIndex, v routing.VisitIndex, format string, args ...any) {
	c.faults = append(c.faults, Fault{Kind: kind, Route: r, Visit: v, Detail: fmt.Sprintf(format, args...)})
}

// checkRoute checks one route and returns its true cost.
func (c *checker) checkRoute(r routing.RouteIndex, order []routing.VisitIndex) routing.CostParts {
	if !c.checkOrder(r, order) {
		return routing.CostParts{}
	}
	for _, v := range order {
		c.checkPlacement(r, v)
	}
	c.checkPrefix(r, order)
	c.checkLoadAndStock(r, order)
	if len(order) == 0 {
		if said := c.said.Routes[r]; said.Used || len(said.Stops) > 0 || said.Metres != 0 || said.Duration != 0 || said.Cost != (routing.CostParts{}) {
			c.add(routing.FaultClock, r, routing.NoVisit, "an unused route has a schedule")
		}
		return routing.CostParts{}
	}
	metres := c.checkClocks(r, order)
	cost := c.routeCost(r, order, metres)
	if said := c.said.Routes[r].Cost; said != cost {
		c.add(routing.FaultCost, r, routing.NoVisit, "the plan says %+v, it is %+v", said, cost)
	}
	return cost
}

func (c *checker) checkOrder(r routing.RouteIndex, order []routing.VisitIndex) bool {
	sound := true
	for _, v := range order {
		if int(v) < 0 || int(v) >= len(c.spec.Visits) {
			c.add(routing.FaultShape, r, routing.NoVisit, "there is no visit %d", v)
			sound = false
			continue
		}
		if other, twice := c.servedBy[v]; twice {
			c.add(routing.FaultTwice, r, v, "route %d serves it too", other)
			sound = false
		}
		c.servedBy[v] = r
	}
	return sound
}

func (c *checker) checkPlacement(r routing.RouteIndex, v routing.VisitIndex) {
	visit := c.spec.Visits[v]
	has := map[routing.SkillID]bool{}
	for _, skill := range c.spec.Routes[r].Skills {
		has[skill] = true
	}
	for _, skill := range visit.Skills {
		if !has[skill] {
			c.add(routing.FaultSkill, r, v, "the route has no skill %d", skill)
		}
	}
	allowed := visit.Allowed == nil
	for _, a := range visit.Allowed {
		allowed = allowed || a == r
	}
	if !allowed {
		c.add(routing.FaultAllowed, r, v, "the visit may not be on this route")
	}
	if visit.Pin != nil && visit.Pin.Route != r {
		c.add(routing.FaultPin, r, v, "the visit is held to route %d", visit.Pin.Route)
	}
}

// checkPrefix: the visits held to positions must be the first ones, ascending.
func (c *checker) checkPrefix(r routing.RouteIndex, order []routing.VisitIndex) {
	var positions []int
	count := 0
	for k, v := range order {
		if pin := c.spec.Visits[v].Pin; pin != nil && pin.Route == r && pin.Position > 0 {
			positions = append(positions, pin.Position)
			if k != count {
				c.add(routing.FaultPin, r, v, "held to position %d, but stands behind a visit without one", pin.Position)
			}
			count++
		}
	}
	if !sort.IntsAreSorted(positions) {
		c.add(routing.FaultPin, r, routing.NoVisit, "held positions come in the order %v", positions)
	}
}

func (c *checker) checkLoadAndStock(r routing.RouteIndex, order []routing.VisitIndex) {
	stock := map[routing.StockID]int64{}
	for _, have := range c.spec.Routes[r].Stock {
		stock[have.Item] += have.Quantity
	}
	load := make([]int64, len(c.spec.Routes[r].Capacity))
	for _, v := range order {
		for _, need := range c.spec.Visits[v].Stock {
			if need.Quantity == 0 {
				continue
			}
			stock[need.Item] -= need.Quantity
			if stock[need.Item] < 0 {
				c.add(routing.FaultStock, r, v, "item %d runs out", need.Item)
			}
		}
		for d, q := range c.spec.Visits[v].Demand {
			if d < len(load) {
				load[d] += q
			}
		}
	}
	for d, capacity := range c.spec.Routes[r].Capacity {
		if load[d] > capacity {
			c.add(routing.FaultLoad, r, routing.NoVisit, "dimension %d holds %d of %d", d, load[d], capacity)
		}
	}
}

func (c *checker) leg(from, to routing.PlaceIndex) (routing.Metres, routing.Seconds) {
	if from == routing.Nowhere || to == routing.Nowhere {
		return 0, 0
	}
	return c.spec.Travel.Between(from, to)
}

func (c *checker) serviceTime(r routing.RouteIndex, v routing.VisitIndex) routing.Seconds {
	if seconds, special := c.spec.Visits[v].ServiceByCrew[c.spec.Routes[r].Crew]; special {
		return seconds
	}
	return c.spec.Visits[v].Service
}

// checkClocks walks the stated schedule: it must follow from its departure, keep
// every window and limit, and be the shortest there is. It returns the true
// length.
func (c *checker) checkClocks(r routing.RouteIndex, order []routing.VisitIndex) routing.Metres {
	said, route := c.said.Routes[r], c.spec.Routes[r]
	if !said.Used || len(said.Stops) != len(order) || said.Route != r {
		c.add(routing.FaultClock, r, routing.NoVisit, "the schedule has %d stops, the route %d", len(said.Stops), len(order))
		return c.length(r, order)
	}
	if said.Depart < route.Earliest {
		c.add(routing.FaultReturn, r, routing.NoVisit, "leaves at %d, before %d", said.Depart, route.Earliest)
	}
	now, at := said.Depart, route.Start
	var metres routing.Metres
	var driving, waiting, resting, service routing.Seconds
	rests := said.Rests
	// restUntil takes the stated rests before stop k that begin before an instant.
	restUntil := func(k int, limit routing.Seconds) {
		for len(rests) > 0 && rests[0].After == k && rests[0].Start < limit {
			waiting += rests[0].Start - now
			c.checkRest(r, rests[0], now)
			resting, now, rests = resting+rests[0].End-rests[0].Start, rests[0].End, rests[1:]
		}
	}
	for k, v := range order {
		length, drive := c.leg(at, c.spec.Visits[v].Place)
		metres, driving = metres+length, driving+drive
		restUntil(k, said.Stops[k].Arrive)
		arrive := now + drive
		now = arrive
		restUntil(k, math.MaxInt64)
		begin, open := c.opening(v, now)
		if !open {
			c.add(routing.FaultWindow, r, v, "arrives at %d, when no window is left", now)
			begin = now
		}
		waiting += begin - now
		want := routing.Stop{Visit: v, Arrive: arrive, Start: begin, Leave: begin + c.serviceTime(r, v), Drive: drive, Metres: length}
		if said.Stops[k] != want {
			c.add(routing.FaultClock, r, v, "stop %d is stated as %+v, it is %+v", k, said.Stops[k], want)
		}
		service += want.Leave - want.Start
		now, at = want.Leave, c.spec.Visits[v].Place
	}
	restUntil(len(order), math.MaxInt64)
	if len(rests) > 0 {
		c.add(routing.FaultClock, r, routing.NoVisit, "the rest at %d is out of order", rests[0].Start)
	}
	length, drive := c.leg(at, route.End)
	metres, driving, now = metres+length, driving+drive, now+drive
	want := routing.RouteSchedule{
		Route: r, Used: true, Depart: said.Depart, Return: now, Duration: now - said.Depart,
		Driving: driving, Waiting: waiting, Resting: resting, Service: service, Metres: metres, ReturnDrive: drive, ReturnMetres: length,
		Stops: said.Stops, Rests: said.Rests, Cost: said.Cost, Overtime: overtime(route, now-said.Depart),
	}
	c.compareTotals(r, said, want)
	c.checkLimits(r, order, want)
	return metres
}

func (c *checker) compareTotals(r routing.RouteIndex, said, want routing.RouteSchedule) {
	a, b := said, want
	a.Stops, b.Stops, a.Rests, b.Rests = nil, nil, nil, nil
	if fmt.Sprintf("%+v", a) != fmt.Sprintf("%+v", b) {
		c.add(routing.FaultClock, r, routing.NoVisit, "the schedule is stated as %+v, it is %+v", a, b)
	}
}

func (c *checker) checkLimits(r routing.RouteIndex, order []routing.VisitIndex, s routing.RouteSchedule) {
	route := c.spec.Routes[r]
	if s.Return > route.Latest {
		c.add(routing.FaultReturn, r, routing.NoVisit, "back at %d, after %d", s.Return, route.Latest)
	}
	if route.Duration > 0 && s.Duration > route.Duration+route.Overtime {
		c.add(routing.FaultDuration, r, routing.NoVisit, "takes %d, allowed are %d and %d of overtime", s.Duration, route.Duration, route.Overtime)
	}
	if !c.breaksTaken(route, s) {
		c.add(routing.FaultBreak, r, routing.NoVisit, "not all breaks can be taken, on the way or at home")
	}
	best, back, possible := c.shortest(r, order)
	if possible && (s.Duration != best || s.Return != back) {
		c.add(routing.FaultClock, r, routing.NoVisit, "takes %d and is back at %d; the shortest takes %d and is back at %d", s.Duration, s.Return, best, back)
	}
}

func overtime(route routing.Route, duration routing.Seconds) routing.Seconds {
	if route.Duration == 0 || duration <= route.Duration {
		return 0
	}
	return duration - route.Duration
}

func (c *checker) length(r routing.RouteIndex, order []routing.VisitIndex) routing.Metres {
	at := c.spec.Routes[r].Start
	var metres routing.Metres
	for _, v := range order {
		length, _ := c.leg(at, c.spec.Visits[v].Place)
		metres, at = metres+length, c.spec.Visits[v].Place
	}
	length, _ := c.leg(at, c.spec.Routes[r].End)
	return metres + length
}

// opening is the first instant, not before t, at which the visit may start.
func (c *checker) opening(v routing.VisitIndex, t routing.Seconds) (routing.Seconds, bool) {
	windows := c.spec.Visits[v].Windows
	if len(windows) == 0 {
		return t, true
	}
	k := sort.Search(len(windows), func(i int) bool { return windows[i].Close >= t })
	if k == len(windows) {
		return t, false
	}
	if windows[k].Open > t {
		return windows[k].Open, true
	}
	return t, true
}

// step: departures in [first, last] reach the place at clock + (departure -
// first) if rising, at clock otherwise.
type step struct {
	first, last, clock routing.Seconds
	rising             bool
}

// shortest follows all departures at once, as steps, through the stops: one list
// of steps for each number of breaks taken.
func (c *checker) shortest(r routing.RouteIndex, order []routing.VisitIndex) (duration, back routing.Seconds, possible bool) {
	route := c.spec.Routes[r]
	steps := make([][]step, len(route.Breaks)+1)
	for taken := range steps {
		if early := max(route.Earliest, homeBefore(route.Breaks[:taken])); early <= route.Latest {
			steps[taken] = []step{{early, route.Latest, early, true}}
		}
	}
	at := route.Start
	for _, v := range order {
		_, drive := c.leg(at, c.spec.Visits[v].Place)
		c.restAnywhere(route, steps, drive)
		for taken := range steps {
			steps[taken] = later(through(steps[taken], c.spec.Visits[v].Windows), c.serviceTime(r, v))
		}
		at = c.spec.Visits[v].Place
	}
	_, drive := c.leg(at, route.End)
	c.restAnywhere(route, steps, drive)
	for taken := range steps {
		for _, s := range steps[taken] {
			depart, arrive := s.first, s.clock
			if !s.rising {
				depart = s.last
			}
			if arrive > route.Latest || arrive > homeAfter(route.Breaks[taken:]) {
				continue
			}
			if !possible || arrive-depart < duration || arrive-depart == duration && arrive < back {
				duration, back, possible = arrive-depart, arrive, true
			}
		}
	}
	return duration, back, possible
}

// restAnywhere drives a leg, with rests before and after the drive.
func (c *checker) restAnywhere(route routing.Route, steps [][]step, drive routing.Seconds) {
	for _, d := range []routing.Seconds{drive, 0} {
		for j, b := range route.Breaks {
			steps[j+1] = append(steps[j+1], later(through(steps[j], b.Windows), b.Length)...)
		}
		for taken := range steps {
			steps[taken] = distinct(later(steps[taken], d))
		}
	}
}

// distinct drops steps that are stated twice.
func distinct(steps []step) []step {
	seen := map[step]bool{}
	kept := steps[:0]
	for _, s := range steps {
		if !seen[s] {
			kept = append(kept, s)
		}
		seen[s] = true
	}
	return kept
}

// homeBefore is the earliest end of breaks taken one after the other at home.
func homeBefore(breaks []routing.Break) routing.Seconds {
	end := routing.Seconds(-1 << 61)
	for _, b := range breaks {
		begin := routing.Seconds(1 << 61)
		for _, w := range b.Windows {
			if w.Close >= end {
				begin = min(begin, max(end, w.Open))
			}
		}
		end = begin + b.Length
	}
	return end
}

// homeAfter is the latest beginning of breaks taken one after the other at home.
func homeAfter(breaks []routing.Break) routing.Seconds {
	latest := routing.Seconds(1 << 61)
	for j := len(breaks) - 1; j >= 0; j-- {
		begin := routing.Seconds(-1 << 61)
		for _, w := range breaks[j].Windows {
			if w.Open+breaks[j].Length <= latest {
				begin = max(begin, min(w.Close, latest-breaks[j].Length))
			}
		}
		latest = begin
	}
	return latest
}

// checkRest: a stated rest begins when the crew is free, in a window of its break,
// and lasts for its length.
func (c *checker) checkRest(r routing.RouteIndex, rest routing.Rest, free routing.Seconds) {
	breaks := c.spec.Routes[r].Breaks
	if rest.Break < 0 || rest.Break >= len(breaks) {
		c.add(routing.FaultClock, r, routing.NoVisit, "there is no break %d", rest.Break)
		return
	}
	b := breaks[rest.Break]
	inside := false
	for _, w := range b.Windows {
		inside = inside || w.Open <= rest.Start && rest.Start <= w.Close
	}
	if !inside || rest.Start < free || rest.End-rest.Start != b.Length {
		c.add(routing.FaultClock, r, routing.NoVisit, "break %d from %d to %d: free from %d on, in a window %v", rest.Break, rest.Start, rest.End, free, inside)
	}
}

// breaksTaken: the stated rests follow one another in number, what comes before
// them can be taken before leaving, and what comes after them after the return.
func (c *checker) breaksTaken(route routing.Route, s routing.RouteSchedule) bool {
	for k, rest := range s.Rests {
		if rest.Break != s.Rests[0].Break+k {
			return false
		}
	}
	for first := 0; first+len(s.Rests) <= len(route.Breaks); first++ {
		if len(s.Rests) > 0 && s.Rests[0].Break != first {
			continue
		}
		if s.Depart >= homeBefore(route.Breaks[:first]) && s.Return <= homeAfter(route.Breaks[first+len(s.Rests):]) {
			return true
		}
	}
	return false
}

func later(steps []step, by routing.Seconds) []step {
	moved := make([]step, len(steps))
	for i, s := range steps {
		s.clock += by
		moved[i] = s
	}
	return moved
}

// through lets the steps pass a door with windows: what comes before an opening
// waits for it, what comes inside goes on.
func through(steps []step, windows []routing.Window) []step {
	if len(windows) == 0 {
		return steps
	}
	var passed []step
	for _, s := range steps {
		shut := routing.Seconds(-1 << 62) // the windows before have closed at this instant
		for _, w := range windows {
			if early, some := s.between(shut+1, w.Open-1); some {
				early.clock, early.rising = w.Open, false
				passed = append(passed, early)
			}
			if inside, some := s.between(w.Open, w.Close); some {
				passed = append(passed, inside)
			}
			shut = w.Close
		}
	}
	return passed
}

// between is the part of a step that arrives within [low, high].
func (s step) between(low, high routing.Seconds) (step, bool) {
	if !s.rising {
		return s, s.clock >= low && s.clock <= high
	}
	if low > s.clock {
		s.first, s.clock = s.first+low-s.clock, low
	}
	if top := s.clock + s.last - s.first; top > high {
		s.last -= top - high
	}
	return s, s.first <= s.last
}

func (c *checker) routeCost(r routing.RouteIndex, order []routing.VisitIndex, metres routing.Metres) routing.CostParts {
	route, said := c.spec.Routes[r], c.said.Routes[r]
	duration := said.Duration
	cost := routing.CostParts{
		Distance: routing.Cost(metres) * route.CostPerMetre,
		Hours:    routing.Cost(duration) * route.CostPerSecond,
		Overtime: routing.Cost(overtime(route, duration)) * route.CostPerOvertimeSecond,
		RouteUse: route.CostWhenUsed,
	}
	for _, v := range order {
		visit := c.spec.Visits[v]
		if worth, lower := visit.ValueByDay[route.Day]; lower {
			cost.LowerDays += visit.Value - worth
		}
		if was := visit.Reference; was != nil && was.Day != route.Day {
			cost.Change += was.DayChange
		}
		if was := visit.Reference; was != nil && was.Crew != route.Crew {
			cost.Change += was.CrewChange
		}
	}
	return cost
}

// checkGroups: on one day, one route for each group.
func (c *checker) checkGroups(orders [][]routing.VisitIndex) {
	for a := range orders {
		for b := range a {
			if c.spec.Routes[a].Day != c.spec.Routes[b].Day {
				continue
			}
			c.checkSharedGroups(routing.RouteIndex(a), orders[a], routing.RouteIndex(b), orders[b])
		}
	}
}

func (c *checker) checkSharedGroups(a routing.RouteIndex, one []routing.VisitIndex, b routing.RouteIndex, other []routing.VisitIndex) {
	groups := map[routing.GroupID]bool{}
	for _, v := range one {
		if int(v) >= 0 && int(v) < len(c.spec.Visits) && c.spec.Visits[v].Group != 0 {
			groups[c.spec.Visits[v].Group] = true
		}
	}
	for _, v := range other {
		if int(v) >= 0 && int(v) < len(c.spec.Visits) && groups[c.spec.Visits[v].Group] {
			c.add(routing.FaultGroup, b, v, "group %d is on route %d of the same day too", c.spec.Visits[v].Group, a)
		}
	}
}

// checkLeftOut checks the list of left-out visits and returns what they cost.
func (c *checker) checkLeftOut() routing.CostParts {
	var cost routing.CostParts
	var left []routing.VisitIndex
	for i, visit := range c.spec.Visits {
		v := routing.VisitIndex(i)
		if _, served := c.servedBy[v]; served {
			continue
		}
		left = append(left, v)
		cost.LeftOut += visit.Value
		if visit.Reference != nil {
			cost.Change += visit.Reference.DayChange
		}
		if visit.Required || visit.Pin != nil {
			c.add(routing.FaultRequired, routing.NoRoute, v, "must be served, is left out")
		}
	}
	if fmt.Sprint(left) != fmt.Sprint(c.said.Unserved) {
		c.add(routing.FaultUnserved, routing.NoRoute, routing.NoVisit, "stated as left out: %v; they are %v", c.said.Unserved, left)
	}
	return cost
}
