package papers

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/services/demo"
	"valveround/services/words"
)

var update = flag.Bool("update", false, "rewrite the golden files in testdata/papers")

// golden compares with a file of testdata/papers, or rewrites it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "papers", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs from what was made; look at both, and if the new one is right run with -update.\ngot:\n%s", name, got)
	}
}

func indented(t *testing.T, document any) string {
	t.Helper()
	text, err := json.MarshalIndent(document, "", "\t")
	if err != nil {
		t.Fatal(err)
	}
	return string(text) + "\n"
}

// shelf is a store of details in memory.
type shelf map[string][]byte

func (s shelf) Put(_ context.Context, key string, details []byte) error { s[key] = details; return nil }
func (s shelf) Get(_ context.Context, key string) ([]byte, error)       { return s[key], nil }
func (s shelf) Forget(_ context.Context, key string) error              { delete(s, key); return nil }
func (s shelf) All(_ context.Context, each func(string, []byte) error) error {
	for key, details := range s {
		if err := each(key, details); err != nil {
			return err
		}
	}
	return nil
}

// world is a book and the log it was folded from, in memory.
type world struct {
	t        *testing.T
	office   events.OfficeID
	book     *events.Book
	records  Histories
	people   *words.People
	commands int
}

func newWorld(t *testing.T, office events.OfficeID) *world {
	return &world{t: t, office: office, book: events.NewBook(), records: Histories{}, people: &words.People{}}
}

// do carries one command out at an instant.
func (w *world) do(at time.Time, actor events.PersonID, do any) {
	w.t.Helper()
	w.commands++
	id, err := events.ParseCommandID(fmt.Sprintf("%032x", 0x9a9e0000+w.commands))
	if err != nil {
		w.t.Fatal(err)
	}
	w.carry(events.Command{ID: id, Actor: actor, Office: w.office, Happened: at, Do: do})
}

func (w *world) carry(c events.Command) {
	w.t.Helper()
	batch, err := events.Prepare(w.book, c, c.Happened)
	if err != nil {
		w.t.Fatalf("%T: %v", c.Do, err)
	}
	for _, a := range batch {
		a.Seq = w.book.Position() + 1
		if got := w.book.Apply(a.Record); !got.Accepted || got.Unknown {
			w.t.Fatalf("%T was not taken: %v", c.Do, got.Err)
		}
		w.records[a.Entity] = append(w.records[a.Entity], a.Record)
	}
}

func (w *world) know(key string, d words.Details) {
	w.t.Helper()
	if err := w.people.Put(w.t.Context(), shelf{}, key, d); err != nil {
		w.t.Fatal(err)
	}
}

// sendOut sends a day out with its echoes.
func (w *world) sendOut(at time.Time, day events.SentOut) {
	w.t.Helper()
	w.do(at, "desk", events.SendOut{SentOut: day})
	sent := w.book.Day(w.office, day.Date).SentBy
	day.Jobs(func(crew events.CrewID, j events.DayJob) {
		w.do(at, "desk", events.EchoDispatch{Day: sent, Date: day.Date, Crew: crew, JobRef: j.JobRef})
	})
}

func (w *world) sheetConfig(now time.Time) SheetConfig {
	return SheetConfig{Firm: "Quarry Lane Testing", Office: w.office, Settings: planner.DefaultSettings(), People: w.people, Now: now}
}

var chicago = func() *time.Location {
	loc, err := time.LoadLocation("America/Chicago")
	if err != nil {
		panic(err)
	}
	return loc
}()

func day(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

// at is an instant on the clocks of the story: 2026-05-12 07:02.
func at(text string) time.Time {
	t, err := time.ParseInLocation("2006-01-02 15:04", text, chicago)
	if err != nil {
		panic(err)
	}
	return t
}

// county is the demo with its next working day planned and sent out.
func county(t *testing.T) (w *world, fleet demo.Fleet, out events.Date) {
	t.Helper()
	o := demo.Default()
	o.Crews, o.Sites, o.Assemblies, o.Today = 8, 160, 400, day("2026-05-12")
	fleet = demo.Generate(o)
	w = newWorld(t, fleet.Office)
	for _, c := range fleet.Commands {
		w.carry(c)
	}
	for id, d := range fleet.People {
		w.know(string(id), words.Details{Name: d.Name, Phone: d.Phone})
	}
	for id, s := range fleet.Secrets {
		w.know(string(id), words.Details{Code: s.GateCode})
	}
	out = day("2026-05-13")
	plan, err := planner.Make(t.Context(), planner.Request{Book: w.book, Office: w.office, Date: out, Now: at("2026-05-12 15:00"),
		Settings: planner.DefaultSettings(), Iterations: 300, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	w.sendOut(at("2026-05-12 15:04"), plan.Day())
	return w, fleet, out
}

func number(text string) *events.Decimal {
	d := events.MustDecimal(text)
	return &d
}

var origin = geo.MustPoint(34, -44) // in the open Atlantic
