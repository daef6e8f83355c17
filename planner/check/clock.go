package check

import (
	"time"

	"valveround/geo"
	"valveround/planner/check/reckon"
)

// checkClock follows a route from leaving home to return. Drives come from the travel model, never from the plan.
func (c *checker) checkClock(r *openRoute) {
	c.checkBegun(r)
	if len(r.visits) == 0 && r.Begun == nil {
		if !r.Start.IsZero() || !r.End.IsZero() || r.HomeM != 0 || r.HomeS != 0 || r.OvertimeS != 0 || r.Break != nil {
			c.addRoute(RuleClock, r, "%s has no visit, so its route should have no times or drives.", c.crewName(r.Crew))
		}
		return
	}
	if r.crew == nil {
		return // said by checkRoutes
	}
	if !r.crew.Home.IsSet() {
		c.addRoute(RulePosition, r, "Nobody knows where %s starts from.", c.crewName(r.Crew))
	}
	at, free := c.from(r) // where the crew is, and from when it is free to drive
	for i, v := range r.visits {
		if v.site == nil || !v.site.Position.IsSet() {
			c.addVisit(RulePosition, v, "The position of %s is not known, so no drive to it can be planned.", c.siteName(v.Site))
		}
		drive, known := c.drive(at, position(v))
		c.checkDrive(v, drive, known)
		if i == 0 && r.Begun == nil && r.Break.Within(r.Start, v.Arrive) == 0 {
			c.checkFirst(r, v, drive, known)
		} else {
			c.checkNext(v, free, drive, known)
		}
		at, free = position(v), v.Leave
	}
	drive, known := c.drive(at, r.crew.Home)
	c.checkReturn(r, free, drive, known)
	c.checkWorking(r)
	c.checkBreak(r)
}

func position(v *openVisit) geo.Point {
	if v.site == nil {
		return geo.Point{}
	}
	return v.site.Position
}

func (c *checker) drive(from, to geo.Point) (geo.Travel, bool) {
	if !from.IsSet() || !to.IsSet() {
		return geo.Travel{}, false
	}
	return c.settings.Travel.Travel(from, to), true
}

func seconds(t geo.Travel) time.Duration { return time.Duration(t.Seconds) * time.Second }

func (c *checker) checkDrive(v *openVisit, drive geo.Travel, known bool) {
	if known && (v.DriveM != int(drive.Metres) || v.DriveS != int(drive.Seconds)) {
		c.addVisit(RuleTravel, v, "The drive of %s to %s is %d m in %d s, not %d m in %d s.",
			c.crewName(v.route.Crew), c.siteName(v.Site), int(drive.Metres), int(drive.Seconds), v.DriveM, v.DriveS)
	}
}

// checkFirst wants the crew to leave home just in time for the first stop.
func (c *checker) checkFirst(r *openRoute, v *openVisit, drive geo.Travel, known bool) {
	loc := c.siteZone(v.site)
	if known && !v.Arrive.Equal(r.Start.Add(seconds(drive))) {
		c.addVisit(RuleClock, v, "%s leaves home at %s and drives %s, so it does not begin at %s at %s.", c.crewName(r.Crew),
			c.clockTime(r.Start, loc), seconds(drive), c.siteName(v.Site), c.clockTime(v.Arrive, loc))
	}
	if v.WaitS != 0 {
		c.addVisit(RuleClock, v, "%s waits %d s at its first stop, %s; it should leave home later.", c.crewName(r.Crew), v.WaitS, c.siteName(v.Site))
	}
}

// checkNext wants time to get from the stop before to this one, and the wait at the door said truly.
func (c *checker) checkNext(v *openVisit, free time.Time, drive geo.Travel, known bool) {
	loc := c.siteZone(v.site)
	rest := v.route.Break.Within(free, v.Arrive)
	gap := v.Arrive.Sub(free) - rest
	switch {
	case gap < 0:
		c.addVisit(RuleOverlap, v, "%s begins at %s at %s, but is at the stop before until %s.", c.crewName(v.route.Crew),
			c.siteName(v.Site), c.clockTime(v.Arrive, loc), c.clockTime(free, loc))
	case known && gap < seconds(drive):
		c.addVisit(RuleTravel, v, "%s leaves the stop before at %s and drives %s, so it cannot begin at %s at %s.", c.crewName(v.route.Crew),
			c.clockTime(free, loc), seconds(drive), c.siteName(v.Site), c.clockTime(v.Arrive, loc))
	case known && time.Duration(v.WaitS)*time.Second != gap-seconds(drive):
		c.addVisit(RuleClock, v, "%s waits %s at %s, not %d s.", c.crewName(v.route.Crew), gap-seconds(drive), c.siteName(v.Site), v.WaitS)
	}
}

func (c *checker) checkReturn(r *openRoute, free time.Time, drive geo.Travel, known bool) {
	if !known {
		return
	}
	if r.HomeM != int(drive.Metres) || r.HomeS != int(drive.Seconds) {
		c.addRoute(RuleTravel, r, "The drive of %s home is %d m in %d s, not %d m in %d s.", c.crewName(r.Crew), int(drive.Metres), int(drive.Seconds), r.HomeM, r.HomeS)
	}
	if r.Break.Within(free, r.End) > 0 {
		free = r.Break.To // it may have waited for it
	}
	if back := free.Add(seconds(drive)); !r.End.Equal(back) {
		loc := c.crewZone(r.crew)
		c.addRoute(RuleClock, r, "%s is home at %s, not at %s.", c.crewName(r.Crew), c.clockTime(back, loc), c.clockTime(r.End, loc))
	}
}

// checkWorking holds a route to the crew's working time and the overtime it accepts.
func (c *checker) checkWorking(r *openRoute) {
	span, works, err := c.calendar.Working(r.crew)
	if err != nil || !works {
		return // said by checkRoutes
	}
	loc, name := c.crewZone(r.crew), c.crewName(r.Crew)
	if r.Start.Before(span.Open) && r.Begun == nil {
		c.addRoute(RuleHours, r, "%s leaves home at %s, but its working time begins at %s.", name, c.clockTime(r.Start, loc), c.clockTime(span.Open, loc))
	}
	overtime := time.Duration(max(r.crew.OvertimeMinutes, 0)) * time.Minute
	if r.End.After(span.Close.Add(overtime)) && len(r.visits) > 0 {
		c.addRoute(RuleHours, r, "%s is home at %s, but must be by %s, %s of overtime included.", name, c.clockTime(r.End, loc),
			c.clockTime(span.Close.Add(overtime), loc), overtime)
	}
	if over := max(0, r.End.Sub(r.Start)-span.Duration()); time.Duration(r.OvertimeS)*time.Second != over {
		c.addRoute(RuleHours, r, "The overtime of %s is %s, not %d s.", name, over, r.OvertimeS)
	}
}

// checkTimetable lays the visit out again from its arrival.
func (c *checker) checkTimetable(v *openVisit) {
	if len(v.jobs) < len(v.Jobs) || v.site == nil {
		return // of a job that is not known nobody knows how long it takes
	}
	loc := c.siteZone(v.site)
	table := reckon.Lay(v.tasks(), v.order, c.settings)
	if leave := v.Arrive.Add(table.Length()); !v.Leave.Equal(leave) {
		c.addVisit(RuleClock, v, "%s begins at %s at %s and takes %s, so it leaves at %s and not at %s.", c.crewName(v.route.Crew),
			c.siteName(v.Site), c.clockTime(v.Arrive, loc), table.Length(), c.clockTime(leave, loc), c.clockTime(v.Leave, loc))
	}
	for i, off := range table.WaterOff(v.Arrive) {
		if i >= len(v.WaterOff) {
			return // said by checkVisitShape
		}
		if said := v.WaterOff[i]; !said.From.Equal(off.From) || !said.To.Equal(off.To) {
			c.addVisit(RuleClock, v, "At %s, %s is dry from %s to %s, not from %s to %s.", c.siteName(v.Site), c.feedName(off.Feed),
				c.clockTime(off.From, loc), c.clockTime(off.To, loc), c.clockTime(said.From, loc), c.clockTime(said.To, loc))
		}
	}
}
