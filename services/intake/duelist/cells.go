package duelist

import (
	"errors"
	"strings"
	"unicode"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// readSize reads a size cell. A size that cannot be read is not known and said so: never guessed.
func readSize(c sheet.Cell) (size events.Size, problem, whatToDo string) {
	text := strings.TrimSpace(c.Text)
	if nothingWords[strings.ToUpper(text)] {
		return 0, "", ""
	}
	const write = "write the size with its unit, such as 3/4 in or DN 20, in a cell formatted as text"
	size, err := events.ParseSize(text)
	switch {
	case err == nil && c.Serial == nil:
		return size, "", ""
	case c.Serial != nil || errors.Is(err, events.ErrSpreadsheetDate):
		hint := ""
		if _, after, ok := strings.Cut(errorText(err), "looks like "); ok {
			hint = " (" + strings.TrimSuffix(after, " "+events.ErrSpreadsheetDate.Error()) + "?)"
		}
		return 0, "is a date: most likely a fraction that a spreadsheet turned into one" + hint + "; the size was left open", "ask for the size; " + write
	}
	return 0, "is not a size; the size was left open", "ask for the size; " + write
}

func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

// words cuts a text into small-letter words.
func words(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// readService recognises what the water is for; known is false for words that do not say.
func readService(text string) (service events.Service, known bool) {
	w := words(text)
	found := map[events.Service]bool{}
	for service, phrases := range map[events.Service]string{
		events.Fire:       "fire|fireline|fp|standpipe",
		events.Irrigation: "irrigation|irrig|irr|lawn|landscape|landscaping",
		events.Domestic:   "domestic|dom|potable|house|premises|containment",
		events.Process:    "process|industrial|boiler|cooling|chemical|laboratory|lab|makeup",
	} {
		if hasPhrase(w, phrases) {
			found[service] = true
		}
	}
	if len(found) != 1 {
		return "", len(w) == 0
	}
	for service = range found {
	}
	return service, true
}

// readHazard joins the words of different codes: health and non-health with contaminant and pollutant
// (30 TAC 290.44(h)(4), as a Texas utility page cites it), high and low (WAC 246-290-490), severe and
// moderate (North Carolina, Lincoln County App. A).
func readHazard(text string) (hazard events.Hazard, known bool) {
	switch strings.TrimSuffix(strings.Join(words(text), " "), " hazard") {
	case "":
		return events.UnknownHazard, true
	case "health", "high", "high health", "severe", "contaminant", "h", "hi":
		return events.Health, true
	case "non health", "nonhealth", "low", "low health", "moderate", "pollutant", "l", "lo":
		return events.NonHealth, true
	case "imminent":
		return events.Imminent, true
	}
	return events.UnknownHazard, false
}

// readStanding reads whose an assembly is: a yes or no, or the name of who tests it when our own names
// are known.
func readStanding(text string, ourNames []string) (standing events.Standing, known bool) {
	key := strings.Join(words(text), " ")
	switch key {
	case "":
		return events.Ask, true
	case "ours", "us", "yes", "y", "x", "true", "1", "ordered", "assigned", "contracted", "our":
		return events.Ours, true
	case "not ours", "no", "n", "false", "0", "other", "others", "another", "other tester", "not ordered", "owner":
		return events.NotOurs, true
	case "ask":
		return events.Ask, true
	}
	for _, name := range ourNames {
		if strings.Join(words(name), " ") == key {
			return events.Ours, true
		}
	}
	if len(ourNames) > 0 {
		return events.NotOurs, true
	}
	return events.Ask, false
}

// readStatus looks for what matters in a status: overdue, no longer there, or whose it is.
func readStatus(text string) (overdue, gone bool, standing events.Standing) {
	key := strings.Join(words(text), " ")
	switch key {
	case "ours":
		return false, false, events.Ours
	case "not ours":
		return false, false, events.NotOurs
	case "ask":
		return false, false, events.Ask
	}
	w := words(text)
	overdue = hasPhrase(w, "overdue|past due|delinquent|late") && !hasPhrase(w, "not")
	gone = hasPhrase(w, "removed|inactive|abandoned|retired|disconnected|vacant|out service|not found")
	return overdue, gone, ""
}

// bypassWord says that a text names the bypass of a detector assembly and does not deny it.
func bypassWord(text string) bool {
	w := words(strings.ReplaceAll(strings.ToLower(text), "by-pass", "bypass"))
	return hasPhrase(w, "bypass") && !hasPhrase(w, "no bypass|without bypass|unprotected")
}
