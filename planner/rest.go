package planner

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner/routing"
)

// ErrNotOut: the day is not out, so there is no rest of it to plan.
var ErrNotOut = errors.New("the day is not sent out")

// Rest plans what is left of a day that is out. What has begun stays as it was sent out; crews start from where they are; a
// visit that was sent out and can still be kept stays on the day, whatever else could be done instead. The search starts from the
// day as it is, so that the new plan never costs more than keeping it.
//
// Kept is the day as it goes on when nothing is changed, without the visits that can be kept no more.
func Rest(ctx context.Context, r Request) (kept, rest Plan, err error) {
	r.Amending, r.Brief = true, true
	w, err := prepareRest(ctx, r)
	if err != nil {
		return Plan{}, Plan{}, err
	}
	standing := w.standing()
	kept = w.plan(standing) //nolint:contextcheck // also a plan that was stopped is explained
	if err := w.keep(ctx, standing); err != nil {
		return Plan{}, Plan{}, err
	}
	solution, err := routing.Solve(ctx, w.problem, routing.Options{Seed: r.Seed, Iterations: r.Iterations,
		TimeLimit: time.Duration(r.Seconds * float64(time.Second)), Start: &standing, Workers: r.workers()})
	if err != nil {
		return Plan{}, Plan{}, fmt.Errorf("planning the rest of %s: %w", r.Date, err)
	}
	return kept, w.plan(solution), nil //nolint:contextcheck // also a plan that was stopped is explained
}

// Keep is the day that is out as it goes on when nothing is changed.
func Keep(ctx context.Context, r Request) (Plan, error) {
	r.Amending, r.Brief = true, true
	w, err := prepareRest(ctx, r)
	if err != nil {
		return Plan{}, err
	}
	return w.plan(w.standing()), nil //nolint:contextcheck // as above
}

func prepareRest(ctx context.Context, r Request) (*work, error) {
	day := r.Book.Day(r.Office, r.Date)
	if day == nil || day.Sent == nil {
		return nil, ErrNotOut
	}
	return prepare(ctx, r, time.Time{})
}

// standing is the day as sent out, as far as each crew can still drive it from where it is: a visit that it would reach too late is
// left out.
func (w *work) standing() routing.Solution {
	routes := make([][]routing.VisitIndex, len(w.teams))
	stops := map[events.JobRef]routing.VisitIndex{}
	for i, p := range w.stops {
		for _, j := range p.jobs {
			stops[j.ref()] = routing.VisitIndex(i)
		}
	}
	used := map[routing.VisitIndex]bool{}
	alone := make([][]routing.VisitIndex, len(w.teams))
	for i, t := range w.teams {
		routes[i] = w.leading(i)
		for _, v := range w.by.under.routes[t.ID].Visits {
			for _, j := range v.Jobs {
				stop, ok := stops[j.JobRef]
				if !ok || used[stop] {
					continue
				}
				alone[i] = append(slices.Clone(routes[i]), stop)
				if kept := routing.Evaluate(w.problem, alone); !broken(kept) {
					routes[i], used[stop] = alone[i], true
				}
			}
		}
		alone[i] = nil
	}
	s := routing.Solution{Routes: routes, Evaluation: routing.Evaluate(w.problem, routes)}
	for _, f := range s.Evaluation.Faults {
		if f.Visit == routing.NoVisit || w.stops[f.Visit].begun != nil {
			continue
		}
		for i := range routes { // two crews at feeds that hang together
			routes[i] = slices.DeleteFunc(routes[i], func(v routing.VisitIndex) bool { return v == f.Visit })
		}
	}
	s.Evaluation = routing.Evaluate(w.problem, routes)
	return s
}

// broken reports whether a rule is broken other than that something is missing.
func broken(e routing.Evaluation) bool {
	return slices.ContainsFunc(e.Faults, func(f routing.PlanFault) bool { return f.Kind != routing.FaultRequired })
}

// keep makes the problem anew in which the visits of a solution must not fall out.
func (w *work) keep(ctx context.Context, s routing.Solution) (err error) {
	w.keeping = map[string]bool{}
	for _, route := range s.Routes {
		for _, v := range route {
			p := w.stops[v]
			if p.begun == nil && w.promisedOut(p) {
				w.keeping[p.key] = true
			}
		}
	}
	if err = w.specify(ctx); err != nil {
		return err
	}
	w.problem, err = routing.NewProblem(w.spec)
	return err
}

// promisedOut reports whether a stop holds a job that was sent out with the day, or is promised otherwise.
func (w *work) promisedOut(p stop) bool {
	return p.promised || slices.ContainsFunc(p.jobs, func(j Job) bool {
		_, out := w.by.under.sent[j.ref()]
		return out
	})
}

// Amendment are the routes of a day that is out which a plan of its rest has otherwise ahead: other visits, another order, other jobs.
// A route on which only times have moved is not among them: its crew sees for itself that it is late.
func Amendment(sent events.SentOut, rest Plan) []events.DayRoute {
	var changed []events.DayRoute
	day := rest.Day()
	for _, route := range rest.Routes {
		was, is := routeOf(sent.Routes, route.Crew), routeOf(day.Routes, route.Crew)
		begun := 0
		if route.Begun != nil {
			begun = len(route.Begun.Visits)
			was.Visits = slices.DeleteFunc(slices.Clone(was.Visits), func(v events.DayVisit) bool {
				return slices.ContainsFunc(route.Begun.Visits, func(g events.DayVisit) bool { return reflect.DeepEqual(g.Jobs, v.Jobs) })
			})
		}
		if !reflect.DeepEqual(jobsOf(was.Visits), jobsOf(is.Visits[begun:])) {
			is.Crew = route.Crew
			changed = append(changed, is)
		}
	}
	return changed
}

func routeOf(routes []events.DayRoute, crew events.CrewID) events.DayRoute {
	if i := slices.IndexFunc(routes, func(r events.DayRoute) bool { return r.Crew == crew }); i >= 0 {
		return routes[i]
	}
	return events.DayRoute{Crew: crew}
}

func jobsOf(visits []events.DayVisit) [][]events.DayJob {
	list := [][]events.DayJob{}
	for _, v := range visits {
		list = append(list, v.Jobs)
	}
	return list
}

// CompareRest says what a plan of the rest of a day has otherwise than the day that is out. A visit that could not be kept even if
// nothing were changed counts as moved from where it was sent out; the money is measured against keeping the day.
func CompareRest(sent events.SentOut, kept, rest Plan) Difference {
	was := seats(kept)
	for _, r := range sent.Routes {
		for _, v := range r.Visits {
			for _, j := range v.Jobs {
				if s := was[j.JobRef]; s.known && !s.on() {
					s.crew, s.arrive = r.Crew, v.Arrive
					was[j.JobRef] = s
				}
			}
		}
	}
	return compare(was, seats(rest), kept, rest)
}

// RestIf plans what is left of a day that is out as it would be on another book, in which things are supposed. Kept is the day as it
// goes on by the request's own book.
func RestIf(ctx context.Context, r Request, supposed *events.Book) (kept, rest Plan, err error) {
	if supposed == r.Book {
		return Rest(ctx, r)
	}
	if kept, err = Keep(ctx, r); err != nil {
		return kept, rest, err
	}
	r.Book = supposed
	_, rest, err = Rest(ctx, r)
	return kept, rest, err
}
