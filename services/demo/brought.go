package demo

import (
	"slices"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// wanted is a place of the county where others must bring something: a feed, or its whole site.
type wanted struct {
	site *site
	feed *feed // nil: whichever feed is worked on
	need events.Need
}

// brings are kinds of places where others must bring something, in every 600 sites. Desks and firms are invented.
var brings = []struct {
	of600 int
	need  func(purveyor) events.Need
	whole bool // of the site, not of one feed
	at    func(*unit) bool
}{
	{6, func(p purveyor) events.Need {
		return events.Need{What: events.StreetValve, Whom: p.facts.Name + ", valve desk", Phone: "555-0181"}
	}, false, func(u *unit) bool {
		return !u.feed.facts.Fire && u.facts.Service != events.Irrigation && u.facts.Size >= events.InchSize(2, 0)
	}},
	{6, func(purveyor) events.Need {
		return events.Need{What: events.AlarmCompany, Whom: "Lanternwatch Alarms, account desk", Phone: "555-0162"}
	}, false, func(u *unit) bool { return u.feed.facts.Fire }},
	{4, func(purveyor) events.Need { return events.Need{What: events.Escort} }, true, func(u *unit) bool {
		return u.site.use.name == "school" || u.site.use.name == "industrial"
	}},
	{3, func(purveyor) events.Need {
		return events.Need{What: events.PumpOut, Whom: "Tarnside Pumping", Phone: "555-0117"}
	}, false, func(u *unit) bool { return u.facts.Vault != events.NoVault }},
}

// want says where others must bring something: at places where nothing but a test is due, and soon.
func (m *making) want() {
	d := newDice(m.o.Seed, "brought")
	taken := map[*site]bool{m.sites[0]: true} // the story's stays simple
	for _, kind := range brings {
		left := max(1, m.o.Sites*kind.of600/600)
		for _, s := range shuffled(d, m.sites) {
			i := slices.IndexFunc(s.units, func(u *unit) bool { return kind.at(u) && onlyDue(s, m.o.Today) })
			if left == 0 || taken[s] || i < 0 || m.customer[s.facts.Customer].facts.OnHold != "" {
				continue
			}
			left--
			taken[s] = true
			u := s.units[i]
			w := wanted{s, u.feed, kind.need(m.diary.purveyors[u.facts.Purveyor])}
			if kind.whole {
				w.feed = nil
				s.facts.Needs = append(s.facts.Needs, w.need)
			} else {
				u.feed.facts.Needs = append(u.feed.facts.Needs, w.need)
			}
			m.wanted = append(m.wanted, w)
		}
	}
}

// onlyDue reports whether all that is owed at a site is a test that is ours and due within three weeks.
func onlyDue(s *site, today events.Date) bool {
	due := false
	for _, u := range s.units {
		switch {
		case u.role == nil:
		case u.role.part != isDue || u.role.standing != events.Ours || u.role.due.Before(today.AddDays(2)) || today.AddDays(21).Before(u.role.due):
			return false
		default:
			due = true
		}
	}
	return due && s.facts.Position.IsSet()
}

// asked has the office call them: every second place is booked, of the others some have been asked in vain.
func (m *making) asked() {
	t := &m.timeline
	for i, w := range m.wanted {
		do := events.AskBooking{What: w.need.What, Places: []events.BookingPlace{{Site: w.site.id}}, Whom: w.need.Whom}
		window := w.site.facts.AccessHours
		if w.feed != nil {
			do.Places[0].Feed = w.feed.id
			window = w.feed.facts.ShutdownWindow
		}
		switch i % 4 {
		case 0, 2:
			open, ok := m.nextOpen(window, 1+i%5)
			if !ok {
				continue
			}
			do.Answer, do.From, do.To = events.AnswerBooked, open.Open, open.Close
		case 1:
			do.Answer, do.Words = events.AnswerLeftWord, "they call back"
		case 3:
			if i%8 != 3 {
				continue // nobody has asked yet
			}
			do.Answer, do.Words = events.AnswerRefused, "nobody free this week; ask again for the next"
		}
		t.add(t.office(m.o.Today.AddDays(-1), 14, t.at(m.o.Today.AddDays(-1), 13)).Add(time.Duration(i)*time.Minute), t.desk, do)
	}
}

// nextOpen is the first opening of hours some days ahead, at most five hours of it.
func (m *making) nextOpen(text string, ahead int) (hours.Span, bool) {
	h, err := hours.Parse(text)
	if err != nil {
		return hours.Span{}, false
	}
	from := m.o.Today.AddDays(ahead).In(m.timeline.loc)
	spans := h.Spans(m.timeline.loc, from, from.AddDate(0, 0, 10))
	if len(spans) == 0 {
		return hours.Span{}, false
	}
	first := spans[0]
	if longest := first.Open.Add(5 * time.Hour); longest.Before(first.Close) {
		first.Close = longest
	}
	return first, true
}
