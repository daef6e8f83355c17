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
// shortest time from leaving to return, and of those the one that is back first. A
// crew's breaks are taken where it is, on the way or at home: see breaks.go.
//
// The same problem, seed and number of iterations give the same plan. Nothing
// here looks at the clock but clock.go, and nothing depends on map order.
//
// The search. Rounds of: take strings of visits out (in large plans now and then a
// whole route), put them back greedily where broken windows, loads and hours cost
// a penalty, local search about what was touched, and keep or take back by
// simulated annealing. Now and then optional visits go in at a loss, for a route
// may pay only when several share it. Two workers search one
// large plan together, small ones twice apart. Small plans with time to
// spare are cooled several times, and the ends are crossed. A round with one
// seed is the same in every run; only a time limit makes runs differ.
//
// Not yet: relations between visits, lateness at a price, parts picked up on the
// way. Relations have their place in the types and are refused by NewProblem.
//
// What each part of the search brings is measured in ablation.md, beside this file.
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
//	breaks.go        breaks, and the clock function of a route with them
//	tour.go          a route in the form to search in
//	draft.go         a plan in the form to search in, with undo
//	insertion.go     the cheapest gap for a visit
//	construct.go     loading a plan; greedy insertion
//	neighbours.go    which visits are near each other
//	localsearch.go   insert, relocate, swap, replace: the first local optimum
//	ruin.go          ruin and recreate where figures do not fit 32 bits
//	clock.go         when to stop
//	solve.go         the recipe
//	rows.go          something for each of many, on two processors
//	core.go          the problem in compact form, for the fast search
//	segment.go       stretches of a route with time warp, and joining them
//	chain.go         a plan as chains of nodes with segments, with undo
//	recall.go        drives worked out lately
//	chainrest.go     where the breaks of a route in a chain are taken
//	nearby.go        whom it is promising to drive to, and to come from
//	exchange.go      relocate and swap between routes, with gain pruning
//	tails.go         2-opt*: ends of routes exchanged
//	within.go        or-opt, swap and 2-opt within a route
//	leftout.go       insert, replace and leave out
//	anneal.go        one round: strings out, back in, settle, accept; penalties
//	engine.go        the first plan, cooling, one worker
//	several.go       several coolings and their children, where visits are few
//	workers.go       two workers
//	fleet.go         fewest routes first
//	probe.go         why a visit is not on a route
package routing
