package events

import (
	"slices"
	"strings"
	"time"
)

// CallTime is whether somebody is called before a fire line is shut or after it is restored.
type CallTime string

// The call times.
const (
	BeforeShutting CallTime = "before"
	AfterRestoring CallTime = "after"
)

// PeopleTold: somebody on the caller's list of a fire line was told that it goes out of service, or that it is back.
type PeopleTold struct {
	When        CallTime  `json:"when"`
	Role        string    `json:"role"` // by role, not by name
	OnTestUntil time.Time `json:"on_test_until,omitzero"`
	Words       string    `json:"words,omitempty"`
	Crew        CrewID    `json:"crew,omitempty"`
	Day         Date      `json:"day,omitzero"`
}

// Told is one such call and when it was made.
type Told struct {
	At time.Time `json:"at"`
	PeopleTold
}

func declareImpairment(v *vocabulary) {
	declare[PeopleTold](v, KindFeed, "people-told")
	declare[MeasuresNoted](v, KindFeed, "measures-noted")
}

// callsKept is how many calls of a feed the book holds; all are in the log.
const callsKept = 24

func (f Feed) withTold(at stamp, e PeopleTold) Feed {
	f.Told = append(slices.Clone(f.Told), Told{at.Happened, e})
	if n := len(f.Told); n > callsKept {
		f.Told = f.Told[n-callsKept:]
	}
	switch {
	case !e.OnTestUntil.IsZero():
		f.OnTestUntil = e.OnTestUntil
	case e.When == AfterRestoring && f.OnTestUntilBy() == e.Role:
		f.OnTestUntil = time.Time{}
	}
	return f
}

// OnTestUntilBy is the role of who put the fire line on test; empty when nobody did.
func (f *Feed) OnTestUntilBy() string {
	for i := len(f.Told) - 1; i >= 0; i-- {
		if !f.Told[i].OnTestUntil.IsZero() {
			return f.Told[i].Role
		}
	}
	return ""
}

// Tell records a call about a fire line.
type Tell struct {
	Feed FeedID
	PeopleTold
}

func decideTell(b *Book, do Tell) ([]Draft, error) {
	told := do.PeopleTold
	told.Role = strings.TrimSpace(told.Role)
	switch {
	case told.When != BeforeShutting && told.When != AfterRestoring:
		return nil, refuse("say whether the call was before shutting or after restoring (got %q)", told.When)
	case told.Role == "":
		return nil, refuse("say who was told, by role")
	}
	return onFeed(b, do.Feed, told)
}
