package planner

import (
	"context"
	"slices"

	"valveround/events"
)

// PlannedDay is one of several days planned one after the other, and the book it was planned on: as it is when the days before
// have been driven and everything passed.
type PlannedDay struct {
	Plan Plan
	Book *events.Book
}

// MakeDays plans a number of days from the request's date on, each taking the jobs that the days before have not served. Days that
// are out already are passed over. The seconds of the request are for each day. Changes that would fit what is left out are looked
// for on the last day only, for what one day leaves out another may take.
func MakeDays(ctx context.Context, r Request, days int) ([]PlannedDay, error) {
	var list []PlannedDay
	first, brief := r.Date, r.Brief
	for n := range days {
		r.Date, r.Brief = first.AddDays(n), brief || n < days-1
		if day := r.Book.Day(r.Office, r.Date); day != nil && day.Sent != nil {
			continue
		}
		plan, err := Make(ctx, r)
		if err != nil {
			return list, err
		}
		list = append(list, PlannedDay{plan, r.Book})
		r.Book, r.Previous = Driven(r.Book, plan), nil
	}
	return list, nil
}

// Driven is a copy of the book as it is when a plan has been driven and every job of it passed.
func Driven(b *events.Book, p Plan) *events.Book {
	after := b.Snapshot()
	for _, r := range p.Routes {
		for _, v := range r.Visits {
			for _, j := range v.Jobs {
				a := *after.Assemblies[j.Assembly]
				a.Jobs = slices.Clone(a.Jobs)
				a.Job(j.Job).Stage = events.StagePassed
				after.Assemblies[a.ID] = &a
			}
		}
	}
	return after
}
