package reckon

import (
	"time"

	"valveround/planner/hours"
)

// Interval is a closed stretch of instants, at each of which a stop may begin.
type Interval struct{ First, Last time.Time }

// StartsWithin says when something may begin so that its part between two moments, counted from the beginning, lies
// within one of the spans, its ends included.
func StartsWithin(spans []hours.Span, from, to time.Duration) []Interval {
	var starts []Interval
	for _, s := range spans {
		i := Interval{s.Open.Add(-from), s.Close.Add(-to)}
		if !i.Last.Before(i.First) {
			starts = append(starts, i)
		}
	}
	return starts
}

// Both is the instants that are in a and in b. Both must be sorted, with no two intervals that meet.
func Both(a, b []Interval) []Interval {
	var both []Interval
	for i, j := 0, 0; i < len(a) && j < len(b); {
		common := Interval{a[i].First, a[i].Last}
		if b[j].First.After(common.First) {
			common.First = b[j].First
		}
		if b[j].Last.Before(common.Last) {
			common.Last = b[j].Last
		}
		if !common.Last.Before(common.First) {
			both = append(both, common)
		}
		if a[i].Last.Before(b[j].Last) {
			i++
		} else {
			j++
		}
	}
	return both
}

// Containing finds the interval that contains an instant.
func Containing(intervals []Interval, t time.Time) (Interval, bool) {
	for _, i := range intervals {
		if !t.Before(i.First) && !t.After(i.Last) {
			return i, true
		}
	}
	return Interval{}, false
}

// Within reports whether one of the spans holds all of [from, to], ends included.
func Within(spans []hours.Span, from, to time.Time) bool {
	for _, s := range spans {
		if !from.Before(s.Open) && !to.After(s.Close) && !to.Before(from) {
			return true
		}
	}
	return false
}

// mostSlack is the most that a plan states as slack: hours that never end have no latest start.
const mostSlack = 8 * time.Hour

// Slack is how much later than an instant something may begin within an interval that contains it, at most 8 hours.
func Slack(within Interval, t time.Time) time.Duration { return min(within.Last.Sub(t), mostSlack) }
