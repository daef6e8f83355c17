package demo

import (
	"fmt"

	"valveround/events"
	"valveround/geo"
)

type person struct {
	id    events.PersonID
	facts events.PersonFacts
	Details
}

type gauge struct {
	id      events.GaugeID
	facts   events.GaugeFacts
	dropped string
}

type crew struct {
	id     events.CrewID
	facts  events.CrewFacts
	people []person // the first one signs the tests
	gauges []gauge  // the first one is valid today
}

// crewPattern is one of eight kinds of crew, repeated for larger firms.
type crewPattern struct {
	people       int
	hours        string
	overtime     int
	repair, fire bool
	confined     bool
	registered   []int // with these purveyors, besides those that ask for none
	testerDays   int   // the first tester's certificate is valid so many days more; zero: long
	secondTester int   // the second one's, likewise; -1: today is its last day
	gaugeDays    int
	spare        string // a second gauge: dropped, expired or non-potable
}

var crewPatterns = []crewPattern{
	{people: 1, hours: "Mo-Fr 06:00-15:30", overtime: 60, repair: true, fire: true, registered: []int{cityWater, valleyWater}},
	{people: 2, hours: "Mo-Fr 06:00-15:30", overtime: 60, repair: true, fire: true, confined: true, registered: []int{cityWater, valleyWater}, secondTester: -1, spare: "dropped"},
	{people: 1, hours: "Mo-Fr 04:00-12:30", overtime: 30, repair: true, registered: []int{cityWater}},
	{people: 1, hours: "Mo-Fr 06:30-15:30", overtime: 60, registered: []int{cityWater, valleyWater}, gaugeDays: 9},
	{people: 1, hours: "Tu-Sa 07:00-15:30", overtime: 0, repair: true, registered: []int{valleyWater}, spare: "non-potable"},
	{people: 3, hours: "Mo-Fr 06:00-15:30", overtime: 90, repair: true, fire: true, confined: true, registered: []int{cityWater, valleyWater}, spare: "expired"},
	{people: 1, hours: "Mo-Fr 10:30-19:30", overtime: 60, repair: true, fire: true, registered: []int{cityWater}, testerDays: 6},
	{people: 1, hours: "Mo-Th 05:30-16:00", overtime: 60, repair: true, confined: true, registered: []int{cityWater, valleyWater}},
}

// makeCrews hires the crews: letters A to Z, then AA.
func makeCrews(o Options, towns []Town, purveyors []purveyor, people *register) []crew {
	d := newDice(o.Seed, "crews")
	var crews []crew
	gauges := 0
	for i := range o.Crews {
		p := crewPatterns[i%len(crewPatterns)]
		c := crew{id: events.CrewID(fmt.Sprintf("c-%02d", i+1))}
		c.facts = events.CrewFacts{Letter: letter(i), Name: "Crew " + letter(i), Zone: o.Zone, Hours: p.hours, OvertimeMinutes: p.overtime,
			Home: crewHome(d, towns, i)}
		for n := range p.people {
			who := people.hire(p.credentials(d, o, n, purveyors))
			c.people = append(c.people, who)
			c.facts.People = append(c.facts.People, who.id)
		}
		for _, facts := range p.gaugesOf(d, o, purveyors) {
			gauges++
			facts.id = events.GaugeID(fmt.Sprintf("g-%03d", gauges))
			facts.facts.Serial = fmt.Sprintf("DG%04d", 1000+d.IntN(9000))
			c.gauges = append(c.gauges, facts)
			c.facts.Gauges = append(c.facts.Gauges, facts.id)
		}
		crews = append(crews, c)
	}
	return crews
}

func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + string(rune('A'+i%26))
}

func crewHome(d dice, towns []Town, i int) geo.Point {
	t := towns[0]
	if i%2 == 1 {
		t = towns[(1+i/2)%len(towns)]
	}
	return offset(t.Position, geo.Metres(d.NormFloat64()*1200), geo.Metres(d.NormFloat64()*1200))
}

func (p crewPattern) credentials(d dice, o Options, n int, purveyors []purveyor) events.PersonFacts {
	long := func() events.Date { return o.Today.AddDays(d.between(70, 1000)) }
	var f events.PersonFacts
	add := func(kind events.CredentialKind, until events.Date) {
		f.Credentials = append(f.Credentials, events.Credential{Kind: kind, Number: fmt.Sprintf("N%05d", d.IntN(100_000)), Until: until})
	}
	tester := long()
	switch {
	case n == 0 && p.testerDays > 0:
		tester = o.Today.AddDays(p.testerDays)
	case n == 1 && p.secondTester < 0:
		tester = o.Today
	}
	if n < 2 {
		add(events.TesterCertificate, tester)
	}
	if p.repair && n < 2 {
		add(events.RepairLicence, long())
	}
	if p.fire && n == 0 {
		add(events.FireLicence, long())
	}
	if p.confined {
		add(events.ConfinedSpaceEntry, long())
	}
	if n < 2 {
		for _, i := range p.registered {
			f.Registrations = append(f.Registrations, events.Registration{Purveyor: purveyors[i].id, Until: long()})
		}
	}
	return f
}

func (p crewPattern) gaugesOf(d dice, o Options, purveyors []purveyor) []gauge {
	var with []events.PurveyorID
	for _, i := range p.registered {
		with = append(with, purveyors[i].id)
	}
	good := events.GaugeFacts{CertifiedUntil: o.Today.AddDays(d.between(40, 340)), RegisteredWith: with, Potable: true}
	if p.gaugeDays > 0 {
		good.CertifiedUntil = o.Today.AddDays(p.gaugeDays)
	}
	list := []gauge{{facts: good}}
	spare := good
	switch p.spare {
	case "dropped":
		list = append(list, gauge{facts: spare, dropped: "fell from the tailgate; reads 0.3 psid with both hoses open"})
	case "expired":
		spare.CertifiedUntil = o.Today.AddDays(-11)
		list = append(list, gauge{facts: spare})
	case "non-potable":
		spare.Potable = false
		list = append(list, gauge{facts: spare})
	}
	return list
}

// may reports whether the crew's first tester and gauge may do the work on a day in the past.
func (c crew) may(u *unit, repair bool, p purveyor, on events.Date) bool {
	lead := events.Person{PersonFacts: c.people[0].facts}
	g := events.Gauge{GaugeFacts: c.gauges[0].facts}
	switch {
	case !lead.Holds(events.TesterCertificate, on) || !g.Valid(on):
		return false
	case p.facts.RegistrationRequired && !lead.RegisteredWith(p.id, on):
		return false
	case p.facts.GaugeRegistrationRequired && !g.RegisteredFor(p.id):
		return false
	case u.feed.facts.Fire && !lead.Holds(events.FireLicence, on):
		return false
	case repair && !lead.Holds(events.RepairLicence, on):
		return false
	case u.facts.Vault == events.PermitVault && (len(c.people) < 2 || !lead.Holds(events.ConfinedSpaceEntry, on)):
		return false
	case repair && u.facts.Size >= events.InchSize(6, 0) && len(c.people) < 2:
		return false
	}
	return true
}

// register keeps everybody who is known by id, names apart.
type register struct {
	d    dice
	list []person
}

func (r *register) hire(facts events.PersonFacts) person {
	p := person{id: events.PersonID(fmt.Sprintf("p-%04d", len(r.list)+1)), facts: facts}
	p.Details = Details{Name: pick(r.d, givenNames) + " " + pick(r.d, familyNames), Phone: r.phone()}
	r.list = append(r.list, p)
	return p
}

// phone numbers end in 555-0100 to 555-0199, which the North American Numbering Plan keeps for fiction (from memory).
func (r *register) phone() string { return fmt.Sprintf("555-01%02d", r.d.IntN(100)) }
