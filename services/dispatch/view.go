package dispatch

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/services/words"
)

// View is a day as planned or sent out.
type View struct {
	Date     events.Date  `json:"date"`
	Zone     string       `json:"zone"`
	Status   string       `json:"status" enum:"empty,planning,proposed,sent-out"`
	Headline string       `json:"headline"`
	Position uint64       `json:"position" doc:"of the book the plan was made on"`
	Stale    string       `json:"stale,omitempty" doc:"why the plan should be made again"`
	Digest   string       `json:"digest,omitempty" doc:"of the plan shown; send-out names it, so that what is sent is what was seen"`
	SentAt   *time.Time   `json:"sent_at,omitempty"`
	Amend    []Refusal    `json:"amend,omitempty" doc:"what has changed under a day that is out, so that it should be amended"`
	Refusals []Refusal    `json:"refusals,omitempty" doc:"what the independent checker says against the plan"`
	Settings []string     `json:"settings" doc:"travel model and other settings in words"`
	Costs    []CostPart   `json:"costs"`
	TotalUSD float64      `json:"total_usd"`
	Routes   []Route      `json:"routes"`
	LeftOut  []LeftOut    `json:"left_out"`
	Progress *Searching   `json:"progress,omitempty"`
	Crews    []words.Crew `json:"crews"`
	Jobs     Counts       `json:"jobs"`
	Wishes   []Wish       `json:"wishes,omitempty"`
	Undo     string       `json:"undo,omitempty" doc:"the last change of the proposal, in words; it can be undone"`
}

// Counts sums a day up.
type Counts struct {
	Planned int `json:"planned"`
	LeftOut int `json:"left_out"`
	Done    int `json:"done"`
}

// Refusal is one thing a rule says against a plan.
type Refusal struct {
	Rule  string `json:"rule"`
	Words string `json:"words"`
	Crew  string `json:"crew,omitempty"`
	Site  string `json:"site,omitempty"`
	Job   string `json:"job,omitempty"`
}

// CostPart is one part of the money.
type CostPart struct {
	Name string  `json:"name"`
	USD  float64 `json:"usd"`
}

// Searching tells how planning goes.
type Searching struct {
	Date    events.Date `json:"date"`
	Step    string      `json:"step" doc:"collecting, solving, explaining, checking, done"`
	Seconds float64     `json:"seconds" doc:"since it began"`
	Budget  float64     `json:"budget_seconds"`
	Cost    []CostPoint `json:"cost" doc:"best so far against time"`
	Visits  int         `json:"visits_planned"`
}

// CostPoint is one point of the falling line.
type CostPoint struct {
	Seconds float64 `json:"seconds"`
	USD     float64 `json:"usd"`
}

// Route is one crew's day.
type Route struct {
	Crew      words.Crew    `json:"crew"`
	Start     time.Time     `json:"start"`
	End       time.Time     `json:"end"`
	Hours     []words.Span  `json:"hours" doc:"working time"`
	DriveS    int           `json:"drive_s"`
	DriveM    int           `json:"drive_m"`
	HomeDrive int           `json:"home_drive_s" doc:"the last leg"`
	HomeM     int           `json:"home_drive_m"`
	OvertimeS int           `json:"overtime_s"`
	Break     *words.Break  `json:"break,omitempty" doc:"on the way; missing: none, or at home"`
	Visits    []words.Visit `json:"visits"`
}

// LeftOut is a visit that is not on the plan, and why.
type LeftOut struct {
	Key       string      `json:"key"`
	Feed      string      `json:"feed,omitempty"`
	Site      words.Site  `json:"site"`
	Jobs      []words.Job `json:"jobs"`
	Minutes   int         `json:"minutes"`
	Reason    string      `json:"reason"`
	Change    string      `json:"change,omitempty" doc:"the cheapest change that would fit it"`
	DaysLeft  *int        `json:"days_left,omitempty"`
	Rule      string      `json:"rule" doc:"which rule binds, in a word"`
	Plannable bool        `json:"plannable" doc:"it could be put on a route by hand"`
	Wished    bool        `json:"wished" doc:"left out by the dispatcher"`
}

// Wish is what the dispatcher decided about a site's visit.
type Wish struct {
	Site  string `json:"site"`
	Feed  string `json:"feed,omitempty"`
	Name  string `json:"name"`
	Hold  bool   `json:"hold,omitempty"`
	Crew  string `json:"crew,omitempty"`
	Place int    `json:"place,omitempty"`
	Out   bool   `json:"out,omitempty"`
	Why   string `json:"why,omitempty"`
}

// View shows a day as it stands: sent out, else as proposed, else empty.
func (d *Desk) View(date events.Date, people *words.People) View {
	book := d.cfg.Keeper.Book()
	p := d.Proposal(date)
	v := View{Date: date, Status: "empty", Settings: d.Settings().Describe(), Costs: []CostPart{}, Routes: []Route{}, LeftOut: []LeftOut{},
		Crews: d.crews(book, people, date)}
	if loc := d.zone(book); loc != nil {
		v.Zone = loc.String()
	}
	day := book.Day(d.cfg.Office, date)
	if day != nil {
		v.Wishes = wishes(book, day)
	}
	switch {
	case day != nil && day.Sent != nil:
		d.showSent(&v, book, day, people)
		if p.Plan != nil {
			v.LeftOut = d.leftOut(book, *p.Plan)
			v.Jobs.LeftOut = countJobs(v.LeftOut)
		}
	case p.Plan != nil:
		d.showPlan(&v, book, p, people)
		v.Undo = d.Undoable(date)
	default:
		v.Undo = d.Undoable(date)
	}
	if p.Plan != nil {
		for _, f := range p.Plan.OnRecord {
			v.Settings = append(v.Settings, "on record: "+f.InWords(p.Plan.Settings))
		}
	}
	if p.Planning {
		v.Status = "planning"
	}
	if p.Planning || p.Failure != nil {
		s := SearchingOf(p.Progress)
		v.Progress = &s
	}
	if p.Failure != nil {
		v.Stale = "planning failed: " + p.Failure.Error()
	}
	v.Headline = headline(v)
	return v
}

func (d *Desk) zone(b *events.Book) *time.Location {
	for _, c := range sortedCrews(b, d.cfg.Office) {
		if loc, err := time.LoadLocation(c.Zone); err == nil {
			return loc
		}
	}
	return time.UTC
}

func sortedCrews(b *events.Book, office events.OfficeID) []*events.Crew {
	var crews []*events.Crew
	for _, c := range b.Crews {
		if c.Office == office {
			crews = append(crews, c)
		}
	}
	slices.SortFunc(crews, func(x, y *events.Crew) int {
		if x.Letter != y.Letter {
			if x.Letter < y.Letter {
				return -1
			}
			return 1
		}
		if x.ID < y.ID {
			return -1
		}
		return 1
	})
	return crews
}

func (d *Desk) crews(b *events.Book, people *words.People, date events.Date) []words.Crew {
	list := []words.Crew{}
	for _, c := range sortedCrews(b, d.cfg.Office) {
		shown := words.CrewOf(b, people, c.ID)
		shown.Off = c.OffOn(date)
		if _, works, err := planner.WorkingSpan(c, date); shown.Off == "" && (err != nil || !works) {
			shown.Off = "not a working day"
		}
		list = append(list, shown)
	}
	return list
}

func (d *Desk) showPlan(v *View, book *events.Book, p Proposal, people *words.People) {
	plan := *p.Plan
	v.Status, v.Position, v.Digest = "proposed", plan.Position, plan.Digest()
	violations := p.Violations
	if book.Position() != plan.Position {
		violations = check.Plan(book, plan, d.Settings())
		if len(violations) > 0 {
			v.Stale = "things have changed since this plan was made: plan the day again"
		}
	}
	v.Refusals = refusals(book, violations)
	v.Routes = d.routes(book, people, plan)
	v.LeftOut = d.leftOut(book, plan)
	v.Costs = costParts(plan.Cost)
	v.TotalUSD = plan.Cost.Total.USD()
	v.Jobs = countDay(v.Routes)
	v.Jobs.LeftOut = countJobs(v.LeftOut)
}

func (d *Desk) showSent(v *View, book *events.Book, day *events.Day, people *words.People) {
	v.Status, v.Position, v.SentAt = "sent-out", day.Sent.Position, &day.SentAt
	for _, r := range day.Sent.Routes {
		v.Routes = append(v.Routes, d.route(book, people, day.Date, r, nil))
	}
	v.Jobs = countDay(v.Routes)
	doubts, err := planner.Doubts(book, d.cfg.Office, day.Date, d.cfg.Now(), d.Settings())
	if err != nil {
		v.Stale = err.Error()
	}
	for _, x := range doubts {
		v.Amend = append(v.Amend, Refusal{Rule: x.Rule, Words: atSite(book, x.Site, x.Words), Crew: string(x.Crew), Site: string(x.Site), Job: string(x.Job)})
	}
	for i, r := range day.Sent.Routes {
		expected := planner.Expect(book, day.Date, r, d.cfg.Now(), d.Settings())
		for k, visit := range r.Visits {
			state, done := words.StateOf(book, r.Crew, visit, day.Date)
			if state == "" {
				v.Routes[i].Visits[k].Ahead = true
				state = words.Late(expected[k], visit, words.Zone(book, visit.Site))
			}
			v.Routes[i].Visits[k].State = state
			if done {
				v.Jobs.Done += len(visit.Jobs)
			}
		}
	}
}

// route shows one crew's day; planned adds what only a proposal knows.
func (d *Desk) route(b *events.Book, people *words.People, date events.Date, r events.DayRoute, planned *planner.Route) Route {
	shown := Route{Crew: words.CrewOf(b, people, r.Crew), Start: r.Start, End: r.End, Visits: []words.Visit{}, Hours: []words.Span{}, Break: words.BreakOf(b, r.Break)}
	if crew := b.Crews[r.Crew]; crew != nil {
		if span, ok, err := planner.WorkingSpan(crew, date); err == nil && ok {
			shown.Hours = []words.Span{{Open: span.Open, Close: span.Close}}
			shown.OvertimeS = max(0, int((r.End.Sub(r.Start)-span.Close.Sub(span.Open))/time.Second))
		}
		shown.homeLeg(b, d.Settings(), crew, r)
	}
	for i, v := range r.Visits {
		visit := words.VisitOf(b, v, date, d.Settings())
		visit.Order = i + 1
		if planned != nil {
			p := planned.Visits[i]
			visit.WaitS, visit.SlackS, visit.Hold = p.WaitS, p.SlackS, p.Hold
			visit.Little = p.SlackS < d.Settings().LittleSlack*60
		} else if i > 0 {
			free := r.Visits[i-1].Leave
			visit.WaitS = max(0, int((v.Arrive.Sub(free)-r.Break.Within(free, v.Arrive))/time.Second)-v.DriveS)
		}
		shown.DriveS += v.DriveS
		shown.DriveM += v.DriveM
		shown.Visits = append(shown.Visits, visit)
	}
	return shown
}

func (r *Route) homeLeg(b *events.Book, s planner.Settings, crew *events.Crew, day events.DayRoute) {
	if len(day.Visits) == 0 || !crew.Home.IsSet() {
		return
	}
	last := day.Visits[len(day.Visits)-1]
	free := last.Leave
	if day.Break.Within(free, day.End) > 0 {
		free = day.Break.To
	}
	r.HomeDrive = int(day.End.Sub(free) / time.Second)
	if site := b.Sites[last.Site]; site != nil && site.Position.IsSet() {
		r.HomeM = int(s.Travel.Travel(site.Position, crew.Home).Metres)
	}
	r.DriveS, r.DriveM = r.HomeDrive, r.HomeM
}

func (d *Desk) leftOut(b *events.Book, p planner.Plan) []LeftOut {
	list := []LeftOut{}
	at := map[string]int{}
	for _, l := range p.LeftOut {
		a := b.Assemblies[l.Assembly]
		if a == nil || a.Job(l.Job) == nil {
			continue
		}
		job := words.JobOf(b, a, a.Job(l.Job), p.Date, d.Settings())
		key := l.Visit
		if key == "" {
			key = string(l.Site)
		}
		feed := wishedFeed(b.Day(p.Office, p.Date), l, a.Feed)
		group := key + "|" + string(feed) + "|" + l.Rule + "|" + l.Reason
		i, ok := at[group]
		if !ok {
			i = len(list)
			at[group] = i
			list = append(list, LeftOut{Key: key, Site: words.SiteOf(b, l.Site), Rule: l.Rule, Reason: l.Reason, Change: l.Change + promised(b, a, p.Date),
				Wished: l.Rule == "wish", Plannable: l.Visit != "", DaysLeft: job.DaysLeft})
			if l.Visit != "" && l.Visit != string(l.Site) {
				feed = a.Feed
			}
			list[i].Feed = string(feed)
		}
		list[i].Jobs = append(list[i].Jobs, job)
		list[i].Minutes += job.Minutes
	}
	return list
}

// promised reminds of what the people of a site were told about a day on which nobody comes after all.
func promised(b *events.Book, a *events.Assembly, date events.Date) string {
	site := b.Sites[a.Site]
	if site == nil {
		return ""
	}
	loc := words.Zone(b, site.ID)
	for _, agreed := range site.Agreed {
		if (agreed.Feed == "" || agreed.Feed == a.Feed) && events.DateIn(agreed.From, loc) == date {
			return fmt.Sprintf("; call them, for %s to %s is agreed", agreed.From.In(loc).Format("15:04"), agreed.To.In(loc).Format("15:04"))
		}
	}
	if site.Notice != nil && site.Notice.For == date {
		return "; call them, for they have notice of that day"
	}
	return ""
}

// wishedFeed is the feed that names the wish which left out a part of a site, so that it can be put back; empty for the
// whole site, and for what no wish left out.
func wishedFeed(day *events.Day, l planner.LeftOut, feed events.FeedID) (named events.FeedID) {
	if day == nil || l.Rule != "wish" {
		return ""
	}
	for _, w := range day.Wishes {
		if !w.Out || w.Site != l.Site || !strings.HasSuffix(l.Reason, w.Why) {
			continue
		}
		if w.Feed == "" || w.Feed == feed {
			return w.Feed
		}
		named = w.Feed // of a part with several feeds, by another one
	}
	return named
}

func countJobs(list []LeftOut) int {
	n := 0
	for _, l := range list {
		n += len(l.Jobs)
	}
	return n
}

func countDay(routes []Route) Counts {
	var c Counts
	for _, r := range routes {
		for _, v := range r.Visits {
			c.Planned += len(v.Jobs)
		}
	}
	return c
}

func costParts(c planner.Cost) []CostPart {
	return []CostPart{
		{"driving distance", c.Distance.USD()}, {"crew hours", c.Hours.USD()}, {"overtime", c.Overtime.USD()},
		{"work left out", c.LeftOut.USD()}, {"promises not kept", c.Promise.USD()}, {"changes to the plan before", c.Change.USD()},
	}
}

func refusals(b *events.Book, violations []check.Violation) []Refusal {
	var list []Refusal
	for _, x := range violations {
		list = append(list, Refusal{Rule: string(x.Rule), Words: x.Words, Crew: string(x.Crew), Site: string(x.Site), Job: string(x.Job)})
	}
	return list
}

func atSite(b *events.Book, id events.SiteID, text string) string {
	if s := b.Sites[id]; s != nil {
		return s.Name + ": " + text
	}
	return text
}

func wishes(b *events.Book, day *events.Day) []Wish {
	var list []Wish
	for _, w := range day.Wishes {
		list = append(list, Wish{Site: string(w.Site), Feed: string(w.Feed), Name: words.SiteOf(b, w.Site).Name, Hold: w.Hold, Crew: string(w.Crew),
			Place: w.Place, Out: w.Out, Why: w.Why})
	}
	return list
}

// SearchingOf shows how planning goes.
func SearchingOf(p Progress) Searching {
	s := Searching{Date: p.Date, Step: p.Step, Seconds: p.Elapsed.Seconds(), Budget: p.Budget.Seconds(), Visits: p.Visits, Cost: []CostPoint{}}
	for _, x := range p.Line {
		s.Cost = append(s.Cost, CostPoint{x.Elapsed.Seconds(), x.Cost.USD()})
	}
	return s
}

// headline sums the day up in one sentence.
func headline(v View) string {
	switch v.Status {
	case "empty":
		return "No plan for " + v.Date.String() + " yet."
	case "planning":
		if len(v.Routes) == 0 {
			return "Planning " + v.Date.String() + "."
		}
	}
	drive, little, pressing := 0, 0, 0
	for _, r := range v.Routes {
		drive += r.DriveS
		for _, visit := range r.Visits {
			if visit.Little {
				little++
			}
		}
	}
	for _, l := range v.LeftOut {
		if l.DaysLeft != nil && *l.DaysLeft <= 7 && len(l.Jobs) > 0 && l.Jobs[0].RetestBy != nil {
			pressing++
		}
	}
	text := fmt.Sprintf("%d of %d jobs on %s, %s driving", v.Jobs.Planned, v.Jobs.Planned+v.Jobs.LeftOut,
		words.Count(len(v.Routes), "route", "routes"), words.Duration(time.Duration(drive)*time.Second))
	if pressing > 0 {
		text += ", " + words.Count(pressing, "retest deadline", "retest deadlines") + " within 7 days left out"
	}
	if little > 0 {
		text += ", " + words.Count(little, "visit", "visits") + " with little slack"
	}
	if v.Status == "sent-out" {
		text += fmt.Sprintf("; sent out, %d done", v.Jobs.Done)
	}
	return text + "."
}
