package reckon

import (
	"math"

	"valveround/events"
	"valveround/planner"
)

// Rates are the prices of driving and working, whole millionths of a dollar each, so that sums are exact.
type Rates struct {
	Metre, Second, OvertimeSecond planner.MicroUSD
}

// RatesOf takes the rates from the settings.
func RatesOf(s planner.Settings) Rates {
	return Rates{
		Metre:          planner.MicroUSD(math.Round(s.KilometreUSD * 1e6 / 1000)),
		Second:         planner.MicroUSD(math.Round(s.CrewHourUSD * 1e6 / 3600)),
		OvertimeSecond: planner.MicroUSD(math.Round(s.OvertimeHourUSD * 1e6 / 3600)),
	}
}

// noDueDays is how many days are taken as left for a job of which no date is known.
const noDueDays = 60

// daysLeft is how many days a job has left on a date.
func daysLeft(j *events.Job, s planner.Settings, on events.Date) int {
	days := noDueDays
	switch failed := j.NeedsRepair(); {
	case failed && j.Failure != nil && j.Failure.RetestBy.Known:
		days = j.Failure.RetestBy.On.Sub(on)
	case failed:
		days = s.UnknownDeadlineAs
	case !j.Due.IsZero():
		days = j.Due.Sub(on)
	case len(j.BeforeUse) > 0:
		days = s.UnknownDeadlineAs
	}
	for _, use := range j.BeforeUse { // it is to be done before the day of that use begins
		if before := use.Back.Sub(on) - 1; !use.Back.IsZero() && before < days {
			days = before
		}
	}
	return days
}

// Worth is what leaving a job out on a date is charged with: what it earns, and what waiting would cost.
func Worth(j *events.Job, s planner.Settings, on events.Date) planner.MicroUSD {
	days := daysLeft(j, s, on)
	urgency := 0.0
	for _, step := range s.Urgency {
		if days <= step.DaysLeft {
			urgency = step.USD
			break
		}
	}
	if j.NeedsRepair() {
		urgency *= s.FailedFactor
	}
	return planner.MicroUSD(math.Round((earned(j, s, days) + urgency) * 1e6))
}

// earned is what a job brings in, which is less while it has more days left than the last for which waiting costs something: on a
// straight line down to what it is worth far ahead.
func earned(j *events.Job, s planner.Settings, days int) float64 {
	last := 0
	for _, step := range s.Urgency {
		last = max(last, step.DaysLeft)
	}
	if j.NeedsRepair() || s.FarDays == 0 || days <= last {
		return s.TestWorthUSD
	}
	if days >= s.FarDays {
		return s.FarWorthUSD
	}
	return s.TestWorthUSD - (s.TestWorthUSD-s.FarWorthUSD)*float64(days-last)/float64(s.FarDays-last)
}
