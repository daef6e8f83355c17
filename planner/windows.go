package planner

import (
	"fmt"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// clockwork reads hours texts once each and expands them around one day.
type clockwork struct {
	date  events.Date
	spans map[written][]hours.Span // expanded around the day
	zones map[string]*time.Location
}

// written is a text of hours where it is meant.
type written struct{ text, zone, region string }

func newClockwork(date events.Date) *clockwork {
	return &clockwork{date, map[written][]hours.Span{}, map[string]*time.Location{}}
}

func (c *clockwork) zone(name string) (*time.Location, error) {
	if loc := c.zones[name]; loc != nil {
		return loc, nil
	}
	loc, err := time.LoadLocation(name)
	if err != nil || name == "" || name == "Local" { // which time.LoadLocation takes, but nobody means
		return nil, fmt.Errorf("time zone %q is not known", name)
	}
	c.zones[name] = loc
	return loc, nil
}

// expand gives the spans of a text from the day before to two days after the day, so that a night's window and its slack
// are whole. They are shared and must not be changed.
func (c *clockwork) expand(w written) ([]hours.Span, error) {
	if spans, ok := c.spans[w]; ok {
		return spans, nil
	}
	loc, err := c.zone(w.zone)
	if err != nil {
		return nil, err
	}
	h, err := hours.ParseIn(w.text, w.region)
	if err != nil {
		return nil, err
	}
	spans := h.Spans(loc, c.date.AddDays(-1).In(loc), c.date.AddDays(3).In(loc))
	c.spans[w] = spans
	return spans, nil
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
	h, err := hours.ParseIn(crew.Hours, crew.Region)
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

// open is when a site and its feeds may be worked on around the day. Times agreed for a feed that touch the day take the
// place of its shutdown windows of the day, and count as access for a visit to that feed.
type open struct {
	access   []hours.Span
	shutdown map[events.FeedID][]hours.Span
	agreed   map[events.FeedID][]hours.Span
	brought  map[events.FeedID][]condition // by others, each at times of its own
}

func (c *clockwork) openTimes(site *events.Site, feeds []*events.Feed) (open, error) {
	o := open{shutdown: map[events.FeedID][]hours.Span{}, agreed: map[events.FeedID][]hours.Span{}, brought: map[events.FeedID][]condition{}}
	loc, err := c.zone(site.Zone)
	if err != nil {
		return o, err
	}
	if o.access, err = c.expand(written{site.AccessHours, site.Zone, site.Region}); err != nil {
		return o, fmt.Errorf("access hours of %s: %w", site.Name, err)
	}
	day := c.dayIn(loc)
	for _, feed := range feeds {
		o.brought[feed.ID] = conditions(site, feed, day, true)
		window, err := c.expand(written{feed.ShutdownWindow, site.Zone, site.Region})
		for _, a := range site.Agreed {
			if (a.Feed == "" || a.Feed == feed.ID) && a.To.After(day.Open) && a.From.Before(day.Close) {
				o.agreed[feed.ID] = hours.Union(o.agreed[feed.ID], []hours.Span{{Open: a.From, Close: a.To}})
			}
		}
		switch agreed := o.agreed[feed.ID]; {
		case len(agreed) > 0:
			o.shutdown[feed.ID] = hours.Union(besides(window, day), agreed)
		case err != nil:
			return o, fmt.Errorf("shutdown window of %s, %s: %w", site.Name, feed.Name, err)
		default:
			o.shutdown[feed.ID] = window
		}
	}
	return o, nil
}

// besides are the spans of other days: not those that open on the day, and nothing of the day itself.
func besides(spans []hours.Span, day hours.Span) []hours.Span {
	var others []hours.Span
	for _, s := range spans {
		if s.Open.Before(day.Open) || !s.Open.Before(day.Close) {
			others = append(others, s)
		}
	}
	return hours.Subtract(others, []hours.Span{day})
}

// accessTo is when a visit to some feeds may be there.
func (o open) accessTo(feeds []events.FeedID) []hours.Span {
	access := o.access
	for _, f := range feeds {
		if len(o.agreed[f]) > 0 {
			access = hours.Union(access, o.agreed[f])
		}
	}
	return access
}

// widened is the same with every span some minutes longer at both ends.
func (o open) widened(by int) open {
	wide := open{widened(o.access, by), map[events.FeedID][]hours.Span{}, map[events.FeedID][]hours.Span{}, o.brought}
	for id, spans := range o.shutdown {
		wide.shutdown[id] = widened(spans, by)
	}
	for id, spans := range o.agreed {
		wide.agreed[id] = widened(spans, by)
	}
	return wide
}

func widened(spans []hours.Span, by int) []hours.Span {
	var wide []hours.Span
	for _, s := range spans {
		wide = append(wide, hours.Span{Open: s.Open.Add(-minutes(by)), Close: s.Close.Add(minutes(by))})
	}
	return hours.Union(wide, nil)
}

// starts are the instants at which a visit to some feeds with this timetable may begin: all of it inside the access hours,
// each feed's dry part inside that feed's shutdown window. Spans are closed here: Close is the last instant to begin.
func (o open) starts(t Timetable, feeds []events.FeedID) []hours.Span {
	fit := shrink(o.accessTo(feeds), 0, minutes(t.Minutes()))
	for _, f := range feeds {
		for _, c := range o.brought[f] {
			if c.what.WholeVisit() {
				fit = intersectClosed(fit, shrink(c.booked, 0, minutes(t.Minutes())))
			}
		}
	}
	offset := minutes(t.Before)
	for _, f := range t.Feeds {
		fit = intersectClosed(fit, shrink(o.shutdown[f.Feed], offset, minutes(f.Dry)))
		for _, c := range o.brought[f.Feed] {
			if !c.what.WholeVisit() {
				fit = intersectClosed(fit, shrink(c.booked, offset, minutes(f.Dry)))
			}
		}
		offset += minutes(f.Dry + f.Wet)
	}
	return fit
}

// shrink gives the starts for which [start+offset, start+offset+length] lies in one span.
func shrink(spans []hours.Span, offset, length time.Duration) []hours.Span {
	fit := make([]hours.Span, 0, len(spans))
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
	both := make([]hours.Span, 0, max(len(a), len(b)))
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
