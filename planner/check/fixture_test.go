package check_test

import (
	"slices"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/planner/check/damage"
)

// A Tuesday in an invented county. Times of the fixture are EDT: the clocks went forward two days before.
var day = events.NewDate(2026, time.March, 10)

const (
	office = events.OfficeID("north")
	zone   = "America/New_York"
)

var newYork = func() *time.Location {
	loc, err := time.LoadLocation(zone)
	if err != nil {
		panic(err)
	}
	return loc
}()

// at is a clock time of the day in New York.
func at(clock string) time.Time { return atOn(day, clock) }

func atOn(d events.Date, clock string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04:05", d.String()+" "+clock, newYork)
	if err != nil {
		t, err = time.ParseInLocation("2006-01-02 15:04", d.String()+" "+clock, newYork)
	}
	if err != nil {
		panic(err)
	}
	return t
}

// fixture is a small book and a good plan for it.
//
//	Crew A  two people, every right        kitchen 06:30, then school 09:30, then plant 12:00
//	Crew B  two people, testers only       yard 08:00
//	Crew C  works, no visit
//	Crew D  is off
//
// The kitchen is a DC behind a morning window, the school an RP fed from a street RP, the plant a failed 6 in DCDA on a
// fire feed with its repair kit on Crew A's truck and an air gap, the yard a PVB of the season, where an escort is booked from 07:30 to 11:00. The hospital has two legs
// of a manifold; one leg is visited by Crew B at 10:00, the other left out.
type fixture struct {
	book     *events.Book
	plan     planner.Plan
	settings planner.Settings
}

var until = events.NewDate(2027, time.January, 31)

func newFixture() *fixture {
	f := &fixture{book: events.NewBook(), settings: planner.DefaultSettings()}
	b := f.book
	b.Purveyors["water"] = &events.Purveyor{ID: "water", PurveyorFacts: events.PurveyorFacts{Name: "County Water", Zone: zone, RegistrationRequired: true, GaugeRegistrationRequired: true}}
	b.Purveyors["lake"] = &events.Purveyor{ID: "lake", PurveyorFacts: events.PurveyorFacts{Name: "Lake District", Zone: zone}}
	b.Customers["owner"] = &events.Customer{Office: office, ID: "owner", CustomerFacts: events.CustomerFacts{Name: "First Owner"}}
	f.people()
	f.crews()
	f.sites()
	f.jobs()
	f.plan = f.goodPlan()
	f.restate()
	return f
}

func (f *fixture) people() {
	person := func(id events.PersonID, registered bool, kinds ...events.CredentialKind) {
		p := &events.Person{ID: id}
		for _, k := range kinds {
			p.Credentials = append(p.Credentials, events.Credential{Kind: k, Until: until})
		}
		if registered {
			p.Registrations = []events.Registration{{Purveyor: "water", Until: until}}
		}
		f.book.People[id] = p
	}
	person("ann", true, events.TesterCertificate, events.RepairLicence, events.FireLicence, events.ConfinedSpaceEntry)
	person("bo", true, events.TesterCertificate)
	person("cy", true, events.TesterCertificate)
	person("di", false, events.TesterCertificate)
	person("ed", false)
	gauge := func(id events.GaugeID, potable bool, with ...events.PurveyorID) {
		f.book.Gauges[id] = &events.Gauge{ID: id, GaugeFacts: events.GaugeFacts{CertifiedUntil: until, Potable: potable, RegisteredWith: with}}
	}
	gauge("g1", true, "water")
	gauge("g2", true, "water")
	gauge("g3", false, "water", "lake")
}

func (f *fixture) crews() {
	crew := func(id events.CrewID, letter string, gauges []events.GaugeID, people ...events.PersonID) *events.Crew {
		c := &events.Crew{Office: office, ID: id, CrewFacts: events.CrewFacts{Name: "Crew " + letter, Letter: letter, People: people, Gauges: gauges,
			Home: geo.MustPoint(40, -75), Zone: zone, Hours: "Mo-Fr 06:00-16:00", OvertimeMinutes: 60}}
		f.book.Crews[id] = c
		return c
	}
	crew("a", "A", []events.GaugeID{"g1"}, "ann", "bo")
	crew("b", "B", []events.GaugeID{"g2"}, "cy", "ed")
	crew("c", "C", []events.GaugeID{"g3"}, "di", "ed")
	crew("d", "D", nil, "di").Off = []events.CrewOff{{Date: day, Why: "leave"}}
}

func (f *fixture) site(id events.SiteID, lat float64, access string) *events.Site {
	s := &events.Site{Office: office, ID: id, SiteFacts: events.SiteFacts{Customer: "owner", Name: "The " + string(id), Position: geo.MustPoint(lat, -75), Zone: zone, AccessHours: access}}
	f.book.Sites[id] = s
	return s
}

func (f *fixture) feed(site events.SiteID, id events.FeedID, window string) *events.Feed {
	feed := &events.Feed{Office: office, ID: id, FeedFacts: events.FeedFacts{Site: site, Name: string(id), ShutdownWindow: window}}
	f.book.Feeds[id] = feed
	return feed
}

// sites: all due north of the crews' home, a hundredth of a degree apart.
func (f *fixture) sites() {
	f.site("kitchen", 40.01, "Mo-Fr 05:00-15:00")
	f.feed("kitchen", "kitchen-main", "Mo-Fr 05:00-09:00")
	f.site("school", 40.02, "Mo-Fr 07:00-17:00").NoticeDays = 3
	f.feed("school", "street", "Mo-Fr 07:00-17:00")
	f.feed("school", "inside", "Mo-Fr 07:00-17:00").FedFrom = "street"
	f.site("plant", 40.03, "Mo-Fr 07:00-17:00")
	f.feed("plant", "sprinklers", "Mo-Fr 07:00-17:00").Fire = true
	f.feed("plant", "boiler", "Mo-Fr 07:00-17:00")
	yard := f.site("yard", 40.04, "Mo-Fr 07:00-17:00")
	yard.Needs = []events.Need{{What: events.Escort}}
	yard.Booked = []events.Booking{{What: events.Escort, From: at("07:30"), To: at("11:00")}}
	f.feed("yard", "lawn", "Mo-Fr 07:00-17:00").Season = "Mar-Oct"
	f.site("hospital", 40.05, "Mo-Su 00:00-24:00").LegsOneADay = true
	for _, leg := range []events.FeedID{"east", "west"} {
		f.feed("hospital", leg, "Mo-Fr 09:00-12:00").Manifold = "cold"
	}
}

func (f *fixture) assembly(id events.AssemblyID, feed events.FeedID, kind events.AssemblyType, size events.Size) *events.Assembly {
	a := &events.Assembly{Office: office, ID: id, AssemblyFacts: events.AssemblyFacts{Site: f.book.Feeds[feed].Site, Feed: feed, Purveyor: "water", Type: kind, Size: size, Service: events.Domestic}}
	a.Jobs = []events.Job{{ID: events.JobID("j-" + id), Kind: events.AnnualTest, Standing: events.Ours, Stage: events.StageDue, Due: day.AddDays(20)}}
	f.book.Assemblies[id] = a
	return a
}

func (f *fixture) jobs() {
	f.assembly("k1", "kitchen-main", events.DC, events.InchSize(2, 0))
	f.assembly("s1", "street", events.RP, events.InchSize(4, 0))
	f.assembly("s2", "inside", events.RP, events.InchSize(1, 0))
	failed := f.assembly("p1", "sprinklers", events.DC, events.InchSize(6, 0))
	failed.Service = events.Fire
	job := &failed.Jobs[0]
	job.Stage = events.StagePartsReady
	job.Failure = &events.Failure{On: day.AddDays(-5), RetestBy: events.Deadline{Known: true, On: day.AddDays(9)}}
	job.Yes = &events.RepairYes{Basis: "quote", On: day.AddDays(-4)}
	job.Parts = []events.PartWanted{{Code: "kit-6", Item: "kit-1", Where: "a"}}
	f.assembly("p2", "boiler", events.AirGap, 0)
	f.assembly("y1", "lawn", events.PVB, events.InchSize(1, 0)).Service = events.Irrigation
	f.assembly("h1", "east", events.RP, events.InchSize(3, 0))
	f.assembly("h2", "west", events.RP, events.InchSize(3, 0))
}

// visit is a stop before it is restated: the feeds are those of the jobs, in their order.
func (f *fixture) visit(site events.SiteID, arrive time.Time, assemblies ...events.AssemblyID) planner.Visit {
	v := planner.Visit{Key: string(site), Site: site, Arrive: arrive}
	for _, id := range assemblies {
		a := f.book.Assemblies[id]
		v.Jobs = append(v.Jobs, planner.Job{Assembly: id, Job: a.Jobs[0].ID})
		seen := slices.ContainsFunc(v.WaterOff, func(o events.WaterOff) bool { return o.Feed == a.Feed })
		if !seen && (a.Type.Testable() || a.Jobs[0].NeedsRepair()) {
			v.WaterOff = append(v.WaterOff, events.WaterOff{Feed: a.Feed})
		}
	}
	return v
}

func (f *fixture) goodPlan() planner.Plan {
	east := f.visit("hospital", at("10:00"), "h1")
	east.Key = "hospital~east"
	return planner.Plan{Office: office, Date: day, MadeAt: atOn(day.AddDays(-4), "17:00"), Settings: f.settings,
		Routes: []planner.Route{
			{Crew: "a", Date: day, Visits: []planner.Visit{f.visit("kitchen", at("06:30"), "k1"), f.visit("school", at("09:30"), "s1", "s2"), f.visit("plant", at("12:00"), "p2", "p1")}},
			{Crew: "b", Date: day, Visits: []planner.Visit{f.visit("yard", at("08:00"), "y1"), east}},
			{Crew: "c", Date: day}, {Crew: "d", Date: day},
		},
		LeftOut: []planner.LeftOut{{Assembly: "h2", Job: "j-h2", Site: "hospital", Visit: "hospital~west", Rule: "manifold", Reason: "The other leg is done that day.", Change: "Do it on another day."}},
	}
}

// rests gives Crew B a break between its two visits.
func (f *fixture) rests() {
	crew := *f.book.Crews["b"]
	crew.BreakMinutes, crew.BreakFrom, crew.BreakTo = 20, "08:45", "10:00"
	f.book.Crews["b"] = &crew
	f.route("b").Break = &events.DayBreak{From: at("09:10"), To: at("09:30"), Site: "yard"}
	f.restate()
}

func (f *fixture) restate() { f.plan = damage.Restate(f.book, f.plan) }

func (f *fixture) check() []check.Violation { return check.Plan(f.book, f.plan, f.settings) }

// visitTo finds the first visit to a site.
func (f *fixture) visitTo(site events.SiteID) *planner.Visit {
	for i := range f.plan.Routes {
		for j := range f.plan.Routes[i].Visits {
			if f.plan.Routes[i].Visits[j].Site == site {
				return &f.plan.Routes[i].Visits[j]
			}
		}
	}
	panic("no visit to " + site)
}

func (f *fixture) route(crew events.CrewID) *planner.Route {
	i := slices.IndexFunc(f.plan.Routes, func(r planner.Route) bool { return r.Crew == crew })
	return &f.plan.Routes[i]
}

// move takes the first visit to a site off its route and puts it at the end of another crew's.
func (f *fixture) move(site events.SiteID, to events.CrewID) {
	v := *f.visitTo(site)
	for i := range f.plan.Routes {
		r := &f.plan.Routes[i]
		r.Visits = slices.DeleteFunc(slices.Clone(r.Visits), func(o planner.Visit) bool { return o.Key == v.Key })
	}
	r := f.route(to)
	r.Visits = append(r.Visits, v)
	f.restate()
}

// drop takes the visit to a site off the plan and leaves its jobs out.
func (f *fixture) drop(site events.SiteID) {
	v := *f.visitTo(site)
	for i := range f.plan.Routes {
		r := &f.plan.Routes[i]
		r.Visits = slices.DeleteFunc(r.Visits, func(o planner.Visit) bool { return o.Key == v.Key })
	}
	for _, j := range v.Jobs {
		f.plan.LeftOut = append(f.plan.LeftOut, planner.LeftOut{Assembly: j.Assembly, Job: j.Job, Site: v.Site, Rule: "test", Reason: "Dropped by a test."})
	}
	f.restate()
}

// want holds the violations to one rule, which must be there.
func want(t *testing.T, found []check.Violation, rule check.Rule) {
	t.Helper()
	if len(found) == 0 {
		t.Fatalf("nothing is refused, want %s", rule)
	}
	for _, v := range found {
		if v.Rule != rule {
			t.Errorf("want only %s, got %v", rule, v)
		}
		if v.Words == "" {
			t.Errorf("%s has no words", v.Rule)
		}
	}
}

func TestGoodPlanPasses(t *testing.T) {
	for _, v := range newFixture().check() {
		t.Error(v)
	}
}
