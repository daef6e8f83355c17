package dispatch

import (
	"context"
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
)

// ChangeOut changes one visit of a day that is out, by hand: takes it off, puts one on, or gives it another crew or place. What has
// begun stays; crews are taken to be where they are. What cannot be driven any more, or the independent checker refuses, is refused
// in words and changes nothing. Only the routes that the change touches are amended; their crews' phones and the jobs follow.
// Places count from 1 over the crew's whole route, begun visits included; 0 is wherever it fits best.
func (d *Desk) ChangeOut(ctx context.Context, c events.Command, date events.Date, w events.Wish) error {
	_, release, err := d.hold(date)
	if err != nil {
		return err
	}
	defer release()
	book := d.cfg.Keeper.Book().Snapshot()
	if day := book.Day(d.cfg.Office, date); day == nil || day.Sent == nil {
		return &events.Refusal{Words: date.String() + " is not sent out, so there is nothing to amend"}
	} else if sentBy(day.AmendedBy, c.ID) {
		return d.echo(ctx, book, date) // sent again by a page that did not hear the answer
	}
	if err := wishIsWhole(book, w); err != nil {
		return err
	}
	routes, err := d.changed(ctx, book, date, w)
	if err != nil {
		return err
	}
	if err := d.amend(ctx, c, date, routes, sayChange(book, events.WishFor{Date: date, Wish: w})); err != nil {
		return err
	}
	// The wish stands for whoever plans the rest of the day anew.
	_, err = d.cfg.Keeper.Do(ctx, events.Command{ID: events.DeriveCommandID(c.ID, "wish"), Actor: c.Actor, Office: d.cfg.Office, Happened: c.Happened,
		Do: events.WishFor{Date: date, Wish: w}})
	if err != nil {
		return fmt.Errorf("noting what was wished for %s: %w", date, err)
	}
	return nil
}

func wishIsWhole(b *events.Book, w events.Wish) error {
	switch {
	case b.Sites[w.Site] == nil:
		return &events.Refusal{Words: fmt.Sprintf("no site %q", w.Site)}
	case w.Out && w.Why == "":
		return &events.Refusal{Words: "say why the visit is taken off"}
	case !w.Out && b.Crews[w.Crew] == nil:
		return &events.Refusal{Words: "say which crew does it"}
	}
	return nil
}

// changed is what the change makes of the routes it touches, checked.
func (d *Desk) changed(ctx context.Context, book *events.Book, date events.Date, w events.Wish) ([]events.DayRoute, error) {
	day := dayOf(book, d.cfg.Office, date)
	sent := *day.Sent
	// Without the wish the visit is one that can be planned, also when it was taken off before.
	day.Wishes = without(day.Wishes, w)
	book.Days[events.Entity{Office: d.cfg.Office, Kind: events.KindDay, ID: date.String()}] = day
	r := d.request(book, date)
	r.Amending, r.Brief = true, true
	kept, err := planner.Keep(ctx, r)
	if err != nil {
		return nil, cannotPlanRest(date, err)
	}
	order, touched, err := d.orderOut(ctx, r, sent, kept, w)
	if err != nil {
		return nil, err
	}
	plan, err := planner.Arrange(ctx, r, order)
	if err != nil {
		return nil, err
	}
	if violations := (check.Options{Amending: true}).Plan(book, plan, d.cfg.Settings); len(violations) > 0 {
		return nil, &RefusedError{violations}
	}
	routes := slices.DeleteFunc(planner.Amendment(sent, plan), func(r events.DayRoute) bool { return !slices.Contains(touched, r.Crew) })
	if len(routes) == 0 {
		return nil, &events.Refusal{Words: "that is how the day is out already"}
	}
	return routes, nil
}

// orderOut is the order of what is ahead with the change made, and which crews' routes it touches. A touched crew keeps every visit
// that it was sent out with, so that none falls out unsaid; of the others, those they would reach too late are no part of this.
func (d *Desk) orderOut(ctx context.Context, r planner.Request, sent events.SentOut, kept planner.Plan, w events.Wish) (planner.Order, []events.CrewID, error) {
	keys, ahead := aheadOf(sent, kept)
	var moved []string
	var touched []events.CrewID
	if w.Crew != "" {
		touched = append(touched, w.Crew)
	}
	for crew, visits := range ahead {
		for _, v := range visits {
			if concerns(w, planner.Visit{Site: v.Site, Key: v.Key}) {
				moved = append(moved, v.Key)
				touched = append(touched, crew)
			}
		}
	}
	for _, key := range unplanned(kept, w) {
		if !w.Out && !slices.Contains(moved, key) {
			moved = append(moved, key)
		}
	}
	if len(moved) == 0 {
		return nil, nil, &events.Refusal{Words: notAhead(r.Book, sent, kept, w)}
	}
	order := planner.OrderOf(kept)
	for crew := range order {
		order[crew] = slices.DeleteFunc(order[crew], func(key string) bool { return slices.Contains(moved, key) })
	}
	for _, crew := range touched {
		order[crew] = nil
		for _, v := range ahead[crew] {
			if !slices.Contains(moved, v.Key) {
				order[crew] = append(order[crew], v.Key)
			}
		}
	}
	if w.Out {
		return order, touched, nil
	}
	at := max(w.Place-1-begunOf(kept, w.Crew), 0)
	if w.Place == 0 {
		var err error
		if at, err = d.bestPlace(ctx, r, order, keys[moved[0]], w.Crew); err != nil {
			return nil, nil, err
		}
	}
	order[w.Crew] = slices.Insert(order[w.Crew], min(at, len(order[w.Crew])), moved...)
	return order, touched, nil
}

// aheadOf lists by crew the sent-out visits that have not begun, under the keys that they have now, and a job of each key.
func aheadOf(sent events.SentOut, kept planner.Plan) (jobs map[string]events.JobRef, ahead map[events.CrewID][]events.DayVisit) {
	jobs, ahead = map[string]events.JobRef{}, map[events.CrewID][]events.DayVisit{}
	key := map[events.JobRef]string{}
	note := func(ref events.JobRef, visit string) {
		key[ref] = visit
		if _, known := jobs[visit]; !known {
			jobs[visit] = ref
		}
	}
	for _, route := range kept.Routes {
		for _, v := range route.Visits {
			for _, j := range v.Jobs {
				note(events.JobRef{Assembly: j.Assembly, Job: j.Job}, v.Key)
			}
		}
	}
	for _, l := range kept.LeftOut {
		if l.Visit != "" {
			note(events.JobRef{Assembly: l.Assembly, Job: l.Job}, l.Visit)
		}
	}
	for _, route := range sent.Routes {
		for _, v := range route.Visits {
			seen := map[string]bool{}
			for _, j := range v.Jobs {
				if k := key[j.JobRef]; k != "" && !seen[k] {
					seen[k] = true
					v.Key = k
					ahead[route.Crew] = append(ahead[route.Crew], v)
				}
			}
		}
	}
	return jobs, ahead
}

func begunOf(p planner.Plan, crew events.CrewID) int {
	for _, r := range p.Routes {
		if r.Crew == crew && r.Begun != nil {
			return len(r.Begun.Visits)
		}
	}
	return 0
}

// bestPlace is where a job's visit costs the crew least, from 0 among what is ahead of it.
func (d *Desk) bestPlace(ctx context.Context, r planner.Request, order planner.Order, job events.JobRef, crew events.CrewID) (int, error) {
	fits, because, err := planner.Fits(ctx, r, order, job, time.Time{}) // where crews are, and from when they are free, the request says
	if err != nil {
		return 0, err
	}
	for _, f := range fits {
		if f.Crew == crew {
			return f.Place - 1, nil
		}
	}
	name := r.Book.Crews[crew].Name
	if len(fits) == 0 && because.Reason != "" {
		return 0, &events.Refusal{Words: name + " cannot take it: " + because.Reason}
	}
	return 0, &events.Refusal{Words: "it fits nowhere on what is ahead of " + name}
}

// notAhead says why there is no visit to change.
func notAhead(b *events.Book, sent events.SentOut, kept planner.Plan, w events.Wish) string {
	name := b.Sites[w.Site].Name
	for _, route := range sent.Routes {
		for _, v := range route.Visits {
			if v.Site == w.Site {
				return b.Crews[route.Crew].Name + " has begun its visit to " + name + ", or drives there now: it stays"
			}
		}
	}
	for _, l := range kept.LeftOut {
		if l.Site == w.Site {
			return name + " cannot be visited that day: " + l.Reason
		}
	}
	return "nothing is to be done at " + name
}

// orderAhead is, of a day that is out, what is ahead of each crew, and how many visits it has begun.
func (d *Desk) orderAhead(ctx context.Context, r planner.Request) (planner.Order, map[events.CrewID]int, error) {
	kept, err := planner.Keep(ctx, r)
	if err != nil {
		return nil, nil, err
	}
	begun := map[events.CrewID]int{}
	for _, route := range kept.Routes {
		begun[route.Crew] = begunOf(kept, route.Crew)
	}
	return planner.OrderOf(kept), begun, nil
}
