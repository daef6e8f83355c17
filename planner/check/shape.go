package check

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"valveround/events"
	"valveround/planner"
)

// checkSettings holds the plan to the settings it is judged by.
func (c *checker) checkSettings() {
	said, want := c.plan.Settings, c.settings
	if len(said.Urgency) == 0 && len(want.Urgency) == 0 {
		said.Urgency, want.Urgency = nil, nil
	}
	if !reflect.DeepEqual(said, want) {
		c.add(Violation{Rule: RuleSettings}, "The plan was made with other settings: %s.", differing(said, want))
	}
}

// differing names the settings that are not the same.
func differing(said, want planner.Settings) string {
	a, errA := fields(said)
	b, errB := fields(want)
	if errA != nil || errB != nil {
		return "a number of them is no number"
	}
	var names []string
	for _, name := range slices.Sorted(maps.Keys(b)) {
		if string(a[name]) != string(b[name]) {
			names = append(names, fmt.Sprintf("%s is %s and should be %s", name, a[name], b[name]))
		}
	}
	return strings.Join(names, ", ")
}

func fields(s planner.Settings) (map[string]json.RawMessage, error) {
	text, err := json.Marshal(s)
	if err != nil {
		return nil, err
	}
	named := map[string]json.RawMessage{}
	return named, json.Unmarshal(text, &named)
}

// checkDay asks whether the plan can be a plan of this book at all.
func (c *checker) checkDay() {
	p := c.plan
	if p.Date.IsZero() {
		c.add(Violation{Rule: RuleDay}, "The plan says no date.")
	}
	if p.MadeAt.IsZero() {
		c.add(Violation{Rule: RuleDay}, "The plan does not say when it was made, so notice cannot be judged.")
	}
	if p.Position > c.book.Position() {
		c.add(Violation{Rule: RuleDay}, "The plan was made at position %d of the log, but the book ends at %d.", p.Position, c.book.Position())
	}
	if day := c.book.Day(p.Office, p.Date); day != nil && day.Sent != nil && !c.Amending {
		c.add(Violation{Rule: RuleDay}, "%s is sent out already; take it back first or amend it.", p.Date)
	}
}

// checkRoutes wants every crew of the office once, and visits only on crews that work that day.
func (c *checker) checkRoutes() {
	routes := map[events.CrewID]int{}
	for _, r := range c.plan.Routes {
		at := Violation{Rule: RuleShape, Crew: r.Crew}
		routes[r.Crew]++
		if routes[r.Crew] == 2 {
			c.add(at, "%s has more than one route.", c.crewName(r.Crew))
		}
		if r.Date != c.plan.Date {
			c.add(at, "The route of %s is for %q, the plan for %s.", c.crewName(r.Crew), r.Date, c.plan.Date)
		}
		if why := c.notWorking(r.Crew); why != "" && len(r.Visits) > 0 {
			c.add(Violation{Rule: RuleCrew, Crew: r.Crew}, "%s has %d visits, but %s.", c.crewName(r.Crew), len(r.Visits), why)
		}
		if crew := c.book.Crews[r.Crew]; len(r.Visits) == 0 && (crew == nil || crew.Office != c.plan.Office) {
			c.add(Violation{Rule: RuleCrew, Crew: r.Crew}, "The plan has a route for %s, which is not of office %q.", c.crewName(r.Crew), c.plan.Office)
		}
	}
	for _, id := range slices.Sorted(maps.Keys(c.book.Crews)) {
		if c.book.Crews[id].Office == c.plan.Office && routes[id] == 0 {
			c.add(Violation{Rule: RuleShape, Crew: id}, "%s has no route, not even an empty one.", c.crewName(id))
		}
	}
}

// notWorking says why a crew does not work on the plan's date; empty when it does. A crew that is off without a reason
// is off too.
func (c *checker) notWorking(id events.CrewID) string {
	crew := c.book.Crews[id]
	if crew == nil {
		return "the book has no such crew"
	}
	if crew.Office != c.plan.Office {
		return fmt.Sprintf("it belongs to office %q", crew.Office)
	}
	for _, off := range crew.Off {
		if off.Date == c.plan.Date {
			return "it is off that day: " + off.Why
		}
	}
	_, works, err := c.calendar.Working(crew)
	switch {
	case err != nil:
		return "its working time is not known: " + err.Error()
	case !works:
		return "it does not work that day: " + crew.Hours
	}
	return ""
}

// checkKeys wants each visit's key once, and made as keys are made.
func (c *checker) checkKeys() {
	seen, whole, parts := map[string]bool{}, map[events.SiteID]bool{}, map[events.SiteID]int{}
	for _, r := range c.plan.Routes {
		for _, v := range r.Visits {
			at := Violation{Rule: RuleShape, Crew: r.Crew, Site: v.Site, Visit: v.Key}
			if seen[v.Key] {
				c.add(at, "Two visits have the key %q.", v.Key)
			}
			seen[v.Key] = true
			if !c.keyFits(v) {
				c.add(at, "The key of a visit to %s is %q; it should be the site, or the site and the first feed of this part.", c.siteName(v.Site), v.Key)
			}
			whole[v.Site] = whole[v.Site] || v.Key == string(v.Site)
			parts[v.Site]++
		}
	}
	for _, r := range c.plan.Routes {
		for _, v := range r.Visits {
			if v.Key == string(v.Site) && parts[v.Site] > 1 {
				c.add(Violation{Rule: RuleShape, Crew: r.Crew, Site: v.Site, Visit: v.Key},
					"%s is visited in parts, but one part's key is that of the whole site.", c.siteName(v.Site))
			}
		}
	}
	c.checkLeftKeys(seen)
}

// checkLeftKeys does the same for the visits that found no place: each is of one site, and on no route too.
func (c *checker) checkLeftKeys(routed map[string]bool) {
	for _, l := range c.plan.LeftOut {
		if l.Visit == "" {
			continue
		}
		at := Violation{Rule: RuleShape, Site: l.Site, Visit: l.Visit, Job: l.Job}
		if routed[l.Visit] {
			c.add(at, "Job %s is left out with visit %q, which is on a route.", l.Job, l.Visit)
		}
		feed, part := c.cutKey(l.Visit, l.Site)
		if part && !slices.ContainsFunc(c.index.feeds[l.Site], func(f *events.Feed) bool { return f.ID == feed }) || !part && l.Visit != string(l.Site) {
			c.add(at, "Job %s is left out with visit %q, which is no visit to %s.", l.Job, l.Visit, c.siteName(l.Site))
		}
	}
}

// keyFits reports whether a visit's key is the site's, or the site's with the first feed of the visit.
func (c *checker) keyFits(v planner.Visit) bool {
	feed, part := c.cutKey(v.Key, v.Site)
	if !part {
		return v.Key == string(v.Site)
	}
	if len(v.WaterOff) > 0 && v.WaterOff[0].Feed == feed {
		return true
	}
	if len(v.Jobs) == 0 {
		return false
	}
	a := c.book.Assemblies[v.Jobs[0].Assembly]
	return a != nil && a.Feed == feed
}

// cutKey takes the feed out of the key of a part: site~feed, or site~feed~2 and so on when a feed is visited in parts.
func (c *checker) cutKey(key string, site events.SiteID) (feed events.FeedID, part bool) {
	rest, part := strings.CutPrefix(key, string(site)+"~")
	if !part {
		return "", false
	}
	name, number, numbered := strings.Cut(rest, "~")
	if n, err := strconv.Atoi(number); numbered && (err != nil || n < 2 || strconv.Itoa(n) != number) {
		return "", false
	}
	return events.FeedID(name), true
}

// checkVisitShape wants jobs of the visit's site, inspections first and the rest by feed in the order of the water-off
// entries, and one such entry for each feed that must be dry.
func (c *checker) checkVisitShape(v *openVisit) {
	if v.site == nil {
		c.addVisit(RuleShape, v, "There is no site %q.", v.Site)
	}
	if len(v.Jobs) == 0 {
		c.addVisit(RuleShape, v, "%s visits %s for no job.", c.crewName(v.route.Crew), c.siteName(v.Site))
	}
	last := -1 // place of the feed before in the water-off entries
	used := map[events.FeedID]bool{}
	for _, j := range v.jobs {
		if j.Assembly.Site != v.Site {
			c.addJob(RuleShape, v, j.said.Job, "Assembly %s is at %s and not at %s.", j.said.Assembly, c.siteName(j.Assembly.Site), c.siteName(v.Site))
		}
		place := -1
		if j.Dries() {
			used[j.Assembly.Feed] = true
			place = slices.Index(v.order, j.Assembly.Feed)
			if place < 0 {
				c.addJob(RuleShape, v, j.said.Job, "Job %s dries %s, but the visit does not say when.", j.said.Job, c.feedName(j.Assembly.Feed))
				continue
			}
		}
		if place < last {
			c.addJob(RuleShape, v, j.said.Job, "The jobs at %s are not in the order in which the feeds are shut.", c.siteName(v.Site))
		}
		last = place
	}
	for i, feed := range v.order {
		if slices.Index(v.order, feed) < i {
			c.addVisit(RuleShape, v, "%s is to be shut twice in one visit to %s.", c.feedName(feed), c.siteName(v.Site))
		} else if !used[feed] {
			c.addVisit(RuleShape, v, "%s is to be shut at %s for no job.", c.feedName(feed), c.siteName(v.Site))
		}
	}
}
