package hours

import (
	"slices"
	"time"
)

// Spans returns when the hours are open within [from, to), read in the zone loc: sorted, merged (spans that touch are
// one, so "24/7" is a single span) and clipped. The zone must not be nil. The work grows with the days and rules, not with
// the minutes.
func (h Hours) Spans(loc *time.Location, from, to time.Time) []Span {
	if len(h.rules) == 0 || !from.Before(to) {
		return nil
	}
	from, to = from.In(loc), to.In(loc)
	// A day more at either end, for clocks that are moved around midnight.
	date := civil(from).AddDate(0, 0, -1)
	last := civil(to).AddDate(0, 0, 1)
	var spans []Span
	var open []stretch
	for ; !date.After(last); date = date.AddDate(0, 0, 1) {
		open = h.day(date, open[:0])
		if len(open) == 0 {
			continue
		}
		day := newLocalDay(loc, date)
		for _, s := range open {
			if span, ok := day.span(s); ok {
				spans = appendSpan(spans, Span{later(span.Open, from), earlier(span.Close, to)})
			}
		}
	}
	return spans
}

// civil returns midnight UTC of the date that t shows in its own zone.
func civil(t time.Time) time.Time {
	year, month, day := t.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// stretch is a half-open range of minutes within one day, 0 to 1440.
type stretch struct {
	from, to int
}

// day settles one calendar day: the rules from left to right, as the package comment says. It appends to open.
func (h Hours) day(date time.Time, open []stretch) []stretch {
	yesterday := date.AddDate(0, 0, -1)
	for _, r := range h.rules {
		today := h.matches(r, date)
		if today && !r.Adds && !r.Closed {
			open = open[:0]
		}
		if today && len(r.Times) == 0 {
			open = r.paint(open, stretch{0, dayMin})
		}
		overnight := r.lastCloseMin() > dayMin && h.matches(r, yesterday)
		for _, t := range r.Times {
			if today {
				open = r.paint(open, stretch{t.OpenMin, min(t.CloseMin, dayMin)})
			}
			if overnight && t.CloseMin > dayMin {
				open = r.paint(open, stretch{0, t.CloseMin - dayMin})
			}
		}
	}
	return open
}

// paint gives the stretch to the day, or takes it away if the rule is a closed one.
func (r Rule) paint(open []stretch, s stretch) []stretch {
	if r.Closed {
		return cut(open, s)
	}
	return add(open, s)
}

// add puts s in its place, so that open stays sorted and its stretches neither overlap nor touch.
func add(open []stretch, s stretch) []stretch {
	first := 0
	for first < len(open) && open[first].to < s.from {
		first++
	}
	last := first
	for last < len(open) && open[last].from <= s.to {
		s.from, s.to = min(s.from, open[last].from), max(s.to, open[last].to)
		last++
	}
	return slices.Replace(open, first, last, s)
}

// cut removes s.
func cut(open []stretch, s stretch) []stretch {
	var kept []stretch
	for _, o := range open {
		if before := (stretch{o.from, min(o.to, s.from)}); before.from < before.to {
			kept = append(kept, before)
		}
		if after := (stretch{max(o.from, s.to), o.to}); after.from < after.to {
			kept = append(kept, after)
		}
	}
	return append(open[:0], kept...)
}

// lastCloseMin returns the latest closing minute, zero for a rule without times.
func (r Rule) lastCloseMin() int {
	latest := 0
	for _, t := range r.Times {
		latest = max(latest, t.CloseMin)
	}
	return latest
}

// matches reports whether the rule is for the date, given as midnight UTC.
func (h Hours) matches(r Rule, date time.Time) bool {
	if len(r.Dates) > 0 {
		year, month, day := date.Date()
		if !slices.ContainsFunc(r.Dates, func(d DateRange) bool { return d.contains(year, month, day) }) {
			return false
		}
	}
	if len(r.Weeks) > 0 {
		_, week := date.ISOWeek()
		if !slices.ContainsFunc(r.Weeks, func(w WeekRange) bool { return w.contains(week) }) {
			return false
		}
	}
	if len(r.Weekdays) == 0 && !r.Holidays {
		return true
	}
	return slices.ContainsFunc(r.Weekdays, func(w WeekdayRange) bool { return w.contains(date) }) || r.Holidays && h.holiday(date)
}

// holiday reports whether the date, given as midnight UTC, is a public holiday of the calendar that was given.
func (h Hours) holiday(date time.Time) bool {
	return h.calendar != nil && h.calendar.Holiday(date.Date())
}

func (w WeekRange) contains(week int) bool {
	return w.From <= week && week <= w.To && (w.Every < 2 || (week-w.From)%w.Every == 0)
}

func (w WeekdayRange) contains(date time.Time) bool {
	if (date.Weekday()-w.From+7)%7 > (w.To-w.From+7)%7 {
		return false
	}
	if w.Nth == 0 {
		return true
	}
	year, month, day := date.Date()
	last := time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
	return w.Nth&NthOf((day+6)/7, -(last-day+7)/7) != 0
}

func (d DateRange) contains(year int, month time.Month, day int) bool {
	if d.From.Year == 0 {
		year = 0
	}
	at := dateKey(year, month, day)
	from := dateKey(d.From.Year, d.From.Month, d.From.Day)
	to := dateKey(d.To.Year, d.To.Month, d.To.Day)
	if d.To.Day == 0 {
		to = dateKey(d.To.Year, d.To.Month, 31)
	}
	if d.To.Month == 0 {
		to = dateKey(d.To.Year, time.December, 31)
	}
	if from <= to {
		return from <= at && at <= to
	}
	return from <= at || at <= to // over the year's end
}

// dateKey orders dates; a missing month or day comes first.
func dateKey(year int, month time.Month, day int) int {
	return (year*16+int(month))*32 + day
}
