package backlog

import (
	"cmp"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/hours"
	"valveround/services/words"
)

// Unfilled is what holds no water, or is not known to: by customer, so that one call about many feeds is recorded with one tap.
type Unfilled struct {
	Customers []UnfilledCustomer `json:"customers"`
}

// UnfilledCustomer is one customer with its feeds.
type UnfilledCustomer struct {
	ID    string         `json:"id,omitempty"`
	Name  string         `json:"name"`
	Feeds []UnfilledFeed `json:"feeds"`
}

// UnfilledFeed is one feed that must be filled, or turned on again, before it can be tested.
type UnfilledFeed struct {
	Feed string     `json:"feed"`
	Name string     `json:"name"`
	Site words.Site `json:"site"`
	Why  string     `json:"why" doc:"in words: left shut since when, drained, or not known whether it holds water"`
	Jobs int        `json:"jobs" doc:"tests that wait for it"`
}

// UnfilledAsk says whose feeds are wanted; empty: every customer's, every site's.
type UnfilledAsk struct {
	Office   events.OfficeID
	Customer events.CustomerID
	Site     events.SiteID
	Now      time.Time
}

// NotFilled lists the feeds that were left shut, are drained, or are out of their season with nobody having said that they hold
// water while a test of them is owed. Fire lines that are out of service are restored one by one and not listed, nor is what a
// crew has dry at this moment.
func NotFilled(b *events.Book, ask UnfilledAsk) Unfilled {
	waiting := waitingJobs(b)
	by := map[events.CustomerID]*UnfilledCustomer{}
	for _, f := range b.Feeds {
		site := b.Sites[f.Site]
		if f.Office != ask.Office || site == nil || ask.Site != "" && f.Site != ask.Site || ask.Customer != "" && site.Customer != ask.Customer {
			continue
		}
		why := unfilledWhy(b, f, waiting[f.ID], ask.Now)
		everywhere := ask.Customer == "" && ask.Site == ""
		if why == "" || everywhere && waiting[f.ID] == 0 && !f.OutOfService() {
			continue // drained with nothing due is no news, but where it is asked for
		}
		c := by[site.Customer]
		if c == nil {
			c = &UnfilledCustomer{ID: string(site.Customer), Name: "no customer on record"}
			if known := b.Customers[site.Customer]; known != nil {
				c.Name = known.Name
			}
			by[site.Customer] = c
		}
		c.Feeds = append(c.Feeds, UnfilledFeed{string(f.ID), f.Name, words.SiteOf(b, f.Site), why, waiting[f.ID]})
	}
	v := Unfilled{Customers: []UnfilledCustomer{}}
	for _, c := range by {
		slices.SortFunc(c.Feeds, func(x, y UnfilledFeed) int {
			return cmp.Or(cmp.Compare(x.Site.Name, y.Site.Name), cmp.Compare(x.Feed, y.Feed))
		})
		v.Customers = append(v.Customers, *c)
	}
	slices.SortFunc(v.Customers, func(x, y UnfilledCustomer) int { return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID)) })
	return v
}

// waitingJobs counts, by feed, the jobs a crew must still go to.
func waitingJobs(b *events.Book) map[events.FeedID]int {
	n := map[events.FeedID]int{}
	for _, a := range b.Assemblies {
		for i := range a.Jobs {
			if j := &a.Jobs[i]; j.NeedsVisit() && j.Standing != events.NotOurs {
				n[a.Feed]++
			}
		}
	}
	return n
}

// unfilledWhy says why a feed is listed; empty: it is not.
func unfilledWhy(b *events.Book, f *events.Feed, waiting int, now time.Time) string {
	loc := words.Zone(b, f.Site)
	switch {
	case !f.DrySince.IsZero() || f.Fire && f.OutOfService():
		return ""
	case f.OutOfService():
		return words.Condition(*f.AsLeft) + " since " + f.LeftAt.In(loc).Format("15:04 on 2 Jan 2006")
	case f.Pressurised != nil && !*f.Pressurised:
		return "drained"
	case f.NotFilled() && waiting > 0 && !inSeason(b, f, now.In(loc)):
		return "not known whether it holds water: out of its season, " + f.Season
	case waiting > 0 && f.Season != "" && !f.PressurisedAt.IsZero() && seasonOver(b, f, now.In(loc)):
		return "not known whether it holds water: it was filled on " + f.PressurisedAt.In(loc).Format("2 Jan 2006") + ", and its season, " + f.Season + ", has ended since"
	}
	return ""
}

// seasonOver reports whether a seasonal feed's season has ended since it was last said that it is filled, and not begun again.
func seasonOver(b *events.Book, f *events.Feed, now time.Time) bool {
	region := ""
	if site := b.Sites[f.Site]; site != nil {
		region = site.Region
	}
	season, err := hours.ParseIn(f.Season, region)
	return err == nil && !inSeason(b, f, now) && planner.SeasonEndedSince(season, now.Location(), f.PressurisedAt, now)
}

// inSeason reports whether a seasonal feed holds water at an instant by the hours on record; not when they cannot be read.
func inSeason(b *events.Book, f *events.Feed, at time.Time) bool {
	region := ""
	if site := b.Sites[f.Site]; site != nil {
		region = site.Region
	}
	season, err := hours.ParseIn(f.Season, region)
	return err == nil && season.Covers(at.Location(), at, at.Add(time.Minute))
}
