package planner_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
)

// A Tuesday in an invented county, planned on the Monday at 15:00. New York is four hours behind UTC then.
var tuesday = events.NewDate(2026, time.May, 12)

const (
	office  = events.OfficeID("north")
	newYork = "America/New_York"
)

// clock is a time of the Tuesday in New York; "+06:00" is the day after.
func clock(text string) time.Time {
	loc, err := time.LoadLocation(newYork)
	if err != nil {
		panic(err)
	}
	date := tuesday
	if after, ok := strings.CutPrefix(text, "+"); ok {
		text, date = after, tuesday.AddDays(1)
	}
	at, err := time.ParseInLocation("2006-01-02 15:04", date.String()+" "+text, loc)
	if err != nil {
		panic(err)
	}
	return at
}

// county is a book written by hand. Crew A is two people with every right; all else is added by the test. Sites lie due
// north of the crews' homes at 40° N, a hundredth of a degree being 1.112 km (mean radius of WGS 84).
type county struct {
	testing.TB
	book     *events.Book
	settings planner.Settings
	now      time.Time
}

func newCounty(t testing.TB) *county {
	c := &county{t, events.NewBook().Snapshot(), planner.DefaultSettings(), clock("15:00").AddDate(0, 0, -1)}
	c.book.Purveyors["water"] = &events.Purveyor{ID: "water", PurveyorFacts: events.PurveyorFacts{Name: "County Water", Zone: newYork,
		RegistrationRequired: true, GaugeRegistrationRequired: true}}
	c.book.Purveyors["lake"] = &events.Purveyor{ID: "lake", PurveyorFacts: events.PurveyorFacts{Name: "Lake District", Zone: newYork}}
	c.book.Customers["owner"] = &events.Customer{Office: office, ID: "owner", CustomerFacts: events.CustomerFacts{Name: "The Owner", Repair: "ask"}}
	c.person("ann", events.TesterCertificate, events.RepairLicence, events.FireLicence, events.ConfinedSpaceEntry)
	c.person("bo", events.TesterCertificate)
	c.person("helper")
	c.gauge("g1")
	c.gauge("g2")
	c.crew("a", "g1", "ann", "bo")
	return c
}

var nextYear = events.NewDate(2027, time.January, 31)

func (c *county) person(id events.PersonID, kinds ...events.CredentialKind) *events.Person {
	p := &events.Person{ID: id, PersonFacts: events.PersonFacts{Registrations: []events.Registration{{Purveyor: "water", Until: nextYear}}}}
	for _, k := range kinds {
		p.Credentials = append(p.Credentials, events.Credential{Kind: k, Until: nextYear})
	}
	c.book.People[id] = p
	return p
}

func (c *county) gauge(id events.GaugeID) *events.Gauge {
	c.book.Gauges[id] = &events.Gauge{ID: id, GaugeFacts: events.GaugeFacts{CertifiedUntil: nextYear, Potable: true, RegisteredWith: []events.PurveyorID{"water"}}}
	return c.book.Gauges[id]
}

func (c *county) crew(id events.CrewID, gauge events.GaugeID, people ...events.PersonID) *events.Crew {
	letter := strings.ToUpper(string(id))
	c.book.Crews[id] = &events.Crew{Office: office, ID: id, CrewFacts: events.CrewFacts{Name: "Crew " + letter, Letter: letter, People: people,
		Gauges: []events.GaugeID{gauge}, Home: geo.MustPoint(40, -75), Zone: newYork, Hours: "Mo-Fr 06:00-16:00", OvertimeMinutes: 60}}
	return c.book.Crews[id]
}

func (c *county) site(id events.SiteID, lat float64, access string) *events.Site {
	c.book.Sites[id] = &events.Site{Office: office, ID: id, SiteFacts: events.SiteFacts{Customer: "owner", Name: "The " + string(id),
		Position: geo.MustPoint(lat, -75), PositionSource: events.Surveyed, Zone: newYork, AccessHours: access}}
	return c.book.Sites[id]
}

func (c *county) feed(site events.SiteID, id events.FeedID, window string) *events.Feed {
	c.book.Feeds[id] = &events.Feed{Office: office, ID: id, FeedFacts: events.FeedFacts{Site: site, Name: "the " + string(id), ShutdownWindow: window}}
	return c.book.Feeds[id]
}

// assembly has one job, due in twenty days.
func (c *county) assembly(id events.AssemblyID, feed events.FeedID, kind events.AssemblyType, inches int) *events.Job {
	a := &events.Assembly{Office: office, ID: id, AssemblyFacts: events.AssemblyFacts{Site: c.book.Feeds[feed].Site, Feed: feed, Purveyor: "water",
		Type: kind, Size: events.InchSize(inches, 0), Service: events.Domestic}}
	a.Jobs = []events.Job{{ID: events.JobID("j-" + id), Kind: events.AnnualTest, Standing: events.Ours, Stage: events.StageDue, Due: tuesday.AddDays(20)}}
	c.book.Assemblies[id] = a
	return &a.Jobs[0]
}

// failed turns a job into a failure nine days before its retest is owed, with a yes to repair and a repair kit in the shop.
func failed(j *events.Job) {
	j.Stage = events.StagePartsReady
	j.Failure = &events.Failure{On: tuesday.AddDays(-5), RetestBy: events.Deadline{Known: true, On: tuesday.AddDays(9)}}
	j.Yes = &events.RepairYes{Basis: "quote", On: tuesday.AddDays(-4)}
	j.Parts = []events.PartWanted{{Code: "kit", Item: "kit-1", Where: "shop"}}
}

func (c *county) wish(w events.Wish) {
	day := c.book.Day(office, tuesday)
	if day == nil {
		day = &events.Day{Office: office, Date: tuesday}
	}
	day.Wishes = append(day.Wishes, w)
	c.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: tuesday.String()}] = day
}

func (c *county) request() planner.Request {
	return planner.Request{Book: c.book, Office: office, Date: tuesday, Now: c.now, Settings: c.settings, Iterations: 300, Seed: 1}
}

// collect writes the stops as "key: assembly+assembly" and what is left out as "assembly: rule".
func (c *county) collect() (stops, leftOut []string) {
	c.Helper()
	list, left, err := planner.CollectStops(c.request())
	if err != nil {
		c.Fatal(err)
	}
	for _, p := range list {
		var names []string
		for _, j := range p.Jobs {
			names = append(names, string(j.Assembly))
		}
		text := p.Key + ": " + strings.Join(names, "+")
		if p.Group != 0 {
			text += fmt.Sprintf(" (%d)", p.Group)
		}
		stops = append(stops, text)
	}
	for _, l := range left {
		leftOut = append(leftOut, string(l.Assembly)+": "+l.Rule)
	}
	return stops, leftOut
}

func (c *county) stops() []planner.CollectedStop {
	c.Helper()
	list, _, err := planner.CollectStops(c.request())
	if err != nil {
		c.Fatal(err)
	}
	return list
}

// plan makes the day and has it checked.
func (c *county) plan() planner.Plan {
	c.Helper()
	plan, err := planner.Make(context.Background(), c.request())
	if err != nil {
		c.Fatal(err)
	}
	passes(c, c.request(), plan)
	addsUp(c, plan)
	sameWhenArranged(c, c.request(), plan)
	explained(c, c.request(), plan)
	return plan
}

// wantLeft looks for a job left out, with all the words in its reason and change.
func (c *county) wantLeft(p planner.Plan, a events.AssemblyID, rule string, words ...string) {
	c.Helper()
	i := slices.IndexFunc(p.LeftOut, func(l planner.LeftOut) bool { return l.Assembly == a })
	if i < 0 {
		c.Errorf("%s is not left out", a)
		return
	}
	l := p.LeftOut[i]
	if l.Rule != rule {
		c.Errorf("%s is left out by rule %q, want %q: %s; %s", a, l.Rule, rule, l.Reason, l.Change)
	}
	for _, w := range words {
		if !strings.Contains(l.Reason+"; "+l.Change, w) {
			c.Errorf("%s is left out because %q, change %q; want %q in it", a, l.Reason, l.Change, w)
		}
	}
}

// visit finds the visit that does a job, and its crew.
func (c *county) visit(p planner.Plan, a events.AssemblyID) (planner.Visit, events.CrewID) {
	c.Helper()
	for _, r := range p.Routes {
		for _, v := range r.Visits {
			if slices.ContainsFunc(v.Jobs, func(j planner.Job) bool { return j.Assembly == a }) {
				return v, r.Crew
			}
		}
	}
	for _, l := range p.LeftOut {
		if l.Assembly == a {
			c.Fatalf("%s is left out: %s: %s; %s", a, l.Rule, l.Reason, l.Change)
		}
	}
	c.Fatalf("%s is nowhere on the plan", a)
	return planner.Visit{}, ""
}

func (c *county) off(v planner.Visit, feed events.FeedID) events.WaterOff {
	c.Helper()
	for _, off := range v.WaterOff {
		if off.Feed == feed {
			return off
		}
	}
	c.Fatalf("%s is not dry at all in the visit to %s", feed, v.Site)
	return events.WaterOff{}
}

func hasNote(v planner.Visit, words string) bool {
	return slices.ContainsFunc(v.Notes, func(n string) bool { return strings.Contains(n, words) })
}
