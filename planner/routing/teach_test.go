package routing_test

import (
	"context"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"valveround/planner/routing"
	"valveround/planner/routing/verify"
)

// lineSpec is the instance to learn from: a depot D and four stops on a straight
// road, ten minutes (600 s, 6,000 m) apart, and one route from 07:00 to 12:00.
//
//	D ---- A ---- B ---- C ---- E        each gap 600 s, 6,000 m
//
//	stop  service  windows (start of service)   value
//	A     1,200 s  any time                     100
//	B     1,200 s  08:00-08:10, 10:00-10:10     100
//	C     1,200 s  08:00-09:00                  100
//	E     1,200 s  any time                       5
//
// A metre costs 0.0005, a second 0.01. Going out to E after C and back to C's
// door costs 2 × 6,000 m × 0.0005 + (2 × 600 + 1,200) s × 0.01 = 6 + 24 = 30,
// and E is worth 5: it is left out.
func lineSpec() routing.Spec {
	const places = 5
	m := routing.MatrixTravel{Places: places}
	for i := range places {
		for j := range places {
			steps := int32(max(i-j, j-i))
			m.Metres = append(m.Metres, 6000*steps)
			m.Seconds = append(m.Seconds, 600*steps)
		}
	}
	any := []routing.Window(nil)
	stop := func(name string, place routing.PlaceIndex, windows []routing.Window, value float64) routing.Visit {
		return routing.Visit{Name: name, Place: place, Service: 1200, Windows: windows, Value: routing.CostOf(value)}
	}
	return routing.Spec{
		Places: places, Travel: m,
		Visits: []routing.Visit{
			stop("A", 1, any, 100),
			stop("B", 2, []routing.Window{{Open: at("08:00"), Close: at("08:10")}, {Open: at("10:00"), Close: at("10:10")}}, 100),
			stop("C", 3, []routing.Window{{Open: at("08:00"), Close: at("09:00")}}, 100),
			stop("E", 4, any, 5),
		},
		Routes: []routing.Route{{
			Name: "Monday", Earliest: at("07:00"), Latest: at("12:00"),
			CostPerMetre: routing.CostOf(0.0005), CostPerSecond: routing.CostOf(0.01),
		}},
	}
}

// at reads a time of day as seconds since midnight.
func at(clock string) routing.Seconds {
	var h, m routing.Seconds
	if _, err := fmt.Sscanf(clock, "%d:%d", &h, &m); err != nil {
		panic(err)
	}
	return 3600*h + 60*m
}

func clockText(s routing.Seconds) string { return fmt.Sprintf("%02d:%02d", s/3600, s%3600/60) }

// scheduleText writes a schedule as text: departure, name start, …, return.
func scheduleText(p *routing.Problem, s routing.RouteSchedule) string {
	words := []string{clockText(s.Depart)}
	for _, stop := range s.Stops {
		words = append(words, p.Visit(stop.Visit).Name+" "+clockText(stop.Start))
	}
	return strings.Join(append(words, clockText(s.Return)), ", ")
}

// In the order A B C the earliest departure, 07:00, would be at A 07:10-07:30
// and wait for B from 07:40 to 08:00. Leaving at 07:20 waits nowhere:
//
//	leave 07:20, A 07:30-07:50, B 08:00-08:20, C 08:30-08:50, back 09:20
//
// B may start as late as 08:10, so could all be ten minutes later; the shortest
// time is the same, and the earlier return is taken. It is 7,200 s: driving
// 6 × 600 s, service 3 × 1,200 s. 36,000 m.
//
// distance 36,000 × 0.0005 = 18, hours 7,200 × 0.01 = 72, E left out 5: 95.
func TestTeachingInstance(t *testing.T) {
	p := mustProblem(t, lineSpec())
	e := routing.Evaluate(p, [][]routing.VisitIndex{{0, 1, 2}})
	if got, want := scheduleText(p, e.Routes[0]), "07:20, A 07:30, B 08:00, C 08:30, 09:20"; got != want {
		t.Errorf("schedule %s, want %s", got, want)
	}
	want := routing.CostParts{Distance: routing.CostOf(18), Hours: routing.CostOf(72), LeftOut: routing.CostOf(5)}
	if e.Cost != want || e.Cost.Total() != routing.CostOf(95) || !e.Feasible() {
		t.Errorf("cost %+v, faults %v, want %+v", e.Cost, e.Faults, want)
	}
	s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 1, Iterations: 100})
	if err != nil || s.Evaluation.Cost.Total() != routing.CostOf(95) || !slices.Equal(s.Evaluation.Unserved, []routing.VisitIndex{3}) {
		t.Errorf("Solve = %v costs %v, %v", s.Routes, s.Evaluation.Cost.Total().Amount(), err)
	}
	if faults := verify.Check(p, s); len(faults) > 0 {
		t.Error(faults)
	}
}

// With B only at its second window the wait can be moved but not lost; served in
// the order C A B it is shorter than in the order A C B.
func TestSecondWindow(t *testing.T) {
	spec := lineSpec()
	spec.Visits[1].Windows = spec.Visits[1].Windows[1:]
	p := mustProblem(t, spec)
	for _, c := range []struct {
		order []routing.VisitIndex
		want  string
	}{
		// C starts at 09:00 at the latest, so at B's door by 09:30: half an hour's wait.
		{[]routing.VisitIndex{0, 2, 1}, "08:10, A 08:20, C 09:00, B 10:00, 10:40"},
		// C 08:50-09:10, A 09:30-09:50, B 10:00-10:20: no wait.
		{[]routing.VisitIndex{2, 0, 1}, "08:20, C 08:50, A 09:30, B 10:00, 10:40"},
	} {
		s := routing.Evaluate(p, [][]routing.VisitIndex{c.order}).Routes[0]
		if got := scheduleText(p, s); got != c.want {
			t.Errorf("%v: %s, want %s", c.order, got, c.want)
		}
	}
}

// Every way of asking about the visit that was left out.
func TestProbeReasons(t *testing.T) {
	base := lineSpec()
	for _, c := range []struct {
		name   string
		change func(*routing.Spec)
		want   routing.ProbeResult
	}{
		{"fits at a loss", func(s *routing.Spec) {}, routing.ProbeResult{
			Outcome: routing.ProbeFits, Position: 3, Delta: routing.CostOf(30 - 5), ExtraMetres: 12000, ExtraSeconds: 2400,
		}},
		{"skill", func(s *routing.Spec) { s.Visits[3].Skills = []routing.SkillID{4, 5} }, routing.ProbeResult{
			Outcome: routing.ProbeIncompatible, Reason: routing.FaultSkill, MissingSkills: []routing.SkillID{4, 5},
		}},
		{"not allowed", func(s *routing.Spec) { s.Visits[3].Allowed = []routing.RouteIndex{} }, routing.ProbeResult{
			Outcome: routing.ProbeIncompatible, Reason: routing.FaultAllowed,
		}},
		{"parts never carried", func(s *routing.Spec) { s.Visits[3].Stock = []routing.Need{{Item: 8, Quantity: 2}} }, routing.ProbeResult{
			Outcome: routing.ProbeIncompatible, Reason: routing.FaultStock, ShortStock: []routing.Need{{Item: 8, Quantity: 2}},
		}},
		{"parts used up", func(s *routing.Spec) {
			s.Routes[0].Stock = []routing.Need{{Item: 8, Quantity: 2}}
			s.Visits[0].Stock = []routing.Need{{Item: 8, Quantity: 1}}
			s.Visits[3].Stock = []routing.Need{{Item: 8, Quantity: 2}}
		}, routing.ProbeResult{
			Outcome: routing.ProbeNoRoom, Reason: routing.FaultStock, ShortStock: []routing.Need{{Item: 8, Quantity: 1}},
		}},
		{"closed all day", func(s *routing.Spec) { s.Visits[3].Windows = []routing.Window{{Open: at("05:00"), Close: at("07:30")}} }, routing.ProbeResult{
			Outcome: routing.ProbeAlone, Reason: routing.FaultWindow, // E is 40 minutes out
		}},
		// Alone: there at 11:30, done 11:50, back 12:30, half an hour late.
		{"day too short alone", func(s *routing.Spec) { s.Visits[3].Windows = []routing.Window{{Open: at("11:30"), Close: at("12:00")}} }, routing.ProbeResult{
			Outcome: routing.ProbeAlone, Reason: routing.FaultDuration, ShortSeconds: 1800,
		}},
		// The route takes 7,200 s, with E 9,600 s.
		{"day too long already", func(s *routing.Spec) { s.Routes[0].Duration, s.Routes[0].Overtime = 7200, 900 }, routing.ProbeResult{
			Outcome: routing.ProbeNoRoom, Reason: routing.FaultDuration, ShortSeconds: 1500,
		}},
		// E must start at 08:00, as must B or C.
		{"window taken", func(s *routing.Spec) {
			s.Visits[1].Windows = []routing.Window{{Open: at("08:00"), Close: at("08:00")}}
			s.Visits[3].Windows = []routing.Window{{Open: at("08:00"), Close: at("08:00")}}
		}, routing.ProbeResult{Outcome: routing.ProbeNoRoom, Reason: routing.FaultWindow}},
	} {
		t.Run(c.name, func(t *testing.T) {
			spec := base
			spec.Visits, spec.Routes = slices.Clone(base.Visits), slices.Clone(base.Routes)
			c.change(&spec)
			p := mustProblem(t, spec)
			plan := routing.Solution{Routes: [][]routing.VisitIndex{{0, 1, 2}}}
			c.want.Visit = 3
			if got := routing.Probe(p, plan, 3, 0); !reflect.DeepEqual(got, c.want) {
				t.Errorf("Probe = %+v\nwant    %+v", got, c.want)
			}
		})
	}
}

// Two feeds that must never be dry together: one group, served by one crew on
// one day, though two crews would do it for less driving.
func TestGroupStaysTogether(t *testing.T) {
	spec := lineSpec()
	spec.Routes = append(spec.Routes, spec.Routes[0])
	spec.Routes[0].End, spec.Routes[1].Start, spec.Routes[1].End = 0, 4, 4
	spec.Routes[1].Crew = 1
	for i := range spec.Visits {
		spec.Visits[i].Value = routing.CostOf(500)
		spec.Visits[i].Windows = nil
	}
	count := func(group routing.GroupID) (used int) {
		for i := range spec.Visits {
			spec.Visits[i].Group = group
		}
		s, err := routing.Solve(context.Background(), mustProblem(t, spec), routing.Options{Seed: 1, Iterations: 300})
		if err != nil || len(s.Evaluation.Unserved) > 0 || !s.Evaluation.Feasible() {
			t.Errorf("group %d: unserved %v, faults %v, %v", group, s.Evaluation.Unserved, s.Evaluation.Faults, err)
		}
		for _, r := range s.Evaluation.Routes {
			if r.Used {
				used++
			}
		}
		return used
	}
	if apart, together := count(0), count(6); apart != 2 || together != 1 {
		t.Errorf("%d routes without a group, %d with one, want 2 and 1", apart, together)
	}
}

func TestNewProblemNamesTheField(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*routing.Spec)
		want   string
	}{
		{"no travel", func(s *routing.Spec) { s.Travel = nil }, "travel: missing"},
		{"no place", func(s *routing.Spec) { s.Places = 0 }, "places: 0"},
		{"matrix too small", func(s *routing.Spec) { s.Places = 6 }, "travel: a matrix for 5 places"},
		{"negative drive", func(s *routing.Spec) {
			m := s.Travel.(routing.MatrixTravel)
			m.Seconds = slices.Clone(m.Seconds)
			m.Seconds[7] = -1
			s.Travel = m
		}, "travel from place 1 to 2"},
		{"visit nowhere", func(s *routing.Spec) { s.Visits[2].Place = 5 }, `visits[2] "C": place: 5 does not exist`},
		{"negative service", func(s *routing.Spec) { s.Visits[0].Service = -1 }, `visits[0] "A": service is -1 s`},
		{"window backwards", func(s *routing.Spec) { s.Visits[1].Windows[1].Close = 0 }, `visits[1] "B": windows[1] closes at 0 before`},
		{"windows overlap", func(s *routing.Spec) { s.Visits[1].Windows[1].Open = at("08:10") }, `visits[1] "B": windows[1] opens at 29400`},
		{"endless window", func(s *routing.Spec) { s.Visits[1].Windows[1].Close = 1 << 62 }, `visits[1] "B": windows[1]: close is`},
		{"worth more on a day", func(s *routing.Spec) {
			s.Visits[3].ValueByDay = map[routing.DayIndex]routing.Cost{0: routing.CostOf(6)}
		}, `visits[3] "E": value by day 0`},
		{"allowed route missing", func(s *routing.Spec) { s.Visits[3].Allowed = []routing.RouteIndex{1} }, `allowed[0]: route 1 does not exist`},
		{"pinned to no route", func(s *routing.Spec) { s.Visits[3].Pin = &routing.Pin{Route: 9} }, `visits[3] "E": pin: route 9 does not exist`},
		{"position taken", func(s *routing.Spec) {
			s.Visits[0].Pin, s.Visits[3].Pin = &routing.Pin{Position: 1}, &routing.Pin{Position: 1}
		}, `visits[3] "E": pin: position 1 of route 0 is held by visits[0]`},
		{"day ends before it begins", func(s *routing.Spec) { s.Routes[0].Latest = 0 }, `routes[0] "Monday": latest return 0`},
		{"negative price", func(s *routing.Spec) { s.Routes[0].CostPerMetre = -1 }, `routes[0] "Monday": cost per metre is -1`},
		{"stock twice", func(s *routing.Spec) { s.Routes[0].Stock = []routing.Need{{Item: 1}, {Item: 1}} }, `stock[1]: item 1 is listed twice`},
		{"sums overflow", func(s *routing.Spec) { s.Routes[0].CostPerSecond = 1 << 59 }, "costs: the dearest plan"},
		{"breaks", func(s *routing.Spec) { s.Routes[0].Breaks = []routing.Break{{Length: 1}} }, `routes[0] "Monday": breaks[0] has no window`},
		{"endless break", func(s *routing.Spec) {
			s.Routes[0].Breaks = []routing.Break{{Length: 1 << 50, Windows: []routing.Window{{Open: 0, Close: 1}}}}
		}, `breaks[0] takes 1125899906842624 s`},
		{"relations", func(s *routing.Spec) { s.Relations = []routing.Relation{{Kind: routing.SameDay}} }, "relations are not supported yet"},
		{"other objective", func(s *routing.Spec) { s.Objective = 7 }, "objective: 7 is neither"},
	} {
		t.Run(c.name, func(t *testing.T) {
			spec := lineSpec()
			c.change(&spec)
			if _, err := routing.NewProblem(spec); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("NewProblem: %v, want %q", err, c.want)
			}
		})
	}
}
