package events

import (
	"encoding/json"
	"time"
)

// Unplaced is a fact from the field that belongs to nothing on record, or of which nothing could be made: it names a job
// that is not there, or lacks what it should say. It is kept as the phone sent it, and an alarm asks the office to look.
type Unplaced struct {
	Office OfficeID      `json:"office"`
	ID     string        `json:"id"` // the command's
	At     time.Time     `json:"at"` // by the server's clock
	Crew   CrewID        `json:"crew,omitempty"`
	Alarms []RaisedAlarm `json:"alarms,omitempty"`
	FactKept
}

// FactKept: a phone sent a fact that could be filed under nothing.
type FactKept struct {
	Crew    CrewID          `json:"crew,omitempty"` // as the phone says
	Why     string          `json:"why"`            // it could not be filed
	Request json.RawMessage `json:"request"`        // as it came
}

// FieldAlarmSettled settles the alarm about a fact that could not be filed.
type FieldAlarmSettled struct{ AlarmSettled }

func declareUnplaced(v *vocabulary) {
	declare[FactKept](v, KindField, "kept")
	declare[FieldAlarmSettled](v, KindField, "alarm-settled")
}

func (u Unplaced) fold(at stamp, event any) (Unplaced, error) {
	switch e := event.(type) {
	case FactKept:
		u.Office, u.ID, u.At, u.Crew, u.FactKept = at.Entity.Office, at.Entity.ID, at.Happened, e.Crew, e
		u.Alarms = raise(u.Alarms, at, Alarm{About: at.ID, Words: "this could not be filed: " + e.Why, Sort: AlarmUnplaced})
	case FieldAlarmSettled:
		u.Alarms = settle(u.Alarms, e.AlarmSettled)
	default:
		return u, errNotMine(at, event)
	}
	return u, nil
}

func (u *Unplaced) entity() Entity { return Entity{u.Office, KindField, u.ID} }

// FieldFact marks a command as a fact from the field: such a fact is never refused.
type FieldFact struct {
	Crew    CrewID
	Request json.RawMessage // as the phone sent it
}

// NotUnderstood is what a phone sent when nothing can be made of it.
type NotUnderstood struct{ Why string }

// keepUnplaced keeps a fact from the field that would have been refused.
func keepUnplaced(c Command, why string) []Draft {
	return []Draft{{Entity{c.Office, KindField, c.ID.String()}, FactKept{c.Field.Crew, why, c.Field.Request}}}
}
