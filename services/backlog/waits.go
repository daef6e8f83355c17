package backlog

import (
	"strings"

	"valveround/events"
	"valveround/services/words"
)

// What a row waits for; the words of the ladder's marks.
const (
	forParts    = "parts"
	forAccess   = "access"
	forSlot     = "slot"
	forOwner    = "owner"
	forWay      = "way"
	forPurveyor = "purveyor"
)

// wait is one thing without which nobody can go.
type wait struct{ who, words string }

// waits says all that a failure waits for, the first first: an open way, a word from the owner, the parts, somebody who
// lets the crew in; when there is none of it, nothing but a place on a route.
func (l looking) waits(a *events.Assembly, j *events.Job) []wait {
	var list []wait
	add := func(who, what string) {
		if what != "" {
			list = append(list, wait{who, what})
		}
	}
	add(forWay, stopped(j))
	add(forWay, l.unplaced(a))
	add(forOwner, l.owner(a, j))
	add(forParts, l.parts(a, j))
	if j.LastResult == events.OutcomeNoAccess {
		add(forAccess, "access: nobody let the crew in on "+words.Day(j.Attempts[len(j.Attempts)-1].On))
	}
	if len(list) == 0 {
		add(forSlot, l.slot(a, j))
	}
	if j.Returned != nil {
		add(forPurveyor, "the report of the failure, which the purveyor sent back"+returned(j)+", to be filed again")
	}
	if len(j.Questions) > 0 {
		add(forPurveyor, "to ask: "+strings.Join(j.Questions, "; "))
	}
	return list
}

// stopped says what stands in the way since the last visit.
func stopped(j *events.Job) string {
	if j.Stage != events.StageStopped || j.Stopped == nil {
		return ""
	}
	s := j.Stopped
	text := "the way to be cleared: " + outcome(s.Outcome) + " on " + words.Day(s.On) + words.After(", ", words.Reason(s.Why))
	return text + words.After(", ", s.Words)
}

// outcome says how a visit ended that was neither a pass nor a fail.
func outcome(o events.VisitOutcome) string {
	switch o {
	case events.OutcomeCouldNotTest:
		return "could not be tested"
	case events.OutcomeRefused:
		return "the owner would not have it done"
	case events.OutcomeWrongType:
		return "another type than on record"
	}
	return words.Plain(string(o))
}

func (l looking) unplaced(a *events.Assembly) string {
	if site := l.b.Sites[a.Site]; site == nil || !site.Position.IsSet() {
		return "its site to be placed on the map"
	}
	return ""
}

// owner says which word of the owner is missing. Without a yes to the repair the unit is not opened.
func (l looking) owner(a *events.Assembly, j *events.Job) string {
	site := l.b.Sites[a.Site]
	var customer *events.Customer
	if site != nil {
		customer = l.b.Customers[site.Customer]
	}
	switch {
	case j.Standing == events.Ask:
		return "an answer whether the job is ours"
	case customer != nil && customer.OnHold != "":
		return "nothing is done for " + customer.Name + " now: " + customer.OnHold
	case words.YesToRepair(l.b, a, j) != "":
		return ""
	case customer != nil && customer.Repair == "no":
		return "the owner's yes to the repair, who says no as a rule"
	}
	return "the owner's yes to the repair"
}

// parts says the kits that are not reserved yet, with their promised days.
func (l looking) parts(a *events.Assembly, j *events.Job) string {
	var list []string
	for _, p := range j.Parts {
		if p.Item != "" {
			continue
		}
		text := words.PartAt(l.b, p)
		if p.Step() == events.PartIsDue && p.Promised.Before(l.today(a)) {
			text += ", which is past: ask"
		}
		list = append(list, text)
	}
	if len(list) == 0 {
		return ""
	}
	return "parts: " + strings.Join(list, "; ")
}

func (l looking) slot(a *events.Assembly, j *events.Job) string {
	if j.Dispatched != nil && j.Dispatched.Date.Before(l.today(a)) {
		return "a place on a route: it was sent out for " + words.Day(j.Dispatched.Date) + " and no result came back"
	}
	return "a place on a route"
}
