package backlog

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// View is the manager's list.
type View struct {
	Now      time.Time      `json:"now"`
	Headline string         `json:"headline"`
	Rows     []Row          `json:"rows" doc:"by days left, past ones first, unknown deadlines at the top"`
	Others   []Row          `json:"others" doc:"stopped, returned reports, reports to send again"`
	Counts   map[string]int `json:"counts"`
}

// Row is one job with a clock running.
type Row struct {
	words.Job
	Site       words.Site          `json:"site"`
	WaitsFor   string              `json:"waits_for" enum:"parts,access,slot,owner,way,purveyor"`
	WaitsWords string              `json:"waits_words"`
	FailedOn   events.Date         `json:"failed_on,omitzero"`
	Words      string              `json:"words,omitempty"`
	PhoneBy    *events.Deadline    `json:"phone_by,omitempty"`
	Parts      []events.PartWanted `json:"parts,omitempty"`
	Yes        string              `json:"yes_to_repair,omitempty"`
	Planned    *PlannedFor         `json:"planned,omitempty"`
	AsLeft     string              `json:"as_left,omitempty"`
	KitCodes   []string            `json:"kit_codes,omitempty" doc:"repair kits on record that fit"`
}

// PlannedFor is a visit that is planned or sent out for a job.
type PlannedFor struct {
	Date           events.Date `json:"date"`
	Crew           string      `json:"crew"`
	SentOut        bool        `json:"sent_out"`
	BeforeDeadline bool        `json:"before_deadline"`
}

// Of shows the failures of an office with their clocks, and beside them whatever else waits for somebody. Proposals are
// plans that are not sent out yet.
func Of(b *events.Book, office events.OfficeID, now time.Time, s planner.Settings, proposals []planner.Plan) View {
	l := looking{b: b, now: now, s: s, planned: plannedIn(proposals)}
	v := View{Now: now, Rows: []Row{}, Others: []Row{}, Counts: map[string]int{}}
	for _, a := range b.Assemblies {
		if a.Office != office {
			continue
		}
		for i := range a.Jobs {
			j := &a.Jobs[i]
			if j.Standing == events.NotOurs || !j.Open() {
				continue
			}
			if j.Failure != nil && j.NeedsVisit() {
				v.Rows = append(v.Rows, l.row(a, j))
				v.Counts[string(j.Stage)]++
			} else if row, ok := l.other(a, j); ok {
				v.Others = append(v.Others, row)
			}
		}
		if a.SendAgain != nil {
			v.Others = append(v.Others, l.sendAgain(a))
		}
	}
	slices.SortFunc(v.Rows, pressing)
	slices.SortFunc(v.Others, func(x, y Row) int { return cmp.Or(cmp.Compare(x.WaitsWords, y.WaitsWords), pressing(x, y)) })
	v.Headline = headline(v)
	return v
}

// pressing puts unknown deadlines first, then the fewest days left.
func pressing(x, y Row) int {
	left := func(r Row) int {
		if r.DaysLeft == nil {
			return -1 << 30
		}
		return *r.DaysLeft
	}
	return cmp.Or(cmp.Compare(left(x), left(y)), cmp.Compare(x.Site.Name, y.Site.Name), cmp.Compare(x.Job.Job, y.Job.Job))
}

type looking struct {
	b       *events.Book
	now     time.Time
	s       planner.Settings
	planned map[events.JobID]PlannedFor
}

func plannedIn(proposals []planner.Plan) map[events.JobID]PlannedFor {
	planned := map[events.JobID]PlannedFor{}
	for _, p := range proposals {
		for _, r := range p.Routes {
			for _, v := range r.Visits {
				for _, j := range v.Jobs {
					if known, ok := planned[j.Job]; !ok || p.Date.Before(known.Date) {
						planned[j.Job] = PlannedFor{Date: p.Date, Crew: string(r.Crew)}
					}
				}
			}
		}
	}
	return planned
}

// today is the day it is for the assembly's purveyor.
func (l looking) today(a *events.Assembly) events.Date {
	if p := l.b.Purveyors[a.Purveyor]; p != nil {
		return events.DateIn(l.now, p.Location())
	}
	return events.DateIn(l.now, words.Zone(l.b, a.Site))
}

func (l looking) base(a *events.Assembly, j *events.Job) Row {
	row := Row{Job: words.JobOf(l.b, a, j, l.today(a), l.s), Site: words.SiteOf(l.b, a.Site), Parts: j.Parts, PhoneBy: j.PhoneBy}
	if j.Failure != nil {
		row.FailedOn, row.Words = j.Failure.On, j.Failure.Words
	}
	if f := l.b.Feeds[a.Feed]; f != nil && f.AsLeft != nil {
		row.AsLeft = words.Condition(*f.AsLeft)
	}
	row.Yes = words.YesToRepair(l.b, a, j)
	row.Planned = l.plannedFor(a, j)
	return row
}

func (l looking) plannedFor(a *events.Assembly, j *events.Job) *PlannedFor {
	p, ok := l.planned[j.ID]
	if j.Dispatched != nil && !j.Dispatched.Date.Before(l.today(a)) {
		p, ok = PlannedFor{Date: j.Dispatched.Date, Crew: string(j.Dispatched.Crew), SentOut: true}, true
	}
	if !ok {
		return nil
	}
	if c := l.b.Crews[events.CrewID(p.Crew)]; c != nil {
		p.Crew = c.Name
	}
	p.BeforeDeadline = j.Failure != nil && j.Failure.RetestBy.Known && !j.Failure.RetestBy.On.Before(p.Date)
	return &p
}

// row says what a failure waits for: the first thing without which nobody can go.
func (l looking) row(a *events.Assembly, j *events.Job) Row {
	row := l.base(a, j)
	row.KitCodes = words.KitCodes(l.b, a)
	by, promised := j.PartsBy()
	switch {
	case j.Stage == events.StageStopped:
		row.WaitsFor, row.WaitsWords = "way", "the way to be cleared: "+words.Plain(string(j.Stopped.Outcome))+words.After(", ", words.Plain(j.Stopped.Why))
	case row.Yes == "":
		row.WaitsFor, row.WaitsWords = "owner", "the owner's yes to the repair"
	case len(j.Parts) > 0 && !promised:
		row.WaitsFor, row.WaitsWords = "parts", "parts: "+codes(j)+", no day promised"
	case len(j.Parts) > 0 && !by.IsZero():
		row.WaitsFor, row.WaitsWords = "parts", "parts: "+codes(j)+", promised "+by.String()
	case j.LastResult == events.OutcomeNoAccess:
		row.WaitsFor, row.WaitsWords = "access", "access: nobody let the crew in last time"
	default:
		row.WaitsFor, row.WaitsWords = "slot", "a place on a route"
	}
	return row
}

func codes(j *events.Job) string {
	var list []string
	for _, p := range j.Parts {
		if p.Item == "" {
			list = append(list, p.Code)
		}
	}
	return strings.Join(list, ", ")
}

// other is a job that waits for somebody although no failure runs.
func (l looking) other(a *events.Assembly, j *events.Job) (Row, bool) {
	row := l.base(a, j)
	switch {
	case j.Stage == events.StageStopped:
		row.WaitsFor, row.WaitsWords = "way", "the way to be cleared: "+words.Plain(string(j.Stopped.Outcome))+words.After(", ", words.Plain(j.Stopped.Why))
	case j.Stage == events.StageReturned:
		row.WaitsFor, row.WaitsWords = "purveyor", "its report, which the purveyor sent back"
	case j.Stage == events.StagePassed:
		row.WaitsFor, row.WaitsWords = "purveyor", "its report to be filed"
		if j.ReportBy != nil && j.ReportBy.Known {
			row.WaitsWords += " by " + j.ReportBy.On.String()
		}
	case j.Standing == events.Ask:
		row.WaitsFor, row.WaitsWords = "owner", "an answer whether the job is ours"
	case len(j.Questions) > 0:
		row.WaitsFor, row.WaitsWords = "purveyor", "an answer: "+strings.Join(j.Questions, "; ")
	default:
		return row, false
	}
	return row, true
}

func (l looking) sendAgain(a *events.Assembly) Row {
	j := events.Job{ID: a.SendAgain.Job, Kind: events.AnnualTest, Due: a.SendAgain.Due, Stage: events.StagePassed}
	if known := a.Job(a.SendAgain.Job); known != nil {
		j = *known
	}
	row := l.base(a, &j)
	row.WaitsFor, row.WaitsWords = "purveyor", fmt.Sprintf("its report to be sent again: passed on %s and still listed as due", a.SendAgain.Passed)
	return row
}

func headline(v View) string {
	past, soon, unknown := 0, 0, 0
	for _, r := range v.Rows {
		switch {
		case r.DaysLeft == nil:
			unknown++
		case *r.DaysLeft < 0:
			past++
		case *r.DaysLeft <= 7 && (r.Planned == nil || !r.Planned.BeforeDeadline):
			soon++
		}
	}
	text := words.Count(len(v.Rows), "failure open", "failures open")
	if past > 0 {
		text += fmt.Sprintf(", %d past its deadline", past)
		if past > 1 {
			text = strings.Replace(text, "its deadline", "their deadline", 1)
		}
	}
	if soon > 0 {
		text += fmt.Sprintf(", %d owed within 7 days without a visit planned before", soon)
	}
	if unknown > 0 {
		text += fmt.Sprintf(", %d with a deadline that is not known: ask", unknown)
	}
	return text + "."
}
