package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
)

type supposeCommand struct {
	source    `embed:""`
	Date      string   `help:"Day, as 2026-03-31. Default: tomorrow, or that of --plan."`
	Seconds   float64  `help:"How long to search, for each plan." default:"1"`
	Plan      string   `help:"The plan as it stands, saved by the plan command. Default: planned first." type:"existingfile" placeholder:"FILE"`
	CrewOff   []string `help:"A crew does not work that day." placeholder:"CREW"`
	JobNow    []string `help:"An assembly has a job now." placeholder:"ASSEMBLY"`
	Window    []string `help:"A feed may be dry at other hours, as f-1=Mo-Fr 05:00-07:00." sep:"none" placeholder:"FEED=HOURS"`
	Access    []string `help:"Crews may be at a site at other hours." sep:"none" placeholder:"SITE=HOURS"`
	PartsLate []string `help:"The repair kits of an assembly's open job come on a day only." placeholder:"ASSEMBLY=DATE"`
	At        string   `help:"The plan is out and it is so late, as 10:00: crews are where their routes have them, and only what is ahead is planned." placeholder:"HH:MM"`
	Out       string   `help:"Save the supposed plan as JSON." type:"path" placeholder:"FILE"`
}

// Run says what would be otherwise on a day if something were so. Nothing is recorded.
func (c *supposeCommand) Run(ctx context.Context, io streams) error {
	if !(c.Seconds >= 0 && c.Seconds <= 3600) {
		return fmt.Errorf("--seconds: %v is outside 0 to 3600", c.Seconds)
	}
	var now planner.Plan
	date := events.DateIn(time.Now(), time.Local).AddDays(1)
	var err error
	if c.Plan != "" {
		if now, err = readPlan(c.Plan); err != nil {
			return err
		}
		date = now.Date
	}
	if date, err = dateOr(c.Date, date); err != nil {
		return fmt.Errorf("--date: %w", err)
	}
	l, err := c.load(date, io.err)
	if err != nil {
		return err
	}
	list, err := c.suppositions(l.book)
	if err != nil {
		return err
	}
	r := planner.Request{Book: l.book, Office: l.office, Date: date, Now: l.now, Settings: l.settings, Seconds: c.Seconds, Seed: 1}
	if c.Plan == "" {
		if now, err = planner.Make(ctx, r); err != nil {
			return err
		}
	} else if err := sayViolations(io, check.Plan(l.book, now, r.Settings)); err != nil {
		return err
	}
	for _, x := range list {
		fmt.Fprintf(io.out, "Suppose that %s.\n", x.InWords(l.book))
	}
	if c.At != "" {
		return c.onTheDay(ctx, io, r, now, list)
	}
	then, book, difference, err := planner.WhatIf(ctx, r, now, list...)
	if err != nil {
		return err
	}
	fmt.Fprint(io.out, difference.InWords(book))
	if c.Out != "" {
		if err := savePlan(c.Out, then); err != nil {
			return err
		}
		fmt.Fprintln(io.out, "saved as", c.Out)
	}
	return sayViolations(io, check.Plan(book, then, r.Settings))
}

// onTheDay supposes while the day is being driven as planned.
func (c *supposeCommand) onTheDay(ctx context.Context, io streams, r planner.Request, plan planner.Plan, list []planner.Supposition) error {
	clock, err := time.Parse("15:04", c.At)
	if err != nil {
		return fmt.Errorf("--at: %q is no time of the day such as 10:00", c.At)
	}
	zone := r.Now.Location()
	y, m, d := r.Date.YMD()
	r.Now = time.Date(y, m, d, clock.Hour(), clock.Minute(), 0, 0, zone)
	r.Book = planner.SentOut(r.Book, plan)
	supposed, err := planner.Suppose(r.Book, r.Office, r.Date, list...)
	if err != nil {
		return err
	}
	began := time.Now()
	kept, rest, err := planner.RestIf(ctx, r, supposed)
	if err != nil {
		return err
	}
	violations := check.Options{Amending: true}.Plan(supposed, rest, r.Settings)
	took := time.Since(began)
	sent := *r.Book.Day(r.Office, r.Date).Sent
	fmt.Fprint(io.out, planner.CompareRest(sent, kept, rest).InWords(supposed))
	fmt.Fprintf(io.out, "%d routes would change; planned and checked in %.1f s\n", len(planner.Amendment(sent, rest)), took.Seconds())
	if c.Out != "" {
		if err := savePlan(c.Out, rest); err != nil {
			return err
		}
		fmt.Fprintln(io.out, "saved as", c.Out)
	}
	return sayViolations(io, violations)
}

func readPlan(path string) (planner.Plan, error) {
	f, err := os.Open(path)
	if err != nil {
		return planner.Plan{}, err
	}
	defer f.Close() //nolint:errcheck // it was only read
	plan, err := planner.ReadPlan(f)
	if err != nil {
		return plan, fmt.Errorf("%s: %w", path, describeJSON(err))
	}
	if plan.Date.IsZero() {
		return plan, fmt.Errorf("%s: the plan does not say its date", path)
	}
	return plan, nil
}

func (c *supposeCommand) suppositions(b *events.Book) ([]planner.Supposition, error) {
	var list []planner.Supposition
	for _, name := range c.CrewOff {
		id := events.CrewID(name)
		for known, crew := range b.Crews {
			if crew.Name == name || crew.Letter == name {
				id = known
			}
		}
		list = append(list, planner.Supposition{What: planner.SupposeCrewOff, Crew: id})
	}
	for _, id := range c.JobNow {
		list = append(list, planner.Supposition{What: planner.SupposeNewJob, Assembly: events.AssemblyID(id), Kind: events.Discharging})
	}
	for _, text := range c.Window {
		feed, hours, _ := strings.Cut(text, "=")
		list = append(list, planner.Supposition{What: planner.SupposeWindow, Feed: events.FeedID(feed), Hours: hours})
	}
	for _, text := range c.Access {
		site, hours, _ := strings.Cut(text, "=")
		list = append(list, planner.Supposition{What: planner.SupposeAccess, Site: events.SiteID(site), Hours: hours})
	}
	for _, text := range c.PartsLate {
		id, day, _ := strings.Cut(text, "=")
		date, err := events.ParseDate(day)
		if err != nil {
			return nil, fmt.Errorf("--parts-late %s: %w", text, err)
		}
		a := b.Assemblies[events.AssemblyID(id)]
		if a == nil {
			return nil, fmt.Errorf("--parts-late %s: there is no assembly %q", text, id)
		}
		i := slices.IndexFunc(a.Jobs, func(j events.Job) bool { return j.NeedsRepair() && len(j.Parts) > 0 })
		if i < 0 {
			return nil, fmt.Errorf("--parts-late %s: no open job of the assembly waits for a repair kit", text)
		}
		list = append(list, planner.Supposition{What: planner.SupposePartsLate, Assembly: a.ID, Job: a.Jobs[i].ID, Promised: date})
	}
	if len(list) == 0 {
		return nil, errors.New("say what to suppose: --crew-off, --job-now, --window, --access or --parts-late")
	}
	return list, nil
}
