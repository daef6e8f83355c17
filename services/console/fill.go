package console

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/backlog"
)

// FilledRequest says of many feeds at once that they are filled and their water is on.
type FilledRequest struct {
	CommandID string   `json:"command_id"`
	Feeds     []string `json:"feeds" minItems:"1" maxItems:"500"`
	By        string   `json:"by" doc:"who says so"`
}

// FilledReceipt answers it.
type FilledReceipt struct {
	Filled   int      `json:"filled" doc:"feeds recorded, those known already included"`
	Refused  []string `json:"refused,omitempty" doc:"what was not recorded of some feed, in words; the others are"`
	Position uint64   `json:"position"`
}

func (s *Server) fillRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "unfilled", Security: readers, Method: http.MethodGet, Path: "/api/unfilled",
		Summary: "Feeds left shut, drained or not known to hold water, by customer"},
		func(_ context.Context, in *struct {
			Customer string `query:"customer"`
			Site     string `query:"site"`
		}) (*reply[backlog.Unfilled], error) {
			return answer(backlog.NotFilled(s.cfg.Keeper.Book(), backlog.UnfilledAsk{Office: s.cfg.Office, Customer: events.CustomerID(in.Customer),
				Site: events.SiteID(in.Site), Now: s.cfg.Now()})), nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "fill-feeds", Security: recorders, Method: http.MethodPost, Path: "/api/feeds/filled",
		Summary: "Record that feeds are filled and their water is on; what waited for it can be gone to again"},
		func(ctx context.Context, in *struct{ Body FilledRequest }) (*reply[FilledReceipt], error) {
			return s.fill(ctx, in.Body)
		})
}

// fill records one feed after the other, each under an id that follows from the tap's, so that the same tap twice fills nothing
// twice.
func (s *Server) fill(ctx context.Context, r FilledRequest) (*reply[FilledReceipt], error) {
	c, err := s.deskCommand(r.CommandID)
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(r.By) == "" {
		return nil, s.fail(&badRequest{errors.New("say who says that they are filled")})
	}
	var commands []events.Command
	for _, id := range r.Feeds {
		commands = append(commands, events.Command{ID: events.DeriveCommandID(c.ID, "filled "+id), Actor: "office", Office: c.Office, Happened: c.Happened,
			Do: events.FillFeed{Feed: events.FeedID(id), By: strings.TrimSpace(r.By)}})
	}
	results, err := s.cfg.Keeper.Import(ctx, commands, nil)
	if err != nil {
		return nil, s.fail(err)
	}
	receipt := FilledReceipt{}
	for _, one := range results {
		if one.Err != nil {
			receipt.Refused = append(receipt.Refused, one.Err.Error())
			continue
		}
		receipt.Filled++
	}
	receipt.Position = s.cfg.Keeper.Position()
	return answer(receipt), nil
}
