package papers

import (
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/words"
)

// A small firm with invented people of many alphabets: an RP that fails, is repaired and passes, whose report comes back
// once; a detector on a fire line in a vault; a garden nobody opens; and the next day sent out.

var (
	rpJob       = events.JobRef{Assembly: "rp", Job: "rp-26"}
	detectorJob = events.JobRef{Assembly: "fire", Job: "fire-26"}
	gardenJob   = events.JobRef{Assembly: "garden", Job: "garden-26"}
	outOn       = events.NewDate(2026, time.May, 13)
	printedAt   = at("2026-05-12 15:10")
)

func smallFirm(t *testing.T) *world {
	w := newWorld(t, "main")
	w.registry()
	w.rpStory()
	w.detectorStory()
	w.do(at("2026-05-08 11:20"), "zoe", events.Arrive{Site: "garden", Crew: "a", Day: day("2026-05-08")})
	w.do(at("2026-05-08 11:38"), "zoe", events.MeetNoAccess{Site: "garden", Crew: "a", Day: day("2026-05-08"), Jobs: []events.JobRef{gardenJob},
		Words: "gate shut, rang 555-0142 twice"})
	w.do(at("2026-05-11 09:00"), "desk", events.AgreeTime{Site: "garden", AgreedTime: events.AgreedTime{From: at("2026-05-13 09:00"), To: at("2026-05-13 11:00"), With: "lucja"}})
	w.sendOut(at("2026-05-12 15:04"), nextDay())
	return w
}

func (w *world) registry() {
	days := func(n int, unit events.RuleUnit) events.DeadlineRule {
		return events.DeadlineRule{Count: n, Unit: unit, Source: "invented rule book"}
	}
	now := at("2026-01-05 08:00")
	put := func(do any) { now = now.Add(time.Second); w.do(now, "desk", do) }
	put(events.Put[events.PurveyorFacts]{ID: "pv", Facts: events.PurveyorFacts{Name: "Åkerhus Water District", SystemNumber: "TC0410007", Zone: "America/Chicago", Criteria: string(events.USC9),
		IntervalMonths: 12, Repair: map[events.Hazard]events.DeadlineRule{events.Health: days(7, events.CalendarDays), events.NonHealth: days(21, events.CalendarDays)},
		ReportPass: days(5, events.BusinessDays), ReportFail: days(2, events.BusinessDays), PhoneFail: days(24, events.Hours), RegistrationRequired: true}})
	put(events.Put[events.PersonFacts]{ID: "zoe", Facts: events.PersonFacts{Credentials: []events.Credential{
		{Kind: events.TesterCertificate, Number: "T-2041", Until: day("2026-05-31")}, {Kind: events.RepairLicence, Number: "R-77", Until: day("2027-01-31")},
		{Kind: events.FireLicence, Number: "F-9", Until: day("2026-05-12")}, {Kind: events.ConfinedSpaceEntry, Until: day("2028-01-01")}},
		Registrations: []events.Registration{{Purveyor: "pv", Until: day("2026-12-31")}}}})
	put(events.Put[events.PersonFacts]{ID: "irina", Facts: events.PersonFacts{Credentials: []events.Credential{{Kind: events.ConfinedSpaceEntry, Until: day("2027-06-30")}}}})
	put(events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{Serial: "DG5001", Maker: "Harbeck", Model: "D-5", CalibratedOn: day("2025-05-13"), CalibratedBy: "Northgate Instruments, Ashby",
		CertifiedUntil: day("2026-05-13"), Potable: true}})
	put(events.Put[events.GaugeFacts]{ID: "g2", Facts: events.GaugeFacts{Serial: "DG5002", CertifiedUntil: day("2026-11-30"), Potable: false}})
	put(events.Put[events.CrewFacts]{ID: "a", Facts: events.CrewFacts{Name: "Crew A", Letter: "A", People: []events.PersonID{"zoe", "irina"}, Gauges: []events.GaugeID{"g1", "g2"},
		Home: origin, Zone: "America/Chicago", Hours: "Mo-Fr 06:00-16:00"}})
	put(events.Put[events.CustomerFacts]{ID: "cu", Facts: events.CustomerFacts{Name: "Ørsted & Söhne", Repair: "yes", RepairLimitUSD: 900}})
	contacts := []events.Contact{{Person: "lucja", Role: "lets in"}, {Person: "lucja", Role: "may order shut-off"}, {Person: "alarm", Role: "alarm company"}}
	site := func(id, name, address string, east, north geo.Metres, source events.PositionSource, access string) {
		put(events.Put[events.SiteFacts]{ID: id, Facts: events.SiteFacts{Customer: "cu", Name: name, Address: address, Position: geo.Destination(geo.Destination(origin, 90, east), 0, north),
			PositionSource: source, Zone: "America/Chicago", AccessHours: "Mo-Fr 06:00-18:00", Access: access, Contacts: contacts}})
	}
	site("cafe", "Café Zürich", "12 Łąkowa Street", 4000, 2500, events.Surveyed, "Back door, ring twice; code 7731 until noon")
	site("store", "Склад № 4", "7731 Harbour Road", 9000, -1500, events.AddressPoint, "Report to the guard")
	site("garden", "Κήπος Park", "", 4200, 2600, events.Approximate, "")
	feed := func(id, site, name string, fire bool) {
		put(events.Put[events.FeedFacts]{ID: id, Facts: events.FeedFacts{Site: events.SiteID(site), Name: name, ShutdownWindow: "Mo-Fr 06:00-15:00", Fire: fire}})
	}
	feed("f-cafe", "cafe", "kitchen", false)
	feed("f-store", "store", "fire line", true)
	feed("f-garden", "garden", "irrigation", false)
	put(events.Put[events.AssemblyFacts]{ID: "rp", Facts: events.AssemblyFacts{Site: "cafe", Feed: "f-cafe", Purveyor: "pv", PurveyorNumber: "0012", Type: events.RP, Size: events.InchSize(1, 4),
		Service: events.Domestic, Hazard: events.Health, Maker: "Tindle & Oake", Model: "TO-410R", Serial: "T23-95620", Place: "back wall by the meter"}})
	put(events.Put[events.AssemblyFacts]{ID: "fire", Facts: events.AssemblyFacts{Site: "store", Feed: "f-store", Purveyor: "pv", PurveyorNumber: "=12+1", Type: events.DCDA, Size: events.InchSize(8, 0),
		Service: events.Fire, Hazard: events.NonHealth, Maker: "Kestrow", Model: "K-8DX", Serial: "8E03969", Place: "vault by the gate", Vault: events.PermitVault,
		Bypass: &events.BypassFacts{Maker: "Kestrow", Model: "K-7D", Size: events.InchSize(0, 6), Serial: "5E12744"}}})
	put(events.Put[events.AssemblyFacts]{ID: "garden", Facts: events.AssemblyFacts{Site: "garden", Feed: "f-garden", Purveyor: "pv", Type: events.PVB, Size: events.InchSize(1, 0), Service: events.Irrigation}})
	for _, ref := range []events.JobRef{rpJob, detectorJob, gardenJob} {
		put(events.ListDue{Assembly: ref.Assembly, NewJob: ref.Job, Due: day("2026-05-30"), AsOf: day("2026-01-04"), List: "due.csv row 4", Standing: events.Ours})
	}
	for id, d := range map[string]words.Details{"zoe": {Name: "Ζωή Παππά", Phone: "555-0101"}, "irina": {Name: "Ирина Ковалёва", Phone: "555-0102"},
		"lucja": {Name: "Łucja Żółć", Phone: "555-0142"}, "alarm": {Name: "Lodestar Alarms", Phone: "555-0177", Code: "ACCT-9090"}, "cafe": {Code: "7731"},
		"store": {Code: "4410"}, "desk": {Name: "Office desk"}} {
		w.know(id, d)
	}
}

func rpReadings(phase events.Phase, relief, check1, check2 string) []events.Reading {
	read := func(c events.Component, n string, r events.Result) events.Reading {
		return events.Reading{Part: events.MainPart, Component: c, Phase: phase, Number: number(n), Unit: events.PSID, Result: r, Procedure: "usc-9"}
	}
	return []events.Reading{read(events.Relief, relief, events.Opened), read(events.Check1, check1, events.Held), read(events.Check2, check2, events.Held)}
}

func (w *world) rpStory() {
	failed := events.Test{Gauge: "g1", Tester: "zoe", Procedure: "usc-9", At: at("2026-05-04 07:10"), LinePressure: number("62"), LinePressureUnit: events.PSID,
		ShutOff1: events.Held, ShutOff2: events.Held, Readings: rpReadings(events.Initial, "1.6", "6.4", "1.4"), Says: events.OpinionFail}
	passed := failed
	passed.At, passed.Readings, passed.Says = at("2026-05-06 08:05"), rpReadings(events.Final, "2.6", "5.2", "1.4"), events.OpinionPass
	w.do(at("2026-05-04 07:02"), "zoe", events.Arrive{Site: "cafe", Crew: "a", Day: day("2026-05-04")})
	w.do(at("2026-05-04 07:30"), "zoe", events.FinishJob{JobRef: rpJob, Crew: "a", Day: day("2026-05-04"), Outcome: events.OutcomeFailed, Initial: &failed})
	w.do(at("2026-05-04 07:41"), "zoe", events.Leave{Site: "cafe", Crew: "a", Day: day("2026-05-04")})
	w.do(at("2026-05-04 09:00"), "desk", events.SayYesToRepair{JobRef: rpJob, RepairYes: events.RepairYes{Basis: "up to a sum", LimitUSD: 900, By: "lucja", On: day("2026-05-04")}})
	w.do(at("2026-05-06 07:40"), "zoe", events.Arrive{Site: "cafe", Crew: "a", Day: day("2026-05-06")})
	w.do(at("2026-05-06 08:20"), "zoe", events.FinishJob{JobRef: rpJob, Crew: "a", Day: day("2026-05-06"), Outcome: events.OutcomeRepairedPassed, Final: &passed,
		Repair: &events.Repaired{Cleaned: true, Fitted: []events.PartWanted{{Code: "TO-410R-RV", Component: events.Relief}}, Words: "relief seat scored; key from 7731 box"}})
	w.do(at("2026-05-06 08:21"), "zoe", events.LeaveFeed{Feed: "f-cafe", Crew: "a", Condition: events.Condition{Service: events.InService,
		Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValveOpen}}, Told: []string{"site contact"}}})
	w.do(at("2026-05-06 08:31"), "zoe", events.Leave{Site: "cafe", Crew: "a", Day: day("2026-05-06")})
	w.do(at("2026-05-07 09:00"), "desk", events.FileReport{JobRef: rpJob, On: day("2026-05-07"), How: "purveyor's own page", By: "desk", Confirmation: "R-1001"})
	w.do(at("2026-05-08 09:00"), "desk", events.ReturnReport{JobRef: rpJob, On: day("2026-05-08"), Why: "line pressure not filled in"})
	w.do(at("2026-05-11 09:00"), "desk", events.FileReport{JobRef: rpJob, On: day("2026-05-11"), How: "by post", By: "desk", Confirmation: "R-1002"})
	// The gauge is certified anew after the tests: the report goes by the certificate of that day.
	w.do(at("2026-05-11 10:00"), "desk", events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{Serial: "DG5001", Maker: "Harbeck", Model: "D-5", CalibratedOn: day("2025-05-13"), CalibratedBy: "Northgate Instruments, Ashby",
		CertifiedUntil: day("2026-05-14"), Potable: true}})
}

func (w *world) detectorStory() {
	read := func(p events.Part, c events.Component, n string, r events.Result) events.Reading {
		return events.Reading{Part: p, Component: c, Phase: events.Initial, Number: number(n), Unit: events.PSID, Result: r, Procedure: "usc-9"}
	}
	test := events.Test{Gauge: "g1", Tester: "zoe", Procedure: "usc-9", At: at("2026-05-11 06:50"), LinePressure: number("88"), LinePressureUnit: events.PSID, ShutOff1: events.Held, ShutOff2: events.Held,
		Readings: []events.Reading{read(events.MainPart, events.Check1, "1.8", events.Held), read(events.MainPart, events.Check2, "0.6", events.Held),
			read(events.BypassPart, events.Check1, "2.2", events.Held), read(events.BypassPart, events.Check2, "1.2", events.Held)}, Says: events.OpinionFail}
	w.do(at("2026-05-11 06:20"), "zoe", events.Arrive{Site: "store", Crew: "a", Day: day("2026-05-11")})
	w.do(at("2026-05-11 07:30"), "zoe", events.FinishJob{JobRef: detectorJob, Crew: "a", Day: day("2026-05-11"), Outcome: events.OutcomeFailed, Initial: &test})
	w.do(at("2026-05-11 07:32"), "zoe", events.LeaveFeed{Feed: "f-store", Crew: "a", Condition: events.Condition{Service: events.Impaired,
		Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValvePartly}, {Name: "No. 2 shut-off", State: events.ValveOpen}},
		Told:   []string{"impairment coordinator", "alarm company", "fire department"}}})
	w.do(at("2026-05-11 07:45"), "zoe", events.Leave{Site: "store", Crew: "a", Day: day("2026-05-11")})
	w.do(at("2026-05-11 09:30"), "desk", events.SayYesToRepair{JobRef: detectorJob, RepairYes: events.RepairYes{Basis: "quote", On: day("2026-05-11")}})
}

func nextDay() events.SentOut {
	stop := func(site string, job events.JobRef, feed, work, arrive, off, on, leave string, driveM int, notes ...string) events.DayVisit {
		clock := func(hhmm string) time.Time { return at(outOn.String() + " " + hhmm) }
		return events.DayVisit{Site: events.SiteID(site), Jobs: []events.DayJob{{JobRef: job, Work: work}}, Arrive: clock(arrive), Leave: clock(leave),
			WaterOff: []events.WaterOff{{Feed: events.FeedID(feed), From: clock(off), To: clock(on)}}, DriveM: driveM, DriveS: driveM / 10, Key: site, Notes: notes}
	}
	return events.SentOut{Date: outOn, Routes: []events.DayRoute{{Crew: "a", Start: at("2026-05-13 06:00"), End: at("2026-05-13 11:10"), Visits: []events.DayVisit{
		stop("store", detectorJob, "f-store", "repair-and-retest", "06:18", "06:40", "08:40", "08:55", 9100, "fire line: impairment coordinator first"),
		stop("garden", gardenJob, "f-garden", "test", "09:10", "09:15", "09:30", "09:45", 7600),
	}}}}
}
