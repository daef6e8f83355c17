package planner

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner/routing"
)

// attempt is one visit that is left out, and the search for the cheapest change that would fit it.
type attempt struct {
	site events.SiteID
	jobs []events.JobRef
	// suppose is what must be so that it can be visited on the day at all, and first the same in words: what to do.
	suppose  []Supposition
	first    []string
	stop     stop
	visit    routing.VisitIndex // in the wider problem; -1: the plan visits the site already
	why      because
	earliest events.Date // a later day before which there is no use in trying
	closed   bool        // not even another time would help
	dead     bool        // no day is to be tried: what stands in its way cannot be supposed away
	blocked  string      // what still stands in its way when all is supposed that can be
}

// explain says of each visit that found no place which rule binds and what is the cheapest change that would fit it, and adds
// to each job that could not be visited at all what would follow if it could. Nothing is assumed: a reason was met by trying,
// and a change was tried in this very plan and found to fit.
func (w *work) explain(s routing.Solution, unserved []routing.VisitIndex) []because {
	p := newProver(w, s)
	var attempts []*attempt
	for _, v := range unserved {
		attempts = append(attempts, &attempt{site: w.stops[v].site.ID, jobs: w.stops[v].refs(), stop: w.stops[v], visit: v})
	}
	why := make([]because, len(unserved))
	if w.r.Brief {
		w.brief(p, s, attempts, why)
		return why
	}
	of := make([]*attempt, len(w.leftOut))
	byKey := map[string]*attempt{}
	for i, l := range w.leftOut {
		a := p.reach(l)
		key := fmt.Sprint(a.site, a.suppose, a.stop.key, a.dead, a.earliest)
		if known := byKey[key]; known != nil && !a.dead && a.suppose != nil {
			known.jobs = append(known.jobs, a.jobs...)
			of[i] = known
			continue
		}
		byKey[key], of[i] = a, a
		attempts = append(attempts, a)
	}
	p.search(attempts, len(unserved))
	for i := range unserved {
		why[i] = attempts[i].why
		if why[i].remedy != nil {
			why[i].change = p.words(attempts[i], *why[i].remedy)
		} else if why[i].change == "" {
			why[i].change = "none of the changes tried fits it beside this plan: hold it to make room, or plan another day"
		} else if len(w.teams) > 0 {
			why[i].change += "; none so equipped has room beside this plan"
		}
	}
	for i := range w.leftOut {
		a, l := of[i], &w.leftOut[i]
		if a.why.remedy == nil && len(a.jobs) > 1 {
			a = p.byItself(a, events.JobRef{Assembly: l.Assembly, Job: l.Job})
		}
		switch {
		case a.why.remedy != nil:
			l.Remedy, l.Change = a.why.remedy, p.words(a, *a.why.remedy)
		case a.dead && len(a.suppose) > 0:
			l.Change += "; even then none of the changes tried lets it in: " + cmp.Or(a.blocked, "what is wished about it stands in the way")
		case !a.dead:
			l.Change += "; even then no crew has room for it beside this plan, nor alone on the days tried"
		}
	}
	return why
}

// mostProved is of how many promised visits that fall out of the rest of a day a change is looked for at once.
const mostProved = 8

// brief gives reasons, and looks for a change only for what was promised on a day that is out.
func (w *work) brief(p *prover, s routing.Solution, attempts []*attempt, why []because) {
	prober := routing.NewProber(w.problem, s)
	var promised []*attempt
	for i, a := range attempts {
		why[i] = w.reason(prober, a.visit)
		if w.r.Amending && w.stops[a.visit].promised && len(promised) < mostProved {
			promised = append(promised, a)
		}
	}
	p.search(promised, len(promised))
	for i, a := range attempts {
		switch {
		case a.why.remedy != nil:
			why[i].remedy, why[i].change = a.why.remedy, p.words(a, *a.why.remedy)
		case why[i].change == "":
			why[i].change = "no change was looked for"
		}
	}
}

// reach supposes away, one after the other, what keeps a job from being visited on the day.
func (p *prover) reach(l LeftOut) *attempt {
	a := &attempt{site: l.Site, jobs: []events.JobRef{{Assembly: l.Assembly, Job: l.Job}}, visit: -1}
	mark := len(p.book.undo)
	defer p.book.back(mark)
	laidOut := false
	for range 6 {
		laid := p.lay(p.w.by, l.Site, p.w.teams)
		_, laidOut = laid.laid[l.Site]
		s, ok := laid.stopWith(a.jobs[0])
		if ok && (s.crew == "" || p.w.teamOf(s.crew) >= 0) {
			a.stop = s
			return a
		}
		next := Supposition{What: SupposeReleased, Site: l.Site}
		if !ok {
			i := slices.IndexFunc(laid.leftOut, func(x LeftOut) bool { return x.Assembly == l.Assembly && x.Job == l.Job })
			if i < 0 {
				break
			}
			l.Rule, l.Change, a.blocked = laid.leftOut[i].Rule, laid.leftOut[i].Change, laid.leftOut[i].Reason
			if l.Rule == "window" {
				if next, ok = p.widerStart(a); !ok {
					break
				}
			} else if l.Rule == "manifold" {
				if next, ok = p.otherLeg(l, laid); !ok {
					break
				}
			} else if l.Rule == "fire-hours" {
				if next, ok = p.measures(l, laid); !ok {
					break
				}
			} else if next, ok = p.supposition(l); !ok {
				break
			}
		}
		if slices.ContainsFunc(a.suppose, func(x Supposition) bool {
			return x.What == next.What && x.Minutes == next.Minutes && x.Feed == next.Feed
		}) || p.book.suppose(next) != nil {
			break
		}
		if next.What == SupposePlaced {
			l.Change += " (reckoned as if it were where a crew starts)"
		}
		a.suppose, a.first = append(a.suppose, next), append(a.first, l.Change)
	}
	switch l.Rule {
	case "booked":
		asm := p.book.Assemblies[l.Assembly]
		a.earliest, a.first = p.w.by.bookedFor(p.book.Sites[l.Site], p.book.Feeds[asm.Feed], WorkOf(asm, asm.Job(l.Job)) != InspectWork), append(a.first, l.Change)
	case "earliest":
		a.earliest, a.first = p.book.Assemblies[l.Assembly].Job(l.Job).Earliest, append(a.first, l.Change)
	case "manifold", "window", "fire-hours":
		a.first, a.dead = append(a.first, l.Change), !laidOut // else its hours cannot be read
	default:
		a.dead, a.closed = true, true
	}
	return a
}

// widerStart is the least widening of a site's hours that gives the visit a time to begin.
func (p *prover) widerStart(a *attempt) (Supposition, bool) {
	for _, by := range widenings {
		mark := len(p.book.undo)
		wider := Supposition{What: SupposeWider, Site: a.site, Minutes: by}
		if p.book.suppose(wider) != nil {
			return wider, false
		}
		_, ok := p.lay(p.w.by, a.site, p.w.teams).stopWith(a.jobs[0])
		p.book.back(mark)
		if ok {
			return wider, true
		}
	}
	return Supposition{}, false
}

// otherLeg leaves out the leg of a manifold that is more pressing, where this plan does not visit it either.
func (p *prover) otherLeg(l LeftOut, laid collected) (Supposition, bool) {
	own := p.book.Feeds[p.book.Assemblies[l.Assembly].Feed]
	for _, x := range laid.laid[l.Site].jobs {
		f := p.book.Feeds[x.a.Feed]
		if f.ID != own.ID && f.Manifold == own.Manifold && f.Manifold != "" {
			onPlan := slices.ContainsFunc(p.bySite[l.Site], func(id events.AssemblyID) bool {
				a := p.book.Assemblies[id]
				return a.Feed == f.ID && slices.ContainsFunc(a.Jobs, func(j events.Job) bool { return p.done[events.JobRef{Assembly: id, Job: j.ID}] })
			})
			return Supposition{What: SupposeSetAside, Site: l.Site, Feed: f.ID}, !onPlan
		}
	}
	return Supposition{}, false
}

// measures are those that let a job stay on its fire line beside those that are kept there.
func (p *prover) measures(l LeftOut, laid collected) (Supposition, bool) {
	a := p.book.Assemblies[l.Assembly]
	on := *p.w.by
	on.b = p.book.Book
	minutes := on.outMinutes(p.book.Feeds[a.Feed])
	own, _ := p.w.r.Settings.dryMinutes(a, WorkOf(a, a.Job(l.Job)))
	for _, x := range laid.laid[l.Site].jobs {
		if x.a.Feed == a.Feed && x.work != InspectWork {
			kept, _ := p.w.r.Settings.dryMinutes(x.a, x.work)
			minutes += kept
		}
	}
	return Supposition{What: SupposeMeasures, Feed: a.Feed, Minutes: minutes + own}, minutes+own <= 24*60
}

// supposition is what takes away one reason why a job cannot be visited; not ok where nothing a person could say or do by
// tomorrow does.
func (p *prover) supposition(l LeftOut) (Supposition, bool) {
	a := p.book.Assemblies[l.Assembly]
	x := Supposition{Assembly: l.Assembly, Job: l.Job}
	switch l.Rule {
	case "standing":
		x.What = SupposeOurs
	case "stopped":
		x.What = SupposeCleared
		return x, !a.Gone
	case "before-use":
		x.What = SupposeUsed
	case "dispatched":
		x.What = SupposeStoodDown
	case "repair-yes":
		x.What = SupposeYes
	case "parts":
		x.What = SupposePartsHere
	case "hold":
		return Supposition{What: SupposeOffHold, Customer: p.book.Sites[a.Site].Customer}, true
	case "notice":
		return Supposition{What: SupposeNotice, Site: l.Site}, true
	case "booking":
		return Supposition{What: SupposeBooked, Site: l.Site, Feed: a.Feed}, true
	case "wish":
		return Supposition{What: SupposeReleased, Site: l.Site}, true
	case "position":
		if p.book.Sites[a.Site] == nil || len(p.w.teams) == 0 {
			return x, false
		}
		return Supposition{What: SupposePlaced, Site: a.Site, At: p.w.teams[p.idlest()].Home}, true
	case "season":
		on := *p.w.by
		on.b = p.book.Book
		dry := on.dryFeed(p.book.Feeds[a.Feed])
		if dry == nil {
			return x, false
		}
		return Supposition{What: SupposeFilled, Feed: dry.ID}, true
	case "as-left":
		x = Supposition{What: SupposeRestored, Feed: a.Feed}
		for _, f := range p.w.by.feeds[a.Site] {
			own := p.book.Feeds[a.Feed]
			isUpstream := slices.ContainsFunc(upstream(p.book.Book, own), func(up *events.Feed) bool { return up.ID == f.ID })
			if f.ID != a.Feed && f.AsLeft != nil && (isUpstream || own.Manifold != "" && own.Manifold == f.Manifold) {
				x.OtherFeeds = append(x.OtherFeeds, f.ID)
			}
		}
	default:
		return x, false
	}
	return x, true
}

// idlest is the crew with the shortest route.
func (p *prover) idlest() int {
	best := 0
	for t := range p.w.teams {
		if p.s.Evaluation.Routes[t].Duration < p.s.Evaluation.Routes[best].Duration {
			best = t
		}
	}
	return best
}

// longerDays and widenings are the minutes that are tried.
var (
	longerDays = []int{15, 30, 60, 90}
	widenings  = []int{15, 30, 60, 120}
)

// search looks for the cheapest change for each attempt: none but holding it, then a longer day or wider hours, whichever
// costs less with the asking, then a crew better equipped, then a later day by itself, then a time agreed for just this visit.
func (p *prover) search(attempts []*attempt, unserved int) {
	wide := p.wider(attempts, unserved)
	p.wide = wide
	if wide != nil {
		p.plain(wide, attempts, unserved)
		p.relaxed(wide, attempts)
		p.equipped(wide, attempts)
	}
	for _, a := range attempts {
		p.otherDays(a)
	}
	p.agreeing(attempts)
	for _, a := range attempts {
		if a.why.remedy == nil {
			continue
		}
		if exact, ok := p.named(a, *a.why.remedy); ok {
			a.why.remedy = &exact
		}
	}
}

// wider is the plan's problem with the visits of the attempts that are not in it: those which the plan's own hours and rules
// kept out. Nil without crews.
func (p *prover) wider(attempts []*attempt, unserved int) *work {
	if len(p.w.teams) == 0 {
		return nil
	}
	wide := &work{collected: p.w.collected, r: p.w.r, skills: p.w.skills, free: p.w.free, onRecord: p.w.onRecord}
	wide.stops, wide.leftOut = slices.Clone(p.w.stops), nil
	for _, a := range attempts[unserved:] {
		if a.stop.site != nil && len(p.planned[a.site]) == 0 {
			a.visit = routing.VisitIndex(len(wide.stops))
			s := a.stop
			s.group = 0 // the others of its group are not on the plan
			wide.stops = append(wide.stops, s)
		}
	}
	if wide.ready() != nil {
		return nil
	}
	return wide
}

// plain finds the reason of each visit that found no place, and the attempts that fit as the plan stands.
func (p *prover) plain(wide *work, attempts []*attempt, unserved int) {
	prober := routing.NewProber(wide.problem, routing.Solution{Routes: p.s.Routes, Evaluation: routing.Evaluate(wide.problem, p.s.Routes)})
	for i, a := range attempts {
		if i < unserved {
			a.why = wide.reason(prober, a.visit)
		}
		if a.stop.site == nil {
			continue
		}
		if r, ok := p.tryBest(a, nil, p.nearest(prober, a)); ok {
			a.why.remedy = &r
		}
	}
}

// nearest lists the crews that an attempt seems to fit with, cheapest first; all crews where only trying tells.
func (p *prover) nearest(prober *routing.Prober, a *attempt) []int {
	var crews []int
	if a.visit < 0 {
		for t := range p.w.teams {
			crews = append(crews, t)
		}
		return crews
	}
	delta := map[int]routing.Cost{}
	for t := range p.w.teams {
		if res := prober.Probe(a.visit, routing.RouteIndex(t)); res.Outcome == routing.ProbeFits {
			delta[t] = res.Delta
			crews = append(crews, t)
		}
	}
	slices.SortStableFunc(crews, func(x, y int) int { return int(min(max(delta[x]-delta[y], -1), 1)) })
	return crews
}

// tryBest tries the crews in turn with one more thing supposed, and takes the first that fits; where the plan visits the site
// already, the cheapest.
func (p *prover) tryBest(a *attempt, more func(crew int) []Supposition, crews []int) (Remedy, bool) {
	if a.visit < 0 && more == nil {
		return p.into(a.suppose, a.site, a.jobs, crews)
	}
	best, found := Remedy{}, false
	for n, crew := range crews {
		if a.visit >= 0 && n == triedCrews {
			break
		}
		list := slices.Clone(a.suppose)
		if more != nil {
			list = append(list, more(crew)...)
		}
		r, ok := p.into(list, a.site, a.jobs, []int{crew})
		if ok && (!found || r.Adds < best.Adds) {
			best, found = r, true
		}
		if ok && a.visit >= 0 {
			break
		}
	}
	return best, found
}

// triedCrews is of how many crews it is tried in full whether a change holds, beginning with the one it costs least with.
const triedCrews = 4

// relaxed tries, for each attempt without a remedy, days that are longer and hours that are wider, each from the least on, and
// keeps the cheaper of the two.
func (p *prover) relaxed(wide *work, attempts []*attempt) {
	longer, wider := map[*attempt]Remedy{}, map[*attempt]Remedy{}
	for _, extra := range longerDays {
		spec := wide.spec
		spec.Routes = slices.Clone(spec.Routes)
		for i := range spec.Routes {
			spec.Routes[i].Latest += routing.Seconds(extra * 60)
			spec.Routes[i].Overtime += routing.Seconds(extra * 60)
		}
		p.relax(spec, attempts, longer, func(_ *attempt, crew int) Supposition {
			return Supposition{What: SupposeCrewLonger, Crew: p.w.teams[crew].ID, Minutes: extra}
		})
	}
	for _, by := range widenings {
		spec := wide.spec
		spec.Visits = slices.Clone(spec.Visits)
		for _, a := range attempts {
			if a.visit >= 0 {
				spec.Visits[a.visit].Windows = widenedWindows(spec.Visits[a.visit].Windows, routing.Seconds(by*60))
			}
		}
		p.relax(spec, attempts, wider, func(a *attempt, _ int) Supposition { return Supposition{What: SupposeWider, Site: a.site, Minutes: by} })
	}
	for _, a := range attempts {
		l, hasL := longer[a]
		x, hasX := wider[a]
		settings := p.w.r.Settings
		switch {
		case hasL && (!hasX || l.Adds+microUSD(settings.AskCrewUSD) <= x.Adds+microUSD(settings.AskSiteUSD)):
			a.why.remedy = &l
		case hasX:
			a.why.remedy = &x
		}
	}
}

// relax tries one rule loosened for the attempts that no change is known for yet.
func (p *prover) relax(spec routing.Spec, attempts []*attempt, found map[*attempt]Remedy, more func(*attempt, int) Supposition) {
	spec.Travel = p.wide.problem // worked out already
	problem, err := routing.NewProblem(spec)
	if err != nil {
		return // a loosened rule that the engine does not take is no change to offer
	}
	prober := routing.NewProber(problem, routing.Solution{Routes: p.s.Routes, Evaluation: routing.Evaluate(problem, p.s.Routes)})
	for _, a := range attempts {
		if _, known := found[a]; known || a.why.remedy != nil || a.stop.site == nil {
			continue
		}
		if r, ok := p.tryBest(a, func(crew int) []Supposition { return []Supposition{more(a, crew)} }, p.nearest(prober, a)); ok {
			found[a] = r
		}
	}
}

// equipped tries, for what is still without a remedy, the crews that lack least, as if they had it.
func (p *prover) equipped(wide *work, attempts []*attempt) {
	for _, a := range attempts {
		if a.why.remedy != nil || a.stop.site == nil || a.stop.crew != "" {
			continue
		}
		lacks := make([][]string, len(p.w.teams))
		var crews []int
		for t := range p.w.teams {
			for _, need := range a.stop.needs {
				if !p.w.teams[t].skills[need] {
					lacks[t] = append(lacks[t], need)
				}
			}
			if len(lacks[t]) > 0 {
				crews = append(crews, t)
			}
		}
		slices.SortStableFunc(crews, func(x, y int) int { return len(lacks[x]) - len(lacks[y]) })
		crews = crews[:min(len(crews), triedCrews)]
		best, found := Remedy{}, false
		for _, crew := range crews {
			if found && len(lacks[crew]) > len(lacks[p.w.teamOf(best.Crew)]) {
				break
			}
			if r, ok := p.into(append(slices.Clone(a.suppose), equipping(a, p.w.teams[crew].ID, lacks[crew])...), a.site, a.jobs, []int{crew}); ok && (!found || r.Adds < best.Adds) {
				best, found = r, true
			}
		}
		if found {
			a.why.remedy = &best
		}
	}
}

// equipping is what must be supposed for a crew to have what it lacks.
func equipping(a *attempt, id events.CrewID, lacks []string) []Supposition {
	var list []Supposition
	has := Supposition{What: SupposeCrewHas, Crew: id}
	for _, need := range lacks {
		if strings.HasPrefix(need, needTruck("")) {
			for _, j := range a.jobs {
				list = append(list, Supposition{What: SupposeKitMoved, Assembly: j.Assembly, Job: j.Job, Crew: id})
			}
			continue
		}
		has.CrewGets = append(has.CrewGets, need)
	}
	if len(has.CrewGets) > 0 {
		list = append(list, has)
	}
	return list
}

// How far ahead other days are looked for.
const (
	otherDays    = 5
	farthestDays = 60 // for a test that does not count before a day
)

// otherDays looks for the next day, not out yet, on which the visit could be made by itself.
func (p *prover) otherDays(a *attempt) {
	if a.why.remedy != nil || a.dead {
		return
	}
	first := p.firstDay(a)
	for ahead := first; ahead < first+otherDays && ahead <= farthestDays; ahead++ {
		if r, ok := p.later(p.w.r.Date.AddDays(ahead), a.suppose, a.site, a.jobs); ok {
			a.why.remedy = &r
			return
		}
	}
}

// byItself looks for a change for one of an attempt's jobs, where none was found for all of them in one visit.
func (p *prover) byItself(all *attempt, job events.JobRef) *attempt {
	one := *all
	one.jobs = []events.JobRef{job}
	p.otherDays(&one)
	p.agreeing([]*attempt{&one})
	return &one
}

// firstDay is the first day ahead on which there is use in trying.
func (p *prover) firstDay(a *attempt) int {
	if a.earliest == (events.Date{}) {
		return 1
	}
	return max(1, a.earliest.Sub(p.w.r.Date))
}

// words says a remedy: what to do first, where the visit then goes, on what condition, and what it adds.
func (p *prover) words(a *attempt, r Remedy) string {
	crew := p.w.r.Book.Crews[r.Crew].Name
	hours := p.hoursWords(a, r)
	first := ""
	if steps := p.steps(a, r, hours != ""); len(steps) > 0 {
		first = strings.Join(steps, ", then ") + "; then "
	}
	at := fmt.Sprintf(", stop %d at %s, adds %s and brings in %s", r.Place, p.clockAt(a.site, r.Arrive), dollars(r.Adds), dollars(r.Worth))
	if r.Date != p.w.r.Date {
		return fmt.Sprintf("%sby itself it fits on %s %s with %s%s%s", first, r.Date.Weekday(), r.Date, crew, p.conditions(a, r, hours), at)
	}
	condition := p.conditions(a, r, hours)
	if condition == "" && first == "" {
		return fmt.Sprintf("hold it with %s%s", crew, at)
	}
	return fmt.Sprintf("%sit fits with %s%s%s", first, crew, condition, at)
}

// conditions are what must be so besides what is to be done first; hours are those that would have to be otherwise, in words.
func (p *prover) conditions(a *attempt, r Remedy, hours string) string {
	condition := ""
	if hours != "" {
		condition = " if " + hours
	}
	for _, x := range r.Suppose[len(a.suppose):] {
		words := p.conditionWords(x)
		if x.What == SupposeAgreed {
			words = p.agreedWords(x, condition)
		}
		if condition != "" && words != "" {
			words = " and" + words
		}
		condition += words
	}
	return condition
}

func (p *prover) conditionWords(x Supposition) string {
	switch x.What {
	case SupposeCrewLonger:
		return fmt.Sprintf(" if its day may be %d min longer", x.Minutes)
	case SupposeWider:
		return fmt.Sprintf(" if the site agrees to %d min more, before or after its hours", x.Minutes)
	case SupposeKitMoved:
		return " if it has the repair kit on its truck"
	case SupposeCrewHas:
		var has []string
		for _, need := range x.CrewGets {
			has = append(has, missingWords(p.w.r.Book, need))
		}
		return " if it has " + strings.Join(has, "; and ")
	}
	return ""
}

func (p *prover) clockAt(site events.SiteID, at time.Time) string {
	loc, err := p.w.by.clock.zone(p.w.r.Book.Sites[site].Zone)
	if err != nil {
		loc = time.UTC
	}
	return clockOn(events.DateIn(at, loc), at, loc)
}

// dollars prints money to the cent.
func dollars(m MicroUSD) string { return fmt.Sprintf("%.2f USD", m.USD()) }
