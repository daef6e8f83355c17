// Package reckon works out the sums of a plan for its checker: how long a stop takes and when each feed is dry, when a
// stop may begin, a crew's working time, and money. It is written from the rules alone and shares no code with the
// planner, whose plain types are all it uses, so that a mistake there cannot hide here.
//
//	timetable.go  what is done for a job and how long it takes
//	calendar.go   access hours, shutdown windows and working time on one date
//	starts.go     the instants at which a stop may begin
//	late.go       with what chance a crew is behind its plan
//	money.go      what driving, hours and jobs left out cost
package reckon
