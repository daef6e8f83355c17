package events

import (
	"slices"
	"strings"
	"time"
)

// Brought is what others must bring before a feed can be shut or worked on. Which it takes at a place is common practice, and
// for the purveyor, the site and local code to say.
type Brought string

// What others bring.
const (
	StreetValve  Brought = "street-valve"  // the purveyor works the street valve, which nobody else may
	AlarmCompany Brought = "alarm-company" // the alarm company has the line on test and answers
	Escort       Brought = "escort"        // someone of the site goes with the crew
	PumpOut      Brought = "pump-out"      // the pit or vault is pumped out and kept dry
)

// BroughtByOthers lists what others bring, in the order in which it is offered.
var BroughtByOthers = []Brought{StreetValve, AlarmCompany, Escort, PumpOut}

// WholeVisit reports whether it must last from the crew's arrival until it leaves. The rest must last while the feed is dry.
func (w Brought) WholeVisit() bool { return w == Escort || w == PumpOut }

// Need says that a site or feed cannot be worked on without something that others bring.
type Need struct {
	What Brought `json:"what"`
	Whom string  `json:"whom,omitempty"` // the desk or firm to book it with; names of people live apart
	// Phone is the desk's or firm's number; those of people live apart.
	Phone string `json:"phone,omitempty"`
}

// Booking is a time for which others said that they bring it.
type Booking struct {
	What Brought   `json:"what"`
	Feed FeedID    `json:"feed,omitempty"` // empty: every feed of the site
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	Whom string    `json:"whom,omitempty"` // the desk or firm that comes
	// Reference is what they want to hear when they are called about it: an order number.
	Reference string `json:"reference,omitempty"`
}

// BookingAnswer is what a desk or firm said when it was asked to come.
type BookingAnswer string

// Answers of those who were asked. Only the first is counted on.
const (
	AnswerBooked      BookingAnswer = "booked"       // they come, on a day and at a time
	AnswerLeftWord    BookingAnswer = "left-word"    // nobody to decide it; to be asked again
	AnswerWrongNumber BookingAnswer = "wrong-number" // the number on record reaches nobody who is meant
	AnswerRefused     BookingAnswer = "refused"      // they do not come
)

// BookingAnswers lists them in the order in which they are offered.
var BookingAnswers = []BookingAnswer{AnswerBooked, AnswerLeftWord, AnswerWrongNumber, AnswerRefused}

// BookingPlace is a site, or one feed of it, for which others are booked.
type BookingPlace struct {
	Site SiteID
	Feed FeedID // empty: every feed of the site
}

// The events of a site about what others bring.
type (
	// BookingAsked: others were asked to come, and this is what they said.
	BookingAsked struct {
		What   Brought       `json:"what"`
		Feed   FeedID        `json:"feed,omitempty"` // empty: for every feed of the site
		Answer BookingAnswer `json:"answer"`
		On     Date          `json:"on"`             // by the clocks of the site
		Whom   string        `json:"whom,omitempty"` // the desk or firm that was asked
		Words  string        `json:"words,omitempty"`
	}
	// Booked: others come at a time. Until it is over they are counted on, so that nothing is planned there without them.
	Booked struct{ Booking }
	// BookingWithdrawn: they do not come, or it was noted by mistake.
	BookingWithdrawn struct {
		What Brought   `json:"what"`
		Feed FeedID    `json:"feed,omitempty"` // as it was booked
		From time.Time `json:"from"`
		To   time.Time `json:"to"`
		Why  string    `json:"why"`
	}
)

func declareBooking(v *vocabulary) {
	declare[BookingAsked](v, KindSite, "booking-asked")
	declare[Booked](v, KindSite, "booked")
	declare[BookingWithdrawn](v, KindSite, "booking-withdrawn")
}

// of reports whether it speaks of a booking.
func (w BookingWithdrawn) of(b Booking) bool {
	return b.What == w.What && b.Feed == w.Feed && b.From.Equal(w.From) && b.To.Equal(w.To)
}

// LastAsked is the last time that others were asked to bring something for a feed; nil when they never were.
func (s *Site) LastAsked(what Brought, feed FeedID) *BookingAsked {
	for i := len(s.Asked) - 1; i >= 0; i-- {
		if x := &s.Asked[i]; x.What == what && (x.Feed == "" || feed == "" || x.Feed == feed) {
			return x
		}
	}
	return nil
}

// Commands about bookings.
type (
	// AskBooking records one call to a desk or firm, for all the places it was about. Where they come, it is booked.
	AskBooking struct {
		What      Brought
		Places    []BookingPlace
		Answer    BookingAnswer
		From, To  time.Time // when they come
		Whom      string
		Reference string // what they want to hear when they are called about it
		Words     string
	}
	// MakeBooking records that others come to a site.
	MakeBooking struct {
		Site SiteID
		Booking
	}
	// WithdrawBooking records that they do not come.
	WithdrawBooking struct {
		Site SiteID
		BookingWithdrawn
	}
)

func decideBooking(b *Book, do MakeBooking) ([]Draft, error) {
	s := b.Sites[do.Site]
	switch {
	case s == nil:
		return nil, refuse("no site %q", do.Site)
	case !slices.Contains(BroughtByOthers, do.What):
		return nil, refuse("%q is nothing that others bring", do.What)
	case !do.From.Before(do.To):
		return nil, refuse("what is booked must end after it begins")
	}
	if f := b.Feeds[do.Feed]; do.Feed != "" && (f == nil || f.Site != do.Site) {
		return nil, refuse("the feed %q is not one of the site's", do.Feed)
	}
	if slices.ContainsFunc(s.Booked, func(x Booking) bool {
		return x.What == do.What && x.Feed == do.Feed && x.From.Equal(do.From) && x.To.Equal(do.To)
	}) {
		return nil, refuse("that is booked already")
	}
	return []Draft{{s.entity(), Booked{do.Booking}}}, nil
}

func decideAskBooking(b *Book, c Command, do AskBooking) ([]Draft, error) {
	switch {
	case !slices.Contains(BookingAnswers, do.Answer):
		return nil, refuse("%q is no answer of those who were asked to come", do.Answer)
	case !slices.Contains(BroughtByOthers, do.What):
		return nil, refuse("%q is nothing that others bring", do.What)
	case len(do.Places) == 0:
		return nil, refuse("say which sites the call was about")
	case do.Answer == AnswerBooked && !do.From.Before(do.To):
		return nil, refuse("say from when to when they come; it must end after it begins")
	}
	var drafts []Draft
	for i, at := range do.Places {
		s := b.Sites[at.Site]
		if s == nil {
			return nil, refuse("no site %q", at.Site)
		}
		if slices.Contains(do.Places[:i], at) {
			return nil, refuse("%s is named twice", s.Name)
		}
		if f := b.Feeds[at.Feed]; at.Feed != "" && (f == nil || f.Site != at.Site) {
			return nil, refuse("the feed %q is not one of the site's", at.Feed)
		}
		loc, err := time.LoadLocation(s.Zone)
		if err != nil {
			return nil, refuse("site %s: its time zone %q is not known", s.Name, s.Zone)
		}
		drafts = append(drafts, Draft{s.entity(), BookingAsked{do.What, at.Feed, do.Answer, DateIn(c.Happened, loc), do.Whom, do.Words}})
		if do.Answer != AnswerBooked {
			continue
		}
		booked, err := decideBooking(b, MakeBooking{at.Site, Booking{do.What, at.Feed, do.From, do.To, do.Whom, do.Reference}})
		if err != nil {
			return nil, err
		}
		drafts = append(drafts, booked...)
	}
	return drafts, nil
}

func decideWithdrawBooking(b *Book, do WithdrawBooking) ([]Draft, error) {
	s := b.Sites[do.Site]
	switch {
	case s == nil:
		return nil, refuse("no site %q", do.Site)
	case strings.TrimSpace(do.Why) == "":
		return nil, refuse("say why the booking holds no more")
	case !slices.ContainsFunc(s.Booked, do.of):
		return nil, refuse("nothing of the kind is booked at %s", s.Name)
	}
	return []Draft{{s.entity(), do.BookingWithdrawn}}, nil
}
