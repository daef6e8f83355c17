package papers

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"valveround/events"
)

// entry is one VEVENT, read back by the rules of RFC 5545 and nothing of the library that wrote it.
type entry map[string]string

// readCalendar parses a calendar strictly: section 3.1 (lines end with CR LF, none over 75 octets, folded lines begin with a
// space, no character is cut), 3.6 (VERSION and PRODID once), 3.6.1 (UID, DTSTAMP and DTSTART once each, an end after the
// start), 3.3.5 (instants in UTC), 3.3.11 (escaped text). Visits and agreed times are single, each an entry of its own: nothing
// recurs, so the recurrence rules of 3.8.5 must not occur. Those of hours are read in hourscalendar_test.go.
func readCalendar(text string) ([]entry, error) {
	lines, err := unfolded(text)
	if err != nil {
		return nil, err
	}
	if len(lines) < 4 || lines[0] != "BEGIN:VCALENDAR" || lines[len(lines)-1] != "END:VCALENDAR" {
		return nil, fmt.Errorf("it is no VCALENDAR")
	}
	head, list := entry{}, []entry{}
	var now entry
	for _, line := range lines[1 : len(lines)-1] {
		name, value, ok := strings.Cut(line, ":")
		if !ok {
			return nil, fmt.Errorf("no colon in %q", line)
		}
		switch line {
		case "BEGIN:VEVENT":
			now = entry{}
			continue
		case "END:VEVENT":
			list = append(list, now)
			now = nil
			continue
		}
		into := head
		if now != nil {
			into = now
		}
		if _, twice := into[name]; twice {
			return nil, fmt.Errorf("%s stands twice", name)
		}
		into[name] = value
	}
	if head["VERSION"] != "2.0" || head["PRODID"] == "" {
		return nil, fmt.Errorf("version %q, product %q", head["VERSION"], head["PRODID"])
	}
	seen := map[string]bool{}
	for _, e := range list {
		if e["UID"] == "" || seen[e["UID"]] {
			return nil, fmt.Errorf("the UID %q is empty or stands twice", e["UID"])
		}
		seen[e["UID"]] = true
		for _, name := range []string{"DTSTAMP", "DTSTART", "DTEND"} {
			if _, err := time.Parse("20060102T150405Z", e[name]); err != nil {
				return nil, fmt.Errorf("%s %q is no instant in UTC", name, e[name])
			}
		}
		for _, name := range []string{"RRULE", "RDATE", "EXDATE", "RECURRENCE-ID"} {
			if _, ok := e[name]; ok {
				return nil, fmt.Errorf("%s stands in an entry; promises do not recur (section 3.8.5)", name)
			}
		}
		if e["DTEND"] <= e["DTSTART"] {
			return nil, fmt.Errorf("it ends at %s, before it starts at %s", e["DTEND"], e["DTSTART"])
		}
		if geo, ok := e["GEO"]; ok && !regexp.MustCompile(`^-?\d+(\.\d+)?;-?\d+(\.\d+)?$`).MatchString(geo) {
			return nil, fmt.Errorf("GEO %q (section 3.8.1.6)", geo)
		}
	}
	return list, nil
}

// unfolded are the content lines of section 3.1.
func unfolded(text string) ([]string, error) {
	if !strings.HasSuffix(text, "\r\n") {
		return nil, fmt.Errorf("the last line has no CR LF")
	}
	var lines []string
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		switch {
		case strings.ContainsAny(line, "\r\n"):
			return nil, fmt.Errorf("a bare line break in %q", line)
		case len(line) > 75:
			return nil, fmt.Errorf("%d octets in %q", len(line), line)
		case strings.IndexFunc(line, func(r rune) bool { return r < ' ' && r != '\t' || r == 0x7f }) >= 0:
			return nil, fmt.Errorf("a control character in %q", line)
		case !utf8.ValidString(line):
			return nil, fmt.Errorf("a character is cut in %q", line)
		case strings.HasPrefix(line, " "):
			lines[len(lines)-1] += line[1:]
		default:
			lines = append(lines, line)
		}
	}
	return lines, nil
}

// unescaped undoes the escapes of section 3.3.11, and errs on a comma, semicolon or backslash that should have one.
func unescaped(value string) (string, error) {
	var out strings.Builder
	for i := 0; i < len(value); i++ {
		switch c := value[i]; c {
		case ',', ';':
			return "", fmt.Errorf("%q is not escaped in %q", c, value)
		case '\\':
			i++
			if i == len(value) || !strings.ContainsRune(`\;,nN`, rune(value[i])) {
				return "", fmt.Errorf("a backslash escapes nothing in %q", value)
			}
			if value[i] == 'n' || value[i] == 'N' {
				out.WriteByte('\n')
			} else {
				out.WriteByte(value[i])
			}
		default:
			out.WriteByte(c)
		}
	}
	return out.String(), nil
}

func TestCrewCalendar(t *testing.T) {
	w := smallFirm(t)
	list, err := CrewPromises(w.book, w.calendar(), "a")
	if err != nil {
		t.Fatal(err)
	}
	entries, err := readCalendar(Calendar(list, "Crew A", printedAt))
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 2 {
		t.Fatalf("%d entries, want the two visits", len(entries))
	}
	first := entries[0]
	// 06:18 in Chicago in May is five hours behind UTC (IANA time zone database).
	if first["DTSTART"] != "20260513T111800Z" || first["DTEND"] != "20260513T135500Z" || first["STATUS"] != "CONFIRMED" {
		t.Errorf("the first visit is %v", first)
	}
	words, err := unescaped(entries[1]["DESCRIPTION"])
	if err != nil || !strings.Contains(words, "\nAgreed with the site: 09:00 to 11:00") {
		t.Errorf("the garden's visit says %q, %v; want the agreed time on its own line", words, err)
	}
	if _, placed := entries[1]["GEO"]; placed {
		t.Error("an approximate position is given as if it were sure")
	}
}

func TestCalendarFollowsTheDay(t *testing.T) {
	w := smallFirm(t)
	uids := func(now time.Time) (list []string) {
		cfg := w.calendar()
		cfg.Now = now
		promises, err := CrewPromises(w.book, cfg, "a")
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range promises {
			list = append(list, p.UID+" "+p.From.UTC().Format("15:04"))
		}
		return list
	}
	before := uids(printedAt)
	later := nextDay().Routes
	for i := range later[0].Visits {
		v := &later[0].Visits[i]
		v.Arrive, v.Leave = v.Arrive.Add(time.Hour), v.Leave.Add(time.Hour)
	}
	w.do(at("2026-05-12 17:00"), "desk", events.Amend{Date: outOn, Amended: events.Amended{Routes: later, Why: "late start"}})
	after := uids(printedAt)
	name := func(s string) string { n, _, _ := strings.Cut(s, " "); return n }
	for i := range before {
		if name(before[i]) != name(after[i]) || before[i] == after[i] {
			t.Errorf("a visit that moved by an hour went from %q to %q; want the same UID and a new time", before[i], after[i])
		}
	}
	if got := uids(at("2026-05-30 08:00")); len(got) != 0 {
		t.Errorf("visits of more than %d days ago are still there: %v", calendarPast, got)
	}
	w.do(at("2026-05-12 18:00"), "desk", events.TakeBack{Date: outOn, Why: "storm"})
	if got := uids(printedAt); len(got) != 0 {
		t.Errorf("a day that was taken back is still there: %v", got)
	}
}

func TestAgreedCalendar(t *testing.T) {
	w := smallFirm(t)
	entries, err := readCalendar(Calendar(AgreedPromises(w.book, w.calendar()), "Agreed times", printedAt))
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 1 || entries[0]["DTSTART"] != "20260513T140000Z" || entries[0]["TRANSP"] != "TRANSPARENT" {
		t.Errorf("agreed times: %v", entries)
	}
	if text, err := readCalendar(Calendar(nil, "none", printedAt)); err != nil || len(text) != 0 {
		t.Errorf("an empty calendar: %v, %v", text, err)
	}
}

// TestCalendarTakesAnyText: whatever is typed into names comes out as it went in, but for its white space.
func TestCalendarTakesAnyText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[\\;,:"nŁщ\r\n ]{0,90}`)).Draw(t, "text")
		p := Promise{UID: "a@b", From: printedAt, To: printedAt.Add(time.Hour), Summary: text, Where: text, Words: []string{text, text}, Category: "Visit"}
		entries, err := readCalendar(Calendar([]Promise{p}, text, printedAt))
		if err != nil {
			t.Fatal(err)
		}
		got, err := unescaped(entries[0]["SUMMARY"])
		if err != nil || got != oneLine(text) {
			t.Fatalf("%q came out as %q, %v", text, got, err)
		}
	})
}
