package console

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/sse"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/services/dispatch"
)

// beatEvery keeps proxies and sleeping laptops from dropping the live connection.
const beatEvery = 15 * time.Second

// gather is how long changes are gathered into one message: an import is hundreds of events a second.
const gather = 150 * time.Millisecond

func (s *Server) liveRoutes() {
	sse.Register(s.api, huma.Operation{OperationID: "live", Method: http.MethodGet, Path: "/api/live", Summary: "What changes, as it changes"},
		map[string]any{"changed": ChangeMessage{}, "planning": dispatch.Searching{}, "beat": BeatMessage{}},
		func(ctx context.Context, in *struct {
			LastEventID string `header:"Last-Event-ID"`
		}, send sse.Sender) {
			s.live(ctx, in.LastEventID, send)
		})
}

// live sends changes from where the page left off. A page that comes back after long is told to read everything again.
func (s *Server) live(ctx context.Context, lastID string, send sse.Sender) {
	from := s.cfg.Keeper.Position()
	if seen, err := strconv.ParseUint(lastID, 10, 64); err == nil && seen < from {
		from = seen
	}
	changes := s.cfg.Keeper.Watch(ctx, from)
	progress, done := s.cfg.Dispatch.Listen()
	defer done()
	beat := time.NewTicker(beatEvery)
	defer beat.Stop()
	if send.Data(BeatMessage{Now: s.cfg.Now()}) != nil {
		return
	}
	for {
		var err error
		select {
		case <-ctx.Done():
			return
		case c, open := <-changes:
			if !open {
				return
			}
			m := gathered(c, changes)
			err = send(sse.Message{ID: int(m.Position), Data: m})
		case p := <-progress:
			err = send.Data(dispatch.SearchingOf(p))
		case <-beat.C:
			err = send.Data(BeatMessage{Now: s.cfg.Now()})
		}
		if err != nil {
			return
		}
	}
}

// gathered puts the changes of a short while into one message.
func gathered(first keeper.Change, more <-chan keeper.Change) ChangeMessage {
	m := ChangeMessage{Kinds: []string{}}
	add := func(c keeper.Change) {
		m.Position = c.Position
		kind := string(c.Entity.Kind)
		if c.Resync {
			kind = "resync"
		}
		if !slices.Contains(m.Kinds, kind) {
			m.Kinds = append(m.Kinds, kind)
		}
		if c.Entity.Kind == events.KindDay && !slices.Contains(m.Dates, c.Entity.ID) {
			m.Dates = append(m.Dates, c.Entity.ID)
		}
	}
	add(first)
	wait := time.After(gather)
	for {
		select {
		case c, open := <-more:
			if !open {
				return m
			}
			add(c)
		case <-wait:
			return m
		}
	}
}
