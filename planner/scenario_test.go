package planner_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
)

// Days that a dispatcher would recognise, each with what is expected of the plan in words. Windows and steps are common
// practice in the trade unless a source is named.

// A restaurant wants its water back before the kitchen starts at 07:00. The crew leaves home early enough to begin at the
// opening of the door, does the restaurant first and the shop afterwards; the crew is told until when it may open the unit.
func TestRestaurantAtFive(t *testing.T) {
	c := newCounty(t)
	c.book.Crews["a"].Hours = "Mo-Fr 04:30-13:00"
	c.site("restaurant", 40.10, "Mo-Fr 05:00-11:00")
	c.feed("restaurant", "kitchen", "Mo-Fr 05:00-07:00")
	c.assembly("r1", "kitchen", events.RP, 1)
	c.site("shop", 40.02, "Mo-Fr 04:00-18:00") // on the way
	c.feed("shop", "s", "Mo-Fr 04:00-18:00")
	c.assembly("s1", "s", events.DC, 1)
	plan := c.plan()
	v, _ := c.visit(plan, "r1")
	if v.Arrive.Before(clock("05:00")) || c.off(v, "kitchen").To.After(clock("07:00")) {
		t.Errorf("arrives %s, water back %s", v.Arrive, v.WaterOff[0].To)
	}
	if !hasNote(v, "the kitchen: decide by 06:15; no unit is opened later, for a repair takes about 45 min") {
		t.Errorf("notes: %q", v.Notes)
	}
	c.visit(plan, "s1")

	// With a window of 40 minutes there is no repair in it: test only.
	c.book.Feeds["kitchen"].ShutdownWindow = "Mo-Fr 05:00-05:40"
	v, _ = c.visit(c.plan(), "r1")
	if !hasNote(v, "the kitchen: test only; a repair takes about 45 min and the water must be back by 05:40") {
		t.Errorf("notes: %q", v.Notes)
	}

	// With twenty minutes there is not even a test in it, and the word is how much more to ask for.
	c.book.Feeds["kitchen"].ShutdownWindow = "Mo-Fr 05:00-05:20"
	c.wantLeft(c.plan(), "r1", "window", "25 min with the water off fit nowhere", "Mo-Fr 05:00-05:20", "if the site opens at 04:52 instead of 05:00 and the kitchen may be dry until 05:26 instead of 05:20")

	// The owner agrees by phone to the quiet hour after lunch: that replaces the morning.
	c.book.Crews["a"].Hours = "Mo-Fr 06:00-16:00"
	c.book.Sites["restaurant"].Agreed = []events.AgreedTime{{From: clock("14:30"), To: clock("15:30")}}
	v, _ = c.visit(c.plan(), "r1")
	if off := c.off(v, "kitchen"); v.Arrive.Before(clock("14:30")) || off.To.After(clock("15:30")) {
		t.Errorf("arrives %s, dry %s to %s", v.Arrive, off.From, off.To)
	}
}

// Two restaurants with the same short window and one early crew: one is done, and of the other it is said that the crew is
// elsewhere then. A second crew does it.
func TestTwoRestaurantsAtFive(t *testing.T) {
	c := newCounty(t)
	c.book.Crews["a"].Hours = "Mo-Fr 04:30-13:00"
	for _, id := range []events.SiteID{"diner", "grill"} {
		c.site(id, 40.1, "Mo-Fr 05:00-11:00")
		c.feed(id, events.FeedID(id), "Mo-Fr 05:00-05:40")
		c.assembly(events.AssemblyID(id), events.FeedID(id), events.RP, 1)
	}
	plan := c.plan()
	if len(plan.LeftOut) != 1 || plan.LeftOut[0].Rule != "no-room" {
		t.Fatalf("left out: %+v", plan.LeftOut)
	}
	c.crew("b", "g2", "bo").Hours = "Mo-Fr 04:30-13:00"
	if plan = c.plan(); len(plan.LeftOut) != 0 {
		t.Errorf("left out with two crews: %+v", plan.LeftOut)
	}
}

// A hospital is fed by two legs. West was left shut yesterday with its repair kit on the way: East must not be shut, for then
// all water would stop. West, being shut already, may be worked on once the kit is there. When West is restored, East may be
// tested, and the crew is told to prove West open and flowing first.
func TestHospitalWithALegLeftShut(t *testing.T) {
	c := newCounty(t)
	c.site("hospital", 40.05, "24/7").LegsOneADay = true
	for _, leg := range []events.FeedID{"east", "west"} {
		c.feed("hospital", leg, "Mo-Fr 09:00-12:00").Manifold = "cold"
		c.assembly(events.AssemblyID(leg), leg, events.RP, 3)
	}
	west := c.book.Assemblies["west"]
	failed(&west.Jobs[0])
	west.Jobs[0].Parts = []events.PartWanted{{Code: "kit-3", Promised: tuesday.AddDays(2)}}
	c.book.Feeds["west"].AsLeft = &events.Condition{Service: events.Shut, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveShut}}}
	plan := c.plan()
	c.wantLeft(plan, "east", "as-left", "the other leg, the west, was left shut", "have the west restored and recorded")
	c.wantLeft(plan, "west", "parts", "promised for 2026-05-14")

	west.Jobs[0].Parts = []events.PartWanted{{Code: "kit-3", Item: "kit-3-1", Where: "a"}}
	plan = c.plan()
	c.wantLeft(plan, "east", "as-left")
	if v, _ := c.visit(plan, "west"); v.Jobs[0].Work != planner.RepairWork || !hasNote(v, "prove the east open and flowing before the west is shut") {
		t.Errorf("west: %+v", v)
	}

	west.Jobs[0].Stage = events.StagePassed
	c.book.Feeds["west"].AsLeft = &events.Condition{Service: events.InService}
	if v, _ := c.visit(c.plan(), "east"); !hasNote(v, "prove the west open and flowing before the east is shut") {
		t.Errorf("east: %q", v.Notes)
	}
}

// Both legs are due and the site wants one a day: the failed one goes first.
func TestHospitalOneLegADay(t *testing.T) {
	c := newCounty(t)
	c.site("hospital", 40.05, "24/7").LegsOneADay = true
	for _, leg := range []events.FeedID{"east", "west"} {
		c.feed("hospital", leg, "Mo-Fr 09:00-12:00").Manifold = "cold"
		c.assembly(events.AssemblyID(leg), leg, events.RP, 3)
	}
	failed(&c.book.Assemblies["west"].Jobs[0])
	plan := c.plan()
	c.visit(plan, "west")
	c.wantLeft(plan, "east", "manifold", "one leg a day, and the west is more pressing")
	c.wish(events.Wish{Site: "hospital", Feed: "west", Out: true, Why: "the surgeon says no"})
	c.visit(c.plan(), "east")
}

// West is more pressing and may be shut at the weekend only; East any morning. On a Tuesday that is no reason to leave East alone.
func TestTheOtherLegWhereThePressingOneCannotBeShut(t *testing.T) {
	for _, c := range []struct {
		name   string
		cannot func(*county)
		rule   string
	}{
		{"its window is at the weekend", func(c *county) { c.book.Feeds["west"].ShutdownWindow = "Sa-Su 09:00-12:00" }, "manifold"},
		{"it is a fire line, and its repair takes longer than it may be out", func(c *county) { c.book.Feeds["west"].Fire = true }, "fire-hours"},
		{"nobody has the right gauge for it", func(c *county) {
			c.book.Assemblies["west"].Purveyor, c.book.Purveyors["strict"] = "strict", &events.Purveyor{ID: "strict", PurveyorFacts: events.PurveyorFacts{Name: "Strict Water", Zone: "UTC", GaugeRegistrationRequired: true}}
		}, "manifold"},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			county.settings.FireOut = 60
			county.site("hospital", 40.05, "24/7").LegsOneADay = true
			for _, leg := range []events.FeedID{"east", "west"} {
				county.feed("hospital", leg, "Mo-Fr 09:00-12:00").Manifold = "cold"
				county.assembly(events.AssemblyID(leg), leg, events.RP, 3)
			}
			failed(&county.book.Assemblies["west"].Jobs[0])
			c.cannot(county)
			plan := county.plan()
			county.visit(plan, "east")
			county.wantLeft(plan, "west", c.rule)
			if c.rule == "manifold" {
				county.wantLeft(plan, "west", c.rule, "one leg a day, and the east can be visited that day, which this cannot")
			}
		})
	}
}

// Two crews are both near the hospital and both legs may be dry in one short hour: each leg takes most of it. Two crews could
// do one each, but then both legs would be dry at once; so one leg is done and the other left for another day.
func TestTwoCrewsTwoLegsAtOnce(t *testing.T) {
	c := newCounty(t)
	c.crew("b", "g2", "bo")
	c.site("hospital", 40.01, "24/7")
	for _, leg := range []events.FeedID{"east", "west"} {
		c.feed("hospital", leg, "Mo-Fr 09:00-10:00").Manifold = "cold"
		c.assembly(events.AssemblyID(leg), leg, events.RP, 3)
	}
	plan := c.plan()
	if len(plan.LeftOut) != 1 {
		t.Fatalf("left out: %+v", plan.LeftOut)
	}
	c.wantLeft(plan, plan.LeftOut[0].Assembly, "no-room")

	// As two feeds that have nothing to do with each other they are done at once.
	c.book.Feeds["east"].Manifold, c.book.Feeds["west"].Manifold = "", ""
	plan = c.plan()
	east, one := c.visit(plan, "east")
	west, other := c.visit(plan, "west")
	if one == other || !east.Arrive.Before(west.Leave) || !west.Arrive.Before(east.Leave) {
		t.Errorf("east by %s at %s, west by %s at %s", one, east.Arrive, other, west.Arrive)
	}

	// With room for both, and both due today, a single crew does both legs, one after the other.
	c.book.Assemblies["east"].Jobs[0].Due, c.book.Assemblies["west"].Jobs[0].Due = tuesday, tuesday
	c.book.Feeds["east"].Manifold, c.book.Feeds["west"].Manifold = "cold", "cold"
	c.book.Feeds["east"].ShutdownWindow, c.book.Feeds["west"].ShutdownWindow = "Mo-Fr 09:00-10:00", "Mo-Fr 14:00-15:00"
	plan = c.plan()
	_, one = c.visit(plan, "east")
	_, other = c.visit(plan, "west")
	if one != other {
		t.Errorf("east is done by %s and west by %s", one, other)
	}
}

// In January the sprinkler line of a yard is drained; a unit without pressure cannot be tested. In May it is filled. The
// house's own RP, which is heated, is tested in either.
func TestFrozenIrrigation(t *testing.T) {
	c := newCounty(t)
	c.site("house", 40.05, "24/7")
	c.feed("house", "lawn", "24/7").Season = "Apr-Oct"
	c.feed("house", "domestic", "24/7")
	c.assembly("pvb", "lawn", events.PVB, 1)
	c.book.Assemblies["pvb"].Service = events.Irrigation
	rp := c.assembly("rp", "domestic", events.RP, 1)
	r := c.request()
	r.Date = events.NewDate(2026, time.January, 13)
	rp.Due = r.Date.AddDays(20)
	r.Now = r.Date.AddDays(-1).In(c.now.Location()).Add(15 * time.Hour)
	winter, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	passes(t, r, winter)
	c.visit(winter, "rp")
	c.wantLeft(winter, "pvb", "season", "out of season (Apr-Oct): the feed is taken as drained", "ask whether it is filled")

	summer := c.plan()
	both, _ := c.visit(summer, "pvb")
	if len(both.Jobs) != 2 {
		t.Errorf("one arrival for both: %+v", both.Jobs)
	}

	// The only gauge has been on dirty water: it will do for the lawn and never again for the house.
	c.book.Gauges["g1"].Potable = false
	summer = c.plan()
	c.visit(summer, "pvb")
	c.wantLeft(summer, "rp", "gauge", "1 of 1 crews that day lack a potable gauge")
}

// A 6 in assembly in a permit vault has failed. The repair takes two, and the attendant outside does nothing else
// (29 CFR 1910.146(d)(6), from memory): a crew of two is not enough.
func TestPermitVaultWithTooFewPeople(t *testing.T) {
	c := newCounty(t)
	c.mill("24/7")
	failed(c.assembly("m1", "f1", events.DC, 6))
	c.book.Assemblies["m1"].Vault = events.PermitVault
	c.wantLeft(c.plan(), "m1", "people", "1 of 1 crews that day lack three people", "it fits with Crew", "if it has three people")

	c.crew("b", "g2", "ann", "bo", "helper")
	if v, crew := c.visit(c.plan(), "m1"); crew != "b" || c.off(v, "f1").To.Sub(c.off(v, "f1").From) != 3*time.Hour {
		t.Errorf("done by %s, dry %v", crew, v.WaterOff)
	}

	// Three people of whom none may enter are no help.
	c.book.Crews["b"].People = []events.PersonID{"bo", "helper", "cy"}
	c.person("cy", events.TesterCertificate, events.RepairLicence)
	c.wantLeft(c.plan(), "m1", "people", "it fits with Crew", "if it has three people")

	// A cleared helper beside a tester and repairer who is not cleared is no help either.
	c.person("helper", events.ConfinedSpaceEntry)
	c.wantLeft(c.plan(), "m1", "people", "it fits with Crew", "if it has three people")
	c.person("cy", events.TesterCertificate, events.RepairLicence, events.ConfinedSpaceEntry)
	c.visit(c.plan(), "m1")
}

// Crew A's gauge expired; Crew B's is not registered with County Water. A job of County Water has nobody, and one of Lake
// District, which wants no registration, goes to B.
func TestGauges(t *testing.T) {
	c := newCounty(t)
	c.crew("b", "g2", "bo")
	c.book.Gauges["g1"].CertifiedUntil = tuesday
	c.book.Gauges["g2"].RegisteredWith = nil
	c.mill("24/7")
	c.assembly("m1", "f1", events.DC, 2)
	c.site("lakeside", 40.05, "24/7")
	c.feed("lakeside", "l", "24/7")
	c.assembly("l1", "l", events.DC, 2)
	c.book.Assemblies["l1"].Purveyor = "lake"
	plan := c.plan()
	c.wantLeft(plan, "m1", "gauge", "2 of 2 crews that day lack a potable gauge valid that day and accepted by County Water")
	if _, crew := c.visit(plan, "l1"); crew != "b" {
		t.Errorf("the lake's job is done by %s", crew)
	}
	// The day before its anniversary A's gauge still counted.
	r := c.request()
	r.Date, r.Now = tuesday.AddDays(-1), c.now.AddDate(0, 0, -1)
	monday, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	if _, crew := c.visit(monday, "m1"); crew != "a" {
		t.Errorf("on Monday it is done by %s", crew)
	}
}

// The repair kit is promised for Thursday: not on Tuesday's plan, and not on Thursday's either, for a promise is no kit. It
// comes early and is reserved in the shop: the nearest crew goes. It lies on B's truck: B goes, although A lives next door.
func TestLateRepairKit(t *testing.T) {
	c := newCounty(t)
	c.person("cy", events.TesterCertificate, events.RepairLicence)
	c.crew("b", "g2", "cy").Home = c.site("far", 40.3, "24/7").Position
	c.mill("24/7")
	job := c.assembly("m1", "f1", events.RP, 2)
	failed(job)
	job.Stage, job.Parts = events.StagePartsPending, []events.PartWanted{{Code: "kit-rp-2", Promised: tuesday.AddDays(2)}}
	c.wantLeft(c.plan(), "m1", "parts", "promised for 2026-05-14", "get kit-rp-2 sooner, or reserve it for this job when it comes")
	r := c.request()
	r.Date = tuesday.AddDays(2)
	thursday, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	passes(t, r, thursday)
	c.wantLeft(thursday, "m1", "parts", "promised for 2026-05-14 and not reserved")
	job.Parts[0].Received = "kit-1"
	c.wantLeft(c.plan(), "m1", "parts", "reserve kit-rp-2 for this job")
	job.Stage, job.Parts = events.StagePartsReady, []events.PartWanted{{Code: "kit-rp-2", Item: "kit-1", Where: "shop"}}
	if _, crew := c.visit(c.plan(), "m1"); crew != "a" {
		t.Errorf("from the shop the nearest crew goes, not %s", crew)
	}
	job.Stage, job.Parts = events.StagePartsReady, []events.PartWanted{{Code: "kit-rp-2", Item: "kit-1", Where: "b"}}
	if v, crew := c.visit(c.plan(), "m1"); crew != "b" || v.Jobs[0].Work != planner.RepairWork {
		t.Errorf("done by %s: %+v", crew, v.Jobs)
	}
	c.book.Crews["b"].Off = []events.CrewOff{{Date: tuesday, Why: "leave"}}
	c.wantLeft(c.plan(), "m1", "parts", "1 of 1 crews that day lack the repair kit, which is on the truck of Crew B")
}

// A 6 in detector on a fire line: calls come before any valve moves, the main is dry for its test and in service again while
// the bypass is tested, and only a crew with a fire licence goes. The water must be back before the mill's shift at 09:00;
// the bypass may be tested after.
func TestFireLineWithDetectorBypass(t *testing.T) {
	c := newCounty(t)
	c.crew("b", "g2", "bo").Home = c.site("near", 40.05, "24/7").Position // nearer, but without the licence
	c.site("mill", 40.05, "06:00-18:00")
	c.feed("mill", "sprinklers", "07:00-09:00").Fire = true
	c.assembly("d1", "sprinklers", events.DCDA, 6)
	c.book.Assemblies["d1"].Service = events.Fire
	v, crew := c.visit(c.plan(), "d1")
	off := c.off(v, "sprinklers")
	if crew != "a" {
		t.Errorf("done by %s", crew)
	}
	if off.From.Sub(v.Arrive) != 28*time.Minute || off.To.Sub(off.From) != 50*time.Minute || v.Leave.Sub(off.To) != 27*time.Minute {
		t.Errorf("on site %s to %s, dry %s to %s", v.Arrive, v.Leave, off.From, off.To)
	}
	if off.From.Before(clock("07:00")) || off.To.After(clock("09:00")) {
		t.Errorf("dry %s to %s", off.From, off.To)
	}
	if !hasNote(v, "impairment coordinator, alarm company and fire department are told before the valve moves; local code decides") {
		t.Errorf("notes: %q", v.Notes)
	}
	// 50 minutes of window hold the main; the bypass goes on after it.
	c.book.Feeds["sprinklers"].ShutdownWindow = "08:00-08:50"
	if v, _ = c.visit(c.plan(), "d1"); !v.Leave.After(clock("08:50")) {
		t.Errorf("leaves %s", v.Leave)
	}
	c.book.People["ann"].Credentials = slices.DeleteFunc(c.book.People["ann"].Credentials, func(x events.Credential) bool { return x.Kind == events.FireLicence })
	c.wantLeft(c.plan(), "d1", "fire", "2 of 2 crews that day lack a valid fire licence")
}

// A campus: one RP at the street feeds forty buildings, each with its own. It is more than a day for one crew, and no second
// crew may help, because they hang together: the street is never shut while a building is tested. What is not done is left
// out with a reason; nothing is forgotten.
func TestCampusInSeries(t *testing.T) {
	c := newCounty(t)
	c.crew("b", "g2", "bo")
	c.site("campus", 40.05, "06:00-18:00")
	c.feed("campus", "street", "06:00-18:00")
	c.assembly("u00", "street", events.RP, 4)
	for i := 1; i < 40; i++ {
		id := "u" + string(rune('0'+i/10)) + string(rune('0'+i%10))
		c.feed("campus", events.FeedID(id), "06:00-18:00").FedFrom = "street"
		c.assembly(events.AssemblyID(id), events.FeedID(id), events.RP, 1)
	}
	if n := len(c.stops()); n > 20 {
		t.Errorf("%d arrivals for one campus", n)
	}
	plan, err := planner.Make(context.Background(), c.request())
	if err != nil {
		t.Fatal(err)
	}
	passes(t, c.request(), plan)
	var dry []events.WaterOff
	crews := map[events.CrewID]bool{}
	jobs := 0
	for _, r := range plan.Routes {
		for _, v := range r.Visits {
			crews[r.Crew] = true
			dry = append(dry, v.WaterOff...)
			jobs += len(v.Jobs)
		}
	}
	if len(crews) != 1 || jobs < 15 || jobs+len(plan.LeftOut) != 40 {
		t.Errorf("%d jobs by %d crews, %d left out", jobs, len(crews), len(plan.LeftOut))
	}
	slices.SortFunc(dry, func(a, b events.WaterOff) int { return a.From.Compare(b.From) })
	for i := range dry[1:] {
		if dry[i+1].From.Before(dry[i].To) {
			t.Errorf("%s and %s are dry at once", dry[i].Feed, dry[i+1].Feed)
		}
	}
}

// The same campus over several days: each takes what the days before left, and in the end every unit is done, once.
func TestCampusOverDays(t *testing.T) {
	c := newCounty(t)
	c.site("campus", 40.05, "06:00-18:00")
	c.feed("campus", "street", "06:00-18:00")
	c.assembly("u00", "street", events.RP, 4)
	for i := 1; i < 40; i++ {
		id := fmt.Sprintf("u%02d", i)
		c.feed("campus", events.FeedID(id), "06:00-18:00").FedFrom = "street"
		c.assembly(events.AssemblyID(id), events.FeedID(id), events.RP, 1)
	}
	r := c.request()
	r.Brief = true
	days, err := planner.MakeDays(context.Background(), r, 4) // Tuesday to Friday
	if err != nil {
		t.Fatal(err)
	}
	done := map[events.JobRef]int{}
	for _, day := range days {
		r.Book, r.Date = day.Book, day.Plan.Date
		passes(t, r, day.Plan)
		for job := range onPlan(day.Plan) {
			done[job]++
		}
	}
	if len(done) != 40 || len(onPlan(days[0].Plan)) == 40 {
		t.Errorf("%d units are done, %d of them on the first day", len(done), len(onPlan(days[0].Plan)))
	}
	for job, times := range done {
		if times != 1 {
			t.Errorf("%v is done %d times", job, times)
		}
	}
}

// Twenty units on a site that do not hang together are shared by two crews on one day.
func TestLargeSiteForTwoCrews(t *testing.T) {
	c := newCounty(t)
	c.crew("b", "g2", "bo")
	c.site("works", 40.05, "06:00-18:00")
	for i := range 20 {
		id := fmt.Sprintf("u%02d", i)
		c.feed("works", events.FeedID(id), "06:00-18:00")
		c.assembly(events.AssemblyID(id), events.FeedID(id), events.RP, 1)
	}
	plan := c.plan()
	crews := map[events.CrewID]int{}
	for _, r := range plan.Routes {
		for _, v := range r.Visits {
			crews[r.Crew] += len(v.Jobs)
		}
	}
	if len(crews) != 2 || crews["a"]+crews["b"] != 20 {
		t.Errorf("jobs by crew: %v, %d left out", crews, len(plan.LeftOut))
	}
}

// The dispatcher held the school for Crew B, which has called in sick: the school is left out and says so; Crew A does the rest.
func TestHeldVisitWhoseCrewIsOff(t *testing.T) {
	c := newCounty(t)
	b := c.crew("b", "g2", "bo")
	c.mill("24/7")
	c.assembly("m1", "f1", events.DC, 2)
	c.site("school", 40.05, "24/7")
	c.feed("school", "s", "24/7")
	c.assembly("s1", "s", events.DC, 2)
	c.wish(events.Wish{Site: "school", Hold: true, Crew: "b"})
	if v, crew := c.visit(c.plan(), "s1"); crew != "b" || !v.Hold {
		t.Errorf("done by %s, held: %v", crew, v.Hold)
	}
	b.Off = []events.CrewOff{{Date: tuesday, Why: "sick"}}
	plan := c.plan()
	c.wantLeft(plan, "s1", "wish", "held for Crew B, which does not work that day: sick", "give it to another crew")
	c.visit(plan, "m1")
}

// The purveyor is at the mill's street valve from 09:00 to 10:00, and an escort from 08:30: the water is off within the first, the
// crew is there within the second only. The visit says both. An air gap beside it waits for the escort alone.
func TestOthersAreBooked(t *testing.T) {
	c := newCounty(t)
	mill := c.site("mill", 40.05, "06:00-18:00")
	c.feed("mill", "street", "06:00-18:00").Needs = []events.Need{{What: events.StreetValve, Whom: "County Water"}}
	mill.Needs = []events.Need{{What: events.Escort}}
	mill.Booked = []events.Booking{{What: events.StreetValve, Feed: "street", From: clock("09:00"), To: clock("10:00")}, {What: events.Escort, From: clock("08:30"), To: clock("12:00")}}
	c.assembly("m1", "street", events.RP, 2)
	c.assembly("m2", "street", events.AirGap, 2)
	v, _ := c.visit(c.plan(), "m1")
	off := c.off(v, "street")
	if off.From.Before(clock("09:00")) || off.To.After(clock("10:00")) || v.Arrive.Before(clock("08:30")) || len(v.Jobs) != 2 {
		t.Errorf("there %s to %s, dry %s to %s", v.Arrive, v.Leave, off.From, off.To)
	}
	if !off.TestOnly || !hasNote(v, "the street: test only; a repair takes about 45 min and the water must be back by 10:00") {
		t.Errorf("a repair after the purveyor has gone: %+v, %q", off, v.Notes)
	}
	for _, note := range []string{"The purveyor at the street valve (County Water) for the street: booked 09:00 to 10:00", "An escort: booked 08:30 to 12:00"} {
		if !hasNote(v, note) {
			t.Errorf("no note %q in %q", note, v.Notes)
		}
	}
	mill.Booked = mill.Booked[1:] // the purveyor calls off
	plan := c.plan()
	c.wantLeft(plan, "m1", "booking", "only the purveyor works the street valve", "book the purveyor at the street valve (County Water) for the day")
	c.visit(plan, "m2")
}

// The mill has a unit due in three weeks and one due in five months, which counts already: the crew does both, and the visit says
// that a trip is saved. Left out, the second is charged with that trip: 2 × 7.2 km and twice the drive, and the ten minutes that
// any visit takes. A third does not count before a day and is not pulled in; a site with nothing but far dates saves no trip.
func TestDueLaterIsPulledIn(t *testing.T) {
	c := newCounty(t)
	c.mill("24/7")
	c.assembly("m1", "f1", events.DC, 2)
	c.assembly("m2", "f1", events.DC, 2).Due = tuesday.AddDays(150)
	far := c.assembly("m3", "f1", events.DC, 2)
	far.Due, far.Earliest = tuesday.AddDays(150), tuesday.AddDays(60)
	c.site("yard", 40.06, "06:00-18:00")
	c.feed("yard", "y", "24/7")
	c.assembly("y1", "y", events.DC, 2).Due = tuesday.AddDays(61)
	plan := c.plan()
	v, _ := c.visit(plan, "m1")
	if len(v.Jobs) != 2 || !slices.ContainsFunc(v.Notes, func(n string) bool {
		return strings.HasPrefix(n, "what is not due before 2026-10-09 is done in the same stop, which saves a trip of about ")
	}) {
		t.Errorf("%d jobs, %q", len(v.Jobs), v.Notes)
	}
	if y, _ := c.visit(plan, "y1"); len(y.Notes) > 0 && strings.Contains(y.Notes[0], "saves") {
		t.Errorf("notes %q", y.Notes)
	}
	c.wantLeft(plan, "m3", "earliest")

	c.wish(events.Wish{Site: "mill", Hold: true, Crew: "b"})
	c.crew("b", "g2", "bo").Off = []events.CrewOff{{Date: tuesday}}
	plan = c.plan()
	s, drive := c.settings, c.settings.Travel.Travel(c.book.Crews["a"].Home, c.book.Sites["mill"].Position)
	trip := 2*float64(drive.Metres)*s.KilometreUSD/1000 + (2*float64(drive.Seconds)+600)*s.CrewHourUSD/3600
	for _, l := range plan.LeftOut {
		want := map[events.AssemblyID]float64{"m1": 75 + 40, "m2": 32.25 + trip, "m3": 0}[l.Assembly]
		if got := l.Worth.USD(); got < want-0.01 || got > want+0.01 {
			t.Errorf("%s is charged with %.3f, want %.3f", l.Assembly, got, want)
		}
	}
	if words := plan.InWords(c.book); !strings.Contains(words, "32.25 USD for the job (75.00 USD when it presses; it can wait 150 days); and 34.74 USD for the trip that it would save") {
		t.Errorf("the trip is not said:\n%s", words)
	}
}

// The yard lies ten kilometres from everything else and is due in eleven months: nobody is sent there, whether one unit is due or
// ten; the plan says what the trip would cost. With two months left a crew goes. A job far ahead at a site where the crew is for
// something due is done with it.
func TestNobodyIsSentForWhatIsDueInElevenMonths(t *testing.T) {
	for _, x := range []struct {
		name  string
		units int
		left  int
		goes  bool
	}{
		{"one unit, eleven months", 1, 335, false}, {"ten units, eleven months", 10, 335, false}, {"one unit, two months", 1, 60, true},
		{"one unit, two weeks", 1, 14, true},
	} {
		t.Run(x.name, func(t *testing.T) {
			c := newCounty(t)
			c.site("yard", 40.09, "06:00-18:00")
			c.feed("yard", "y", "24/7")
			for i := range x.units {
				c.assembly(events.AssemblyID(fmt.Sprintf("y%d", i)), "y", events.DC, 2).Due = tuesday.AddDays(x.left)
			}
			plan := c.plan()
			if goes := len(plan.Routes[0].Visits) > 0; goes != x.goes {
				t.Fatalf("a crew is sent: %v; left out %+v", goes, plan.LeftOut)
			}
			if !x.goes {
				c.wantLeft(plan, "y0", "too-dear", "it is worth")
			}
			c.site("corner", 40.09, "06:00-18:00")
			c.feed("corner", "k", "24/7")
			c.assembly("k1", "k", events.DC, 2).Due = tuesday.AddDays(7)
			c.assembly("k2", "k", events.DC, 2).Due = tuesday.AddDays(335)
			if v, _ := c.visit(c.plan(), "k1"); len(v.Jobs) != 2 {
				t.Errorf("the crew that is there leaves what is due later: %+v", v.Jobs)
			}
		})
	}
}

// The school wants a day's notice. As long as it can still be given, the visit is planned and says until when; once it is
// given for this day, or a time of the day is agreed, nothing is owed any more. Notice of another day is no notice.
func TestNoticeStillToBeGiven(t *testing.T) {
	for _, c := range []struct {
		name string
		tell func(*events.Site)
		owed bool
	}{
		{"nobody was told", func(*events.Site) {}, true},
		{"told of this day", func(s *events.Site) { s.Notice = &events.Notice{Given: tuesday.AddDays(-3), For: tuesday} }, false},
		{"told of any later day", func(s *events.Site) { s.Notice = &events.Notice{Given: tuesday.AddDays(-3)} }, false},
		{"told of another day", func(s *events.Site) { s.Notice = &events.Notice{Given: tuesday.AddDays(-9), For: tuesday.AddDays(-5)} }, true},
		{"a time is agreed", func(s *events.Site) { s.Agreed = []events.AgreedTime{{From: clock("09:00"), To: clock("11:00")}} }, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			school := county.site("school", 40.05, "24/7")
			school.NoticeDays = 1
			c.tell(school)
			county.feed("school", "s", "24/7")
			county.assembly("s1", "s", events.DC, 2)
			v, _ := county.visit(county.plan(), "s1")
			if owed := hasNote(v, "give notice by 2026-05-11"); owed != c.owed {
				t.Errorf("notes %q", v.Notes)
			}
		})
	}
}

// A repair that leaves the sprinklers out of service for eleven hours: past the ten hours after which special measures are
// needed (NFPA Journal, November 2018), it is not planned until they are noted; past eight hours where the setting is eight, as
// at Syracuse NY. The change that is offered is to note them, and it was tried.
func TestElevenHourJobNeedsMeasures(t *testing.T) {
	for _, limit := range []int{600, 480} {
		c := newCounty(t)
		c.crew("b", "g2", "bo", "cy")
		c.book.Crews["b"].Hours = "05:00-20:00"
		for _, id := range []events.PersonID{"bo", "cy"} {
			c.book.People[id] = c.book.People["ann"]
		}
		c.site("mill", 40.05, "24/7")
		feed := c.feed("mill", "sprinklers", "24/7")
		feed.Fire = true
		failed(c.assembly("d1", "sprinklers", events.DCDA, 8))
		c.book.Assemblies["d1"].Service = events.Fire
		r := c.request()
		r.Settings.FireOut, r.Settings.LongestVisit, r.Settings.Repair.Large, r.Settings.CrewHourUSD = limit, 14*60, 11*60, 5
		plan, err := planner.Make(context.Background(), r)
		if err != nil {
			t.Fatal(err)
		}
		passes(t, r, plan)
		explained(t, r, plan)
		if len(plan.LeftOut) != 1 || plan.LeftOut[0].Rule != "fire-hours" || plan.LeftOut[0].Remedy == nil {
			t.Fatalf("limit %d min: left out %+v", limit, plan.LeftOut)
		}
		feed.Measures = []events.MeasuresNoted{{Day: r.Date, Minutes: 11 * 60, By: "impairment coordinator", Words: "fire watch"}}
		if plan, err = planner.Make(context.Background(), r); err != nil || len(plan.LeftOut) != 0 {
			t.Errorf("limit %d min, measures noted: left out %+v, %v", limit, plan.LeftOut, err)
		}
		passes(t, r, plan)
	}
}

// A crew whose day is over is given nothing more that day; a day that is past is planned as if it were ahead, to look at it.
func TestADayThatIsOver(t *testing.T) {
	c := newCounty(t)
	c.mill("24/7")
	c.assembly("m1", "f1", events.DC, 2)
	on := func(now time.Time) int {
		r := c.request()
		r.Now = now
		plan, err := planner.Make(context.Background(), r)
		if err != nil {
			t.Fatal(err)
		}
		visits := 0
		for _, route := range plan.Routes {
			visits += len(route.Visits)
		}
		return visits
	}
	evening := tuesday.AddDays(1).In(c.now.Location()).Add(-time.Hour)
	if got := on(evening); got != 0 {
		t.Errorf("%d visits on a day that is over, want none", got)
	}
	if got := on(evening.AddDate(0, 0, 1)); got != 1 {
		t.Errorf("%d visits on a day that is past, want the one", got)
	}
}
