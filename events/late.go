package events

import (
	"slices"
	"time"
)

// LateResult: a result that came in after one of a later moment, from a phone without signal. Both are kept, and the job
// stands as the later one left it until the office says otherwise.
type LateResult struct {
	Job     JobID        `json:"job"`
	Crew    CrewID       `json:"crew,omitempty"`
	Day     Date         `json:"day"`
	Outcome VisitOutcome `json:"outcome"`
	Why     string       `json:"why,omitempty"`
	Words   string       `json:"words,omitempty"`
	Parts   []PartWanted `json:"parts,omitempty"`
	New     *Replaced    `json:"new,omitempty"`
	Seen    AssemblyType `json:"seen,omitempty"`
	Stands  EventID      `json:"stands"` // the later result
}

// LateTaken is a late result as kept on its job.
type LateTaken struct {
	Event EventID   `json:"event"`
	At    time.Time `json:"at"`
	LateResult
}

func (e LateResult) job() JobID { return e.Job }

func declareLate(v *vocabulary) { declare[LateResult](v, KindAssembly, "late-result") }

// decides reports whether an outcome says how the assembly stands; the others only say how the visit went.
func (o VisitOutcome) decides() bool {
	switch o {
	case OutcomePassed, OutcomeFailed, OutcomeRepairedPassed, OutcomeReplaced, OutcomeRemoved, OutcomeWrongType:
		return true
	}
	return false
}

// laterResult is the result that stands over this one, because it is of a later moment; nil when there is none. A visit
// that found nothing out does not stand over one that did.
func (f *finishing) laterResult() *VisitResult {
	if f.do.Paper != nil { // the office knows what it keys in
		return nil
	}
	r := f.job.StandingResult()
	if r == nil || !f.c.at().Before(r.At) || f.do.Outcome.decides() && !r.Outcome.decides() {
		return nil
	}
	return r
}

// late keeps a result that came too late to change how the job stands.
func (f *finishing) late(later *VisitResult) {
	do := f.do
	f.add(LateResult{do.Job, do.Crew, do.Day, do.Outcome, do.Why, do.Words, do.Parts, do.New, do.Seen, later.Event})
}

// inOrder puts a test where it belongs by when it was made, behind others of the same moment.
func inOrder(tests []TestTaken, t TestTaken) []TestTaken {
	i := len(tests)
	for i > 0 && tests[i-1].At.After(t.At) {
		i--
	}
	return slices.Insert(slices.Clone(tests), i, t)
}

// withLateTests adds, to the tests of an earlier state of the job, those of results that came in late: they are kept
// whatever becomes of the result that stands.
func (j *Job) withLateTests(tests []TestTaken) []TestTaken {
	for _, t := range j.Tests {
		late := slices.ContainsFunc(j.Late, func(l LateTaken) bool { return l.Event.CommandKey() == t.Event.CommandKey() })
		known := slices.ContainsFunc(tests, func(k TestTaken) bool { return k.Event == t.Event })
		if late && !known {
			tests = inOrder(tests, t)
		}
	}
	return tests
}
