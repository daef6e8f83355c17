package papers

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/services/words"
)

// drawn is every PDF of a world whose day is out: sheets on one, and a report of each of the jobs.
func drawn(t *testing.T, w *world, date events.Date, jobs []events.JobRef) map[string][]byte {
	t.Helper()
	sheets, err := RouteSheets(w.book, w.sheetConfig(printedAt), date, "")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	if files["sheets"], err = RouteSheetsPDF(sheets, Letter, printedAt); err != nil {
		t.Fatal(err)
	}
	for _, ref := range jobs {
		if files[string(ref.Job)], err = ReportPDF(w.report(ref), A4); err != nil {
			t.Fatal(err)
		}
	}
	return files
}

func TestPapersSayWhatTheyMust(t *testing.T) {
	w := smallFirm(t)
	files := drawn(t, w, outOn, []events.JobRef{rpJob, detectorJob, gardenJob})
	for name, says := range map[string][]string{
		// The fields are those of New York's DOH-1013, WAC 246-292-036, 35 IAC 604.1510 and the forms of Wisconsin, Burnaby,
		// Toronto, Austin and Iowa City.
		string(rpJob.Job): {"Café Zürich", "12 Łąkowa Street", "Ørsted & Söhne", "Łucja Żółć", "Åkerhus Water District", "Mailing address", "Account number", "County, block and lot",
			"Hazard behind the assembly", "Zone or equipment isolated", "RP, reduced pressure", "1-1/2 in", "Tindle & Oake", "TO-410R", "T23-95620", "New, existing or replacement",
			"Approved model when installed", "Orientation", "Height above the floor", "Air gap below the relief", "Safe from frost and flooding", "Bypasses, or outlets before it",
			"opened at 1.6 psid", "held at 6.4 psid", "opened at 2.6 psid", "2.6 psid", "4.8 psid", "62 psi", "4 May 2026, 07:10", "6 May 2026, 08:05",
			"DG5001, until 13 May 2026", "Gauge calibrated", "Ζωή Παππά", "T-2041 until 31 May 2026", "R-77 until 31 Jan 2027", "TO-410R-RV", "Water meter number",
			"Tester's telephone", "MEETS", "fail by usc-9", "Owner or agent", "The test took place.", "signature"},
		string(detectorJob.Job): {"Склад № 4", "DCDA, double check detector", "Main check 2", "held at 0.6 psid", "Bypass check 1", "held at 2.2 psid", "K-7D", "5E12744",
			"Detector meter reading", "Forward flow, as designed", "Forward flow, as measured", "Valves locked or supervised", "no: see how it was left", "in a permit-required confined space",
			"No. 1 shut-off partly open", "fire department", "DOES NOT MEET"},
		string(gardenJob.Job): {"Κήπος Park", "No test of this job is on record.", "nobody let the crew in"},
		"sheets": {"Crew A, Wednesday 13 May 2026", "Ζωή Παππά, Ирина Ковалёва", "06:18–08:55", "water off", "06:40–08:40", "Склад № 4", "7731 Harbour Road", "serial 8E03969",
			"impairment coordinator", "Permit-required confined space", "Springs are under load", "yes to repair, quote", "09:00–11:00", "Position is approximate", "km", "mi", "N", "start"},
	} {
		text := squeezed(textOf(t, files[name]))
		for _, want := range says {
			if !strings.Contains(text, squeezed(want)) {
				t.Errorf("%s does not say %q", name, want)
			}
		}
	}
}

func TestOnePageEach(t *testing.T) {
	w, _, out := county(t)
	sheets, err := RouteSheets(w.book, w.sheetConfig(printedAt), out, "")
	if err != nil {
		t.Fatal(err)
	}
	for _, paper := range []Paper{Letter, A4} {
		for _, s := range sheets {
			file, err := RouteSheetsPDF([]RouteSheet{s}, paper, printedAt)
			if err != nil {
				t.Fatal(err)
			}
			if got := pages(file); got != 1 {
				t.Errorf("%s with %d stops takes %d pages of %s", s.Crew, len(s.Stops), got, paper)
			}
		}
	}
	for _, ref := range []events.JobRef{rpJob, detectorJob, gardenJob} {
		file, err := ReportPDF(smallFirm(t).report(ref), Letter)
		if err != nil {
			t.Fatal(err)
		}
		if got := pages(file); got != 1 {
			t.Errorf("the report of %s takes %d pages", ref.Job, got)
		}
	}
}

func TestALongDayGoesOnOverleaf(t *testing.T) {
	sheet := RouteSheet{Crew: "Crew Z", Date: outOn, Start: printedAt, End: printedAt, SentAt: printedAt}
	for i := range 40 {
		sheet.Stops = append(sheet.Stops, SheetStop{Order: i + 1, Name: fmt.Sprintf("Stop %d of many", i+1), Arrive: printedAt, Leave: printedAt,
			Work: []SheetWork{{Do: "test", Unit: "2 in RP"}}})
	}
	file, err := RouteSheetsPDF([]RouteSheet{sheet}, Letter, printedAt)
	if err != nil {
		t.Fatal(err)
	}
	text := textOf(t, file)
	for i := range 40 {
		if !strings.Contains(text, fmt.Sprintf("Stop %d of many", i+1)) {
			t.Errorf("stop %d is not printed", i+1)
		}
	}
	if pages(file) < 2 || !strings.Contains(text, "continued") {
		t.Errorf("%d pages, want more than one that say so", pages(file))
	}
}

func TestSameContentSameFile(t *testing.T) {
	first, again := drawn(t, smallFirm(t), outOn, []events.JobRef{rpJob}), drawn(t, smallFirm(t), outOn, []events.JobRef{rpJob})
	for name, file := range first {
		if !bytes.Equal(file, again[name]) {
			t.Errorf("%s drawn twice is not the same file", name)
		}
	}
}

func TestRefusedInWords(t *testing.T) {
	w := smallFirm(t)
	_, notOut := RouteSheets(w.book, w.sheetConfig(printedAt), day("2026-05-14"), "")
	_, noCrew := RouteSheets(w.book, w.sheetConfig(printedAt), outOn, "nobody")
	_, noJob := ReportOf(w.book, w.records, ReportConfig{People: w.people, Now: printedAt}, events.JobRef{Assembly: "rp", Job: "other"})
	_, noUnit := ReportOf(w.book, w.records, ReportConfig{People: w.people, Now: printedAt}, events.JobRef{Assembly: "other", Job: "rp-26"})
	_, noCalendar := CrewPromises(w.book, w.calendar(), "nobody")
	for name, err := range map[string]error{"not sent out": notOut, "no such crew": noCrew, "no such job": noJob, "no such assembly": noUnit, "no such calendar": noCalendar} {
		var refusal *events.Refusal
		if !errors.As(err, &refusal) {
			t.Errorf("%s: %v, want a refusal", name, err)
		}
	}
}

// numbers are whole numbers and telephone numbers as they stand alone in a text.
var numbers = regexp.MustCompile(`[0-9][0-9-]*[0-9]`)

// TestNothingSecretIsPrinted draws every paper of the demo twice, once with and once without its codes and telephone
// numbers: not a byte may differ. And no telephone number may be found.
func TestNothingSecretIsPrinted(t *testing.T) {
	w, fleet, out := county(t)
	var jobs []events.JobRef
	for _, a := range w.book.Assemblies {
		for _, j := range a.Jobs {
			if len(j.Tests) > 0 {
				jobs = append(jobs, events.JobRef{Assembly: a.ID, Job: j.ID})
			}
		}
	}
	if len(jobs) < 20 {
		t.Fatalf("only %d jobs with tests in the demo", len(jobs))
	}
	with := drawn(t, w, out, jobs)
	named := w.people
	w.people = &words.People{}
	for id, d := range fleet.People {
		w.know(string(id), words.Details{Name: d.Name})
	}
	without := drawn(t, w, out, jobs)
	w.people = named
	phones := map[string]bool{}
	for _, d := range fleet.People {
		phones[d.Phone] = true
	}
	if len(phones) < 50 || len(fleet.Secrets) == 0 {
		t.Fatalf("the demo has %d telephone numbers and %d codes: nothing is tried", len(phones), len(fleet.Secrets))
	}
	for name, file := range with {
		if !bytes.Equal(file, without[name]) {
			t.Errorf("%s depends on codes or telephone numbers", name)
		}
		for _, n := range numbers.FindAllString(shownText(t, file), -1) {
			if phones[n] {
				t.Errorf("%s prints the telephone number %s", name, n)
			}
		}
	}
	crew, err := CrewPromises(w.book, w.calendar(), w.book.Day(w.office, out).Sent.Routes[0].Crew)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range numbers.FindAllString(Calendar(crew, "x", printedAt)+w.invoicing(), -1) {
		if phones[n] {
			t.Errorf("a calendar or the invoicing file holds the telephone number %s", n)
		}
	}
}

// TestSecretsTypedIntoNotes: the small firm has codes and numbers in its free text, and in a house number that stays.
func TestSecretsTypedIntoNotes(t *testing.T) {
	w := smallFirm(t)
	all := everything(t, w)
	for name, file := range drawn(t, w, outOn, []events.JobRef{rpJob, detectorJob, gardenJob}) {
		all[name] = textOf(t, file)
	}
	for name, text := range all {
		text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n ", ""), "7731 Harbour", "house number") // another site's: stays
		for _, secret := range []string{"555-01", "7731", "4410", "ACCT-9090"} {
			if strings.Contains(text, secret) {
				t.Errorf("%s holds %q: %s", name, secret, text)
			}
		}
	}
	if !strings.Contains(all["invoicing.csv"], "rang "+unsaid+" twice") {
		t.Error("the note of the garden is not in the invoicing file")
	}
}

func TestClear(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"alone":          {"code 12", "code " + unsaid},
		"with marks":     {"(12), 12#", "(" + unsaid + "), " + unsaid + "#"},
		"in a number":    {"1200 Main, 312, A12", "1200 Main, 312, A12"},
		"twice":          {"12 12", unsaid + " " + unsaid},
		"between others": {"x12y 12", "x12y " + unsaid},
		"none":           {"nothing", "nothing"},
		"empty":          {"", ""},
	} {
		if got := (secrets{"12"}).clear(c.text); got != c.want {
			t.Errorf("%s: clear(%q) = %q, want %q", name, c.text, got, c.want)
		}
	}
	for name, c := range map[string]struct{ text, want string }{
		"as on record":    {"ring 555-0142.", "ring " + unsaid + "."},
		"spaced":          {"ring 555 0142", "ring " + unsaid},
		"joined":          {"5550142", unsaid},
		"bracketed":       {"(555) 0142!", unsaid + "!"},
		"another dash":    {"555\u20110142", unsaid},
		"in a longer one": {"serial 15550142", "serial 15550142"},
		"far apart":       {"555 parts, 0142", "555 parts, 0142"},
	} {
		if got := (secrets{"555-0142"}).clear(c.text); got != c.want {
			t.Errorf("%s: clear(%q) = %q, want %q", name, c.text, got, c.want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		secret := rapid.StringMatching(`[0-9]{2,4}`).Draw(t, "secret")
		parts := rapid.SliceOf(rapid.OneOf(rapid.Just(secret), rapid.StringMatching(`[a-z0-9 ,#]{0,6}`))).Draw(t, "parts")
		text := secrets{secret}.clear(strings.Join(parts, " "))
		if slices.Contains(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == '#' }), secret) {
			t.Fatalf("%q is left in %q", secret, text)
		}
	})
}

func TestTextThatTheFontLacks(t *testing.T) {
	p, err := newPage(Letter, "x", "y", printedAt)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct{ text, want string }{
		"Latin, Greek, Cyrillic": {"Łódź Ζωή Щука ½ ≥ – №", "Łódź Ζωή Щука ½ ≥ – №"},
		"accents apart":          {"Cafe\u0301", "Café"},
		"beyond the font":        {"valve 🚰 水", "valve ? ?"},
		"controls":               {"a\x00b\u202ec\td", "abc d"},
		"broken UTF-8":           {"a\xffb", "a?b"},
	} {
		if got := p.clean(c.text); strings.ReplaceAll(got, "\ufffd", "?") != c.want {
			t.Errorf("%s: %q is shown as %q, want %q", name, c.text, got, c.want)
		}
	}
}

func TestWrap(t *testing.T) {
	p, err := newPage(Letter, "x", "y", printedAt)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-zA-ZŁΖщ0-9]{0,40} ?){0,12}`).Draw(t, "text")
		width := rapid.Float64Range(10, 120).Draw(t, "width")
		r := run{text, rapid.Float64Range(6, 15).Draw(t, "size"), rapid.Bool().Draw(t, "bold"), ink}
		joined := ""
		for _, l := range p.wrap([]run{r}, width) {
			p.use(l)
			if got := p.GetStringWidth(l.text); got > width+0.01 {
				t.Fatalf("line %q is %.1f mm wide, want at most %.1f", l.text, got, width)
			}
			joined += l.text
		}
		if squeezed(joined) != squeezed(text) {
			t.Fatalf("%q was broken into %q", text, joined)
		}
	})
}

// TestHistoriesOnlyTellWhatHappened: a record that lost a race and one that cannot be read tell nothing.
func TestHistoriesOnlyTellWhatHappened(t *testing.T) {
	w := smallFirm(t)
	e := events.Entity{Office: w.office, Kind: events.KindAssembly, ID: "rp"}
	before := len(w.records.of(e))
	lost := w.records[e][3]
	w.records[e] = append(slices.Clone(w.records[e]), lost)
	if got := len(w.records.of(e)); got != before {
		t.Errorf("%d events count after one lost a race, want %d", got, before)
	}
}
