package reckon

import (
	"valveround/events"
	"valveround/planner"
)

// dueLater reports whether a job has more days left than any step of urgency asks about.
func dueLater(j *events.Job, s planner.Settings, on events.Date) bool {
	if len(s.Urgency) == 0 {
		return false
	}
	for _, step := range s.Urgency {
		if daysLeft(j, s, on) <= step.DaysLeft {
			return false
		}
	}
	return true
}

// TripsNotSaved says with what trips the jobs left out are charged besides, by their place in the list: of each visit that
// holds a job that is due and one that is due later, the first of the latter. A trip is that of the nearest crew that works on the
// date, from its home and back, with what a visit takes whatever is done.
func TripsNotSaved(b *events.Book, p planner.Plan, c *Calendar) map[int]planner.MicroUSD {
	due, later := map[string]bool{}, map[string]int{}
	for i, l := range p.LeftOut {
		a := b.Assemblies[l.Assembly]
		if l.Visit == "" || a == nil || a.Job(l.Job) == nil {
			continue
		}
		if !dueLater(a.Job(l.Job), p.Settings, p.Date) {
			due[l.Visit] = true
		} else if _, known := later[l.Visit]; !known {
			later[l.Visit] = i
		}
	}
	trips := map[int]planner.MicroUSD{}
	for visit, i := range later {
		if site := b.Sites[b.Assemblies[p.LeftOut[i].Assembly].Site]; due[visit] && site != nil {
			trips[i] = trip(b, p, c, site)
		}
	}
	return trips
}

func trip(b *events.Book, p planner.Plan, c *Calendar, site *events.Site) planner.MicroUSD {
	rates, cheapest, any := RatesOf(p.Settings), planner.MicroUSD(0), false
	for _, crew := range b.Crews {
		if crew.Office != p.Office || !crew.Home.IsSet() || !site.Position.IsSet() || crew.OffOn(p.Date) != "" {
			continue
		}
		if _, works, err := c.Working(crew); err != nil || !works {
			continue
		}
		out, home := p.Settings.Travel.Travel(crew.Home, site.Position), p.Settings.Travel.Travel(site.Position, crew.Home)
		cost := planner.MicroUSD(int64(out.Metres)+int64(home.Metres))*rates.Metre +
			planner.MicroUSD(int64(out.Seconds)+int64(home.Seconds)+int64(60*(p.Settings.VisitBefore+p.Settings.VisitAfter)))*rates.Second
		if !any || cost < cheapest {
			cheapest, any = cost, true
		}
	}
	return cheapest
}
