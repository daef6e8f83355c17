package routing

import "slices"

// ProbeOutcome is what trying one visit on one route came to.
type ProbeOutcome string

// What trying one visit on one route came to.
const (
	// ProbeIncompatible: never, whatever else the route serves. Reason is skill,
	// allowed, pin, stock or load.
	ProbeIncompatible ProbeOutcome = "incompatible"
	// ProbeAlone: not even with the route otherwise empty. Reason is window or
	// duration (working time).
	ProbeAlone ProbeOutcome = "impossible alone"
	// ProbeNoRoom: alone it fits, but not beside what the route now serves.
	// Reason is group, stock, load, window or duration.
	ProbeNoRoom ProbeOutcome = "no room"
	// ProbeFits: it fits at Position for Delta.
	ProbeFits ProbeOutcome = "fits"
)

// ProbeResult says what trying one visit on one route came to.
type ProbeResult struct {
	Visit   VisitIndex
	Route   RouteIndex
	Outcome ProbeOutcome
	Reason  FaultKind // empty when it fits

	MissingSkills []SkillID // with reason skill
	ShortStock    []Need    // with reason stock: how many more parts are needed
	// ShortSeconds, with reason duration: how much longer the working time
	// (latest return or longest duration) would have to be, in the best place
	// for the visit; at most 12 hours are tried.
	ShortSeconds Seconds

	// With ProbeFits: the cheapest place, 0 = first, in the route without the
	// visit, and what it changes. For a visit that is served elsewhere these are
	// the changes of moving it.
	Position     int
	Delta        Cost // change of the plan's total cost, negative = gain
	ExtraMetres  Metres
	ExtraSeconds Seconds // change of the route's time from leaving to return
}

// Prober tries visits on the routes of one plan. It is not safe for use from
// several goroutines.
type Prober struct {
	plan    *draft // the plan
	relaxed *draft // the same with longer hours
}

// NewProber makes a prober for a plan. Visits of the plan that break a rule are
// taken as left out.
func NewProber(p *Problem, s Solution) *Prober {
	plan := load(p, s.Routes, 0)
	return &Prober{plan: plan, relaxed: load(p, plan.orders(), relaxedHours)}
}

// Probe tries one visit on one route: could it ever, could it alone, can it now,
// and what is in the way.
func (q *Prober) Probe(v VisitIndex, r RouteIndex) ProbeResult {
	result := ProbeResult{Visit: v, Route: r}
	p := q.plan.p
	switch o := p.obstacles[int(v)*p.RouteCount()+int(r)]; o {
	case fitsAlone:
		q.probePresent(&result)
	case closedAlone, tooLongAlone:
		result.Outcome, result.Reason = ProbeAlone, o.fault()
		if o == tooLongAlone {
			result.ShortSeconds = shortOf(p, newTour(p, r), v)
		}
	default:
		result.Outcome, result.Reason = ProbeIncompatible, o.fault()
		q.detail(&result, nil)
	}
	return result
}

// probePresent tries the visit beside what the route now serves, taken out of
// where it is first.
func (q *Prober) probePresent(result *ProbeResult) {
	v, r := result.Visit, result.Route
	for _, d := range []*draft{q.plan, q.relaxed} {
		d.begin()
		defer d.rollback()
		if d.routeOf[v] != NoRoute {
			d.remove(d.routeOf[v], d.find(v))
		}
	}
	d := q.plan
	if in := d.bestInsertion(v, r, noInsertion.delta, nil); in.route != NoRoute {
		t := &d.tours[r]
		metres, duration := t.metres, t.duration
		d.insert(v, r, in.gap)
		result.Outcome, result.Position = ProbeFits, in.gap
		result.Delta = d.cost - d.oldCost
		result.ExtraMetres, result.ExtraSeconds = t.metres-metres, t.duration-duration
		return
	}
	result.Outcome = ProbeNoRoom
	q.reason(result)
}

// reason says what stands in the way on the present route.
func (q *Prober) reason(result *ProbeResult) {
	d, v := q.plan, result.Visit
	t := &d.tours[result.Route]
	switch {
	case !d.groupAllows(v, t.route):
		result.Reason = FaultGroup
	case !d.resourcesAllow(v, t, NoVisit):
		q.detail(result, t.used)
	default:
		result.Reason = FaultWindow
		if short := shortOf(d.p, &q.relaxed.tours[result.Route], v); short > 0 {
			result.Reason, result.ShortSeconds = FaultDuration, short
		}
	}
}

// detail names missing skills and parts. used is what the route uses already.
func (q *Prober) detail(result *ProbeResult, used []int64) {
	p := q.plan.p
	visit, route := p.Visit(result.Visit), p.Route(result.Route)
	if result.Reason == FaultSkill {
		for _, s := range visit.Skills {
			if !slices.Contains(route.Skills, s) {
				result.MissingSkills = append(result.MissingSkills, s)
			}
		}
	}
	for _, n := range p.needs[result.Visit] {
		free := p.capacity[int(result.Route)*p.resources+n.index]
		if used != nil {
			free -= used[n.index]
		}
		if n.quantity <= free {
			continue
		}
		if n.index < p.loads {
			if result.Reason == "" {
				result.Reason = FaultLoad
			}
			continue
		}
		if result.Reason == "" || result.Reason == FaultLoad && used != nil {
			result.Reason = FaultStock
		}
		result.ShortStock = append(result.ShortStock, Need{p.items[n.index-p.loads], n.quantity - max(free, 0)})
	}
}

func newTour(p *Problem, r RouteIndex) *tour {
	t := &tour{route: r}
	p.refresh(t, relaxedHours)
	return t
}

// shortOf is how much longer the working time of a tour, kept with relaxed hours,
// would have to be for a visit to fit in its best gap; 0 when longer hours do not
// help.
func shortOf(p *Problem, t *tour, v VisitIndex) Seconds {
	route := &p.spec.Routes[t.route]
	place := p.spec.Visits[v].Place
	var open [1]span
	door := p.door(v, t.route, &open)
	least := Seconds(0)
	d := &draft{p: p}
	low, high := d.gaps(v, t)
	for k := low; k <= high; k++ {
		from, to := p.gapPlaces(t, k)
		_, in := p.drives.between(from, place)
		_, out := p.drives.between(place, to)
		there := joinSpans(nil, t.beforeGap(k), in, door)
		ways := joinSpans(nil, there, p.ServiceOn(v, t.route)+out, t.afterGap(k))
		if len(route.Breaks) > 0 {
			ways = p.restedWith(t, relaxedHours, k, v, 0)
		}
		for _, s := range ways {
			short := s.to - route.Latest
			if route.Duration > 0 {
				short = max(short, s.to-s.from-route.Duration-route.Overtime)
			}
			if short > 0 && (least == 0 || short < least) {
				least = short
			}
		}
	}
	return least
}

// Probe tries one visit on one route of a plan. For many questions about one
// plan make a [Prober] once.
func Probe(p *Problem, s Solution, v VisitIndex, r RouteIndex) ProbeResult {
	return NewProber(p, s).Probe(v, r)
}
