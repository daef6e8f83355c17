package main

import (
	"context"
	"fmt"

	"valveround/events"
	"valveround/events/natslog"
	"valveround/planner"
	"valveround/planner/durations"
)

// timesCommand says what the log tells of the durations that plans are made with.
type timesCommand struct {
	Dir    string `help:"Folder of the log." type:"existingdir" xor:"source" required:"" placeholder:"DIR"`
	Demo   bool   `help:"Use the invented demo county." xor:"source" required:""`
	Crews  int    `help:"Crews of the demo." default:"8"`
	Sites  int    `help:"Sites of the demo." default:"600"`
	Seed   uint64 `help:"Another seed is another county." default:"1"`
	Date   string `help:"Today in the demo, as 2026-03-31. Default: today."`
	Office string `help:"Office of the log." default:"main"`
}

func (c *timesCommand) Run(ctx context.Context, io streams) error {
	book, office, err := c.book(ctx)
	if err != nil {
		return err
	}
	settings, err := planner.SettingsOf(book, office)
	if err != nil {
		return err
	}
	learned := settings.Learned(book, office)
	if len(learned.Rows) == 0 {
		fmt.Fprintln(io.out, "Nothing is on record yet from which a time could be learned.")
	}
	for _, row := range learned.Rows {
		fmt.Fprintln(io.out, row.Words())
		for _, crew := range row.Crews {
			name := string(crew.Crew)
			if known := book.Crews[crew.Crew]; known != nil {
				name = known.Name
			}
			fmt.Fprintf(io.out, "    %-12s %3.0f min, %d on record with a mean of %.0f\n", name, crew.Minutes, crew.Count, crew.Mean)
		}
	}
	cells, all := durations.FailHistory(book, office, settings.FailSetting)
	for _, f := range append(cells, all) {
		fmt.Fprintln(io.out, "failed tests,", f.Words())
	}
	if learned.LeftOut > 0 {
		fmt.Fprintf(io.out, "%d recorded times were left out: no work is so short or so long.\n", learned.LeftOut)
	}
	if len(learned.Rows) > 0 {
		fmt.Fprintln(io.out, "Minutes with the water off. Means of few visits are drawn towards the setting, means of crews towards that of all.")
	}
	return nil
}

func (c *timesCommand) book(ctx context.Context) (*events.Book, events.OfficeID, error) {
	if c.Demo {
		fleet, err := demoOptions{c.Crews, c.Sites, c.Seed, c.Date}.fleet()
		if err != nil {
			return nil, "", err
		}
		book, err := fleet.Fold()
		return book, fleet.Office, err
	}
	if err := events.CheckID(c.Office); err != nil {
		return nil, "", fmt.Errorf("--office: %w", err)
	}
	book := events.NewBook()
	err := withLog(ctx, c.Dir, func(log *natslog.Store) error {
		return log.Read(ctx, 1, func(r events.Record) error {
			book.Apply(r)
			return nil
		})
	})
	return book, events.OfficeID(c.Office), err
}
