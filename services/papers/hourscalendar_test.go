package papers

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/teambition/rrule-go"

	"valveround/events"
	"valveround/planner/hours"
)

// happening is a VEVENT of a calendar of hours with what it happens at, expanded by a general library of recurrence rules.
type happening struct {
	entry
	spans []hours.Span
}

// readHours reads a calendar of hours by the rules of RFC 5545: what readCalendar says of lines, and of times section 3.3.5,
// forms 2 and 3 (UTC, or the clock of a zone), 3.8.2.4 (the start is in the rule), 3.8.5.1 (exceptions in the form of the
// start) and 3.6.5 (every zone that is named is described, with an observance that was in force before the first start).
func readHours(text string) ([]happening, error) {
	lines, err := unfolded(text)
	if err != nil {
		return nil, err
	}
	var list []happening
	described := map[string]string{} // the first observance by zone
	var now entry
	zone, seen := "", map[string]bool{}
	for _, line := range lines {
		name, value, _ := strings.Cut(line, ":")
		switch {
		case line == "BEGIN:VTIMEZONE":
			zone = "?"
		case line == "END:VTIMEZONE":
			zone = ""
		case zone != "":
			if name == "TZID" {
				zone = value
			}
			if name == "DTSTART" && (described[zone] == "" || value < described[zone]) {
				described[zone] = value
			}
		case line == "BEGIN:VEVENT":
			now = entry{}
		case line == "END:VEVENT":
			if now["UID"] == "" || seen[now["UID"]] || now["DTSTAMP"] == "" {
				return nil, fmt.Errorf("the UID %q is empty or stands twice, or the entry has no DTSTAMP", now["UID"])
			}
			seen[now["UID"]] = true
			h, err := happens(now, described)
			if err != nil {
				return nil, fmt.Errorf("%v: %w", now, err)
			}
			list = append(list, h)
			now = nil
		case now != nil:
			if _, twice := now[name]; twice {
				return nil, fmt.Errorf("%s stands twice", name)
			}
			now[name] = value
		}
	}
	return list, nil
}

func happens(e entry, described map[string]string) (happening, error) {
	h := happening{entry: e}
	times := map[string]time.Time{}
	var start, not string
	for name, value := range e {
		property, zone, zoned := strings.Cut(name, ";TZID=")
		switch property {
		case "EXDATE":
			not = name + ":" + value
			continue
		case "DTSTART", "DTEND":
		default:
			continue
		}
		layout, loc := "20060102T150405Z", time.UTC
		if zoned {
			if described[zone] == "" || described[zone] >= value {
				return h, fmt.Errorf("the zone %q is described from %q", zone, described[zone])
			}
			var err error
			if loc, err = time.LoadLocation(zone); err != nil {
				return h, err
			}
			layout = "20060102T150405"
		}
		at, err := time.ParseInLocation(layout, value, loc)
		if err != nil {
			return h, err
		}
		times[property] = at
		if property == "DTSTART" {
			start = name + ":" + value
		}
	}
	length := times["DTEND"].Sub(times["DTSTART"])
	if length <= 0 {
		return h, fmt.Errorf("it lasts %v", length)
	}
	if e["RRULE"] == "" {
		h.spans = []hours.Span{{Open: times["DTSTART"], Close: times["DTEND"]}}
		return h, nil
	}
	rules := []string{start, "RRULE:" + e["RRULE"]}
	if not != "" {
		rules = append(rules, not)
	}
	set, err := rrule.StrSliceToRRuleSet(rules)
	if err != nil {
		return h, err
	}
	for _, open := range set.All() {
		h.spans = append(h.spans, hours.Span{Open: open, Close: open.Add(length)})
	}
	if len(h.spans) == 0 || !h.spans[0].Open.Equal(times["DTSTART"]) {
		return h, fmt.Errorf("the start is not in the rule")
	}
	return h, nil
}

// setHours gives the cafe access hours and its feed a shutdown window.
func (w *world) setHours(access, window string) {
	w.t.Helper()
	site, feed := w.book.Sites["cafe"].SiteFacts, w.book.Feeds["f-cafe"].FeedFacts
	site.Region, site.AccessHours, feed.ShutdownWindow = "US", access, window
	w.do(at("2026-05-12 12:00"), "desk", events.Put[events.SiteFacts]{ID: "cafe", Facts: site})
	w.do(at("2026-05-12 12:01"), "desk", events.Put[events.FeedFacts]{ID: "f-cafe", Facts: feed})
}

func TestHoursCalendarOpensWhenTheHoursDo(t *testing.T) {
	for _, c := range []struct{ name, access, window string }{
		{"weekdays but for public holidays", "Mo-Fr 06:00-18:00; PH off", "Mo-Fr 05:00-09:00,13:00-15:00; PH off; Dec 24-26 off"},
		{"every night, through both changes of the clock", "24/7", "01:30-03:30, 22:00-00:30"},
		{"odd weeks, a season and days of the month by number", "week 01-53/2 Mo 08:00-12:00", "Apr-Oct We[2] 08:00-12:00, Fr[-1] 13:00-16:00"},
		{"never", "off", "2020 Mo 08:00-09:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := smallFirm(t)
			w.setHours(c.access, c.window)
			list, err := SiteHours(w.book, w.calendar(), "cafe")
			if err != nil {
				t.Fatal(err)
			}
			all, err := readHours(HoursCalendar(list, "Café", w.calendar()))
			if err != nil {
				t.Fatal(err)
			}
			loc, from := list[0].Zone, printedAt
			for category, text := range map[string]string{"Access hours": c.access, "Shutdown window": c.window} {
				var got []hours.Span
				for _, h := range all {
					if h.entry["CATEGORIES"] == category {
						got = append(got, h.spans...)
					}
				}
				h, err := hours.ParseIn(text, "US")
				if err != nil {
					t.Fatal(err)
				}
				to := from.AddDate(2, 0, -2)
				got = hours.Intersect(hours.Union(got, nil), []hours.Span{{Open: from, Close: to}})
				want := h.Spans(loc, from, to)
				if !slices.EqualFunc(got, want, func(a, b hours.Span) bool { return a.Open.Equal(b.Open) && a.Close.Equal(b.Close) }) {
					t.Errorf("%s %q: %d spans, want %d; %v", category, text, len(got), len(want), hours.Subtract(hours.Union(got, want), hours.Intersect(got, want)))
				}
			}
		})
	}
}

func TestHoursCalendarSaysNoSecrets(t *testing.T) {
	w := smallFirm(t)
	w.setHours(`Mo-Fr 06:00-18:00 open "gate 7731; ring 555-0142, back door"`, `Sa 05:00-09:00 open "kitchen, cold line"`)
	list, err := SiteHours(w.book, w.calendar(), "cafe")
	if err != nil {
		t.Fatal(err)
	}
	all, err := readHours(HoursCalendar(list, "Café", w.calendar()))
	if err != nil || len(all) != 2 {
		t.Fatalf("%d entries, %v", len(all), err)
	}
	for i, want := range []string{"gate (on screen only); ring (on screen only), back door\nHours as entered", "kitchen, cold line\nHours as entered: Sa 05:00-09:00"} {
		if text, err := unescaped(all[i].entry["DESCRIPTION"]); err != nil || !strings.HasPrefix(text, want) || strings.Contains(text, "7731") || strings.Contains(text, "0142") {
			t.Errorf("it says %q, %v; want %q first", text, err, want)
		}
	}
}

func TestHoursCalendarKeepsItsNames(t *testing.T) {
	w := smallFirm(t)
	names := func(now time.Time) (list []string) {
		cfg := w.calendar()
		cfg.Now = now
		windows, err := FeedHours(w.book, cfg, "f-store")
		if err != nil {
			t.Fatal(err)
		}
		all, err := readHours(HoursCalendar([]OpenHours{windows}, "Store", cfg))
		if err != nil {
			t.Fatal(err)
		}
		for _, h := range all {
			if text, _ := unescaped(h.entry["DESCRIPTION"]); !strings.Contains(text, "impairment coordinator") || h.entry["TRANSP"] != "TRANSPARENT" {
				t.Errorf("a fire line's window says %q, %s", text, h.entry["TRANSP"])
			}
			list = append(list, h.entry["UID"])
		}
		return list
	}
	if today, later := names(printedAt), names(printedAt.AddDate(0, 0, 9)); len(today) != 1 || !slices.Equal(today, later) {
		t.Errorf("the entries are called %v today and %v nine days later", today, later)
	}
}

func TestHoursCalendarRefuses(t *testing.T) {
	w := smallFirm(t)
	w.book.Feeds["f-garden"].ShutdownWindow = "mornings"
	for name, do := range map[string]func() error{
		"no such site":  func() error { _, err := SiteHours(w.book, w.calendar(), "nowhere"); return err },
		"no such feed":  func() error { _, err := FeedHours(w.book, w.calendar(), "nowhere"); return err },
		"unread window": func() error { _, err := SiteHours(w.book, w.calendar(), "garden"); return err },
	} {
		if err := do(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestZoneIsDescribedAsPublished: section 3.6.5 of RFC 5545 prints the changes of America/New_York since 2007 by rule: to
// daylight time on the second Sunday of March at 2, from -0500 to -0400, and back on the first Sunday of November at 2.
func TestZoneIsDescribedAsPublished(t *testing.T) {
	loc, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	text := HoursCalendar([]OpenHours{{Zone: loc, From: at("2027-01-01 08:00"), To: at("2028-01-01 08:00")}}, "x", CalendarConfig{Now: printedAt})
	daylight := "BEGIN:DAYLIGHT\r\nDTSTART:20270314T020000\r\nTZOFFSETFROM:-0500\r\nTZOFFSETTO:-0400\r\nTZNAME:EDT\r\nEND:DAYLIGHT\r\n"
	standard := "BEGIN:STANDARD\r\nDTSTART:20271107T020000\r\nTZOFFSETFROM:-0400\r\nTZOFFSETTO:-0500\r\nTZNAME:EST\r\nEND:STANDARD\r\n"
	if !strings.Contains(text, daylight+standard) || !strings.Contains(text, "BEGIN:VTIMEZONE\r\nTZID:America/New_York\r\n") {
		t.Errorf("%s", text)
	}
	if got := utcOffset(-(5*3600 + 45*60 + 30)); got != "-054530" {
		t.Errorf("an offset with seconds is written %s", got)
	}
}
