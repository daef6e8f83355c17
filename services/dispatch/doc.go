// Package dispatch makes plans, keeps the dispatcher's wishes, sends days out and takes them back.
//
// The path of a day is in Desk: Plan makes a proposal on a snapshot of the book and has it checked; Wish changes it by
// hand; SendOut refuses whatever the independent checker refuses, appends the day, and echoes it on every job. A
// proposal lives in memory and may be thrown away; what was decided is in the log.
package dispatch
