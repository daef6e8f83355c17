package planner

import (
	"cmp"
	"slices"
	"strings"

	"valveround/events"
	"valveround/planner/hours"
	"valveround/planner/routing"
)

// team is a crew on the day: when it works and what it may do.
type team struct {
	*events.Crew
	span   hours.Span
	skills map[string]bool
}

// A need is what a visit asks of a crew, written so that it reads as the reason when it is missing.
func needTest(p events.PurveyorID) string     { return "test for " + string(p) }
func needGauge(p events.PurveyorID) string    { return "gauge for " + string(p) }
func needAnyGauge(p events.PurveyorID) string { return "gauge, also non-potable, for " + string(p) }
func needInside(p events.PurveyorID) string   { return "test in a permit vault for " + string(p) }
func needTruck(c events.CrewID) string        { return "truck " + string(c) }

const (
	needRepair = "repair"
	needMend   = "repair in a permit vault"
	needFire   = "fire"
	needTwo    = "2 people"
	needThree  = "3 people"
)

// teams lists the office's crews that work on the day, by letter and id, and those that do not with the reason.
func (c *clockwork) teams(b *events.Book, office events.OfficeID) (working []team, off map[events.CrewID]string, err error) {
	off = map[events.CrewID]string{}
	var crews []*events.Crew
	for _, crew := range b.Crews {
		if crew.Office == office {
			crews = append(crews, crew)
		}
	}
	slices.SortFunc(crews, func(a, b *events.Crew) int { return cmp.Or(cmp.Compare(a.Letter, b.Letter), cmp.Compare(a.ID, b.ID)) })
	for _, crew := range crews {
		if i := slices.IndexFunc(crew.Off, func(o events.CrewOff) bool { return o.Date == c.date }); i >= 0 {
			off[crew.ID] = cmp.Or(crew.Off[i].Why, "off")
			continue
		}
		span, ok, err := c.working(crew)
		if err != nil {
			return nil, nil, err
		}
		if !ok {
			off[crew.ID] = "not a working day"
			continue
		}
		if !crew.Home.IsSet() {
			off[crew.ID] = "its home has no position"
			continue
		}
		working = append(working, team{crew, span, skillsOf(b, crew, c.date)})
	}
	return working, off, nil
}

// skillsOf lists what a crew may do on a day: each certificate, registration, licence and gauge valid on that very day.
func skillsOf(b *events.Book, crew *events.Crew, on events.Date) map[string]bool {
	has := map[string]bool{needTruck(crew.ID): true, needTwo: len(crew.People) >= 2, needThree: len(crew.People) >= 3}
	for _, id := range crew.People {
		p := b.People[id]
		if p == nil {
			continue
		}
		has[needRepair] = has[needRepair] || p.Holds(events.RepairLicence, on)
		has[needFire] = has[needFire] || p.Holds(events.FireLicence, on)
		cleared := p.Holds(events.ConfinedSpaceEntry, on)
		has[needMend] = has[needMend] || cleared && p.Holds(events.RepairLicence, on)
		for _, purveyor := range b.Purveyors {
			if p.Holds(events.TesterCertificate, on) && (!purveyor.RegistrationRequired || p.RegisteredWith(purveyor.ID, on)) {
				has[needTest(purveyor.ID)] = true
				has[needInside(purveyor.ID)] = has[needInside(purveyor.ID)] || cleared
			}
		}
	}
	for _, id := range crew.Gauges {
		g := b.Gauges[id]
		if g == nil {
			continue
		}
		for _, purveyor := range b.Purveyors {
			if !g.ValidFor(purveyor, on) || purveyor.GaugeRegistrationRequired && !g.RegisteredFor(purveyor.ID) {
				continue
			}
			has[needAnyGauge(purveyor.ID)] = true
			has[needGauge(purveyor.ID)] = has[needGauge(purveyor.ID)] || g.Potable
		}
	}
	return has
}

// needsOf lists what a visit's jobs ask of a crew, sorted.
func (s Settings) needsOf(b *events.Book, jobs []Job) []string {
	needs := map[string]bool{}
	for _, j := range jobs {
		a := b.Assemblies[j.Assembly]
		inVault := a.Vault == events.PermitVault
		if inVault { // whoever goes in must be cleared to (29 CFR 1910.146): a cleared helper beside the tester is not enough
			needs[needInside(a.Purveyor)] = true
		} else {
			needs[needTest(a.Purveyor)] = true
		}
		if j.Work != InspectWork {
			if a.Service == events.Irrigation || a.Service == events.Process {
				needs[needAnyGauge(a.Purveyor)] = true
			} else {
				needs[needGauge(a.Purveyor)] = true
			}
		}
		if j.Work != InspectWork && b.Feeds[a.Feed].Fire {
			needs[needFire] = true
		}
		switch s.people(a, j.Work) {
		case 2:
			needs[needTwo] = true
		case 3:
			needs[needThree] = true
		}
		if j.Work != RepairWork {
			continue
		}
		if inVault {
			needs[needMend] = true
		} else {
			needs[needRepair] = true
		}
		for _, part := range a.Job(j.Job).Parts {
			if b.Crews[events.CrewID(part.Where)] != nil {
				needs[needTruck(events.CrewID(part.Where))] = true
			}
		}
	}
	var list []string
	for need := range needs {
		list = append(list, need)
	}
	slices.Sort(list)
	return list
}

// people is how many it takes: a permit vault needs an attendant who does nothing else, a large repair two pairs of hands.
func (s Settings) people(a *events.Assembly, w Work) int {
	n := 1
	if w == RepairWork && (a.Size.IsZero() || int(a.Size) >= s.TwoPeopleFromEighths) {
		n++
	}
	if a.Vault == events.PermitVault {
		n++
	}
	return n
}

// skillNumbers numbers needs for the engine.
type skillNumbers struct {
	ids   map[string]routing.SkillID
	names []string
}

func (n *skillNumbers) of(need string) routing.SkillID {
	if id, ok := n.ids[need]; ok {
		return id
	}
	id := routing.SkillID(len(n.names))
	n.ids[need] = id
	n.names = append(n.names, need)
	return id
}

// missingWords says what a crew lacks for a need.
func missingWords(b *events.Book, need string) string {
	name := func(prefix string) string {
		id := events.PurveyorID(strings.TrimPrefix(need, prefix))
		if p := b.Purveyors[id]; p != nil {
			return p.Name
		}
		return string(id)
	}
	switch {
	case strings.HasPrefix(need, "test for "):
		return "a tester with a valid certificate" + registeredWith(b, needTest(""), need) + " for " + name("test for ")
	case strings.HasPrefix(need, needInside("")):
		return "a tester with a valid certificate" + registeredWith(b, needInside(""), need) + " for " + name(needInside("")) + ", cleared for permit vaults"
	case strings.HasPrefix(need, "gauge for "):
		return "a potable gauge valid that day and accepted by " + name("gauge for ")
	case strings.HasPrefix(need, "gauge, also"):
		return "a gauge valid that day and accepted by " + name("gauge, also non-potable, for ")
	case strings.HasPrefix(need, "truck "):
		if c := b.Crews[events.CrewID(strings.TrimPrefix(need, "truck "))]; c != nil {
			return "the repair kit, which is on the truck of " + c.Name
		}
	case need == needRepair:
		return "a valid repair licence"
	case need == needFire:
		return "a valid fire licence"
	case need == needMend:
		return "a repairer with a valid licence, cleared for permit vaults"
	case need == needTwo:
		return "two people"
	case need == needThree:
		return "three people"
	}
	return need
}

func registeredWith(b *events.Book, prefix, need string) string {
	if p := b.Purveyors[events.PurveyorID(strings.TrimPrefix(need, prefix))]; p != nil && p.RegistrationRequired {
		return " and registration"
	}
	return ""
}
