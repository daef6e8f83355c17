package planner_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"valveround/events"
	"valveround/planner"
)

// shop is a site with one DC, due on the day, as far north as is said.
func (c *county) shop(id events.SiteID, lat float64, window string) *events.Job {
	c.site(id, lat, "24/7")
	c.feed(id, events.FeedID(id), window)
	job := c.assembly(events.AssemblyID(id), events.FeedID(id), events.DC, 2)
	job.Due = tuesday
	return job
}

func TestReasons(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(*county) // "x" is left out
		rule  string
		words []string
	}{
		// A day of 80 minutes holds one visit of 33 and the drives, not two; 15 more are too few and 30 enough.
		{"no room: the day is too short", func(c *county) {
			c.book.Crews["a"].Hours, c.book.Crews["a"].OvertimeMinutes = "Mo-Fr 07:00-08:20", 0
			c.shop("w", 40.05, "24/7").Due = tuesday.AddDays(-1)
			c.shop("x", 40.06, "24/7")
		}, "no-room", []string{"no room: the nearest is Crew A, whose day would have to be", "fits with Crew A if its day may be 30 min longer"}},
		{"no room: at that hour the crew is elsewhere", func(c *county) {
			c.shop("w", 40.05, "Mo-Fr 10:00-10:30").Due = tuesday.AddDays(-1)
			c.shop("x", 40.15, "Mo-Fr 10:00-10:30")
		}, "no-room", []string{"no room: when the water may be off there, every crew that may do it is at other work", "fits with Crew A if the x may be dry from 09:04 instead of 10:00"}},
		{"no room on this day, but on the next", func(c *county) {
			c.book.Crews["a"].Hours, c.book.Crews["a"].OvertimeMinutes = "Mo-Fr 06:00-11:20", 0
			failed(c.shop("w", 40.05, "24/7"))
			c.book.Assemblies["w"].Size = events.InchSize(8, 0) // three hours' repair
			failed(c.shop("x", 40.06, "24/7"))
			c.book.Assemblies["x"].Size = events.InchSize(8, 0)
			c.book.Assemblies["x"].Jobs[0].Failure.RetestBy.On = tuesday.AddDays(20)
		}, "no-room", []string{"by itself it fits on Wednesday 2026-05-13 with Crew A"}},
		{"the next day is out already, so the day after", func(c *county) {
			c.book.Crews["a"].Hours, c.book.Crews["a"].OvertimeMinutes = "Mo-Fr 06:00-11:20", 0
			failed(c.shop("w", 40.05, "24/7"))
			c.book.Assemblies["w"].Size = events.InchSize(8, 0)
			failed(c.shop("x", 40.06, "24/7"))
			c.book.Assemblies["x"].Size = events.InchSize(8, 0)
			c.book.Assemblies["x"].Jobs[0].Failure.RetestBy.On = tuesday.AddDays(20)
			next := tuesday.AddDays(1)
			c.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: next.String()}] = &events.Day{Office: office, Date: next, Sent: &events.SentOut{Date: next}}
		}, "no-room", []string{"by itself it fits on Thursday 2026-05-14 with Crew A"}},
		{"too dear", func(c *county) {
			c.shop("x", 41.5, "24/7").Due = tuesday.AddDays(90)
		}, "too-dear", []string{"Crew A could do it, but that adds", "it is worth 60.75 USD that day", "hold it with Crew A, stop 1 at"}},
		{"longer than the day, even alone", func(c *county) {
			c.book.Crews["a"].Hours, c.book.Crews["a"].OvertimeMinutes = "Mo-Fr 07:00-07:30", 0
			c.shop("x", 40.05, "24/7")
		}, "hours", []string{"even alone it takes", "longer than Crew A works", "fits with Crew A if its day may be 30 min longer"}},
		{"too far for the day", func(c *county) {
			failed(c.shop("x", 48, "24/7"))
		}, "window", []string{"even alone Crew A cannot be there when it may begin, 00:00 to 23:00, and back in time", "none of the changes tried"}},
		{"every crew lacks something", func(c *county) {
			c.crew("b", "g2", "bo")
			c.crew("a", "g1", "ann")
			failed(c.shop("x", 40.05, "24/7"))
			c.book.Assemblies["x"].Size = events.InchSize(6, 0)
		}, "people", []string{"2 of 2 crews that day lack two people", "it fits with Crew A if it has two people"}},
		{"one crew lacks two things, another three", func(c *county) {
			c.crew("b", "g2", "bo")
			c.crew("a", "g1", "helper")
			c.book.Crews["a"].Gauges = nil
			failed(c.shop("x", 40.05, "24/7"))
			c.book.Assemblies["x"].Size = events.InchSize(6, 0)
		}, "people", []string{"2 of 2 crews that day lack two people", "it fits with Crew B if it has two people; and a valid repair licence"}},
		{"minutes of window that are missing", func(c *county) {
			c.shop("x", 40.05, "Mo-Fr 10:00-10:10")
		}, "window", []string{"18 min with the water off fit nowhere while crews work that day: the shutdown window is Mo-Fr 10:00-10:10 and access is 24/7",
			"it fits with Crew A if the x may be dry from 09:45 instead of 10:00"}},
		{"an agreed time that is too short", func(c *county) {
			c.shop("x", 40.05, "24/7")
			c.book.Sites["x"].Agreed = []events.AgreedTime{{From: clock("10:00"), To: clock("10:10")}}
		}, "window", []string{"the time agreed is 10:00 to 10:10"}},
		{"closed", func(c *county) { c.shop("x", 40.05, "Sa-Su 10:00-12:00") }, "window", []string{"agree a time with the site, or plan a day on which it is open"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			c.build(county)
			county.wantLeft(county.plan(), "x", c.rule, c.words...)
		})
	}
}

// The minutes that a day is too short are exact: with that much overtime, rounded up, the visit fits; a minute less is not enough.
func TestTheDayIsTooShortByJustThat(t *testing.T) {
	build := func(overtime int) (*county, planner.Plan) {
		c := newCounty(t)
		c.book.Crews["a"].Hours, c.book.Crews["a"].OvertimeMinutes = "Mo-Fr 07:00-08:40", overtime
		failed(c.shop("w", 40.05, "24/7")) // 45 min of repair, worth more
		c.shop("x", 40.06, "24/7")
		c.book.Assemblies["w"].Size = events.InchSize(2, 0)
		return c, c.plan()
	}
	_, plan := build(0)
	var minutes int
	for _, l := range plan.LeftOut {
		at := strings.Index(l.Reason, "would have to be ")
		if at < 0 {
			t.Fatalf("left out: %+v", l)
		}
		if n, err := fmt.Sscanf(l.Reason[at:], "would have to be %d min", &minutes); n != 1 {
			t.Fatalf("%q: %v", l.Reason, err)
		}
	}
	if _, plan = build(minutes - 1); len(plan.LeftOut) != 1 {
		t.Errorf("%d min of overtime are enough already", minutes-1)
	}
	c, plan := build(minutes + 1)
	order := planner.OrderOf(plan)
	if len(plan.LeftOut) == 1 { // it may be too dear; it can be done
		order["a"] = []string{"w", "x"}
	}
	if _, err := planner.Arrange(context.Background(), c.request(), order); err != nil {
		t.Errorf("%d min of overtime are not enough: %v", minutes+1, err)
	}
}

// An order that a person asks for is refused in words that say what is in the way.
func TestRefusedOrders(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(*county)
		order planner.Order
		words string
	}{
		{"too late for the window", nil, planner.Order{"a": {"late", "early"}}, "Crew A would reach The early too late: work there may begin 06:52 to 07:34"},
		{"longer than the day", func(c *county) { c.book.Crews["a"].Hours, c.book.Crews["a"].OvertimeMinutes = "Mo-Fr 07:00-08:00", 0 }, planner.Order{"a": {"early", "any"}},
			"Crew A would be back after its working time and overtime"},
		{"a crew that lacks something", func(c *county) { c.crew("b", "g2", "helper") }, planner.Order{"b": {"any"}},
			"Crew B may not do The any: it lacks a tester with a valid certificate and registration for County Water"},
		{"held for another", func(c *county) {
			c.crew("b", "g2", "bo")
			c.wish(events.Wish{Site: "any", Crew: "b", Hold: true})
		}, planner.Order{"a": {"any"}}, "The any is held for another crew"},
		{"a crew that is off", func(c *county) { c.book.Crews["a"].Off = []events.CrewOff{{Date: tuesday, Why: "leave"}} }, planner.Order{"a": {"any"}},
			"Crew A does not work that day: leave"},
		{"a visit that is not there any more", func(c *county) { c.book.Assemblies["any"].Jobs[0].Stage = events.StagePassed }, planner.Order{"a": {"any"}},
			"any is not one that can be planned that day any more: plan the day again"},
		{"two legs by two crews", func(c *county) {
			c.crew("b", "g2", "bo")
			c.site("hospital", 40.05, "24/7")
			c.feed("hospital", "east", "06:00-08:00").Manifold = "cold"
			c.feed("hospital", "west", "12:00-14:00").Manifold = "cold"
			c.assembly("e", "east", events.RP, 2)
			c.assembly("f", "west", events.RP, 2)
		}, planner.Order{"a": {"hospital~east"}, "b": {"hospital~west"}}, "The hospital hangs together with a feed on another route, and the two must not be dry at once"},
	} {
		t.Run(c.name, func(t *testing.T) {
			county := newCounty(t)
			county.shop("early", 40.05, "07:00-08:00")
			county.shop("late", 40.06, "12:00-14:00")
			county.shop("any", 40.07, "24/7")
			if c.build != nil {
				c.build(county)
			}
			_, err := planner.Arrange(context.Background(), county.request(), c.order)
			var cannot *planner.ErrCannot
			if !errors.As(err, &cannot) || !strings.Contains(err.Error(), c.words) {
				t.Errorf("got %v, want %q", err, c.words)
			}
		})
	}
}

// What is not in an order is left out and explained, as in a plan; nothing is counted twice.
func TestArrangeExplainsTheRest(t *testing.T) {
	c := newCounty(t)
	c.shop("one", 40.05, "24/7")
	c.shop("two", 40.06, "24/7")
	plan, err := planner.Arrange(context.Background(), c.request(), planner.Order{"a": {"two"}})
	if err != nil {
		t.Fatal(err)
	}
	passes(t, c.request(), plan)
	c.wantLeft(plan, "one", "not-placed", "Crew A has room for it", "hold it with Crew A, stop 1 at")
	if _, crew := c.visit(plan, "two"); crew != "a" {
		t.Errorf("done by %s", crew)
	}
	if want := c.settings.Worth(&c.book.Assemblies["one"].Jobs[0], tuesday); plan.Cost.LeftOut != want {
		t.Errorf("left out costs %d, want %d", plan.Cost.LeftOut, want)
	}
}
