package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest"

	"valveround/events"
	"valveround/services/backlog"
	"valveround/services/console"
	"valveround/services/crew"
	"valveround/services/demo"
	"valveround/services/dispatch"
	"valveround/services/words"
)

// office is a running program as a script would meet it: over HTTP only.
type office struct {
	t       *testing.T
	program *program
	fleet   demo.Fleet
	clock   *atomic.Int64
	stop    func()
	ids     int
}

// openOffice runs the whole program on a free port, on an embedded server, on a given afternoon.
func openOffice(t *testing.T, dir string, now time.Time) *office {
	t.Helper()
	clock := &atomic.Int64{}
	clock.Store(now.Unix())
	p := &program{config: serveCommand{Dir: dir, Demo: true, Crews: 8, Sites: 200, Seed: 1, Iterations: 1000}, log: zaptest.NewLogger(t, zaptest.Level(zap.WarnLevel)),
		now: func() time.Time { return time.Unix(clock.Load(), 0) }}
	ctx, cancel := context.WithCancel(context.Background())
	if err := p.open(ctx); err != nil {
		t.Fatal(err)
	}
	served := make(chan error, 1)
	go func() { served <- p.serve(ctx) }()
	o := &office{t: t, program: p, clock: clock}
	options := demo.Default()
	options.Crews, options.Sites, options.Assemblies, options.Today = 8, 200, 500, events.DateIn(now, chicago)
	o.fleet = demo.Generate(options)
	o.stop = func() {
		cancel()
		if err := <-served; err != nil {
			t.Error(err)
		}
		if err := p.close(); err != nil {
			t.Error(err)
		}
	}
	return o
}

var chicago = func() *time.Location {
	loc, err := time.LoadLocation("America/Chicago")
	if err != nil {
		panic(err)
	}
	return loc
}()

func (o *office) at(now time.Time) { o.clock.Store(now.Unix()) }

func (o *office) id() string {
	o.ids++
	return fmt.Sprintf("%032x", 0xabc000+o.ids)
}

// call asks the API; body nil is a GET. It fails the test when the status is another.
func (o *office) call(path string, body any, want int, answer any) {
	o.t.Helper()
	address := "http://" + o.program.address() + path
	var response *http.Response
	var err error
	switch b := body.(type) {
	case nil:
		response, err = http.Get(address)
	case []byte:
		response, err = http.Post(address, "application/octet-stream", bytes.NewReader(b))
	default:
		var text []byte
		if text, err = json.Marshal(b); err == nil {
			response, err = http.Post(address, "application/json", bytes.NewReader(text))
		}
	}
	if err != nil {
		o.t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		o.t.Fatal(err)
	}
	if response.StatusCode != want {
		o.t.Fatalf("%s answered %d, want %d: %s", path, response.StatusCode, want, text)
	}
	if answer != nil {
		if err := json.Unmarshal(text, answer); err != nil {
			o.t.Fatalf("%s: %v in %s", path, err, text)
		}
	}
}

// plan plans a day and waits for the proposal.
func (o *office) plan(date events.Date) dispatch.View {
	o.t.Helper()
	o.call("/api/days/"+date.String()+"/plan", map[string]any{"seconds": 1}, http.StatusAccepted, nil)
	for range 6000 { // five minutes: a busy machine is no fault
		var v dispatch.View
		o.call("/api/days/"+date.String(), nil, http.StatusOK, &v)
		if v.Status != "planning" {
			if v.Status != "proposed" || len(v.Refusals) > 0 {
				o.t.Fatalf("the plan of %s is %s, refused for %+v; %s", date, v.Status, v.Refusals, v.Stale)
			}
			return v
		}
		time.Sleep(50 * time.Millisecond)
	}
	o.t.Fatal("planning did not end")
	return dispatch.View{}
}

// visitOf finds the visit of an assembly on a day.
func visitOf(v dispatch.View, assembly string) (words.Crew, *words.Visit) {
	for _, r := range v.Routes {
		for i := range r.Visits {
			for _, j := range r.Visits[i].Jobs {
				if j.Assembly == assembly {
					return r.Crew, &r.Visits[i]
				}
			}
		}
	}
	return words.Crew{}, nil
}

// TestWholeStory: a purveyor's list comes in, tomorrow is planned, checked and sent out, a crew records a failing test and
// how it left the valves, the backlog shows the deadline by that purveyor's rule, the parts come, and the next plan
// holds the return visit.
func TestWholeStory(t *testing.T) {
	tuesday := time.Date(2026, 5, 12, 15, 0, 0, 0, chicago)
	dir := t.TempDir()
	o := openOffice(t, dir, tuesday)
	stop := func() { o.stop() }
	defer func() { stop() }()
	story := o.fleet.Story
	assembly := string(story.Assembly)

	var about console.OfficeView
	o.call("/api/office", nil, http.StatusOK, &about)
	if about.Tomorrow.String() != "2026-05-13" || about.Notice == "" {
		t.Fatalf("the office says tomorrow is %s and gives the notice %q", about.Tomorrow, about.Notice)
	}

	// The list, twice.
	var file bytes.Buffer
	if err := demo.WriteSampleList(&file, o.fleet, story.Purveyor); err != nil {
		t.Fatal(err)
	}
	upload := "/api/intake/lists?" + url.Values{"file": {"due.csv"}, "purveyor": {string(story.Purveyor)}, "as_of": {"2026-05-12"}}.Encode()
	var list console.ListView
	o.call(upload, file.Bytes(), http.StatusOK, &list)
	if len(list.Questions) > 0 || list.Counts["new"] == 0 || len(list.Rejected) == 0 {
		t.Fatalf("the list reads as %+v, questions %v, %d rejected", list.Counts, list.Questions, len(list.Rejected))
	}
	for _, r := range list.Rejected {
		if r.Row == 0 || r.Problem == "" || r.WhatToDo == "" {
			t.Errorf("a rejected row without place or advice: %+v", r)
		}
	}
	o.call("/api/intake/lists/"+list.ID+"/take", console.TakeRequest{CommandID: o.id()}, http.StatusOK, &list)
	taken := o.program.keeper.Position()
	o.call(upload+"&again=1", file.Bytes(), http.StatusOK, &list)
	o.call("/api/intake/lists/"+list.ID+"/take", console.TakeRequest{CommandID: o.id()}, http.StatusOK, &list)
	if now := o.program.keeper.Position(); now != taken {
		t.Errorf("the same list taken in again wrote %d events", now-taken)
	}

	// Tomorrow.
	wednesday := about.Tomorrow
	day := o.plan(wednesday)
	team, visit := visitOf(day, assembly)
	if visit == nil {
		t.Fatalf("the listed assembly is not on the plan: %s; left out %+v", day.Headline, leftOut(day, assembly))
	}
	o.call("/api/days/"+wednesday.String()+"/wishes", console.WishRequest{CommandID: o.id(), Site: visit.Site.ID, Feed: visit.Feed, Hold: true}, http.StatusOK, &day)
	if _, held := visitOf(day, assembly); !held.Hold {
		t.Error("the visit is not shown as held")
	}
	o.call("/api/days/"+wednesday.String()+"/send-out", console.SendRequest{CommandID: o.id(), Digest: "of another plan"}, http.StatusConflict, nil)
	send := console.SendRequest{CommandID: o.id(), Digest: day.Digest}
	o.call("/api/days/"+wednesday.String()+"/send-out", send, http.StatusOK, &day)
	sent := o.program.keeper.Position()
	o.call("/api/days/"+wednesday.String()+"/send-out", send, http.StatusOK, &day)
	if day.Status != "sent-out" || o.program.keeper.Position() != sent {
		t.Errorf("the day is %s; sending it again wrote %d events", day.Status, o.program.keeper.Position()-sent)
	}

	// The crew, on Wednesday.
	var sheet crew.View
	o.call("/api/crews/"+team.ID+"/days/"+wednesday.String(), nil, http.StatusOK, &sheet)
	stopAt, work := workOf(sheet, assembly)
	if work == nil || work.Stage != "due" {
		t.Fatalf("the crew's sheet does not hold the test: %+v", work)
	}
	field := o.failingVisit(sheet, stopAt, work, wednesday)
	o.at(field[len(field)-1].Happened)
	for range 2 { // the phone may say everything twice
		for i, request := range field {
			var receipt console.Receipt
			o.call("/api/field", request, http.StatusOK, &receipt)
			if i == 2 && len(receipt.Alarms) > 0 {
				t.Errorf("the result raised alarms: %v", receipt.Alarms)
			}
		}
	}

	// The backlog. The rule of this purveyor: ten business days for a health hazard. From Wednesday 13 May 2026 that is
	// Wednesday 27 May (counted by hand: 14, 15, 18, 19, 20, 21, 22, 25, 26, 27).
	row := o.backlogRow(assembly)
	if row == nil || row.RetestBy == nil || row.RetestBy.On.String() != "2026-05-27" {
		t.Fatalf("the backlog says %+v, want a retest by 2026-05-27", row)
	}
	if row.WaitsFor != "parts" || row.DaysLeft == nil || *row.DaysLeft != 14 {
		t.Errorf("the failure waits for %q with %v days left, want parts and 14", row.WaitsFor, row.DaysLeft)
	}
	var off backlog.LeftOff
	o.call("/api/left-off", nil, http.StatusOK, &off)
	if !strings.Contains(fmt.Sprint(off.Rows), work.Feed) {
		t.Errorf("the feed that was left impaired is not among %+v", off.Rows)
	}

	// Stopped and started again, everything is as it was.
	before := o.digest()
	now := time.Unix(o.clock.Load(), 0)
	ids := o.ids
	o.stop()
	o = openOffice(t, dir, now)
	o.ids = ids
	if o.digest() != before {
		t.Error("after a restart the book is another one")
	}

	// The parts, and the return visit on the next working day.
	ref := func(kind string) console.DeskRequest {
		return console.DeskRequest{CommandID: o.id(), Kind: kind, Assembly: assembly, Job: work.Job.Job}
	}
	want := ref("want-parts")
	want.Parts = []events.PartWanted{{Code: kitCode(work), Component: events.Check1, Promised: wednesday.AddDays(1)}}
	o.call("/api/desk", want, http.StatusOK, nil)
	ready := ref("ready-parts")
	ready.Where = "shop"
	o.call("/api/desk", ready, http.StatusOK, nil)
	thursday := wednesday.AddDays(1)
	o.at(time.Date(2026, 5, 13, 15, 30, 0, 0, chicago))
	next := o.plan(thursday)
	_, back := visitOf(next, assembly)
	if back == nil {
		t.Fatalf("the return visit is not on the next plan: left out %+v", leftOut(next, assembly))
	}
	for _, j := range back.Jobs {
		if j.Assembly == assembly && j.Work != "repair and retest" {
			t.Errorf("the return visit is to %q", j.Work)
		}
	}
	if row := o.backlogRow(assembly); row.Planned == nil || row.Planned.Date != thursday || !row.Planned.BeforeDeadline {
		t.Errorf("the backlog does not show the planned return: %+v", row.Planned)
	}
	var history backlog.HistoryView
	o.call("/api/assemblies/"+assembly+"/history", nil, http.StatusOK, &history)
	for _, name := range []string{"due", "dispatched", "tested", "failed-retest", "parts-pending", "parts-ready"} {
		if !happened(history, name) {
			t.Errorf("the history does not tell %q: %+v", name, history.Entries)
		}
	}
}

func (o *office) digest() events.Hash {
	var d events.Hash
	o.program.keeper.Look(func(b *events.Book) { d = b.Digest() })
	return d
}

func happened(h backlog.HistoryView, name string) bool {
	for _, e := range h.Entries {
		if e.Name == name && e.Words != "" {
			return true
		}
	}
	return false
}

func leftOut(v dispatch.View, assembly string) any {
	for _, l := range v.LeftOut {
		for _, j := range l.Jobs {
			if j.Assembly == assembly {
				return l
			}
		}
	}
	return "nowhere"
}

func workOf(v crew.View, assembly string) (*crew.Stop, *crew.Work) {
	for i := range v.Stops {
		for k := range v.Stops[i].Work {
			if v.Stops[i].Work[k].Assembly == assembly {
				return &v.Stops[i], &v.Stops[i].Work[k]
			}
		}
	}
	return nil, nil
}

func kitCode(w *crew.Work) string {
	if len(w.KitCodes) > 0 {
		return w.KitCodes[0]
	}
	return "RUBBER-KIT"
}

// failingVisit is what a phone sends of one stop: check 1 holds 4.1 psid with the relief opening at 1.8, below the published
// line of 2.0 psid (EPA 816-R-03-002, chapter 5), and No. 2 shut-off is left partly open.
func (o *office) failingVisit(sheet crew.View, s *crew.Stop, w *crew.Work, day events.Date) []crew.Request {
	number := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	base := func(kind string, minute int) crew.Request {
		return crew.Request{CommandID: o.id(), Crew: sheet.Crew.ID, Day: day, Kind: kind, Site: s.Site.ID, Happened: s.Arrive.Add(time.Duration(minute) * time.Minute)}
	}
	shut := base("shut-off", 8)
	shut.Feed = w.Feed
	result := base("finish-job", 30)
	result.Assembly, result.Job, result.Outcome = w.Assembly, w.Job.Job, events.OutcomeFailed
	gauge := ""
	for _, g := range sheet.Gauges {
		if g.Valid && g.Words == "" {
			gauge = g.ID
		}
	}
	result.Initial = &events.Test{Gauge: events.GaugeID(gauge), Tester: events.PersonID(sheet.People[0].ID), Procedure: "usc-9", At: result.Happened,
		Says: events.OpinionFail, Readings: []events.Reading{
			{Part: events.MainPart, Component: events.Relief, Phase: events.Initial, Number: number("1.8"), Unit: events.PSID, Result: events.Opened},
			{Part: events.MainPart, Component: events.Check2, Phase: events.Initial, Result: events.Held},
			{Part: events.MainPart, Component: events.Check1, Phase: events.Initial, Number: number("4.1"), Unit: events.PSID},
		}}
	result.Parts = []events.PartWanted{{Code: kitCode(w), Component: events.Check1}}
	left := base("leave-feed", 35)
	left.Feed = w.Feed
	left.Condition = &events.Condition{Service: events.Impaired, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValvePartly}},
		Told: []string{"site manager"}, Decides: "site manager", Restores: "repair and retest"}
	return []crew.Request{base("arrive", 0), shut, result, left, base("leave", 40)}
}

func (o *office) backlogRow(assembly string) *backlog.Row {
	var v backlog.View
	o.call("/api/backlog", nil, http.StatusOK, &v)
	for i := range v.Rows {
		if v.Rows[i].Assembly == assembly {
			return &v.Rows[i]
		}
	}
	return nil
}

// TestBackupOfARunningServer: the backup is taken over HTTP while the program runs, and restored into a new folder.
func TestBackupOfARunningServer(t *testing.T) {
	dir := t.TempDir()
	o := openOffice(t, dir+"/log", time.Date(2026, 5, 12, 15, 0, 0, 0, chicago))
	file, copied := dir+"/backup.zip", dir+"/copy"
	must(t, "log", "backup", "--server", "http://"+o.program.address(), file)
	if code, _, errOut := valveround(t, "log", "backup", "--server", "http://"+o.program.address(), file); code != 1 || !strings.Contains(errOut, "never overwrites") {
		t.Errorf("a second backup under the same name: exit %d, %s", code, errOut)
	}
	before := o.digest()
	now := time.Unix(o.clock.Load(), 0)
	o.stop()
	must(t, "log", "restore", file, copied)
	if code, _, _ := valveround(t, "log", "restore", file, copied); code != 1 {
		t.Errorf("a restore into a folder that holds a log: exit %d", code)
	}
	restored := openOffice(t, copied, now)
	defer restored.stop()
	if restored.digest() != before {
		t.Error("the restored book is another one")
	}
	crewNames := 0
	var about console.OfficeView
	restored.call("/api/office", nil, http.StatusOK, &about)
	for _, c := range about.Crews {
		for _, name := range c.People {
			if !strings.HasPrefix(name, "p-") {
				crewNames++
			}
		}
	}
	if crewNames == 0 {
		t.Error("the restored office knows nobody's name")
	}
}
