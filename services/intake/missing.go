package intake

import (
	"slices"
	"strings"

	"valveround/events"
)

// missingWords begin the question about an assembly that a list does not name. The job is never dropped for it.
const missingWords = "not on the list of "

// missing lists the assemblies with an open job from an earlier list that no row names, also not a rejected one.
func (p *proposing) missing() []Missing {
	var list []Missing
	for _, a := range assembliesOf(p.book, p.options.Purveyor) {
		job := a.ListedJob()
		if job == nil || p.registry.claimed[a.ID] || !job.NeedsVisit() || job.AsOf.IsZero() || !job.AsOf.Before(p.options.AsOf) {
			continue
		}
		m := Missing{JobRef: events.JobRef{Assembly: a.ID, Job: job.ID}, Number: a.PurveyorNumber, Due: job.Due}
		if s := p.book.Sites[a.Site]; s != nil {
			m.Address = s.Address
		}
		m.Asked = slices.ContainsFunc(job.Questions, func(q string) bool { return strings.HasPrefix(q, missingWords) })
		list = append(list, m)
	}
	return list
}

func (m Missing) step(asOf events.Date) step {
	return questionStep(m.JobRef, missingWords+asOf.String()+": ask the purveyor")
}

// warnings look at the list as a whole.
func (p *proposing) warnings(out Proposal) []string {
	var list []string
	if n := len(p.purveyor.Lists); n > 0 {
		if newest := p.purveyor.Lists[n-1]; p.options.AsOf.Before(newest.AsOf) {
			list = append(list, "a list of "+newest.AsOf.String()+" was taken in before; this one is of "+p.options.AsOf.String()+" and moves no date that the newer one gave")
		}
	}
	known := len(out.Rows) - out.Counts[string(Added)]
	if len(out.Missing) > 10 && len(out.Missing) > known {
		list = append(list, "the list leaves out more open jobs than it names: is it the whole list, and of this purveyor?")
	}
	return list
}
