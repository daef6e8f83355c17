package check

import (
	"time"

	"valveround/events"
	"valveround/planner/check/reckon"
	"valveround/planner/hours"
)

// checkWindows holds a visit to the site's access hours and each feed's shutdown window, and says its slack again.
func (c *checker) checkWindows(v *openVisit) {
	if v.site == nil {
		return
	}
	loc := c.siteZone(v.site)
	fits := true
	access, err := c.calendar.Access(v.site, v.feeds())
	switch {
	case err != nil:
		c.addVisit(RuleAccess, v, "When crews may be at %s is not known: %v.", c.siteName(v.Site), err)
		return
	case !reckon.Within(access, v.Arrive, v.Leave):
		fits = false
		c.addVisit(RuleAccess, v, "%s is at %s from %s to %s, but access is %s.", c.crewName(v.route.Crew), c.siteName(v.Site),
			c.clockTime(v.Arrive, loc), c.clockTime(v.Leave, loc), c.spansOf(access, loc))
	}
	starts := reckon.StartsWithin(access, 0, v.Leave.Sub(v.Arrive))
	for i, off := range v.WaterOff {
		feed := c.book.Feeds[off.Feed]
		if feed == nil || feed.Site != v.Site {
			fits = false
			c.addVisit(RuleWindow, v, "%s has no feed %q.", c.siteName(v.Site), off.Feed)
			continue
		}
		window, err := c.calendar.DryWindow(v.site, feed)
		switch {
		case err != nil:
			fits = false
			c.addVisit(RuleWindow, v, "When %s may be dry is not known: %v.", c.feedName(feed.ID), err)
			continue
		case !reckon.Within(window, off.From, off.To):
			fits = false
			c.sayWindow(v, i, window, loc)
		}
		starts = reckon.Both(starts, reckon.StartsWithin(window, off.From.Sub(v.Arrive), off.To.Sub(v.Arrive)))
	}
	if fits {
		c.checkSlack(v, reckon.Both(starts, c.calendar.WhileOthersAreThere(v.site, v.tasks(), v.Visit)))
	}
}

// sayWindow finds the words for water that is off outside the window.
func (c *checker) sayWindow(v *openVisit, i int, window []hours.Span, loc *time.Location) {
	off, crew, site := v.WaterOff[i], c.crewName(v.route.Crew), c.siteName(v.Site)
	for _, s := range window {
		if !off.From.Before(s.Open) && off.From.Before(s.Close) {
			c.addVisit(RuleWindow, v, "%s reaches %s at %s and shuts %s at %s; the water must be back by %s, and the work takes until %s.",
				crew, site, c.clockTime(v.Arrive, loc), c.feedName(off.Feed), c.clockTime(off.From, loc), c.clockTime(s.Close, loc), c.clockTime(off.To, loc))
			return
		}
	}
	c.addVisit(RuleWindow, v, "%s reaches %s at %s and shuts %s from %s to %s, but it may be dry %s.",
		crew, site, c.clockTime(v.Arrive, loc), c.feedName(off.Feed), c.clockTime(off.From, loc), c.clockTime(off.To, loc), c.spansOf(window, loc))
}

// checkSlack wants the time by which the visit could begin later without leaving the spans it is in.
func (c *checker) checkSlack(v *openVisit, starts []reckon.Interval) {
	within, ok := reckon.Containing(starts, v.Arrive)
	if !ok {
		return // said by checkWindows
	}
	if slack := reckon.Slack(within, v.Arrive); time.Duration(v.SlackS)*time.Second != slack {
		c.addVisit(RuleClock, v, "The visit to %s could begin %s later, not %d s.", c.siteName(v.Site), slack, v.SlackS)
	}
}

// checkSeason asks whether a feed that is to be tested holds water, and each that it is fed from.
func (c *checker) checkSeason(v *openVisit, j openJob) {
	if j.Feed == nil || !j.Dries() || v.site == nil {
		return
	}
	c.checkHoldsWater(v, j, j.Feed)
	for _, up := range c.above(j.Feed) {
		c.checkHoldsWater(v, j, up)
	}
}

// above are the feeds that water passes through on its way to a feed.
func (c *checker) above(feed *events.Feed) []*events.Feed {
	passed := map[events.FeedID]bool{feed.ID: true}
	var list []*events.Feed
	for id := feed.FedFrom; id != "" && !passed[id]; {
		passed[id] = true
		up := c.book.Feeds[id]
		if up == nil || up.Site != feed.Site {
			break
		}
		list, id = append(list, up), up.FedFrom
	}
	return list
}

func (c *checker) checkHoldsWater(v *openVisit, j openJob, feed *events.Feed) {
	switch {
	case feed.Pressurised != nil && !*feed.Pressurised:
		c.addJob(RuleSeason, v, j.said.Job, "At %s, %s is drained and cannot be tested until it is filled.", c.siteName(v.Site), c.feedName(feed.ID))
	case feed.Pressurised == nil && feed.Season != "":
		in, err := c.calendar.InSeason(feed.Season, v.site)
		if err != nil {
			c.addJob(RuleSeason, v, j.said.Job, "When %s at %s holds water is not known: %v.", c.feedName(feed.ID), c.siteName(v.Site), err)
		} else if !in {
			c.addJob(RuleSeason, v, j.said.Job, "At %s, %s holds water %s, not on %s.", c.siteName(v.Site), c.feedName(feed.ID), feed.Season, c.plan.Date)
		}
	case feed.Season != "" && !feed.PressurisedAt.IsZero():
		if over, err := c.calendar.SeasonOver(feed.Season, v.site, feed.PressurisedAt); err == nil && over {
			c.addJob(RuleSeason, v, j.said.Job, "At %s, %s was filled on %s; its season, %s, is over since.", c.siteName(v.Site), c.feedName(feed.ID),
				dateIn(feed.PressurisedAt, c.siteZone(v.site)), feed.Season)
		}
	}
}

// checkNotice wants the site told in time, a time agreed on the day, or still time to tell it when the plan was made.
func (c *checker) checkNotice(v *openVisit) {
	if v.site == nil || v.site.NoticeDays <= 0 || c.isOut(v) {
		return
	}
	by := c.plan.Date.AddDays(-v.site.NoticeDays)
	n := v.site.Notice
	given := n != nil && !n.Given.IsZero() && (n.For.IsZero() || n.For == c.plan.Date) && !by.Before(n.Given)
	agreed := len(c.calendar.Agreed(v.site)) > 0
	possible := !by.Before(dateIn(c.plan.MadeAt, c.siteZone(v.site)))
	if !given && !agreed && !possible {
		c.addVisit(RuleNotice, v, "%s must be told %d days before, by %s; no notice is recorded, and the plan was made on %s.", c.siteName(v.Site),
			v.site.NoticeDays, by, dateIn(c.plan.MadeAt, c.siteZone(v.site)))
	}
}
