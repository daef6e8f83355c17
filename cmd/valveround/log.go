package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"valveround/events"
	"valveround/events/audit"
	"valveround/events/keeper"
	"valveround/events/natslog"
	"valveround/services/intake"
	"valveround/services/intake/plain"
	"valveround/services/intake/sheet"
	"valveround/services/words"
)

type initCommand struct {
	Dir string `arg:"" help:"Folder for the new log; it must be empty or not exist." type:"path"`
}

func (c *initCommand) Run(ctx context.Context, io streams) error {
	store, err := natslog.Open(ctx, natslog.Config{Dir: c.Dir, Create: true})
	if err != nil {
		return err
	}
	if err := store.Close(); err != nil {
		return err
	}
	fmt.Fprintf(io.out, "A new log is in %s. Serve it: valveround serve --dir %s\n", c.Dir, c.Dir)
	return nil
}

type logCommand struct {
	Export  exportCommand  `cmd:"" help:"Write every event as a line of JSON, for a script to read or verify."`
	Backup  backupCommand  `cmd:"" help:"Make a backup of a log, also while it is served; it is read back and verified."`
	Restore restoreCommand `cmd:"" help:"Restore a backup into a new folder, verified before and after."`
	Verify  verifyCommand  `cmd:"" help:"Compute the hash of every event again and follow each entity's chain."`
}

type exportCommand struct {
	Dir string `help:"Folder of the log." type:"existingdir" required:""`
	Out string `help:"File to write. Default: standard output." type:"path"`
}

func (c *exportCommand) Run(ctx context.Context, s streams) error {
	return withLog(ctx, c.Dir, func(log *natslog.Store) error {
		to := s.out
		if c.Out != "" {
			f, err := os.Create(c.Out)
			if err != nil {
				return err
			}
			report, err := audit.Export(ctx, log, f)
			if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
				fmt.Fprintf(s.err, "%s\n", report)
			}
			return err
		}
		report, err := audit.Export(ctx, log, to)
		if err == nil {
			fmt.Fprintf(s.err, "%s\n", report)
		}
		return err
	})
}

type verifyCommand struct {
	Dir string `help:"Folder of the log." type:"existingdir" required:""`
}

func (c *verifyCommand) Run(ctx context.Context, s streams) error {
	return withLog(ctx, c.Dir, func(log *natslog.Store) error {
		report, err := audit.VerifyChain(ctx, log)
		if err != nil {
			return err
		}
		fmt.Fprintln(s.out, report)
		if !report.Whole() {
			return errSaid
		}
		return nil
	})
}

// withLog opens a log that is there; an empty folder is not made into one.
func withLog(ctx context.Context, dir string, do func(*natslog.Store) error) error {
	if files, err := os.ReadDir(dir); err != nil || len(files) == 0 {
		return errors.Join(err, fmt.Errorf("%s holds no log; make one with: valveround init %s", dir, dir))
	}
	store, err := natslog.Open(ctx, natslog.Config{Dir: dir})
	if err != nil {
		return err
	}
	return errors.Join(do(store), store.Close())
}

type importCommand struct {
	Dir       string `help:"Folder of the log." type:"existingdir" required:""`
	Office    string `help:"Office the rows belong to." default:"main"`
	From      string `help:"Folder of plain CSV files: sites.csv, assemblies.csv and the others." type:"existingdir" xor:"what" required:"" placeholder:"FOLDER"`
	List      string `help:"A purveyor's due list, CSV or XLSX." type:"existingfile" xor:"what" required:"" placeholder:"FILE"`
	Positions string `help:"Address points, or centres of streets or postcodes, CSV or XLSX; what matched, and how surely, is printed." type:"existingfile" xor:"what" required:"" placeholder:"FILE"`
	Take      string `help:"Which matched positions to take: sure, likely (and sure), or none, to look first." enum:"sure,likely,none" default:"sure"`
	Purveyor  string `help:"Whose list it is: its id."`
	AsOf      string `help:"The day the list speaks for, as 2026-03-31."`
	Rejected  string `help:"Save the rows that were not taken, to mend and send again." type:"path" placeholder:"FILE"`
}

func (c *importCommand) Run(ctx context.Context, s streams) error {
	if err := events.CheckID(c.Office); err != nil {
		return fmt.Errorf("--office: %w", err)
	}
	if c.List != "" && (c.Purveyor == "" || c.AsOf == "") {
		return errors.New("a due list needs --purveyor ID and --as-of DATE")
	}
	return withLog(ctx, c.Dir, func(log *natslog.Store) error {
		k, err := keeper.Open(ctx, keeper.Config{Log: log})
		if err != nil {
			return err
		}
		switch {
		case c.From != "":
			err = c.folder(ctx, s, log, k)
		case c.Positions != "":
			err = c.places(ctx, s, k)
		default:
			err = c.list(ctx, s, k)
		}
		return errors.Join(err, k.Close())
	})
}

func (c *importCommand) folder(ctx context.Context, s streams, log *natslog.Store, k *keeper.Keeper) error {
	fleet, faults, err := plain.ReadFolder(os.DirFS(c.From), sheet.Limits{})
	if err != nil {
		return err
	}
	folder := intake.FromFolder(fleet, intake.FolderOptions{Office: events.OfficeID(c.Office), Actor: "import", Happened: time.Now(), Known: k.Book()})
	faults = append(faults, folder.Faults...)
	written := 0
	for _, wave := range folder.Waves {
		results, err := k.Import(ctx, wave, nil)
		if err != nil {
			return err
		}
		for _, r := range results {
			written += len(r.EventIDs)
		}
		faults = append(faults, folder.Refused(wave, results)...)
	}
	faults = append(faults, folder.NotOpened(k.Book())...)
	for id, name := range folder.People {
		text, err := json.Marshal(words.Details{Name: name})
		if err != nil {
			return err
		}
		if err := log.Put(ctx, string(id), text); err != nil {
			return err
		}
	}
	sayFaults(s.err, faults)
	fmt.Fprintf(s.out, "%d events written\n", written)
	return nil
}

func (c *importCommand) list(ctx context.Context, s streams, k *keeper.Keeper) error {
	asOf, err := events.ParseDate(c.AsOf)
	if err != nil {
		return fmt.Errorf("--as-of: %w", err)
	}
	data, err := os.ReadFile(c.List)
	if err != nil {
		return err
	}
	desk := intake.NewDesk(intake.Config{Doer: k, Office: events.OfficeID(c.Office), Now: time.Now})
	list, err := desk.Read(ctx, filepath.Base(c.List), data, events.PurveyorID(c.Purveyor), asOf)
	if err != nil {
		return err
	}
	for _, q := range list.Questions {
		fmt.Fprintln(s.err, "to be answered first:", q.Text)
	}
	if len(list.Questions) > 0 {
		fmt.Fprintln(s.err, "Take this list in on the page, where the questions can be answered.")
		return errSaid
	}
	// The id follows from the list, so that taking it in twice changes nothing twice.
	list, err = desk.Take(ctx, list.ID, events.DeriveCommandID(events.CommandID{1}, "list "+list.ID), "import")
	if err != nil {
		return err
	}
	sayFaults(s.err, append(list.Result.Rejected, list.Refused...))
	for action, n := range list.Proposal.Counts {
		fmt.Fprintf(s.out, "%s: %d\n", action, n)
	}
	if c.Rejected == "" {
		return nil
	}
	return saveRejected(desk, list.ID, c.Rejected)
}

func saveRejected(desk *intake.Desk, id, path string) error {
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(desk.SaveRejected(f, id), f.Close())
}
