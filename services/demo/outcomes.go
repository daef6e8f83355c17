package demo

import (
	"time"

	"valveround/events"
)

// outcome is what the crew says at the end of a past visit, and what the desk does after it.
func (m *making) outcome(v *visit) {
	r := v.unit.role
	m.times(v)
	switch {
	case r.part == isFailed, r.part == isRepaired && !v.repair:
		m.failed(v)
	case r.part == isStopped:
		m.finish(v, events.FinishJob{Outcome: r.stop.outcome, Why: r.stop.why, Words: r.stop.words})
		if r.stop.where == "irrigation" && r.stop.why == "shut-off-would-not-hold" {
			m.leave(v, events.Condition{Service: events.Impaired, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValvePartly}},
				Told: []string{"site owner"}, Decides: "site owner", Restores: "a new No. 2 shut-off", Words: "sprinklers run at half pressure"})
		}
	case r.part == isMissed:
		m.timeline.add(v.leave, m.lead(v), events.MeetNoAccess{Site: v.unit.site.id, Crew: m.crews[v.crew].id, Day: v.day, Jobs: []events.JobRef{v.unit.job()}, Words: "nobody answered, waited 15 minutes"})
	default:
		m.passed(v)
	}
}

// times records when the crew came, had the water off and went. The work takes about as long as was planned: some crews are
// quicker than others, and no two tests take the same time. Water is told only where nothing else hangs on it.
func (m *making) times(v *visit) {
	r := v.unit.role
	if r.part == isMissed {
		return
	}
	crew, t := m.crews[v.crew].id, &m.timeline
	d := newDice(m.o.Seed, "times "+string(v.unit.id)+v.day.String())
	planned := v.wet.Sub(v.dry)
	pace := 0.86 + 0.04*float64(v.crew%5) + max(-0.3, min(0.3, 0.12*d.NormFloat64()))
	v.wet = v.dry.Add(min(time.Duration(float64(planned)*pace).Truncate(time.Minute), planned+8*time.Minute))
	if gone := v.wet.Add(10 * time.Minute); gone.Before(v.leave) {
		v.leave = gone
	}
	t.add(v.arrive, m.lead(v), events.Arrive{Site: v.unit.site.id, Crew: crew, Day: v.day})
	defer t.add(v.leave.Add(2*time.Minute), m.lead(v), events.Leave{Site: v.unit.site.id, Crew: crew, Day: v.day})
	if r.part == isStopped || len(v.unit.site.feeds) > 1 {
		return
	}
	t.add(v.dry, m.lead(v), events.ShutFeed{Feed: v.unit.feed.id, Crew: crew})
	if r.part != isFailed || m.asLeft(v.unit, r.slot).Service == events.InService {
		t.add(v.wet, m.lead(v), events.RestoreFeed{Feed: v.unit.feed.id, Crew: crew})
	}
}

func (m *making) lead(v *visit) events.PersonID { return m.crews[v.crew].people[0].id }

func (m *making) finish(v *visit, do events.FinishJob) {
	do.JobRef, do.Crew, do.Day = v.unit.job(), m.crews[v.crew].id, v.day
	m.timeline.add(v.leave, m.lead(v), do)
}

func (m *making) leave(v *visit, c events.Condition) {
	m.timeline.add(v.leave.Add(time.Minute), m.lead(v), events.LeaveFeed{Feed: v.unit.feed.id, Crew: m.crews[v.crew].id, Condition: c})
}

func (m *making) passed(v *visit) {
	crew, u := m.crews[v.crew], v.unit
	do := events.FinishJob{Outcome: events.OutcomePassed}
	phase := events.Initial
	if v.repair {
		phase = events.Final
	}
	readings := passing(m.dice, u.facts.Type, phase, procedureOf)
	if m.disputed(u) {
		readings = disputedReadings()
	}
	test := crew.test(m.dice, readings, events.OpinionPass, v.wet.Add(-5*time.Minute))
	u.meters(test, v.day)
	do.Initial = test
	if v.repair {
		do.Outcome, do.Initial, do.Final = events.OutcomeRepairedPassed, nil, test
		do.Repair = &events.Repaired{Fitted: u.role.fitted, Words: "rubber kit fitted, seat cleaned"}
	}
	m.finish(v, do)
	m.paper(v)
}

// paper files the report, as far as the role goes.
func (m *making) paper(v *visit) {
	r, job := v.unit.role, v.unit.job()
	if r.part == isPassed {
		return
	}
	t := &m.timeline
	at := t.office(v.day.AddDays(1), 9, v.leave)
	on := events.DateIn(at, t.loc)
	t.add(at, t.desk, events.FileReport{JobRef: job, On: on, How: "purveyor's own page", By: t.desk, Confirmation: "R" + string(v.unit.id[2:])})
	switch r.part {
	case isReported:
		if m.again < 2 { // a list that came after the report and does not know of it
			m.again++
			at = t.office(m.o.Today.AddDays(-1), 16, at)
			t.add(at, t.desk, events.ListDue{Assembly: v.unit.id, NewJob: job.Job + "x", Due: r.due, AsOf: m.o.Today.AddDays(-1), List: "reminder by e-mail", Standing: events.Ours})
		}
	case isReturned:
		at = t.office(v.day.AddDays(3), 11, at)
		t.add(at, t.desk, events.ReturnReport{JobRef: job, On: events.DateIn(at, t.loc), Why: pick(m.dice, []string{"gauge serial missing", "service address differs from ours", "line pressure not filled in"})})
	case isAccepted, isRepaired:
		at = t.office(v.day.AddDays(6), 11, at)
		t.add(at, t.desk, events.AcceptReport{JobRef: job, On: events.DateIn(at, t.loc)})
	}
}

// disputed is true for one passed RP, whose purveyor's criteria say otherwise than its tester.
func (m *making) disputed(u *unit) bool {
	if m.disputes > 0 || u.facts.Type != events.RP || u.role.part != isPassed || u.facts.Purveyor == m.purveyors[cityWater].id {
		return false
	}
	m.disputes++
	return true
}

// disputedReadings pass by the USC manual's 10th edition and fail where a buffer of 3 psi is asked for.
func disputedReadings() []events.Reading {
	n := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	r := func(c events.Component, number string, result events.Result) events.Reading {
		return events.Reading{Part: events.MainPart, Component: c, Phase: events.Initial, Number: n(number), Unit: events.PSID, Result: result, Procedure: procedureOf}
	}
	return []events.Reading{r(events.Relief, "2.6", events.Opened), r(events.Check2, "1.4", events.Held), r(events.Check1, "5.2", events.Held)}
}

// failed tests, leaves the feed and lets the desk ask for consent and order parts, as far as the slot goes.
func (m *making) failed(v *visit) {
	u, r := v.unit, v.unit.role
	readings, at := failing(m.dice, u.facts.Type, procedureOf)
	slot := r.slot
	if r.part == isRepaired {
		slot = failureSlot{stage: events.StagePartsReady, yes: true}
	}
	do := events.FinishJob{Outcome: events.OutcomeFailed, Initial: m.crews[v.crew].test(m.dice, readings, events.OpinionFail, v.wet.Add(-5*time.Minute))}
	wanted := events.PartWanted{Code: KitCode(u.facts, at.Part, at.Component), Part: at.Part, Component: at.Component}
	if slot.promised == noPromise {
		do.Parts = []events.PartWanted{wanted}
	}
	m.finish(v, do)
	m.leave(v, m.asLeft(u, slot))
	after := v.leave.Add(time.Minute)
	if slot.yes {
		after = m.consent(v, after)
	}
	if slot.stage == events.StageFailedRetest || slot.promised == noPromise {
		return
	}
	m.order(v, slot, wanted, at, after)
}

func (m *making) asLeft(u *unit, slot failureSlot) events.Condition {
	open := []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValveOpen}}
	switch {
	case slot.where == "leg":
		return events.Condition{Service: events.Shut, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveShut}, {Name: "No. 2 shut-off", State: events.ValveShut}},
			Told: []string{"hospital engineer", "purveyor"}, Decides: "hospital engineer", Restores: "repair and retest of this leg", Words: "the other leg carries the hospital alone"}
	case slot.where == "fire" && !slot.yes:
		return events.Condition{Service: events.Impaired, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValvePartly}, {Name: "No. 2 shut-off", State: events.ValveOpen}},
			Told: []string{"impairment coordinator", "alarm company", "fire department"}, OnTestUntil: m.timeline.at(m.o.Today.AddDays(1), 9),
			Decides: "impairment coordinator", Restores: "No. 1 shut-off freed, main drain test, panel normal", Words: "No. 1 shut-off will not open fully"}
	}
	return events.Condition{Service: events.InService, Valves: open, Told: []string{"site contact"}}
}

func (m *making) consent(v *visit, after time.Time) time.Time {
	c := m.customer[v.unit.site.facts.Customer]
	at := m.timeline.office(v.day.AddDays(1), 9, after)
	yes := events.RepairYes{Basis: "quote", By: c.calls, On: events.DateIn(at, m.timeline.loc)}
	switch {
	case c.facts.Repair == "yes" && c.facts.RepairLimitUSD > 0:
		yes.Basis, yes.LimitUSD = "up to a sum", c.facts.RepairLimitUSD
	case c.facts.Repair == "yes":
		yes.Basis = "standing"
	}
	m.timeline.add(at, m.timeline.desk, events.SayYesToRepair{JobRef: v.unit.job(), RepairYes: yes})
	return at
}

// order wants the kit, and reserves it when it is at hand.
func (m *making) order(v *visit, slot failureSlot, wanted events.PartWanted, place events.Place, after time.Time) {
	u, t := v.unit, &m.timeline
	at := t.office(v.day.AddDays(1), 10, after)
	ready := slot.stage == events.StagePartsReady
	wanted.Promised = m.o.Today.AddDays(slot.promised)
	if ready {
		wanted.Promised = v.day.AddDays(3)
	}
	t.add(at, t.desk, events.WantParts{JobRef: u.job(), Parts: []events.PartWanted{wanted}})
	kit, facts := m.kitID(), kitFor(u, place, "on order")
	facts.Promised = wanted.Promised
	t.add(at.Add(time.Minute), t.desk, events.Put[events.KitFacts]{ID: kit, Facts: facts})
	if !ready {
		return
	}
	where := "shop"
	if m.chance(0.25) && m.crews[v.crew].may(u, repairYes, m.diary.purveyors[u.facts.Purveyor], m.o.Today) {
		where = string(m.crews[v.crew].id)
	}
	at = t.office(v.day.AddDays(2), 11, at.Add(time.Minute))
	facts.Where, facts.Promised = where, events.Date{}
	t.add(at, t.desk, events.Put[events.KitFacts]{ID: kit, Facts: facts, Why: "received"})
	t.add(at.Add(time.Minute), t.desk, events.ReadyParts{JobRef: u.job(), Where: where, Items: []events.KitID{events.KitID(kit)}})
	wanted.Item, wanted.Where = events.KitID(kit), where
	u.role.fitted = []events.PartWanted{wanted}
}
