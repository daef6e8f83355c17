package papers

import (
	"time"

	"valveround/events"
	"valveround/services/words"
)

// Filing is one time that a report went to the purveyor and what became of it.
type Filing struct {
	About        string      `json:"about" enum:"pass,fail,phone-in"`
	On           events.Date `json:"on"`
	How          string      `json:"how,omitempty"`
	By           string      `json:"by,omitempty"`
	Confirmation string      `json:"confirmation,omitempty"`
	ReturnedOn   events.Date `json:"returned_on,omitzero"`
	Why          string      `json:"why,omitempty" doc:"of a report that came back"`
	AcceptedOn   events.Date `json:"accepted_on,omitzero"`
}

// jobStory is what the log tells of one job.
type jobStory struct {
	tests    []toldTest
	repairs  []toldRepair
	replaced *events.Replaced
	failure  *events.FailedRetest // the first
	passed   *events.Passed
	filings  []Filing
	setbacks []string // outcomes that are neither pass nor fail, in words
	papers   []events.PaperResult
	mended   []string // readings that their tester corrected, in words
}

type toldTest struct {
	events.Test
	id   events.EventID
	crew events.CrewID
	at   time.Time
}

type toldRepair struct {
	events.Repaired
	at    time.Time
	actor events.PersonID
}

// storyOf folds the story of a job out of its assembly's history. What was taken back is not told, and corrected readings
// stand in the place of the first ones.
func storyOf(b *events.Book, people *words.People, list []happened, job events.JobID) jobStory {
	var s jobStory
	for _, h := range standing(list) {
		switch e := h.event.(type) {
		case events.Tested:
			if e.Job == job {
				s.tests = append(s.tests, toldTest{e.Test, h.ID, e.Crew, h.OnServerClock()})
			}
		case events.ReadingsCorrected:
			if e.Job == job {
				s.correct(e)
			}
		case events.KeyedIn:
			if e.Job == job {
				s.papers = append(s.papers, e.Paper)
			}
		case events.Repaired:
			if e.Job == job {
				s.repairs = append(s.repairs, toldRepair{e, h.OnServerClock(), h.Actor})
			}
		case events.Replaced:
			if e.Job == job {
				s.replaced = &e
			}
		case events.FailedRetest:
			if e.Job == job && s.failure == nil {
				s.failure = &e
			}
		case events.Passed:
			if e.Job == job {
				s.passed = &e
			}
		case events.CouldNotTest, events.NotFound, events.Removed, events.OwnerRefused, events.NoAccess, events.RanOut, events.WrongType:
			if jobOf(e) == job {
				s.setbacks = append(s.setbacks, words.Sentence(b, people, e))
			}
		default:
			s.filing(people, h.event, job)
		}
	}
	return s
}

// correct puts corrected readings in the place of those they are about.
func (s *jobStory) correct(e events.ReadingsCorrected) {
	for i := range s.tests {
		if s.tests[i].id == e.About {
			s.tests[i].Test = e.Test
			s.mended = append(s.mended, "Readings corrected by their tester: "+e.Why)
		}
	}
}

// filing notes what went to the purveyor and came back.
func (s *jobStory) filing(people *words.People, event any, job events.JobID) {
	send := func(of events.JobID, f Filing, by events.PersonID) {
		if by != "" {
			f.By = people.Name(by)
		}
		if of == job {
			s.filings = append(s.filings, f)
		}
	}
	switch e := event.(type) {
	case events.Reported:
		send(e.Job, Filing{About: ReportOfPass, On: e.On, How: e.How, Confirmation: e.Confirmation}, e.By)
	case events.FailureReported:
		send(e.Job, Filing{About: ReportOfFail, On: e.On, How: e.How, Confirmation: e.Confirmation}, e.By)
	case events.ReportReturned:
		if n := len(s.filings); e.Job == job && n > 0 {
			s.filings[n-1].ReturnedOn, s.filings[n-1].Why = e.On, e.Why
		}
	case events.ReportAccepted:
		if n := len(s.filings); e.Job == job && n > 0 {
			s.filings[n-1].AcceptedOn = e.On
		}
	case events.FailureAccepted:
		if n := len(s.filings); e.Job == job && n > 0 {
			s.filings[n-1].AcceptedOn = e.On
		}
	}
}

// jobOf is the job that a setback is about.
func jobOf(event any) events.JobID {
	switch e := event.(type) {
	case events.CouldNotTest:
		return e.Job
	case events.NotFound:
		return e.Job
	case events.Removed:
		return e.Job
	case events.OwnerRefused:
		return e.Job
	case events.NoAccess:
		return e.Job
	case events.RanOut:
		return e.Job
	case events.WrongType:
		return e.Job
	}
	return ""
}

// initial is the test as found: the first before any repair, preferring one that was completed; nil when none is on record.
func (s jobStory) initial() *toldTest {
	var found *toldTest
	for i := range s.tests {
		t := &s.tests[i]
		if isFinal(t.Test) {
			continue
		}
		if t.Says != events.OpinionNotCompleted {
			return t
		}
		if found == nil {
			found = t
		}
	}
	return found
}

// final is the last test after the first one, preferring one that was completed: the retest; nil when there was none.
func (s jobStory) final() *toldTest {
	first := s.initial()
	var found *toldTest
	for i := len(s.tests) - 1; i >= 0; i-- {
		t := &s.tests[i]
		if t == first {
			break
		}
		if t.Says != events.OpinionNotCompleted {
			return t
		}
		if found == nil {
			found = t
		}
	}
	return found
}

func isFinal(t events.Test) bool {
	for _, r := range t.Readings {
		if r.Phase == events.Final {
			return true
		}
	}
	return false
}
