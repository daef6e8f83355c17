package check_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/planner/check/damage"
)

// A stop of any assembly in any window, put where it fits minute by minute on the wall clock, passes, and where it does not fit
// it is refused. Whether it fits is found by looking at the clock each minute, not by sums.
func TestAStopThatFitsPasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p, s := worked()
		a := b.Assemblies["k1"]
		a.Type = rapid.SampledFrom([]events.AssemblyType{events.DC, events.DCDA, events.RP, events.RPDA2, events.PVB, events.SVB}).Draw(t, "type")
		a.Size = events.Size(rapid.IntRange(0, 100).Draw(t, "size"))
		a.Vault = rapid.SampledFrom([]events.Vault{events.NoVault, events.OpenVault}).Draw(t, "vault")
		b.Feeds["main"].Fire = rapid.Bool().Draw(t, "fire")
		b.People["di"].Credentials = append(b.People["di"].Credentials, events.Credential{Kind: events.FireLicence, Until: until})
		open := rapid.IntRange(0, 19).Draw(t, "window opens")
		closing := rapid.IntRange(open+1, 24).Draw(t, "window closes")
		b.Feeds["main"].ShutdownWindow = fmt.Sprintf("%02d:00-%02d:00", open, closing)
		b.Sites["kitchen"].AccessHours = fmt.Sprintf("%02d:30-24:00", rapid.SampledFrom([]int{0, 3, 5, 8, 12}).Draw(t, "access opens"))
		b.Crews["a"].Hours = "24/7"
		b.Crews["a"].OvertimeMinutes = 600
		day := rapid.SampledFrom([]events.Date{day, events.NewDate(2026, 3, 8), events.NewDate(2026, 11, 1)}).Draw(t, "day")
		p.Date, p.Routes[0].Date, p.MadeAt = day, day, day.In(newYork)

		passes := func(arrive time.Time) bool {
			q := p
			q.Routes = slices.Clone(p.Routes)
			q.Routes[0].Visits = slices.Clone(p.Routes[0].Visits)
			q.Routes[0].Visits[0].Arrive = arrive
			return len(check.Plan(b, damage.Restate(b, q), s)) == 0
		}
		arrive := day.In(newYork).Add(time.Duration(rapid.IntRange(20, 23*60).Draw(t, "arrive")) * time.Minute)
		if got, want := passes(arrive), fitsByWall(b, damage.Restate(b, withArrival(p, arrive))); got != want {
			t.Fatalf("arriving %v passes: %v, want %v", arrive, got, want)
		}
	})
}

func withArrival(p planner.Plan, arrive time.Time) planner.Plan {
	p.Routes = slices.Clone(p.Routes)
	p.Routes[0].Visits = slices.Clone(p.Routes[0].Visits)
	p.Routes[0].Visits[0].Arrive = arrive
	return p
}

// fitsByWall looks at the wall clock each minute of a plan's only stop: is it there within access hours, and dry within
// the window? Both are of
// the form 05:00-09:00 every day, and do not open or close within the hour that the wall clock skips or shows twice.
func fitsByWall(b *events.Book, p planner.Plan) bool {
	v := p.Routes[0].Visits[0]
	inside := func(text string, from, to time.Time) bool {
		open, closing, _ := strings.Cut(text, "-")
		for at := from; at.Before(to); at = at.Add(time.Minute) {
			if wall := at.In(newYork).Format("15:04"); wall < open || wall >= closing {
				return false
			}
		}
		return true
	}
	home := !p.Routes[0].Start.Before(p.Date.In(newYork)) && !p.Routes[0].End.After(p.Date.AddDays(1).In(newYork).Add(10*time.Hour))
	return home && inside(b.Sites[v.Site].AccessHours, v.Arrive, v.Leave) && inside(b.Feeds["main"].ShutdownWindow, v.WaterOff[0].From, v.WaterOff[0].To)
}

// Whatever is done to a plan, however often, and whatever is missing from the book, the checker answers.
func TestNothingStopsTheChecker(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := newFixture()
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		for range rapid.IntRange(1, 12).Draw(t, "mutations") {
			f.plan, _ = damage.Mutate(f.plan, r)
		}
		gone := rapid.SampledFrom([]string{"", "sites", "feeds", "crews", "people", "gauges", "purveyors", "assemblies", "zones", "positions"}).Draw(t, "gone")
		switch gone {
		case "sites":
			clear(f.book.Sites)
		case "feeds":
			clear(f.book.Feeds)
		case "crews":
			clear(f.book.Crews)
		case "people":
			clear(f.book.People)
		case "gauges":
			clear(f.book.Gauges)
		case "purveyors":
			clear(f.book.Purveyors)
		case "assemblies":
			clear(f.book.Assemblies)
		case "zones":
			for _, s := range f.book.Sites {
				s.Zone = "Nowhere/Atall"
			}
			for _, c := range f.book.Crews {
				c.Zone = ""
			}
		case "positions":
			for _, s := range f.book.Sites {
				s.Position = geo.Point{}
			}
			f.book.Crews["a"].Home = geo.Point{}
		}
		found := f.check()
		if gone != "" && len(found) == 0 {
			t.Fatalf("a book without %s lets the plan pass", gone)
		}
	})
}

// Every kind of value of the fixture's plan, spoilt, is refused.
func TestMutantsOfTheFixture(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	f := newFixture()
	for range 2000 {
		mutant, what := damage.Mutate(f.plan, r)
		if len(check.Plan(f.book, mutant, f.settings)) == 0 && !damage.Unknowable(what) {
			t.Errorf("not refused: %s", what)
		}
	}
}

func TestMutateIsReproducible(t *testing.T) {
	f := newFixture()
	before := f.plan.Digest()
	one, said := damage.Mutate(f.plan, rand.New(rand.NewPCG(9, 9)))
	two, again := damage.Mutate(f.plan, rand.New(rand.NewPCG(9, 9)))
	if one.Digest() != two.Digest() || said != again {
		t.Errorf("the same random source gave %q and %q", said, again)
	}
	if one.Digest() == before || f.plan.Digest() != before {
		t.Error("a mutation changes the plan it makes, and never the plan it is given")
	}
}
