package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"valveround/events"
)

// Move is what becomes of one visit from one plan to another.
type Move struct {
	Site     events.SiteID  `json:"site"`
	Jobs     []events.JobID `json:"jobs"`
	How      string         `json:"how"` // comes in, falls out, another crew, another time, left out in both, new and left out, needs no visit now
	FromCrew events.CrewID  `json:"from_crew,omitempty"`
	ToCrew   events.CrewID  `json:"to_crew,omitempty"`
	From     time.Time      `json:"from,omitzero"` // arrival
	To       time.Time      `json:"to,omitzero"`
	// Later is by how many minutes it begins later, negative: earlier; of a visit that is on both plans.
	Later int `json:"later_minutes,omitempty"`
	// Money is what leaving its jobs out costs more than before, negative: less.
	Money MicroUSD `json:"money_microusd"`
	// Why it is not on the new plan, and what would fit it there.
	Why string `json:"why,omitempty"`
}

// Difference is what one plan has otherwise than another. Money adds up: Total is the driving, hours, overtime and changes more,
// and the Money of every move.
type Difference struct {
	Moves []Move `json:"moves"`
	Moved int    `json:"moved"` // visits that come in, fall out or change crew
	// DriveMinutes and RouteMinutes are driving, and all time from leaving home to return, more than before.
	DriveMinutes int  `json:"drive_minutes"`
	RouteMinutes int  `json:"route_minutes"`
	Money        Cost `json:"money"`
}

// seat is where a job is on a plan: on a route, or left out.
type seat struct {
	site   events.SiteID
	key    string
	crew   events.CrewID
	arrive time.Time
	cost   MicroUSD
	why    string // left out
	known  bool
}

func (s seat) on() bool { return s.crew != "" }

func seats(p Plan) map[events.JobRef]seat {
	all := map[events.JobRef]seat{}
	for _, r := range p.Routes {
		for _, v := range r.Visits {
			for _, j := range v.Jobs {
				all[j.ref()] = seat{site: v.Site, key: v.Key, crew: r.Crew, arrive: v.Arrive, known: true}
			}
		}
	}
	for _, l := range p.LeftOut {
		all[events.JobRef{Assembly: l.Assembly, Job: l.Job}] = seat{site: l.Site, key: l.Visit, cost: l.Worth + l.Promise, why: l.Reason + "; " + l.Change, known: true}
	}
	return all
}

// Compare says what the second plan of a day has otherwise than the first.
func Compare(before, after Plan) Difference {
	return compare(seats(before), seats(after), before, after)
}

func compare(was, is map[events.JobRef]seat, before, after Plan) Difference {
	var refs []events.JobRef
	for ref := range was {
		refs = append(refs, ref)
	}
	for ref := range is {
		if !was[ref].known {
			refs = append(refs, ref)
		}
	}
	slices.SortFunc(refs, func(a, b events.JobRef) int {
		return cmp.Or(cmp.Compare(a.Assembly, b.Assembly), cmp.Compare(a.Job, b.Job))
	})
	d := Difference{Moves: []Move{}}
	at := map[string]int{}
	for _, ref := range refs {
		m, group := moveOf(was[ref], is[ref])
		if m.How == "" {
			continue
		}
		i, known := at[group]
		if !known {
			i = len(d.Moves)
			at[group], d.Moves = i, append(d.Moves, m)
			if m.FromCrew != m.ToCrew {
				d.Moved++
			}
		} else {
			d.Moves[i].Money += m.Money
		}
		d.Moves[i].Jobs = append(d.Moves[i].Jobs, ref.Job)
	}
	slices.SortStableFunc(d.Moves, func(a, b Move) int {
		return cmp.Or(cmp.Compare(rankOfMove(a), rankOfMove(b)), a.start().Compare(b.start()))
	})
	d.sum(before, -1)
	d.sum(after, 1)
	d.DriveMinutes, d.RouteMinutes = d.DriveMinutes/60, d.RouteMinutes/60
	return d
}

// moveOf says what becomes of one job, and which others it belongs with.
func moveOf(was, is seat) (m Move, group string) {
	site := was.site
	if !was.known {
		site = is.site
	}
	m = Move{Site: site, FromCrew: was.crew, ToCrew: is.crew, From: was.arrive, To: is.arrive, Money: is.cost - was.cost}
	switch {
	case was.on() && is.on() && was.crew != is.crew:
		m.How = "another crew"
	case was.on() && is.on() && !was.arrive.Equal(is.arrive):
		m.How = "another time"
	case is.on() && !was.on():
		m.How = "comes in"
	case was.on() && !is.on() && is.known:
		m.How = "falls out"
	case was.known && !is.known:
		m.How = "needs no visit now"
	case !was.known:
		m.How = "new and left out"
	case m.Money != 0:
		m.How = "left out in both"
	}
	if m.How == "falls out" || m.How == "new and left out" {
		m.Why = is.why
	}
	if was.on() && is.on() {
		m.Later = int(is.arrive.Sub(was.arrive) / time.Minute)
	}
	return m, fmt.Sprint(site, "|", was.key, "|", is.key, "|", was.crew, "|", is.crew, "|", m.How)
}

func rankOfMove(m Move) int {
	return slices.Index([]string{"falls out", "comes in", "another crew", "another time", "new and left out", "needs no visit now", "left out in both"}, m.How)
}

func (m Move) start() time.Time {
	if m.From.IsZero() {
		return m.To
	}
	return m.From
}

// sum adds the seconds and money of a plan, or takes them off.
func (d *Difference) sum(p Plan, sign int) {
	for _, r := range p.Routes {
		d.DriveMinutes += sign * r.HomeS
		d.RouteMinutes += sign * int(r.End.Sub(r.Start)/time.Second)
		for _, v := range r.Visits {
			d.DriveMinutes += sign * v.DriveS
		}
	}
	by := MicroUSD(sign)
	d.Money.Distance += by * p.Cost.Distance
	d.Money.Hours += by * p.Cost.Hours
	d.Money.Overtime += by * p.Cost.Overtime
	d.Money.LeftOut += by * p.Cost.LeftOut
	d.Money.Promise += by * p.Cost.Promise
	d.Money.Change += by * p.Cost.Change
	d.Money.Total += by * p.Cost.Total
}

// WhatIf plans the day again as it would be if all that is supposed were so, starting from the plan as it stands, and says what
// would be otherwise. Neither the book nor the plan is changed. The book on which the new plan is to be checked comes back too.
func WhatIf(ctx context.Context, r Request, now Plan, list ...Supposition) (Plan, *events.Book, Difference, error) {
	book, err := Suppose(r.Book, r.Office, r.Date, list...)
	if err != nil {
		return Plan{}, nil, Difference{}, err
	}
	r.Book, r.Previous = book, &now
	then, err := Make(ctx, r)
	if err != nil {
		return Plan{}, nil, Difference{}, err
	}
	return then, book, Compare(now, then), nil
}

// InWords says a supposition in a sentence.
func (x Supposition) InWords(b *events.Book) string {
	site := func(id events.SiteID) string {
		if s := b.Sites[id]; s != nil {
			return s.Name
		}
		return string(id)
	}
	crew := string(x.Crew)
	if c := b.Crews[x.Crew]; c != nil {
		crew = c.Name
	}
	switch x.What {
	case SupposeCrewOff:
		return crew + " does not work that day"
	case SupposeCrewLonger:
		return fmt.Sprintf("the day of %s may be %d min longer", crew, x.Minutes)
	case SupposeAccess:
		return "crews may be at " + site(x.Site) + " " + x.Hours
	case SupposeWindow:
		if f := b.Feeds[x.Feed]; f != nil {
			return f.Name + " of " + site(f.Site) + " may be dry " + x.Hours
		}
	case SupposeWider:
		return fmt.Sprintf("the hours of %s are %d min longer at both ends", site(x.Site), x.Minutes)
	case SupposePlaced:
		return site(x.Site) + " has a position"
	case SupposeAgreed:
		return site(x.Site) + " agrees to " + x.From.Format("15:04") + " to " + x.To.Format("15:04")
	case SupposePartsLate:
		return fmt.Sprintf("the repair kits of job %s come on %s only", x.Job, x.Promised)
	case SupposeNewJob:
		if a := b.Assemblies[x.Assembly]; a != nil {
			return "assembly " + string(x.Assembly) + " at " + site(a.Site) + " has a job now"
		}
	}
	return string(x.What)
}

// InWords prints the difference for a person.
func (d Difference) InWords(b *events.Book) string {
	w := &writer{b: b}
	w.line("%s moved, %+d min driving, %+d min on the road in all, %+.2f USD", counted(d.Moved, "visit"), d.DriveMinutes, d.RouteMinutes, d.Money.Total.USD())
	for _, m := range d.Moves {
		name, loc := w.site(m.Site)
		text := fmt.Sprintf("  %s: %s", name, m.How)
		switch {
		case m.FromCrew != "" && m.ToCrew != "":
			text += fmt.Sprintf(", %s at %s, was %s at %s, %+d min", w.crew(m.ToCrew), m.To.In(loc).Format("15:04"), w.crew(m.FromCrew), m.From.In(loc).Format("15:04"), m.Later)
		case m.FromCrew != "":
			text += fmt.Sprintf(", was %s at %s", w.crew(m.FromCrew), m.From.In(loc).Format("15:04"))
		case m.ToCrew != "":
			text += fmt.Sprintf(", %s at %s", w.crew(m.ToCrew), m.To.In(loc).Format("15:04"))
		}
		w.line("%s, %+.2f USD", text, m.Money.USD())
		if m.Why != "" {
			w.line("    %s", m.Why)
		}
	}
	w.line("  distance %+.2f, hours %+.2f, overtime %+.2f, changes %+.2f USD", d.Money.Distance.USD(), d.Money.Hours.USD(), d.Money.Overtime.USD(), d.Money.Change.USD())
	return w.text.String()
}
