package planner

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner/hours"
)

// otherHour is one end of a site's hours that would have to be otherwise: of its access hours, or of when a feed may be dry.
type otherHour struct {
	feed    events.FeedID // empty: the access hours
	opens   bool          // else it is when they end
	is, was time.Time
}

// named puts, in the place of all hours of a site being some minutes longer at both ends, those that the remedy needs, written
// out, if it holds with them alone. Not ok where the site is visited otherwise too that day, or where it was a time agreed by
// telephone that is too short: then the minutes are all that can be said.
func (p *prover) named(a *attempt, r Remedy) (Remedy, bool) {
	i := slices.IndexFunc(r.Suppose, func(x Supposition) bool { return x.What == SupposeWider })
	site := p.w.r.Book.Sites[a.site]
	if i < 0 || site == nil || r.Date != p.w.r.Date || len(p.planned[a.site]) > 0 {
		return r, false
	}
	texts := map[events.FeedID]string{}
	var order []events.FeedID
	for _, h := range p.otherHours(a, r) {
		more, ok := p.dayRule(site, h)
		if !ok || h.feed != "" && len(p.w.by.agreedFor(site, h.feed)) > 0 {
			return r, false
		}
		if _, known := texts[h.feed]; !known {
			order = append(order, h.feed)
			texts[h.feed] = site.AccessHours
			if h.feed != "" {
				texts[h.feed] = p.w.r.Book.Feeds[h.feed].ShutdownWindow
			}
		}
		texts[h.feed] += more
	}
	if len(order) == 0 {
		return r, false
	}
	list := slices.Clone(r.Suppose)
	for n, feed := range order {
		x := Supposition{What: SupposeWindow, Feed: feed, Hours: texts[feed]}
		if feed == "" {
			x = Supposition{What: SupposeAccess, Site: a.site, Hours: texts[feed]}
		}
		if n == 0 {
			list[i] = x
		} else {
			list = append(list, x)
		}
	}
	exact, ok := p.into(list, a.site, a.jobs, []int{p.w.teamOf(r.Crew)})
	return exact, ok && exact.Arrive.Equal(r.Arrive) && exact.Adds == r.Adds && exact.Worth == r.Worth
}

// dayRule adds the missing end to hours, as a rule for its day: ", 2026 May 12 06:30-07:00". Not ok over midnight.
func (p *prover) dayRule(site *events.Site, h otherHour) (string, bool) {
	loc, err := p.w.by.clock.zone(site.Zone)
	if err != nil || events.DateIn(h.is, loc) != events.DateIn(h.was, loc) {
		return "", false
	}
	from, to := h.is.In(loc), h.was.In(loc)
	if !h.opens {
		from, to = to, from
	}
	return ", " + from.Format("2006 Jan 02 15:04-") + to.Format("15:04"), true
}

// agreedFor are the times of the day that are agreed for a feed.
func (c *collector) agreedFor(site *events.Site, feed events.FeedID) []hours.Span {
	times, err := c.clock.openTimes(site, c.feeds[site.ID])
	if err != nil {
		return nil
	}
	return times.agreed[feed]
}

// otherHours says which hours of a site would have to be otherwise for the visit of a remedy, to the minute that is enough.
func (p *prover) otherHours(a *attempt, r Remedy) []otherHour {
	changed := func(x Supposition) bool {
		return x.What == SupposeWider || x.What == SupposeAccess || x.What == SupposeWindow
	}
	if r.Date != p.w.r.Date || !slices.ContainsFunc(r.Suppose, changed) {
		return nil
	}
	target, ok := p.target(p.w.by, p.w.teams, r.Suppose, a)
	if !ok {
		return nil
	}
	own, err := p.w.by.clock.openTimes(p.w.r.Book.Sites[a.site], p.w.by.feeds[a.site])
	if err != nil {
		return nil
	}
	list := missingEnds("", own.accessTo(target.feeds(p.w.r.Book)), r.Arrive, r.Arrive.Add(minutes(target.table.Minutes())))
	for _, off := range target.table.WaterOff(r.Arrive) {
		list = append(list, missingEnds(off.Feed, own.shutdown[off.Feed], off.From, off.To)...)
	}
	return list
}

// missingEnds are what is missing at either end of the span that holds most of a stretch of time; none where one holds all of it.
func missingEnds(feed events.FeedID, spans []hours.Span, from, to time.Time) []otherHour {
	if len(spans) == 0 {
		return nil
	}
	lack := func(s hours.Span) time.Duration { return max(0, s.Open.Sub(from)) + max(0, to.Sub(s.Close)) }
	best := slices.MinFunc(spans, func(a, b hours.Span) int { return int(min(max(lack(a)-lack(b), -1), 1)) })
	var ends []otherHour
	if from.Before(best.Open) {
		ends = append(ends, otherHour{feed, true, from.Truncate(time.Minute), best.Open})
	}
	if to.After(best.Close) {
		ends = append(ends, otherHour{feed, false, to.Add(time.Minute - 1).Truncate(time.Minute), best.Close})
	}
	return ends
}

// hoursWords says the hours that a remedy supposes: "the site opens at 06:30 instead of 07:00". Empty where it supposes none, or
// says no more than by how many minutes all must be longer.
func (p *prover) hoursWords(a *attempt, r Remedy) string {
	if slices.ContainsFunc(r.Suppose, func(x Supposition) bool { return x.What == SupposeWider }) {
		return ""
	}
	var words []string
	for _, h := range p.otherHours(a, r) {
		is, was := p.clockAt(a.site, h.is), p.clockAt(a.site, h.was)
		switch {
		case h.feed == "" && h.opens:
			words = append(words, fmt.Sprintf("the site opens at %s instead of %s", is, was))
		case h.feed == "":
			words = append(words, fmt.Sprintf("crews may stay until %s instead of %s", is, was))
		case h.opens:
			words = append(words, fmt.Sprintf("%s may be dry from %s instead of %s", p.w.r.Book.Feeds[h.feed].Name, is, was))
		default:
			words = append(words, fmt.Sprintf("%s may be dry until %s instead of %s", p.w.r.Book.Feeds[h.feed].Name, is, was))
		}
	}
	return strings.Join(words, " and ")
}

// startWidened begins what is said of a visit that has no time to begin as the hours are.
const startWidened = "would have a start if "

// steps are what must be done first for a remedy, in words. Hours that would have to be otherwise are a condition and no step where
// they can be named. A site that wants notice is told of the day of the remedy, if there is still time for that; else it must
// agree to the day all the same.
func (p *prover) steps(a *attempt, r Remedy, named bool) []string {
	var steps []string
	for _, step := range a.first {
		switch {
		case named && strings.HasPrefix(step, startWidened):
		case strings.HasPrefix(step, giveNotice):
			steps = append(steps, p.noticeStep(a.site, r.Date))
		default:
			steps = append(steps, step)
		}
	}
	return steps
}

func (p *prover) noticeStep(id events.SiteID, on events.Date) string {
	site := p.w.r.Book.Sites[id]
	loc, err := p.w.by.clock.zone(site.Zone)
	if err == nil && !on.AddDays(-site.NoticeDays).Before(events.DateIn(p.w.r.Now, loc)) {
		return giveNotice + on.String()
	}
	return fmt.Sprintf("agree a time for %s with the site, which wants %s notice", on, daysNotice(site))
}
