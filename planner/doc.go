// Package planner turns the Book into a Plan: who visits which site when, and why the rest is left out.
//
// It reads top to bottom in Make: Collect groups the open jobs into visits and says which cannot be visited at all;
// routing.Solve orders visits into routes; explain tests why each visit left out does not fit. The Plan is a value that
// can be saved, compared, checked by planner/check (which shares no code with this package's solver) and thrown away.
//
//	plan.go      the Plan: proposed routes and what is left out
//	settings.go  every weight and duration, with its default
//	office.go    what an office has changed of the settings
//	meanings.go  what each setting means, for people
//	durations.go what the office's own log says of the durations in the settings
//	work.go      what is done at a stop, for how long, and how much of it with the water off
//	windows.go   when a visit may begin
//	brought.go   what others bring, and when they are booked
//	collect.go   jobs → visits
//	overrun.go   with what chance a crew is too late because of what it put right at once
//	fire.go      how long fire lines may be out of service
//	crews.go     who may do what on a day
//	cost.go      what a job is worth on a day, what a promise, and adding up
//	statement.go the money for print, to the cent
//	inwords.go   the plan for print
//	make.go      visits → problem → solution → Plan
//	pullin.go    jobs due later, done while a crew is there
//	decide.go    whether a repair fits if a test fails
//	explain.go   why a visit is left out
//	begun.go     on a day that is out: how far each crew has come
//	rest.go      what is left of a day that is out, planned anew
//	outday.go    the book as it is when a plan is out
//	days.go      several days, one after the other
//	compare.go   what one plan has otherwise than another, and "what if"
//	suppose.go   taking things to be otherwise than the book says
//	remedy.go    trying a visit in the plan with things supposed
//	change.go    the cheapest change that would fit what is left out
//	lastresort.go  the same where nothing less fits: a time agreed for just that visit
//	fits.go      where one more job would go into a plan as it stands
//	doubts.go    what has changed under a day that is out
//	late.go      where crews are on a day that is out, by what they recorded
//
// Money is in millionths of a US dollar (MicroUSD), so that sums are exact.
package planner
