package planner

import (
	"fmt"
	"time"

	"valveround/events"
	"valveround/planner/durations"
)

// MinutesOf is what the settings count for a cell of work, in minutes with the water off. A test that is repaired and tested
// again at once counts as both.
func (s Settings) MinutesOf(c durations.Cell) int {
	switch c.Work {
	case durations.Return:
		return s.Repair.at(c.Band)
	case durations.Cleaned:
		c.Work = durations.Tested
		return s.MinutesOf(c) + s.Repair.at(c.Band)
	}
	switch c.Class {
	case durations.VacuumBreaker:
		return s.Test.VacuumBreaker
	case durations.Reduced:
		return s.Test.Reduced.at(c.Band)
	}
	return s.Test.DoubleCheck.at(c.Band)
}

func (t SizedTimes) at(b durations.Band) int {
	switch b {
	case durations.Larger:
		return t.Large
	case durations.ToFour:
		return t.Middle
	}
	return t.Small
}

// Learned is what an office's own log says of the durations in the settings.
func (s Settings) Learned(b *events.Book, office events.OfficeID) durations.Learned {
	overhead := func(a *events.Assembly) time.Duration {
		n := s.VisitBefore + s.VisitAfter + s.JobBefore + s.JobAfter
		if a.Vault != events.NoVault {
			n += s.VaultEntry
		}
		if f := b.Feeds[a.Feed]; f != nil && f.Fire {
			n += s.FireCalls
		}
		if a.Type.IsDetector() {
			n += s.BypassTest
		}
		return minutes(n)
	}
	return durations.Learn(durations.Observe(b, office, overhead), s.MinutesOf)
}

// learnedWords says what the log says of each duration, a line each; nothing of an office without a history.
func (s Settings) learnedWords(b *events.Book, office events.OfficeID) []string {
	var lines []string
	for _, row := range s.Learned(b, office).Rows {
		lines = append(lines, fmt.Sprintf("on record: %s", row.Words()))
	}
	return lines
}

// SettingFor is the name of the setting that a cell's minutes could take the place of; empty when there is none of its own.
func SettingFor(c durations.Cell) string {
	band := map[durations.Band]string{durations.ToTwo: "to_2_in", durations.ToFour: "to_4_in", durations.Larger: "larger"}[c.Band]
	switch {
	case c.Work == durations.Return:
		return "repair_minutes." + band
	case c.Work != durations.Tested:
		return ""
	case c.Class == durations.VacuumBreaker:
		return "test_minutes.vacuum_breaker"
	case c.Class == durations.Reduced:
		return "test_minutes.reduced_pressure." + band
	}
	return "test_minutes.double_check." + band
}
