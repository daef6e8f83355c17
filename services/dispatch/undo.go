package dispatch

import (
	"context"
	"fmt"
	"slices"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/services/words"
)

// undoDepth is how many changes of a day can be undone; a day is seldom changed by hand so often.
const undoDepth = 20

// earlier is how a day stood before a change by hand, or before it was planned anew. It lives as long as the proposal: the
// wishes themselves, given and taken back, are in the log.
type earlier struct {
	plan   *planner.Plan
	wishes []events.Wish
	what   string // was done then, in words
}

// remember keeps how a day stood; the caller holds the lock.
func (p *proposal) remember(e earlier) {
	p.past = append(p.past, e)
	if extra := len(p.past) - undoDepth; extra > 0 {
		p.past = slices.Delete(p.past, 0, extra)
	}
}

// Undoable says in words which change of a day would be undone; empty: none can be.
func (d *Desk) Undoable(date events.Date) string {
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	if p == nil || len(p.past) == 0 {
		return ""
	}
	return p.past[len(p.past)-1].what
}

// Undo puts the plan and the wishes of a day back to where they stood before its last change by hand or its last planning.
// The wishes go back by new entries in the log. What the checker refuses by now is refused, and nothing changes.
func (d *Desk) Undo(ctx context.Context, c events.Command, date events.Date) error {
	_, release, err := d.hold(date)
	if err != nil {
		return err
	}
	defer release()
	last, repeated, err := d.lastChange(c.ID, date)
	if err != nil || repeated {
		return err
	}
	book := d.cfg.Keeper.Book().Snapshot()
	day := dayOf(book, d.cfg.Office, date)
	if day.Sent != nil {
		return &events.Refusal{Words: date.String() + " is sent out; take it back before changing it"}
	}
	changes := wishChanges(date, day.Wishes, last.wishes)
	day.Wishes = last.wishes
	book.Days[events.Entity{Office: d.cfg.Office, Kind: events.KindDay, ID: date.String()}] = day
	if last.plan != nil {
		if violations := check.Plan(book, *last.plan, d.Settings()); len(violations) > 0 {
			return &RefusedError{violations}
		}
	}
	for i, do := range changes {
		one := c
		one.Office, one.Do = d.cfg.Office, do
		if i > 0 {
			one.ID = events.DeriveCommandID(c.ID, fmt.Sprintf("undo %d", i))
		}
		if _, err := d.cfg.Keeper.Do(ctx, one); err != nil {
			return fmt.Errorf("undoing the last change of %s: %w", date, err)
		}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	p.past, p.undone = p.past[:len(p.past)-1], c.ID
	p.plan, p.violations, p.failure = last.plan, nil, nil
	return nil
}

// lastChange is the newest change of a day; repeated when the very command has undone one already.
func (d *Desk) lastChange(id events.CommandID, date events.Date) (_ earlier, repeated bool, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	switch {
	case p.undone == id:
		return earlier{}, true, nil
	case len(p.past) == 0:
		return earlier{}, false, &events.Refusal{Words: "no change of " + date.String() + " is left to undo"}
	}
	return p.past[len(p.past)-1], false, nil
}

// wishChanges are the commands that bring the wishes of a day back to what they were.
func wishChanges(date events.Date, now, then []events.Wish) []any {
	var changes []any
	for _, w := range now {
		same := func(x events.Wish) bool { return x.Site == w.Site && x.Feed == w.Feed }
		if !slices.ContainsFunc(then, same) {
			changes = append(changes, events.DropWish{Date: date, Site: w.Site, Feed: w.Feed})
		}
	}
	for _, w := range then {
		if !slices.Contains(now, w) {
			changes = append(changes, events.WishFor{Date: date, Wish: w})
		}
	}
	return changes
}

// sayChange says a change by hand in the words of the history.
func sayChange(b *events.Book, do any) string {
	switch do := do.(type) {
	case events.WishFor:
		return words.Sentence(b, &words.People{}, events.Wished{Wish: do.Wish})
	case events.DropWish:
		return words.Sentence(b, &words.People{}, events.WishDropped{Site: do.Site, Feed: do.Feed})
	}
	return ""
}
