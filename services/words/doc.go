// Package words says things to people: how a site, a job, a crew and an event are named on every page and paper.
//
// It only reads the book. Names and telephone numbers come from the details kept apart from the log.
package words
