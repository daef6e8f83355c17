package calls

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/hours"
	"valveround/services/words"
)

// Request says for whom, from when to when, and as seen from which instant.
type Request struct {
	Book     *events.Book
	Office   events.OfficeID
	Firm     string // how the caller says who calls
	People   *words.People
	From, To events.Date // both days count
	Now      time.Time
	Settings planner.Settings
	Tomorrow events.Date
	Plan     *planner.Plan // of tomorrow; nil: none was made
}

// List groups the jobs that are owed by the last day, and those that have failed, by the customer who must be asked. Jobs
// that are out with a day to come are not on it.
func List(r Request) View {
	l := lister{Request: r, zones: map[events.SiteID]*time.Location{}, spans: map[spanKey][]hours.Span{}}
	l.days = l.workingDays()
	v := View{From: r.From, To: r.To, Now: r.Now, Tomorrow: r.Tomorrow, Planned: r.Plan != nil, Customers: []Customer{}}
	for id, jobs := range l.byCustomer() {
		v.Customers = append(v.Customers, l.customer(id, jobs))
	}
	v.Parties = l.parties()
	l.markTomorrow(v.Customers, v.Parties)
	slices.SortFunc(v.Customers, pressing)
	slices.SortFunc(v.Parties, pressingParty)
	v.Headline = headline(v.Customers) + partiesLine(v.Parties)
	return v
}

// pressing puts first whom to call first: something to ask, the least days left, more jobs.
func pressing(x, y Customer) int {
	return cmp.Or(ahead(x.Needed, y.Needed), ahead(x.OnHold == "", y.OnHold == ""), ahead(!x.AskBy.IsZero(), !y.AskBy.IsZero()), cmp.Compare(x.AskBy.Sub(events.Date{}), y.AskBy.Sub(events.Date{})),
		cmp.Compare(y.JobsIn, x.JobsIn), cmp.Compare(y.Jobs, x.Jobs), cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID))
}

func ahead(x, y bool) int {
	switch {
	case x == y:
		return 0
	case x:
		return -1
	}
	return 1
}

func headline(list []Customer) string {
	needed, sites, jobs, late, in := 0, 0, 0, 0, 0
	for _, c := range list {
		in += c.JobsIn
		if !c.Needed {
			continue
		}
		needed++
		sites += len(c.Sites)
		jobs += c.Jobs
		if c.DaysLeft != nil && *c.DaysLeft < 0 {
			late++
		}
	}
	if needed == 0 {
		return "Nobody has to be asked for the work of these weeks."
	}
	text := fmt.Sprintf("%s to make, about %s at %s.", words.Count(needed, "call", "calls"), words.Count(jobs, "job", "jobs"), words.Count(sites, "site", "sites"))
	if late > 0 {
		text += fmt.Sprintf(" %d should have been made before today.", late)
	}
	if in > 0 {
		text += fmt.Sprintf(" %s may still come into tomorrow's plan.", words.Count(in, "job", "jobs"))
	}
	return text
}

// partiesLine says how many are to be asked to come; nothing where nobody is.
func partiesLine(list []Party) string {
	if len(list) == 0 {
		return ""
	}
	places := 0
	for _, p := range list {
		places += len(p.Places)
	}
	return fmt.Sprintf(" %s to book others, for %s.", words.Count(len(list), "more call", "more calls"), words.Count(places, "place", "places"))
}

// work is one job that is owed in these weeks.
type work struct {
	a    *events.Assembly
	j    *events.Job
	site *events.Site
	asks []Ask
}

// deadline is the last day of the job; zero when it is not known.
func (w work) deadline() events.Date {
	switch {
	case w.j.Failure != nil && w.j.Failure.RetestBy.Known:
		return w.j.Failure.RetestBy.On
	case w.j.Failure != nil:
		return events.Date{}
	}
	return w.j.Due
}

type lister struct {
	Request
	zones map[events.SiteID]*time.Location
	spans map[spanKey][]hours.Span
	days  []workingDay
}

func (l *lister) zone(site *events.Site) *time.Location {
	loc := l.zones[site.ID]
	if loc == nil {
		loc = words.Zone(l.Book, site.ID)
		l.zones[site.ID] = loc
	}
	return loc
}

func (l *lister) today(site *events.Site) events.Date { return events.DateIn(l.Now, l.zone(site)) }

// byCustomer sorts what is owed by whom to call; a site without a customer is a call of its own.
func (l *lister) byCustomer() map[string][]work {
	groups := map[string][]work{}
	for _, a := range l.Book.Assemblies {
		site := l.Book.Sites[a.Site]
		if a.Office != l.Office || site == nil || a.Gone {
			continue
		}
		for i := range a.Jobs {
			w := work{a: a, j: &a.Jobs[i], site: site}
			if !l.owed(w) {
				continue
			}
			w.asks = l.asksOf(w)
			groups[CallOf(site)] = append(groups[CallOf(site)], w)
		}
	}
	return groups
}

// CallOf names the call that a site belongs to: its customer, or itself.
func CallOf(site *events.Site) string {
	if site.Customer != "" {
		return string(site.Customer)
	}
	return "site:" + string(site.ID)
}

func (l *lister) owed(w work) bool {
	if !w.j.NeedsVisit() || w.j.Standing == events.NotOurs {
		return false
	}
	if out := w.j.Dispatched; out != nil && !out.Date.Before(l.today(w.site)) {
		return false
	}
	if w.j.Stage == events.StageStopped && !stoppedByWant(w.j) {
		return false
	}
	return w.j.Failure != nil || !l.To.Before(w.j.Due)
}

func (l *lister) customer(id string, jobs []work) Customer {
	c := Customer{ID: id, Jobs: len(jobs), Sites: []Site{}, Whom: []Contact{}, Asks: []Ask{}}
	if known := l.Book.Customers[events.CustomerID(id)]; known != nil {
		c.Name, c.OnHold = known.Name, known.OnHold
	}
	bySite := map[events.SiteID][]work{}
	for _, w := range jobs {
		bySite[w.site.ID] = append(bySite[w.site.ID], w)
	}
	for site, jobs := range bySite {
		s := l.site(l.Book.Sites[site], jobs)
		c.Sites = append(c.Sites, s)
		c.Minutes += s.Minutes
		c.Asks = sumAsks(c.Asks, s.Asks)
		if by := s.askBy(); len(s.Asks) > 0 && !by.IsZero() && (c.AskBy.IsZero() || by.Before(c.AskBy)) {
			c.AskBy = by
			left := by.Sub(l.today(l.Book.Sites[site]))
			c.DaysLeft = &left
		}
	}
	slices.SortFunc(c.Sites, func(x, y Site) int {
		return cmp.Or(cmp.Compare(x.DaysLeft, y.DaysLeft), cmp.Compare(x.Site.Name, y.Site.Name), cmp.Compare(x.Site.ID, y.Site.ID))
	})
	c.Name = cmp.Or(c.Name, c.Sites[0].Site.Name)
	c.Asks = oneNotice(c.Asks)
	c.Needed = len(c.Asks) > 0
	c.Whom = l.whom(c)
	c.Say = l.say(c)
	return c
}

// askBy is the last day on which asking helps the site's first deadline.
func (s Site) askBy() events.Date {
	if !s.NoticeUntil.IsZero() {
		return s.NoticeUntil
	}
	return s.Deadline
}

func (l *lister) site(site *events.Site, jobs []work) Site {
	slices.SortFunc(jobs, func(x, y work) int {
		return cmp.Or(cmp.Compare(x.a.Feed, y.a.Feed), cmp.Compare(x.a.ID, y.a.ID), cmp.Compare(x.j.ID, y.j.ID))
	})
	today := l.today(site)
	s := Site{Site: words.SiteOf(l.Book, site.ID), Access: site.AccessHours, Jobs: len(jobs), NoticeDays: site.NoticeDays, Asks: []Ask{}, Feeds: []Feed{},
		DaysLeft: l.Settings.DaysLeft(jobs[0].j, today)}
	var plan []planner.Job
	for _, w := range jobs {
		plan = append(plan, planner.Job{Assembly: w.a.ID, Job: w.j.ID, Work: planner.WorkOf(w.a, w.j)})
		if due := w.deadline(); !due.IsZero() && (s.Deadline.IsZero() || due.Before(s.Deadline)) {
			s.Deadline = due
		}
		s.DaysLeft = min(s.DaysLeft, l.Settings.DaysLeft(w.j, today))
		s.Asks = sumAsks(s.Asks, w.asks)
	}
	table := l.Settings.Timetable(l.Book, plan)
	s.Minutes = table.Minutes()
	dry := map[events.FeedID]int{}
	for _, f := range table.Feeds {
		dry[f.Feed] += f.Dry
	}
	for _, w := range jobs {
		if n := len(s.Feeds); n == 0 || s.Feeds[n-1].ID != string(w.a.Feed) {
			s.Feeds = append(s.Feeds, l.feed(site, w.a.Feed, dry[w.a.Feed]))
		}
		f := &s.Feeds[len(s.Feeds)-1]
		f.Jobs = append(f.Jobs, words.JobOf(l.Book, w.a, w.j, today, l.Settings))
	}
	l.siteAsks(site, jobs, &s)
	s.Last = l.last(site)
	return s
}

func (l *lister) feed(site *events.Site, id events.FeedID, dry int) Feed {
	f := Feed{ID: string(id), Name: string(id), Dry: dry, Jobs: []words.Job{}, Open: []Day{}}
	if known := l.Book.Feeds[id]; known != nil {
		f.Name, f.Fire, f.Window = known.Name, known.Fire, known.ShutdownWindow
		f.Open = l.open(site, known, dry)
	}
	return f
}

// last is what was said and agreed before, newest first.
func (l *lister) last(site *events.Site) []string {
	var said []string
	tell := func(event any) { said = append(said, words.SentenceIn(l.Book, l.People, event, l.zone(site))) }
	for i := len(site.Calls) - 1; i >= 0 && len(said) < 3; i-- {
		tell(site.Calls[i])
	}
	var past *events.AgreedTime
	for i, a := range site.Agreed {
		if a.To.Before(l.Now) && (past == nil || past.To.Before(a.To)) {
			past = &site.Agreed[i]
		}
	}
	if past != nil {
		tell(events.TimeAgreed{AgreedTime: *past})
	}
	return said
}

// SitesOf are the sites of a call on which a job of the office waits for a visit, by id.
func SitesOf(b *events.Book, office events.OfficeID, call string) []events.SiteID {
	var sites []events.SiteID
	for _, a := range b.Assemblies {
		site := b.Sites[a.Site]
		if a.Office != office || site == nil || CallOf(site) != call || slices.Contains(sites, a.Site) {
			continue
		}
		if slices.ContainsFunc(a.Jobs, func(j events.Job) bool { return j.NeedsVisit() && j.Standing != events.NotOurs }) {
			sites = append(sites, a.Site)
		}
	}
	slices.Sort(sites)
	return sites
}
