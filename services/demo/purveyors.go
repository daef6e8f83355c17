package demo

import (
	"fmt"
	"time"

	"valveround/events"
)

// The four purveyors, by what their rules are like.
const (
	cityWater   = iota // strict: registrations, hours to telephone, 45 days
	unionWater         // business days; takes anybody; the easiest
	ruralWater         // no known repair rule for health hazards, strictest criteria
	valleyWater        // twice a year, registered testers, closed days
)

func days(n int, unit events.RuleUnit, source string) events.DeadlineRule {
	return events.DeadlineRule{Count: n, Unit: unit, Source: source}
}

type purveyor struct {
	id    events.PurveyorID
	facts events.PurveyorFacts
	// number writes the purveyor's own number of an assembly.
	number func(i int) string
}

func makePurveyors(o Options) []purveyor {
	const book = "invented rule book, "
	closed := events.Closures{Days: []events.Date{o.Today.AddDays(-20), o.Today.AddDays(12), o.Today.AddDays(33)}}
	rollAfter := days(14, events.CalendarDays, book+"article 6")
	rollAfter.Roll = events.RollAfter
	return []purveyor{
		{"pv-1", events.PurveyorFacts{
			Name: "Quellham City Water", Zone: o.Zone, Criteria: string(events.USC10), IntervalMonths: 12, EarliestDaysBefore: 45,
			Repair: map[events.Hazard]events.DeadlineRule{
				events.Imminent:  days(24, events.Hours, book+"section 4.1"),
				events.Health:    days(7, events.CalendarDays, book+"section 4.2"),
				events.NonHealth: days(21, events.CalendarDays, book+"section 4.3"),
			},
			ReportPass: days(10, events.BusinessDays, book+"section 5"), ReportFail: days(3, events.CalendarDays, book+"section 5"),
			PhoneFail:            days(24, events.Hours, book+"section 5.1"),
			RegistrationRequired: true, GaugeRegistrationRequired: true,
		}, func(i int) string { return fmt.Sprintf("QCW-%06d", 10_000+i) }},
		{"pv-2", events.PurveyorFacts{
			Name: "Orrinvale Union Water District", Zone: o.Zone, Criteria: string(events.USC9), IntervalMonths: 12,
			Repair: map[events.Hazard]events.DeadlineRule{
				events.Health:    days(10, events.BusinessDays, book+"rule 12"),
				events.NonHealth: days(15, events.BusinessDays, book+"rule 12"),
			},
			ReportPass: days(5, events.CalendarDays, book+"rule 14"), ReportFail: days(2, events.BusinessDays, book+"rule 14"),
		}, func(i int) string { return fmt.Sprintf("%06d", 700+i) }},
		{"pv-3", events.PurveyorFacts{
			Name: "Dunmarrow Rural Water Association", Zone: o.Zone, IntervalMonths: 12,
			Repair:     map[events.Hazard]events.DeadlineRule{events.NonHealth: days(30, events.CalendarDays, book+"by-law 3")},
			ReportPass: days(30, events.CalendarDays, book+"by-law 3"), ReportFail: days(30, events.CalendarDays, book+"by-law 3"),
		}, func(i int) string { return fmt.Sprintf("R%d/%d", 1+i%9, 100+i) }},
		{"pv-4", events.PurveyorFacts{
			Name: "Pellisgate Valley Water Company", Zone: o.Zone, Criteria: string(events.IowaCityForm), IntervalMonths: 6, EarliestDaysBefore: 60,
			Repair:     map[events.Hazard]events.DeadlineRule{events.Health: rollAfter, events.NonHealth: days(30, events.CalendarDays, book+"article 6")},
			ReportPass: days(10, events.CalendarDays, book+"article 7"), ReportFail: days(1, events.BusinessDays, book+"article 7"),
			PhoneFail: days(4, events.Hours, book+"article 7"), Closed: closed, RegistrationRequired: true,
		}, func(i int) string { return fmt.Sprintf("PV-%d-%04d", 2000+i%20, i) }},
	}
}

func (p purveyor) retestBy(h events.Hazard, failed events.Date, loc *time.Location) events.Deadline {
	return events.RepairDue(p.facts.Repair, h, events.Starts{events.FromTest: failed.In(loc).Add(10 * time.Hour)}, p.facts.Closed, loc)
}
