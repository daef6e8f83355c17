package dispatch

import (
	"context"
	"fmt"
	"slices"

	"go.uber.org/zap"

	"valveround/events"
)

// amend puts changed routes in the place of those of a day that is out, tells it to the jobs that are on them, and stands down the
// jobs that are on none any more. What has begun must be on the routes as it was sent out; whoever calls it has had the day
// checked. Sent again by a page that did not hear the answer, it changes nothing.
func (d *Desk) amend(ctx context.Context, c events.Command, date events.Date, routes []events.DayRoute, why string) error {
	c.Office, c.Do = d.cfg.Office, events.Amend{Date: date, Amended: events.Amended{Routes: routes, Why: why}}
	if _, err := d.cfg.Keeper.Do(ctx, c); err != nil {
		return fmt.Errorf("amending %s: %w", date, err)
	}
	d.log.Info("day amended", zap.Stringer("date", date), zap.Int("routes", len(routes)))
	book := d.cfg.Keeper.Book()
	if err := d.callOff(ctx, book, date, why); err != nil {
		return err
	}
	return d.echo(ctx, d.cfg.Keeper.Book(), date)
}

// callOff stands down the jobs that show an amended day which has them no more.
func (d *Desk) callOff(ctx context.Context, book *events.Book, date events.Date, why string) error {
	day := book.Day(d.cfg.Office, date)
	if day == nil || day.Sent == nil || day.AmendedBy == "" {
		return nil
	}
	parent, err := events.ParseCommandID(string(day.AmendedBy[:32]))
	if err != nil {
		return fmt.Errorf("calling off visits of %s: %w", date, err)
	}
	with := map[events.JobRef]events.CrewID{}
	day.Sent.Jobs(func(crew events.CrewID, j events.DayJob) { with[j.JobRef] = crew })
	var commands []events.Command
	for _, a := range book.Assemblies {
		for _, j := range a.Jobs {
			ref := events.JobRef{Assembly: a.ID, Job: j.ID}
			if a.Office == d.cfg.Office && j.Dispatched != nil && j.Dispatched.Date == date && with[ref] == "" {
				commands = append(commands, events.Command{ID: events.DeriveCommandID(parent, "called off "+string(j.ID)),
					Office: d.cfg.Office, Happened: d.cfg.Now(), Actor: "dispatch", Do: events.EchoStandDown{Date: date, JobRef: ref, Why: why}})
			}
		}
	}
	slices.SortFunc(commands, func(a, b events.Command) int { return slices.Compare(a.ID[:], b.ID[:]) })
	return d.run(ctx, commands, "called off")
}
