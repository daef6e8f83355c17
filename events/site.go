package events

import (
	"slices"
	"time"

	"valveround/geo"
)

// PositionSource says how sure a position is.
type PositionSource string

// From best to worst. An approximate position is planned with a margin, a missing one not at all.
const (
	Surveyed     PositionSource = "surveyed"
	AddressPoint PositionSource = "address-point"
	StreetCentre PositionSource = "street"
	Approximate  PositionSource = "approximate"
	NoPosition   PositionSource = "missing"
)

// SiteFacts is what the office knows of a place where crews work.
type SiteFacts struct {
	Customer       CustomerID     `json:"customer,omitempty"`
	Name           string         `json:"name"`
	Use            string         `json:"use,omitempty"` // restaurant, hospital, school…
	Address        string         `json:"address,omitempty"`
	Account        string         `json:"account,omitempty"` // its number with the purveyor
	Parcel         string         `json:"parcel,omitempty"`  // county, block and lot
	Position       geo.Point      `json:"position"`
	PositionSource PositionSource `json:"position_source,omitempty"`
	Zone           string         `json:"zone"`             // IANA name; every window of the site is meant in it
	Region         string         `json:"region,omitempty"` // ISO 3166 code; whose public holidays "PH" means
	AccessHours    string         `json:"access_hours"`     // when the crew may be there, in opening-hours syntax
	NoticeDays     int            `json:"notice_days,omitempty"`
	LegsOneADay    bool           `json:"legs_one_a_day,omitempty"` // hospital: never two manifold legs on one day
	Needs          []Need         `json:"needs,omitempty"`          // what others must bring, whichever feed is worked on
	Access         string         `json:"access,omitempty"`         // where to report, which door; codes live apart
	Caution        string         `json:"caution,omitempty"`
	Contacts       []Contact      `json:"contacts,omitempty"`
}

// Contact is a person and what that person may do at the site. The name and number live apart from the log.
type Contact struct {
	Person PersonID `json:"person"`
	Role   string   `json:"role"` // lets in, may order shut-off, may authorise repair, alarm company, fire pump hand
}

// Site is the folded state of a site.
type Site struct {
	Office OfficeID `json:"office"`
	ID     SiteID   `json:"id"`
	SiteFacts
	Notice *Notice      `json:"notice,omitempty"` // the newest
	Agreed []AgreedTime `json:"agreed,omitempty"`
	Booked []Booking    `json:"booked,omitempty"` // what others bring, and when
	// Asked is what those said who were asked to bring something, oldest first.
	Asked  []BookingAsked `json:"asked,omitempty"`
	Vacant *Disuse        `json:"vacant,omitempty"` // it stands, or stood, empty
	Calls  []CallNoted    `json:"calls,omitempty"`
	Here   *Presence      `json:"here,omitempty"`  // the crew that is there now
	Gone   *Presence      `json:"gone,omitempty"`  // the crew that left last, and when
	Stays  []Stay         `json:"stays,omitempty"` // the newest, oldest first
	// Fix is the phone's reading that the position comes from; nil when it comes from elsewhere.
	Fix    *PositionRead `json:"fix,omitempty"`
	Photos []PhotoKept   `json:"photos,omitempty"`
	Left   []Presence    `json:"left,omitempty"` // when each crew left last
	// Corrections are notes on mistaken entries of its history.
	Corrections []Correction  `json:"corrections,omitempty"`
	Alarms      []RaisedAlarm `json:"alarms,omitempty"`
}

// Notice is a warning given to the people of a site that water will go off.
type Notice struct {
	Given Date   `json:"given"`
	For   Date   `json:"for,omitzero"` // the day it speaks of; unset: any later day
	How   string `json:"how,omitempty"`
}

// AgreedTime is a time agreed with the site, within which its feeds may be dry.
type AgreedTime struct {
	Feed FeedID    `json:"feed,omitempty"` // empty: every feed of the site
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	With PersonID  `json:"with,omitempty"`
}

// Presence is a crew at a site.
type Presence struct {
	Crew  CrewID    `json:"crew"`
	Since time.Time `json:"since"`
}

// Stay is how long a crew was at a site, from arriving to leaving.
type Stay struct {
	Crew CrewID    `json:"crew"`
	Day  Date      `json:"day"`
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// staysKept is how many stays of a site, and dry times of a feed, the book holds; all are in the log.
const staysKept = 24

// newest is a list with one more, and without the oldest beyond what is kept.
func newest[T any](list []T, more T) []T {
	list = append(slices.Clone(list), more)
	return list[max(0, len(list)-staysKept):]
}

// The events of a site.
type (
	// NoticeGiven: the site was told.
	NoticeGiven struct{ Notice }
	// TimeAgreed: the site said yes to a time.
	TimeAgreed struct{ AgreedTime }
	// Arrived: a crew is at the site.
	Arrived struct {
		Crew CrewID `json:"crew"`
		Day  Date   `json:"day"`
	}
	// Left: the crew has gone.
	Left struct {
		Crew CrewID `json:"crew"`
		Day  Date   `json:"day"`
	}
	// SiteNoAccess: the crew was there and could not get in.
	SiteNoAccess struct {
		Crew  CrewID `json:"crew"`
		Day   Date   `json:"day"`
		Words string `json:"words,omitempty"`
	}
	// SiteAlarm: something recorded about the site looks impossible; both stand.
	SiteAlarm struct {
		About EventID   `json:"about"`
		Words string    `json:"words"`
		Sort  AlarmSort `json:"sort,omitempty"`
	}
)

func declareSite(v *vocabulary) {
	declare[NoticeGiven](v, KindSite, "notice-given")
	declare[TimeAgreed](v, KindSite, "time-agreed")
	declare[Arrived](v, KindSite, "arrived")
	declare[Left](v, KindSite, "left")
	declare[SiteNoAccess](v, KindSite, "no-access")
	declare[SiteAlarm](v, KindSite, "alarm-raised")
}

func (s Site) fold(at stamp, event any) (Site, error) {
	switch e := event.(type) {
	case Registered[SiteFacts]:
		s.Office, s.ID, s.SiteFacts = at.Entity.Office, SiteID(at.Entity.ID), e.Facts
	case Corrected[SiteFacts]:
		if s.Fix != nil && (e.Facts.PositionSource != PhonePosition || e.Facts.Position != s.Fix.At) {
			s.Fix = nil
		}
		s.Office, s.ID, s.SiteFacts = at.Entity.Office, SiteID(at.Entity.ID), e.Facts
	case NoticeGiven:
		s.Notice = &e.Notice
	case TimeAgreed:
		s.Agreed = append(slices.Clone(s.Agreed), e.AgreedTime)
	case TimeWithdrawn:
		s.Agreed = slices.DeleteFunc(slices.Clone(s.Agreed), e.of)
	case BookingAsked:
		s.Asked = append(slices.Clone(s.Asked), e)
	case Booked:
		s.Booked = append(slices.Clone(s.Booked), e.Booking)
	case BookingWithdrawn:
		s.Booked = slices.DeleteFunc(slices.Clone(s.Booked), e.of)
	case SiteVacant:
		s.Vacant = e.noted()
	case CallNoted:
		s.Calls = append(slices.Clone(s.Calls), e)
	case Arrived:
		s = s.with(e.Crew, at)
	case Left:
		if here := s.Here; here != nil && here.Crew == e.Crew && here.Since.Before(at.Happened) {
			s.Stays = newest(s.Stays, Stay{e.Crew, e.Day, here.Since, at.Happened})
		}
		s = s.without(e.Crew, at)
	case SiteNoAccess:
		s = s.without(e.Crew, at)
	case SitePhoto:
		s.Photos = append(slices.Clone(s.Photos), PhotoKept{at.ID, at.Happened, e.Photo})
	case PositionRead:
		s = s.withFix(e)
	case SiteAlarm:
		s.Alarms = raise(s.Alarms, at, Alarm(e))
	case SiteAlarmSettled:
		s.Alarms = settle(s.Alarms, e.AlarmSettled)
	case SiteEntryCorrected:
		s.Corrections = append(slices.Clone(s.Corrections), e.Correction)
	default:
		return s, errNotMine(at, event)
	}
	return s, nil
}

// oneStay is within what time a crew that comes to where it is has said it twice; common practice.
const oneStay = 12 * time.Hour

// with notes that a crew is there. Word may come late: whoever came after it, or left again since, is not forgotten.
func (s Site) with(crew CrewID, at stamp) Site {
	left := s.LeftBy(crew)
	switch {
	case left != nil && at.Happened.Before(left.Since):
	case s.Here != nil && s.Here.Crew == crew && at.Happened.Sub(s.Here.Since).Abs() < oneStay: // a second phone of the crew
		if at.Happened.Before(s.Here.Since) {
			s.Here = &Presence{crew, at.Happened}
		}
	case s.Here != nil && at.Happened.Before(s.Here.Since):
	default:
		s.Here = &Presence{crew, at.Happened}
	}
	return s
}

// without notes that a crew has gone; another one stays, and so does the same one when it has come again since.
func (s Site) without(crew CrewID, at stamp) Site {
	gone := Presence{crew, at.Happened}
	if s.Here != nil && s.Here.Crew == crew && !at.Happened.Before(s.Here.Since) {
		s.Here = nil
	}
	if s.Gone == nil || !at.Happened.Before(s.Gone.Since) {
		s.Gone = &gone
	}
	s.Left = slices.Clone(s.Left)
	switch i := slices.IndexFunc(s.Left, func(p Presence) bool { return p.Crew == crew }); {
	case i < 0:
		s.Left = append(s.Left, gone)
	case !at.Happened.Before(s.Left[i].Since):
		s.Left[i] = gone
	}
	return s
}

// LeftBy is when a crew left last; nil when it never did.
func (s *Site) LeftBy(crew CrewID) *Presence {
	for i := range s.Left {
		if s.Left[i].Crew == crew {
			return &s.Left[i]
		}
	}
	return nil
}

// Commands about a site.
type (
	// GiveNotice records that the site was told.
	GiveNotice struct {
		Site SiteID
		Notice
	}
	// AgreeTime records a time agreed with the site.
	AgreeTime struct {
		Site SiteID
		AgreedTime
	}
	// Arrive records that a crew is at the site.
	Arrive struct {
		Site SiteID
		Crew CrewID
		Day  Date
	}
	// Leave records that the crew has gone.
	Leave struct {
		Site SiteID
		Crew CrewID
		Day  Date
	}
	// MeetNoAccess records that nobody let the crew in: the jobs go back to the office, none has failed.
	MeetNoAccess struct {
		Site  SiteID
		Crew  CrewID
		Day   Date
		Jobs  []JobRef
		Words string
	}
)

// JobRef names a job and the assembly it is filed under.
type JobRef struct {
	Assembly AssemblyID `json:"assembly"`
	Job      JobID      `json:"job"`
}

func decideSite(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case GiveNotice:
		if do.Given.IsZero() {
			return nil, refuse("say on which date notice was given")
		}
		return onSite(b, do.Site, NoticeGiven{do.Notice})
	case AgreeTime:
		if !do.From.Before(do.To) {
			return nil, refuse("the agreed time must end after it begins")
		}
		return onSite(b, do.Site, TimeAgreed{do.AgreedTime})
	case NoteCall:
		return decideCall(b, c, do)
	case WithdrawTime:
		return decideWithdrawTime(b, do)
	case MakeBooking:
		return decideBooking(b, do)
	case AskBooking:
		return decideAskBooking(b, c, do)
	case WithdrawBooking:
		return decideWithdrawBooking(b, do)
	case Arrive:
		return decideArrive(b, c, do)
	case Leave:
		return onSite(b, do.Site, Left{do.Crew, do.Day})
	case MeetNoAccess:
		return decideNoAccess(b, do)
	case ReadPosition:
		return decideFix(b, do)
	case SayVacant:
		return decideVacant(b, c, do)
	}
	return nil, errUnknownCommand(c)
}

func decideArrive(b *Book, c Command, do Arrive) ([]Draft, error) {
	drafts, err := onSite(b, do.Site, Arrived{do.Crew, do.Day})
	if err != nil {
		return nil, err
	}
	alarm := func(sort AlarmSort, words string) {
		drafts = append(drafts, Draft{drafts[0].Entity, SiteAlarm{About: eventID(c.ID, 0), Words: words, Sort: sort}})
	}
	if here := b.Sites[do.Site].Here; here != nil && here.Crew != do.Crew {
		alarm(AlarmTwoCrews, "another crew is recorded as being at this site")
	}
	if words := notSentHere(b, c, do); words != "" {
		alarm(AlarmTakenBack, words)
	}
	return drafts, nil
}

// notSentHere says that the day as it is now does not send the crew to the site, as a crew without signal cannot know;
// empty: it does, or no day speaks of the site at all.
func notSentHere(b *Book, c Command, do Arrive) string {
	d := b.Day(c.Office, do.Day)
	switch {
	case d == nil:
		return ""
	case d.Sent == nil && d.Taken != nil:
		return "the day had been taken back when word came that this crew is at the site"
	case d.Sent == nil:
		return ""
	}
	var others []CrewID
	for _, r := range d.Sent.Routes {
		if slices.ContainsFunc(r.Visits, func(v DayVisit) bool { return v.Site == do.Site }) {
			others = append(others, r.Crew)
		}
	}
	switch {
	case slices.Contains(others, do.Crew):
		return ""
	case len(others) > 0:
		return "this stop is with " + crewName(b, others[0]) + " now: it had been taken back from the crew that came"
	}
	return "this stop is on no route of the day any more"
}

func crewName(b *Book, id CrewID) string {
	if x := b.Crews[id]; x != nil && x.Name != "" {
		return x.Name
	}
	return "crew " + string(id)
}

func decideNoAccess(b *Book, do MeetNoAccess) ([]Draft, error) {
	drafts, err := onSite(b, do.Site, SiteNoAccess{do.Crew, do.Day, do.Words})
	if err != nil {
		return nil, err
	}
	for _, ref := range do.Jobs {
		a, _, err := findJob(b, ref)
		if err != nil {
			return nil, err
		}
		drafts = append(drafts, Draft{a.entity(), NoAccess{Job: ref.Job, Crew: do.Crew, Day: do.Day, Words: do.Words}})
	}
	return drafts, nil
}

func onSite(b *Book, id SiteID, event any) ([]Draft, error) {
	s := b.Sites[id]
	if s == nil {
		return nil, refuse("no site %q", id)
	}
	return []Draft{{s.entity(), event}}, nil
}

func (s *Site) entity() Entity { return Entity{s.Office, KindSite, string(s.ID)} }
