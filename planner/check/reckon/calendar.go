package reckon

import (
	"fmt"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// Calendar expands opening hours around one date. It remembers what it has read; it is for one goroutine.
type Calendar struct {
	Date  events.Date
	zones map[string]*time.Location
	spans map[spanKey]spanValue
}

type spanKey struct{ text, zone, region string }

type spanValue struct {
	hours hours.Hours
	spans []hours.Span
	err   error
}

// NewCalendar is the calendar of a date.
func NewCalendar(date events.Date) *Calendar {
	return &Calendar{Date: date, zones: map[string]*time.Location{}, spans: map[spanKey]spanValue{}}
}

// Zone finds a time zone by its IANA name. No name, or "Local", which differs from machine to machine, is an error.
func (c *Calendar) Zone(name string) (*time.Location, error) {
	if loc := c.zones[name]; loc != nil {
		return loc, nil
	}
	if name == "" || name == "Local" {
		return nil, fmt.Errorf("time zone %q is not known", name)
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		return nil, fmt.Errorf("time zone %q is not known", name)
	}
	c.zones[name] = loc
	return loc, nil
}

// DayIn is the date as a span in a zone, from its first instant to the next day's.
func (c *Calendar) DayIn(loc *time.Location) hours.Span {
	return hours.Span{Open: c.Date.In(loc), Close: c.Date.AddDays(1).In(loc)}
}

// open expands a text from the day before the date to two days after it, further than any slack reaches.
func (c *Calendar) open(text, zone, region string) (spanValue, *time.Location) {
	loc, err := c.Zone(zone)
	if err != nil {
		return spanValue{err: err}, nil
	}
	key := spanKey{text, zone, region}
	if known, ok := c.spans[key]; ok {
		return known, loc
	}
	var v spanValue
	if text == "" {
		v.err = fmt.Errorf("no hours are known")
	} else if v.hours, v.err = hours.ParseIn(text, region); v.err != nil {
		v.err = fmt.Errorf("hours %q cannot be read: %w", text, v.err)
	} else {
		v.spans = v.hours.Spans(loc, c.Date.AddDays(-1).In(loc), c.Date.AddDays(3).In(loc))
	}
	c.spans[key] = v
	return v, loc
}

// Working is a crew's working time on the date: from the first opening that falls on it to the last closing of those,
// one stretch. Hours that are open all through the date give the date. ok is false when the crew does not work.
func (c *Calendar) Working(crew *events.Crew) (span hours.Span, ok bool, err error) {
	v, loc := c.open(crew.Hours, crew.Zone, crew.Region)
	if v.err != nil {
		return span, false, v.err
	}
	day := c.DayIn(loc)
	for _, s := range v.spans {
		switch {
		case !s.Open.After(day.Open) && !s.Close.Before(day.Close):
			return day, true, nil
		case s.Open.Before(day.Open) || !s.Open.Before(day.Close):
			continue
		case !ok:
			span, ok = s, true
		default:
			span.Close = s.Close
		}
	}
	return span, ok, nil
}

// InSeason reports whether a season's hours are open at noon of the date.
func (c *Calendar) InSeason(season string, site *events.Site) (bool, error) {
	v, loc := c.open(season, site.Zone, site.Region)
	if v.err != nil {
		return false, v.err
	}
	year, month, day := c.Date.YMD()
	noon := time.Date(year, month, day, 12, 0, 0, 0, loc)
	return v.hours.Covers(loc, noon, noon), nil
}

// SeasonOver reports whether a season has come to its end between an instant and noon of the date, and has not begun again.
func (c *Calendar) SeasonOver(season string, site *events.Site, said time.Time) (bool, error) {
	v, loc := c.open(season, site.Zone, site.Region)
	if v.err != nil {
		return false, v.err
	}
	year, month, day := c.Date.YMD()
	// From the date back, day by day: the first that is in season must lie before what was said for the season not to be over.
	for back := range 370 {
		noon := time.Date(year, month, day-back, 12, 0, 0, 0, loc)
		if !noon.After(said) {
			return v.hours.Covers(loc, said, said) && back > 0, nil
		}
		if v.hours.Covers(loc, noon, noon) {
			return back > 0, nil
		}
	}
	return false, nil
}

// Agreed lists the times agreed with a site that touch the date and hold for one of the feeds; with no feeds given, for
// any feed.
func (c *Calendar) Agreed(site *events.Site, feeds ...events.FeedID) []hours.Span {
	loc, err := c.Zone(site.Zone)
	if err != nil {
		return nil
	}
	day := c.DayIn(loc)
	var agreed []hours.Span
	for _, a := range site.Agreed {
		touches := a.From.Before(day.Close) && a.To.After(day.Open)
		if touches && a.From.Before(a.To) && holdsFor(a, feeds) {
			agreed = append(agreed, hours.Span{Open: a.From, Close: a.To})
		}
	}
	return hours.Union(agreed, nil)
}

func holdsFor(a events.AgreedTime, feeds []events.FeedID) bool {
	if a.Feed == "" || len(feeds) == 0 {
		return true
	}
	for _, f := range feeds {
		if f == a.Feed {
			return true
		}
	}
	return false
}

// Access is when a crew may be at a site to work on feeds: its access hours and the times agreed for them. With an
// agreed time, access hours that cannot be read are taken as none.
func (c *Calendar) Access(site *events.Site, feeds []events.FeedID) ([]hours.Span, error) {
	v, _ := c.open(site.AccessHours, site.Zone, site.Region)
	var agreed []hours.Span
	if len(feeds) > 0 {
		agreed = c.Agreed(site, feeds...)
	}
	if v.err != nil && len(agreed) == 0 {
		return nil, v.err
	}
	return hours.Union(v.spans, agreed), nil
}

// DryWindow is when a feed of a site may be dry. A time agreed for the feed that touches the date takes the place of
// the feed's own windows on the date, also of what a window that opens on it reaches into the next day.
func (c *Calendar) DryWindow(site *events.Site, feed *events.Feed) ([]hours.Span, error) {
	v, loc := c.open(feed.ShutdownWindow, site.Zone, site.Region)
	agreed := c.Agreed(site, feed.ID)
	if len(agreed) == 0 {
		return v.spans, v.err
	}
	day := c.DayIn(loc)
	var kept []hours.Span
	for _, s := range v.spans {
		if !s.Open.Before(day.Open) && s.Open.Before(day.Close) {
			continue
		}
		kept = append(kept, s)
	}
	return hours.Union(hours.Subtract(kept, []hours.Span{day}), agreed), nil
}

// Break is the span within which a crew rests on the date: the first that is not over when its working time begins, if it begins
// before that ends. ok is false when the crew has no break or does not work.
func (c *Calendar) Break(crew *events.Crew) (span hours.Span, ok bool) {
	working, works, err := c.Working(crew)
	length := time.Duration(crew.BreakMinutes) * time.Minute
	if err != nil || !works || length <= 0 || crew.BreakFrom == "" {
		return span, false
	}
	v, _ := c.open(crew.BreakFrom+"-"+crew.BreakTo, crew.Zone, "")
	for _, s := range v.spans {
		if !s.Close.After(working.Open) || s.Duration() < length {
			continue
		}
		return s, working.Close.After(s.Open)
	}
	return span, false
}
