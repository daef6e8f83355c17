package hours

import (
	"strings"
	"testing"
	"time"
)

// stamp is enough of an instant to read: date, clock and offset.
const stamp = "01-02 15:04 -0700"

func spansText(spans []Span) string {
	texts := make([]string, len(spans))
	for i, s := range spans {
		texts[i] = s.Open.Format(stamp) + " to " + s.Close.Format(stamp)
	}
	return strings.Join(texts, "\n")
}

func midnight(t *testing.T, loc *time.Location, date string) time.Time {
	t.Helper()
	at, err := time.ParseInLocation(time.DateOnly, date, loc)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func TestRulesOfADay(t *testing.T) {
	// 2026-12-24 is a Thursday.
	for _, c := range []struct {
		name, text, from, to string
		want                 []string
	}{
		{"two windows", "Mo-Fr 05:00-09:00,13:00-15:00", "2026-12-25", "2026-12-27", []string{"12-25 05:00 to 12-25 09:00", "12-25 13:00 to 12-25 15:00"}},
		{"from the day before", "22:00-02:00", "2026-12-24", "2026-12-25", []string{"12-24 00:00 to 12-24 02:00", "12-24 22:00 to 12-25 00:00"}},
		{"weekdays over the week's end", "Su-Mo 10:00-11:00", "2026-12-25", "2026-12-30", []string{"12-27 10:00 to 12-27 11:00", "12-28 10:00 to 12-28 11:00"}},
		{"months over the year's end", "Dec-Jan 10:00-11:00", "2026-11-30", "2026-12-02", []string{"12-01 10:00 to 12-01 11:00"}},
		{"days over the year's end", "Dec 31-Jan 01 10:00-11:00", "2026-12-30", "2027-01-03", []string{"12-31 10:00 to 12-31 11:00", "01-01 10:00 to 01-01 11:00"}},
		{"only that year", "2025 Dec 24 10:00-11:00", "2026-12-20", "2026-12-30", nil},
		{"leap day", "Feb 29 10:00-11:00", "2028-02-28", "2028-03-02", []string{"02-29 10:00 to 02-29 11:00"}},
		{"up to a leap day, in another year", "Feb 28-29 10:00-11:00", "2026-02-27", "2026-03-03", []string{"02-28 10:00 to 02-28 11:00"}},
		{"touching days are one span", "Th-Fr 00:00-24:00", "2026-12-23", "2026-12-28", []string{"12-24 00:00 to 12-26 00:00"}},
		{"longer than a day", "Th 08:00-34:00", "2026-12-23", "2026-12-28", []string{"12-24 08:00 to 12-25 10:00"}},
		{"off takes the night that reaches in, not the one that goes out", "Mo-Sa 22:00-02:00; Dec 24 off", "2026-12-23", "2026-12-26",
			[]string{"12-23 00:00 to 12-23 02:00", "12-23 22:00 to 12-24 00:00", "12-25 00:00 to 12-25 02:00", "12-25 22:00 to 12-26 00:00"}},
		{"a closed window cuts", "08:00-17:00; Th 12:00-13:00 off", "2026-12-24", "2026-12-25", []string{"12-24 08:00 to 12-24 12:00", "12-24 13:00 to 12-24 17:00"}},
		{"a later rule adds again", "Mo-Fr off; Th 10:00-11:00", "2026-12-23", "2026-12-26", []string{"12-24 10:00 to 12-24 11:00"}},
		// OpenStreetMap wiki, Proposed features/Time domains: on Wednesday the right-most rule whose day part matches wins.
		{"the right-most rule wins", "Mo-Fr 08:00-16:00; We 08:00-20:00", "2026-12-22", "2026-12-24", []string{"12-22 08:00 to 12-22 16:00", "12-23 08:00 to 12-23 20:00"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := parse(t, c.text).Spans(time.UTC, midnight(t, time.UTC, c.from), midnight(t, time.UTC, c.to))
			if text := strings.ReplaceAll(spansText(got), " +0000", ""); text != strings.Join(c.want, "\n") {
				t.Errorf("%q is open\n%s\nwant\n%s", c.text, text, strings.Join(c.want, "\n"))
			}
		})
	}
}

func TestDaylightSaving(t *testing.T) {
	for _, c := range []struct {
		name, zone, text, day string
		want                  []string
	}{
		{"spring, window over the gap", "America/New_York", "01:30-03:30", "2026-03-08", []string{"03-08 01:30 -0500 to 03-08 03:30 -0400"}},
		{"spring, opens in the gap", "America/New_York", "02:30-05:00", "2026-03-08", []string{"03-08 03:30 -0400 to 03-08 05:00 -0400"}},
		{"spring, closes in the gap", "America/New_York", "00:00-02:30", "2026-03-08", []string{"03-08 00:00 -0500 to 03-08 03:30 -0400"}},
		{"spring, wholly in the gap", "America/New_York", "02:10-02:50", "2026-03-08", nil},
		{"spring, opens in the gap and closes within its shift", "America/New_York", "02:30-03:15", "2026-03-08", nil},
		{"spring, two windows that meet by the shift", "America/New_York", "01:00-02:30,03:15-04:00", "2026-03-08", []string{"03-08 01:00 -0500 to 03-08 04:00 -0400"}},
		{"fall, window over the hour that comes twice", "America/New_York", "01:30-03:30", "2026-11-01", []string{"11-01 01:30 -0400 to 11-01 03:30 -0500"}},
		{"fall, wholly in that hour", "America/New_York", "01:10-01:50", "2026-11-01", []string{"11-01 01:10 -0400 to 11-01 01:50 -0400"}},
		{"fall, closes in that hour", "America/New_York", "00:00-01:30", "2026-11-01", []string{"11-01 00:00 -0400 to 11-01 01:30 -0400"}},
		{"fall, that whole hour", "America/New_York", "01:00-02:00", "2026-11-01", []string{"11-01 01:00 -0400 to 11-01 02:00 -0500"}},
		{"spring", "Europe/Berlin", "01:30-03:30", "2026-03-29", []string{"03-29 01:30 +0100 to 03-29 03:30 +0200"}},
		{"fall", "Europe/Berlin", "01:30-03:30", "2026-10-25", []string{"10-25 01:30 +0200 to 10-25 03:30 +0100"}},
		{"fall, closes in the hour that comes twice", "Europe/Berlin", "01:30-02:30", "2026-10-25", []string{"10-25 01:30 +0200 to 10-25 02:30 +0200"}},
		{"no midnight that day", "America/Sao_Paulo", "00:00-00:30,23:00-24:00", "2018-11-04", []string{"11-04 23:00 -0200 to 11-05 00:30 -0200"}},
		{"a day that never was", "Pacific/Apia", "08:00-16:00", "2011-12-30", nil},
		{"half an hour's change", "Australia/Lord_Howe", "02:10-03:00", "2026-10-04", []string{"10-04 02:40 +1100 to 10-04 03:00 +1100"}},
		// RFC 5545 section 3.3.5: 2007-11-04T01:30 in New York is EDT (UTC-04:00), the first of two; 2007-03-11T02:30 is
		// 03:30 EDT (UTC-04:00).
		{"first occurrence, as published", "America/New_York", "01:30-12:00", "2007-11-04", []string{"11-04 01:30 -0400 to 11-04 12:00 -0500"}},
		{"skipped, as published", "America/New_York", "02:30-12:00", "2007-03-11", []string{"03-11 03:30 -0400 to 03-11 12:00 -0400"}},
	} {
		t.Run(c.zone+" "+c.name, func(t *testing.T) {
			loc := location(t, c.zone)
			from := midnight(t, loc, c.day)
			var got []Span // those that open on the day
			for _, span := range parse(t, c.text).Spans(loc, from.AddDate(0, 0, -2), from.AddDate(0, 0, 3)) {
				if span.Open.Format(time.DateOnly) == c.day {
					got = append(got, span)
				}
			}
			if text := spansText(got); text != strings.Join(c.want, "\n") {
				t.Errorf("%q is open\n%s\nwant\n%s", c.text, text, strings.Join(c.want, "\n"))
			}
		})
	}
}

func TestAlwaysIsOneSpan(t *testing.T) {
	for _, zone := range []string{"America/New_York", "Europe/Berlin", "America/Sao_Paulo", "Pacific/Apia", "Africa/Cairo", "America/Havana"} {
		loc := location(t, zone)
		from, to := time.Date(2011, 1, 1, 3, 4, 5, 6, loc), time.Date(2026, 7, 1, 0, 0, 0, 0, loc)
		spans := Always().Spans(loc, from, to)
		if len(spans) != 1 || !spans[0].Open.Equal(from) || !spans[0].Close.Equal(to) {
			t.Errorf("%s: 24/7 is open at %v, want one span from %v to %v", zone, spans, from, to)
		}
	}
}

func TestCovers(t *testing.T) {
	at := func(h, m int) time.Time { return time.Date(2026, 12, 24, h, m, 0, 0, time.UTC) }
	h := parse(t, "08:00-12:00,13:00-15:00")
	for _, c := range []struct {
		name     string
		from, to time.Time
		want     bool
	}{
		{"whole window", at(8, 0), at(12, 0), true},
		{"inside", at(9, 0), at(9, 1), true},
		{"too early", at(7, 59), at(9, 0), false},
		{"too late", at(9, 0), at(12, 1), false},
		{"over the break", at(9, 0), at(14, 0), false},
		{"opening instant", at(8, 0), at(8, 0), true},
		{"closing instant", at(12, 0), at(12, 0), false},
		{"backwards", at(10, 0), at(9, 0), false},
	} {
		if got := h.Covers(time.UTC, c.from, c.to); got != c.want {
			t.Errorf("%s: Covers(%v, %v) = %v, want %v", c.name, c.from, c.to, got, c.want)
		}
	}
}

// BenchmarkSpansTenDays is what the planner asks of every site: ten days of ordinary hours.
func BenchmarkSpansTenDays(b *testing.B) {
	loc := location(b, "America/New_York")
	h := parse(b, "Mo-Fr 05:00-09:00,13:00-15:00; Sa 22:00-02:00; Apr-Oct We 06:00-10:00; Dec 24-26 off")
	from := time.Date(2026, 12, 18, 0, 0, 0, 0, loc)
	to := from.AddDate(0, 0, 10)
	spans := 0
	for b.Loop() {
		spans += len(h.Spans(loc, from, to))
	}
	if spans == 0 {
		b.Error("nothing is open")
	}
}
