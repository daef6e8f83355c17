package demo

import (
	"fmt"
	"strings"

	"valveround/events"
)

type customer struct {
	id    events.CustomerID
	facts events.CustomerFacts
	calls events.PersonID // who answers the telephone
}

// ledger of customers, each known by a key.
type ledger struct {
	dice
	o      Options
	people *register
	list   []customer
	known  map[string]int
	held   bool // one is on hold
}

// makeCustomers says whose each site is, and gives the site its name and contacts: managers and chains hold many sites,
// others one.
func makeCustomers(o Options, sites []*site, towns []Town, people *register) []customer {
	l := &ledger{newDice(o.Seed, "customers"), o, people, nil, map[string]int{}, false}
	alarm := people.hire(events.PersonFacts{}).id
	for i, s := range sites {
		key, owner, name := l.ownerOf(s, i, towns[s.town].Name)
		c := l.find(key, owner)
		s.facts.Name, s.facts.Customer = name, c.id
		s.contacts(l.dice, people, c.calls, alarm)
	}
	return l.list
}

// find opens an account for a new key.
func (l *ledger) find(key, name string) customer {
	if i, ok := l.known[key]; ok {
		return l.list[i]
	}
	facts := l.consent(events.CustomerFacts{Name: name})
	switch n := len(l.list); {
	case n == 0: // the story's
		facts.Repair, facts.RepairLimitUSD = "yes", 0
	case n > 6 && !l.held && strings.HasPrefix(key, "own "):
		l.held, facts.OnHold = true, "invoices unpaid for more than 90 days"
	}
	l.known[key] = len(l.list)
	c := customer{events.CustomerID(fmt.Sprintf("k-%05d", len(l.list)+1)), facts, l.people.hire(events.PersonFacts{}).id}
	l.list = append(l.list, c)
	return c
}

func (l *ledger) consent(facts events.CustomerFacts) events.CustomerFacts {
	switch n := l.IntN(100); {
	case n < 40:
		facts.Repair = "yes"
	case n < 65:
		facts.Repair, facts.RepairLimitUSD = "yes", 250*l.between(2, 6)
	case n < 95:
		facts.Repair = "ask"
	default:
		facts.Repair = "no"
	}
	return facts
}

// ownerOf names the i-th site and its customer.
func (l *ledger) ownerOf(s *site, i int, town string) (key, owner, name string) {
	family, words, own := pick(l.dice, familyNames), pick(l.dice, placeWords), fmt.Sprint("own ", i)
	switch s.use.name {
	case "school":
		return "school " + town, town + " School District", fmt.Sprintf("%s School No. %d", town, 1+i%40)
	case "apartments", "office":
		n := l.IntN(max(1, l.o.Sites/150))
		manager := familyNames[n%len(familyNames)] + " Property Management" + ordinal(n/len(familyNames))
		return "manager " + manager, manager, words + map[string]string{"apartments": " Apartments", "office": " Offices"}[s.use.name]
	case "grounds":
		return "grounds " + town, town + " Parks", words + " Park"
	case "hospital":
		return "hospital", countyName + " Hospital Trust", town + " Hospital"
	case "campus":
		return "campus " + town, town + " College", town + " College"
	case "restaurant":
		if l.chance(0.25) {
			n := l.IntN(1 + l.o.Sites/200)
			chain := placeWords[n%len(placeWords)] + " Kitchens" + ordinal(n/len(placeWords))
			return "chain " + chain, chain, chain + ", " + town
		}
		return own, family + " Family Restaurants", words + " Restaurant"
	}
	name = family + " " + map[string]string{"shop": "Stores", "industrial": "Works", "clinic": "Clinic", "workshop": "Garage"}[s.use.name]
	return own, name, name
}

// ordinal tells apart what would else have one name.
func ordinal(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf(" %d", n+1)
}

// contacts by role; half of the sites have somebody of their own at the door.
func (s *site) contacts(d dice, people *register, owner, alarm events.PersonID) {
	door := owner
	if d.chance(0.5) {
		door = people.hire(events.PersonFacts{}).id
	}
	s.facts.Contacts = []events.Contact{{Person: door, Role: "lets in"}, {Person: door, Role: "may order shut-off"}, {Person: owner, Role: "may authorise repair"}}
	for _, f := range s.feeds {
		if f.facts.Fire {
			s.facts.Contacts = append(s.facts.Contacts, events.Contact{Person: alarm, Role: "alarm company"})
			if s.use.name == "hospital" || s.use.name == "industrial" {
				s.facts.Contacts = append(s.facts.Contacts, events.Contact{Person: door, Role: "fire pump hand"})
			}
			return
		}
	}
}
