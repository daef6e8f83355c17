package events

import (
	"slices"
	"time"
)

// FeedFacts is what one shutdown dries. Feeds of a site may hang together: in series, one fed from another, or
// in parallel, as the legs of a manifold. Feeds that hang together are never dry at the same time.
type FeedFacts struct {
	Site     SiteID `json:"site"`
	Name     string `json:"name"`
	FedFrom  FeedID `json:"fed_from,omitempty"` // the feed upstream of this one, which must be live while this is tested
	Manifold string `json:"manifold,omitempty"` // legs of one manifold share this word
	// ShutdownWindow is when the feed may be dry, in opening-hours syntax and the site's zone.
	ShutdownWindow string `json:"shutdown_window"`
	Fire           bool   `json:"fire,omitempty"`   // shutting it puts fire protection out of service
	Needs          []Need `json:"needs,omitempty"`  // what others must bring for it, beside what the site needs
	Season         string `json:"season,omitempty"` // when an irrigation feed holds water; empty: always
	// Pressurised is false for a drained feed, which cannot be tested until it is filled; nil: not known.
	Pressurised *bool `json:"pressurised,omitempty"`
}

// ServiceState is how a feed serves when the crew goes.
type ServiceState string

// States of service. A failed assembly may well be left in service while the clock runs; what is
// left is a fact of its own and never inferred from a verdict.
const (
	InService ServiceState = "in-service"
	Impaired  ServiceState = "impaired" // in service in part, or fire protection not whole
	Shut      ServiceState = "shut"
)

// ValveState is how one shut-off stands.
type ValveState string

// States of a shut-off.
const (
	ValveOpen   ValveState = "open"
	ValveShut   ValveState = "shut"
	ValvePartly ValveState = "partly"
)

// Valve is one shut-off and how it stands: "No. 1 shut-off", open.
type Valve struct {
	Name    string     `json:"name"`
	State   ValveState `json:"state"`
	Secured string     `json:"secured,omitempty"` // locked, chained, supervised; of a fire line's control valve
}

// Condition is how a feed was left: every shut-off, whether it serves, who was told and what restores it.
type Condition struct {
	Service     ServiceState `json:"service"`
	Valves      []Valve      `json:"valves,omitempty"`
	Told        []string     `json:"told,omitempty"` // by role, not by name
	OnTestUntil time.Time    `json:"on_test_until,omitzero"`
	Decides     string       `json:"decides,omitempty"`
	Restores    string       `json:"restores,omitempty"`
	// Confirmed is what was made sure of after a fire line was restored: main drain test, signals, tags.
	Confirmed []string `json:"confirmed,omitempty"`
	Words     string   `json:"words,omitempty"`
}

// Left reports whether the feed is not wholly open and in service: such a feed is never forgotten overnight.
func (c Condition) Left() bool {
	if c.Service != InService {
		return true
	}
	for _, v := range c.Valves {
		if v.State != ValveOpen {
			return true
		}
	}
	return false
}

// Feed is the folded state of a feed.
type Feed struct {
	Office OfficeID `json:"office"`
	ID     FeedID   `json:"id"`
	FeedFacts
	DrySince time.Time `json:"dry_since,omitzero"` // water is off now, since
	DryBy    CrewID    `json:"dry_by,omitempty"`
	Restored time.Time `json:"restored,omitzero"` // when water came on again last
	// PressurisedAt is when it was last said whether it holds water. A season that has ended since makes a filled feed unknown.
	PressurisedAt time.Time  `json:"pressurised_at,omitzero"`
	AsLeft        *Condition `json:"as_left,omitempty"` // the newest; nil: never recorded, taken as in service
	LeftAt        time.Time  `json:"left_at,omitzero"`
	LeftBy        CrewID     `json:"left_by,omitempty"`
	Dried         []DryTime  `json:"dried,omitempty"` // times the water was off and came on again: the newest, oldest first
	// Told are the newest calls about a fire line; OnTestUntil is until when its monitoring is on test, by them.
	Told        []Told    `json:"told,omitempty"`
	OnTestUntil time.Time `json:"on_test_until,omitzero"`
	// AsOf is when the newest word on whether it is dry and how it was left was true, ToldBy whose word that is. What comes
	// in later of an earlier moment is kept in the log and changes nothing here.
	AsOf   time.Time `json:"as_of,omitzero"`
	ToldBy CrewID    `json:"told_by,omitempty"`
	// Measures stand in for a fire line that is out of service long, by day, the newest last.
	Measures []MeasuresNoted `json:"measures,omitempty"`
	// OutOfUse is since when its water is not used, and from when it is again.
	OutOfUse *Disuse `json:"out_of_use,omitempty"`
	// Corrections are notes on mistaken entries of its history.
	Corrections []Correction  `json:"corrections,omitempty"`
	Alarms      []RaisedAlarm `json:"alarms,omitempty"`
}

// DryTime is how long a crew had a feed dry, from shutting it to water on again.
type DryTime struct {
	Crew CrewID    `json:"crew,omitempty"`
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// watered notes that water is on again after the feed was dry.
func (f Feed) watered(at stamp) Feed {
	if !f.DrySince.IsZero() && f.DrySince.Before(at.Happened) {
		f.Dried = newest(f.Dried, DryTime{f.DryBy, f.DrySince, at.Happened})
	}
	f.DrySince, f.DryBy = time.Time{}, ""
	return f
}

// OutOfService reports whether the feed was left shut, partly open or impaired.
func (f *Feed) OutOfService() bool { return f.AsLeft != nil && f.AsLeft.Left() }

// The events of a feed.
type (
	// ShutOff: the feed is dry.
	ShutOff struct {
		Crew CrewID `json:"crew"`
		By   string `json:"by,omitempty"` // when not the crew: the purveyor, at the street valve
	}
	// FeedRestored: water is on again.
	FeedRestored struct {
		Crew CrewID `json:"crew,omitempty"`
		By   string `json:"by,omitempty"` // when not a crew: who says so
	}
	// FeedAsLeft: how the crew left it.
	FeedAsLeft struct {
		Crew CrewID `json:"crew,omitempty"`
		Condition
	}
	// FeedAlarm: something recorded looks impossible; both stand.
	FeedAlarm struct {
		About EventID   `json:"about"`
		Words string    `json:"words"`
		Sort  AlarmSort `json:"sort,omitempty"`
	}
)

func declareFeed(v *vocabulary) {
	declare[ShutOff](v, KindFeed, "shut-off")
	declare[FeedRestored](v, KindFeed, "restored")
	declare[FeedAsLeft](v, KindFeed, "as-left")
	declare[FeedAlarm](v, KindFeed, "alarm-raised")
	declareFill(v)
}

func (f Feed) fold(at stamp, event any) (Feed, error) {
	switch e := event.(type) {
	case Registered[FeedFacts]:
		f = f.entered(at, e.Facts)
	case Corrected[FeedFacts]:
		f = f.entered(at, e.Facts)
	case ShutOff:
		f = f.told(at, e.Crew, func(f *Feed) {
			if f.DrySince.IsZero() || f.DryBy != e.Crew { // else a second phone of the crew says it
				f.DrySince, f.DryBy = at.Happened, e.Crew
			}
		})
	case FeedRestored:
		f = f.told(at, e.Crew, func(f *Feed) {
			*f = f.watered(at)
			f.Restored = at.Happened
			if f.OutOfService() {
				f.AsLeft, f.LeftAt, f.LeftBy = &Condition{Service: InService}, at.Happened, e.Crew
			}
		})
	case FeedAsLeft:
		f = f.told(at, e.Crew, func(f *Feed) {
			f.AsLeft, f.LeftAt, f.LeftBy = &e.Condition, at.Happened, e.Crew
			if e.Service == InService {
				*f = f.watered(at)
			}
			f.DrySince, f.DryBy = time.Time{}, ""
		})
	case PeopleTold:
		f = f.withTold(at, e)
	case MeasuresNoted:
		f = f.withMeasures(e)
	case FeedOutOfUse:
		f.OutOfUse = e.noted()
	case FeedFilled:
		f.Pressurised, f.PressurisedAt = new(true), at.Happened
	case FeedDrained:
		f.Pressurised, f.PressurisedAt = new(false), at.Happened
	case FeedAlarm:
		f.Alarms = raise(f.Alarms, at, Alarm(e))
	case FeedAlarmSettled:
		f.Alarms = settle(f.Alarms, e.AlarmSettled)
	case FeedEntryCorrected:
		f.Corrections = append(slices.Clone(f.Corrections), e.Correction)
	default:
		return f, errNotMine(at, event)
	}
	return f, nil
}

// entered takes facts on record. Whether it holds water is news only where it is said otherwise than before.
func (f Feed) entered(at stamp, facts FeedFacts) Feed {
	was, is := f.Pressurised, facts.Pressurised
	if was == nil || is == nil || *was != *is {
		f.PressurisedAt = at.Happened
	}
	if is == nil {
		f.PressurisedAt = time.Time{}
	}
	f.Office, f.ID, f.FeedFacts = at.Entity.Office, FeedID(at.Entity.ID), facts
	return f
}

// told changes how a feed stands, unless the word is of an earlier moment than what is known.
func (f Feed) told(at stamp, by CrewID, change func(*Feed)) Feed {
	if at.Happened.Before(f.AsOf) {
		return f
	}
	change(&f)
	f.AsOf, f.ToldBy = at.Happened, by
	return f
}

// Commands about a feed.
type (
	// ShutFeed records that water is off.
	ShutFeed struct {
		Feed FeedID
		Crew CrewID
		By   string // when not the crew: who shut it
	}
	// RestoreFeed records that water is on again.
	RestoreFeed struct {
		Feed FeedID
		Crew CrewID
		By   string
	}
	// LeaveFeed records how each shut-off was left.
	LeaveFeed struct {
		Feed FeedID
		Crew CrewID
		Condition
	}
)

func decideFeed(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case ShutFeed:
		return decideShut(b, c, do)
	case RestoreFeed:
		drafts, err := onFeed(b, do.Feed, FeedRestored{do.Crew, do.By})
		if err != nil {
			return nil, err
		}
		return append(drafts, toldLate(b, c, do.Feed, do.Crew, "the water came on")...), nil
	case LeaveFeed:
		return decideLeave(b, c, do)
	case Tell:
		return decideTell(b, do)
	case NoteMeasures:
		return decideMeasures(b, do)
	case FillFeed:
		return decideFill(b, do)
	case SayOutOfUse:
		return decideOutOfUse(b, c, do)
	}
	return nil, errUnknownCommand(c)
}

// decideShut never refuses a fact from the field, but raises an alarm when two feeds that hang together are dry at once.
func decideShut(b *Book, c Command, do ShutFeed) ([]Draft, error) {
	drafts, err := onFeed(b, do.Feed, ShutOff{do.Crew, do.By})
	if err != nil {
		return nil, err
	}
	if late := toldLate(b, c, do.Feed, do.Crew, "the water went off"); len(late) > 0 {
		return append(drafts, late...), nil
	}
	return append(drafts, dryTogether(b, c, do.Feed)...), nil
}

// toldLate is the alarm about word of a feed that comes in after another crew's word of a later moment.
func toldLate(b *Book, c Command, id FeedID, crew CrewID, what string) []Draft {
	f := b.Feeds[id]
	if crew == "" || f.ToldBy == "" || f.ToldBy == crew || !c.at().Before(f.AsOf) {
		return nil
	}
	return []Draft{{f.entity(), FeedAlarm{About: eventID(c.ID, 0),
		Words: "this came in after what " + crewName(b, f.ToldBy) + " recorded of a later moment: the later word stands, both are kept; " + what, Sort: AlarmLate}}}
}

// leftTwice is the alarm about a crew that said two things, within an hour, of how it left a feed: its phones disagree, or
// somebody thought again. A feed that one of them leaves shut is not to be forgotten.
func leftTwice(b *Book, c Command, do LeaveFeed) []Draft {
	f := b.Feeds[do.Feed]
	if f.AsLeft == nil || do.Crew == "" || f.LeftBy != do.Crew || f.AsLeft.Service == do.Service || !f.DrySince.IsZero() || f.ToldBy != do.Crew || !f.AsOf.Equal(f.LeftAt) ||
		f.Restored.Equal(f.LeftAt) || c.at().Sub(f.LeftAt).Abs() >= time.Hour {
		return nil
	}
	return []Draft{{f.entity(), FeedAlarm{About: eventID(c.ID, 0), Sort: AlarmToldTwice,
		Words: "the crew said both that it left this feed " + plainService(f.AsLeft.Service) + " and that it left it " + plainService(do.Service) + ": the later word stands, both are kept"}}}
}

func plainService(s ServiceState) string {
	if s == InService {
		return "in service"
	}
	return string(s)
}

// decideLeave records how a feed was left, whatever the tests said.
func decideLeave(b *Book, c Command, do LeaveFeed) ([]Draft, error) {
	switch do.Service {
	case InService, Impaired, Shut:
	default:
		return nil, refuse("say how the feed was left: in service, impaired or shut (got %q)", do.Service)
	}
	drafts, err := onFeed(b, do.Feed, FeedAsLeft{do.Crew, do.Condition})
	if err != nil {
		return nil, err
	}
	drafts = append(drafts, leftTwice(b, c, do)...)
	if late := toldLate(b, c, do.Feed, do.Crew, "left "+plainService(do.Service)); len(late) > 0 || do.Service != Shut {
		return append(drafts, late...), nil
	}
	return append(drafts, dryTogether(b, c, do.Feed)...), nil
}

// dryTogether are the alarms about feeds that are dry while this one, which hangs together with them, is shut.
func dryTogether(b *Book, c Command, id FeedID) []Draft {
	var alarms []Draft
	for _, words := range DryTogether(b, id) {
		alarms = append(alarms, Draft{b.Feeds[id].entity(), FeedAlarm{About: eventID(c.ID, 0), Words: words, Sort: AlarmDry}})
	}
	return alarms
}

// DryTogether says of each feed that hangs together with this one and is dry, or was left shut, that both are shut now.
func DryTogether(b *Book, id FeedID) []string {
	var said []string
	for _, other := range b.HangingWith(id) {
		if !other.DrySince.IsZero() || other.AsLeft != nil && other.AsLeft.Service == Shut {
			said = append(said, "feed "+other.Name+", which hangs together with this one, is shut too: the water may be off altogether")
		}
	}
	return said
}

func onFeed(b *Book, id FeedID, event any) ([]Draft, error) {
	f := b.Feeds[id]
	if f == nil {
		return nil, refuse("no feed %q", id)
	}
	return []Draft{{f.entity(), event}}, nil
}

func (f *Feed) entity() Entity { return Entity{f.Office, KindFeed, string(f.ID)} }
