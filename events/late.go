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
	Stands  EventID      `json:"stands"`         // the result that counts
	Same    bool         `json:"same,omitempty"` // a second phone of the crew said the same
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

// late keeps a result that does not change how the job stands: it came too late, or says again what is known.
func (f *finishing) late(stands *VisitResult, same bool) {
	do := f.do
	f.add(LateResult{do.Job, do.Crew, do.Day, do.Outcome, do.Why, do.Words, do.Parts, do.New, do.Seen, stands.Event, same})
}

// toldTwice is the standing result when it is of the same crew and day: the crew has two phones, or thought again.
func (f *finishing) toldTwice() *VisitResult {
	r := f.job.StandingResult()
	if r == nil || f.do.Paper != nil || f.do.Crew == "" || r.Crew != f.do.Crew || r.On != f.do.Day {
		return nil
	}
	return r
}

// saysTheSame reports whether this result adds nothing to one that is known.
func (f *finishing) saysTheSame(r *VisitResult) bool {
	do := f.do
	if r.Outcome != do.Outcome || len(do.Wrong) > 0 || do.New != nil && (f.job.Replaced == nil || f.job.Replaced.Serial != do.New.Serial) ||
		f.job.Stopped != nil && f.job.Stopped.Why != do.Why && do.Outcome != OutcomeWrongType {
		return false
	}
	if !slices.EqualFunc(do.Parts, f.job.Parts, func(x, y PartWanted) bool { return x.Code == y.Code }) {
		return false
	}
	known := slices.DeleteFunc(slices.Clone(f.job.Tests), func(t TestTaken) bool { return t.Event.CommandKey() != r.Event.CommandKey() })
	for _, t := range []*Test{do.Initial, do.Final} {
		if t == nil {
			continue
		}
		if len(known) == 0 || known[0].Says != t.Says || !slices.EqualFunc(known[0].Readings, t.Readings, sameReading) {
			return false
		}
		known = known[1:]
	}
	return len(known) == 0
}

func sameReading(x, y Reading) bool {
	same := x.Part == y.Part && x.Component == y.Component && x.Result == y.Result && (x.Number == nil) == (y.Number == nil)
	return same && (x.Number == nil || x.Number.String() == y.Number.String())
}

// contradicts reports whether this result and the known one of the same visit cannot both hold. A failure is followed by a
// repair, a new unit or a wrong type by its test, and any of them by nothing that says less.
func (f *finishing) contradicts(r *VisitResult) bool {
	was, now := r.Outcome, f.do.Outcome
	follows := was == OutcomeFailed && (now == OutcomeRepairedPassed || now == OutcomeReplaced || now == OutcomeRemoved) || was == OutcomeReplaced || was == OutcomeWrongType
	return was.decides() && now.decides() && !follows
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
