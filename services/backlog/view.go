package backlog

import (
	"cmp"
	"fmt"
	"math"
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
	Counts   map[string]int `json:"counts" doc:"of rows: open, past, unknown, soon (due within 7 days without a visit planned in time), and by what they wait for"`
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
	Phoned     string              `json:"phoned,omitempty" doc:"when the purveyor was told of the failure by telephone, and whom"`
	Parts      []events.PartWanted `json:"parts,omitempty"`
	PartStates []PartState         `json:"part_states,omitempty" doc:"the same parts, each with how far it has come"`
	Yes        string              `json:"yes_to_repair,omitempty"`
	Planned    *PlannedFor         `json:"planned,omitempty"`
	AsLeft     string              `json:"as_left,omitempty"`
	KitCodes   []string            `json:"kit_codes,omitempty" doc:"repair kits on record that fit"`
}

// Of shows the failures of an office with their clocks, and beside them whatever else waits for somebody. Days left are
// counted from today as it is at each purveyor. Proposals are plans that are not sent out yet.
func Of(b *events.Book, office events.OfficeID, now time.Time, s planner.Settings, proposals []planner.Plan) View {
	l := looking{b: b, now: now, s: s, proposed: proposed(proposals)}
	v := View{Now: now, Rows: []Row{}, Others: []Row{}}
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
				v.Rows = append(v.Rows, l.failure(a, j))
			} else if row, ok := l.other(a, j); ok {
				v.Others = append(v.Others, row)
			}
		}
		if row, ok := l.sendAgain(a); ok {
			v.Others = append(v.Others, row)
		}
	}
	slices.SortFunc(v.Rows, pressing)
	slices.SortFunc(v.Others, func(x, y Row) int { return cmp.Or(cmp.Compare(x.WaitsFor, y.WaitsFor), pressing(x, y)) })
	v.Counts = counts(v.Rows)
	v.Headline = headline(v.Counts)
	return v
}

// pressing puts unknown deadlines first, then the fewest days left.
func pressing(x, y Row) int {
	left := func(r Row) int {
		if r.DaysLeft == nil {
			return math.MinInt
		}
		return *r.DaysLeft
	}
	return cmp.Or(cmp.Compare(left(x), left(y)), cmp.Compare(x.Site.Name, y.Site.Name), cmp.Compare(x.Assembly, y.Assembly), cmp.Compare(x.Job.Job, y.Job.Job))
}

// soonDays is how near a deadline is urgent when no visit is planned before it; common practice.
const soonDays = 7

func counts(rows []Row) map[string]int {
	n := map[string]int{"open": len(rows)}
	for _, r := range rows {
		n[r.WaitsFor]++
		switch {
		case r.DaysLeft == nil:
			n["unknown"]++
		case *r.DaysLeft < 0:
			n["past"]++
		case *r.DaysLeft <= soonDays && (r.Planned == nil || !r.Planned.BeforeDeadline):
			n["soon"]++
		}
	}
	return n
}

func headline(n map[string]int) string {
	text := words.Count(n["open"], "failure open", "failures open")
	if n["open"] == 0 {
		text = "No failure open"
	}
	for _, part := range []struct {
		n         int
		one, many string
	}{
		{n["past"], "past its deadline", "past their deadline"},
		{n["soon"], fmt.Sprintf("due within %d days without a visit planned in time", soonDays), ""},
		{n["unknown"], "whose deadline is not known: ask", ""},
	} {
		if part.n > 0 {
			text += ", " + words.Count(part.n, part.one, cmp.Or(part.many, part.one))
		}
	}
	return text + "."
}

// looking is one look at the book.
type looking struct {
	b        *events.Book
	now      time.Time
	s        planner.Settings
	proposed map[events.JobRef]visit
}

// today is the day it is for the assembly's purveyor, whose deadlines are its own; at the site where it has none.
func (l looking) today(a *events.Assembly) events.Date {
	if p := l.b.Purveyors[a.Purveyor]; p != nil {
		return events.DateIn(l.now, p.Location())
	}
	return events.DateIn(l.now, words.Zone(l.b, a.Site))
}

// row is what every row says of a job.
func (l looking) row(a *events.Assembly, j *events.Job) Row {
	row := Row{Job: words.JobOf(l.b, a, j, l.today(a), l.s), Site: words.SiteOf(l.b, a.Site), Parts: j.Parts, PartStates: l.partStates(a, j), PhoneBy: j.PhoneBy}
	if j.Phoned != nil {
		row.PhoneBy, row.Phoned = nil, l.phoned(a, j.Phoned)
	}
	if j.Failure != nil {
		row.FailedOn, row.Words = j.Failure.On, j.Failure.Words
		row.Yes = words.YesToRepair(l.b, a, j)
		if !j.Failure.RetestBy.Known && j.Failure.RetestBy.Rule == "" {
			row.RetestBy = &events.Deadline{Rule: "not known: ask"}
		}
	}
	if f := l.b.Feeds[a.Feed]; f != nil && f.AsLeft != nil {
		row.AsLeft = words.Condition(*f.AsLeft)
	}
	row.Planned = l.plannedFor(a, j)
	return row
}

// phoned says when the purveyor was told of a failure, on its clocks.
func (l looking) phoned(a *events.Assembly, p *events.FailurePhoned) string {
	loc := words.Zone(l.b, a.Site)
	if purveyor := l.b.Purveyors[a.Purveyor]; purveyor != nil {
		loc = purveyor.Location()
	}
	return p.At.In(loc).Format("15:04 on 2 Jan 2006") + ", to the " + p.To
}

func (l looking) failure(a *events.Assembly, j *events.Job) Row {
	row := l.row(a, j)
	row.KitCodes = words.KitCodes(l.b, a)
	waits := l.waits(a, j)
	row.WaitsFor = waits[0].who
	said := make([]string, len(waits))
	for i, w := range waits {
		said[i] = w.words
	}
	row.WaitsWords = strings.Join(said, "; ")
	return row
}
