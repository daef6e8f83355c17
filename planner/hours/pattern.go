package hours

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// almanac is a run of calendar days with what patterns ask of them.
type almanac []almanacDay

type almanacDay struct {
	date    time.Time // midnight UTC
	weekday time.Weekday
	month   time.Month
	day     int
	week    int // counted from some Monday
	nth     int // which of its weekday in the month
	fromEnd int // the same from the end, -1 for the last
}

func newAlmanac(first time.Time, n int) almanac {
	a := make(almanac, n)
	monday := int(first.Weekday()+6) % 7
	for i := range a {
		date := first.AddDate(0, 0, i)
		year, month, day := date.Date()
		last := time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
		a[i] = almanacDay{date, date.Weekday(), month, day, (monday + i) / 7, (day + 6) / 7, -(last - day + 7) / 7}
	}
	return a
}

// pattern is days that one recurrence rule gives, from its first day to its last.
type pattern struct {
	family
	picks       []pick
	days        []int // that the rule gives, were it without beginning and end; in order
	first, last int   // both are days that the hours have
	except      []int // between them, given by the rule and not had by the hours
	gain        int
}

// family is what the picks of one rule share.
type family struct {
	repeats repeats
	step    int      // of weeks
	phase   int      // the first week counted, below step
	months  monthSet // zero: every month
}

type repeats int

const (
	weekly    repeats = iota // weekdays, every so many weeks
	monthly                  // weekdays by their number in the month
	monthDays                // days of the month by their number
)

// monthSet has a bit for each month, 1<<1 for January.
type monthSet uint16

const everyMonth monthSet = 1<<13 - 2

func (m monthSet) has(month time.Month) bool { return m == 0 || m&(1<<month) != 0 }

// pick is one entry of BYDAY or BYMONTHDAY.
type pick struct {
	weekday time.Weekday
	nth     int // in the month, from its end when below zero; zero: every one
	day     int // of the month; zero: the weekday counts
}

func (p pick) String() string {
	name := strings.ToUpper(weekdayText(p.weekday))
	switch {
	case p.day != 0:
		return strconv.Itoa(p.day)
	case p.nth != 0:
		return strconv.Itoa(p.nth) + name
	}
	return name
}

// What a day is worth in the search for a rule: a window that it says is one less to write; a day too many is an exception
// to write, and harder to understand than a second rule.
const (
	exceptionCost = 3
	ruleCost      = 1
)

// fit finds patterns that together give days of the set, the one that says most first, and takes their days out of it. What
// is left is in no pattern of two days or more.
func (a almanac) fit(on []bool, steps []int) []pattern {
	var patterns []pattern
	for {
		best := pattern{}
		for _, f := range a.families(on, steps) {
			if p := a.join(f, on); p.gain > best.gain {
				best = p
			}
		}
		if best.gain <= 0 {
			return patterns
		}
		for _, day := range best.days {
			if day < best.first || day > best.last {
				continue
			}
			if !on[day] {
				best.except = append(best.except, day)
			}
			on[day] = false
		}
		patterns = append(patterns, best)
	}
}

// families lists the kinds of rules to try, plain ones first: of two that say as much the first is taken.
func (a almanac) families(on []bool, steps []int) []family {
	var all monthSet
	byWeekday := make([]monthSet, 7)
	for i, is := range on {
		if is {
			all |= 1 << a[i].month
			byWeekday[a[i].weekday] |= 1 << a[i].month
		}
	}
	if all == 0 {
		return nil
	}
	seasons := []monthSet{0}
	for _, m := range append([]monthSet{all}, byWeekday...) {
		if m != 0 && m != everyMonth && !slices.Contains(seasons, m) {
			seasons = append(seasons, m)
		}
	}
	var list []family
	for _, k := range []repeats{weekly, monthly, monthDays} {
		for _, m := range seasons {
			if k != weekly {
				list = append(list, family{k, 1, 0, m})
				continue
			}
			for _, step := range steps {
				for phase := range step {
					list = append(list, family{k, step, phase, m})
				}
			}
		}
	}
	for m := time.January; m <= time.December; m++ {
		if all.has(m) && !slices.Contains(seasons, 1<<m) {
			list = append(list, family{monthDays, 1, 0, 1 << m})
		}
	}
	return list
}

// join puts those picks of a family together that say more with each other than without.
func (a almanac) join(f family, on []bool) pattern {
	var single []pattern
	for p, days := range a.picks(f) {
		if one := (pattern{family: f, picks: []pick{p}, days: days}); one.weigh(on) {
			single = append(single, one)
		}
	}
	if len(single) == 0 {
		return a.orDaily(f, on, pattern{})
	}
	slices.SortFunc(single, func(x, y pattern) int { return cmp.Or(cmp.Compare(y.gain, x.gain), x.picks[0].compare(y.picks[0])) })
	best := single[0]
	for _, s := range single[1:] {
		both := pattern{family: f, picks: slices.Concat(best.picks, s.picks), days: mergeDays(best.days, s.days)}
		if both.weigh(on) && both.gain > best.gain {
			best = both
		}
	}
	slices.SortFunc(best.picks, pick.compare)
	return a.orDaily(f, on, best)
}

// orDaily is the best of a family, or every day where that says more: some days in a row are a rule when no weekday among
// them is one.
func (a almanac) orDaily(f family, on []bool, best pattern) pattern {
	if f.repeats != weekly || f.step != 1 {
		return best
	}
	if daily := a.daily(f); daily.weigh(on) && daily.gain > best.gain {
		return daily
	}
	return best
}

// daily is every day of a family of weekdays.
func (a almanac) daily(f family) pattern {
	p := pattern{family: f}
	for weekday := range time.Weekday(7) {
		p.picks = append(p.picks, pick{weekday: weekday})
	}
	for i, d := range a {
		if f.months.has(d.month) {
			p.days = append(p.days, i)
		}
	}
	return p
}

// compare orders picks as a rule lists them: from the beginning of the month, then from its end; Monday first.
func (p pick) compare(o pick) int {
	order := func(nth int) int { return (nth + 10) % 10 } // 1 to 5, then -5 to -1
	return cmp.Or(cmp.Compare(order(p.nth), order(o.nth)), cmp.Compare((p.weekday+6)%7, (o.weekday+6)%7), cmp.Compare(p.day, o.day))
}

// picks lists the days of each pick of a family.
func (a almanac) picks(f family) map[pick][]int {
	days := map[pick][]int{}
	add := func(p pick, i int) { days[p] = append(days[p], i) }
	for i, d := range a {
		switch {
		case !f.months.has(d.month):
		case f.repeats == weekly && d.week%f.step == f.phase:
			add(pick{weekday: d.weekday}, i)
		case f.repeats == monthly:
			add(pick{weekday: d.weekday, nth: d.nth}, i)
			add(pick{weekday: d.weekday, nth: d.fromEnd}, i)
		case f.repeats == monthDays:
			add(pick{day: d.day}, i)
		}
	}
	return days
}

// weigh finds the stretch of the pattern's days that says most: the best sum of neighbours, by one pass (Bentley 1984,
// Communications of the ACM 27:865, doi 10.1145/358234.381162). It reports whether that is worth a rule.
func (p *pattern) weigh(on []bool) bool {
	p.gain = 0
	sum, from := 0, 0
	for _, day := range p.days {
		if sum <= 0 {
			sum, from = 0, day
		}
		if !on[day] {
			sum -= exceptionCost
			continue
		}
		if sum++; sum-ruleCost > p.gain {
			p.gain, p.first, p.last = sum-ruleCost, from, day
		}
	}
	return p.gain > 0
}

func mergeDays(a, b []int) []int {
	both := slices.Concat(a, b)
	slices.Sort(both)
	return slices.Compact(both)
}

// rule writes the pattern as a recurrence rule without an end (RFC 5545, section 3.3.10).
func (p pattern) rule() string {
	parts := []string{"FREQ=" + p.frequency()}
	if p.step > 1 {
		parts = append(parts, fmt.Sprintf("INTERVAL=%d", p.step), "WKST=MO")
	}
	if p.months != 0 {
		var months []string
		for m := time.January; m <= time.December; m++ {
			if p.months.has(m) {
				months = append(months, strconv.Itoa(int(m)))
			}
		}
		parts = append(parts, "BYMONTH="+strings.Join(months, ","))
	}
	switch {
	case p.repeats == monthDays:
		parts = append(parts, "BYMONTHDAY="+join(p.picks))
	case !p.daily():
		parts = append(parts, "BYDAY="+join(p.picks))
	}
	return strings.Join(parts, ";")
}

func (p pattern) daily() bool { return p.repeats == weekly && p.step == 1 && len(p.picks) == 7 }

func (p pattern) frequency() string {
	switch {
	case p.daily():
		return "DAILY"
	case p.repeats == weekly:
		return "WEEKLY"
	case p.repeats == monthDays && p.months != 0:
		return "YEARLY"
	}
	return "MONTHLY"
}
