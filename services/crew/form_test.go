package crew_test

import (
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/crew"
	"valveround/services/words"
)

// book folds commands as the office would send them.
func book(t *testing.T, now time.Time, commands ...any) *events.Book {
	t.Helper()
	b := events.NewBook()
	for i, do := range commands {
		batch, err := events.Prepare(b, events.Command{ID: events.CommandID{byte(i + 1), 7}, Actor: "office", Office: office, Happened: now, Do: do}, now)
		if err != nil {
			t.Fatalf("%T: %v", do, err)
		}
		for _, a := range batch {
			a.Seq = b.Position() + 1
			if got := b.Apply(a.Record); !got.Accepted {
				t.Fatalf("%T: not accepted", do)
			}
		}
	}
	return b
}

// TestFormOfAJob: the office asks for a paper what the phone asks at the unit, gauges and certificates judged on the day of
// signing, and offers no tester or gauge silently that was not valid then.
func TestFormOfAJob(t *testing.T) {
	now := time.Date(2026, 5, 12, 15, 0, 0, 0, time.UTC)
	day := func(d int) events.Date { return events.NewDate(2026, time.May, d) }
	tester := func(until events.Date) events.PersonFacts {
		return events.PersonFacts{Credentials: []events.Credential{{Kind: events.TesterCertificate, Until: until}}}
	}
	b := book(t, now,
		events.Put[events.SiteFacts]{ID: "s1", Facts: events.SiteFacts{Name: "Corner kitchen", Zone: "America/Chicago", AccessHours: "Mo-Fr 05:00-17:00"}},
		events.Put[events.FeedFacts]{ID: "f1", Facts: events.FeedFacts{Site: "s1", Name: "main", ShutdownWindow: "Mo-Fr 05:00-09:00"}},
		events.Put[events.AssemblyFacts]{ID: "a1", Facts: events.AssemblyFacts{Site: "s1", Feed: "f1", Type: events.RP}},
		events.Put[events.PersonFacts]{ID: "p-good", Facts: tester(day(11))}, // the last day counts
		events.Put[events.PersonFacts]{ID: "p-late", Facts: tester(day(10))},
		events.Put[events.PersonFacts]{ID: "p-clerk", Facts: events.PersonFacts{}},
		events.Put[events.GaugeFacts]{ID: "g-good", Facts: events.GaugeFacts{Serial: "1", CertifiedUntil: day(20), Potable: true}},
		events.Put[events.GaugeFacts]{ID: "g-late", Facts: events.GaugeFacts{Serial: "2", CertifiedUntil: day(11), Potable: true}}, // the anniversary does not count
		events.OpenJob{Assembly: "a1", NewJob: "j1", Kind: events.Discharging, Due: day(20)},
	)
	cfg := crew.Config{Office: office, Settings: planner.DefaultSettings(), People: &words.People{}, Now: now}
	f, err := crew.FormOf(b, cfg, events.JobRef{Assembly: "a1", Job: "j1"}, day(11))
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Work.Components) != 3 || f.Feed.ID != "f1" || f.Zone != "America/Chicago" || f.Out != nil {
		t.Errorf("the form is of %d components, feed %q, zone %s, out %v", len(f.Work.Components), f.Feed.ID, f.Zone, f.Out)
	}
	var people, gauges []string
	for _, p := range f.People {
		people = append(people, p.ID+": "+p.Lacks)
	}
	for _, g := range f.Gauges {
		gauges = append(gauges, g.ID+": "+g.Words)
	}
	for _, c := range []struct{ got, want []string }{
		{people, []string{"p-good: ", "p-late: tester certificate ran out after 10 May 2026"}},
		{gauges, []string{"g-good: ", "g-late: its certificate ran out on 2026-05-11: a test with it is not a test"}},
	} {
		if len(c.got) != len(c.want) {
			t.Fatalf("%q, want %q", c.got, c.want)
		}
		for i := range c.want {
			if c.got[i] != c.want[i] {
				t.Errorf("%q, want %q", c.got[i], c.want[i])
			}
		}
	}
	for name, ref := range map[string]events.JobRef{"no such job": {Assembly: "a1", Job: "j9"}, "no such assembly": {Assembly: "a9", Job: "j1"}} {
		if _, err := crew.FormOf(b, cfg, ref, day(11)); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	cfg.Office = "south"
	if _, err := crew.FormOf(b, cfg, events.JobRef{Assembly: "a1", Job: "j1"}, day(11)); err == nil {
		t.Error("another office's job has a form here")
	}
}
