package events

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func date(t testing.TB, text string) Date {
	t.Helper()
	d, err := ParseDate(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func instant(t testing.TB, text string, loc *time.Location) time.Time {
	t.Helper()
	at, err := time.ParseInLocation("2006-01-02 15:04", text, loc)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// Repair clocks of published codes, failing on Monday 2 March 2026 at 10:30; the dates follow from the rules. The
// codes read say nothing of deadlines on a Sunday, so each row gives the three ways.
func TestRepairDeadlines(t *testing.T) {
	loc := zone(t, "America/New_York")
	fail := instant(t, "2026-03-02 10:30", loc)
	for _, row := range []struct {
		source string
		rule   DeadlineRule
		want   string // with no rolling
		before string // "": the same
		after  string
	}{
		{"Franklin KY code, high", DeadlineRule{Count: 10, Unit: CalendarDays}, "2026-03-12", "", ""},
		{"Franklin KY code, other", DeadlineRule{Count: 20, Unit: CalendarDays}, "2026-03-22", "2026-03-20", "2026-03-23"},
		{"Carthage NC code, health", DeadlineRule{Count: 7, Unit: CalendarDays}, "2026-03-09", "", ""},
		{"Carthage NC code, non-health", DeadlineRule{Count: 21, Unit: CalendarDays}, "2026-03-23", "", ""},
		{"Lincoln County NC 50.32, health", DeadlineRule{Count: 14, Unit: CalendarDays}, "2026-03-16", "", ""},
		{"Lincoln County NC 50.32, non-health", DeadlineRule{Count: 21, Unit: CalendarDays}, "2026-03-23", "", ""},
		{"Beaufort County NC 50.06, severe", DeadlineRule{Count: 10, Unit: BusinessDays}, "2026-03-16", "", ""},
		{"Beaufort County NC 50.06, moderate", DeadlineRule{Count: 15, Unit: BusinessDays}, "2026-03-23", "", ""},
		{"310 CMR 22.22 by town rules", DeadlineRule{Count: 14, Unit: CalendarDays}, "2026-03-16", "", ""},
		{"Springfield OH code", DeadlineRule{Count: 14, Unit: CalendarDays}, "2026-03-16", "", ""},
		{"Durham NC programme page", DeadlineRule{Count: 15, Unit: CalendarDays}, "2026-03-17", "", ""},
		{"EWEB OR", DeadlineRule{Count: 10, Unit: BusinessDays}, "2026-03-16", "", ""},
		{"Bridgeport WV 2016, not high hazard", DeadlineRule{Count: 30, Unit: CalendarDays}, "2026-04-01", "", ""},
		{"El Mirage AZ 50.131, second notice", DeadlineRule{Count: 30, Unit: CalendarDays, CountsFrom: FromInspection}, "2026-04-01", "", ""},
		{"El Mirage AZ 50.131, fix by", DeadlineRule{Count: 45, Unit: CalendarDays, CountsFrom: FromInspection}, "2026-04-16", "", ""},
		{"PCWD 2.07.090, notice", DeadlineRule{Count: 30, Unit: CalendarDays, CountsFrom: FromNoticeSent}, "2026-04-01", "", ""},
		{"PCWD 2.07.090, notice and two weeks", DeadlineRule{Count: 44, Unit: CalendarDays, CountsFrom: FromNoticeReceived}, "2026-04-15", "", ""},
		{"San Mateo County CA 4.72.100, at once", DeadlineRule{Count: 0, Unit: CalendarDays}, "2026-03-02", "", ""},
	} {
		starts := Starts{FromTest: fail, FromInspection: fail, FromNoticeSent: fail, FromNoticeReceived: fail}
		for roll, want := range map[Roll]string{RollNone: row.want, RollBefore: row.before, "": row.before, RollAfter: row.after} {
			rule := row.rule
			rule.Roll, rule.Source = roll, row.source
			if want == "" {
				want = row.want
			}
			got := rule.Due(starts, Closures{}, loc)
			if !got.Known || got.On != date(t, want) || !got.At.Equal(date(t, want).AddDays(1).In(loc)) {
				t.Errorf("%s, roll %q: %s at %s, want %s", row.source, roll, got.On, got.At, want)
			}
			if !strings.Contains(got.Rule, row.source) {
				t.Errorf("%s: the words are %q", row.source, got.Rule)
			}
		}
	}
}

// Report clocks of published codes and pages, tested on Friday 6 March 2026.
func TestReportDeadlines(t *testing.T) {
	loc := zone(t, "America/Chicago")
	starts := Starts{FromTest: instant(t, "2026-03-06 16:20", loc)}
	for _, row := range []struct {
		source string
		rule   DeadlineRule
		want   string
	}{
		{"Austin TX report instructions", DeadlineRule{Count: 5, Unit: CalendarDays}, "2026-03-11"},
		{"SA technical regulator page", DeadlineRule{Count: 7, Unit: CalendarDays}, "2026-03-13"},
		{"Burnaby BC form", DeadlineRule{Count: 10, Unit: CalendarDays}, "2026-03-16"},
		{"Harker Heights TX code", DeadlineRule{Count: 10, Unit: BusinessDays}, "2026-03-20"},
		{"Carthage NC code", DeadlineRule{Count: 10, Unit: BusinessDays}, "2026-03-20"},
		{"Qld Plumbing and Drainage Regulation 2019 s. 103", DeadlineRule{Count: 10, Unit: BusinessDays}, "2026-03-20"},
		{"Stoneville NC 54.06", DeadlineRule{Count: 30, Unit: BusinessDays}, "2026-04-17"},
		{"Talent OR 13.10.120, Sunday kept", DeadlineRule{Count: 30, Unit: CalendarDays, Roll: RollNone}, "2026-04-05"},
		{"Talent OR 13.10.120, the stricter", DeadlineRule{Count: 30, Unit: CalendarDays}, "2026-04-03"},
		{"Boulder CO, call", DeadlineRule{Count: 0, Unit: CalendarDays}, "2026-03-06"},
		{"Boulder CO, file", DeadlineRule{Count: 3, Unit: CalendarDays}, "2026-03-09"},
		{"Willows Water CO, pass", DeadlineRule{Count: 10, Unit: BusinessDays}, "2026-03-20"},
	} {
		if got := row.rule.Due(starts, Closures{}, loc); !got.Known || got.On != date(t, row.want) {
			t.Errorf("%s: %s, want %s", row.source, got.On, row.want)
		}
	}
}

func TestHourDeadlines(t *testing.T) {
	loc := zone(t, "America/New_York")
	for _, row := range []struct {
		name, start string
		hours       int
		want        string
	}{
		{"Franklin KY code, imminent: the same hour", "2026-03-02 10:30", 24, "2026-03-03 10:30"},
		{"Willows Water CO, fail: the same hour, also on a Saturday", "2026-03-06 16:20", 24, "2026-03-07 16:20"},
		{"impairment, 10 h mark (NFPA Journal, Nov 2018)", "2026-03-02 08:00", 10, "2026-03-02 18:00"},
		{"impairment, 8 h mark (Syracuse NY)", "2026-03-02 08:00", 8, "2026-03-02 16:00"},
		{"clocks go forward on 8 March 2026: the same hour is earlier", "2026-03-07 15:00", 24, "2026-03-08 15:00"},
		{"clocks go back on 1 November 2026: 24 hours are earlier", "2026-10-31 15:00", 24, "2026-11-01 14:00"},
		{"ten hours are elapsed hours across the change", "2026-03-07 22:00", 10, "2026-03-08 09:00"},
	} {
		rule := DeadlineRule{Count: row.hours, Unit: Hours}
		got := rule.Due(Starts{FromTest: instant(t, row.start, loc).UTC()}, Closures{}, loc)
		if want := instant(t, row.want, loc); !got.Known || !got.At.Equal(want) || got.On != DateIn(want, loc) {
			t.Errorf("%s: %s, want %s", row.name, got.At, want)
		}
	}
}

func TestUnknownIsNeverNoDeadline(t *testing.T) {
	loc := zone(t, "America/New_York")
	starts := Starts{FromTest: instant(t, "2026-03-02 10:30", loc)}
	for name, got := range map[string]Deadline{
		"no rule":             DeadlineRule{}.Due(starts, Closures{}, loc),
		"no hazard in rules":  RepairDue(map[Hazard]DeadlineRule{NonHealth: {Count: 5, Unit: CalendarDays}}, Health, starts, Closures{}, loc),
		"no rules":            RepairDue(nil, UnknownHazard, starts, Closures{}, loc),
		"no start":            DeadlineRule{Count: 5, Unit: CalendarDays, CountsFrom: FromNoticeReceived}.Due(starts, Closures{}, loc),
		"no unit":             DeadlineRule{Count: 5}.Due(starts, Closures{}, loc),
		"a negative count":    DeadlineRule{Count: -5, Unit: BusinessDays}.Due(starts, Closures{}, loc),
		"an absurd count":     DeadlineRule{Count: 1 << 40, Unit: BusinessDays}.Due(starts, Closures{}, loc),
		"a zero start":        DeadlineRule{Count: 5, Unit: Hours}.Due(Starts{FromTest: {}}, Closures{}, loc),
		"the zero Deadline":   {Rule: "not known: ask"},
		"an unheard-of start": DeadlineRule{Count: 5, Unit: Hours, CountsFrom: "payment"}.Due(starts, Closures{}, loc),
	} {
		if got.Known || !got.On.IsZero() || !got.At.IsZero() || !strings.HasPrefix(got.Rule, "not known: ask") {
			t.Errorf("%s: %+v", name, got)
		}
		if _, ok := got.DaysLeft(time.Now(), loc); ok || got.Missed(time.Now()) {
			t.Errorf("%s: days are left, or it is missed", name)
		}
	}
}

func TestRepairDueByHazard(t *testing.T) {
	loc := zone(t, "America/New_York")
	starts := Starts{FromTest: instant(t, "2026-03-02 10:30", loc)}
	franklin := map[Hazard]DeadlineRule{ // Franklin KY code
		Imminent: {Count: 24, Unit: Hours}, Health: {Count: 10, Unit: CalendarDays}, NonHealth: {Count: 20, Unit: CalendarDays},
	}
	lincoln := map[Hazard]DeadlineRule{Health: {Count: 14, Unit: CalendarDays}, NonHealth: {Count: 21, Unit: CalendarDays}} // Lincoln County NC 50.32
	onlyLow := map[Hazard]DeadlineRule{NonHealth: {Count: 21, Unit: CalendarDays}}
	for _, row := range []struct {
		name   string
		rules  map[Hazard]DeadlineRule
		hazard Hazard
		want   string
	}{
		{"imminent", franklin, Imminent, "2026-03-03"},
		{"health", franklin, Health, "2026-03-12"},
		{"non-health, the working day before a Sunday", franklin, NonHealth, "2026-03-20"},
		{"not known: the stricter, but never imminent", franklin, UnknownHazard, "2026-03-12"},
		{"imminent where no rule has it: as health", lincoln, Imminent, "2026-03-16"},
		{"not known, and only one rule on file", onlyLow, UnknownHazard, "2026-03-23"},
	} {
		got := RepairDue(row.rules, row.hazard, starts, Closures{}, loc)
		if !got.Known || got.On != date(t, row.want) {
			t.Errorf("%s: %+v, want %s", row.name, got, row.want)
		}
		if stricter := strings.Contains(got.Rule, "stricter"); stricter != (row.hazard == UnknownHazard) {
			t.Errorf("%s: the words are %q", row.name, got.Rule)
		}
	}
}

func TestClosedDays(t *testing.T) {
	loc := zone(t, "America/Chicago")
	starts := Starts{FromTest: instant(t, "2026-11-20 09:00", loc)} // a Friday
	thanksgiving := Closures{Days: []Date{date(t, "2026-11-26"), date(t, "2026-11-27")}}
	for _, row := range []struct {
		name   string
		rule   DeadlineRule
		closed Closures
		want   string
	}{
		{"business days skip the purveyor's own closed days", DeadlineRule{Count: 5, Unit: BusinessDays}, thanksgiving, "2026-12-01"},
		{"a closed Thursday: the Wednesday before", DeadlineRule{Count: 6, Unit: CalendarDays}, thanksgiving, "2026-11-25"},
		{"a closed Thursday: the Monday after", DeadlineRule{Count: 6, Unit: CalendarDays, Roll: RollAfter}, thanksgiving, "2026-11-30"},
		{"a weekend on Friday and Saturday", DeadlineRule{Count: 2, Unit: BusinessDays}, Closures{Weekend: []time.Weekday{time.Friday, time.Saturday}}, "2026-11-23"},
		{"closed for good: stays, and does not hang", DeadlineRule{Count: 2, Unit: CalendarDays}, Closures{Weekend: []time.Weekday{0, 1, 2, 3, 4, 5, 6}}, "2026-11-22"},
	} {
		if got := row.rule.Due(starts, row.closed, loc); got.On != date(t, row.want) {
			t.Errorf("%s: %s, want %s (%s)", row.name, got.On, row.want, got.Rule)
		}
	}
	saturday := Starts{FromTest: instant(t, "2026-11-21 09:00", loc)}
	if got := (DeadlineRule{Unit: CalendarDays}).Due(saturday, Closures{}, loc); got.On != date(t, "2026-11-21") {
		t.Errorf("at once, failing on a Saturday: %s; a roll must not go before the start", got.On)
	}
}

func TestDayOfTestIsThePurveyorsDay(t *testing.T) {
	loc := zone(t, "America/Los_Angeles")
	late := time.Date(2026, 3, 3, 7, 0, 0, 0, time.UTC) // 23:00 on 2 March there
	if got := (DeadlineRule{Count: 10, Unit: CalendarDays}).Due(Starts{FromTest: late}, Closures{}, loc); got.On != date(t, "2026-03-12") {
		t.Errorf("due %s, want 2026-03-12", got.On)
	}
}

func TestDaysLeft(t *testing.T) {
	loc := zone(t, "America/New_York")
	d := DeadlineRule{Count: 10, Unit: CalendarDays}.Due(Starts{FromTest: instant(t, "2026-03-02 10:30", loc)}, Closures{}, loc)
	for now, want := range map[string]int{"2026-03-02 10:30": 10, "2026-03-11 23:59": 1, "2026-03-12 00:00": 0, "2026-03-12 23:59": 0, "2026-03-13 00:00": -1} {
		at := instant(t, now, loc)
		if got, ok := d.DaysLeft(at, loc); !ok || got != want {
			t.Errorf("at %s %d days are left, want %d", now, got, want)
		}
		if got := d.Missed(at); got != (want < 0) {
			t.Errorf("at %s missed = %v", now, got)
		}
	}
}

func TestNextTest(t *testing.T) {
	days45 := 45
	for _, row := range []struct {
		name          string
		interval      TestInterval
		last, met     string
		earliest, due string
	}{
		{"NJAC 7:10-10.6, every 3 months", TestInterval{Months: 3}, "2026-01-10", "", "", "2026-04-10"},
		{"Wellington OH 926.10, DC every 6 months", TestInterval{Months: 6}, "2026-01-10", "", "", "2026-07-10"},
		{"FAC 62-555.360, residential every 2 years", TestInterval{Months: 24}, "2026-01-10", "", "", "2028-01-10"},
		{"San Marcos TX, low hazard every 3 years", TestInterval{Months: 36}, "2026-01-10", "", "", "2029-01-10"},
		{"Oro Valley AZ 15-23-13, 45 days before", TestInterval{Months: 12, Basis: FromDueDate, EarliestDays: &days45}, "2025-06-15", "2025-06-15", "2026-05-01", "2026-06-15"},
		{"the same, tested early: not past 12 months from the last test", TestInterval{Months: 12, Basis: FromDueDate}, "2026-05-20", "2026-06-15", "", "2027-05-20"},
		{"an anniversary that an early test does not move", TestInterval{Months: 12, Basis: FromDueDate, MayPassInterval: true}, "2026-05-20", "2026-06-15", "", "2027-06-15"},
		{"a late test does not move a fixed date", TestInterval{Months: 12, Basis: FromDueDate}, "2026-07-15", "2026-06-15", "", "2027-06-15"},
		{"so late that the next date is past as well", TestInterval{Months: 12, Basis: FromDueDate}, "2027-06-15", "2026-06-15", "", "2028-06-15"},
		{"Covington WA, due 31 July", TestInterval{Months: 12, Basis: FromDueDate, MayPassInterval: true}, "2026-02-01", "2026-07-31", "", "2027-07-31"},
		{"29 February", TestInterval{Months: 12}, "2028-02-29", "", "", "2029-02-28"},
	} {
		met := Date{}
		if row.met != "" {
			met = date(t, row.met)
		}
		got := row.interval.Next(date(t, row.last), met)
		if !got.Known || got.Due != date(t, row.due) || got.Earliest.String() != row.earliest {
			t.Errorf("%s: %s to %s, want %s to %s", row.name, got.Earliest, got.Due, row.earliest, row.due)
		}
	}
	window := TestInterval{Months: 12, EarliestDays: &days45}.Next(date(t, "2025-06-15"), Date{})
	for day, want := range map[string]bool{"2026-04-30": false, "2026-05-01": true, "2026-06-15": true, "2026-06-16": false} { // Oro Valley AZ 15-23-13
		if window.Allows(date(t, day)) != want {
			t.Errorf("a test on %s counts: %v, want %v", day, !want, want)
		}
	}
	// Oro Valley AZ 15-23-13: the second notice goes out 15 days before the compliance date.
	if second := window.Due.AddDays(-15); second != date(t, "2026-05-31") {
		t.Errorf("second notice by %s, want 2026-05-31", second)
	}
	for name, w := range map[string]TestWindow{
		"no interval": TestInterval{}.Next(date(t, "2026-01-10"), Date{}), "never tested": TestInterval{Months: 12}.Next(Date{}, Date{}),
		"no due date": TestInterval{Months: 12, Basis: FromDueDate}.Next(date(t, "2026-01-10"), Date{}),
	} {
		if w.Known || w.Allows(date(t, "2026-01-10")) || !strings.HasPrefix(w.Rule, "not known: ask") {
			t.Errorf("%s: %+v", name, w)
		}
	}
}

// The reference for dates is package time.
func TestDateFollowsTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(-60_000_000_000, 250_000_000_000).Draw(t, "unix"), 0).UTC()
		n := rapid.IntRange(-4000, 4000).Draw(t, "days")
		d := DateIn(at, time.UTC)
		if d.String() != at.Format(time.DateOnly) || d.Weekday() != at.Weekday() {
			t.Fatalf("%s is %s, a %s", at, d, d.Weekday())
		}
		moved := d.AddDays(n)
		if want := at.AddDate(0, 0, n).Format(time.DateOnly); moved.String() != want {
			t.Fatalf("%s and %d days is %s, want %s", d, n, moved, want)
		}
		if moved.Sub(d) != n || moved.Before(d) != (n < 0) {
			t.Fatalf("%s and %s: %d days, before %v", d, moved, moved.Sub(d), moved.Before(d))
		}
		months := rapid.IntRange(0, 60).Draw(t, "months")
		year, month, day := d.YMD()
		later, laterMonth, laterDay := d.AddMonths(months).YMD()
		if gap := (later-year)*12 + int(laterMonth-month); gap != months || laterDay > day || laterDay < min(day, 28) {
			t.Fatalf("%s and %d months is %s", d, months, d.AddMonths(months))
		}
	})
}

func TestDateText(t *testing.T) {
	type holder struct {
		D Date `json:"d,omitzero"`
	}
	for text, want := range map[string]string{`{"d":"2026-02-28"}`: `{"d":"2026-02-28"}`, `{}`: `{}`, `{"d":""}`: `{}`, `{"d":"0001-01-01"}`: `{"d":"0001-01-01"}`} {
		var h holder
		if err := json.Unmarshal([]byte(text), &h); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		if got, err := json.Marshal(h); err != nil || string(got) != want {
			t.Errorf("%s came back as %s, %v", text, got, err)
		}
	}
	for _, text := range []string{"2026-02-29", "2026-2-1", "02/01/2026", "0000-12-31", "x"} {
		if d, err := ParseDate(text); err == nil {
			t.Errorf("ParseDate(%q) = %s", text, d)
		}
	}
	if z := (Date{}).AddDays(3).AddMonths(3); !z.IsZero() {
		t.Errorf("a date that is not set moved to %s", z)
	}
}

// Days start at the first instant of the day, also where midnight is skipped or comes twice (IANA zone data).
func TestDateStartsOnce(t *testing.T) {
	for _, row := range []struct{ zone, day, want string }{
		{"America/New_York", "2026-03-08", "2026-03-08T05:00:00Z"},
		{"America/Sao_Paulo", "2018-11-04", "2018-11-04T03:00:00Z"}, // midnight skipped: the day starts at 01:00
		{"America/Havana", "2026-11-01", "2026-11-01T04:00:00Z"},    // 01:00 goes back to 00:00: midnight comes twice
		{"Asia/Beirut", "2026-03-29", "2026-03-28T22:00:00Z"},
	} {
		if got := date(t, row.day).In(zone(t, row.zone)).UTC().Format(time.RFC3339); got != row.want {
			t.Errorf("%s in %s starts at %s, want %s", row.day, row.zone, got, row.want)
		}
	}
	zones := []string{"America/New_York", "America/Sao_Paulo", "America/Havana", "Asia/Beirut", "Africa/Cairo", "Australia/Lord_Howe", "America/Asuncion", "Asia/Kathmandu", "Atlantic/Azores", "UTC"}
	var locs []*time.Location
	for _, name := range zones {
		locs = append(locs, zone(t, name))
	}
	first := date(t, "1985-01-01")
	rapid.Check(t, func(t *rapid.T) {
		loc := rapid.SampledFrom(locs).Draw(t, "zone")
		checkStart(t, first.AddDays(rapid.IntRange(0, 365*50).Draw(t, "day")), loc)
	})
	for _, loc := range locs {
		for d := first; d.Before(date(t, "2027-01-01")); d = d.AddDays(1) {
			checkStart(t, d, loc)
		}
	}
}

func checkStart(t rapid.TB, d Date, loc *time.Location) {
	t.Helper()
	start := d.In(loc)
	if DateIn(start, loc) != d || !DateIn(start.Add(-time.Second), loc).Before(d) {
		t.Fatalf("%s in %s does not start at %s", d, loc, start)
	}
}

func TestBusinessDaysAreOpenDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := NewDate(2026, 1, 1).AddDays(rapid.IntRange(0, 700).Draw(t, "start"))
		var closed Closures
		for range rapid.IntRange(0, 20).Draw(t, "closed") {
			closed.Days = append(closed.Days, start.AddDays(rapid.IntRange(0, 60).Draw(t, "day")))
		}
		n := rapid.IntRange(1, 30).Draw(t, "n")
		end := closed.AddBusinessDays(start, n)
		open := 0
		for d := start.AddDays(1); !end.Before(d); d = d.AddDays(1) {
			weekend := slices.Contains([]time.Weekday{time.Saturday, time.Sunday}, d.Weekday())
			if !weekend && !slices.Contains(closed.Days, d) {
				open++
			}
		}
		if open != n || !closed.Open(end) {
			t.Fatalf("%d business days after %s is %s, with %d open days between", n, start, end, open)
		}
	})
}

func TestStricterRollIsNeverLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := time.Unix(rapid.Int64Range(1_700_000_000, 1_900_000_000).Draw(t, "unix"), 0)
		rule := DeadlineRule{Count: rapid.IntRange(0, 90).Draw(t, "count"), Unit: CalendarDays}
		due := map[Roll]Date{}
		for _, roll := range []Roll{RollBefore, RollNone, RollAfter} {
			rule.Roll = roll
			due[roll] = rule.Due(Starts{FromTest: at}, Closures{}, time.UTC).On
		}
		if due[RollNone].Before(due[RollBefore]) || due[RollAfter].Before(due[RollNone]) || due[RollBefore].Before(DateIn(at, time.UTC)) {
			t.Fatalf("rolls: %v", due)
		}
	})
}

func FuzzParseDate(f *testing.F) {
	for _, seed := range []string{"2026-03-31", "2026-02-29", "0001-01-01", "9999-12-31", ""} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDate(text)
		if err == nil && d.String() != text {
			t.Fatalf("%q came back as %s", text, d)
		}
		if err != nil && !d.IsZero() {
			t.Fatalf("%q: %s beside an error", text, d)
		}
	})
}
