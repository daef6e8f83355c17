package planner

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner/hours"
	"valveround/planner/routing"
)

// Request is what a plan is made from. Equal requests with an iteration budget give equal plans.
type Request struct {
	Book     *events.Book
	Office   events.OfficeID
	Date     events.Date
	Now      time.Time // notice is judged as of it, and today's crews begin no earlier
	Settings Settings
	// Seconds is the time for the search; Iterations, when not zero, bounds it reproducibly instead.
	Seconds    float64
	Iterations int
	Seed       uint64
	// Amending plans the rest of a day that is out: what has begun stays as it was sent out, and crews start from where they are.
	Amending bool
	// Previous is a plan to start from; the new one is never worse, and moving a visit to another crew costs.
	Previous *Plan
	// Brief leaves out the search for changes that would fit the jobs left out: reasons only.
	Brief bool
	// Progress, if set, is called now and then from the calling goroutine.
	Progress func(Progress)
}

// workers is how many processors the search uses: two where it is given a time. Rounds are counted over both, so that a
// request for so many of them is planned by one.
func (r *Request) workers() int {
	if r.Iterations > 0 {
		return 1
	}
	return 2
}

// Progress is how far planning has come.
type Progress struct {
	Step    string // collecting, solving, explaining
	Elapsed time.Duration
	Cost    MicroUSD // best so far, while solving
	Visits  int      // on it
}

// Make plans the day: collect, solve, explain. A cancelled context keeps the best plan so far.
func Make(ctx context.Context, r Request) (Plan, error) {
	began := time.Now()
	tell := func(step string, cost MicroUSD, visits int) {
		if r.Progress != nil {
			r.Progress(Progress{step, time.Since(began), cost, visits})
		}
	}
	tell("collecting", 0, 0)
	w, err := prepare(ctx, r, time.Time{})
	if err != nil {
		return Plan{}, err
	}
	solution, err := routing.Solve(ctx, w.problem, routing.Options{
		Seed: r.Seed, Iterations: r.Iterations, TimeLimit: time.Duration(r.Seconds * float64(time.Second)), Workers: r.workers(),
		Start: w.start(r.Previous),
		Progress: func(p routing.Progress) {
			tell("solving", MicroUSD(p.Cost), len(w.stops)-p.Unserved)
		},
	})
	if err != nil {
		return Plan{}, fmt.Errorf("planning %s: %w", r.Date, err)
	}
	tell("explaining", MicroUSD(solution.Evaluation.Cost.Total()), len(w.stops)-len(solution.Evaluation.Unserved))
	return w.plan(solution), nil //nolint:contextcheck // also a plan that was stopped is explained
}

// Order is the visits of each crew by key, in the order they are driven.
type Order map[events.CrewID][]string

// OrderOf reads the order out of a plan.
func OrderOf(p Plan) Order {
	order := Order{}
	for _, route := range p.Routes {
		for _, v := range route.Visits {
			order[route.Crew] = append(order[route.Crew], v.Key)
		}
	}
	return order
}

// ErrCannot says why an order that a person asked for cannot be driven.
type ErrCannot struct{ Words string }

func (e *ErrCannot) Error() string { return e.Words }

// Arrange makes the plan that has exactly this order, or says in words what speaks against it. Visits that the order does
// not name are left out and explained.
func Arrange(ctx context.Context, r Request, order Order) (Plan, error) {
	w, err := prepare(ctx, r, time.Time{})
	if err != nil {
		return Plan{}, err
	}
	for _, crew := range offCrews(r.Book, w.off) {
		if len(order[crew]) > 0 {
			return Plan{}, &ErrCannot{r.Book.Crews[crew].Name + " does not work that day: " + w.off[crew]}
		}
	}
	routes := make([][]routing.VisitIndex, len(w.teams))
	for i, t := range w.teams {
		routes[i] = w.leading(i)
		for _, key := range order[t.ID] {
			v := slices.IndexFunc(w.stops, func(p stop) bool { return p.key == key })
			if v < 0 {
				return Plan{}, &ErrCannot{"the visit " + key + " is not one that can be planned that day any more: plan the day again"}
			}
			routes[i] = append(routes[i], routing.VisitIndex(v))
		}
	}
	e := routing.Evaluate(w.problem, routes)
	if !e.Feasible() {
		return Plan{}, &ErrCannot{w.faultWords(e.Faults[0])}
	}
	return w.plan(routing.Solution{Routes: routes, Evaluation: e}), nil //nolint:contextcheck // also a plan that was stopped is explained
}

// work is one planning run: what was collected, and the same as the engine's problem.
type work struct {
	collected
	r        Request
	skills   *skillNumbers
	spec     routing.Spec
	problem  *routing.Problem
	unmet    []stop    // held for a crew that does not work that day
	free     time.Time // before it no crew is free; zero: from the beginning of its day
	onRecord []FailRecord
	keeping  map[string]bool // visits, by key, that must not fall out whatever else could be done instead
}

// matrixPlaces is up to how many places travel is looked up in a matrix; beyond, it is computed on the fly.
const matrixPlaces = 2500

// prepare collects and makes the engine's problem. No crew is free before an instant, if one is given.
func prepare(ctx context.Context, r Request, free time.Time) (*work, error) {
	if err := r.Settings.Validate(); err != nil {
		return nil, fmt.Errorf("planning settings: %w", err)
	}
	c, err := collect(r.Book, r.Office, r.Date, r.Now, r.Settings, r.Amending)
	if err != nil {
		return nil, err
	}
	w := &work{collected: c, r: r, skills: &skillNumbers{ids: map[string]routing.SkillID{}}, free: free, onRecord: r.Settings.FailRecords(r.Book, r.Office)}
	w.lead()
	if err := w.specify(ctx); err != nil {
		return nil, err
	}
	if w.problem, err = routing.NewProblem(w.spec); err != nil {
		return nil, fmt.Errorf("planning %s: %w", r.Date, err)
	}
	return w, nil
}

func (w *work) specify(ctx context.Context) error {
	w.dropUnmet()
	points := make([]geo.Point, 0, len(w.teams)+len(w.stops))
	for _, t := range w.teams {
		points = append(points, t.Home)
	}
	for _, p := range w.stops {
		if p.begun != nil {
			points = append(points, w.at(p.begun, w.teams[w.teamOf(p.beganBy)].Home))
			continue
		}
		points = append(points, p.site.Position)
	}
	w.spec = routing.Spec{Places: max(1, len(points))}
	if len(points) > matrixPlaces {
		w.spec.Travel = routing.OnTheFly(w.r.Settings.Travel, points)
	} else {
		m, err := w.r.Settings.Travel.Matrix(ctx, points, points, nil)
		if err != nil {
			return err
		}
		w.spec.Travel = routing.FromGeo(m)
	}
	if len(points) == 0 {
		w.spec.Travel = routing.MatrixTravel{Places: 1, Metres: []int32{0}, Seconds: []int32{0}}
	}
	w.driven()
	for i, t := range w.teams {
		w.spec.Routes = append(w.spec.Routes, w.route(i, t))
	}
	for i, p := range w.stops {
		w.spec.Visits = append(w.spec.Visits, w.visit(i, p))
	}
	return nil
}

// dropUnmet leaves out stops held for a crew that does not work that day.
func (w *work) dropUnmet() {
	w.stops = slices.DeleteFunc(w.stops, func(p stop) bool {
		if p.only != "" && p.crew == "" && w.teamOf(p.only) < 0 {
			w.leaveStop(p, "as-left", w.by.crewName(p.only)+" was at a feed that hangs together with it that day and works no more", "plan it for another day")
			return true
		}
		if p.crew == "" || w.teamOf(p.crew) >= 0 {
			return false
		}
		name, why := string(p.crew), w.off[p.crew]
		if c := w.r.Book.Crews[p.crew]; c != nil {
			name = c.Name
		}
		w.unmet = append(w.unmet, p)
		w.leaveStop(p, "wish", "held for "+name+", which does not work that day: "+why, "give it to another crew")
		return true
	})
}

func (w *work) leaveStop(p stop, rule, reason, change string) {
	for _, j := range p.jobs {
		w.leftOut = append(w.leftOut, LeftOut{Assembly: j.Assembly, Job: j.Job, Site: p.site.ID, Visit: p.key, Rule: rule, Reason: reason, Change: change})
	}
}

func (w *work) teamOf(id events.CrewID) int {
	return slices.IndexFunc(w.teams, func(t team) bool { return t.ID == id })
}

// from is when a crew can begin: with its working time, or now on a day that has begun, which leaves it nothing when that is over.
// Where it is then is not known; it is taken to be at home. A day that is past is planned as if it were still ahead.
func (w *work) from(t team) time.Time {
	now := w.r.Now
	over := !now.Before(t.span.Close) && events.DateIn(now, t.span.Open.Location()) != w.r.Date
	if !now.After(t.span.Open) || over {
		return t.span.Open
	}
	return now.Truncate(time.Second)
}

func (w *work) route(i int, t team) routing.Route {
	s := w.r.Settings
	overtime := routing.Seconds(t.OvertimeMinutes * 60)
	route := routing.Route{
		Name: t.Name, Crew: routing.CrewIndex(i), Start: routing.PlaceIndex(i), End: routing.PlaceIndex(i),
		Earliest: min(seconds(w.from(t)), seconds(t.span.Close)+overtime), Latest: seconds(t.span.Close) + overtime,
		Duration: seconds(t.span.Close) - seconds(t.span.Open), Overtime: overtime,
		CostPerMetre: routing.CostPerMetre(s.KilometreUSD), CostPerSecond: routing.CostPerSecond(s.CrewHourUSD),
		CostPerOvertimeSecond: routing.CostPerSecond(s.OvertimeHourUSD),
		Breaks:                w.breaks(t),
	}
	if !w.free.IsZero() {
		route.Earliest = min(max(route.Earliest, seconds(w.free)), route.Latest)
	}
	if _, ok := w.leftHome(t.ID); ok {
		w.homeLate(&route, t.ID, t.Home)
	}
	for need := range t.skills {
		if t.skills[need] {
			route.Skills = append(route.Skills, w.skills.of(need))
		}
	}
	slices.Sort(route.Skills)
	return route
}

func (w *work) visit(i int, p stop) routing.Visit {
	if p.begun != nil {
		return w.begunVisit(i, p)
	}
	v := routing.Visit{
		Name: p.key, Place: routing.PlaceIndex(len(w.teams) + i), Service: routing.Seconds(p.table.Minutes() * 60),
		Value: routing.Cost(p.worth), Group: routing.GroupID(p.group), Windows: windowsOf(p.starts),
	}
	for _, need := range p.needs {
		v.Skills = append(v.Skills, w.skills.of(need))
	}
	if p.crew != "" {
		v.Allowed = []routing.RouteIndex{routing.RouteIndex(w.teamOf(p.crew))}
	}
	if p.promised {
		v.Value += routing.CostOf(w.r.Settings.PromiseUSD)
	}
	v.Required = w.keeping[p.key]
	if p.only != "" && p.crew == "" {
		v.Allowed = []routing.RouteIndex{routing.RouteIndex(w.teamOf(p.only))}
	}
	if was, ok := w.crewBefore(p); ok {
		moved := w.r.Settings.MovedCrewUSD
		if w.r.Amending {
			moved = w.r.Settings.MovedOutUSD
		}
		v.Reference = &routing.Reference{Crew: routing.CrewIndex(was), CrewChange: routing.CostOf(moved)}
	}
	return v
}

func (w *work) crewBefore(p stop) (int, bool) {
	if w.r.Amending && w.by != nil && w.by.under != nil && len(p.jobs) > 0 {
		crew, ok := w.by.under.sent[p.jobs[0].ref()]
		i := w.teamOf(crew)
		return i, ok && i >= 0
	}
	if w.r.Previous == nil {
		return 0, false
	}
	for _, route := range w.r.Previous.Routes {
		for _, v := range route.Visits {
			if v.Key == p.key {
				i := w.teamOf(route.Crew)
				return i, i >= 0
			}
		}
	}
	return 0, false
}

func windowsOf(starts []hours.Span) []routing.Window {
	windows := make([]routing.Window, len(starts))
	for i, s := range starts {
		windows[i] = routing.Window{Open: seconds(s.Open), Close: seconds(s.Close)}
	}
	return windows
}

func seconds(t time.Time) routing.Seconds { return routing.Seconds(t.Unix()) }

// start is the previous plan as far as its visits still exist.
func (w *work) start(previous *Plan) *routing.Solution {
	if previous == nil {
		return nil
	}
	byKey := map[string]routing.VisitIndex{}
	for i, p := range w.stops {
		byKey[p.key] = routing.VisitIndex(i)
	}
	routes := make([][]routing.VisitIndex, len(w.teams))
	for _, route := range previous.Routes {
		i := w.teamOf(route.Crew)
		for _, v := range route.Visits {
			if index, ok := byKey[v.Key]; ok && i >= 0 {
				routes[i] = append(routes[i], index)
			}
		}
	}
	return &routing.Solution{Routes: routes, Evaluation: routing.Evaluate(w.problem, routes)}
}

// plan turns the engine's solution back into words and instants.
func (w *work) plan(s routing.Solution) Plan {
	p := Plan{Office: w.r.Office, Date: w.r.Date, MadeAt: w.r.Now, Position: w.r.Book.Position(), Settings: w.r.Settings, OnRecord: w.onRecord, LeftOut: w.leftOut}
	for i, schedule := range s.Evaluation.Routes {
		p.Routes = append(p.Routes, w.routePlan(w.teams[i], schedule))
	}
	for _, crew := range offCrews(w.r.Book, w.off) {
		if _, begun := w.leftHome(crew); begun {
			p.Routes = append(p.Routes, w.begunOnly(w.r.Book.Crews[crew]))
			continue
		}
		p.Routes = append(p.Routes, Route{Crew: crew, Date: w.r.Date, Visits: []Visit{}})
	}
	unserved := slices.Clone(s.Evaluation.Unserved)
	why := w.explain(s, unserved)
	p.LeftOut = slices.Clone(w.leftOut)
	for n, v := range unserved {
		for _, j := range w.stops[v].jobs {
			p.LeftOut = append(p.LeftOut, LeftOut{Assembly: j.Assembly, Job: j.Job, Site: w.stops[v].site.ID, Visit: w.stops[v].key,
				Rule: why[n].rule, Reason: why[n].reason, Change: why[n].change, Remedy: why[n].remedy})
		}
	}
	w.sortLeftOut(p.LeftOut)
	w.charge(&p)
	return p
}

func offCrews(b *events.Book, off map[events.CrewID]string) []events.CrewID {
	var ids []events.CrewID
	for id := range off {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

// sortLeftOut puts the most pressing first.
func (w *work) sortLeftOut(list []LeftOut) {
	left := func(l LeftOut) int {
		return w.r.Settings.DaysLeft(w.r.Book.Assemblies[l.Assembly].Job(l.Job), w.r.Date)
	}
	slices.SortFunc(list, func(a, b LeftOut) int {
		if d := left(a) - left(b); d != 0 {
			return d
		}
		return strings.Compare(string(a.Site)+" "+string(a.Job), string(b.Site)+" "+string(b.Job))
	})
}

// mostSlack is the most that is stated as slack: beyond it a visit is simply free.
const mostSlack = 8 * time.Hour

func (w *work) routePlan(t team, s routing.RouteSchedule) Route {
	route := Route{Crew: t.ID, Date: w.r.Date, Visits: []Visit{}}
	if !s.Used {
		return route
	}
	zone := t.span.Open.Location()
	at := func(x routing.Seconds) time.Time { return time.Unix(int64(x), 0).In(zone) }
	route.Start, route.End = at(s.Depart), at(s.Return)
	route.HomeM, route.HomeS, route.OvertimeS = int(s.ReturnMetres), int(s.ReturnDrive), int(s.Overtime)
	route.Cost = routeCost(s.Cost)
	route.Break = w.breakOf(t, s)
	free := route.Start
	for _, x := range s.Stops {
		p := w.stops[x.Visit]
		if p.begun != nil {
			route.Begun, free = p.begun, at(x.Leave)
			continue
		}
		arrive := at(x.Start)
		wait := arrive.Sub(free) - time.Duration(x.Drive)*time.Second - route.Break.Within(free, arrive)
		free = at(x.Leave)
		v := Visit{Key: p.key, Site: p.site.ID, Jobs: p.jobs, Arrive: arrive, Leave: at(x.Leave), WaterOff: p.table.WaterOff(arrive),
			DriveM: int(x.Metres), DriveS: int(x.Drive), WaitS: int(wait / time.Second), Hold: p.hold}
		for _, span := range p.starts {
			if !arrive.Before(span.Open) && !arrive.After(span.Close) {
				v.SlackS = int(min(span.Close.Sub(arrive), mostSlack) / time.Second)
			}
		}
		w.decisions(p, v)
		v.Notes = w.notes(p, v)
		route.Visits = append(route.Visits, v)
	}
	w.lateness(t, &route)
	return route
}

// notes say what a dispatcher and a crew should know about the stop: notice still to be given, whether the window holds a
// repair, what must be proved or told before the water goes off.
func (w *work) notes(p stop, v Visit) []string {
	var notes []string
	b, zone := w.r.Book, v.Arrive.Location()
	if loc, err := time.LoadLocation(p.site.Zone); err == nil {
		zone = loc
	}
	if noticeOwed(p.site, w.r.Date, zone) {
		notes = append(notes, fmt.Sprintf("give notice by %s", w.r.Date.AddDays(-p.site.NoticeDays)))
	}
	notes = append(notes, w.bookedNotes(p, zone)...)
	notes = append(notes, p.pulledInNote()...)
	if p.site.PositionSource == events.Approximate || p.site.PositionSource == events.StreetCentre {
		notes = append(notes, "position is approximate")
	}
	for _, off := range v.WaterOff {
		feed := b.Feeds[off.Feed]
		if feed.Fire {
			notes = append(notes, feed.Name+": impairment coordinator, alarm company and fire department are told before the valve moves; local code decides")
			notes = append(notes, w.fireNote(feed)...)
		}
		for _, other := range w.by.feeds[p.site.ID] {
			if other.ID != feed.ID && feed.Manifold != "" && other.Manifold == feed.Manifold {
				notes = append(notes, "prove "+other.Name+" open and flowing before "+feed.Name+" is shut")
			}
		}
		notes = append(notes, w.decisionNote(p, v, off, zone)...)
	}
	return notes
}
