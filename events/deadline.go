package events

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events/holidays"
)

// Date is a day in the civil calendar, of no zone. Dates compare with ==. The zero Date is not set.
type Date struct {
	n int32 // days, 1 January of year 1 being 1
}

const unixEpoch = 719163 // 1970-01-01 as n

// NewDate is the day; values outside their range carry over, as in time.Date.
func NewDate(year int, month time.Month, day int) Date {
	return Date{int32(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix()/86400 + unixEpoch)}
}

// DateIn is the day that an instant falls on in a place.
func DateIn(t time.Time, loc *time.Location) Date {
	return NewDate(t.In(loc).Date())
}

// ParseDate reads 2006-01-02, in years 1 to 9999.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(time.DateOnly, text)
	if err != nil || t.Year() < 1 {
		return Date{}, fmt.Errorf("date %q: want year-month-day like 2026-03-31", text)
	}
	return NewDate(t.Date()), nil
}

func (d Date) utc() time.Time { return time.Unix((int64(d.n)-unixEpoch)*86400, 0).UTC() }

// IsZero reports whether the date is not set.
func (d Date) IsZero() bool { return d.n == 0 }

// String writes 2006-01-02; the zero Date is empty.
func (d Date) String() string {
	if d.n == 0 {
		return ""
	}
	return d.utc().Format(time.DateOnly)
}

// MarshalText writes what String writes.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads what ParseDate reads; empty is the zero Date.
func (d *Date) UnmarshalText(text []byte) (err error) {
	if len(text) == 0 {
		*d = Date{}
		return nil
	}
	*d, err = ParseDate(string(text))
	return err
}

// YMD gives the parts.
func (d Date) YMD() (year int, month time.Month, day int) { return d.utc().Date() }

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.utc().Weekday() }

// Before reports whether d is an earlier day than e.
func (d Date) Before(e Date) bool { return d.n < e.n }

// Sub is the number of days from e to d.
func (d Date) Sub(e Date) int { return int(d.n - e.n) }

// AddDays moves by days; a date that is not set stays so.
func (d Date) AddDays(n int) Date {
	if d.n == 0 {
		return d
	}
	return Date{d.n + int32(n)}
}

// AddMonths moves by months and stops at the month's last day: 31 January and one month is 28 February.
func (d Date) AddMonths(n int) Date {
	if d.n == 0 {
		return d
	}
	year, month, day := d.YMD()
	last := NewDate(year, month+time.Month(n)+1, 0)
	if same := NewDate(year, month+time.Month(n), 1).AddDays(day - 1); same.Before(last) {
		return same
	}
	return last
}

// In is the first instant of the day in a place, also where clocks skip or repeat midnight.
func (d Date) In(loc *time.Location) time.Time {
	year, month, day := d.YMD()
	t := time.Date(year, month, day, 0, 0, 0, 0, loc)
	if DateIn(t, loc).Before(d) {
		_, t = t.ZoneBounds() // midnight was skipped: the day starts as the clocks change
	}
	return t // where midnight comes twice, time.Date gives the first; a test over zones and years holds it to that
}

// Closures are the days on which a purveyor does not work.
type Closures struct {
	Days []Date `json:"days,omitempty"`
	// Weekend is Saturday and Sunday when empty.
	Weekend []time.Weekday `json:"weekend,omitempty"`
	// Region, an ISO 3166 code, adds its public holidays. Without one none are taken for closed: a clock in business days
	// then ends the earlier.
	Region string `json:"region,omitempty"`
}

// IsZero reports whether nothing is known but the usual weekend.
func (c Closures) IsZero() bool { return len(c.Days) == 0 && len(c.Weekend) == 0 && c.Region == "" }

// Open reports whether the purveyor works on the day.
func (c Closures) Open(d Date) bool {
	weekend := c.Weekend
	if len(weekend) == 0 {
		weekend = []time.Weekday{time.Saturday, time.Sunday}
	}
	if slices.Contains(weekend, d.Weekday()) || slices.Contains(c.Days, d) {
		return false
	}
	region, _ := holidays.Of(c.Region)
	return !region.Holiday(d.YMD())
}

// maxClosedRun bounds every walk over closed days, whatever a calendar says.
const maxClosedRun = 366

// step goes to the next open day in a direction; it stays where it is if none comes within a year.
func (c Closures) step(d Date, by int) Date {
	for i := 1; i <= maxClosedRun; i++ {
		if next := d.AddDays(i * by); c.Open(next) {
			return next
		}
	}
	return d
}

// AddBusinessDays counts open days; the day it starts from is day 0.
func (c Closures) AddBusinessDays(d Date, n int) Date {
	for range n {
		d = c.step(d, 1)
	}
	return d
}

// RuleUnit is what a rule counts in.
type RuleUnit string

// The units.
const (
	CalendarDays RuleUnit = "calendar"
	BusinessDays RuleUnit = "business"
	Hours        RuleUnit = "hours"
)

// CountsFrom is what starts a clock.
type CountsFrom string

// The starts; the empty one is FromTest.
const (
	FromTest           CountsFrom = "test"
	FromReport         CountsFrom = "report"
	FromNoticeSent     CountsFrom = "notice-sent"
	FromNoticeReceived CountsFrom = "notice-received"
	FromInspection     CountsFrom = "inspection"
)

// Roll is what happens to a deadline on a day on which the purveyor is closed.
type Roll string

// The rolls; the empty one is RollBefore, the strictest.
const (
	RollBefore Roll = "before" // to the working day before
	RollNone   Roll = "none"   // it stays
	RollAfter  Roll = "after"  // to the next working day
)

// DeadlineRule is one clock of one purveyor. The zero rule, without a unit, is not known; Count 0 with a unit
// means at once: the day it starts.
type DeadlineRule struct {
	Count      int        `json:"count"`
	Unit       RuleUnit   `json:"unit"`
	CountsFrom CountsFrom `json:"counts_from,omitempty"`
	Roll       Roll       `json:"roll,omitempty"`
	Source     string     `json:"source,omitempty"` // the rule or code
}

// Starts says when the things happened that clocks count from; what is not in it is not known.
type Starts map[CountsFrom]time.Time

// Deadline is the last moment, and how it was found. A deadline that is not known is never "no deadline".
type Deadline struct {
	Known bool `json:"known"`
	// At is the instant by which it must be done; for a rule in days, the end of On in the purveyor's zone.
	At time.Time `json:"at,omitzero"`
	// On is the last day on which it may be done.
	On Date `json:"on,omitzero"`
	// Rule says in plain words how it was computed, or what to ask.
	Rule string `json:"rule"`
}

func unknown(what string) Deadline { return Deadline{Rule: "not known: ask " + what} }

// IsZero reports whether the rule is not known.
func (r DeadlineRule) IsZero() bool { return r == DeadlineRule{} }

// Due computes the deadline. The zero rule, a start that is not in starts, or a rule that makes no sense gives a
// Deadline with Known false. The zone is the purveyor's.
func (r DeadlineRule) Due(starts Starts, c Closures, loc *time.Location) Deadline {
	if r.IsZero() {
		return unknown("the purveyor for its rule")
	}
	from := r.CountsFrom
	if from == "" {
		from = FromTest
	}
	start, ok := starts[from]
	if !ok || start.IsZero() {
		return unknown("for the " + from.words() + ", which the rule counts from")
	}
	if r.Count < 0 || r.Count > 10_000 {
		return unknown("the purveyor: its rule is not a number of days")
	}
	switch r.Unit {
	case Hours:
		at := addHours(start, r.Count, loc)
		return Deadline{true, at, DateIn(at, loc), r.words(from, "")}
	case CalendarDays, BusinessDays:
		on, rolled := r.dueDay(DateIn(start, loc), c)
		return Deadline{true, on.AddDays(1).In(loc), on, r.words(from, rolled)}
	}
	return unknown("the purveyor whether its days are calendar or business days")
}

// dueDay counts and rolls; a roll never goes before the start.
func (r DeadlineRule) dueDay(start Date, c Closures) (on Date, rolled string) {
	if r.Unit == BusinessDays {
		return c.AddBusinessDays(start, r.Count), ""
	}
	on = start.AddDays(r.Count)
	if c.Open(on) || r.Roll == RollNone {
		return on, ""
	}
	if r.Roll == RollAfter {
		return c.step(on, 1), fmt.Sprintf("; %s is closed, so the working day after", on)
	}
	before := c.step(on, -1)
	if before.Before(start) {
		before = start
	}
	return before, fmt.Sprintf("; %s is closed, so the working day before", on)
}

// addHours counts elapsed hours, and for whole days also the same hour by the wall clock; the earlier one counts,
// so that a change of the clocks never lengthens a deadline.
func addHours(start time.Time, n int, loc *time.Location) time.Time {
	elapsed := start.Add(time.Duration(n) * time.Hour).In(loc)
	if n%24 != 0 {
		return elapsed
	}
	if wall := start.In(loc).AddDate(0, 0, n/24); wall.Before(elapsed) {
		return wall
	}
	return elapsed
}

func (f CountsFrom) words() string {
	switch f {
	case FromNoticeSent:
		return "day the notice was sent"
	case FromNoticeReceived:
		return "day the notice was received"
	}
	return "day of the " + string(f)
}

// words says how the deadline was computed: "10 business days after the day of the test".
func (r DeadlineRule) words(from CountsFrom, rolled string) string {
	unit := string(r.Unit) + " days"
	if r.Unit == Hours {
		unit = "hours"
	}
	if r.Count == 1 {
		unit = strings.TrimSuffix(unit, "s")
	}
	text := fmt.Sprintf("%d %s after the %s%s", r.Count, unit, from.words(), rolled)
	if r.Unit == Hours {
		text = fmt.Sprintf("%d %s after the %s", r.Count, unit, strings.TrimPrefix(from.words(), "day of the "))
	}
	if r.Source != "" {
		text += " (" + r.Source + ")"
	}
	return text
}

// DaysLeft is how many days remain after today in a place: 0 on the last day, negative when it is past.
// ok is false when the deadline is not known.
func (d Deadline) DaysLeft(now time.Time, loc *time.Location) (days int, ok bool) {
	if !d.Known {
		return 0, false
	}
	return d.On.Sub(DateIn(now, loc)), true
}

// Missed reports whether a known deadline is past.
func (d Deadline) Missed(now time.Time) bool { return d.Known && !now.Before(d.At) }

// RepairRule finds the rule of a hazard. Where none is for imminent hazards they are judged as health.
func RepairRule(rules map[Hazard]DeadlineRule, h Hazard) DeadlineRule {
	rule, ok := rules[h]
	if !ok && h == Imminent {
		rule = rules[Health]
	}
	return rule
}

// RepairDue is when a failed assembly must have been repaired and retested, by the purveyor's rules for each
// hazard. For a hazard that is not known it is the earlier of the deadlines for health and non-health.
func RepairDue(rules map[Hazard]DeadlineRule, h Hazard, starts Starts, c Closures, loc *time.Location) Deadline {
	if h != UnknownHazard {
		return RepairRule(rules, h).Due(starts, c, loc)
	}
	first := rules[Health].Due(starts, c, loc)
	if other := rules[NonHealth].Due(starts, c, loc); other.Known && (!first.Known || other.At.Before(first.At)) {
		first = other
	}
	if first.Known {
		first.Rule += "; the hazard is not known, so the stricter rule"
	}
	return first
}

// Basis is what the next due date counts from.
type Basis string

// The bases; the empty one is FromLastTest.
const (
	FromLastTest Basis = "last-test"
	FromDueDate  Basis = "due-date" // a fixed day: the anniversary of installation, the end of a season
)

// TestInterval is how often an assembly must be tested. Months 0 means not known.
type TestInterval struct {
	Months int   `json:"months"`
	Basis  Basis `json:"basis,omitempty"`
	// MayPassInterval: after an early test, a fixed due date may lie more than the interval after that test. Without
	// it the earlier day counts.
	MayPassInterval bool `json:"may_pass_interval,omitempty"`
	// EarliestDays before the due date a test may be done and still count; nil: not limited.
	EarliestDays *int   `json:"earliest_days,omitempty"`
	Source       string `json:"source,omitempty"`
}

// TestWindow is when the next test counts: from Earliest (zero: not limited) to Due, both included.
type TestWindow struct {
	Known    bool   `json:"known"`
	Earliest Date   `json:"earliest,omitzero"`
	Due      Date   `json:"due,omitzero"`
	Rule     string `json:"rule"`
}

// Next is the window after the last test, which met the due date met (used by FromDueDate only). A late test does
// not move a fixed due date; an early one brings it forward unless MayPassInterval.
func (i TestInterval) Next(last, met Date) TestWindow {
	switch {
	case i.Months <= 0 || i.Months > 1200:
		return TestWindow{Rule: "not known: ask the purveyor how often it must be tested"}
	case last.IsZero():
		return TestWindow{Rule: "not known: ask when it was last tested"}
	case i.Basis == FromDueDate && met.IsZero():
		return TestWindow{Rule: "not known: ask which due date the last test was for"}
	}
	w := TestWindow{Known: true, Due: last.AddMonths(i.Months), Rule: fmt.Sprintf("%d months after the last test", i.Months)}
	if i.Basis == FromDueDate {
		fixed := met.AddMonths(i.Months)
		for n := 2; !last.Before(fixed); n++ {
			fixed = met.AddMonths(n * i.Months)
		}
		if i.MayPassInterval || fixed.Before(w.Due) {
			w.Due, w.Rule = fixed, fmt.Sprintf("every %d months from the due date %s", i.Months, met)
		}
	}
	if i.EarliestDays != nil {
		w.Earliest = w.Due.AddDays(-*i.EarliestDays)
	}
	if i.Source != "" {
		w.Rule += " (" + i.Source + ")"
	}
	return w
}

// Allows reports whether a test on the day counts.
func (w TestWindow) Allows(d Date) bool { return w.Known && !d.Before(w.Earliest) && !w.Due.Before(d) }
