package check

import (
	"cmp"
	"maps"
	"slices"

	"valveround/events"
)

func sortedKeys[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }

// checkMissing wants every open job of the office that is ours and needs a visit exactly once, on a route or left out
// with a reason.
func (c *checker) checkMissing() {
	times := map[events.JobRef]int{}
	for _, r := range c.routes {
		if r.Begun != nil {
			for _, v := range r.Begun.Visits {
				for _, j := range v.Jobs {
					times[j.JobRef]++
				}
			}
		}
		for _, v := range r.visits {
			for _, said := range v.Jobs {
				ref := events.JobRef{Assembly: said.Assembly, Job: said.Job}
				if times[ref]++; times[ref] == 2 {
					c.addJob(RuleDouble, v, said.Job, "Job %s at %s is on the plan more than once.", said.Job, c.siteName(v.Site))
				}
			}
		}
	}
	for _, l := range c.plan.LeftOut {
		at := Violation{Rule: RuleDouble, Site: l.Site, Visit: l.Visit, Job: l.Job}
		ref := events.JobRef{Assembly: l.Assembly, Job: l.Job}
		if times[ref]++; times[ref] == 2 {
			c.add(at, "Job %s at %s is left out, and is on the plan more than once.", l.Job, c.siteName(l.Site))
		}
		at.Rule = RuleMissingVisit
		a, job := c.find(ref)
		switch {
		case job == nil:
			c.add(at, "Job %q of assembly %q is left out, but there is no such job.", l.Job, l.Assembly)
		case a.Office != c.plan.Office:
			c.add(at, "Job %s is left out, but belongs to office %q.", l.Job, a.Office)
		case !job.Open():
			c.add(at, "Job %s is left out, but it is over.", l.Job)
		}
		if l.Reason == "" || l.Rule == "" {
			c.add(at, "Job %s at %s is left out without a reason.", l.Job, c.siteName(l.Site))
		}
		if a != nil && a.Site != l.Site {
			at.Rule = RuleShape
			c.add(at, "Job %s is left out as of %s, but is at %s.", l.Job, c.siteName(l.Site), c.siteName(a.Site))
		}
	}
	c.checkEveryJob(times)
}

func (c *checker) find(ref events.JobRef) (*events.Assembly, *events.Job) {
	a := c.book.Assemblies[ref.Assembly]
	if a == nil {
		return nil, nil
	}
	return a, a.Job(ref.Job)
}

func (c *checker) checkEveryJob(times map[events.JobRef]int) {
	var missing []events.JobRef
	for _, a := range c.book.Assemblies {
		if a.Office != c.plan.Office {
			continue
		}
		for i := range a.Jobs {
			j, ref := &a.Jobs[i], events.JobRef{Assembly: a.ID, Job: a.Jobs[i].ID}
			if j.Open() && j.NeedsVisit() && j.Standing == events.Ours && times[ref] == 0 {
				missing = append(missing, ref)
			}
		}
	}
	slices.SortFunc(missing, func(a, b events.JobRef) int {
		return cmp.Or(cmp.Compare(a.Assembly, b.Assembly), cmp.Compare(a.Job, b.Job))
	})
	for _, ref := range missing {
		site := c.book.Assemblies[ref.Assembly].Site
		c.add(Violation{Rule: RuleMissingVisit, Site: site, Job: ref.Job}, "Job %s of assembly %s at %s needs a visit, but is neither on a route nor left out with a reason.",
			ref.Job, ref.Assembly, c.siteName(site))
	}
}
