package papers

import (
	"slices"
	"strings"
	"testing"

	"valveround/events"
)

func fieldOf(r Report, label string) string {
	for _, s := range r.Sections {
		for _, f := range s.Fields {
			if f.Label == label {
				return f.Value
			}
		}
	}
	return "no such field"
}

func TestReportVerdicts(t *testing.T) {
	w := smallFirm(t)
	rp, detector, garden := w.report(rpJob), w.report(detectorJob), w.report(gardenJob)
	if rp.Verdict != "pass" || rp.Final == nil || rp.Final.Computed != "fail" || !strings.Contains(rp.Doubt, "Both stand") {
		t.Errorf("the disputed pass is %q, computed %+v, doubt %q", rp.Verdict, rp.Final, rp.Doubt)
	}
	if rp.Initial == nil || rp.Initial.Says != "fail" || rp.Initial.Disagrees {
		t.Errorf("the initial test of the RP is %+v", rp.Initial)
	}
	if detector.Verdict != "fail" || detector.Doubt != "" || detector.Final != nil || len(detector.Rows) != 4 {
		t.Errorf("the detector's report says %q, doubt %q, final %+v, %d rows; want a fail, no doubt, no final test, 2 main and 2 bypass results",
			detector.Verdict, detector.Doubt, detector.Final, len(detector.Rows))
	}
	if garden.Verdict != "none" || garden.Initial != nil || len(garden.Rows) != 2 {
		t.Errorf("the report without a test says %q, initial %+v, %d rows", garden.Verdict, garden.Initial, len(garden.Rows))
	}
	if len(rp.Filings) != 2 || rp.Filings[0].Why == "" || rp.Filings[1].Confirmation != "R-1002" {
		t.Errorf("filings of the RP: %+v", rp.Filings)
	}
	for _, label := range []string{"Mailing address", "Account number", "Water meter reading"} {
		if !slices.Contains(rp.Blank, label) {
			t.Errorf("%q is not among the blanks: %v", label, rp.Blank)
		}
	}
}

// TestReportGoesByTheDayOfTheTest: the gauge was certified anew, and its unit replaced, after the job was done.
func TestReportGoesByTheDayOfTheTest(t *testing.T) {
	w := smallFirm(t)
	if got := w.report(rpJob).Final.GaugeUntil; got != day("2026-05-13") {
		t.Errorf("the gauge's certificate on the report ends %s, want as it stood on the day: 2026-05-13", got)
	}
	w.do(at("2027-05-01 08:00"), "desk", events.ListDue{Assembly: "rp", NewJob: "rp-27", Due: day("2027-05-30"), AsOf: day("2027-05-01"), Standing: events.Ours})
	test := events.Test{Gauge: "g1", Tester: "zoe", Procedure: "usc-9", At: at("2027-05-10 08:00"), Readings: rpReadings(events.Final, "3.0", "7.0", "1.6"), Says: events.OpinionPass}
	w.do(at("2027-05-10 09:00"), "zoe", events.FinishJob{JobRef: events.JobRef{Assembly: "rp", Job: "rp-27"}, Crew: "a", Day: day("2027-05-10"), Outcome: events.OutcomeReplaced,
		Final: &test, New: &events.Replaced{Serial: "N-0001", Maker: "Morvane", Model: "MV-30R", Type: events.RP, Size: events.InchSize(1, 4)}})
	old, now := w.report(rpJob), w.report(events.JobRef{Assembly: "rp", Job: "rp-27"})
	if got := fieldOf(old, "Serial"); got != "T23-95620" {
		t.Errorf("the old job's report names serial %q, want the unit that was tested", got)
	}
	if fieldOf(now, "Serial") != "N-0001" || fieldOf(now, "Old serial") != "T23-95620" || fieldOf(now, "New, existing or replacement") != "replacement" {
		t.Errorf("the new unit is %q, old serial %q, %s", fieldOf(now, "Serial"), fieldOf(now, "Old serial"), fieldOf(now, "New, existing or replacement"))
	}
	w.do(at("2027-05-12 09:00"), "desk", events.Put[events.SiteFacts]{ID: "cafe", Facts: func() events.SiteFacts {
		f := w.book.Sites["cafe"].SiteFacts
		f.Address = "14 Łąkowa Street"
		return f
	}(), Why: "the purveyor spells it so"})
	if got := fieldOf(w.report(rpJob), "Service address"); got != "14 Łąkowa Street" {
		t.Errorf("after a correction the address is %q", got)
	}
}

// TestRetestWithoutRepair: a second visit passes without parts; the report is no fail.
func TestRetestWithoutRepair(t *testing.T) {
	w := smallFirm(t)
	first := w.book.Assemblies["fire"].Jobs[0].Tests[0].Test
	retest := first
	retest.At, retest.Says = at("2026-05-12 07:00"), events.OpinionPass
	retest.Readings = slices.Clone(first.Readings)
	retest.Readings[1].Number = number("1.2")
	w.do(at("2026-05-12 07:30"), "zoe", events.FinishJob{JobRef: detectorJob, Crew: "a", Day: day("2026-05-12"), Outcome: events.OutcomePassed, Initial: &retest})
	r := w.report(detectorJob)
	if r.Verdict != "pass" || r.Initial.Says != "fail" || r.Final == nil || r.Final.Says != "pass" || r.Rows[1].Initial != "held at 0.6 psid" || r.Rows[1].Final != "held at 1.2 psid" {
		t.Errorf("verdict %s, initial %+v, final %+v, rows %+v", r.Verdict, r.Initial, r.Final, r.Rows)
	}
}

// TestReadingWords: words of report forms for what a test of each sort reads.
func TestReadingWords(t *testing.T) {
	yes, no := true, false
	for name, c := range map[string]struct {
		r    events.Reading
		want string
	}{
		"number and result":  {events.Reading{Number: number("1.0"), Unit: events.PSID, Result: events.Held}, "held at 1.0 psid"},
		"metric":             {events.Reading{Number: number("6.9"), Unit: events.KPa, Result: events.Held}, "held at 6.9 kPa"},
		"leaked":             {events.Reading{Result: events.Leaked}, "leaked"},
		"did not open":       {events.Reading{Result: events.DidNotOpen}, "did not open"},
		"number alone":       {events.Reading{Number: number("0.96"), Unit: events.PSID}, "0.96 psid"},
		"air inlet":          {events.Reading{Number: number("1.4"), Unit: events.PSID, Result: events.Opened, FullyOpen: &yes}, "opened at 1.4 psid, fully open"},
		"air inlet, partly":  {events.Reading{Result: events.Opened, FullyOpen: &no}, "opened, not fully open"},
		"air gap":            {events.Reading{Number: number("3"), Unit: events.Inches, GapAt: &events.GapAt{SupplyDiameter: events.MustDecimal("1"), BesideWall: true}}, "3 in, supply 1 in, beside a wall"},
		"other procedure":    {events.Reading{Number: number("1.2"), Unit: events.PSID, Procedure: "usc-10"}, "1.2 psid (usc-10)"},
		"procedure as above": {events.Reading{Number: number("1.2"), Unit: events.PSID, Procedure: "usc-9"}, "1.2 psid"},
	} {
		if got := reading(c.r, "usc-9"); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}

// TestEveryTypeHasItsRows: as many results as the type gives (a tester's procedure page for DC, PVB and RP; ASSE 1047 and
// 1048 for detectors).
func TestEveryTypeHasItsRows(t *testing.T) {
	for kind, want := range map[events.AssemblyType]int{events.DC: 2, events.RP: 3, events.PVB: 2, events.SVB: 2, events.DCDA: 4, events.DCDA2: 3, events.RPDA: 6, events.RPDA2: 4,
		events.AVB: 0, events.AirGap: 1} {
		w := reporting{a: &events.Assembly{AssemblyFacts: events.AssemblyFacts{Type: kind}}}
		if got := len(w.rows(nil, nil)); got != want {
			t.Errorf("%s has %d rows, want %d", kind, got, want)
		}
	}
}

// TestReportOfWhatWasMended: a result that was taken back is not told; corrected readings stand in the place of the first;
// a paper keyed in is named.
func TestReportOfWhatWasMended(t *testing.T) {
	w := smallFirm(t)
	first := w.book.Assemblies["fire"].Jobs[0].Tests[0]
	mended := first.Test
	mended.Readings = slices.Clone(first.Readings)
	mended.Readings[1].Number = number("0.8")
	w.do(at("2026-05-11 18:00"), "zoe", events.CorrectReadings{JobRef: detectorJob, About: first.Event, Why: "misread the dial", Test: mended})
	r := w.report(detectorJob)
	if r.Rows[1].Initial != "held at 0.8 psid" || !slices.Contains(r.Remarks, "Readings corrected by their tester: misread the dial") {
		t.Errorf("after the correction: %+v, remarks %q", r.Rows, r.Remarks)
	}
	w.do(at("2026-05-11 19:00"), "desk", events.VoidResult{JobRef: detectorJob, About: first.Event, Why: "it was the unit next door"})
	if r := w.report(detectorJob); r.Verdict != "none" || r.Initial != nil || len(r.Remarks) != 0 {
		t.Errorf("after it was taken back: verdict %s, %+v, remarks %q", r.Verdict, r.Initial, r.Remarks)
	}
	for _, l := range Invoicing(w.book, w.records, InvoiceConfig{Office: w.office, People: w.people, From: day("2026-05-11"), To: day("2026-05-11")}) {
		t.Errorf("what was taken back is on an invoice: %+v", l)
	}
	for _, row := range ListFilings(w.book, w.records, w.filing()).Rows {
		if row.Job.Job == string(detectorJob.Job) {
			t.Errorf("what was taken back is to be filed: %+v", row)
		}
	}
	signed := events.PaperResult{SHA256: strings.Repeat("0a", 32), SignedOn: day("2026-05-11"), Tester: "zoe"}
	w.do(at("2026-05-12 10:00"), "desk", events.FinishJob{JobRef: detectorJob, Crew: "a", Day: day("2026-05-11"), Outcome: events.OutcomeFailed, Initial: &mended, Paper: &signed})
	r = w.report(detectorJob)
	if len(r.Papers) != 1 || r.Papers[0].Tester != "Ζωή Παππά" || r.Papers[0].KeyedBy != "Office desk" || r.Verdict != "fail" {
		t.Errorf("keyed in from paper: %+v, verdict %s", r.Papers, r.Verdict)
	}
}
