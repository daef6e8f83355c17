package damage

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/planner/check/reckon"
)

// ErrNowhere says that nothing in a plan can be damaged so, with its book, without breaking another rule too.
var ErrNowhere = errors.New("nothing in this plan can be damaged so")

// kinds are the damages by the rule that each breaks. Each offers plans that break it.
var kinds = map[check.Rule]func(m *maker, offer func(planner.Plan) bool){
	check.RuleWindow:       (*maker).window,
	check.RuleAccess:       (*maker).access,
	check.RuleBooking:      (*maker).booking,
	check.RuleDecide:       (*maker).decide,
	check.RuleCertificate:  (*maker).certificate,
	check.RuleRegistration: (*maker).registration,
	check.RuleGauge:        (*maker).gauge,
	check.RuleParts:        (*maker).parts,
	check.RuleOverlap:      (*maker).overlap,
	check.RuleBreak:        (*maker).noBreak,
	check.RuleHours:        (*maker).hours,
	check.RuleManifold:     (*maker).manifold,
	check.RuleSeries:       (*maker).series,
	check.RuleMissingVisit: (*maker).missing,
	check.RuleTravel:       (*maker).travel,
	check.RuleFireHours:    (*maker).fireHours,
}

// Names lists the damages: each is named for the rule that it breaks.
func Names() []string {
	var names []string
	for _, rule := range slices.Sorted(maps.Keys(kinds)) {
		names = append(names, string(rule))
	}
	return names
}

// Limits on how long a place for the damage is looked for.
const (
	mostPlacings = 300_000
	mostChecks   = 150
)

// Damage makes one damage to a plan that is good for the book; the plan given is not changed. It breaks the rule of that
// name and no other, and the same plan gets the same damage. The error is ErrNowhere where the plan offers no place for it.
func Damage(name string, b *events.Book, p planner.Plan) (planner.Plan, error) {
	kind := kinds[check.Rule(name)]
	if kind == nil {
		return p, fmt.Errorf("no damage is called %q", name)
	}
	m := &maker{plan: p, stating: stating{book: b, settings: p.Settings, calendar: reckon.NewCalendar(p.Date), failed: reckon.FailedOf(b, p.Office, p.Settings)}}
	for _, m.room = range []room{asIs, cleared, earlier} {
		if damaged, ok := m.first(kind, check.Rule(name)); ok {
			return damaged, nil
		}
	}
	return p, fmt.Errorf("damage %q: %w", name, ErrNowhere)
}

// room is how far a plan is changed, within the rules, to make room for the damage.
type room int

const (
	asIs    room = iota // the rest of the plan stays
	cleared             // the other visits of the crew that gets the damaged one are left out
	earlier             // and the plan is one made two months before, when every site could still be given notice
)

// first finds the first plan offered that breaks no other rule.
func (m *maker) first(kind func(*maker, func(planner.Plan) bool), rule check.Rule) (damaged planner.Plan, found bool) {
	if m.room == earlier {
		m.plan.MadeAt = m.plan.MadeAt.AddDate(0, -2, 0)
	}
	checks := 0
	m.placings = 0
	kind(m, func(q planner.Plan) (goOn bool) {
		checks++
		broken := check.Options{Amending: true}.Plan(m.book, q, q.Settings)
		if !slices.ContainsFunc(broken, func(v check.Violation) bool { return v.Rule != rule }) {
			damaged, found = q, true
		}
		return !found && checks < mostChecks
	})
	return damaged, found
}

// maker offers damaged plans. An offer returns false when no more are wanted.
type maker struct {
	stating
	plan     planner.Plan
	room     room
	placings int
}
