package check

// Rule names what is broken.
type Rule string

// The rules.
const (
	RuleSettings     Rule = "settings"     // made with other settings
	RuleDay          Rule = "day"          // the day is out already, or the plan belongs to no day of this book
	RuleShape        Rule = "shape"        // the plan is not put together as a plan is
	RuleCrew         Rule = "crew"         // the crew does not work that day
	RuleOverlap      Rule = "overlap"      // a crew in two places at once
	RuleTravel       Rule = "travel"       // a drive that differs from the travel model, or no time for it
	RuleClock        Rule = "clock"        // instants that do not follow from each other
	RuleBreak        Rule = "break"        // no room for the crew's break, or not where it is said to be
	RuleHours        Rule = "hours"        // outside the crew's working time
	RuleWindow       Rule = "window"       // water off outside the feed's shutdown window
	RuleAccess       Rule = "access"       // at the site outside its access hours
	RuleSeason       Rule = "season"       // the feed holds no water
	RuleCertificate  Rule = "certificate"  // nobody on the crew holds it that day
	RuleRegistration Rule = "registration" // no certified tester of the crew is registered with the purveyor
	RuleGauge        Rule = "gauge"        // no gauge of the crew will do
	RuleParts        Rule = "parts"        // repair kits not at hand, or on another truck
	RuleRepairYes    Rule = "repair-yes"   // the owner has not said yes
	RulePeople       Rule = "people"       // too few people
	RuleFire         Rule = "fire"         // nobody may work on fire lines
	RuleFireHours    Rule = "fire-hours"   // a fire line out of service too long
	RuleNotice       Rule = "notice"       // the site was not told, and it is too late to
	RuleBooking      Rule = "booking"      // what others must bring is not booked, or not for then
	RuleDecide       Rule = "decide"       // until when a unit may be opened for a repair is not said, or not truly
	RuleEarliest     Rule = "earliest"     // a test that day would not count
	RuleStanding     Rule = "standing"     // not ours to do
	RuleHold         Rule = "hold"         // the customer is on hold
	RuleStopped      Rule = "stopped"      // something must change first
	RulePosition     Rule = "position"     // nobody knows where it is
	RuleManifold     Rule = "manifold"     // legs of one manifold
	RuleSeries       Rule = "series"       // feeds fed from one another
	RuleAsLeft       Rule = "as-left"      // how a feed it hangs together with was left
	RuleMissingVisit Rule = "missing-visit"
	RuleDouble       Rule = "double"
	RuleWork         Rule = "work"       // not the work the job needs
	RuleDispatched   Rule = "dispatched" // out with another day
	RuleCost         Rule = "cost"
	RuleLate         Rule = "late"  // with another chance of being too late
	RuleWish         Rule = "wish"  // not as the dispatcher decided
	RuleBegun        Rule = "begun" // what a crew has begun on a day that is out is not kept, or not so
)

// Rules lists every rule.
func Rules() []Rule {
	return []Rule{RuleSettings, RuleDay, RuleShape, RuleCrew, RuleOverlap, RuleTravel, RuleClock, RuleBreak, RuleHours, RuleWindow,
		RuleAccess, RuleSeason, RuleCertificate, RuleRegistration, RuleGauge, RuleParts, RuleRepairYes, RulePeople, RuleFire, RuleFireHours,
		RuleNotice, RuleBooking, RuleDecide, RuleEarliest, RuleStanding, RuleHold, RuleStopped, RulePosition, RuleManifold, RuleSeries, RuleAsLeft,
		RuleMissingVisit, RuleDouble, RuleWork, RuleDispatched, RuleCost, RuleLate, RuleWish, RuleBegun}
}
