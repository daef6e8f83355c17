package planner_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
)

// lateDay is a fire line at 08:00, a bakery that must have its water back by 10:15, and a school that is open long; crew A
// has all three.
func lateDay(t *testing.T) (*county, events.DayRoute) {
	c := newCounty(t)
	c.site("mill", 40.05, "24/7")
	c.feed("mill", "sprinklers", "08:00-09:40").Fire = true
	c.assembly("d1", "sprinklers", events.DCDA, 8)
	c.site("bakery", 40.06, "24/7")
	c.feed("bakery", "oven", "09:20-10:15")
	c.assembly("b1", "oven", events.RP, 1)
	c.site("school", 40.07, "24/7")
	c.feed("school", "s", "10:00-15:00")
	c.assembly("s1", "s", events.DC, 2)
	day := c.plan().Day()
	if len(day.Routes) != 1 || len(day.Routes[0].Visits) != 3 || day.Routes[0].Visits[0].Site != "mill" {
		t.Fatalf("the day is %+v", day.Routes)
	}
	c.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: tuesday.String()}] = &events.Day{Office: office, Date: tuesday, Sent: &day}
	return c, day.Routes[0]
}

func TestExpectAndLate(t *testing.T) {
	c, route := lateDay(t)
	mill, bakery := route.Visits[0], route.Visits[1]
	length := mill.Leave.Sub(mill.Arrive)
	after := mill.Leave.Sub(mill.WaterOff[0].From)
	come := func() { c.book.Sites["mill"].Here = &events.Presence{Crew: "a", Since: mill.Arrive} }
	done := func() {
		j := &c.book.Assemblies["d1"].Jobs[0]
		j.Stage, j.Attempts = events.StagePassed, []events.Attempt{{On: tuesday, Crew: "a", Outcome: events.OutcomePassed}}
	}
	for _, x := range []struct {
		name   string
		now    time.Time
		change func()
		leave  time.Time // of the mill; zero: it is over, or nothing is expected
		late   string    // sites that fit no more
	}{
		{"nothing was heard of the crew", mill.Arrive.Add(2 * time.Hour), func() {}, time.Time{}, ""},
		{"it has come, in time", mill.Arrive, come, mill.Arrive.Add(length), ""},
		{"35 min after the water should be off it is not", mill.WaterOff[0].From.Add(35 * time.Minute), come, mill.Leave.Add(35 * time.Minute), "bakery"},
		{"the water went off 35 min late", mill.Leave, func() { come(); c.book.Feeds["sprinklers"].DrySince = mill.WaterOff[0].From.Add(35 * time.Minute) },
			mill.WaterOff[0].From.Add(35*time.Minute + after), "bakery"},
		{"the water went off in time", mill.Leave.Add(-time.Minute), func() { come(); c.book.Feeds["sprinklers"].DrySince = mill.WaterOff[0].From }, mill.Leave, ""},
		{"it is done and the crew is gone", mill.Leave, func() { done(); c.book.Sites["mill"].Gone = &events.Presence{Crew: "a", Since: mill.Leave} }, time.Time{}, ""},
		{"it is done and the crew leaves very late", mill.Leave.Add(2 * time.Hour), func() {
			done()
			c.book.Sites["mill"].Gone = &events.Presence{Crew: "a", Since: mill.Leave.Add(2 * time.Hour)}
		}, time.Time{}, "bakery"},
		{"it is another day", mill.Arrive.AddDate(0, 0, 1), come, time.Time{}, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			c, _ = lateDay(t)
			x.change()
			got := planner.Expect(c.book, tuesday, route, x.now, c.settings)
			if x.leave.IsZero() != got[0].Over || !got[0].Over && !got[0].Leave.Equal(x.leave) {
				t.Errorf("the mill is left %s (over %v), want %s", got[0].Leave, got[0].Over, x.leave)
			}
			doubts, err := planner.Doubts(c.book, office, tuesday, x.now, c.settings)
			if err != nil {
				t.Fatal(err)
			}
			var late []string
			for _, d := range doubts {
				if d.Rule == "late" {
					late = append(late, string(d.Site))
				}
			}
			if strings.Join(late, " ") != x.late {
				t.Errorf("late: %v, want %q: %+v", late, x.late, doubts)
			}
			if !got[1].Over && got[1].Reached.Before(bakery.Arrive) {
				t.Errorf("the bakery is reached %s, before it was planned", got[1].Reached)
			}
		})
	}
}

// A crew that would be home long after its hours and overtime says so once, without a site.
func TestLateHome(t *testing.T) {
	c, route := lateDay(t)
	c.book.Feeds["s"].ShutdownWindow = "10:00-20:00"
	c.book.Sites["school"].Here = &events.Presence{Crew: "a", Since: clock("17:00")}
	for _, id := range []events.AssemblyID{"d1", "b1"} {
		c.book.Assemblies[id].Jobs[0].Stage = events.StagePassed
	}
	doubts, err := planner.Doubts(c.book, office, tuesday, clock("17:10"), c.settings)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(doubts, func(d planner.Doubt) bool { return d.Rule == "late" })
	if i < 0 || doubts[i].Site != "" || doubts[i].Crew != route.Crew || !strings.Contains(doubts[i].Words, "Crew A would be back about 1") ||
		!strings.Contains(doubts[i].Words, "its hours and overtime end at 17:00") {
		t.Errorf("doubts: %+v", doubts)
	}
}

// A day that is planned anew at half past eight begins then, and what its crews could only have done before is left out.
func TestTodayBeginsNow(t *testing.T) {
	c, _ := lateDay(t)
	c.book.Days, c.now = nil, clock("08:30")
	plan := c.plan()
	c.wantLeft(plan, "d1", "window", "even alone Crew A cannot be there when it may begin")
	for _, r := range plan.Routes {
		if r.Start.Before(c.now) {
			t.Errorf("%s starts at %s", r.Crew, r.Start)
		}
	}
	c.visit(plan, "b1")
	c.visit(plan, "s1")
}
