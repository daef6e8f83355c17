package check

import (
	"time"

	"valveround/events"
)

// checkBreak wants room for the crew's break: on the way, where it says, with neither a visit nor a drive meanwhile; or at home, when
// it leaves late or is back early enough.
func (c *checker) checkBreak(r *openRoute) {
	if r.Begun != nil {
		if took := c.tookBreak(r); took != nil {
			if r.Break == nil || *r.Break != *took {
				c.addRoute(RuleBreak, r, "%s has had its break, from %s; the plan says otherwise.", c.crewName(r.Crew), c.clockTime(took.From, c.crewZone(r.crew)))
			}
			return
		}
	}
	span, has := c.calendar.Break(r.crew)
	length := time.Duration(r.crew.BreakMinutes) * time.Minute
	switch {
	case r.Break != nil && !has:
		c.addRoute(RuleBreak, r, "%s has no break that day.", c.crewName(r.Crew))
	case r.Break != nil:
		c.checkRest(r)
		loc := c.crewZone(r.crew)
		if r.Break.To.Sub(r.Break.From) != length || r.Break.From.Before(span.Open) || r.Break.To.After(span.Close) {
			c.addRoute(RuleBreak, r, "%s rests from %s to %s, but its break takes %s between %s and %s.", c.crewName(r.Crew), c.clockTime(r.Break.From, loc),
				c.clockTime(r.Break.To, loc), length, c.clockTime(span.Open, loc), c.clockTime(span.Close, loc))
		}
	case has && !c.restsAtHome(r, span.Open.Add(length), span.Close.Add(-length)):
		c.addRoute(RuleBreak, r, "%s has no room for its break.", c.crewName(r.Crew))
	}
}

// restsAtHome reports whether a route without a break needs none: home is left after one, or reached in time for one; or, on a day
// that is out, the time for it has passed or there is none left but to go home.
func (c *checker) restsAtHome(r *openRoute, earliestEnd, latestStart time.Time) bool {
	if !r.End.After(latestStart) || r.Begun == nil && !r.Start.Before(earliestEnd) {
		return true
	}
	if r.Begun == nil {
		return false
	}
	length := time.Duration(r.crew.BreakMinutes) * time.Minute
	from, free := c.from(r)
	start := free
	if open := earliestEnd.Add(-length); start.Before(open) {
		start = open
	}
	working, works, err := c.calendar.Working(r.crew)
	home, known := c.drive(from, r.crew.Home)
	if err != nil || !works || !known || start.After(latestStart) {
		return true
	}
	last := working.Close.Add(time.Duration(max(r.crew.OvertimeMinutes, 0)) * time.Minute)
	return free.Add(seconds(home)).After(latestStart) && start.Add(length+seconds(home)).After(last)
}

// checkRest wants the break between two stops, at one of them, with time for the drive before or after.
func (c *checker) checkRest(r *openRoute) {
	at, free := c.from(r)
	site := events.SiteID("") // where the crew is; at home when none
	if r.Begun != nil {
		site = r.Begun.Site
	}
	for i := 0; i <= len(r.visits); i++ {
		to, next, until := r.crew.Home, events.SiteID(""), r.End
		if i < len(r.visits) {
			to, next, until = position(r.visits[i]), r.visits[i].Site, r.visits[i].Arrive
		}
		if r.Break.Within(free, until) > 0 {
			drive, known := c.drive(at, to)
			before := next != "" && r.Break.Site == next && !r.Break.From.Before(free.Add(seconds(drive)))
			after := site != "" && r.Break.Site == site && !until.Before(r.Break.To.Add(seconds(drive)))
			if known && !before && !after {
				c.addRoute(RuleBreak, r, "%s cannot rest at %s from %s and drive too.", c.crewName(r.Crew), c.siteName(r.Break.Site), c.clockTime(r.Break.From, c.crewZone(r.crew)))
			}
			return
		}
		if i < len(r.visits) {
			at, free, site = to, r.visits[i].Leave, next
		}
	}
	c.addRoute(RuleBreak, r, "%s is not free to rest from %s.", c.crewName(r.Crew), c.clockTime(r.Break.From, c.crewZone(r.crew)))
}

// tookBreak is the break of a crew that has begun, when it must be over: something that came after it has begun, or the crew is free
// and its break was to end before the plan was made.
func (c *checker) tookBreak(r *openRoute) *events.DayBreak {
	sent, out := c.sentRoute(r.Crew)
	if !out || sent.Break == nil {
		return nil
	}
	over := !sent.Break.To.After(c.plan.MadeAt) && !r.Begun.Free.After(c.plan.MadeAt)
	for _, v := range r.Begun.Visits {
		over = over || !v.Arrive.Before(sent.Break.To)
	}
	if !over {
		return nil
	}
	return sent.Break
}
