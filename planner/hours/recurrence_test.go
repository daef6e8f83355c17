package hours

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/teambition/rrule-go"
	"pgregory.net/rapid"
)

const wallClock = "20060102T150405"

// expand gives the windows of a recurrence, by a general library of recurrence rules that had no part in making them.
func expand(t interface{ Fatalf(string, ...any) }, loc *time.Location, r Recurrence) []Span {
	if r.Rule == "" {
		return []Span{r.First}
	}
	if slices.Contains(skipMidnight, loc.String()) {
		return expandWall(t, loc, r)
	}
	lines := []string{
		"DTSTART;TZID=" + loc.String() + ":" + r.First.Open.In(loc).Format(wallClock),
		"RRULE:" + r.Rule,
	}
	for _, not := range r.Except {
		lines = append(lines, "EXDATE;TZID="+loc.String()+":"+not.Format(wallClock))
	}
	set, err := rrule.StrSliceToRRuleSet(lines)
	if err != nil {
		t.Fatalf("%v: %v", lines, err)
	}
	var spans []Span
	for _, open := range set.All() {
		spans = append(spans, Span{open, open.Add(r.First.Duration())})
	}
	if len(spans) == 0 || !spans[0].Open.Equal(r.First.Open) {
		t.Fatalf("%v: the first window is %v, want %v: DTSTART must be in the rule (RFC 5545, section 3.8.5.3)", lines, spans, r.First)
	}
	return spans
}

// skipMidnight are the zones of the tests whose clock is put forward at midnight. The library counts days by their midnights
// in the zone and comes to the day before when there is none, so there it is run on wall-clock times alone, as if the zone
// were UTC: that is what a recurrence rule counts in (RFC 5545, section 3.3.10).
var skipMidnight = []string{"America/Havana", "Africa/Cairo"}

func expandWall(t interface{ Fatalf(string, ...any) }, loc *time.Location, r Recurrence) []Span {
	rule, end, _ := strings.Cut(r.Rule, ";UNTIL=")
	until, err := time.Parse(wallClock+"Z", end)
	if err != nil {
		t.Fatalf("%+v: %v", r, err)
	}
	lines := []string{"DTSTART:" + r.First.Open.In(loc).Format(wallClock) + "Z", "RRULE:" + rule + ";UNTIL=" + until.In(loc).Format(wallClock) + "Z"}
	for _, not := range r.Except {
		lines = append(lines, "EXDATE:"+not.Format(wallClock)+"Z")
	}
	set, err := rrule.StrSliceToRRuleSet(lines)
	if err != nil {
		t.Fatalf("%v: %v", lines, err)
	}
	var spans []Span
	for _, wall := range set.All() {
		open := time.Date(wall.Year(), wall.Month(), wall.Day(), wall.Hour(), wall.Minute(), 0, 0, loc)
		spans = append(spans, Span{open, open.Add(r.First.Duration())})
	}
	return spans
}

// expandAll gives the windows of all, which must not give one twice.
func expandAll(t interface{ Fatalf(string, ...any) }, loc *time.Location, all []Recurrence) []Span {
	var spans []Span
	for _, r := range all {
		spans = append(spans, expand(t, loc, r)...)
	}
	slices.SortFunc(spans, func(a, b Span) int { return a.Open.Compare(b.Open) })
	for i := 1; i < len(spans); i++ {
		if spans[i].Open.Before(spans[i-1].Close) {
			t.Fatalf("%v and %v overlap: a window is given twice", spans[i-1], spans[i])
		}
	}
	return spans
}

// TestRFC5545Examples holds hours to the examples of RFC 5545, section 3.8.5.3, as far as hours can say them, three ways: the
// dates that the RFC lists (typed in), those of its own rule by the library, those of the hours, and those of the rules
// made of the hours. All begin at 9 in America/New_York as there; the windows are ten minutes long.
func TestRFC5545Examples(t *testing.T) {
	const nine = " 09:00-09:10"
	for _, c := range []struct {
		name          string
		hours         string
		from, through string // the days looked at
		dtstart, rule string // of the RFC
		want          string // year: month days …
		made          string // the rule made of the hours, without its end; empty: several, or none
	}{
		{"Daily for 10 occurrences", "1997 Sep 02-11" + nine, "1997-09-02", "1997-12-31", "19970902T090000", "FREQ=DAILY;COUNT=10",
			"1997 Sep 2,3,4,5,6,7,8,9,10,11", "FREQ=DAILY"},
		{"Every day in January, for 3 years", "Jan" + nine, "1998-01-01", "2000-12-31", "19980101T090000", "FREQ=DAILY;UNTIL=20000131T140000Z;BYMONTH=1",
			"1998 Jan 1-31 1999 Jan 1-31 2000 Jan 1-31", "FREQ=DAILY;BYMONTH=1"},
		{"Daily until December 24, 1997", "1997 Sep 02-1997 Dec 23" + nine, "1997-09-01", "1998-01-31", "19970902T090000", "FREQ=DAILY;UNTIL=19971224T000000Z",
			"1997 Sep 2-30 Oct 1-31 Nov 1-30 Dec 1-23", "FREQ=DAILY"},
		{"Weekly for 10 occurrences", "1997 Sep 02-1997 Nov 04 Tu" + nine, "1997-09-01", "1998-01-31", "19970902T090000", "FREQ=WEEKLY;COUNT=10",
			"1997 Sep 2,9,16,23,30 Oct 7,14,21,28 Nov 4", "FREQ=WEEKLY;BYDAY=TU"},
		{"Weekly until December 24, 1997", "1997 Sep 02-1997 Dec 23 Tu" + nine, "1997-09-01", "1998-01-31", "19970902T090000", "FREQ=WEEKLY;UNTIL=19971224T000000Z",
			"1997 Sep 2,9,16,23,30 Oct 7,14,21,28 Nov 4,11,18,25 Dec 2,9,16,23", "FREQ=WEEKLY;BYDAY=TU"},
		{"Every other week - forever", "week 02-52/2 Tu" + nine, "1997-09-02", "1998-02-17", "19970902T090000", "FREQ=WEEKLY;INTERVAL=2;WKST=SU",
			"1997 Sep 2,16,30 Oct 14,28 Nov 11,25 Dec 9,23 1998 Jan 6,20 Feb 3,17", "FREQ=WEEKLY;INTERVAL=2;WKST=MO;BYDAY=TU"},
		{"Weekly on Tuesday and Thursday for five weeks", "1997 Sep 02-1997 Oct 06 Tu,Th" + nine, "1997-09-02", "1997-12-31", "19970902T090000", "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH",
			"1997 Sep 2,4,9,11,16,18,23,25,30 Oct 2", "FREQ=WEEKLY;BYDAY=TU,TH"},
		{"Every other week on Monday, Wednesday, and Friday until December 24, 1997", "1997 Sep 01-1997 Dec 23 week 02-52/2 Mo,We,Fr" + nine, "1997-09-01", "1998-01-31", "19970901T090000", "FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR",
			"1997 Sep 1,3,5,15,17,19,29 Oct 1,3,13,15,17,27,29,31 Nov 10,12,14,24,26,28 Dec 8,10,12,22", "FREQ=WEEKLY;INTERVAL=2;WKST=MO;BYDAY=MO,WE,FR"},
		{"Every other week on Tuesday and Thursday, for 8 occurrences", "1997 Sep 02-1997 Oct 16 week 02-52/2 Tu,Th" + nine, "1997-09-01", "1998-01-31", "19970902T090000", "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH",
			"1997 Sep 2,4,16,18,30 Oct 2,14,16", "FREQ=WEEKLY;INTERVAL=2;WKST=MO;BYDAY=TU,TH"},
		{"Monthly on the first Friday for 10 occurrences", "Fr[1]" + nine, "1997-09-05", "1998-06-30", "19970905T090000", "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
			"1997 Sep 5 Oct 3 Nov 7 Dec 5 1998 Jan 2 Feb 6 Mar 6 Apr 3 May 1 Jun 5", "FREQ=MONTHLY;BYDAY=1FR"},
		{"Monthly on the first Friday until December 24, 1997", "1997 Fr[1]" + nine, "1997-09-05", "1998-06-30", "19970905T090000", "FREQ=MONTHLY;UNTIL=19971224T000000Z;BYDAY=1FR",
			"1997 Sep 5 Oct 3 Nov 7 Dec 5", "FREQ=MONTHLY;BYDAY=1FR"},
		{"Every other month on the first and last Sunday of the month for 10 occurrences", "Jan,Mar,May,Jul,Sep,Nov Su[1,-1]" + nine, "1997-09-07", "1998-05-31", "19970907T090000", "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
			"1997 Sep 7,28 Nov 2,30 1998 Jan 4,25 Mar 1,29 May 3,31", "FREQ=MONTHLY;BYMONTH=1,3,5,9,11;BYDAY=1SU,-1SU"},
		{"Monthly on the second-to-last Monday of the month for 6 months", "Mo[-2]" + nine, "1997-09-22", "1998-02-28", "19970922T090000", "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
			"1997 Sep 22 Oct 20 Nov 17 Dec 22 1998 Jan 19 Feb 16", "FREQ=MONTHLY;BYDAY=-2MO"},
		{"Monthly on the 2nd and 15th of the month for 10 occurrences", "Jan 02,15,Feb 02,15,Mar 02,15,Apr 02,15,May 02,15,Jun 02,15,Jul 02,15,Aug 02,15,Sep 02,15,Oct 02,15,Nov 02,15,Dec 02,15" + nine, "1997-09-02", "1998-01-31", "19970902T090000", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15",
			"1997 Sep 2,15 Oct 2,15 Nov 2,15 Dec 2,15 1998 Jan 2,15", "FREQ=MONTHLY;BYMONTHDAY=2,15"},
		{"Monthly on the first and last day of the month for 10 occurrences", "Sep 30,Oct 01,31,Nov 01,30,Dec 01,31,Jan 01,31,Feb 01" + nine, "1997-09-30", "1998-02-27", "19970930T090000", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
			"1997 Sep 30 Oct 1,31 Nov 1,30 Dec 1,31 1998 Jan 1,31 Feb 1", ""},
		{"Every 18 months on the 10th thru 15th of the month for 10 occurrences", "1997 Sep 10-15,1999 Mar 10-13" + nine, "1997-09-10", "1999-12-31", "19970910T090000", "FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15",
			"1997 Sep 10,11,12,13,14,15 1999 Mar 10,11,12,13", ""},
		{"Every Tuesday, every other month", "Jan,Mar,May,Jul,Sep,Nov Tu" + nine, "1997-09-02", "1998-03-31", "19970902T090000", "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU",
			"1997 Sep 2,9,16,23,30 Nov 4,11,18,25 1998 Jan 6,13,20,27 Mar 3,10,17,24,31", "FREQ=WEEKLY;BYMONTH=1,3,9,11;BYDAY=TU"},
		{"Yearly in June and July for 10 occurrences", "Jun 10,Jul 10" + nine, "1997-06-10", "2001-12-31", "19970610T090000", "FREQ=YEARLY;COUNT=10;BYMONTH=6,7",
			"1997 Jun 10 Jul 10 1998 Jun 10 Jul 10 1999 Jun 10 Jul 10 2000 Jun 10 Jul 10 2001 Jun 10 Jul 10", "FREQ=YEARLY;BYMONTH=6,7;BYMONTHDAY=10"},
		{"Every other year on January, February, and March for 10 occurrences", "1997 Mar 10,1999 Jan 10,1999 Feb 10,1999 Mar 10,2001 Jan 10,2001 Feb 10,2001 Mar 10,2003 Jan 10,2003 Feb 10,2003 Mar 10" + nine, "1997-03-10", "2003-12-31", "19970310T090000", "FREQ=YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3",
			"1997 Mar 10 1999 Jan 10 Feb 10 Mar 10 2001 Jan 10 Feb 10 Mar 10 2003 Jan 10 Feb 10 Mar 10", ""},
		{"Monday of week number 20 (where the default start of the week is Monday), forever", "week 20 Mo" + nine, "1997-05-12", "1999-12-31", "19970512T090000", "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO",
			"1997 May 12 1998 May 11 1999 May 17", ""},
		{"Every Thursday in March, forever", "Mar Th" + nine, "1997-03-13", "1999-12-31", "19970313T090000", "FREQ=YEARLY;BYMONTH=3;BYDAY=TH",
			"1997 Mar 13,20,27 1998 Mar 5,12,19,26 1999 Mar 4,11,18,25", "FREQ=WEEKLY;BYMONTH=3;BYDAY=TH"},
		{"Every Thursday, but only during June, July, and August, forever", "Jun-Aug Th" + nine, "1997-06-05", "1999-12-31", "19970605T090000", "FREQ=YEARLY;BYDAY=TH;BYMONTH=6,7,8",
			"1997 Jun 5,12,19,26 Jul 3,10,17,24,31 Aug 7,14,21,28 1998 Jun 4,11,18,25 Jul 2,9,16,23,30 Aug 6,13,20,27 1999 Jun 3,10,17,24 Jul 1,8,15,22,29 Aug 5,12,19,26", "FREQ=WEEKLY;BYMONTH=6,7,8;BYDAY=TH"},
		{"Every Friday the 13th, forever", "Jan 13,Feb 13,Mar 13,Apr 13,May 13,Jun 13,Jul 13,Aug 13,Sep 13,Oct 13,Nov 13,Dec 13 Fr" + nine, "1997-09-03", "2000-12-31", "19970902T090000", "FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13",
			"1998 Feb 13 Mar 13 Nov 13 1999 Aug 13 2000 Oct 13", ""},
		{"The first Saturday that follows the first Sunday of the month, forever", "Jan 07-13,Feb 07-13,Mar 07-13,Apr 07-13,May 07-13,Jun 07-13,Jul 07-13,Aug 07-13,Sep 07-13,Oct 07-13,Nov 07-13,Dec 07-13 Sa" + nine, "1997-09-13", "1998-06-30", "19970913T090000", "FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13",
			"1997 Sep 13 Oct 11 Nov 8 Dec 13 1998 Jan 10 Feb 7 Mar 7 Apr 11 May 9 Jun 13", ""},
		{"An example where the days generated makes a difference because of WKST: Monday", "1997 Aug 05-24 week 02-52/2 Tu,Su" + nine, "1997-08-01", "1997-12-31", "19970805T090000", "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
			"1997 Aug 5,10,19,24", "FREQ=WEEKLY;INTERVAL=2;WKST=MO;BYDAY=TU,SU"},
		{"An example where an invalid date (i.e., February 30) is ignored", "2007 Jan 15,2007 Jan 30,2007 Feb 15,2007 Mar 15,2007 Mar 30" + nine, "2007-01-15", "2007-12-31", "20070115T090000", "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5",
			"2007 Jan 15,30 Feb 15 Mar 15,30", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			loc := location(t, "America/New_York")
			from, through := midnight(t, loc, c.from), midnight(t, loc, c.through).AddDate(0, 0, 1)
			want := nines(t, loc, c.want)
			theirs, err := rrule.StrSliceToRRuleSet([]string{"DTSTART;TZID=America/New_York:" + c.dtstart, "RRULE:" + c.rule})
			if err != nil {
				t.Fatal(err)
			}
			if got := theirs.Between(from, through, true); !slices.EqualFunc(got, want, time.Time.Equal) {
				t.Fatalf("the rule of the RFC gives %v, and what is typed in is %v", got, want)
			}
			h := parse(t, c.hours)
			if got := openings(h.Spans(loc, from, through)); !slices.EqualFunc(got, want, time.Time.Equal) {
				t.Fatalf("%q opens %v, want %v", h, got, want)
			}
			made := h.Recurrences(loc, from, through)
			if got := openings(expandAll(t, loc, made)); !slices.EqualFunc(got, want, time.Time.Equal) {
				t.Fatalf("%q is written %+v, which opens %v, want %v", h, made, got, want)
			}
			if rule, _, _ := strings.Cut(made[0].Rule, ";UNTIL="); c.made != "" && (rule != c.made || len(made) != 1 || len(made[0].Except) != 0) {
				t.Errorf("%q is written %+v, want the one rule %s", h, made, c.made)
			}
		})
	}
}

// TestRFC5545ExamplesOfOneDay: the examples of section 3.8.5.3 that repeat within a day are several windows of it here.
func TestRFC5545ExamplesOfOneDay(t *testing.T) {
	for _, c := range []struct{ name, hours, rule, want string }{
		{"Every 3 hours from 9:00 AM to 5:00 PM on a specific day", "1997 Sep 02 09:00-09:10,12:00-12:10,15:00-15:10", "FREQ=HOURLY;INTERVAL=3;UNTIL=19970902T210000Z", "09:00 12:00 15:00"},
		{"Every 15 minutes for 6 occurrences", "1997 Sep 02 09:00-09:10,09:15-09:25,09:30-09:40,09:45-09:55,10:00-10:10,10:15-10:25", "FREQ=MINUTELY;INTERVAL=15;COUNT=6", "09:00 09:15 09:30 09:45 10:00 10:15"},
		{"Every hour and a half for 4 occurrences", "1997 Sep 02 09:00-09:10,10:30-10:40,12:00-12:10,13:30-13:40", "FREQ=MINUTELY;INTERVAL=90;COUNT=4", "09:00 10:30 12:00 13:30"},
	} {
		t.Run(c.name, func(t *testing.T) {
			loc := location(t, "America/New_York")
			from := midnight(t, loc, "1997-09-01")
			theirs, err := rrule.StrSliceToRRuleSet([]string{"DTSTART;TZID=America/New_York:19970902T090000", "RRULE:" + c.rule})
			if err != nil {
				t.Fatal(err)
			}
			h := parse(t, c.hours)
			for who, got := range map[string][]time.Time{
				"the RFC": theirs.All(), "the hours": openings(h.Spans(loc, from, from.AddDate(0, 1, 0))),
				"the calendar": openings(expandAll(t, loc, h.Recurrences(loc, from, from.AddDate(0, 1, 0)))),
			} {
				var clocks []string
				for _, at := range got {
					clocks = append(clocks, at.In(loc).Format("15:04"))
				}
				if text := strings.Join(clocks, " "); text != c.want {
					t.Errorf("%s: %s, want %s", who, text, c.want)
				}
			}
		})
	}
}

func openings(spans []Span) []time.Time {
	list := make([]time.Time, len(spans))
	for i, s := range spans {
		list[i] = s.Open
	}
	return list
}

// nines reads "1997 Sep 2,9 Oct 1-31" as nine o'clock on these days.
func nines(t *testing.T, loc *time.Location, text string) []time.Time {
	t.Helper()
	var list []time.Time
	var year, month string
	for _, word := range strings.Fields(text) {
		switch {
		case len(word) == 4 && word[0] >= '0' && word[0] <= '9' && !strings.ContainsAny(word, ",-"):
			year = word
		case word[0] >= 'A':
			month = word
		default:
			for days := range strings.SplitSeq(word, ",") {
				a, b, through := strings.Cut(days, "-")
				if !through {
					b = a
				}
				at := nine(t, loc, year, month, a)
				for last := nine(t, loc, year, month, b); !at.After(last); at = at.AddDate(0, 0, 1) {
					list = append(list, at)
				}
			}
		}
	}
	return list
}

func nine(t *testing.T, loc *time.Location, year, month, day string) time.Time {
	t.Helper()
	at, err := time.ParseInLocation("2006 Jan 2 15", year+" "+month+" "+day+" 09", loc)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

// TestRecurrencesExpandToSpans: whatever the hours, a general library makes of the rules what Spans makes of the hours, to
// the minute, over more than a year with both changes of the clock in it.
func TestRecurrencesExpandToSpans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loc := drawZone(t)
		h := drawRules(t, "hours")
		from := time.Date(2026, time.Month(rapid.IntRange(1, 12).Draw(t, "month")), rapid.IntRange(1, 28).Draw(t, "day"), 0, 0, 0, 0, time.UTC)
		checkRecurrences(t, loc, h, from, 400)
	})
}

// checkRecurrences compares from two days after the date, when nothing reaches in from before, for that many days.
func checkRecurrences(t interface{ Fatalf(string, ...any) }, loc *time.Location, h Hours, date time.Time, days int) (entries, windows int) {
	day := func(n int) time.Time { return time.Date(date.Year(), date.Month(), date.Day()+n, 12, 0, 0, 0, loc) }
	made := h.Recurrences(loc, day(0), day(days))
	from, to := day(2), day(days-1)
	within := []Span{{from, to}}
	all := expandAll(t, loc, made)
	got := Intersect(Union(all, nil), within)
	if want := h.Spans(loc, from, to); !sameSpans(got, want) {
		differ := Union(Subtract(got, want), Subtract(want, got))
		t.Fatalf("%q in %v is written %+v: differs at %v", h, loc, made, differ)
	}
	return len(made), len(all)
}

// TestRecurrencesOfReference does the same with the expressions that are compared with another reading of the notation, for
// a year with its public holidays.
func TestRecurrencesOfReference(t *testing.T) {
	ref := readReference(t)
	entries, windows := 0, 0
	for zone, name := range ref.Zones {
		loc := location(t, name)
		for i, c := range ref.Cases {
			if i%len(ref.Zones) != zone { // each in one zone: the expansion by the library takes its time
				continue
			}
			h := parse(t, c.Text).Observing(listedDays(ref.Holidays))
			e, w := checkRecurrences(t, loc, h, time.Date(ref.Year, 1, 1, 0, 0, 0, 0, time.UTC), 365)
			entries, windows = entries+e, windows+w
		}
	}
	t.Logf("%d expressions: %d windows in a year in %d entries", len(ref.Cases), windows, entries)
}

func TestRecurrencesReadAsAPersonWouldSayThem(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       []string // first opening, rule without its end, exceptions, note
	}{
		{"weekdays but for a holiday", "2026 Mo-Fr 05:00-09:00; PH off", []string{"2026-01-01 05:00 FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR not 02-03 03-03 04-03 06-03 07-03 08-03 09-03 11-03 12-03"}},
		{"all but one weekday", "Mo-Sa 06:00-19:00", []string{"2026-01-01 06:00 FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR,SA"}},
		{"over midnight", "Fr 22:00-02:00", []string{"2026-01-02 22:00 FREQ=WEEKLY;BYDAY=FR"}},
		{"a season", "Apr-Oct Mo 08:00-10:00", []string{"2026-04-06 08:00 FREQ=WEEKLY;BYMONTH=4,5,6,7,8,9,10;BYDAY=MO"}},
		{"a later rule takes a day over", "Mo-Fr 08:00-16:00; We 08:00-20:00", []string{"2026-01-01 08:00 FREQ=WEEKLY;BYDAY=MO,TU,TH,FR", "2026-01-07 08:00 FREQ=WEEKLY;BYDAY=WE"}},
		{"days of the month by number", "We[2] 08:00-12:00, Fr[-1] 13:00-16:00", []string{"2026-01-14 08:00 FREQ=MONTHLY;BYDAY=2WE", "2026-01-30 13:00 FREQ=MONTHLY;BYDAY=-1FR"}},
		{"some days in a row", "2026 Aug 03-07 06:00-18:00", []string{"2026-08-03 06:00 FREQ=DAILY"}},
		{"dates of every year", "Dec 24,31 08:00-12:00", []string{"2026-12-24 08:00 FREQ=YEARLY;BYMONTH=12;BYMONTHDAY=24,31"}},
		{"every second week of a year with 53, and of the next", "week 01-53/2 Tu 08:00-12:00", []string{"2026-01-13 08:00 FREQ=WEEKLY;INTERVAL=2;WKST=MO;BYDAY=TU", "2027-01-05 08:00 FREQ=WEEKLY;INTERVAL=2;WKST=MO;BYDAY=TU"}},
		{"always", "24/7", []string{"2026-01-01 00:00 FREQ=DAILY not 03-08 11-01 03-14 11-07", "2026-03-08 00:00", "2026-11-01 00:00", "2027-03-14 00:00", "2027-11-07 00:00"}},
		{"one day that is left out", "Sa 08:00-12:00; 2026 May 09 off", []string{"2026-01-03 08:00 FREQ=WEEKLY;BYDAY=SA not 05-09"}},
		{"one day", "2026 May 09 08:00-12:00 open \"ask for Ann\"", []string{"2026-05-09 08:00  ask for Ann"}},
		{"notes of two rules", "Mo 08:00-12:00 open \"ring\"; Tu 08:00-12:00 open \"knock\"", []string{"2026-01-05 08:00 FREQ=WEEKLY;BYDAY=MO ring", "2026-01-06 08:00 FREQ=WEEKLY;BYDAY=TU knock"}},
		{"a note that was replaced", "Mo 08:00-12:00 open \"ring\"; Mo 10:00-12:00", []string{"2026-01-05 10:00 FREQ=WEEKLY;BYDAY=MO"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			loc := location(t, "America/New_York")
			from := midnight(t, loc, "2026-01-01")
			var got []string
			for _, r := range parse(t, c.text).Observing(thirds{}).Recurrences(loc, from, from.AddDate(2, 0, 0)) {
				rule, _, _ := strings.Cut(r.Rule, ";UNTIL=")
				text := r.First.Open.Format("2006-01-02 15:04") + " " + rule
				if len(r.Except) > 0 {
					text += " not"
				}
				for _, not := range r.Except {
					text += " " + not.Format("01-02")
				}
				got = append(got, strings.TrimRight(text+" "+r.Note, " "))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%q is written\n%s\nwant\n%s", c.text, strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
		})
	}
}

// TestRecurrencesOfAChangedClock: a window 01:30 to 03:30 lasts an hour on the one day and three on the other (15 U.S.C. 260a:
// 8 March and 1 November 2026), which a rule cannot say: these days stand alone.
func TestRecurrencesOfAChangedClock(t *testing.T) {
	loc := location(t, "America/New_York")
	from := midnight(t, loc, "2026-01-01")
	made := parse(t, "01:30-03:30").Recurrences(loc, from, from.AddDate(1, 0, 0))
	lengths := map[string]time.Duration{}
	for _, r := range made {
		if r.Rule == "" {
			lengths[r.First.Open.Format(time.DateOnly)] = r.First.Duration()
		}
	}
	if len(made) != 3 || len(made[0].Except) != 2 || lengths["2026-03-08"] != time.Hour || lengths["2026-11-01"] != 3*time.Hour {
		t.Errorf("made %+v", made)
	}
}
