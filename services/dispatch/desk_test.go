package dispatch_test

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
	"valveround/geo"
	"valveround/planner"
	"valveround/services/dispatch"
	"valveround/services/words"
)

const (
	office  = events.OfficeID("north")
	newYork = "America/New_York"
)

// A Tuesday in an invented county, planned on the Monday at 15:00.
var tuesday = events.NewDate(2026, time.May, 12)

func at(date events.Date, clock string) time.Time {
	loc, err := time.LoadLocation(newYork)
	if err != nil {
		panic(err)
	}
	t, err := time.ParseInLocation("2006-01-02 15:04", date.String()+" "+clock, loc)
	if err != nil {
		panic(err)
	}
	return t
}

// now is when everything here happens.
var now = at(tuesday.AddDays(-1), "15:00")

var commands atomic.Uint64

// command makes a command of the desk with a new id.
func command(do any) events.Command {
	var id events.CommandID
	id[0] = 1
	binary.BigEndian.PutUint64(id[8:], commands.Add(1))
	return events.Command{ID: id, Actor: "p-desk", Office: office, Happened: now, Do: do}
}

// room is an office on a log of its own: two crews of two, who may do everything, and four sites with a job each; at the
// hospital there are two legs of a manifold, of which one is due.
type room struct {
	*testing.T
	log    *natslog.Store
	keeper *keeper.Keeper
	desk   *dispatch.Desk
}

func newRoom(t *testing.T) *room {
	t.Helper()
	t.Parallel() // much of the time is waiting for the disk
	log, err := natslog.Open(t.Context(), natslog.Config{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() })
	r := &room{T: t, log: log}
	r.keeper = r.anotherKeeper()
	r.register()
	r.desk = r.anotherDesk(r.keeper)
	return r
}

// anotherKeeper is another process on the same log.
func (r *room) anotherKeeper() *keeper.Keeper {
	r.Helper()
	k, err := keeper.Open(r.Context(), keeper.Config{Log: r.log, Now: func() time.Time { return now }})
	if err != nil {
		r.Fatal(err)
	}
	r.Cleanup(func() { _ = k.Close() })
	return k
}

func (r *room) anotherDesk(k dispatch.Keeper) *dispatch.Desk {
	r.Helper()
	d, err := dispatch.New(dispatch.Config{Keeper: k, Office: office, Settings: planner.DefaultSettings(), Seconds: 0.1, Now: func() time.Time { return now }})
	if err != nil {
		r.Fatal(err)
	}
	r.Cleanup(d.Close)
	return d
}

func (r *room) register() {
	r.Helper()
	until := events.NewDate(2027, time.January, 31)
	rights := events.PersonFacts{}
	for _, k := range []events.CredentialKind{events.TesterCertificate, events.RepairLicence, events.FireLicence, events.ConfinedSpaceEntry} {
		rights.Credentials = append(rights.Credentials, events.Credential{Kind: k, Until: until})
	}
	all := []any{
		events.Put[events.PurveyorFacts]{ID: "water", Facts: events.PurveyorFacts{Name: "County Water", Zone: newYork}},
		events.Put[events.CustomerFacts]{ID: "owner", Facts: events.CustomerFacts{Name: "The Owner"}},
	}
	for i, crew := range []string{"a", "b"} {
		all = append(all,
			events.Put[events.PersonFacts]{ID: "tester-" + crew, Facts: rights}, events.Put[events.PersonFacts]{ID: "mate-" + crew},
			events.Put[events.GaugeFacts]{ID: "gauge-" + crew, Facts: events.GaugeFacts{CertifiedUntil: until, Potable: true}},
			events.Put[events.CrewFacts]{ID: crew, Facts: events.CrewFacts{Name: "Crew " + strings.ToUpper(crew), Letter: strings.ToUpper(crew),
				People: []events.PersonID{events.PersonID("tester-" + crew), events.PersonID("mate-" + crew)}, Gauges: []events.GaugeID{events.GaugeID("gauge-" + crew)},
				Home: geo.MustPoint(40+float64(i)*0.2, -75), Zone: newYork, Hours: "Mo-Fr 06:00-16:00"}})
	}
	site := func(id string, lat float64, window string, feeds ...string) {
		all = append(all, events.Put[events.SiteFacts]{ID: id, Facts: events.SiteFacts{Customer: "owner", Name: "The " + id, Position: geo.MustPoint(lat, -75), Zone: newYork, AccessHours: "24/7"}})
		for _, f := range feeds {
			manifold := ""
			if len(feeds) > 1 {
				manifold = "cold"
			}
			all = append(all, events.Put[events.FeedFacts]{ID: f, Facts: events.FeedFacts{Site: events.SiteID(id), Name: "the " + f, ShutdownWindow: window, Manifold: manifold}})
		}
		all = append(all, events.Put[events.AssemblyFacts]{ID: id + "-1", Facts: events.AssemblyFacts{Site: events.SiteID(id), Feed: events.FeedID(feeds[0]),
			Purveyor: "water", Type: events.RP, Size: events.InchSize(1, 0), Service: events.Domestic}})
	}
	site("diner", 40.01, "Mo-Fr 06:00-08:00", "kitchen")
	site("school", 40.02, "Mo-Fr 06:00-16:00", "classes")
	site("plant", 40.19, "Mo-Fr 06:00-16:00", "process")
	site("hospital", 40.18, "Mo-Fr 09:00-12:00", "east", "west")
	for _, s := range []string{"diner", "school", "plant", "hospital"} {
		all = append(all, events.ListDue{Assembly: events.AssemblyID(s + "-1"), NewJob: events.JobID("j-" + s), Kind: events.AnnualTest, Due: tuesday.AddDays(5), Standing: events.Ours})
	}
	var batch []events.Command
	for _, do := range all {
		batch = append(batch, command(do))
	}
	results, err := r.keeper.Import(r.Context(), batch, nil)
	if err != nil {
		r.Fatal(err)
	}
	for i, x := range results {
		if x.Err != nil {
			r.Fatalf("%T: %v", batch[i].Do, x.Err)
		}
	}
}

func (r *room) do(do any) {
	r.Helper()
	if _, err := r.keeper.Do(r.Context(), command(do)); err != nil {
		r.Fatalf("%T: %v", do, err)
	}
}

// planned plans the Tuesday and waits for it.
func (r *room) planned() planner.Plan {
	r.Helper()
	return r.plannedBy(r.desk)
}

func (r *room) plannedBy(d *dispatch.Desk) planner.Plan {
	r.Helper()
	if err := d.Plan(tuesday, 0.1); err != nil {
		r.Fatal(err)
	}
	r.wait(func() bool { return !d.Proposal(tuesday).Planning })
	p := d.Proposal(tuesday)
	if p.Failure != nil || p.Plan == nil || len(p.Violations) > 0 {
		r.Fatalf("proposal: %+v", p)
	}
	return *p.Plan
}

// wait until something is so; how long that takes is not judged.
func (r *room) wait(so func() bool) {
	r.Helper()
	for !so() {
		select {
		case <-r.Context().Done():
			r.Fatal("waited in vain")
		case <-time.After(time.Millisecond):
		}
	}
}

// records counts what is in the log.
func (r *room) records() uint64 {
	r.Helper()
	last, err := r.log.Last(r.Context())
	if err != nil {
		r.Fatal(err)
	}
	return last
}

func (r *room) job(assembly events.AssemblyID) *events.Job {
	r.Helper()
	return &r.keeper.Book().Assemblies[assembly].Jobs[0]
}

func crewOf(p planner.Plan, site events.SiteID) events.CrewID {
	for _, route := range p.Routes {
		for _, v := range route.Visits {
			if v.Site == site {
				return route.Crew
			}
		}
	}
	return ""
}

func TestPlanADay(t *testing.T) {
	r := newRoom(t)
	before := r.records()
	if p := r.desk.Proposal(tuesday); p.Plan != nil || p.Planning {
		t.Errorf("a proposal before anyone planned: %+v", p)
	}
	progress, cancel := r.desk.Listen()
	defer cancel()
	plan := r.planned()
	if len(plan.LeftOut) != 0 || crewOf(plan, "diner") != "a" || crewOf(plan, "plant") != "b" {
		t.Errorf("order %v, left out %+v", planner.OrderOf(plan), plan.LeftOut)
	}
	var steps []string
	for step := range progress {
		if step.Date != tuesday || step.Budget != 100*time.Millisecond {
			t.Errorf("progress: %+v", step)
		}
		if len(steps) == 0 || steps[len(steps)-1] != step.Step {
			steps = append(steps, step.Step)
		}
		if step.Step == "done" {
			if n := len(step.Line); n == 0 || step.Line[n-1].Cost != plan.Cost.Total || step.Visits != 4 {
				t.Errorf("at the end %d visits, and costs %+v; the plan costs %d", step.Visits, step.Line, plan.Cost.Total)
			}
			if !slices.IsSortedFunc(step.Line, func(a, b dispatch.Point) int { return int(b.Cost - a.Cost) }) {
				t.Errorf("the line does not fall: %+v", step.Line)
			}
			break
		}
	}
	if got, want := strings.Join(steps, " "), "collecting solving explaining checking done"; got != want {
		t.Errorf("steps %q, want %q", got, want)
	}
	if r.records() != before {
		t.Error("planning wrote to the log")
	}
}

func TestStopKeepsTheBestSoFar(t *testing.T) {
	r := newRoom(t)
	progress, cancel := r.desk.Listen()
	defer cancel()
	if err := r.desk.Plan(tuesday, 3600); err != nil {
		t.Fatal(err)
	}
	for step := range progress {
		if step.Step == "solving" {
			break
		}
	}
	if err := r.desk.Plan(tuesday, 1); !errors.Is(err, dispatch.ErrBusy) {
		t.Errorf("planned twice at once: %v", err)
	}
	if err := r.desk.Wish(t.Context(), command(nil), tuesday, events.Wish{Site: "diner", Hold: true}); !errors.Is(err, dispatch.ErrBusy) {
		t.Errorf("changed while it is planned: %v", err)
	}
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, ""); !errors.Is(err, dispatch.ErrBusy) {
		t.Errorf("sent out while it is planned: %v", err)
	}
	if v := r.desk.View(tuesday, &words.People{}); v.Status != "planning" || v.Progress == nil {
		t.Errorf("shown as %q", v.Status)
	}
	r.desk.Stop(tuesday)
	r.desk.Stop(tuesday.AddDays(1)) // of which there is nothing
	r.wait(func() bool { return !r.desk.Proposal(tuesday).Planning })
	if p := r.desk.Proposal(tuesday); p.Failure != nil || p.Plan == nil || len(p.Violations) > 0 {
		t.Errorf("after the stop: %+v", p)
	}
}

func TestPlanAgainStartsFromTheProposal(t *testing.T) {
	r := newRoom(t)
	first := r.planned()
	second := r.planned()
	if second.Cost.Total > first.Cost.Total {
		t.Errorf("planned again it costs %d, before %d", second.Cost.Total, first.Cost.Total)
	}
	r.do(events.SetCrewOff{Crew: "b", CrewOff: events.CrewOff{Date: tuesday, Why: "sick"}})
	third := r.planned()
	if crewOf(third, "plant") == "b" || len(planner.OrderOf(third)) > 1 {
		t.Errorf("a crew that is off has work: %v", planner.OrderOf(third))
	}
}

func TestCloseEndsPlanning(t *testing.T) {
	r := newRoom(t)
	if err := r.desk.Plan(tuesday, 3600); err != nil {
		t.Fatal(err)
	}
	r.desk.Close()
	if r.desk.Proposal(tuesday).Planning {
		t.Error("planning goes on after Close")
	}
	if err := r.desk.Plan(tuesday, 1); !errors.Is(err, dispatch.ErrBusy) {
		t.Errorf("a closed desk plans: %v", err)
	}
}

func TestFailureIsShown(t *testing.T) {
	r := newRoom(t)
	crew := r.keeper.Book().Crews["a"].CrewFacts
	crew.Hours = "when they like"
	r.do(events.Put[events.CrewFacts]{ID: "a", Facts: crew})
	if err := r.desk.Plan(tuesday, 0.1); err != nil {
		t.Fatal(err)
	}
	r.wait(func() bool { return !r.desk.Proposal(tuesday).Planning })
	if p := r.desk.Proposal(tuesday); p.Failure == nil || p.Plan != nil || p.Progress.Step != "failed" {
		t.Errorf("proposal: %+v", p)
	}
	if v := r.desk.View(tuesday, &words.People{}); !strings.Contains(v.Stale, "planning failed: crews of 2026-05-12") {
		t.Errorf("shown: %q", v.Stale)
	}
}

func TestNewDesk(t *testing.T) {
	r := newRoom(t)
	good := dispatch.Config{Keeper: r.keeper, Office: office, Settings: planner.DefaultSettings()}
	for name, spoil := range map[string]func(*dispatch.Config){
		"no keeper": func(c *dispatch.Config) { c.Keeper = nil },
		"no office": func(c *dispatch.Config) { c.Office = "" },
		"settings":  func(c *dispatch.Config) { c.Settings.CrewHourUSD = -1 },
	} {
		c := good
		spoil(&c)
		if _, err := dispatch.New(c); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := dispatch.New(good); err != nil {
		t.Error(err)
	}
}

func TestView(t *testing.T) {
	r := newRoom(t)
	v := r.desk.View(tuesday, &words.People{})
	if v.Status != "empty" || v.Headline != "No plan for 2026-05-12 yet." || len(v.Crews) != 2 || v.Zone != newYork {
		t.Errorf("empty: %+v", v)
	}
	r.do(events.LeaveFeed{Feed: "west", Condition: events.Condition{Service: events.Shut}})
	plan := r.planned()
	v = r.desk.View(tuesday, &words.People{})
	if v.Status != "proposed" || v.Digest != plan.Digest() || v.Stale != "" || len(v.Refusals) != 0 {
		t.Errorf("proposed: %+v", v)
	}
	if v.Jobs.Planned != 3 || v.Jobs.LeftOut != 1 || len(v.LeftOut) != 1 || !strings.Contains(v.LeftOut[0].Reason, "the other leg, the west, was left shut") {
		t.Errorf("counts %+v, left out %+v", v.Jobs, v.LeftOut)
	}
	sum := 0.0
	for _, part := range v.Costs {
		sum += part.USD
	}
	if diff := sum - v.TotalUSD; diff > 1e-6 || diff < -1e-6 {
		t.Errorf("the parts are %f USD, the total %f", sum, v.TotalUSD)
	}
	if !strings.HasPrefix(v.Headline, "3 of 4 jobs on 2 routes, ") {
		t.Errorf("headline %q", v.Headline)
	}
	for _, route := range v.Routes {
		for i, visit := range route.Visits {
			if visit.Order != i+1 {
				t.Errorf("visit %d of %s is number %d", i, route.Crew.Name, visit.Order)
			}
		}
	}
	// Something unrelated happens: the plan is as good as before. Something that matters happens: it is refused.
	r.do(events.GiveNotice{Site: "diner", Notice: events.Notice{Given: tuesday.AddDays(-1)}})
	if v = r.desk.View(tuesday, &words.People{}); v.Stale != "" {
		t.Errorf("stale: %q %+v", v.Stale, v.Refusals)
	}
	r.do(events.DropGauge{Gauge: "gauge-a", Why: "off a ladder"})
	if v = r.desk.View(tuesday, &words.People{}); v.Stale == "" || len(v.Refusals) == 0 || v.Refusals[0].Rule != "gauge" {
		t.Errorf("stale: %q, refusals %+v", v.Stale, v.Refusals)
	}
}

// errLog is what a keeper says that cannot write.
var errLog = errors.New("the disk is full")

// failing is the real keeper, but it fails to do or to import as told.
type failing struct {
	*keeper.Keeper
	do, imports bool
}

func (f *failing) Do(ctx context.Context, c events.Command) (keeper.Receipt, error) {
	if f.do {
		return keeper.Receipt{}, fmt.Errorf("do: %w", errLog)
	}
	return f.Keeper.Do(ctx, c)
}

func (f *failing) Import(ctx context.Context, c []events.Command, progress func(int)) ([]keeper.Imported, error) {
	if f.imports {
		return nil, fmt.Errorf("import: %w", errLog)
	}
	return f.Keeper.Import(ctx, c, progress)
}

// What if Crew A were off: asked of the proposal, told in moves and money, and nothing is changed by it.
func TestSuppose(t *testing.T) {
	r := newRoom(t)
	if _, err := r.desk.Suppose(t.Context(), tuesday, []dispatch.Supposed{{What: "crew-off", Crew: "a"}}, &words.People{}); !errors.Is(err, dispatch.ErrNoPlan) {
		t.Errorf("without a plan: %v", err)
	}
	r.planned()
	before := r.desk.Proposal(tuesday).Plan.Digest()
	o, err := r.desk.Suppose(t.Context(), tuesday, []dispatch.Supposed{{What: "crew-off", Crew: "a"}}, &words.People{})
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Refusals) > 0 || len(o.Suppose) != 1 || o.Suppose[0] != "Crew A does not work that day" {
		t.Errorf("said %+v", o)
	}
	sum := 0.0
	for _, m := range o.Moves {
		if m.To != nil && m.To.Crew == "Crew A" {
			t.Errorf("%s is given to a crew that is off", m.Site.Name)
		}
		sum += m.USD
	}
	for _, c := range o.Costs {
		if c.Name != "work left out" && c.Name != "promises not kept" {
			sum += c.USD
		}
	}
	if math.Abs(sum-o.TotalUSD) > 1e-6 {
		t.Errorf("the moves and parts add up to %f, the total is %f", sum, o.TotalUSD)
	}
	if r.desk.Proposal(tuesday).Plan.Digest() != before || r.keeper.Book().Crews["a"].OffOn(tuesday) != "" {
		t.Error("asking what if has changed something")
	}
	var refusal *events.Refusal
	if _, err := r.desk.Suppose(t.Context(), tuesday, []dispatch.Supposed{{What: "crew-off", Crew: "z"}}, &words.People{}); !errors.As(err, &refusal) {
		t.Errorf("a crew that is not there: %v", err)
	}
}
