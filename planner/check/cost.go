package check

import (
	"math"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check/reckon"
)

// checkCost adds up the money again. Drives are those of the travel model; hours are from the plan's own Start and End,
// which the clock has been held to.
func (c *checker) checkCost() {
	rates := reckon.RatesOf(c.settings)
	var distance, hours, overtime, left planner.MicroUSD
	for _, r := range c.routes {
		distance += planner.MicroUSD(c.metres(r)) * rates.Metre
		hours += planner.MicroUSD(r.End.Sub(r.Start)/time.Second) * rates.Second
		overtime += planner.MicroUSD(c.overtime(r)/time.Second) * rates.OvertimeSecond
	}
	for _, l := range c.plan.LeftOut {
		if _, job := c.find(events.JobRef{Assembly: l.Assembly, Job: l.Job}); job != nil && l.Visit != "" {
			left += reckon.Worth(job, c.settings, c.plan.Date)
		}
	}
	said := c.plan.Cost
	for _, part := range []struct {
		name       string
		said, want planner.MicroUSD
	}{
		{"driving", said.Distance, distance}, {"hours", said.Hours, hours}, {"overtime", said.Overtime, overtime},
		{"jobs left out", said.LeftOut, left},
		{"everything", said.Total, said.Distance + said.Hours + said.Overtime + said.LeftOut + said.Change},
	} {
		if part.said != part.want {
			c.add(Violation{Rule: RuleCost}, "The plan says %s costs %.6f USD, but it is %.6f USD.", part.name, part.said.USD(), part.want.USD())
		}
	}
	if said.Change < 0 || said.Change > math.MaxInt64/2 {
		c.add(Violation{Rule: RuleCost}, "What changed against the plan before cannot cost %.6f USD.", said.Change.USD())
	}
}

func (c *checker) metres(r *openRoute) int {
	if len(r.visits) == 0 || r.crew == nil {
		return 0
	}
	at, sum := r.crew.Home, 0
	for _, v := range r.visits {
		drive, _ := c.drive(at, position(v))
		sum, at = sum+int(drive.Metres), position(v)
	}
	drive, _ := c.drive(at, r.crew.Home)
	return sum + int(drive.Metres)
}

// overtime is by how much the route is longer than the crew's working time.
func (c *checker) overtime(r *openRoute) time.Duration {
	if len(r.visits) == 0 || r.crew == nil {
		return 0
	}
	span, works, err := c.calendar.Working(r.crew)
	if err != nil || !works {
		return 0
	}
	return max(0, r.End.Sub(r.Start)-span.Duration())
}
