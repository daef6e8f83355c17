package routing_test

import (
	"context"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"valveround/geo"
	"valveround/planner/routing"
)

// A matrix, a model asked on the fly and one asked without a table give the same
// plan.
func TestTravelFormsAgree(t *testing.T) {
	model := geo.GreatCircle{DetourFactor: 1.3, SpeedKmh: 45, FixedSeconds: 60}
	home := geo.MustPoint(40, -100)
	places := []geo.Point{home}
	for i := range 12 {
		places = append(places, geo.Destination(home, float64(i*77), geo.Metres(1000*(i+1))))
	}
	matrix, err := model.Matrix(context.Background(), places, places, nil)
	if err != nil {
		t.Fatal(err)
	}
	spec := routing.Spec{Places: len(places)}
	for i := range places[1:] {
		spec.Visits = append(spec.Visits, routing.Visit{Place: routing.PlaceIndex(i + 1), Service: 1800, Value: routing.CostOf(100)})
	}
	for day := range routing.DayIndex(2) {
		start := routing.Seconds(day) * 86400
		spec.Routes = append(spec.Routes, routing.Route{Day: day, Earliest: start + 7*3600, Latest: start + 10*3600, CostPerMetre: 450, CostPerSecond: 12500})
	}
	solve := func(travel routing.TravelTimes, ask bool) routing.Solution {
		spec.Travel = travel
		p := mustProblem(t, spec)
		if ask {
			p.AskForTravel()
		}
		s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 3, Iterations: 200})
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	want := solve(routing.FromGeo(matrix), false)
	if got := solve(routing.OnTheFly(model, places), false); !reflect.DeepEqual(got, want) {
		t.Errorf("on the fly %v, matrix %v", got.Routes, want.Routes)
	}
	if got := solve(routing.OnTheFly(model, places), true); !reflect.DeepEqual(got, want) {
		t.Errorf("without a table %v, with one %v", got.Routes, want.Routes)
	}
	if len(want.Evaluation.Unserved) == 0 || len(want.Evaluation.Unserved) == 12 {
		t.Errorf("left out %v: the instance should fill the days", want.Evaluation.Unserved)
	}
}

// One-way streets: there and back differ.
func TestUnsymmetricTravel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spec := randomSpec(t)
		m := spec.Travel.(routing.MatrixTravel)
		for k := range m.Seconds {
			if m.Seconds[k] > 0 {
				m.Seconds[k] += int32(k % 7)
				m.Metres[k] += int32(k % 5)
			}
		}
		p := mustProblem(t, spec)
		s, err := routing.SolveChecked(p, routing.Options{Iterations: 30}, t.Fatalf)
		if err != nil {
			t.Fatal(err)
		}
		if _, others := missing(routing.Evaluate(p, s.Routes).Faults); len(others) > 0 {
			t.Fatal(others)
		}
	})
}
