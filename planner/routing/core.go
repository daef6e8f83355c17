package routing

import "math"

// core is a problem in the compact form the fast search works on: 32-bit times
// counted from the first departure, visits and both ends of every route as
// numbered nodes, and everything two routes have in common told once.
type core struct {
	p      *Problem
	visits int32
	base   Seconds // the instant called 0

	// Node v < visits is visit v; visits+2r and visits+2r+1 are where route r
	// starts and ends.
	point     []int32     // by node: its place
	row       []int32     // by node: where its row of the drives begins
	column    []int32     // by node: where its drive stands in a row
	toSeconds int32       // from a drive's metres to its seconds: 0 where they are the same number
	from      []int32     // row = from
	into      []int32     // row = to; the same as from when symmetric
	symmetric bool        // a drive there is as long as back
	asked     TravelTimes // instead, for many places

	// Routes of one kind give every visit the same windows and service time.
	kinds    int32
	kindOf   []int32   // by route
	options  []segment // a visit's windows on a kind, as segments
	optionAt []int32   // visit × kind, and one more: where they begin
	single   bool      // never more than one option
	byCrew   bool      // service times depend on the crew
	oneKind  bool      // and every route ends at one place, and fits every visit
	allFit   bool      // every visit fits every route
	fitting  []uint64  // visit × fitWords, unless every one does: a bit for each route it fits
	fitWords int
	needs    []int64 // visit × resource
	capacity []int64 // route × resource

	metre, second, over, use []int64 // by route: cost rates
	planned, longest         []int32 // by route: duration without overtime, and at most
	timed                    bool    // some route pays for time or is limited in it
	sameRates                bool    // every route pays the same
	placed                   bool    // serving costs something by route (day, change)
	leftOut                  []int64 // by visit; a required one very dear
	dear                     int64   // by so much
	held                     []bool  // by visit: pinned to a position
	prizes                   bool    // some visit is optional
	meanMetre, meanSecond    float64 // mean rates
}

// most is the largest time the compact form holds, far from overflow when added
// up.
const most = 1 << 28

// newCore makes the compact form; false when the figures do not fit it.
func newCore(p *Problem) (*core, bool) {
	c := &core{p: p, visits: int32(p.VisitCount())}
	if !c.takeTimes() {
		return nil, false
	}
	c.takePoints()
	c.takeKinds()
	c.takeCosts()
	c.takeNeeds()
	return c, true
}

// takeTimes finds the zero of time and sees whether all sums fit 32 bits.
func (c *core) takeTimes() bool {
	routes := c.p.spec.Routes
	if len(routes) == 0 || c.visits == 0 {
		return false
	}
	c.base = routes[0].Earliest
	last := routes[0].Latest
	for i := range routes {
		c.base = min(c.base, routes[i].Earliest)
		last = max(last, routes[i].Latest)
		if routes[i].Duration > most || routes[i].Overtime > most {
			return false
		}
	}
	total := last - c.base
	for _, s := range c.p.service {
		if s > most {
			return false
		}
		total += s / Seconds(max(c.p.crews, 1))
	}
	for i := range routes {
		for _, b := range routes[i].Breaks {
			if b.Length > most/8 {
				return false
			}
			total += b.Length
		}
	}
	return last-c.base < most && total < 4*most
}

func (c *core) takePoints() {
	p := c.p
	routes := p.RouteCount()
	c.point = make([]int32, int(c.visits)+2*routes)
	for v := range p.spec.Visits {
		c.point[v] = int32(p.spec.Visits[v].Place)
	}
	for r := range p.spec.Routes {
		for end, place := range []PlaceIndex{p.spec.Routes[r].Start, p.spec.Routes[r].End} {
			c.point[int(c.visits)+2*r+end] = int32(place)
		}
	}
	d := &p.drives
	c.asked, c.from, c.into, c.toSeconds = d.asked, d.from, d.into, d.toSeconds
	if c.asked != nil {
		_, c.symmetric = c.asked.(*onTheFly)
		return
	}
	c.symmetric = &d.from[0] == &d.into[0]
	c.row, c.column = make([]int32, len(c.point)), make([]int32, len(c.point))
	for i, place := range c.point {
		at := d.columnOf(PlaceIndex(place))
		c.row[i], c.column[i] = at*int32(d.columns)*d.size, at*d.size
	}
}

// leg is the drive between two nodes, best asked for one from and many to.
func (c *core) leg(from, to int32) drive {
	if c.asked != nil {
		return c.askLeg(from, to)
	}
	k := c.row[from] + c.column[to]
	return drive{c.from[k], c.from[k+c.toSeconds]}
}

// legInto is leg, best asked for one to and many from.
func (c *core) legInto(from, to int32) drive {
	if c.asked != nil {
		return c.askLeg(from, to)
	}
	k := c.row[to] + c.column[from]
	return drive{c.into[k], c.into[k+c.toSeconds]}
}

func (c *core) askLeg(from, to int32) drive {
	m, s := c.p.drives.between(PlaceIndex(c.point[from]), PlaceIndex(c.point[to]))
	return drive{int32(m), int32(min(s, most))}
}

func (c *core) start(r int32) int32 { return c.visits + 2*r }
func (c *core) end(r int32) int32   { return c.visits + 2*r + 1 }

// takeKinds sorts routes into kinds and lists each visit's windows on each.
func (c *core) takeKinds() {
	p := c.p
	type kind struct {
		earliest, latest Seconds
		crew             int
	}
	numbers := map[kind]int{}
	var sample []RouteIndex
	for r := range p.spec.Routes {
		k := kind{earliest: p.spec.Routes[r].Earliest, latest: p.spec.Routes[r].Latest}
		if p.byCrew {
			k.crew = p.crewOf[r]
		}
		n := number(numbers, k)
		if n == len(sample) {
			sample = append(sample, RouteIndex(r))
		}
		c.kindOf = append(c.kindOf, int32(n))
	}
	c.kinds, c.single, c.byCrew = int32(len(sample)), !p.resting, p.byCrew
	for v := range p.spec.Visits {
		for _, r := range sample {
			c.optionAt = append(c.optionAt, int32(len(c.options)))
			c.addOptions(VisitIndex(v), r)
		}
	}
	c.optionAt = append(c.optionAt, int32(len(c.options)))
	c.allFit = true
	for _, o := range p.obstacles {
		c.allFit = c.allFit && o == fitsAlone
	}
	if !c.allFit {
		c.takeFits()
	}
}

// addOptions lists the parts of a visit's windows that lie in a route's hours.
func (c *core) addOptions(v VisitIndex, r RouteIndex) {
	route := &c.p.spec.Routes[r]
	w := c.p.windows[int(v)*c.p.RouteCount()+int(r)]
	windows := c.p.spec.Visits[v].Windows[w.low:w.high]
	service := int32(c.p.ServiceOn(v, r))
	c.single = c.single && len(windows) <= 1
	if len(windows) == 0 { // open all day; or never, and then nothing fits
		windows = []Window{{route.Earliest, route.Latest}}
	}
	for _, w := range windows {
		c.options = append(c.options, segment{dur: service,
			early: int32(max(w.Open, route.Earliest) - c.base), late: int32(min(w.Close, route.Latest) - c.base)})
	}
}

// windowsOn are a visit's windows on a route.
func (c *core) windowsOn(v, r int32) []segment {
	k := v*c.kinds + c.kindOf[r]
	return c.options[c.optionAt[k]:c.optionAt[k+1]]
}

func (c *core) takeCosts() {
	p := c.p
	first := &p.spec.Routes[0]
	c.sameRates = !c.byCrew
	c.oneKind = c.kinds == 1 && c.allFit
	for i := range p.spec.Routes {
		r := &p.spec.Routes[i]
		c.metre = append(c.metre, int64(r.CostPerMetre))
		c.second = append(c.second, int64(r.CostPerSecond))
		c.over = append(c.over, int64(r.CostPerOvertimeSecond))
		c.use = append(c.use, int64(r.CostWhenUsed))
		planned, longest := int32(math.MaxInt32), int32(math.MaxInt32)
		if r.Duration > 0 {
			planned, longest = int32(r.Duration), int32(r.Duration+r.Overtime)
		}
		c.planned, c.longest = append(c.planned, planned), append(c.longest, longest)
		c.oneKind = c.oneKind && r.End == first.End
		c.timed = c.timed || r.CostPerSecond > 0 || r.Duration > 0
		c.sameRates = c.sameRates && r.CostPerMetre == first.CostPerMetre &&
			r.CostPerSecond == first.CostPerSecond && r.CostPerOvertimeSecond == first.CostPerOvertimeSecond &&
			r.Duration == first.Duration && r.CostWhenUsed == first.CostWhenUsed
		c.meanMetre += float64(r.CostPerMetre) / float64(p.RouteCount())
		c.meanSecond += float64(r.CostPerSecond) / float64(p.RouteCount())
	}
	for i := range p.spec.Visits {
		v := &p.spec.Visits[i]
		c.placed = c.placed || v.Reference != nil || len(v.ValueByDay) > 0
		c.prizes = c.prizes || !p.required[i]
		c.held = append(c.held, p.position(VisitIndex(i)) > 0)
	}
}

func (c *core) takeNeeds() {
	p := c.p
	c.needs = make([]int64, p.VisitCount()*p.resources)
	for v := range p.needs {
		for _, n := range p.needs[v] {
			c.needs[v*p.resources+n.index] = n.quantity
		}
	}
	c.capacity = p.capacity
}

// priceLeftOut sets what leaving visits out costs the search: a required one
// costs far more than any detour.
func (c *core) priceLeftOut(dear int64) {
	c.dear = dear
	c.leftOut = make([]int64, c.visits)
	for v := range c.leftOut {
		c.leftOut[v] = int64(c.p.leftOut[v])
		if c.p.required[v] {
			c.leftOut[v] += dear
		}
	}
}

// fits reports whether a visit could ever be on a route.
func (c *core) fits(v, r int32) bool {
	return c.allFit || c.fitting[int(v)*c.fitWords+int(r>>6)]>>(r&63)&1 != 0
}

// takeFits keeps what fits where in bits: in large plans the table of obstacles is far
// from the processor.
func (c *core) takeFits() {
	routes := len(c.kindOf)
	c.fitWords = (routes + 63) / 64
	c.fitting = make([]uint64, int(c.visits)*c.fitWords)
	for v := range int(c.visits) {
		for r := range routes {
			if c.p.obstacles[v*routes+r] == fitsAlone {
				c.fitting[v*c.fitWords+(r>>6)] |= 1 << (r & 63)
			}
		}
	}
}

// placement is what serving a visit on a route costs beyond driving and hours.
func (c *core) placement(v, r int32) int64 {
	if !c.placed {
		return 0
	}
	return int64(c.p.assign[int(v)*len(c.kindOf)+int(r)])
}
