package check

import (
	"slices"
	"time"
)

// checkDecisions wants it said, of each feed that is dry for tests, whether a repair would fit if one fails, and until when a unit
// may be opened for it. Of a visit that does not keep its hours nobody can say.
func (c *checker) checkDecisions(v *openVisit) {
	if v.site == nil || len(v.jobs) < len(v.Jobs) || slices.ContainsFunc(c.found, func(f Violation) bool {
		return f.Visit == v.Key && slices.Contains([]Rule{RuleWindow, RuleAccess, RuleBooking, RuleClock, RuleShape, RuleWork}, f.Rule)
	}) {
		return
	}
	loc := c.siteZone(v.site)
	for _, off := range v.WaterOff {
		by, testOnly := c.calendar.Decision(v.site, v.tasks(), v.Visit, off, c.settings)
		if off.TestOnly == testOnly && off.DecideBy.Equal(by) {
			continue
		}
		said, want := c.decision(off.DecideBy, off.TestOnly, loc), c.decision(by, testOnly, loc)
		c.addVisit(RuleDecide, v, "At %s, %s: if a test fails, the plan says %s, but it is %s.", c.siteName(v.Site), c.feedName(off.Feed), said, want)
	}
}

func (c *checker) decision(by time.Time, testOnly bool, loc *time.Location) string {
	switch {
	case testOnly && !by.IsZero():
		return "both that no repair fits and that it is decided by " + c.clockTime(by, loc)
	case testOnly:
		return "that no repair fits"
	case by.IsZero():
		return "nothing"
	}
	return "that a repair is decided by " + c.clockTime(by, loc)
}
