package dispatch

import (
	"context"
	"time"

	"valveround/events"
	"valveround/planner"
)

// Fits says where a job would go on a day as it stands: sent out, proposed, or empty. On a day that is out crews start from where
// they are; on one that has begun and is not out they are free from now on only. Places count over the whole route.
func (d *Desk) Fits(ctx context.Context, date events.Date, job events.JobRef) ([]planner.Fit, planner.LeftOut, error) {
	book, now := d.cfg.Keeper.Book(), d.cfg.Now()
	if day := book.Day(d.cfg.Office, date); day != nil && day.Sent != nil {
		return d.fitsOut(ctx, d.request(book, date), job)
	}
	order := planner.Order{}
	if p := d.Proposal(date); p.Plan != nil {
		order = planner.OrderOf(*p.Plan)
	}
	from := time.Time{}
	if events.DateIn(now, now.Location()) == date {
		from = now
	}
	return planner.Fits(ctx, d.request(book, date), order, job, from)
}

func (d *Desk) fitsOut(ctx context.Context, r planner.Request, job events.JobRef) ([]planner.Fit, planner.LeftOut, error) {
	r.Amending, r.Brief = true, true
	order, begun, err := d.orderAhead(ctx, r)
	if err != nil {
		return nil, planner.LeftOut{}, err
	}
	fits, because, err := planner.Fits(ctx, r, order, job, time.Time{})
	for i := range fits {
		fits[i].Place += begun[fits[i].Crew]
	}
	return fits, because, err
}
