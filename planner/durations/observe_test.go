package durations

import (
	"testing"
	"time"

	"valveround/events"
)

// visited is an office with one visit: Crew A arrives at 07:00 and leaves at 08:00; the feed is dry from 07:15 to 07:46.
func visited() *events.Book {
	b := events.NewBook()
	at := func(clock string) time.Time {
		when, err := time.Parse("2006-01-02 15:04", "2026-03-10 "+clock)
		if err != nil {
			panic(err)
		}
		return when
	}
	day := events.NewDate(2026, time.March, 10)
	b.Sites["s"] = &events.Site{ID: "s", SiteFacts: events.SiteFacts{Zone: "UTC"}, Stays: []events.Stay{{Crew: "a", Day: day, From: at("07:00"), To: at("08:00")}}}
	b.Feeds["f"] = &events.Feed{ID: "f", FeedFacts: events.FeedFacts{Site: "s"}, Dried: []events.DryTime{{Crew: "a", From: at("07:15"), To: at("07:46")}}}
	test := events.TestTaken{At: at("07:40"), Crew: "a", Test: events.Test{Readings: []events.Reading{{Phase: events.Initial}}}}
	b.Assemblies["x"] = &events.Assembly{Office: "north", ID: "x", AssemblyFacts: events.AssemblyFacts{Site: "s", Feed: "f", Type: events.RP, Size: events.InchSize(2, 0)},
		Jobs: []events.Job{{ID: "j", Tests: []events.TestTaken{test}, Attempts: []events.Attempt{{On: day, Crew: "a", Outcome: events.OutcomePassed}}}}}
	return b
}

func observe(b *events.Book) []Observation {
	return Observe(b, "north", func(*events.Assembly) time.Duration { return 15 * time.Minute })
}

func TestObserve(t *testing.T) {
	job := func(b *events.Book) *events.Job { return &b.Assemblies["x"].Jobs[0] }
	second := func(b *events.Book, feed events.FeedID) {
		other := *b.Assemblies["x"]
		other.ID, other.Feed = "y", feed
		b.Assemblies["y"] = &other
	}
	for _, tc := range []struct {
		name    string
		change  func(b *events.Book)
		work    Work // empty: nothing is to be learned
		minutes float64
	}{
		{"water off to water on", func(*events.Book) {}, Tested, 31},
		{"no water recorded: the stay, less what goes before and after", func(b *events.Book) { b.Feeds["f"].Dried = nil }, Tested, 45},
		{"water that another crew turned off", func(b *events.Book) { b.Feeds["f"].Dried[0].Crew = "b" }, Tested, 45},
		{"neither recorded", func(b *events.Book) { b.Feeds["f"].Dried, b.Sites["s"].Stays = nil, nil }, "", 0},
		{"two jobs on the feed", func(b *events.Book) { second(b, "f") }, "", 0},
		{"two jobs, the other on a feed of which no water is recorded", func(b *events.Book) { second(b, "g") }, Tested, 31},
		{"it failed", func(b *events.Book) { job(b).Attempts[0].Outcome = events.OutcomeFailed }, Tested, 31},
		{"repaired and tested again at once", func(b *events.Book) {
			job(b).Tests[0].Readings = append(job(b).Tests[0].Readings, events.Reading{Phase: events.Final})
			job(b).Attempts[0].Outcome = events.OutcomeRepairedPassed
		}, Cleaned, 31},
		{"a return visit", func(b *events.Book) { job(b).Tests[0].Readings[0].Phase = events.Final }, Return, 31},
		{"nobody was there", func(b *events.Book) { job(b).Attempts[0].Outcome = events.OutcomeNoAccess }, "", 0},
		{"no readings: keyed in without", func(b *events.Book) { job(b).Tests = nil }, "", 0},
		{"an air gap", func(b *events.Book) { b.Assemblies["x"].Type = events.AirGap }, "", 0},
		{"of another office", func(b *events.Book) { b.Assemblies["x"].Office = "south" }, "", 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := visited()
			tc.change(b)
			got := observe(b)
			if tc.work == "" {
				if len(got) != 0 {
					t.Errorf("learned %+v", got)
				}
				return
			}
			if len(got) == 0 || got[0].Work != tc.work || got[0].Minutes != tc.minutes || got[0].Crew != "a" {
				t.Errorf("learned %+v, want %s in %v min", got, tc.work, tc.minutes)
			}
		})
	}
}

func TestCellOf(t *testing.T) {
	for _, tc := range []struct {
		kind events.AssemblyType
		size events.Size
		work Work
		want Cell
	}{
		{events.RP, events.InchSize(2, 0), Tested, Cell{Reduced, ToTwo, Tested}},
		{events.RPDA, events.InchSize(2, 4), Tested, Cell{Reduced, ToFour, Tested}},
		{events.DCDA2, events.InchSize(6, 0), Tested, Cell{DoubleCheck, Larger, Tested}},
		{events.DC, 0, Tested, Cell{DoubleCheck, Larger, Tested}},
		{events.SVB, events.InchSize(1, 0), Tested, Cell{VacuumBreaker, AnySize, Tested}},
		{events.SVB, events.InchSize(1, 0), Return, Cell{AnyClass, ToTwo, Return}},
	} {
		if got, ok := CellOf(&events.Assembly{AssemblyFacts: events.AssemblyFacts{Type: tc.kind, Size: tc.size}}, tc.work); !ok || got != tc.want {
			t.Errorf("%s %s, %s: %+v, want %+v", tc.kind, tc.size, tc.work, got, tc.want)
		}
	}
}
