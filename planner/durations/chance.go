package durations

import (
	"fmt"
	"math"
	"slices"
	"time"

	"valveround/events"
)

// Beta is what is known of a chance: a Beta distribution, as if A events and B non-events had been seen. It is conjugate to
// counting, so that seeing more adds to A and B (Gelman et al., "Bayesian Data Analysis", 3rd edition, section 2.4).
type Beta struct{ A, B float64 }

// FailPrior is what is taken to be known of the chance that a test fails as found before the firm has a history: 10 in 100,
// counting as 20 tests. Eight in ten of it lie between about 3 and 19 in 100, which is the working range of common practice;
// no published figure was found.
var FailPrior = Beta{2, 18}

// After is the distribution after n more, of which some were events.
func (b Beta) After(events, n int) Beta { return Beta{b.A + float64(events), b.B + float64(n-events)} }

// Mean is the chance of the next being an event.
func (b Beta) Mean() float64 { return b.A / (b.A + b.B) }

// SD is the standard deviation of the chance.
func (b Beta) SD() float64 {
	n := b.A + b.B
	return math.Sqrt(b.A * b.B / (n * n * (n + 1)))
}

// Exactly is the chance that of the next n exactly k are events: the Beta-binomial distribution. It is wider than the binomial
// with the same mean, since the chance itself is not known.
func (b Beta) Exactly(k, n int) float64 {
	if k < 0 || k > n {
		return 0
	}
	logBeta := func(x, y float64) float64 { return lgamma(x) + lgamma(y) - lgamma(x+y) }
	choose := lgamma(float64(n)+1) - lgamma(float64(k)+1) - lgamma(float64(n-k)+1)
	return math.Exp(choose + logBeta(b.A+float64(k), b.B+float64(n-k)) - logBeta(b.A, b.B))
}

func lgamma(x float64) float64 {
	v, _ := math.Lgamma(x)
	return v
}

// Any is the chance that of the next n at least one is an event.
func (b Beta) Any(n int) float64 { return 1 - b.Exactly(0, n) }

// Fails is what the log says of how often tests of one class and size fail as found.
type Fails struct {
	Class  Class `json:"class"`
	Band   Band  `json:"band,omitempty"`
	Tests  int   `json:"tests"`
	Failed int   `json:"failed"` // as found, whether or not it was then repaired at once
	AtOnce int   `json:"at_once"`
	Beta   Beta  `json:"beta"`
}

// FailPriorCounts is as how many tests a setting counts beside those on record of a class, and the chance of a class beside those
// of one size of it. It is as many as FailPrior counts.
const FailPriorCounts = 20

// FailHistory counts an office's tests by class, and by class and size. What is known of a class begins with its setting, the
// chance that one fails; what is known of a size of it begins with the chance of the class: a size with few tests is taken to
// be as the class is. A class without a test has no row. Also the sum is given, which begins with FailPrior.
func FailHistory(b *events.Book, office events.OfficeID, setting func(Class) float64) (rows []Fails, all Fails) {
	cells := countFails(b, office)
	byClass := map[Class]*Fails{}
	for _, f := range cells {
		of := byClass[f.Class]
		if of == nil {
			of = &Fails{Class: f.Class}
			byClass[f.Class] = of
		}
		of.add(*f)
		all.add(*f)
	}
	all.Beta = FailPrior.After(all.Failed, all.Tests)
	for class, f := range byClass {
		f.Beta = counting(setting(class)).After(f.Failed, f.Tests)
		rows = append(rows, *f)
	}
	for _, f := range cells {
		if f.Band != AnySize {
			f.Beta = counting(byClass[f.Class].Beta.Mean()).After(f.Failed, f.Tests)
			rows = append(rows, *f)
		}
	}
	slices.SortFunc(rows, func(x, y Fails) int {
		return Cell{x.Class, x.Band, Tested}.compare(Cell{y.Class, y.Band, Tested})
	})
	return rows, all
}

// counting is a chance that counts as FailPriorCounts tests.
func counting(chance float64) Beta {
	return Beta{chance * FailPriorCounts, (1 - chance) * FailPriorCounts}
}

func (f *Fails) add(more Fails) {
	f.Tests, f.Failed, f.AtOnce = f.Tests+more.Tests, f.Failed+more.Failed, f.AtOnce+more.AtOnce
}

// countFails counts the tests on record and those that failed as found.
func countFails(b *events.Book, office events.OfficeID) map[Cell]*Fails {
	counts, zones := map[Cell]*Fails{}, map[events.SiteID]*time.Location{}
	for _, a := range b.Assemblies {
		for i := range a.Jobs {
			for _, x := range a.Jobs[i].Attempts {
				if a.Office != office {
					continue
				}
				if zones[a.Site] == nil {
					zones[a.Site] = zoneOf(b, a.Site)
				}
				work, finished := workOf(&a.Jobs[i], x, zones[a.Site])
				cell, testable := CellOf(a, work)
				if !finished || !testable || work == Return {
					continue
				}
				cell.Work = Tested
				f := counts[cell]
				if f == nil {
					f = &Fails{Class: cell.Class, Band: cell.Band}
					counts[cell] = f
				}
				f.Tests++
				if work == Cleaned {
					f.AtOnce++
				}
				if work == Cleaned || x.Outcome == events.OutcomeFailed {
					f.Failed++
				}
			}
		}
	}
	return counts
}

// Words says a row: "reduced pressure assembly, to 2 in: 8 of 48 failed as found; the next fails with a chance of 14 in 100 (give or take 5)".
func (f Fails) Words() string {
	name := map[Class]string{VacuumBreaker: "vacuum breaker", DoubleCheck: "double check", Reduced: "reduced pressure assembly", AnyClass: "all types"}[f.Class]
	if f.Band != AnySize {
		name += ", " + string(f.Band)
	}
	return fmt.Sprintf("%s: %d of %d failed as found, %d of them put right at once; the next fails with a chance of %.0f in 100 (give or take %.0f)",
		name, f.Failed, f.Tests, f.AtOnce, 100*f.Beta.Mean(), 100*f.Beta.SD())
}
