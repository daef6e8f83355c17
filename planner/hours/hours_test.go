package hours

import (
	"errors"
	"testing"
	"time"
)

func location(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func parse(t testing.TB, text string) Hours {
	t.Helper()
	h, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func TestCanonicalText(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"as it is", "Mo-Fr 05:00-09:00,13:00-15:00", "Mo-Fr 05:00-09:00,13:00-15:00"},
		{"case and blanks", "  mo -FR 8:00- 16:00 ;SA  closed", "Mo-Fr 08:00-16:00; Sa off"},
		{"typographic dash", "Mo–Fr 08:00–16:00", "Mo-Fr 08:00-16:00"},
		{"colon after dates", "Apr-Oct: 08:00-16:00", "Apr-Oct 08:00-16:00"},
		{"days go on in the month", "Dec 24,26-27 off", "Dec 24,Dec 26-27 off"},
		{"days go on in the year", "2026 Dec 24,26 off", "2026 Dec 24,2026 Dec 26 off"},
		{"over the year's end", "Dec 24-Jan 2 off", "Dec 24-Jan 02 off"},
		{"over the year's end, once", "2026 Dec 24-2027 Jan 02 off", "2026 Dec 24-2027 Jan 02 off"},
		{"same month written twice", "Dec 24-Dec 26 off", "Dec 24-26 off"},
		{"nearly a whole year", "Dec 26-Dec 24 off", "Dec 26-Dec 24 off"},
		{"years", "2026-2028 Mo", "2026-2028 Mo"},
		{"hours past 24", "22:00-26:00", "22:00-02:00"},
		{"longer than a day", "Mo 08:00-34:00", "Mo 08:00-34:00"},
		{"to midnight", "22:00-00:00", "22:00-24:00"},
		{"last semicolon", "Mo 08:00-09:00;", "Mo 08:00-09:00"},
		{"open is understood", "Mo 08:00-09:00 open", "Mo 08:00-09:00"},
		{"open alone", "open", "24/7"},
		{"open needed before a comma", "Mo open, Tu 08:00-09:00", "Mo open, Tu 08:00-09:00"},
		{"open needed between times", "Mo 08:00-09:00 open, 10:00-11:00", "Mo 08:00-09:00 open, 10:00-11:00"},
		{"rule that adds", "Mo 08:00-09:00,Tu 10:00-11:00", "Mo 08:00-09:00, Tu 10:00-11:00"},
		{"note", `Sa 08:00-12:00 open "ring; at gate"`, `Sa 08:00-12:00 open "ring; at gate"`},
		{"note on always", `24/7 open "keypad"`, `24/7 open "keypad"`},
		{"never", "24/7 off", "off"},
		{"odd weeks", "WEEK 1-53/2 Mo 08:00-09:00", "week 01-53/2 Mo 08:00-09:00"},
		{"weeks of a year, with a colon", "2026 week 3,10-12: 08:00-09:00", "2026 week 03,10-12 08:00-09:00"},
		{"counted weekdays", "we[2], FR[-1,1-2] 8:00-9:00", "We[2],Fr[1,2,-1] 08:00-09:00"},
		{"public holidays last", "ph,Mo-Fr 08:00-09:00; PH off", "Mo-Fr,PH 08:00-09:00; PH off"},
		{"weeks before a comma", "week 10 open, We 08:00-09:00", "week 10 open, We 08:00-09:00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			h := parse(t, c.text)
			if h.String() != c.want {
				t.Errorf("Parse(%q) = %q, want %q", c.text, h, c.want)
			}
			if again := parse(t, h.String()); !again.Equal(h) {
				t.Errorf("Parse(%q) = %q, not equal", h, again)
			}
		})
	}
}

func TestSyntaxErrors(t *testing.T) {
	for _, c := range []struct {
		text    string
		column  int
		problem string
	}{
		{"", 1, "nothing is written here; write 24/7 for always or off for never"},
		{"  ", 3, "nothing is written here; write 24/7 for always or off for never"},
		{"SH off", 1, "school holidays (SH) are not read here; write the dates, such as Jul 01-Aug 31"},
		{"PH Mo-Fr 08:00-09:00", 4, "holidays that fall on certain weekdays are not read here; put a comma between PH and the weekdays for either of them"},
		{"PH + 1 day off", 4, "an open end (+) is not read here; write the closing time"},
		{"week 54 Mo", 6, `"54" is not understood here; expected the number of a week, 01 to 53`},
		{"week 50-02 Mo", 9, "the weeks run backwards, from 50 to 2; over the year's end write 50-53,01-02"},
		{"week 01-53/x", 12, "after the slash follows every how many weeks, 2 to 26"},
		{"week 10/2 Mo", 8, "repeats (/) are not read here; write each one"},
		{"Mo week 10", 4, `"week" is not understood here; weeks come after dates and before weekdays, and a semicolon stands between rules`},
		{"Mo-We[2] 08:00-09:00", 6, "only a single weekday can be counted in the month, such as We[2]"},
		{"Tu[6] 08:00-09:00", 4, "in brackets stand the numbers of a weekday in its month, 1 to 5, or -1 for the last"},
		{"Tu[3-2] 08:00-09:00", 5, "the numbers run backwards, from 3 to 2"},
		{"Tu[2 08:00-09:00", 6, `"08:00" is not understood here; expected a comma or a closing bracket`},
		{"Mo sunrise-10:00", 4, "times by the sun (sunrise) are not read here; write a clock time such as 06:30"},
		{"Mo 08:00-sunset", 10, "times by the sun (sunset) are not read here; write a clock time such as 18:00"},
		{"Mo 08:00+", 9, "an open end (+) is not read here; write the closing time"},
		{"Mo 08:00-09:00 || off", 16, `rules for "otherwise" (||) are not read here; write the rules in order, joined by a semicolon`},
		{`Mo 08:00-09:00 "ring"`, 16, `a note alone means "perhaps open", which cannot be planned with; write open "ring" or off "ring"`},
		{"Mo 08:00-09:00 unknown", 16, `"unknown" cannot be planned with; write open or off`},
		{`Mo off "shut`, 8, `this note has no closing quotation mark (")`},
		{"Monday 08:00-09:00", 1, `"Monday" is not understood; write Mo (weekdays are Mo, Tu, We, Th, Fr, Sa, Su)`},
		{"April 08:00-09:00", 1, `"April" is not understood; write Apr`},
		{"Mo 8-17", 4, `the number "8" is not understood here; times are written such as 08:00, dates such as Dec 24`},
		{"Mo 08:00", 9, "the text ends where a hyphen and the closing time, such as 08:00-17:00 should follow"},
		{"Mo 08:00-", 10, "the text ends where a time such as 17:00 should follow"},
		{"Mo 08:00-5pm", 10, `"5" is not understood here; expected a time such as 17:00`},
		{"Mo 08:00-09:75", 10, "there is no time 09:75"},
		{"Mo 08:00-48:01", 10, "there is no time 48:01"},
		{"Mo 08:00-09:5", 10, "09:5 is not a time; write hours and two digits of minutes, such as 08:00"},
		{"Mo 24:00-25:00", 4, "a time range begins before 24:00; 24:00 is in the next day"},
		{"Mo 08:00-08:00", 10, "it closes at the minute it opens; write 00:00-24:00 for the whole day"},
		{"Mo 24/7", 4, "24/7 stands alone in its rule; write 00:00-24:00 for whole days"},
		{"Mo 08:00-09:00 10:00-11:00", 16, `"10:00" is not understood here; a comma stands between times, and a semicolon between rules`},
		{"Mo 08:00-09:00 Dec 24", 16, `"Dec" is not understood here; dates come first in a rule, then weekdays, then times, and a semicolon between rules`},
		{"08:00-09:00 Mo", 13, `"Mo" is not understood here; weekdays come before times, and a semicolon stands between rules`},
		{"Feb 30 off", 5, "Feb has no day 30"},
		{"2026 Feb 29 off", 10, "2026 Feb has no day 29"},
		{"Dec 26-24 off", 8, "the days run backwards, from 26 to 24; for a range into another month write that month"},
		{"2028-2026 Mo", 6, "the years run backwards, from 2028 to 2026"},
		{"1066 Mo", 1, "1066 is not a year between 1900 and 2999"},
		{"2026 Nov-Mar", 10, "the range ends before it begins; over a year's end write the days and both years, such as 2026 Nov 01-2027 Mar 31"},
		{"2026 Dec 24-Jan 02", 13, "the range ends before it begins; if it runs into another year write that year before the month"},
		{"Dec 24-2027 Jan 02", 8, "the range ends with a year and begins without one; write the year of its beginning too"},
		{"2026 Dec 24,Dec 26 off", 13, "the date before has a year and this one has none; write its year too"},
		{"2026-2028 Dec 24 off", 11, "a range of years before a month is not read here; write one rule for each year"},
		{"Apr-Oct 15 off", 9, "the range begins with a month and ends with a day; write the day of its beginning too, such as Apr 01"},
		{"Apr 15-Oct off", 12, `"off" is not understood here; expected the number of a day`},
		{"Dec 24,Mo off", 8, `"Mo" is not understood here; expected a date such as Dec 24`},
		{"Mo-Fr 08:00-12:00; 14:00-16:00", 20, "this rule names no days, so it would replace all before it; put it first, or name its days, or join it with a comma to add to them"},
		{"Mo 08:00-09:00;; Tu off", 16, `";" is not understood here; expected days, times, open or off`},
		{"Mo 08:00-09:00 é?", 16, `"é" is not understood here`},
		{"é Mo", 1, `"é" is not understood here; expected days, times, open or off`},
		{"off \"\xff\"", 6, "this is not readable text (not UTF-8)"},
	} {
		t.Run(c.text, func(t *testing.T) {
			h, err := Parse(c.text)
			var syntax *SyntaxError
			if !errors.As(err, &syntax) {
				t.Fatalf("Parse(%q) = %q, %v, want a syntax error", c.text, h, err)
			}
			if syntax.Column != c.column || syntax.Problem != c.problem {
				t.Errorf("Parse(%q): column %d %q, want column %d %q", c.text, syntax.Column, syntax.Problem, c.column, c.problem)
			}
			if len(h.rules) > 0 {
				t.Errorf("Parse(%q) = %q beside the error, want the zero value", c.text, h)
			}
		})
	}
}

func TestFromRules(t *testing.T) {
	mo := []WeekdayRange{{From: time.Monday, To: time.Monday}}
	for _, c := range []struct {
		name  string
		rules []Rule
		want  string // empty: an error
	}{
		{"none", nil, "off"},
		{"one closed", []Rule{{Closed: true}}, "off"},
		{"always", []Rule{{}}, "24/7"},
		{"adds", []Rule{{Weekdays: mo}, {Adds: true, Times: []TimeRange{{60, 1500}}}}, "Mo open, 01:00-25:00"},
		{"first adds", []Rule{{Adds: true, Weekdays: mo}}, ""},
		{"no such weekday", []Rule{{Weekdays: []WeekdayRange{{From: 8, To: 9}}}}, ""},
		{"no such day", []Rule{{Dates: []DateRange{{Date{0, 2, 30}, Date{0, 2, 30}}}}}, ""},
		{"ends unlike", []Rule{{Dates: []DateRange{{Date{0, 2, 3}, Date{0, 4, 0}}}}}, ""},
		{"closes before it opens", []Rule{{Times: []TimeRange{{600, 540}}}}, ""},
		{"quotation mark in a note", []Rule{{Comment: `a "b" c`}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			h, err := FromRules(c.rules)
			if c.want == "" {
				if err == nil {
					t.Errorf("FromRules(%v) = %q, want an error", c.rules, h)
				}
			} else if err != nil || h.String() != c.want {
				t.Errorf("FromRules(%v) = %q, %v, want %q", c.rules, h, err, c.want)
			}
		})
	}
}

func TestTreeIsACopy(t *testing.T) {
	h := parse(t, "Dec 24 Mo 08:00-09:00")
	tree := h.Tree()
	tree[0].Closed = true
	tree[0].Dates[0].From.Day = 1
	tree[0].Weekdays[0].From = time.Friday
	tree[0].Times[0].OpenMin = 0
	if got := h.String(); got != "Dec 24 Mo 08:00-09:00" {
		t.Errorf("after a change to the tree the hours are %q", got)
	}
}

func TestZeroHoursAreNeverOpen(t *testing.T) {
	var never Hours
	from := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	if spans := never.Spans(time.UTC, from, from.AddDate(1, 0, 0)); len(spans) > 0 {
		t.Errorf("zero hours are open at %v", spans)
	}
	if never.String() != "off" || !parse(t, "off").Equal(never) {
		t.Errorf("zero hours are written %q", never)
	}
}
