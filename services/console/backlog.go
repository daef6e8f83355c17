package console

import (
	"context"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/planner"
	"valveround/services/backlog"
)

func (s *Server) backlogRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "backlog", Security: readers, Method: http.MethodGet, Path: "/api/backlog", Summary: "Failures by days left to their deadlines"},
		func(context.Context, *struct{}) (*reply[backlog.View], error) {
			b := s.cfg.Keeper.Book()
			return answer(backlog.Of(b, s.cfg.Office, s.cfg.Now(), s.cfg.Dispatch.Settings(), s.proposals())), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "history", Security: readers, Method: http.MethodGet, Path: "/api/assemblies/{id}/history",
		Summary: "How an assembly came to be where it is"},
		func(ctx context.Context, in *struct {
			ID string `path:"id"`
		}) (*reply[backlog.HistoryView], error) {
			b := s.cfg.Keeper.Book()
			id := events.AssemblyID(in.ID)
			if b.Assemblies[id] == nil {
				return nil, huma.Error404NotFound("There is no assembly " + in.ID + " on record.")
			}
			v, err := backlog.HistoryAt(ctx, s.cfg.Log, b, s.cfg.People, id, s.cfg.Now())
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(v), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "story", Security: readers, Method: http.MethodGet, Path: "/api/history/{kind}/{id}",
		Summary: "What happened to one thing on record and to what hangs on it, newest first"},
		func(ctx context.Context, in *struct {
			Kind string `path:"kind" enum:"assembly,site,feed,customer,crew,gauge,kit,purveyor,person"`
			ID   string `path:"id"`
			Most int    `query:"most" default:"200" minimum:"1" maximum:"5000"`
		}) (*reply[backlog.StoryView], error) {
			v, err := backlog.Story(ctx, s.cfg.Log, s.cfg.Keeper.Book(), s.cfg.People,
				backlog.Asked{Office: s.cfg.Office, Kind: events.Kind(in.Kind), ID: in.ID, Zone: s.cfg.Zone, Most: in.Most})
			var unknown *events.Refusal
			if errors.As(err, &unknown) {
				return nil, huma.Error404NotFound(unknown.Words)
			}
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(v), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "left-off", Security: readers, Method: http.MethodGet, Path: "/api/left-off", Summary: "What is shut, partly open or impaired"},
		func(context.Context, *struct{}) (*reply[backlog.LeftOff], error) {
			b := s.cfg.Keeper.Book()
			return answer(backlog.LeftOffTonight(b, s.cfg.Office, s.cfg.Now()).Calling(b, s.cfg.People)), nil
		})
}

// proposals are the plans that are not sent out, for the next days.
func (s *Server) proposals() []planner.Plan {
	var plans []planner.Plan
	today := events.DateIn(s.cfg.Now(), s.cfg.Zone)
	for ahead := range 15 {
		if p := s.cfg.Dispatch.Proposal(today.AddDays(ahead)); p.Plan != nil {
			plans = append(plans, *p.Plan)
		}
	}
	return plans
}
