// Package backlog is the manager's view: which failures run against which deadline and what each waits for, what is
// left off tonight, and how an assembly came to be where it is. It only reads the book and the log. Files:
//
//	view.go     the list, its order and its headline
//	waits.go    what a failure waits for
//	others.go   what else waits for somebody, though no failure runs
//	planned.go  the visit that is planned or sent out for a job
//	leftoff.go  feeds that are shut, partly open or impaired
//	history.go  what happened to an assembly, its site and its feed, in sentences
//	asplanned.go  what the sent-out day said about a job at that time
package backlog
