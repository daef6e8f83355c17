package papers

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"valveround/events"
)

// filledIn puts everything on record that report forms ask about the detector assembly, and finishes its job with a repair,
// a final test and the fire line's valves locked open.
func filledIn(t *testing.T) *world {
	w := smallFirm(t)
	customer, site, unit := w.book.Customers["cu"].CustomerFacts, w.book.Sites["store"].SiteFacts, w.book.Assemblies["fire"].AssemblyFacts
	customer.MailingAddress, customer.PurchaseOrder = "PO Box 12, Åkerhus", "PO-7001"
	site.Account, site.Parcel = "04-00417-2", "Tessaby County, block 12, lot 7"
	height, design, measured := 30, 750, 765
	unit.Isolates = "sprinkler system of both halls"
	unit.Installation = events.Installation{Permit: "PL-2011-0042", Approved: events.SaidYes, Orientation: "horizontal", HeightIn: &height, FrostFlood: "heated room, floor drain",
		OutletsBefore: "none seen", WaterMeter: "M0312214", DetectorMeter: "D000917", DesignFlowGPM: &design}
	w.do(at("2026-05-11 12:00"), "desk", events.Put[events.CustomerFacts]{ID: "cu", Facts: customer})
	w.do(at("2026-05-11 12:00"), "desk", events.Put[events.SiteFacts]{ID: "store", Facts: site})
	w.do(at("2026-05-11 12:00"), "desk", events.Put[events.AssemblyFacts]{ID: "fire", Facts: unit})
	final := w.book.Assemblies["fire"].Jobs[0].Tests[0].Test
	final.At, final.Says = at("2026-05-12 10:05"), events.OpinionPass
	final.Readings = slices.Clone(final.Readings)
	for i := range final.Readings {
		final.Readings[i].Phase = events.Final
	}
	final.Readings[1].Number = number("1.4")
	final.WaterMeter, final.DetectorMeter, final.ForwardFlowGPM = "0045120 gal", "00381 gal", &measured
	w.do(at("2026-05-12 10:20"), "zoe", events.FinishJob{JobRef: detectorJob, Crew: "a", Day: day("2026-05-12"), Outcome: events.OutcomeRepairedPassed, Final: &final,
		Repair: &events.Repaired{Cleaned: true, Fitted: []events.PartWanted{{Code: "K-8DX-C2", Component: events.Check2}}, Words: "seat of check 2 scored"}})
	w.do(at("2026-05-12 10:25"), "zoe", events.LeaveFeed{Feed: "f-store", Crew: "a", Condition: events.Condition{Service: events.InService,
		Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen, Secured: "locked, supervised"}, {Name: "No. 2 shut-off", State: events.ValveOpen, Secured: "locked, supervised"}}}})
	return w
}

// formFields are the fields that published report forms and rules ask for, by group: NY DOH-1013 (9/91); WAC 246-292-036
// (2) to (5); 35 IAC 604.1510(a)(3); the Wisconsin DSPS performance test; Austin's report instructions; Burnaby BC (2014);
// the Toronto SDHW report; Iowa City (9/02); TCEQ-20700 (from memory). Each with the value that the filled-in report of a
// detector assembly must show.
var formFields = []struct{ group, field, from, value string }{
	{"site", "facility name", "WA, Austin, NY", "Склад № 4"},
	{"site", "service address", "WA, Austin, NY", "7731 Harbour Road"},
	{"site", "owner", "WA, Austin, NY", "Ørsted & Söhne"},
	{"site", "representative", "WA, Austin, NY", "Łucja Żółć"},
	{"site", "mailing address", "WA, Austin, NY", "PO Box 12, Åkerhus"},
	{"site", "account number", "WA, Austin, NY", "04-00417-2"},
	{"site", "county, block, lot", "NY", "Tessaby County, block 12, lot 7"},
	{"site", "purchase order", "common practice", "PO-7001"},
	{"site", "public water system number", "TCEQ-20700, from memory", "TC0410007"},
	{"hazard", "hazard", "WA, Austin, Burnaby, NY", "non-health"},
	{"hazard", "zone or equipment isolated", "WA, Austin, Burnaby, NY", "sprinkler system of both halls"},
	{"hazard", "service", "WA, Austin, Burnaby, NY", "fire"},
	{"assembly", "location", "WA, Burnaby, IL, NY", "vault by the gate"},
	{"assembly", "type", "WA, Burnaby, IL, NY", "DCDA"},
	{"assembly", "maker", "WA, Burnaby, IL, NY", "Kestrow"},
	{"assembly", "model", "WA, Burnaby, IL, NY", "K-8DX"},
	{"assembly", "size", "WA, Burnaby, IL, NY", "8 in"},
	{"assembly", "serial", "WA, Burnaby, IL, NY", "8E03969"},
	{"assembly", "new, existing or replacement", "WA, Burnaby, IL, NY", "existing"},
	{"assembly", "bypass maker and model", "NY: one form a device", "K-7D"},
	{"assembly", "bypass serial", "NY: one form a device", "5E12744"},
	{"installation", "permit", "common practice", "PL-2011-0042"},
	{"installation", "approved model when installed", "WA, Iowa City, NY", "yes"},
	{"installation", "orientation", "WA, Iowa City, NY", "horizontal"},
	{"installation", "height off the floor", "WA, Iowa City, NY", "30 in"},
	{"installation", "freeze and flood protection", "WA, Iowa City, NY", "heated room, floor drain"},
	{"installation", "bypasses, outlets before it", "WA, Iowa City, NY", "none seen"},
	{"conditions", "line pressure", "NY, Iowa City, Burnaby", "88 psi"},
	{"conditions", "date and time", "NY, Iowa City, Burnaby", "12 May 2026, 10:05"},
	{"initial test", "reading of a component", "NY, WI, Toronto, Burnaby", "held at 0.6 psid"},
	{"initial test", "shut-offs", "NY, WI, Toronto, Burnaby", "held"},
	{"repair", "who", "NY, Austin, IL", "Ζωή Παππά"},
	{"repair", "licence number", "NY, Austin, IL", "R-77"},
	{"repair", "date", "NY, Austin, IL", "12 May"},
	{"repair", "description", "NY, Austin, IL", "eat of check 2 scored"},
	{"repair", "materials and parts", "NY, Austin, IL", "K-8DX-C2"},
	{"final test", "the same readings again", "NY, WI, Burnaby, Austin", "held at 1.4 psid"},
	{"meter", "water meter number", "NY", "M0312214"},
	{"meter", "water meter reading", "NY", "0045120 gal"},
	{"meter", "detector meter number", "common practice", "D000917"},
	{"meter", "detector meter reading", "common practice", "00381 gal"},
	{"kit", "maker and model", "Toronto, Austin, Iowa City, IL", "Harbeck D-5"},
	{"kit", "serial", "Toronto, Austin, Iowa City, IL", "DG5001"},
	{"kit", "calibration date", "Toronto, Austin, Iowa City, IL", "13 May 2025"},
	{"kit", "calibration place", "common practice", "Northgate Instruments, Ashby"},
	{"tester", "printed name", "NY, Burnaby, Austin", "Ζωή Παππά"},
	{"tester", "certificate number", "NY, Burnaby, Austin", "T-2041"},
	{"tester", "its expiry", "NY, Burnaby, Austin", "31 May 2026"},
	{"tester", "company", "NY, Burnaby, Austin", "Quarry Lane Testing"},
	{"tester", "telephone, to be written by hand", "NY, Burnaby, Austin", "Tester's telephone"},
	{"tester", "signature", "NY, Burnaby, Austin", "The readings above are as I read them"},
	{"verdict", "meets or does not meet", "NY, IL, Toronto", "MEETS"},
	{"owner", "confirms that the test took place", "NY, Iowa City", "The test took place"},
	{"fire", "forward flow, design", "WI", "750 gpm"},
	{"fire", "forward flow, actual", "WI", "765 gpm"},
	{"fire", "control valves open", "WI", "yes"},
	{"fire", "supervision", "WI", "No. 1 shut-off locked, supervised"},
}

// TestReportHasEveryFormField compares the report field by field with published forms, as a PDF and as JSON. What JSON
// leaves to the paper is the telephone line alone.
func TestReportHasEveryFormField(t *testing.T) {
	r := filledIn(t).report(detectorJob)
	pdf, err := ReportPDF(r, Letter)
	if err != nil {
		t.Fatal(err)
	}
	onPaper := squeezed(textOf(t, pdf))
	body, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var plain map[string]any
	if err := json.Unmarshal(body, &plain); err != nil {
		t.Fatal(err)
	}
	inJSON := squeezed(strings.Join(textsIn(plain), " | "))
	for _, f := range formFields {
		if !strings.Contains(onPaper, squeezed(f.value)) {
			t.Errorf("%s: %s (%s) is not on the PDF as %q", f.group, f.field, f.from, f.value)
		}
	}
	for _, f := range formFields {
		switch f.field {
		case "telephone, to be written by hand", "date and time", "calibration date", "its expiry", "maker and model", "date":
			continue // JSON has days and instants in ISO 8601, and maker and model apart
		}
		if !strings.Contains(inJSON, squeezed(f.value)) {
			t.Errorf("%s: %s (%s) is not in the JSON as %q", f.group, f.field, f.from, f.value)
		}
	}
	if f := r.Final; f.CalibratedOn != day("2025-05-13") || f.GaugeMaker != "Harbeck" || f.GaugeModel != "D-5" || f.CertUntil != day("2026-05-31") {
		t.Errorf("the gauge and certificate of the final test: %+v", f)
	}
	if want := []string{"Told"}; !slices.Equal(r.Blank, want) {
		t.Errorf("blank although everything is on record: %q, want %q, which nobody was", r.Blank, want)
	}
}

// TestReportOfARelief has the air gap below the relief port and the buffer, which a detector of check valves has not.
func TestReportOfARelief(t *testing.T) {
	w := smallFirm(t)
	unit := w.book.Assemblies["rp"].AssemblyFacts
	unit.Installation.ReliefGap = events.SaidNo
	w.do(at("2026-05-11 12:00"), "desk", events.Put[events.AssemblyFacts]{ID: "rp", Facts: unit})
	r := w.report(rpJob)
	if got := fieldOf(r, "Air gap below the relief"); got != "no" || r.Final.Buffer == "" {
		t.Errorf("air gap %q, want no; buffer %q", got, r.Final.Buffer)
	}
}

// textsIn are all texts of a JSON value.
func textsIn(v any) []string {
	var list []string
	switch v := v.(type) {
	case string:
		list = append(list, v)
	case []any:
		for _, x := range v {
			list = append(list, textsIn(x)...)
		}
	case map[string]any:
		for _, x := range v {
			list = append(list, textsIn(x)...)
		}
	}
	return list
}
