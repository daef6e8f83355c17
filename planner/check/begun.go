package check

import (
	"reflect"
	"slices"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/planner/check/reckon"
)

// checkBegun holds the rest of a day that is out to what its crews have done: all of that is kept as it was sent out, nothing else
// is taken as done, and no crew drives on before it can.
func (c *checker) checkBegun(r *openRoute) {
	sent, out := c.sentRoute(r.Crew)
	g := r.Begun
	if g == nil {
		if out {
			for _, v := range sent.Visits {
				if c.touched(r.Crew, v) {
					c.addRoute(RuleBegun, r, "%s has begun at %s, but the plan takes it to be at home.", c.crewName(r.Crew), c.siteName(v.Site))
				}
			}
		}
		return
	}
	if !c.Amending || !out {
		c.addRoute(RuleBegun, r, "The plan says that %s has begun, but no day is out with it.", c.crewName(r.Crew))
		return
	}
	left := sent.Start
	if g.Free.Before(left) {
		left = g.Free // it was earlier than its route
	}
	if !r.Start.Equal(left) {
		c.addRoute(RuleBegun, r, "%s left home at %s, not at %s.", c.crewName(r.Crew), c.clockTime(left, c.crewZone(r.crew)), c.clockTime(r.Start, c.crewZone(r.crew)))
	}
	if g.Free.Before(c.plan.MadeAt.Truncate(time.Second)) {
		c.addRoute(RuleBegun, r, "%s cannot have driven on at %s, before the plan was made.", c.crewName(r.Crew), c.clockTime(g.Free, c.crewZone(r.crew)))
	}
	heard := slices.ContainsFunc(sent.Visits, func(v events.DayVisit) bool { return c.touched(r.Crew, v) })
	for i, v := range g.Visits {
		if !slices.ContainsFunc(sent.Visits, func(s events.DayVisit) bool { return reflect.DeepEqual(s, v) }) {
			c.addRoute(RuleBegun, r, "The visit of %s to %s has begun, but is not as it was sent out.", c.crewName(r.Crew), c.siteName(v.Site))
		}
		c.checkBegunVisit(r, g, v, heard, i == len(g.Visits)-1)
	}
	for _, v := range sent.Visits {
		kept := slices.ContainsFunc(g.Visits, func(s events.DayVisit) bool { return reflect.DeepEqual(s, v) })
		if c.touched(r.Crew, v) && !kept {
			c.addRoute(RuleBegun, r, "%s has begun at %s, but the plan changes that visit.", c.crewName(r.Crew), c.siteName(v.Site))
		}
	}
}

// checkBegunVisit asks whether a visit may be taken as begun, and whether its crew can be free as soon as is said.
func (c *checker) checkBegunVisit(r *openRoute, g *planner.Begun, v events.DayVisit, heard, last bool) {
	if last && g.Site != v.Site && (!c.touched(r.Crew, v) || !c.heardLastAt(r.Crew, g.Site)) {
		c.addRoute(RuleBegun, r, "%s is at %s, not at %s.", c.crewName(r.Crew), c.siteName(v.Site), c.siteName(g.Site))
	}
	length := v.Leave.Sub(v.Arrive)
	switch {
	case c.touched(r.Crew, v):
		return
	case !heard && v.Arrive.Add(-time.Duration(v.DriveS)*time.Second).After(c.plan.MadeAt):
		c.addRoute(RuleBegun, r, "%s has not begun at %s, and by its route need not have.", c.crewName(r.Crew), c.siteName(v.Site))
	case !heard && g.Free.Before(v.Leave):
		c.addRoute(RuleBegun, r, "%s leaves %s at %s by its route, so it is not free at %s.", c.crewName(r.Crew), c.siteName(v.Site), c.clockTime(v.Leave, c.crewZone(r.crew)), c.clockTime(g.Free, c.crewZone(r.crew)))
	case heard && !last:
		c.addRoute(RuleBegun, r, "%s was not at %s.", c.crewName(r.Crew), c.siteName(v.Site))
	case heard && g.Free.Before(c.plan.MadeAt.Add(length).Truncate(time.Second)):
		c.addRoute(RuleBegun, r, "%s is on its way to %s and needs %s there, so it is not free at %s.", c.crewName(r.Crew), c.siteName(v.Site), length, c.clockTime(g.Free, c.crewZone(r.crew)))
	}
}

// heardLastAt reports whether a crew was heard of at a site that day, and nowhere on its route later: it may have driven its visits
// in another order than it was sent out with.
func (c *checker) heardLastAt(crew events.CrewID, at events.SiteID) bool {
	sent, _ := c.sentRoute(crew)
	var last, there time.Time
	for _, v := range sent.Visits {
		site := c.book.Sites[v.Site]
		if site == nil {
			continue
		}
		for _, p := range []*events.Presence{site.Here, site.Gone} {
			if p == nil || p.Crew != crew || dateIn(p.Since, c.siteZone(site)) != c.plan.Date {
				continue
			}
			if p.Since.After(last) {
				last = p.Since
			}
			if v.Site == at && p.Since.After(there) {
				there = p.Since
			}
		}
	}
	return !there.IsZero() && there.Equal(last)
}

// touched reports whether a crew has done anything of a visit on the day, as far as is recorded: it is there with work still to do,
// or a job has a result; or, with nothing left to do, it was there. Of several visits to a site with work still to do it is at the
// first.
func (c *checker) touched(crew events.CrewID, v events.DayVisit) bool {
	site := c.book.Sites[v.Site]
	if site == nil {
		return false
	}
	there := func(p *events.Presence) bool {
		return p != nil && p.Crew == crew && dateIn(p.Since, c.siteZone(site)) == c.plan.Date
	}
	if !c.workLeft(v) {
		return there(site.Here) || there(site.Gone) || slices.ContainsFunc(v.Jobs, func(dj events.DayJob) bool {
			_, job := c.find(dj.JobRef)
			return job != nil && c.attempted(job)
		})
	}
	sent, _ := c.sentRoute(crew)
	first := slices.IndexFunc(sent.Visits, func(s events.DayVisit) bool { return s.Site == v.Site && c.workLeft(s) })
	return there(site.Here) && first >= 0 && reflect.DeepEqual(sent.Visits[first], v)
}

// workLeft reports whether a job of a visit still needs one, and has no result of the day.
func (c *checker) workLeft(v events.DayVisit) bool {
	return slices.ContainsFunc(v.Jobs, func(dj events.DayJob) bool {
		_, job := c.find(dj.JobRef)
		return job != nil && !c.attempted(job) && job.NeedsVisit()
	})
}

func (c *checker) attempted(job *events.Job) bool {
	return slices.ContainsFunc(job.Attempts, func(x events.Attempt) bool { return x.On == c.plan.Date })
}

func (c *checker) sentRoute(crew events.CrewID) (events.DayRoute, bool) {
	if !c.Amending {
		return events.DayRoute{}, false
	}
	day := c.book.Day(c.plan.Office, c.plan.Date)
	if day == nil || day.Sent == nil {
		return events.DayRoute{}, false
	}
	i := slices.IndexFunc(day.Sent.Routes, func(r events.DayRoute) bool { return r.Crew == crew })
	if i < 0 {
		return events.DayRoute{}, false
	}
	return day.Sent.Routes[i], true
}

// isOut reports whether a visit holds a job that the day is out with: its people are told already.
func (c *checker) isOut(v *openVisit) bool {
	return c.Amending && slices.ContainsFunc(v.jobs, func(j openJob) bool { return j.job.Dispatched != nil && j.job.Dispatched.Date == c.plan.Date })
}

// from is where and when a route goes on: at home when it starts, or where what has begun leaves the crew; at home too where that
// has no position any more.
func (c *checker) from(r *openRoute) (geo.Point, time.Time) {
	if r.Begun == nil {
		return r.crew.Home, r.Start
	}
	if site := c.book.Sites[r.Begun.Site]; site != nil && site.Position.IsSet() {
		return site.Position, r.Begun.Free
	}
	return r.crew.Home, r.Begun.Free
}

func begunMetres(g *planner.Begun) int {
	sum := 0
	if g != nil {
		for _, v := range g.Visits {
			sum += v.DriveM
		}
	}
	return sum
}

// begunVisits are the visits that a crew has begun, in the form in which others are judged, for what is said about feeds across
// visits.
func (c *checker) begunVisits(r *openRoute) []*openVisit {
	if r.Begun == nil {
		return nil
	}
	var list []*openVisit
	for _, sent := range r.Begun.Visits {
		v := &openVisit{Visit: planner.Visit{Key: sent.Key, Site: sent.Site, Arrive: sent.Arrive, Leave: sent.Leave, WaterOff: dryUntil(sent.WaterOff, r.Begun.Free)}, begun: true, route: r, site: c.book.Sites[sent.Site]}
		for _, j := range sent.Jobs {
			if a, job := c.find(j.JobRef); job != nil {
				v.jobs = append(v.jobs, openJob{planner.Job{Assembly: j.Assembly, Job: j.Job, Work: planner.Work(j.Work)}, reckon.TaskOf(c.book, a, job), job})
			}
		}
		list = append(list, v)
	}
	return list
}

// dryUntil are times without water, none of them longer than until a crew is free: it leaves no feed dry behind it unless it says so,
// however much sooner it was done than planned.
func dryUntil(dry []events.WaterOff, free time.Time) []events.WaterOff {
	dry = slices.Clone(dry)
	for i := range dry {
		if dry[i].To.After(free) {
			dry[i].To = free
		}
		if dry[i].From.After(dry[i].To) {
			dry[i].From = dry[i].To
		}
	}
	return dry
}

// begunFirst are all visits of the plan, those that have begun first.
func (c *checker) begunFirst() []*openVisit {
	var begun, ahead []*openVisit
	for _, r := range c.routes {
		begun, ahead = append(begun, c.begunVisits(r)...), append(ahead, r.visits...)
	}
	return append(begun, ahead...)
}
