package planner

import (
	"fmt"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// clockwork reads hours texts once each and expands them around one day.
type clockwork struct {
	date   events.Date
	parsed map[string]hours.Hours
	zones  map[string]*time.Location
}

func newClockwork(date events.Date) *clockwork {
	return &clockwork{date, map[string]hours.Hours{}, map[string]*time.Location{}}
}

func (c *clockwork) zone(name string) (*time.Location, error) {
	if loc := c.zones[name]; loc != nil {
		return loc, nil
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		return nil, fmt.Errorf("time zone %q is not known", name)
	}
	c.zones[name] = loc
	return loc, nil
}

func (c *clockwork) hours(text string) (hours.Hours, error) {
	if h, ok := c.parsed[text]; ok {
		return h, nil
	}
	h, err := hours.Parse(text)
	if err == nil {
		c.parsed[text] = h
	}
	return h, err
}

// spans expands a text over the day and the half day after it, so that a night's window is whole.
func (c *clockwork) spans(text string, loc *time.Location) ([]hours.Span, error) {
	h, err := c.hours(text)
	if err != nil {
		return nil, err
	}
	from := c.date.In(loc)
	return h.Spans(loc, from, c.date.AddDays(1).In(loc).Add(12*time.Hour)), nil
}

// WorkingSpan is when a crew works on a day: from the first opening that falls on the day to the last close; ok is false
// when it does not work. Hours that never close are cut to the day.
func WorkingSpan(c *events.Crew, date events.Date) (span hours.Span, ok bool, err error) {
	return newClockwork(date).working(c)
}

func (c *clockwork) working(crew *events.Crew) (span hours.Span, ok bool, err error) {
	loc, err := c.zone(crew.Zone)
	if err != nil {
		return span, false, err
	}
	h, err := c.hours(crew.Hours)
	if err != nil {
		return span, false, err
	}
	from, to := c.date.In(loc), c.date.AddDays(1).In(loc)
	for _, s := range h.Spans(loc, from.Add(-24*time.Hour), to.Add(24*time.Hour)) {
		if s.Open.Before(from) && !s.Close.Before(to) { // open all day
			return hours.Span{Open: from, Close: to}, true, nil
		}
		if s.Open.Before(from) || !s.Open.Before(to) {
			continue
		}
		if !ok {
			span.Open, ok = s.Open, true
		}
		span.Close = s.Close
	}
	if ok && span.Close.Sub(span.Open) > 24*time.Hour {
		span.Close = to
	}
	return span, ok, nil
}

// open is when a site and a feed may be worked on around the day; agreed times of the day replace the shutdown windows and
// count as access.
type open struct {
	access   []hours.Span
	shutdown map[events.FeedID][]hours.Span
}

func (c *clockwork) openTimes(site *events.Site, feeds []*events.Feed) (open, error) {
	o := open{shutdown: map[events.FeedID][]hours.Span{}}
	loc, err := c.zone(site.Zone)
	if err != nil {
		return o, err
	}
	if o.access, err = c.spans(site.AccessHours, loc); err != nil {
		return o, fmt.Errorf("access hours of %s: %w", site.Name, err)
	}
	from, to := c.date.In(loc), c.date.AddDays(1).In(loc)
	for _, agreed := range site.Agreed {
		if agreed.To.After(from) && agreed.From.Before(to) {
			o.access = hours.Union(o.access, []hours.Span{{Open: agreed.From, Close: agreed.To}})
		}
	}
	for _, feed := range feeds {
		var agreed []hours.Span
		for _, a := range site.Agreed {
			if (a.Feed == "" || a.Feed == feed.ID) && a.To.After(from) && a.From.Before(to) {
				agreed = hours.Union(agreed, []hours.Span{{Open: a.From, Close: a.To}})
			}
		}
		if len(agreed) > 0 {
			o.shutdown[feed.ID] = agreed
			continue
		}
		if o.shutdown[feed.ID], err = c.spans(feed.ShutdownWindow, loc); err != nil {
			return o, fmt.Errorf("shutdown window of %s, %s: %w", site.Name, feed.Name, err)
		}
	}
	return o, nil
}

// starts are the instants at which a visit with this timetable may begin: all of it inside the access hours, each feed's
// dry part inside that feed's shutdown window. Spans are closed here: Close is the last instant to begin.
func (o open) starts(t Timetable) []hours.Span {
	fit := shrink(o.access, 0, minutes(t.Minutes()))
	offset := minutes(t.Before)
	for _, f := range t.Feeds {
		fit = intersectClosed(fit, shrink(o.shutdown[f.Feed], offset, minutes(f.Dry)))
		offset += minutes(f.Dry + f.Wet)
	}
	return fit
}

// shrink gives the starts for which [start+offset, start+offset+length] lies in one span.
func shrink(spans []hours.Span, offset, length time.Duration) []hours.Span {
	var fit []hours.Span
	for _, s := range spans {
		first, last := s.Open.Add(-offset), s.Close.Add(-offset-length)
		if !last.Before(first) {
			fit = append(fit, hours.Span{Open: first, Close: last})
		}
	}
	return fit
}

// intersectClosed intersects sorted lists of closed spans; a single instant is a span too.
func intersectClosed(a, b []hours.Span) []hours.Span {
	var both []hours.Span
	for i, j := 0, 0; i < len(a) && j < len(b); {
		s := hours.Span{Open: a[i].Open, Close: a[i].Close}
		if b[j].Open.After(s.Open) {
			s.Open = b[j].Open
		}
		if b[j].Close.Before(s.Close) {
			s.Close = b[j].Close
		}
		if !s.Close.Before(s.Open) {
			both = append(both, s)
		}
		if a[i].Close.Before(b[j].Close) {
			i++
		} else {
			j++
		}
	}
	return both
}

func total(spans []hours.Span) time.Duration {
	var sum time.Duration
	for _, s := range spans {
		sum += s.Close.Sub(s.Open) + time.Second
	}
	return sum
}
