package planner

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// condition is something that others bring for work on a feed, and when they come around the day.
type condition struct {
	what   events.Brought
	whom   string // the desk or firm; empty: not said
	booked []hours.Span
	later  events.Date // the first day after this one for which it is booked, when it is not for this one; else unset
}

// conditions are what work on a feed waits for on a day: what its site and itself need, and what is booked for it and not over
// yet, for whoever was asked to come is counted on. What is for the time with the water off only is left out where none is.
func conditions(site *events.Site, feed *events.Feed, day hours.Span, dries bool) []condition {
	var list []condition
	add := func(what events.Brought, whom string) int {
		i := slices.IndexFunc(list, func(c condition) bool { return c.what == what })
		if i < 0 {
			i = len(list)
			list = append(list, condition{what: what})
		}
		if list[i].whom == "" {
			list[i].whom = whom
		}
		return i
	}
	for _, b := range site.Booked {
		if b.Feed != "" && b.Feed != feed.ID || !b.To.After(day.Open) || !dries && !b.What.WholeVisit() {
			continue
		}
		c := &list[add(b.What, b.Whom)]
		if b.From.Before(day.Close) {
			c.booked = hours.Union(c.booked, []hours.Span{{Open: b.From, Close: b.To}})
		} else if date := events.DateIn(b.From, day.Open.Location()); c.later.IsZero() || date.Before(c.later) {
			c.later = date
		}
	}
	for _, n := range NeedsOf(site, feed, dries) {
		add(n.What, n.Whom)
	}
	return list
}

// NeedsOf is what others must bring for work on a feed, which dries it or does not.
func NeedsOf(site *events.Site, feed *events.Feed, dries bool) []events.Need {
	var needs []events.Need
	for _, n := range slices.Concat(site.Needs, feed.Needs) {
		if dries || n.What.WholeVisit() {
			needs = append(needs, n)
		}
	}
	return needs
}

// dayIn is the collector's date at a site.
func (c *clockwork) dayIn(loc *time.Location) hours.Span {
	return hours.Span{Open: c.date.In(loc), Close: c.date.AddDays(1).In(loc)}
}

// bookingRule keeps a job off the day when something that others must bring is not booked for it.
func (c *collector) bookingRule(site *events.Site, feed *events.Feed, dries bool) (rule, reason, change string) {
	loc, err := c.clock.zone(site.Zone)
	if err != nil {
		return "", "", "" // said elsewhere
	}
	for _, x := range conditions(site, feed, c.clock.dayIn(loc), dries) {
		if len(x.booked) > 0 {
			continue
		}
		if !x.later.IsZero() {
			return "booked", fmt.Sprintf("%s, and that is booked for %s", broughtWords(x.what), x.later), "plan it on " + x.later.String() + ", or book it for another day too"
		}
		return "booking", fmt.Sprintf("%s, and nobody is booked for that day%s", broughtWords(x.what), askedWords(site.LastAsked(x.what, feed.ID))), "book " + bookWhom(x.what, x.whom) + " for the day"
	}
	return "", "", ""
}

// askedWords says what those said who were asked last and did not come.
func askedWords(asked *events.BookingAsked) string {
	if asked == nil {
		return ""
	}
	switch asked.Answer {
	case events.AnswerLeftWord:
		return ": word was left with them on " + asked.On.String()
	case events.AnswerWrongNumber:
		return ": the number that was called on " + asked.On.String() + " is wrong"
	case events.AnswerRefused:
		return ": they said no on " + asked.On.String()
	}
	return ""
}

// booked reports whether others come for a feed at a time that touches the day.
func (c *collector) booked(site *events.Site, feed events.FeedID) bool {
	loc, err := c.clock.zone(site.Zone)
	if err != nil {
		return false
	}
	day := c.clock.dayIn(loc)
	return slices.ContainsFunc(site.Booked, func(b events.Booking) bool {
		return (b.Feed == "" || b.Feed == feed) && b.From.Before(day.Close) && b.To.After(day.Open)
	})
}

// clears is what was in the way of a job that could not be tested, and who takes it out of the way when booked.
var clears = map[string]events.Brought{"shut-off-would-not-hold": events.StreetValve, "flooded": events.PumpOut}

// ClearedBy is what others bring that takes out of the way what stopped a job; false where nothing does.
func ClearedBy(j *events.Job) (events.Brought, bool) {
	if j.Stopped == nil || j.Stopped.Outcome != events.OutcomeCouldNotTest {
		return "", false
	}
	what, ok := clears[j.Stopped.Why]
	return what, ok
}

// wayBooked reports whether what stopped a job is taken out of the way by others who are booked, on the day or later.
func (c *collector) wayBooked(a *events.Assembly, j *events.Job) bool {
	site := c.b.Sites[a.Site]
	what, ok := ClearedBy(j)
	if site == nil || !ok {
		return false
	}
	loc, err := c.clock.zone(site.Zone)
	return err == nil && slices.ContainsFunc(site.Booked, func(b events.Booking) bool {
		return b.What == what && (b.Feed == "" || b.Feed == a.Feed) && b.To.After(c.clock.dayIn(loc).Open)
	})
}

// bookedFor is the first day for which everything is booked that work on a feed waits for and that is not booked for this day.
func (c *collector) bookedFor(site *events.Site, feed *events.Feed, dries bool) events.Date {
	var last events.Date
	if loc, err := c.clock.zone(site.Zone); err == nil {
		for _, x := range conditions(site, feed, c.clock.dayIn(loc), dries) {
			if len(x.booked) == 0 && last.Before(x.later) {
				last = x.later
			}
		}
	}
	return last
}

// broughtWords says what others bring, as a sentence without its end.
func broughtWords(w events.Brought) string {
	switch w {
	case events.StreetValve:
		return "only the purveyor works the street valve"
	case events.AlarmCompany:
		return "the alarm company must have the line on test"
	case events.Escort:
		return "someone of the site must go with the crew"
	case events.PumpOut:
		return "the pit must be pumped out first"
	}
	return "others must bring " + string(w)
}

// bookWhom says who is to be booked.
func bookWhom(w events.Brought, whom string) string {
	who := map[events.Brought]string{events.StreetValve: "the purveyor at the street valve", events.AlarmCompany: "the alarm company", events.Escort: "an escort", events.PumpOut: "the pump-out"}[w]
	if who == "" {
		who = string(w)
	}
	if whom != "" {
		who += " (" + whom + ")"
	}
	return who
}

// bookedNotes say of a visit who comes when, and for how long they are needed.
func (w *work) bookedNotes(p stop, zone *time.Location) []string {
	var notes []string
	for _, id := range p.distinctFeeds(w.r.Book) {
		feed := w.r.Book.Feeds[id]
		dries := slices.ContainsFunc(p.table.Feeds, func(f FeedTime) bool { return f.Feed == id })
		day := hours.Span{Open: w.r.Date.In(zone), Close: w.r.Date.AddDays(1).In(zone)}
		for _, c := range conditions(p.site, feed, day, dries) {
			where := ""
			if !c.what.WholeVisit() {
				where = " for " + feed.Name
			}
			who := bookWhom(c.what, c.whom)
			note := strings.ToUpper(who[:1]) + who[1:] + where + ": booked " + clockWords(c.booked, p.site.Zone)
			if !slices.Contains(notes, note) {
				notes = append(notes, note)
			}
		}
	}
	return notes
}

// bookedReason says when others come, where that narrows when a stop may begin.
func (p stop) bookedReason() string {
	var said []string
	for _, f := range p.table.Feeds {
		for _, c := range p.open.brought[f.Feed] {
			if words := bookWhom(c.what, c.whom) + " is booked " + clockWords(c.booked, p.site.Zone); !slices.Contains(said, words) {
				said = append(said, words)
			}
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "; " + strings.Join(said, "; ")
}

// distinctFeeds are the feeds of the stop's jobs, each once.
func (p stop) distinctFeeds(b *events.Book) []events.FeedID {
	var feeds []events.FeedID
	for _, id := range p.feeds(b) {
		if !slices.Contains(feeds, id) {
			feeds = append(feeds, id)
		}
	}
	return feeds
}
