package verify_test

import (
	"slices"
	"testing"

	"valveround/planner/routing"
	"valveround/planner/routing/verify"
)

// spec: two places a hundred seconds apart, two crews on one day, three visits.
func spec() routing.Spec {
	route := routing.Route{
		Latest: 10_000, Duration: 500, Overtime: 100, Skills: []routing.SkillID{1}, Stock: []routing.Need{{Item: 5, Quantity: 1}},
		Capacity: []int64{2}, CostPerMetre: 2, CostPerSecond: 3, CostPerOvertimeSecond: 4, CostWhenUsed: 50,
	}
	other := route
	other.Crew, other.Skills = 1, nil
	return routing.Spec{
		Places: 2,
		Travel: routing.MatrixTravel{Places: 2, Metres: []int32{0, 1000, 1000, 0}, Seconds: []int32{0, 100, 100, 0}},
		Visits: []routing.Visit{
			{Name: "first", Place: 1, Service: 150, Required: true, Skills: []routing.SkillID{1}, Demand: []int64{1}, Group: 3},
			{Name: "second", Place: 1, Service: 150, Windows: []routing.Window{{Open: 900, Close: 1000}}, Stock: []routing.Need{{Item: 5, Quantity: 1}}, Value: 7000, Group: 3},
			{Name: "third", Place: 0, Service: 50, Value: 11, Demand: []int64{2}},
		},
		Routes: []routing.Route{route, other},
	}
}

// goodPlan leaves at 650: first 750-900, second 900-1050, back 1150. 500 s, 2,000 m:
// 4,000 for distance, 1,500 for hours, 50 for use, 11 for the third left out.
func goodPlan(t *testing.T, s routing.Spec) (*routing.Problem, routing.Solution) {
	t.Helper()
	p, err := routing.NewProblem(s)
	if err != nil {
		t.Fatal(err)
	}
	first := routing.Stop{Visit: 0, Arrive: 750, Start: 750, Leave: 900, Drive: 100, Metres: 1000}
	second := routing.Stop{Visit: 1, Arrive: 900, Start: 900, Leave: 1050}
	cost := routing.CostParts{Distance: 4000, Hours: 1500, RouteUse: 50}
	return p, routing.Solution{
		Routes: [][]routing.VisitIndex{{0, 1}, nil},
		Evaluation: routing.Evaluation{
			Routes: []routing.RouteSchedule{{
				Route: 0, Used: true, Depart: 650, Return: 1150, Duration: 500, Driving: 200, Service: 300, Metres: 2000,
				Stops: []routing.Stop{first, second}, ReturnDrive: 100, ReturnMetres: 1000, Cost: cost,
			}, {Route: 1}},
			Unserved: []routing.VisitIndex{2},
			Cost:     cost.Plus(routing.CostParts{LeftOut: 11}),
		},
	}
}

func TestGoodPlanReckonedByHand(t *testing.T) {
	p, s := goodPlan(t, spec())
	if faults := verify.Check(p, s); len(faults) > 0 {
		t.Error(faults)
	}
}

// Every single lie or broken rule is found, and called by its name.
func TestEveryFaultIsFound(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*routing.Spec, *routing.Solution)
		want   routing.FaultKind
	}{
		{"a start stated late", func(_ *routing.Spec, s *routing.Solution) { s.Evaluation.Routes[0].Stops[1].Start++ }, routing.FaultClock},
		{"a return stated early", func(_ *routing.Spec, s *routing.Solution) { s.Evaluation.Routes[0].Return-- }, routing.FaultClock},
		{"metres stated short", func(_ *routing.Spec, s *routing.Solution) { s.Evaluation.Routes[0].Metres = 0 }, routing.FaultClock},
		{"a stop missing", func(_ *routing.Spec, s *routing.Solution) {
			s.Evaluation.Routes[0].Stops = s.Evaluation.Routes[0].Stops[:1]
		}, routing.FaultClock},
		{"an unused route with hours", func(_ *routing.Spec, s *routing.Solution) { s.Evaluation.Routes[1].Duration = 1 }, routing.FaultClock},
		{"cost stated low", func(_ *routing.Spec, s *routing.Solution) { s.Evaluation.Cost.LeftOut-- }, routing.FaultCost},
		{"cost of a route in the wrong part", func(_ *routing.Spec, s *routing.Solution) {
			s.Evaluation.Routes[0].Cost.Hours--
			s.Evaluation.Routes[0].Cost.Distance++
		}, routing.FaultCost},
		{"left-out visit not stated", func(_ *routing.Spec, s *routing.Solution) { s.Evaluation.Unserved = nil }, routing.FaultUnserved},
		{"no such visit", func(_ *routing.Spec, s *routing.Solution) { s.Routes[1] = []routing.VisitIndex{3} }, routing.FaultShape},
		{"a route too many", func(_ *routing.Spec, s *routing.Solution) { s.Routes = append(s.Routes, nil) }, routing.FaultShape},
		{"served twice", func(_ *routing.Spec, s *routing.Solution) { s.Routes[1] = []routing.VisitIndex{0} }, routing.FaultTwice},
		{"required left out", func(q *routing.Spec, _ *routing.Solution) { q.Visits[2].Required = true }, routing.FaultRequired},
		{"skill", func(q *routing.Spec, _ *routing.Solution) { q.Visits[1].Skills = []routing.SkillID{1, 2} }, routing.FaultSkill},
		{"not allowed", func(q *routing.Spec, _ *routing.Solution) { q.Visits[1].Allowed = []routing.RouteIndex{1} }, routing.FaultAllowed},
		{"held elsewhere", func(q *routing.Spec, _ *routing.Solution) { q.Visits[1].Pin = &routing.Pin{Route: 1} }, routing.FaultPin},
		{"held to the front", func(q *routing.Spec, _ *routing.Solution) { q.Visits[1].Pin = &routing.Pin{Position: 1} }, routing.FaultPin},
		{"held the other way round", func(q *routing.Spec, _ *routing.Solution) {
			q.Visits[0].Pin, q.Visits[1].Pin = &routing.Pin{Position: 2}, &routing.Pin{Position: 1}
		}, routing.FaultPin},
		{"parts run out", func(q *routing.Spec, _ *routing.Solution) {
			q.Visits[0].Stock = []routing.Need{{Item: 5, Quantity: 1}}
		}, routing.FaultStock},
		{"too heavy", func(q *routing.Spec, _ *routing.Solution) { q.Visits[1].Demand = []int64{2} }, routing.FaultLoad},
		{"group on two crews", func(q *routing.Spec, s *routing.Solution) {
			s.Routes = [][]routing.VisitIndex{{0}, {1}}
		}, routing.FaultGroup},
		{"window missed by a second", func(q *routing.Spec, _ *routing.Solution) {
			q.Visits[1].Windows = []routing.Window{{Open: 800, Close: 899}}
		}, routing.FaultWindow},
		{"back a second late", func(q *routing.Spec, _ *routing.Solution) { q.Routes[0].Latest = 1149 }, routing.FaultReturn},
		{"left a second early", func(q *routing.Spec, _ *routing.Solution) { q.Routes[0].Earliest = 651 }, routing.FaultReturn},
		{"a break nobody takes", func(q *routing.Spec, _ *routing.Solution) {
			q.Routes[0].Breaks = []routing.Break{{Windows: []routing.Window{{Open: 640, Close: 1149}}, Length: 11}}
		}, routing.FaultBreak},
		{"a rest of no break", func(_ *routing.Spec, s *routing.Solution) {
			s.Evaluation.Routes[0].Rests = []routing.Rest{{After: 1, Start: 900, End: 900}}
		}, routing.FaultClock},
		{"a second too long", func(q *routing.Spec, _ *routing.Solution) {
			q.Routes[0].Duration, q.Routes[0].Overtime = 400, 99
		}, routing.FaultDuration},
		{"overtime not stated", func(q *routing.Spec, _ *routing.Solution) { q.Routes[0].Duration = 499 }, routing.FaultClock},
		{"a shorter schedule exists", func(q *routing.Spec, _ *routing.Solution) {
			q.Visits[1].Windows = []routing.Window{{Open: 500, Close: 1000}}
		}, routing.FaultClock},
	} {
		t.Run(c.name, func(t *testing.T) {
			q := spec()
			_, s := goodPlan(t, q)
			c.change(&q, &s)
			p, err := routing.NewProblem(q)
			if err != nil {
				t.Fatal(err)
			}
			faults := verify.Check(p, s)
			if !slices.ContainsFunc(faults, func(f verify.Fault) bool { return f.Kind == c.want }) {
				t.Errorf("faults %v, want one of kind %q", faults, c.want)
			}
		})
	}
}
