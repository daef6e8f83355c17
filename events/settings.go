package events

import (
	"bytes"
	"encoding/json"
	"time"
)

// planningSettings is the id of an office's settings for planning.
const planningSettings = "planning"

// SettingsChanged: the office plans with other weights, durations or limits from now on. What is not in Values is as the
// program has it by default.
type SettingsChanged struct {
	Values json.RawMessage `json:"values"` // a JSON object, by the names of the planner's settings
	Why    string          `json:"why,omitempty"`
}

// OfficeSettings is the folded state of an office's settings.
type OfficeSettings struct {
	Office OfficeID  `json:"office"`
	At     time.Time `json:"at"`
	By     PersonID  `json:"by,omitempty"`
	SettingsChanged
}

func declareSettings(v *vocabulary) { declare[SettingsChanged](v, KindSettings, "changed") }

func (s OfficeSettings) fold(at stamp, event any) (OfficeSettings, error) {
	e, ok := event.(SettingsChanged)
	if !ok {
		return s, errNotMine(at, event)
	}
	return OfficeSettings{at.Entity.Office, at.Happened, at.Actor, e}, nil
}

// SettingsOf are the settings that an office has changed; nil when it plans with the defaults.
func (b *Book) SettingsOf(office OfficeID) *OfficeSettings {
	return b.Settings[Entity{office, KindSettings, planningSettings}]
}

// ChangeSettings says with what an office plans from now on. Whoever calls it has seen that the planner takes the values.
type ChangeSettings struct{ SettingsChanged }

func decideSettings(b *Book, c Command, do ChangeSettings) ([]Draft, error) {
	var object map[string]json.RawMessage
	if err := json.Unmarshal(do.Values, &object); err != nil || object == nil {
		return nil, refuse("the settings are no JSON object")
	}
	known := b.SettingsOf(c.Office)
	if known != nil && bytes.Equal(known.Values, do.Values) || known == nil && len(object) == 0 {
		return nil, nil
	}
	return []Draft{{Entity{c.Office, KindSettings, planningSettings}, do.SettingsChanged}}, nil
}
