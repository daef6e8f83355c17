package console

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/words"
)

// JobRequest opens a job that no list names.
type JobRequest struct {
	CommandID string         `json:"command_id"`
	Assembly  string         `json:"assembly"`
	Kind      events.JobKind `json:"kind" enum:"annual-test,new-install,re-occupancy,before-use,relief-discharging,after-freeze,return-visit,after-repair,season-start,survey"`
	Due       events.Date    `json:"due" doc:"by when it should be done"`
	Words     string         `json:"words,omitempty" doc:"who called, and why"`
}

// JobReceipt answers it.
type JobReceipt struct {
	Job      string `json:"job"`
	Position uint64 `json:"position"`
	Repeated bool   `json:"repeated"`
}

// FitsView says where a job would go on some days.
type FitsView struct {
	Job  words.Job `json:"job"`
	Days []FitsDay `json:"days"`
}

// FitsDay is one day.
type FitsDay struct {
	Date   events.Date `json:"date"`
	Fits   []FitView   `json:"fits" doc:"the best place of each crew, cheapest first"`
	Out    bool        `json:"out,omitempty" doc:"the day is sent out: putting the job on it amends it"`
	Reason string      `json:"reason,omitempty" doc:"why it fits nowhere"`
	Change string      `json:"change,omitempty" doc:"the cheapest change that would fit it"`
}

// FitView is one place.
type FitView struct {
	Crew         words.Crew `json:"crew"`
	Place        int        `json:"place" doc:"from 1, in the crew's order"`
	ExtraMinutes int        `json:"extra_minutes" doc:"by which the crew's day grows"`
	CostUSD      float64    `json:"cost_usd"`
}

func (s *Server) jobRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "open-job", Security: recorders, Method: http.MethodPost, Path: "/api/jobs", Summary: "Open a job that no list names"},
		func(ctx context.Context, in *struct{ Body JobRequest }) (*reply[JobReceipt], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			job := events.JobID("j-" + c.ID.String()[:16])
			c.Actor = "office"
			c.Do = events.OpenJob{Assembly: events.AssemblyID(in.Body.Assembly), NewJob: job, Kind: in.Body.Kind, Due: in.Body.Due, Words: in.Body.Words}
			receipt, err := s.cfg.Keeper.Do(ctx, c)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(JobReceipt{Job: string(job), Position: receipt.Position, Repeated: receipt.Repeated}), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "job-fits", Security: readers, Method: http.MethodGet, Path: "/api/assemblies/{id}/jobs/{job}/fits",
		Summary: "Where a job would fit today and on the next working day"},
		func(ctx context.Context, in *struct {
			ID  string `path:"id"`
			Job string `path:"job"`
		}) (*reply[FitsView], error) {
			return s.fits(ctx, events.JobRef{Assembly: events.AssemblyID(in.ID), Job: events.JobID(in.Job)})
		})
}

func (s *Server) fits(ctx context.Context, ref events.JobRef) (*reply[FitsView], error) {
	b := s.cfg.Keeper.Book()
	a := b.Assemblies[ref.Assembly]
	if a == nil || a.Job(ref.Job) == nil {
		return nil, huma.Error404NotFound("There is no such job on record.")
	}
	about := s.office()
	v := FitsView{Job: words.JobOf(b, a, a.Job(ref.Job), about.Today, s.cfg.Dispatch.Settings()), Days: []FitsDay{}}
	for _, date := range []events.Date{about.Today, about.Tomorrow} {
		fits, because, err := s.cfg.Dispatch.Fits(ctx, date, ref)
		if err != nil {
			return nil, s.fail(err)
		}
		day := FitsDay{Date: date, Fits: []FitView{}, Reason: because.Reason, Change: because.Change}
		if sent := b.Day(s.cfg.Office, date); sent != nil && sent.Sent != nil {
			day.Out = true
		}
		for _, f := range fits {
			day.Fits = append(day.Fits, FitView{Crew: words.CrewOf(b, s.cfg.People, f.Crew), Place: f.Place, ExtraMinutes: int(f.Extra.Minutes()), CostUSD: f.Cost.USD()})
		}
		v.Days = append(v.Days, day)
	}
	return answer(v), nil
}
