package check

import (
	"slices"

	"valveround/events"
)

// checkWishes holds the plan to what the dispatcher decided: left out means on no route, and a crew that is named does
// the visit if anyone does.
func (c *checker) checkWishes() {
	day := c.book.Day(c.plan.Office, c.plan.Date)
	if day == nil {
		return
	}
	for _, wish := range day.Wishes {
		for _, r := range c.routes {
			for _, v := range r.visits {
				if !concerns(wish, v) {
					continue
				}
				switch {
				case wish.Out:
					c.addVisit(RuleWish, v, "The dispatcher left out %s, but %s goes there.", c.siteName(v.Site), c.crewName(r.Crew))
				case wish.Crew != "" && wish.Crew != r.Crew:
					c.addVisit(RuleWish, v, "The dispatcher gave %s to %s, but %s goes there.", c.siteName(v.Site), c.crewName(wish.Crew), c.crewName(r.Crew))
				}
			}
		}
	}
}

// concerns reports whether a wish is about a visit: about the whole site, or about the part that holds the feed.
func concerns(wish events.Wish, v *openVisit) bool {
	return wish.Site == v.Site && (wish.Feed == "" || slices.Contains(v.feeds(), wish.Feed))
}
