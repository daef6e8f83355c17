package console

import (
	"context"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// SettingsView is what the office plans with, and what its own log says of the durations.
type SettingsView struct {
	Settings  []planner.Explained `json:"settings"`
	ChangedAt *time.Time          `json:"changed_at,omitempty"`
	ChangedBy string              `json:"changed_by,omitempty"`
	Why       string              `json:"why,omitempty"`
	Learned   []LearnedView       `json:"learned"`
	LeftOut   int                 `json:"left_out" doc:"recorded times that are no work's"`
}

// LearnedView is what the log says of one duration.
type LearnedView struct {
	Name    string        `json:"name"`
	Count   int           `json:"count" doc:"times on record"`
	Minutes float64       `json:"minutes" doc:"their mean, drawn towards the setting by how few they are"`
	Setting int           `json:"setting"`
	Sets    string        `json:"sets,omitempty" doc:"the setting it could take the place of"`
	Crews   []LearnedCrew `json:"crews"`
}

// LearnedCrew is what the log says of one crew.
type LearnedCrew struct {
	Crew    words.Crew `json:"crew"`
	Count   int        `json:"count"`
	Minutes float64    `json:"minutes" doc:"drawn towards the mean of all crews by how little crews differ"`
}

// SettingsRequest changes numbers of the settings.
type SettingsRequest struct {
	CommandID string          `json:"command_id"`
	By        string          `json:"by,omitempty"`
	Why       string          `json:"why,omitempty"`
	Values    []planner.Value `json:"values" minItems:"1" maxItems:"200"`
}

func (s *Server) settingsRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "settings", Method: http.MethodGet, Path: "/api/settings", Security: readers, Summary: "What the office plans with, and what its log says of it"},
		func(context.Context, *struct{}) (*reply[SettingsView], error) { return answer(s.settings()), nil })
	huma.Register(s.api, huma.Operation{OperationID: "change-settings", Method: http.MethodPost, Path: "/api/settings", Security: managers, Summary: "Plan with other numbers from now on"},
		func(ctx context.Context, in *struct{ Body SettingsRequest }) (*reply[SettingsView], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			now, err := s.cfg.Dispatch.Settings().Set(in.Body.Values)
			if err != nil {
				return nil, s.fail(&badRequest{err})
			}
			values, err := now.Changed(planner.DefaultSettings())
			if err != nil {
				return nil, s.fail(err)
			}
			c.Actor, c.Do = events.PersonID(actor(ctx, in.Body.By)), events.ChangeSettings{SettingsChanged: events.SettingsChanged{Values: values, Why: in.Body.Why}}
			if c.Actor == "" {
				c.Actor = "office"
			}
			if _, err := s.cfg.Keeper.Do(ctx, c); err != nil {
				return nil, s.fail(err)
			}
			return answer(s.settings()), nil
		})
}

func (s *Server) settings() SettingsView {
	b, now := s.cfg.Keeper.Book(), s.cfg.Dispatch.Settings()
	v := SettingsView{Settings: now.Explain(), Learned: []LearnedView{}}
	if changed := b.SettingsOf(s.cfg.Office); changed != nil {
		at := changed.At.In(s.cfg.Zone)
		v.ChangedAt, v.ChangedBy, v.Why = &at, s.cfg.People.Name(changed.By), changed.Why
	}
	learned := now.Learned(b, s.cfg.Office)
	v.LeftOut = learned.LeftOut
	for _, row := range learned.Rows {
		shown := LearnedView{Name: row.Name(), Count: row.Count, Minutes: row.Minutes, Setting: row.Setting, Sets: planner.SettingFor(row.Cell), Crews: []LearnedCrew{}}
		for _, c := range row.Crews {
			shown.Crews = append(shown.Crews, LearnedCrew{words.CrewOf(b, s.cfg.People, c.Crew), c.Count, c.Minutes})
		}
		v.Learned = append(v.Learned, shown)
	}
	return v
}
