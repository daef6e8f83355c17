package damage

import (
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
)

// placing is a visit laid out anew at an instant on a crew's route.
type placing struct {
	planner.Visit
	route int // in the plan's routes
	crew  *events.Crew
	key   string // of the visit that it takes the place of; empty when it is new
}

// longestShift is how far a visit is moved at most, in steps of five minutes.
const longestShift = 8 * time.Hour

// place tries a visit on its own route and then on the others, at its own instant and then ever further from it. crewDoes
// and suits say which are worth offering: the first by crew, the second by instant.
func (m *maker) place(v planner.Visit, own int, crewDoes func(*events.Crew) bool, suits func(placing) bool, offer func(planner.Plan) bool) bool {
	order := []int{own}
	for i := range m.plan.Routes {
		if i != own {
			order = append(order, i)
		}
	}
	for _, i := range order {
		crew := m.book.Crews[m.plan.Routes[i].Crew]
		if crew == nil || !m.works(crew) || !crewDoes(crew) {
			continue
		}
		before := m.plan
		if m.room != asIs {
			m.plan = m.clear(i, v.Key)
		}
		goOn := m.placeOn(v, i, crew, suits, offer)
		if m.plan = before; !goOn {
			return false
		}
	}
	return true
}

// placeOn tries a visit on one route.
func (m *maker) placeOn(v planner.Visit, route int, crew *events.Crew, suits func(placing) bool, offer func(planner.Plan) bool) bool {
	for by := time.Duration(0); by <= longestShift; by += 5 * time.Minute {
		for _, arrive := range []time.Time{v.Arrive.Add(-by), v.Arrive.Add(by)} {
			if m.placings++; m.placings > mostPlacings {
				return false
			}
			moved := v
			moved.Arrive = arrive
			p := placing{m.visit(moved), route, crew, v.Key}
			if suits(p) && !offer(m.with(p)) {
				return false
			}
		}
	}
	return true
}

// clear is the plan with every visit of a route but one left out.
func (m *maker) clear(route int, but string) planner.Plan {
	q := m.plan
	q.Routes, q.LeftOut = slices.Clone(q.Routes), slices.Clone(q.LeftOut)
	var stay []planner.Visit
	for _, v := range q.Routes[route].Visits {
		if v.Key == but {
			stay = append(stay, v)
			continue
		}
		for _, j := range v.Jobs {
			q.LeftOut = append(q.LeftOut, planner.LeftOut{Assembly: j.Assembly, Job: j.Job, Site: v.Site, Visit: v.Key,
				Rule: "no-room", Reason: "Left out to make room for another visit.", Change: "Give it to another crew."})
		}
	}
	q.Routes[route].Visits = stay
	return q
}

// placeEach does the same for every visit of the plan in turn.
func (m *maker) placeEach(does func(planner.Visit) func(*events.Crew) bool, suits func(placing) bool, offer func(planner.Plan) bool) {
	for i, r := range m.plan.Routes {
		for _, v := range r.Visits {
			if crewDoes := does(v); crewDoes != nil && !m.place(v, i, crewDoes, suits, offer) {
				return
			}
		}
	}
}

func (m *maker) works(crew *events.Crew) bool {
	off := slices.ContainsFunc(crew.Off, func(o events.CrewOff) bool { return o.Date == m.plan.Date })
	_, works, err := m.calendar.Working(crew)
	return !off && works && err == nil
}

// with is the plan with a visit taken from where it was and put on a route by its instant, all stated truly.
func (m *maker) with(p placing) planner.Plan {
	q := m.without(p.key)
	r := &q.Routes[p.route]
	at := slices.IndexFunc(r.Visits, func(v planner.Visit) bool { return v.Arrive.After(p.Arrive) })
	if at < 0 {
		at = len(r.Visits)
	}
	r.Visits = slices.Insert(r.Visits, at, p.Visit)
	q.LeftOut = slices.DeleteFunc(slices.Clone(q.LeftOut), func(l planner.LeftOut) bool {
		return slices.ContainsFunc(p.Jobs, func(j planner.Job) bool { return j.Assembly == l.Assembly && j.Job == l.Job })
	})
	return Restate(m.book, q)
}

// without is the plan without a visit, its jobs left nowhere; nothing is stated anew.
func (m *maker) without(key string) planner.Plan {
	q := m.plan
	q.Routes = slices.Clone(q.Routes)
	for i := range q.Routes {
		q.Routes[i].Visits = slices.DeleteFunc(slices.Clone(q.Routes[i].Visits), func(v planner.Visit) bool { return v.Key == key && key != "" })
	}
	return q
}

// neighbours finds the visits before and after a placing on its route; nil where there is none.
func (m *maker) neighbours(p placing) (before, after *planner.Visit) {
	visits := m.plan.Routes[p.route].Visits
	for i := range visits {
		switch v := &visits[i]; {
		case v.Key == p.key:
		case v.Arrive.After(p.Arrive):
			return before, v
		default:
			before = v
		}
	}
	return before, nil
}

func (m *maker) driveTime(from, to events.SiteID) time.Duration {
	drive := m.settings.Travel.Travel(m.book.Sites[from].Position, m.book.Sites[to].Position)
	return time.Duration(drive.Seconds) * time.Second
}

// free reports whether the crew has time for a placing and for the drives to and from it.
func (m *maker) free(p placing) bool {
	before, after := m.neighbours(p)
	if before != nil && p.Arrive.Before(before.Leave.Add(m.driveTime(before.Site, p.Site))) {
		return false
	}
	return (after == nil || !after.Arrive.Before(p.Leave.Add(m.driveTime(p.Site, after.Site)))) && !m.outOfHours(p)
}

// outOfHours reports whether a placing makes its crew leave home before its working time or come home after its overtime.
func (m *maker) outOfHours(p placing) bool {
	span, works, err := m.calendar.Working(p.crew)
	if err != nil || !works {
		return false
	}
	before, after := m.neighbours(p)
	drive := m.settings.Travel.Travel(p.crew.Home, m.book.Sites[p.Site].Position)
	home := time.Duration(drive.Seconds) * time.Second
	latest := span.Close.Add(time.Duration(p.crew.OvertimeMinutes) * time.Minute)
	return before == nil && p.Arrive.Add(-home).Before(span.Open) || after == nil && p.Leave.Add(home).After(latest)
}

// inAccess and inWindow report whether a visit keeps the access hours, and every feed its shutdown window.
func (m *maker) inAccess(v planner.Visit) bool {
	access, err := m.calendar.Access(m.book.Sites[v.Site], feedsOf(m.book, v))
	return err == nil && within(access, v.Arrive, v.Leave)
}

func (m *maker) inWindow(v planner.Visit) bool {
	for _, off := range v.WaterOff {
		window, err := m.calendar.DryWindow(m.book.Sites[v.Site], m.book.Feeds[off.Feed])
		if err != nil || !within(window, off.From, off.To) {
			return false
		}
	}
	return true
}
