package plain

import (
	"errors"
	"fmt"
	"io"
	"io/fs"

	"valveround/services/intake/sheet"
)

// Fleet is everything the files of one folder say.
type Fleet struct {
	Purveyors  []Purveyor
	Customers  []Customer
	Sites      []Site
	Feeds      []Feed
	Assemblies []Assembly
	People     []Person
	Crews      []Crew
	Gauges     []Gauge
	Kits       []RepairKit
	Jobs       []Job
	Bookings   []Booking
}

// file binds a file name to the part of the fleet it holds.
type file struct {
	name  string
	kind  string // what its ids name
	read  func(sheet.Table, *Fleet) []sheet.Fault
	write func(io.Writer, *Fleet) error
}

func fileOf[T any](name, kind string, part func(*Fleet) *[]T) file {
	return file{name: name, kind: kind,
		read: func(table sheet.Table, f *Fleet) (faults []sheet.Fault) {
			*part(f), faults = Read[T](table)
			return faults
		},
		write: func(w io.Writer, f *Fleet) error { return Write(w, *part(f)) },
	}
}

// files are in the order in which their rows can be registered: what is referred to comes first.
func files() []file {
	return []file{
		fileOf("purveyors.csv", "purveyor", func(f *Fleet) *[]Purveyor { return &f.Purveyors }),
		fileOf("customers.csv", "customer", func(f *Fleet) *[]Customer { return &f.Customers }),
		fileOf("sites.csv", "site", func(f *Fleet) *[]Site { return &f.Sites }),
		fileOf("feeds.csv", "feed", func(f *Fleet) *[]Feed { return &f.Feeds }),
		fileOf("assemblies.csv", "assembly", func(f *Fleet) *[]Assembly { return &f.Assemblies }),
		fileOf("people.csv", "person", func(f *Fleet) *[]Person { return &f.People }),
		fileOf("gauges.csv", "gauge", func(f *Fleet) *[]Gauge { return &f.Gauges }),
		fileOf("crews.csv", "crew", func(f *Fleet) *[]Crew { return &f.Crews }),
		fileOf("jobs.csv", "job", func(f *Fleet) *[]Job { return &f.Jobs }),
		fileOf("kits.csv", "kit", func(f *Fleet) *[]RepairKit { return &f.Kits }),
		fileOf("bookings.csv", "booking", func(f *Fleet) *[]Booking { return &f.Bookings }),
	}
}

// FileNames lists the files a folder may hold, in the order in which their rows can be registered.
func FileNames() []string {
	var out []string
	for _, f := range files() {
		out = append(out, f.name)
	}
	return out
}

// ReadFolder reads the files that are there. Faults name file, row and column; rows with faults are left
// out. The error is for files that cannot be read at all, or a folder with none of them.
func ReadFolder(folder fs.FS, limits sheet.Limits) (Fleet, []sheet.Fault, error) {
	var fleet Fleet
	var faults []sheet.Fault
	found := 0
	for _, f := range files() {
		data, err := fs.ReadFile(folder, f.name)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return fleet, faults, fmt.Errorf("reading %s: %w", f.name, err)
		}
		table, err := sheet.ReadCSV(f.name, data, limits)
		if err != nil {
			return fleet, faults, err
		}
		found++
		faults = append(faults, f.read(table, &fleet)...)
	}
	if found == 0 {
		return fleet, nil, fmt.Errorf("the folder holds none of %v: %w", FileNames(), fs.ErrNotExist)
	}
	return fleet, faults, nil
}

// WriteFolder writes every file through create, which opens a file of that name; files without rows get
// their header.
func WriteFolder(fleet Fleet, create func(name string) (io.WriteCloser, error)) error {
	for _, f := range files() {
		w, err := create(f.name)
		if err != nil {
			return fmt.Errorf("creating %s: %w", f.name, err)
		}
		if err := errors.Join(f.write(w, &fleet), w.Close()); err != nil {
			return fmt.Errorf("writing %s: %w", f.name, err)
		}
	}
	return nil
}

// reference is one cell that names a row of another file.
type reference struct {
	file, column, kind, id string
	row                    int
}

// Dangling lists references to ids that neither the fleet holds nor known reports (nil: nothing else is
// known). Kinds are purveyor, customer, site, feed, assembly, person, gauge, crew, job.
func (f Fleet) Dangling(known func(kind, id string) bool) []sheet.Fault {
	ids := f.ids()
	var faults []sheet.Fault
	for _, r := range f.references() {
		if r.id == "" || ids[r.kind+" "+r.id] || known != nil && known(r.kind, r.id) {
			continue
		}
		faults = append(faults, sheet.Fault{File: r.file, Row: r.row, Column: r.column, Value: r.id,
			Problem: "names a " + r.kind + " that is not known", WhatToDo: "add it, or mend the id"})
	}
	return faults
}

func (f Fleet) ids() map[string]bool {
	ids := map[string]bool{}
	put(ids, "purveyor", f.Purveyors, func(r Purveyor) string { return r.ID })
	put(ids, "customer", f.Customers, func(r Customer) string { return r.ID })
	put(ids, "site", f.Sites, func(r Site) string { return r.ID })
	put(ids, "feed", f.Feeds, func(r Feed) string { return r.ID })
	put(ids, "assembly", f.Assemblies, func(r Assembly) string { return r.ID })
	put(ids, "person", f.People, func(r Person) string { return r.ID })
	put(ids, "gauge", f.Gauges, func(r Gauge) string { return r.ID })
	put(ids, "job", f.Jobs, func(r Job) string { return r.ID })
	return ids
}

func put[T any](ids map[string]bool, kind string, rows []T, id func(T) string) {
	for _, row := range rows {
		ids[kind+" "+id(row)] = true
	}
}

func (f Fleet) references() []reference {
	var out []reference
	add := func(file, column, kind string, row int, ids ...string) {
		for _, id := range ids {
			out = append(out, reference{file, column, kind, id, row})
		}
	}
	for _, r := range f.Sites {
		add("sites.csv", "customer_id", "customer", r.Line, r.CustomerID)
	}
	for _, r := range f.Feeds {
		add("feeds.csv", "site_id", "site", r.Line, r.SiteID)
		add("feeds.csv", "fed_from", "feed", r.Line, r.FedFrom)
	}
	for _, r := range f.Assemblies {
		add("assemblies.csv", "site_id", "site", r.Line, r.SiteID)
		add("assemblies.csv", "feed_id", "feed", r.Line, r.FeedID)
		add("assemblies.csv", "purveyor_id", "purveyor", r.Line, r.PurveyorID)
	}
	for _, r := range f.People {
		for _, reg := range r.Registrations {
			add("people.csv", "registrations", "purveyor", r.Line, reg.PurveyorID)
		}
	}
	for _, r := range f.Gauges {
		add("gauges.csv", "registered_with", "purveyor", r.Line, r.RegisteredWith...)
	}
	for _, r := range f.Crews {
		add("crews.csv", "people", "person", r.Line, r.People...)
		add("crews.csv", "gauges", "gauge", r.Line, r.Gauges...)
	}
	for _, r := range f.Jobs {
		add("jobs.csv", "assembly_id", "assembly", r.Line, r.AssemblyID)
	}
	for _, r := range f.Bookings {
		add("bookings.csv", "site_id", "site", r.Line, r.SiteID)
		add("bookings.csv", "feed_id", "feed", r.Line, r.FeedID)
	}
	for _, r := range f.Kits {
		add("kits.csv", "for_job", "job", r.Line, r.ForJob)
	}
	return out
}
