package planner

import (
	"slices"

	"valveround/events"
)

// SentOut is a copy of the book as it is when a plan has been sent out: on its day, and on each of its jobs.
func SentOut(b *events.Book, p Plan) *events.Book {
	after := b.Snapshot()
	day := events.Day{Office: p.Office, Date: p.Date}
	if known := b.Day(p.Office, p.Date); known != nil {
		day = *known
	}
	sent := p.Day()
	day.Sent, day.SentAt = &sent, p.MadeAt
	after.Days[events.Entity{Office: p.Office, Kind: events.KindDay, ID: p.Date.String()}] = &day
	sent.Jobs(func(crew events.CrewID, dj events.DayJob) {
		a := *after.Assemblies[dj.Assembly]
		a.Jobs = slices.Clone(a.Jobs)
		a.Job(dj.Job).Dispatched = &events.Dispatched{Job: dj.Job, Date: p.Date, Crew: crew}
		after.Assemblies[a.ID] = &a
	})
	return after
}
