package planner

import (
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner/hours"
)

// Expected is how a visit of a day that is out would go, judged by what has happened until now.
type Expected struct {
	Over    bool      // nothing of it is left to do, or nothing was heard of its crew
	Reached time.Time // when the crew would be there, or came
	Begin   time.Time // when work could begin then; zero when it fits the hours there no more
	Leave   time.Time
}

// Expect follows a crew along its route of a day that is out: where it is, what is left there, and when it would come to
// each next visit by the planned driving and working times. A visit never begins before it was planned to. Of a crew that
// has recorded nothing on the day nothing is expected, for it may work from paper; nor of another day than today.
func Expect(b *events.Book, date events.Date, route events.DayRoute, now time.Time, s Settings) []Expected {
	c := collector{b: b, s: s, date: date, now: now, clock: newClockwork(date), feeds: feedsBySite(b)}
	return c.expect(route)
}

func feedsBySite(b *events.Book) map[events.SiteID][]*events.Feed {
	bySite := map[events.SiteID][]*events.Feed{}
	for _, f := range b.Feeds {
		bySite[f.Site] = append(bySite[f.Site], f)
	}
	return bySite
}

func (c *collector) expect(route events.DayRoute) []Expected {
	list := make([]Expected, len(route.Visits))
	crew := c.b.Crews[route.Crew]
	if crew == nil || !c.onDay(c.now, crew.Zone) || !c.heard(route) {
		for i := range list {
			list[i].Over = true
		}
		return list
	}
	place, free := crew.Home, route.Start
	for i, v := range route.Visits {
		site := c.b.Sites[v.Site]
		switch open := c.stillOpen(v); {
		case site == nil:
			list[i].Over = true
		case site.Here != nil && site.Here.Crew == route.Crew:
			leave := c.leaves(v, site.Here.Since, len(open) > 0)
			list[i] = Expected{Begin: site.Here.Since, Reached: site.Here.Since, Leave: leave, Over: len(open) == 0}
			place, free = site.Position, leave
		case len(open) == 0:
			list[i].Over = true
			place, free = site.Position, v.Leave
			if gone := site.Gone; gone != nil && gone.Crew == route.Crew && c.onDay(gone.Since, site.Zone) {
				free = gone.Since
			}
			if free.After(c.now) {
				free = c.now
			}
		default:
			rested := free
			if i > 0 {
				rested = restBefore(route.Break, route.Visits[i-1], v, free)
			}
			list[i] = c.ahead(v, site, open, place, rested)
			if !list[i].Begin.IsZero() {
				place, free = site.Position, list[i].Leave
			}
		}
	}
	return list
}

// restBefore is when a crew that is free has taken the break that lies between two visits of its route, and can go on.
func restBefore(rest *events.DayBreak, before, next events.DayVisit, free time.Time) time.Time {
	length := rest.Within(before.Leave, next.Arrive)
	if length > 0 && free.Before(rest.From) {
		free = rest.From
	}
	return free.Add(length)
}

// ahead is a visit that has not begun, reached from where the crew is free.
func (c *collector) ahead(v events.DayVisit, site *events.Site, open []Job, from geo.Point, free time.Time) Expected {
	reached := free
	if from.IsSet() && site.Position.IsSet() {
		reached = free.Add(time.Duration(c.s.Travel.Travel(from, site.Position).Seconds) * time.Second)
	}
	for _, not := range []time.Time{c.now, v.Arrive} {
		if reached.Before(not) {
			reached = not
		}
	}
	e := Expected{Reached: reached}
	times, err := c.clock.openTimes(site, c.feeds[site.ID])
	if err != nil {
		return e
	}
	table := c.s.Timetable(c.b, open)
	for _, s := range times.starts(table, stop{jobs: open}.feeds(c.b)) {
		if s.Close.Before(reached) {
			continue
		}
		e.Begin = reached
		if e.Begin.Before(s.Open) {
			e.Begin = s.Open
		}
		e.Leave = e.Begin.Add(minutes(table.Minutes()))
		if c.onDay(e.Begin, site.Zone) {
			return e
		}
		break
	}
	return Expected{Reached: reached}
}

// leaves is when a crew that is at a site would leave it: by the planned length of the visit, counted anew from the water
// going off when that is late. At a fire line whose water is not off yet the crew is taken to be still at its calls: no
// valve moves before the alarm company has answered.
func (c *collector) leaves(v events.DayVisit, since time.Time, open bool) time.Time {
	leave := since.Add(v.Leave.Sub(v.Arrive))
	if open && len(v.WaterOff) > 0 && c.untouched(v) {
		first := v.WaterOff[0]
		after := v.Leave.Sub(first.From)
		switch f := c.b.Feeds[first.Feed]; {
		case !f.DrySince.IsZero():
			leave = f.DrySince.Add(after)
		case f.Fire && leave.Before(c.now.Add(after)):
			leave = c.now.Add(after)
		}
	}
	if !open || leave.Before(c.now) {
		return c.now
	}
	return leave
}

// untouched reports whether no job of the visit has a result of the day, and no feed of it was left since the crew came.
func (c *collector) untouched(v events.DayVisit) bool {
	return len(c.stillOpen(v)) == len(v.Jobs) && !slices.ContainsFunc(v.WaterOff, func(off events.WaterOff) bool {
		f := c.b.Feeds[off.Feed]
		return f == nil || f.DrySince.IsZero() && !f.LeftAt.IsZero() && f.LeftAt.After(v.Arrive) && !f.LeftAt.After(c.now)
	})
}

// stillOpen are the jobs of a visit that wait for the crew.
func (c *collector) stillOpen(v events.DayVisit) []Job {
	var open []Job
	for _, dj := range v.Jobs {
		a := c.b.Assemblies[dj.Assembly]
		if a == nil {
			continue
		}
		j := a.Job(dj.Job)
		today := j != nil && slices.ContainsFunc(j.Attempts, func(x events.Attempt) bool { return x.On == c.date })
		if j != nil && j.NeedsVisit() && !today {
			open = append(open, Job{dj.Assembly, dj.Job, Work(dj.Work)})
		}
	}
	return open
}

// heard reports whether the crew has recorded anything of its day.
func (c *collector) heard(route events.DayRoute) bool {
	return slices.ContainsFunc(route.Visits, func(v events.DayVisit) bool {
		site := c.b.Sites[v.Site]
		if site == nil {
			return false
		}
		for _, p := range []*events.Presence{site.Here, site.Gone} {
			if p != nil && p.Crew == route.Crew && c.onDay(p.Since, site.Zone) {
				return true
			}
		}
		return len(c.stillOpen(v)) < len(v.Jobs)
	})
}

func (c *collector) onDay(at time.Time, zone string) bool {
	loc, err := c.clock.zone(zone)
	return err == nil && events.DateIn(at, loc) == c.date
}

// late says which visits of a route that is out fit no hours any more, and whether the crew would be back in time.
func (c *collector) late(t team, route events.DayRoute) []Doubt {
	var doubts []Doubt
	back := time.Time{}
	for i, e := range c.expect(route) {
		v := route.Visits[i]
		switch {
		case e.Over:
			continue
		case e.Begin.IsZero():
			site := c.b.Sites[v.Site]
			doubts = append(doubts, Doubt{"late", fmt.Sprintf("%s would be there about %s, planned %s: what is to be done fits the hours there no more; call them, give it to another crew, or plan it anew",
				t.Name, c.clockAt(e.Reached, site.Zone), c.clockAt(v.Arrive, site.Zone)), route.Crew, v.Site, ""})
			continue
		}
		back = e.Leave
		if site := c.b.Sites[v.Site]; site.Position.IsSet() && t.Home.IsSet() {
			back = back.Add(time.Duration(c.s.Travel.Travel(site.Position, t.Home).Seconds) * time.Second)
		}
	}
	if last := t.span.Close.Add(minutes(t.OvertimeMinutes)); back.After(last) && back.After(route.End) {
		doubts = append(doubts, Doubt{"late", fmt.Sprintf("%s would be back about %s; its hours and overtime end at %s", t.Name, c.clockAt(back, t.Zone), c.clockAt(last, t.Zone)), route.Crew, "", ""})
	}
	return doubts
}

func (c *collector) clockAt(at time.Time, zone string) string {
	return clockWords([]hours.Span{{Open: at, Close: at}}, zone)[:len("15:04")]
}
