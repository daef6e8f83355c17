package backlog

import (
	"cmp"
	"time"

	"valveround/events"
	"valveround/planner"
)

// PlannedFor is a visit that is planned or sent out for a job.
type PlannedFor struct {
	Date           events.Date `json:"date"`
	Crew           string      `json:"crew" doc:"its letter"`
	SentOut        bool        `json:"sent_out"`
	BeforeDeadline bool        `json:"before_deadline" doc:"false also where the deadline is not known"`
}

// visit is when and by whom a job is to be done.
type visit struct {
	date  events.Date
	crew  events.CrewID
	leave time.Time // when the work is done; zero: not known
}

// proposed finds the earliest visit to each job in plans that are not sent out.
func proposed(plans []planner.Plan) map[events.JobRef]visit {
	first := map[events.JobRef]visit{}
	for _, p := range plans {
		for _, r := range p.Routes {
			for _, v := range r.Visits {
				for _, j := range v.Jobs {
					ref := events.JobRef{Assembly: j.Assembly, Job: j.Job}
					if known, ok := first[ref]; !ok || p.Date.Before(known.date) {
						first[ref] = visit{p.Date, r.Crew, v.Leave}
					}
				}
			}
		}
	}
	return first
}

// plannedFor is the visit of a day that is out and not over, else the one proposed; nil when there is neither.
func (l looking) plannedFor(a *events.Assembly, j *events.Job) *PlannedFor {
	ref := events.JobRef{Assembly: a.ID, Job: j.ID}
	v, ok := l.proposed[ref]
	p := PlannedFor{}
	if out := j.Dispatched; out != nil && !out.Date.Before(l.today(a)) {
		v, ok, p.SentOut = visit{out.Date, out.Crew, l.sentLeave(a.Office, out.Date, ref)}, true, true
	}
	if !ok {
		return nil
	}
	p.Date, p.Crew = v.date, string(v.crew)
	if c := l.b.Crews[v.crew]; c != nil {
		p.Crew = cmp.Or(c.Letter, c.Name)
	}
	p.BeforeDeadline = j.Failure != nil && v.meets(j.Failure.RetestBy)
	return &p
}

// sentLeave is when the visit to a job on a sent-out day ends; zero when the day does not say.
func (l looking) sentLeave(office events.OfficeID, date events.Date, ref events.JobRef) time.Time {
	day := l.b.Day(office, date)
	if day == nil || day.Sent == nil {
		return time.Time{}
	}
	for _, r := range day.Sent.Routes {
		for _, v := range r.Visits {
			for _, j := range v.Jobs {
				if j.JobRef == ref {
					return v.Leave
				}
			}
		}
	}
	return time.Time{}
}

// meets reports whether a visit ends by a deadline. One that is not known is never met.
func (v visit) meets(d events.Deadline) bool {
	if !d.Known || d.On.Before(v.date) {
		return false
	}
	return v.leave.IsZero() || d.At.IsZero() || !v.leave.After(d.At)
}
