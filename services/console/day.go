package console

import (
	"context"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/crew"
	"valveround/services/dispatch"
)

// DateInPath is the day that a path names.
type DateInPath struct {
	Date events.Date `path:"date" format:"date"`
}

// deskCommand is an empty command of the office under an id made where the button was pressed.
func (s *Server) deskCommand(id string) (events.Command, error) {
	command, err := events.ParseCommandID(id)
	if err != nil {
		return events.Command{}, s.fail(&badRequest{err})
	}
	return events.Command{ID: command, Actor: "dispatcher", Office: s.cfg.Office, Happened: s.cfg.Now()}, nil
}

func (s *Server) day(date events.Date) *reply[dispatch.View] {
	return answer(s.cfg.Dispatch.View(date, s.cfg.People))
}

func (s *Server) dayRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "day", Security: readers, Method: http.MethodGet, Path: "/api/days/{date}", Summary: "A day as planned or sent out"},
		func(_ context.Context, in *DateInPath) (*reply[dispatch.View], error) { return s.day(in.Date), nil })

	huma.Register(s.api, huma.Operation{OperationID: "plan-day", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/plan", DefaultStatus: http.StatusAccepted,
		Summary: "Start planning a day"},
		func(_ context.Context, in *struct {
			DateInPath
			Body PlanRequest
		}) (*reply[dispatch.View], error) {
			if err := s.cfg.Dispatch.Plan(in.Date, in.Body.Seconds); err != nil { //nolint:contextcheck // planning goes on after the request has been answered
				return nil, s.fail(err)
			}
			return s.day(in.Date), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "stop-planning", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/plan/stop",
		Summary: "Stop planning and keep the best plan so far"},
		func(_ context.Context, in *DateInPath) (*reply[dispatch.View], error) {
			s.cfg.Dispatch.Stop(in.Date)
			return s.day(in.Date), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "suppose", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/suppose",
		Summary: "Say what would be otherwise on the day, proposed or out, if something were so; nothing is recorded"},
		func(ctx context.Context, in *struct {
			DateInPath
			Body SupposeRequest
		}) (*reply[dispatch.Otherwise], error) {
			o, err := s.cfg.Dispatch.Suppose(ctx, in.Date, in.Body.Suppose, s.cfg.People)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(o), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "plan-rest", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/rest",
		Summary: "Plan what is left of a day that is out, from where its crews are; nothing is recorded"},
		func(ctx context.Context, in *DateInPath) (*reply[dispatch.Otherwise], error) {
			o, err := s.cfg.Dispatch.Rest(ctx, in.Date, s.cfg.People)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(o), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "send-rest", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/rest/send-out",
		Summary: "Send out the plan of the rest of a day that was seen"},
		func(ctx context.Context, in *struct {
			DateInPath
			Body RestRequest
		}) (*reply[dispatch.View], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			if err := s.cfg.Dispatch.SendRest(ctx, c, in.Date, in.Body.Digest, in.Body.Why); err != nil {
				return nil, s.fail(err)
			}
			return s.day(in.Date), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "change-out", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/amend",
		Summary: "Take one visit off a day that is out, put one on, or give it another crew or place; what has begun stays"},
		func(ctx context.Context, in *struct {
			DateInPath
			Body ChangeOutRequest
		}) (*reply[dispatch.View], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			w := events.Wish{Site: events.SiteID(in.Body.Site), Feed: events.FeedID(in.Body.Feed), Crew: events.CrewID(in.Body.Crew), Place: in.Body.Place, Out: in.Body.Out, Why: in.Body.Why}
			if err := s.cfg.Dispatch.ChangeOut(ctx, c, in.Date, w); err != nil {
				return nil, s.fail(err)
			}
			return s.day(in.Date), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "wish", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/wishes", Summary: "Hold, move or leave out a visit"},
		func(ctx context.Context, in *struct {
			DateInPath
			Body WishRequest
		}) (*reply[dispatch.View], error) {
			return s.wish(ctx, in.Date, in.Body)
		})

	huma.Register(s.api, huma.Operation{OperationID: "undo", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/undo",
		Summary: "Put the plan and the wishes of a day back to before the last change"},
		func(ctx context.Context, in *struct {
			DateInPath
			Body UndoRequest
		}) (*reply[dispatch.View], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			if err := s.cfg.Dispatch.Undo(ctx, c, in.Date); err != nil {
				return nil, s.fail(err)
			}
			return s.day(in.Date), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "send-out", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/send-out", Summary: "Send out the plan that was seen"},
		func(ctx context.Context, in *struct {
			DateInPath
			Body SendRequest
		}) (*reply[dispatch.View], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			if err := s.cfg.Dispatch.SendOut(ctx, c, in.Date, in.Body.Digest); err != nil {
				return nil, s.fail(err)
			}
			return s.day(in.Date), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "take-back", Security: dispatchers, Method: http.MethodPost, Path: "/api/days/{date}/take-back", Summary: "Take a sent-out day back"},
		func(ctx context.Context, in *struct {
			DateInPath
			Body TakeBackRequest
		}) (*reply[dispatch.View], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			if err := s.cfg.Dispatch.TakeBack(ctx, c, in.Date, in.Body.Why); err != nil {
				return nil, s.fail(err)
			}
			return s.day(in.Date), nil
		})
}

func (s *Server) wish(ctx context.Context, date events.Date, r WishRequest) (*reply[dispatch.View], error) {
	c, err := s.deskCommand(r.CommandID)
	if err != nil {
		return nil, err
	}
	site, feed := events.SiteID(r.Site), events.FeedID(r.Feed)
	if r.Drop {
		err = s.cfg.Dispatch.DropWish(ctx, c, date, site, feed)
	} else {
		err = s.cfg.Dispatch.Wish(ctx, c, date, events.Wish{Site: site, Feed: feed, Hold: r.Hold, Crew: events.CrewID(r.Crew), Place: r.Place, Out: r.Out, Why: r.Why})
	}
	if err != nil {
		return nil, s.fail(err)
	}
	return s.day(date), nil
}

func (s *Server) crewRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "crew-day", Security: everybody, Method: http.MethodGet, Path: "/api/crews/{crew}/days/{date}", Summary: "A crew's day, with all it needs without signal"},
		func(ctx context.Context, in *struct {
			DateInPath
			Crew string `path:"crew"`
		}) (*reply[crew.View], error) {
			if err := s.ownOrReader(ctx, in.Crew); err != nil {
				return nil, err
			}
			v, err := crew.Day(s.cfg.Keeper.Book(), crew.Config{Office: s.cfg.Office, Settings: s.cfg.Dispatch.Settings(), People: s.cfg.People, Now: s.cfg.Now()},
				events.CrewID(in.Crew), in.Date)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(v), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "field", Security: techs, Method: http.MethodPost, Path: "/api/field", Summary: "Record one thing from the field",
		SkipValidateBody: true}, // what the phone sends is kept, whatever it lacks
		func(ctx context.Context, in *struct{ Body crew.Request }) (*reply[Receipt], error) {
			if err := s.ownCrew(ctx, in.Body.Crew); err != nil {
				return nil, err
			}
			receipt, err := s.record(ctx, in.Body)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(receipt), nil
		})
}

// pictureIsHere refuses to record a photo whose bytes have not come: they are sent before the event that names them.
func (s *Server) pictureIsHere(ctx context.Context, c events.Command) error {
	do, ok := c.Do.(events.TakePhoto)
	if !ok {
		return nil
	}
	_, err := s.cfg.Blobs.Blob(ctx, do.SHA256)
	if errors.Is(err, events.ErrNoBlob) {
		return &events.Refusal{Words: "send the picture first: none is kept under its SHA-256"}
	}
	return err
}
