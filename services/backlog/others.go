package backlog

import (
	"strings"

	"valveround/events"
	"valveround/services/words"
)

// other is a job that waits for somebody although no failure runs; ok is false when nothing but its turn is missing.
func (l looking) other(a *events.Assembly, j *events.Job) (row Row, ok bool) {
	var w wait
	switch {
	case j.Stage == events.StageStopped:
		w = wait{forWay, stopped(j)}
	case j.Stage == events.StageReturned:
		w = wait{forPurveyor, "its report, which the purveyor sent back" + returned(j) + ", to be corrected and filed again"}
	case j.Stage == events.StagePassed:
		w = wait{forPurveyor, "its report to be filed" + l.reportBy(a, j)}
	case j.Standing == events.Ask:
		w = wait{forOwner, "an answer whether the job is ours"}
	case len(j.Questions) > 0:
		w = wait{forPurveyor, "an answer"}
	default:
		return Row{}, false
	}
	if len(j.Questions) > 0 {
		w.words += "; to ask: " + strings.Join(j.Questions, "; ")
	}
	row = l.row(a, j)
	row.WaitsFor, row.WaitsWords = w.who, w.words
	if !j.NeedsVisit() {
		l.countToReport(a, j, &row)
	}
	return row, true
}

// returned says when a report came back and why.
func returned(j *events.Job) string {
	if j.Returned == nil {
		return ""
	}
	return " on " + words.Day(j.Returned.On) + words.After(": ", strings.TrimRight(j.Returned.Why, " ."))
}

// countToReport lets a row that owes nothing but its report count the days left to that, and not to a test that is done.
func (l looking) countToReport(a *events.Assembly, j *events.Job, row *Row) {
	row.RetestBy, row.DaysLeft = nil, nil
	if j.ReportBy != nil && j.ReportBy.Known {
		left := j.ReportBy.On.Sub(l.today(a))
		row.DaysLeft = &left
	}
}

// reportBy says by when the report of a pass is owed.
func (l looking) reportBy(a *events.Assembly, j *events.Job) string {
	d := j.ReportBy
	switch {
	case d == nil || !d.Known && d.Rule == "":
		return "; by when is not known: ask"
	case !d.Known:
		return "; by when is " + d.Rule
	case d.Missed(l.now):
		return " since " + words.By(*d)
	}
	return " by " + words.By(*d)
}

// sendAgain is a pass that the purveyor's list does not credit.
func (l looking) sendAgain(a *events.Assembly) (row Row, ok bool) {
	again, known := a.OwesAgain()
	if again == nil {
		return Row{}, false
	}
	j := events.Job{ID: again.Job, Kind: events.AnnualTest, Due: again.Due, Stage: events.StageReported}
	if known != nil {
		j = *known
	}
	row = l.row(a, &j)
	left := again.Due.Sub(l.today(a))
	row.WaitsFor, row.RetestBy, row.DaysLeft = forPurveyor, nil, &left
	row.WaitsWords = "its report to be sent again: it passed on " + words.Day(again.Passed) + " and is still listed as due by " + words.Day(again.Due)
	return row, true
}
