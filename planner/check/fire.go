package check

import (
	"slices"
	"time"

	"valveround/events"
)

// outage is a time in which a fire feed is out of service. Of those that the plan does not make, visit is nil.
type outage struct {
	from, to time.Time
	visit    *openVisit
}

// checkFireHours looks at every 24 hours that hold some of the plan's water off on a fire feed, and adds up for how long the
// feed is out of service in them: by this plan, by other days that are out, and as it was recorded.
func (c *checker) checkFireHours(visits []*openVisit) {
	out, begun := map[events.FeedID][]outage{}, map[events.FeedID][]outage{}
	for _, v := range visits {
		for _, off := range v.WaterOff {
			feed := c.book.Feeds[off.Feed]
			switch {
			case feed == nil || !feed.Fire:
			case v.begun:
				begun[feed.ID] = append(begun[feed.ID], outage{off.From, off.To, nil})
			default:
				out[feed.ID] = append(out[feed.ID], outage{off.From, off.To, v})
			}
		}
	}
	for _, id := range sortedKeys(out) {
		feed := c.book.Feeds[id]
		planned := out[id]
		all := slices.Concat(planned, apart(slices.Concat(begun[id], c.otherOutages(feed))))
		longest := time.Duration(c.settings.FireOut) * time.Minute
		for _, m := range feed.Measures {
			if allowed := time.Duration(m.Minutes) * time.Minute; m.Day == c.plan.Date && allowed > longest {
				longest = allowed
			}
		}
		for _, o := range planned {
			if sum := worst(all, o); sum > longest {
				c.addVisit(RuleFireHours, o.visit, "At %s, %s is out of service for %s within 24 hours; by the settings and the measures noted it may be %s.", c.siteName(o.visit.Site), c.feedName(id), sum, longest)
			}
		}
	}
}

// worst is the longest that all outages come to in any 24 hours that hold some of one of them. The sum changes its slope only
// where such a day begins or ends with an outage, so those days are enough.
func worst(all []outage, of outage) time.Duration {
	most := time.Duration(0)
	const day = 24 * time.Hour
	for _, o := range all {
		for _, from := range []time.Time{o.from, o.to, o.from.Add(-day), o.to.Add(-day)} {
			to, sum := from.Add(day), time.Duration(0)
			if !of.from.Before(to) || !of.to.After(from) {
				continue
			}
			for _, x := range all {
				begin, end := x.from, x.to
				if begin.Before(from) {
					begin = from
				}
				if end.After(to) {
					end = to
				}
				sum += max(0, end.Sub(begin))
			}
			most = max(most, sum)
		}
	}
	return most
}

// otherOutages are those of a feed besides the plan's: recorded from shutting to water on, still going on when the plan was
// made, and planned on other days that are out.
func (c *checker) otherOutages(feed *events.Feed) []outage {
	var list []outage
	for _, d := range feed.Dried {
		list = append(list, outage{d.From, d.To, nil})
	}
	if made := c.plan.MadeAt; !feed.DrySince.IsZero() && made.After(feed.DrySince) {
		list = append(list, outage{feed.DrySince, made, nil})
	}
	for _, day := range c.book.Days {
		away := day.Date.Sub(c.plan.Date)
		if day.Office != c.plan.Office || day.Sent == nil || away == 0 || away < -2 || away > 3 {
			continue
		}
		for _, r := range day.Sent.Routes {
			for _, v := range r.Visits {
				for _, off := range v.WaterOff {
					if off.Feed == feed.ID && off.To.After(c.plan.MadeAt) {
						list = append(list, outage{off.From, off.To, nil})
					}
				}
			}
		}
	}
	return list
}

// apart joins outages that overlap, so that none is counted twice.
func apart(list []outage) []outage {
	slices.SortFunc(list, func(a, b outage) int { return a.from.Compare(b.from) })
	var joined []outage
	for _, o := range list {
		n := len(joined)
		switch {
		case n == 0 || o.from.After(joined[n-1].to):
			joined = append(joined, o)
		case o.to.After(joined[n-1].to):
			joined[n-1].to = o.to
		}
	}
	return joined
}
