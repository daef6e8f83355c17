package demo

import (
	"fmt"
	"time"

	"valveround/events"
)

func psid(d dice, low, high int) *events.Decimal { // in tenths
	n := events.MustDecimal(tenths(d.between(low, high)))
	return &n
}

func tenths(n int) string { return fmt.Sprintf("%d.%d", n/10, n%10) }

// passing are readings that pass every published profile.
func passing(d dice, t events.AssemblyType, phase events.Phase, procedure events.Procedure) []events.Reading {
	var list []events.Reading
	var relief int
	for _, place := range t.Components() {
		r := events.Reading{Part: place.Part, Component: place.Component, Phase: phase, Unit: events.PSID, Procedure: procedure}
		switch {
		case place.Component == events.Relief:
			relief = d.between(22, 32)
			n := events.MustDecimal(tenths(relief))
			r.Number, r.Result = &n, events.Opened
		case place.Component == events.Check1 && place.Family == events.FamilyRP:
			r.Number, r.Result = psid(d, relief+32, relief+48), events.Held
		case place.Component == events.AirInlet:
			open := true
			r.Number, r.Result, r.FullyOpen = psid(d, 11, 20), events.Opened, &open
		case place.Component == events.Gap:
			width := events.MustDecimal("6.0")
			r.Number, r.Unit, r.GapAt = &width, events.Inches, &events.GapAt{SupplyDiameter: events.MustDecimal("2.0")}
		default:
			r.Number, r.Result = psid(d, 12, 29), events.Held
		}
		list = append(list, r)
	}
	return list
}

// failing are the same but for one component, which fails by every profile.
func failing(d dice, t events.AssemblyType, procedure events.Procedure) (list []events.Reading, at events.Place) {
	list = passing(d, t, events.Initial, procedure)
	i := d.IntN(len(list))
	r := &list[i]
	at = t.Components()[i]
	switch {
	case at.Component == events.Relief && d.chance(0.4), at.Component == events.AirInlet && d.chance(0.3):
		r.Number, r.Result, r.FullyOpen = nil, events.DidNotOpen, nil
	case at.Component == events.Relief:
		r.Number = psid(d, 9, 19)
	case at.Component == events.Check1 && at.Family == events.FamilyRP:
		r.Number = psid(d, 31, 39) // little above a relief opening of 2.2 to 3.2: no buffer
		setRelief(list, at.Part)
	case at.Component == events.Check2 && at.Family == events.FamilyRP:
		r.Number, r.Result = nil, events.Leaked
	case at.Component == events.Gap:
		r.Number = psid(d, 10, 35)
	default:
		r.Number = psid(d, 2, 9)
	}
	return list, at
}

func setRelief(list []events.Reading, part events.Part) {
	for i := range list {
		if list[i].Component == events.Relief && list[i].Part == part {
			n := events.MustDecimal("2.4")
			list[i].Number = &n
		}
	}
}

// procedureOf is what the county's testers were certified in.
const procedureOf events.Procedure = "usc-10"

func (c crew) test(d dice, readings []events.Reading, says events.Opinion, at time.Time) *events.Test {
	line := events.MustDecimal(fmt.Sprint(d.between(48, 92)))
	return &events.Test{Gauge: c.gauges[0].id, Tester: c.people[0].id, Procedure: procedureOf, At: at, LinePressure: &line, LinePressureUnit: "psi",
		ShutOff1: events.Held, ShutOff2: events.Held, Readings: readings, Says: says}
}
