package planner

import (
	"fmt"

	"valveround/events"
	"valveround/planner/routing"
)

// DueLater reports whether a job presses so little on a day that waiting costs nothing yet: it has more days left than the last
// step of urgency. Done all the same while a crew is there for a job that is due, it saves a trip.
func (s Settings) DueLater(j *events.Job, on events.Date) bool {
	n := len(s.Urgency)
	return n > 0 && s.DaysLeft(j, on) > s.Urgency[n-1].DaysLeft
}

// pulledIn is the first job of a stop that is due later while another is due; nil when there is none such.
func (c *collector) pulledIn(jobs []candidate) *events.Job {
	var later *events.Job
	due := false
	for _, x := range jobs {
		if !c.s.DueLater(x.j, c.date) {
			due = true
		} else if later == nil {
			later = x.j
		}
	}
	if !due {
		return nil
	}
	return later
}

// ownTrip is what a trip to a site for its own sake costs, from the home of the nearest crew of the day and back: the drive, and
// what a visit takes whatever is done there.
func (c *collector) ownTrip(site *events.Site) MicroUSD {
	if !site.Position.IsSet() {
		return 0
	}
	best := MicroUSD(-1)
	for _, t := range c.out.teams {
		there, back := c.s.Travel.Travel(t.Home, site.Position), c.s.Travel.Travel(site.Position, t.Home)
		metres, seconds := int64(there.Metres)+int64(back.Metres), int64(there.Seconds)+int64(back.Seconds)+int64(c.s.VisitBefore+c.s.VisitAfter)*60
		cost := MicroUSD(metres*int64(routing.CostPerMetre(c.s.KilometreUSD)) + seconds*int64(routing.CostPerSecond(c.s.CrewHourUSD)))
		if best < 0 || cost < best {
			best = cost
		}
	}
	return max(best, 0)
}

// pulledInNote says that a stop saves a trip.
func (p stop) pulledInNote() []string {
	if p.saves == 0 {
		return nil
	}
	return []string{fmt.Sprintf("what is not due before %s is done in the same stop, which saves a trip of about %s", p.later, dollars(p.saves))}
}
