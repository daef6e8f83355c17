package backlog_test

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/backlog"
	"valveround/services/demo"
	"valveround/services/words"
)

// TestTheDemoReads tells all that happened in a small invented county and looks at its backlog.
func TestTheDemoReads(t *testing.T) {
	options := demo.Default()
	options.Today = date("2026-03-02")
	fleet := demo.Generate(options)
	book, err := fleet.Fold()
	if err != nil {
		t.Fatal(err)
	}
	odd := regexp.MustCompile(`\.\.|  |: \.|, [.,]|\(\)| [.,;:]|<nil>`)
	people := &words.People{}
	again := events.NewBook()
	for _, c := range fleet.Commands {
		batch, err := events.Prepare(again, c, c.Happened)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range batch {
			a.Seq = again.Position() + 1
			event := again.Apply(a.Record).Event
			if text := words.Sentence(again, people, event); text == "" || odd.MatchString(text) || strings.ToUpper(text[:1]) != text[:1] {
				t.Errorf("%s reads %q", a.Subject(), text)
			}
		}
	}
	v := backlog.Of(book, demo.Office, fleet.Options.Today.In(time.UTC).Add(15*time.Hour), planner.DefaultSettings(), nil)
	// The county's own promise, whatever its seed: 40 open failures, 6 past their deadline, 2 with none known; 10 wait for a yes
	// and 14 for parts, perhaps for both; 8 have their parts and 8 wait for nothing.
	n := v.Counts
	if n["open"] != 40 || n["past"] != 6 || n["unknown"] != 2 || n["owner"]+n["parts"] != 24 || n["slot"] != 16 {
		t.Errorf("%s %v", v.Headline, n)
	}
	for _, r := range append(v.Rows, v.Others...) {
		if r.WaitsFor == "" || r.WaitsWords == "" || odd.MatchString(r.WaitsWords) {
			t.Errorf("%s waits for %q: %q", r.Assembly, r.WaitsFor, r.WaitsWords)
		}
	}
}
