package planner

import (
	"context"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner/routing"
)

// Fit is where a visit would go into an order of visits as it stands.
type Fit struct {
	Crew  events.CrewID
	Place int           // from 1, in the crew's order
	Extra time.Duration // by which the crew's day grows, driving and all
	Cost  MicroUSD      // what it adds to the day, without what the visit is worth
}

// Fits tries one job's visit in every crew's order and gives the best place of each crew that can take it, cheapest first.
// When nobody can, because says why, as for a job left out of a plan. A crew that is late already is not offered. From, when set, is before which no crew is free:
// on a day that has begun, where crews are at that moment is not known, so they are taken to start from home.
func Fits(ctx context.Context, r Request, order Order, job events.JobRef, from time.Time) (fits []Fit, because LeftOut, err error) {
	w, err := prepare(ctx, r, from)
	if err != nil {
		return nil, because, err
	}
	visit := routing.VisitIndex(slices.IndexFunc(w.stops, func(p stop) bool {
		return slices.ContainsFunc(p.jobs, func(j Job) bool { return j.Job == job.Job && j.Assembly == job.Assembly })
	}))
	if visit < 0 {
		i := slices.IndexFunc(w.leftOut, func(l LeftOut) bool { return l.Job == job.Job && l.Assembly == job.Assembly })
		if i < 0 {
			return nil, LeftOut{Reason: "the job needs no visit"}, nil
		}
		return nil, w.leftOut[i], nil
	}
	s, late := w.inOrder(order, visit)
	prober := routing.NewProber(w.problem, s)
	for i, t := range w.teams {
		if late[i] {
			continue
		}
		if p := prober.Probe(visit, routing.RouteIndex(i)); p.Outcome == routing.ProbeFits {
			fits = append(fits, Fit{Crew: t.ID, Place: p.Position + 1 - len(w.leading(i)), Extra: time.Duration(p.ExtraSeconds) * time.Second,
				Cost: MicroUSD(p.Delta + w.spec.Visits[visit].Value)})
		}
	}
	slices.SortStableFunc(fits, func(a, b Fit) int { return int(min(max(a.Cost-b.Cost, -1), 1)) })
	if i := slices.Index(late, true); len(fits) == 0 && i >= 0 {
		name := w.teams[i].Name
		because = LeftOut{Assembly: job.Assembly, Job: job.Job, Site: w.stops[visit].site.ID, Visit: w.stops[visit].key, Rule: "late",
			Reason: name + " is late already, so that what is left of its day is not known; no other crew can take it", Change: "ask " + name + ", or plan it for another day"}
		return fits, because, nil
	}
	if len(fits) == 0 {
		w.leftOut = nil
		why := w.explain(s, []routing.VisitIndex{visit})[0] //nolint:contextcheck // also a plan that was stopped is explained
		because = LeftOut{Assembly: job.Assembly, Job: job.Job, Site: w.stops[visit].site.ID, Visit: w.stops[visit].key, Rule: why.rule, Reason: why.reason,
			Change: why.change, Remedy: why.remedy}
	}
	return fits, because, nil
}

// Keys are the visits that a site would have on the day, planned or not.
func Keys(ctx context.Context, r Request, site events.SiteID) ([]string, error) {
	w, err := prepare(ctx, r, time.Time{})
	if err != nil {
		return nil, err
	}
	var keys []string
	for _, p := range w.stops {
		if p.site.ID == site && p.begun == nil {
			keys = append(keys, p.key)
		}
	}
	return keys, nil
}

// inOrder is the order without one visit, as far as its visits still exist. A crew whose visits fit no more is late: what is
// left of its day is not known.
func (w *work) inOrder(order Order, without routing.VisitIndex) (s routing.Solution, late []bool) {
	routes := make([][]routing.VisitIndex, len(w.teams))
	late = make([]bool, len(w.teams))
	for i, t := range w.teams {
		routes[i] = w.leading(i)
		for _, key := range order[t.ID] {
			v := slices.IndexFunc(w.stops, func(p stop) bool { return p.key == key })
			if v < 0 || routing.VisitIndex(v) == without {
				continue
			}
			routes[i] = append(routes[i], routing.VisitIndex(v))
		}
		if !routing.Evaluate(w.problem, routes).Feasible() {
			routes[i], late[i] = w.leading(i), true
		}
	}
	return routing.Solution{Routes: routes, Evaluation: routing.Evaluate(w.problem, routes)}, late
}
