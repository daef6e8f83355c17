package planner

import (
	"fmt"
	"math"
	"time"
)

// TestChances are, by what is tested, how often a test fails as found, in 100.
type TestChances struct {
	VacuumBreaker float64 `json:"vacuum_breaker"`
	DoubleCheck   float64 `json:"double_check"`
	Reduced       float64 `json:"reduced_pressure"`
}

// A unit that fails may be cleaned and tested again at once, where someone has said yes, the crew may repair and there is time
// before the water must be back. How often and for how long is a chance and no mean: nine visits in ten are not delayed at all, and
// the tenth by an hour. So what is said of a route is with what chance each visit is reached too late because of those before it.
//
// delay is a distribution of minutes; its last entry is all that is longer.
type delay []float64

// longestDelay is up to how many minutes delays are told apart.
const longestDelay = 12 * 60

func noDelay() delay {
	d := make(delay, longestDelay+1)
	d[0] = 1
	return d
}

// plus is the delay after work that with a chance takes longer by from to to minutes, each as likely.
func (d delay) plus(chance float64, from, to int) delay {
	after := make(delay, len(d))
	each := chance / float64(to-from+1)
	for m, p := range d {
		if p == 0 {
			continue
		}
		after[m] += p * (1 - chance)
		for extra := from; extra <= to; extra++ {
			after[min(m+extra, longestDelay)] += p * each
		}
	}
	return after
}

// less is the delay after minutes that the crew would have waited.
func (d delay) less(minutes int) delay {
	after := make(delay, len(d))
	for m, p := range d {
		after[max(0, m-minutes)] += p
	}
	return after
}

// beyond is in how many of 1,000 it is longer. A crew that is too late as it is, with no room at all, is not so for what it puts right.
func (d delay) beyond(minutes int) int {
	sum := 0.0
	for m := max(0, minutes) + 1; m < len(d); m++ {
		sum += d[m]
	}
	return thousandths(sum)
}

// thousandths rounds to nearest; what lies half way, as far as can be told, goes up.
func thousandths(p float64) int { return int(math.Floor(p*1000 + 0.5 + 1e-6)) }

// lateness says of each visit of a route, and of the return, with what chance the crew is too late for it.
func (w *work) lateness(t team, route *Route) {
	if len(route.Visits) == 0 {
		return
	}
	d := noDelay()
	for i := range route.Visits {
		v := &route.Visits[i]
		d = d.less(v.WaitS / 60)
		v.Late = d.beyond(v.SlackS / 60)
		if note := w.lateNote(*v); note != "" {
			v.Notes = append(v.Notes, note)
		}
		for _, j := range v.Jobs {
			if w.cleanable(t, *v, j) {
				a := w.r.Book.Assemblies[j.Assembly]
				d = d.plus(w.failChance(a), w.r.Settings.CleanFrom.of(a.Size), w.r.Settings.CleanTo.of(a.Size))
			}
		}
	}
	route.Late = d.beyond(int(t.span.Close.Add(minutes(t.OvertimeMinutes)).Sub(route.End) / time.Minute))
}

// cleanable reports whether a unit that fails its test would be cleaned and tested again at once.
func (w *work) cleanable(t team, v Visit, j Job) bool {
	a := w.r.Book.Assemblies[j.Assembly]
	if j.Work != TestWork || !t.skills[needRepair] || !w.by.mayRepair(w.r.Book.Sites[a.Site], a.Job(j.Job)) || len(t.People) < w.r.Settings.people(a, RepairWork) {
		return false
	}
	for _, off := range v.WaterOff {
		if off.Feed == a.Feed && off.TestOnly {
			return false
		}
	}
	return true
}

// tellLateFrom is from which chance, in thousandths, a visit says that it may be reached too late.
const tellLateFrom = 50

func (w *work) lateNote(v Visit) string {
	if v.Late < tellLateFrom {
		return ""
	}
	latest := v.Arrive.Add(time.Duration(v.SlackS) * time.Second)
	return fmt.Sprintf("%s that this cannot begin by %s, if what fails at the stops before is cleaned and tested again at once", oneIn(v.Late), w.by.clockAt(latest, w.r.Book.Sites[v.Site].Zone))
}

// oneIn says a chance in thousandths: 1 in 6.
func oneIn(thousandths int) string {
	if thousandths >= 500 {
		return fmt.Sprintf("%d in 10", (thousandths+50)/100)
	}
	return fmt.Sprintf("1 in %d", (1000+thousandths/2)/thousandths)
}

// Risk is what it is expected to cost that crews come too late, or home after their time, because of what they put right at once.
// It is no part of what the plan costs: the search knows nothing of it.
func (p Plan) Risk() MicroUSD {
	sum := 0
	for _, r := range p.Routes {
		sum += r.Late
		for _, v := range r.Visits {
			sum += v.Late
		}
	}
	return MicroUSD(math.Round(float64(sum) * p.Settings.LateUSD * 1e3))
}
