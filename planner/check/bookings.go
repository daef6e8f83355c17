package check

import (
	"valveround/events"
	"valveround/planner/check/reckon"
)

// checkBookings wants what others must bring booked for the day, and the visit, or the time that the feed is dry, within it.
func (c *checker) checkBookings(v *openVisit) {
	if v.site == nil {
		return
	}
	loc := c.siteZone(v.site)
	for _, j := range v.jobs {
		if j.Feed == nil {
			continue
		}
		for _, x := range c.calendar.Conditions(v.site, j.Feed, j.Dries()) {
			from, to := v.Arrive, v.Leave
			for _, off := range v.WaterOff {
				if off.Feed == j.Feed.ID && !x.What.WholeVisit() {
					from, to = off.From, off.To
				}
			}
			switch {
			case len(x.Booked) == 0:
				c.addJob(RuleBooking, v, j.said.Job, "At %s, %s cannot be worked on without %s, and that is not booked for %s.", c.siteName(v.Site), c.feedName(j.Feed.ID), broughtName(x.What), c.plan.Date)
			case !reckon.Within(x.Booked, from, to):
				c.addJob(RuleBooking, v, j.said.Job, "At %s, %s is wanted from %s to %s, but is booked %s.", c.siteName(v.Site), broughtName(x.What), c.clockTime(from, loc), c.clockTime(to, loc), c.spansOf(x.Booked, loc))
			}
		}
	}
}

func broughtName(w events.Brought) string {
	switch w {
	case events.StreetValve:
		return "the purveyor at the street valve"
	case events.AlarmCompany:
		return "the alarm company"
	case events.Escort:
		return "an escort"
	case events.PumpOut:
		return "the pump-out"
	}
	return string(w)
}
