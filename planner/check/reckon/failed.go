package reckon

import (
	"math"
	"time"

	"valveround/events"
	"valveround/planner"
)

// Failed counts an office's tests on record, and those that failed as found, by what is tested and by its size.
type Failed struct {
	settings planner.TestChances
	counts   map[kindAndSize]*[2]int // failed and passed as found
}

// kindAndSize is what tests are counted by; size is empty for all sizes.
type kindAndSize struct{ kind, size string }

// settingTests is as how many tests a setting counts, and the chance of a kind beside the tests of one size of it.
const settingTests = 20

// FailedOf counts the tests of every finished visit in which a unit was tested as found. Each visit counts once.
func FailedOf(b *events.Book, office events.OfficeID, s planner.Settings) Failed {
	f := Failed{s.FailPercent, map[kindAndSize]*[2]int{}}
	zones := map[events.SiteID]*time.Location{}
	for _, a := range b.Assemblies {
		if a.Office != office || !a.Type.Testable() {
			continue
		}
		for i := range a.Jobs {
			for _, x := range a.Jobs[i].Attempts {
				if zones[a.Site] == nil {
					zones[a.Site] = zoneOf(b.Sites[a.Site])
				}
				first, again := testsOn(&a.Jobs[i], x, zones[a.Site])
				if first {
					f.count(a, again || x.Outcome == events.OutcomeFailed)
				}
			}
		}
	}
	return f
}

// testsOn reports whether a crew tested on a visit as found, and again after a repair.
func testsOn(j *events.Job, x events.Attempt, loc *time.Location) (first, again bool) {
	switch x.Outcome {
	case events.OutcomePassed, events.OutcomeFailed, events.OutcomeRepairedPassed:
	default:
		return false, false
	}
	for _, test := range j.Tests {
		if test.Crew == x.Crew && events.DateIn(test.At, loc) == x.On {
			for _, r := range test.Readings {
				first, again = first || r.Phase == events.Initial, again || r.Phase == events.Final
			}
		}
	}
	return first, again
}

func zoneOf(site *events.Site) *time.Location {
	if site != nil {
		if zone, err := time.LoadLocation(site.Zone); err == nil {
			return zone
		}
	}
	return time.UTC
}

func (f Failed) count(a *events.Assembly, bad bool) {
	kind, size := groupOf(a)
	keys := []kindAndSize{{kind, ""}}
	if size != "" {
		keys = append(keys, kindAndSize{kind, size})
	}
	for _, k := range keys {
		if f.counts[k] == nil {
			f.counts[k] = new([2]int)
		}
		if bad {
			f.counts[k][0]++
		} else {
			f.counts[k][1]++
		}
	}
}

// groupOf says what an assembly is counted by. Vacuum breakers are counted without size.
func groupOf(a *events.Assembly) (kind, size string) {
	switch {
	case a.Type == events.PVB || a.Type == events.SVB:
		return "vacuum breaker", ""
	case a.Type.HasRelief():
		kind = "reduced pressure"
	default:
		kind = "double check"
	}
	switch eighths := int(a.Size); {
	case a.Size.IsZero() || eighths > 4*8:
		return kind, "larger"
	case eighths > 2*8:
		return kind, "to 4 in"
	}
	return kind, "to 2 in"
}

// Percent is in how many of 100 tests the next one of an assembly fails as found: the setting and what is on record of its kind,
// weighed by numbers of tests, then that and what is on record of its size.
func (f Failed) Percent(a *events.Assembly) float64 {
	kind, size := groupOf(a)
	return f.percent(kind, size)
}

func (f Failed) percent(kind, size string) float64 {
	percent := map[string]float64{"vacuum breaker": f.settings.VacuumBreaker, "reduced pressure": f.settings.Reduced, "double check": f.settings.DoubleCheck}[kind]
	percent = weighed(percent, f.counts[kindAndSize{kind, ""}])
	if size == "" {
		return percent
	}
	return weighed(percent, f.counts[kindAndSize{kind, size}])
}

func weighed(percent float64, counts *[2]int) float64 {
	if counts == nil {
		return percent
	}
	return (percent*settingTests + 100*float64(counts[0])) / float64(settingTests+counts[0]+counts[1])
}

// Says reports whether the record is what a plan says that it rests on: every kind and size with tests, once, in its numbers.
func (f Failed) Says(list []planner.FailRecord) bool {
	seen := map[kindAndSize]bool{}
	for _, said := range list {
		k := kindAndSize{string(said.Class), string(said.Size)}
		counts := f.counts[k]
		if counts == nil || seen[k] || said.Failed != counts[0] || said.Tests != counts[0]+counts[1] || math.Abs(said.Percent-f.percent(k.kind, k.size)) > 1e-5 {
			return false
		}
		seen[k] = true
	}
	return len(seen) == len(f.counts)
}
