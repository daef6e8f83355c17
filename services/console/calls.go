package console

import (
	"context"
	"errors"
	"net/http"
	"strings"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/planner"
	"valveround/services/calls"
)

// CallRequest is how a call ended.
type CallRequest struct {
	CommandID string             `json:"command_id"`
	Customer  string             `json:"customer" doc:"the id of the call on the list"`
	Sites     []string           `json:"sites,omitempty" doc:"that the call was about; none: all that the list names for the customer"`
	Feed      string             `json:"feed,omitempty" doc:"of an agreed time, for one site; empty: every feed"`
	Outcome   events.CallOutcome `json:"outcome" enum:"agreed,left-word,wrong-number,posted,refused,uses-another-firm"`
	From      *time.Time         `json:"from,omitempty" doc:"agreed: from when the water may be off; posted: a time on the day that the notice speaks of"`
	To        *time.Time         `json:"to,omitempty"`
	Who       string             `json:"who,omitempty" doc:"the person that was asked"`
	Words     string             `json:"words,omitempty"`
}

// BookingRequest is what those said who were asked to come.
type BookingRequest struct {
	CommandID string               `json:"command_id"`
	What      events.Brought       `json:"what" enum:"street-valve,alarm-company,escort,pump-out"`
	Places    []BookingPlace       `json:"places" minItems:"1" doc:"that the call was about"`
	Answer    events.BookingAnswer `json:"answer" enum:"booked,left-word,wrong-number,refused"`
	From      *time.Time           `json:"from,omitempty" doc:"booked: when they come"`
	To        *time.Time           `json:"to,omitempty"`
	Whom      string               `json:"whom,omitempty" doc:"the desk or firm that was asked; no names of people"`
	Reference string               `json:"reference,omitempty" doc:"what they want to hear about it"`
	Words     string               `json:"words,omitempty"`
}

// BookingPlace is a site, or one feed of it.
type BookingPlace struct {
	Site string `json:"site"`
	Feed string `json:"feed,omitempty" doc:"empty: every feed of the site"`
}

func (r BookingRequest) command() events.AskBooking {
	do := events.AskBooking{What: r.What, Answer: r.Answer, Whom: strings.TrimSpace(r.Whom), Reference: strings.TrimSpace(r.Reference), Words: strings.TrimSpace(r.Words)}
	for _, at := range r.Places {
		do.Places = append(do.Places, events.BookingPlace{Site: events.SiteID(at.Site), Feed: events.FeedID(at.Feed)})
	}
	if r.From != nil {
		do.From = *r.From
	}
	if r.To != nil {
		do.To = *r.To
	}
	return do
}

// WithdrawTimeRequest says that a time agreed holds no more.
type WithdrawTimeRequest struct {
	CommandID string    `json:"command_id"`
	Site      string    `json:"site"`
	Feed      string    `json:"feed,omitempty" doc:"as it was agreed"`
	From      time.Time `json:"from"`
	To        time.Time `json:"to"`
	Why       string    `json:"why"`
}

// callMemory keeps the list last made: trying what tomorrow would let in takes planning.
type callMemory struct {
	mu   sync.Mutex
	key  callKey
	view calls.View
}

type callKey struct {
	position uint64
	plan     *planner.Plan
	weeks    int
	minute   time.Time
}

func (s *Server) callRoutes() {
	memory := &callMemory{}
	huma.Register(s.api, huma.Operation{OperationID: "calls", Security: readers, Method: http.MethodGet, Path: "/api/calls", Summary: "Whom to call about the work of the coming weeks"},
		func(_ context.Context, in *struct {
			Weeks int `query:"weeks" default:"2" minimum:"1" maximum:"12"`
		}) (*reply[calls.View], error) {
			return answer(s.callList(memory, in.Weeks)), nil //nolint:contextcheck // a list begun is finished and kept for the next who asks
		})

	huma.Register(s.api, huma.Operation{OperationID: "note-call", Security: recorders, Method: http.MethodPost, Path: "/api/calls", Summary: "Record how a call ended; what was agreed becomes a promise"},
		func(ctx context.Context, in *struct{ Body CallRequest }) (*reply[Receipt], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			do, err := s.noteCall(in.Body)
			if err != nil {
				return nil, s.fail(&badRequest{err})
			}
			c.Do = do
			return s.do(ctx, c)
		})

	huma.Register(s.api, huma.Operation{OperationID: "ask-booking", Security: recorders, Method: http.MethodPost, Path: "/api/calls/bookings", Summary: "Record what those said who were asked to come; where they come, the planner keeps within it"},
		func(ctx context.Context, in *struct{ Body BookingRequest }) (*reply[Receipt], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			c.Do = in.Body.command()
			return s.do(ctx, c)
		})

	huma.Register(s.api, huma.Operation{OperationID: "withdraw-time", Security: recorders, Method: http.MethodPost, Path: "/api/calls/withdraw-time", Summary: "Record that a time agreed holds no more"},
		func(ctx context.Context, in *struct{ Body WithdrawTimeRequest }) (*reply[Receipt], error) {
			c, err := s.deskCommand(in.Body.CommandID)
			if err != nil {
				return nil, err
			}
			c.Do = events.WithdrawTime{Site: events.SiteID(in.Body.Site), TimeWithdrawn: events.TimeWithdrawn{Feed: events.FeedID(in.Body.Feed), From: in.Body.From,
				To: in.Body.To, Why: in.Body.Why}}
			return s.do(ctx, c)
		})
}

func (s *Server) callList(memory *callMemory, weeks int) calls.View {
	b, now := s.cfg.Keeper.Book(), s.cfg.Now()
	tomorrow := s.office().Tomorrow
	plan := s.cfg.Dispatch.Proposal(tomorrow).Plan
	if day := b.Day(s.cfg.Office, tomorrow); day != nil && day.Sent != nil {
		plan = nil // it is out: nothing comes in by itself any more
	}
	key := callKey{b.Position(), plan, weeks, now.Truncate(time.Minute)}
	memory.mu.Lock()
	defer memory.mu.Unlock()
	if memory.key == key && memory.view.Customers != nil {
		return memory.view
	}
	from := events.DateIn(now, s.cfg.Zone)
	memory.key, memory.view = key, calls.List(calls.Request{Book: b, Office: s.cfg.Office, Firm: s.cfg.Name, People: s.cfg.People, From: from, To: from.AddDays(7 * weeks),
		Now: now, Settings: s.cfg.Dispatch.Settings(), Tomorrow: tomorrow, Plan: plan})
	return memory.view
}

// noteCall turns a tap into a command; without sites named, the call was about every site of the customer that has a job open.
func (s *Server) noteCall(r CallRequest) (events.NoteCall, error) {
	do := events.NoteCall{Feed: events.FeedID(r.Feed), Outcome: r.Outcome, Who: events.PersonID(r.Who), Words: strings.TrimSpace(r.Words)}
	b := s.cfg.Keeper.Book()
	for _, id := range r.Sites {
		site := b.Sites[events.SiteID(id)]
		if site == nil {
			return do, errors.New("there is no site " + id)
		}
		if r.Customer != "" && calls.CallOf(site) != r.Customer {
			return do, errors.New(site.Name + " is not a site of this customer")
		}
		do.Sites = append(do.Sites, site.ID)
	}
	if len(do.Sites) == 0 {
		do.Sites = calls.SitesOf(b, s.cfg.Office, r.Customer)
	}
	if r.From != nil {
		do.From = *r.From
	}
	if r.To != nil {
		do.To = *r.To
	}
	return do, nil
}
