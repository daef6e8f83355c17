package planner

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/planner/durations"
)

// A chance of 10 in 100 that counts as 20 tests, and 8 of 30 tests that failed: Beta(2, 18) becomes Beta(10, 40), with a mean of
// 0.2 (Gelman et al., "Bayesian Data Analysis", 3rd edition, section 2.4). Of one size, 8 of 10: Beta(4, 16) becomes Beta(12, 18).
func TestFailChance(t *testing.T) {
	book := events.NewBook()
	add := func(id events.AssemblyID, size events.Size, failed bool) {
		a := &events.Assembly{ID: id, Office: "north", AssemblyFacts: events.AssemblyFacts{Type: events.RP, Size: size}}
		day := events.NewDate(2026, 3, 2)
		x := events.Attempt{On: day, Crew: "a", Outcome: events.OutcomePassed}
		if failed {
			x.Outcome = events.OutcomeFailed
		}
		a.Jobs = []events.Job{{ID: "j", Attempts: []events.Attempt{x}, Tests: []events.TestTaken{{At: day.In(time.UTC), Crew: "a", Test: events.Test{Readings: []events.Reading{{Component: events.Check1, Phase: events.Initial}}}}}}}
		book.Assemblies[id] = a
	}
	for i := range 30 {
		size := events.InchSize(1, 0)
		if i < 10 {
			size = events.InchSize(3, 0)
		}
		add(events.AssemblyID(rune('a'+i)), size, i < 8)
	}
	s := DefaultSettings()
	records := s.FailRecords(book, "north")
	w := &work{r: Request{Settings: s}, onRecord: records}
	of := func(kind events.AssemblyType, size events.Size) float64 {
		return w.failChance(&events.Assembly{AssemblyFacts: events.AssemblyFacts{Type: kind, Size: size}})
	}
	for _, c := range []struct {
		name string
		got  float64
		want float64
	}{
		{"3 in", of(events.RP, events.InchSize(3, 0)), 12.0 / 30},
		{"1 in: none of 20 failed", of(events.RPDA, events.InchSize(1, 0)), 4.0 / 40},
		{"a size without a test: as the class", of(events.RP, events.InchSize(8, 0)), 0.2},
		{"a class without a test: as set", of(events.DC, events.InchSize(1, 0)), 0.1},
	} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	if got, want := records[0].InWords(s), "reduced pressure: 8 of 30 tests failed as found, so 20.0 in 100 are reckoned with; setting 10"; len(records) != 3 || got != want {
		t.Errorf("%d records, the first %q, want %q", len(records), got, want)
	}
	if len(s.FailRecords(book, "south")) > 0 {
		t.Error("another office's tests count")
	}
}

// The more is on record the nearer the chance lies to it, between the setting and what was seen, and a setting of never or always
// gives way to what was seen.
func TestFailChanceLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		setting := rapid.SampledFrom([]float64{0, 0.1, 0.5, 1}).Draw(t, "setting")
		tests := rapid.IntRange(1, 500).Draw(t, "tests")
		failed := rapid.IntRange(0, tests).Draw(t, "failed")
		seen := float64(failed) / float64(tests)
		b := durations.Beta{A: setting * durations.FailPriorCounts, B: (1 - setting) * durations.FailPriorCounts}.After(failed, tests)
		if m := b.Mean(); m < min(setting, seen)-1e-12 || m > max(setting, seen)+1e-12 || math.Abs(m-seen) > math.Abs(setting-seen)*durations.FailPriorCounts/(durations.FailPriorCounts+float64(tests))+1e-12 {
			t.Fatalf("set %v, seen %v of %d: %v", setting, seen, tests, m)
		}
	})
}
