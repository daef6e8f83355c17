package intake_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/geo"
	"valveround/services/intake"
	"valveround/services/intake/duelist"
)

const office events.OfficeID = "north"

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// story is a book in memory on which commands are carried out as a log would store them.
type story struct {
	t     testing.TB
	book  *events.Book
	wrote []string // "assembly.due" and so on, of the last run
	n     byte
}

func newStory(t testing.TB) *story { return &story{t: t, book: events.NewBook()} }

func (s *story) Book() *events.Book { return s.book }

// Import does what the keeper's does: a known command id changes nothing, a refusal does not stop the rest.
func (s *story) Import(_ context.Context, commands []events.Command, progress func(int)) ([]keeper.Imported, error) {
	var out []keeper.Imported
	for i, c := range commands {
		if at, known := s.book.CommandPosition(c.ID); known {
			out = append(out, keeper.Imported{Receipt: keeper.Receipt{Position: at, Repeated: true}})
			continue
		}
		out = append(out, keeper.Imported{Err: s.carryOut(c)})
		if progress != nil {
			progress(i + 1)
		}
	}
	return out, nil
}

func (s *story) carryOut(c events.Command) error {
	batch, err := events.Prepare(s.book, c, noon)
	if err != nil {
		return err
	}
	for _, a := range batch {
		r := a.Record
		r.Seq = s.book.Position() + 1
		if got := s.book.Apply(r); !got.Accepted || got.Unknown {
			s.t.Fatalf("%T: the fold did not accept %s: %+v", c.Do, r.Subject(), got)
		}
		s.wrote = append(s.wrote, string(r.Entity.Kind)+"."+r.Name)
	}
	return nil
}

func (s *story) do(does ...any) {
	s.t.Helper()
	for _, do := range does {
		s.n++
		if err := s.carryOut(events.Command{ID: events.CommandID{1, s.n}, Actor: "p-desk", Office: office, Happened: noon, Do: do}); err != nil {
			s.t.Fatalf("%T: %v", do, err)
		}
	}
}

// run carries waves out and gives the names of what was written. No wave may rely on itself, so each is prepared as one.
func (s *story) run(waves [][]events.Command) []string {
	s.t.Helper()
	s.wrote = nil
	for i, wave := range waves {
		fresh := slices.DeleteFunc(slices.Clone(wave), func(c events.Command) bool { _, known := s.book.CommandPosition(c.ID); return known })
		if _, err := events.PrepareAll(s.book, fresh, noon); err != nil {
			s.t.Fatalf("wave %d: %v", i, err)
		}
		results, err := s.Import(context.Background(), wave, nil)
		for _, r := range results {
			err = errors.Join(err, r.Err)
		}
		if err != nil {
			s.t.Fatalf("wave %d: %v", i, err)
		}
	}
	return s.wrote
}

func date(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

// furnish registers one purveyor and three assemblies at two addresses.
func (s *story) furnish() *story {
	s.do(events.Put[events.PurveyorFacts]{ID: "pv", Facts: events.PurveyorFacts{Name: "Millbrook Water", Zone: "America/New_York", IntervalMonths: 12}},
		events.Put[events.SiteFacts]{ID: "s1", Facts: events.SiteFacts{Name: "Corner kitchen", Address: "12 North Mill Street, Ashby", Customer: "cu1",
			Zone: "America/New_York", Position: geo.MustPoint(41, -74)}},
		events.Put[events.SiteFacts]{ID: "s2", Facts: events.SiteFacts{Name: "Laundry", Address: "7 Weir Road, Ashby", Zone: "America/New_York"}})
	for _, a := range []struct{ id, site, number, serial string }{{"a1", "s1", "MW-1", "00417"}, {"a2", "s1", "MW-2", "B10I"}, {"a3", "s2", "MW-3", "C3"}} {
		s.do(events.Put[events.FeedFacts]{ID: "f-" + a.id, Facts: events.FeedFacts{Site: events.SiteID(a.site), Name: "main"}},
			events.Put[events.AssemblyFacts]{ID: a.id, Facts: events.AssemblyFacts{Site: events.SiteID(a.site), Feed: events.FeedID("f-" + a.id), Purveyor: "pv",
				PurveyorNumber: a.number, Type: events.RP, Size: events.InchSize(2, 0), Maker: "Orrin", Model: "R2", Serial: a.serial}})
	}
	return s
}

// row is a row of a due list.
func row(line int, number, due string, more ...func(*duelist.Row)) duelist.Row {
	r := duelist.Row{File: "due.csv", Lines: []int{line}, Number: number, Standing: events.Ours, Type: events.RP}
	if due != "" {
		r.Due = date(due)
	}
	for _, m := range more {
		m(&r)
	}
	return r
}

func at(address string) func(*duelist.Row) { return func(r *duelist.Row) { r.Address = address } }

func serial(text string) func(*duelist.Row) {
	return func(r *duelist.Row) { r.Main.Serial, r.Main.SerialKey = text, duelist.LookAlikeKey(text) }
}

func standing(s events.Standing) func(*duelist.Row) {
	return func(r *duelist.Row) { r.Standing = s }
}

func (s *story) propose(asOf string, rows ...duelist.Row) intake.Proposal {
	s.t.Helper()
	p, err := intake.Propose(s.book, duelist.Result{File: "due.csv", Rows: rows},
		intake.Options{Purveyor: "pv", Office: office, AsOf: date(asOf), File: "due.csv", SHA256: intake.HashID("sum", asOf+fmt.Sprint(rows))})
	if err != nil {
		s.t.Fatal(err)
	}
	if len(p.Rows) != len(rows) {
		s.t.Fatalf("%d rows have %d actions", len(rows), len(p.Rows))
	}
	for i, r := range p.Rows {
		if r.Action == "" || r.Words == "" {
			s.t.Errorf("row %d has action %q, words %q", i, r.Action, r.Words)
		}
	}
	return p
}

// take carries a proposal out.
func (s *story) take(p intake.Proposal) []string {
	s.t.Helper()
	s.n++
	waves, err := p.Commands(events.CommandID{2, s.n}, "p-desk", noon)
	if err != nil {
		s.t.Fatal(err)
	}
	return s.run(waves)
}
