package planner

import (
	"time"

	"valveround/events"
)

// Work is what is done for a job at a stop.
type Work string

// The kinds of work.
const (
	TestWork    Work = "test"
	RepairWork  Work = "repair-and-retest"
	InspectWork Work = "inspect" // AVB and air gap: nothing to connect a gauge to
)

// WorkOf says what a job needs at its next visit.
func WorkOf(a *events.Assembly, j *events.Job) Work {
	switch {
	case j.NeedsRepair():
		return RepairWork
	case !a.Type.Testable():
		return InspectWork
	}
	return TestWork
}

// A visit's timetable, from the instant of arrival, is: Before minutes with the water on; then for each feed, in order,
// its Dry minutes with that feed dry and its Wet minutes with the water on again (a detector's bypass); then After
// minutes. Nothing else moves inside a visit, so that arrival and the order of feeds fix everything.
type Timetable struct {
	Before int
	Feeds  []FeedTime
	After  int
}

// FeedTime is the time that one feed takes within a visit, in minutes.
type FeedTime struct {
	Feed     events.FeedID
	Dry, Wet int
}

// Minutes is how long the visit takes.
func (t Timetable) Minutes() int {
	sum := t.Before + t.After
	for _, f := range t.Feeds {
		sum += f.Dry + f.Wet
	}
	return sum
}

// WaterOff is when each feed is dry if the crew arrives at an instant.
func (t Timetable) WaterOff(arrive time.Time) []events.WaterOff {
	at := arrive.Add(minutes(t.Before))
	off := []events.WaterOff{}
	for _, f := range t.Feeds {
		off = append(off, events.WaterOff{Feed: f.Feed, From: at, To: at.Add(minutes(f.Dry))})
		at = at.Add(minutes(f.Dry + f.Wet))
	}
	return off
}

// Timetable lays out a visit that does jobs on feeds in the order in which the jobs name them. Inspections need no water off.
func (s Settings) Timetable(b *events.Book, jobs []Job) Timetable {
	t := Timetable{Before: s.VisitBefore, After: s.VisitAfter}
	fire := false
	for _, job := range jobs {
		a := b.Assemblies[job.Assembly]
		t.Before += s.JobBefore
		t.After += s.JobAfter
		if a.Vault != events.NoVault {
			t.Before += s.VaultEntry
		}
		if job.Work == InspectWork {
			t.Before += s.Inspection
			continue
		}
		fire = fire || b.Feeds[a.Feed].Fire
		dry, wet := s.dryMinutes(a, job.Work)
		if n := len(t.Feeds); n > 0 && t.Feeds[n-1].Feed == a.Feed {
			t.Feeds[n-1].Dry += dry
			t.Feeds[n-1].Wet += wet
		} else {
			t.Feeds = append(t.Feeds, FeedTime{a.Feed, dry, wet})
		}
	}
	if fire {
		t.Before += s.FireCalls
	}
	return t
}

// dryMinutes is how long the feed is dry for a job, and how long its bypass takes with the main in service. A repair is
// of the main; its retest is part of Repair.
func (s Settings) dryMinutes(a *events.Assembly, work Work) (dry, wet int) {
	if a.Type.IsDetector() {
		wet = s.BypassTest
	}
	if work == RepairWork {
		return s.Repair.of(a.Size), wet
	}
	switch {
	case a.Type == events.PVB || a.Type == events.SVB:
		return s.Test.VacuumBreaker, wet
	case a.Type.HasRelief():
		return s.Test.Reduced.of(a.Size), wet
	}
	return s.Test.DoubleCheck.of(a.Size), wet
}

// of picks the minutes for a size; a size that is not known counts as large.
func (t SizedTimes) of(size events.Size) int {
	switch {
	case size.IsZero() || size > events.InchSize(4, 0):
		return t.Large
	case size > events.InchSize(2, 0):
		return t.Middle
	}
	return t.Small
}

func minutes(n int) time.Duration { return time.Duration(n) * time.Minute }

// WorkMinutes is how long one job takes at the unit, without what comes before and after it.
func (s Settings) WorkMinutes(a *events.Assembly, work Work) int {
	if work == InspectWork {
		return s.Inspection
	}
	dry, wet := s.dryMinutes(a, work)
	return dry + wet
}
