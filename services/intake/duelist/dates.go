package duelist

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// DateOrder says how dates such as 3/2/2026 are meant.
type DateOrder string

// The orders. OrderAsk and the empty order take what the list itself proves (a 25/2/2026 anywhere), and
// ask when it proves nothing.
const (
	MonthFirst DateOrder = "month-first"
	DayFirst   DateOrder = "day-first"
	OrderAsk   DateOrder = "ask"
)

// dateKind is what a date cell turned out to be.
type dateKind int

const (
	dateNone      dateKind = iota // blank, or a word for nothing
	dateDay                       // a day
	dateOverdue                   // the word overdue instead of a day
	dateAmbiguous                 // two days, by the order meant
	dateBad                       // something else; problem and whatToDo say it
)

type dateReading struct {
	kind              dateKind
	day               events.Date
	order             DateOrder // which order the text itself proves; empty: none
	guessed           string    // a remark when the reading rests on something unusual
	problem, whatToDo string
}

const writeDate = "write the day as year-month-day, such as 2026-03-31"

// Earliest and latest year that a date in a due list can have.
const minYear, maxYear = 1950, 2199

var (
	clockTime  = regexp.MustCompile(`(?i)(\s+|T)\d{1,2}:\d{2}(:\d{2}(\.\d+)?)?\s*(am|pm|z|[+-]\d\d:?\d\d)?$`)
	weekday    = regexp.MustCompile(`(?i)^(mon|tue|tues|wed|thu|thur|thurs|fri|sat|sun)[a-z]*[.,]?\s+`)
	ordinal    = regexp.MustCompile(`(?i)\b(\d{1,2})(st|nd|rd|th)\b`)
	yearFirst  = regexp.MustCompile(`^(\d{4})[-/. ](\d{1,2})[-/. ](\d{1,2})$`)
	allNumbers = regexp.MustCompile(`^(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})$`)
	eightDigit = regexp.MustCompile(`^(19\d\d|20\d\d)(\d\d)(\d\d)$`)
	dayNamed   = regexp.MustCompile(`(?i)^(\d{1,2})[-/. ]*([a-z]{3,9})[-/., ]*'?(\d{4}|\d{2})$`)
	nameDay    = regexp.MustCompile(`(?i)^([a-z]{3,9})[-/. ]*(\d{1,2})[-/., ]+'?(\d{4}|\d{2})$`)
	yearNamed  = regexp.MustCompile(`(?i)^(\d{4})[-/. ]*([a-z]{3,9})[-/. ]*(\d{1,2})$`)
	monthYear  = regexp.MustCompile(`(?i)^(?:([a-z]{3,9})[-/. ]*'?(\d{4})|(\d{1,2})[-/.](\d{4})|(\d{4})[-/.](\d{1,2}))$`)
	noYear     = regexp.MustCompile(`(?i)^(?:(\d{1,2})[-/. ]*([a-z]{3,9})|([a-z]{3,9})[-/. ]*(\d{1,2})|\d{1,2}[-/.]\d{1,2})$`)
	dayNumber  = regexp.MustCompile(`^\d{5}(\.\d+)?$`)
)

var overdueWords = map[string]bool{"OVERDUE": true, "PAST DUE": true, "PASTDUE": true, "OVER DUE": true, "LATE": true, "DELINQUENT": true,
	"NOW": true, "IMMEDIATELY": true, "PAST-DUE": true}

var nothingWords = map[string]bool{"": true, "-": true, "--": true, "N/A": true, "NA": true, "NONE": true, "TBD": true, "UNKNOWN": true,
	"?": true, "NEVER": true, "#N/A": true, "NULL": true}

// readDate reads a date cell in the given order (empty: not known).
func readDate(c sheet.Cell, order DateOrder, asOf events.Date) dateReading {
	if c.Serial != nil {
		return readSerial(*c.Serial, c.Formatted)
	}
	text := strings.Join(strings.Fields(strings.ReplaceAll(c.Text, "\u00a0", " ")), " ")
	word := strings.ToUpper(strings.Trim(text, ".!* "))
	switch {
	case nothingWords[word]:
		return dateReading{kind: dateNone}
	case overdueWords[word]:
		return dateReading{kind: dateOverdue}
	}
	return readDateText(text, order, asOf)
}

// readSerial takes a spreadsheet's day unless the sheet shows month and year only, when the day is the
// spreadsheet's invention.
func readSerial(serial float64, shown string) dateReading {
	if monthYear.MatchString(shown) || regexpMonthShort.MatchString(shown) {
		return badDate("names a month and no day", writeDate+" with the last acceptable day")
	}
	year, month, day, ok := sheet.SerialDay(serial)
	if !ok || year < minYear || year > maxYear {
		return badDate("is not a day a spreadsheet can mean", writeDate)
	}
	return dateReading{kind: dateDay, day: events.NewDate(year, month, day)}
}

// regexpMonthShort is how spreadsheets show their built-in month-and-year format: Mar-26.
var regexpMonthShort = regexp.MustCompile(`(?i)^[a-z]{3,9}-\d{2}$`)

func readDateText(text string, order DateOrder, asOf events.Date) dateReading {
	text = clockTime.ReplaceAllString(text, "")
	text = weekday.ReplaceAllString(text, "")
	text = ordinal.ReplaceAllString(text, "$1")
	text = strings.Join(strings.Fields(strings.ReplaceAll(text, ",", " ")), " ")
	if m := yearFirst.FindStringSubmatch(text); m != nil {
		return makeDay(atoi(m[1]), atoi(m[2]), atoi(m[3]))
	}
	if m := eightDigit.FindStringSubmatch(text); m != nil {
		return makeDay(atoi(m[1]), atoi(m[2]), atoi(m[3]))
	}
	if m := allNumbers.FindStringSubmatch(text); m != nil {
		return readNumbers(atoi(m[1]), atoi(m[2]), fullYear(m[3], asOf), order)
	}
	if m := yearNamed.FindStringSubmatch(text); m != nil && monthNamed(m[2]) > 0 {
		return makeDay(atoi(m[1]), monthNamed(m[2]), atoi(m[3]))
	}
	if m := dayNamed.FindStringSubmatch(text); m != nil && monthNamed(m[2]) > 0 {
		return makeDay(fullYear(m[3], asOf), monthNamed(m[2]), atoi(m[1]))
	}
	if m := nameDay.FindStringSubmatch(text); m != nil && monthNamed(m[1]) > 0 {
		return makeDay(fullYear(m[3], asOf), monthNamed(m[1]), atoi(m[2]))
	}
	return readOddDate(text)
}

// readOddDate handles what is not a whole date.
func readOddDate(text string) dateReading {
	switch {
	case dayNumber.MatchString(text):
		return readDayNumber(text)
	case monthYear.MatchString(text):
		return badDate("names a month and no day", writeDate+" with the last acceptable day")
	case noYear.MatchString(text):
		return badDate("has no year", writeDate)
	}
	return badDate("is not a date", writeDate)
}

// readDayNumber reads a spreadsheet's day number that arrived as plain digits.
func readDayNumber(text string) dateReading {
	serial, err := strconv.ParseFloat(text, 64)
	if err != nil || serial < 25_000 || serial > 80_000 { // 1968 to 2119
		return badDate("is a number, not a date", writeDate)
	}
	r := readSerial(serial, "")
	r.guessed = "is a spreadsheet's day number, read as " + r.day.String()
	return r
}

// readNumbers reads first and second number as month and day in the given order; without an order both
// ways are tried.
func readNumbers(first, second, year int, order DateOrder) dateReading {
	monthFirst, dayFirst := makeDay(year, first, second), makeDay(year, second, first)
	proves := DateOrder("")
	switch {
	case first > 12 && dayFirst.kind == dateDay:
		proves = DayFirst
	case second > 12 && monthFirst.kind == dateDay:
		proves = MonthFirst
	}
	r := dateReading{}
	switch {
	case order == MonthFirst:
		r = monthFirst
	case order == DayFirst:
		r = dayFirst
	case first > 12:
		r = dayFirst
	case second > 12 || first == second:
		r = monthFirst
	default:
		r = dateReading{kind: dateAmbiguous,
			problem:  fmt.Sprintf("could be %s or %s", monthFirst.day, dayFirst.day),
			whatToDo: "say whether this list writes month or day first, or " + writeDate}
	}
	if r.kind == dateBad && proves != "" {
		r.problem = fmt.Sprintf("cannot be read %s, as this list was said to be written", strings.ReplaceAll(string(order), "-", " "))
	}
	r.order = proves
	return r
}

func makeDay(year, month, day int) dateReading {
	switch {
	case year < minYear || year > maxYear:
		return badDate(fmt.Sprintf("has the year %d", year), writeDate)
	case month < 1 || month > 12:
		return badDate(fmt.Sprintf("has a month %d", month), writeDate)
	}
	last := time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
	if day < 1 || day > last {
		return badDate(fmt.Sprintf("does not exist: %s %d has %d days", time.Month(month), year, last), "ask the purveyor which day is meant, and "+writeDate)
	}
	return dateReading{kind: dateDay, day: events.NewDate(year, time.Month(month), day)}
}

func badDate(problem, whatToDo string) dateReading {
	return dateReading{kind: dateBad, problem: problem, whatToDo: whatToDo}
}

// fullYear gives two digits the century that lies nearest the list's own date: at most 30 years ahead.
func fullYear(text string, asOf events.Date) int {
	year := atoi(text)
	if len(text) == 4 {
		return year
	}
	now := 2026
	if !asOf.IsZero() {
		now, _, _ = asOf.YMD()
	}
	year += now / 100 * 100
	switch {
	case year > now+30:
		return year - 100
	case year < now-69:
		return year + 100
	}
	return year
}

func atoi(digits string) int {
	n, err := strconv.Atoi(digits)
	if err != nil {
		return -1
	}
	return n
}

// monthNamed knows the months by three letters or more; 0: none.
func monthNamed(name string) int {
	name = strings.ToLower(name)
	if name == "sept" {
		return 9
	}
	for m := time.January; m <= time.December; m++ {
		full := strings.ToLower(m.String())
		if name == full || len(name) == 3 && strings.HasPrefix(full, name) {
			return int(m)
		}
	}
	return 0
}

// provenOrder is the order that the list's own dates prove. conflict: some prove one and some the other.
func provenOrder(cells []sheet.Cell, asOf events.Date) (order DateOrder, conflict bool) {
	month, day := false, false
	for _, c := range cells {
		switch readDate(c, "", asOf).order {
		case MonthFirst:
			month = true
		case DayFirst:
			day = true
		}
	}
	switch {
	case month && day:
		return "", true
	case month:
		return MonthFirst, false
	case day:
		return DayFirst, false
	}
	return "", false
}
