package check

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// crewName says a crew by its letter, else by its name, else by its id.
func (c *checker) crewName(id events.CrewID) string {
	crew := c.book.Crews[id]
	switch {
	case crew == nil:
		return fmt.Sprintf("crew %q", id)
	case crew.Letter != "":
		return "Crew " + crew.Letter
	}
	return "Crew " + cmp.Or(crew.Name, string(id))
}

func (c *checker) siteName(id events.SiteID) string {
	if site := c.book.Sites[id]; site != nil && site.Name != "" {
		return site.Name
	}
	return fmt.Sprintf("site %q", id)
}

func (c *checker) feedName(id events.FeedID) string {
	if feed := c.book.Feeds[id]; feed != nil && feed.Name != "" {
		return "feed " + feed.Name
	}
	return fmt.Sprintf("feed %q", id)
}

func (c *checker) purveyorName(id events.PurveyorID) string {
	if p := c.book.Purveyors[id]; p != nil && p.Name != "" {
		return p.Name
	}
	return fmt.Sprintf("purveyor %q", id)
}

// zone is the zone in which a site's times are said; UTC when it is not known.
func (c *checker) zone(name string) *time.Location {
	loc, err := c.calendar.Zone(name)
	if err != nil {
		return time.UTC
	}
	return loc
}

func (c *checker) siteZone(site *events.Site) *time.Location {
	if site == nil {
		return time.UTC
	}
	return c.zone(site.Zone)
}

func (c *checker) crewZone(crew *events.Crew) *time.Location {
	if crew == nil {
		return time.UTC
	}
	return c.zone(crew.Zone)
}

// clockTime writes 07:40, with seconds if there are any, and with the date if it is not the plan's.
func (c *checker) clockTime(t time.Time, loc *time.Location) string {
	if t.IsZero() {
		return "no time"
	}
	local, form := t.In(loc), "15:04"
	if local.Second() != 0 || local.Nanosecond() != 0 {
		form = "15:04:05.999999999"
	}
	if events.DateIn(local, loc) != c.plan.Date {
		form = "2006-01-02 " + form
	}
	return local.Format(form)
}

// spansOf writes the spans that touch the plan's date: "05:00 to 09:00 and 13:00 to 15:00".
func (c *checker) spansOf(spans []hours.Span, loc *time.Location) string {
	day := c.calendar.DayIn(loc)
	var words []string
	for _, s := range hours.Intersect(spans, []hours.Span{day}) {
		closing := c.clockTime(s.Close, loc)
		if s.Close.Equal(day.Close) {
			closing = "24:00"
		}
		words = append(words, c.clockTime(s.Open, loc)+" to "+closing)
	}
	if len(words) == 0 {
		return "not at all that day"
	}
	return strings.Join(words, " and ")
}

func isAre(n int) string {
	if n == 1 {
		return "is 1"
	}
	return fmt.Sprintf("are %d", n)
}
