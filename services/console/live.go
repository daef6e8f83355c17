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

const livePath = "/api/live"

// patient puts off the deadline that is set with each message until after the next beat. Over HTTP/2 a deadline that passes
// resets the stream even while nothing is being written.
type patient struct{ http.ResponseWriter }

// SetWriteDeadline is found by whoever sends messages, and by http.ResponseController.
func (p patient) SetWriteDeadline(t time.Time) error {
	return http.NewResponseController(p.ResponseWriter).SetWriteDeadline(t.Add(2 * beatEvery))
}

// Flush sends what was written.
func (p patient) Flush() { _ = http.NewResponseController(p.ResponseWriter).Flush() }

// gather is how long changes are gathered into one message: an import is hundreds of events a second.
const gather = 150 * time.Millisecond

func (s *Server) liveRoutes() {
	sse.Register(s.api, huma.Operation{OperationID: "live", Security: everybody, Method: http.MethodGet, Path: livePath, Summary: "What changes, as it changes"},
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
	still := visitorOf(ctx).still
	changes := s.cfg.Keeper.Watch(ctx, from)
	progress, done := s.cfg.Dispatch.Listen()
	defer done()
	beat := time.NewTicker(beatEvery)
	defer beat.Stop()
	// The first message has a number, so that a page whose connection breaks before anything has changed still comes back to
	// this place.
	if send(sse.Message{ID: int(from), Data: BeatMessage{Now: s.cfg.Now()}}) != nil {
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
			if still != nil && !still() {
				return // signed out, run out or revoked: the page asks again and is told so
			}
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
