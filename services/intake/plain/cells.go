package plain

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"time"

	"valveround/events"
)

const (
	writeDate = "write the day as year-month-day, such as 2026-03-31"
	writeID   = "use 1 to 64 letters, digits, hyphens or underscores"
)

// parse puts the text of a cell into a field; problem is empty when it fits.
func parse(v reflect.Value, column, text string) (problem, whatToDo string) {
	switch field := v.Addr().Interface().(type) {
	case *string:
		*field = text
		return checkText(column, text)
	case **int:
		return parseInt(field, text)
	case **float64:
		return parseFloat(field, column, text)
	case **bool:
		return parseBool(field, text)
	case *events.Date:
		return parseDate(field, text)
	case *events.Size:
		return parseSize(field, text)
	case *events.AssemblyType:
		return parseType(field, text)
	case *[]string:
		*field = list(text)
		for _, id := range *field {
			if problem, whatToDo := checkText(column, id); problem != "" {
				return problem, whatToDo
			}
		}
	case *[]events.Date:
		return parseDates(field, text)
	case *[]Need:
		return parseNeeds(field, text)
	case *[]Registration:
		return parseRegistrations(field, text)
	default:
		return fmt.Sprintf("has a kind of value that is not read (%T)", field), "tell the makers of this program"
	}
	return "", ""
}

// checkText knows which columns hold ids, time zones and times of day.
func checkText(column, text string) (problem, whatToDo string) {
	isID := column == "id" || strings.HasSuffix(column, "_id") || column == "fed_from" || column == "people" || column == "gauges" ||
		column == "registered_with" || column == "for_job"
	if isID && events.CheckID(text) != nil {
		return "is not an id", writeID
	}
	if strings.HasSuffix(column, "_time") {
		if _, err := time.Parse("15:04", text); err != nil {
			return "is not a time of day", "write it on the clock of 24 hours, such as 06:00 or 17:30"
		}
	}
	if column == "zone" {
		if _, err := time.LoadLocation(text); err != nil {
			return "is not a time zone", "write an IANA name, such as America/Denver"
		}
	}
	return "", ""
}

func parseInt(field **int, text string) (problem, whatToDo string) {
	n, err := strconv.Atoi(text)
	if err != nil || n < 0 || n > 1_000_000 {
		return "is not a whole number", "write digits only"
	}
	*field = &n
	return "", ""
}

func parseFloat(field **float64, column, text string) (problem, whatToDo string) {
	n, err := strconv.ParseFloat(text, 64)
	limit := math.MaxFloat64
	switch {
	case strings.HasSuffix(column, "lat_deg"):
		limit = 90
	case strings.HasSuffix(column, "lon_deg"):
		limit = 180
	}
	switch {
	case err != nil || math.IsNaN(n) || math.IsInf(n, 0):
		return "is not a number", "write it with a decimal point, such as 39.7392"
	case math.Abs(n) > limit:
		return fmt.Sprintf("lies beyond %g degrees", limit), "write decimal degrees; latitude and longitude may be exchanged"
	case strings.HasSuffix(column, "_usd") && n < 0:
		return "is a negative sum", "write a sum, or leave it blank"
	}
	*field = &n
	return "", ""
}

func parseBool(field **bool, text string) (problem, whatToDo string) {
	yes := false
	switch strings.ToLower(text) {
	case "yes", "y", "true", "1":
		yes = true
	case "no", "n", "false", "0":
	default:
		return "is neither yes nor no", "write yes or no, or leave it blank when it is not known"
	}
	*field = &yes
	return "", ""
}

func parseDate(field *events.Date, text string) (problem, whatToDo string) {
	day, err := events.ParseDate(text)
	if err != nil {
		return "is not a day", writeDate
	}
	*field = day
	return "", ""
}

func parseSize(field *events.Size, text string) (problem, whatToDo string) {
	size, err := events.ParseSize(text)
	switch {
	case errors.Is(err, events.ErrSpreadsheetDate):
		return "was turned into a date by a spreadsheet", "write the size with its unit, such as 3/4 in"
	case err != nil:
		return "is not a size", "write it such as 3/4 in or 2-1/2 in"
	}
	*field = size
	return "", ""
}

func parseType(field *events.AssemblyType, text string) (problem, whatToDo string) {
	kind, err := events.ParseAssemblyType(text)
	if err != nil {
		return "is not one assembly type", "write one of DC, DCDA, DCDA-II, RP, RPDA, RPDA-II, PVB, SVB, AVB, AG"
	}
	*field = kind
	return "", ""
}

// list cuts a cell at its semicolons.
func list(text string) []string {
	var out []string
	for part := range strings.SplitSeq(text, ";") {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}

func parseDates(field *[]events.Date, text string) (problem, whatToDo string) {
	for _, part := range list(text) {
		var day events.Date
		if problem, whatToDo = parseDate(&day, part); problem != "" {
			return strconv.Quote(part) + " " + problem, whatToDo + ", separated by semicolons"
		}
		*field = append(*field, day)
	}
	return "", ""
}

func parseRegistrations(field *[]Registration, text string) (problem, whatToDo string) {
	for _, part := range list(text) {
		id, until, _ := strings.Cut(part, "=")
		r := Registration{PurveyorID: strings.TrimSpace(id)}
		problem, _ = parseDate(&r.Until, strings.TrimSpace(until))
		if problem != "" || events.CheckID(r.PurveyorID) != nil {
			return strconv.Quote(part) + " is not a registration", "write purveyor_id=2026-12-31, separated by semicolons"
		}
		*field = append(*field, r)
	}
	return "", ""
}

const writeNeed = "write it such as street-valve=Valve desk/555-0142; what it is, the desk or firm to book, its number; the last two may be left out"

// parseNeeds reads what others must bring: what it is, then who is booked for it and their number. Which things there are, the
// folder knows.
func parseNeeds(field *[]Need, text string) (problem, whatToDo string) {
	for _, part := range list(text) {
		what, whom, named := strings.Cut(part, "=")
		whom, phone, numbered := cutLast(whom, "/")
		n := Need{What: strings.TrimSpace(what), Whom: strings.TrimSpace(whom), Phone: strings.TrimSpace(phone)}
		switch {
		case n.What == "":
			return strconv.Quote(part) + " does not say what must be brought", writeNeed
		case named && n.Whom == "":
			return strconv.Quote(part) + " does not say whom to book", writeNeed
		case strings.Contains(n.What, "/"):
			return strconv.Quote(part) + " names no desk or firm that the number is of", writeNeed
		case numbered && !isPhone(n.Phone):
			return strconv.Quote(part) + " does not end in a telephone number", writeNeed
		case slices.ContainsFunc(*field, func(x Need) bool { return x.What == n.What }):
			return strconv.Quote(n.What) + " stands twice", "name each thing once"
		}
		*field = append(*field, n)
	}
	return "", ""
}

// cutLast cuts a text at the last of its separators.
func cutLast(text, sep string) (before, after string, found bool) {
	if i := strings.LastIndex(text, sep); i >= 0 {
		return text[:i], text[i+len(sep):], true
	}
	return text, "", false
}

// isPhone reports whether a text can be a telephone number: digits, and what is written between and before them.
func isPhone(text string) bool {
	digits := 0
	for _, r := range text {
		switch {
		case r >= '0' && r <= '9':
			digits++
		case !strings.ContainsRune(" +-().,x#", r):
			return false
		}
	}
	return digits >= 3
}

// String writes a need as it is read.
func (n Need) String() string {
	text := n.What
	if n.Whom != "" {
		text += "=" + n.Whom
	}
	if n.Phone != "" {
		text += "/" + n.Phone
	}
	return text
}

// Readable reports whether a need that is written is read again as it was.
func (n Need) Readable() bool {
	var again []Need
	problem, _ := parseNeeds(&again, n.String())
	return problem == "" && len(again) == 1 && again[0] == n
}

// format writes a field as parse reads it.
func format(v reflect.Value) string {
	switch field := v.Interface().(type) {
	case string:
		return field
	case *int:
		if field != nil {
			return strconv.Itoa(*field)
		}
	case *float64:
		if field != nil {
			return strconv.FormatFloat(*field, 'f', -1, 64)
		}
	case *bool:
		if field != nil {
			return map[bool]string{true: "yes", false: "no"}[*field]
		}
	case fmt.Stringer: // dates and sizes
		return field.String()
	case events.AssemblyType:
		return string(field)
	case []string:
		return strings.Join(field, "; ")
	case []events.Date:
		var days []string
		for _, day := range field {
			days = append(days, day.String())
		}
		return strings.Join(days, "; ")
	case []Need:
		var parts []string
		for _, n := range field {
			parts = append(parts, n.String())
		}
		return strings.Join(parts, "; ")
	case []Registration:
		var parts []string
		for _, r := range field {
			parts = append(parts, r.PurveyorID+"="+r.Until.String())
		}
		return strings.Join(parts, "; ")
	}
	return ""
}
