package routing_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"pgregory.net/rapid"

	"valveround/planner/routing"
)

// randomSpec makes a small problem that uses everything a Spec can say: several
// days and crews, several windows, skills, parts, loads, values by day, pins,
// groups and a reference. rapid draws the seed; the rest is spread evenly, so that
// full routes are as frequent as empty ones.
func randomSpec(t *rapid.T) routing.Spec {
	d := dice{rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "problem"), 0))}
	places := d.between(1, 8)
	spec := routing.Spec{Places: places, Travel: d.travel(places)}
	days, crews := d.between(1, 3), d.between(1, 2)
	for day := range days {
		for crew := range crews {
			spec.Routes = append(spec.Routes, d.route(places, crew, day))
		}
	}
	for i := range d.between(0, 14) {
		spec.Visits = append(spec.Visits, d.visit(i, places, len(spec.Routes), days, crews))
	}
	return spec
}

type dice struct{ *rand.Rand }

func (d dice) between(low, high int) int { return low + d.IntN(high-low+1) }

func (d dice) oneIn(n int) bool { return d.IntN(n) == 0 }

func pick[T any](d dice, from ...T) T { return from[d.IntN(len(from))] }

// travel puts the places on a grid; driving takes a second a metre.
func (d dice) travel(places int) routing.MatrixTravel {
	m := routing.MatrixTravel{Places: places}
	x, y := make([]float64, places), make([]float64, places)
	for i := range places {
		x[i], y[i] = float64(d.between(0, 100)), float64(d.between(0, 100))
	}
	for i := range places {
		for j := range places {
			drive := int32(math.Ceil(math.Hypot(x[i]-x[j], y[i]-y[j])))
			m.Metres = append(m.Metres, drive)
			m.Seconds = append(m.Seconds, drive)
		}
	}
	return m
}

const dayLength = 1500

func (d dice) route(places, crew, day int) routing.Route {
	open := routing.Seconds(day*dayLength + d.between(0, 200))
	return routing.Route{
		Name: fmt.Sprintf("crew %d day %d", crew, day), Crew: routing.CrewIndex(crew), Day: routing.DayIndex(day),
		Start: routing.PlaceIndex(d.between(-1, places-1)), End: routing.PlaceIndex(d.between(-1, places-1)),
		Earliest: open, Latest: open + routing.Seconds(d.between(200, 1400)),
		Duration: pick[routing.Seconds](d, 0, 400, 800), Overtime: pick[routing.Seconds](d, 0, 100),
		Skills:   pick(d, nil, []routing.SkillID{1}, []routing.SkillID{1, 2}, []routing.SkillID{2, 1}),
		Stock:    pick(d, nil, []routing.Need{{Item: 7, Quantity: 2}}, []routing.Need{{Item: 7, Quantity: 3}, {Item: 9, Quantity: 2}}),
		Breaks:   d.breaks(),
		Capacity: pick(d, nil, nil, []int64{3}, []int64{4, 5}),

		CostPerMetre:          routing.Cost(d.between(0, 5)),
		CostPerSecond:         routing.Cost(d.between(0, 5)),
		CostPerOvertimeSecond: routing.Cost(d.between(0, 5)),
		CostWhenUsed:          routing.Cost(d.between(0, 100)),
	}
}

func (d dice) visit(i, places, routes, days, crews int) routing.Visit {
	v := routing.Visit{
		Name: fmt.Sprint("visit ", i), Place: routing.PlaceIndex(d.between(0, places-1)),
		Service: routing.Seconds(d.between(0, 100)), Windows: d.windows(),
		Skills:   pick(d, nil, nil, nil, []routing.SkillID{1}, []routing.SkillID{2}),
		Stock:    pick(d, nil, nil, nil, []routing.Need{{Item: 7, Quantity: 1}}, []routing.Need{{Item: 9, Quantity: 1}}),
		Demand:   pick(d, nil, nil, []int64{1}, []int64{0, 2}),
		Required: d.oneIn(4), Value: routing.Cost(d.between(0, 3000)), Group: routing.GroupID(max(0, d.between(-4, 2))),
	}
	route := routing.RouteIndex(d.IntN(routes))
	switch d.between(0, 11) {
	case 0:
		v.Pin = &routing.Pin{Route: route, Position: i + 1}
	case 1:
		v.Pin = &routing.Pin{Route: route}
	case 2:
		v.Allowed = []routing.RouteIndex{route}
	case 3, 4:
		v.Reference = &routing.Reference{
			Crew: routing.CrewIndex(d.IntN(crews)), Day: routing.DayIndex(d.IntN(days)), DayChange: 500, CrewChange: 200,
		}
	case 5:
		v.ValueByDay = map[routing.DayIndex]routing.Cost{0: v.Value / 2}
	case 6:
		v.ServiceByCrew = map[routing.CrewIndex]routing.Seconds{1: 10}
	}
	return v
}

// windows makes none, or up to six over all days, now and then one second wide.
func (d dice) windows() []routing.Window {
	var windows []routing.Window
	at := routing.Seconds(0)
	for range max(0, d.between(-3, 6)) {
		at += routing.Seconds(d.between(1, pick(d, 100, 700)))
		w := routing.Window{Open: at, Close: at + routing.Seconds(d.between(0, pick(d, 0, 100, 500)))}
		at = w.Close
		windows = append(windows, w)
	}
	return windows
}

// breaks makes none, one or two, now and then with windows that leave little room.
func (d dice) breaks() []routing.Break {
	var breaks []routing.Break
	for range max(0, d.between(-2, 2)) {
		windows := d.windows()
		if len(windows) > 0 {
			breaks = append(breaks, routing.Break{Windows: windows, Length: routing.Seconds(d.between(1, pick(d, 60, 300)))})
		}
	}
	return breaks
}
