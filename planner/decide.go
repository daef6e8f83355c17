package planner

import (
	"fmt"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// farOff: a decision that need not be made for so long is none.
const farOff = 23 * time.Hour

// decisions say of each feed that is dry for tests whether there is time for a repair if one fails: the last moment to open a
// unit, or that nothing is opened.
func (w *work) decisions(p stop, v Visit) {
	for i := range v.WaterOff {
		off := &v.WaterOff[i]
		repair, back := w.longestRepair(v, off.Feed), w.backBy(p, v, *off)
		if repair == 0 || back.IsZero() || back.Sub(off.From) > farOff {
			continue
		}
		if last := back.Add(-minutes(repair)); last.Before(off.To) {
			off.TestOnly = true
		} else {
			off.DecideBy = last
		}
	}
}

// longestRepair is how many minutes the longest repair would take of those units on a feed that are to be tested; zero for none.
func (w *work) longestRepair(v Visit, feed events.FeedID) int {
	longest := 0
	for _, j := range v.Jobs {
		if a := w.r.Book.Assemblies[j.Assembly]; a.Feed == feed && j.Work == TestWork {
			longest = max(longest, w.r.Settings.Repair.of(a.Size))
		}
	}
	return longest
}

// backBy is when the water of a feed must be on again at the latest: before its window ends, before those leave who are wanted
// while it is off, and so long before the crew must be gone that it can put away.
func (w *work) backBy(p stop, v Visit, off events.WaterOff) time.Time {
	var back time.Time
	until := func(spans []hours.Span, from, to time.Time, less time.Duration) {
		for _, s := range spans {
			if s.Open.After(from) || s.Close.Before(to) {
				continue
			}
			if end := s.Close.Add(-less); back.IsZero() || end.Before(back) {
				back = end
			}
		}
	}
	after := minutes(p.table.After)
	until(p.open.shutdown[off.Feed], off.From, off.To, 0)
	until(p.open.accessTo(p.feeds(w.r.Book)), v.Arrive, v.Leave, after)
	for _, feed := range p.distinctFeeds(w.r.Book) {
		for _, c := range p.open.brought[feed] {
			switch {
			case c.what.WholeVisit():
				until(c.booked, v.Arrive, v.Leave, after)
			case feed == off.Feed:
				until(c.booked, off.From, off.To, 0)
			}
		}
	}
	return back
}

// decisionNote says a decision in words.
func (w *work) decisionNote(p stop, v Visit, off events.WaterOff, zone *time.Location) []string {
	name, repair := w.r.Book.Feeds[off.Feed].Name, w.longestRepair(v, off.Feed)
	switch {
	case off.TestOnly:
		return []string{fmt.Sprintf("%s: test only; a repair takes about %d min and the water must be back by %s", name, repair, clockOn(w.r.Date, w.backBy(p, v, off), zone))}
	case !off.DecideBy.IsZero():
		return []string{fmt.Sprintf("%s: decide by %s; no unit is opened later, for a repair takes about %d min", name, clockOn(w.r.Date, off.DecideBy, zone), repair)}
	}
	return nil
}
