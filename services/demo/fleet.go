package demo

import (
	"fmt"
	"time"

	"valveround/events"
)

// Office is the demo firm's only office.
const Office events.OfficeID = "demo"

// Fleet is a whole county: the commands that make it, in the order in which they happened, and beside them what is
// never in the log.
type Fleet struct {
	Options  Options
	Office   events.OfficeID
	Commands []events.Command
	// People by id: those of the crews and the desk, and the contacts of sites. Not in the log.
	People map[events.PersonID]Details
	// Secrets by site: gate codes. Not in the log.
	Secrets map[events.SiteID]Secret
	Towns   []Town
	Story   Story
	// IntendedAlarms is how many alarms the commands raise on purpose: a tester's verdict that the criteria dispute.
	IntendedAlarms int

	sites     []*site
	purveyors []purveyor
}

// Details are a person's name and telephone number.
type Details struct {
	Name  string `json:"name"`
	Phone string `json:"phone,omitempty"`
}

// Secret is what opens a site's gate.
type Secret struct {
	GateCode string `json:"gate_code,omitempty"`
}

// Story is one assembly to follow from a due list to a return visit: an RP that no list taken in has named yet, due in
// nine days, at a site that is open all day, needs no notice and lies near crews; its owner has a standing yes to repair and
// repair kits for it are in the shop.
type Story struct {
	Purveyor       events.PurveyorID
	PurveyorNumber string
	Site           events.SiteID
	Feed           events.FeedID
	Assembly       events.AssemblyID
	Due            events.Date
}

// making is a county under construction.
type making struct {
	dice
	o         Options
	towns     []Town
	purveyors []purveyor
	crews     []crew
	sites     []*site
	customers []customer
	customer  map[events.CustomerID]*customer
	people    register
	diary     *diary
	timeline  timeline
	kits      int
	again     int // reports that a later list did not know of
	disputes  int
	wanted    []wanted // where others must bring something
}

// Generate makes the county. It panics on options that make no sense; Validate says beforehand what is wrong.
func Generate(o Options) Fleet {
	if err := o.Validate(); err != nil {
		panic("demo: " + err.Error())
	}
	loc, err := time.LoadLocation(o.Zone)
	if err != nil {
		panic("demo: " + err.Error()) // validated above
	}
	m := &making{dice: newDice(o.Seed, "history"), o: o, people: register{d: newDice(o.Seed, "people")}}
	m.timeline = timeline{o: o, loc: loc, desk: m.people.hire(events.PersonFacts{}).id}
	m.towns, m.purveyors = makeTowns(o), makePurveyors(o)
	m.crews = makeCrews(o, m.towns, m.purveyors, &m.people)
	m.sites = makeSites(o, m.towns)
	m.customers = makeCustomers(o, m.sites, m.towns, &m.people)
	assign(o, m.sites, m.towns, m.purveyors)
	m.formFields()
	m.cast(loc)
	m.want()
	m.registry()
	m.lists()
	m.past()
	m.ahead()
	m.asked()
	return m.fleet()
}

// cast gives out the roles and from them the dates of the last passes.
func (m *making) cast(loc *time.Location) {
	story := m.sites[0].units[0]
	story.facts.Maker, story.facts.Model, story.facts.Serial, story.facts.SerialDoubt = makers[0].name, makers[0].model(events.RP, 8), "004711", ""
	if story.facts.PurveyorNumber == "" {
		story.facts.PurveyorNumber = m.purveyors[unionWater].number(0)
	}
	purveyors := map[events.PurveyorID]purveyor{}
	for _, p := range m.purveyors {
		purveyors[p.id] = p
	}
	m.customer = map[events.CustomerID]*customer{}
	for i := range m.customers {
		m.customer[m.customers[i].id] = &m.customers[i]
	}
	m.diary = newDiary(m.o, loc, m.crews, purveyors)
	var pool []*unit
	for _, s := range m.sites {
		for _, u := range s.units {
			if u != story && m.customer[s.facts.Customer].facts.OnHold == "" {
				pool = append(pool, u)
			}
		}
	}
	d := newDice(m.o.Seed, "roles")
	c := casting{d, m.o, shuffled(d, pool), m.sites, purveyors, m.customer, m.diary}
	c.cast()
	for _, s := range m.sites {
		for _, u := range s.units {
			u.facts.LastPassed = c.lastPassed(u)
		}
	}
}

func (m *making) fleet() Fleet {
	f := Fleet{Options: m.o, Office: Office, Commands: m.timeline.inOrder(), People: map[events.PersonID]Details{}, Secrets: map[events.SiteID]Secret{},
		Towns: m.towns, IntendedAlarms: m.disputes, sites: m.sites, purveyors: m.purveyors}
	for _, p := range m.people.list {
		f.People[p.id] = p.Details
	}
	for _, s := range m.sites {
		if s.code != "" {
			f.Secrets[s.id] = Secret{s.code}
		}
	}
	u := m.sites[0].units[0]
	f.Story = Story{u.facts.Purveyor, u.facts.PurveyorNumber, u.site.id, u.feed.id, u.id, u.role.due}
	return f
}

// Fold carries the commands out in memory, one after another, each recorded when it happened.
func (f Fleet) Fold() (*events.Book, error) {
	book := events.NewBook()
	for i, c := range f.Commands {
		batch, err := events.Prepare(book, c, c.Happened)
		if err != nil {
			return nil, fmt.Errorf("demo command %d of %d, %T at %s: %w", i+1, len(f.Commands), c.Do, c.Happened.Format(time.DateTime), err)
		}
		for _, a := range batch {
			a.Seq = book.Position() + 1
			if got := book.Apply(a.Record); !got.Accepted || got.Unknown {
				return nil, fmt.Errorf("demo command %d of %d, %T: the book did not take %s: %w", i+1, len(f.Commands), c.Do, a.Subject(), got.Err)
			}
		}
	}
	return book, nil
}
