package crew

import (
	"slices"
	"strings"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// lacks says, before work starts, what is not valid on the day for this stop: certificates, registrations, licences and
// gauges. It stops nothing: what was done is recorded whatever it says, and the purveyor decides whether it counts.
func lacks(b *events.Book, people *words.People, crew *events.Crew, v events.DayVisit, on events.Date) []string {
	var list []string
	add := func(text string) {
		if text != "" && !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	for _, dj := range v.Jobs {
		a := b.Assemblies[dj.Assembly]
		if a == nil {
			continue
		}
		p := b.Purveyors[a.Purveyor]
		if p == nil {
			add("The purveyor of " + a.Type.Name() + " at " + words.SiteOf(b, a.Site).Name + " is not on record: ask whose rules hold.")
			continue
		}
		add(testerLack(b, people, crew, p, on))
		if dj.Work != string(planner.InspectWork) {
			add(gaugeLack(b, crew, p, a.Service != events.Irrigation && a.Service != events.Process, on))
		}
		if f := b.Feeds[a.Feed]; f != nil && f.Fire {
			add(credentialLack(b, people, crew, events.FireLicence, "fire licence", on))
		}
		if a.Vault == events.PermitVault {
			add(credentialLack(b, people, crew, events.ConfinedSpaceEntry, "clearance for permit vaults", on))
		}
		if dj.Work == string(planner.RepairWork) {
			add(credentialLack(b, people, crew, events.RepairLicence, "repair licence", on))
		}
	}
	return list
}

func testerLack(b *events.Book, people *words.People, crew *events.Crew, p *events.Purveyor, on events.Date) string {
	if text := credentialLack(b, people, crew, events.TesterCertificate, "tester certificate", on); text != "" {
		return text
	}
	if !p.RegistrationRequired {
		return ""
	}
	var lacking []string
	for _, id := range crew.People {
		person := b.People[id]
		if person == nil || !person.Holds(events.TesterCertificate, on) {
			continue
		}
		if person.RegisteredWith(p.ID, on) {
			return ""
		}
		lacking = append(lacking, people.Name(id)+registrationEnd(person, p.ID))
	}
	return "Not registered with " + p.Name + " today: " + strings.Join(lacking, "; ") + ". Call the office before testing; the purveyor decides whether the test counts."
}

func registrationEnd(person *events.Person, p events.PurveyorID) string {
	for _, r := range person.Registrations {
		if r.Purveyor == p {
			return ", until " + words.Day(r.Until)
		}
	}
	return ""
}

// credentialLack says that nobody of the crew holds a credential on the day.
func credentialLack(b *events.Book, people *words.People, crew *events.Crew, kind events.CredentialKind, name string, on events.Date) string {
	var ran []string
	for _, id := range crew.People {
		person := b.People[id]
		if person == nil {
			continue
		}
		if person.Holds(kind, on) {
			return ""
		}
		for _, c := range person.Credentials {
			if c.Kind == kind {
				ran = append(ran, people.Name(id)+"'s ran out after "+words.Day(c.Until))
			}
		}
	}
	return "No valid " + name + " in this crew today" + words.After(": ", strings.Join(ran, "; ")) + ". Call the office before work starts."
}

// gaugeLack says that no gauge of the crew makes a test for this purveyor on the day.
func gaugeLack(b *events.Book, crew *events.Crew, p *events.Purveyor, potable bool, on events.Date) string {
	var said []string
	for _, id := range crew.Gauges {
		g := b.Gauges[id]
		if g == nil {
			continue
		}
		switch {
		case g.Dropped != "":
			said = append(said, g.Serial+" is out of use until verified: "+g.Dropped)
		case !g.ValidFor(p, on):
			said = append(said, g.Serial+"'s certificate ran out on "+words.Day(g.CertifiedUntil))
		case p.GaugeRegistrationRequired && !g.RegisteredFor(p.ID):
			said = append(said, g.Serial+" is not registered with "+p.Name)
		case potable && !g.Potable:
			said = append(said, g.Serial+" has been on non-potable water")
		default:
			return ""
		}
	}
	return "No gauge on this truck is good here" + words.After(": ", strings.Join(said, "; ")) + ". A test with it may not count; call the office before testing."
}

// personLack says what a person lacks on the day; empty when a test by that person counts as far as the record knows.
func personLack(p *events.Person, on events.Date) string {
	switch {
	case p == nil:
		return "no certificate on record"
	case p.Holds(events.TesterCertificate, on):
		return ""
	}
	for _, c := range p.Credentials {
		if c.Kind == events.TesterCertificate {
			return "tester certificate ran out after " + words.Day(c.Until)
		}
	}
	return "no tester certificate on record"
}
