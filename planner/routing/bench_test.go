package routing_test

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"testing"
	"time"

	"valveround/geo"
	"valveround/planner/routing"
	"valveround/planner/routing/verify"
)

// countySpec is a week's work of a made-up county, 60 by 60 km with a depot in
// the middle: crews working 05:00 to 15:30 with an hour of overtime, more visits
// than fit, each open on several mornings or all day.
func countySpec(visits, crews, days int, seed uint64) routing.Spec {
	d := dice{rand.New(rand.NewPCG(seed, 1))}
	places := visits + 1
	x, y := make([]float64, places), make([]float64, places)
	x[0], y[0] = 30_000, 30_000
	for i := 1; i < places; i++ {
		x[i], y[i] = d.Float64()*60_000, d.Float64()*60_000
	}
	m := routing.MatrixTravel{Places: places, Metres: make([]int32, places*places), Seconds: make([]int32, places*places)}
	for i := range places {
		for j := range places {
			metres := 1.3 * math.Hypot(x[i]-x[j], y[i]-y[j])
			m.Metres[i*places+j] = int32(math.Round(metres))
			m.Seconds[i*places+j] = int32(math.Ceil(metres / 11))
		}
	}
	const hour = 3600
	spec := routing.Spec{Places: places, Travel: m}
	for day := range days {
		for crew := range crews {
			open := routing.Seconds(day*24*hour + 5*hour)
			spec.Routes = append(spec.Routes, routing.Route{
				Crew: routing.CrewIndex(crew), Day: routing.DayIndex(day), Earliest: open, Latest: open + 11*hour,
				Duration: 8 * hour, Overtime: hour, Skills: []routing.SkillID{1, routing.SkillID(2 + crew%2)},
				CostPerMetre: routing.CostPerMetre(0.45), CostPerSecond: routing.CostPerSecond(48),
				CostPerOvertimeSecond: routing.CostPerSecond(24), CostWhenUsed: routing.CostOf(20),
			})
		}
	}
	for i := range visits {
		v := routing.Visit{
			Place: routing.PlaceIndex(i + 1), Service: routing.Seconds(d.between(20, 60) * 60),
			Value: routing.CostOf(float64(d.between(40, 300))), Skills: pick(d, nil, []routing.SkillID{1}, []routing.SkillID{2}),
		}
		for day := range days {
			start := routing.Seconds(day * 24 * hour)
			switch i % 3 {
			case 0:
				v.Windows = append(v.Windows, routing.Window{Open: start + 5*hour, Close: start + 9*hour})
			case 1:
				v.Windows = append(v.Windows, routing.Window{Open: start + 8*hour, Close: start + 11*hour}, routing.Window{Open: start + 13*hour, Close: start + 15*hour})
			case 2:
				v.Windows = append(v.Windows, routing.Window{Open: start + 6*hour, Close: start + 16*hour})
			}
		}
		spec.Visits = append(spec.Visits, v)
	}
	return spec
}

// BenchmarkCounty reports what a plan of 16 crews × 5 days and 2,500 visits costs
// after a given number of rounds.
func BenchmarkCounty(b *testing.B) {
	p := mustProblem(b, countySpec(2500, 16, 5, 1))
	for _, rounds := range []int{0, 10_000} {
		b.Run(fmt.Sprint("rounds=", rounds), func(b *testing.B) {
			var s routing.Solution
			for b.Loop() {
				s, _ = routing.Solve(context.Background(), p, routing.Options{Seed: 1, Iterations: rounds})
			}
			b.ReportMetric(s.Evaluation.Cost.Total().Amount(), "cost")
			b.ReportMetric(float64(p.VisitCount()-len(s.Evaluation.Unserved)), "served")
			if faults := verify.Check(p, s); len(faults) > 0 {
				b.Fatal(faults[0])
			}
		})
	}
}

// businessSpec is ten days of fifty crews: each visit has a window on five of the
// days; one in three must be served, or all.
func businessSpec(visits int, allRequired bool) routing.Spec {
	spec := countySpec(visits, 50, 10, 3)
	for i := range spec.Visits {
		v := &spec.Visits[i]
		days := map[int]routing.Window{}
		for _, w := range v.Windows {
			days[int(w.Open/86400)] = w
		}
		v.Windows = nil
		for k := range 10 {
			if w, ok := days[k]; ok && (k+i)%2 == 0 {
				v.Windows = append(v.Windows, w)
			}
		}
		v.Required = allRequired || i%3 == 0
	}
	return spec
}

// BenchmarkFirstPlan is the processor time, of two workers together, to a first plan that keeps the rules,
// judging the problem included and apart, and to a local optimum, that one by the clock as well: 6,000 visits of which one in three must
// be served; all of which must be, which only some can; and all of which must and
// can be, for they take half as long.
func BenchmarkFirstPlan(b *testing.B) {
	full, short := businessSpec(6000, true), businessSpec(6000, true)
	for i := range short.Visits {
		short.Visits[i].Service /= 2
	}
	for _, c := range []struct {
		name string
		spec routing.Spec
	}{{"third required", businessSpec(6000, false)}, {"too much required", full}, {"all required", short}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				runtime.GC()
				began, begin := time.Now(), cpuTime()
				p := mustProblem(b, c.spec)
				judged := cpuTime() - begin
				first := time.Duration(0)
				s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 1, Workers: 2, Progress: func(routing.Progress) {
					if first == 0 {
						first = cpuTime() - begin
					}
				}})
				used, clock := cpuTime()-begin, time.Since(began)
				if err != nil {
					b.Fatal(err)
				}
				missed, others := missing(verify.Check(p, s))
				if len(others) > 0 {
					b.Fatal(others[0])
				}
				b.ReportMetric(judged.Seconds(), "cpu-s-judging")
				b.ReportMetric(first.Seconds(), "cpu-s-first")
				b.ReportMetric(used.Seconds(), "cpu-s-settled")
				b.ReportMetric(clock.Seconds(), "s-settled")
				b.ReportMetric(float64(len(s.Evaluation.Unserved)), "unserved")
				b.ReportMetric(float64(missed), "missing")
				b.ReportMetric(s.Evaluation.Cost.Total().Amount(), "cost")
			}
		})
	}
}

// BenchmarkPatience searches 6,000 visits with two workers for half a minute and, where VALVEROUND_PATIENCE says how many
// seconds, for longer: what the plans cost, and how much dearer the first is.
func BenchmarkPatience(b *testing.B) {
	long, _ := strconv.Atoi(os.Getenv("VALVEROUND_PATIENCE"))
	p := mustProblem(b, businessSpec(6000, false))
	cost := func(seconds int) float64 {
		s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 1, Workers: 2, TimeLimit: time.Duration(seconds) * time.Second})
		if err != nil {
			b.Fatal(err)
		}
		if _, others := missing(verify.Check(p, s)); len(others) > 0 {
			b.Fatal(others[0])
		}
		b.ReportMetric(float64(s.Rounds), fmt.Sprintf("rounds-%ds", seconds))
		b.ReportMetric(s.Evaluation.Cost.Total().Amount(), fmt.Sprintf("cost-%ds", seconds))
		return s.Evaluation.Cost.Total().Amount()
	}
	for b.Loop() {
		short := cost(30)
		if long > 0 {
			b.ReportMetric(100*(short/cost(long)-1), "dearer-percent")
		}
	}
}

// A time limit is kept closely enough to be usable; how closely is not asserted,
// machines being what they are, only that Solve says why it stopped.
func TestTimeLimitAndCancel(t *testing.T) {
	p := mustProblem(t, countySpec(200, 3, 2, 2))
	s, err := routing.Solve(context.Background(), p, routing.Options{TimeLimit: 30 * time.Millisecond})
	if err != nil || s.Stopped != routing.StoppedTime {
		t.Errorf("stopped %q, %v, want the time limit", s.Stopped, err)
	}
	if faults := verify.Check(p, s); len(faults) > 0 {
		t.Error(faults)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s, err = routing.Solve(ctx, p, routing.Options{Iterations: 1_000_000})
	if err != nil || s.Stopped != routing.StoppedCancelled {
		t.Errorf("stopped %q, %v, want cancelled", s.Stopped, err)
	}
}

// wideSpec is a county of so many visits whose drives are worked out when they are asked for; one visit in three is required.
func wideSpec(visits int) routing.Spec {
	spec := countySpec(1, visits/120, 10, 3)
	d := dice{rand.New(rand.NewPCG(4, uint64(visits)))}
	places := []geo.Point{geo.MustPoint(40, -95)}
	windows := countySpec(3, 1, 10, 3).Visits // of the three kinds
	spec.Visits = nil
	for range visits {
		places = append(places, geo.MustPoint(39.7+0.6*d.Float64(), -95.35+0.7*d.Float64()))
	}
	band := func(p geo.Point) float64 { return math.Floor(p.LatDeg() * 50) }
	slices.SortFunc(places[1:], func(a, b geo.Point) int { // neighbours next to each other
		return cmp.Or(cmp.Compare(band(a), band(b)), cmp.Compare(a.LonDeg(), b.LonDeg()))
	})
	for i := range visits {
		v := windows[i%3]
		v.Place, v.Required, v.Skills = routing.PlaceIndex(i+1), i%3 == 0, pick(d, nil, []routing.SkillID{1}, []routing.SkillID{2})
		v.Value, v.Service = routing.CostOf(float64(d.between(40, 300))), routing.Seconds(d.between(20, 60)*60)
		spec.Visits = append(spec.Visits, v)
	}
	spec.Places, spec.Travel = len(places), routing.OnTheFly(geo.GreatCircle{DetourFactor: 1.3, SpeedKmh: 40}, places)
	return spec
}

// BenchmarkScale searches ten days of crews with twelve visits a day each, small and large, two rounds a visit: a round
// changes more while the plan is young. It reports rounds per second of processor time, changes priced, and the memory that the process has taken from the system by then, in megabytes.
func BenchmarkScale(b *testing.B) {
	for _, visits := range []int{2000, 20_000} {
		b.Run(fmt.Sprint("visits=", visits), func(b *testing.B) {
			p := mustProblem(b, wideSpec(visits))
			rounds := 2 * visits
			var first, searched time.Duration
			from, evaluations := 0, int64(0)
			for b.Loop() {
				began, settled := cpuTime(), time.Duration(0)
				plan, err := routing.Solve(context.Background(), p, routing.Options{Seed: 1, Iterations: rounds, Progress: func(now routing.Progress) {
					if settled == 0 {
						settled, from = cpuTime(), now.Round
					}
				}})
				if err != nil {
					b.Fatal(err)
				}
				first, searched = settled-began, cpuTime()-settled
				evaluations = plan.Evaluations
			}
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			b.ReportMetric(first.Seconds(), "cpu-s-first")
			b.ReportMetric(float64(rounds-from)/searched.Seconds(), "rounds/cpu-s")
			b.ReportMetric(float64(evaluations)/searched.Seconds(), "evaluations/cpu-s")
			b.ReportMetric(float64(m.Sys>>20), "MB")
		})
	}
}
