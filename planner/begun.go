package planner

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner/routing"
)

// Begun is how far a crew has come along its route of a day that is out. Nothing of it is planned again.
type Begun struct {
	// Visits are driven, under way or next at the end of a drive that has begun: as they were sent out.
	Visits []events.DayVisit `json:"visits"`
	Site   events.SiteID     `json:"site"` // where the crew is, or will be when it is free
	Free   time.Time         `json:"free"` // when it can drive on from there
	// Unheard: the crew has recorded nothing that day, and is taken to be where its route says.
	Unheard bool `json:"unheard,omitempty"`
}

func (g *Begun) metres() int {
	sum := 0
	for _, v := range g.Visits {
		sum += v.DriveM
	}
	return sum
}

// underway is what has begun of a day that is out.
type underway struct {
	of     map[events.CrewID]*Begun // of the crews that have begun
	routes map[events.CrewID]events.DayRoute
	jobs   map[events.JobRef]bool // of visits that have begun
	sent   map[events.JobRef]events.CrewID
	keys   map[string]bool // of visits that have begun
}

// begin looks how far each crew of a day that is out has come.
func (c *collector) begin() {
	if c.day == nil || c.day.Sent == nil {
		return
	}
	c.under = &underway{of: map[events.CrewID]*Begun{}, routes: map[events.CrewID]events.DayRoute{}, jobs: map[events.JobRef]bool{},
		sent: map[events.JobRef]events.CrewID{}, keys: map[string]bool{}}
	for _, route := range c.day.Sent.Routes {
		c.under.routes[route.Crew] = route
		for _, v := range route.Visits {
			for _, j := range v.Jobs {
				c.under.sent[j.JobRef] = route.Crew
			}
		}
		g := c.begun(route)
		if g == nil {
			continue
		}
		c.under.of[route.Crew] = g
		for _, v := range g.Visits {
			c.under.keys[v.Key] = true
			for _, j := range v.Jobs {
				c.under.jobs[j.JobRef] = true
			}
		}
	}
}

// begun is what a crew has begun of its route: by what it recorded, or, where it recorded nothing, by the plan. Nil when it is
// still at home.
func (c *collector) begun(route events.DayRoute) *Begun {
	crew := c.b.Crews[route.Crew]
	if crew == nil || len(route.Visits) == 0 {
		return nil
	}
	if !c.heard(route) {
		return c.presumed(route)
	}
	g := &Begun{Free: c.now}
	seen := time.Time{} // when it was last heard of at a site
	var next *events.DayVisit
	var here *events.DayVisit
	for i := range route.Visits {
		v := &route.Visits[i]
		site := c.b.Sites[v.Site]
		if site == nil {
			continue
		}
		open := len(c.stillOpen(*v)) > 0
		present := site.Here != nil && site.Here.Crew == route.Crew && c.onDay(site.Here.Since, site.Zone)
		gone := site.Gone != nil && site.Gone.Crew == route.Crew && c.onDay(site.Gone.Since, site.Zone)
		switch {
		case open && present && here == nil:
			here = v
		case !open && (present || gone || c.attempted(*v)):
			g.Visits = append(g.Visits, *v)
		case open && next == nil:
			next = v
		}
		if since := lastSeen(site, route.Crew); (present || gone) && !since.Before(seen) {
			seen, g.Site = since, site.ID
		}
	}
	if here != nil {
		g.Visits = append(g.Visits, *here)
		g.Site, g.Free = here.Site, c.leaves(*here, c.b.Sites[here.Site].Here.Since, true)
		return g
	}
	if n := len(g.Visits); n > 0 && g.Site == "" {
		g.Site = g.Visits[n-1].Site // keyed in from paper
	}
	if g.Site == "" {
		return nil
	}
	if at := c.b.Sites[g.Site]; next != nil && (at.Here == nil || at.Here.Crew != route.Crew) {
		c.onTheWay(g, *next, seen)
	}
	return g
}

// onTheWay adds the next visit when the crew must be driving there by now to come as planned.
func (c *collector) onTheWay(g *Begun, next events.DayVisit, left time.Time) {
	from, to := c.b.Sites[g.Site], c.b.Sites[next.Site]
	if left.IsZero() {
		left = c.now
	}
	e := c.ahead(next, to, c.stillOpen(next), from.Position, left)
	if e.Begin.IsZero() || !from.Position.IsSet() || !to.Position.IsSet() {
		return // too late, or nobody knows the way
	}
	drive := time.Duration(c.s.Travel.Travel(from.Position, to.Position).Seconds) * time.Second
	if e.Begin.Add(-drive).After(c.now) {
		return
	}
	g.Visits, g.Site, g.Free = append(g.Visits, next), next.Site, e.Leave
}

// presumed is what a crew of which nothing was heard has begun if it keeps to its route: each visit it should be driving to.
func (c *collector) presumed(route events.DayRoute) *Begun {
	g := &Begun{Unheard: true}
	for _, v := range route.Visits {
		if v.Arrive.Add(-time.Duration(v.DriveS) * time.Second).After(c.now) {
			break
		}
		g.Visits, g.Site, g.Free = append(g.Visits, v), v.Site, v.Leave
	}
	if len(g.Visits) == 0 {
		return nil
	}
	if g.Free.Before(c.now) {
		g.Free = c.now
	}
	return g
}

// attempted reports whether a job of the visit has a result of the day.
func (c *collector) attempted(v events.DayVisit) bool {
	return slices.ContainsFunc(v.Jobs, func(dj events.DayJob) bool {
		a := c.b.Assemblies[dj.Assembly]
		if a == nil || a.Job(dj.Job) == nil {
			return false
		}
		return slices.ContainsFunc(a.Job(dj.Job).Attempts, func(x events.Attempt) bool { return x.On == c.date })
	})
}

// lastSeen is when a crew was last heard of at a site.
func lastSeen(site *events.Site, crew events.CrewID) time.Time {
	var last time.Time
	for _, p := range []*events.Presence{site.Here, site.Gone} {
		if p != nil && p.Crew == crew && p.Since.After(last) {
			last = p.Since
		}
	}
	return last
}

// lead adds to the stops, for each crew that has begun, one that stands for all it has begun.
func (w *work) lead() {
	if w.by.under == nil {
		return
	}
	for _, t := range w.teams {
		if g := w.by.under.of[t.ID]; g != nil {
			w.stops = append(w.stops, stop{site: w.r.Book.Sites[g.Site], begun: g, beganBy: t.ID})
		}
	}
}

// leading is where a team's order begins: with what it has begun, if anything.
func (w *work) leading(team int) []routing.VisitIndex {
	for i, p := range w.stops {
		if p.begun != nil && p.beganBy == w.teams[team].ID {
			return []routing.VisitIndex{routing.VisitIndex(i)}
		}
	}
	return nil
}

// leftHome is when a crew left home on a day that is out; not ok when it has not.
func (w *work) leftHome(crew events.CrewID) (time.Time, bool) {
	if w.by == nil || w.by.under == nil || w.by.under.of[crew] == nil {
		return time.Time{}, false
	}
	left, free := w.by.under.routes[crew].Start, w.by.under.of[crew].Free
	if free.Before(left) { // it was earlier than its route
		left = free
	}
	return left, true
}

// begunVisit is what has begun as one visit of the engine's: first on its route, from leaving home until the crew is free. The
// way there is no time of its own.
func (w *work) begunVisit(i int, p stop) routing.Visit {
	left, _ := w.leftHome(p.beganBy)
	return routing.Visit{Name: "begun by " + string(p.beganBy), Place: routing.PlaceIndex(len(w.teams) + i), Service: max(0, seconds(p.begun.Free)-seconds(left)),
		Windows: []routing.Window{{Open: seconds(left), Close: seconds(left)}},
		Pin:     &routing.Pin{Route: routing.RouteIndex(w.teamOf(p.beganBy)), Position: 1}}
}

// begunTravel is the travel with the ways to what has begun: so many metres as were driven.
type begunTravel struct {
	routing.TravelTimes
	metres map[[2]routing.PlaceIndex]routing.Metres
}

func (t begunTravel) Between(from, to routing.PlaceIndex) (routing.Metres, routing.Seconds) {
	if m, ok := t.metres[[2]routing.PlaceIndex{from, to}]; ok {
		return m, 0
	}
	return t.TravelTimes.Between(from, to)
}

// driven puts the ways to what has begun into the travel.
func (w *work) driven() {
	ways := map[[2]routing.PlaceIndex]routing.Metres{}
	for i, p := range w.stops {
		if p.begun != nil {
			ways[[2]routing.PlaceIndex{routing.PlaceIndex(w.teamOf(p.beganBy)), routing.PlaceIndex(len(w.teams) + i)}] = routing.Metres(p.begun.metres())
		}
	}
	if len(ways) > 0 {
		w.spec.Travel = begunTravel{w.spec.Travel, ways}
	}
}

// at is where a crew that has begun is free; at home where the site has no position on record any more.
func (w *work) at(g *Begun, home geo.Point) geo.Point {
	if at := w.r.Book.Sites[g.Site].Position; at.IsSet() {
		return at
	}
	return home
}

// homeLate makes room in the hours of a crew that will be home late whatever it does.
func (w *work) homeLate(route *routing.Route, crew events.CrewID, home geo.Point) {
	g := w.by.under.of[crew]
	left, _ := w.leftHome(crew)
	back := seconds(g.Free) + routing.Seconds(w.r.Settings.Travel.Travel(w.at(g, home), home).Seconds)
	route.Earliest = seconds(left)
	route.Latest = max(route.Latest, back)
	route.Overtime = max(route.Overtime, back-route.Earliest-route.Duration)
}

// begunOnly is the route of a crew that has begun and goes home now, for it works no more that day.
func (w *work) begunOnly(crew *events.Crew) Route {
	g := w.by.under.of[crew.ID]
	left, _ := w.leftHome(crew.ID)
	home := w.r.Settings.Travel.Travel(w.at(g, crew.Home), crew.Home)
	r := Route{Crew: crew.ID, Date: w.r.Date, Visits: []Visit{}, Begun: g, Start: left, HomeM: int(home.Metres), HomeS: int(home.Seconds)}
	r.End = g.Free.Add(time.Duration(r.HomeS) * time.Second)
	if span, works, err := w.by.clock.working(crew); err == nil && works {
		r.OvertimeS = max(0, int((r.End.Sub(r.Start)-span.Close.Sub(span.Open))/time.Second))
	}
	s := w.r.Settings
	r.Cost = routeCost(routing.CostParts{Distance: routing.CostPerMetre(s.KilometreUSD) * routing.Cost(g.metres()+r.HomeM),
		Hours:    routing.CostPerSecond(s.CrewHourUSD) * routing.Cost(r.End.Sub(r.Start)/time.Second),
		Overtime: routing.CostPerSecond(s.OvertimeHourUSD) * routing.Cost(r.OvertimeS)})
	return r
}

// hasBegun reports whether a job is on a visit that has begun.
func (c *collector) hasBegun(ref events.JobRef) bool { return c.under != nil && c.under.jobs[ref] }

// isOut reports whether one of the jobs is out with the day whose rest is planned: its people are told already.
func (c *collector) isOut(jobs []candidate) bool {
	return c.under != nil && slices.ContainsFunc(jobs, func(x candidate) bool {
		_, out := c.under.sent[events.JobRef{Assembly: x.a.ID, Job: x.j.ID}]
		return out
	})
}

// freshKey gives a stop another key when a visit that has begun has its key.
func (c *collector) freshKey(key string, p stop) string {
	if c.under == nil || !c.under.keys[key] {
		return key
	}
	base := string(p.site.ID) + "~" + string(p.firstFeed(c.b))
	key = base
	for n := 2; c.under.keys[key]; n++ {
		key = fmt.Sprintf("%s~%d", base, n)
	}
	return key
}

func (p stop) firstFeed(b *events.Book) events.FeedID {
	if len(p.table.Feeds) > 0 {
		return p.table.Feeds[0].Feed
	}
	return b.Assemblies[p.jobs[0].Assembly].Feed
}

// besideBegun is the crew that has begun at a feed which hangs together with one of the stop's: the two are one crew's that day.
func (c *collector) besideBegun(p stop) events.CrewID {
	if c.under == nil {
		return ""
	}
	hanging := c.hanging(p)
	if len(hanging) == 0 {
		return ""
	}
	for _, crew := range slices.Sorted(maps.Keys(c.under.of)) {
		for _, v := range c.under.of[crew].Visits {
			for _, j := range v.Jobs {
				if a := c.b.Assemblies[j.Assembly]; a != nil && hanging[a.Feed] {
					return crew
				}
			}
		}
	}
	return ""
}

// hanging are the feeds that hang together with those of a stop, directly or through others, and those themselves; none where
// each stands alone.
func (c *collector) hanging(p stop) map[events.FeedID]bool {
	reached := map[events.FeedID]bool{}
	for _, first := range p.feeds(c.b) {
		list := []events.FeedID{first}
		for i := 0; i < len(list); i++ {
			for _, f := range c.feeds[p.site.ID] {
				if !slices.Contains(list, f.ID) && c.hang(list[i], f.ID) {
					list = append(list, f.ID)
				}
			}
		}
		if len(list) > 1 {
			for _, f := range list {
				reached[f] = true
			}
		}
	}
	return reached
}

// hang reports whether two feeds are legs of one manifold, or one is fed from the other.
func (c *collector) hang(x, y events.FeedID) bool {
	f, g := c.b.Feeds[x], c.b.Feeds[y]
	return x != y && f != nil && g != nil && (f.Manifold != "" && f.Manifold == g.Manifold || f.FedFrom == y || g.FedFrom == x)
}

// begunLegs are, by manifold, the legs of a site that have been worked on in visits which have begun.
func (c *collector) begunLegs(site events.SiteID) map[string]events.FeedID {
	legs := map[string]events.FeedID{}
	c.eachBegunDry(func(off events.WaterOff) {
		if f := c.b.Feeds[off.Feed]; f != nil && f.Site == site && f.Manifold != "" {
			legs[f.Manifold] = f.ID
		}
	})
	return legs
}

func (c *collector) eachBegunDry(do func(events.WaterOff)) {
	if c.under == nil {
		return
	}
	for _, g := range c.under.of {
		for _, v := range g.Visits {
			for _, off := range v.WaterOff {
				do(off)
			}
		}
	}
}
