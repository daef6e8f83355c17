package main

import (
	"bytes"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/services/backlog"
	"valveround/services/calls"
	"valveround/services/console"
	"valveround/services/crew"
	"valveround/services/dispatch"
	"valveround/services/papers"
)

// Six days that an office must get through, each told over HTTP on a real log with what the dispatcher sees in words.
// Windows, steps and outcomes are common practice in the trade unless a source is named.

// twoPurveyors: Spring Water wants testers registered with it, Mill District does not.
func twoPurveyors() *town {
	w := &town{}
	w.enter(events.Put[events.PurveyorFacts]{ID: "spring", Facts: events.PurveyorFacts{Name: "Spring Water", Zone: "America/Chicago", RegistrationRequired: true,
		Repair: map[events.Hazard]events.DeadlineRule{events.Health: {Count: 10, Unit: events.BusinessDays}}, ReportPass: events.DeadlineRule{Count: 10, Unit: events.BusinessDays}}},
		events.Put[events.PurveyorFacts]{ID: "mill", Facts: events.PurveyorFacts{Name: "Mill District", Zone: "America/Chicago"}})
	return w
}

// fitsOf asks where a job would go today and on the next working day.
func (o *office) fitsOf(assembly string) console.FitsView {
	o.t.Helper()
	var v console.FitsView
	o.call("/api/assemblies/"+assembly+"/jobs/j-"+assembly+"/fits", nil, http.StatusOK, &v)
	return v
}

func crewsOf(day console.FitsDay) []string {
	var crews []string
	for _, f := range day.Fits {
		crews = append(crews, f.Crew.ID)
	}
	return crews
}

// readList reads a purveyor's list and takes it in.
func (o *office) readList(purveyor string, asOf events.Date, rows ...string) console.ListView {
	o.t.Helper()
	file := "Assembly No.,Service Address,Type,Size,Due Date,Ordered\n" + strings.Join(rows, "\n") + "\n"
	var list console.ListView
	o.call("/api/intake/lists?"+url.Values{"file": {"due.csv"}, "purveyor": {purveyor}, "as_of": {asOf.String()}}.Encode(), bytes.NewBufferString(file).Bytes(), http.StatusOK, &list)
	if len(list.Questions) > 0 || len(list.Rejected) > 0 {
		o.t.Fatalf("the list is read with questions %+v, rejected %+v", list.Questions, list.Rejected)
	}
	o.call("/api/intake/lists/"+list.ID+"/take", console.TakeRequest{CommandID: o.id()}, http.StatusOK, &list)
	return list
}

func rowOf(list console.ListView, assembly string) console.ListRowView {
	for _, r := range list.Rows {
		if r.Assembly == assembly {
			return r
		}
	}
	return console.ListRowView{}
}

func (o *office) callsOf(customer string) *calls.Customer {
	o.t.Helper()
	var list calls.View
	o.call("/api/calls?weeks=2", nil, http.StatusOK, &list)
	for i := range list.Customers {
		if list.Customers[i].ID == customer {
			return &list.Customers[i]
		}
	}
	return nil
}

// The one tester registered with Spring Water is sick at 05:50, and two kitchens on Spring Water open at 09:00. The day
// that is out says at once that nobody comes to the kitchens and to the laundry. Taken back and planned again, Crew B does
// the laundry, and of the kitchens it is said what the crew lacks and that one of them was promised a time. The purveyor
// registers Crew B's tester by telephone, and both kitchens have their water back before nine.
func TestDayTheOnlyRegisteredTesterIsSick(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	w := twoPurveyors()
	w.person("ann", []events.PurveyorID{"spring"}, events.TesterCertificate, events.RepairLicence)
	w.person("bo", nil, events.TesterCertificate)
	w.crew("A", "ann")
	w.crew("B", "bo")
	w.customer("kitchens", "Two Kitchens", "ask")
	kitchen := "Mo-Fr 06:30-09:00"
	w.site("diner", "kitchens", "The Diner", 40.02)
	w.feed("diner-f", "diner", "kitchen feed", kitchen)
	w.assembly("diner-1", "diner", "diner-f", "spring", events.RP, 1, tuesday)
	w.site("grill", "kitchens", "The Grill", 40.03)
	w.feed("grill-f", "grill", "kitchen feed", kitchen)
	w.assembly("grill-1", "grill", "grill-f", "spring", events.RP, 1, tuesday)
	w.site("laundry", "kitchens", "The Laundry", 40.04)
	w.feed("laundry-f", "laundry", "domestic feed", "Mo-Fr 06:00-16:00")
	w.assembly("laundry-1", "laundry", "laundry-f", "mill", events.DC, 1, tuesday)
	w.enter(events.WishFor{Date: tuesday, Wish: events.Wish{Site: "laundry", Crew: "crew-a"}},
		events.AgreeTime{Site: "grill", AgreedTime: events.AgreedTime{From: chicagoClock(tuesday, "07:00"), To: chicagoClock(tuesday, "09:00")}})
	o := openTown(t, w, chicagoClock(tuesday.AddDays(-1), "15:00"))
	day := o.sendOut(o.planned(tuesday))
	for _, a := range []string{"diner-1", "grill-1", "laundry-1"} {
		o.wantOn(day, a, "crew-a")
	}
	at := func(assembly string) string {
		_, visit := visitOf(day, assembly)
		return visit.Arrive.In(chicago).Format("15:04")
	}

	o.at(chicagoClock(tuesday, "05:50"))
	o.desk("crew-off", console.DeskRequest{Crew: "crew-a", Date: tuesday, Words: "the tester is sick"})
	o.wantAmend(o.look(tuesday), "crew: Crew A does not work that day: the tester is sick",
		"crew: The Diner: nobody comes at "+at("diner-1")+": give it to another crew, or call it off",
		"crew: The Grill: nobody comes at "+at("grill-1")+": give it to another crew, or call it off",
		"crew: The Laundry: nobody comes at "+at("laundry-1")+": give it to another crew, or call it off")

	// Who could go instead? To a kitchen nobody today, and it is said why; to the laundry Crew B.
	lacks, send := "1 of 1 crews that day lack a tester with a valid certificate and registration for Spring Water", "it fits with Crew B if it has a tester with a valid certificate and registration for Spring Water"
	fits := o.fitsOf("diner-1")
	if len(fits.Days[0].Fits) != 0 {
		t.Errorf("the diner fits today with %v", crewsOf(fits.Days[0]))
	}
	wantSays(t, "the fit of the diner", fits.Days[0].Reason, lacks)
	wantSays(t, "the fit of the diner", fits.Days[0].Change, send)
	wantSays(t, "the fit of the diner tomorrow", fits.Days[1].Reason, "it is out with 2026-05-12")

	o.takeBack(tuesday, "the tester is sick")
	if sheet := o.sheet("crew-a", tuesday); sheet.Status != "taken-back" || len(sheet.Stops) != 0 {
		t.Errorf("Crew A's phone shows the day as %s with %d stops", sheet.Status, len(sheet.Stops))
	}
	again := o.planned(tuesday)
	if fits := o.fitsOf("diner-1"); !slices.Contains(crewsOf(fits.Days[1]), "crew-a") { // Ann may be back
		t.Errorf("tomorrow the diner fits with %v", crewsOf(fits.Days[1]))
	}
	o.wantOut(again, "diner-1", "certificate", lacks, send)
	o.wantOut(again, "grill-1", "certificate", lacks, send)
	o.wantOut(again, "grill-1", "certificate", lacks, "; call them, for 07:00 to 09:00 is agreed")
	o.wantOut(again, "laundry-1", "wish", "held for Crew A, which does not work that day: the tester is sick", "give it to another crew")
	o.call("/api/days/"+tuesday.String()+"/wishes", console.WishRequest{CommandID: o.id(), Site: "laundry", Drop: true}, http.StatusOK, nil)
	o.wantOn(o.planned(tuesday), "laundry-1", "crew-b")

	var bo console.Entry[events.PersonFacts]
	o.call("/api/registry/people/bo", nil, http.StatusOK, &bo)
	bo.Facts.Registrations = append(bo.Facts.Registrations, events.Registration{Purveyor: "spring", Until: tuesday.AddDays(30)})
	o.put("/api/registry/people/bo", console.FormRequest[events.PersonFacts]{CommandID: o.id(), Facts: bo.Facts, Why: "registered by telephone"}, http.StatusOK, nil)
	saved := o.planned(tuesday)
	for _, a := range []string{"diner-1", "grill-1"} {
		o.wantOn(saved, a, "crew-b")
		_, visit := visitOf(saved, a)
		if visit.WaterOff[0].To.After(chicagoClock(tuesday, "09:00")) {
			t.Errorf("%s has its water back at %s", a, visit.WaterOff[0].To)
		}
	}
	if o.sendOut(saved).Jobs.LeftOut != 0 {
		t.Errorf("left out: %+v", saved.LeftOut)
	}
}

// An 8 in detector on a fire line: nobody knows the alarm account, and the crew waits 35 minutes on the line before a valve
// moves. The call list had said on Monday that the account is to be asked for. While the crew holds, its next stops show
// when they may be expected; the bakery, whose water must be back early, is to be given to another crew, and Crew B has
// room. The bypass is left for another day: the line stays on the list of what is left off, on test, and the bakery, though
// late, is no more too late.
func TestDayTheAlarmAccountIsUnknown(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	w := twoPurveyors()
	w.person("ann", nil, events.TesterCertificate, events.FireLicence)
	w.person("bo", nil, events.TesterCertificate)
	w.crew("A", "ann")
	w.crewAt(40.25, "B", "bo") // far off: it is sent only when it must be
	w.customer("cannery", "The Cannery Company", "ask")
	w.customer("shops", "Shops", "ask")
	w.site("cannery", "cannery", "The Cannery", 40.05)
	w.feed("sprinklers", "cannery", "sprinkler line", "Mo-Fr 08:00-09:40", func(f *events.FeedFacts) { f.Fire = true })
	w.assembly("cannery-1", "cannery", "sprinklers", "mill", events.DCDA, 8, tuesday)
	w.site("bakery", "shops", "The Bakery", 40.06)
	w.feed("bakery-f", "bakery", "oven feed", "Mo-Fr 09:20-10:15")
	w.assembly("bakery-1", "bakery", "bakery-f", "mill", events.RP, 1, tuesday)
	w.site("school", "shops", "The School", 40.07)
	w.feed("school-f", "school", "school feed", "Mo-Fr 10:00-15:00")
	w.assembly("school-1", "school", "school-f", "mill", events.DC, 2, tuesday)
	o := openTown(t, w, chicagoClock(tuesday.AddDays(-1), "15:00"))
	call := o.callsOf("cannery")
	if call == nil || !call.Needed {
		t.Fatalf("nobody is to call the cannery: %+v", call)
	}
	wantSays(t, "the call list", call.Say, "who minds the fire line, and the alarm company's account", "fire protection is out while it is shut")

	day := o.sendOut(o.planned(tuesday))
	route := o.wantOn(day, "cannery-1", "crew-a")
	o.wantOn(day, "bakery-1", "crew-a")
	o.wantOn(day, "school-1", "crew-a")
	stop := route.Visits[0]
	if stop.Site.ID != "cannery" || stop.WaterOff[0].From.Before(chicagoClock(tuesday, "08:00")) || !stop.WaterOff[0].Fire {
		t.Fatalf("the first stop is %+v", stop)
	}
	wantSays(t, "the visit", strings.Join(stop.Notes, "; "), "impairment coordinator, alarm company and fire department are told before the valve moves; local code decides")
	sheet := o.sheet("crew-a", tuesday)
	wantSays(t, "the phone", strings.Join(sheet.Stops[0].Cautions, " "), "Fire protection goes out of service", "Local fire code decides")

	// Twenty minutes of calls are planned. 35 minutes more go by on hold.
	o.field(stop.Arrive, "arrive", crew.Request{Crew: "crew-a", Site: "cannery"})
	o.wantAmend(o.look(tuesday))
	shut := stop.WaterOff[0].From.Add(35 * time.Minute)
	o.at(shut)
	now := o.look(tuesday)
	wantSays(t, "the cannery", stateOf(now, "cannery"), "at the site since "+stop.Arrive.In(chicago).Format("15:04"))
	wantSays(t, "the bakery", stateOf(now, "bakery"), "expected about ", " late: too late for its hours")
	if len(now.Amend) != 1 || now.Amend[0].Rule != "late" || now.Amend[0].Site != "bakery" {
		t.Fatalf("to amend: %+v", now.Amend)
	}
	wantSays(t, "the day", now.Amend[0].Words, "The Bakery: Crew A would be there about ", "what is to be done fits the hours there no more; call them, give it to another crew, or plan it anew")
	if fits := o.fitsOf("bakery-1"); !slices.Equal(crewsOf(fits.Days[0]), []string{"crew-b"}) {
		t.Errorf("the bakery fits today with %v: %s", crewsOf(fits.Days[0]), fits.Days[0].Reason)
	}

	// The account is found, the main is tested; the bypass has to wait for another day, and so the line is not whole.
	o.field(shut, "shut-off", crew.Request{Crew: "crew-a", Feed: "sprinklers"})
	if off := o.leftOff(); len(off.Rows) != 1 || !off.Rows[0].DryNow || !off.Rows[0].Fire {
		t.Errorf("while the line is dry the list of what is off reads %+v", off.Rows)
	}
	end := shut.Add(50 * time.Minute)
	o.field(end, "finish-job", crew.Request{Crew: "crew-a", Assembly: "cannery-1", Job: "j-cannery-1", Outcome: events.OutcomeCouldNotTest, Why: "cock-broken", Words: "bypass cock 3 broken; main tested"})
	until := chicagoClock(tuesday, "18:00")
	o.field(end, "leave-feed", crew.Request{Crew: "crew-a", Feed: "sprinklers", Condition: &events.Condition{Service: events.Impaired,
		Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValveOpen}, {Name: "bypass shut-off", State: events.ValveShut}},
		Told:   []string{"impairment coordinator", "alarm company", "fire department"}, OnTestUntil: until, Decides: "impairment coordinator", Restores: "new cock on the bypass"}})
	o.field(end.Add(5*time.Minute), "leave", crew.Request{Crew: "crew-a", Site: "cannery"})
	off := o.leftOff()
	if len(off.Rows) != 1 || off.Rows[0].Service != "impaired" || off.Rows[0].OnTestUntil == nil || !off.Rows[0].OnTestUntil.Equal(until) || off.Rows[0].By != "Crew A" {
		t.Fatalf("left off tonight: %+v", off.Rows)
	}
	after := o.look(tuesday)
	if after.Jobs.Done != 1 || len(after.Amend) != 0 {
		t.Errorf("after the cannery, the bypass left for another day, %d are done, to amend %+v", after.Jobs.Done, after.Amend)
	}
	if state := stateOf(after, "bakery"); !strings.HasPrefix(state, "expected about ") || !strings.HasSuffix(state, " min late") {
		t.Errorf("the bakery is %q", state)
	}
	wednesday := o.planned(tuesday.AddDays(1))
	o.wantOut(wednesday, "cannery-1", "stopped", "it could not be done on 2026-05-12: could not test, cock broken", "note when the way is clear")
}

// stateOf is what a day that is out shows beside a site.
func stateOf(v dispatch.View, site string) string {
	for _, r := range v.Routes {
		for _, visit := range r.Visits {
			if visit.Site.ID == site {
				return visit.State
			}
		}
	}
	return "not on the day"
}

// The hospital's leg B failed on Friday and was left shut; the purveyor's list, taken in before the weekend, asks for leg A on
// Monday. Leg A is left out: to shut it may stop all water. When leg B is repaired, in service and recorded, leg A is
// planned, and the crew is told to prove leg B first. Whoever shuts leg A all the same is told at once.
func TestDayAHospitalLegWasLeftShut(t *testing.T) {
	friday, monday := events.NewDate(2026, time.May, 15), events.NewDate(2026, time.May, 18)
	w := twoPurveyors()
	w.person("ann", []events.PurveyorID{"spring"}, events.TesterCertificate, events.RepairLicence)
	w.crew("A", "ann")
	w.customer("hospital", "The Hospital", "ask")
	w.site("hospital", "hospital", "The Hospital", 40.05, func(s *events.SiteFacts) { s.LegsOneADay = true })
	for _, leg := range []string{"a", "b"} {
		w.feed("leg-"+leg, "hospital", "leg "+strings.ToUpper(leg), "Mo-Fr 09:00-12:00", func(f *events.FeedFacts) { f.Manifold = "cold" })
	}
	w.assembly("h-a", "hospital", "leg-a", "spring", events.RP, 3, events.Date{})
	w.assembly("h-b", "hospital", "leg-b", "spring", events.RP, 3, monday)
	o := openTown(t, w, chicagoClock(friday.AddDays(-1), "15:00"))
	o.sendOut(o.planned(friday))
	sheet := o.sheet("crew-a", friday)
	stop, work := workOf(sheet, "h-b")
	if work == nil {
		t.Fatalf("Friday's sheet holds %+v", sheet.Stops)
	}
	for _, r := range o.failingVisit(sheet, stop, work, friday) {
		if r.Kind == "leave-feed" {
			r.Condition = &events.Condition{Service: events.Shut, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveShut}, {Name: "No. 2 shut-off", State: events.ValveShut}},
				Told: []string{"plant engineer"}, Decides: "plant engineer", Restores: "rubber kit for check 1"}
		}
		o.at(r.Happened)
		o.call("/api/field", r, http.StatusOK, nil)
	}

	o.at(chicagoClock(friday, "16:00"))
	var about console.OfficeView
	o.call("/api/office", nil, http.StatusOK, &about)
	if about.Tomorrow != monday {
		t.Errorf("on Friday afternoon the next working day is %s", about.Tomorrow)
	}
	list := o.readList("spring", friday, "H-A,1 Hospital Way,RP,3,5/18/2026,yes", "H-B,1 Hospital Way,RP,3,5/18/2026,yes")
	if row := rowOf(list, "h-a"); row.Action != "new" {
		t.Errorf("of leg A the list says %+v", row)
	}
	if row := rowOf(list, "h-b"); row.Action != "unchanged" {
		t.Errorf("of leg B the list says %+v", row)
	}
	off := o.leftOff()
	if len(off.Rows) != 1 || off.Rows[0].Feed != "leg-b" || off.Rows[0].Service != "shut" || off.Rows[0].DryNow || off.Rows[0].Restores != "rubber kit for check 1" ||
		!slices.Contains(off.Rows[0].Told, "plant engineer") || events.DateIn(off.Rows[0].Since, chicago) != friday {
		t.Errorf("left off over the weekend: %+v", off.Rows)
	}
	plan := o.planned(monday)
	o.wantOut(plan, "h-a", "as-left", "the other leg, leg B, was left shut: shutting this one may stop all water", "have leg B restored and recorded, then plan this leg")
	o.wantOut(plan, "h-b", "repair-yes", "nobody has said yes to the repair, so the unit is not opened", "ask The Hospital for a yes to the repair")
	row := o.backlogRow("h-b")
	if row == nil {
		t.Fatal("the failure is not in the backlog")
	}
	wantSays(t, "the backlog", row.AsLeft, "shut; No. 1 shut-off shut")
	wantSays(t, "the backlog", row.WaitsWords, "the owner's yes to the repair", "parts")

	// Monday 06:30: the engineer says yes, and the kit is on the truck.
	o.at(chicagoClock(monday, "06:30"))
	job := work.Job.Job
	o.desk("yes-to-repair", console.DeskRequest{Assembly: "h-b", Job: job, Basis: "quote"})
	o.desk("want-parts", console.DeskRequest{Assembly: "h-b", Job: job, Parts: []events.PartWanted{{Code: "RK-3", Component: events.Check1}}})
	o.wantOut(o.planned(monday), "h-b", "parts", "a repair kit is wanted and nobody has promised a day", "order RK-3")
	o.call("/api/desk", console.DeskRequest{CommandID: o.id(), Kind: "ready-parts", Assembly: "h-b", Job: job, Where: "the blue van"}, http.StatusUnprocessableEntity, nil)
	o.desk("ready-parts", console.DeskRequest{Assembly: "h-b", Job: job, Where: "crew-a"})
	plan = o.planned(monday)
	o.wantOut(plan, "h-a", "as-left", "the other leg, leg B, was left shut", "have leg B restored")
	o.wantOn(plan, "h-b", "crew-a")
	if _, visit := visitOf(plan, "h-b"); visit.Jobs[0].Work != "repair and retest" {
		t.Errorf("leg B is visited to %q", visit.Jobs[0].Work)
	}
	o.sendOut(plan)

	// The wrong leg is shut for a moment: both are recorded, and the crew is told.
	mistake := o.field(chicagoClock(monday, "09:05"), "shut-off", crew.Request{Crew: "crew-a", Feed: "leg-a"})
	wantSays(t, "the phone", strings.Join(mistake.Alarms, "; "), "feed leg B, which hangs together with this one, is shut too: the water may be off altogether")
	o.field(chicagoClock(monday, "09:06"), "restore", crew.Request{Crew: "crew-a", Feed: "leg-a"})

	done := chicagoClock(monday, "11:00")
	o.field(done, "finish-job", crew.Request{Crew: "crew-a", Assembly: "h-b", Job: job, Outcome: events.OutcomeRepairedPassed, Repair: &events.Repaired{Fitted: []events.PartWanted{{Code: "RK-3"}}},
		Final: passing(events.RP, "gauge-a", "ann", done)})
	if off := o.leftOff(); len(off.Rows) != 1 {
		t.Errorf("passed is not restored: left off %+v", off.Rows)
	}
	tuesday := monday.AddDays(1)
	o.wantOut(o.planned(tuesday), "h-a", "as-left", "leg B, was left shut", "restored and recorded")
	o.field(done.Add(5*time.Minute), "leave-feed", crew.Request{Crew: "crew-a", Feed: "leg-b", Condition: &events.Condition{Service: events.InService,
		Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValveOpen}}}})
	if off := o.leftOff(); len(off.Rows) != 0 {
		t.Errorf("left off: %+v", off.Rows)
	}
	next := o.planned(tuesday)
	o.wantOn(next, "h-a", "crew-a")
	_, visit := visitOf(next, "h-a")
	wantSays(t, "the visit to leg A", strings.Join(visit.Notes, "; "), "prove leg B open and flowing before leg A is shut")
	o.sendOut(next)
	wantSays(t, "the phone", strings.Join(o.sheet("crew-a", tuesday).Stops[0].Cautions, " "), "Prove leg B open and flowing before leg A is shut.")
}

// A late freeze: forty sprinkler systems are due and none is filled. Thirty were drained again, of ten the season has not
// begun. Nobody drives to them; each says why, and the call list asks when they are filled. What is noted as filled
// comes in. One of them turns out winterised all the same: that is no failure, and waits for a word.
func TestDayOfALateFreeze(t *testing.T) {
	tuesday := events.NewDate(2026, time.April, 21)
	w := twoPurveyors()
	w.person("ann", nil, events.TesterCertificate)
	w.crew("A", "ann")
	w.customer("parks", "Parks and Lawns", "ask")
	drained := false
	for i := range 40 {
		n := number(i + 1)
		w.site("lawn-"+n, "parks", "Lawn "+n, 40.01+float64(i)*0.001)
		w.feed("lawn-f-"+n, "lawn-"+n, "sprinkler feed", "Mo-Fr 06:00-18:00", func(f *events.FeedFacts) {
			if f.Season = "Apr 15-Oct 15"; i >= 30 {
				f.Season = "May 01-Oct 15"
			} else {
				f.Pressurised = &drained
			}
		})
		w.assembly("pvb-"+n, "lawn-"+n, "lawn-f-"+n, "mill", events.PVB, 1, tuesday.AddDays(9))
	}
	w.site("school", "parks", "The School", 40.05)
	w.feed("school-f", "school", "school feed", "Mo-Fr 06:00-18:00")
	w.assembly("school-1", "school", "school-f", "mill", events.DC, 1, tuesday.AddDays(9))
	o := openTown(t, w, chicagoClock(tuesday.AddDays(-1), "15:00"))
	plan := o.planned(tuesday)
	o.wantOn(plan, "school-1", "crew-a")
	if plan.Jobs.Planned != 1 || plan.Jobs.LeftOut != 40 || !strings.HasPrefix(plan.Headline, "1 of 41 jobs on 1 route, ") {
		t.Errorf("planned %d, left out %d: %s", plan.Jobs.Planned, plan.Jobs.LeftOut, plan.Headline)
	}
	o.wantOut(plan, "pvb-01", "season", "the feed is drained: without pressure there is no test", "ask when it is filled and note it")
	o.wantOut(plan, "pvb-40", "season", "out of season (May 01-Oct 15): the feed is taken as drained", "ask whether it is filled and note it")

	call := o.callsOf("parks")
	if call == nil || !slices.ContainsFunc(call.Asks, func(a calls.Ask) bool { return a.Rule == "season" && a.Jobs == 40 }) || call.JobsIn == 0 {
		t.Fatalf("the call reads %+v", call)
	}
	wantSays(t, "the call list", call.Say, "when sprinkler feed is filled: drained, it cannot be tested")
	wantSays(t, "the call list", strings.Join(call.Tomorrow, "; "), "Lawn 01: 1 job with a word that it is filled")

	fill := []string{"01", "02", "03", "39", "40"}
	var unfilled backlog.Unfilled
	o.call("/api/unfilled?customer=parks", nil, http.StatusOK, &unfilled)
	if len(unfilled.Customers) != 1 || len(unfilled.Customers[0].Feeds) != 40 || unfilled.Customers[0].Name != "Parks and Lawns" {
		t.Fatalf("to be filled: %+v", unfilled)
	}
	for i, want := range map[int]string{0: "drained", 39: "not known whether it holds water: out of its season, May 01-Oct 15"} {
		if f := unfilled.Customers[0].Feeds[i]; f.Why != want || f.Jobs != 1 {
			t.Errorf("%s reads %q, %d jobs wait for it", f.Site.Name, f.Why, f.Jobs)
		}
	}
	tap := console.FilledRequest{CommandID: o.id(), By: "the groundsman"}
	for _, n := range fill {
		tap.Feeds = append(tap.Feeds, "lawn-f-"+n)
	}
	var filled, again console.FilledReceipt
	o.call("/api/feeds/filled", tap, http.StatusOK, &filled)
	before := o.program.keeper.Position()
	o.call("/api/feeds/filled", tap, http.StatusOK, &again)
	if filled.Filled != 5 || again.Filled != 5 || len(filled.Refused) != 0 || o.program.keeper.Position() != before {
		t.Errorf("one tap filled %+v, the same tap again %+v", filled, again)
	}
	plan = o.planned(tuesday)
	for _, n := range fill {
		o.wantOn(plan, "pvb-"+n, "crew-a")
	}
	if plan.Jobs.Planned != 6 || plan.Jobs.LeftOut != 35 {
		t.Errorf("with five filled %d are planned, %d left out", plan.Jobs.Planned, plan.Jobs.LeftOut)
	}
	o.sendOut(plan)

	// The frost comes back: one that is out is drained before the crew is there, another is found winterised.
	var feed console.Entry[events.FeedFacts]
	o.call("/api/registry/feeds/lawn-f-02", nil, http.StatusOK, &feed)
	feed.Facts.Pressurised = &drained
	o.put("/api/registry/feeds/lawn-f-02", console.FormRequest[events.FeedFacts]{CommandID: o.id(), Facts: feed.Facts, Why: "drained again"}, http.StatusOK, nil)
	o.wantAmend(o.look(tuesday), "season: Lawn 02: the feed is drained: without pressure there is no test")
	_, visit := visitOf(plan, "pvb-01")
	o.field(visit.Arrive, "arrive", crew.Request{Crew: "crew-a", Site: "lawn-01"})
	o.field(visit.Leave, "finish-job", crew.Request{Crew: "crew-a", Assembly: "pvb-01", Job: "j-pvb-01", Outcome: events.OutcomeCouldNotTest, Why: "winterised"})
	o.field(visit.Leave, "leave", crew.Request{Crew: "crew-a", Site: "lawn-01"})
	if row := o.backlogRow("pvb-01"); row != nil {
		t.Errorf("winterised is taken for a failure: %+v", row)
	}
	wednesday := tuesday.AddDays(1)
	o.wantOut(o.planned(wednesday), "pvb-01", "stopped", "it could not be done on 2026-04-21: could not test, winterised", "ask when it is filled")
	o.call("/api/unfilled?site=lawn-01", nil, http.StatusOK, &unfilled)
	if len(unfilled.Customers) != 1 || unfilled.Customers[0].Feeds[0].Why != "drained" {
		t.Errorf("found winterised, the feed is not on record as drained: %+v", unfilled)
	}
	o.call("/api/feeds/filled", console.FilledRequest{CommandID: o.id(), Feeds: []string{"lawn-f-01"}, By: "the groundsman, on Tuesday evening"}, http.StatusOK, nil)
	o.wantOn(o.planned(wednesday), "pvb-01", "crew-a")
}

// The purveyor printed its list before last week's passes were credited. What passed is no new job and is planned by nobody:
// it is to be sent again where it was filed, and to be filed where it was not; sent again, it is settled. What failed, and what is still due, stay
// as they are. The same list taken in twice changes nothing.
func TestDayOfAListPrintedTooEarly(t *testing.T) {
	monday := events.NewDate(2026, time.May, 11)
	due, tested := events.NewDate(2026, time.May, 31), events.NewDate(2026, time.May, 6)
	w := twoPurveyors()
	w.person("ann", []events.PurveyorID{"spring"}, events.TesterCertificate)
	w.crew("A", "ann")
	w.customer("owner", "The Owner", "ask")
	var rows []string
	for i := range 6 {
		n := number(i + 1)
		w.site("site-"+n, "owner", "Site "+n, 40.01+float64(i)*0.01)
		w.feed("feed-"+n, "site-"+n, "domestic feed", "Mo-Fr 06:00-18:00")
		w.assembly("rp-"+n, "site-"+n, "feed-"+n, "spring", events.RP, 1, due)
		rows = append(rows, "RP-"+n+","+n+" Old Road,RP,1,5/31/2026,yes")
		ref := events.JobRef{Assembly: events.AssemblyID("rp-" + n), Job: events.JobID("j-rp-" + n)}
		at := chicagoClock(tested, "10:00").Add(time.Duration(i) * time.Hour)
		if i < 4 {
			w.enter(events.FinishJob{JobRef: ref, Crew: "crew-a", Day: tested, Outcome: events.OutcomePassed, Initial: passing(events.RP, "gauge-a", "ann", at)})
		}
		if i < 3 {
			w.enter(events.FileReport{JobRef: ref, On: tested.AddDays(1), How: "their page", Confirmation: "C-" + n})
		}
		if i == 2 {
			w.enter(events.AcceptReport{JobRef: ref, On: tested.AddDays(2)})
		}
		if i == 4 {
			failed := passing(events.RP, "gauge-a", "ann", at)
			low := events.MustDecimal("1.2")
			failed.Says = events.OpinionFail
			for k := range failed.Readings {
				if failed.Readings[k].Component == events.Relief {
					failed.Readings[k].Number = &low
				}
			}
			w.enter(events.FinishJob{JobRef: ref, Crew: "crew-a", Day: tested, Outcome: events.OutcomeFailed, Initial: failed})
		}
	}
	o := openTown(t, w, chicagoClock(monday, "08:00"))
	list := o.readList("spring", events.NewDate(2026, time.May, 1), rows...)
	if list.Counts["not-credited"] != 4 || list.Counts["unchanged"] != 2 || list.Counts["new"] != 0 {
		t.Errorf("the list counts %v", list.Counts)
	}
	wantSays(t, "the list", rowOf(list, "rp-01").Words, "passed on 2026-05-06 and listed as due 2026-05-31: send the report again")
	before := o.program.keeper.Position()
	o.readList("spring", events.NewDate(2026, time.May, 1), rows...)
	if now := o.program.keeper.Position(); now != before {
		t.Errorf("the same list wrote %d events more", now-before)
	}

	var v backlog.View
	o.call("/api/backlog", nil, http.StatusOK, &v)
	said := map[string]string{}
	for _, r := range v.Others {
		said[r.Assembly] += r.WaitsFor + ": " + r.WaitsWords
	}
	again := "purveyor: its report to be sent again: it passed on 6 May 2026 and is still listed as due by 31 May 2026"
	for _, a := range []string{"rp-01", "rp-02", "rp-03"} {
		if !strings.HasPrefix(said[a], "purveyor: its report to be sent again: it passed on ") || !strings.Contains(said[a], "and is still listed as due by ") {
			t.Errorf("of %s the backlog says %q, want it like %q", a, said[a], again)
		}
	}
	wantSays(t, "the backlog of what was never filed", said["rp-04"], "its report to be filed")
	if len(v.Rows) != 1 || v.Rows[0].Assembly != "rp-05" || said["rp-06"] != "" {
		t.Errorf("failures %+v, of what is due %q", v.Rows, said["rp-06"])
	}
	filing := o.filingOf()
	if filing["rp-01"].State != papers.StateSendAgain {
		t.Errorf("the filing list says %+v", filing["rp-01"])
	}
	wantSays(t, "the filing list", filing["rp-01"].Words, "and is still listed as due: send it again, confirmation C-01")

	// Nobody drives to what has passed.
	plan := o.planned(monday.AddDays(1))
	o.wantOn(plan, "rp-06", "crew-a")
	if plan.Jobs.Planned != 1 || plan.Jobs.LeftOut != 1 {
		t.Errorf("planned %d, left out %+v", plan.Jobs.Planned, plan.LeftOut)
	}
	o.wantOut(plan, "rp-05", "repair-yes", "nobody has said yes to the repair", "ask The Owner")

	// All three are sent again, also the one that was accepted once; that settles it until a later list says otherwise.
	for _, n := range []string{"01", "02", "03"} {
		o.desk("file-report", console.DeskRequest{Assembly: "rp-" + n, Job: "j-rp-" + n, How: "by hand", Confirmation: "D-" + n})
	}
	sendAgain := func() (rows []string) {
		v = backlog.View{}
		o.call("/api/backlog", nil, http.StatusOK, &v)
		for _, r := range v.Others {
			if strings.Contains(r.WaitsWords, "to be sent again") {
				rows = append(rows, r.Assembly)
			}
		}
		slices.Sort(rows)
		return rows
	}
	if left := sendAgain(); len(left) > 0 {
		t.Errorf("sent again, and still to be sent again: %v", left)
	}
	if filing := o.filingOf(); filing["rp-01"].State != papers.StateFiled || filing["rp-03"].State != papers.StateAccepted {
		t.Errorf("the filing list says %s of the first and %s of the accepted one", filing["rp-01"].State, filing["rp-03"].State)
	}
	o.desk("accept-report", console.DeskRequest{Assembly: "rp-02", Job: "j-rp-02"})
	o.at(chicagoClock(monday.AddDays(14), "08:00"))
	o.readList("spring", monday.AddDays(10), rows[:2]...)
	if left := sendAgain(); !slices.Equal(left, []string{"rp-01", "rp-02"}) {
		t.Errorf("a list printed later still names two as due; to be sent again: %v", left)
	}
}

func (o *office) filingOf() map[string]papers.FilingRow {
	o.t.Helper()
	var list papers.FilingList
	o.call("/api/filing", nil, http.StatusOK, &list)
	rows := map[string]papers.FilingRow{}
	for _, r := range list.Rows {
		rows[r.Job.Assembly] = r
	}
	return rows
}

// One management firm has forty sites that must know two days ahead; nobody was told. Tomorrow's plan is empty, and says
// forty times that notice is wanted. It is one call: one tap turns forty jobs left out into forty visits in the time agreed.
func TestDayOneCallForFortySites(t *testing.T) {
	monday := events.NewDate(2026, time.May, 11)
	tuesday := monday.AddDays(1)
	w := twoPurveyors()
	for _, letter := range []string{"A", "B", "C", "D"} {
		person := "tester-" + strings.ToLower(letter)
		w.person(person, nil, events.TesterCertificate)
		w.crew(letter, events.PersonID(person))
	}
	w.customer("manager", "Forty Doors Management", "ask")
	for i := range 40 {
		n := number(i + 1)
		w.site("door-"+n, "manager", "Door "+n, 40.01+float64(i)*0.002, func(s *events.SiteFacts) {
			s.NoticeDays = 2
			s.Contacts = []events.Contact{{Person: "p-manager", Role: "lets in"}}
		})
		w.feed("door-f-"+n, "door-"+n, "domestic feed", "Mo-Fr 06:00-18:00")
		w.assembly("dc-"+n, "door-"+n, "door-f-"+n, "mill", events.DC, 1, tuesday.AddDays(3))
	}
	o := openTown(t, w, chicagoClock(monday, "09:00"))
	plan := o.planned(tuesday)
	if plan.Jobs.Planned != 0 || plan.Jobs.LeftOut != 40 {
		t.Fatalf("without notice %d are planned, %d left out", plan.Jobs.Planned, plan.Jobs.LeftOut)
	}
	o.wantOut(plan, "dc-01", "notice", "the site needs 2 days' notice, and none was given in time", "agree a time for 2026-05-12 with the site, which wants 2 days' notice")
	call := o.callsOf("manager")
	if call == nil || len(call.Sites) != 40 || len(call.Whom) != 1 || call.JobsIn != 40 {
		t.Fatalf("the call list does not make one call of it: %+v", call)
	}
	wantSays(t, "the call", call.Say, "40 backflow assemblies at 40 sites", "Ask for a day and a time")

	from, to := chicagoClock(tuesday, "07:00"), chicagoClock(tuesday, "15:30")
	tap := console.CallRequest{CommandID: o.id(), Customer: "manager", Outcome: events.CallAgreed, From: &from, To: &to, Who: "p-manager", Words: "all forty, the caretakers know"}
	var receipt console.Receipt
	o.call("/api/calls", tap, http.StatusOK, &receipt)
	written := o.program.keeper.Position()
	o.call("/api/calls", tap, http.StatusOK, &receipt)
	if !receipt.Repeated || o.program.keeper.Position() != written {
		t.Error("the tap counted twice")
	}
	plan = o.planned(tuesday)
	if plan.Jobs.Planned != 40 || plan.Jobs.LeftOut != 0 {
		t.Errorf("after the call %d are planned, left out %+v", plan.Jobs.Planned, plan.LeftOut)
	}
	for _, r := range plan.Routes {
		for _, v := range r.Visits {
			for _, off := range v.WaterOff {
				if off.From.Before(from) || off.To.After(to) {
					t.Errorf("%s is dry from %s to %s, outside the time agreed", v.Site.Name, off.From, off.To)
				}
			}
			if slices.ContainsFunc(v.Notes, func(n string) bool { return strings.Contains(n, "give notice") }) {
				t.Errorf("%s: %q", v.Site.Name, v.Notes)
			}
		}
	}
	if call := o.callsOf("manager"); call != nil && slices.ContainsFunc(call.Asks, func(a calls.Ask) bool { return a.Rule == "notice" }) {
		t.Errorf("they are still to be asked: %+v", call.Asks)
	}
	o.sendOut(plan)

	// A crew cannot come after all: those who were promised a time are named as to be called.
	o.at(chicagoClock(tuesday, "05:50"))
	o.desk("crew-off", console.DeskRequest{Crew: "crew-a", Date: tuesday, Words: "the van does not start"})
	lost := 0
	for _, r := range plan.Routes {
		if r.Crew.ID == "crew-a" {
			lost = len(r.Visits)
		}
	}
	if amend := o.look(tuesday).Amend; lost > 0 && len(amend) != 1+lost {
		t.Errorf("%d visits are lost, to amend %+v", lost, amend)
	}
}
