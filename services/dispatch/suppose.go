package dispatch

import (
	"context"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/services/words"
)

// Supposed is what a dispatcher asks "what if" about.
type Supposed struct {
	What     string      `json:"what" enum:"crew-off,crew-longer,new-job,window,access,wider,parts-late"`
	Crew     string      `json:"crew,omitempty"`
	Minutes  int         `json:"minutes,omitempty" minimum:"0" maximum:"720"`
	Site     string      `json:"site,omitempty"`
	Feed     string      `json:"feed,omitempty"`
	Hours    string      `json:"hours,omitempty" doc:"in opening-hours syntax"`
	Assembly string      `json:"assembly,omitempty"`
	Job      string      `json:"job,omitempty"`
	Promised events.Date `json:"promised,omitzero" doc:"on which the repair kits come" format:"date"`
}

// Otherwise is what would be otherwise on a day. The total is the sum of the parts and of every move.
type Otherwise struct {
	Suppose      []string   `json:"suppose" doc:"what is supposed, in words"`
	Moved        int        `json:"moved" doc:"visits that come in, fall out or change crew"`
	DriveMinutes int        `json:"drive_minutes"`
	RouteMinutes int        `json:"route_minutes" doc:"from leaving home to return, all crews"`
	TotalUSD     float64    `json:"total_usd"`
	Costs        []CostPart `json:"costs"`
	Moves        []MoveView `json:"moves"`
	Refusals     []Refusal  `json:"refusals,omitempty" doc:"what the independent checker says against the supposed plan"`
	Before       []Route    `json:"before" doc:"the plan as it stands, or the day as sent out"`
	After        []Route    `json:"after" doc:"the plan as it would be"`
	Begun        []Begun    `json:"begun,omitempty" doc:"on a day that is out: what crews have begun, which stays"`
	Amends       int        `json:"amends,omitempty" doc:"routes of a day that is out which would change"`
	Digest       string     `json:"digest,omitempty" doc:"of the plan of the rest of the day; sending it out names it"`
}

// Begun is how far a crew has come on a day that is out.
type Begun struct {
	Crew    string     `json:"crew"`
	Visits  int        `json:"visits" doc:"driven, under way, or at the end of a drive that has begun"`
	Site    words.Site `json:"site" doc:"where it is, or is driving to"`
	Free    time.Time  `json:"free" doc:"when it can drive on"`
	Unheard bool       `json:"unheard,omitempty" doc:"nothing was heard of it, so it is taken to be on its route"`
}

// MoveView is what becomes of one visit.
type MoveView struct {
	Site  words.Site `json:"site"`
	Jobs  int        `json:"jobs"`
	How   string     `json:"how"`
	From  *SeatView  `json:"from,omitempty"`
	To    *SeatView  `json:"to,omitempty"`
	Later int        `json:"later_minutes,omitempty"`
	USD   float64    `json:"usd" doc:"what leaving its jobs out costs more"`
	Why   string     `json:"why,omitempty" doc:"why it is not on the new plan, and what would fit it there"`
}

// SeatView is a visit's crew and arrival.
type SeatView struct {
	Crew   string    `json:"crew"`
	Arrive time.Time `json:"arrive"`
}

// Suppose plans the proposed day as it would be if all were so, starting from the proposal; of a day that is out, what is left of
// it, starting from where the crews are. Nothing is recorded or kept.
func (d *Desk) Suppose(ctx context.Context, date events.Date, list []Supposed, people *words.People) (Otherwise, error) {
	book := d.cfg.Keeper.Book().Snapshot()
	p := d.Proposal(date)
	day := book.Day(d.cfg.Office, date)
	out := day != nil && day.Sent != nil
	if p.Plan == nil && !out {
		return Otherwise{}, ErrNoPlan
	}
	said := []string{}
	var suppositions []planner.Supposition
	for _, x := range list {
		s := planner.Supposition{What: planner.Supposed(x.What), Crew: events.CrewID(x.Crew), Minutes: x.Minutes, Site: events.SiteID(x.Site), Feed: events.FeedID(x.Feed),
			Hours: x.Hours, Assembly: events.AssemblyID(x.Assembly), Job: events.JobID(x.Job), Promised: x.Promised}
		if s.What == planner.SupposeNewJob {
			s.Job, s.Kind = "", events.Discharging
		}
		suppositions = append(suppositions, s)
		said = append(said, s.InWords(book))
	}
	then, err := planner.Suppose(book, d.cfg.Office, date, suppositions...)
	if err != nil {
		return Otherwise{}, &events.Refusal{Words: err.Error()}
	}
	if out {
		o, _, err := d.otherwiseOfRest(ctx, book, then, date, people)
		o.Suppose = said
		return o, err
	}
	o, err := d.supposeProposal(ctx, book, *p.Plan, suppositions, people)
	o.Suppose = said
	return o, err
}

func (d *Desk) supposeProposal(ctx context.Context, book *events.Book, plan planner.Plan, suppositions []planner.Supposition, people *words.People) (Otherwise, error) {
	r := d.search(d.request(book, plan.Date), supposeSeconds)
	then, supposed, difference, err := planner.WhatIf(ctx, r, plan, suppositions...)
	if err != nil {
		return Otherwise{}, err
	}
	o := d.otherwise(supposed, difference, check.Plan(supposed, then, d.Settings()))
	o.Before, o.After = d.routes(book, people, plan), d.routes(supposed, people, then)
	return o, nil
}

// otherwise says a difference in the shapes of the API.
func (d *Desk) otherwise(supposed *events.Book, difference planner.Difference, violations []check.Violation) Otherwise {
	o := Otherwise{Suppose: []string{}, Moves: []MoveView{}}
	o.Moved, o.DriveMinutes, o.RouteMinutes = difference.Moved, difference.DriveMinutes, difference.RouteMinutes
	o.TotalUSD, o.Costs = difference.Money.Total.USD(), costParts(difference.Money)
	o.Refusals = refusals(supposed, violations)
	for _, m := range difference.Moves {
		o.Moves = append(o.Moves, MoveView{Site: words.SiteOf(supposed, m.Site), Jobs: len(m.Jobs), How: m.How, From: seatView(supposed, m.FromCrew, m.From),
			To: seatView(supposed, m.ToCrew, m.To), Later: m.Later, USD: m.Money.USD(), Why: m.Why})
	}
	return o
}

// supposeSeconds is how long it is searched: the answer is wanted while one is on the telephone.
const supposeSeconds = 1

func seatView(b *events.Book, crew events.CrewID, at time.Time) *SeatView {
	if crew == "" {
		return nil
	}
	name := string(crew)
	if c := b.Crews[crew]; c != nil {
		name = c.Name
	}
	return &SeatView{name, at}
}

// routes shows the routes of a plan.
func (d *Desk) routes(b *events.Book, people *words.People, plan planner.Plan) []Route {
	list := []Route{}
	for _, r := range plan.Day().Routes {
		i := slices.IndexFunc(plan.Routes, func(p planner.Route) bool { return p.Crew == r.Crew })
		list = append(list, d.route(b, people, plan.Date, r, &plan.Routes[i]))
	}
	return list
}
