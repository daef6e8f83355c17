package events

import (
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Tests that are owed for want of use, by published codes; the dates follow from the rules.
func TestOwedBeforeUse(t *testing.T) {
	loc := zone(t, "America/Chicago")
	harker := DisuseRule{Months: 12, Source: "Harker Heights TX code"}
	ankeny := DisuseRule{Months: 3, Source: "Ankeny IA code"}
	clive := DisuseRule{Months: 3, Source: "Clive IA code"}
	for _, row := range []struct {
		name               string
		rule               DisuseRule
		why                DisuseKind
		since, back, tests string // back: "" is not known; tests: the last that passed
		want               string // the last day for the test; "-": none is owed, "?": the day is not known
		counts             string
	}{
		{"Harker Heights TX code: vacant a year", harker, Vacant, "2025-03-01", "2026-03-02", "", "2026-03-01", "2025-03-03"},
		{"the same: a year to the day is long enough, the stricter", harker, Vacant, "2025-03-01", "2026-03-01", "", "2026-02-28", "2025-03-02"},
		{"the same: a day short of a year", harker, Vacant, "2025-03-01", "2026-02-28", "", "-", ""},
		{"the same: nobody knows when it is used again", harker, Vacant, "2025-03-01", "", "", "?", "2026-03-01"},
		{"Ankeny IA code: off from 1 December to 15 April", ankeny, OutOfUse, "2025-12-01", "2026-04-15", "", "2026-04-14", "2026-01-16"},
		{"Clive IA code: the same", clive, OutOfUse, "2025-12-01", "2026-04-15", "", "2026-04-14", "2026-01-16"},
		{"Clive IA code: off from 1 December to 28 February", clive, OutOfUse, "2025-12-01", "2026-02-28", "", "-", ""},
		{"tested while it was out of use, and used within three months", ankeny, OutOfUse, "2025-12-01", "2026-04-15", "2026-02-20", "-", ""},
		{"tested while it was out of use, and used after more than three months", ankeny, OutOfUse, "2025-12-01", "2026-04-15", "2026-01-10", "2026-04-14", "2026-01-16"},
		{"a test before it went out of use", ankeny, OutOfUse, "2025-12-01", "2026-04-15", "2025-11-20", "2026-04-14", "2026-01-16"},
		{"since 30 November: to the end of February", ankeny, OutOfUse, "2025-11-30", "2026-02-28", "", "2026-02-27", "2025-12-01"},
		{"since 30 November, in a leap year", ankeny, OutOfUse, "2027-11-30", "2028-02-28", "", "-", ""},
		{"since 29 February: a year later is 28 February", harker, Vacant, "2028-02-29", "2029-02-28", "", "2029-02-27", "2028-03-01"},
		{"no such rule", DisuseRule{None: true}, Vacant, "2015-12-01", "2026-04-15", "", "-", ""},
		{"a rule that is not known: the strictest", DisuseRule{}, Vacant, "2025-12-01", "2026-04-15", "", "2026-04-14", "2026-01-16"},
		{"in use", ankeny, OutOfUse, "", "", "", "-", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			day := func(text string) Date {
				if text == "" {
					return Date{}
				}
				return date(t, text)
			}
			got, owed := row.rule.Owed(row.why, Disuse{Since: day(row.since), Back: day(row.back)}, day(row.tests), loc)
			if owed != (row.want != "-") {
				t.Fatalf("owed %v: %+v", owed, got)
			}
			if !owed {
				return
			}
			if got.CountsFrom != day(row.counts) {
				t.Errorf("a test counts from %s on, want %s", got.CountsFrom, row.counts)
			}
			if row.want == "?" {
				if got.By.Known || !strings.HasPrefix(got.By.Rule, "not known: ask when it is used again") {
					t.Errorf("%+v", got.By)
				}
				return
			}
			if !got.By.Known || got.By.On != day(row.want) || !got.By.At.Equal(day(row.back).In(loc)) || !strings.HasPrefix(got.By.Rule, "before use on "+row.back) {
				t.Errorf("%+v, want by %s", got.By, row.want)
			}
			if !strings.Contains(got.By.Rule, row.rule.Source) || !row.rule.Known() != strings.Contains(got.By.Rule, "ask") {
				t.Errorf("the words are %q", got.By.Rule)
			}
		})
	}
}

// Whatever the rule, the days and the zone: a test is owed when and only when the rule's months lie between the last use, or
// the last test since, and the next use; a test counts when and only when fewer lie between it and the use; and the deadline
// ends with the day before the use, also where clocks change that night or February has 29 days.
func TestOwedBeforeUseProperties(t *testing.T) {
	var zones []*time.Location
	for _, name := range []string{"UTC", "America/New_York", "America/Sao_Paulo", "Australia/Lord_Howe", "Asia/Beirut"} { // some change at midnight
		zones = append(zones, zone(t, name))
	}
	rapid.Check(t, func(t *rapid.T) {
		loc := rapid.SampledFrom(zones).Draw(t, "zone")
		since := NewDate(2015, time.January, 1).AddDays(rapid.IntRange(0, 5000).Draw(t, "since"))
		if rapid.Bool().Draw(t, "end of February") {
			year, _, _ := since.YMD()
			since = NewDate(year, time.March, 1).AddDays(-rapid.IntRange(1, 2).Draw(t, "days before March"))
		}
		back := since.AddDays(rapid.IntRange(1, 900).Draw(t, "days out of use"))
		months := rapid.IntRange(1, 24).Draw(t, "months")
		passed := Date{}
		if rapid.Bool().Draw(t, "tested") {
			passed = since.AddDays(rapid.IntRange(-400, back.Sub(since)-1).Draw(t, "tested on"))
		}
		idle := since
		if idle.Before(passed) {
			idle = passed
		}
		got, owed := DisuseRule{Months: months}.Owed(OutOfUse, Disuse{Since: since, Back: back}, passed, loc)
		if want := !back.Before(idle.AddMonths(months)); owed != want {
			t.Fatalf("owed %v, want %v", owed, want)
		}
		if !owed {
			return
		}
		if got.By.On != back.AddDays(-1) || DateIn(got.By.At, loc) != back || DateIn(got.By.At.Add(-time.Nanosecond), loc) != got.By.On {
			t.Fatalf("by %+v, used again on %s in %s", got.By, back, loc)
		}
		test := since.AddDays(rapid.IntRange(0, back.Sub(since)-1).Draw(t, "a test"))
		if counts, fresh := !test.Before(got.CountsFrom), back.Before(test.AddMonths(months)); counts != fresh {
			t.Fatalf("a test on %s, used again on %s, counts from %s", test, back, got.CountsFrom)
		}
		if _, again := (DisuseRule{Months: months}).Owed(OutOfUse, Disuse{Since: since, Back: back}, got.CountsFrom, loc); again {
			t.Fatalf("a test on %s, the first day on which it counts, does not settle it", got.CountsFrom)
		}
		open, owed := DisuseRule{Months: months}.Owed(OutOfUse, Disuse{Since: since}, passed, loc)
		if !owed || open.By.Known || open.CountsFrom != idle.AddMonths(months) {
			t.Fatalf("while the use is not known: %+v", open)
		}
	})
}
