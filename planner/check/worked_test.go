package check_test

import (
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/planner/check"
)

// A plan of one stop with every number put down by hand.
//
// The site is a tenth of a degree due north. One degree of a great circle on a sphere of 6 371 008.8 m (mean radius R1 of
// WGS 84) is 111 195.08 m, so the drive is 11 119.5 m: 11 120 m, and at 36 km/h, 10 m/s, 1 112 s, with 60 s fixed 1 172 s.
// A 2 in DC is 5+3 minutes before, 18 dry, 2+5 after (common practice, the default settings): arrive 08:00, dry 08:08 to
// 08:26, leave 08:33. Its repair takes 45 minutes and would have to begin by 08:15: test only. Leave home 08:00:00 − 19:32 = 07:40:28; back 08:33:00 + 19:32 = 08:52:32. The window closes at 09:00,
// so it could begin 34 minutes later. Driving: 22 240 m × 450 µUSD = 10.008 USD. Hours: 1:12:04 = 4 324 s × 13 333 µUSD =
// 57.651892 USD.
func worked() (*events.Book, planner.Plan, planner.Settings) {
	s := planner.DefaultSettings()
	s.Travel = geo.GreatCircle{DetourFactor: 1, SpeedKmh: 36, FixedSeconds: 60}
	f := &fixture{book: events.NewBook(), settings: s}
	f.people()
	f.book.Crews["a"] = &events.Crew{Office: office, ID: "a", CrewFacts: events.CrewFacts{Letter: "A", People: []events.PersonID{"di"}, Gauges: []events.GaugeID{"g1"},
		Home: geo.MustPoint(40, -75), Zone: zone, Hours: "Mo-Fr 07:00-16:00"}}
	f.site("kitchen", 40.1, "Mo-Fr 05:00-15:00")
	f.feed("kitchen", "main", "Mo-Fr 05:00-09:00")
	f.assembly("k1", "main", events.DC, events.InchSize(2, 0)).Purveyor = "lake"
	f.book.Purveyors["lake"] = &events.Purveyor{ID: "lake"}
	p := planner.Plan{Office: office, Date: day, MadeAt: at("05:00"), Settings: s,
		Routes: []planner.Route{{Crew: "a", Date: day, Start: at("07:40:28"), End: at("08:52:32"), HomeM: 11120, HomeS: 1172,
			Visits: []planner.Visit{{Key: "kitchen", Site: "kitchen", Jobs: []planner.Job{{Assembly: "k1", Job: "j-k1", Work: planner.TestWork}},
				Arrive: at("08:00"), Leave: at("08:33"), WaterOff: []events.WaterOff{{Feed: "main", From: at("08:08"), To: at("08:26"), TestOnly: true}},
				DriveM: 11120, DriveS: 1172, SlackS: 34 * 60}},
			Cost: planner.RouteCost{Distance: 10_008_000, Hours: 57_651_892, Total: 67_659_892}}},
		Cost: planner.Cost{Distance: 10_008_000, Hours: 57_651_892, Total: 67_659_892},
	}
	return f.book, p, s
}

func TestWorkedExample(t *testing.T) {
	b, p, s := worked()
	for _, v := range check.Plan(b, p, s) {
		t.Error(v)
	}
}

func TestWordsAreSpecific(t *testing.T) {
	b, p, s := worked()
	b.Feeds["main"].ShutdownWindow = "Mo-Fr 05:00-08:20"
	found := check.Plan(b, p, s)
	want(t, found, check.RuleWindow)
	const words = "Crew A reaches The kitchen at 08:00 and shuts feed main at 08:08; the water must be back by 08:20, and the work takes until 08:26."
	if found[0].Words != words {
		t.Errorf("got  %s\nwant %s", found[0].Words, words)
	}
	if v := found[0]; v.Crew != "a" || v.Site != "kitchen" || v.Visit != "kitchen" {
		t.Errorf("the violation does not say where: %+v", v)
	}
}

// Windows on the days on which the clocks change in New York (tz database: 2026-03-08 forward at 02:00, 2026-11-01 back
// at 02:00). The window is 01:00 to 04:00 on the wall: two hours in spring, four in autumn. The dry part of the visit
// begins 8 minutes after arrival and lasts 18.
func TestClockChanges(t *testing.T) {
	spring, autumn := events.NewDate(2026, time.March, 8), events.NewDate(2026, time.November, 1)
	utc := func(d events.Date, clock string) time.Time {
		arrive, err := time.Parse("2006-01-02 15:04", d.String()+" "+clock)
		if err != nil {
			t.Fatal(err)
		}
		return arrive
	}
	for _, tc := range []struct {
		name   string
		day    events.Date
		arrive time.Time
		slack  int    // minutes
		decide string // UTC: 45 minutes before the window closes; empty: the test is over later than that
		want   check.Rule
	}{
		{"spring, over the gap: dry 01:58 EST to 03:16 EDT", spring, utc(spring, "06:50"), 44, "", ""},
		{"spring, back at 04:00 EDT sharp", spring, utc(spring, "07:34"), 0, "", ""},
		{"spring, a minute late", spring, utc(spring, "07:35"), 0, "", check.RuleWindow},
		{"spring, dry from 01:00 EST sharp", spring, utc(spring, "05:52"), 102, "07:15", ""},
		{"spring, a minute early", spring, utc(spring, "05:51"), 0, "", check.RuleWindow},
		{"autumn, from the first 01:00", autumn, utc(autumn, "04:52"), 222, "08:15", ""},
		{"autumn, in the second hour from 01:00", autumn, utc(autumn, "06:20"), 134, "08:15", ""},
		{"autumn, back at 04:00 EST sharp", autumn, utc(autumn, "08:34"), 0, "", ""},
		{"autumn, a minute late", autumn, utc(autumn, "08:35"), 0, "", check.RuleWindow},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b, p, s := worked()
			b.Feeds["main"].ShutdownWindow, b.Sites["kitchen"].AccessHours, b.Crews["a"].Hours = "Mo-Su 01:00-04:00", "Mo-Su 00:00-12:00", "24/7"
			v := &p.Routes[0].Visits[0]
			by := tc.arrive.Sub(v.Arrive)
			p.Date, p.Routes[0].Date = tc.day, tc.day
			p.Routes[0].Start, p.Routes[0].End = p.Routes[0].Start.Add(by), p.Routes[0].End.Add(by)
			v.Arrive, v.Leave, v.SlackS = v.Arrive.Add(by), v.Leave.Add(by), tc.slack*60
			v.WaterOff[0].From, v.WaterOff[0].To = v.WaterOff[0].From.Add(by), v.WaterOff[0].To.Add(by)
			if tc.decide != "" {
				v.WaterOff[0].TestOnly, v.WaterOff[0].DecideBy = false, utc(tc.day, tc.decide)
			}
			found := check.Plan(b, p, s)
			if tc.want != "" {
				want(t, found, tc.want)
				return
			}
			for _, v := range found {
				t.Error(v)
			}
		})
	}
}
