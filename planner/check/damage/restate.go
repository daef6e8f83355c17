package damage

import (
	"math"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check/reckon"
)

// Restate states a plan truly from what was decided in it: the crew, order, jobs, Arrive and feed order of each visit, and
// which jobs are left out. Work, drives, waits, instants, slack, overtime and cost follow. A visit that breaks a window
// gets no slack; one that begins before the crew can be there gets no wait. The plan given is not changed.
func Restate(b *events.Book, p planner.Plan) planner.Plan {
	s := &stating{book: b, settings: p.Settings, calendar: reckon.NewCalendar(p.Date), failed: reckon.FailedOf(b, p.Office, p.Settings)}
	p.Routes = slices.Clone(p.Routes)
	p.LeftOut = slices.Clone(p.LeftOut)
	rates := reckon.RatesOf(p.Settings)
	p.Cost = planner.Cost{}
	for i := range p.Routes {
		r := s.route(p.Routes[i])
		metres := r.HomeM
		for _, v := range r.Visits {
			metres += v.DriveM
		}
		cost := planner.RouteCost{Distance: planner.MicroUSD(metres) * rates.Metre, Hours: planner.MicroUSD(r.End.Sub(r.Start)/time.Second) * rates.Second,
			Overtime: planner.MicroUSD(r.OvertimeS) * rates.OvertimeSecond, Change: r.Cost.Change}
		if len(r.Visits) == 0 {
			cost.Change = 0
		}
		cost.Total = cost.Distance + cost.Hours + cost.Overtime + cost.Change
		r.Cost = cost
		p.Routes[i] = r
		p.Cost.Distance += cost.Distance
		p.Cost.Hours += cost.Hours
		p.Cost.Overtime += cost.Overtime
		p.Cost.Change += cost.Change
	}
	s.leftOut(&p)
	p.Cost.Total = p.Cost.Distance + p.Cost.Hours + p.Cost.Overtime + p.Cost.LeftOut + p.Cost.Promise + p.Cost.Change
	return p
}

// leftOut charges each job left out with its worth, and the first of each visit that someone counts on with the promise.
func (s *stating) leftOut(p *planner.Plan) {
	promised := map[string]bool{}
	for _, l := range p.LeftOut {
		a := s.book.Assemblies[l.Assembly]
		if a == nil || l.Visit == "" || a.Job(l.Job) == nil {
			continue
		}
		promised[l.Visit] = promised[l.Visit] || s.promised(p, a, a.Job(l.Job))
	}
	trips := reckon.TripsNotSaved(s.book, *p, s.calendar)
	for i := range p.LeftOut {
		l := &p.LeftOut[i]
		l.Worth, l.Promise = 0, 0
		if a := s.book.Assemblies[l.Assembly]; a != nil && l.Visit != "" && a.Job(l.Job) != nil {
			l.Worth = reckon.Worth(a.Job(l.Job), p.Settings, p.Date) + trips[i]
		}
		if promised[l.Visit] {
			l.Promise, promised[l.Visit] = planner.MicroUSD(math.Round(p.Settings.PromiseUSD*1e6)), false
		}
		p.Cost.LeftOut += l.Worth
		p.Cost.Promise += l.Promise
	}
}

func (s *stating) promised(p *planner.Plan, a *events.Assembly, j *events.Job) bool {
	site := s.book.Sites[a.Site]
	if j.Dispatched != nil && j.Dispatched.Date == p.Date || site != nil && (len(s.calendar.Agreed(site, a.Feed)) > 0 || s.calendar.BookedFor(site, a.Feed)) ||
		site != nil && site.Notice != nil && site.Notice.For == p.Date {
		return true
	}
	day := s.book.Day(p.Office, p.Date)
	return day != nil && slices.ContainsFunc(day.Wishes, func(w events.Wish) bool {
		return !w.Out && (w.Hold || w.Crew != "") && w.Site == a.Site && (w.Feed == "" || w.Feed == a.Feed)
	})
}

type stating struct {
	book     *events.Book
	settings planner.Settings
	calendar *reckon.Calendar
	failed   reckon.Failed
}

func (s *stating) route(r planner.Route) planner.Route {
	r.Visits = slices.Clone(r.Visits)
	r.Start, r.End, r.HomeM, r.HomeS, r.OvertimeS, r.Late = time.Time{}, time.Time{}, 0, 0, 0, 0
	crew := s.book.Crews[r.Crew]
	if len(r.Visits) == 0 {
		r.Break = nil
	}
	if len(r.Visits) == 0 || crew == nil {
		return r
	}
	at := crew.Home
	var free time.Time
	for i := range r.Visits {
		v := s.visit(r.Visits[i])
		to := s.book.Sites[v.Site].Position
		drive := s.settings.Travel.Travel(at, to)
		v.DriveM, v.DriveS, v.WaitS = int(drive.Metres), int(drive.Seconds), 0
		if i == 0 {
			r.Start = v.Arrive.Add(-time.Duration(v.DriveS) * time.Second)
			if r.Break != nil && !r.Break.To.After(v.Arrive) { // at the first door
				r.Start = r.Break.From.Add(-time.Duration(v.DriveS) * time.Second)
			}
			free = r.Start
		}
		v.WaitS = max(0, int((v.Arrive.Sub(free)-r.Break.Within(free, v.Arrive))/time.Second)-v.DriveS)
		r.Visits[i], at, free = v, to, v.Leave
	}
	drive := s.settings.Travel.Travel(at, crew.Home)
	r.HomeM, r.HomeS = int(drive.Metres), int(drive.Seconds)
	if r.Break != nil && !r.Break.From.Before(free) {
		free = r.Break.To
	}
	r.End = free.Add(time.Duration(r.HomeS) * time.Second)
	if span, works, err := s.calendar.Working(crew); works && err == nil {
		r.OvertimeS = int(max(0, r.End.Sub(r.Start)-span.Duration()) / time.Second)
		s.late(&r, crew, span.Close.Add(time.Duration(max(crew.OvertimeMinutes, 0))*time.Minute))
	}
	return r
}

// late says with what chance the crew is too late for each visit and its return.
func (s *stating) late(r *planner.Route, crew *events.Crew, last time.Time) {
	behind := reckon.OnTime()
	for i := range r.Visits {
		v := &r.Visits[i]
		behind = behind.Waited(time.Duration(v.WaitS) * time.Second)
		v.Late = behind.TooLate(time.Duration(v.SlackS) * time.Second)
		for _, j := range v.Jobs {
			a := s.book.Assemblies[j.Assembly]
			if reckon.PutRight(s.book, crew, *v, reckon.TaskOf(s.book, a, a.Job(j.Job)), a.Job(j.Job), s.calendar.Date, s.settings) {
				behind = behind.After(a, s.failed.Percent(a), s.settings)
			}
		}
	}
	r.Late = behind.TooLate(last.Sub(r.End))
}

func (s *stating) visit(v planner.Visit) planner.Visit {
	var tasks []reckon.Task
	v.Jobs = slices.Clone(v.Jobs)
	for i, j := range v.Jobs {
		a := s.book.Assemblies[j.Assembly]
		task := reckon.TaskOf(s.book, a, a.Job(j.Job))
		v.Jobs[i].Work = task.Work
		tasks = append(tasks, task)
	}
	table := reckon.Lay(tasks, orderOf(v), s.settings)
	v.Leave = v.Arrive.Add(table.Length())
	v.WaterOff = append(v.WaterOff[:0:0], table.WaterOff(v.Arrive)...)
	for i := range v.WaterOff {
		off := &v.WaterOff[i]
		off.DecideBy, off.TestOnly = s.calendar.Decision(s.book.Sites[v.Site], tasks, v, *off, s.settings)
	}
	v.SlackS = 0
	if starts, err := s.starts(v); err == nil {
		if within, ok := reckon.Containing(starts, v.Arrive); ok {
			v.SlackS = int(reckon.Slack(within, v.Arrive) / time.Second)
		}
	}
	return v
}

func orderOf(v planner.Visit) []events.FeedID {
	var order []events.FeedID
	for _, off := range v.WaterOff {
		order = append(order, off.Feed)
	}
	return order
}

// feedsOf lists the feeds of a visit's jobs, each once.
func feedsOf(b *events.Book, v planner.Visit) []events.FeedID {
	var feeds []events.FeedID
	for _, j := range v.Jobs {
		if f := b.Assemblies[j.Assembly].Feed; !slices.Contains(feeds, f) {
			feeds = append(feeds, f)
		}
	}
	return feeds
}

// starts is when a visit that is laid out may begin.
func (s *stating) starts(v planner.Visit) ([]reckon.Interval, error) {
	site := s.book.Sites[v.Site]
	access, err := s.calendar.Access(site, feedsOf(s.book, v))
	if err != nil {
		return nil, err
	}
	starts := reckon.StartsWithin(access, 0, v.Leave.Sub(v.Arrive))
	for _, off := range v.WaterOff {
		window, err := s.calendar.DryWindow(site, s.book.Feeds[off.Feed])
		if err != nil {
			return nil, err
		}
		starts = reckon.Both(starts, reckon.StartsWithin(window, off.From.Sub(v.Arrive), off.To.Sub(v.Arrive)))
	}
	var tasks []reckon.Task
	for _, j := range v.Jobs {
		a := s.book.Assemblies[j.Assembly]
		tasks = append(tasks, reckon.TaskOf(s.book, a, a.Job(j.Job)))
	}
	return reckon.Both(starts, s.calendar.WhileOthersAreThere(site, tasks, v)), nil
}
