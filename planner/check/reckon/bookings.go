package reckon

import (
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/hours"
)

// Condition is something that others bring for work on a feed, and the times for which it is booked that touch the date.
type Condition struct {
	What   events.Brought
	Booked []hours.Span
}

// Conditions lists what work on a feed waits for on the date, in the order in which others' work is listed: what its site or the
// feed itself needs always, and what is booked for a time that is not over before the date. Work that leaves the water on waits
// for nothing that is needed with the water off only.
func (c *Calendar) Conditions(site *events.Site, feed *events.Feed, dries bool) []Condition {
	loc, err := c.Zone(site.Zone)
	if err != nil {
		return nil
	}
	day := c.DayIn(loc)
	var list []Condition
	for _, what := range events.BroughtByOthers {
		if !dries && !what.WholeVisit() {
			continue
		}
		x, wanted := Condition{What: what}, false
		for _, needs := range [][]events.Need{site.Needs, feed.Needs} {
			for _, n := range needs {
				wanted = wanted || n.What == what
			}
		}
		for _, b := range site.Booked {
			if b.What != what || b.Feed != "" && b.Feed != feed.ID || !day.Open.Before(b.To) {
				continue
			}
			wanted = true
			if b.From.Before(day.Close) {
				x.Booked = append(x.Booked, hours.Span{Open: b.From, Close: b.To})
			}
		}
		if x.Booked = hours.Union(x.Booked, nil); wanted {
			list = append(list, x)
		}
	}
	return list
}

// WhileOthersAreThere says when a visit that is laid out may begin as far as others must be there: some for as long as a feed is
// dry, some from arrival to leaving. With nothing to wait for it may begin at any time.
func (c *Calendar) WhileOthersAreThere(site *events.Site, tasks []Task, v planner.Visit) []Interval {
	starts := []Interval{{time.Unix(-1<<40, 0), time.Unix(1<<40, 0)}}
	for _, task := range tasks {
		if task.Feed == nil {
			continue
		}
		for _, x := range c.Conditions(site, task.Feed, task.Dries()) {
			from, to := time.Duration(0), v.Leave.Sub(v.Arrive)
			for _, off := range v.WaterOff {
				if off.Feed == task.Feed.ID && !x.What.WholeVisit() {
					from, to = off.From.Sub(v.Arrive), off.To.Sub(v.Arrive)
				}
			}
			starts = Both(starts, StartsWithin(x.Booked, from, to))
		}
	}
	return starts
}

// BookedFor reports whether anybody is booked for a feed at a time that touches the date.
func (c *Calendar) BookedFor(site *events.Site, feed events.FeedID) bool {
	loc, err := c.Zone(site.Zone)
	if err != nil {
		return false
	}
	day := c.DayIn(loc)
	for _, b := range site.Booked {
		if (b.Feed == "" || b.Feed == feed) && b.From.Before(day.Close) && b.To.After(day.Open) {
			return true
		}
	}
	return false
}
