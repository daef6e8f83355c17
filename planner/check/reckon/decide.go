package reckon

import (
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/hours"
)

// Decision says whether a repair fits if a test on a feed fails, which is dry as the visit says: the last moment to open a unit,
// or that only tests fit. Neither when nothing is tested there, when it breaks its hours anyway, or when there is time until
// almost the same hour of the next day.
func (c *Calendar) Decision(site *events.Site, tasks []Task, v planner.Visit, off events.WaterOff, s planner.Settings) (by time.Time, testOnly bool) {
	repair, feed := 0, (*events.Feed)(nil)
	var feeds []events.FeedID
	ends := []time.Time{}
	putAway := minutes(s.VisitAfter) + time.Duration(len(tasks))*minutes(s.JobAfter)
	hold := func(spans []hours.Span, from, to time.Time, before time.Duration) {
		for _, span := range spans {
			if Within([]hours.Span{span}, from, to) {
				ends = append(ends, span.Close.Add(-before))
			}
		}
	}
	for _, t := range tasks {
		feeds = append(feeds, t.Assembly.Feed)
		if t.Assembly.Feed == off.Feed && t.Work == planner.TestWork {
			repair, feed = max(repair, bySize(s.Repair, t.Assembly.Size)), t.Feed
		}
		if t.Feed == nil {
			continue
		}
		for _, x := range c.Conditions(site, t.Feed, true) {
			if x.What.WholeVisit() {
				hold(x.Booked, v.Arrive, v.Leave, putAway)
			} else if t.Assembly.Feed == off.Feed {
				hold(x.Booked, off.From, off.To, 0)
			}
		}
	}
	if repair == 0 || feed == nil {
		return by, false
	}
	if access, err := c.Access(site, feeds); err == nil {
		hold(access, v.Arrive, v.Leave, putAway)
	}
	if window, err := c.DryWindow(site, feed); err == nil {
		hold(window, off.From, off.To, 0)
	}
	if len(ends) == 0 {
		return by, false
	}
	back := ends[0]
	for _, end := range ends[1:] {
		if end.Before(back) {
			back = end
		}
	}
	if back.Sub(off.From) > 23*time.Hour {
		return by, false
	}
	by = back.Add(-minutes(repair))
	if by.Before(off.To) {
		return time.Time{}, true
	}
	return by, false
}
