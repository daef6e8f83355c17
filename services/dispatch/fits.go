package dispatch

import (
	"context"
	"time"

	"valveround/events"
	"valveround/planner"
)

// Fits says where a job would go on a day as it stands: sent out, proposed, or empty. On a day that has begun crews are
// free from now on only.
func (d *Desk) Fits(ctx context.Context, date events.Date, job events.JobRef) ([]planner.Fit, planner.LeftOut, error) {
	book, now := d.cfg.Keeper.Book(), d.cfg.Now()
	order := planner.Order{}
	day := book.Day(d.cfg.Office, date)
	switch p := d.Proposal(date); {
	case day != nil && day.Sent != nil:
		for _, r := range day.Sent.Routes {
			for _, v := range r.Visits {
				order[r.Crew] = append(order[r.Crew], v.Key)
			}
		}
	case p.Plan != nil:
		order = planner.OrderOf(*p.Plan)
	}
	from := time.Time{}
	if events.DateIn(now, now.Location()) == date {
		from = now
	}
	return planner.Fits(ctx, d.request(book, date), order, job, from)
}
