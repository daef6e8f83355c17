package events

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// Correction is a note on a mistaken entry: what was wrong with it. The first entry stays in the log and on screen.
type Correction struct {
	About EventID `json:"about"`
	Words string  `json:"words"`
}

// Corrections of entries, by what they are filed under, and of results.
type (
	// AssemblyEntryCorrected notes a mistake in the history of an assembly.
	AssemblyEntryCorrected struct{ Correction }
	// SiteEntryCorrected notes a mistake in the history of a site.
	SiteEntryCorrected struct{ Correction }
	// FeedEntryCorrected notes a mistake in the history of a feed.
	FeedEntryCorrected struct{ Correction }
	// ResultVoided: a result was recorded on the wrong job, or with the wrong outcome. The job stands where it stood
	// before it.
	ResultVoided struct {
		Job   JobID       `json:"job"`
		About EventID     `json:"about"` // any event that the result's command wrote
		Why   string      `json:"why"`
		Out   *Dispatched `json:"out,omitempty"` // the day it is on again, if that is still out with it
	}
)

func declareCorrections(v *vocabulary) {
	declare[AssemblyEntryCorrected](v, KindAssembly, "entry-corrected")
	declare[SiteEntryCorrected](v, KindSite, "entry-corrected")
	declare[FeedEntryCorrected](v, KindFeed, "entry-corrected")
	declare[ResultVoided](v, KindAssembly, "result-voided")
}

// VisitResult is how a visit, or a paper keyed in, ended, as one command said.
type VisitResult struct {
	Event   EventID      `json:"event"` // that gave the outcome
	Outcome VisitOutcome `json:"outcome"`
	On      Date         `json:"on"`
	At      time.Time    `json:"at,omitzero"` // by the server's clock
	Crew    CrewID       `json:"crew,omitempty"`
	Void    string       `json:"void,omitempty"` // why it does not count

	before, after kept
}

// kept is a job and what a result may change of its assembly, as they stood at a moment. It is folded from the log like
// everything else and no part of what is compared or shown.
type kept struct {
	command CommandKey // whose events follow
	job     *Job
	facts   AssemblyFacts
	passed  Date
	gone    bool
	serials []string
}

// CommandKey is the part of an event's id that all events of one command share.
type CommandKey string

// Key is what the ids of all events of the command begin with.
func (c CommandID) Key() CommandKey { return CommandKey(c.String()) }

// CommandKey cuts the place among the command's events off the id.
func (id EventID) CommandKey() CommandKey {
	command, _, _ := strings.Cut(string(id), "-")
	return CommandKey(command)
}

func (a *Assembly) keep(command CommandKey, j Job) kept {
	j.before = kept{}
	return kept{command, &j, a.AssemblyFacts, a.Passed, a.Gone, a.Serials}
}

// tellsResult reports whether an event is part of how a visit ended.
func tellsResult(event any) bool {
	switch event.(type) {
	case KeyedIn, Tested, Repaired, Replaced, Passed, FailedRetest, CouldNotTest, NotFound, Removed, OwnerRefused, NoAccess, RanOut, WrongType:
		return true
	}
	return false
}

// noteResult keeps, beside a result that was folded into a job, how the job and its assembly stood before and after it.
func (j Job) noteResult(at stamp, attempts int, a *Assembly) Job {
	if len(j.Attempts) == attempts {
		return j
	}
	last := j.Attempts[len(j.Attempts)-1]
	result := VisitResult{Event: at.ID, Outcome: last.Outcome, On: last.On, At: at.Happened, Crew: last.Crew, before: j.before, after: a.keep(j.before.command, Job{})}
	results := slices.Clone(j.Results)
	if n := len(results); n > 0 && results[n-1].Event.CommandKey() == at.ID.CommandKey() { // replaced, and then passed
		results = results[:n-1]
	}
	j.Results = append(results, result)
	return j
}

// StandingResult is the newest result that counts; nil when there is none.
func (j *Job) StandingResult() *VisitResult {
	for i := len(j.Results) - 1; i >= 0; i-- {
		if j.Results[i].Void == "" {
			return &j.Results[i]
		}
	}
	return nil
}

// result finds the result that an event belongs to; nil when it belongs to none.
func (j *Job) result(about EventID) *VisitResult {
	for i := range j.Results {
		if j.Results[i].Event.CommandKey() == about.CommandKey() {
			return &j.Results[i]
		}
	}
	return nil
}

// void puts a job, and what its result changed of the assembly, back to where they stood. What the office learned
// meanwhile stays: dates, whose job it is, questions, a yes to repair.
func (a Assembly) void(e ResultVoided) Assembly {
	i := slices.IndexFunc(a.Jobs, func(j Job) bool { return j.ID == e.Job })
	if i < 0 {
		return a
	}
	now := a.Jobs[i]
	r := now.result(e.About)
	if r == nil || r.before.job == nil {
		return a
	}
	if a.AssemblyFacts == r.after.facts {
		a.AssemblyFacts = r.before.facts
	}
	if a.Passed == r.after.passed {
		a.Passed = r.before.passed
	}
	if a.Gone == r.after.gone && slices.Equal(a.Serials, r.after.serials) {
		a.Gone, a.Serials = r.before.gone, r.before.serials
	}
	back := *r.before.job
	back.Due, back.AsOf, back.Earliest, back.Standing, back.Questions, back.Yes = now.Due, now.AsOf, now.Earliest, now.Standing, now.Questions, now.Yes
	back.BeforeUse, back.Listed = now.BeforeUse, now.Listed
	back.Dispatched = e.Out
	back.Late, back.Tests = now.Late, now.withLateTests(back.Tests)
	back.Results = slices.Clone(now.Results)
	for k := range back.Results {
		if back.Results[k].Event == r.Event {
			back.Results[k].Void = e.Why
		}
	}
	a.Jobs = slices.Clone(a.Jobs)
	a.Jobs[i] = back
	return a
}

// Commands that mend what was recorded wrongly.
type (
	// CorrectEntry notes what was wrong with an entry in the history of an assembly, a site or a feed. Whoever calls it
	// has seen that the entry is there.
	CorrectEntry struct {
		Kind Kind
		ID   string
		Correction
	}
	// VoidResult takes back the newest result of a job: it was recorded on the wrong job, or with the wrong outcome.
	VoidResult struct {
		JobRef
		About EventID
		Why   string
	}
)

func decideCorrection(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case CorrectEntry:
		return decideCorrectEntry(b, do)
	case VoidResult:
		return decideVoid(b, do)
	}
	return nil, errUnknownCommand(c)
}

func decideCorrectEntry(b *Book, do CorrectEntry) ([]Draft, error) {
	if do.About == "" || strings.TrimSpace(do.Words) == "" {
		return nil, refuse("say which entry was a mistake, and what is right")
	}
	draft := func(e Entity, known []Correction, event any) ([]Draft, error) {
		if slices.Contains(known, do.Correction) {
			return nil, nil
		}
		return []Draft{{e, event}}, nil
	}
	switch do.Kind {
	case KindAssembly:
		if a := b.Assemblies[AssemblyID(do.ID)]; a != nil {
			return draft(a.entity(), a.Corrections, AssemblyEntryCorrected{do.Correction})
		}
	case KindSite:
		if s := b.Sites[SiteID(do.ID)]; s != nil {
			return draft(s.entity(), s.Corrections, SiteEntryCorrected{do.Correction})
		}
	case KindFeed:
		if f := b.Feeds[FeedID(do.ID)]; f != nil {
			return draft(f.entity(), f.Corrections, FeedEntryCorrected{do.Correction})
		}
	}
	return nil, refuse("no %s %q whose history could be corrected", cmp.Or(string(do.Kind), "thing"), do.ID)
}

func decideVoid(b *Book, do VoidResult) ([]Draft, error) {
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	r := job.result(do.About)
	switch newest := job.StandingResult(); {
	case r == nil:
		return nil, refuse("job %s has no such result", job.ID)
	case r.Void != "":
		return nil, nil
	case strings.TrimSpace(do.Why) == "":
		return nil, refuse("say why the result does not count")
	case r != newest:
		return nil, refuse("a later result (%s on %s) was recorded on job %s: take that back first", newest.Outcome, newest.On, job.ID)
	case job.Stage == StageWithdrawn:
		return nil, refuse("job %s is over: it is %s", job.ID, job.Stage)
	case job.Stage == StageReported, job.Stage == StageAccepted, job.FailFiled != nil && job.FailFiled != r.before.job.FailFiled:
		return nil, refuse("the report of this result is with the purveyor: ask for it back, and record that it was returned, first")
	}
	drafts := []Draft{{a.entity(), ResultVoided{do.Job, do.About, do.Why, stillOut(b, a, do.JobRef, r.before.job)}}}
	return append(drafts, freeKits(b, do.JobRef, job.Parts, r.before.job.Parts, "the failure does not count")...), nil
}

// stillOut is the day that a job was out with before its result, if it is out with it yet.
func stillOut(b *Book, a *Assembly, ref JobRef, before *Job) *Dispatched {
	out := before.Dispatched
	if out == nil {
		return nil
	}
	if d := b.Day(a.Office, out.Date); d == nil || d.Sent == nil || d.SentBy != out.Day || !d.Sent.holds(ref, out.Crew) {
		return nil
	}
	return out
}

// freeKits frees the kits that are set aside for a job and not among those it goes on with.
func freeKits(b *Book, ref JobRef, parts, stay []PartWanted, why string) []Draft {
	var drafts []Draft
	for _, p := range parts {
		kit := b.Kits[p.Item]
		if kit == nil || kit.For == nil || *kit.For != ref || slices.ContainsFunc(stay, func(s PartWanted) bool { return s.Item == p.Item }) {
			continue
		}
		drafts = append(drafts, Draft{kit.entity(), KitReleased{why}})
	}
	return drafts
}
