package check

import (
	"time"

	"valveround/planner/check/reckon"
)

// checkLateness reckons again with what chance a crew is too late for each visit, and for its return, because it has put right
// at once what failed before. The hours, waits and slack that it rests on have been held to the book. It is judged as of the book
// that the plan was made on: a yes to repair that comes later makes no plan wrong.
func (c *checker) checkLateness(r *openRoute) {
	if r.crew == nil || c.plan.Position != c.book.Position() {
		return
	}
	span, works, err := c.calendar.Working(r.crew)
	if err != nil || !works {
		return
	}
	failed := c.onRecord()
	behind := reckon.OnTime()
	for _, v := range r.visits {
		behind = behind.Waited(time.Duration(v.WaitS) * time.Second)
		if want := behind.TooLate(time.Duration(v.SlackS) * time.Second); v.Late != want {
			c.addVisit(RuleLate, v, "%s is too late for %s in %d of 1,000 such days, not in %d.", c.crewName(r.Crew), c.siteName(v.Site), want, v.Late)
		}
		for _, j := range v.jobs {
			if reckon.PutRight(c.book, r.crew, v.Visit, j.Task, j.job, c.plan.Date, c.settings) {
				behind = behind.After(j.Assembly, failed.Percent(j.Assembly), c.settings)
			}
		}
	}
	want := 0
	if len(r.visits) > 0 {
		want = behind.TooLate(span.Close.Add(time.Duration(max(r.crew.OvertimeMinutes, 0)) * time.Minute).Sub(r.End))
	}
	if r.Late != want {
		c.addRoute(RuleLate, r, "%s is home too late in %d of 1,000 such days, not in %d.", c.crewName(r.Crew), want, r.Late)
	}
}

// checkRecord holds what the plan says of the firm's failed tests to the book.
func (c *checker) checkRecord() {
	if c.plan.Position != c.book.Position() {
		return
	}
	if !c.onRecord().Says(c.plan.OnRecord) {
		c.add(Violation{Rule: RuleLate}, "The plan does not rest on the failed tests that are on record.")
	}
}

// onRecord counts once for a plan.
func (c *checker) onRecord() reckon.Failed {
	if c.failed == nil {
		failed := reckon.FailedOf(c.book, c.plan.Office, c.settings)
		c.failed = &failed
	}
	return *c.failed
}
