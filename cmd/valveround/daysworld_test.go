package main

import (
	"context"
	"encoding/binary"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest"

	"valveround/events"
	"valveround/geo"
	"valveround/services/backlog"
	"valveround/services/console"
	"valveround/services/crew"
	"valveround/services/dispatch"
)

// town is the registry of a small invented office, written by hand and entered before its first day begins. Sites lie
// due north of the crews' yard at 40° N, a hundredth of a degree being 1.112 km (mean radius of WGS 84).
type town struct {
	entered []any
}

const townOffice = events.OfficeID("main")

func (w *town) enter(do ...any) { w.entered = append(w.entered, do...) }

// certified is a person with every right that the trade asks for, but for registrations with purveyors that want one.
func (w *town) person(id string, registered []events.PurveyorID, kinds ...events.CredentialKind) {
	until := events.NewDate(2027, time.January, 31)
	facts := events.PersonFacts{}
	for _, k := range kinds {
		facts.Credentials = append(facts.Credentials, events.Credential{Kind: k, Until: until})
	}
	for _, p := range registered {
		facts.Registrations = append(facts.Registrations, events.Registration{Purveyor: p, Until: until})
	}
	w.enter(events.Put[events.PersonFacts]{ID: id, Facts: facts})
}

// crew has a gauge of its own and works from 06:00 to 16:00 from the yard.
func (w *town) crew(letter string, people ...events.PersonID) { w.crewAt(40, letter, people...) }

func (w *town) crewAt(lat float64, letter string, people ...events.PersonID) {
	id := "crew-" + strings.ToLower(letter)
	gauge := "gauge-" + strings.ToLower(letter)
	w.enter(events.Put[events.GaugeFacts]{ID: gauge, Facts: events.GaugeFacts{Serial: "G-" + letter, CertifiedUntil: events.NewDate(2027, time.January, 31), Potable: true}},
		events.Put[events.CrewFacts]{ID: id, Facts: events.CrewFacts{Name: "Crew " + letter, Letter: letter, People: people, Gauges: []events.GaugeID{events.GaugeID(gauge)},
			Home: geo.MustPoint(lat, -93), Zone: "America/Chicago", Hours: "Mo-Fr 06:00-16:00", OvertimeMinutes: 60}})
}

func (w *town) customer(id, name, repair string) {
	w.enter(events.Put[events.CustomerFacts]{ID: id, Facts: events.CustomerFacts{Name: name, Repair: repair}})
}

// site is open to crews all day.
func (w *town) site(id, customer, name string, lat float64, change ...func(*events.SiteFacts)) {
	facts := events.SiteFacts{Customer: events.CustomerID(customer), Name: name, Position: geo.MustPoint(lat, -93), PositionSource: events.Surveyed,
		Zone: "America/Chicago", AccessHours: "24/7"}
	for _, c := range change {
		c(&facts)
	}
	w.enter(events.Put[events.SiteFacts]{ID: id, Facts: facts})
}

func (w *town) feed(id, site, name, window string, change ...func(*events.FeedFacts)) {
	facts := events.FeedFacts{Site: events.SiteID(site), Name: name, ShutdownWindow: window}
	for _, c := range change {
		c(&facts)
	}
	w.enter(events.Put[events.FeedFacts]{ID: id, Facts: facts})
}

// assembly stands alone on its feed; a job is due unless due is the zero date.
func (w *town) assembly(id, site, feed string, purveyor events.PurveyorID, kind events.AssemblyType, inches int, due events.Date) {
	service := events.Domestic
	switch kind {
	case events.DCDA, events.RPDA:
		service = events.Fire
	case events.PVB:
		service = events.Irrigation
	}
	w.enter(events.Put[events.AssemblyFacts]{ID: id, Facts: events.AssemblyFacts{Site: events.SiteID(site), Feed: events.FeedID(feed), Purveyor: purveyor,
		PurveyorNumber: strings.ToUpper(id), Type: kind, Size: events.InchSize(inches, 0), Service: service, Hazard: events.Health}})
	if !due.IsZero() {
		w.enter(events.ListDue{Assembly: events.AssemblyID(id), NewJob: events.JobID("j-" + id), Kind: events.AnnualTest, Due: due, Standing: events.Ours})
	}
}

// openTown runs the whole program on a free port over an embedded log that holds the town and nothing else.
func openTown(t *testing.T, w *town, now time.Time) *office {
	t.Helper()
	clock := &atomic.Int64{}
	clock.Store(now.Unix())
	p := &program{config: serveCommand{Dir: t.TempDir(), Office: string(townOffice), Zone: "America/Chicago", Iterations: 300},
		log: zaptest.NewLogger(t, zaptest.Level(zap.WarnLevel)), now: func() time.Time { return time.Unix(clock.Load(), 0) }}
	ctx, cancel := context.WithCancel(context.Background())
	if err := p.open(ctx); err != nil {
		cancel()
		t.Fatal(err)
	}
	var batch []events.Command
	for i, do := range w.entered {
		c := events.Command{Actor: "office", Office: townOffice, Happened: now.AddDate(0, 0, -14), Do: do}
		c.ID[0] = 2
		binary.BigEndian.PutUint64(c.ID[8:], uint64(i+1)) //nolint:gosec // an index is not below zero
		batch = append(batch, c)
	}
	results, err := p.keeper.Import(ctx, batch, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range results {
		if r.Err != nil {
			t.Fatalf("entering %+v: %v", w.entered[i], r.Err)
		}
	}
	served := make(chan error, 1)
	go func() { served <- p.serve(ctx) }()
	t.Cleanup(func() {
		cancel()
		if err := <-served; err != nil {
			t.Error(err)
		}
		if err := p.close(); err != nil {
			t.Error(err)
		}
	})
	return &office{t: t, program: p, clock: clock}
}

// chicagoClock is a time on the clocks of the office.
func chicagoClock(date events.Date, clock string) time.Time {
	at, err := time.ParseInLocation("2006-01-02 15:04", date.String()+" "+clock, chicago)
	if err != nil {
		panic(err)
	}
	return at
}

func (o *office) look(date events.Date) dispatch.View {
	o.t.Helper()
	var v dispatch.View
	o.call("/api/days/"+date.String(), nil, http.StatusOK, &v)
	return v
}

// planned plans a day of the town.
func (o *office) planned(date events.Date) dispatch.View {
	o.t.Helper()
	o.call("/api/days/"+date.String()+"/plan", map[string]any{"seconds": 0.2}, http.StatusAccepted, nil)
	for range 30_000 { // five minutes: a busy machine is no fault
		v := o.look(date)
		if v.Status != "planning" {
			if v.Status != "proposed" || len(v.Refusals) > 0 || v.Stale != "" {
				o.t.Fatalf("the plan of %s is %s, refused for %+v; %s", date, v.Status, v.Refusals, v.Stale)
			}
			return v
		}
		time.Sleep(10 * time.Millisecond)
	}
	o.t.Fatal("planning did not end")
	return dispatch.View{}
}

func (o *office) sendOut(v dispatch.View) dispatch.View {
	o.t.Helper()
	o.call("/api/days/"+v.Date.String()+"/send-out", console.SendRequest{CommandID: o.id(), Digest: v.Digest}, http.StatusOK, &v)
	if v.Status != "sent-out" || len(v.Amend) > 0 {
		o.t.Fatalf("the day is %s, to be amended for %+v", v.Status, v.Amend)
	}
	return v
}

func (o *office) takeBack(date events.Date, why string) {
	o.t.Helper()
	o.call("/api/days/"+date.String()+"/take-back", console.TakeBackRequest{CommandID: o.id(), Why: why}, http.StatusOK, nil)
}

// desk records one thing the office did.
func (o *office) desk(kind string, r console.DeskRequest) {
	o.t.Helper()
	r.CommandID, r.Kind = o.id(), kind
	o.call("/api/desk", r, http.StatusOK, nil)
}

// field records one thing of a crew at a moment, which is then the time of the office too.
func (o *office) field(at time.Time, kind string, r crew.Request) console.Receipt {
	o.t.Helper()
	if at.After(time.Unix(o.clock.Load(), 0)) {
		o.at(at)
	}
	r.CommandID, r.Kind, r.Happened, r.Day = o.id(), kind, at, events.DateIn(at, chicago)
	var receipt console.Receipt
	o.call("/api/field", r, http.StatusOK, &receipt)
	return receipt
}

func (o *office) sheet(crewID string, date events.Date) crew.View {
	o.t.Helper()
	var v crew.View
	o.call("/api/crews/"+crewID+"/days/"+date.String(), nil, http.StatusOK, &v)
	return v
}

func (o *office) leftOff() backlog.LeftOff {
	o.t.Helper()
	var v backlog.LeftOff
	o.call("/api/left-off", nil, http.StatusOK, &v)
	return v
}

// wantOn finds the visit of an assembly and the crew that makes it.
func (o *office) wantOn(v dispatch.View, assembly, crewID string) dispatch.Route {
	o.t.Helper()
	team, visit := visitOf(v, assembly)
	if visit == nil {
		o.t.Fatalf("%s is not on the plan of %s: left out %+v", assembly, v.Date, leftOut(v, assembly))
	}
	if crewID != "" && team.ID != crewID {
		o.t.Errorf("%s is done by %s, want %s", assembly, team.ID, crewID)
	}
	i := slices.IndexFunc(v.Routes, func(r dispatch.Route) bool { return r.Crew.ID == team.ID })
	return v.Routes[i]
}

// wantOut wants a job left out under a rule, with words in its reason and in its change.
func (o *office) wantOut(v dispatch.View, assembly, rule, reason, change string) {
	o.t.Helper()
	l, ok := leftOut(v, assembly).(dispatch.LeftOut)
	if !ok {
		o.t.Errorf("%s is not left out of %s", assembly, v.Date)
		return
	}
	if l.Rule != rule || !strings.Contains(l.Reason, reason) || !strings.Contains(l.Change, change) {
		o.t.Errorf("%s is left out by rule %q: %s\n\tchange: %s\n\twant %q: …%s…\n\tchange: …%s…", assembly, l.Rule, l.Reason, l.Change, rule, reason, change)
	}
}

// wantAmend wants exactly these things said against a day that is out, each with the rule before it.
func (o *office) wantAmend(v dispatch.View, want ...string) {
	o.t.Helper()
	var said []string
	for _, a := range v.Amend {
		said = append(said, a.Rule+": "+a.Words)
	}
	slices.Sort(said)
	slices.Sort(want)
	if !slices.Equal(said, want) {
		o.t.Errorf("%s should be amended for\n\t%s\nwant\n\t%s", v.Date, strings.Join(said, "\n\t"), strings.Join(want, "\n\t"))
	}
}

func wantSays(t *testing.T, what, said string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(said, w) {
			t.Errorf("%s says %q, want %q in it", what, said, w)
		}
	}
}

// passing is a test of a type that passes: a check that holds 2.0 psid, a relief that opens at 2.8 with check 1 at 8.0
// (EPA 816-R-03-002, chapter 5: at least 2 psi below the inlet and 5 psid).
func passing(kind events.AssemblyType, gauge, tester string, at time.Time) *events.Test {
	test := &events.Test{Gauge: events.GaugeID(gauge), Tester: events.PersonID(tester), Procedure: "usc-10", At: at, Says: events.OpinionPass}
	for _, place := range kind.Components() {
		number := events.MustDecimal("2.0")
		reading := events.Reading{Part: place.Part, Component: place.Component, Phase: events.Initial, Number: &number, Unit: events.PSID}
		switch place.Component {
		case events.Relief:
			number = events.MustDecimal("2.8")
			reading.Result = events.Opened
		case events.Check1:
			number = events.MustDecimal("8.0")
		case events.Check2:
			if kind.HasRelief() {
				reading.Number, reading.Unit, reading.Result = nil, "", events.Held
			}
		}
		test.Readings = append(test.Readings, reading)
	}
	return test
}

func number(n int) string { return fmt.Sprintf("%02d", n) }
