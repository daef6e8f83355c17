package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/services/backlog"
	"valveround/services/console"
	"valveround/services/crew"
	"valveround/services/dispatch"
)

// Days on which what comes from the field does not fit what the office thinks: told over HTTP on a real log. Steps and
// windows are common practice.

// twoCrews: one diner that either crew may test, due on the day, and a bakery next door.
func twoCrews(due events.Date) *town {
	w := twoPurveyors()
	spring := w.entered[0].(events.Put[events.PurveyorFacts])
	spring.Facts.Criteria = string(events.EPA2003)
	w.entered[0] = spring
	w.person("ann", []events.PurveyorID{"spring"}, events.TesterCertificate, events.RepairLicence)
	w.person("bo", []events.PurveyorID{"spring"}, events.TesterCertificate, events.RepairLicence)
	w.crew("A", "ann")
	w.crew("B", "bo")
	w.customer("kitchens", "Two Kitchens", "ask")
	for i, name := range []string{"diner", "bakery"} {
		w.site(name, "kitchens", "The "+strings.ToUpper(name[:1])+name[1:], 40.02+float64(i)/100)
		w.feed(name+"-f", name, name+" feed", "Mo-Fr 06:00-16:00")
		w.assembly(name+"-1", name, name+"-f", "spring", events.RP, 1, due)
		w.enter(events.WishFor{Date: due, Wish: events.Wish{Site: events.SiteID(name), Crew: "crew-a"}})
	}
	return w
}

// failing is a test whose relief opens at 1.4 psid, under the 2.0 that EPA 816-R-03-002, chapter 5, asks for.
func failing(gauge, tester string, at time.Time) *events.Test {
	test := passing(events.RP, gauge, tester, at)
	test.Says = events.OpinionFail
	for i, r := range test.Readings {
		if r.Component == events.Relief {
			low := events.MustDecimal("1.4")
			test.Readings[i].Number = &low
		}
	}
	return test
}

// finish is a result of a crew at the diner or the bakery.
func finish(crewID, site string, outcome events.VisitOutcome, test *events.Test) crew.Request {
	return crew.Request{Kind: "finish-job", Crew: crewID, Site: site, Assembly: site + "-1", Job: "j-" + site + "-1", Outcome: outcome, Initial: test}
}

// said is what a phone recorded at a moment, to be sent when there is signal.
func (o *office) said(at time.Time, r crew.Request) crew.Request {
	r.CommandID, r.Happened, r.Day = o.id(), at, events.DateIn(at, chicago)
	return r
}

// signal sends what a phone has kept, in order, and gives the alarms that were answered.
func (o *office) signal(at time.Time, outbox []crew.Request) []string {
	o.t.Helper()
	if at.After(time.Unix(o.clock.Load(), 0)) {
		o.at(at)
	}
	var alarms []string
	for _, r := range outbox {
		var receipt console.Receipt
		o.call("/api/field", r, http.StatusOK, &receipt)
		alarms = append(alarms, receipt.Alarms...)
	}
	return alarms
}

func (o *office) alarms() []crew.AlarmView {
	o.t.Helper()
	var list []crew.AlarmView
	o.call("/api/alarms", nil, http.StatusOK, &list)
	return list
}

// wantAlarms wants one open alarm for each text, and no other.
func (o *office) wantAlarms(want ...string) []crew.AlarmView {
	o.t.Helper()
	list := o.alarms()
	for _, w := range want {
		found := 0
		for _, a := range list {
			if strings.Contains(a.Words, w) && a.Settled == nil && a.Do != "" {
				found++
			}
		}
		if found != 1 {
			o.t.Errorf("%d open alarms say %q, want 1", found, w)
		}
	}
	if len(list) != len(want) {
		o.t.Errorf("%d alarms, want %d: %+v", len(list), len(want), list)
	}
	return list
}

func (o *office) historyOf(assembly string) backlog.HistoryView {
	o.t.Helper()
	var h backlog.HistoryView
	o.call("/api/assemblies/"+assembly+"/history", nil, http.StatusOK, &h)
	return h
}

// told counts the entries of a history by name.
func told(h backlog.HistoryView) map[string]int {
	counts := map[string]int{}
	for _, e := range h.Entries {
		counts[e.Name]++
	}
	return counts
}

// sentToA plans the day for Crew A and sends it out.
func (o *office) sentToA(date events.Date) dispatch.View {
	o.t.Helper()
	day := o.sendOut(o.planned(date))
	o.wantOn(day, "diner-1", "crew-a")
	return day
}

// giveToB takes the day back at ten and sends it out with Crew B.
func (o *office) giveToB(date events.Date) {
	o.t.Helper()
	o.at(chicagoClock(date, "10:00"))
	o.takeBack(date, "Crew A is needed elsewhere")
	for _, site := range []string{"diner", "bakery"} {
		o.call("/api/days/"+date.String()+"/wishes", console.WishRequest{CommandID: o.id(), Site: site, Crew: "crew-b"}, http.StatusOK, nil)
	}
	o.wantOn(o.sendOut(o.planned(date)), "diner-1", "crew-b")
}

// A stop is taken back at ten and given to Crew B, while Crew A has no signal in the cellar and tests anyway: at half past
// ten the relief valve fails. Crew B comes at noon, when somebody has cleaned it, and it passes. Crew A's phone finds a
// signal at one. Both results are kept, the later one stands, the backlog holds no failure, and the office is told what
// happened and what to do.
func TestDayAStopTakenBackWithoutSignal(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	at := func(clock string) time.Time { return chicagoClock(tuesday, clock) }
	o := openTown(t, twoCrews(tuesday), chicagoClock(tuesday.AddDays(-1), "15:00"))
	o.sentToA(tuesday)
	o.giveToB(tuesday)

	cellar := []crew.Request{
		o.said(at("10:05"), crew.Request{Kind: "arrive", Crew: "crew-a", Site: "diner"}),
		o.said(at("10:15"), crew.Request{Kind: "shut-off", Crew: "crew-a", Feed: "diner-f"}),
		o.said(at("10:30"), finish("crew-a", "diner", events.OutcomeFailed, failing("gauge-a", "ann", at("10:30")))),
		o.said(at("10:40"), crew.Request{Kind: "leave-feed", Crew: "crew-a", Feed: "diner-f", Condition: &events.Condition{Service: events.Impaired}}),
		o.said(at("10:45"), crew.Request{Kind: "leave", Crew: "crew-a", Site: "diner"}),
	}
	if alarms := o.signal(at("12:40"), []crew.Request{
		o.said(at("12:00"), crew.Request{Kind: "arrive", Crew: "crew-b", Site: "diner"}),
		o.said(at("12:05"), crew.Request{Kind: "shut-off", Crew: "crew-b", Feed: "diner-f"}),
		o.said(at("12:20"), finish("crew-b", "diner", events.OutcomePassed, passing(events.RP, "gauge-b", "bo", at("12:20")))),
		o.said(at("12:25"), crew.Request{Kind: "leave-feed", Crew: "crew-b", Feed: "diner-f", Condition: &events.Condition{Service: events.InService}}),
		o.said(at("12:30"), crew.Request{Kind: "leave", Crew: "crew-b", Site: "diner"}),
	}); len(alarms) > 0 {
		t.Errorf("Crew B, as sent, is told %v", alarms)
	}
	for range 2 { // the first answers were lost
		wantSays(t, "Crew A's phone", strings.Join(o.signal(at("13:00"), cellar), "; "), "this stop is with Crew B now", "came in after a later one (passed)")
	}

	list := o.wantAlarms("this stop is with Crew B now", "came in after a later one (passed)", "a result came for a job that was already passed",
		"this came in after what Crew B recorded of a later moment: the later word stands, both are kept; the water went off",
		"this came in after what Crew B recorded of a later moment: the later word stands, both are kept; left impaired")
	h := told(o.historyOf("diner-1"))
	if h["tested"] != 2 || h["passed"] != 1 || h["late-result"] != 1 || h["failed-retest"] != 0 {
		t.Errorf("the history tells %v", h)
	}
	if row := o.backlogRow("diner-1"); row != nil {
		t.Errorf("the backlog holds %+v: the later result stands", row)
	}
	if off := o.leftOff(); len(off.Rows) != 0 {
		t.Errorf("left off: %+v", off.Rows)
	}
	if sheet := o.sheet("crew-b", tuesday); sheet.Stops[0].LeftAt == nil {
		t.Error("Crew B's sheet does not show that it left: the other crew's late word took its place")
	}

	// The office looks, and says what came of it.
	settled := list[0]
	o.desk("settle-alarm", console.DeskRequest{Assembly: only(settled.Kind == "assembly", settled.ID), Site: only(settled.Kind == "site", settled.ID),
		Feed: only(settled.Kind == "feed", settled.ID), About: string(settled.Event), Words: "Bo saw that the relief had been cleaned"})
	for _, a := range o.alarms() {
		if (a.Settled != nil) != (a.Event == settled.Event) {
			t.Errorf("alarm %q is settled as %+v", a.Words, a.Settled)
		}
	}
}

func only(yes bool, text string) string {
	if yes {
		return text
	}
	return ""
}

// The same stop, and Crew A's word of a failure comes before Crew B gets there: the failure is on the backlog, the office
// hears that the stop is with Crew B, and can call it.
func TestDayAStopTakenBackAndHeardOfInTime(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	at := func(clock string) time.Time { return chicagoClock(tuesday, clock) }
	o := openTown(t, twoCrews(tuesday), chicagoClock(tuesday.AddDays(-1), "15:00"))
	o.sentToA(tuesday)
	o.giveToB(tuesday)
	o.signal(at("10:50"), []crew.Request{
		o.said(at("10:05"), crew.Request{Kind: "arrive", Crew: "crew-a", Site: "diner"}),
		o.said(at("10:30"), finish("crew-a", "diner", events.OutcomeFailed, failing("gauge-a", "ann", at("10:30")))),
	})
	o.wantAlarms("this stop is with Crew B now", "a result came from another crew than the one the job was sent out with, Crew B")
	if row := o.backlogRow("diner-1"); row == nil || row.RetestBy == nil || row.RetestBy.On.String() != "2026-05-26" { // ten business days: 13, 14, 15, 18, 19, 20, 21, 22, 25, 26, counted by hand
		t.Errorf("the backlog says %+v, want a retest by 2026-05-26", row)
	}
}

// The phone's clock is five hours off. Tapped at half past eight in the evening, a failure is of that evening and not of the
// next day, whether the phone knew its offset before, or only says what its clock shows as it sends. A clock that was set in
// between is said to be unsure.
func TestDayThePhonesClockIsFiveHoursOff(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	at := func(clock string) time.Time { return chicagoClock(tuesday, clock) }
	five := 5 * time.Hour
	offset := five.Milliseconds()
	for _, row := range []struct {
		name    string
		clock   time.Duration // of the phone, off the right one
		learned *int64
		stamps  bool
		sending time.Duration // its clock as it sends
		want    string        // when the failure is shown
		alarm   string
	}{
		{"ahead, learned when the day was read", five, &offset, true, five, "20:30", ""},
		{"ahead, and never seen before it sends", five, nil, true, five, "20:30", ""},
		{"behind, and never seen before it sends", -five, nil, true, -five, "20:30", ""},
		{"ahead, and set right before it sends", five, &offset, true, 0, "20:30", "the phone's clock was set between recording and sending"},
		{"ahead, and nothing known of it", five, nil, false, five, "21:00", "by the phone's clock this has yet to happen"},
	} {
		t.Run(row.name, func(t *testing.T) {
			o := openTown(t, twoCrews(tuesday), chicagoClock(tuesday.AddDays(-1), "15:00"))
			o.sentToA(tuesday)
			test := failing("gauge-a", "ann", at("20:30").Add(row.clock))
			r := o.said(at("20:30").Add(row.clock), finish("crew-a", "diner", events.OutcomeFailed, test))
			r.Day, r.ClockOffsetMS = tuesday, row.learned
			if row.stamps {
				sent := at("21:00").Add(row.sending)
				r.Sent = &sent
			}
			o.signal(at("21:00"), []crew.Request{r})
			if row.alarm == "" {
				o.wantAlarms()
			} else {
				o.wantAlarms(row.alarm)
			}
			for _, e := range o.historyOf("diner-1").Entries {
				if e.Name == "failed-retest" && e.Happened.In(chicago).Format("2006-01-02 15:04") != "2026-05-12 "+row.want {
					t.Errorf("the failure is shown at %s, want %s that evening", e.Happened.In(chicago), row.want)
				}
			}
			if b := o.backlogRow("diner-1"); b == nil || b.RetestBy == nil || b.RetestBy.On.String() != "2026-05-26" {
				t.Errorf("the backlog says %+v, want a retest by 2026-05-26", b)
			}
		})
	}
}

// Two phones of one crew: both record the stop at the diner, and it is there once. At the bakery one says passed and left in
// service, the other failed and left shut: both are kept, the office is asked which holds, and until then the feed counts
// as shut.
func TestDayTwoPhonesOfOneCrew(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	at := func(clock string) time.Time { return chicagoClock(tuesday, clock) }
	o := openTown(t, twoCrews(tuesday), chicagoClock(tuesday.AddDays(-1), "15:00"))
	o.sentToA(tuesday)
	diner := func(minutes time.Duration) []crew.Request {
		on := func(clock string) time.Time { return at(clock).Add(minutes * time.Minute) }
		return []crew.Request{
			o.said(on("07:00"), crew.Request{Kind: "arrive", Crew: "crew-a", Site: "diner"}),
			o.said(on("07:10"), crew.Request{Kind: "shut-off", Crew: "crew-a", Feed: "diner-f"}),
			o.said(on("07:20"), finish("crew-a", "diner", events.OutcomeFailed, failing("gauge-a", "ann", on("07:20")))),
			o.said(on("07:30"), crew.Request{Kind: "leave-feed", Crew: "crew-a", Feed: "diner-f", Condition: &events.Condition{Service: events.InService}}),
			o.said(on("07:40"), crew.Request{Kind: "leave", Crew: "crew-a", Site: "diner"}),
		}
	}
	o.signal(at("08:00"), diner(0))
	if alarms := o.signal(at("08:01"), diner(2)); len(alarms) > 0 {
		t.Errorf("the second phone, which says the same, is told %v", alarms)
	}
	o.wantAlarms()
	if h := told(o.historyOf("diner-1")); h["tested"] != 1 || h["failed-retest"] != 1 || h["late-result"] != 1 {
		t.Errorf("the history of the diner tells %v", h)
	}
	if row := o.backlogRow("diner-1"); row == nil || row.RetestBy == nil || row.RetestBy.On.String() != "2026-05-26" {
		t.Errorf("the backlog says %+v", row)
	}

	o.signal(at("09:30"), []crew.Request{
		o.said(at("09:00"), finish("crew-a", "bakery", events.OutcomePassed, passing(events.RP, "gauge-a", "ann", at("09:00")))),
		o.said(at("09:10"), crew.Request{Kind: "leave-feed", Crew: "crew-a", Feed: "bakery-f", Condition: &events.Condition{Service: events.InService}}),
	})
	o.signal(at("09:31"), []crew.Request{
		o.said(at("09:02"), finish("crew-a", "bakery", events.OutcomeFailed, failing("gauge-a", "ann", at("09:02")))),
		o.said(at("09:11"), crew.Request{Kind: "leave-feed", Crew: "crew-a", Feed: "bakery-f", Condition: &events.Condition{Service: events.Shut}}),
	})
	o.wantAlarms("this crew has said two things of one visit (passed, now failed)", "left this feed in service and that it left it shut")
	if h := told(o.historyOf("bakery-1")); h["tested"] != 2 || h["passed"] != 1 || h["failed-retest"] != 1 {
		t.Errorf("the history of the bakery tells %v", h)
	}
	if off := o.leftOff(); len(off.Rows) != 1 || off.Rows[0].Service != "shut" {
		t.Errorf("left off: %+v, want the bakery's feed", off.Rows)
	}
}

// A phone that never finds a signal saves what it could not send as a file, and the office takes that in: what had arrived is
// known, what the file does not make sense of is kept, and nothing is there twice, also when the phone sends after all.
func TestDayTheOutboxComesAsAFile(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	at := func(clock string) time.Time { return chicagoClock(tuesday, clock) }
	o := openTown(t, twoCrews(tuesday), chicagoClock(tuesday.AddDays(-1), "15:00"))
	o.sentToA(tuesday)
	picture := []byte("\xff\xd8\xff\xe0 a gauge")
	sum := sha256Hex(picture)
	outbox := []crew.Request{
		o.said(at("07:00"), crew.Request{Kind: "arrive", Crew: "crew-a", Site: "diner"}),
		o.said(at("07:20"), finish("crew-a", "diner", events.OutcomePassed, passing(events.RP, "gauge-a", "ann", at("07:20")))),
		o.said(at("07:21"), crew.Request{Kind: "photo", Crew: "crew-a", Site: "diner", Assembly: "diner-1", Photo: &events.Photo{SHA256: sum, Shows: "gauge"}}),
		o.said(at("07:30"), finish("crew-a", "mill", events.OutcomePassed, passing(events.RP, "gauge-a", "ann", at("07:30")))), // nothing on record
	}
	o.signal(at("07:05"), outbox[:1])
	var entries []map[string]any
	for _, r := range outbox {
		entries = append(entries, map[string]any{"id": r.CommandID, "at": r.Happened, "request": r})
	}
	file := map[string]any{"valveround_outbox": 1, "phone": "Ann's", "crew": "crew-a", "entries": entries,
		"pictures": []any{map[string]any{"sha256": sum, "type": "image/jpeg", "base64": picture}, map[string]any{"sha256": sum, "base64": []byte("damaged")}}}
	o.at(at("18:00"))
	outcomes := func() string {
		var taken []console.TakenItem
		o.call("/api/field/file", file, http.StatusOK, &taken)
		var list []string
		for _, one := range taken {
			list = append(list, one.Outcome)
		}
		return strings.Join(list, " ")
	}
	if got := outcomes(); got != "refused known recorded recorded recorded" {
		t.Errorf("taken in: %s", got)
	}
	position := o.program.keeper.Position()
	if got := outcomes(); got != "refused known known known known" {
		t.Errorf("taken in again: %s", got)
	}
	o.signal(at("19:00"), outbox)
	if now := o.program.keeper.Position(); now != position {
		t.Errorf("said again, it wrote %d events", now-position)
	}
	if h := told(o.historyOf("diner-1")); h["tested"] != 1 || h["passed"] != 1 || h["photo-taken"] != 1 {
		t.Errorf("the history tells %v", h)
	}
	list := o.wantAlarms("this could not be filed: no assembly")
	if len(list) > 0 && !json.Valid([]byte(list[0].Request)) {
		t.Errorf("what was sent is shown as %q", list[0].Request)
	}
	o.desk("settle-alarm", console.DeskRequest{Kept: list[0].ID, About: string(list[0].Event), Words: "it is the diner's second unit, entered"})
	if list := o.alarms(); len(list) != 1 || list[0].Settled == nil {
		t.Errorf("alarms %+v", list)
	}
	o.call("/api/field/file", map[string]any{"valveround_outbox": 2, "entries": []any{}}, http.StatusUnprocessableEntity, nil)
}

// What a phone of a later version sends, or one that has lost half of it, is kept as it came.
func TestDayNothingFromTheFieldIsRefused(t *testing.T) {
	tuesday := events.NewDate(2026, time.May, 12)
	o := openTown(t, twoCrews(tuesday), chicagoClock(tuesday, "08:00"))
	for _, r := range []map[string]any{
		{"kind": "drone-flown", "crew": "crew-a", "happened": chicagoClock(tuesday, "07:00"), "day": tuesday},
		{"kind": "arrive", "crew": "crew-z", "site": "nowhere", "happened": chicagoClock(tuesday, "07:00"), "day": tuesday},
		{"kind": "leave-feed", "crew": "crew-a", "feed": "diner-f", "day": tuesday},
		{"kind": "finish-job", "crew": "crew-a", "assembly": "diner-1", "job": "j-diner-1", "outcome": "half", "happened": chicagoClock(tuesday, "07:00"), "day": tuesday},
	} {
		r["command_id"] = o.id()
		var receipt console.Receipt
		o.call("/api/field", r, http.StatusOK, &receipt)
		if len(receipt.Alarms) != 1 {
			t.Errorf("%v: alarms %v", r["kind"], receipt.Alarms)
		}
		o.call("/api/field", r, http.StatusOK, &receipt)
		if !receipt.Repeated {
			t.Errorf("%v is not known when it is sent again", r["kind"])
		}
	}
	if list := o.alarms(); len(list) != 4 {
		t.Errorf("alarms %+v", list)
	}
	o.call("/api/field", map[string]any{"command_id": "none", "kind": "arrive"}, http.StatusUnprocessableEntity, nil)
}

func sha256Hex(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
