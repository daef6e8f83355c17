package dispatch

import (
	"context"
	"errors"
	"fmt"

	"go.uber.org/zap"

	"valveround/events"
	"valveround/planner/check"
)

// ErrNotWhatYouSaw: the plan has changed since it was looked at.
var ErrNotWhatYouSaw = errors.New("the plan has changed since you looked at it: look again, then send it out")

// SendOut sends out the plan that digest names, if the independent checker refuses nothing on the book as it is now. The
// day is the authority; its echo on each job follows and is harmless when repeated.
func (d *Desk) SendOut(ctx context.Context, c events.Command, date events.Date, digest string) error {
	plan, release, err := d.hold(date)
	if err != nil {
		return err
	}
	defer release()
	book := d.cfg.Keeper.Book()
	if day := book.Day(d.cfg.Office, date); day != nil && day.Sent != nil && sentBy(day.SentBy, c.ID) {
		return d.echo(ctx, book, date) // sent again by a page that did not hear the answer
	}
	switch {
	case plan == nil:
		return ErrNoPlan
	case plan.Digest() != digest:
		return ErrNotWhatYouSaw
	}
	if violations := check.Plan(book, *plan, d.Settings()); len(violations) > 0 {
		return &RefusedError{violations}
	}
	day := plan.Day()
	if len(day.Routes) == 0 {
		return &events.Refusal{Words: "there is no visit on this plan, so there is nothing to send out"}
	}
	day.Position = book.Position()
	c.Office, c.Do = d.cfg.Office, events.SendOut{SentOut: day}
	if _, err := d.cfg.Keeper.Do(ctx, c); err != nil {
		return fmt.Errorf("sending %s out: %w", date, err)
	}
	d.log.Info("day sent out", zap.Stringer("date", date), zap.Int("routes", len(day.Routes)))
	return d.echo(ctx, d.cfg.Keeper.Book(), date)
}

func sentBy(event events.EventID, c events.CommandID) bool {
	return len(event) > 32 && string(event[:32]) == c.String()
}

// TakeBack takes a day back; jobs that are not done stand down.
func (d *Desk) TakeBack(ctx context.Context, c events.Command, date events.Date, why string) error {
	_, release, err := d.hold(date)
	if err != nil {
		return err
	}
	defer release()
	c.Office, c.Do = d.cfg.Office, events.TakeBack{Date: date, Why: why}
	if _, err := d.cfg.Keeper.Do(ctx, c); err != nil {
		return err
	}
	book := d.cfg.Keeper.Book()
	if day := book.Day(d.cfg.Office, date); day != nil && day.Sent != nil {
		return nil // sent again by a page that did not hear the answer, and the day has gone out anew since
	}
	return d.standDown(ctx, book, date, c.ID, why)
}

// echo writes the sent-out day on each of its jobs that does not show it yet.
func (d *Desk) echo(ctx context.Context, book *events.Book, date events.Date) error {
	day := book.Day(d.cfg.Office, date)
	if day == nil || day.Sent == nil {
		return nil
	}
	var commands []events.Command
	last := day.SentBy
	if day.AmendedBy != "" {
		last = day.AmendedBy
	}
	parent, err := events.ParseCommandID(string(last[:32]))
	if err != nil {
		return fmt.Errorf("echoing %s: %w", date, err)
	}
	day.Sent.Jobs(func(crew events.CrewID, j events.DayJob) {
		commands = append(commands, events.Command{ID: events.DeriveCommandID(parent, "dispatched "+string(j.Job)+" "+string(crew)),
			Office: d.cfg.Office, Happened: day.SentAt, Actor: "dispatch",
			Do: events.EchoDispatch{Day: day.SentBy, Date: date, Crew: crew, JobRef: j.JobRef}})
	})
	return d.run(ctx, commands, "dispatched")
}

// standDown takes the day off every job that still shows it.
func (d *Desk) standDown(ctx context.Context, book *events.Book, date events.Date, parent events.CommandID, why string) error {
	var commands []events.Command
	for _, a := range book.Assemblies {
		for _, j := range a.Jobs {
			if a.Office == d.cfg.Office && j.Dispatched != nil && j.Dispatched.Date == date {
				ref := events.JobRef{Assembly: a.ID, Job: j.ID}
				commands = append(commands, events.Command{ID: events.DeriveCommandID(parent, "stood-down "+string(j.ID)),
					Office: d.cfg.Office, Happened: d.cfg.Now(), Actor: "dispatch", Do: events.EchoStandDown{Date: date, JobRef: ref, Why: why}})
			}
		}
	}
	return d.run(ctx, commands, "stood down")
}

func (d *Desk) run(ctx context.Context, commands []events.Command, what string) error {
	results, err := d.cfg.Keeper.Import(ctx, commands, nil)
	if err != nil {
		return fmt.Errorf("writing %q on the jobs: %w", what, err)
	}
	for i, r := range results {
		if r.Err != nil {
			d.log.Warn("an echo was refused", zap.String("what", what), zap.Any("command", commands[i].Do), zap.Error(r.Err))
		}
	}
	return nil
}

// Recover completes what a stop in the middle left undone: echoes of days that are out, and stand-downs of days taken back.
// A day that is over echoes no more: its jobs may have been out with other days since.
func (d *Desk) Recover(ctx context.Context) error {
	book := d.cfg.Keeper.Book()
	today := events.DateIn(d.cfg.Now(), d.cfg.Now().Location())
	for _, day := range book.Days {
		if day.Office != d.cfg.Office {
			continue
		}
		if day.Sent != nil && !day.Date.Before(today) {
			if err := d.callOff(ctx, book, day.Date, "amended"); err != nil {
				return err
			}
			if err := d.echo(ctx, d.cfg.Keeper.Book(), day.Date); err != nil {
				return err
			}
			continue
		}
		if day.Taken != nil {
			if err := d.standDown(ctx, book, day.Date, events.DeriveCommandID(events.CommandID{1}, fmt.Sprintf("recover %s %d", day.Date, book.Position())), day.Taken.Why); err != nil {
				return err
			}
		}
	}
	return nil
}
