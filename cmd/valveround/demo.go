package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"valveround/events"
	"valveround/services/demo"
	"valveround/services/intake"
	"valveround/services/intake/plain"
)

// demoCommand writes parts of the demo county as files, to try imports with.
type demoCommand struct {
	List  demoListCommand  `cmd:"" help:"Write the untidy due list that a purveyor of the demo would send today."`
	Files demoFilesCommand `cmd:"" help:"Write the demo county as plain CSV files."`
}

type demoOptions struct {
	Crews int    `help:"Crews of the demo." default:"8"`
	Sites int    `help:"Sites of the demo." default:"600"`
	Seed  uint64 `help:"Another seed is another county." default:"1"`
	Date  string `help:"Today in the county, as 2026-03-31. Default: today."`
}

func (c demoOptions) fleet() (demo.Fleet, error) {
	o := demo.Default()
	zone, err := time.LoadLocation(o.Zone)
	if err != nil {
		return demo.Fleet{}, err
	}
	today, err := dateOr(c.Date, events.DateIn(time.Now(), zone))
	if err != nil {
		return demo.Fleet{}, fmt.Errorf("--date: %w", err)
	}
	if o, err = (source{Crews: c.Crews, Sites: c.Sites, Seed: c.Seed}).options(today); err != nil {
		return demo.Fleet{}, fmt.Errorf("the demo: %w", err)
	}
	return demo.Generate(o), nil
}

type demoListCommand struct {
	demoOptions `embed:""`
	Purveyor    string `help:"Id of the purveyor. Default: that of the story to follow." placeholder:"ID"`
	Out         string `help:"File to write. Default: standard output." type:"path" placeholder:"FILE"`
}

func (c *demoListCommand) Run(_ context.Context, s streams) error {
	fleet, err := c.fleet()
	if err != nil {
		return err
	}
	purveyor := fleet.Story.Purveyor
	if c.Purveyor != "" {
		purveyor = events.PurveyorID(c.Purveyor)
	}
	if c.Out == "" {
		return demo.WriteSampleList(s.out, fleet, purveyor)
	}
	f, err := os.Create(c.Out)
	if err != nil {
		return err
	}
	if err := errors.Join(demo.WriteSampleList(f, fleet, purveyor), f.Close()); err != nil {
		return err
	}
	fmt.Fprintf(s.out, "%s is a list of purveyor %s. It names assembly %s (number %s), which no list has named before.\n",
		c.Out, purveyor, fleet.Story.Assembly, fleet.Story.PurveyorNumber)
	return nil
}

type demoFilesCommand struct {
	demoOptions `embed:""`
	Out         string `arg:"" help:"Folder to write." type:"path"`
}

func (c *demoFilesCommand) Run(s streams) error {
	fleet, err := c.fleet()
	if err != nil {
		return err
	}
	book, err := fleet.Fold()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(c.Out, 0o755); err != nil {
		return err
	}
	files, lost := intake.ToFolder(book, fleet.Office, func(id events.PersonID) string { return fleet.People[id].Name })
	for _, what := range lost {
		fmt.Fprintln(s.err, "not in the files:", what)
	}
	err = plain.WriteFolder(files, func(name string) (io.WriteCloser, error) { return os.Create(filepath.Join(c.Out, name)) })
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "The demo county is in %s. Plan with it: valveround plan --from %s\n", c.Out, c.Out)
	return nil
}
