package demo

import (
	"valveround/events"
)

// part an assembly plays in the weeks round today.
type part string

const (
	isDue      part = "due"            // on a list, to be planned
	isUnlisted part = "not yet listed" // due soon, but on no list taken in yet
	isFailed   part = "failed"
	isStopped  part = "stopped"
	isMissed   part = "no access" // due; nobody let the crew in
	isPassed   part = "passed"    // report to be filed
	isReported part = "reported"
	isReturned part = "returned"
	isAccepted part = "accepted"
	isRepaired part = "repaired" // accepted after a return visit
	isGone     part = "withdrawn"
)

type role struct {
	part     part
	due      events.Date
	second   bool // on the second, newer list
	standing events.Standing
	slot     failureSlot
	stop     stopSlot
	visits   []*visit
	fitted   []events.PartWanted // of a repair that is done
}

// lateness of the repair deadline as of today.
type lateness int

const (
	inTime lateness = iota
	late
	unknownRule // the purveyor's rule is not known: ask
)

const noPromise = -1000

// failureSlot is one of forty ways in which a failure waits; larger counties repeat them.
type failureSlot struct {
	ago      int // days since it failed
	stage    events.Stage
	yes      bool
	promised int // days from today, of parts
	lateness lateness
	where    string // a special feed: leg, fire
}

var failureSlots = []failureSlot{
	// Failed, no yes to repair yet.
	{1, events.StageFailedRetest, false, 0, inTime, ""}, {2, events.StageFailedRetest, false, 0, inTime, ""},
	{2, events.StageFailedRetest, false, 0, inTime, ""}, {3, events.StageFailedRetest, false, 0, unknownRule, ""},
	{4, events.StageFailedRetest, false, 0, inTime, ""}, {4, events.StageFailedRetest, false, 0, inTime, "fire"},
	{6, events.StageFailedRetest, false, 0, inTime, ""}, {9, events.StageFailedRetest, false, 0, inTime, ""},
	{26, events.StageFailedRetest, false, 0, late, ""}, {33, events.StageFailedRetest, false, 0, late, ""},
	// Authorised; to be cleaned, or done with what is on the truck.
	{1, events.StageFailedRetest, true, 0, inTime, ""}, {1, events.StageFailedRetest, true, 0, inTime, ""},
	{2, events.StageFailedRetest, true, 0, inTime, ""}, {3, events.StageFailedRetest, true, 0, inTime, ""},
	{5, events.StageFailedRetest, true, 0, inTime, ""}, {6, events.StageFailedRetest, true, 0, inTime, "fire"},
	{8, events.StageFailedRetest, true, 0, inTime, ""}, {24, events.StageFailedRetest, true, 0, late, ""},
	// Parts promised: tomorrow, this week and next, or for a day that is past.
	{3, events.StagePartsPending, true, 1, inTime, ""}, {5, events.StagePartsPending, true, 1, inTime, ""},
	{4, events.StagePartsPending, true, 2, inTime, "leg"}, {6, events.StagePartsPending, true, 4, inTime, ""},
	{5, events.StagePartsPending, false, 5, inTime, ""}, {7, events.StagePartsPending, true, 7, inTime, ""},
	{8, events.StagePartsPending, true, 8, inTime, ""}, {11, events.StagePartsPending, true, -2, inTime, ""},
	{15, events.StagePartsPending, true, -4, inTime, ""}, {27, events.StagePartsPending, true, -1, late, ""},
	// Parts with no promised day.
	{5, events.StagePartsPending, true, noPromise, inTime, ""}, {8, events.StagePartsPending, true, noPromise, unknownRule, ""},
	{13, events.StagePartsPending, false, noPromise, inTime, ""}, {29, events.StagePartsPending, true, noPromise, late, ""},
	// Parts at hand and reserved.
	{4, events.StagePartsReady, true, 0, inTime, ""}, {5, events.StagePartsReady, true, 0, inTime, ""},
	{6, events.StagePartsReady, true, 0, inTime, ""}, {7, events.StagePartsReady, true, 0, inTime, ""},
	{9, events.StagePartsReady, true, 0, inTime, ""}, {10, events.StagePartsReady, true, 0, inTime, ""},
	{13, events.StagePartsReady, true, 0, inTime, ""}, {25, events.StagePartsReady, true, 0, late, ""},
}

// stopSlot is why an assembly could not be tested.
type stopSlot struct {
	outcome events.VisitOutcome
	why     string
	words   string
	where   string
}

var stopSlots = []stopSlot{
	{events.OutcomeCouldNotTest, "shut-off-would-not-hold", "No. 2 shut-off passes water; the street valve is the purveyor's to work", ""},
	{events.OutcomeCouldNotTest, "shut-off-would-not-hold", "No. 2 shut-off stuck half way", "irrigation"},
	{events.OutcomeCouldNotTest, "winterised", "drained, cocks at 45 degrees", "irrigation"},
	{events.OutcomeCouldNotTest, "vacant", "tenant gone, meter off", ""},
	{events.OutcomeCouldNotTest, "cock-broken", "test cock 3 sheared off", ""},
	{events.OutcomeCouldNotTest, "flooded", "pit full to the cover", ""},
	{events.OutcomeNotFound, "", "nothing where the record says; ask the owner", ""},
	{events.OutcomeRefused, "", "owner says another firm does it", ""},
	{events.OutcomeCouldNotTest, "winterised", "not filled yet this year", "irrigation"},
	{events.OutcomeCouldNotTest, "buried", "mulch over the box", "irrigation"},
	{events.OutcomeCouldNotTest, "no-pressure", "main is off for street works", ""},
	{events.OutcomeCouldNotTest, "shut-off-would-not-hold", "No. 1 shut-off passes water", ""},
}

// casting gives out the roles.
type casting struct {
	dice
	o         Options
	pool      []*unit // without a role yet, in the order in which they are tried
	sites     []*site
	purveyors map[events.PurveyorID]purveyor
	customers map[events.CustomerID]*customer
	diary     *diary
}

func (c *casting) cast() {
	story := c.sites[0].units[0]
	story.role = &role{part: isUnlisted, due: c.o.Today.AddDays(9), standing: events.Ours}
	for i := range c.o.failures() {
		c.fail(failureSlots[i%len(failureSlots)])
	}
	for i := range c.o.share(len(stopSlots)) {
		c.stopped(stopSlots[i%len(stopSlots)])
	}
	for range c.o.share(6) {
		c.repaired()
	}
	for _, past := range []struct {
		part             part
		of1500, from, to int
	}{
		{isMissed, 4, 2, 9}, {isPassed, 15, 1, 6}, {isReported, 12, 3, 12}, {isReturned, 4, 5, 14}, {isAccepted, 30, 8, 44}} {
		for range c.o.share(past.of1500) {
			c.past(past.part, c.between(past.from, past.to))
		}
	}
	c.upcoming(isDue, c.o.Assemblies/4)
	c.upcoming(isUnlisted, c.o.share(120))
	for range c.o.share(3) {
		c.take(func(u *unit) bool {
			u.role = &role{part: isGone, due: c.o.Today.AddDays(c.between(5, 50))}
			return true
		})
	}
}

// take offers assemblies to a role until it accepts one.
func (c *casting) take(accept func(*unit) bool) bool {
	for i, u := range c.pool {
		if u.role == nil && accept(u) {
			c.pool = append(c.pool[:i:i], c.pool[i+1:]...)
			return true
		}
	}
	return false
}

func (c *casting) fail(slot failureSlot) {
	want := func(u *unit, special bool) bool {
		p := c.purveyors[u.facts.Purveyor]
		on := c.o.Today.AddDays(-slot.ago)
		if !u.visitable() || special && !u.on(slot.where) || !special && u.feed.facts.Manifold != "" {
			return false
		}
		if !slot.yes && c.customers[u.site.facts.Customer].facts.Repair != "ask" || u.facts.Vault != events.NoVault ||
			!c.standsAs(slot.lateness, p, u, on) {
			return false
		}
		v := c.diary.find(u, on, testMinutes(u), repairNo)
		if v == nil || !c.standsAs(slot.lateness, p, u, v.day) {
			return false
		}
		c.diary.keep(v)
		u.role = &role{part: isFailed, slot: slot, due: c.dueFor(v.day), visits: []*visit{v}}
		return true
	}
	if slot.where != "" && c.take(func(u *unit) bool { return want(u, true) }) {
		return
	}
	slot.where = ""
	c.take(func(u *unit) bool { return want(u, false) })
}

func (c *casting) standsAs(want lateness, p purveyor, u *unit, failed events.Date) bool {
	by := p.retestBy(u.facts.Hazard, failed, c.diary.loc)
	switch {
	case !by.Known:
		return want == unknownRule
	case by.On.Before(c.o.Today):
		return want == late
	}
	return want == inTime
}

// visitable: a gauge can be put on it today, and it is known where it is.
func (u *unit) visitable() bool {
	dry := u.feed.facts.Pressurised != nil && !*u.feed.facts.Pressurised
	return u.facts.Type.Testable() && !dry && u.site.facts.Position.IsSet()
}

func (u *unit) on(where string) bool {
	switch where {
	case "leg":
		return u.feed.facts.Manifold != ""
	case "fire":
		return u.feed.facts.Fire
	case "irrigation":
		return u.facts.Service == events.Irrigation
	}
	return true
}

// dueFor is a due date that a test on the day counts for.
func (c *casting) dueFor(day events.Date) events.Date { return day.AddDays(c.between(-6, 35)) }

func (c *casting) stopped(slot stopSlot) {
	c.take(func(u *unit) bool {
		if !u.facts.Type.Testable() || !u.site.facts.Position.IsSet() || !u.on(slot.where) || u.feed.facts.Fire || u.feed.facts.Manifold != "" ||
			slot.why == "flooded" && u.facts.Vault == events.NoVault {
			return false
		}
		return c.visited(u, &role{part: isStopped, stop: slot}, c.between(2, 24))
	})
}

func (c *casting) past(p part, ago int) {
	c.take(func(u *unit) bool { return u.visitable() && c.visited(u, &role{part: p}, ago) })
}

// visited finds room in the past for one visit.
func (c *casting) visited(u *unit, r *role, ago int) bool {
	v := c.diary.find(u, c.o.Today.AddDays(-ago), testMinutes(u), repairNo)
	if v == nil {
		return false
	}
	c.diary.keep(v)
	r.visits, r.due = []*visit{v}, c.dueFor(v.day)
	u.role = r
	return true
}

// repaired finds room for a failing visit and a return visit some days later.
func (c *casting) repaired() {
	c.take(func(u *unit) bool {
		if !u.visitable() {
			return false
		}
		second := c.diary.find(u, c.o.Today.AddDays(-c.between(8, 20)), 2*testMinutes(u), repairYes)
		if second == nil {
			return false
		}
		first := c.diary.find(u, second.day.AddDays(-c.between(5, 9)), testMinutes(u), repairNo)
		if first == nil {
			return false
		}
		c.diary.keep(first)
		c.diary.keep(second)
		u.role = &role{part: isRepaired, visits: []*visit{first, second}, due: c.dueFor(first.day)}
		return true
	})
}

// upcoming gives work that lies ahead. What hangs at one site is mostly due on one day.
func (c *casting) upcoming(p part, n int) {
	for _, s := range shuffled(c.dice, c.sites) {
		base := c.ahead(p)
		for _, u := range s.units {
			if n == 0 {
				return
			}
			dry := u.feed.facts.Pressurised != nil && !*u.feed.facts.Pressurised
			if u.role != nil || u.facts.Type == events.AVB || c.chance(0.25) || dry && c.chance(0.75) {
				continue
			}
			due := base
			if c.chance(0.15) {
				due = c.ahead(p)
			}
			if days := c.purveyors[u.facts.Purveyor].facts.EarliestDaysBefore; p == isUnlisted && days > 0 && due.Sub(c.o.Today) > days {
				due = c.o.Today.AddDays(days - 10) // listed when a test counts
			}
			u.role = &role{part: p, due: due, standing: c.standing(), second: due.Sub(c.o.Today) > 14 || c.chance(0.3)}
			n--
		}
	}
}

func (c *casting) ahead(p part) events.Date {
	if p == isUnlisted {
		return c.o.Today.AddDays(c.between(14, 50))
	}
	switch n := c.IntN(100); {
	case n < 5:
		return c.o.Today.AddDays(-c.between(1, 21))
	case n < 20:
		return c.o.Today.AddDays(c.between(0, 7))
	case n < 55:
		return c.o.Today.AddDays(c.between(8, 25))
	}
	return c.o.Today.AddDays(c.between(26, 56))
}

func (c *casting) standing() events.Standing {
	switch n := c.IntN(100); {
	case n < 88:
		return events.Ours
	case n < 95:
		return events.Ask
	}
	return events.NotOurs
}

// lastPassed dates the pass before the coming one. Nothing that is owed now has passed in this cycle.
func (c *casting) lastPassed(u *unit) events.Date {
	months := c.purveyors[u.facts.Purveyor].facts.IntervalMonths
	switch {
	case u.facts.Type == events.AVB || c.chance(0.01):
		return events.Date{}
	case u.role != nil:
		return u.role.due.AddMonths(-months).AddDays(-c.between(0, 12))
	}
	latest := c.o.Today.AddDays(-registryAgo) // what came later would be in the log
	first := c.o.Today.AddMonths(-months).AddDays(63)
	if latest.Before(first) {
		return first
	}
	return first.AddDays(c.IntN(latest.Sub(first) + 1))
}
