package intake

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/events/holidays"
	"valveround/events/keeper"
	"valveround/planner/hours"
	"valveround/services/intake/plain"
	"valveround/services/intake/sheet"
)

// FolderOptions say who takes a folder of plain CSV files in, and when.
type FolderOptions struct {
	Office   events.OfficeID
	Actor    events.PersonID
	Happened time.Time
	// Known is what is on record already; nil: nothing. Rows may refer to it, and what the log has seen happen since
	// a row was written is left to the log.
	Known *events.Book
}

// Folder is a folder of plain CSV files as commands.
type Folder struct {
	// Waves of commands: those of one wave do not rely on each other, each wave relies on those before it. Their ids
	// derive from what the files say, so the same folder taken in twice changes nothing.
	Waves [][]events.Command
	// People are names by person. They are kept apart from the log.
	People map[events.PersonID]string
	// Faults name file, row and column. A row with a fault is left out; a question is about a row that is taken in.
	Faults []sheet.Fault

	jobs   []plain.Job // taken in
	places map[events.CommandID]place
}

type place struct {
	file string
	row  int
}

// Waves of a folder.
const (
	folderRegistry   = iota // purveyors, customers, people, gauges, crews, repair kits, sites
	folderFeeds             // and what is about the registry itself
	folderAssemblies        // and how feeds were left, and what is booked
	folderJobs
	folderFailures
	folderParts
	folderReady
	folderDisuse // after the jobs, which then are to be done before use
)

// folding is the work on one folder.
type folding struct {
	options FolderOptions
	fleet   plain.Fleet
	known   *events.Book
	out     Folder
	steps   []step
	places  map[string]place  // by step key
	ids     map[string]bool   // "site s1": rows taken in
	sites   map[string]string // of feeds taken in
}

// FromFolder turns the rows of a folder into commands. It is pure.
func FromFolder(fleet plain.Fleet, o FolderOptions) Folder {
	f := &folding{options: o, fleet: fleet, known: o.Known, places: map[string]place{}, ids: map[string]bool{},
		sites: map[string]string{}}
	if f.known == nil {
		f.known = events.NewBook()
	}
	f.out.People = map[events.PersonID]string{}
	f.purveyors()
	f.customers()
	f.people()
	f.gauges()
	f.crews()
	f.sitesAndFeeds()
	f.assemblies()
	f.kits()
	f.jobs()
	f.bookings()
	base := folderID(fleet, o.Office)
	f.out.Waves = inWaves(f.steps, base, events.Command{Actor: o.Actor, Office: o.Office, Happened: o.Happened})
	f.out.places = map[events.CommandID]place{}
	for key, at := range f.places {
		f.out.places[events.DeriveCommandID(base, key)] = at
	}
	return f.out
}

// folderID is a hash of what the files say.
func folderID(fleet plain.Fleet, office events.OfficeID) events.CommandID {
	d := sha256.New()
	fmt.Fprintln(d, office)
	// A hash takes everything; nothing can fail.
	_ = plain.WriteFolder(fleet, func(name string) (io.WriteCloser, error) {
		fmt.Fprintln(d, name)
		return unclosed{d}, nil
	})
	return events.CommandID(d.Sum(nil)[:16])
}

type unclosed struct{ io.Writer }

func (unclosed) Close() error { return nil }

// FoldFolder makes a book of a folder alone, to plan on without a log. What the book refuses is added to the faults.
func FoldFolder(fleet plain.Fleet, o FolderOptions) (*events.Book, Folder, error) {
	folder := FromFolder(fleet, o)
	book := events.NewBook()
	for _, wave := range folder.Waves {
		for _, c := range wave {
			batch, err := events.Prepare(book, c, o.Happened)
			var refusal *events.Refusal
			if errors.As(err, &refusal) {
				folder.Faults = append(folder.Faults, folder.refused(c, refusal))
				continue
			}
			if err != nil {
				return nil, folder, fmt.Errorf("folding %s row %d: %w", folder.places[c.ID].file, folder.places[c.ID].row, err)
			}
			for _, a := range batch {
				r := a.Record
				r.Seq = book.Position() + 1
				if applied := book.Apply(r); applied.Err != nil {
					return nil, folder, fmt.Errorf("folding %s: %w", r.Subject(), applied.Err)
				}
			}
		}
	}
	folder.Faults = append(folder.Faults, folder.NotOpened(book)...)
	return book, folder, nil
}

func (f Folder) refused(c events.Command, err error) sheet.Fault {
	at := f.places[c.ID]
	return sheet.Fault{File: at.file, Row: at.row, Problem: "was refused: " + err.Error(), WhatToDo: "mend the row"}
}

// Refused says which rows of a wave the log refused, given what became of its commands.
func (f Folder) Refused(wave []events.Command, results []keeper.Imported) []sheet.Fault {
	var faults []sheet.Fault
	for i, r := range results {
		if r.Err != nil {
			faults = append(faults, f.refused(wave[i], r.Err))
		}
	}
	return faults
}

// NotOpened lists the rows of jobs.csv that are no job in a book that the folder was taken into.
func (f Folder) NotOpened(book *events.Book) []sheet.Fault {
	var faults []sheet.Fault
	for _, row := range f.jobs {
		a := book.Assemblies[events.AssemblyID(row.AssemblyID)]
		if a == nil || a.Job(events.JobID(row.ID)) != nil {
			continue
		}
		fault := sheet.Fault{File: "jobs.csv", Row: row.Line, Column: "id", Value: row.ID, Problem: "was not opened"}
		switch {
		case a.SendAgain != nil && a.SendAgain.Due == row.Due:
			fault.Problem += ": the assembly passed on " + a.SendAgain.Passed.String() + ", within the cycle that ends on " + row.Due.String()
			fault.WhatToDo = "send the report again; if the test is owed all the same, correct last_passed"
		case a.OpenJob() != nil:
			fault.Problem += ": the assembly has the open job " + string(a.OpenJob().ID)
			fault.WhatToDo = "one open job is enough"
		}
		faults = append(faults, fault)
	}
	return faults
}

// rowCheck gathers what is wrong with one row; a row with a fault is left out.
type rowCheck struct {
	f   *folding
	at  place
	bad bool
}

func (f *folding) row(file string, line int) *rowCheck { return &rowCheck{f: f, at: place{file, line}} }

func (c *rowCheck) fault(column, value, problem, whatToDo string) {
	c.bad = true
	c.f.out.Faults = append(c.f.out.Faults, sheet.Fault{File: c.at.file, Row: c.at.row, Column: column, Value: value, Problem: problem, WhatToDo: whatToDo})
}

// ask notes a doubt; the row is taken in.
func (c *rowCheck) ask(column, value, problem, whatToDo string) {
	c.f.out.Faults = append(c.f.out.Faults, sheet.Fault{File: c.at.file, Row: c.at.row, Column: column, Value: value, Problem: problem,
		WhatToDo: whatToDo, Question: true})
}

// refer checks that ids name rows that are taken in, or things on record.
func (c *rowCheck) refer(column, kind string, ids ...string) {
	for _, id := range ids {
		if id != "" && !c.f.has(kind, id) {
			c.fault(column, id, "names a "+kind+" that is neither in the folder nor on record, or whose row has a fault", "add it, or mend the id")
		}
	}
}

func (f *folding) has(kind, id string) bool {
	b := f.known
	return f.ids[kind+" "+id] ||
		kind == "purveyor" && b.Purveyors[events.PurveyorID(id)] != nil ||
		kind == "customer" && b.Customers[events.CustomerID(id)] != nil ||
		kind == "site" && b.Sites[events.SiteID(id)] != nil ||
		kind == "feed" && b.Feeds[events.FeedID(id)] != nil ||
		kind == "assembly" && b.Assemblies[events.AssemblyID(id)] != nil ||
		kind == "person" && b.People[events.PersonID(id)] != nil ||
		kind == "gauge" && b.Gauges[events.GaugeID(id)] != nil ||
		kind == "crew" && b.Crews[events.CrewID(id)] != nil
}

// hours checks a text in opening-hours syntax; blank is not known and no fault.
func (c *rowCheck) hours(column, text, region string) {
	if text == "" {
		return
	}
	if _, err := hours.ParseIn(text, region); err != nil {
		c.fault(column, text, "is not a time as this program reads them: "+err.Error(), "write it such as Mo-Fr 07:00-15:30; Dec 24-26 off")
	}
}

// region checks that the public holidays of a region are known; blank is no fault.
func (c *rowCheck) region(column, code string) {
	if _, ok := holidays.Of(code); !ok && code != "" {
		c.fault(column, code, "is no region whose public holidays this program knows", "write one of "+strings.Join(holidays.Regions(), ", ")+", or leave it blank")
	}
}

// zone checks that a time zone is given; plain has checked that it exists.
func (c *rowCheck) zone(text string) {
	if text == "" {
		c.fault("zone", "", "is blank, so no time of this row has a meaning", "write an IANA name, such as America/Denver")
	}
}

// register adds the command that enters or corrects a thing, unless the row has a fault.
func (c *rowCheck) register(wave int, kind, id string, do any) bool {
	if c.bad {
		return false
	}
	c.f.ids[kind+" "+id] = true
	c.add(wave, kind+":"+id, do)
	return true
}

// add adds a command that the row asks for.
func (c *rowCheck) add(wave int, key string, do any) {
	c.f.steps = append(c.f.steps, step{wave, key, do})
	c.f.places[key] = c.at
}

// each calls a function with every row and its check.
func each[T any](f *folding, file string, rows []T, line func(T) int, do func(*rowCheck, T)) {
	for _, r := range slices.Clone(rows) {
		do(f.row(file, line(r)), r)
	}
}
