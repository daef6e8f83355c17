package papers

import (
	"cmp"
	"slices"
	"strings"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// Expiries are what ends soon, or has ended, among what the crews work with.
type Expiries struct {
	Today events.Date `json:"today"`
	Days  int         `json:"days"`
	Rows  []Expiry    `json:"rows" doc:"the earliest end first"`
}

// Expiry is one certificate, registration, licence or gauge.
type Expiry struct {
	What     string         `json:"what" enum:"tester,repairer,fire,confined-space,registration,gauge"`
	Name     string         `json:"name" doc:"in words"`
	Holder   string         `json:"holder" doc:"a person's name, or the gauge's serial"`
	ID       string         `json:"id" doc:"of the person or gauge"`
	Number   string         `json:"number,omitempty"`
	Purveyor string         `json:"purveyor,omitempty" doc:"of a registration"`
	Crews    []string       `json:"crews" doc:"letters; none: no crew has it"`
	LastDay  events.Date    `json:"last_day" doc:"on which it is valid"`
	DaysLeft int            `json:"days_left" doc:"to the last day; negative: it has ended"`
	Stops    []StoppedVisit `json:"stops" doc:"visits that are sent out, or in the proposal, for a day after it ends, and that nobody else on the crew makes good"`
	Ahead    []StoppedJob   `json:"ahead" doc:"jobs due after it ends that no crew of the office could do then, the earliest due first"`
	Words    string         `json:"words"`
}

// StoppedVisit is a visit that the crew could not do.
type StoppedVisit struct {
	Date events.Date `json:"date"`
	How  string      `json:"how" enum:"sent-out,proposed" doc:"proposed: in the day's plan, not sent out yet"`
	Crew string      `json:"crew" doc:"its letter"`
	Site words.Site  `json:"site"`
	Jobs []string    `json:"jobs"`
}

// StoppedJob is a job due after a thing ends that nobody could do then: it is done before, or the thing is renewed.
type StoppedJob struct {
	Job  string      `json:"job"`
	Due  events.Date `json:"due"`
	Site words.Site  `json:"site"`
}

// ExpiryConfig is what the list is made with.
type ExpiryConfig struct {
	Office events.OfficeID
	People *words.People
	Today  events.Date
	Days   int // how far ahead
	// Proposed are the days that are planned and not sent out.
	Proposed []events.SentOut
}

// ListExpiries lists what the office's crews hold that ends within so many days or has ended.
func ListExpiries(b *events.Book, cfg ExpiryConfig) Expiries {
	l := expiring{b: b, cfg: cfg, crews: crewsOf(b, cfg.Office)}
	e := Expiries{Today: cfg.Today, Days: cfg.Days, Rows: []Expiry{}}
	for _, id := range l.people() {
		e.Rows = append(e.Rows, l.person(b.People[id])...)
	}
	for _, id := range l.gauges() {
		if row, ok := l.gauge(b.Gauges[id]); ok {
			e.Rows = append(e.Rows, row)
		}
	}
	slices.SortStableFunc(e.Rows, func(x, y Expiry) int {
		return cmp.Or(x.LastDay.Sub(y.LastDay), cmp.Compare(x.Holder, y.Holder), cmp.Compare(x.What, y.What), cmp.Compare(x.Purveyor, y.Purveyor))
	})
	return e
}

func crewsOf(b *events.Book, office events.OfficeID) []*events.Crew {
	var list []*events.Crew
	for _, c := range b.Crews {
		if c.Office == office {
			list = append(list, c)
		}
	}
	slices.SortFunc(list, func(x, y *events.Crew) int { return cmp.Or(cmp.Compare(x.Letter, y.Letter), cmp.Compare(x.ID, y.ID)) })
	return list
}

type expiring struct {
	b     *events.Book
	cfg   ExpiryConfig
	crews []*events.Crew
}

func (l expiring) people() []events.PersonID {
	var list []events.PersonID
	for _, c := range l.crews {
		for _, id := range c.People {
			if l.b.People[id] != nil && !slices.Contains(list, id) {
				list = append(list, id)
			}
		}
	}
	return list
}

func (l expiring) gauges() []events.GaugeID {
	var list []events.GaugeID
	for _, c := range l.crews {
		for _, id := range c.Gauges {
			if l.b.Gauges[id] != nil && !slices.Contains(list, id) {
				list = append(list, id)
			}
		}
	}
	return list
}

// lettersOf names the crews for which a test holds.
func (l expiring) lettersOf(has func(*events.Crew) bool) []string {
	list := []string{}
	for _, c := range l.crews {
		if has(c) {
			list = append(list, cmp.Or(c.Letter, c.Name))
		}
	}
	return list
}

// within reports whether a last day is close enough to be listed. A thing of which a longer one is held is not asked here.
func (l expiring) within(last events.Date) bool {
	return !last.IsZero() && !l.cfg.Today.AddDays(l.cfg.Days).Before(last)
}

// credentialNames say a kind in words.
var credentialNames = map[events.CredentialKind]string{
	events.TesterCertificate: "tester's certificate", events.RepairLicence: "repair licence", events.FireLicence: "fire-line licence",
	events.ConfinedSpaceEntry: "confined-space training",
}

// person lists what ends of one person: of each kind, and of each purveyor, only what lasts longest counts.
func (l expiring) person(p *events.Person) []Expiry {
	has := func(c *events.Crew) bool { return slices.Contains(c.People, p.ID) }
	stopped := func(r *Expiry, t thing) { t.has, t.last = has, r.LastDay; l.stoppedBy(r, t) }
	row := Expiry{Holder: l.cfg.People.Name(p.ID), ID: string(p.ID), Crews: l.lettersOf(has)}
	var rows []Expiry
	for _, kind := range []events.CredentialKind{events.TesterCertificate, events.RepairLicence, events.FireLicence, events.ConfinedSpaceEntry} {
		c := newest(p.Credentials, kind)
		if c == nil || !l.within(c.Until) {
			continue
		}
		r := row
		r.What, r.Name, r.Number, r.LastDay = string(kind), credentialNames[kind], c.Number, c.Until
		stopped(&r, thing{needs: func(v sentVisit) bool { return v.needs(l.b, kind) }, held: func(v sentVisit) bool { return v.held(l.b, kind) }})
		rows = append(rows, l.finished(r))
	}
	longest := map[events.PurveyorID]events.Date{}
	for _, reg := range p.Registrations {
		if longest[reg.Purveyor].Before(reg.Until) {
			longest[reg.Purveyor] = reg.Until
		}
	}
	for purveyor, until := range longest {
		if !l.within(until) {
			continue
		}
		r := row
		r.What, r.Name, r.LastDay, r.Purveyor = "registration", "registration with ", until, string(purveyor)
		known := l.b.Purveyors[purveyor]
		if known != nil {
			r.Purveyor = known.Name
		}
		r.Name += r.Purveyor
		if known != nil && known.RegistrationRequired {
			stopped(&r, thing{needs: func(v sentVisit) bool { return v.a.Purveyor == purveyor }, held: func(v sentVisit) bool { return v.held(l.b, events.TesterCertificate) }})
		}
		rows = append(rows, l.finished(r))
	}
	return rows
}

func (l expiring) gauge(g *events.Gauge) (Expiry, bool) {
	last := g.CertifiedUntil.AddDays(-1) // the anniversary itself does not count, see Gauge.Valid
	if !l.within(last) {
		return Expiry{}, false
	}
	has := func(c *events.Crew) bool { return slices.Contains(c.Gauges, g.ID) }
	r := Expiry{What: "gauge", Name: "gauge's certificate", Holder: cmp.Or(g.Serial, string(g.ID)), ID: string(g.ID), Crews: l.lettersOf(has), LastDay: last}
	l.stoppedBy(&r, thing{has: has, last: last, needs: func(v sentVisit) bool { return v.gauged() && v.fits(l.b, g) },
		held: func(v sentVisit) bool { return v.gaugeHeld(l.b) }})
	return l.finished(r), true
}

func (l expiring) finished(r Expiry) Expiry {
	r.DaysLeft = r.LastDay.Sub(l.cfg.Today)
	if r.Stops == nil {
		r.Stops = []StoppedVisit{}
	}
	if r.Ahead == nil {
		r.Ahead = []StoppedJob{}
	}
	r.Words = upper(r.Name) + " of " + r.Holder
	if r.What == "gauge" {
		r.Words = "Certificate of gauge " + r.Holder
	}
	switch {
	case r.DaysLeft < 0:
		r.Words += " ended on " + words.Day(r.LastDay)
	case r.DaysLeft == 0:
		r.Words += " ends today"
	default:
		r.Words += " ends on " + words.Day(r.LastDay)
	}
	sent := 0
	for _, s := range r.Stops {
		sent += count(s.How == sentOut)
	}
	if said := filled(some(sent, "sent-out visit", "sent-out visits"), some(len(r.Stops)-sent, "proposed visit", "proposed visits"),
		some(len(r.Ahead), "job that falls due later", "jobs that fall due later")); len(said) > 0 {
		r.Words += "; it would stop " + strings.Join(said, ", ")
	}
	r.Words += "."
	return r
}

// some counts what there is; nothing when there is none.
func some(n int, one, many string) string {
	if n == 0 {
		return ""
	}
	return words.Count(n, one, many)
}

// The ways a visit can be before the crew has gone.
const (
	sentOut  = "sent-out"
	proposed = "proposed"
)

// thing is a certificate, registration, licence or gauge that ends.
type thing struct {
	last  events.Date             // on which it is valid
	has   func(*events.Crew) bool // which crews have it
	needs func(v sentVisit) bool  // the job asks for such a thing
	held  func(v sentVisit) bool  // somebody on the crew has such a thing that is valid on the day
}

// lacking reports whether a visit would be stopped.
func (t thing) lacking(v sentVisit) bool { return v.after(t.last) && t.needs(v) && !t.held(v) }

func (l expiring) stoppedBy(r *Expiry, t thing) {
	r.Stops, r.Ahead = l.stops(t), l.ahead(t)
}

// sentVisit is one job of a visit that is sent out or proposed and not over, or of a job due ahead.
type sentVisit struct {
	date events.Date
	crew *events.Crew
	a    *events.Assembly
	work planner.Work
}

func (v sentVisit) after(last events.Date) bool { return last.Before(v.date) }

// needs reports whether the job asks for a credential.
func (v sentVisit) needs(b *events.Book, kind events.CredentialKind) bool {
	switch kind {
	case events.TesterCertificate:
		return true
	case events.RepairLicence:
		return v.work == planner.RepairWork
	case events.FireLicence:
		f := b.Feeds[v.a.Feed]
		return v.work != planner.InspectWork && f != nil && f.Fire
	case events.ConfinedSpaceEntry:
		return v.a.Vault == events.PermitVault
	}
	return false
}

// held reports whether somebody on the crew holds it on the day; a tester must also be registered where that is asked for.
func (v sentVisit) held(b *events.Book, kind events.CredentialKind) bool {
	p := b.Purveyors[v.a.Purveyor]
	return slices.ContainsFunc(v.crew.People, func(id events.PersonID) bool {
		who := b.People[id]
		if who == nil || !who.Holds(kind, v.date) {
			return false
		}
		return kind != events.TesterCertificate || p == nil || !p.RegistrationRequired || who.RegisteredWith(p.ID, v.date)
	})
}

func (v sentVisit) gauged() bool { return v.work != planner.InspectWork }

// fits reports whether a gauge may be used on the unit at all, whatever the day.
func (v sentVisit) fits(b *events.Book, g *events.Gauge) bool {
	potable := v.a.Service != events.Irrigation && v.a.Service != events.Process
	p := b.Purveyors[v.a.Purveyor]
	return (g.Potable || !potable) && (p == nil || !p.GaugeRegistrationRequired || g.RegisteredFor(p.ID))
}

func (v sentVisit) gaugeHeld(b *events.Book) bool {
	return slices.ContainsFunc(v.crew.Gauges, func(id events.GaugeID) bool {
		g := b.Gauges[id]
		return g != nil && g.ValidFor(b.Purveyors[v.a.Purveyor], v.date) && v.fits(b, g)
	})
}

// stops lists the sent-out and proposed visits, from today on, of a crew that has the thing, with a job that it would lack it
// for.
func (l expiring) stops(t thing) []StoppedVisit {
	var list []StoppedVisit
	for _, day := range l.b.Days {
		if day.Office == l.cfg.Office && day.Sent != nil {
			list = append(list, l.stopsOn(*day.Sent, sentOut, t)...)
		}
	}
	for _, day := range l.cfg.Proposed {
		if out := l.b.Day(l.cfg.Office, day.Date); out == nil || out.Sent == nil {
			list = append(list, l.stopsOn(day, proposed, t)...)
		}
	}
	slices.SortStableFunc(list, func(x, y StoppedVisit) int { return x.Date.Sub(y.Date) })
	return list
}

func (l expiring) stopsOn(day events.SentOut, how string, t thing) []StoppedVisit {
	var list []StoppedVisit
	if day.Date.Before(l.cfg.Today) {
		return nil
	}
	for _, r := range day.Routes {
		crew := l.b.Crews[r.Crew]
		if crew == nil || !t.has(crew) {
			continue
		}
		for _, visit := range r.Visits {
			if jobs := l.stopped(day.Date, how, crew, visit, t); len(jobs) > 0 {
				list = append(list, StoppedVisit{Date: day.Date, How: how, Crew: cmp.Or(crew.Letter, crew.Name), Site: words.SiteOf(l.b, visit.Site), Jobs: jobs})
			}
		}
	}
	return list
}

func (l expiring) stopped(date events.Date, how string, crew *events.Crew, v events.DayVisit, t thing) []string {
	var jobs []string
	for _, dj := range v.Jobs {
		a := l.b.Assemblies[dj.Assembly]
		if a == nil {
			continue
		}
		j := a.Job(dj.Job)
		if j == nil || !j.NeedsVisit() || how == sentOut && (j.Dispatched == nil || j.Dispatched.Date != date || j.Dispatched.Crew != crew.ID) {
			continue // done, or taken off the day
		}
		if t.lacking(sentVisit{date, crew, a, planner.Work(dj.Work)}) {
			jobs = append(jobs, string(dj.Job))
		}
	}
	return jobs
}

// ahead lists the firm's jobs due after the thing ends and within the days looked at, on no sent-out day, that a crew which
// has it could do while it lasted and no crew of the office could do on the day they are due.
func (l expiring) ahead(t thing) []StoppedJob {
	var list []StoppedJob
	for _, a := range l.b.Assemblies {
		if a.Office != l.cfg.Office || a.Gone {
			continue
		}
		for i := range a.Jobs {
			j := &a.Jobs[i]
			due, known := dueBy(j)
			if !known || !j.NeedsVisit() || j.Standing != events.Ours || j.Dispatched != nil || l.cfg.Today.AddDays(l.cfg.Days).Before(due) {
				continue
			}
			if due.Before(l.cfg.Today) {
				due = l.cfg.Today // the day on which it can be done at the earliest
			}
			if l.nobody(sentVisit{date: due, a: a, work: planner.WorkOf(a, j)}, t) {
				list = append(list, StoppedJob{Job: string(j.ID), Due: due, Site: words.SiteOf(l.b, a.Site)})
			}
		}
	}
	slices.SortFunc(list, func(x, y StoppedJob) int { return cmp.Or(x.Due.Sub(y.Due), cmp.Compare(x.Job, y.Job)) })
	return list
}

// dueBy is the day by which a visit is owed: the retest after a failure, else the test.
func dueBy(j *events.Job) (events.Date, bool) {
	due := j.Due
	if j.NeedsRepair() && j.Failure != nil {
		if !j.Failure.RetestBy.Known {
			return due, false
		}
		due = j.Failure.RetestBy.On
	}
	return due, !due.IsZero()
}

// nobody reports whether a crew with the thing could do the job while it lasted, and every crew lacks it on the day.
func (l expiring) nobody(v sentVisit, t thing) bool {
	could := false
	for _, c := range l.crews {
		v.crew = c
		if !t.lacking(v) {
			return false
		}
		before := v
		before.date = t.last
		could = could || t.has(c) && t.held(before)
	}
	return could
}
