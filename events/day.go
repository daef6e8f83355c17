package events

import (
	"slices"
	"time"
)

// Day is the folded state of an office's day: the dispatcher's wishes for its plan, and the day as sent out.
type Day struct {
	Office OfficeID  `json:"office"`
	Date   Date      `json:"date"`
	Wishes []Wish    `json:"wishes,omitempty"` // standing ones, oldest first, at most one a site and job set
	Sent   *SentOut  `json:"sent,omitempty"`   // with amendments applied; nil when not sent out or taken back
	SentBy EventID   `json:"sent_by,omitempty"`
	SentAt time.Time `json:"sent_at,omitzero"`
	// AmendedBy is the last event that changed the day after it was sent out.
	AmendedBy EventID    `json:"amended_by,omitempty"`
	Taken     *TakenBack `json:"taken_back,omitempty"`
}

// Wish is what the dispatcher decided about a site's visit on a day, before it is sent out; the planner obeys it.
type Wish struct {
	Site  SiteID `json:"site"`
	Feed  FeedID `json:"feed,omitempty"` // when a site is visited in parts: the part that holds this feed
	Hold  bool   `json:"hold,omitempty"` // stays with its crew
	Crew  CrewID `json:"crew,omitempty"` // must be done by
	Place int    `json:"place,omitempty"`
	Out   bool   `json:"out,omitempty"` // left out
	Why   string `json:"why,omitempty"`
}

// DayRoute is one crew's ordered visits on the day.
type DayRoute struct {
	Crew   CrewID     `json:"crew"`
	Start  time.Time  `json:"start"` // leaves home or depot
	End    time.Time  `json:"end"`   // is back
	Visits []DayVisit `json:"visits"`
	Break  *DayBreak  `json:"break,omitempty"` // nil: none, or at home before leaving or after the return
}

// DayBreak is a crew's break on its way, where it is between two visits.
type DayBreak struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	Site SiteID    `json:"site"` // of the visit before, or of the next when it has driven there
}

// Within is how long the break takes of the time between two instants: all of it, or nothing.
func (b *DayBreak) Within(from, to time.Time) time.Duration {
	if b == nil || b.From.Before(from) || b.To.After(to) {
		return 0
	}
	return b.To.Sub(b.From)
}

// DayVisit is one stop: the jobs of one site that are done together.
type DayVisit struct {
	Site     SiteID     `json:"site"`
	Jobs     []DayJob   `json:"jobs"`
	Arrive   time.Time  `json:"arrive"`
	Leave    time.Time  `json:"leave"`
	WaterOff []WaterOff `json:"water_off,omitempty"`
	DriveM   int        `json:"drive_m"` // from the stop before, or home
	DriveS   int        `json:"drive_s"`
	Key      string     `json:"key,omitempty"`   // names the visit within the day
	Notes    []string   `json:"notes,omitempty"` // for the crew, as planned
}

// DayJob is one job of a stop and what is to be done.
type DayJob struct {
	JobRef
	Work string `json:"work"` // see the planner's kinds of work
}

// WaterOff is when one feed is to be dry.
type WaterOff struct {
	Feed FeedID    `json:"feed"`
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	// Whether there is time for a repair if a test fails: DecideBy is the last moment at which a unit may be opened for one;
	// TestOnly says that none fits before the water must be back, so that nothing is opened. Neither: nothing presses.
	DecideBy time.Time `json:"decide_by,omitzero"`
	TestOnly bool      `json:"test_only,omitempty"`
}

// The events of a day.
type (
	// Wished: the dispatcher held, moved or left out a visit.
	Wished struct{ Wish }
	// WishDropped: the planner is free again about a site's visit.
	WishDropped struct {
		Site SiteID `json:"site"`
		Feed FeedID `json:"feed,omitempty"`
	}
	// SentOut is the whole day in compact form: the authority on who goes where.
	SentOut struct {
		Date     Date       `json:"date"`
		Routes   []DayRoute `json:"routes"`
		Position uint64     `json:"position"` // of the book that the plan was checked against
	}
	// Amended replaces the routes of some crews on a day that is out.
	Amended struct {
		Routes []DayRoute `json:"routes"`
		Why    string     `json:"why,omitempty"`
	}
	// TakenBack: the day is not out any more.
	TakenBack struct {
		Why string `json:"why,omitempty"`
	}
)

func declareDay(v *vocabulary) {
	declare[Wished](v, KindDay, "wished")
	declare[WishDropped](v, KindDay, "wish-dropped")
	declare[SentOut](v, KindDay, "sent-out")
	declare[Amended](v, KindDay, "amended")
	declare[TakenBack](v, KindDay, "taken-back")
}

func (d Day) fold(at stamp, event any) (Day, error) {
	if d.Office == "" {
		date, err := ParseDate(at.Entity.ID)
		if err != nil {
			return d, err
		}
		d.Office, d.Date = at.Entity.Office, date
	}
	switch e := event.(type) {
	case Wished:
		d.Wishes = append(withoutWish(d.Wishes, e.Site, e.Feed), e.Wish)
	case WishDropped:
		d.Wishes = withoutWish(d.Wishes, e.Site, e.Feed)
	case SentOut:
		d.Sent, d.SentBy, d.SentAt, d.AmendedBy, d.Taken = &e, at.ID, at.Happened, "", nil
	case Amended:
		d.Sent, d.AmendedBy = d.Sent.amend(e), at.ID
	case TakenBack:
		d.Sent, d.SentBy, d.SentAt, d.AmendedBy, d.Taken = nil, "", time.Time{}, "", &e
	default:
		return d, errNotMine(at, event)
	}
	return d, nil
}

func withoutWish(wishes []Wish, site SiteID, feed FeedID) []Wish {
	return slices.DeleteFunc(slices.Clone(wishes), func(w Wish) bool { return w.Site == site && w.Feed == feed })
}

func (s *SentOut) amend(e Amended) *SentOut {
	if s == nil {
		return nil
	}
	changed := *s
	changed.Routes = slices.Clone(s.Routes)
	for _, route := range e.Routes {
		i := slices.IndexFunc(changed.Routes, func(r DayRoute) bool { return r.Crew == route.Crew })
		if i < 0 {
			changed.Routes = append(changed.Routes, route)
		} else {
			changed.Routes[i] = route
		}
	}
	return &changed
}

// Jobs calls each job of the day with its crew.
func (s *SentOut) Jobs(each func(CrewID, DayJob)) {
	for _, route := range s.Routes {
		for _, visit := range route.Visits {
			for _, job := range visit.Jobs {
				each(route.Crew, job)
			}
		}
	}
}

// holds reports whether a crew has the job on this day.
func (s *SentOut) holds(ref JobRef, crew CrewID) bool {
	found := false
	s.Jobs(func(of CrewID, j DayJob) { found = found || of == crew && j.JobRef == ref })
	return found
}

// Commands about a day.
type (
	// WishFor holds, moves or leaves out the visit to a site on a day.
	WishFor struct {
		Date Date
		Wish
	}
	// DropWish leaves the visit to the planner again.
	DropWish struct {
		Date Date
		Site SiteID
		Feed FeedID
	}
	// SendOut sends a checked day out. Whoever calls it has checked the plan; what is decided here is that the
	// day is not out already and that no job on it is out with another day.
	SendOut struct{ SentOut }
	// Amend changes routes of a day that is out.
	Amend struct {
		Date Date
		Amended
	}
	// TakeBack takes a day back; jobs not yet done stand down.
	TakeBack struct {
		Date Date
		Why  string
	}
	// EchoDispatch writes a sent-out day on its jobs; repeating it changes nothing.
	EchoDispatch struct {
		Day  EventID
		Date Date
		Crew CrewID
		JobRef
	}
	// EchoStandDown takes a day that is not out any more off a job.
	EchoStandDown struct {
		Date Date
		JobRef
		Why string
	}
)

func decideDay(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case WishFor:
		if do.Date.IsZero() {
			return nil, refuse("say for which day")
		}
		if b.Sites[do.Site] == nil {
			return nil, refuse("no site %q", do.Site)
		}
		if do.Crew != "" && b.Crews[do.Crew] == nil {
			return nil, refuse("no crew %q", do.Crew)
		}
		if do.Out && do.Why == "" {
			return nil, refuse("say why the visit is left out")
		}
		return []Draft{{dayEntity(c, do.Date), Wished{do.Wish}}}, nil
	case DropWish:
		if do.Date.IsZero() {
			return nil, refuse("say for which day")
		}
		return []Draft{{dayEntity(c, do.Date), WishDropped{do.Site, do.Feed}}}, nil
	case SendOut:
		return decideSendOut(b, c, do)
	case Amend:
		if d := b.Day(c.Office, do.Date); d == nil || d.Sent == nil {
			return nil, refuse("%s is not sent out, so there is nothing to amend", do.Date)
		}
		if err := jobsExist(b, do.Routes); err != nil {
			return nil, err
		}
		return []Draft{{dayEntity(c, do.Date), do.Amended}}, nil
	case TakeBack:
		if d := b.Day(c.Office, do.Date); d == nil || d.Sent == nil {
			return nil, refuse("%s is not sent out, so there is nothing to take back", do.Date)
		}
		return []Draft{{dayEntity(c, do.Date), TakenBack{do.Why}}}, nil
	case EchoDispatch:
		return decideEcho(b, c, do)
	case EchoStandDown:
		a, job, err := findJob(b, do.JobRef)
		if err != nil || job.Dispatched == nil || job.Dispatched.Date != do.Date {
			return nil, err
		}
		return []Draft{{a.entity(), StoodDown{do.Job, do.Why}}}, nil
	}
	return nil, errUnknownCommand(c)
}

func decideSendOut(b *Book, c Command, do SendOut) ([]Draft, error) {
	if d := b.Day(c.Office, do.Date); d != nil && d.Sent != nil {
		return nil, refuse("%s is sent out already; take it back first or amend it", do.Date)
	}
	if do.Date.IsZero() {
		return nil, refuse("say which day is sent out")
	}
	var fault error
	seen := map[JobRef]bool{}
	do.Jobs(func(_ CrewID, j DayJob) {
		_, job, err := findJob(b, j.JobRef)
		switch {
		case fault != nil:
		case err != nil:
			fault = err
		case job.Dispatched != nil && job.Dispatched.Date != do.Date && !job.Dispatched.Date.Before(DateIn(c.Happened, c.Happened.Location())):
			fault = refuse("job %s is already out with %s", j.Job, job.Dispatched.Date)
		case !job.NeedsVisit():
			fault = refuse("job %s needs no visit any more: it is %s", j.Job, job.Stage)
		case seen[j.JobRef]:
			fault = refuse("job %s is on this day twice", j.Job)
		}
		seen[j.JobRef] = true
	})
	if fault != nil {
		return nil, fault
	}
	return []Draft{{dayEntity(c, do.Date), do.SentOut}}, nil
}

func jobsExist(b *Book, routes []DayRoute) error {
	var fault error
	(&SentOut{Routes: routes}).Jobs(func(_ CrewID, j DayJob) {
		if _, _, err := findJob(b, j.JobRef); fault == nil {
			fault = err
		}
	})
	return fault
}

// decideEcho writes on a job what its day says, and nothing when the day says so no more: an echo may come late.
func decideEcho(b *Book, c Command, do EchoDispatch) ([]Draft, error) {
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	if d := b.Day(c.Office, do.Date); d == nil || d.Sent == nil || d.SentBy != do.Day || !d.Sent.holds(do.JobRef, do.Crew) {
		return nil, nil
	}
	echoed := job.LastOut != nil && job.LastOut.Day == do.Day && job.LastOut.Crew == do.Crew && !job.StoodDown
	if echoed || !job.NeedsVisit() {
		return nil, nil
	}
	return []Draft{{a.entity(), Dispatched{do.Job, do.Date, do.Crew, do.Day}}}, nil
}

func dayEntity(c Command, date Date) Entity { return Entity{c.Office, KindDay, date.String()} }
