package planner

// meaning is what a setting means to people.
type meaning struct {
	group, words, unit string
	rank               int
}

// The groups of settings, as a page shows them.
const (
	groupMoney    = "Money"
	groupUrgency  = "What waiting costs"
	groupDriving  = "Driving"
	groupStop     = "Time at a stop"
	groupTest     = "Test, water off"
	groupRepair   = "Repair and retest, water off"
	groupFails    = "What fails, and is put right at once"
	groupLimits   = "Limits"
	unitUSD       = "USD"
	unitMinutes   = "min"
	unitUSDAnHour = "USD an hour"
)

// meanings are of every setting by its name.
var meanings = ranked([]struct {
	name string
	meaning
}{
	{"kilometre_usd", meaning{group: groupMoney, words: "a kilometre driven", unit: "USD a km"}},
	{"crew_hour_usd", meaning{group: groupMoney, words: "a crew, from leaving home to return", unit: unitUSDAnHour}},
	{"overtime_hour_usd", meaning{group: groupMoney, words: "overtime of a crew, on top of its hour", unit: unitUSDAnHour}},
	{"test_worth_usd", meaning{group: groupMoney, words: "what one job earns", unit: unitUSD}},
	{"far_worth_usd", meaning{group: groupMoney, words: "the same while it can wait for long: what a short test takes at the site, so that no crew drives there for it", unit: unitUSD}},
	{"far_days", meaning{group: groupMoney, words: "with so many days left it can wait for long; from there its worth rises evenly to what it earns (0: always in full)", unit: "days"}},
	{"failed_factor", meaning{group: groupMoney, words: "waiting with a failed assembly costs so many times as much", unit: "times"}},
	{"unknown_deadline_as_days", meaning{group: groupMoney, words: "a deadline that nobody knows counts as so many days left", unit: "days"}},
	{"moved_crew_usd", meaning{group: groupMoney, words: "a visit that changes crew against the plan before", unit: unitUSD}},
	{"moved_out_usd", meaning{group: groupMoney, words: "a visit that changes crew on a day that is out", unit: unitUSD}},
	{"promise_usd", meaning{group: groupMoney, words: "a held or promised visit that is left out, on top of its worth", unit: unitUSD}},
	{"ask_site_usd", meaning{group: groupMoney, words: "to ask a site for other hours, when changes are compared", unit: unitUSD}},
	{"ask_crew_usd", meaning{group: groupMoney, words: "to ask a crew for a longer day, when changes are compared", unit: unitUSD}},
	{"late_usd", meaning{group: groupMoney, words: "a crew that comes too late because it put right what failed before", unit: unitUSD}},
	{"urgency.#.days_left", meaning{group: groupUrgency, words: "with at most so many days left", unit: "days"}},
	{"urgency.#.usd", meaning{group: groupUrgency, words: "waiting costs", unit: unitUSD}},
	{"travel.SpeedKmh", meaning{group: groupDriving, words: "mean speed", unit: "km/h"}},
	{"travel.DetourFactor", meaning{group: groupDriving, words: "road length over great circle", unit: "times"}},
	{"travel.FixedSeconds", meaning{group: groupDriving, words: "added to each drive: start, park, walk", unit: "s"}},
	{"visit_before_minutes", meaning{group: groupStop, words: "on arrival, once a visit: find the person, safety survey", unit: unitMinutes}},
	{"visit_after_minutes", meaning{group: groupStop, words: "before leaving, once a visit: paper, put away", unit: unitMinutes}},
	{"job_before_minutes", meaning{group: groupStop, words: "before each assembly: identity, line pressure, set up", unit: unitMinutes}},
	{"job_after_minutes", meaning{group: groupStop, words: "after each assembly: tag, report", unit: unitMinutes}},
	{"fire_calls_minutes", meaning{group: groupStop, words: "calls before a fire line, once a visit", unit: unitMinutes}},
	{"vault_entry_minutes", meaning{group: groupStop, words: "entry of a vault, each assembly", unit: unitMinutes}},
	{"inspection_minutes", meaning{group: groupStop, words: "inspection of what has no test cocks", unit: unitMinutes}},
	{"bypass_test_minutes", meaning{group: groupStop, words: "test of a detector's bypass, main in service", unit: unitMinutes}},
	{"longest_visit_minutes", meaning{group: groupStop, words: "a longer visit is split", unit: unitMinutes}},
	{"little_slack_minutes", meaning{group: groupStop, words: "less slack than this is shown as little", unit: unitMinutes}},
	{"test_minutes.vacuum_breaker", meaning{group: groupTest, words: "vacuum breaker", unit: unitMinutes}},
	{"test_minutes.double_check.to_2_in", meaning{group: groupTest, words: "double check, to 2 in", unit: unitMinutes}},
	{"test_minutes.double_check.to_4_in", meaning{group: groupTest, words: "double check, to 4 in", unit: unitMinutes}},
	{"test_minutes.double_check.larger", meaning{group: groupTest, words: "double check, larger", unit: unitMinutes}},
	{"test_minutes.reduced_pressure.to_2_in", meaning{group: groupTest, words: "reduced pressure, to 2 in", unit: unitMinutes}},
	{"test_minutes.reduced_pressure.to_4_in", meaning{group: groupTest, words: "reduced pressure, to 4 in", unit: unitMinutes}},
	{"test_minutes.reduced_pressure.larger", meaning{group: groupTest, words: "reduced pressure, larger", unit: unitMinutes}},
	{"repair_minutes.to_2_in", meaning{group: groupRepair, words: "to 2 in", unit: unitMinutes}},
	{"repair_minutes.to_4_in", meaning{group: groupRepair, words: "to 4 in", unit: unitMinutes}},
	{"repair_minutes.larger", meaning{group: groupRepair, words: "larger", unit: unitMinutes}},
	{"fail_percent.vacuum_breaker", meaning{group: groupFails, words: "tests of vacuum breakers that fail as found", unit: "in 100"}},
	{"fail_percent.double_check", meaning{group: groupFails, words: "tests of double checks that fail as found", unit: "in 100"}},
	{"fail_percent.reduced_pressure", meaning{group: groupFails, words: "tests of reduced pressure assemblies that fail as found", unit: "in 100"}},
	{"clean_from_minutes.to_2_in", meaning{group: groupFails, words: "cleaning and retest at once, to 2 in: at least", unit: unitMinutes}},
	{"clean_to_minutes.to_2_in", meaning{group: groupFails, words: "to 2 in: at most", unit: unitMinutes}},
	{"clean_from_minutes.to_4_in", meaning{group: groupFails, words: "cleaning and retest at once, to 4 in: at least", unit: unitMinutes}},
	{"clean_to_minutes.to_4_in", meaning{group: groupFails, words: "to 4 in: at most", unit: unitMinutes}},
	{"clean_from_minutes.larger", meaning{group: groupFails, words: "cleaning and retest at once, larger: at least", unit: unitMinutes}},
	{"clean_to_minutes.larger", meaning{group: groupFails, words: "larger: at most", unit: unitMinutes}},
	{"fire_out_minutes", meaning{group: groupLimits, words: "a fire line out of service in any 24 hours without measures noted; local code decides", unit: unitMinutes}},
	{"two_people_from_eighths", meaning{group: groupLimits, words: "nominal size from which a repair takes two people", unit: "eighths of an inch"}},
})

func ranked(list []struct {
	name string
	meaning
}) map[string]meaning {
	byName := map[string]meaning{}
	for i, x := range list {
		x.rank = i
		byName[x.name] = x.meaning
	}
	return byName
}
