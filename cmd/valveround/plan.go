package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/services/demo"
	"valveround/services/intake"
	"valveround/services/intake/plain"
	"valveround/services/intake/sheet"
)

// source is where a book comes from that no log is kept of: the demo county, or a folder of plain CSV files.
type source struct {
	Demo     bool   `help:"Use the invented demo county." xor:"source" required:""`
	From     string `help:"Use the plain CSV files of a folder." type:"existingdir" xor:"source" required:"" placeholder:"DIR"`
	Crews    int    `help:"Crews of the demo." default:"8"`
	Sites    int    `help:"Sites of the demo; it has two and a half assemblies a site." default:"600"`
	Seed     uint64 `help:"Another seed is another county." default:"1"`
	Office   string `help:"Office of the CSV files." default:"main"`
	Settings string `help:"JSON file with what is to be planned with otherwise than by default; the settings command lists the names." type:"existingfile" placeholder:"FILE"`
}

// settings are those of the book's office, but for what a file says.
func (s source) settings(b *events.Book, office events.OfficeID) (planner.Settings, error) {
	of, err := planner.SettingsOf(b, office)
	if err != nil || s.Settings == "" {
		return of, err
	}
	text, err := os.ReadFile(s.Settings)
	if err != nil {
		return of, fmt.Errorf("--settings: %w", err)
	}
	if of, err = of.With(text); err != nil {
		return of, fmt.Errorf("--settings %s: %w", s.Settings, describeJSON(err))
	}
	return of, nil
}

// options of the demo county as it is on a day.
func (s source) options(today events.Date) (demo.Options, error) {
	o := demo.Default()
	o.Crews, o.Sites, o.Assemblies, o.Seed, o.Today = s.Crews, s.Sites, s.Sites*5/2, s.Seed, today
	return o, o.Validate()
}

// loaded is a book and the moment it is looked at.
type loaded struct {
	book     *events.Book
	office   events.OfficeID
	now      time.Time
	settings planner.Settings
}

// load makes the book as it is on the afternoon before the date, and finds with what to plan it.
func (s source) load(date events.Date, errOut io.Writer) (loaded, error) {
	l, err := s.loadBook(date, errOut)
	if err == nil {
		l.settings, err = s.settings(l.book, l.office)
	}
	return l, err
}

func (s source) loadBook(date events.Date, errOut io.Writer) (loaded, error) {
	today := date.AddDays(-1)
	if s.Demo {
		o, err := s.options(today)
		if err != nil {
			return loaded{}, fmt.Errorf("the demo: %w", err)
		}
		fleet := demo.Generate(o)
		book, err := fleet.Fold()
		if err != nil {
			return loaded{}, err
		}
		return loaded{book: book, office: fleet.Office, now: afternoon(today, o.Zone)}, nil
	}
	if err := events.CheckID(s.Office); err != nil {
		return loaded{}, fmt.Errorf("--office: %w", err)
	}
	fleet, faults, err := plain.ReadFolder(os.DirFS(s.From), sheet.Limits{})
	if err != nil {
		return loaded{}, fmt.Errorf("reading %s: %w", s.From, err)
	}
	zone := "UTC"
	if len(fleet.Crews) > 0 && fleet.Crews[0].Zone != "" {
		zone = fleet.Crews[0].Zone
	}
	now := afternoon(today, zone)
	book, folder, err := intake.FoldFolder(fleet, intake.FolderOptions{Office: events.OfficeID(s.Office), Actor: "import", Happened: now})
	if err != nil {
		return loaded{}, err
	}
	sayFaults(errOut, append(faults, folder.Faults...))
	return loaded{book: book, office: events.OfficeID(s.Office), now: now}, nil
}

// afternoon is three o'clock, when tomorrow is planned.
func afternoon(day events.Date, zone string) time.Time {
	loc, err := time.LoadLocation(zone)
	if err != nil {
		loc = time.UTC
	}
	y, m, d := day.YMD()
	return time.Date(y, m, d, 15, 0, 0, 0, loc)
}

func sayFaults(w io.Writer, faults []sheet.Fault) {
	for _, f := range faults {
		fmt.Fprintln(w, f)
	}
	if len(faults) > 0 {
		fmt.Fprintf(w, "%d rows or cells need a look; the others were taken.\n", len(faults))
	}
}

type planCommand struct {
	source  `embed:""`
	Date    string  `help:"Day to plan, as 2026-03-31. Default: tomorrow."`
	Seconds float64 `help:"How long to search." default:"3"`
	Search  uint64  `help:"Seed of the search." default:"1"`
	Days    int     `help:"Plan so many days, each taking what the days before leave. With more than one, a line a day is printed." default:"1"`
	Out     string  `help:"Save the plan as JSON." type:"path" placeholder:"FILE"`
}

func (c *planCommand) Run(ctx context.Context, io streams) error {
	date, err := dateOr(c.Date, events.DateIn(time.Now(), time.Local).AddDays(1))
	if err != nil {
		return fmt.Errorf("--date: %w", err)
	}
	if !(c.Seconds >= 0 && c.Seconds <= 3600) {
		return fmt.Errorf("--seconds: %v is outside 0 to 3600", c.Seconds)
	}
	if c.Days < 1 || c.Days > 60 {
		return fmt.Errorf("--days: %d is outside 1 to 60", c.Days)
	}
	began := time.Now()
	l, err := c.load(date, io.err)
	if err != nil {
		return err
	}
	if c.Days > 1 {
		return c.planDays(ctx, io, l, date)
	}
	loadedIn := time.Since(began)
	settings := l.settings
	planning := time.Now()
	plan, err := planner.Make(ctx, planner.Request{Book: l.book, Office: l.office, Date: date, Now: l.now, Settings: settings, Seconds: c.Seconds, Seed: c.Search})
	if err != nil {
		return err
	}
	violations := check.Plan(l.book, plan, settings)
	took := time.Since(planning)
	fmt.Fprint(io.out, plan.InWords(l.book))
	fmt.Fprintf(io.out, "read in %.1f s; planned and checked in %.1f s, of which %.1f s were for the search\n", loadedIn.Seconds(), took.Seconds(), c.Seconds)
	if c.Out != "" {
		if err := savePlan(c.Out, plan); err != nil {
			return err
		}
		fmt.Fprintln(io.out, "saved as", c.Out)
	}
	return sayViolations(io, violations)
}

// planDays plans several days and prints what each comes to.
func (c *planCommand) planDays(ctx context.Context, io streams, l loaded, date events.Date) error {
	if c.Out != "" {
		return errors.New("--out saves the plan of one day: leave --days out")
	}
	settings, began := l.settings, time.Now()
	days, err := planner.MakeDays(ctx, planner.Request{Book: l.book, Office: l.office, Date: date, Now: l.now, Settings: settings, Seconds: c.Seconds, Seed: c.Search}, c.Days)
	if err != nil {
		return err
	}
	var violations []check.Violation
	for _, day := range days {
		violations = append(violations, check.Plan(day.Book, day.Plan, settings)...)
		jobs, routes := 0, 0
		for _, r := range day.Plan.Routes {
			routes += min(len(r.Visits), 1)
			for _, v := range r.Visits {
				jobs += len(v.Jobs)
			}
		}
		s := day.Plan.Statement()
		fmt.Fprintf(io.out, "%-9s %s  %3d routes, %4d jobs planned, %4d left out; routes %s USD, total %s USD\n", day.Plan.Date.Weekday(), day.Plan.Date, routes, jobs, len(day.Plan.LeftOut), s.Sum.Total, s.Total)
	}
	fmt.Fprintf(io.out, "%d days planned and checked in %.1f s, of which %.1f s were for the search\n", len(days), time.Since(began).Seconds(), c.Seconds*float64(len(days)))
	return sayViolations(io, violations)
}

func dateOr(text string, otherwise events.Date) (events.Date, error) {
	if text == "" {
		return otherwise, nil
	}
	return events.ParseDate(text)
}

// savePlan writes the file whole or not at all.
func savePlan(path string, plan planner.Plan) error {
	temporary := path + ".part"
	f, err := os.Create(temporary)
	if err != nil {
		return fmt.Errorf("saving the plan: %w", err)
	}
	err = errors.Join(plan.Write(f), f.Sync(), f.Close())
	if err == nil {
		err = os.Rename(temporary, path)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("saving the plan as %s: %w", path, err), os.Remove(temporary))
	}
	return nil
}

type checkCommand struct {
	source `embed:""`
	Plan   string `arg:"" help:"Plan saved by the plan command." type:"existingfile"`
}

func (c *checkCommand) Run(io streams) error {
	f, err := os.Open(c.Plan)
	if err != nil {
		return err
	}
	plan, err := planner.ReadPlan(f)
	if err = errors.Join(err, f.Close()); err != nil {
		return fmt.Errorf("%s: %w", c.Plan, describeJSON(err))
	}
	if plan.Date.IsZero() {
		return fmt.Errorf("%s: the plan does not say its date", c.Plan)
	}
	l, err := c.load(plan.Date, io.err)
	if err != nil {
		return err
	}
	if plan.Office != l.office {
		return fmt.Errorf("%s: the plan is of office %q, not %q", c.Plan, plan.Office, l.office)
	}
	if err := sayViolations(io, check.Plan(l.book, plan, l.settings)); err != nil {
		return err
	}
	fmt.Fprintf(io.out, "The plan for %s keeps every rule: %d routes, %d jobs left out with a reason.\n", plan.Date, len(plan.Routes), len(plan.LeftOut))
	return nil
}

func describeJSON(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		return fmt.Errorf("not JSON at byte %d: %w", syntax.Offset, err)
	case errors.As(err, &kind):
		return fmt.Errorf("field %s, byte %d: a %s is not what belongs there", kind.Field, kind.Offset, kind.Value)
	}
	return err
}

func sayViolations(io streams, violations []check.Violation) error {
	for _, v := range violations {
		fmt.Fprintf(io.err, "refused, %s\n", v)
	}
	if len(violations) > 0 {
		fmt.Fprintf(io.err, "The plan breaks %d rules and must not be sent out.\n", len(violations))
		return errSaid
	}
	return nil
}
