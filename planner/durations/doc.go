// Package durations learns from what crews recorded how long work takes and how often a test leads to more work than the
// test. Nothing here plans: it says, beside each setting, what the firm's own log says and from how many observations.
//
//	observe.go      the book's recorded times → observations
//	credibility.go  how far a mean of few observations is to be believed
//	learn.go        observations → means by type, size and crew
//	chance.go       how often a test fails as found: a Beta distribution, updated
//
// All durations are in minutes with the water off at one assembly, as the planning settings count them. A detector's
// bypass, which is tested with its main in service, is not in them.
package durations
