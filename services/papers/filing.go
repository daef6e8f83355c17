package papers

import (
	"cmp"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// Filing list states.
const (
	StateOwed      = "owed"
	StateReturned  = "returned"
	StateSendAgain = "send-again"
	StateFiled     = "filed"
	StateAccepted  = "accepted"
)

// What a row of the filing list is about.
const (
	ReportOfPass = "pass"
	ReportOfFail = "fail"
	PhoneIn      = "phone-in"
)

// FilingList is what every purveyor is owed, has, sent back or took, the most pressing first.
type FilingList struct {
	Now       time.Time     `json:"now"`
	Since     events.Date   `json:"accepted_since" doc:"accepted reports are shown when they were filed on or after this day"`
	Clocks    []FilingClock `json:"clocks"`
	Counts    FilingCounts  `json:"counts"`
	Rows      []FilingRow   `json:"rows"`
	Truncated bool          `json:"truncated,omitempty" doc:"more were accepted than are shown"`
}

// FilingClock is a purveyor's clocks in words.
type FilingClock struct {
	Purveyor string `json:"purveyor"`
	Name     string `json:"name"`
	Pass     string `json:"pass"`
	Fail     string `json:"fail"`
	PhoneIn  string `json:"phone_in"`
}

// FilingCounts sums the list up.
type FilingCounts struct {
	Owed      int `json:"owed"`
	Late      int `json:"late" doc:"of those owed, returned or to be sent again: past their last day"`
	NotKnown  int `json:"not_known" doc:"of those: by when is not known, ask"`
	Returned  int `json:"returned"`
	SendAgain int `json:"send_again"`
	Filed     int `json:"filed"`
	Accepted  int `json:"accepted"`
}

// FilingRow is one report, or one telephone call about a failure.
type FilingRow struct {
	About    string           `json:"about" enum:"pass,fail,phone-in"`
	State    string           `json:"state" enum:"owed,returned,send-again,filed,accepted"`
	Job      words.Job        `json:"job"`
	Site     words.Site       `json:"site"`
	On       events.Date      `json:"on,omitzero" doc:"of the pass or failure"`
	By       *events.Deadline `json:"by,omitempty"`
	DaysLeft *int             `json:"days_left,omitempty" doc:"in the purveyor's zone; negative: late; none: not known, ask"`
	Missed   bool             `json:"missed,omitempty"`
	Filings  []Filing         `json:"filings"`
	Words    string           `json:"words"`
}

// FilingConfig is what the list is made with. Since is from which day on accepted reports are shown.
type FilingConfig struct {
	Office   events.OfficeID
	Settings planner.Settings
	People   *words.People
	Now      time.Time
	Since    events.Date
}

// mostAccepted bounds how many accepted reports are shown: the newest.
const mostAccepted = 300

// filedJob is a job with something to say about its papers.
type filedJob struct {
	a     *events.Assembly
	j     *events.Job
	again *events.NotCredited // why its report is to be sent again; nil: it is not
}

// filedJobs finds the jobs of the list. Accepted ones are the newest, and truncated says that there are more.
func filedJobs(b *events.Book, cfg FilingConfig) (jobs []filedJob, truncated bool) {
	var accepted []filedJob
	for _, a := range b.Assemblies {
		if a.Office != cfg.Office {
			continue
		}
		again, owed := a.OwesAgain()
		if again != nil && owed == nil { // it passed before this log began
			owed = &events.Job{Kind: events.AnnualTest, Due: again.Due, Stage: events.StageReported, PassedOn: again.Passed}
			jobs = append(jobs, filedJob{a, owed, again})
		}
		for i := range a.Jobs {
			switch x := (filedJob{a, &a.Jobs[i], nil}); {
			case again != nil && x.j == owed:
				jobs = append(jobs, filedJob{a, x.j, again})
			case x.j.Stage == events.StageAccepted:
				if x.j.Filed != nil && !x.j.Filed.On.Before(cfg.Since) {
					accepted = append(accepted, x)
				}
			case x.paperwork() != nil:
				jobs = append(jobs, x)
			}
		}
	}
	order := func(x, y filedJob) int {
		return cmp.Or(cmp.Compare(x.a.ID, y.a.ID), cmp.Compare(x.j.ID, y.j.ID))
	}
	slices.SortFunc(jobs, order)
	slices.SortFunc(accepted, func(x, y filedJob) int { return cmp.Or(y.j.Filed.On.Sub(x.j.Filed.On), order(x, y)) })
	if truncated = len(accepted) > mostAccepted; truncated {
		accepted = accepted[:mostAccepted]
	}
	return append(jobs, accepted...), truncated
}

// paperwork lists what a job that is not over has to say to the purveyor.
func (x filedJob) paperwork() (about []string) {
	switch x.j.Stage {
	case events.StagePassed, events.StageReported, events.StageReturned:
		return []string{ReportOfPass}
	case events.StageWithdrawn, events.StageAccepted:
		return nil
	}
	if x.j.Failure == nil || len(x.j.Tests) == 0 {
		return nil // a failure without a test was taken over; its papers are in the earlier system
	}
	if x.j.PhoneBy != nil {
		about = append(about, PhoneIn)
	}
	return append(about, ReportOfFail)
}

// FilingNeeds says whose histories the list is made from: of what was filed, for what came of it.
func FilingNeeds(b *events.Book, cfg FilingConfig) []events.Entity {
	var list []events.Entity
	jobs, _ := filedJobs(b, cfg)
	for _, x := range jobs {
		if x.j.Filed != nil || x.j.FailFiled != nil || x.j.Returned != nil {
			list = append(list, assemblyEntity(x.a))
		}
	}
	return list
}

// ListFilings makes the list. What a failure asks for is shown until the job passes; a pass has a clock of its own.
func ListFilings(b *events.Book, h Histories, cfg FilingConfig) FilingList {
	l := FilingList{Now: cfg.Now, Since: cfg.Since, Clocks: clocks(b), Rows: []FilingRow{}}
	jobs, truncated := filedJobs(b, cfg)
	l.Truncated = truncated
	for _, x := range jobs {
		filings := storyOf(b, cfg.People, h.of(assemblyEntity(x.a)), x.j.ID).filings
		for _, about := range cmpOr(x.paperwork(), []string{ReportOfPass}) {
			row := filingRow(b, cfg, x, about)
			for _, f := range filings {
				if f.About == about {
					row.Filings = append(row.Filings, f)
				}
			}
			row.Words = row.say()
			l.count(row)
			l.Rows = append(l.Rows, row)
		}
	}
	slices.SortStableFunc(l.Rows, byUrgency)
	return l
}

func cmpOr(list, other []string) []string {
	if len(list) > 0 {
		return list
	}
	return other
}

func filingRow(b *events.Book, cfg FilingConfig, x filedJob, about string) FilingRow {
	loc := time.UTC
	if p := b.Purveyors[x.a.Purveyor]; p != nil {
		loc = p.Location()
	}
	row := FilingRow{About: about, State: StateOwed, Job: words.JobOf(b, x.a, x.j, events.DateIn(cfg.Now, loc), cfg.Settings), Site: words.SiteOf(b, x.a.Site),
		On: x.j.PassedOn, By: x.j.ReportBy, Filings: []Filing{}}
	switch x.j.Stage {
	case events.StageReported:
		row.State = StateFiled
	case events.StageReturned:
		row.State = StateReturned
	case events.StageAccepted:
		row.State = StateAccepted
	}
	if x.again != nil { // by when it is credited, whatever it was owed by
		row.State = StateSendAgain
		row.By = &events.Deadline{Known: true, On: x.again.Due, At: x.again.Due.AddDays(1).In(loc), Rule: "still listed as due"}
	}
	if about != ReportOfPass {
		row.failed(cfg, x, loc)
	}
	if row.open() && row.By != nil {
		row.Missed = row.By.Missed(cfg.Now)
		if left, ok := row.By.DaysLeft(cfg.Now, loc); ok {
			row.DaysLeft = &left
		}
	}
	return row
}

// failed says how the papers of a failure stand: its report, or the call to the purveyor.
func (r *FilingRow) failed(cfg FilingConfig, x filedJob, loc *time.Location) {
	r.On, r.State = x.j.Failure.On, StateOwed
	switch {
	case r.About == PhoneIn:
		r.By = x.j.PhoneBy
		if told := x.j.Phoned; told != nil {
			r.State = StateFiled
			r.Filings = append(r.Filings, Filing{About: PhoneIn, On: events.DateIn(told.At, loc), By: cfg.People.Name(told.By),
				How: "told " + told.To + " at " + told.At.In(loc).Format("15:04") + words.After(": ", told.Words)})
		}
	case !x.j.FailAccepted.IsZero():
		r.State = StateAccepted
	case x.j.FailFiled != nil:
		r.State = StateFiled
	case x.j.Returned != nil:
		r.State = StateReturned
	}
}

// open reports whether the firm has something to do.
func (r FilingRow) open() bool { return r.State != StateFiled && r.State != StateAccepted }

// say tells the row in a sentence.
func (r FilingRow) say() string {
	what := map[string]string{ReportOfPass: "Report of a pass", ReportOfFail: "Report of a failure", PhoneIn: "Telephone call about a failure"}[r.About]
	last := Filing{}
	if n := len(r.Filings); n > 0 {
		last = r.Filings[n-1]
	}
	by := words.Owed("", events.Deadline{})
	if r.By != nil {
		by = words.Owed("", *r.By)
	}
	switch r.State {
	case StateReturned:
		return what + " came back" + dayAfter(" on ", last.ReturnedOn) + words.After(": ", last.Why) + ". Correct it and file it again;" + by + "."
	case StateSendAgain:
		return what + " was filed" + dayAfter(" on ", last.On) + " and is still listed as due: send it again" + words.After(", confirmation ", last.Confirmation) + "."
	case StateFiled:
		if r.About == PhoneIn {
			return what + " made" + dayAfter(" on ", last.On) + words.After(": ", last.How) + "."
		}
		return what + " filed" + dayAfter(" on ", last.On) + words.After(", ", last.How) + words.After(", confirmation ", last.Confirmation) + "; not accepted yet."
	case StateAccepted:
		return what + " accepted" + dayAfter(" on ", last.AcceptedOn) + words.After(", confirmation ", last.Confirmation) + "."
	}
	return what + by + "."
}

func dayAfter(lead string, d events.Date) string {
	if d.IsZero() {
		return ""
	}
	return lead + words.Day(d)
}

func (l *FilingList) count(r FilingRow) {
	switch r.State {
	case StateOwed:
		l.Counts.Owed++
	case StateReturned:
		l.Counts.Returned++
	case StateSendAgain:
		l.Counts.SendAgain++
	case StateFiled:
		l.Counts.Filed++
	case StateAccepted:
		l.Counts.Accepted++
	}
	if !r.open() {
		return
	}
	switch {
	case r.Missed:
		l.Counts.Late++
	case r.By == nil || !r.By.Known:
		l.Counts.NotKnown++
	}
}

// byUrgency puts what the firm must do first, by its last moment; what has no known one comes after what is late and
// before what is not.
func byUrgency(x, y FilingRow) int {
	return cmp.Or(cmp.Compare(x.rank(), y.rank()), x.moment().Compare(y.moment()), cmp.Compare(x.Job.Assembly, y.Job.Assembly), cmp.Compare(x.About, y.About))
}

func (r FilingRow) rank() int {
	switch {
	case r.State == StateAccepted:
		return 4
	case r.State == StateFiled:
		return 3
	case r.Missed:
		return 0
	case r.By == nil || !r.By.Known:
		return 1
	}
	return 2
}

func (r FilingRow) moment() time.Time {
	if r.By == nil {
		return time.Time{}
	}
	return r.By.At
}

// clocks says every purveyor's three clocks.
func clocks(b *events.Book) []FilingClock {
	list := []FilingClock{}
	for _, p := range b.Purveyors {
		list = append(list, FilingClock{Purveyor: string(p.ID), Name: p.Name, Pass: clock(p.ReportPass), Fail: clock(p.ReportFail), PhoneIn: clock(p.PhoneFail)})
	}
	slices.SortFunc(list, func(x, y FilingClock) int {
		return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.Purveyor, y.Purveyor))
	})
	return list
}

// clock says one rule by letting it count from an invented moment and keeping its words.
func clock(r events.DeadlineRule) string {
	if r.IsZero() {
		return "not known: ask"
	}
	r.Roll = events.RollNone
	start := time.Date(2001, time.January, 1, 0, 0, 0, 0, time.UTC)
	from := r.CountsFrom
	if from == "" {
		from = events.FromTest
	}
	return r.Due(events.Starts{from: start}, events.Closures{}, time.UTC).Rule
}
