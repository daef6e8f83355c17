package damage

import (
	"time"

	"valveround/events"
	"valveround/planner"
)

// fireHours plans a job on a fire feed that was left out, beside others of the day on it, so that the feed is out of service
// longer than the setting and the measures noted allow.
func (m *maker) fireHours(offer func(planner.Plan) bool) {
	for _, l := range m.plan.LeftOut {
		a := m.book.Assemblies[l.Assembly]
		if a == nil || m.book.Feeds[a.Feed] == nil || !m.book.Feeds[a.Feed].Fire {
			continue
		}
		if m.book.Sites[l.Site] == nil || a.Job(l.Job) == nil {
			continue
		}
		at := planner.Visit{Site: l.Site, Arrive: m.plan.MadeAt, Jobs: []planner.Job{{Assembly: l.Assembly, Job: l.Job}}, WaterOff: []events.WaterOff{{Feed: a.Feed}}}
		if !m.outTooLong(placing{Visit: m.visit(at)}, a.Feed) {
			continue // at no time
		}
		parted := *m
		parted.plan = m.parted(l.Site)
		goOn := parted.addLeftOut(l, func(p placing) bool { return parted.good(p) && parted.outTooLong(p, a.Feed) }, offer)
		if m.placings = parted.placings; !goOn {
			return
		}
	}
}

// parted is the plan with a visit to the whole of a site named as one to a part of it.
func (m *maker) parted(site events.SiteID) planner.Plan {
	q := m.without("")
	for i := range q.Routes {
		for k := range q.Routes[i].Visits {
			if v := &q.Routes[i].Visits[k]; v.Key == string(site) && len(v.WaterOff) > 0 {
				v.Key += "~" + string(v.WaterOff[0].Feed)
			}
		}
	}
	return q
}

// outTooLong reports whether the day's visits and a placing leave a feed dry longer than is allowed on the day. Outages of
// other days are left aside: without them it is too long already.
func (m *maker) outTooLong(p placing, id events.FeedID) bool {
	allowed := m.settings.FireOut
	for _, noted := range m.book.Feeds[id].Measures {
		if noted.Day == m.plan.Date {
			allowed = max(allowed, noted.Minutes)
		}
	}
	sum := time.Duration(0)
	add := func(v planner.Visit) {
		for _, off := range v.WaterOff {
			if off.Feed == id {
				sum += off.To.Sub(off.From)
			}
		}
	}
	add(p.Visit)
	for _, r := range m.plan.Routes {
		for _, v := range r.Visits {
			if v.Key != p.key {
				add(v)
			}
		}
	}
	return sum > time.Duration(allowed)*time.Minute
}
