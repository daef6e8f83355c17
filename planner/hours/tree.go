package hours

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Rule is one rule of the notation: the days it is for, the times on those days, and what holds then.
type Rule struct {
	Adds     bool           // written after a comma: adds to earlier rules instead of replacing them; never on the first rule
	Dates    []DateRange    // any of these; none means every date
	Weeks    []WeekRange    // any of these; none means every week
	Weekdays []WeekdayRange // any of these, or Holidays; neither means every weekday
	Holidays bool           // "PH": also the public holidays of the region, see Hours.Observing
	Times    []TimeRange    // none means the whole day
	Closed   bool           // "off": takes time away instead of giving it
	Comment  string         // note in quotes, without the quotes
}

// DateRange is a range of dates with both ends in it. Both ends are alike: with or without a year, month and day. Without
// a year it comes every year, and a range whose end is before its beginning runs over the year's end (Nov-Mar).
type DateRange struct {
	From, To Date
}

// Date is a year, a month (of a year or of every year) or a day, depending on which fields are zero.
type Date struct {
	Year  int        // zero: every year
	Month time.Month // zero: the whole year
	Day   int        // zero: the whole month
}

// WeekRange is a range of ISO 8601 weeks, 1 to 53, with both ends in it. Every, when above 1, takes each so many of them
// from From on: 1-53 every 2 are the odd weeks. Where a year has 53 weeks two odd ones follow each other.
type WeekRange struct {
	From, To int
	Every    int // 0 is written as 1 is: every week
}

// WeekdayRange is a range of weekdays with both ends in it; it may run over the week's end (Fr-Mo). Of a single weekday Nth
// may pick some in the month.
type WeekdayRange struct {
	From, To time.Weekday
	Nth      NthSet
}

// NthSet picks weekdays of a month by number: the first to the fifth, and from the last back. The zero NthSet picks all.
type NthSet uint16

// NthOf is the set of some numbers, 1 to 5 from the month's beginning and -1 to -5 from its end; others are left out.
func NthOf(numbers ...int) NthSet {
	var s NthSet
	for _, n := range numbers {
		if n != 0 && -5 <= n && n <= 5 {
			s |= 1 << (n + 5)
		}
	}
	return s
}

// Numbers lists what the set picks: from the beginning first, then from the end.
func (s NthSet) Numbers() []int {
	var list []int
	for _, n := range []int{1, 2, 3, 4, 5, -1, -2, -3, -4, -5} {
		if s&NthOf(n) != 0 {
			list = append(list, n)
		}
	}
	return list
}

// TimeRange is a half-open range of clock times in minutes after the midnight its day begins with. Close may lie in the
// next day, up to 2880 (48:00), and is always after Open.
type TimeRange struct {
	OpenMin, CloseMin int
}

const (
	dayMin       = 24 * 60
	firstYear    = 1900
	lastYear     = 2999
	weekdayNames = "SuMoTuWeThFrSa"
	monthNames   = "JanFebMarAprMayJunJulAugSepOctNovDec"
)

// String returns the canonical text: Parse(h.String()) equals h.
func (h Hours) String() string {
	if len(h.rules) == 0 {
		return "off"
	}
	var b strings.Builder
	for i, r := range h.rules {
		switch {
		case i > 0 && r.Adds:
			b.WriteString(", ")
		case i > 0:
			b.WriteString("; ")
		}
		b.WriteString(r.text(i+1 < len(h.rules) && h.rules[i+1].Adds, i+1 < len(h.rules) && h.rules[i+1].startsWithTime()))
	}
	return b.String()
}

// String returns the rule alone, without the sign that joins it to the rule before.
func (r Rule) String() string { return r.text(false, false) }

// text writes the rule. Before a comma, "open" is spelt out where the comma would otherwise read as part of a list.
func (r Rule) text(beforeComma, beforeTime bool) string {
	var parts []string
	if len(r.Dates) > 0 {
		parts = append(parts, join(r.Dates))
	}
	if len(r.Weeks) > 0 {
		parts = append(parts, "week "+join(r.Weeks))
	}
	if days := r.daysText(); days != "" {
		parts = append(parts, days)
	}
	if len(r.Times) > 0 {
		parts = append(parts, join(r.Times))
	}
	listGoesOn := beforeComma && len(parts) > 0 && (len(r.Times) == 0 || beforeTime)
	switch {
	case r.Closed:
		parts = append(parts, "off")
	case len(parts) == 0:
		parts = append(parts, "24/7")
		if r.Comment != "" {
			parts = append(parts, "open")
		}
	case r.Comment != "" || listGoesOn:
		parts = append(parts, "open")
	}
	if r.Comment != "" {
		parts = append(parts, `"`+r.Comment+`"`)
	}
	return strings.Join(parts, " ")
}

// daysText writes weekdays and public holidays, in that order.
func (r Rule) daysText() string {
	switch {
	case !r.Holidays:
		return join(r.Weekdays)
	case len(r.Weekdays) == 0:
		return "PH"
	}
	return join(r.Weekdays) + ",PH"
}

// namesDays reports whether the rule is for certain days only.
func (r Rule) namesDays() bool {
	return len(r.Dates) > 0 || len(r.Weeks) > 0 || len(r.Weekdays) > 0 || r.Holidays
}

func (r Rule) startsWithTime() bool { return !r.namesDays() && len(r.Times) > 0 }

// replacesAll reports whether the rule replaces everything before it on every day.
func (r Rule) replacesAll() bool { return !r.Adds && !r.Closed && !r.namesDays() }

func (r Rule) equal(o Rule) bool {
	return r.Adds == o.Adds && r.Closed == o.Closed && r.Comment == o.Comment && r.Holidays == o.Holidays &&
		slices.Equal(r.Dates, o.Dates) && slices.Equal(r.Weeks, o.Weeks) && slices.Equal(r.Weekdays, o.Weekdays) && slices.Equal(r.Times, o.Times)
}

func (d DateRange) String() string {
	if d.From == d.To {
		return d.From.String()
	}
	to := d.To
	if to.Month != 0 && to.Year == d.From.Year {
		to.Year = 0
		if to.Day != 0 && to.Month == d.From.Month && to.Day > d.From.Day {
			return fmt.Sprintf("%v-%02d", d.From, to.Day)
		}
	}
	return fmt.Sprintf("%v-%v", d.From, to)
}

func (d Date) String() string {
	var parts []string
	if d.Year != 0 {
		parts = append(parts, fmt.Sprintf("%04d", d.Year))
	}
	if d.Month != 0 {
		parts = append(parts, monthText(d.Month))
	}
	if d.Day != 0 {
		parts = append(parts, fmt.Sprintf("%02d", d.Day))
	}
	return strings.Join(parts, " ")
}

func (w WeekRange) String() string {
	switch {
	case w.Every > 1:
		return fmt.Sprintf("%02d-%02d/%d", w.From, w.To, w.Every)
	case w.From == w.To:
		return fmt.Sprintf("%02d", w.From)
	}
	return fmt.Sprintf("%02d-%02d", w.From, w.To)
}

func (w WeekdayRange) String() string {
	if w.Nth != 0 {
		var picked []string
		for _, n := range w.Nth.Numbers() {
			picked = append(picked, strconv.Itoa(n))
		}
		return weekdayText(w.From) + "[" + strings.Join(picked, ",") + "]"
	}
	if w.From == w.To {
		return weekdayText(w.From)
	}
	return weekdayText(w.From) + "-" + weekdayText(w.To)
}

func (t TimeRange) String() string {
	end := t.CloseMin
	if end > dayMin && end-dayMin < t.OpenMin {
		end -= dayMin
	}
	return clockText(t.OpenMin) + "-" + clockText(end)
}

func clockText(minutes int) string { return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60) }

func weekdayText(d time.Weekday) string {
	if d < time.Sunday || d > time.Saturday {
		return "?"
	}
	return weekdayNames[2*d : 2*d+2]
}

func monthText(m time.Month) string {
	if m < time.January || m > time.December {
		return "?"
	}
	return monthNames[3*m-3 : 3*m]
}

func join[T fmt.Stringer](items []T) string {
	texts := make([]string, len(items))
	for i, item := range items {
		texts[i] = item.String()
	}
	return strings.Join(texts, ",")
}

func cloneRules(rules []Rule) []Rule {
	clones := slices.Clone(rules)
	for i, r := range clones {
		clones[i].Dates = slices.Clone(r.Dates)
		clones[i].Weeks = slices.Clone(r.Weeks)
		clones[i].Weekdays = slices.Clone(r.Weekdays)
		clones[i].Times = slices.Clone(r.Times)
	}
	return clones
}
