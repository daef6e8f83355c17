package durations

import (
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
)

var small = Cell{Reduced, ToTwo, Tested}

func observed(cell Cell, crew events.CrewID, minutes ...float64) []Observation {
	var list []Observation
	for _, m := range minutes {
		list = append(list, Observation{Cell: cell, Crew: crew, Minutes: m})
	}
	return list
}

// Ten visits of 31 minutes beside a setting of 35 that counts as ten: half way, 33.
func TestLearnDrawsTowardsTheSetting(t *testing.T) {
	setting := func(Cell) int { return 35 }
	minutes := make([]float64, 10)
	for i := range minutes {
		minutes[i] = 31
	}
	l := Learn(observed(small, "a", minutes...), setting)
	if len(l.Rows) != 1 || l.Rows[0].Minutes != 33 || l.Rows[0].Count != 10 || l.Rows[0].Mean != 31 {
		t.Fatalf("learned %+v", l.Rows)
	}
	if got, want := l.Rows[0].Words(), "test of a reduced pressure assembly, to 2 in: 33 min from 10 visits; setting 35"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	one := Learn(observed(Cell{AnyClass, Larger, Return}, "a", 200), setting).Rows[0]
	if got := one.Words(); !strings.HasPrefix(got, "repair and retest of any type, larger: 50 min from 1 visit;") {
		t.Errorf("%q", got)
	}
}

func TestLearnLeavesMistakesOut(t *testing.T) {
	l := Learn(observed(small, "a", 0.5, 30, 24*60), func(Cell) int { return 30 })
	if l.LeftOut != 2 || l.Rows[0].Count != 1 {
		t.Errorf("%+v", l)
	}
}

// Crews that differ are told apart; each lies between its own mean and the mean of all.
func TestLearnTellsCrewsApart(t *testing.T) {
	list := append(observed(small, "quick", 20, 21, 19, 20, 22, 18), observed(small, "slow", 40, 41, 39, 40, 42, 38)...)
	row := Learn(list, func(Cell) int { return 30 }).Rows[0]
	if len(row.Crews) != 2 || row.Minutes != 30 {
		t.Fatalf("%+v", row)
	}
	for _, c := range row.Crews {
		if d := c.Minutes - c.Mean; c.Crew == "quick" && (d < 0 || d > 2) || c.Crew == "slow" && (d > 0 || d < -2) {
			t.Errorf("%s is believed to take %.1f, its mean is %.1f", c.Crew, c.Minutes, c.Mean)
		}
	}
}

// The order in which times were recorded changes nothing; a row lies between its mean and its setting; all are counted.
func TestLearnProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []Observation
		for range rapid.IntRange(0, 40).Draw(t, "n") {
			list = append(list, Observation{Cell: Cell{rapid.SampledFrom(classes).Draw(t, "class"), rapid.SampledFrom(bands).Draw(t, "band"), rapid.SampledFrom(works).Draw(t, "work")},
				Crew: rapid.SampledFrom([]events.CrewID{"a", "b", "c"}).Draw(t, "crew"), Minutes: float64(rapid.IntRange(0, 700).Draw(t, "minutes"))})
		}
		setting := rapid.IntRange(5, 240).Draw(t, "setting")
		learn := func(list []Observation) Learned { return Learn(list, func(Cell) int { return setting }) }
		l, n := learn(list), 0
		for _, r := range l.Rows {
			n += r.Count
			if low, high := min(r.Mean, float64(setting)), max(r.Mean, float64(setting)); r.Minutes < low-1e-9 || r.Minutes > high+1e-9 {
				t.Fatalf("%s lies outside its mean %.1f and the setting", r.Words(), r.Mean)
			}
			crews := 0
			for _, c := range r.Crews {
				crews += c.Count
			}
			if crews != r.Count {
				t.Fatalf("%d by crew, %d in all", crews, r.Count)
			}
		}
		if n+l.LeftOut != len(list) {
			t.Fatalf("%d counted and %d left out of %d", n, l.LeftOut, len(list))
		}
		again := append([]Observation(nil), list...)
		rand.New(rand.NewPCG(1, rapid.Uint64().Draw(t, "shuffle"))).Shuffle(len(again), func(i, j int) { again[i], again[j] = again[j], again[i] })
		if other := learn(again); len(other.Rows) != len(l.Rows) || len(l.Rows) > 0 && !reflect.DeepEqual(other.Rows[0].Cell, l.Rows[0].Cell) {
			t.Fatalf("another order learns %+v, not %+v", other, l)
		}
	})
}
