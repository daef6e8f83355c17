package papers

import (
	"bytes"
	"testing"

	"valveround/events"
	"valveround/planner"
	"valveround/services/intake/sheet"
)

// everything is every document of the small firm by the name of its golden file.
func everything(t *testing.T, w *world) map[string]string {
	t.Helper()
	sheets, err := RouteSheets(w.book, w.sheetConfig(printedAt), outOn, "")
	if err != nil {
		t.Fatal(err)
	}
	made := map[string]string{"route-sheet.json": indented(t, sheets)}
	for name, ref := range map[string]events.JobRef{"report-rp.json": rpJob, "report-detector.json": detectorJob, "report-garden.json": gardenJob} {
		made[name] = indented(t, w.report(ref))
	}
	made["filing.json"] = indented(t, ListFilings(w.book, w.records, w.filing()))
	made["expiries.json"] = indented(t, ListExpiries(w.book, ExpiryConfig{Office: w.office, People: w.people, Today: day("2026-05-12"), Days: 30}))
	made["invoicing.csv"] = w.invoicing()
	crew, err := CrewPromises(w.book, w.calendar(), "a")
	if err != nil {
		t.Fatal(err)
	}
	made["crew-a.ics"] = Calendar(crew, "Crew A", printedAt)
	made["agreed.ics"] = Calendar(AgreedPromises(w.book, w.calendar()), "Agreed times", printedAt)
	return made
}

func (w *world) report(ref events.JobRef) Report {
	w.t.Helper()
	r, err := ReportOf(w.book, w.records, ReportConfig{Firm: "Quarry Lane Testing", People: w.people, Now: printedAt}, ref)
	if err != nil {
		w.t.Fatal(err)
	}
	return r
}

func (w *world) filing() FilingConfig {
	return FilingConfig{Office: w.office, Settings: planner.DefaultSettings(), People: w.people, Now: printedAt, Since: day("2026-04-28")}
}

func (w *world) calendar() CalendarConfig {
	return CalendarConfig{Office: w.office, Firm: "Quarry Lane Testing", People: w.people, Now: printedAt}
}

func (w *world) invoicing() string {
	w.t.Helper()
	lines := Invoicing(w.book, w.records, InvoiceConfig{Office: w.office, People: w.people, From: day("2026-05-01"), To: day("2026-05-12")})
	var out bytes.Buffer
	if err := sheet.WriteCSV(&out, InvoiceRows(lines)); err != nil {
		w.t.Fatal(err)
	}
	return out.String()
}

func TestDocumentsAreAsWritten(t *testing.T) {
	for name, text := range everything(t, smallFirm(t)) {
		golden(t, name, text)
	}
}
