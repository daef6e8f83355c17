package check

import (
	"valveround/events"
	"valveround/planner"
)

// people lists the crew's people that the book knows.
func (c *checker) people(crew *events.Crew) []*events.Person {
	var known []*events.Person
	for _, id := range crew.People {
		if p := c.book.People[id]; p != nil {
			known = append(known, p)
		}
	}
	return known
}

func (c *checker) anyHolds(crew *events.Crew, kind events.CredentialKind) bool {
	for _, p := range c.people(crew) {
		if p.Holds(kind, c.plan.Date) {
			return true
		}
	}
	return false
}

// checkRights asks whether the crew may do a job: certificates, registrations, licences and gauge, valid that day.
func (c *checker) checkRights(v *openVisit, j openJob) {
	crew := v.route.crew
	if crew == nil {
		return
	}
	want := func(kind events.CredentialKind, rule Rule, what string) {
		if !c.anyHolds(crew, kind) {
			c.addJob(rule, v, j.said.Job, "Nobody on %s holds a %s valid on %s, which job %s at %s needs.", c.crewName(crew.ID), what, c.plan.Date, j.said.Job, c.siteName(v.Site))
		}
	}
	want(events.TesterCertificate, RuleCertificate, "tester's certificate")
	if j.Work == planner.RepairWork {
		want(events.RepairLicence, RuleCertificate, "repairer's licence")
	}
	if j.Assembly.Vault == events.PermitVault {
		want(events.ConfinedSpaceEntry, RuleCertificate, "confined-space certificate")
		c.checkInside(v, j)
	}
	if j.OnFire() {
		want(events.FireLicence, RuleFire, "fire licence")
	}
	c.checkRegistration(v, j)
	if j.Work != planner.InspectWork && !c.hasGauge(crew, j.Assembly) {
		c.addJob(RuleGauge, v, j.said.Job, "No gauge of %s will do for job %s at %s on %s%s.", c.crewName(crew.ID), j.said.Job, c.siteName(v.Site), c.plan.Date, c.gaugeWords(j.Assembly))
	}
}

// checkInside wants those who work in a permit vault to be cleared for it themselves (29 CFR 1910.146): a tester the purveyor accepts,
// and a repairer where there is something to repair.
func (c *checker) checkInside(v *openVisit, j openJob) {
	tests, repairs := false, j.Work != planner.RepairWork
	for _, p := range c.people(v.route.crew) {
		if !p.Holds(events.ConfinedSpaceEntry, c.plan.Date) {
			continue
		}
		purveyor := c.book.Purveyors[j.Assembly.Purveyor]
		accepted := purveyor != nil && (!purveyor.RegistrationRequired || p.RegisteredWith(purveyor.ID, c.plan.Date))
		tests = tests || accepted && p.Holds(events.TesterCertificate, c.plan.Date)
		repairs = repairs || p.Holds(events.RepairLicence, c.plan.Date)
	}
	if !tests || !repairs {
		c.addJob(RuleCertificate, v, j.said.Job, "Whoever works in the permit vault at %s must be cleared for it: on %s no such tester or repairer is, which job %s needs.",
			c.siteName(v.Site), c.crewName(v.route.Crew), j.said.Job)
	}
}

// checkRegistration wants one person who is both certified and registered. What a purveyor that the book does not know
// requires is not known either, so nobody may work for it.
func (c *checker) checkRegistration(v *openVisit, j openJob) {
	purveyor := c.book.Purveyors[j.Assembly.Purveyor]
	if purveyor == nil {
		c.addJob(RuleRegistration, v, j.said.Job, "The purveyor of assembly %s, %q, is not known, nor whom it lets work.", j.said.Assembly, j.Assembly.Purveyor)
		return
	}
	if !purveyor.RegistrationRequired || !c.anyHolds(v.route.crew, events.TesterCertificate) {
		return
	}
	for _, p := range c.people(v.route.crew) {
		if p.Holds(events.TesterCertificate, c.plan.Date) && p.RegisteredWith(purveyor.ID, c.plan.Date) {
			return
		}
	}
	c.addJob(RuleRegistration, v, j.said.Job, "No certified tester of %s is registered with %s on %s, which job %s at %s needs.",
		c.crewName(v.route.Crew), c.purveyorName(purveyor.ID), c.plan.Date, j.said.Job, c.siteName(v.Site))
}

// hasGauge reports whether the crew has a gauge for an assembly: in date, registered where that is required, and never
// one that has been on non-potable water for potable water.
func (c *checker) hasGauge(crew *events.Crew, a *events.Assembly) bool {
	purveyor := c.book.Purveyors[a.Purveyor]
	for _, id := range crew.Gauges {
		g := c.book.Gauges[id]
		inDate := g != nil && g.Dropped == "" && (c.plan.Date.Before(g.CertifiedUntil) || c.plan.Date == g.CertifiedUntil && purveyor != nil && purveyor.GaugeAnniversaryCounts)
		if !inDate || !g.Potable && potable(a.Service) {
			continue
		}
		if purveyor == nil || !purveyor.GaugeRegistrationRequired || g.RegisteredFor(purveyor.ID) {
			return true
		}
	}
	return false
}

// potable reports whether the water must be taken as drinking water; a service that is not known must.
func potable(s events.Service) bool { return s != events.Irrigation && s != events.Process }

func (c *checker) gaugeWords(a *events.Assembly) string {
	words := ": it must be in date"
	if potable(a.Service) {
		words += ", for drinking water only"
	}
	if p := c.book.Purveyors[a.Purveyor]; p != nil && p.GaugeRegistrationRequired {
		words += ", registered with " + c.purveyorName(p.ID)
	}
	return words
}

// checkPeople wants people enough: an attendant at a permit vault does nothing else (29 CFR 1910.146), and a large repair
// takes two (common practice).
func (c *checker) checkPeople(v *openVisit, j openJob) {
	if v.route.crew == nil {
		return
	}
	need, why := 1, ""
	if size := j.Assembly.Size; j.Work == planner.RepairWork && (size.IsZero() || int(size) >= c.settings.TwoPeopleFromEighths) {
		need, why = need+1, " for a large repair"
	}
	if j.Assembly.Vault == events.PermitVault {
		need, why = need+1, why+" in a permit vault, whose attendant does nothing else"
	}
	distinct := map[events.PersonID]bool{}
	for _, p := range v.route.crew.People {
		distinct[p] = true
	}
	if len(distinct) < need {
		c.addJob(RulePeople, v, j.said.Job, "Job %s at %s takes %d people%s; on %s there %s.", j.said.Job, c.siteName(v.Site), need, why, c.crewName(v.route.Crew), isAre(len(distinct)))
	}
}
