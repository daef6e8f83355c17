package reckon_test

import (
	"math"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check/reckon"
	"valveround/planner/hours"
)

var date = events.NewDate(2026, time.March, 10)

func task(kind events.AssemblyType, size events.Size, work planner.Work, feed *events.Feed, vault events.Vault) reckon.Task {
	a := &events.Assembly{AssemblyFacts: events.AssemblyFacts{Feed: feed.ID, Type: kind, Size: size, Vault: vault}}
	return reckon.Task{Assembly: a, Feed: feed, Work: work}
}

// The minutes are the default settings', the planning table of common practice; the sums are by hand.
func TestLay(t *testing.T) {
	a := &events.Feed{ID: "a"}
	fire := &events.Feed{ID: "fire", FeedFacts: events.FeedFacts{Fire: true}}
	for _, tc := range []struct {
		name          string
		tasks         []reckon.Task
		before, after int
		dry, wet      []int // by feed
	}{
		{"double check of 2 in", []reckon.Task{task(events.DC, events.InchSize(2, 0), planner.TestWork, a, "")}, 5 + 3, 5 + 2, []int{18}, []int{0}},
		{"of 2-1/2 in", []reckon.Task{task(events.DC, events.InchSize(2, 4), planner.TestWork, a, "")}, 8, 7, []int{35}, []int{0}},
		{"of 4 in", []reckon.Task{task(events.DC, events.InchSize(4, 0), planner.TestWork, a, "")}, 8, 7, []int{35}, []int{0}},
		{"of 6 in", []reckon.Task{task(events.DC, events.InchSize(6, 0), planner.TestWork, a, "")}, 8, 7, []int{50}, []int{0}},
		{"of a size not known", []reckon.Task{task(events.DC, 0, planner.TestWork, a, "")}, 8, 7, []int{50}, []int{0}},
		{"reduced pressure of 1 in in a vault", []reckon.Task{task(events.RP, events.InchSize(1, 0), planner.TestWork, a, events.OpenVault)}, 8 + 40, 7, []int{25}, []int{0}},
		{"vacuum breaker of any size", []reckon.Task{task(events.SVB, 0, planner.TestWork, a, "")}, 8, 7, []int{15}, []int{0}},
		{"detector on a fire feed", []reckon.Task{task(events.RPDA, events.InchSize(6, 0), planner.TestWork, fire, "")}, 8 + 20, 7, []int{60}, []int{20}},
		{"repair of a detector", []reckon.Task{task(events.DCDA2, events.InchSize(6, 0), planner.RepairWork, a, "")}, 8, 7, []int{180}, []int{20}},
		{"air gap on a fire feed: no calls", []reckon.Task{task(events.AirGap, 0, planner.InspectWork, fire, "")}, 5 + 3 + 10, 7, nil, nil},
		{"two on one feed, one on fire", []reckon.Task{task(events.DC, 8, planner.TestWork, a, ""), task(events.PVB, 8, planner.TestWork, a, ""), task(events.DCDA, 8, planner.TestWork, fire, "")},
			5 + 9 + 20, 5 + 6, []int{33, 18}, []int{0, 20}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := reckon.Lay(tc.tasks, nil, planner.DefaultSettings())
			length := tc.before + tc.after
			if got.Before != minutes(tc.before) || got.After != minutes(tc.after) || len(got.Feeds) != len(tc.dry) {
				t.Fatalf("got %+v", got)
			}
			at := date.In(time.UTC)
			off := got.WaterOff(at)
			at = at.Add(minutes(tc.before))
			for i, f := range got.Feeds {
				if f.Dry != minutes(tc.dry[i]) || f.Wet != minutes(tc.wet[i]) {
					t.Errorf("feed %s: %v dry, %v wet", f.Feed, f.Dry, f.Wet)
				}
				if !off[i].From.Equal(at) || !off[i].To.Equal(at.Add(f.Dry)) {
					t.Errorf("feed %s is off %v to %v", f.Feed, off[i].From, off[i].To)
				}
				at = at.Add(f.Dry + f.Wet)
				length += tc.dry[i] + tc.wet[i]
			}
			if got.Length() != minutes(length) {
				t.Errorf("takes %v, want %d minutes", got.Length(), length)
			}
		})
	}
}

func minutes(n int) time.Duration { return time.Duration(n) * time.Minute }

func TestTaskOf(t *testing.T) {
	b := events.NewBook()
	for _, tc := range []struct {
		kind  events.AssemblyType
		stage events.Stage
		want  planner.Work
	}{
		{events.RP, events.StageDue, planner.TestWork},
		{events.RP, events.StagePartsReady, planner.RepairWork},
		{events.AVB, events.StageDue, planner.InspectWork},
		{events.AirGap, events.StageDue, planner.InspectWork},
		{events.AVB, events.StageFailedRetest, planner.RepairWork},
	} {
		got := reckon.TaskOf(b, &events.Assembly{AssemblyFacts: events.AssemblyFacts{Type: tc.kind}}, &events.Job{Stage: tc.stage})
		if got.Work != tc.want {
			t.Errorf("%s, %s: %s, want %s", tc.kind, tc.stage, got.Work, tc.want)
		}
	}
}

func TestWorking(t *testing.T) {
	const layout = "2006-01-02 15:04"
	for _, tc := range []struct {
		name, hours string
		from, to    string // empty: does not work
	}{
		{"a plain day", "Mo-Fr 06:00-15:30", "2026-03-10 06:00", "2026-03-10 15:30"},
		{"with a break", "Mo-Fr 06:00-10:00,11:00-15:00", "2026-03-10 06:00", "2026-03-10 15:00"},
		{"over midnight", "Mo-Fr 22:00-06:00", "2026-03-10 22:00", "2026-03-11 06:00"},
		{"only the night before", "Mo 22:00-06:00", "", ""},
		{"the night before and that evening", "Mo-Tu 22:00-06:00", "2026-03-10 22:00", "2026-03-11 06:00"},
		{"always", "24/7", "2026-03-10 00:00", "2026-03-11 00:00"},
		{"another day", "We 06:00-15:30", "", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			crew := &events.Crew{CrewFacts: events.CrewFacts{Zone: "America/New_York", Hours: tc.hours}}
			span, works, err := reckon.NewCalendar(date).Working(crew)
			if err != nil || works != (tc.from != "") {
				t.Fatalf("works %v, %v", works, err)
			}
			if works && (span.Open.Format(layout) != tc.from || span.Close.Format(layout) != tc.to) {
				t.Errorf("%v to %v", span.Open, span.Close)
			}
		})
	}
	for _, crew := range []events.CrewFacts{{Zone: "", Hours: "24/7"}, {Zone: "Local", Hours: "24/7"}, {Zone: "Nowhere/Atall", Hours: "24/7"}, {Zone: "UTC"}, {Zone: "UTC", Hours: "sunrise-sunset"}} {
		if _, _, err := reckon.NewCalendar(date).Working(&events.Crew{CrewFacts: crew}); err == nil {
			t.Errorf("%+v: hours that nobody can know are taken as known", crew)
		}
	}
}

func TestAgreedTakesTheWindowsPlace(t *testing.T) {
	clock := func(day, hour int) time.Time { return time.Date(2026, time.March, day, hour, 0, 0, 0, time.UTC) }
	site := &events.Site{SiteFacts: events.SiteFacts{Zone: "UTC", AccessHours: "08:00-16:00"}}
	feed := &events.Feed{ID: "a", FeedFacts: events.FeedFacts{ShutdownWindow: "22:00-04:00"}}
	own := []hours.Span{{Open: clock(9, 0), Close: clock(9, 4)}, {Open: clock(9, 22), Close: clock(10, 4)}, {Open: clock(10, 22), Close: clock(11, 4)}, {Open: clock(11, 22), Close: clock(12, 4)}, {Open: clock(12, 22), Close: clock(13, 0)}}
	at := func(feed events.FeedID, from, to time.Time) []events.AgreedTime {
		return []events.AgreedTime{{Feed: feed, From: from, To: to}}
	}
	for _, tc := range []struct {
		name   string
		agreed []events.AgreedTime
		want   []hours.Span
	}{
		{"nothing agreed", nil, own},
		{"for another feed", at("b", clock(10, 13), clock(10, 14)), own},
		{"for another day", at("a", clock(11, 0), clock(11, 1)), own},
		{"on the day", at("a", clock(10, 13), clock(10, 14)), []hours.Span{own[0], {Open: clock(9, 22), Close: clock(10, 0)}, {Open: clock(10, 13), Close: clock(10, 14)}, own[3], own[4]}},
		{"for every feed, from the day before", at("", clock(9, 23), clock(10, 1)), []hours.Span{own[0], {Open: clock(9, 22), Close: clock(10, 1)}, own[3], own[4]}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := *site
			s.Agreed = tc.agreed
			got, err := reckon.NewCalendar(date).DryWindow(&s, feed)
			if err != nil {
				t.Fatal(err)
			}
			if len(got) != len(tc.want) {
				t.Fatalf("got %v\nwant %v", got, tc.want)
			}
			for i := range got {
				if !got[i].Open.Equal(tc.want[i].Open) || !got[i].Close.Equal(tc.want[i].Close) {
					t.Errorf("got %v to %v, want %v to %v", got[i].Open, got[i].Close, tc.want[i].Open, tc.want[i].Close)
				}
			}
		})
	}
}

// The default settings: 75 USD a job; waiting costs 320 USD once a day late, 260 on the day, 200 with 2 days left, 130 with
// 7, 80 with 14, 40 with 30, 15 with 60; twice that for a failure. From there the 75 USD fall to 18 with 180 days left.
func TestWorth(t *testing.T) {
	due := func(days int) *events.Job { return &events.Job{Stage: events.StageDue, Due: date.AddDays(days)} }
	failed := func(known bool, days int) *events.Job {
		return &events.Job{Stage: events.StageFailedRetest, Due: date.AddDays(300), Failure: &events.Failure{RetestBy: events.Deadline{Known: known, On: date.AddDays(days)}}}
	}
	use := func(j *events.Job, days ...int) *events.Job { // used again after so many days; nothing: nobody knows when
		owed := events.BeforeUse{Why: events.OutOfUse}
		for _, n := range days {
			owed.Back = date.AddDays(n)
			owed.By = events.Deadline{Known: true, On: owed.Back.AddDays(-1)}
		}
		j.BeforeUse = append(j.BeforeUse, owed)
		return j
	}
	noDay := func() *events.Job { return &events.Job{Stage: events.StageDue} }
	for _, tc := range []struct {
		name string
		job  *events.Job
		usd  float64
	}{
		{"used again on a day that nobody knows", use(noDay()), 75 + 200}, {"the same, due in 300 days", use(due(300)), 18},
		{"used again in 2 days", use(noDay(), 2), 75 + 200}, {"the same, due in 300 days", use(due(300), 2), 75 + 200}, {"due before it is used again", use(due(0), 30), 75 + 260},
		{"used again tomorrow", use(noDay(), 1), 75 + 260}, {"used again today, and not tested", use(noDay(), 0), 75 + 320}, {"failed, used again before the retest is owed", use(failed(true, 7), 2), 75 + 2*200},
		{"late", due(-1), 75 + 320}, {"long late", due(-100), 75 + 320}, {"today", due(0), 75 + 260}, {"tomorrow", due(1), 75 + 200}, {"in 3 days", due(3), 75 + 130},
		{"in 60 days", due(60), 75 + 15}, {"in 120 days, half way", due(120), 46.5}, {"in 72 days", due(72), 69.3}, {"in 180 days", due(180), 18}, {"in 11 months", due(335), 18},
		{"failed, 90 days", failed(true, 90), 75}, {"no date", &events.Job{Stage: events.StageDue}, 75 + 15},
		{"failed, 7 days", failed(true, 7), 75 + 2*130}, {"failed, not known until when", failed(false, 0), 75 + 2*200},
	} {
		if got, planned := reckon.Worth(tc.job, planner.DefaultSettings(), date), planner.DefaultSettings().Worth(tc.job, date); got != planner.MicroUSD(math.Round(tc.usd*1e6)) || planned != got {
			t.Errorf("%s: %.2f USD, and by the planner %.2f, want %.2f", tc.name, got.USD(), planned.USD(), tc.usd)
		}
	}
	if got, want := reckon.RatesOf(planner.DefaultSettings()), (reckon.Rates{Metre: 450, Second: 13333, OvertimeSecond: 8333}); got != want {
		t.Errorf("rates %+v, want %+v", got, want)
	}
}

// Two tests with a chance of 10 in 100 of 30 to 60 minutes more: nothing in 810 of 1,000 days, one of them in 180, both in 10.
// A wait of half an hour takes up the shortest.
func TestBehind(t *testing.T) {
	a := &events.Assembly{AssemblyFacts: events.AssemblyFacts{Type: events.RP, Size: events.InchSize(2, 0)}}
	s := planner.DefaultSettings()
	b := reckon.OnTime().After(a, 10, s).After(a, 10, s)
	for room, want := range map[time.Duration]int{-time.Minute: 190, 0: 190, minutes(29): 190, minutes(60): 10, minutes(120): 0, 13 * time.Hour: 0} {
		if got := b.TooLate(room); got != want {
			t.Errorf("with %v of room too late in %d of 1,000 days, want %d", room, got, want)
		}
	}
	if got, want := b.Waited(minutes(30)).TooLate(0), 184; got != want { // 190 without the 180/31 of just half an hour
		t.Errorf("after a wait: %d, want %d", got, want)
	}
}
