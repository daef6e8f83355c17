package demo

import (
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner/hours"
)

// visit is one past stop of a crew for one assembly.
type visit struct {
	day      events.Date
	crew     int
	unit     *unit
	repair   bool
	arrive   time.Time
	leave    time.Time
	dry, wet time.Time // water off and on again
	driveM   int
	driveS   int
}

type crewDay struct {
	crew int
	day  events.Date
}

type textDay struct {
	text string
	day  events.Date
}

// diary finds room for visits in past days, inside working hours, access hours and shutdown windows.
type diary struct {
	o         Options
	loc       *time.Location
	crews     []crew
	purveyors map[events.PurveyorID]purveyor
	travel    geo.GreatCircle
	parsed    map[string]hours.Hours
	opened    map[textDay][]hours.Span // expanded before
	days      map[crewDay][]*visit
}

const (
	repairNo  = false
	repairYes = true
	// mostVisits a crew made on a past day; the log keeps only what still matters.
	mostVisits = 8
	// maxShift is how many days earlier than wanted a visit may lie.
	maxShift = 5
)

func newDiary(o Options, loc *time.Location, crews []crew, purveyors map[events.PurveyorID]purveyor) *diary {
	return &diary{o, loc, crews, purveyors, geo.GreatCircle{DetourFactor: 1.3, SpeedKmh: 45, FixedSeconds: 180}, map[string]hours.Hours{}, map[textDay][]hours.Span{}, map[crewDay][]*visit{}}
}

// testMinutes of water off, by type and size (common practice).
func testMinutes(u *unit) time.Duration {
	minutes := time.Duration(20)
	if u.facts.Size > events.InchSize(2, 0) {
		minutes = 40
	}
	if u.facts.Type.IsDetector() {
		minutes += 20
	}
	return minutes * time.Minute
}

// find looks for room on the wanted day or up to maxShift days before it; nil when there is none.
func (d *diary) find(u *unit, want events.Date, dry time.Duration, repair bool) *visit {
	p := d.purveyors[u.facts.Purveyor]
	for shift := range maxShift + 1 {
		day := want.AddDays(-shift)
		windows := hours.Intersect(d.spans(u.site.facts.AccessHours, day), d.spans(u.feed.facts.ShutdownWindow, day))
		if len(windows) == 0 || !p.facts.Closed.Open(day) && len(p.facts.Closed.Days) > 0 {
			continue
		}
		for i := range d.crews {
			c := (i + day.Sub(events.Date{})) % len(d.crews)
			if !d.crews[c].may(u, repair, p, day) {
				continue
			}
			if v := d.fit(u, c, day, windows, dry, repair); v != nil {
				return v
			}
		}
	}
	return nil
}

func (d *diary) fit(u *unit, c int, day events.Date, windows []hours.Span, dry time.Duration, repair bool) *visit {
	made := d.days[crewDay{c, day}]
	working := d.spans(d.crews[c].facts.Hours, day)
	if len(working) == 0 || len(made) >= mostVisits {
		return nil
	}
	from, free := d.crews[c].facts.Home, working[0].Open
	if n := len(made); n > 0 {
		from, free = made[n-1].unit.site.facts.Position, made[n-1].leave
	}
	drive := d.travel.Travel(from, u.site.facts.Position)
	arrive := free.Add(time.Duration(drive.Seconds) * time.Second).Truncate(time.Minute)
	for _, w := range windows {
		at := later(arrive, w.Open)
		v := &visit{day: day, crew: c, unit: u, repair: repair, arrive: at, dry: at.Add(10 * time.Minute), driveM: int(drive.Metres), driveS: int(drive.Seconds)}
		v.wet = v.dry.Add(dry)
		v.leave = v.wet.Add(10 * time.Minute)
		if !v.wet.After(w.Close) && !v.leave.After(working[0].Close) {
			return v
		}
	}
	return nil
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func (d *diary) keep(v *visit) {
	key := crewDay{v.crew, v.day}
	d.days[key] = append(d.days[key], v)
}

// spans are the openings of a day. The texts are this package's own, so they can be read.
func (d *diary) spans(text string, day events.Date) []hours.Span {
	if spans, ok := d.opened[textDay{text, day}]; ok {
		return spans
	}
	h, ok := d.parsed[text]
	if !ok {
		var err error
		if h, err = hours.Parse(text); err != nil {
			panic("demo: " + err.Error())
		}
		d.parsed[text] = h
	}
	spans := h.Spans(d.loc, day.In(d.loc), day.AddDays(1).In(d.loc))
	d.opened[textDay{text, day}] = spans
	return spans
}

// each calls every past route by day and crew.
func (d *diary) each(oldest events.Date, call func(day events.Date, routes []events.DayRoute, visits []*visit)) {
	for day := oldest; day.Before(d.o.Today); day = day.AddDays(1) {
		var routes []events.DayRoute
		var visits []*visit
		for c := range d.crews {
			made := d.days[crewDay{c, day}]
			if len(made) == 0 {
				continue
			}
			routes = append(routes, d.route(c, made))
			visits = append(visits, made...)
		}
		if len(routes) > 0 {
			call(day, routes, visits)
		}
	}
}

func (d *diary) route(c int, made []*visit) events.DayRoute {
	first, last := made[0], made[len(made)-1]
	home := d.travel.Travel(last.unit.site.facts.Position, d.crews[c].facts.Home)
	r := events.DayRoute{Crew: d.crews[c].id, Start: first.arrive.Add(-time.Duration(first.driveS) * time.Second), End: last.leave.Add(time.Duration(home.Seconds) * time.Second)}
	for _, v := range made {
		work := "test"
		if v.repair {
			work = "repair-and-retest"
		}
		r.Visits = append(r.Visits, events.DayVisit{Site: v.unit.site.id, Jobs: []events.DayJob{{JobRef: v.unit.job(), Work: work}},
			Arrive: v.arrive, Leave: v.leave, DriveM: v.driveM, DriveS: v.driveS,
			WaterOff: []events.WaterOff{{Feed: v.unit.feed.id, From: v.dry, To: v.wet}}})
	}
	return r
}

func (u *unit) job() events.JobRef {
	return events.JobRef{Assembly: u.id, Job: events.JobID("j-" + string(u.id)[2:] + "-1")}
}
