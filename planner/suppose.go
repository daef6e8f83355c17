package planner

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner/hours"
)

// Supposition is one thing that is taken to be otherwise than the book says: what a dispatcher asks "what if" about, and what
// the explanation of a job left out says would have to be so. Nothing of it is ever recorded.
type Supposition struct {
	What       Supposed          `json:"what"`
	Crew       events.CrewID     `json:"crew,omitempty"`
	Site       events.SiteID     `json:"site,omitempty"`
	Feed       events.FeedID     `json:"feed,omitempty"`
	Assembly   events.AssemblyID `json:"assembly,omitempty"`
	Job        events.JobID      `json:"job,omitempty"`
	Minutes    int               `json:"minutes,omitempty"`
	Hours      string            `json:"hours,omitempty"` // in opening-hours syntax
	Promised   events.Date       `json:"promised,omitzero"`
	From       time.Time         `json:"from,omitzero"`
	To         time.Time         `json:"to,omitzero"`
	At         geo.Point         `json:"at,omitzero"`
	CrewGets   []string          `json:"crew_gets,omitempty"` // needs, as crews.go writes them
	OtherFeeds []events.FeedID   `json:"other_feeds,omitempty"`
	Kind       events.JobKind    `json:"kind,omitempty"`
	Customer   events.CustomerID `json:"customer,omitempty"`
}

// Supposed is what kind of thing is supposed.
type Supposed string

// What can be supposed, with the fields that say more.
const (
	SupposeCrewOff    Supposed = "crew-off"    // Crew does not work that day
	SupposeCrewLonger Supposed = "crew-longer" // the day of Crew may be Minutes longer
	SupposeCrewHas    Supposed = "crew-has"    // Crew has CrewGets too
	SupposeAccess     Supposed = "access"      // crews may be at Site in Hours
	SupposeWindow     Supposed = "window"      // Feed may be dry in Hours
	SupposeWider      Supposed = "wider"       // all hours of Site are Minutes longer at both ends
	SupposeAgreed     Supposed = "agreed"      // Site agrees to From until To, for Feed or for all
	SupposeBooked     Supposed = "booked"      // others bring what Site and Feed want, from the day's beginning until noon of the next
	SupposePlaced     Supposed = "placed"      // Site lies At
	SupposeNotice     Supposed = "notice"      // Site takes the visit at such short notice
	SupposeOurs       Supposed = "ours"        // Job of Assembly is ours
	SupposeYes        Supposed = "yes"         // someone says yes to the repair
	SupposePartsHere  Supposed = "parts-here"  // every repair kit of Job is reserved, and in the shop
	SupposePartsLate  Supposed = "parts-late"  // the repair kits of Job come on Promised only
	SupposeKitMoved   Supposed = "kit-moved"   // the repair kits of Job are on the truck of Crew
	SupposeFilled     Supposed = "filled"      // Feed holds water
	SupposeRestored   Supposed = "restored"    // OtherFeeds are in service
	SupposeMeasures   Supposed = "measures"    // measures are noted for Feed to be out of service for Minutes
	SupposeCleared    Supposed = "cleared"     // what stopped Job is out of the way
	SupposeOffHold    Supposed = "off-hold"    // Customer is off hold
	SupposeReleased   Supposed = "released"    // nobody wishes anything about Site that day
	SupposeSetAside   Supposed = "set-aside"   // the dispatcher leaves Feed of Site out that day
	SupposeUsed       Supposed = "used-again"  // what Job must be done before is used again on the day after
	SupposeStoodDown  Supposed = "stood-down"  // Job is not out with another day
	SupposeNewJob     Supposed = "new-job"     // Assembly has a job Kind, due that day
)

// Suppose is a copy of the book in which all the suppositions hold on a date, as far as an office plans it.
func Suppose(b *events.Book, office events.OfficeID, date events.Date, list ...Supposition) (*events.Book, error) {
	s := scratch{Book: b.Snapshot(), office: office, date: date}
	for _, x := range list {
		if err := s.suppose(x); err != nil {
			return nil, err
		}
	}
	return s.Book, nil
}

// scratch is a book to suppose things in, and to put back afterwards. Entities are replaced, never changed.
type scratch struct {
	*events.Book
	office events.OfficeID
	date   events.Date
	undo   []func()
	feeds  map[events.SiteID][]*events.Feed // of each site, to be looked up by id; nil: not known, search the book
}

// back takes back what was supposed since a mark.
func (s *scratch) back(to int) {
	for len(s.undo) > to {
		s.undo[len(s.undo)-1]()
		s.undo = s.undo[:len(s.undo)-1]
	}
}

func put[K comparable, V any](s *scratch, m map[K]*V, key K, v V) {
	old, had := m[key]
	s.undo = append(s.undo, func() {
		if had {
			m[key] = old
		} else {
			delete(m, key)
		}
	})
	m[key] = &v
}

func (s *scratch) suppose(x Supposition) error {
	switch x.What {
	case SupposeCrewOff, SupposeCrewLonger, SupposeCrewHas:
		return s.supposeCrew(x)
	case SupposeAccess, SupposeWindow, SupposeWider, SupposeAgreed, SupposePlaced, SupposeNotice, SupposeBooked:
		return s.supposeHours(x)
	case SupposeOurs, SupposeYes, SupposePartsHere, SupposePartsLate, SupposeKitMoved, SupposeCleared, SupposeUsed, SupposeStoodDown, SupposeNewJob:
		return s.supposeJob(x)
	case SupposeFilled, SupposeRestored, SupposeMeasures:
		return s.supposeFeeds(x)
	case SupposeOffHold:
		c := s.Customers[x.Customer]
		if c == nil {
			return fmt.Errorf("suppose %s: there is no customer %q", x.What, x.Customer)
		}
		free := *c
		free.OnHold = ""
		put(s, s.Customers, c.ID, free)
	case SupposeSetAside:
		day := events.Day{Office: s.office, Date: s.date}
		if known := s.Day(s.office, s.date); known != nil {
			day = *known
		}
		day.Wishes = append(slices.Clone(day.Wishes), events.Wish{Site: x.Site, Feed: x.Feed, Out: true, Why: "supposed"})
		put(s, s.Days, events.Entity{Office: s.office, Kind: events.KindDay, ID: s.date.String()}, day)
	case SupposeReleased:
		if day := s.Day(s.office, s.date); day != nil {
			free := *day
			free.Wishes = slices.DeleteFunc(slices.Clone(day.Wishes), func(w events.Wish) bool { return w.Site == x.Site })
			put(s, s.Days, events.Entity{Office: s.office, Kind: events.KindDay, ID: s.date.String()}, free)
		}
	default:
		return fmt.Errorf("suppose %q: nothing of the kind can be supposed", x.What)
	}
	return nil
}

func (s *scratch) supposeCrew(x Supposition) error {
	known := s.Crews[x.Crew]
	if known == nil {
		return fmt.Errorf("suppose %s: there is no crew %q", x.What, x.Crew)
	}
	crew := *known
	switch x.What {
	case SupposeCrewOff:
		crew.Off = append(slices.Clone(crew.Off), events.CrewOff{Date: s.date, Why: "supposed off"})
	case SupposeCrewLonger:
		crew.OvertimeMinutes += x.Minutes
	case SupposeCrewHas:
		s.equip(&crew, x.CrewGets)
	}
	put(s, s.Crews, crew.ID, crew)
	return nil
}

// equip gives a crew what it lacks: one more person with the papers, more people while they are too few, one more gauge.
func (s *scratch) equip(crew *events.Crew, needs []string) {
	helper := events.Person{ID: events.PersonID("supposed-" + string(crew.ID))}
	gauge := events.Gauge{ID: events.GaugeID("supposed-" + string(crew.ID)), GaugeFacts: events.GaugeFacts{CertifiedUntil: s.date.AddDays(365), Potable: true}}
	papers := map[string]events.CredentialKind{needRepair: events.RepairLicence, needFire: events.FireLicence}
	people, withPapers, withGauge := len(crew.People), false, false
	for _, need := range needs {
		holds := func(kind events.CredentialKind) {
			helper.Credentials, withPapers = append(helper.Credentials, events.Credential{Kind: kind, Until: s.date.AddDays(365)}), true
		}
		purveyor, isTest := strings.CutPrefix(need, needTest(""))
		inside, isInside := strings.CutPrefix(need, needInside(""))
		if isInside {
			purveyor = inside
		}
		if isInside || need == needMend {
			holds(events.ConfinedSpaceEntry)
		}
		switch kind, isPaper := papers[need]; {
		case isPaper:
			holds(kind)
		case need == needMend:
			holds(events.RepairLicence)
		case isTest || isInside:
			holds(events.TesterCertificate)
			helper.Registrations = append(helper.Registrations, events.Registration{Purveyor: events.PurveyorID(purveyor), Until: s.date.AddDays(365)})
		case need == needTwo:
			people = max(people, 2)
		case need == needThree:
			people = max(people, 3)
		}
		for _, prefix := range []string{needGauge(""), needAnyGauge("")} {
			if purveyor, ok := strings.CutPrefix(need, prefix); ok {
				gauge.RegisteredWith, withGauge = append(gauge.RegisteredWith, events.PurveyorID(purveyor)), true
			}
		}
	}
	crew.People, crew.Gauges = slices.Clone(crew.People), slices.Clone(crew.Gauges)
	if withPapers {
		put(s, s.People, helper.ID, helper)
		crew.People = append(crew.People, helper.ID)
	}
	for n := len(crew.People); n < people; n++ {
		another := events.Person{ID: events.PersonID(fmt.Sprintf("supposed-%s-%d", crew.ID, n))}
		put(s, s.People, another.ID, another)
		crew.People = append(crew.People, another.ID)
	}
	if withGauge {
		put(s, s.Gauges, gauge.ID, gauge)
		crew.Gauges = append(crew.Gauges, gauge.ID)
	}
}

func (s *scratch) supposeHours(x Supposition) error {
	if x.What == SupposeWindow {
		known := s.Feeds[x.Feed]
		if known == nil {
			return fmt.Errorf("suppose %s: there is no feed %q", x.What, x.Feed)
		}
		if _, err := hours.Parse(x.Hours); err != nil {
			return fmt.Errorf("suppose that %s may be dry %q: %w", known.Name, x.Hours, err)
		}
		feed := *known
		feed.ShutdownWindow = x.Hours
		put(s, s.Feeds, feed.ID, feed)
		return nil
	}
	known := s.Sites[x.Site]
	if known == nil {
		return fmt.Errorf("suppose %s: there is no site %q", x.What, x.Site)
	}
	site := *known
	switch x.What {
	case SupposeAccess:
		if _, err := hours.Parse(x.Hours); err != nil {
			return fmt.Errorf("suppose that crews may be at %s %q: %w", site.Name, x.Hours, err)
		}
		site.AccessHours = x.Hours
	case SupposeAgreed:
		if !x.From.Before(x.To) {
			return fmt.Errorf("suppose that %s agrees to a time: it ends before it begins", site.Name)
		}
		site.Agreed = append(slices.Clone(site.Agreed), events.AgreedTime{Feed: x.Feed, From: x.From, To: x.To})
	case SupposePlaced:
		site.Position, site.PositionSource = x.At, events.Approximate
	case SupposeNotice:
		site.Notice = &events.Notice{Given: s.date.AddDays(-site.NoticeDays)}
	case SupposeBooked:
		return s.supposeBooked(site, x.Feed)
	case SupposeWider:
		return s.widen(site, x.Minutes)
	}
	put(s, s.Sites, site.ID, site)
	return nil
}

// supposeBooked has others come who are wanted for a feed and not booked for the date: all day, and until noon of the next for
// work at night.
func (s *scratch) supposeBooked(site events.Site, id events.FeedID) error {
	feed := s.Feeds[id]
	loc, err := time.LoadLocation(site.Zone)
	if feed == nil || err != nil {
		return fmt.Errorf("suppose that others come to %s: there is no feed %q, or no zone %q", site.Name, id, site.Zone)
	}
	day := hours.Span{Open: s.date.In(loc), Close: s.date.AddDays(1).In(loc)}
	for _, c := range conditions(&site, feed, day, true) {
		if len(c.booked) == 0 {
			site.Booked = append(slices.Clone(site.Booked), events.Booking{What: c.what, Feed: id, Whom: c.whom, From: day.Open, To: day.Close.Add(12 * time.Hour)})
		}
	}
	put(s, s.Sites, site.ID, site)
	return nil
}

// widen makes all hours of a site around the date longer at both ends, agreed times of the date too.
func (s *scratch) widen(site events.Site, by int) error {
	loc, err := time.LoadLocation(site.Zone)
	if err != nil {
		return fmt.Errorf("suppose wider hours of %s: %w", site.Name, err)
	}
	site.AccessHours = widerText(site.AccessHours, site.Region, s.date, loc, by)
	site.Agreed = slices.Clone(site.Agreed)
	for i, a := range site.Agreed {
		if a.To.After(s.date.In(loc)) && a.From.Before(s.date.AddDays(1).In(loc)) {
			site.Agreed[i].From, site.Agreed[i].To = a.From.Add(-minutes(by)), a.To.Add(minutes(by))
		}
	}
	feeds := s.feeds[site.ID]
	if s.feeds == nil {
		feeds = s.FeedsOf(site.ID)
	}
	for _, f := range feeds {
		feed := *s.Feeds[f.ID]
		feed.ShutdownWindow = widerText(feed.ShutdownWindow, site.Region, s.date, loc, by)
		put(s, s.Feeds, feed.ID, feed)
	}
	put(s, s.Sites, site.ID, site)
	return nil
}

// widerText writes the spans of hours around a date, some minutes longer at both ends, as hours again. Hours that cannot be
// read stay what they are.
func widerText(text, region string, date events.Date, loc *time.Location, by int) string {
	h, err := hours.ParseIn(text, region)
	if err != nil {
		return text
	}
	var days []string
	for _, span := range widened(h.Spans(loc, date.AddDays(-1).In(loc), date.AddDays(3).In(loc)), by) {
		from, to := span.Open.In(loc), span.Close.In(loc)
		for day := from; day.Before(to); day = events.DateIn(day, loc).AddDays(1).In(loc) {
			last := "24:00"
			if events.DateIn(to, loc) == events.DateIn(day, loc) {
				last = to.Format("15:04")
			}
			days = append(days, day.Format("2006 Jan 02 15:04")+"-"+last)
		}
	}
	if len(days) == 0 {
		return "off"
	}
	return strings.Join(days, ", ")
}

func (s *scratch) supposeFeeds(x Supposition) error {
	ids := x.OtherFeeds
	if x.What != SupposeRestored {
		ids = []events.FeedID{x.Feed}
	}
	for _, id := range ids {
		known := s.Feeds[id]
		if known == nil {
			return fmt.Errorf("suppose %s: there is no feed %q", x.What, id)
		}
		feed, filled := *known, true
		switch x.What {
		case SupposeFilled:
			feed.Pressurised, feed.PressurisedAt = &filled, time.Time{} // for this day
		case SupposeMeasures:
			others := slices.DeleteFunc(slices.Clone(feed.Measures), func(m events.MeasuresNoted) bool { return m.Day == s.date })
			feed.Measures = append(others, events.MeasuresNoted{Day: s.date, Minutes: x.Minutes, By: "impairment coordinator", Words: "supposed"})
		default:
			feed.AsLeft = &events.Condition{Service: events.InService}
		}
		put(s, s.Feeds, id, feed)
	}
	return nil
}

func (s *scratch) supposeJob(x Supposition) error {
	known := s.Assemblies[x.Assembly]
	if known == nil {
		return fmt.Errorf("suppose %s: there is no assembly %q", x.What, x.Assembly)
	}
	a := *known
	a.Jobs = slices.Clone(a.Jobs)
	if x.What == SupposeNewJob {
		id := x.Job
		if id == "" {
			id = events.JobID("supposed-" + string(a.ID))
		}
		a.Jobs = append(a.Jobs, events.Job{ID: id, Kind: x.Kind, Due: s.date, Standing: events.Ours, Stage: events.StageDue})
		put(s, s.Assemblies, a.ID, a)
		return nil
	}
	j := a.Job(x.Job)
	if j == nil {
		return fmt.Errorf("suppose %s: assembly %q has no job %q", x.What, x.Assembly, x.Job)
	}
	j.Parts = slices.Clone(j.Parts)
	switch x.What {
	case SupposeOurs:
		j.Standing = events.Ours
	case SupposeYes:
		j.Yes = &events.RepairYes{Basis: "supposed", On: s.date}
	case SupposeCleared:
		j.Stopped, j.Stage = nil, events.StageDue
		if j.Failure != nil {
			j.Stage = events.StageFailedRetest
		}
	case SupposeUsed:
		j.BeforeUse, j.Due = slices.Clone(j.BeforeUse), s.date
		for i := range j.BeforeUse {
			u := &j.BeforeUse[i]
			u.Back, u.By = s.date.AddDays(1), events.Deadline{Known: true, On: s.date, Rule: "supposed"}
		}
	case SupposeStoodDown:
		j.Dispatched = nil
	}
	for i := range j.Parts {
		p := &j.Parts[i]
		switch {
		case x.What == SupposePartsHere && p.Item == "":
			p.Item, p.Where = events.KitID("supposed-"+p.Code), "shop"
		case x.What == SupposePartsLate:
			p.Item, p.Received, p.Promised = "", "", x.Promised
		case x.What == SupposeKitMoved && s.Crews[events.CrewID(p.Where)] != nil:
			p.Where = string(x.Crew)
		}
	}
	put(s, s.Assemblies, a.ID, a)
	return nil
}
