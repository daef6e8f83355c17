package planner

import (
	"fmt"
	"strings"
	"time"

	"valveround/events"
)

// InWords prints the plan for a person: every route and stop with its water off, what is left out and why, and the money of
// each, which adds up to the cent. Times of a stop are on its site's clock.
func (p Plan) InWords(b *events.Book) string {
	w := &writer{b: b, p: p}
	w.line("Plan for %s %s", p.Date.Weekday(), p.Date)
	for _, text := range p.Settings.Describe() {
		w.line("  %s", text)
	}
	for _, text := range p.Settings.learnedWords(b, p.Office) {
		w.line("  %s", text)
	}
	for _, f := range p.OnRecord {
		w.line("  on record: %s", f.InWords(p.Settings))
	}
	jobs, drive := 0, 0
	for _, r := range p.Routes {
		w.route(r)
		drive += r.HomeS
		for _, v := range r.Visits {
			jobs += len(v.Jobs)
			drive += v.DriveS
		}
	}
	w.line("%s planned, %d left out, %d h %02d min driving", counted(jobs, "job"), len(p.LeftOut), drive/3600, drive/60%60)
	if risk := p.Risk(); risk > 0 {
		w.line("risk: crews that come too late because they put right at once what failed before, %.2f USD expected at %.2f USD each, not in the total", risk.USD(), p.Settings.LateUSD)
	}
	w.money()
	return w.text.String()
}

type writer struct {
	text strings.Builder
	b    *events.Book
	p    Plan
}

func (w *writer) line(format string, args ...any) {
	w.text.WriteString(strings.TrimRight(fmt.Sprintf(format, args...), " "))
	w.text.WriteByte('\n')
}

func (w *writer) crew(id events.CrewID) string {
	if c := w.b.Crews[id]; c != nil {
		return c.Name
	}
	return string(id)
}

// site is its name and its clock.
func (w *writer) site(id events.SiteID) (string, *time.Location) {
	s := w.b.Sites[id]
	if s == nil {
		return string(id), time.UTC
	}
	loc, err := time.LoadLocation(s.Zone)
	if err != nil {
		loc = time.UTC
	}
	return s.Name, loc
}

// home is the crew's zone, which a plan read from a file does not hold.
func (w *writer) home(id events.CrewID, otherwise *time.Location) *time.Location {
	if c := w.b.Crews[id]; c != nil {
		if loc, err := time.LoadLocation(c.Zone); err == nil {
			return loc
		}
	}
	return otherwise
}

// clock is how times of the day are written in a zone: with its name in a night on which clocks change.
func (w *writer) clock(loc *time.Location) string { return clockFormat(w.p.Date, loc) }

func clockFormat(date events.Date, loc *time.Location) string {
	if date.AddDays(1).In(loc).Sub(date.In(loc)) != 24*time.Hour {
		return "15:04 MST"
	}
	return "15:04"
}

// clockOn is a time of the day in a zone; with the zone's name on a day on which clocks change.
func clockOn(date events.Date, at time.Time, loc *time.Location) string {
	return at.In(loc).Format(clockFormat(date, loc))
}

// rest says when and where a crew takes its break on the way.
func (w *writer) rest(r Route, loc *time.Location) {
	if r.Break == nil {
		return
	}
	at, _ := w.site(r.Break.Site)
	w.line("      break %d min, from %s, at %s", int(r.Break.To.Sub(r.Break.From)/time.Minute), r.Break.From.In(loc).Format(w.clock(loc)), at)
}

func (w *writer) route(r Route) {
	if len(r.Visits) == 0 && r.Begun == nil {
		w.line("%s: no visits", w.crew(r.Crew))
		return
	}
	loc := w.home(r.Crew, r.Start.Location())
	if r.Late >= tellLateFrom {
		defer w.line("      %s that %s is home after its hours and overtime, if what fails is cleaned and tested again at once", oneIn(r.Late), w.crew(r.Crew))
	}
	if r.Begun != nil {
		w.begun(r, loc)
	}
	w.line("%s: leaves %s, is back %s, %s", w.crew(r.Crew), r.Start.In(loc).Format(w.clock(loc)), r.End.In(loc).Format(w.clock(loc)), counted(len(r.Visits), "visit"))
	w.rest(r, loc)
	for i, v := range r.Visits {
		name, loc := w.site(v.Site)
		held := ""
		if v.Hold {
			held = ", held"
		}
		w.line("  %2d. %s to %s  %s%s: %s", i+1, v.Arrive.In(loc).Format(w.clock(loc)), v.Leave.In(loc).Format(w.clock(loc)), name, held, w.works(v))
		for _, off := range v.WaterOff {
			w.line("        %s is dry %s to %s", w.feed(off.Feed), off.From.In(loc).Format("15:04 MST"), off.To.In(loc).Format("15:04 MST"))
		}
		for _, note := range v.Notes {
			w.line("        %s", note)
		}
	}
}

// begun says what of a route that is out stays as it is.
func (w *writer) begun(r Route, loc *time.Location) {
	var sites []string
	for _, v := range r.Begun.Visits {
		name, _ := w.site(v.Site)
		sites = append(sites, name)
	}
	at, _ := w.site(r.Begun.Site)
	unheard := ""
	if r.Begun.Unheard {
		unheard = "; nothing was heard of it, so it is taken to be on its route"
	}
	w.line("%s: has begun %s; is free %s at %s%s", w.crew(r.Crew), strings.Join(sites, ", "), r.Begun.Free.In(loc).Format(w.clock(loc)), at, unheard)
}

func (w *writer) feed(id events.FeedID) string {
	if f := w.b.Feeds[id]; f != nil {
		return f.Name
	}
	return string(id)
}

// works says what is done: "test of 2, repair and retest of 1".
func (w *writer) works(v Visit) string {
	count := map[Work]int{}
	for _, j := range v.Jobs {
		count[j.Work]++
	}
	var words []string
	for _, x := range []struct {
		work Work
		name string
	}{{InspectWork, "inspection of"}, {TestWork, "test of"}, {RepairWork, "repair and retest of"}} {
		if n := count[x.work]; n > 0 {
			words = append(words, fmt.Sprintf("%s %d", x.name, n))
		}
	}
	return strings.Join(words, ", ")
}

// counted is a number of things: "1 visit", "3 visits".
func counted(n int, one string) string {
	if n != 1 {
		one += "s"
	}
	return fmt.Sprintf("%d %s", n, one)
}

func (w *writer) money() {
	s := w.p.Statement()
	w.line("Money in USD")
	row := func(name string, figures ...any) {
		w.line("  %-28s %10s %10s %10s %10s %10s", append([]any{name}, figures...)...)
	}
	row("", "distance", "hours", "overtime", "changes", "total")
	for _, m := range s.Routes {
		row(w.crew(m.Crew), m.Distance, m.Hours, m.Overtime, m.Change, m.Total)
	}
	row("routes", s.Sum.Distance, s.Sum.Hours, s.Sum.Overtime, s.Sum.Change, s.Sum.Total)
	row("work left out", "", "", "", "", s.Worth)
	row("promises not kept", "", "", "", "", s.Promise)
	row("total", "", "", "", "", s.Total)
	if len(w.p.LeftOut) > 0 {
		w.line("Left out, and what that costs in USD")
	}
	cost := map[events.JobRef]LeftOutMoney{}
	for _, m := range s.LeftOut {
		cost[events.JobRef{Assembly: m.Assembly, Job: m.Job}] = m
	}
	for _, l := range w.p.LeftOut {
		w.leftOut(l, cost[events.JobRef{Assembly: l.Assembly, Job: l.Job}])
	}
}

func (w *writer) leftOut(l LeftOut, m LeftOutMoney) {
	name, _ := w.site(l.Site)
	w.line("  %10s  %s, job %s, %s: %s", m.Total, name, l.Job, l.Rule, l.Reason)
	why := "no plan of the day could hold it, so nothing is charged"
	if a := w.b.Assemblies[l.Assembly]; l.Visit != "" && a != nil && a.Job(l.Job) != nil {
		why = w.p.Settings.WorthWords(a.Job(l.Job), w.p.Date)
		if trip := l.Worth - w.p.Settings.Worth(a.Job(l.Job), w.p.Date); trip > 0 {
			why += fmt.Sprintf("; and %s for the trip that it would save", dollars(trip))
		}
	}
	if m.PromiseCents > 0 {
		why += fmt.Sprintf("; and %s USD because someone counts on it", m.PromiseCents)
	}
	w.line("              costs: %s", why)
	w.line("              change: %s", l.Change)
}
