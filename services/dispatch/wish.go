package dispatch

import (
	"context"
	"errors"
	"slices"
	"strings"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
)

// RefusedError is what the independent checker says against a plan.
type RefusedError struct{ Violations []check.Violation }

func (e *RefusedError) Error() string {
	words := make([]string, len(e.Violations))
	for i, v := range e.Violations {
		words[i] = v.Words
	}
	return "the plan is refused: " + strings.Join(words, "; ")
}

// ErrNoPlan: there is no proposal to change or send out.
var ErrNoPlan = errors.New("there is no plan for this day yet: plan it first")

// Wish records what the dispatcher wants of the visit to a site and changes the proposal accordingly. What cannot be
// driven or is refused by the checker is refused here in words, and nothing changes.
func (d *Desk) Wish(ctx context.Context, c events.Command, date events.Date, w events.Wish) error {
	return d.change(ctx, c, date, func(book *events.Book, plan *planner.Plan) (any, *events.Day, planner.Order) {
		if plan != nil && w.Hold && w.Crew == "" && !w.Out {
			w.Crew = crewOf(*plan, w)
		}
		day := dayOf(book, d.cfg.Office, date)
		day.Wishes = append(without(day.Wishes, w), w)
		return events.WishFor{Date: date, Wish: w}, day, d.placed(ctx, book, date, w, reorder(plan, w))
	})
}

// DropWish leaves the visit to the planner again.
func (d *Desk) DropWish(ctx context.Context, c events.Command, date events.Date, site events.SiteID, feed events.FeedID) error {
	return d.change(ctx, c, date, func(book *events.Book, plan *planner.Plan) (any, *events.Day, planner.Order) {
		day := dayOf(book, d.cfg.Office, date)
		day.Wishes = without(day.Wishes, events.Wish{Site: site, Feed: feed})
		var order planner.Order
		if plan != nil {
			order = planner.OrderOf(*plan)
		}
		return events.DropWish{Date: date, Site: site, Feed: feed}, day, order
	})
}

type changeFunc func(book *events.Book, plan *planner.Plan) (do any, day *events.Day, order planner.Order)

// change tries the changed order on a book in which the wish is already there, has it checked, and only then records it.
func (d *Desk) change(ctx context.Context, c events.Command, date events.Date, wanted changeFunc) error {
	plan, release, err := d.hold(date)
	if err != nil {
		return err
	}
	defer release()
	book := d.cfg.Keeper.Book().Snapshot()
	before := earlier{plan: plan, wishes: wishesOf(book, d.cfg.Office, date)}
	do, day, order := wanted(book, plan)
	book.Days[events.Entity{Office: d.cfg.Office, Kind: events.KindDay, ID: date.String()}] = day
	if day.Sent != nil {
		return &events.Refusal{Words: date.String() + " is sent out; take it back before changing it"}
	}
	var changed *planner.Plan
	if plan != nil {
		arranged, err := planner.Arrange(ctx, d.request(book, date), order)
		if err != nil {
			return err
		}
		if violations := check.Plan(book, arranged, d.Settings()); len(violations) > 0 {
			return &RefusedError{violations}
		}
		changed = &arranged
	}
	c.Office, c.Do = d.cfg.Office, do
	receipt, err := d.cfg.Keeper.Do(ctx, c)
	if err != nil {
		return err
	}
	before.what = sayChange(book, do)
	d.keep(date, changed, before, receipt.Repeated)
	return nil
}

// hold gives the current plan and keeps others from changing the day until release.
func (d *Desk) hold(date events.Date) (plan *planner.Plan, release func(), err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	if p == nil {
		p = &proposal{}
		d.proposals[date] = p
	}
	if p.planning || p.sending {
		return nil, nil, ErrBusy
	}
	p.sending = true
	return p.plan, func() {
		d.mu.Lock()
		p.sending = false
		d.mu.Unlock()
	}, nil
}

// keep puts the changed plan, if there is one, in the place of the one before, and remembers how the day stood, unless the
// change was known already.
func (d *Desk) keep(date events.Date, plan *planner.Plan, before earlier, known bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	if plan != nil {
		p.plan, p.violations = plan, nil
	}
	if !known {
		p.remember(before)
	}
}

func wishesOf(book *events.Book, office events.OfficeID, date events.Date) []events.Wish {
	if day := book.Day(office, date); day != nil {
		return day.Wishes
	}
	return nil
}

func dayOf(book *events.Book, office events.OfficeID, date events.Date) *events.Day {
	if day := book.Day(office, date); day != nil {
		changed := *day
		return &changed
	}
	return &events.Day{Office: office, Date: date}
}

func without(wishes []events.Wish, w events.Wish) []events.Wish {
	return slices.DeleteFunc(slices.Clone(wishes), func(x events.Wish) bool { return x.Site == w.Site && x.Feed == w.Feed })
}

// concerns reports whether a visit is the one a wish speaks of.
func concerns(w events.Wish, v planner.Visit) bool {
	if v.Site != w.Site {
		return false
	}
	return w.Feed == "" || v.Key == string(w.Site)+"~"+string(w.Feed) || strings.HasPrefix(v.Key, string(w.Site)+"~"+string(w.Feed)+"~")
}

func crewOf(p planner.Plan, w events.Wish) events.CrewID {
	for _, route := range p.Routes {
		if slices.ContainsFunc(route.Visits, func(v planner.Visit) bool { return concerns(w, v) }) {
			return route.Crew
		}
	}
	return ""
}

// reorder is the plan's order with the wish fulfilled: taken out, or put to its crew at its place (at the end where none
// is said).
func reorder(plan *planner.Plan, w events.Wish) planner.Order {
	if plan == nil {
		return nil
	}
	order, moved := planner.Order{}, []string{}
	for _, route := range plan.Routes {
		for _, v := range route.Visits {
			if !concerns(w, v) || !w.Out && (w.Crew == "" || w.Crew == route.Crew && w.Place == 0) {
				order[route.Crew] = append(order[route.Crew], v.Key)
				continue
			}
			moved = append(moved, v.Key)
		}
	}
	if w.Out || w.Crew == "" {
		return order
	}
	moved = append(moved, unplanned(*plan, w)...)
	at := len(order[w.Crew])
	if w.Place > 0 {
		at = min(w.Place-1, at)
	}
	order[w.Crew] = slices.Insert(order[w.Crew], at, moved...)
	return order
}

// placed adds to the order the visits of a job that came up after the plan was made.
func (d *Desk) placed(ctx context.Context, book *events.Book, date events.Date, w events.Wish, order planner.Order) planner.Order {
	if order == nil || w.Crew == "" || w.Out {
		return order
	}
	keys, err := planner.Keys(ctx, d.request(book, date), w.Site)
	if err != nil {
		return order // arranging says what is wrong
	}
	for _, key := range keys {
		named := false
		for _, visits := range order {
			named = named || slices.Contains(visits, key)
		}
		if !named && concerns(w, planner.Visit{Site: w.Site, Key: key}) {
			at := len(order[w.Crew])
			if w.Place > 0 {
				at = min(w.Place-1, at)
			}
			order[w.Crew] = slices.Insert(order[w.Crew], at, key)
		}
	}
	return order
}

func (d *Desk) request(book *events.Book, date events.Date) planner.Request {
	return planner.Request{Book: book, Office: d.cfg.Office, Date: date, Now: d.cfg.Now(), Settings: d.Settings()}
}

// unplanned are the keys of left-out visits that the wish puts on a route.
func unplanned(p planner.Plan, w events.Wish) []string {
	var keys []string
	for _, l := range p.LeftOut {
		if l.Visit != "" && concerns(w, planner.Visit{Site: l.Site, Key: l.Visit}) && !slices.Contains(keys, l.Visit) {
			keys = append(keys, l.Visit)
		}
	}
	return keys
}
