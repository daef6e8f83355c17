package routing_test

import (
	"fmt"
	"math"

	"pgregory.net/rapid"

	"valveround/planner/routing"
)

// randomSpec draws a small problem that uses everything a Spec can say: several
// days and crews, several windows, skills, parts, loads, values by day, pins,
// groups and a reference.
func randomSpec(t *rapid.T) routing.Spec {
	places := rapid.IntRange(1, 8).Draw(t, "places")
	travel := randomTravel(t, places)
	spec := routing.Spec{Places: places, Travel: travel}
	days := rapid.IntRange(1, 3).Draw(t, "days")
	crews := rapid.IntRange(1, 2).Draw(t, "crews")
	for d := range days {
		for c := range crews {
			spec.Routes = append(spec.Routes, randomRoute(t, places, c, d))
		}
	}
	for i := range rapid.IntRange(0, 10).Draw(t, "visits") {
		spec.Visits = append(spec.Visits, randomVisit(t, i, places, len(spec.Routes), days, crews))
	}
	return spec
}

// randomTravel puts the places on a grid; driving takes a second a metre.
func randomTravel(t *rapid.T, places int) routing.MatrixTravel {
	x := rapid.SliceOfN(rapid.IntRange(0, 100), places, places).Draw(t, "x")
	y := rapid.SliceOfN(rapid.IntRange(0, 100), places, places).Draw(t, "y")
	m := routing.MatrixTravel{Places: places}
	for i := range places {
		for j := range places {
			d := int32(math.Ceil(math.Hypot(float64(x[i]-x[j]), float64(y[i]-y[j]))))
			m.Metres = append(m.Metres, d)
			m.Seconds = append(m.Seconds, d)
		}
	}
	return m
}

const dayLength = 2000

func randomRoute(t *rapid.T, places, crew, day int) routing.Route {
	end := rapid.IntRange(-1, places-1)
	open := routing.Seconds(day*dayLength + rapid.IntRange(0, 200).Draw(t, "earliest"))
	return routing.Route{
		Name: fmt.Sprintf("crew %d day %d", crew, day), Crew: routing.CrewIndex(crew), Day: routing.DayIndex(day),
		Start: routing.PlaceIndex(end.Draw(t, "start")), End: routing.PlaceIndex(end.Draw(t, "end")),
		Earliest: open, Latest: open + routing.Seconds(rapid.IntRange(0, 1200).Draw(t, "hours")),
		Duration: routing.Seconds(rapid.SampledFrom([]int{0, 300, 600}).Draw(t, "duration")),
		Overtime: routing.Seconds(rapid.SampledFrom([]int{0, 100}).Draw(t, "overtime")),
		Skills:   randomSkills(t), Stock: randomStock(t), Capacity: rapid.SampledFrom([][]int64{nil, {3}, {4, 5}}).Draw(t, "capacity"),
		CostPerMetre:          routing.Cost(rapid.IntRange(0, 5).Draw(t, "per metre")),
		CostPerSecond:         routing.Cost(rapid.IntRange(0, 5).Draw(t, "per second")),
		CostPerOvertimeSecond: routing.Cost(rapid.IntRange(0, 5).Draw(t, "per overtime")),
		CostWhenUsed:          routing.Cost(rapid.IntRange(0, 100).Draw(t, "when used")),
	}
}

func randomSkills(t *rapid.T) []routing.SkillID {
	return rapid.SampledFrom([][]routing.SkillID{nil, {1}, {2}, {1, 2}, {1, 2}}).Draw(t, "skills")
}

func randomStock(t *rapid.T) []routing.Need {
	return rapid.SampledFrom([][]routing.Need{nil, {{Item: 7, Quantity: 1}}, {{Item: 7, Quantity: 3}, {Item: 9, Quantity: 2}}}).Draw(t, "stock")
}

func randomVisit(t *rapid.T, i, places, routes, days, crews int) routing.Visit {
	number := func(low, high int, name string) int { return rapid.IntRange(low, high).Draw(t, name) }
	v := routing.Visit{
		Name: fmt.Sprint("visit ", i), Place: routing.PlaceIndex(number(0, places-1, "place")),
		Service: routing.Seconds(number(0, 100, "service")), Windows: randomWindows(t, days),
		Skills: rapid.SampledFrom([][]routing.SkillID{nil, nil, {1}, {2}}).Draw(t, "needs skill"),
		Stock:  rapid.SampledFrom([][]routing.Need{nil, nil, {{Item: 7, Quantity: 1}}, {{Item: 9, Quantity: 1}}}).Draw(t, "needs stock"),
		Demand: rapid.SampledFrom([][]int64{nil, {1}, {0, 2}}).Draw(t, "demand"), Required: number(0, 3, "required") == 0,
		Value: routing.Cost(number(0, 3000, "value")), Group: routing.GroupID(number(0, 2, "group")),
	}
	if number(0, 3, "value by day") == 0 {
		v.ValueByDay = map[routing.DayIndex]routing.Cost{0: v.Value / 2}
	}
	if number(0, 3, "by crew") == 0 {
		v.ServiceByCrew = map[routing.CrewIndex]routing.Seconds{1: 10}
	}
	switch number(0, 7, "held") {
	case 0:
		v.Pin = &routing.Pin{Route: routing.RouteIndex(number(0, routes-1, "pin")), Position: i + 1}
	case 1:
		v.Pin = &routing.Pin{Route: routing.RouteIndex(number(0, routes-1, "pin"))}
	case 2:
		v.Allowed = []routing.RouteIndex{routing.RouteIndex(number(0, routes-1, "allowed"))}
	case 3:
		v.Reference = &routing.Reference{Crew: routing.CrewIndex(number(0, crews-1, "ref crew")), Day: routing.DayIndex(number(0, days-1, "ref day")), DayChange: 500, CrewChange: 200}
	}
	return v
}

// randomWindows draws up to six windows over the days, now and then only one
// second wide.
func randomWindows(t *rapid.T, days int) []routing.Window {
	var windows []routing.Window
	at := routing.Seconds(0)
	for range rapid.IntRange(0, 6).Draw(t, "windows") {
		at += routing.Seconds(rapid.IntRange(1, 700).Draw(t, "gap"))
		w := routing.Window{Open: at, Close: at + routing.Seconds(rapid.IntRange(0, 300).Draw(t, "width"))}
		at = w.Close
		windows = append(windows, w)
	}
	return windows
}
