// Package check judges a plan against the book it was made for. It refuses and never repairs: every clock, drive, window,
// right and sum is worked out again, from the plan's plain types, the book and the settings, and each rule that is broken
// is said in words. It shares no code with the planner's collector or the route engine.
//
//	check.go    Plan, and the order in which things are looked at
//	rules.go    the rules by name
//	index.go    what of the book is looked up often: feeds by site, groups that hang together
//	shape.go    the plan's form: routes, keys, jobs in order, water-off entries
//	begun.go    on a day that is out: what its crews have done
//	clock.go    drives, instants and working hours of a route
//	windows.go  access hours, shutdown windows, seasons, slack
//	bookings.go what others must bring, and when they are booked
//	decide.go   until when a unit may be opened for a repair
//	jobs.go     which jobs may be done that day
//	people.go   certificates, registrations, gauges and how many people
//	water.go    feeds that hang together, across crews and as they were left
//	fire.go     how long fire lines are out of service
//	late.go     with what chance a crew is too late because of what it put right
//	missing.go  every job once
//	wish.go     what the dispatcher decided
//	cost.go     the money
//	words.go    how crews, sites and times are said
//
// Subpackage reckon holds the sums; subpackage damage spoils good plans, to test that they are refused.
//
// What cannot be known from plan, book and settings is not judged: the words of notes and reasons, and whether MadeAt is
// the instant at which the plan was truly made.
package check
