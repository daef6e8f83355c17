package events

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// Alarm stands beside a fact that looks impossible; neither is overwritten.
type Alarm struct {
	About EventID   `json:"about"`
	Words string    `json:"words"`
	Sort  AlarmSort `json:"sort,omitempty"`
}

// AlarmSort is what an alarm is about, so that it can be said what to do; empty in alarms of old.
type AlarmSort string

// The sorts of alarm.
const (
	AlarmLate      AlarmSort = "late"       // word that came in after word of a later moment
	AlarmTakenBack AlarmSort = "taken-back" // the stop was taken back from the crew, or is with another one
	AlarmToldTwice AlarmSort = "told-twice" // one crew said two things of one visit
	AlarmOver      AlarmSort = "over"       // a result for a job that needs none
	AlarmVerdict   AlarmSort = "verdict"    // the tester and the criteria disagree
	AlarmRights    AlarmSort = "rights"     // a gauge, certificate or registration was not valid
	AlarmTwoCrews  AlarmSort = "two-crews"  // at one site
	AlarmDry       AlarmSort = "dry"        // feeds dry together that must not be
	AlarmKit       AlarmSort = "kit"        // a repair kit that the job was not waiting for
	AlarmPaper     AlarmSort = "paper"      // keyed in from paper against what is known
	AlarmClock     AlarmSort = "clock"      // the phone's clock
	AlarmUnplaced  AlarmSort = "unplaced"   // it could not be filed
)

// RaisedAlarm is an alarm on record: when it came in, and what the office made of it.
type RaisedAlarm struct {
	Alarm
	Event   EventID       `json:"event"` // that raised it
	At      time.Time     `json:"at"`    // by the server's clock, of what it is about
	In      time.Time     `json:"in"`    // when it came in
	By      PersonID      `json:"by,omitempty"`
	Settled *AlarmSettled `json:"settled,omitempty"` // nil: nobody has looked yet
}

// AlarmSettled: somebody of the office has seen an alarm and says what came of it. The facts stay as they are.
type AlarmSettled struct {
	Alarm EventID   `json:"alarm"` // the event that raised it
	By    PersonID  `json:"by,omitempty"`
	Words string    `json:"words"`
	On    time.Time `json:"on,omitzero"`
}

// Settled alarms, by what they are filed under.
type (
	// AssemblyAlarmSettled settles an alarm about an assembly.
	AssemblyAlarmSettled struct{ AlarmSettled }
	// SiteAlarmSettled settles an alarm about a site.
	SiteAlarmSettled struct{ AlarmSettled }
	// FeedAlarmSettled settles an alarm about a feed.
	FeedAlarmSettled struct{ AlarmSettled }
)

func declareAlarms(v *vocabulary) {
	declare[AssemblyAlarmSettled](v, KindAssembly, "alarm-settled")
	declare[SiteAlarmSettled](v, KindSite, "alarm-settled")
	declare[FeedAlarmSettled](v, KindFeed, "alarm-settled")
}

// SettleAlarm says what came of an alarm.
type SettleAlarm struct {
	Kind  Kind
	ID    string
	Alarm EventID // the event that raised it
	By    PersonID
	Words string
}

// AlarmsOf lists the alarms of an assembly, a site, a feed or a fact that could not be filed, oldest first; none for other kinds.
func (b *Book) AlarmsOf(kind Kind, id string) []RaisedAlarm {
	switch kind {
	case KindAssembly:
		if a := b.Assemblies[AssemblyID(id)]; a != nil {
			return a.Alarms
		}
	case KindSite:
		if s := b.Sites[SiteID(id)]; s != nil {
			return s.Alarms
		}
	case KindFeed:
		if f := b.Feeds[FeedID(id)]; f != nil {
			return f.Alarms
		}
	case KindField:
		if u := b.Unplaced[id]; u != nil {
			return u.Alarms
		}
	}
	return nil
}

func raise(alarms []RaisedAlarm, at stamp, a Alarm) []RaisedAlarm {
	return append(slices.Clone(alarms), RaisedAlarm{Alarm: a, Event: at.ID, At: at.Happened, In: at.Recorded, By: at.Actor})
}

func settle(alarms []RaisedAlarm, e AlarmSettled) []RaisedAlarm {
	alarms = slices.Clone(alarms)
	for i := range alarms {
		if alarms[i].Event == e.Alarm {
			alarms[i].Settled = &e
		}
	}
	return alarms
}

// alarmOn is an alarm filed under an entity; nil for kinds that have none.
func alarmOn(e Entity, a Alarm) *Draft {
	switch e.Kind {
	case KindAssembly:
		return &Draft{e, AssemblyAlarm{a}}
	case KindSite:
		return &Draft{e, SiteAlarm(a)}
	case KindFeed:
		return &Draft{e, FeedAlarm(a)}
	}
	return nil
}

// decideSettleAlarm settles an alarm once; whoever comes second adds nothing.
func decideSettleAlarm(b *Book, c Command) ([]Draft, error) {
	do := c.Do.(SettleAlarm)
	alarms := b.AlarmsOf(do.Kind, do.ID)
	i := slices.IndexFunc(alarms, func(a RaisedAlarm) bool { return a.Event == do.Alarm })
	switch {
	case i < 0:
		return nil, refuse("no such alarm on %s %q", cmp.Or(string(do.Kind), "thing"), do.ID)
	case strings.TrimSpace(do.Words) == "":
		return nil, refuse("say what came of it")
	case alarms[i].Settled != nil:
		return nil, nil
	}
	said := AlarmSettled{Alarm: do.Alarm, By: cmp.Or(do.By, c.Actor), Words: do.Words, On: c.Happened}
	switch do.Kind {
	case KindAssembly:
		return []Draft{{b.Assemblies[AssemblyID(do.ID)].entity(), AssemblyAlarmSettled{said}}}, nil
	case KindSite:
		return []Draft{{b.Sites[SiteID(do.ID)].entity(), SiteAlarmSettled{said}}}, nil
	case KindField:
		return []Draft{{b.Unplaced[do.ID].entity(), FieldAlarmSettled{said}}}, nil
	default:
		return []Draft{{b.Feeds[FeedID(do.ID)].entity(), FeedAlarmSettled{said}}}, nil
	}
}
