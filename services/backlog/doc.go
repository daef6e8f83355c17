// Package backlog is the manager's view: which failures run against which deadline and what each waits for, what is
// left off tonight, and how an assembly came to be where it is.
package backlog
