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

// The events of a site about what others bring.
type (
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
	declare[Booked](v, KindSite, "booked")
	declare[BookingWithdrawn](v, KindSite, "booking-withdrawn")
}

// of reports whether it speaks of a booking.
func (w BookingWithdrawn) of(b Booking) bool {
	return b.What == w.What && b.Feed == w.Feed && b.From.Equal(w.From) && b.To.Equal(w.To)
}

// Commands about bookings.
type (
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
