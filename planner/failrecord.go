package planner

import (
	"fmt"
	"math"

	"valveround/events"
	"valveround/planner/durations"
)

// FailRecord is what an office's log says of how often tests of one class, and of one size of it, fail as found.
type FailRecord struct {
	Class  durations.Class `json:"class"`
	Size   durations.Band  `json:"size,omitempty"` // empty: all sizes
	Tests  int             `json:"tests"`          // on record
	Failed int             `json:"failed"`
	// Percent is in how many of 100 tests the next one fails: the mean of a Beta distribution that begins with the setting, as if
	// that were 20 tests, and of a size with the mean of its class (see durations.FailHistory).
	Percent float64 `json:"fail_percent"`
}

// FailSetting is the setting for how often tests of a class fail as found, as a chance.
func (s Settings) FailSetting(c durations.Class) float64 {
	switch c {
	case durations.VacuumBreaker:
		return s.FailPercent.VacuumBreaker / 100
	case durations.Reduced:
		return s.FailPercent.Reduced / 100
	}
	return s.FailPercent.DoubleCheck / 100
}

// FailRecords are what an office's log says, class by class; none without a test on record.
func (s Settings) FailRecords(b *events.Book, office events.OfficeID) []FailRecord {
	rows, _ := durations.FailHistory(b, office, s.FailSetting)
	var list []FailRecord
	for _, f := range rows {
		list = append(list, FailRecord{f.Class, f.Band, f.Tests, f.Failed, sixDigits(100 * f.Beta.Mean())})
	}
	return list
}

// sixDigits keeps six digits behind the point, so that a figure reads the same wherever it is computed.
func sixDigits(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// failChance is the chance that the next test of an assembly fails as found: by its class and size on record, else by its
// class, else by the setting.
func (w *work) failChance(a *events.Assembly) float64 {
	cell, _ := durations.CellOf(a, durations.Tested)
	chance := w.r.Settings.FailSetting(cell.Class)
	for _, f := range w.onRecord { // a class comes before its sizes
		if f.Class == cell.Class && (f.Size == durations.AnySize || f.Size == cell.Band) {
			chance = f.Percent / 100
		}
	}
	return chance
}

// InWords says a row: "reduced pressure, to 2 in: 8 of 48 tests failed as found, so 14 in 100 are reckoned with; setting 10".
func (f FailRecord) InWords(s Settings) string {
	name := string(f.Class)
	if f.Size != durations.AnySize {
		name += ", " + string(f.Size)
	}
	tests := "tests"
	if f.Tests == 1 {
		tests = "test"
	}
	return fmt.Sprintf("%s: %d of %d %s failed as found, so %.1f in 100 are reckoned with; setting %g", name, f.Failed, f.Tests, tests, f.Percent, 100*s.FailSetting(f.Class))
}
