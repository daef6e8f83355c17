package check

import (
	"slices"

	"valveround/events"
)

// dryTime is one feed dry in one visit.
type dryTime struct {
	events.WaterOff
	feed  *events.Feed
	visit *openVisit
}

// checkWater looks across crews: feeds that hang together are never dry together, are worked on by one crew a day, and
// where the site wants it only one leg of a manifold is touched a day.
func (c *checker) checkWater() {
	type touch struct {
		feed  *events.Feed
		visit *openVisit
	}
	dry, touched := map[events.FeedID][]dryTime{}, map[events.FeedID][]touch{}
	visits := c.begunFirst()
	for _, v := range visits {
		for _, id := range v.feeds() {
			if group, hanging := c.index.groups[id]; hanging {
				touched[group] = append(touched[group], touch{c.book.Feeds[id], v})
			}
		}
		for _, off := range v.WaterOff {
			if group, hanging := c.index.groups[off.Feed]; hanging {
				dry[group] = append(dry[group], dryTime{off, c.book.Feeds[off.Feed], v})
			}
		}
	}
	c.checkFireHours(visits)
	for _, group := range sortedKeys(dry) {
		c.checkTogether(dry[group])
	}
	for _, group := range sortedKeys(touched) {
		all := touched[group]
		for _, t := range all[1:] {
			if t.visit.begun {
				continue
			}
			if first := all[0]; t.visit.route.Crew != first.visit.route.Crew {
				c.addVisit(c.groupRule(first.feed, t.feed), t.visit, "%s and %s at %s hang together, so one crew does both in a day, not %s and %s.", c.feedName(first.feed.ID),
					c.feedName(t.feed.ID), c.siteName(t.visit.Site), c.crewName(first.visit.route.Crew), c.crewName(t.visit.route.Crew))
			}
		}
		for i, t := range all {
			site := c.book.Sites[t.feed.Site]
			if site == nil || !site.LegsOneADay || t.visit.begun {
				continue
			}
			other := slices.IndexFunc(all[:i], func(o touch) bool { return hangs(o.feed, t.feed) == RuleManifold })
			if other >= 0 {
				c.addVisit(RuleManifold, t.visit, "%s and %s are legs of one manifold; %s wants one leg a day.", c.feedName(all[other].feed.ID), c.feedName(t.feed.ID), c.siteName(t.visit.Site))
			}
		}
	}
}

// checkTogether compares each two dry times of a group.
func (c *checker) checkTogether(dry []dryTime) {
	for i, d := range dry {
		for _, e := range dry[:i] {
			rule := hangs(d.feed, e.feed)
			if rule == "" || d.visit.begun || !d.From.Before(e.To) || !e.From.Before(d.To) {
				continue
			}
			loc := c.siteZone(d.visit.site)
			c.addVisit(rule, d.visit, "At %s, %s is dry from %s to %s and %s from %s to %s; they hang together and must never be dry at the same time.",
				c.siteName(d.visit.Site), c.feedName(e.Feed), c.clockTime(e.From, loc), c.clockTime(e.To, loc),
				c.feedName(d.Feed), c.clockTime(d.From, loc), c.clockTime(d.To, loc))
		}
	}
}

// groupRule is the rule by which two feeds are of one group: legs of a manifold, or else in series, be it through others.
// A feed visited twice is judged by what it hangs together with.
func (c *checker) groupRule(f, g *events.Feed) Rule {
	if rule := hangs(f, g); rule != "" {
		return rule
	}
	if f.ID == g.ID && f.Manifold != "" {
		for _, other := range c.index.feeds[f.Site] {
			if hangs(f, other) == RuleManifold {
				return RuleManifold
			}
		}
	}
	return RuleSeries
}

// checkAsLeft asks how the feeds stand that this one hangs together with: no leg is shut while another is out of service,
// and nothing is tested that is fed from a shut feed.
func (c *checker) checkAsLeft(v *openVisit, j openJob) {
	if j.Feed == nil || !j.Dries() {
		return
	}
	for _, other := range c.index.feeds[j.Feed.Site] {
		if hangs(j.Feed, other) == RuleManifold && other.OutOfService() {
			c.addJob(RuleAsLeft, v, j.said.Job, "At %s, %s may not be shut: the other leg, %s, was left %s.", c.siteName(v.Site), c.feedName(j.Feed.ID), c.feedName(other.ID), leftWords(other))
		}
	}
	for _, up := range c.above(j.Feed) {
		if up.AsLeft != nil && up.AsLeft.Service == events.Shut {
			c.addJob(RuleAsLeft, v, j.said.Job, "At %s, %s cannot be tested: %s, which feeds it, was left shut.", c.siteName(v.Site), c.feedName(j.Feed.ID), c.feedName(up.ID))
		}
	}
}

func leftWords(f *events.Feed) string {
	if f.AsLeft.Service == events.InService {
		return "with a valve not open"
	}
	return string(f.AsLeft.Service)
}
