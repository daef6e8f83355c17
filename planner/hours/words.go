package hours

import (
	"fmt"
	"strings"
	"time"
)

func startsDate(t token) bool { return isMonth(t) || isYear(t) }

// startsDays reports whether the token begins weekdays or public holidays.
func startsDays(t token) bool { return isWeekday(t) || t.isWord("ph") }

// isYear reports whether the token is a number of four digits.
func isYear(t token) bool { return t.kind == number && len(t.text) == 4 }

func isMonth(t token) bool { return monthOf(t) != 0 }

func isWeekday(t token) bool { return weekdayOf(t) >= 0 }

// monthOf returns the month a token names, in upper or lower case, or zero.
func monthOf(t token) time.Month {
	for m := time.January; m <= time.December; m++ {
		if t.kind == word && strings.EqualFold(t.text, monthText(m)) {
			return m
		}
	}
	return 0
}

// weekdayOf returns the weekday a token names, in upper or lower case, or -1.
func weekdayOf(t token) time.Weekday {
	for d := time.Sunday; d <= time.Saturday; d++ {
		if t.kind == word && strings.EqualFold(t.text, weekdayText(d)) {
			return d
		}
	}
	return -1
}

// known says what to write instead of the parts of the specification that are not read here.
var known = map[string]string{
	"sh":      `school holidays (SH) are not read here; write the dates, such as Jul 01-Aug 31`,
	"easter":  `easter is not read here; write the date with its year, such as 2026 Apr 05`,
	"dawn":    `times by the sun (dawn) are not read here; write a clock time such as 06:00`,
	"sunrise": `times by the sun (sunrise) are not read here; write a clock time such as 06:30`,
	"sunset":  `times by the sun (sunset) are not read here; write a clock time such as 18:00`,
	"dusk":    `times by the sun (dusk) are not read here; write a clock time such as 18:30`,
	"unknown": `"unknown" cannot be planned with; write open or off`,
	"day":     `days counted from another day are not read here; write the dates`,
	"days":    `days counted from another day are not read here; write the dates`,
	"am":      `times are written on the 24-hour clock, such as 08:00`,
	"pm":      `times are written on the 24-hour clock, such as 17:00`,
	"(":       `sums of times are not read here; write a clock time`,
	"+":       `an open end (+) is not read here; write the closing time`,
	"/":       `repeats (/) are not read here; write each one`,
	"|":       `rules for "otherwise" (||) are not read here; write the rules in order, joined by a semicolon`,
}

// missing says that something was wanted where t stands.
func missing(wanted string, t token) string {
	if problem, ok := foreign(t); ok {
		return problem
	}
	if t.kind == endOfText {
		return fmt.Sprintf("the text ends where %s should follow", wanted)
	}
	return fmt.Sprintf("%s is not understood here; expected %s", quoted(t), wanted)
}

// misplaced says why t cannot follow a rule.
func misplaced(t token) string {
	if problem, ok := foreign(t); ok {
		return problem
	}
	switch {
	case startsDate(t):
		return fmt.Sprintf("%s is not understood here; dates come first in a rule, then weekdays, then times, and a semicolon between rules", quoted(t))
	case t.isWord("week"):
		return fmt.Sprintf("%s is not understood here; weeks come after dates and before weekdays, and a semicolon stands between rules", quoted(t))
	case startsDays(t):
		return fmt.Sprintf("%s is not understood here; weekdays come before times, and a semicolon stands between rules", quoted(t))
	case t.kind == clock:
		return fmt.Sprintf("%s is not understood here; a comma stands between times, and a semicolon between rules", quoted(t))
	case t.kind == always:
		return "24/7 stands alone in its rule; write 00:00-24:00 for whole days"
	case t.kind == number:
		return fmt.Sprintf("the number %s is not understood here; times are written such as 08:00, dates such as Dec 24", quoted(t))
	}
	return fmt.Sprintf("%s is not understood here", quoted(t))
}

// foreign explains words and signs that people are likely to try.
func foreign(t token) (problem string, ok bool) {
	lower := strings.ToLower(t.text)
	if problem, ok = known[lower]; ok && (t.kind == word || t.kind == sign) {
		return problem, true
	}
	if t.kind != word {
		return "", false
	}
	for d := time.Sunday; d <= time.Saturday; d++ {
		if full := strings.ToLower(d.String()); len(lower) > 2 && strings.HasPrefix(full+"s", lower) {
			return fmt.Sprintf("%s is not understood; write %s (weekdays are Mo, Tu, We, Th, Fr, Sa, Su)", quoted(t), weekdayText(d)), true
		}
	}
	for m := time.January; m <= time.December; m++ {
		if full := strings.ToLower(m.String()); len(lower) > 3 && strings.HasPrefix(full, lower) {
			return fmt.Sprintf("%s is not understood; write %s", quoted(t), monthText(m)), true
		}
	}
	return "", false
}

func quoted(t token) string {
	if t.kind == comment {
		return fmt.Sprintf("the note %q", t.text)
	}
	return fmt.Sprintf("%q", t.text)
}
