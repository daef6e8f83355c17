package damage

import (
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check/reckon"
	"valveround/planner/hours"
)

func within(spans []hours.Span, from, to time.Time) bool { return reckon.Within(spans, from, to) }

func anyCrew(planner.Visit) func(*events.Crew) bool {
	return func(*events.Crew) bool { return true }
}

// window moves a visit to a time at which the crew may be there but a feed may not be dry.
func (m *maker) window(offer func(planner.Plan) bool) {
	m.placeEach(anyCrew, func(p placing) bool { return m.inAccess(p.Visit) && !m.inWindow(p.Visit) && m.free(p) }, offer)
}

// access moves a visit to a time at which its feeds may be dry but the crew may not be there.
func (m *maker) access(offer func(planner.Plan) bool) {
	m.placeEach(anyCrew, func(p placing) bool { return !m.inAccess(p.Visit) && m.inWindow(p.Visit) && m.free(p) }, offer)
}

// booking moves a visit to a time at which its feeds may be dry and the crew may be there, but others who are wanted are not.
func (m *maker) booking(offer func(planner.Plan) bool) {
	m.placeEach(anyCrew, func(p placing) bool { return m.good(p) && !m.othersThere(p.Visit) }, offer)
}

// othersThere reports whether everybody who is wanted is booked for the visit as it is laid out.
func (m *maker) othersThere(v planner.Visit) bool {
	var tasks []reckon.Task
	for _, j := range v.Jobs {
		tasks = append(tasks, m.task(j))
	}
	_, there := reckon.Containing(m.calendar.WhileOthersAreThere(m.book.Sites[v.Site], tasks, v), v.Arrive)
	return there
}

// decide lets a unit be opened a quarter of an hour too late for its repair, or says nothing of it.
func (m *maker) decide(offer func(planner.Plan) bool) {
	for i, r := range m.plan.Routes {
		for j, v := range r.Visits {
			for k, off := range v.WaterOff {
				if !off.TestOnly && off.DecideBy.IsZero() {
					continue
				}
				q := m.without("")
				offs := slices.Clone(v.WaterOff)
				if offs[k].TestOnly = false; !off.DecideBy.IsZero() {
					offs[k].DecideBy = off.DecideBy.Add(15 * time.Minute)
				}
				q.Routes[i].Visits[j].WaterOff = offs
				if !offer(q) {
					return
				}
			}
		}
	}
}

// lacking gives a visit to a crew that lacks something for one of its jobs. What else the crew may lack does not depend on
// the time, so two times are enough.
func (m *maker) lacking(lacks func(*events.Crew, *events.Job, reckon.Task) bool, offer func(planner.Plan) bool) {
	tried := map[string]int{}
	m.placeEach(func(v planner.Visit) func(*events.Crew) bool {
		return func(crew *events.Crew) bool {
			return slices.ContainsFunc(v.Jobs, func(j planner.Job) bool {
				return lacks(crew, m.book.Assemblies[j.Assembly].Job(j.Job), m.task(j))
			})
		}
	}, func(p placing) bool {
		id := p.key + " " + string(p.crew.ID)
		if tried[id] == 2 || !m.good(p) {
			return false
		}
		tried[id]++
		return true
	}, offer)
}

// good reports whether a placing keeps every window and drive.
func (m *maker) good(p placing) bool { return m.inAccess(p.Visit) && m.inWindow(p.Visit) && m.free(p) }

func (m *maker) task(j planner.Job) reckon.Task {
	a := m.book.Assemblies[j.Assembly]
	return reckon.TaskOf(m.book, a, a.Job(j.Job))
}

// someone reports whether a crew has a person of whom all is true.
func (m *maker) someone(crew *events.Crew, is ...func(*events.Person) bool) bool {
	return slices.ContainsFunc(crew.People, func(id events.PersonID) bool {
		p := m.book.People[id]
		return p != nil && !slices.ContainsFunc(is, func(is func(*events.Person) bool) bool { return !is(p) })
	})
}

func (m *maker) holding(kind events.CredentialKind) func(*events.Person) bool {
	return func(p *events.Person) bool {
		return slices.ContainsFunc(p.Credentials, func(c events.Credential) bool { return c.Kind == kind && !c.Until.Before(m.plan.Date) })
	}
}

func (m *maker) certificate(offer func(planner.Plan) bool) {
	m.lacking(func(crew *events.Crew, _ *events.Job, t reckon.Task) bool {
		return !m.someone(crew, m.holding(events.TesterCertificate)) ||
			t.Work == planner.RepairWork && !m.someone(crew, m.holding(events.RepairLicence)) ||
			t.Assembly.Vault == events.PermitVault && (!m.someone(crew, m.holding(events.ConfinedSpaceEntry), m.holding(events.TesterCertificate)) ||
				t.Work == planner.RepairWork && !m.someone(crew, m.holding(events.ConfinedSpaceEntry), m.holding(events.RepairLicence)))
	}, offer)
}

func (m *maker) registration(offer func(planner.Plan) bool) {
	m.lacking(func(crew *events.Crew, _ *events.Job, t reckon.Task) bool {
		p := m.book.Purveyors[t.Assembly.Purveyor]
		if p == nil || !p.RegistrationRequired {
			return false
		}
		registered := func(who *events.Person) bool {
			return slices.ContainsFunc(who.Registrations, func(r events.Registration) bool { return r.Purveyor == p.ID && !r.Until.Before(m.plan.Date) })
		}
		tester := m.holding(events.TesterCertificate)
		return m.someone(crew, tester) && !m.someone(crew, tester, registered)
	}, offer)
}

func (m *maker) gauge(offer func(planner.Plan) bool) {
	m.lacking(func(crew *events.Crew, _ *events.Job, t reckon.Task) bool {
		return t.Dries() && !slices.ContainsFunc(crew.Gauges, func(id events.GaugeID) bool { return m.gaugeDoes(m.book.Gauges[id], t.Assembly) })
	}, offer)
}

func (m *maker) gaugeDoes(g *events.Gauge, a *events.Assembly) bool {
	p := m.book.Purveyors[a.Purveyor]
	last := p != nil && p.GaugeAnniversaryCounts && g != nil && m.plan.Date == g.CertifiedUntil
	if g == nil || g.Dropped != "" || !m.plan.Date.Before(g.CertifiedUntil) && !last {
		return false
	}
	if !g.Potable && a.Service != events.Irrigation && a.Service != events.Process {
		return false
	}
	return p == nil || !p.GaugeRegistrationRequired || slices.Contains(g.RegisteredWith, p.ID)
}

// parts gives a repair to a crew that has not got the kit on its truck, or plans one whose kit is not at hand yet.
func (m *maker) parts(offer func(planner.Plan) bool) {
	wanted := true
	m.lacking(func(crew *events.Crew, job *events.Job, _ reckon.Task) bool {
		return slices.ContainsFunc(job.Parts, func(p events.PartWanted) bool {
			owner := events.CrewID(p.Where)
			return owner != crew.ID && m.book.Crews[owner] != nil
		})
	}, func(q planner.Plan) bool { wanted = offer(q); return wanted })
	for _, l := range m.plan.LeftOut {
		if !wanted {
			return
		}
		a := m.book.Assemblies[l.Assembly]
		if a == nil || a.Job(l.Job) == nil {
			continue
		}
		if slices.ContainsFunc(a.Job(l.Job).Parts, func(p events.PartWanted) bool { return p.Item == "" }) {
			wanted = m.addLeftOut(l, m.good, offer)
		}
	}
}

// addLeftOut plans a job that was left out as a visit of its own.
func (m *maker) addLeftOut(l planner.LeftOut, suits func(placing) bool, offer func(planner.Plan) bool) bool {
	a, site := m.book.Assemblies[l.Assembly], m.book.Sites[l.Site]
	if site == nil || !site.Position.IsSet() || m.book.Feeds[a.Feed] == nil {
		return true
	}
	v := planner.Visit{Key: m.newKey(l.Site, a.Feed), Site: l.Site, Jobs: []planner.Job{{Assembly: l.Assembly, Job: l.Job}}}
	if m.task(v.Jobs[0]).Dries() {
		v.WaterOff = []events.WaterOff{{Feed: a.Feed}}
	}
	loc, err := m.calendar.Zone(site.Zone)
	if err != nil {
		return true
	}
	v.Arrive = m.calendar.DayIn(loc).Open.Add(12 * time.Hour)
	return m.place(v, 0, func(*events.Crew) bool { return true }, suits, offer)
}

// newKey is a key that no visit has.
func (m *maker) newKey(site events.SiteID, feed events.FeedID) string {
	taken := map[string]bool{}
	for _, r := range m.plan.Routes {
		for _, v := range r.Visits {
			taken[v.Key] = true
		}
	}
	for _, l := range m.plan.LeftOut {
		taken[l.Visit] = true
	}
	key := string(site) + "~" + string(feed)
	for _, try := range []string{key, key + "~2", key + "~3", key + "~4"} {
		if !taken[try] {
			return try
		}
	}
	return key + "~5"
}

// overlap moves a visit to begin while its crew is still at another.
func (m *maker) overlap(offer func(planner.Plan) bool) {
	m.placeEach(anyCrew, func(p placing) bool {
		before, _ := m.neighbours(p)
		return before != nil && p.Arrive.Before(before.Leave) && m.inAccess(p.Visit) && m.inWindow(p.Visit)
	}, offer)
}

// travel moves a visit to begin before its crew can have driven there, or else says a drive shorter than it is.
func (m *maker) travel(offer func(planner.Plan) bool) {
	wanted := true
	m.placeEach(anyCrew, func(p placing) bool {
		before, after := m.neighbours(p)
		if before == nil || !m.inAccess(p.Visit) || !m.inWindow(p.Visit) || m.outOfHours(p) {
			return false
		}
		if after != nil && after.Arrive.Before(p.Leave.Add(m.driveTime(p.Site, after.Site))) {
			return false
		}
		gap := p.Arrive.Sub(before.Leave)
		return gap >= 0 && gap < m.driveTime(before.Site, p.Site)
	}, func(q planner.Plan) bool { wanted = offer(q); return wanted })
	for i, r := range m.plan.Routes {
		for j, v := range r.Visits {
			if wanted && v.DriveS > 0 {
				q := m.without("")
				q.Routes[i].Visits[j].DriveS /= 2
				wanted = offer(q)
			}
		}
	}
}

// hours moves a visit to where its crew leaves home too early or comes home too late.
func (m *maker) hours(offer func(planner.Plan) bool) {
	m.placeEach(anyCrew, func(p placing) bool { return m.outOfHours(p) && m.inAccess(p.Visit) && m.inWindow(p.Visit) }, offer)
}

// missing takes a visit off its route, or a job off the list of those left out, and puts it nowhere.
func (m *maker) missing(offer func(planner.Plan) bool) {
	for _, r := range m.plan.Routes {
		for _, v := range r.Visits {
			if !offer(Restate(m.book, m.without(v.Key))) {
				return
			}
		}
	}
	for i := range m.plan.LeftOut {
		q := m.plan
		q.LeftOut = slices.Delete(slices.Clone(q.LeftOut), i, i+1)
		if !offer(Restate(m.book, q)) {
			return
		}
	}
}

func (m *maker) manifold(offer func(planner.Plan) bool) {
	m.together(func(f, g *events.Feed) bool { return f.Manifold != "" && f.Manifold == g.Manifold }, offer)
}

func (m *maker) series(offer func(planner.Plan) bool) {
	m.together(func(f, g *events.Feed) bool {
		legs := f.Manifold != "" && f.Manifold == g.Manifold
		return !legs && (f.FedFrom == g.ID || g.FedFrom == f.ID)
	}, offer)
}

// together has two feeds that hang together done by two crews on the day, dry at the same time if need be: by splitting a
// visit, by moving one of two visits, or by adding a visit that was left out.
func (m *maker) together(hang func(f, g *events.Feed) bool, offer func(planner.Plan) bool) {
	for i, r := range m.plan.Routes {
		for _, v := range r.Visits {
			if !m.apart(i, v, hang, offer) {
				return
			}
		}
	}
	for _, l := range m.plan.LeftOut {
		a := m.book.Assemblies[l.Assembly]
		if a == nil || m.book.Feeds[a.Feed] == nil || !m.partnered(m.book.Feeds[a.Feed], hang) {
			continue
		}
		suits := func(p placing) bool { return m.good(p) && m.elsewhere(p, a.Feed, hang) }
		if !m.addLeftOut(l, suits, offer) {
			return
		}
	}
}

// partnered reports whether a feed that hangs together with this one is to be dry on any route.
func (m *maker) partnered(feed *events.Feed, hang func(f, g *events.Feed) bool) bool {
	for _, r := range m.plan.Routes {
		for _, v := range r.Visits {
			for _, off := range v.WaterOff {
				if v.Site == feed.Site && off.Feed != feed.ID && m.book.Feeds[off.Feed] != nil && hang(feed, m.book.Feeds[off.Feed]) {
					return true
				}
			}
		}
	}
	return false
}

// apart gives one feed of a visit, or the whole of it, to another crew than has a feed it hangs together with.
func (m *maker) apart(own int, v planner.Visit, hang func(f, g *events.Feed) bool, offer func(planner.Plan) bool) bool {
	for i := range v.WaterOff {
		feed := m.book.Feeds[v.WaterOff[i].Feed]
		if feed == nil || !m.partnered(feed, hang) {
			continue
		}
		suits := func(p placing) bool { return m.good(p) && m.elsewhere(p, feed.ID, hang) }
		if len(v.WaterOff) == 1 {
			if !m.place(v, own, func(*events.Crew) bool { return true }, suits, offer) {
				return false
			}
			continue
		}
		if i == 0 || !slices.ContainsFunc(v.WaterOff, func(o events.WaterOff) bool {
			return o.Feed != feed.ID && m.book.Feeds[o.Feed] != nil && hang(feed, m.book.Feeds[o.Feed])
		}) {
			continue // the first feed gives the visit its key, so it stays
		}
		split := *m
		split.plan = m.without("")
		rest := split.rest(own, v, feed.ID)
		part := planner.Visit{Key: split.newKey(v.Site, feed.ID), Site: v.Site, Arrive: v.Arrive, WaterOff: []events.WaterOff{{Feed: feed.ID}}, Jobs: rest}
		ok := split.place(part, own, func(*events.Crew) bool { return true }, func(p placing) bool { return split.good(p) && split.elsewhere(p, feed.ID, hang) }, offer)
		if m.placings = split.placings; !ok {
			return false
		}
	}
	return true
}

// rest takes the jobs on a feed out of a visit and returns them; the visit becomes a part of its site's.
func (m *maker) rest(own int, v planner.Visit, feed events.FeedID) (taken []planner.Job) {
	for k := range m.plan.Routes[own].Visits {
		stays := &m.plan.Routes[own].Visits[k]
		if stays.Key != v.Key {
			continue
		}
		if stays.Key == string(v.Site) {
			stays.Key = string(v.Site) + "~" + string(v.WaterOff[0].Feed)
		}
		onFeed := func(j planner.Job) bool { return m.book.Assemblies[j.Assembly].Feed == feed }
		for _, j := range v.Jobs {
			if onFeed(j) {
				taken = append(taken, j)
			}
		}
		stays.Jobs = slices.DeleteFunc(slices.Clone(v.Jobs), onFeed)
		stays.WaterOff = slices.DeleteFunc(slices.Clone(v.WaterOff), func(o events.WaterOff) bool { return o.Feed == feed })
		*stays = m.visit(*stays)
	}
	return taken
}

// elsewhere reports whether another crew than the placing's has a feed that hangs together with this one, or, at a site
// that wants one leg a day, whether any crew has another leg.
func (m *maker) elsewhere(p placing, feed events.FeedID, hang func(f, g *events.Feed) bool) bool {
	for i, r := range m.plan.Routes {
		for _, v := range r.Visits {
			if v.Site != p.Site || v.Key == p.key {
				continue
			}
			for _, off := range v.WaterOff {
				f, g := m.book.Feeds[feed], m.book.Feeds[off.Feed]
				legs := f.Manifold != "" && f.Manifold == g.Manifold && m.book.Sites[p.Site].LegsOneADay
				if f.ID != g.ID && hang(f, g) && (i != p.route || legs) {
					return true
				}
			}
		}
	}
	return false
}

// noBreak takes a crew's break off its route, or puts it before the span it must lie in, or while the crew serves.
func (m *maker) noBreak(offer func(planner.Plan) bool) {
	for i, r := range m.plan.Routes {
		if r.Break == nil {
			continue
		}
		for _, by := range []time.Duration{0, -8 * time.Hour, r.Visits[0].Arrive.Sub(r.Break.From)} {
			q := m.without("")
			q.Routes[i].Break = nil
			if by != 0 {
				moved := *r.Break
				moved.From, moved.To = moved.From.Add(by), moved.To.Add(by)
				q.Routes[i].Break = &moved
			}
			if !offer(Restate(m.book, q)) {
				return
			}
		}
	}
}
