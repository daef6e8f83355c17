// Package routing plans the routes of crews over days: which visits are served,
// by which crew on which day, in which order, so that the plan costs least. It
// knows nothing of what is done at a visit; it knows places, drives, windows,
// service times, skills, parts, loads, values and prices.
//
// A [Spec] describes the problem and is judged once by [NewProblem]. [Solve]
// makes a [Solution]; [Evaluate] works any plan out from scratch, plain and
// slow; [Probe] says what stands between a visit and a route. Package verify,
// below, checks a plan with code of its own, and package instances reads
// published benchmarks.
//
// Words. A visit is one stop. A route is one crew on one day. A window is a span
// in which service may start; a visit may have any number of them. A plan is
// feasible when it keeps every hard rule, each of which is a [FaultKind]. What is
// made small is money: [CostParts]. A visit that is not required may be left out
// at the price of its value.
//
// Units: whole [Seconds] (instants are absolute, from any zero), whole [Metres],
// and [Cost] in millionths of the currency unit. Integers, so that costs add up
// exactly; NewProblem refuses figures whose sums could overflow.
//
// Hours. A route leaves as late as is free: its schedule is the one with the
// shortest time from leaving to return, and of those the one that is back first.
//
// The same problem, seed and number of iterations give the same plan. Nothing
// here looks at the clock but clock.go, and nothing depends on map order.
//
// Not yet: breaks, relations between visits, fewest routes first, lateness at a
// price, parts picked up on the way. Breaks, relations and the other objective
// have their place in the types and are refused by NewProblem.
//
// Files, in reading order:
//
//	units.go         metres, seconds, cost, indices
//	spec.go          what a problem is made of
//	problem.go       judging a spec; the tables made from it
//	compatible.go    which visit could ever be on which route, and why not
//	alike.go         which unused routes are as good as each other
//	travel.go        where drives come from, and the table of them
//	solution.go      a plan, its schedule, its costs, its faults
//	evaluate.go      a plan worked out from scratch: the oracle
//	span.go          clock functions with several windows, and joining them
//	tour.go          a route in the form to search in
//	draft.go         a plan in the form to search in, with undo
//	insertion.go     the cheapest gap for a visit
//	construct.go     loading a plan; greedy insertion
//	neighbours.go    which visits are near each other
//	localsearch.go   insert, relocate, swap, replace
//	ruin.go          taking strings out and putting visits back
//	clock.go         when to stop
//	solve.go         the recipe
//	probe.go         why a visit is not on a route
package routing
