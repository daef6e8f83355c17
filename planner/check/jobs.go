package check

import (
	"time"

	"valveround/events"
	"valveround/planner"
)

func dateIn(t time.Time, loc *time.Location) events.Date { return events.DateIn(t, loc) }

// checkJob asks whether a job may be done that day, whoever does it.
func (c *checker) checkJob(v *openVisit, j openJob) {
	add := func(rule Rule, words string, args ...any) { c.addJob(rule, v, j.said.Job, words, args...) }
	job, id := j.job, j.said.Job
	switch {
	case job.Stage == events.StageStopped && !c.broughtOutOfTheWay(v, j):
		add(RuleStopped, "Job %s at %s is stopped until something changes%s.", id, c.siteName(v.Site), stopWords(job))
	case !job.Open() || !job.NeedsVisit():
		add(RuleWork, "Job %s needs no visit: it is %s.", id, job.Stage)
	case j.said.Work != j.Work:
		add(RuleWork, "Job %s needs %q, not %q.", id, j.Work, j.said.Work)
	}
	if j.Assembly.Gone {
		add(RuleWork, "Assembly %s is gone: there is nothing left to test.", j.said.Assembly)
	}
	if j.Assembly.Office != c.plan.Office {
		add(RuleShape, "Assembly %s belongs to office %q, not %q.", j.said.Assembly, j.Assembly.Office, c.plan.Office)
	}
	if job.Standing != events.Ours {
		add(RuleStanding, "Job %s at %s is not known to be ours: %s.", id, c.siteName(v.Site), job.Standing)
	}
	if out := job.Dispatched; out != nil && out.Date != c.plan.Date && !out.Date.Before(dateIn(c.plan.MadeAt, c.plan.MadeAt.Location())) {
		// What a day that is past left undone may be planned again.
		add(RuleDispatched, "Job %s at %s is out with %s already.", id, c.siteName(v.Site), job.Dispatched.Date)
	}
	if j.Work != planner.RepairWork && c.plan.Date.Before(job.Earliest) {
		add(RuleEarliest, "A test of job %s at %s before %s does not count.", id, c.siteName(v.Site), job.Earliest)
	}
	if j.Work == planner.RepairWork && job.Yes == nil && (c.customer(v) == nil || c.customer(v).Repair != "yes") {
		add(RuleRepairYes, "Nobody has said yes to the repair of assembly %s at %s.", j.said.Assembly, c.siteName(v.Site))
	}
	if who := c.customer(v); who != nil && who.OnHold != "" {
		add(RuleHold, "%s, the customer of %s, is on hold: %s.", who.Name, c.siteName(v.Site), who.OnHold)
	}
	c.checkParts(v, j)
	c.checkSeason(v, j)
}

// broughtOutOfTheWay reports whether a shut-off that would not hold is made good by the purveyor, or a flooded pit by a pump-out,
// booked for the feed on the plan's date or later. That it is booked for the date itself is checkBookings' business.
func (c *checker) broughtOutOfTheWay(v *openVisit, j openJob) bool {
	stop := j.job.Stopped
	if v.site == nil || j.Feed == nil || stop == nil || stop.Outcome != events.OutcomeCouldNotTest {
		return false
	}
	for _, b := range v.site.Booked {
		clears := b.What == events.StreetValve && stop.Why == "shut-off-would-not-hold" || b.What == events.PumpOut && stop.Why == "flooded"
		if clears && (b.Feed == "" || b.Feed == j.Feed.ID) && b.To.After(c.plan.Date.In(c.siteZone(v.site))) {
			return true
		}
	}
	return false
}

func stopWords(j *events.Job) string {
	if j.Stopped == nil || j.Stopped.Why == "" {
		return ""
	}
	return ": " + j.Stopped.Why
}

func (c *checker) customer(v *openVisit) *events.Customer {
	if v.site == nil {
		return nil
	}
	return c.book.Customers[v.site.Customer]
}

// checkParts wants every repair kit reserved for the job, whatever was promised, and not on another crew's truck.
func (c *checker) checkParts(v *openVisit, j openJob) {
	for _, part := range j.job.Parts {
		if part.Item == "" {
			c.addJob(RuleParts, v, j.said.Job, "Repair kit %s is not reserved for job %s at %s.", part.Code, j.said.Job, c.siteName(v.Site))
		}
		owner := events.CrewID(part.Where)
		if owner != v.route.Crew && c.book.Crews[owner] != nil {
			c.addJob(RuleParts, v, j.said.Job, "Repair kit %s for job %s is with %s, not with %s.", part.Code, j.said.Job, c.crewName(owner), c.crewName(v.route.Crew))
		}
	}
}
