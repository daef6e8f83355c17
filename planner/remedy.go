package planner

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner/routing"
)

// Remedy is a change that was tried and fits: with all that is supposed, the visit goes into this very plan at a place of a
// crew's route, no other visit falls out, and the routes cost so much more. On a later date it is the only visit of its crew,
// on the book as it is when this plan has been driven.
type Remedy struct {
	Suppose []Supposition `json:"suppose,omitempty"`
	Date    events.Date   `json:"date"`
	Crew    events.CrewID `json:"crew"`
	Visit   string        `json:"visit"`          // the key that it then has
	Place   int           `json:"place"`          // from 1, in the crew's order
	Arrive  time.Time     `json:"arrive"`         // at the site
	Adds    MicroUSD      `json:"adds_microusd"`  // to what the routes cost
	Worth   MicroUSD      `json:"worth_microusd"` // of what it brings in: its jobs, and a trip that is saved by doing them there
}

// prover tries changes beside a plan. It keeps one copy of the book, in which things are supposed and put back.
type prover struct {
	w       *work
	s       routing.Solution
	wide    *work // the plan's problem with what its own hours and rules kept out; nil without crews
	book    scratch
	bySite  map[events.SiteID][]events.AssemblyID
	planned map[events.SiteID][]plannedAt
	done    map[events.JobRef]bool     // jobs on the plan
	stays   map[string]bool            // by what a crew is supposed to have: the plan's sites are parted as before
	days    map[events.Date]*collector // later ones; nil: nothing can be planned there
}

// plannedAt is where a visit of the plan is.
type plannedAt struct {
	route, place int
	visit        routing.VisitIndex
}

func newProver(w *work, s routing.Solution) *prover {
	p := &prover{w: w, s: s, book: scratch{Book: w.r.Book.Snapshot(), office: w.r.Office, date: w.r.Date, feeds: w.by.feeds}, bySite: map[events.SiteID][]events.AssemblyID{},
		planned: map[events.SiteID][]plannedAt{}, done: map[events.JobRef]bool{}, stays: map[string]bool{}, days: map[events.Date]*collector{}}
	for id, a := range w.r.Book.Assemblies {
		if a.Office == w.r.Office {
			p.bySite[a.Site] = append(p.bySite[a.Site], id)
		}
	}
	for r, route := range s.Routes {
		for i, v := range route {
			if w.stops[v].begun != nil {
				continue
			}
			site := w.stops[v].site.ID
			p.planned[site] = append(p.planned[site], plannedAt{r, i, v})
			for _, j := range w.stops[v].jobs {
				p.done[j.ref()] = true
			}
		}
	}
	return p
}

// lay collects one site anew on the supposed book: for the plan's own date, or for a later one, when the plan's jobs are done.
func (p *prover) lay(on *collector, site events.SiteID, teams []team) collected {
	c := *on
	c.b, c.day, c.group = p.book.Book, p.book.Day(p.w.r.Office, on.date), 0
	c.out = collected{teams: teams, off: on.out.off, laid: map[events.SiteID]layout{}}
	c.feeds = map[events.SiteID][]*events.Feed{}
	for _, f := range on.feeds[site] {
		c.feeds[site] = append(c.feeds[site], p.book.Feeds[f.ID])
	}
	var jobs []candidate
	for _, id := range p.bySite[site] {
		jobs = append(jobs, c.candidatesOf(p.book.Assemblies[id])...)
	}
	if on.date != p.w.r.Date {
		jobs = slices.DeleteFunc(jobs, func(x candidate) bool { return p.done[events.JobRef{Assembly: x.a.ID, Job: x.j.ID}] })
	}
	sortCandidates(jobs)
	if s := p.book.Sites[site]; s != nil && len(jobs) > 0 {
		c.site(s, jobs)
	}
	return c.out
}

// stopWith finds the stop that holds a job.
func (c collected) stopWith(job events.JobRef) (stop, bool) {
	i := slices.IndexFunc(c.stops, func(s stop) bool { return s.holdsAll([]events.JobRef{job}) })
	if i < 0 {
		return stop{}, false
	}
	return c.stops[i], true
}

func (p stop) holdsAll(jobs []events.JobRef) bool {
	return !slices.ContainsFunc(jobs, func(job events.JobRef) bool {
		return !slices.ContainsFunc(p.jobs, func(own Job) bool { return own.ref() == job })
	})
}

func (p stop) refs() []events.JobRef {
	refs := make([]events.JobRef, len(p.jobs))
	for i, j := range p.jobs {
		refs[i] = j.ref()
	}
	return refs
}

// supposing runs a try with things supposed, and puts the book back. Teams are the plan's, with a supposed crew as supposed.
func (p *prover) supposing(list []Supposition, try func(teams []team) (Remedy, bool)) (Remedy, bool) {
	mark := len(p.book.undo)
	defer p.book.back(mark)
	teams := p.w.teams
	for _, x := range list {
		if p.book.suppose(x) != nil {
			return Remedy{}, false
		}
		i := slices.IndexFunc(teams, func(t team) bool { return t.ID == x.Crew })
		if i < 0 || x.What != SupposeCrewLonger && x.What != SupposeCrewHas {
			continue
		}
		teams = slices.Clone(teams)
		teams[i].Crew = p.book.Crews[x.Crew]
		teams[i].skills = skillsOf(p.book.Book, teams[i].Crew, p.w.r.Date)
		if !p.othersStay(x, teams) {
			return Remedy{}, false
		}
	}
	r, ok := try(teams)
	r.Suppose = list
	return r, ok
}

// othersStay reports whether every site of the plan that is visited in parts, or could be, is parted just so with the crew as
// supposed.
func (p *prover) othersStay(x Supposition, teams []team) bool {
	key := fmt.Sprint(x.What, x.Crew, x.Minutes, x.CrewGets)
	if stays, known := p.stays[key]; known {
		return stays
	}
	with := *p.w.by
	with.out.teams = teams
	stays := true
	for site := range p.planned {
		l := p.w.laid[site]
		if len(l.parts) == 1 {
			continue // in one visit already: a crew with more hours or papers changes nothing
		}
		if len(l.jobs) > 1 && !l.same(with.split(l.site, l.times, l.jobs)) {
			stays = false
			break
		}
	}
	p.stays[key] = stays
	return stays
}

// into tries to put the visit that holds some jobs into the plan, on one crew's route or on any, with things supposed: the
// cheapest place that keeps every rule.
func (p *prover) into(list []Supposition, site events.SiteID, jobs []events.JobRef, crews []int) (Remedy, bool) {
	return p.supposing(list, func(teams []team) (Remedy, bool) {
		laid := p.lay(p.w.by, site, teams)
		target, ok := laid.stopWith(jobs[0])
		if !ok || !target.holdsAll(jobs) {
			return Remedy{}, false
		}
		now, ok := p.keptAt(site, laid)
		if !ok {
			return Remedy{}, false
		}
		best, found := Remedy{}, false
		for _, crew := range crews {
			if target.crew != "" && teams[crew].ID != target.crew {
				continue
			}
			if r, ok := p.beside(teams, now, target, crew); ok && (!found || r.Adds < best.Adds) {
				best, found = r, true
			}
		}
		best.Worth = p.broughtIn(target, now)
		return best, found
	})
}

// broughtIn is by how much more the visits to a site are worth with the change: the target, less what it was worth as far as the
// plan makes it already, and what others there become worth. A trip that jobs due later save is in what a visit is worth.
func (p *prover) broughtIn(target stop, now map[routing.VisitIndex]stop) MicroUSD {
	worth := target.worth
	for v, s := range now {
		worth -= p.w.stops[v].worth
		if s.key != target.key {
			worth += s.worth
		}
	}
	return worth
}

// keptAt says what becomes of the visits that the plan makes to a site: each must be whole in one stop of the site as laid
// anew, and no two in the same.
func (p *prover) keptAt(site events.SiteID, laid collected) (now map[routing.VisitIndex]stop, ok bool) {
	now = map[routing.VisitIndex]stop{}
	taken := map[string]bool{}
	for _, at := range p.planned[site] {
		was := p.w.stops[at.visit]
		s, ok := laid.stopWith(was.jobs[0].ref())
		if !ok || !s.holdsAll(was.refs()) || taken[s.key] {
			return nil, false
		}
		taken[s.key] = true
		now[at.visit] = s
	}
	return now, true
}

// beside works out the routes that the change touches: the crew's own, and those that visit the site already.
func (p *prover) beside(teams []team, now map[routing.VisitIndex]stop, target stop, crew int) (Remedy, bool) {
	touched := []int{crew}
	for _, at := range p.planned[target.site.ID] {
		if !slices.Contains(touched, at.route) {
			touched = append(touched, at.route)
		}
	}
	small := &work{r: p.w.r, skills: p.w.skills, free: p.w.free, onRecord: p.w.onRecord, collected: collected{by: p.w.by}}
	routes := make([][]routing.VisitIndex, len(touched))
	inside := -1 // the target, where a visit of the plan has become it
	before := routing.Cost(0)
	for n, r := range touched {
		small.teams = append(small.teams, teams[r])
		before += p.s.Evaluation.Routes[r].Cost.Total()
		for _, v := range p.s.Routes[r] {
			s := p.w.stops[v]
			if changed, ok := now[v]; ok {
				s = changed
			}
			if s.begun == nil && s.key == target.key && s.site == target.site {
				if n > 0 {
					return Remedy{}, false // it is on another crew's route
				}
				inside = len(small.stops)
			}
			routes[n] = append(routes[n], routing.VisitIndex(len(small.stops)))
			small.stops = append(small.stops, s)
		}
	}
	visit := routing.VisitIndex(inside)
	if inside < 0 {
		visit = routing.VisitIndex(len(small.stops))
		small.stops = append(small.stops, target)
	}
	if small.ready() != nil {
		return Remedy{}, false
	}
	if inside < 0 {
		res := routing.Probe(small.problem, routing.Solution{Routes: routes, Evaluation: routing.Evaluate(small.problem, routes)}, visit, 0)
		if res.Outcome != routing.ProbeFits {
			return Remedy{}, false
		}
		routes[0] = slices.Insert(slices.Clone(routes[0]), res.Position, visit)
	}
	return small.stated(routes, visit, before)
}

// stated works the routes out and says what the change comes to; not ok when a rule is broken.
func (w *work) stated(routes [][]routing.VisitIndex, visit routing.VisitIndex, before routing.Cost) (Remedy, bool) {
	e := routing.Evaluate(w.problem, routes)
	if !e.Feasible() {
		return Remedy{}, false
	}
	place := slices.Index(routes[0], visit)
	after := routing.Cost(0)
	for _, r := range e.Routes {
		after += r.Cost.Total()
	}
	arrive := time.Unix(int64(e.Routes[0].Stops[place].Start), 0).In(w.teams[0].span.Open.Location())
	return Remedy{Date: w.r.Date, Crew: w.teams[0].ID, Visit: w.stops[visit].key, Place: place + 1 - len(w.leading(0)), Arrive: arrive, Adds: MicroUSD(after - before)}, true
}

// ready makes the engine's problem of teams and stops. A stop that is held for a crew not among them cannot be part of it, and
// what was to be tried cannot be tried.
func (w *work) ready() (err error) {
	stops := len(w.stops)
	if err = w.specify(context.Background()); err != nil {
		return err
	}
	if len(w.stops) < stops {
		return errors.New("a stop is held for a crew that is not among those tried")
	}
	w.problem, err = routing.NewProblem(w.spec)
	return err
}

// later tries the visit that holds some jobs by itself on a later date, when this plan has been driven.
func (p *prover) later(date events.Date, list []Supposition, site events.SiteID, jobs []events.JobRef) (Remedy, bool) {
	on := p.day(date)
	if on == nil {
		return Remedy{}, false
	}
	mark := len(p.book.undo)
	defer p.book.back(mark)
	p.book.date = date
	defer func() { p.book.date = p.w.r.Date }()
	teams := on.out.teams
	for _, x := range list {
		if p.book.suppose(x) != nil {
			return Remedy{}, false
		}
		i := slices.IndexFunc(teams, func(t team) bool { return t.ID == x.Crew })
		if i >= 0 && (x.What == SupposeCrewLonger || x.What == SupposeCrewHas) {
			teams = slices.Clone(teams)
			teams[i].Crew = p.book.Crews[x.Crew]
			teams[i].skills = skillsOf(p.book.Book, teams[i].Crew, date)
		}
	}
	target, ok := p.lay(on, site, teams).stopWith(jobs[0])
	if !ok || !target.holdsAll(jobs) {
		return Remedy{}, false
	}
	best, found := Remedy{}, false
	for _, t := range teams {
		if target.crew != "" && t.ID != target.crew || slices.ContainsFunc(target.needs, func(need string) bool { return !t.skills[need] }) {
			continue
		}
		r := p.w.r
		r.Date, r.Previous = date, nil
		alone := &work{collected: collected{teams: []team{t}, stops: []stop{target}}, r: r, skills: p.w.skills, onRecord: p.w.onRecord}
		if alone.ready() != nil {
			continue
		}
		if made, ok := alone.stated([][]routing.VisitIndex{{0}}, 0, 0); ok && (!found || made.Adds < best.Adds) {
			best, found = made, true
		}
	}
	best.Suppose, best.Worth = list, target.worth
	return best, found
}

// day prepares a later date; nil when it is out already or its crews' hours cannot be read.
func (p *prover) day(date events.Date) *collector {
	if c, known := p.days[date]; known {
		return c
	}
	p.days[date] = nil
	if day := p.w.r.Book.Day(p.w.r.Office, date); day != nil && day.Sent != nil {
		return nil
	}
	c := &collector{b: p.w.r.Book, s: p.w.r.Settings, date: date, now: p.w.r.Now, clock: newClockwork(date), feeds: p.w.by.feeds}
	var err error
	if c.out.teams, c.out.off, err = c.clock.teams(c.b, p.w.r.Office); err != nil {
		return nil
	}
	p.days[date] = c
	return c
}
