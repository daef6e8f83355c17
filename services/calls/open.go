package calls

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/hours"
)

// workingDay is a day on which some crew works, and when.
type workingDay struct {
	date events.Date
	work []hours.Span // of all crews together, overtime included
}

// workingDays of the office between the first and the last day.
func (l *lister) workingDays() []workingDay {
	var days []workingDay
	for day := l.From; !l.To.Before(day); day = day.AddDays(1) {
		var spans []hours.Span
		for _, c := range l.Book.Crews {
			if c.Office != l.Office || c.OffOn(day) != "" {
				continue
			}
			span, works, err := planner.WorkingSpan(c, day)
			if err != nil || !works {
				continue // a crew whose hours cannot be read is said so when the day is planned
			}
			span.Close = span.Close.Add(time.Duration(c.OvertimeMinutes) * time.Minute)
			spans = hours.Union(spans, []hours.Span{span})
		}
		if len(spans) > 0 {
			days = append(days, workingDay{day, spans})
		}
	}
	return days
}

// spanKey names hours as written, in a zone and region.
type spanKey struct{ text, zone, region string }

// expand gives the spans of the weeks; none when the text cannot be read, which planning says in words.
func (l *lister) expand(text string, site *events.Site) []hours.Span {
	loc := l.zone(site)
	key := spanKey{text, loc.String(), site.Region}
	if spans, ok := l.spans[key]; ok {
		return spans
	}
	var spans []hours.Span
	if h, err := hours.ParseIn(text, site.Region); err == nil {
		spans = h.Spans(loc, l.From.AddDays(-1).In(loc), l.To.AddDays(2).In(loc))
	}
	l.spans[key] = spans
	return spans
}

// open lists the days on which the feed may be dry for so many minutes in one stretch while a crew works. A time agreed
// takes the place of the hours on record on its day, as in planning.
func (l *lister) open(site *events.Site, f *events.Feed, dryMinutes int) []Day {
	loc := l.zone(site)
	dry := time.Duration(dryMinutes) * time.Minute
	onRecord := hours.Intersect(l.expand(f.ShutdownWindow, site), l.expand(site.AccessHours, site))
	var days []Day
	enough := l.today(site).AddDays(site.NoticeDays)
	for _, d := range l.days {
		day := hours.Span{Open: d.date.In(loc), Close: d.date.AddDays(1).In(loc)}
		spans, agreed := startsOn(onRecord, day), false
		if times := l.agreedOn(site, f, day); len(times) > 0 {
			spans, agreed = times, true
		}
		var fit []string
		for _, s := range hours.Intersect(hours.Intersect(spans, d.work), []hours.Span{{Open: l.Now, Close: day.Close.Add(24 * time.Hour)}}) {
			if s.Duration() >= dry {
				fit = append(fit, s.Open.In(loc).Format("15:04")+"–"+s.Close.In(loc).Format("15:04"))
			}
		}
		if len(fit) > 0 {
			days = append(days, Day{Date: d.date, Name: dayName(d.date), Hours: strings.Join(fit, ", "), Agreed: agreed, TooSoon: d.date.Before(enough) && !agreed})
		}
	}
	return days
}

// startsOn cuts spans to a day and to the night that begins on it.
func startsOn(spans []hours.Span, day hours.Span) []hours.Span {
	var on []hours.Span
	for _, s := range spans {
		if !s.Close.After(day.Open) || !s.Open.Before(day.Close) {
			continue
		}
		if s.Open.Before(day.Open) {
			s.Open = day.Open
		}
		if s.Duration() > 24*time.Hour {
			s.Close = day.Close
		}
		on = append(on, s)
	}
	return on
}

func (l *lister) agreedOn(site *events.Site, f *events.Feed, day hours.Span) []hours.Span {
	var spans []hours.Span
	for _, a := range site.Agreed {
		if (a.Feed == "" || a.Feed == f.ID) && a.To.After(day.Open) && a.From.Before(day.Close) {
			spans = hours.Union(spans, []hours.Span{{Open: a.From, Close: a.To}})
		}
	}
	return spans
}

// holdsWater reports whether a feed's season covers any of the working days up to the one by which the job is owed; of a job
// that is late, or owed by no known day, any of all.
func (l *lister) holdsWater(site *events.Site, f *events.Feed, by events.Date) bool {
	if by.Before(l.From) {
		by = l.To
	}
	season, loc := l.expand(f.Season, site), l.zone(site)
	return slices.ContainsFunc(l.days, func(d workingDay) bool {
		if by.Before(d.date) {
			return false
		}
		noon := d.date.In(loc).Add(12 * time.Hour)
		return slices.ContainsFunc(season, func(s hours.Span) bool { return !noon.Before(s.Open) && noon.Before(s.Close) })
	})
}

// dayName says a day of these weeks: Tue 3 Mar.
func dayName(d events.Date) string {
	_, month, day := d.YMD()
	return fmt.Sprintf("%s %d %s", d.Weekday().String()[:3], day, month.String()[:3])
}
