package dispatch

import (
	"context"
	"errors"
	"slices"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/services/words"
)

// restSeconds is how long the rest of a day is searched for: the answer is wanted while one is on the telephone.
const restSeconds = 0.4

// Rest plans what is left of a day that is out, from where the crews are now, and keeps the plan until it is sent out, another is
// asked for, or the program ends. Nothing is recorded.
func (d *Desk) Rest(ctx context.Context, date events.Date, people *words.People) (Otherwise, error) {
	book := d.cfg.Keeper.Book().Snapshot()
	o, rest, err := d.otherwiseOfRest(ctx, book, book, date, people)
	if err != nil {
		return o, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	if p == nil {
		p = &proposal{}
		d.proposals[date] = p
	}
	if len(o.Refusals) == 0 && o.Amends > 0 {
		p.rest, o.Digest = &rest, rest.Digest()
	} else {
		p.rest = nil
	}
	return o, nil
}

// otherwiseOfRest compares the day that is out as it goes on by one book with the rest of it planned anew by another.
func (d *Desk) otherwiseOfRest(ctx context.Context, book, supposed *events.Book, date events.Date, people *words.People) (Otherwise, planner.Plan, error) {
	r := d.search(d.request(book, date), restSeconds)
	kept, rest, err := planner.RestIf(ctx, r, supposed)
	if err != nil {
		return Otherwise{}, rest, cannotPlanRest(date, err)
	}
	sent := *book.Day(d.cfg.Office, date).Sent
	o := d.otherwise(supposed, planner.CompareRest(sent, kept, rest), check.Options{Amending: true}.Plan(supposed, rest, d.Settings()))
	o.Amends = len(planner.Amendment(sent, rest))
	o.Before, o.After = d.dayRoutes(book, people, date, sent.Routes), d.dayRoutes(supposed, people, date, rest.Day().Routes)
	for _, route := range rest.Routes {
		if route.Begun == nil {
			continue
		}
		begun := Begun{Crew: string(route.Crew), Visits: len(route.Begun.Visits), Site: words.SiteOf(supposed, route.Begun.Site), Free: route.Begun.Free, Unheard: route.Begun.Unheard}
		o.Begun = append(o.Begun, begun)
	}
	return o, rest, nil
}

func cannotPlanRest(date events.Date, err error) error {
	if errors.Is(err, planner.ErrNotOut) {
		return &events.Refusal{Words: date.String() + " is not sent out, so there is no rest of it to plan"}
	}
	return err
}

// SendRest sends out the plan of the rest of a day that digest names, if the independent checker refuses nothing on the book as it
// is now: a crew that has begun something since is not sent elsewhere.
func (d *Desk) SendRest(ctx context.Context, c events.Command, date events.Date, digest, why string) error {
	_, release, err := d.hold(date)
	if err != nil {
		return err
	}
	defer release()
	d.mu.Lock()
	rest := d.proposals[date].rest
	d.mu.Unlock()
	book := d.cfg.Keeper.Book()
	day := book.Day(d.cfg.Office, date)
	switch {
	case day == nil || day.Sent == nil:
		return cannotPlanRest(date, planner.ErrNotOut)
	case sentBy(day.AmendedBy, c.ID):
		return d.echo(ctx, book, date) // sent again by a page that did not hear the answer
	case rest == nil:
		return ErrNoPlan
	case rest.Digest() != digest:
		return ErrNotWhatYouSaw
	}
	if violations := (check.Options{Amending: true}).Plan(book, *rest, d.Settings()); len(violations) > 0 {
		return &RefusedError{violations}
	}
	routes := planner.Amendment(*day.Sent, *rest)
	if len(routes) == 0 {
		return &events.Refusal{Words: "nothing on this plan differs from the day that is out"}
	}
	if err := d.amend(ctx, c, date, routes, why); err != nil {
		return err
	}
	d.mu.Lock()
	d.proposals[date].rest = nil
	d.mu.Unlock()
	return nil
}

// dayRoutes shows routes as they are out.
func (d *Desk) dayRoutes(b *events.Book, people *words.People, date events.Date, routes []events.DayRoute) []Route {
	list := []Route{}
	for _, r := range routes {
		list = append(list, d.route(b, people, date, r, nil))
	}
	slices.SortStableFunc(list, func(x, y Route) int { return compareLetters(x.Crew, y.Crew) })
	return list
}

func compareLetters(x, y words.Crew) int {
	if x.Letter != y.Letter {
		if x.Letter < y.Letter {
			return -1
		}
		return 1
	}
	return 0
}
