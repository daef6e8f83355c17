package demo

import (
	"errors"
	"fmt"
	"time"

	"valveround/events"
)

// Options say how large the county is, which one, and on what day it is looked at.
type Options struct {
	Crews      int
	Sites      int
	Assemblies int    // at least one a site
	Seed       uint64 // the same seed is the same county
	Today      events.Date
	Zone       string // IANA name, of the whole county
	// OpenFailures is how many assemblies have failed and wait for repair; zero: 40 for every 1,500 assemblies.
	OpenFailures int
}

// Default is a middling firm: 8 crews (one of two people, one of three), 600 sites, 1,500 assemblies. Today is left for the
// caller to set. Its jobs are, whatever the seed and day: 379 due (4 after a visit that found nobody; about a tenth not ours or
// to be asked), 40 open failures (18 failed-retest of which 10 wait for a yes, 14 parts-pending, 8 parts-ready; 6 past their
// deadline, 2 with none known), 12 stopped, 15 passed, 12 reported, 4 returned, 36 accepted, 3 withdrawn. Other sizes hold
// the like in proportion, as far as crews and windows had room for the history.
func Default() Options {
	return Options{Crews: 8, Sites: 600, Assemblies: 1500, Seed: 1, Zone: "America/Chicago"}
}

// Limits of a county.
const (
	maxCrews      = 500
	maxAssemblies = 500_000
)

// Validate reports everything that makes no sense.
func (o Options) Validate() error {
	var errs []error
	if o.Crews < 1 || o.Crews > maxCrews {
		errs = append(errs, fmt.Errorf("crews: %d is outside 1 to %d", o.Crews, maxCrews))
	}
	if o.Sites < 1 {
		errs = append(errs, fmt.Errorf("sites: %d is less than 1", o.Sites))
	}
	if o.Assemblies < o.Sites || o.Assemblies > maxAssemblies {
		errs = append(errs, fmt.Errorf("assemblies: %d is outside %d (one a site) to %d", o.Assemblies, o.Sites, maxAssemblies))
	}
	if o.OpenFailures < 0 {
		errs = append(errs, fmt.Errorf("open failures: %d is less than 0", o.OpenFailures))
	}
	if o.Today.IsZero() {
		errs = append(errs, errors.New("today is not set"))
	}
	if _, err := time.LoadLocation(o.Zone); err != nil {
		errs = append(errs, fmt.Errorf("zone: %w", err))
	}
	return errors.Join(errs...)
}

// share scales a count meant for 1,500 assemblies, rounded to nearest.
func (o Options) share(of1500 int) int { return (of1500*o.Assemblies + 750) / 1500 }

func (o Options) failures() int {
	if o.OpenFailures > 0 {
		return o.OpenFailures
	}
	return o.share(40)
}
