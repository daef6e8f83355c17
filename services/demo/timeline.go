package demo

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"slices"
	"time"

	"valveround/events"
)

// Days before today on which the firm entered its registry and took in lists; history lies between the first list and today.
const (
	registryAgo   = 112
	firstListAgo  = 63
	secondListAgo = 16
)

// timeline collects commands with the instant at which each happened.
type timeline struct {
	o        Options
	loc      *time.Location
	commands []events.Command
	desk     events.PersonID
	clock    time.Time // of the registry and of lists, which go row by row
}

func (t *timeline) add(at time.Time, actor events.PersonID, do any) events.CommandID {
	var seed [16]byte
	binary.BigEndian.PutUint64(seed[:], t.o.Seed)
	binary.BigEndian.PutUint64(seed[8:], uint64(len(t.commands)))
	sum := sha256.Sum256(append([]byte("demo command "), seed[:]...))
	id := events.CommandID(sum[:16])
	t.commands = append(t.commands, events.Command{ID: id, Actor: actor, Office: Office, Happened: at, Do: do})
	return id
}

// tick adds the next of many commands from the desk, a quarter of a second after the one before.
func (t *timeline) tick(do any) {
	t.clock = t.clock.Add(250 * time.Millisecond)
	t.add(t.clock, t.desk, do)
}

func (t *timeline) at(day events.Date, hour int) time.Time {
	return day.In(t.loc).Add(time.Duration(hour) * time.Hour)
}

// office is an instant of desk work on a day, or on the Monday after a weekend, always before today and after what it follows.
func (t *timeline) office(day events.Date, hour int, after time.Time) time.Time {
	for _, shift := range []int{0, 1, 2} {
		if on := day.AddDays(shift); on.Weekday() != time.Saturday && on.Weekday() != time.Sunday && on.Before(t.o.Today) {
			day = on
			break
		}
	}
	if !day.Before(t.o.Today) {
		day = t.o.Today.AddDays(-1)
	}
	at := t.at(day, hour)
	if !at.After(after) {
		at = after.Add(40 * time.Minute)
	}
	return at
}

// inOrder gives the commands as they happened.
func (t *timeline) inOrder() []events.Command {
	slices.SortStableFunc(t.commands, func(a, b events.Command) int { return a.Happened.Compare(b.Happened) })
	return t.commands
}

// registry enters everything that the firm knows.
func (m *making) registry() {
	t := &m.timeline
	t.clock = t.at(t.o.Today.AddDays(-registryAgo), 8)
	for _, p := range m.purveyors {
		t.tick(events.Put[events.PurveyorFacts]{ID: string(p.id), Facts: p.facts})
	}
	for _, c := range m.crews {
		for _, p := range c.people {
			t.tick(events.Put[events.PersonFacts]{ID: string(p.id), Facts: p.facts})
		}
		for _, g := range c.gauges {
			t.tick(events.Put[events.GaugeFacts]{ID: string(g.id), Facts: g.facts})
		}
	}
	for _, c := range m.crews {
		t.tick(events.Put[events.CrewFacts]{ID: string(c.id), Facts: c.facts})
	}
	for _, c := range m.customers {
		t.tick(events.Put[events.CustomerFacts]{ID: string(c.id), Facts: c.facts})
	}
	for _, s := range m.sites {
		t.tick(events.Put[events.SiteFacts]{ID: string(s.id), Facts: s.facts})
	}
	for _, s := range m.sites {
		for _, f := range s.feeds {
			t.tick(events.Put[events.FeedFacts]{ID: string(f.id), Facts: f.facts})
		}
	}
	for _, s := range m.sites {
		for _, u := range s.units {
			t.tick(events.Put[events.AssemblyFacts]{ID: string(u.id), Facts: u.facts})
		}
	}
	m.shelf()
}

// shelf puts repair kits in the shop and on trucks: three for the story, and some that fit what the county has most of.
func (m *making) shelf() {
	story := m.sites[0].units[0]
	for _, place := range story.facts.Type.Components() {
		m.timeline.tick(events.Put[events.KitFacts]{ID: m.kitID(), Facts: kitFor(story, place, "shop")})
	}
	d := newDice(m.o.Seed, "shelf")
	for range m.o.share(30) {
		u := pick(d, pick(d, m.sites).units)
		places := u.facts.Type.Components()
		if len(places) == 0 || !u.facts.Type.Testable() {
			continue
		}
		where := "shop"
		if d.chance(0.4) {
			where = string(pick(d, m.crews).id)
		}
		m.timeline.tick(events.Put[events.KitFacts]{ID: m.kitID(), Facts: kitFor(u, pick(d, places), where)})
	}
}

func (m *making) kitID() string {
	m.kits++
	return fmt.Sprintf("kit-%05d", m.kits)
}

func kitFor(u *unit, at events.Place, where string) events.KitFacts {
	facts := events.KitFacts{Code: KitCode(u.facts, at.Part, at.Component), Maker: u.facts.Maker, Model: u.facts.Model, Size: u.facts.Size, Component: string(at.Component), Where: where}
	if at.Part == events.BypassPart && u.facts.Bypass != nil {
		facts.Model, facts.Size = u.facts.Bypass.Model, u.facts.Bypass.Size
	}
	return facts
}

// lists opens the jobs: two lists of each purveyor.
func (m *making) lists() {
	d := newDice(m.o.Seed, "lists")
	for second, ago := range []int{firstListAgo, secondListAgo} {
		asOf := m.o.Today.AddDays(-ago)
		m.timeline.clock = m.timeline.at(asOf, 10)
		for _, p := range m.purveyors {
			name := fmt.Sprintf("%s-due-%s.csv", p.id, asOf)
			row := 4
			for _, s := range m.sites {
				for _, u := range s.units {
					if u.facts.Purveyor != p.id || u.role == nil || u.role.part == isUnlisted || u.role.second != (second == 1) {
						continue
					}
					row++
					m.timeline.tick(events.ListDue{Assembly: u.id, NewJob: u.job().Job, Due: u.role.due, AsOf: asOf,
						List: fmt.Sprintf("%s row %d", name, row), Standing: standingOf(u.role)})
					if u.role.standing == events.Ask {
						m.timeline.tick(events.QuestionJob{JobRef: u.job(), Words: pick(d, []string{
							"New tenant: do they still want us?", "Owner used another firm last year: ask.", "Listed under a name we do not know."})})
					}
				}
			}
			sum := sha256.Sum256([]byte(fmt.Sprint(name, m.o.Seed)))
			m.timeline.tick(events.ReceiveList{Purveyor: p.id, ListReceived: events.ListReceived{File: name, SHA256: hex.EncodeToString(sum[:]),
				AsOf: asOf, Counts: map[string]int{"new": row - 4}}})
		}
	}
}

func standingOf(r *role) events.Standing {
	if r.standing == "" {
		return events.Ours
	}
	return r.standing
}

// past sends out the days of the past and lets the crews say what came of them.
func (m *making) past() {
	m.diary.each(m.o.Today.AddDays(-firstListAgo), func(day events.Date, routes []events.DayRoute, visits []*visit) {
		before := day.AddDays(-1)
		for before.Weekday() == time.Saturday || before.Weekday() == time.Sunday {
			before = before.AddDays(-1)
		}
		at := m.timeline.at(before, 15).Add(4 * time.Minute)
		id := m.timeline.add(at, m.timeline.desk, events.SendOut{SentOut: events.SentOut{Date: day, Routes: routes}})
		sent := events.EventID(id.String() + "-0")
		for _, v := range visits {
			m.timeline.add(at, m.timeline.desk, events.EchoDispatch{Day: sent, Date: day, Crew: m.crews[v.crew].id, JobRef: v.unit.job()})
		}
		for _, v := range visits {
			m.outcome(v)
		}
	})
}

// ahead records what is agreed, told and known about the coming days.
func (m *making) ahead() {
	d, t, today := newDice(m.o.Seed, "ahead"), &m.timeline, m.o.Today
	agreed := m.o.share(6)
	for _, s := range m.sites {
		owed := slices.ContainsFunc(s.units, func(u *unit) bool { return u.role != nil && u.role.part == isDue })
		if !owed || s.facts.NoticeDays == 0 {
			continue
		}
		if d.chance(0.75) {
			given := today.AddDays(-min(s.facts.NoticeDays+d.between(1, 4), secondListAgo-2))
			t.add(t.at(given, 11), t.desk, events.GiveNotice{Site: s.id, Notice: events.Notice{Given: given, How: pick(d, []string{"telephone", "letter", "a note at the door"})}})
		}
		if agreed > 0 && (s.use.name == "hospital" || s.use.name == "industrial" || s.use.name == "school") {
			agreed--
			from := t.at(weekday(today.AddDays(d.between(2, 6))), 6)
			t.add(t.at(today.AddDays(-1), 14), t.desk, events.AgreeTime{Site: s.id, AgreedTime: events.AgreedTime{From: from, To: from.Add(4 * time.Hour), With: s.facts.Contacts[1].Person}})
		}
	}
	for _, c := range m.crews {
		for _, g := range c.gauges {
			if g.dropped != "" {
				t.add(t.at(today.AddDays(-3), 13), c.people[0].id, events.DropGauge{Gauge: g.id, Why: g.dropped})
			}
		}
	}
	if n := len(m.crews); n >= 4 {
		t.add(t.at(today.AddDays(-2), 9), t.desk, events.SetCrewOff{Crew: m.crews[3].id, CrewOff: events.CrewOff{Date: weekday(today.AddDays(3)), Why: "training course"}})
	}
	for _, s := range m.sites {
		for _, u := range s.units {
			if u.role != nil && u.role.part == isGone {
				t.add(t.at(today.AddDays(-5), 15), t.desk, events.Withdraw{JobRef: u.job(), Why: "the owner has taken another firm"})
			}
		}
	}
}

func weekday(d events.Date) events.Date {
	for d.Weekday() == time.Saturday || d.Weekday() == time.Sunday {
		d = d.AddDays(1)
	}
	return d
}
