package papers

import (
	"strings"
	"testing"

	"valveround/events"
	"valveround/services/intake/sheet"
	"valveround/services/words"
)

// TestFilingOfTheDemo: one row for each report of a pass that is not over, and for each failure with a test.
func TestFilingOfTheDemo(t *testing.T) {
	w, _, _ := county(t)
	want := FilingCounts{}
	calls := 0
	for _, a := range w.book.Assemblies {
		for _, j := range a.Jobs {
			switch {
			case j.Stage == events.StagePassed:
				want.Owed++
			case j.Stage == events.StageReported && a.SendAgain != nil:
				want.SendAgain++
			case j.Stage == events.StageReported:
				want.Filed++
			case j.Stage == events.StageReturned:
				want.Returned++
			case j.Stage == events.StageAccepted && !j.Filed.On.Before(day("2026-04-28")):
				want.Accepted++
			case j.Failure != nil && len(j.Tests) > 0 && j.NeedsVisit():
				want.Owed++
				if j.PhoneBy != nil {
					calls++
				}
			}
		}
	}
	l := ListFilings(w.book, w.records, w.filing())
	got := l.Counts
	got.Late, got.NotKnown = 0, 0
	want.Owed += calls
	if got != want {
		t.Errorf("counts %+v, want %+v", got, want)
	}
	if want.Returned == 0 || want.SendAgain == 0 || want.Filed == 0 || want.Accepted == 0 || calls == 0 {
		t.Errorf("the demo lacks a state: %+v, %d calls", want, calls)
	}
	rank := 0
	for _, r := range l.Rows {
		if r.rank() < rank {
			t.Fatalf("%s of %s (%s) comes after less pressing rows", r.About, r.Job.Job, r.State)
		}
		rank = r.rank()
		switch {
		case r.Words == "" || strings.Contains(r.Words, ".."):
			t.Errorf("row of %s says %q", r.Job.Job, r.Words)
		case r.State == StateReturned && (len(r.Filings) == 0 || r.Filings[len(r.Filings)-1].Why == ""):
			t.Errorf("the returned report of %s has no reason", r.Job.Job)
		case r.State == StateAccepted && r.Filings[len(r.Filings)-1].AcceptedOn.IsZero():
			t.Errorf("the accepted report of %s has no day", r.Job.Job)
		}
	}
}

// TestFilingClocks: the same pass and failure under rules of calendar and business days and hours, and under none.
func TestFilingClocks(t *testing.T) {
	w := smallFirm(t)
	l := ListFilings(w.book, w.records, w.filing())
	find := func(about string) FilingRow {
		for _, r := range l.Rows {
			if r.About == about {
				return r
			}
		}
		t.Fatalf("no row about %s", about)
		return FilingRow{}
	}
	if r := find(PhoneIn); r.State != StateOwed || !r.Missed || !r.By.At.Equal(at("2026-05-12 06:50")) {
		t.Errorf("24 hours after the test at 06:50: %+v", r)
	}
	if r := find(ReportOfFail); r.Missed || r.DaysLeft == nil || *r.DaysLeft != 1 {
		t.Errorf("2 business days after Monday, seen on Tuesday: %+v", r)
	}
	if r := find(ReportOfPass); r.State != StateFiled || r.DaysLeft != nil || len(r.Filings) != 2 {
		t.Errorf("the filed report: %+v", r)
	}
	w.do(at("2026-05-12 14:00"), "desk", events.AcceptReport{JobRef: rpJob, On: day("2026-05-12")})
	l = ListFilings(w.book, w.records, w.filing())
	if r := find(ReportOfPass); r.State != StateAccepted || !strings.Contains(r.Words, "accepted on 12 May 2026") {
		t.Errorf("the accepted report: %+v", r)
	}
	cfg := w.filing()
	cfg.Since = day("2026-05-12")
	if l := ListFilings(w.book, w.records, cfg); l.Counts.Accepted != 0 {
		t.Errorf("an accepted report that was filed before %s is shown", cfg.Since)
	}
	unknown := FilingRow{About: ReportOfPass, State: StateOwed}
	if !strings.Contains(unknown.say(), "ask") {
		t.Errorf("a clock that is not known says %q", unknown.say())
	}
}

func TestClockWords(t *testing.T) {
	for want, r := range map[string]events.DeadlineRule{
		"not known: ask": {},
		"5 business days after the day of the test (code 7)": {Count: 5, Unit: events.BusinessDays, Source: "code 7"},
		"24 hours after the test":                            {Count: 24, Unit: events.Hours},
		"10 calendar days after the day of the report":       {Count: 10, Unit: events.CalendarDays, CountsFrom: events.FromReport},
	} {
		if got := clock(r); got != want {
			t.Errorf("clock = %q, want %q", got, want)
		}
	}
}

func (w *world) expiries(today string, days int) map[string]Expiry {
	found := map[string]Expiry{}
	for _, e := range ListExpiries(w.book, ExpiryConfig{Office: w.office, People: w.people, Today: day(today), Days: days}).Rows {
		found[e.What+" "+e.ID] = e
	}
	return found
}

func TestExpiries(t *testing.T) {
	w := smallFirm(t)
	far := w.expiries("2026-05-12", 365)
	if len(far) != 6 { // two gauges, three of zoe's four credentials (her training ends in 2028), her registration
		t.Errorf("within a year: %d rows %v", len(far), far)
	}
	near := w.expiries("2026-05-12", 30)
	if e := near["fire zoe"]; len(e.Stops) != 1 || e.Stops[0].Site.ID != "store" || e.DaysLeft != 0 {
		t.Errorf("the fire licence that ends today stops tomorrow's fire line: %+v", e)
	}
	if e := near["gauge g1"]; e.LastDay != day("2026-05-13") || len(e.Stops) != 0 {
		t.Errorf("a gauge whose anniversary is the 14th is valid on the 13th: %+v", e)
	}
	if e := near["tester zoe"]; len(e.Stops) != 0 {
		t.Errorf("a certificate that outlasts the day stops nothing: %+v", e)
	}
	w.do(at("2026-05-12 16:00"), "desk", events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{Serial: "DG5001", CertifiedUntil: day("2026-05-13"), Potable: true}})
	if e := w.expiries("2026-05-12", 30)["gauge g1"]; len(e.Stops) != 1 || e.Stops[0].Site.ID != "store" {
		t.Errorf("without it the other gauge may go on the garden, not on the fire line: %+v", e)
	}
	// Somebody else on the crew makes it good.
	w.do(at("2026-05-12 16:01"), "desk", events.Put[events.PersonFacts]{ID: "irina", Facts: events.PersonFacts{Credentials: []events.Credential{
		{Kind: events.FireLicence, Until: day("2026-12-31")}, {Kind: events.ConfinedSpaceEntry, Until: day("2027-06-30")}}}})
	if e := w.expiries("2026-05-12", 30)["fire zoe"]; len(e.Stops) != 0 {
		t.Errorf("her helper's fire licence covers it: %+v", e)
	}
	// A registration that has ended stops every visit of that purveyor.
	w.do(at("2026-05-12 16:02"), "desk", events.Put[events.PersonFacts]{ID: "zoe", Facts: func() events.PersonFacts {
		f := w.book.People["zoe"].PersonFacts
		f.Registrations = []events.Registration{{Purveyor: "pv", Until: day("2026-05-01")}}
		return f
	}()})
	if e := w.expiries("2026-05-12", 30)["registration zoe"]; len(e.Stops) != 2 || e.DaysLeft != -11 || !strings.Contains(e.Words, "ended") {
		t.Errorf("the registration that has ended: %+v", e)
	}
	// What is done is not stopped any more.
	w.do(at("2026-05-13 09:20"), "zoe", events.FinishJob{JobRef: gardenJob, Crew: "a", Day: outOn, Outcome: events.OutcomeCouldNotTest, Why: "no-pressure"})
	if e := w.expiries("2026-05-13", 30)["registration zoe"]; len(e.Stops) != 1 {
		t.Errorf("the garden is done: %+v", e.Stops)
	}
}

// TestExpiriesOfWhatIsNotSentOut: a visit in tomorrow's proposal and jobs that fall due after the end are named too; a job
// that another crew of the office can do is not.
func TestExpiriesOfWhatIsNotSentOut(t *testing.T) {
	w := smallFirm(t)
	w.do(at("2026-05-12 16:00"), "desk", events.TakeBack{Date: outOn, Why: "replan"})
	for _, ref := range []events.JobRef{detectorJob, gardenJob} {
		w.do(at("2026-05-12 16:00"), "dispatch", events.EchoStandDown{Date: outOn, JobRef: ref, Why: "replan"})
	}
	list := func(proposed ...events.SentOut) map[string]Expiry {
		found := map[string]Expiry{}
		for _, e := range ListExpiries(w.book, ExpiryConfig{Office: w.office, People: w.people, Today: day("2026-05-12"), Days: 30, Proposed: proposed}).Rows {
			found[e.What+" "+e.ID] = e
		}
		return found
	}
	if e := list()["fire zoe"]; len(e.Stops) != 0 || len(e.Ahead) != 1 || e.Ahead[0].Job != "fire-26" || e.Ahead[0].Site.ID != "store" {
		t.Errorf("nothing is out; the failed fire line falls due after her fire licence ends: %+v", e)
	}
	e := list(nextDay())["fire zoe"]
	if len(e.Stops) != 1 || e.Stops[0].How != "proposed" || e.Stops[0].Date != outOn || !strings.Contains(e.Words, "1 proposed visit, 1 job that falls due later") {
		t.Errorf("tomorrow's proposal holds the fire line: %+v", e)
	}
	// The garden is due on 30 May, while her certificate lasts; the fire line's retest is owed on 1 June, when it has ended.
	if e := list()["tester zoe"]; len(e.Ahead) != 1 || e.Ahead[0].Due != day("2026-06-01") {
		t.Errorf("her certificate ends on 31 May: %+v", e)
	}
	w.do(at("2026-05-12 16:05"), "desk", events.Put[events.PersonFacts]{ID: "bo", Facts: events.PersonFacts{Credentials: []events.Credential{{Kind: events.FireLicence, Until: day("2027-05-01")}}}})
	w.do(at("2026-05-12 16:05"), "desk", events.Put[events.CrewFacts]{ID: "b", Facts: events.CrewFacts{Name: "Crew B", Letter: "B", People: []events.PersonID{"bo"}, Home: origin, Zone: "America/Chicago", Hours: "Mo-Fr 06:00-16:00"}})
	if e := list(nextDay())["fire zoe"]; len(e.Stops) != 1 || len(e.Ahead) != 0 {
		t.Errorf("crew B has a fire licence: the jobs ahead are safe, crew A's proposed visit is not: %+v", e)
	}
}

func TestInvoicing(t *testing.T) {
	w := smallFirm(t)
	w.do(at("2026-05-12 08:00"), "zoe", events.FinishJob{JobRef: gardenJob, Crew: "a", Day: day("2026-05-12"), Outcome: events.OutcomeCouldNotTest, Why: "winterised", Words: "=HYPERLINK(1)"})
	lines := Invoicing(w.book, w.records, InvoiceConfig{Office: w.office, People: w.people, From: day("2026-05-06"), To: day("2026-05-12")})
	got := []string{}
	for _, l := range lines {
		got = append(got, l.Day.String()+" "+l.Charge+" "+l.Minutes)
	}
	want := "2026-05-06 repair and retest 51|2026-05-08 trip: no access 18|2026-05-11 test 85|2026-05-12 trip: could not test "
	if strings.Join(got, "|") != want {
		t.Errorf("lines %s, want %s", strings.Join(got, "|"), want)
	}
	var out strings.Builder
	if err := sheet.WriteCSV(&out, InvoiceRows(lines)); err != nil {
		t.Fatal(err)
	}
	for _, cell := range []string{"'=12+1"} { // OWASP, "CSV Injection": a cell that begins with = is run as a formula
		if !strings.Contains(out.String(), ","+cell+",") {
			t.Errorf("%q is not guarded in %s", cell, out.String())
		}
	}
	for _, row := range InvoiceRows(lines) {
		if len(row) != len(invoiceHead) {
			t.Errorf("%d cells in a row, want %d", len(row), len(invoiceHead))
		}
	}
}

// TestInvoiceNamesTheUnitOfTheDay: a visit before the unit was replaced names the old one.
func TestInvoiceNamesTheUnitOfTheDay(t *testing.T) {
	w := smallFirm(t)
	test := events.Test{Gauge: "g1", Tester: "zoe", Procedure: "usc-9", At: at("2026-05-12 08:00"), Readings: w.book.Assemblies["fire"].Jobs[0].Tests[0].Readings, Says: events.OpinionPass}
	w.do(at("2026-05-12 09:00"), "zoe", events.FinishJob{JobRef: detectorJob, Crew: "a", Day: day("2026-05-12"), Outcome: events.OutcomeReplaced, Final: &test,
		New: &events.Replaced{Serial: "N-0001", Type: events.DCDA, Size: events.InchSize(8, 0)}})
	got := []string{}
	for _, l := range Invoicing(w.book, w.records, InvoiceConfig{Office: w.office, People: w.people, From: day("2026-05-11"), To: day("2026-05-12")}) {
		got = append(got, l.Charge+" "+l.Serial)
	}
	if strings.Join(got, ", ") != "test 8E03969, replacement N-0001" {
		t.Errorf("lines %q", got)
	}
}

// TestMinutesOnceAVisit: a visit to several units is one stay.
func TestMinutesOnceAVisit(t *testing.T) {
	w := smallFirm(t)
	facts := w.book.Assemblies["rp"].AssemblyFacts
	w.do(at("2026-05-11 12:00"), "desk", events.Put[events.AssemblyFacts]{ID: "rp2", Facts: facts})
	w.do(at("2026-05-11 12:01"), "desk", events.ListDue{Assembly: "rp2", NewJob: "rp2-26", Due: day("2026-05-30"), AsOf: day("2026-05-11"), Standing: events.Ours})
	w.do(at("2026-05-11 12:02"), "desk", events.ListDue{Assembly: "rp", NewJob: "rp-27", Due: day("2027-05-30"), AsOf: day("2026-05-11"), Standing: events.Ours})
	on := day("2026-05-12")
	w.do(at("2026-05-12 07:00"), "zoe", events.Arrive{Site: "cafe", Crew: "a", Day: on})
	w.do(at("2026-05-12 07:20"), "zoe", events.Leave{Site: "cafe", Crew: "a", Day: on})
	w.do(at("2026-05-12 08:00"), "zoe", events.Arrive{Site: "cafe", Crew: "a", Day: on})
	for _, ref := range []events.JobRef{{Assembly: "rp2", Job: "rp2-26"}, {Assembly: "rp", Job: "rp-27"}} {
		w.do(at("2026-05-12 08:05"), "zoe", events.FinishJob{JobRef: ref, Crew: "a", Day: on, Outcome: events.OutcomeCouldNotTest, Why: "flooded"})
	}
	w.do(at("2026-05-12 08:10"), "zoe", events.Leave{Site: "cafe", Crew: "a", Day: on})
	lines := Invoicing(w.book, w.records, InvoiceConfig{Office: w.office, People: w.people, From: on, To: on})
	if len(lines) != 2 || lines[0].Minutes != "30" || lines[1].Minutes != "" || lines[1].Arrived != "07:00" || lines[1].Left != "08:10" {
		t.Errorf("two units of one visit of 20 and 10 minutes: %+v", lines)
	}
}

// TestInvoicingOfTheDemo: every attempt of the last weeks is a line, and none twice.
func TestInvoicingOfTheDemo(t *testing.T) {
	w, _, _ := county(t)
	cfg := InvoiceConfig{Office: w.office, People: w.people, From: day("2026-04-01"), To: day("2026-05-12")}
	want, got := map[string]int{}, map[string]int{}
	for _, a := range w.book.Assemblies {
		for _, j := range a.Jobs {
			for _, x := range j.Attempts {
				if x.Crew != "" && cfg.within(x.On) {
					want[string(j.ID)+x.On.String()+words.Plain(string(x.Outcome))]++
				}
			}
		}
	}
	needs := map[events.Entity]bool{}
	for _, e := range InvoiceNeeds(w.book, cfg) {
		needs[e] = true
	}
	read := Histories{}
	for e := range needs {
		read[e] = w.records[e]
	}
	for _, l := range Invoicing(w.book, read, cfg) {
		got[l.Job+l.Day.String()+l.Outcome]++
	}
	if len(want) < 20 {
		t.Fatalf("only %d attempts in the demo", len(want))
	}
	for key, n := range want {
		if got[key] != n {
			t.Errorf("%s: %d lines, want %d", key, got[key], n)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d lines, want %d", len(got), len(want))
	}
}

// TestFilingOfAFailure: told by telephone, filed, sent back, filed again; the repair is owed all the while.
func TestFilingOfAFailure(t *testing.T) {
	w := smallFirm(t)
	state := func(about string) (FilingRow, string) {
		for _, r := range ListFilings(w.book, w.records, w.filing()).Rows {
			if r.About == about && r.Job.Job == string(detectorJob.Job) {
				return r, r.State
			}
		}
		return FilingRow{}, "gone"
	}
	w.do(at("2026-05-11 08:10"), "desk", events.PhoneFailure{JobRef: detectorJob, At: at("2026-05-11 08:05"), To: "duty desk"})
	if r, got := state(PhoneIn); got != StateFiled || r.Missed || !strings.Contains(r.Words, "told duty desk at 08:05") {
		t.Errorf("after the call: %s, %+v", got, r)
	}
	w.do(at("2026-05-11 10:00"), "desk", events.FileReport{JobRef: detectorJob, On: day("2026-05-11"), How: "by post", Confirmation: "F-1"})
	if r, got := state(ReportOfFail); got != StateFiled || len(r.Filings) != 1 {
		t.Errorf("after filing: %s, %+v", got, r)
	}
	w.do(at("2026-05-12 09:00"), "desk", events.ReturnReport{JobRef: detectorJob, On: day("2026-05-12"), Why: "bypass serial missing"})
	if r, got := state(ReportOfFail); got != StateReturned || r.DaysLeft == nil || !strings.Contains(r.Words, "bypass serial missing") {
		t.Errorf("after it came back: %s, %+v", got, r)
	}
	w.do(at("2026-05-12 11:00"), "desk", events.FileReport{JobRef: detectorJob, On: day("2026-05-12"), How: "by post", Confirmation: "F-2"})
	if r, got := state(ReportOfFail); got != StateFiled || len(r.Filings) != 2 {
		t.Errorf("after filing again: %s, %+v", got, r)
	}
	if _, got := state(ReportOfPass); got != "gone" {
		t.Errorf("a failed job has a report of a pass: %s", got)
	}
}

// TestFailureReportThereAndBack: the report of a failure is filed, comes back, is filed again and accepted, and the repair is
// owed all the while.
func TestFailureReportThereAndBack(t *testing.T) {
	w := smallFirm(t)
	ref := events.JobRef{}
	for _, r := range ListFilings(w.book, w.records, w.filing()).Rows {
		if r.About == ReportOfFail {
			ref = events.JobRef{Assembly: events.AssemblyID(r.Job.Assembly), Job: events.JobID(r.Job.Job)}
		}
	}
	row := func() FilingRow {
		for _, r := range ListFilings(w.book, w.records, w.filing()).Rows {
			if r.About == ReportOfFail && r.Job.Job == string(ref.Job) {
				return r
			}
		}
		t.Fatal("the report of the failure is not listed")
		return FilingRow{}
	}
	for _, step := range []struct {
		do    any
		state string
		says  string
	}{
		{events.FileReport{JobRef: ref, On: day("2026-05-12"), How: "post"}, StateFiled, "Report of a failure filed on 12 May 2026, post; not accepted yet."},
		{events.ReturnReport{JobRef: ref, On: day("2026-05-13"), Why: "no gauge"}, StateReturned, "Report of a failure came back on 13 May 2026: no gauge. Correct it and file it again;"},
		{events.FileReport{JobRef: ref, On: day("2026-05-14"), How: "their page", Confirmation: "C-7"}, StateFiled, "filed on 14 May 2026, their page, confirmation C-7"},
		{events.AcceptReport{JobRef: ref, On: day("2026-05-15")}, StateAccepted, "Report of a failure accepted on 15 May 2026, confirmation C-7."},
	} {
		w.do(at("2026-05-15 09:00"), "office", step.do)
		if r := row(); r.State != step.state || !strings.Contains(r.Words, step.says) {
			t.Errorf("%T: %s, %q, want %s, %q", step.do, r.State, r.Words, step.state, step.says)
		}
	}
	if j := w.book.Assemblies[ref.Assembly].Job(ref.Job); !j.NeedsRepair() {
		t.Errorf("the job is %s", j.Stage)
	}
}
