package planner

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// fireHours keeps, of the jobs on each fire feed, the most pressing ones that leave it out of service no longer in any 24
// hours than the setting allows, or than the measures do that are noted for the day. What it was dry for before and will be on
// other days counts whole, wherever within a day of this one it lies: the stricter reading.
func (c *collector) fireHours(jobs []candidate) []candidate {
	dry := map[events.FeedID]int{}
	byWorth := slices.Clone(jobs)
	slices.SortStableFunc(byWorth, func(x, y candidate) int { return cmp.Compare(c.s.Worth(y.j, c.date), c.s.Worth(x.j, c.date)) })
	over := map[events.JobID]bool{}
	for _, x := range byWorth {
		f := c.b.Feeds[x.a.Feed]
		if !f.Fire || x.work == InspectWork {
			continue
		}
		minutes, _ := c.s.dryMinutes(x.a, x.work)
		others, limit := c.outMinutes(f), c.s.fireLimit(f, c.date)
		if all := others + dry[f.ID] + minutes; all > limit {
			over[x.j.ID] = true
			c.leave(x.a, x.j, "fire-hours", fireReason(f, dry[f.ID]+minutes, others, limit, f.MeasuresFor(c.date) != nil), fireChange(all))
			continue
		}
		dry[f.ID] += minutes
	}
	return slices.DeleteFunc(jobs, func(x candidate) bool { return over[x.j.ID] })
}

func fireReason(f *events.Feed, today, others, limit int, measures bool) string {
	before, by := "", "that are set"
	if others > 0 {
		before = fmt.Sprintf(" and for %d min about it,", others)
	}
	if measures {
		by = "that the measures noted for it allow"
	}
	return fmt.Sprintf("%s would be out of service for %d min that day,%s longer than the %d min %s", f.Name, today, before, limit, by)
}

func fireChange(minutes int) string {
	return fmt.Sprintf("plan the measures for a longer outage with the impairment coordinator and note them for %d min (local code decides)", minutes)
}

// fireLimit is for how many minutes in any 24 hours a fire feed may be dry on a day.
func (s Settings) fireLimit(f *events.Feed, day events.Date) int {
	if m := f.MeasuresFor(day); m != nil {
		return max(s.FireOut, m.Minutes)
	}
	return s.FireOut
}

// outMinutes is for how long a fire feed is out of service besides the day's own visits, as far as one 24 hours could hold
// both: dry times on record, one that goes on now, visits of the day that have begun, and other days that are out and lie ahead.
func (c *collector) outMinutes(f *events.Feed) int {
	loc, err := c.clock.zone(c.b.Sites[f.Site].Zone)
	if err != nil {
		return 0
	}
	near := hours.Span{Open: c.date.In(loc).Add(-24 * time.Hour), Close: c.date.AddDays(1).In(loc).Add(48 * time.Hour)}
	sum := time.Duration(0)
	for _, s := range hours.Intersect(hours.Union(c.outages(f), nil), []hours.Span{near}) {
		sum += s.Duration()
	}
	return int((sum + time.Minute - 1) / time.Minute)
}

func (c *collector) outages(f *events.Feed) []hours.Span {
	var spans []hours.Span
	for _, d := range f.Dried {
		spans = append(spans, hours.Span{Open: d.From, Close: d.To})
	}
	if !f.DrySince.IsZero() && f.DrySince.Before(c.now) {
		spans = append(spans, hours.Span{Open: f.DrySince, Close: c.now})
	}
	c.eachBegunDry(func(off events.WaterOff) {
		if off.Feed == f.ID && off.From.Before(off.To) {
			spans = append(spans, hours.Span{Open: off.From, Close: off.To})
		}
	})
	for by := -2; by <= 3; by++ {
		day := c.b.Day(f.Office, c.date.AddDays(by))
		if by == 0 || day == nil || day.Sent == nil {
			continue
		}
		for _, r := range day.Sent.Routes {
			for _, v := range r.Visits {
				spans = append(spans, slices.DeleteFunc(dryOf(v, f.ID), func(s hours.Span) bool { return !s.Close.After(c.now) })...)
			}
		}
	}
	slices.SortFunc(spans, func(a, b hours.Span) int { return a.Open.Compare(b.Open) })
	return spans
}

func dryOf(v events.DayVisit, feed events.FeedID) []hours.Span {
	var spans []hours.Span
	for _, off := range v.WaterOff {
		if off.Feed == feed && off.From.Before(off.To) {
			spans = append(spans, hours.Span{Open: off.From, Close: off.To})
		}
	}
	return spans
}

// fireNote says what a crew must know of an outage that is longer than the firm's own limit.
func (w *work) fireNote(f *events.Feed) []string {
	m := f.MeasuresFor(w.r.Date)
	if m == nil || m.Minutes <= w.r.Settings.FireOut {
		return nil
	}
	return []string{fmt.Sprintf("%s: out of service up to %d min by the measures agreed with the %s: %s; in place before the valve moves", f.Name, m.Minutes, m.By, m.Words)}
}
