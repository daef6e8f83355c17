package planner

import (
	"math"

	"valveround/events"
)

// DaysLeft is how many days remain after a day until the job's clock runs out: the retest deadline of a failure, else the
// due date. A failure whose rule is not known is treated as pressing, never as having no deadline.
func (s Settings) DaysLeft(j *events.Job, on events.Date) int {
	switch {
	case j.Failure != nil && j.Failure.RetestBy.Known:
		return j.Failure.RetestBy.On.Sub(on)
	case j.Failure != nil:
		return s.UnknownDeadlineAs
	case !j.Due.IsZero():
		return j.Due.Sub(on)
	}
	return 60
}

// Worth is what doing the job on a day is worth: what it earns, and what waiting would cost.
func (s Settings) Worth(j *events.Job, on events.Date) MicroUSD {
	left := s.DaysLeft(j, on)
	urgency := 0.0
	for _, step := range s.Urgency {
		if left <= step.DaysLeft {
			urgency = step.USD
			break
		}
	}
	if j.NeedsRepair() {
		urgency *= s.FailedFactor
	}
	return microUSD(s.TestWorthUSD + urgency)
}

func microUSD(usd float64) MicroUSD { return MicroUSD(math.Round(usd * 1e6)) }
