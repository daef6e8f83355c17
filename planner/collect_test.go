package planner_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
)

// mill is a site that is open all day, with feeds of a window each.
func (c *county) mill(windows ...string) {
	c.site("mill", 40.05, "06:00-18:00")
	for i, w := range windows {
		c.feed("mill", events.FeedID("f"+string(rune('1'+i))), w)
	}
}

func TestVisits(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(*county)
		stops []string // (1): of a group that is done by one crew
		left  []string
	}{
		{"all jobs of a site are one visit", func(c *county) {
			c.mill("24/7", "24/7")
			c.assembly("m1", "f1", events.DC, 2)
			c.assembly("m2", "f2", events.RP, 1)
			c.assembly("m3", "f1", events.RP, 1)
		}, []string{"mill: m1+m3+m2"}, nil},
		{"two sites are two visits", func(c *county) {
			c.mill("24/7")
			c.assembly("m1", "f1", events.DC, 2)
			c.site("yard", 40.06, "06:00-18:00")
			c.feed("yard", "y", "24/7")
			c.assembly("y1", "y", events.DC, 2)
		}, []string{"mill: m1", "yard: y1"}, nil},
		{"windows that do not meet are two visits, for any two crews", func(c *county) {
			c.mill("06:00-07:00", "13:00-14:00")
			c.assembly("m1", "f1", events.DC, 2)
			c.assembly("m2", "f2", events.DC, 2)
		}, []string{"mill~f1: m1", "mill~f2: m2"}, nil},
		{"and for one crew when the feeds are in series", func(c *county) {
			c.mill("06:00-07:00", "13:00-14:00")
			c.book.Feeds["f2"].FedFrom = "f1"
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m2", "f2", events.RP, 1)
		}, []string{"mill~f1: m1 (1)", "mill~f2: m2 (1)"}, nil},
		{"and in series through a feed without a job", func(c *county) {
			c.mill("06:00-07:00", "24/7", "13:00-14:00")
			c.book.Feeds["f2"].FedFrom, c.book.Feeds["f3"].FedFrom = "f1", "f2"
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m3", "f3", events.RP, 1)
		}, []string{"mill~f1: m1 (1)", "mill~f3: m3 (1)"}, nil},
		{"and when they are legs of one manifold", func(c *county) {
			c.mill("06:00-07:00", "13:00-14:00", "24/7")
			c.book.Feeds["f1"].Manifold, c.book.Feeds["f2"].Manifold = "cold", "cold"
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m2", "f2", events.RP, 2)
			c.assembly("m3", "f3", events.RP, 2)
		}, []string{"mill~f3: m3", "mill~f1: m1 (1)", "mill~f2: m2 (1)"}, nil},
		{"legs of different manifolds have nothing to do with one another", func(c *county) {
			c.mill("06:00-07:00", "13:00-14:00")
			c.book.Feeds["f1"].Manifold, c.book.Feeds["f2"].Manifold = "cold", "hot"
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m2", "f2", events.RP, 2)
		}, []string{"mill~f1: m1", "mill~f2: m2"}, nil},
		{"feeds are taken in the order that the windows allow", func(c *county) {
			c.mill("13:00-15:00", "06:00-13:00")
			c.assembly("m1", "f1", events.DC, 2)
			c.assembly("m2", "f2", events.DC, 2)
		}, []string{"mill: m2+m1"}, nil},
		{"and of more feeds than every order is tried of, the one that must be begun first comes first", func(c *county) {
			c.mill("06:00-08:00", "06:00-07:00", "06:00-07:45", "06:00-07:30", "06:00-07:15") // 30 min before, 15 dry each
			for i := range 5 {
				c.assembly(events.AssemblyID("m"+string(rune('1'+i))), events.FeedID("f"+string(rune('1'+i))), events.PVB, 1)
			}
			c.book.Sites["mill"].AccessHours, c.book.Crews["a"].Hours = "05:00-18:00", "05:00-15:00"
		}, []string{"mill: m2+m5+m4+m3+m1"}, nil},
		{"parts of up to 100 minutes are packed together, by when they may begin", func(c *county) {
			c.mill("13:00-15:00", "06:00-08:00", "13:00-15:00", "06:00-08:00", "06:00-08:00")
			for i, feed := range []events.FeedID{"f1", "f2", "f3", "f4", "f5"} { // two are 70 min, with the 6 in one 135
				c.assembly(events.AssemblyID("m"+string(rune('1'+i))), feed, events.RP, 1)
			}
			c.book.Assemblies["m5"].Size = events.InchSize(6, 0) // 60 min dry
		}, []string{"mill~f2: m2+m4", "mill~f5: m5", "mill~f1: m1+m3"}, nil},
		{"a visit of more than 300 minutes is parted", func(c *county) {
			c.mill("24/7")
			for i := range 14 { // 10 min, and 23 for each: twelve are 286, thirteen would be 309
				c.assembly(events.AssemblyID("m"+string(rune('a'+i))), "f1", events.DC, 2)
			}
		}, []string{"mill~f1: ma+mb+mc+md+me+mf+mg+mh+mi+mj+mk+ml (1)", "mill~f1~2: mm+mn (1)"}, nil},
		{"what no crew can do together is parted", func(c *county) {
			c.crew("a", "g1", "ann")
			c.person("cy", events.TesterCertificate, events.ConfinedSpaceEntry)
			c.crew("b", "g2", "cy", "helper")
			c.mill("24/7", "24/7")
			c.book.Feeds["f1"].Fire = true
			c.assembly("m1", "f1", events.DC, 4)
			c.assembly("m2", "f2", events.DC, 2)
			c.book.Assemblies["m2"].Vault = events.PermitVault
		}, []string{"mill~f1: m1", "mill~f2: m2"}, nil},
		{"what no crew may do at all is planned all the same, so that it is said", func(c *county) {
			c.mill("24/7")
			c.assembly("m1", "f1", events.DC, 2)
			c.assembly("m2", "f1", events.DC, 2)
			c.book.Crews["a"].Gauges = nil
		}, []string{"mill~f1: m1 (1)", "mill~f1~2: m2 (1)"}, nil},
		{"inspections come first and take no water off", func(c *county) {
			c.mill("24/7", "Su 06:00-07:00")
			c.assembly("m1", "f1", events.DC, 2)
			c.assembly("m2", "f2", events.AirGap, 2)
		}, []string{"mill: m2+m1"}, nil},
		{"a site that wants one leg a day gets the more pressing one", func(c *county) {
			c.mill("24/7", "24/7")
			c.book.Sites["mill"].LegsOneADay = true
			c.book.Feeds["f1"].Manifold, c.book.Feeds["f2"].Manifold = "cold", "cold"
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m2", "f2", events.RP, 2).Due = tuesday.AddDays(1)
		}, []string{"mill: m2"}, []string{"m1: manifold"}},
		{"one leg a day is no matter for what is no leg", func(c *county) {
			c.mill("24/7", "24/7")
			c.book.Sites["mill"].LegsOneADay = true
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m2", "f2", events.RP, 2)
		}, []string{"mill: m1+m2"}, nil},
		{"no leg is shut while the other was left shut", func(c *county) {
			c.mill("24/7", "24/7")
			c.book.Feeds["f1"].Manifold, c.book.Feeds["f2"].Manifold = "cold", "cold"
			c.book.Feeds["f1"].AsLeft = &events.Condition{Service: events.Shut}
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m2", "f2", events.RP, 2)
		}, []string{"mill: m1"}, []string{"m2: as-left"}},
		{"nor while one of its shut-offs is partly open", func(c *county) {
			c.mill("24/7", "24/7")
			c.book.Feeds["f1"].Manifold, c.book.Feeds["f2"].Manifold = "cold", "cold"
			c.book.Feeds["f1"].AsLeft = &events.Condition{Service: events.InService, Valves: []events.Valve{{Name: "No. 2 shut-off", State: events.ValvePartly}}}
			c.assembly("m2", "f2", events.RP, 2)
		}, nil, []string{"m2: as-left"}},
		{"restored, it is", func(c *county) {
			c.mill("24/7", "24/7")
			c.book.Feeds["f1"].Manifold, c.book.Feeds["f2"].Manifold = "cold", "cold"
			c.book.Feeds["f1"].AsLeft = &events.Condition{Service: events.InService, Valves: []events.Valve{{Name: "No. 2 shut-off", State: events.ValveOpen}}}
			c.assembly("m2", "f2", events.RP, 2)
		}, []string{"mill: m2"}, nil},
		{"without water from a street valve left shut there is no test", func(c *county) {
			c.mill("24/7", "24/7")
			c.book.Feeds["f2"].FedFrom = "f1"
			c.book.Feeds["f1"].AsLeft = &events.Condition{Service: events.Shut}
			c.assembly("m1", "f1", events.RP, 2)
			c.assembly("m2", "f2", events.RP, 2)
		}, []string{"mill: m1"}, []string{"m2: as-left"}},
		{"an air gap can be looked at all the same", func(c *county) {
			c.mill("24/7", "24/7")
			c.book.Feeds["f2"].FedFrom = "f1"
			c.book.Feeds["f1"].AsLeft = &events.Condition{Service: events.Shut}
			c.assembly("m2", "f2", events.AirGap, 2)
		}, []string{"mill: m2"}, nil},
		{"a window closed all day", func(c *county) {
			c.mill("Su 06:00-07:00")
			c.assembly("m1", "f1", events.DC, 2)
		}, nil, []string{"m1: window"}},
		{"a window that opens when no crew works", func(c *county) {
			c.mill("24/7")
			c.book.Sites["mill"].AccessHours = "19:00-23:00"
			c.assembly("m1", "f1", events.DC, 2)
		}, nil, []string{"m1: window"}},
		{"hours that cannot be read", func(c *county) {
			c.mill("at dawn")
			c.assembly("m1", "f1", events.DC, 2)
		}, nil, []string{"m1: window"}},
		{"a feed that is not on record", func(c *county) {
			c.mill("24/7")
			c.assembly("m1", "f1", events.DC, 2)
			c.book.Assemblies["m1"].Feed = "f9"
		}, nil, []string{"m1: window"}},
		{"another office's job", func(c *county) {
			c.mill("24/7")
			c.assembly("m1", "f1", events.DC, 2)
			c.book.Assemblies["m1"].Office = "south"
		}, nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			c.build(county)
			stops, left := county.collect()
			if !slices.Equal(stops, c.stops) {
				t.Errorf("visits %q, want %q", stops, c.stops)
			}
			if !slices.Equal(left, c.left) {
				t.Errorf("left out %q, want %q", left, c.left)
			}
			county.plan() // passes the check, whatever it is
		})
	}
}

// One job at a mill; what the office knows of it decides whether it is planned.
func TestJobRules(t *testing.T) {
	failedJob := func(change func(*county, *events.Job)) func(*county, *events.Job) {
		return func(c *county, j *events.Job) {
			failed(j)
			change(c, j)
		}
	}
	for _, c := range []struct {
		name  string
		build func(*county, *events.Job)
		left  string // rule; empty: it is planned
		words []string
	}{
		{"ours", func(*county, *events.Job) {}, "", nil},
		{"not known whose", func(_ *county, j *events.Job) { j.Standing = events.Ask }, "standing", []string{"not known", "ask the customer"}},
		{"not before the day from which it counts", func(_ *county, j *events.Job) { j.Earliest = tuesday.AddDays(1) }, "earliest",
			[]string{"before 2026-05-13 does not count", "wait until 2026-05-13"}},
		{"on the day from which it counts", func(_ *county, j *events.Job) { j.Earliest = tuesday }, "", nil},
		{"a retest is never too early", failedJob(func(_ *county, j *events.Job) { j.Earliest = tuesday.AddDays(9) }), "", nil},
		{"out with another day", func(_ *county, j *events.Job) { j.Dispatched = &events.Dispatched{Date: tuesday.AddDays(1)} }, "dispatched",
			[]string{"out with 2026-05-13", "take that day back"}},
		{"out with today, which is not over", func(_ *county, j *events.Job) { j.Dispatched = &events.Dispatched{Date: tuesday.AddDays(-1)} }, "dispatched", nil},
		{"left over from a day that is over", func(_ *county, j *events.Job) { j.Dispatched = &events.Dispatched{Date: tuesday.AddDays(-2)} }, "", nil},
		{"out with this very day", func(_ *county, j *events.Job) { j.Dispatched = &events.Dispatched{Date: tuesday} }, "", nil},
		{"the customer is on hold", func(c *county, _ *events.Job) { c.book.Customers["owner"].OnHold = "has not paid" }, "hold",
			[]string{"nothing is done for The Owner now: has not paid", "off hold"}},
		{"no position", func(c *county, _ *events.Job) { c.book.Sites["mill"].Position = geo.Point{} }, "position", []string{"place the site on the map"}},
		{"the assembly is gone", func(c *county, _ *events.Job) { c.book.Assemblies["m1"].Gone = true }, "stopped", []string{"removed"}},
		{"stopped by a shut-off that would not hold", func(_ *county, j *events.Job) {
			j.Stage, j.Stopped = events.StageStopped, &events.Stop{Outcome: events.OutcomeCouldNotTest, Why: "shut-off-would-not-hold", On: tuesday.AddDays(-7)}
		}, "stopped", []string{"2026-05-05: could not test, shut off would not hold", "book the purveyor to shut the street valve"}},
		{"stopped by a flooded vault", func(_ *county, j *events.Job) {
			j.Stage, j.Stopped = events.StageStopped, &events.Stop{Outcome: events.OutcomeCouldNotTest, Why: "flooded", On: tuesday.AddDays(-7)}
		}, "stopped", []string{"pumped out"}},
		{"a shut-off that would not hold, and the purveyor is booked for the street valve", func(c *county, j *events.Job) {
			j.Stage, j.Stopped = events.StageStopped, &events.Stop{Outcome: events.OutcomeCouldNotTest, Why: "shut-off-would-not-hold", On: tuesday.AddDays(-7)}
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.StreetValve, Feed: "f1", From: clock("09:00"), To: clock("11:00")}}
		}, "", nil},
		{"and for another feed only", func(c *county, j *events.Job) {
			j.Stage, j.Stopped = events.StageStopped, &events.Stop{Outcome: events.OutcomeCouldNotTest, Why: "shut-off-would-not-hold", On: tuesday.AddDays(-7)}
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.StreetValve, Feed: "f2", From: clock("09:00"), To: clock("11:00")}}
		}, "stopped", nil},
		{"a pump-out does not mend a shut-off", func(c *county, j *events.Job) {
			j.Stage, j.Stopped = events.StageStopped, &events.Stop{Outcome: events.OutcomeCouldNotTest, Why: "shut-off-would-not-hold", On: tuesday.AddDays(-7)}
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.PumpOut, From: clock("09:00"), To: clock("11:00")}}
		}, "stopped", nil},
		{"refused by the owner", func(_ *county, j *events.Job) {
			j.Stage, j.Stopped = events.StageStopped, &events.Stop{Outcome: events.OutcomeRefused, On: tuesday.AddDays(-7)}
		}, "stopped", []string{"owner refused", "tell the purveyor"}},

		{"a failure with a yes and its kit", failedJob(func(*county, *events.Job) {}), "", nil},
		{"nobody has said yes to the repair", failedJob(func(_ *county, j *events.Job) { j.Yes = nil }), "repair-yes",
			[]string{"not opened", "ask The Owner for a yes"}},
		{"a standing yes of the customer", failedJob(func(c *county, j *events.Job) { j.Yes, c.book.Customers["owner"].Repair = nil, "yes" }), "", nil},
		{"a standing no, and a yes for this one", failedJob(func(c *county, _ *events.Job) { c.book.Customers["owner"].Repair = "no" }), "", nil},
		{"no part wanted", failedJob(func(_ *county, j *events.Job) { j.Parts, j.Stage = nil, events.StageFailedRetest }), "", nil},
		{"parts without a promised day", failedJob(func(_ *county, j *events.Job) { j.Parts = []events.PartWanted{{Code: "kit-7"}} }), "parts",
			[]string{"nobody has promised a day", "order kit-7"}},
		{"parts ordered, no day promised", failedJob(func(_ *county, j *events.Job) {
			j.Parts = []events.PartWanted{{Code: "kit-7", Ordered: tuesday.AddDays(-5)}}
		}), "parts",
			[]string{"ordered and nobody has promised a day", "ask the supplier when kit-7 comes"}},
		{"parts promised for the day: a promise is no part", failedJob(func(_ *county, j *events.Job) { j.Parts = []events.PartWanted{{Code: "kit-7", Promised: tuesday}} }), "parts",
			[]string{"promised for 2026-05-12 and not reserved", "reserve it for this job when it comes"}},
		{"parts here, for no job yet", failedJob(func(_ *county, j *events.Job) {
			j.Parts = []events.PartWanted{{Code: "kit-7", Promised: tuesday, Received: "k7"}}
		}), "parts",
			[]string{"here and not reserved for this job", "reserve kit-7 for this job"}},
		{"parts reserved", failedJob(func(_ *county, j *events.Job) {
			j.Parts = []events.PartWanted{{Code: "kit-7", Received: "k7", Item: "k7"}}
		}), "", nil},
		{"one reserved, one not ordered", failedJob(func(_ *county, j *events.Job) {
			j.Parts = []events.PartWanted{{Code: "kit-6", Item: "k6"}, {Code: "kit-7"}}
		}), "parts",
			[]string{"wanted", "order kit-7 and"}},
		{"parts promised for a day later", failedJob(func(_ *county, j *events.Job) {
			j.Parts = []events.PartWanted{{Code: "kit-6", Promised: tuesday}, {Code: "kit-7", Promised: tuesday.AddDays(1)}}
		}), "parts", []string{"promised for 2026-05-13", "get kit-6, kit-7 sooner"}},

		{"used again on a day that nobody knows", func(_ *county, j *events.Job) {
			j.Due, j.BeforeUse = events.Date{}, []events.BeforeUse{{Why: events.Vacant}}
		}, "before-use", []string{"nobody knows yet when", "when it is used again"}},
		{"the same, and a list names it", func(_ *county, j *events.Job) { j.BeforeUse = []events.BeforeUse{{Why: events.Vacant}} }, "", nil},
		{"fed through another from a feed that is drained", func(c *county, _ *events.Job) {
			no := false
			c.feed("mill", "street", "24/7").Pressurised = &no
			c.feed("mill", "main", "24/7").FedFrom = "street"
			c.book.Feeds["f1"].FedFrom = "main"
		}, "season", []string{"it is fed from the street: the feed is drained"}},
		{"fed through another from a feed that was left shut", func(c *county, _ *events.Job) {
			c.feed("mill", "street", "24/7").AsLeft = &events.Condition{Service: events.Shut}
			c.feed("mill", "main", "24/7").FedFrom = "street"
			c.book.Feeds["f1"].FedFrom = "main"
		}, "as-left", []string{"it is fed from the street, which was left shut"}},
		{"filled last year", func(c *county, _ *events.Job) {
			yes, f := true, c.book.Feeds["f1"]
			f.Season, f.Pressurised, f.PressurisedAt = "Jul-Oct", &yes, tuesday.AddDays(-300).In(time.UTC)
		}, "season", []string{"and its season has ended since"}},
		{"drained", func(c *county, _ *events.Job) { no := false; c.book.Feeds["f1"].Pressurised = &no }, "season", []string{"drained"}},
		{"out of season", func(c *county, _ *events.Job) { c.book.Feeds["f1"].Season = "Jun-Sep" }, "season", []string{"out of season (Jun-Sep)"}},
		{"in season", func(c *county, _ *events.Job) { c.book.Feeds["f1"].Season = "Apr-Oct" }, "", nil},
		{"out of season and known to be filled", func(c *county, _ *events.Job) {
			yes := true
			c.book.Feeds["f1"].Season, c.book.Feeds["f1"].Pressurised = "Jun-Sep", &yes
		}, "", nil},
		{"in season and known to be drained", func(c *county, _ *events.Job) {
			no := false
			c.book.Feeds["f1"].Season, c.book.Feeds["f1"].Pressurised = "Apr-Oct", &no
		}, "season", nil},

		// Planned on Monday, 11 May, for Tuesday.
		{"a day's notice is still possible", func(c *county, _ *events.Job) { c.book.Sites["mill"].NoticeDays = 1 }, "", nil},
		{"two days' notice is too late", func(c *county, _ *events.Job) { c.book.Sites["mill"].NoticeDays = 2 }, "notice",
			[]string{"needs 2 days' notice", "agree a time for 2026-05-12 with the site, which wants 2 days' notice; then it fits with Crew A"}},
		{"notice given in time", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].NoticeDays, c.book.Sites["mill"].Notice = 2, &events.Notice{Given: tuesday.AddDays(-2)}
		}, "", nil},
		{"notice given a day late", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].NoticeDays, c.book.Sites["mill"].Notice = 2, &events.Notice{Given: tuesday.AddDays(-1)}
		}, "notice", nil},
		{"notice given for another day", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].NoticeDays, c.book.Sites["mill"].Notice = 2, &events.Notice{Given: tuesday.AddDays(-5), For: tuesday.AddDays(-1)}
		}, "notice", nil},
		{"notice given for this day", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].NoticeDays, c.book.Sites["mill"].Notice = 2, &events.Notice{Given: tuesday.AddDays(-5), For: tuesday}
		}, "", nil},
		{"too late, but a time is agreed", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].NoticeDays = 2
			c.book.Sites["mill"].Agreed = []events.AgreedTime{{From: clock("09:00"), To: clock("10:00")}}
		}, "", nil},
		{"too late, and a time is agreed for the next day", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].NoticeDays = 2
			c.book.Sites["mill"].Agreed = []events.AgreedTime{{From: clock("+09:00"), To: clock("+10:00")}}
		}, "notice", nil},

		// What others bring.
		{"the purveyor is wanted at the street valve and nobody is booked", func(c *county, _ *events.Job) {
			c.book.Feeds["f1"].Needs = []events.Need{{What: events.StreetValve, Whom: "County Water, dispatch"}}
		}, "booking", []string{"only the purveyor works the street valve, and nobody is booked for that day", "book the purveyor at the street valve (County Water, dispatch) for the day; then it fits with Crew A"}},
		{"another feed wants it", func(c *county, _ *events.Job) { c.book.Feeds["f2"].Needs = []events.Need{{What: events.StreetValve}} }, "", nil},
		{"booked for the day", func(c *county, _ *events.Job) {
			c.book.Feeds["f1"].Needs = []events.Need{{What: events.StreetValve}}
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.StreetValve, From: clock("09:00"), To: clock("11:00")}}
		}, "", nil},
		{"booked for two days later, so that day is wanted", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.Escort, From: clock("+09:00").AddDate(0, 0, 1), To: clock("+11:00").AddDate(0, 0, 1)}}
		}, "booked", []string{"someone of the site must go with the crew, and that is booked for 2026-05-14", "by itself it fits on Thursday 2026-05-14 with Crew A"}},
		{"booked for days that are over", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.Escort, From: clock("09:00").AddDate(0, 0, -3), To: clock("11:00").AddDate(0, 0, -3)}}
		}, "", nil},
		{"booked for shorter than the work takes", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.StreetValve, From: clock("09:00"), To: clock("09:10")}}
		}, "window", []string{"18 min with the water off fit nowhere", "the purveyor at the street valve is booked 09:00 to 09:10"}},
		{"two who are never there at once", func(c *county, _ *events.Job) {
			c.book.Sites["mill"].Booked = []events.Booking{{What: events.StreetValve, From: clock("08:00"), To: clock("10:00")}, {What: events.Escort, From: clock("10:00"), To: clock("12:00")}}
		}, "window", nil},

		{"left out by the dispatcher", func(c *county, _ *events.Job) { c.wish(events.Wish{Site: "mill", Out: true, Why: "they have guests"}) }, "wish",
			[]string{"left out by the dispatcher: they have guests", "put it back"}},
		{"another feed is left out by the dispatcher", func(c *county, _ *events.Job) { c.wish(events.Wish{Site: "mill", Feed: "f2", Out: true, Why: "rain"}) }, "", nil},
		{"held for a crew that is off", func(c *county, _ *events.Job) {
			c.crew("b", "g2", "bo").Off = []events.CrewOff{{Date: tuesday, Why: "a course"}}
			c.wish(events.Wish{Site: "mill", Hold: true, Crew: "b"})
		}, "wish", []string{"held for Crew B, which does not work that day: a course", "give it to another crew"}},
		{"given to two crews", func(c *county, _ *events.Job) {
			c.crew("b", "g2", "bo")
			c.wish(events.Wish{Site: "mill", Feed: "f1", Crew: "a"})
			c.wish(events.Wish{Site: "mill", Crew: "b"})
		}, "wish", []string{"it is given both to Crew A and to Crew B", "take one of the two wishes back"}},
		{"given to one crew twice", func(c *county, _ *events.Job) {
			c.wish(events.Wish{Site: "mill", Feed: "f1", Crew: "a"})
			c.wish(events.Wish{Site: "mill", Crew: "a", Hold: true})
		}, "", nil},
		{"held for a crew that may not do it", func(c *county, _ *events.Job) {
			c.crew("b", "g2", "helper")
			c.wish(events.Wish{Site: "mill", Hold: true, Crew: "b"})
		}, "wish", []string{"held for Crew B, which may not do it"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			county.mill("24/7", "24/7")
			c.build(county, county.assembly("m1", "f1", events.DC, 2))
			plan := county.plan()
			if c.left == "" {
				county.visit(plan, "m1")
				return
			}
			county.wantLeft(plan, "m1", c.left, c.words...)
			if len(plan.LeftOut) != 1 {
				t.Errorf("left out: %+v", plan.LeftOut)
			}
		})
	}
}

// What is over or not ours is no job of the day at all: not planned, not left out.
func TestJobsThatAreNoMatter(t *testing.T) {
	for _, change := range []func(*events.Job){
		func(j *events.Job) { j.Standing = events.NotOurs },
		func(j *events.Job) { j.Stage = events.StagePassed },
		func(j *events.Job) { j.Stage = events.StageReported },
		func(j *events.Job) { j.Stage = events.StageAccepted },
		func(j *events.Job) { j.Stage = events.StageWithdrawn },
	} {
		c := newCounty(t)
		c.mill("24/7")
		change(c.assembly("m1", "f1", events.DC, 2))
		if stops, left := c.collect(); len(stops)+len(left) > 0 {
			t.Errorf("visits %q, left out %q", stops, left)
		}
	}
}

func TestWishesOnParts(t *testing.T) {
	c := newCounty(t)
	c.crew("b", "g2", "bo")
	c.mill("06:00-07:00", "13:00-14:00")
	c.assembly("m1", "f1", events.DC, 2)
	c.assembly("m2", "f2", events.DC, 2)
	c.wish(events.Wish{Site: "mill", Feed: "f2", Hold: true, Crew: "b"})
	for _, p := range c.stops() {
		if held := p.Key == "mill~f2"; p.Hold != held || (p.Crew == "b") != held {
			t.Errorf("%s: hold %v for %q", p.Key, p.Hold, p.Crew)
		}
	}
	v, crew := c.visit(c.plan(), "m2")
	if crew != "b" || !v.Hold {
		t.Errorf("the held part is done by %s, shown as held: %v", crew, v.Hold)
	}
	c.wish(events.Wish{Site: "mill", Feed: "f1", Out: true, Why: "the dish machine runs"})
	if stops, left := c.collect(); !slices.Equal(stops, []string{"mill~f2: m2"}) || !slices.Equal(left, []string{"m1: wish"}) {
		t.Errorf("visits %q, left out %q", stops, left)
	}
}

func TestNeeds(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(*county, *events.Job)
		want  string
	}{
		{"a test", func(*county, *events.Job) {}, "gauge for water, test for water"},
		{"irrigation does with a gauge that has been on bad water", func(c *county, _ *events.Job) { c.book.Assemblies["m1"].Service = events.Irrigation },
			"gauge, also non-potable, for water, test for water"},
		{"a service that is not known does not", func(c *county, _ *events.Job) { c.book.Assemblies["m1"].Service = "" }, "gauge for water, test for water"},
		{"a fire feed", func(c *county, _ *events.Job) { c.book.Feeds["f1"].Fire = true }, "fire, gauge for water, test for water"},
		{"an open pit", func(c *county, _ *events.Job) { c.book.Assemblies["m1"].Vault = events.OpenVault }, "gauge for water, test for water"},
		// An attendant stays outside for the whole entry: 29 CFR 1910.146(d)(6), from memory.
		{"a permit vault has an attendant", func(c *county, _ *events.Job) { c.book.Assemblies["m1"].Vault = events.PermitVault },
			"2 people, gauge for water, test in a permit vault for water"},
		{"a repair", func(_ *county, j *events.Job) { failed(j) }, "gauge for water, repair, test for water"},
		{"a large repair takes two people (common practice)", func(c *county, j *events.Job) { failed(j); c.book.Assemblies["m1"].Size = events.InchSize(6, 0) },
			"2 people, gauge for water, repair, test for water"},
		{"a repair of a size that is not known too", func(c *county, j *events.Job) { failed(j); c.book.Assemblies["m1"].Size = 0 },
			"2 people, gauge for water, repair, test for water"},
		{"a large repair in a permit vault takes three", func(c *county, j *events.Job) {
			failed(j)
			c.book.Assemblies["m1"].Size, c.book.Assemblies["m1"].Vault = events.InchSize(6, 0), events.PermitVault
		}, "3 people, gauge for water, repair in a permit vault, test in a permit vault for water"},
		{"a repair kit that is on a truck", func(_ *county, j *events.Job) { failed(j); j.Parts[0].Where = "a" }, "gauge for water, repair, test for water, truck a"},
		{"an air gap is looked at without a gauge", func(c *county, _ *events.Job) { c.book.Assemblies["m1"].Type = events.AirGap }, "test for water"},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			county.mill("24/7")
			c.build(county, county.assembly("m1", "f1", events.DC, 2))
			stops := county.stops()
			if len(stops) != 1 {
				t.Fatalf("%d visits", len(stops))
			}
			if got := strings.Join(stops[0].Needs, ", "); got != c.want {
				t.Errorf("needs %q, want %q", got, c.want)
			}
		})
	}
}

// Durations are the middle of the planning table that is common practice: a 2 in DC 15 to 20 minutes, an RP 20 to 30, the
// bypass of a detector 15 to 25 more, fire-line calls 15 to 30 more, vault entry 30 to 60 more.
func TestTimetable(t *testing.T) {
	for _, c := range []struct {
		name   string
		kind   events.AssemblyType
		inches int
		build  func(*county, *events.Job)
		want   planner.Timetable
	}{
		{"a small DC", events.DC, 2, nil, planner.Timetable{Before: 8, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 18}}, After: 7}},
		{"a small RP", events.RP, 1, nil, planner.Timetable{Before: 8, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 25}}, After: 7}},
		{"a PVB", events.PVB, 1, nil, planner.Timetable{Before: 8, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 15}}, After: 7}},
		{"a middling RP", events.RP, 4, nil, planner.Timetable{Before: 8, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 40}}, After: 7}},
		{"a size that is not known counts as large", events.DC, 0, nil, planner.Timetable{Before: 8, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 50}}, After: 7}},
		{"a detector's bypass with the main in service, after the calls", events.DCDA, 6, func(c *county, _ *events.Job) { c.book.Feeds["f1"].Fire = true },
			planner.Timetable{Before: 28, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 50, Wet: 20}}, After: 7}},
		{"a vault", events.DC, 2, func(c *county, _ *events.Job) { c.book.Assemblies["m1"].Vault = events.OpenVault },
			planner.Timetable{Before: 48, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 18}}, After: 7}},
		{"a repair", events.RP, 2, func(_ *county, j *events.Job) { failed(j) }, planner.Timetable{Before: 8, Feeds: []planner.FeedTime{{Feed: "f1", Dry: 45}}, After: 7}},
		{"an air gap", events.AirGap, 2, nil, planner.Timetable{Before: 18, After: 7}},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			county.mill("24/7")
			job := county.assembly("m1", "f1", c.kind, c.inches)
			if c.build != nil {
				c.build(county, job)
			}
			got := county.stops()[0].Timetable
			if got.Before != c.want.Before || got.After != c.want.After || !slices.Equal(got.Feeds, c.want.Feeds) {
				t.Errorf("got %+v, want %+v", got, c.want)
			}
		})
	}
}

// A crew whose last day as registered, certified or licensed is the day may work; a gauge's certificate does not count on
// its anniversary, the stricter of two readings.
func TestExpiry(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(*county)
		left  string
		words string
	}{
		{"certificate, last day", func(c *county) { c.book.People["bo"].Credentials[0].Until = tuesday }, "", ""},
		{"certificate expired", func(c *county) { c.book.People["bo"].Credentials[0].Until = tuesday.AddDays(-1) }, "certificate", "a valid certificate and registration for County Water"},
		{"registration, last day", func(c *county) { c.book.People["bo"].Registrations[0].Until = tuesday }, "", ""},
		{"registration expired", func(c *county) { c.book.People["bo"].Registrations[0].Until = tuesday.AddDays(-1) }, "certificate", "registration for County Water"},
		{"registered is one, certified the other", func(c *county) {
			c.book.People["bo"].Registrations = nil
			c.book.Crews["b"].People = []events.PersonID{"bo", "helper"}
		}, "certificate", "registration"},
		{"a purveyor that wants no registration", func(c *county) {
			c.book.People["bo"].Registrations, c.book.Gauges["g2"].RegisteredWith = nil, nil
			c.book.Assemblies["m1"].Purveyor = "lake"
		}, "", ""},
		{"gauge, a day before its anniversary", func(c *county) { c.book.Gauges["g2"].CertifiedUntil = tuesday.AddDays(1) }, "", ""},
		{"gauge on its anniversary", func(c *county) { c.book.Gauges["g2"].CertifiedUntil = tuesday }, "gauge", "gauge valid that day"},
		{"gauge dropped", func(c *county) { c.book.Gauges["g2"].Dropped = "off a ladder" }, "gauge", "gauge valid that day"},
		{"gauge not registered there", func(c *county) { c.book.Gauges["g2"].RegisteredWith = []events.PurveyorID{"lake"} }, "gauge", "accepted by County Water"},
		{"gauge that has been on bad water", func(c *county) { c.book.Gauges["g2"].Potable = false }, "gauge", "a potable gauge"},
		{"a purveyor that is not known", func(c *county) { c.book.Assemblies["m1"].Purveyor = "moon" }, "gauge", "moon"},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			delete(county.book.Crews, "a")
			county.crew("b", "g2", "bo")
			county.mill("24/7")
			county.assembly("m1", "f1", events.DC, 2)
			c.build(county)
			plan := county.plan()
			if c.left == "" {
				county.visit(plan, "m1")
				return
			}
			county.wantLeft(plan, "m1", c.left, "1 of 1 crews", c.words)
		})
	}
}

// Notice is a matter of the site's own date: at 23:30 on the Sunday in New York it is Monday in Sydney.
func TestNoticeGoesByTheSitesDate(t *testing.T) {
	c := newCounty(t)
	c.mill("24/7")
	c.assembly("m1", "f1", events.DC, 2)
	c.book.Sites["mill"].NoticeDays = 2
	c.now = clock("23:30").AddDate(0, 0, -2)
	if stops, _ := c.collect(); len(stops) != 1 {
		t.Error("on the Sunday two days' notice is still possible for Tuesday")
	}
	c.book.Sites["mill"].Zone, c.book.Sites["mill"].AccessHours = "Australia/Sydney", "24/7"
	if _, left := c.collect(); !slices.Equal(left, []string{"m1: notice"}) {
		t.Errorf("in Sydney it is too late: left out %q", left)
	}
}

// A crew that works at night: Tuesday's work goes on until Wednesday morning, in Tuesday's window and in Wednesday's.
func TestNightCrew(t *testing.T) {
	c := newCounty(t)
	c.book.Crews["a"].Hours = "Mo-Su 22:00-06:00"
	c.mill("Mo-Su 23:00-02:00")
	c.book.Sites["mill"].AccessHours = "24/7"
	c.assembly("m1", "f1", events.DC, 2)
	c.site("bakery", 40.06, "Mo-Su 03:00-05:00")
	c.feed("bakery", "b", "Mo-Su 03:00-05:00")
	c.assembly("b1", "b", events.DC, 2)
	c.site("shop", 40.07, "Mo-Su 09:00-17:00")
	c.feed("shop", "s", "24/7")
	c.assembly("s1", "s", events.DC, 2)
	plan := c.plan()
	mill, _ := c.visit(plan, "m1")
	if off := c.off(mill, "f1"); off.From.Before(clock("23:00")) || off.To.After(clock("+02:00")) {
		t.Errorf("the mill is dry from %s to %s", off.From, off.To)
	}
	bakery, _ := c.visit(plan, "b1")
	if bakery.Arrive.Before(clock("+03:00")) || bakery.Leave.After(clock("+05:00")) {
		t.Errorf("at the bakery from %s to %s", bakery.Arrive, bakery.Leave)
	}
	c.wantLeft(plan, "s1", "window", "while crews work that day")
}

// Windows are meant on the clock of the site, whatever the crew's says.
func TestSiteInAnotherZone(t *testing.T) {
	c := newCounty(t)
	c.mill("09:00-11:00")
	c.book.Sites["mill"].Zone = "America/Denver" // two hours behind: 11:00 to 13:00 for the crew
	c.assembly("m1", "f1", events.DC, 2)
	v, _ := c.visit(c.plan(), "m1")
	if off := c.off(v, "f1"); off.From.Before(clock("11:00")) || off.To.After(clock("13:00")) {
		t.Errorf("dry from %s to %s", off.From.In(clock("11:00").Location()), off.To)
	}
	c.book.Sites["mill"].Zone = "Asia/Tokyo" // 20:00 to 22:00 on Monday and again on Tuesday
	c.wantLeft(c.plan(), "m1", "window")
}

func TestDaysLeftAndWorth(t *testing.T) {
	s := planner.DefaultSettings()
	due := events.Job{Stage: events.StageDue, Due: tuesday.AddDays(5)}
	failure := events.Job{Stage: events.StageFailedRetest, Due: tuesday.AddDays(50), Failure: &events.Failure{RetestBy: events.Deadline{Known: true, On: tuesday.AddDays(3)}}}
	unknown := events.Job{Stage: events.StageFailedRetest, Due: tuesday.AddDays(50), Failure: &events.Failure{}}
	late := events.Job{Stage: events.StageDue, Due: tuesday.AddDays(-1)}
	none := events.Job{Stage: events.StageDue}
	for _, c := range []struct {
		name string
		job  *events.Job
		left int
		usd  float64
	}{
		{"due in five days", &due, 5, 75 + 130},
		{"a failure counts from its retest deadline, and twice", &failure, 3, 75 + 2*130},
		{"a failure with a rule that is not known is pressing", &unknown, 2, 75 + 2*200},
		{"late", &late, -1, 75 + 320},
		{"no date", &none, 60, 75 + 15},
	} {
		t.Run(c.name, func(t *testing.T) {
			if left := s.DaysLeft(c.job, tuesday); left != c.left {
				t.Errorf("%d days left, want %d", left, c.left)
			}
			if usd := s.Worth(c.job, tuesday).USD(); usd != c.usd {
				t.Errorf("worth %.2f USD, want %.2f", usd, c.usd)
			}
		})
	}
}

// A job is worth no less for having waited a day.
func TestWorthNeverFalls(t *testing.T) {
	s := planner.DefaultSettings()
	for _, j := range []events.Job{{Stage: events.StageDue, Due: tuesday},
		{Stage: events.StageFailedRetest, Failure: &events.Failure{RetestBy: events.Deadline{Known: true, On: tuesday}}}} {
		for day := -400; day < 20; day++ {
			if s.Worth(&j, tuesday.AddDays(day)) > s.Worth(&j, tuesday.AddDays(day+1)) {
				t.Errorf("worth less a day later, %d days from its date", day)
			}
		}
	}
}

func TestUnreadableCrewHoursStopThePlan(t *testing.T) {
	c := newCounty(t)
	c.book.Crews["a"].Hours = "when they like"
	if _, _, err := planner.CollectStops(c.request()); err == nil || !strings.Contains(err.Error(), "crews of 2026-05-12") {
		t.Errorf("got %v", err)
	}
}

func TestCrewsThatDoNotWork(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(*events.Crew)
	}{
		{"off", func(x *events.Crew) { x.Off = []events.CrewOff{{Date: tuesday, Why: "leave"}} }},
		{"off, nobody says why", func(x *events.Crew) { x.Off = []events.CrewOff{{Date: tuesday}} }},
		{"not on Tuesdays", func(x *events.Crew) { x.Hours = "We 06:00-16:00" }},
		{"no home", func(x *events.Crew) { x.Home = geo.Point{} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			county.mill("24/7")
			county.assembly("m1", "f1", events.DC, 2)
			c.build(county.book.Crews["a"])
			plan := county.plan()
			county.wantLeft(plan, "m1", "window", "no crew works that day")
			if len(plan.Routes) != 1 || len(plan.Routes[0].Visits) != 0 {
				t.Errorf("routes: %+v", plan.Routes)
			}
		})
	}
}

// A site that is shut on the day for a public holiday has no hours that could be longer.
func TestNoLongerHoursOnAHoliday(t *testing.T) {
	c := newCounty(t)
	c.mill("Mo-Fr 08:00-16:00; PH off")
	site := c.book.Sites["mill"]
	site.Region, site.AccessHours = "US", "Mo-Fr 08:00-16:00; PH off"
	july := events.NewDate(2026, time.July, 3) // Independence Day as observed, 5 U.S.C. 6103(b)
	b, err := planner.Suppose(c.book, office, july, planner.Supposition{What: planner.SupposeWider, Site: "mill", Minutes: 60})
	if err != nil {
		t.Fatal(err)
	}
	if got := b.Sites["mill"].AccessHours; strings.Contains(got, "Jul 03") {
		t.Errorf("on the holiday the site would be open: %s", got)
	}
}
