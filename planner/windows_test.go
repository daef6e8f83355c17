package planner

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// Instants on days on which clocks change are from the tz database: in New York they go forward at 2026-03-08 07:00 UTC
// (02:00 EST becomes 03:00 EDT) and back at 2026-11-01 06:00 UTC (02:00 EDT becomes 01:00 EST).
var (
	tuesday = events.NewDate(2026, time.May, 12)
	spring  = events.NewDate(2026, time.March, 8)
	autumn  = events.NewDate(2026, time.November, 1)
)

const newYork = "America/New_York"

// spansInUTC writes closed spans as "05-12 09:00 to 12:34".
func spansInUTC(spans []hours.Span) string {
	var words []string
	for _, s := range spans {
		words = append(words, s.Open.UTC().Format("01-02 15:04")+" to "+s.Close.UTC().Format("15:04"))
	}
	return strings.Join(words, ", ")
}

// onDay keeps the spans that touch a date in a zone.
func onDay(spans []hours.Span, date events.Date, zone string) []hours.Span {
	loc, err := time.LoadLocation(zone)
	if err != nil {
		panic(err)
	}
	return slices.DeleteFunc(spans, func(s hours.Span) bool {
		return s.Close.Before(date.In(loc)) || !s.Open.Before(date.AddDays(1).In(loc))
	})
}

func utc(text string) time.Time {
	t, err := time.Parse("2006-01-02 15:04", text)
	if err != nil {
		panic(err)
	}
	return t
}

func TestStarts(t *testing.T) {
	one := Timetable{Before: 8, Feeds: []FeedTime{{"a", 18, 0}}, After: 7}                 // 33 min
	two := Timetable{Before: 10, Feeds: []FeedTime{{"a", 30, 20}, {"b", 15, 0}}, After: 5} // b is dry from minute 60 to 75
	look := Timetable{Before: 18, After: 7}
	for _, c := range []struct {
		name      string
		date      events.Date
		zone      string
		access    string
		a, b      string // shutdown windows
		agreed    []events.AgreedTime
		table     Timetable
		feeds     []events.FeedID
		wantInUTC string
	}{
		// In May New York is four hours behind UTC.
		{name: "the window begins before the crew may be there", access: "06:00-12:00", a: "05:00-09:00", table: one,
			wantInUTC: "05-12 10:00 to 12:34"}, // from 06:00; dry until 09:00 at the latest, so begun by 08:34
		{name: "what is done with the water on may lie outside the window", access: "06:00-12:00", a: "07:00-09:00", table: one,
			wantInUTC: "05-12 10:52 to 12:34"}, // begun at 06:52, shut at 07:00
		{name: "paper fits after the window but not after access", access: "06:00-09:00", a: "07:00-09:00", table: one,
			wantInUTC: "05-12 10:52 to 12:27"},
		{name: "just fits", access: "24/7", a: "07:00-07:18", table: one, wantInUTC: "05-12 10:52 to 10:52"},
		{name: "a minute short", access: "24/7", a: "07:00-07:17", table: one, wantInUTC: ""},
		{name: "twice a day", access: "24/7", a: "05:00-06:00,14:00-15:00", table: one, wantInUTC: "05-12 08:52 to 09:34, 05-12 17:52 to 18:34"},
		{name: "not from one window into the next", access: "24/7", a: "05:00-05:10,05:15-05:25", table: one, wantInUTC: ""},
		{name: "windows that touch are one", access: "24/7", a: "05:00-05:10,05:10-05:20", table: one, wantInUTC: "05-12 08:52 to 08:54"},
		{name: "two feeds, one after the other", access: "24/7", a: "08:00-10:00", b: "09:00-12:00", table: two,
			// a: shut at minute 10 and back by minute 40: 07:50 to 09:20; b: from minute 60 to 75: 08:00 to 10:45.
			wantInUTC: "05-12 12:00 to 13:20"},
		{name: "two feeds whose windows are too far apart", access: "24/7", a: "06:00-07:00", b: "12:00-13:00", table: two, wantInUTC: ""},
		{name: "two feeds, met in one instant", access: "24/7", a: "08:00-08:30", b: "08:50-09:05", table: two, wantInUTC: "05-12 11:50 to 11:50"},
		{name: "the bypass has the water on", access: "24/7", a: "08:00-08:30", b: "24/7", table: two, wantInUTC: "05-12 11:50 to 11:50"},
		{name: "an inspection needs access only", access: "06:00-07:00", a: "12:00-13:00", table: look, wantInUTC: "05-12 10:00 to 10:35"},
		{name: "closed that day", access: "We 06:00-12:00", a: "24/7", table: one, wantInUTC: ""},

		{name: "a night's window, begun before midnight", access: "24/7", a: "Tu 22:00-02:00", table: one,
			wantInUTC: "05-13 01:52 to 05:34"}, // 21:52 to 01:34 on the site's clock
		{name: "the night before reaches into the day", access: "24/7", a: "Mo 22:00-02:00", table: one, wantInUTC: "05-12 01:52 to 05:34"},
		{name: "access ends at midnight", access: "Tu 18:00-24:00", a: "Tu 22:00-02:00", table: one, wantInUTC: "05-13 01:52 to 03:27"},

		{name: "another zone than the crew's", zone: "America/Los_Angeles", access: "06:00-12:00", a: "07:00-09:00", table: one,
			wantInUTC: "05-12 13:52 to 15:34"},
		{name: "half an hour off", zone: "Asia/Kolkata", access: "06:00-12:00", a: "07:00-09:00", table: one, wantInUTC: "05-12 01:22 to 03:04"},

		{name: "clocks go forward in the window", date: spring, access: "24/7", a: "01:30-03:30", table: one,
			wantInUTC: "03-08 06:22 to 07:04"}, // one hour long: 06:30 to 07:30
		{name: "clocks go forward and an hour does not suffice", date: spring, access: "24/7", a: "01:30-03:30",
			table: Timetable{Feeds: []FeedTime{{"a", 61, 0}}}, wantInUTC: ""},
		{name: "clocks go back in the window", date: autumn, access: "24/7", a: "01:30-03:30", table: one,
			wantInUTC: "11-01 05:22 to 08:04"}, // three hours long: 05:30 to 08:30
		{name: "clocks go back and three hours hold a large repair", date: autumn, access: "24/7", a: "01:30-03:30",
			table: Timetable{Feeds: []FeedTime{{"a", 180, 0}}}, wantInUTC: "11-01 05:30 to 05:30"},

		{name: "an agreed time takes the place of the window", access: "24/7", a: "07:00-09:00", table: one,
			agreed: []events.AgreedTime{{From: utc("2026-05-12 18:00"), To: utc("2026-05-12 19:00")}}, wantInUTC: "05-12 17:52 to 18:34"},
		{name: "an agreed time counts as access", access: "06:00-12:00", a: "07:00-09:00", table: look, feeds: []events.FeedID{"a"},
			agreed: []events.AgreedTime{{From: utc("2026-05-12 20:00"), To: utc("2026-05-12 21:00")}}, wantInUTC: "05-12 10:00 to 15:35, 05-12 20:00 to 20:35"},
		{name: "agreed access must hold the paper too", access: "06:00-12:00", a: "07:00-09:00", table: one,
			agreed: []events.AgreedTime{{From: utc("2026-05-12 20:00"), To: utc("2026-05-12 20:33")}}, wantInUTC: "05-12 20:00 to 20:00"},
		{name: "agreed for another feed changes nothing", access: "06:00-12:00", a: "07:00-09:00", table: one, feeds: []events.FeedID{"a"},
			agreed: []events.AgreedTime{{Feed: "b", From: utc("2026-05-12 20:00"), To: utc("2026-05-12 21:00")}}, wantInUTC: "05-12 10:52 to 12:34"},
		{name: "agreed for one of two feeds", access: "06:00-12:00", a: "07:00-09:00", b: "07:00-09:00", table: two,
			// b by agreement from 09:00 to 10:00, so begun from 08:00; a back by 09:00, so begun by 08:20.
			agreed: []events.AgreedTime{{Feed: "b", From: utc("2026-05-12 13:00"), To: utc("2026-05-12 14:00")}}, wantInUTC: "05-12 12:00 to 12:20"},
		{name: "agreed times that overlap are one", access: "24/7", a: "07:00-09:00", table: one,
			agreed:    []events.AgreedTime{{From: utc("2026-05-12 18:00"), To: utc("2026-05-12 18:15")}, {Feed: "a", From: utc("2026-05-12 18:10"), To: utc("2026-05-12 18:20")}},
			wantInUTC: "05-12 17:52 to 17:54"},
		{name: "agreed for another day changes nothing", access: "24/7", a: "07:00-09:00", table: one,
			agreed: []events.AgreedTime{{From: utc("2026-05-13 18:00"), To: utc("2026-05-13 19:00")}}, wantInUTC: "05-12 10:52 to 12:34"},
		{name: "agreed takes the place of the night that begins that day, also after midnight", access: "24/7", a: "Tu 22:00-02:00", table: one,
			agreed: []events.AgreedTime{{From: utc("2026-05-12 18:00"), To: utc("2026-05-12 19:00")}}, wantInUTC: "05-12 17:52 to 18:34"},
		{name: "agreed over the hour that is there twice", date: autumn, access: "24/7", a: "12:00-13:00", table: one,
			agreed: []events.AgreedTime{{From: utc("2026-11-01 05:30"), To: utc("2026-11-01 06:30")}}, wantInUTC: "11-01 05:22 to 06:04"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.date.IsZero() {
				c.date = tuesday
			}
			if c.zone == "" {
				c.zone = newYork
			}
			if c.b == "" {
				c.b = "24/7"
			}
			if c.feeds == nil {
				c.feeds = []events.FeedID{"a", "b"}
			}
			site := &events.Site{ID: "s", SiteFacts: events.SiteFacts{Zone: c.zone, AccessHours: c.access}, Agreed: c.agreed}
			feeds := []*events.Feed{{ID: "a", FeedFacts: events.FeedFacts{Site: "s", ShutdownWindow: c.a}},
				{ID: "b", FeedFacts: events.FeedFacts{Site: "s", ShutdownWindow: c.b}}}
			o, err := newClockwork(c.date).openTimes(site, feeds)
			if err != nil {
				t.Fatal(err)
			}
			if got := spansInUTC(onDay(o.starts(c.table, c.feeds), c.date, c.zone)); got != c.wantInUTC {
				t.Errorf("may begin %q, want %q", got, c.wantInUTC)
			}
		})
	}
}

// Whatever the start, the visit laid out from it lies inside the hours, and a second earlier or later does not.
func TestStartsAreExact(t *testing.T) {
	table := Timetable{Before: 8, Feeds: []FeedTime{{"a", 18, 5}, {"b", 25, 0}}, After: 7}
	for _, date := range []events.Date{tuesday, spring, autumn} {
		site := &events.Site{ID: "s", SiteFacts: events.SiteFacts{Zone: newYork, AccessHours: "00:15-20:00"}}
		feeds := []*events.Feed{{ID: "a", FeedFacts: events.FeedFacts{ShutdownWindow: "01:30-03:30"}}, {ID: "b", FeedFacts: events.FeedFacts{ShutdownWindow: "01:00-03:00,03:10-04:00"}}}
		o, err := newClockwork(date).openTimes(site, feeds)
		if err != nil {
			t.Fatal(err)
		}
		lies := func(spans []hours.Span, from, to time.Time) bool {
			return slices.ContainsFunc(spans, func(s hours.Span) bool { return !from.Before(s.Open) && !to.After(s.Close) })
		}
		keeps := func(start time.Time) bool {
			ok := lies(o.access, start, start.Add(minutes(table.Minutes())))
			for _, off := range table.WaterOff(start) {
				ok = ok && lies(o.shutdown[off.Feed], off.From, off.To)
			}
			return ok
		}
		starts := o.starts(table, []events.FeedID{"a", "b"})
		loc, _ := time.LoadLocation(newYork)
		for at := date.In(loc); at.Before(date.AddDays(1).In(loc)); at = at.Add(time.Minute) {
			for _, near := range []time.Time{at.Add(-time.Second), at, at.Add(time.Second)} {
				if got := lies(starts, near, near); got != keeps(near) {
					t.Fatalf("%s, a start at %s: %v, but it is %v that it keeps the hours", date, near, got, keeps(near))
				}
			}
		}
	}
}

func TestOpenTimesThatCannotBeRead(t *testing.T) {
	for _, c := range []struct{ name, zone, access, window, want string }{
		{"no such zone", "America/Atlantis", "24/7", "24/7", `time zone "America/Atlantis" is not known`},
		{"no zone", "", "24/7", "24/7", `time zone "" is not known`},
		{"the machine's zone", "Local", "24/7", "24/7", `time zone "Local" is not known`},
		{"access", newYork, "whenever", "24/7", "access hours of The Mill"},
		{"window", newYork, "24/7", "Mo 25:00", "shutdown window of The Mill, domestic"},
		{"no window", newYork, "24/7", "", "shutdown window of The Mill, domestic"},
	} {
		t.Run(c.name, func(t *testing.T) {
			site := &events.Site{SiteFacts: events.SiteFacts{Name: "The Mill", Zone: c.zone, AccessHours: c.access}}
			_, err := newClockwork(tuesday).openTimes(site, []*events.Feed{{ID: "a", FeedFacts: events.FeedFacts{Name: "domestic", ShutdownWindow: c.window}}})
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q in it", err, c.want)
			}
		})
	}
}

func TestWorkingSpan(t *testing.T) {
	sunday := events.NewDate(2026, time.May, 10)
	for _, c := range []struct {
		name, hours, zone string
		date              events.Date
		wantInUTC         string // empty: does not work
	}{
		{"a day", "Mo-Fr 07:00-16:00", newYork, tuesday, "2026-05-12 11:00 2026-05-12 20:00"},
		{"not on Sundays", "Mo-Fr 07:00-16:00", newYork, sunday, ""},
		{"two shifts are one day", "Mo-Fr 06:00-10:00,14:00-18:00", newYork, tuesday, "2026-05-12 10:00 2026-05-12 22:00"},
		{"a night belongs to the day on which it begins", "Mo-Fr 22:00-06:00", newYork, tuesday, "2026-05-13 02:00 2026-05-13 10:00"},
		{"the night after a Friday", "Mo-Fr 22:00-06:00", newYork, events.NewDate(2026, time.May, 15), "2026-05-16 02:00 2026-05-16 10:00"},
		{"Saturday has only the end of Friday's night", "Mo-Fr 22:00-06:00", newYork, events.NewDate(2026, time.May, 16), ""},
		{"always is the day", "24/7", newYork, tuesday, "2026-05-12 04:00 2026-05-13 04:00"},
		{"always, a day of 23 hours", "24/7", newYork, spring, "2026-03-08 05:00 2026-03-09 04:00"},
		{"always, a day of 25 hours", "24/7", newYork, autumn, "2026-11-01 04:00 2026-11-02 05:00"},
		{"a night in which clocks go forward is an hour shorter", "Mo-Su 22:00-06:00", newYork, spring.AddDays(-1), "2026-03-08 03:00 2026-03-08 10:00"},
		{"a night in which clocks go back is an hour longer", "Mo-Su 22:00-06:00", newYork, autumn.AddDays(-1), "2026-11-01 02:00 2026-11-01 11:00"},
		{"in winter only", "Nov-Mar Mo-Fr 07:00-16:00", newYork, tuesday, ""},
		{"another zone", "Mo-Fr 07:00-16:00", "Australia/Sydney", tuesday, "2026-05-11 21:00 2026-05-12 06:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			span, ok, err := WorkingSpan(&events.Crew{CrewFacts: events.CrewFacts{Zone: c.zone, Hours: c.hours}}, c.date)
			if err != nil {
				t.Fatal(err)
			}
			got := ""
			if ok {
				got = fmt.Sprint(span.Open.UTC().Format("2006-01-02 15:04"), " ", span.Close.UTC().Format("2006-01-02 15:04"))
			}
			if got != c.wantInUTC {
				t.Errorf("works %q, want %q", got, c.wantInUTC)
			}
		})
	}
}

func TestWorkingSpanThatCannotBeRead(t *testing.T) {
	for _, facts := range []events.CrewFacts{{Zone: "Nowhere", Hours: "24/7"}, {Zone: newYork, Hours: "nine to five"}} {
		if _, _, err := WorkingSpan(&events.Crew{CrewFacts: facts}, tuesday); err == nil {
			t.Errorf("no error for %+v", facts)
		}
	}
}

// CollectedStop is a stop as the tests of the package's users see it.
type CollectedStop struct {
	Key       string
	Jobs      []Job
	Group     int
	Needs     []string
	Crew      events.CrewID
	Hold      bool
	StartsUTC string
	DaysLeft  int
	Timetable Timetable
}

// CollectStops shows what is collected for a request.
func CollectStops(r Request) ([]CollectedStop, []LeftOut, error) {
	c, err := collect(r.Book, r.Office, r.Date, r.Now, r.Settings, r.Amending)
	var stops []CollectedStop
	for _, p := range c.stops {
		stops = append(stops, CollectedStop{p.key, p.jobs, p.group, p.needs, p.crew, p.hold, spansInUTC(p.starts), p.left, p.table})
	}
	return stops, c.leftOut, err
}
