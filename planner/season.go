package planner

import (
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// seasonMemory is how far back the end of a season is looked for: every season ends once a year.
const seasonMemory = 370 * 24 * time.Hour

// SeasonEndedSince reports whether a season ended after an instant and no later than another. Who says in May that the lawn is
// filled says nothing of next January.
func SeasonEndedSince(season hours.Hours, loc *time.Location, said, at time.Time) bool {
	from := said
	if earliest := at.Add(-seasonMemory); from.Before(earliest) {
		from = earliest
	}
	return slices.ContainsFunc(season.Spans(loc, from, at), func(s hours.Span) bool { return s.Close.Before(at) })
}

// dry says why a feed holds no water on the day, or is not known to, and what to do; empty when it does.
func (c *collector) dry(f *events.Feed) (reason, change string) {
	const ask = "ask whether it is filled and note it"
	switch {
	case f.Pressurised != nil && !*f.Pressurised:
		return "the feed is drained: without pressure there is no test", "ask when it is filled and note it"
	case f.Season == "" || c.inSeason(f):
		return "", ""
	case f.Pressurised == nil:
		return "out of season (" + f.Season + "): the feed is taken as drained", ask
	}
	site := c.b.Sites[f.Site]
	loc, err := c.clock.zone(site.Zone)
	season, seasonErr := hours.ParseIn(f.Season, site.Region)
	if err != nil || seasonErr != nil || f.PressurisedAt.IsZero() {
		return "", ""
	}
	if y, m, d := c.date.YMD(); !SeasonEndedSince(season, loc, f.PressurisedAt, time.Date(y, m, d, 12, 0, 0, 0, loc)) {
		return "", ""
	}
	return fmt.Sprintf("out of season (%s): the feed was filled when that was last said, on %s, and its season has ended since", f.Season, events.DateIn(f.PressurisedAt, loc)), ask
}

// upstream are the feeds that a feed is fed from, directly and through others, the nearest first.
func upstream(b *events.Book, f *events.Feed) []*events.Feed {
	var list []*events.Feed
	for next := b.Feeds[f.FedFrom]; next != nil && next.ID != f.ID && next.Site == f.Site && !slices.Contains(list, next); next = b.Feeds[next.FedFrom] {
		list = append(list, next)
	}
	return list
}

// dryFeed is the first of a feed and those upstream of it that holds no water on the day; nil when all do.
func (c *collector) dryFeed(f *events.Feed) *events.Feed {
	for _, x := range append([]*events.Feed{f}, upstream(c.b, f)...) {
		if reason, _ := c.dry(x); reason != "" {
			return x
		}
	}
	return nil
}
