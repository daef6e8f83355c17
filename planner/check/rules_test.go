package check_test

import (
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/planner/check"
)

// Each case damages a good plan, or changes the book under it, so that one rule is broken and no other.
func TestEachRule(t *testing.T) {
	job := func(f *fixture, id events.AssemblyID) *events.Job { return &f.book.Assemblies[id].Jobs[0] }
	setDay := func(f *fixture, d events.Day) {
		d.Office, d.Date = office, day
		f.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: day.String()}] = &d
	}
	cases := []struct {
		name string
		rule check.Rule
		harm func(f *fixture)
	}{
		{"other settings", check.RuleSettings, func(f *fixture) { f.settings.LittleSlack++ }},
		{"other urgency", check.RuleSettings, func(f *fixture) {
			f.plan.Settings.Urgency = append([]planner.WorthStep(nil), f.plan.Settings.Urgency...)
			f.plan.Settings.Urgency[3].USD++
		}},
		{"day is out", check.RuleDay, func(f *fixture) { setDay(f, events.Day{Sent: &events.SentOut{Date: day}}) }},
		{"from a later book", check.RuleDay, func(f *fixture) { f.plan.Position = 7 }},
		{"crew without a route", check.RuleShape, func(f *fixture) { f.plan.Routes = f.plan.Routes[:3] }},
		{"crew with two routes", check.RuleShape, func(f *fixture) { f.plan.Routes = append(f.plan.Routes, planner.Route{Crew: "c", Date: day}) }},
		{"route of another date", check.RuleShape, func(f *fixture) { f.plan.Routes[1].Date = day.AddDays(1) }},
		{"key of another site", check.RuleShape, func(f *fixture) { f.visitTo("yard").Key = "kitchen-2" }},
		{"same key twice", check.RuleShape, func(f *fixture) { f.visitTo("hospital").Key = "hospital~east~1" }},
		{"left out under a key that is on a route", check.RuleShape, func(f *fixture) { f.plan.LeftOut[0].Visit = "hospital~east" }},
		{"left out under a key that is none", check.RuleShape, func(f *fixture) { f.plan.LeftOut[0].Visit = "hospital~" }},
		{"left out as of another site", check.RuleShape, func(f *fixture) {
			f.plan.LeftOut[0].Site, f.plan.LeftOut[0].Visit = "yard", "yard"
		}},
		{"jobs out of order", check.RuleShape, func(f *fixture) {
			v := f.visitTo("plant")
			v.Jobs[0], v.Jobs[1] = v.Jobs[1], v.Jobs[0]
		}},
		{"no water off for a test", check.RuleShape, func(f *fixture) {
			v := f.visitTo("kitchen")
			v.WaterOff = nil
			v.SlackS = int(at("15:00").Sub(v.Leave) / time.Second)
		}},
		{"off", check.RuleCrew, func(f *fixture) { f.book.Crews["b"].Off = []events.CrewOff{{Date: day}} }},
		{"no working day", check.RuleCrew, func(f *fixture) { f.book.Crews["b"].Hours = "We-Fr 06:00-16:00" }},
		{"begins before leaving the stop before", check.RuleOverlap, func(f *fixture) {
			f.visitTo("school").Arrive = at("06:50") // the kitchen lasts 33 minutes, to 07:03
			f.book.Sites["school"].AccessHours, f.book.Feeds["street"].ShutdownWindow, f.book.Feeds["inside"].ShutdownWindow = "24/7", "24/7", "24/7"
			f.restate()
		}},
		{"begins before it can be there", check.RuleTravel, func(f *fixture) {
			f.visitTo("school").Arrive = at("07:04")
			f.restate()
		}},
		{"drive said shorter", check.RuleTravel, func(f *fixture) { f.visitTo("school").DriveS -= 60 }},
		{"way home said longer", check.RuleTravel, func(f *fixture) { f.route("a").HomeM++ }},
		{"wait", check.RuleClock, func(f *fixture) { f.visitTo("school").WaitS++ }},
		{"wait at the first stop", check.RuleClock, func(f *fixture) { f.visitTo("kitchen").WaitS = 60 }},
		{"slack", check.RuleClock, func(f *fixture) { f.visitTo("kitchen").SlackS++ }},
		{"water back a second early", check.RuleClock, func(f *fixture) {
			off := &f.visitTo("kitchen").WaterOff[0]
			off.To = off.To.Add(-time.Second)
			f.visitTo("kitchen").SlackS++
		}},
		{"empty route with times", check.RuleClock, func(f *fixture) { f.route("c").HomeS = 1 }},
		{"an escort is wanted and nobody is booked", check.RuleBooking, func(f *fixture) {
			f.book.Sites["yard"].Booked = nil
			f.visitTo("yard").SlackS = 0
			f.restate()
		}},
		{"an escort who comes too late", check.RuleBooking, func(f *fixture) { f.book.Sites["yard"].Booked[0].From = at("08:01") }},
		{"an escort who leaves too early", check.RuleBooking, func(f *fixture) { f.book.Sites["yard"].Booked[0].To = at("08:20") }},
		{"the purveyor leaves the street valve before the water is on", check.RuleBooking, func(f *fixture) {
			f.book.Sites["kitchen"].Booked = []events.Booking{{What: events.StreetValve, Feed: "kitchen-main", From: at("06:30"), To: at("06:50")}}
		}},
		{"somebody is booked for the day after, and so wanted", check.RuleBooking, func(f *fixture) {
			f.book.Sites["kitchen"].Booked = []events.Booking{{What: events.StreetValve, From: atOn(day.AddDays(1), "06:00"), To: atOn(day.AddDays(1), "09:00")}}
		}},
		{"a unit may be opened a minute too late", check.RuleDecide, func(f *fixture) {
			off := &f.visitTo("kitchen").WaterOff[0]
			off.DecideBy = off.DecideBy.Add(time.Minute)
		}},
		{"nothing is said of a repair", check.RuleDecide, func(f *fixture) { f.visitTo("kitchen").WaterOff[0].DecideBy = time.Time{} }},
		{"tests only where a repair fits", check.RuleDecide, func(f *fixture) {
			off := &f.visitTo("kitchen").WaterOff[0]
			off.TestOnly, off.DecideBy = true, time.Time{}
		}},
		{"a repair while the escort has gone", check.RuleDecide, func(f *fixture) {
			f.book.Sites["yard"].Booked[0].To = at("09:00")
			v := f.visitTo("yard")
			v.SlackS = int(at("09:00").Sub(v.Leave) / time.Second)
		}},
		{"leaves home too early", check.RuleHours, func(f *fixture) {
			f.book.Crews["a"].Hours = "Mo-Fr 07:00-17:00"
			f.restate()
		}},
		{"home too late", check.RuleHours, func(f *fixture) {
			f.book.Crews["a"].Hours, f.book.Crews["a"].OvertimeMinutes = "Mo-Fr 06:00-14:00", 10
			f.restate()
		}},
		{"no room for a break", check.RuleBreak, func(f *fixture) {
			crew := f.book.Crews["b"]
			crew.BreakMinutes, crew.BreakFrom, crew.BreakTo = 30, "08:30", "10:30"
		}},
		{"a break nobody has", check.RuleBreak, func(f *fixture) {
			f.rests()
			f.book.Crews["b"].BreakMinutes = 0
		}},
		{"a break cut short", check.RuleBreak, func(f *fixture) {
			f.rests()
			f.route("b").Break.To = at("09:25")
			f.restate()
		}},
		{"a break before its span", check.RuleBreak, func(f *fixture) {
			f.rests()
			f.book.Crews["b"].BreakFrom = "09:15"
		}},
		{"a break after its span", check.RuleBreak, func(f *fixture) {
			f.rests()
			f.book.Crews["b"].BreakTo = "09:25"
		}},
		{"a break while the crew serves", check.RuleBreak, func(f *fixture) {
			f.rests()
			f.book.Crews["b"].BreakFrom = "08:00"
			f.route("b").Break = &events.DayBreak{From: at("08:05"), To: at("08:25"), Site: "yard"}
			f.restate()
		}},
		{"a break at another site", check.RuleBreak, func(f *fixture) {
			f.rests()
			f.route("b").Break.Site = "school"
		}},
		{"a break at the next door before it is reached", check.RuleBreak, func(f *fixture) {
			f.rests()
			f.book.Crews["b"].BreakFrom = "08:00"
			leave := f.visitTo("yard").Leave
			f.route("b").Break = &events.DayBreak{From: leave, To: leave.Add(20 * time.Minute), Site: "hospital"}
			f.restate()
		}},
		{"overtime said less", check.RuleHours, func(f *fixture) { f.route("a").OvertimeS = 60 }},
		{"water off after the window", check.RuleWindow, func(f *fixture) { f.visitTo("kitchen").Arrive = at("08:45"); f.restate() }},
		{"window not known", check.RuleWindow, func(f *fixture) { f.book.Feeds["lawn"].ShutdownWindow = "" }},
		{"agreed time takes the window's place", check.RuleWindow, func(f *fixture) {
			f.book.Sites["kitchen"].Agreed = []events.AgreedTime{{From: at("13:00"), To: at("14:00")}}
		}},
		{"at the site before access", check.RuleAccess, func(f *fixture) { f.book.Sites["yard"].AccessHours = "Mo-Fr 08:01-17:00" }},
		{"access not known", check.RuleAccess, func(f *fixture) { f.book.Sites["yard"].AccessHours = "by appointment" }},
		{"out of season", check.RuleSeason, func(f *fixture) { f.book.Feeds["lawn"].Season = "Apr-Oct" }},
		{"drained", check.RuleSeason, func(f *fixture) { f.book.Feeds["lawn"].Pressurised = new(bool) }},
		{"certificate ran out", check.RuleCertificate, func(f *fixture) { f.book.People["cy"].Credentials[0].Until = day.AddDays(-1) }},
		{"no repairer", check.RuleCertificate, func(f *fixture) { f.book.People["ann"].Credentials[1].Until = day.AddDays(-1) }},
		{"no confined-space certificate", check.RuleCertificate, func(f *fixture) {
			f.book.Assemblies["y1"].Vault = events.PermitVault
			f.restate()
		}},
		{"a cleared helper beside a tester who is not", check.RuleCertificate, func(f *fixture) {
			f.book.Assemblies["y1"].Vault = events.PermitVault
			f.book.People["ed"].Credentials = append(f.book.People["ed"].Credentials, events.Credential{Kind: events.ConfinedSpaceEntry, Until: until})
			f.restate()
		}},
		{"registration ran out", check.RuleRegistration, func(f *fixture) { f.book.People["cy"].Registrations[0].Until = day.AddDays(-1) }},
		{"registered is not certified", check.RuleRegistration, func(f *fixture) {
			f.book.Crews["b"].People = []events.PersonID{"di", "ed"}
			f.book.People["ed"].Registrations = []events.Registration{{Purveyor: "water", Until: until}}
		}},
		{"purveyor not known", check.RuleRegistration, func(f *fixture) { f.book.Assemblies["y1"].Purveyor = "sea" }},
		{"gauge due on its anniversary", check.RuleGauge, func(f *fixture) { f.book.Gauges["g2"].CertifiedUntil = day }},
		{"gauge a day past its anniversary, which the purveyor counts", check.RuleGauge, func(f *fixture) {
			f.book.Gauges["g2"].CertifiedUntil, f.book.Purveyors["water"].GaugeAnniversaryCounts = day.AddDays(-1), true
		}},
		{"gauge dropped", check.RuleGauge, func(f *fixture) { f.book.Gauges["g2"].Dropped = "fell" }},
		{"gauge of non-potable water", check.RuleGauge, func(f *fixture) { f.book.Gauges["g2"].Potable = false }},
		{"gauge not registered", check.RuleGauge, func(f *fixture) { f.book.Gauges["g1"].RegisteredWith = []events.PurveyorID{"lake"} }},
		{"kit not promised", check.RuleParts, func(f *fixture) {
			job(f, "p1").Parts = append(job(f, "p1").Parts, events.PartWanted{Code: "spring"})
		}},
		{"kit promised for the day", check.RuleParts, func(f *fixture) {
			job(f, "p1").Parts = append(job(f, "p1").Parts, events.PartWanted{Code: "spring", Promised: day})
		}},
		{"kit that came and is not reserved", check.RuleParts, func(f *fixture) {
			job(f, "p1").Parts = append(job(f, "p1").Parts, events.PartWanted{Code: "spring", Promised: day, Received: "kit-2"})
		}},
		{"kit on another truck", check.RuleParts, func(f *fixture) { job(f, "p1").Parts[0].Where = "b" }},
		{"nobody said yes", check.RuleRepairYes, func(f *fixture) { job(f, "p1").Yes = nil }},
		{"alone on a large repair", check.RulePeople, func(f *fixture) { f.book.Crews["a"].People = []events.PersonID{"ann"} }},
		{"two on a large repair in a permit vault", check.RulePeople, func(f *fixture) {
			f.book.Assemblies["p1"].Vault = events.PermitVault
			f.restate()
		}},
		{"no fire licence to inspect on a fire feed", check.RuleFire, func(f *fixture) {
			f.book.Feeds["lawn"].Fire, f.book.Assemblies["y1"].Type = true, events.AVB
			f.visitTo("yard").WaterOff = nil
			f.restate()
		}},
		{"no fire licence", check.RuleFire, func(f *fixture) { f.book.People["ann"].Credentials[2].Until = day.AddDays(-1) }},
		{"too late to give notice", check.RuleNotice, func(f *fixture) { f.plan.MadeAt = atOn(day.AddDays(-2), "00:00") }},
		{"notice of another day", check.RuleNotice, func(f *fixture) {
			f.plan.MadeAt = atOn(day, "05:00")
			f.book.Sites["school"].Notice = &events.Notice{Given: day.AddDays(-9), For: day.AddDays(-1)}
		}},
		{"notice given late", check.RuleNotice, func(f *fixture) {
			f.plan.MadeAt = atOn(day, "05:00")
			f.book.Sites["school"].Notice = &events.Notice{Given: day.AddDays(-2)}
		}},
		{"too early to count", check.RuleEarliest, func(f *fixture) { job(f, "y1").Earliest = day.AddDays(1) }},
		{"not known whose", check.RuleStanding, func(f *fixture) { job(f, "y1").Standing = events.Ask }},
		{"customer on hold", check.RuleHold, func(f *fixture) { f.book.Customers["owner"].OnHold = "unpaid" }},
		{"stopped", check.RuleStopped, func(f *fixture) { job(f, "y1").Stage = events.StageStopped }},
		{"site without position", check.RulePosition, func(f *fixture) {
			f.drop("school")
			f.drop("plant")
			f.drop("kitchen")
			v := f.visit("kitchen", at("06:30"), "k1")
			f.plan.Routes[0].Visits = []planner.Visit{v}
			f.plan.LeftOut = f.plan.LeftOut[:5]
			f.restate()
			f.book.Sites["kitchen"].Position = geo.Point{}
			f.plan.Cost.Total -= f.plan.Cost.Distance - planner.MicroUSD(f.metres("b"))*450
			f.plan.Cost.Distance = planner.MicroUSD(f.metres("b")) * 450
			f.plan.Routes[0].Cost.Total -= f.plan.Routes[0].Cost.Distance
			f.plan.Routes[0].Cost.Distance = 0
		}},
		{"series dry by two crews", check.RuleSeries, func(f *fixture) {
			f.split("school", at("09:30"))
		}},
		{"both legs on one day", check.RuleManifold, func(f *fixture) {
			f.plan.LeftOut = nil
			west := f.visit("hospital", at("10:55"), "h2")
			west.Key = "hospital~west"
			f.route("b").Visits = append(f.route("b").Visits, west)
			f.restate()
		}},
		{"other leg out of service", check.RuleAsLeft, func(f *fixture) { f.book.Feeds["west"].AsLeft = &events.Condition{Service: events.Impaired} }},
		{"other leg left with a valve partly open", check.RuleAsLeft, func(f *fixture) {
			f.book.Feeds["west"].AsLeft = &events.Condition{Service: events.InService, Valves: []events.Valve{{Name: "No. 2 shut-off", State: events.ValvePartly}}}
		}},
		{"upstream feed left shut", check.RuleAsLeft, func(f *fixture) { f.book.Feeds["street"].AsLeft = &events.Condition{Service: events.Shut} }},
		{"job forgotten", check.RuleMissingVisit, func(f *fixture) { f.plan.LeftOut = nil; f.restate() }},
		{"left out without reason", check.RuleMissingVisit, func(f *fixture) { f.plan.LeftOut[0].Reason = "" }},
		{"left out, but there is no such job", check.RuleMissingVisit, func(f *fixture) { f.plan.LeftOut[0].Job = "j-h9"; f.restate() }},
		{"on a route and left out", check.RuleDouble, func(f *fixture) {
			f.plan.LeftOut = append(f.plan.LeftOut, planner.LeftOut{Assembly: "k1", Job: "j-k1", Site: "kitchen", Rule: "test", Reason: "Twice."})
		}},
		{"test of what failed", check.RuleWork, func(f *fixture) { f.visitTo("plant").Jobs[1].Work = planner.TestWork }},
		{"needs no visit", check.RuleWork, func(f *fixture) { job(f, "y1").Stage = events.StagePassed }},
		{"out with another day", check.RuleDispatched, func(f *fixture) { job(f, "y1").Dispatched = &events.Dispatched{Date: day.AddDays(1)} }},
		{"out with the day on which the plan is made", check.RuleDispatched, func(f *fixture) { job(f, "y1").Dispatched = &events.Dispatched{Date: day.AddDays(-4)} }},
		{"distance cheaper", check.RuleCost, func(f *fixture) { f.plan.Cost.Distance--; f.plan.Cost.Total-- }},
		{"does not add up", check.RuleCost, func(f *fixture) { f.plan.Cost.Total++ }},
		{"negative change", check.RuleCost, func(f *fixture) { f.plan.Cost.Change--; f.plan.Cost.Total-- }},
		{"left out is not free", check.RuleCost, func(f *fixture) { f.plan.Cost.Total -= f.plan.Cost.LeftOut; f.plan.Cost.LeftOut = 0 }},
		{"filled last spring, and the season is over", check.RuleSeason, func(f *fixture) {
			lawn := f.book.Feeds["lawn"]
			lawn.Season, lawn.Pressurised, lawn.PressurisedAt = "Dec-Feb", new(true), atOn(day.AddDays(-100), "09:00")
		}},
		{"the feed above the one above is drained", check.RuleSeason, func(f *fixture) {
			f.feed("yard", "curb", "24/7").Pressurised = new(bool)
			f.feed("yard", "court", "24/7").FedFrom = "curb"
			f.book.Feeds["lawn"].FedFrom = "court"
		}},
		{"the feed above the one above was left shut", check.RuleAsLeft, func(f *fixture) {
			f.feed("yard", "curb", "24/7").AsLeft = &events.Condition{Service: events.Shut}
			f.feed("yard", "court", "24/7").FedFrom = "curb"
			f.book.Feeds["lawn"].FedFrom = "court"
		}},
		{"wished out", check.RuleWish, func(f *fixture) { setDay(f, events.Day{Wishes: []events.Wish{{Site: "yard", Out: true, Why: "rain"}}}) }},
		{"wished on another crew", check.RuleWish, func(f *fixture) {
			setDay(f, events.Day{Wishes: []events.Wish{{Site: "hospital", Feed: "east", Crew: "a"}}})
		}},
		{"fire line out too long", check.RuleFireHours, func(f *fixture) {
			f.settings.FireOut, f.plan.Settings.FireOut = 179, 179 // the plant's repair takes three hours
		}},
		{"fire line out too long with the night before", check.RuleFireHours, func(f *fixture) {
			f.book.Feeds["sprinklers"].Dried = []events.DryTime{{From: atOn(day.AddDays(-1), "16:00"), To: atOn(day.AddDays(-1), "23:01")}}
		}},
		{"fire line dry since last night", check.RuleFireHours, func(f *fixture) {
			f.plan.MadeAt = at("05:00")
			f.book.Sites["school"].Notice = &events.Notice{Given: day.AddDays(-9), For: day}
			f.book.Feeds["sprinklers"].DrySince = atOn(day.AddDays(-1), "21:30")
		}},
		{"fire line out tomorrow morning by a day that is out", check.RuleFireHours, func(f *fixture) {
			next := events.SentOut{Date: day.AddDays(1), Routes: []events.DayRoute{{Crew: "b", Visits: []events.DayVisit{{Site: "plant",
				WaterOff: []events.WaterOff{{Feed: "sprinklers", From: atOn(day.AddDays(1), "00:00"), To: atOn(day.AddDays(1), "07:01")}}}}}}}
			f.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: next.Date.String()}] = &events.Day{Office: office, Date: next.Date, Sent: &next}
		}},
		{"measures for another day", check.RuleFireHours, func(f *fixture) {
			f.settings.FireOut, f.plan.Settings.FireOut = 179, 179
			f.book.Feeds["sprinklers"].Measures = []events.MeasuresNoted{{Day: day.AddDays(1), Minutes: 240, By: "impairment coordinator", Words: "fire watch"}}
		}},
		{"measures for less", check.RuleFireHours, func(f *fixture) {
			f.settings.FireOut, f.plan.Settings.FireOut = 120, 120
			f.book.Feeds["sprinklers"].Measures = []events.MeasuresNoted{{Day: day, Minutes: 179, By: "impairment coordinator", Words: "fire watch"}}
		}},
		{"another chance of being too late", check.RuleLate, func(f *fixture) { f.visitTo("school").Late++ }},
		{"failed tests that are not on record", check.RuleLate, func(f *fixture) {
			f.plan.OnRecord = []planner.FailRecord{{Class: "double check", Tests: 3, Failed: 1, Percent: 13.043478}}
		}},
		{"another chance of being home too late", check.RuleLate, func(f *fixture) { f.route("b").Late++ }},
		{"the chance, when someone says yes to a repair at once", check.RuleLate, func(f *fixture) { f.book.Customers["owner"].Repair = "yes" }},
		{"a route cheaper", check.RuleCost, func(f *fixture) { f.plan.Routes[0].Cost.Hours--; f.plan.Routes[0].Cost.Total-- }},
		{"a route does not add up", check.RuleCost, func(f *fixture) { f.plan.Routes[1].Cost.Total++ }},
		{"a change that no visit can have made", check.RuleCost, func(f *fixture) {
			f.plan.Routes[0].Cost.Change++
			f.plan.Routes[0].Cost.Total++
			f.plan.Cost.Change++
			f.plan.Cost.Total++
		}},
		{"a job left out at another price", check.RuleCost, func(f *fixture) { f.plan.LeftOut[0].Worth++; f.plan.Cost.LeftOut++; f.plan.Cost.Total++ }},
		{"a promise broken for nothing", check.RuleCost, func(f *fixture) { f.book.Sites["hospital"].Notice = &events.Notice{Given: day, For: day} }},
		{"held, and left out for nothing", check.RuleCost, func(f *fixture) {
			setDay(f, events.Day{Wishes: []events.Wish{{Site: "hospital", Feed: "west", Hold: true}}})
		}},
	}
	tested := map[check.Rule]bool{check.RuleBegun: true} // where days go on: planner.TestWhatHasBegunIsKept
	for _, tc := range cases {
		tested[tc.rule] = true
		t.Run(string(tc.rule)+"/"+tc.name, func(t *testing.T) {
			f := newFixture()
			tc.harm(f)
			want(t, f.check(), tc.rule)
		})
	}
	for _, rule := range check.Rules() {
		if !tested[rule] {
			t.Errorf("no case for rule %s", rule)
		}
	}
}

func (f *fixture) metres(crew events.CrewID) int {
	r := f.route(crew)
	sum := r.HomeM
	for _, v := range r.Visits {
		sum += v.DriveM
	}
	return sum
}

// split takes the second feed of a visit to Crew B as a visit of its own, at an instant.
func (f *fixture) split(site events.SiteID, arrive time.Time) {
	v := f.visitTo(site)
	second := f.visit(site, arrive, v.Jobs[1].Assembly)
	second.Key = string(site) + "~" + string(v.WaterOff[1].Feed)
	v.Key = string(site) + "~" + string(v.WaterOff[0].Feed)
	v.Jobs, v.WaterOff = v.Jobs[:1], v.WaterOff[:1]
	r := f.route("b")
	r.Visits = append(r.Visits[:1:1], second, r.Visits[1])
	r.Visits[2].Arrive = at("10:40")
	f.restate()
}

// What the rules allow: none of these is refused.
func TestAllowed(t *testing.T) {
	for _, tc := range []struct {
		name string
		do   func(f *fixture)
	}{
		{"standing yes to repair", func(f *fixture) {
			f.book.Assemblies["p1"].Jobs[0].Yes = nil
			f.book.Customers["owner"].Repair = "yes"
			f.restate()
		}},
		{"certificate's last day", func(f *fixture) { f.book.People["cy"].Credentials[0].Until = day }},
		{"non-potable gauge on irrigation", func(f *fixture) {
			f.move("yard", "c")
			f.book.People["di"].Registrations = f.book.People["cy"].Registrations
		}},
		{"return visit before the earliest day of a test", func(f *fixture) { f.book.Assemblies["p1"].Jobs[0].Earliest = day.AddDays(5) }},
		{"pressurised out of season", func(f *fixture) {
			yes := true
			f.book.Feeds["lawn"].Season, f.book.Feeds["lawn"].Pressurised = "May-Oct", &yes
		}},
		{"agreed time outside access and window", func(f *fixture) {
			f.book.Sites["yard"].AccessHours, f.book.Feeds["lawn"].ShutdownWindow = "Sa 08:00-09:00", "Sa 08:00-09:00"
			f.book.Sites["yard"].Agreed = []events.AgreedTime{{Feed: "lawn", From: at("07:30"), To: at("09:00")}}
			f.restate()
		}},
		{"agreed time stands for notice", func(f *fixture) {
			f.plan.MadeAt = at("05:00")
			f.book.Sites["school"].Agreed = []events.AgreedTime{{From: at("07:00"), To: at("17:00")}}
		}},
		{"notice given in time", func(f *fixture) {
			f.plan.MadeAt = at("05:00")
			f.book.Sites["school"].Notice = &events.Notice{Given: day.AddDays(-3), For: day}
		}},
		{"plan made on the last day for notice", func(f *fixture) { f.plan.MadeAt = atOn(day.AddDays(-3), "23:59:59") }},
		{"dispatched on this very day", func(f *fixture) { f.book.Assemblies["y1"].Jobs[0].Dispatched = &events.Dispatched{Date: day} }},
		{"left undone by a day that is past", func(f *fixture) {
			f.book.Assemblies["y1"].Jobs[0].Dispatched = &events.Dispatched{Date: day.AddDays(-5)}
		}},
		{"wish kept", func(f *fixture) {
			f.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: day.String()}] = &events.Day{Office: office, Date: day,
				Wishes: []events.Wish{{Site: "yard", Crew: "b"}, {Site: "hospital", Feed: "west", Out: true, Why: "ward asks"}}}
		}},
		{"job that is not ours left out or not", func(f *fixture) { f.book.Assemblies["h2"].Jobs[0].Standing = events.Ask }},
		{"fire line out long, with measures noted", func(f *fixture) {
			f.settings.FireOut, f.plan.Settings.FireOut = 60, 60
			f.book.Feeds["sprinklers"].Measures = []events.MeasuresNoted{{Day: day, Minutes: 180, By: "impairment coordinator", Words: "fire watch"}}
		}},
		{"fire line out to the very limit with the night before, and long ago", func(f *fixture) {
			f.book.Feeds["sprinklers"].Dried = []events.DryTime{{From: atOn(day.AddDays(-2), "02:00"), To: atOn(day.AddDays(-2), "12:00")}, {From: atOn(day.AddDays(-1), "16:00"), To: atOn(day.AddDays(-1), "23:00")}}
		}},
		{"gauge on its anniversary, where the purveyor counts it", func(f *fixture) {
			f.book.Gauges["g2"].CertifiedUntil, f.book.Purveyors["water"].GaugeAnniversaryCounts = day, true
		}},
		{"no date known is 60 days left", func(f *fixture) { f.book.Assemblies["h2"].Jobs[0].Due = events.Date{}; f.restate() }},
	} {
		t.Run(tc.name, func(t *testing.T) {
			f := newFixture()
			tc.do(f)
			for _, v := range f.check() {
				t.Error(v)
			}
		})
	}
}

func TestAmending(t *testing.T) {
	f := newFixture()
	f.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: day.String()}] = &events.Day{Office: office, Date: day, Sent: &events.SentOut{Date: day}}
	want(t, f.check(), check.RuleDay)
	if found := (check.Options{Amending: true}).Plan(f.book, f.plan, f.settings); len(found) > 0 {
		t.Errorf("amending a day that is out is refused: %v", found)
	}
}
