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

// because is the reason that binds for one visit, and the cheapest change that would fit it.
type because struct{ rule, reason, change string }

// explain tests each visit left out against every route of the plan, and then each way of relaxing a rule, cheapest
// first, against the same plan. Nothing is assumed: a reason was met by trying, a change was tried and found to fit.
func (w *work) explain(ctx context.Context, s routing.Solution, unserved []routing.VisitIndex) []because {
	prober := routing.NewProber(w.problem, s)
	why := make([]because, len(unserved))
	for i, v := range unserved {
		why[i] = w.reason(prober, v)
	}
	for _, r := range w.relaxations() {
		if !slices.ContainsFunc(why, func(x because) bool { return x.change == "" }) {
			break
		}
		w.tryRelaxed(s, r, unserved, why)
	}
	w.tryOtherDays(ctx, unserved, why)
	for i := range why {
		if why[i].change == "" {
			why[i].change = "none of the changes tried fits it beside this plan: hold it to make room, or plan another day"
		}
	}
	return why
}

// reason is what the route that comes nearest says.
func (w *work) reason(prober *routing.Prober, v routing.VisitIndex) because {
	var best routing.ProbeResult
	rank := -1
	lacking := make([][]string, len(w.teams))
	for i := range w.teams {
		res := prober.Probe(v, routing.RouteIndex(i))
		for _, id := range res.MissingSkills {
			lacking[i] = append(lacking[i], w.skills.names[id])
		}
		if r := nearness(res); r > rank || r == rank && closer(res, best) {
			best, rank = res, r
		}
	}
	p := w.stops[v]
	if rank < 0 {
		return because{"crew", "no crew works that day", "have a crew work that day"}
	}
	crew := w.teams[best.Route].Name
	switch best.Outcome {
	case routing.ProbeFits:
		if best.Delta < 0 {
			return because{"not-placed", fmt.Sprintf("%s has room for it and it is worth the detour, but it was not put there", crew),
				fmt.Sprintf("hold it with %s, or plan the day again", crew)}
		}
		return because{"too-dear", fmt.Sprintf("%s could do it, but the detour costs %.0f USD and it is worth %.0f USD that day",
			crew, routing.Cost(best.Delta).Amount()+p.worth.USD(), p.worth.USD()),
			fmt.Sprintf("hold it with %s: %.0f USD more than leaving it", crew, best.Delta.Amount())}
	case routing.ProbeNoRoom:
		return because{"no-room", w.noRoomWords(best, crew), ""}
	case routing.ProbeAlone:
		if best.Reason == routing.FaultDuration {
			return because{"hours", fmt.Sprintf("even alone it takes %s longer than %s works", geo.Seconds(best.ShortSeconds), crew), ""}
		}
		return because{"window", fmt.Sprintf("even alone %s cannot be there when it may begin, %s, and back in time", crew, w.startWords(p)), ""}
	}
	return w.incompatible(p, lacking)
}

// incompatible names what most crews lack, and all that the crew lacks which lacks least.
func (w *work) incompatible(p stop, lacking [][]string) because {
	if p.crew != "" {
		return because{"wish", "it is held for " + w.teams[w.teamOf(p.crew)].Name + ", which may not do it", "give it to another crew"}
	}
	count := map[string]int{}
	var need string
	for _, n := range slices.Concat(lacking...) {
		count[n]++
		if need == "" || count[n] > count[need] || count[n] == count[need] && n < need {
			need = n
		}
	}
	least := slices.MinFunc(lacking, func(a, b []string) int { return len(a) - len(b) })
	slices.Sort(least)
	var words []string
	for _, n := range least {
		words = append(words, missingWords(w.r.Book, n))
	}
	return because{ruleOfNeed(need), fmt.Sprintf("%d of %d crews that day lack %s", count[need], len(w.teams), missingWords(w.r.Book, need)),
		"send a crew that has " + strings.Join(words, "; and ")}
}

func ruleOfNeed(need string) string {
	switch {
	case strings.HasPrefix(need, "test for "):
		return "certificate"
	case strings.HasPrefix(need, "gauge"):
		return "gauge"
	case strings.HasPrefix(need, "truck "):
		return "parts"
	case need == needFire:
		return "fire"
	case need == needTwo, need == needThree:
		return "people"
	}
	return "certificate"
}

func nearness(r routing.ProbeResult) int {
	switch r.Outcome {
	case routing.ProbeFits:
		return 3
	case routing.ProbeNoRoom:
		return 2
	case routing.ProbeAlone:
		return 1
	}
	return 0
}

func closer(a, b routing.ProbeResult) bool {
	if a.Outcome == routing.ProbeFits {
		return a.Delta < b.Delta
	}
	if a.Reason == routing.FaultDuration && b.Reason == routing.FaultDuration {
		return a.ShortSeconds < b.ShortSeconds
	}
	return reasonRank(a.Reason) > reasonRank(b.Reason)
}

// reasonRank: time that is short says most, a feed that another crew is at least.
func reasonRank(f routing.FaultKind) int {
	switch f {
	case routing.FaultDuration:
		return 2
	case routing.FaultGroup:
		return 0
	}
	return 1
}

func (w *work) noRoomWords(r routing.ProbeResult, crew string) string {
	switch r.Reason {
	case routing.FaultDuration:
		return fmt.Sprintf("no room: the nearest is %s, whose day would have to be %s longer", crew, geo.Seconds(r.ShortSeconds))
	case routing.FaultGroup:
		return "another crew is at a feed that hangs together with it, and the two must not be dry at once"
	}
	return "no room: when the water may be off there, every crew that may do it is at other work"
}

func (w *work) startWords(p stop) string { return clockWords(p.starts, p.site.Zone) }

// clockWords writes spans on a site's clock: "05:00 to 09:00, 13:00 to 15:00".
func clockWords(spans []hours.Span, zone string) string {
	loc, err := time.LoadLocation(zone)
	if err != nil {
		loc = time.UTC
	}
	var words []string
	for _, s := range spans {
		words = append(words, s.Open.In(loc).Format("15:04")+" to "+s.Close.In(loc).Format("15:04"))
	}
	return strings.Join(words, ", ")
}

// relaxation is one rule loosened for the visits left out, and how to say it.
type relaxation struct {
	spec  func(*routing.Spec, []routing.VisitIndex)
	holds func(crew int, v routing.VisitIndex) bool // whether the visits would stay what they are
	say   func(crew string) string
}

// relaxations in the order of what they ask of people: a longer day, then a wider window.
func (w *work) relaxations() []relaxation {
	var list []relaxation
	for _, extra := range []int{15, 30, 60, 90} {
		stays := map[int]bool{}
		list = append(list, relaxation{
			func(s *routing.Spec, _ []routing.VisitIndex) {
				s.Routes = slices.Clone(s.Routes)
				for i := range s.Routes {
					s.Routes[i].Latest += routing.Seconds(extra * 60)
					s.Routes[i].Overtime += routing.Seconds(extra * 60)
				}
			},
			func(crew int, _ routing.VisitIndex) bool {
				if _, known := stays[crew]; !known {
					stays[crew] = w.partsStay(crew, extra)
				}
				return stays[crew]
			},
			func(crew string) string {
				return fmt.Sprintf("fits with %s if its day may be %d min longer", crew, extra)
			},
		})
	}
	for _, wider := range []int{15, 30, 60, 120} {
		list = append(list, relaxation{
			func(s *routing.Spec, unserved []routing.VisitIndex) {
				for _, v := range unserved {
					s.Visits[v].Windows = widenedWindows(s.Visits[v].Windows, routing.Seconds(wider*60))
				}
			},
			func(_ int, v routing.VisitIndex) bool { return w.partsStayAt(w.stops[v].site.ID, wider) },
			func(crew string) string {
				return fmt.Sprintf("fits with %s if the site agrees to %d min more, before or after its hours", crew, wider)
			},
		})
	}
	return list
}

func widenedWindows(windows []routing.Window, by routing.Seconds) []routing.Window {
	var wide []routing.Window
	for _, x := range windows {
		x.Open -= by
		x.Close += by
		if n := len(wide); n > 0 && x.Open <= wide[n-1].Close {
			wide[n-1].Close = max(wide[n-1].Close, x.Close)
			continue
		}
		wide = append(wide, x)
	}
	return wide
}

// tryRelaxed probes the visits that no change is known for in a problem with one rule loosened for them.
func (w *work) tryRelaxed(s routing.Solution, r relaxation, unserved []routing.VisitIndex, why []because) {
	spec := w.spec
	spec.Visits = slices.Clone(w.spec.Visits)
	r.spec(&spec, unserved)
	problem, err := routing.NewProblem(spec)
	if err != nil {
		return // a loosened rule that the engine does not take is no change to offer
	}
	prober := routing.NewProber(problem, routing.Solution{Routes: s.Routes, Evaluation: routing.Evaluate(problem, s.Routes)})
	for i, v := range unserved {
		if why[i].change != "" {
			continue
		}
		best := routing.ProbeResult{}
		for t := range w.teams {
			res := prober.Probe(v, routing.RouteIndex(t))
			if res.Outcome == routing.ProbeFits && (best.Outcome == "" || res.Delta < best.Delta) && r.holds(t, v) {
				best = res
			}
		}
		if best.Outcome != "" {
			why[i].change = r.say(w.teams[best.Route].Name)
		}
	}
}

// faultWords says a broken rule of an order that a person asked for.
func (w *work) faultWords(f routing.PlanFault) string {
	crew, site := "", ""
	if f.Route != routing.NoRoute {
		crew = w.teams[f.Route].Name
	}
	if f.Visit != routing.NoVisit {
		site = w.stops[f.Visit].site.Name
	}
	switch f.Kind {
	case routing.FaultSkill:
		return crew + " may not do " + site + ": it lacks " + w.lackWords(f)
	case routing.FaultAllowed:
		return site + " is held for another crew"
	case routing.FaultWindow:
		return fmt.Sprintf("there %s would reach %s too late: work there may begin %s", crew, site, w.startWords(w.stops[f.Visit]))
	case routing.FaultReturn, routing.FaultDuration:
		return crew + " would be back after its working time and overtime: " + f.Detail
	case routing.FaultGroup:
		return site + " hangs together with a feed on another route, and the two must not be dry at once"
	}
	return strings.TrimSpace(crew+" "+site) + ": " + f.Detail
}

func (w *work) lackWords(f routing.PlanFault) string {
	team, p := w.teams[f.Route], w.stops[f.Visit]
	var lacks []string
	for _, need := range p.needs {
		if !team.skills[need] {
			lacks = append(lacks, missingWords(w.r.Book, need))
		}
	}
	return strings.Join(lacks, "; ")
}

// otherDays is how many days after this one are tried.
const otherDays = 5

// tryOtherDays looks for the next day, not out yet, on which the visit could be made by itself.
func (w *work) tryOtherDays(ctx context.Context, unserved []routing.VisitIndex, why []because) {
	for ahead := 1; ahead <= otherDays; ahead++ {
		wanted := map[events.JobRef]int{} // first job of the visit → index
		for i, v := range unserved {
			if why[i].change == "" {
				wanted[w.stops[v].jobs[0].ref()] = i
			}
		}
		if len(wanted) == 0 {
			return
		}
		date := w.r.Date.AddDays(ahead)
		if day := w.r.Book.Day(w.r.Office, date); day != nil && day.Sent != nil {
			continue
		}
		for i, crew := range w.tryDay(ctx, date, unserved, wanted) {
			why[i].change = fmt.Sprintf("by itself it fits on %s %s with %s", date.Weekday(), date, crew)
		}
	}
}

// tryDay names, for each wanted visit that one visit of another day holds whole, a crew that could make it.
func (w *work) tryDay(ctx context.Context, date events.Date, unserved []routing.VisitIndex, wanted map[events.JobRef]int) map[int]string {
	r := w.r
	r.Date, r.Previous = date, nil
	c, err := collect(r.Book, r.Office, date, r.Now, r.Settings)
	if err != nil {
		return nil // the day itself says so when it is planned
	}
	c.stops = slices.DeleteFunc(c.stops, func(p stop) bool {
		return !slices.ContainsFunc(p.jobs, func(j Job) bool { _, ok := wanted[j.ref()]; return ok })
	})
	other := &work{collected: c, r: r, skills: &skillNumbers{ids: map[string]routing.SkillID{}}}
	if other.specify(ctx) != nil {
		return nil
	}
	problem, err := routing.NewProblem(other.spec)
	if err != nil {
		return nil
	}
	crews := map[int]string{}
	for v, p := range other.stops {
		able := slices.IndexFunc(other.spec.Routes, func(r routing.Route) bool {
			return problem.Compatible(routing.VisitIndex(v), routing.RouteIndex(r.Crew))
		})
		for _, j := range p.jobs {
			if i, ok := wanted[j.ref()]; ok && able >= 0 && p.holdsAll(w.stops[unserved[i]].jobs) {
				crews[i] = other.teams[able].Name
			}
		}
	}
	return crews
}

func (p stop) holdsAll(jobs []Job) bool {
	return !slices.ContainsFunc(jobs, func(j Job) bool {
		return !slices.ContainsFunc(p.jobs, func(own Job) bool { return own.ref() == j.ref() })
	})
}
