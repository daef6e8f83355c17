package reckon

import (
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
)

// Task is one job of a stop. Feed is nil when the book does not know the assembly's feed.
type Task struct {
	Assembly *events.Assembly
	Feed     *events.Feed
	Work     planner.Work
}

// TaskOf says what a job needs now: a failed assembly a repair and its retest, an air gap or atmospheric vacuum breaker
// an inspection, everything else a test.
func TaskOf(b *events.Book, a *events.Assembly, j *events.Job) Task {
	task := Task{Assembly: a, Feed: b.Feeds[a.Feed], Work: planner.TestWork}
	switch {
	case j.NeedsRepair():
		task.Work = planner.RepairWork
	case !a.Type.Testable():
		task.Work = planner.InspectWork
	}
	return task
}

// Dries reports whether the feed must be dry for the task.
func (t Task) Dries() bool { return t.Work != planner.InspectWork }

// OnFire reports whether the task is on a feed of fire protection.
func (t Task) OnFire() bool { return t.Feed != nil && t.Feed.Fire }

// Timetable is how a stop's time is divided: Before with the water on, then each feed dry and on again, then After.
type Timetable struct {
	Before time.Duration
	Feeds  []FeedTime
	After  time.Duration
}

// FeedTime is how long a feed is dry, and how long the crew then works on it with the water on.
type FeedTime struct {
	Feed     events.FeedID
	Dry, Wet time.Duration
}

// Lay lays out a stop that takes its feeds in the given order. Feeds that the order does not name come after it.
func Lay(tasks []Task, order []events.FeedID, s planner.Settings) Timetable {
	t := Timetable{Before: minutes(s.VisitBefore), After: minutes(s.VisitAfter)}
	for _, feed := range order {
		t.Feeds = append(t.Feeds, FeedTime{Feed: feed})
	}
	fire := false
	for _, task := range tasks {
		t.Before += minutes(s.JobBefore)
		t.After += minutes(s.JobAfter)
		if task.Assembly.Vault != events.NoVault {
			t.Before += minutes(s.VaultEntry)
		}
		if !task.Dries() {
			t.Before += minutes(s.Inspection)
			continue
		}
		fire = fire || task.OnFire()
		f := t.feed(task.Assembly.Feed)
		f.Dry += minutes(dry(task, s))
		if task.Assembly.Type.IsDetector() {
			f.Wet += minutes(s.BypassTest)
		}
	}
	if fire {
		t.Before += minutes(s.FireCalls)
	}
	return t
}

func (t *Timetable) feed(id events.FeedID) *FeedTime {
	i := slices.IndexFunc(t.Feeds, func(f FeedTime) bool { return f.Feed == id })
	if i < 0 {
		i = len(t.Feeds)
		t.Feeds = append(t.Feeds, FeedTime{Feed: id})
	}
	return &t.Feeds[i]
}

// Length is how long the stop takes from arrival to leaving.
func (t Timetable) Length() time.Duration {
	length := t.Before + t.After
	for _, f := range t.Feeds {
		length += f.Dry + f.Wet
	}
	return length
}

// WaterOff is when each feed is dry if the crew arrives at an instant.
func (t Timetable) WaterOff(arrive time.Time) []events.WaterOff {
	var off []events.WaterOff
	at := arrive.Add(t.Before)
	for _, f := range t.Feeds {
		off = append(off, events.WaterOff{Feed: f.Feed, From: at, To: at.Add(f.Dry)})
		at = at.Add(f.Dry + f.Wet)
	}
	return off
}

// dry is for how many minutes the task keeps its feed dry.
func dry(t Task, s planner.Settings) int {
	kind, size := t.Assembly.Type, t.Assembly.Size
	switch {
	case t.Work == planner.RepairWork:
		return bySize(s.Repair, size)
	case kind == events.PVB || kind == events.SVB:
		return s.Test.VacuumBreaker
	case kind.HasRelief():
		return bySize(s.Test.Reduced, size)
	}
	return bySize(s.Test.DoubleCheck, size)
}

// bySize picks the minutes for a nominal size; one that is not known counts as large.
func bySize(t planner.SizedTimes, size events.Size) int {
	switch {
	case size.IsZero() || size > events.InchSize(4, 0):
		return t.Large
	case size > events.InchSize(2, 0):
		return t.Middle
	}
	return t.Small
}

func minutes(n int) time.Duration { return time.Duration(n) * time.Minute }
