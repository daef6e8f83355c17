package hours

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// parser reads tokens by recursive descent: one method for each rule of the grammar in the package comment.
type parser struct {
	text   string
	tokens []token // the last one is endOfText
	at     int
}

func (p *parser) hours() ([]Rule, error) {
	if p.peek().kind == endOfText {
		return nil, p.fail(p.peek(), `nothing is written here; write 24/7 for always or off for never`)
	}
	var rules []Rule
	adds := false
	for {
		start := p.peek()
		r, err := p.rule()
		if err != nil {
			return nil, err
		}
		r.Adds = adds
		if len(rules) > 0 && r.replacesAll() {
			return nil, p.fail(start, "this rule names no days, so it would replace all before it; put it first, or name its days, or join it with a comma to add to them")
		}
		rules = append(rules, r)
		t := p.peek()
		adds = t.is(",")
		if !adds && !t.is(";") {
			break
		}
		p.next()
		if t.is(";") && p.peek().kind == endOfText {
			break
		}
	}
	if t := p.peek(); t.kind != endOfText {
		return nil, p.fail(t, misplaced(t))
	}
	return rules, nil
}

func (p *parser) rule() (Rule, error) {
	var r Rule
	start := p.peek()
	if start.kind == always {
		p.next()
		err := p.state(&r)
		return r, err
	}
	for _, part := range []func(*Rule) error{p.dates, p.weeks, p.days, p.times, p.state} {
		if err := part(&r); err != nil {
			return r, err
		}
	}
	if p.peek() == start {
		return r, p.fail(start, missing("days, times, open or off", start))
	}
	return r, nil
}

func (p *parser) dates(r *Rule) error {
	if !startsDate(p.peek()) {
		return nil
	}
	for {
		start := p.peek()
		d, err := p.dateRange(r.Dates)
		if err != nil {
			return err
		}
		if n := len(r.Dates); n > 0 && r.Dates[n-1].From.Year != 0 && d.From.Year == 0 {
			return p.fail(start, "the date before has a year and this one has none; write its year too")
		}
		r.Dates = append(r.Dates, d)
		if !p.accept(",") {
			break
		}
	}
	if !p.peek().isWord("week") {
		p.accept(":")
	}
	return nil
}

// weeks reads the word week and its ranges: week 01-53/2.
func (p *parser) weeks(r *Rule) error {
	if !p.peek().isWord("week") {
		return nil
	}
	p.next()
	for {
		w, err := p.weekRange()
		if err != nil {
			return err
		}
		r.Weeks = append(r.Weeks, w)
		if !p.peek().is(",") || p.tokens[p.at+1].kind != number || isYear(p.tokens[p.at+1]) {
			break
		}
		p.next()
	}
	p.accept(":")
	return nil
}

func (p *parser) weekRange() (WeekRange, error) {
	from, err := p.week()
	w := WeekRange{From: from, To: from}
	if err != nil || !p.accept("-") {
		return w, err
	}
	end := p.peek()
	if w.To, err = p.week(); err != nil {
		return w, err
	}
	if w.To < w.From {
		return w, p.fail(end, fmt.Sprintf("the weeks run backwards, from %d to %d; over the year's end write %02d-53,01-%02d", w.From, w.To, w.From, w.To))
	}
	if !p.accept("/") {
		return w, nil
	}
	step := p.peek()
	w.Every, _ = strconv.Atoi(step.text)
	if step.kind != number || w.Every < 2 || w.Every > 26 {
		return w, p.fail(step, "after the slash follows every how many weeks, 2 to 26")
	}
	p.next()
	return w, nil
}

func (p *parser) week() (int, error) {
	t := p.peek()
	n, _ := strconv.Atoi(t.text)
	if t.kind != number || n < 1 || n > 53 || len(t.text) > 2 {
		return 0, p.fail(t, missing("the number of a week, 01 to 53", t))
	}
	p.next()
	return n, nil
}

// dateRange reads one range; before are those to its left, for a bare day number goes on in the month of the last.
func (p *parser) dateRange(before []DateRange) (DateRange, error) {
	t := p.peek()
	switch {
	case isYear(t):
		return p.rangeFromYear()
	case isMonth(t):
		return p.rangeFromMonth(0)
	case t.kind == number && len(before) > 0 && before[len(before)-1].To.Day != 0:
		return p.rangeFromDay(before[len(before)-1].To)
	}
	return DateRange{}, p.fail(t, missing("a date such as Dec 24", t))
}

// rangeFromYear reads 2026, 2026-2028, and what may follow a year.
func (p *parser) rangeFromYear() (DateRange, error) {
	year, err := p.year()
	if err != nil {
		return DateRange{}, err
	}
	if isMonth(p.peek()) {
		return p.rangeFromMonth(year)
	}
	d := DateRange{Date{Year: year}, Date{Year: year}}
	if !p.accept("-") {
		return d, nil
	}
	end := p.peek()
	if d.To.Year, err = p.year(); err != nil {
		return d, err
	}
	if d.To.Year < year {
		return d, p.fail(end, fmt.Sprintf("the years run backwards, from %d to %d", year, d.To.Year))
	}
	if t := p.peek(); isMonth(t) {
		return d, p.fail(t, "a range of years before a month is not read here; write one rule for each year")
	}
	return d, nil
}

// rangeFromMonth reads Apr, Apr-Oct, and what may follow a month.
func (p *parser) rangeFromMonth(year int) (DateRange, error) {
	month := monthOf(p.next())
	if t := p.peek(); t.kind == number && !isYear(t) {
		return p.rangeFromDay(Date{Year: year, Month: month})
	}
	d := DateRange{Date{year, month, 0}, Date{year, month, 0}}
	if !p.accept("-") {
		return d, nil
	}
	end := p.peek()
	if !isMonth(end) {
		return d, p.fail(end, missing("a month such as Oct (for a range over two years write the days: 2026 Nov 01-2027 Mar 31)", end))
	}
	d.To.Month = monthOf(p.next())
	if t := p.peek(); t.kind == number && !isYear(t) {
		return d, p.fail(t, fmt.Sprintf("the range begins with a month and ends with a day; write the day of its beginning too, such as %v 01", monthText(month)))
	}
	return d, p.checkOrder(end, d)
}

// rangeFromDay reads 24, 24-26 and 24-Jan 02, in a year and month already known.
func (p *parser) rangeFromDay(in Date) (DateRange, error) {
	var d DateRange
	var err error
	if d.From, err = p.day(in); err != nil {
		return d, err
	}
	d.To = d.From
	if !p.accept("-") {
		return d, nil
	}
	end := p.peek()
	to := in
	short := !isYear(end) && !isMonth(end)
	if isYear(end) {
		if in.Year == 0 {
			return d, p.fail(end, "the range ends with a year and begins without one; write the year of its beginning too")
		}
		if to.Year, err = p.year(); err != nil {
			return d, err
		}
		if t := p.peek(); !isMonth(t) {
			return d, p.fail(t, missing("a month such as Jan", t))
		}
	}
	if isMonth(p.peek()) {
		to.Month = monthOf(p.next())
	}
	if d.To, err = p.day(to); err != nil {
		return d, err
	}
	if short && d.To.Day < d.From.Day {
		return d, p.fail(end, fmt.Sprintf("the days run backwards, from %d to %d; for a range into another month write that month", d.From.Day, d.To.Day))
	}
	return d, p.checkOrder(end, d)
}

// checkOrder refuses a range that begins in a given year and ends before it began.
func (p *parser) checkOrder(end token, d DateRange) error {
	if d.From.Year == 0 || dateKey(d.From.Year, d.From.Month, d.From.Day) <= dateKey(d.To.Year, d.To.Month, d.To.Day) {
		return nil
	}
	if d.From.Day == 0 {
		return p.fail(end, fmt.Sprintf("the range ends before it begins; over a year's end write the days and both years, such as %v 01-%d Mar 31", d.From, d.From.Year+1))
	}
	return p.fail(end, "the range ends before it begins; if it runs into another year write that year before the month")
}

func (p *parser) year() (int, error) {
	t := p.peek()
	if !isYear(t) {
		return 0, p.fail(t, missing("a year such as 2026", t))
	}
	year, _ := strconv.Atoi(t.text) // four digits
	if year < firstYear || year > lastYear {
		return 0, p.fail(t, fmt.Sprintf("%s is not a year between %d and %d", t.text, firstYear, lastYear))
	}
	p.next()
	return year, nil
}

// day reads the number of a day in a year (zero: any) and month.
func (p *parser) day(in Date) (Date, error) {
	t := p.peek()
	if t.kind != number {
		return in, p.fail(t, missing("the number of a day", t))
	}
	day, err := strconv.Atoi(t.text)
	year := in.Year
	if year == 0 {
		year = 2000 // a leap year, so that Feb 29 may be written
	}
	longest := time.Date(year, in.Month+1, 0, 0, 0, 0, 0, time.UTC).Day()
	if err != nil || day < 1 || day > longest {
		return in, p.fail(t, fmt.Sprintf("%v has no day %s", Date{Year: in.Year, Month: in.Month}, t.text))
	}
	p.next()
	in.Day = day
	return in, nil
}

// days reads weekdays and public holidays, in any order.
func (p *parser) days(r *Rule) error {
	if !startsDays(p.peek()) {
		return nil
	}
	for {
		if t := p.peek(); t.isWord("ph") {
			p.next()
			r.Holidays = true
			if next := p.peek(); isWeekday(next) {
				return p.fail(next, "holidays that fall on certain weekdays are not read here; put a comma between PH and the weekdays for either of them")
			}
		} else if err := p.weekdayRange(r); err != nil {
			return err
		}
		if !p.accept(",") {
			return nil
		}
	}
}

// weekdayRange reads Mo, Fr-Mo, We[2] and Fr[1,-1].
func (p *parser) weekdayRange(r *Rule) error {
	from, err := p.weekday()
	if err != nil {
		return err
	}
	w := WeekdayRange{From: from, To: from}
	switch {
	case p.accept("-"):
		w.To, err = p.weekday()
		if t := p.peek(); err == nil && t.is("[") {
			return p.fail(t, "only a single weekday can be counted in the month, such as We[2]")
		}
	case p.accept("["):
		w.Nth, err = p.nth()
	}
	r.Weekdays = append(r.Weekdays, w)
	return err
}

// nth reads 1,3-4,-1] after a weekday.
func (p *parser) nth() (NthSet, error) {
	var picked NthSet
	for {
		from, err := p.nthNumber()
		if err != nil {
			return 0, err
		}
		to := from
		if end := p.peek(); from > 0 && p.accept("-") {
			if to, err = p.nthNumber(); err != nil {
				return 0, err
			}
			if to < from {
				return 0, p.fail(end, fmt.Sprintf("the numbers run backwards, from %d to %d", from, to))
			}
		}
		for n := from; n <= to; n++ {
			picked |= NthOf(n)
		}
		switch t := p.peek(); {
		case p.accept("]"):
			return picked, nil
		case !p.accept(","):
			return 0, p.fail(t, missing("a comma or a closing bracket", t))
		}
	}
}

func (p *parser) nthNumber() (int, error) {
	sign := 1
	if p.accept("-") {
		sign = -1
	}
	t := p.peek()
	n, _ := strconv.Atoi(t.text)
	if t.kind != number || n < 1 || n > 5 {
		return 0, p.fail(t, "in brackets stand the numbers of a weekday in its month, 1 to 5, or -1 for the last")
	}
	p.next()
	return sign * n, nil
}

func (p *parser) weekday() (time.Weekday, error) {
	t := p.peek()
	if !isWeekday(t) {
		return 0, p.fail(t, missing("a weekday (Mo, Tu, We, Th, Fr, Sa or Su) or PH", t))
	}
	return weekdayOf(p.next()), nil
}

func (p *parser) times(r *Rule) error {
	if p.peek().kind != clock {
		return nil
	}
	for {
		t, err := p.timeRange()
		if err != nil {
			return err
		}
		r.Times = append(r.Times, t)
		if !p.peek().is(",") || p.tokens[p.at+1].kind != clock {
			return nil // another comma begins a rule that adds
		}
		p.next()
	}
}

func (p *parser) timeRange() (TimeRange, error) {
	var t TimeRange
	var err error
	start := p.peek()
	if t.OpenMin, err = p.clock(); err != nil {
		return t, err
	}
	if t.OpenMin >= dayMin {
		return t, p.fail(start, fmt.Sprintf("a time range begins before 24:00; %s is in the next day", start.text))
	}
	if end := p.peek(); !end.is("-") {
		return t, p.fail(end, missing(fmt.Sprintf("a hyphen and the closing time, such as %s-17:00", start.text), end))
	}
	p.next()
	end := p.peek()
	if t.CloseMin, err = p.clock(); err != nil {
		return t, err
	}
	if t.CloseMin == t.OpenMin {
		return t, p.fail(end, "it closes at the minute it opens; write 00:00-24:00 for the whole day")
	}
	if t.CloseMin < t.OpenMin {
		t.CloseMin += dayMin
	}
	return t, nil
}

// clock reads hours and minutes up to 48:00, as minutes.
func (p *parser) clock() (int, error) {
	t := p.peek()
	if t.kind != clock {
		return 0, p.fail(t, missing("a time such as 17:00", t))
	}
	h, m, _ := strings.Cut(t.text, ":")
	if len(h) > 2 || len(m) != 2 {
		return 0, p.fail(t, fmt.Sprintf("%s is not a time; write hours and two digits of minutes, such as 08:00", t.text))
	}
	hour, _ := strconv.Atoi(h)
	minute, _ := strconv.Atoi(m)
	if minute > 59 || hour*60+minute > 2*dayMin {
		return 0, p.fail(t, fmt.Sprintf("there is no time %s", t.text))
	}
	p.next()
	return hour*60 + minute, nil
}

// state reads open or off and a note; without it the rule is open.
func (p *parser) state(r *Rule) error {
	t := p.peek()
	switch {
	case t.kind == comment:
		return p.fail(t, fmt.Sprintf(`a note alone means "perhaps open", which cannot be planned with; write open "%s" or off "%[1]s"`, t.text))
	case t.kind != word:
		return nil
	}
	switch strings.ToLower(t.text) {
	case "off", "closed":
		r.Closed = true
	case "open":
	default:
		return nil
	}
	p.next()
	if p.peek().kind == comment {
		r.Comment = p.next().text
	}
	return nil
}

func (p *parser) peek() token { return p.tokens[p.at] }

func (p *parser) next() token {
	t := p.tokens[p.at]
	if t.kind != endOfText {
		p.at++
	}
	return t
}

func (p *parser) accept(s string) bool {
	if !p.peek().is(s) {
		return false
	}
	p.next()
	return true
}

func (p *parser) fail(t token, problem string) error {
	return &SyntaxError{Text: p.text, Column: t.column, Problem: problem}
}
