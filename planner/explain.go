package planner

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/geo"
	"valveround/planner/hours"
	"valveround/planner/routing"
)

// because is the reason that binds for one visit, and the cheapest change that would fit it.
type because struct {
	rule, reason, change string
	remedy               *Remedy
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
		return because{rule: "crew", reason: "no crew works that day", change: "have a crew work that day"}
	}
	crew := w.teams[best.Route].Name
	switch best.Outcome {
	case routing.ProbeFits:
		if best.Delta < 0 {
			return because{rule: "not-placed", reason: crew + " has room for it and it is worth the detour, but it was not put there"}
		}
		adds := MicroUSD(best.Delta + w.problem.Visit(v).Value)
		return because{rule: "too-dear", reason: fmt.Sprintf("%s could do it, but that adds %s and it is worth %s that day", crew, dollars(adds), dollars(p.worth))}
	case routing.ProbeNoRoom:
		return because{rule: "no-room", reason: w.noRoomWords(best, crew)}
	case routing.ProbeAlone:
		if best.Reason == routing.FaultDuration {
			return because{rule: "hours", reason: fmt.Sprintf("even alone it takes %s longer than %s works", geo.Seconds(best.ShortSeconds), crew)}
		}
		return because{rule: "window", reason: fmt.Sprintf("even alone %s cannot be there when it may begin, %s, and back in time", crew, w.startWords(p))}
	}
	return w.incompatible(p, lacking)
}

// incompatible names what most crews lack, and all that the crew lacks which lacks least.
func (w *work) incompatible(p stop, lacking [][]string) because {
	if p.crew != "" {
		return because{rule: "wish", reason: "it is held for " + w.teams[w.teamOf(p.crew)].Name + ", which may not do it", change: "give it to another crew"}
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
	return because{rule: ruleOfNeed(need), reason: fmt.Sprintf("%d of %d crews that day lack %s", count[need], len(w.teams), missingWords(w.r.Book, need)),
		change: "send a crew that has " + strings.Join(words, "; and ")}
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
	case routing.FaultBreak:
		return crew + " would have no room for its break"
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
