package hours

import (
	"slices"
	"time"
)

// Recurrence is windows of one clock time and one length, as calendars exchange them (RFC 5545, section 3.8.5): a first
// window, a rule that repeats it and the days that the rule gives too many. Without a rule it is the first window alone.
type Recurrence struct {
	First Span
	// Rule is the value of an RRULE property (section 3.3.10), with an UNTIL; empty: the window comes once. The windows it
	// gives lie off any change of the zone's clock, so that they last as long by the clock as in truth.
	Rule string
	// Except are the openings that the rule gives and the hours do not have: what the zone's clock would show, written as if
	// the zone were UTC, for on some of them the clock skips that time.
	Except []time.Time
	Note   string // of the rules of the hours that open it, each on its line
}

// Recurrences returns the windows that begin on the calendar days from from up to the one before to, read in the zone loc,
// as repetitions a person would recognise: weekdays, every second week, the second Wednesday of the month, a season, a date
// of the year. What no rule says, and windows near a change of the clock, stand alone. Expanded, all of them are open
// exactly when [Hours.Spans] says so; none gives a window that another gives. They are sorted by their first opening.
//
// The rules end with the last window they were found in: public holidays and exceptions are known for these days only.
func (h Hours) Recurrences(loc *time.Location, from, to time.Time) []Recurrence {
	first, end := civil(from.In(loc)), civil(to.In(loc))
	n := int(end.Sub(first).Hours()) / 24
	if len(h.rules) == 0 || n <= 0 {
		return nil
	}
	year := newAlmanac(first, n)
	var found []Recurrence
	member := map[clocked][]bool{}
	for _, w := range h.begins(first, n) {
		opens := year.spans(loc, w)
		if !steady(loc, opens, w.clock) {
			for _, s := range opens {
				found = append(found, Recurrence{First: s, Note: w.clock.note})
			}
			continue
		}
		if member[w.clock] == nil {
			member[w.clock] = make([]bool, n)
		}
		member[w.clock][w.date] = true
	}
	for clock, on := range member {
		patterns := year.fit(on, h.steps())
		for _, p := range patterns {
			found = append(found, year.recurrence(loc, clock, p))
		}
		for date, alone := range on {
			if alone {
				found = append(found, Recurrence{First: year.spans(loc, window{date, clock})[0], Note: clock.note})
			}
		}
	}
	slices.SortFunc(found, func(a, b Recurrence) int {
		if c := a.First.Open.Compare(b.First.Open); c != 0 {
			return c
		}
		return a.First.Close.Compare(b.First.Close)
	})
	return found
}

// spans are the instants of a window, in one span or, should the clock skip midnight between, in two.
func (a almanac) spans(loc *time.Location, w window) []Span {
	var spans []Span
	date := a[w.date].date
	if s, ok := newLocalDay(loc, date).span(stretch{w.clock.from, min(w.clock.to, dayMin)}); ok {
		spans = appendSpan(spans, s)
	}
	if w.clock.to > dayMin {
		if s, ok := newLocalDay(loc, date.AddDate(0, 0, 1)).span(stretch{0, w.clock.to - dayMin}); ok {
			spans = appendSpan(spans, s)
		}
	}
	return spans
}

// steady reports whether the zone's clock is left alone during the window, and for as long before and after it as a change
// makes clock times skip or come twice: only then do all programs mean the same by its clock time and its length.
func steady(loc *time.Location, spans []Span, c clocked) bool {
	if len(spans) != 1 || spans[0].Duration() != time.Duration(c.to-c.from)*time.Minute {
		return false
	}
	since, until := spans[0].Open.In(loc).ZoneBounds()
	return (since.IsZero() || !spans[0].Open.Before(since.Add(shift(loc, since)))) && (until.IsZero() || spans[0].Close.Before(until.Add(-shift(loc, until))))
}

// shift is by how much the zone's clock is put forward or back at an instant.
func shift(loc *time.Location, at time.Time) time.Duration {
	return time.Duration(max(offsetAt(loc, at.Unix())-offsetAt(loc, at.Unix()-1), offsetAt(loc, at.Unix()-1)-offsetAt(loc, at.Unix()))) * time.Second
}

// recurrence puts a pattern of days and a window together.
func (a almanac) recurrence(loc *time.Location, c clocked, p pattern) Recurrence {
	r := Recurrence{First: a.spans(loc, window{p.first, c})[0], Note: c.note}
	last := a.spans(loc, window{p.last, c})[0].Open
	r.Rule = p.rule() + ";UNTIL=" + last.UTC().Format("20060102T150405Z")
	for _, day := range p.except {
		r.Except = append(r.Except, a[day].date.Add(time.Duration(c.from)*time.Minute))
	}
	return r
}

// steps are the numbers of weeks by which the hours count.
func (h Hours) steps() []int {
	steps := []int{1}
	for _, r := range h.rules {
		for _, w := range r.Weeks {
			if w.Every > 1 && !slices.Contains(steps, w.Every) {
				steps = append(steps, w.Every)
			}
		}
	}
	return steps
}
