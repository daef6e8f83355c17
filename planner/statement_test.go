package planner_test

import (
	"context"
	"testing"

	"valveround/events"
	"valveround/planner"
)

// addsUp adds up a plan's money in every direction, exactly and as printed.
func addsUp(t failer, plan planner.Plan) {
	t.Helper()
	var routes, left planner.MicroUSD
	for _, r := range plan.Routes {
		if r.Cost.Total != r.Cost.Distance+r.Cost.Hours+r.Cost.Overtime+r.Cost.Change {
			t.Errorf("the route of %s does not add up: %+v", r.Crew, r.Cost)
		}
		routes += r.Cost.Total
	}
	for _, l := range plan.LeftOut {
		left += l.Worth + l.Promise
	}
	if routes+left != plan.Cost.Total {
		t.Errorf("routes cost %d and jobs left out %d, the plan %d", routes, left, plan.Cost.Total)
	}
	s := plan.Statement()
	var sum, rows planner.Cents
	for _, r := range s.Routes {
		if r.Total != r.Distance+r.Hours+r.Overtime+r.Change {
			t.Errorf("the printed route of %s does not add up: %+v", r.Crew, r)
		}
		rows += r.Total
	}
	for _, l := range s.LeftOut {
		rows += l.Total
	}
	sum = s.Sum.Distance + s.Sum.Hours + s.Sum.Overtime + s.Sum.Change + s.Worth + s.Promise
	if rows != s.Total || sum != s.Total {
		t.Errorf("printed rows add up to %s, columns to %s, the total is %s", rows, sum, s.Total)
	}
	if off := planner.MicroUSD(s.Total)*10_000 - plan.Cost.Total; off > 5_000 || off < -5_000 {
		t.Errorf("%s is printed for %.6f USD", s.Total, plan.Cost.Total.USD())
	}
}

func TestTheMoneyOfTheDemoAddsUp(t *testing.T) {
	plan, err := planner.Make(context.Background(), demoRequest(t, 8, 600, 1, events.NewDate(2026, 5, 13)))
	if err != nil {
		t.Fatal(err)
	}
	addsUp(t, plan)
	if plan.Statement().Total == 0 || len(plan.Statement().Routes) < 5 || len(plan.Statement().LeftOut) < 50 {
		t.Errorf("the statement has %d routes and %d jobs left out", len(plan.Statement().Routes), len(plan.Statement().LeftOut))
	}
}

// A job due in two days is worth what it earns and 200 USD for waiting; one that failed nine days before its retest is owed
// 75 + 2 × 80. Said in words, with the settings' own numbers.
func TestWorthInWords(t *testing.T) {
	s := planner.DefaultSettings()
	due := events.Job{Stage: events.StageDue, Due: tuesday.AddDays(2)}
	broken := due
	failed(&broken)
	unknown := broken
	unknown.Failure = &events.Failure{On: tuesday}
	for _, c := range []struct {
		name  string
		job   events.Job
		words string
		worth float64
	}{
		{"due soon", due, "75.00 USD for the job and 200.00 USD for waiting with 2 days left", 275},
		{"due today", events.Job{Due: tuesday}, "75.00 USD for the job and 260.00 USD for waiting with 0 days left", 335},
		{"past", events.Job{Due: tuesday.AddDays(-3)}, "75.00 USD for the job and 320.00 USD for waiting with the deadline 3 days past", 395},
		{"due in a year", events.Job{Due: tuesday.AddDays(365)}, "18.00 USD for the job (75.00 USD when it presses; it can wait 365 days)", 18},
		{"due in four months", events.Job{Due: tuesday.AddDays(120)}, "46.50 USD for the job (75.00 USD when it presses; it can wait 120 days)", 46.5},
		{"failed", broken, "75.00 USD for the job and 160.00 USD for waiting with 9 days left, 2 times as for one that has not failed", 235},
		{"failed, nobody knows the rule", unknown, "75.00 USD for the job and 400.00 USD for waiting with a deadline that nobody knows, 2 times as for one that has not failed", 475},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := s.WorthWords(&c.job, tuesday); got != c.words {
				t.Errorf("WorthWords = %q, want %q", got, c.words)
			}
			if got := s.Worth(&c.job, tuesday).USD(); got != c.worth {
				t.Errorf("Worth = %v, want %v", got, c.worth)
			}
		})
	}
}

// A visit that someone counts on is not given up for one that is worth more: the diner has agreed to ten o'clock, the mill has
// failed and is due, and there is time for one. Where it cannot be kept the promise is charged once and said.
func TestPromisesStay(t *testing.T) {
	build := func() *county {
		c := newCounty(t)
		c.book.Crews["a"].Hours, c.book.Crews["a"].OvertimeMinutes = "Mo-Fr 09:20-11:10", 0
		c.shop("diner", 40.05, "24/7").Due = tuesday.AddDays(90)
		failed(c.shop("mill", 40.05, "Mo-Fr 09:50-10:40"))
		c.book.Assemblies["mill"].Jobs[0].Failure.RetestBy.On = tuesday
		return c
	}
	c := build()
	c.wantLeft(c.plan(), "diner", "no-room")
	for _, promise := range []struct {
		name string
		make func(*county)
	}{
		{"a time agreed", func(c *county) {
			c.book.Sites["diner"].Agreed = []events.AgreedTime{{From: clock("10:00"), To: clock("10:40")}}
		}},
		{"notice of this day", func(c *county) {
			c.book.Sites["diner"].Notice = &events.Notice{Given: tuesday.AddDays(-3), For: tuesday}
			c.book.Feeds["diner"].ShutdownWindow = "Mo-Fr 10:00-10:40"
		}},
		{"held", func(c *county) {
			c.wish(events.Wish{Site: "diner", Hold: true})
			c.book.Feeds["diner"].ShutdownWindow = "Mo-Fr 10:00-10:40"
		}},
		{"out with the day", func(c *county) {
			c.book.Assemblies["diner"].Jobs[0].Dispatched = &events.Dispatched{Date: tuesday, Crew: "a"}
			c.book.Feeds["diner"].ShutdownWindow = "Mo-Fr 10:00-10:40"
		}},
	} {
		t.Run(promise.name, func(t *testing.T) {
			c := build()
			c.TB = t
			promise.make(c)
			plan := c.plan()
			c.visit(plan, "diner")
			c.wantLeft(plan, "mill", "no-room")

			c.book.Crews["a"].Off = []events.CrewOff{{Date: tuesday, Why: "sick"}}
			c.crew("b", "g2", "bo").Hours = "Mo-Fr 14:00-15:00" // too late for it
			plan = c.plan()
			if i := leftIndex(plan, "diner"); plan.LeftOut[i].Visit != "" && plan.LeftOut[i].Promise.USD() != c.settings.PromiseUSD {
				t.Errorf("left out: %+v", plan.LeftOut[i])
			}
		})
	}
}

func leftIndex(plan planner.Plan, a events.AssemblyID) int {
	for i, l := range plan.LeftOut {
		if l.Assembly == a {
			return i
		}
	}
	return -1
}
