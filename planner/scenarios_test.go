package planner_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
)

var update = flag.Bool("update", false, "write testdata/scenarios/*.txt anew")

const scenarios = "../testdata/scenarios"

// scenario is a day that a dispatcher would recognise: facts, and what then happens to them. See the folder's README.
type scenario struct {
	Title    string          `json:"title"`
	Story    string          `json:"story"`
	Date     events.Date     `json:"date"`
	Now      time.Time       `json:"now"`
	Settings json.RawMessage `json:"settings"` // those that differ from the default
	Facts    facts           `json:"facts"`
	Then     []act           `json:"then"`
	Expect   []string        `json:"expect"` // words that the plan must hold, written before it was made
}

// act is what happens next, and what is planned then.
type act struct {
	Words  string      `json:"words"`
	Date   events.Date `json:"date"`
	Now    time.Time   `json:"now"`
	Facts  facts       `json:"facts"`
	Expect []string    `json:"expect"`
}

// facts replace what is known of the same id.
type facts struct {
	Purveyors  []events.Purveyor `json:"purveyors"`
	Customers  []events.Customer `json:"customers"`
	People     []events.Person   `json:"people"`
	Gauges     []events.Gauge    `json:"gauges"`
	Crews      []events.Crew     `json:"crews"`
	Sites      []events.Site     `json:"sites"`
	Feeds      []events.Feed     `json:"feeds"`
	Assemblies []events.Assembly `json:"assemblies"`
}

// TestScenarios plans each scenario, has it checked and every explanation tried, and compares the plan in words with the file
// beside it. The words of "expect" were written by hand and must be in it whatever the file says.
func TestScenarios(t *testing.T) {
	files, err := filepath.Glob(scenarios + "/*.json")
	if err != nil || len(files) < 11 { // ten, and the county that they share
		t.Fatalf("%d files: %v", len(files), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".json")
		if name == "county" {
			continue
		}
		t.Run(name, func(t *testing.T) { playScenario(t, name) })
	}
}

func playScenario(t *testing.T, name string) {
	var shared facts
	readStrictly(t, scenarios+"/county.json", &shared)
	var s scenario
	readStrictly(t, scenarios+"/"+name+".json", &s)
	book := events.NewBook().Snapshot()
	r := planner.Request{Book: book, Office: office, Iterations: 2000, Seed: 1, Settings: planner.DefaultSettings(), Date: s.Date, Now: s.Now}
	if s.Settings != nil {
		if err := json.Unmarshal(s.Settings, &r.Settings); err != nil {
			t.Fatal(err)
		}
	}
	learn(t, book, shared)
	text := s.Title + "\n" + s.Story + "\n"
	for i, a := range append([]act{{Facts: s.Facts, Expect: s.Expect}}, s.Then...) {
		learn(t, book, a.Facts)
		if !a.Date.IsZero() {
			r.Date, r.Now = a.Date, a.Now
		}
		if i > 0 {
			text += "\nThen: " + a.Words + "\n"
		}
		words := planned(t, r)
		for _, want := range a.Expect {
			if !strings.Contains(words, want) {
				t.Errorf("act %d: the plan should say %q:\n%s", i+1, want, words)
			}
		}
		text += "\n" + words
	}
	golden := scenarios + "/" + name + ".txt"
	if *update {
		if err := os.WriteFile(golden, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if text != string(want) {
		t.Errorf("the plan reads otherwise than %s; if that is right, go test ./planner -run TestScenarios -update:\n%s", golden, text)
	}
}

// planned makes the plan, checks it and what it says, and gives it in words.
func planned(t *testing.T, r planner.Request) string {
	t.Helper()
	plan, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	passes(t, r, plan)
	addsUp(t, plan)
	explained(t, r, plan)
	return plan.InWords(r.Book)
}

func readStrictly(t *testing.T, path string, into any) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	dec := json.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		t.Fatalf("%s: %v", path, err)
	}
}

// learn puts facts into a book. The deadline of a failure is not written in the file: it follows from the purveyor's rule.
func learn(t *testing.T, b *events.Book, f facts) {
	t.Helper()
	for _, x := range f.Purveyors {
		b.Purveyors[x.ID] = &x
	}
	for _, x := range f.Customers {
		x.Office = office
		b.Customers[x.ID] = &x
	}
	for _, x := range f.People {
		b.People[x.ID] = &x
	}
	for _, x := range f.Gauges {
		b.Gauges[x.ID] = &x
	}
	for _, x := range f.Crews {
		x.Office = office
		b.Crews[x.ID] = &x
	}
	for _, x := range f.Sites {
		x.Office = office
		b.Sites[x.ID] = &x
	}
	for _, x := range f.Feeds {
		x.Office = office
		b.Feeds[x.ID] = &x
	}
	for _, x := range f.Assemblies {
		x.Office = office
		for i := range x.Jobs {
			owe(t, b, x, &x.Jobs[i])
		}
		b.Assemblies[x.ID] = &x
	}
}

// owe computes by when a failure is to be retested.
func owe(t *testing.T, b *events.Book, a events.Assembly, j *events.Job) {
	t.Helper()
	if j.Failure == nil {
		return
	}
	p := b.Purveyors[a.Purveyor]
	loc, err := time.LoadLocation(p.Zone)
	if err != nil {
		t.Fatal(err)
	}
	starts := events.Starts{events.FromTest: j.Failure.On.In(loc).Add(9 * time.Hour)}
	j.Failure.RetestBy = events.RepairDue(p.Repair, a.Hazard, starts, p.Closed, loc)
	if !j.Failure.RetestBy.Known {
		t.Fatal(fmt.Errorf("nobody knows by when %s is to be retested: %s", a.ID, j.Failure.RetestBy.Rule))
	}
}
