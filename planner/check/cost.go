package check

import (
	"math"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check/reckon"
)

// checkCost adds up the money again, route by route and job by job. Drives are those of the travel model; hours are from
// the plan's own Start and End, which the clock has been held to.
func (c *checker) checkCost() {
	var want planner.Cost
	for _, r := range c.routes {
		cost := c.routeCost(r)
		want.Distance += cost.Distance
		want.Hours += cost.Hours
		want.Overtime += cost.Overtime
		want.Change += cost.Change
	}
	c.checkLeftCosts(&want)
	want.Total = want.Distance + want.Hours + want.Overtime + want.LeftOut + want.Promise + want.Change
	said := c.plan.Cost
	c.sameMoney(Violation{}, []amount{{"driving", said.Distance, want.Distance}, {"hours", said.Hours, want.Hours}, {"overtime", said.Overtime, want.Overtime},
		{"jobs left out", said.LeftOut, want.LeftOut}, {"promises not kept", said.Promise, want.Promise}, {"what changed", said.Change, want.Change},
		{"everything", said.Total, want.Total}})
}

// amount is a sum of money as the plan says it and as it is.
type amount struct {
	name       string
	said, want planner.MicroUSD
}

func (c *checker) sameMoney(at Violation, amounts []amount) {
	at.Rule = RuleCost
	of := "The plan"
	if at.Crew != "" {
		of = "The route of " + c.crewName(at.Crew)
	}
	for _, a := range amounts {
		if a.said != a.want {
			c.add(at, "%s says %s costs %.6f USD, but it is %.6f USD.", of, a.name, a.said.USD(), a.want.USD())
		}
	}
}

// routeCost reckons one route and holds it to what it says. What moved against the plan before is not known here: it is so
// many dollars for each visit that moved, and no more than all of them can have moved.
func (c *checker) routeCost(r *openRoute) planner.RouteCost {
	rates := reckon.RatesOf(c.settings)
	want := planner.RouteCost{
		Distance: planner.MicroUSD(c.metres(r)) * rates.Metre,
		Hours:    planner.MicroUSD(r.End.Sub(r.Start)/time.Second) * rates.Second,
		Overtime: planner.MicroUSD(c.overtime(r)/time.Second) * rates.OvertimeSecond,
		Change:   r.Cost.Change,
	}
	moved := c.settings.MovedCrewUSD
	if c.Amending {
		moved = c.settings.MovedOutUSD
	}
	if each := planner.MicroUSD(math.Round(moved * 1e6)); want.Change < 0 || want.Change > each*planner.MicroUSD(len(r.visits)) || each > 0 && want.Change%each != 0 {
		c.addRoute(RuleCost, r, "What changed against the plan before costs %.2f USD a visit, so it cannot be %.6f USD on the route of %s.", each.USD(), want.Change.USD(), c.crewName(r.Crew))
	}
	want.Total = want.Distance + want.Hours + want.Overtime + want.Change
	said := r.Cost
	c.sameMoney(Violation{Crew: r.Crew}, []amount{{"driving", said.Distance, want.Distance}, {"hours", said.Hours, want.Hours},
		{"overtime", said.Overtime, want.Overtime}, {"everything", said.Total, want.Total}})
	return want
}

// checkLeftCosts wants each job of a visit that found no place charged with its worth, and each such visit that the
// dispatcher held or the site counts on charged with its promise once.
func (c *checker) checkLeftCosts(want *planner.Cost) {
	broken, said := map[string]bool{}, map[string]planner.MicroUSD{}
	trips := reckon.TripsNotSaved(c.book, c.plan, c.calendar)
	for i, l := range c.plan.LeftOut {
		a, job := c.find(events.JobRef{Assembly: l.Assembly, Job: l.Job})
		worth := planner.MicroUSD(0)
		if job != nil && l.Visit != "" {
			worth = reckon.Worth(job, c.settings, c.plan.Date) + trips[i]
			broken[l.Visit] = broken[l.Visit] || c.promised(a, job)
		}
		if l.Worth != worth {
			c.add(Violation{Rule: RuleCost, Site: l.Site, Job: l.Job}, "Leaving out job %s at %s is charged with %.6f USD, but it is %.6f USD.", l.Job, c.siteName(l.Site), l.Worth.USD(), worth.USD())
		}
		want.LeftOut += worth
		said[l.Visit] += l.Promise
		if l.Promise < 0 {
			c.add(Violation{Rule: RuleCost, Site: l.Site, Job: l.Job}, "A promise to %s cannot cost %.6f USD.", c.siteName(l.Site), l.Promise.USD())
		}
	}
	for _, key := range sortedKeys(said) {
		promise := planner.MicroUSD(0)
		if broken[key] {
			promise = planner.MicroUSD(math.Round(c.settings.PromiseUSD * 1e6))
		}
		if said[key] != promise {
			c.add(Violation{Rule: RuleCost, Visit: key}, "Leaving out visit %q is charged with %.6f USD for a promise, but it is %.6f USD.", key, said[key].USD(), promise.USD())
		}
		want.Promise += promise
	}
}

// promised reports whether someone counts on the visit to a job on the plan's date: the dispatcher held it or named its crew,
// a time of the day is agreed, others are booked, notice of that very day was given, or the day is out with it.
func (c *checker) promised(a *events.Assembly, job *events.Job) bool {
	if job.Dispatched != nil && job.Dispatched.Date == c.plan.Date {
		return true
	}
	if site := c.book.Sites[a.Site]; site != nil {
		if n := site.Notice; n != nil && n.For == c.plan.Date || len(c.calendar.Agreed(site, a.Feed)) > 0 || c.calendar.BookedFor(site, a.Feed) {
			return true
		}
	}
	day := c.book.Day(c.plan.Office, c.plan.Date)
	return day != nil && slices.ContainsFunc(day.Wishes, func(w events.Wish) bool {
		return !w.Out && (w.Hold || w.Crew != "") && w.Site == a.Site && (w.Feed == "" || w.Feed == a.Feed)
	})
}

func (c *checker) metres(r *openRoute) int {
	if len(r.visits) == 0 && r.Begun == nil || r.crew == nil {
		return 0
	}
	at, _ := c.from(r)
	sum := begunMetres(r.Begun)
	for _, v := range r.visits {
		drive, _ := c.drive(at, position(v))
		sum, at = sum+int(drive.Metres), position(v)
	}
	drive, _ := c.drive(at, r.crew.Home)
	return sum + int(drive.Metres)
}

// overtime is by how much the route is longer than the crew's working time.
func (c *checker) overtime(r *openRoute) time.Duration {
	if len(r.visits) == 0 && r.Begun == nil || r.crew == nil {
		return 0
	}
	span, works, err := c.calendar.Working(r.crew)
	if err != nil || !works {
		return 0
	}
	return max(0, r.End.Sub(r.Start)-span.Duration())
}
