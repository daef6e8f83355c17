package events

import (
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Commands about a job.
type (
	// ListDue says that a purveyor's list, or a caller, names an assembly as due. It opens a job, moves a date, or
	// changes nothing; what has passed in this cycle is not credited yet, and no new job.
	ListDue struct {
		Assembly AssemblyID
		NewJob   JobID // the id of the job, if one is to be opened
		Kind     JobKind
		Due      Date
		Earliest Date
		AsOf     Date
		List     string
		Standing Standing
		LastTest Date // what the list itself gives as the last test; zero: it does not say
	}
	// OpenJob opens a job that no list names: a caller asks for a test, or reports a relief that discharges. A job that
	// is open already stays as it is beside it.
	OpenJob struct {
		Assembly AssemblyID
		NewJob   JobID
		Kind     JobKind
		Due      Date
		Words    string // who called, and why
	}
	// CarryOver takes a failure over from an earlier system, without its readings.
	CarryOver struct {
		JobRef
		FailedOn Date
		Words    string
		RetestBy Date // as it was owed there; zero: by the purveyor's rule from FailedOn
	}
	// SetStanding says whose a job is.
	SetStanding struct {
		JobRef
		Standing Standing
		Why      string
	}
	// QuestionJob notes something to ask about a job.
	QuestionJob struct {
		JobRef
		Words string
	}
	// FinishJob is what a crew says about one job at the end of its visit. It is a fact and never refused, unless it
	// names nothing that exists; what looks impossible raises an alarm beside it.
	FinishJob struct {
		JobRef
		Crew    CrewID
		Day     Date
		Outcome VisitOutcome
		Initial *Test // as found
		Repair  *Repaired
		Final   *Test // after repair
		Why     string
		Words   string
		Parts   []PartWanted // of a failure: what is needed
		New     *Replaced
		Seen    AssemblyType // of wrong-type
		Wrong   []KitTrouble // repair kits that did not fit
		Obstacle
		Paper *PaperResult // nil: recorded where it happened
	}
	// SayYesToRepair records the owner's consent.
	SayYesToRepair struct {
		JobRef
		RepairYes
	}
	// WantParts says which kits a failed job waits for, and when they are promised.
	WantParts struct {
		JobRef
		Parts []PartWanted
	}
	// ReadyParts says that every kit is at hand and reserved for this job.
	ReadyParts struct {
		JobRef
		Where string
		Items []KitID // which, in the order wanted; may be fewer or none when kits are not tracked one by one
	}
	// ClearWay says that what stopped a job is out of the way.
	ClearWay struct {
		JobRef
		Words string
	}
	// PhoneFailure records that the purveyor was told of a failure by telephone; it stops that clock.
	PhoneFailure struct {
		JobRef
		At    time.Time // zero: now
		To    string    // by role
		By    PersonID  // empty: the actor
		Words string
	}
	// FileReport records that the report went to the purveyor: of a pass, or of a failure whose repair is still owed.
	FileReport struct {
		JobRef
		On           Date
		How          string
		By           PersonID
		Confirmation string
	}
	// AcceptReport records that the purveyor took it.
	AcceptReport struct {
		JobRef
		On Date
	}
	// ReturnReport records that the purveyor sent it back.
	ReturnReport struct {
		JobRef
		On  Date
		Why string
	}
	// Withdraw ends a job without a test.
	Withdraw struct {
		JobRef
		Why string
	}
)

func decideJob(b *Book, c Command) ([]Draft, error) {
	switch do := c.Do.(type) {
	case ListDue:
		return decideListDue(b, do)
	case FinishJob:
		return decideFinish(b, c, do)
	case SetStanding:
		return onJob(b, do.JobRef, Ordered{do.Job, do.Standing, do.Why}, func(j *Job) error {
			if j.Standing == do.Standing {
				return errNothingToDo
			}
			return nil
		})
	case QuestionJob:
		return onJob(b, do.JobRef, Questioned{do.Job, do.Words}, func(j *Job) error {
			if slices.Contains(j.Questions, do.Words) {
				return errNothingToDo
			}
			return nil
		})
	case OpenJob:
		return decideOpenJob(b, c, do)
	case CarryOver:
		return decideCarryOver(b, do)
	case SayYesToRepair:
		return onJob(b, do.JobRef, RepairAuthorised{do.Job, do.RepairYes}, func(j *Job) error {
			if j.Yes != nil && *j.Yes == do.RepairYes {
				return errNothingToDo
			}
			return failedOnly(j)
		})
	case WantParts:
		if len(do.Parts) == 0 {
			return nil, refuse("say which repair kits are needed")
		}
		return onJob(b, do.JobRef, PartsPending{do.Job, do.Parts}, func(j *Job) error {
			if j.Stage == StagePartsPending && slices.Equal(j.Parts, do.Parts) {
				return errNothingToDo
			}
			return failedOnly(j)
		})
	case ReadyParts:
		return decideReady(b, do)
	case ClearWay:
		return decideClear(b, do)
	case FileReport:
		return decideFile(b, do)
	case PhoneFailure:
		return decidePhone(b, c, do)
	case CorrectReadings:
		return decideReadings(b, c, do)
	case AcceptReport:
		return decideAccept(b, do)
	case ReturnReport:
		return onJob(b, do.JobRef, ReportReturned{do.Job, do.On, do.Why}, func(j *Job) error {
			if j.FailFiled != nil && j.FailAccepted.IsZero() && j.NeedsVisit() {
				return nil
			}
			return inStage("has a report to be returned", StageReported)(j)
		})
	case Withdraw:
		return decideWithdraw(b, do)
	}
	return nil, errUnknownCommand(c)
}

// errNothingToDo stops a decision that would only repeat what is known.
var errNothingToDo = &Refusal{"nothing to do"}

func failedOnly(j *Job) error {
	if !j.NeedsRepair() {
		return refuse("job %s has not failed (it is %s), so nothing is to be repaired", j.ID, j.Stage)
	}
	return nil
}

func inStage(does string, stages ...Stage) func(*Job) error {
	return func(j *Job) error {
		if !slices.Contains(stages, j.Stage) {
			return refuse("only a job that is %s %s; job %s is %s", stages[0], does, j.ID, j.Stage)
		}
		return nil
	}
}

// onJob drafts one event on a job that exists, if allowed says nothing against it.
func onJob(b *Book, ref JobRef, event any, allowed func(*Job) error) ([]Draft, error) {
	a, job, err := findJob(b, ref)
	if err != nil {
		return nil, err
	}
	if err := allowed(job); err != nil {
		if errors.Is(err, errNothingToDo) {
			return nil, nil
		}
		return nil, err
	}
	return []Draft{{a.entity(), event}}, nil
}

func findJob(b *Book, ref JobRef) (*Assembly, *Job, error) {
	a := b.Assemblies[ref.Assembly]
	if a == nil {
		return nil, nil, refuse("no assembly %q", ref.Assembly)
	}
	job := a.Job(ref.Job)
	if job == nil {
		return nil, nil, refuse("assembly %s has no job %q", ref.Assembly, ref.Job)
	}
	return a, job, nil
}

// decideFile writes that a report went out. That of a failure leaves the job where it is: the repair is owed as before.
func decideFile(b *Book, do FileReport) ([]Draft, error) {
	if a := b.Assemblies[do.Assembly]; a != nil && do.Job == "" {
		// It passed before this log began, and the purveyor's list does not credit it.
		if again, known := a.OwesAgain(); again == nil || known != nil {
			return nil, refuse("assembly %s has no report to send again besides those of its jobs", a.ID)
		}
		return []Draft{{a.entity(), Reported{On: do.On, How: do.How, By: do.By, Confirmation: do.Confirmation}}}, nil
	}
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	if job.Failure == nil || !job.NeedsVisit() {
		return onJob(b, do.JobRef, Reported{do.Job, do.On, do.How, do.By, do.Confirmation}, func(j *Job) error {
			if j.Stage == StageAccepted && a.asksAgain(j) {
				return nil
			}
			return inStage("has a report to file", StagePassed, StageReturned, StageReported)(j)
		})
	}
	filed := FailureReported{do.Job, do.On, do.How, do.By, do.Confirmation}
	return onJob(b, do.JobRef, filed, func(j *Job) error {
		if j.FailFiled != nil && *j.FailFiled == filed {
			return errNothingToDo
		}
		return nil
	})
}

// decideAccept writes that the purveyor took a report. That of a failure ends nothing: the repair is owed as before.
func decideAccept(b *Book, do AcceptReport) ([]Draft, error) {
	_, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	if job.Failure == nil || !job.NeedsVisit() {
		return onJob(b, do.JobRef, ReportAccepted{do.Job, do.On}, inStage("has a report to be accepted", StageReported))
	}
	return onJob(b, do.JobRef, FailureAccepted{do.Job, do.On}, func(j *Job) error {
		switch {
		case j.FailFiled == nil:
			return refuse("the report of the failure of job %s is not filed, so it cannot be accepted", j.ID)
		case !j.FailAccepted.IsZero():
			return errNothingToDo
		}
		return nil
	})
}

func decidePhone(b *Book, c Command, do PhoneFailure) ([]Draft, error) {
	phoned := FailurePhoned{do.Job, do.At, strings.TrimSpace(do.To), cmp.Or(do.By, c.Actor), do.Words}
	if phoned.At.IsZero() {
		phoned.At = c.Happened
	}
	return onJob(b, do.JobRef, phoned, func(j *Job) error {
		switch {
		case j.Failure == nil:
			return refuse("job %s has not failed (it is %s), so there is nothing to phone in", j.ID, j.Stage)
		case phoned.To == "":
			return refuse("say who was told, by role")
		case j.Phoned != nil:
			return refuse("the failure of job %s was phoned in on %s already", j.ID, j.Phoned.At.Format("2006-01-02 15:04"))
		}
		return nil
	})
}

// decideWithdraw ends a job and frees the kits set aside for it.
func decideWithdraw(b *Book, do Withdraw) ([]Draft, error) {
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	if !job.Open() {
		return nil, refuse("job %s is over: it is %s", job.ID, job.Stage)
	}
	return append([]Draft{{a.entity(), Withdrawn{do.Job, do.Why}}}, freeKits(b, do.JobRef, job.Parts, nil, "the job is over without a test")...), nil
}

func decideListDue(b *Book, do ListDue) ([]Draft, error) {
	a := b.Assemblies[do.Assembly]
	if a == nil {
		return nil, refuse("no assembly %q", do.Assembly)
	}
	if do.Due.IsZero() {
		return nil, refuse("assembly %s: say when it is due", do.Assembly)
	}
	job := a.ListedJob()
	switch {
	case job != nil && job.NeedsVisit():
		return listedAgain(a, job, do), nil
	case job != nil && job.Due == do.Due, passedInCycle(b, a, do):
		return notCredited(a, job, do), nil
	case a.Job(do.NewJob) != nil:
		return nil, nil // the very job, which is over: withdrawn, or passed for an earlier cycle
	}
	if err := CheckID(string(do.NewJob)); err != nil {
		return nil, refuse("assembly %s: the new job's id: %v", do.Assembly, err)
	}
	return []Draft{{a.entity(), Due{do.NewJob, cmp.Or(do.Kind, AnnualTest), do.Due, earliest(b, a, do), do.AsOf, do.List,
		cmp.Or(do.Standing, Ask)}}}, nil
}

// notCredited: what is listed as due has passed in its cycle; job is the one that passed, unless it is over.
func notCredited(a *Assembly, job *Job, do ListDue) []Draft {
	if a.SendAgain != nil && a.SendAgain.Due == do.Due && (a.SentAgain.IsZero() || !a.SentAgain.Before(do.AsOf)) {
		return nil
	}
	event := NotCredited{Passed: a.Passed, Due: do.Due, List: do.List}
	if job != nil {
		event.Job, event.Passed = job.ID, job.PassedOn
	}
	return []Draft{{a.entity(), event}}
}

// listedAgain compares a list's row with the job that is open: a changed date moves the deadline, anything else changes
// nothing. An older list than the one already known moves nothing.
func listedAgain(a *Assembly, job *Job, do ListDue) []Draft {
	e := a.entity()
	var drafts []Draft
	if due := job.ListedDue(); due != do.Due && !do.AsOf.Before(job.AsOf) {
		drafts = append(drafts, Draft{e, DeadlineMoved{job.ID, due, do.Due, do.AsOf, do.List}})
	}
	if do.Standing != "" && do.Standing != Ask && do.Standing != job.Standing {
		drafts = append(drafts, Draft{e, Ordered{job.ID, do.Standing, "so listed"}})
	}
	return drafts
}

// passedInCycle reports whether the newest pass belongs to the test cycle that the due date ends, although the list does
// not show it. It does when it lies where the purveyor would have counted it, or, where no earliest day is known, in the
// second half of the interval before the due date (a year when no interval is known): a late pass of the cycle before
// lies in the first half.
func passedInCycle(b *Book, a *Assembly, do ListDue) bool {
	if a.Passed.IsZero() || !do.LastTest.Before(a.Passed) && !do.LastTest.IsZero() {
		return false
	}
	months, before := 12, 0
	if p := b.Purveyors[a.Purveyor]; p != nil {
		if p.IntervalMonths > 0 {
			months = p.IntervalMonths
		}
		before = p.EarliestDaysBefore
	}
	if before > 0 {
		return !a.Passed.Before(do.Due.AddDays(-before))
	}
	half := do.Due.Sub(do.Due.AddMonths(-months)) / 2
	return do.Due.AddDays(-half).Before(a.Passed)
}

// jobKinds are those a job can be opened for.
var jobKinds = []JobKind{AnnualTest, NewInstall, ReOccupancy, BeforeUseAgain, Discharging, AfterFreeze, ReturnVisit, AfterRepair, SeasonStart, SurveyOnSite}

func decideOpenJob(b *Book, c Command, do OpenJob) ([]Draft, error) {
	a := b.Assemblies[do.Assembly]
	switch {
	case a == nil || a.Office != c.Office:
		return nil, refuse("no assembly %q", do.Assembly)
	case a.Gone:
		return nil, refuse("assembly %s was removed", do.Assembly)
	case !slices.Contains(jobKinds, do.Kind):
		return nil, refuse("%q is not a kind of job", do.Kind)
	case do.Due.IsZero():
		return nil, refuse("say by when it should be done")
	case CheckID(string(do.NewJob)) != nil:
		return nil, refuse("the job has no id")
	case a.Job(do.NewJob) != nil:
		return nil, nil
	}
	return []Draft{{a.entity(), Due{Job: do.NewJob, Kind: do.Kind, Due: do.Due, AsOf: DateIn(c.Happened, c.Happened.Location()), List: do.Words, Standing: Ours}}}, nil
}

// decideCarryOver writes a failure whose test is in another system's papers.
func decideCarryOver(b *Book, do CarryOver) ([]Draft, error) {
	if do.FailedOn.IsZero() {
		return nil, refuse("say on which day it failed")
	}
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	if job.Failure != nil && job.Failure.On == do.FailedOn {
		return nil, nil
	}
	if !job.NeedsVisit() {
		return nil, refuse("job %s needs no visit any more: it is %s", job.ID, job.Stage)
	}
	p := b.Purveyors[a.Purveyor]
	loc := time.UTC
	if p != nil {
		loc = p.Location()
	}
	retestBy := retestOwed(p, a, job, do.FailedOn.In(loc))
	if !do.RetestBy.IsZero() {
		retestBy = Deadline{Known: true, At: do.RetestBy.AddDays(1).In(loc), On: do.RetestBy, Rule: "as taken over"}
	}
	return []Draft{{a.entity(), FailedRetest{Job: do.Job, On: do.FailedOn, Words: do.Words, RetestBy: retestBy,
		ReportBy: Deadline{Rule: "not known: filed in the earlier system"}}}}, nil
}

// retestOwed is when a failed assembly must have passed again. A second failure keeps the clock of the first.
func retestOwed(p *Purveyor, a *Assembly, job *Job, tested time.Time) Deadline {
	switch {
	case job.Failure != nil && job.Failure.RetestBy.Known:
		return job.Failure.RetestBy
	case p == nil:
		return unknown("which purveyor's rules hold")
	}
	return RepairDue(p.Repair, a.Hazard, Starts{FromTest: tested}, p.Closed, p.Location())
}

func earliest(b *Book, a *Assembly, do ListDue) Date {
	if !do.Earliest.IsZero() {
		return do.Earliest
	}
	if p := b.Purveyors[a.Purveyor]; p != nil && p.EarliestDaysBefore > 0 {
		return do.Due.AddDays(-p.EarliestDaysBefore)
	}
	return Date{}
}

func decideReady(b *Book, do ReadyParts) ([]Draft, error) {
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	if err := failedOnly(job); err != nil {
		return nil, err
	}
	if by, ok := job.PartsBy(); job.Stage == StagePartsReady && ok && by.IsZero() && len(do.Items) == 0 &&
		!slices.ContainsFunc(job.Parts, func(p PartWanted) bool { return p.Where != do.Where }) {
		return nil, nil
	}
	for i, item := range do.Items {
		if slices.Contains(do.Items[:i], item) {
			return nil, refuse("repair kit %s is named twice", item)
		}
	}
	parts := slices.Clone(job.Parts)
	var drafts []Draft
	for i := range parts {
		parts[i].Where = do.Where
		parts[i].Item = cmp.Or(parts[i].Item, parts[i].Received, KitID("kit-"+string(job.ID)+"-"+strconv.Itoa(i)))
		named := i < len(do.Items)
		if named {
			parts[i].Item = do.Items[i]
		}
		kit := b.Kits[parts[i].Item]
		switch {
		case kit == nil && named:
			return nil, refuse("no repair kit %q", parts[i].Item)
		case kit == nil: // not tracked one by one
			continue
		}
		if err := kit.fits(do.JobRef, parts[i]); err != nil {
			return nil, err
		}
		if named || kit.For == nil {
			drafts = append(drafts, Draft{kit.entity(), KitReserved{do.JobRef, do.Where}})
		}
	}
	if job.Stage == StagePartsReady && slices.Equal(parts, job.Parts) {
		return nil, nil
	}
	return append([]Draft{{a.entity(), PartsReady{do.Job, parts}}}, drafts...), nil
}

// decideFinish turns what the crew says into events: the tests as read, the repair, the outcome and what follows from it.
func decideFinish(b *Book, c Command, do FinishJob) ([]Draft, error) {
	a, job, err := findJob(b, do.JobRef)
	if err != nil {
		return nil, err
	}
	if err := do.check(); err != nil {
		return nil, err
	}
	if do.Paper != nil {
		if do, err = do.fromPaper(c); err != nil {
			return nil, err
		}
	}
	f := finishing{b: b, c: c, do: do, a: a, job: job}
	if do.Paper != nil {
		f.add(KeyedIn{do.Job, *do.Paper})
	}
	if r := f.toldTwice(); r != nil && f.saysTheSame(r) {
		f.late(r, true)
		return f.drafts, nil
	}
	later := f.laterResult()
	f.tests(later == nil)
	f.wrongKits()
	if later != nil {
		f.late(later, false)
	} else if err := f.outcome(); err != nil {
		return nil, err
	}
	if later == nil { // what was heard since stands
		f.feedFollows()
	}
	f.alarms(later)
	return f.drafts, nil
}

func (do FinishJob) check() error {
	switch do.Outcome {
	case OutcomePassed, OutcomeFailed:
		if do.Initial == nil && do.Final == nil {
			return refuse("a job is passed or failed by a test: record the readings")
		}
	case OutcomeRepairedPassed:
		if do.Final == nil {
			return refuse("after a repair the retest comes before the verdict: record the final readings")
		}
	case OutcomeCouldNotTest:
		if !slices.Contains(CouldNotReasons, do.Why) {
			return refuse("say why it could not be tested: %s", strings.Join(CouldNotReasons, ", "))
		}
	case OutcomeReplaced:
		if do.New == nil {
			return refuseNewUnit()
		}
	case OutcomeWrongType:
		if !do.Seen.Known() {
			return refuse("say which type of assembly is there")
		}
	case OutcomeNotFound, OutcomeRemoved, OutcomeNoAccess, OutcomeRefused, OutcomeRanOut:
	default:
		return refuse("%q is not an outcome of a visit", do.Outcome)
	}
	if do.New != nil && (strings.TrimSpace(do.New.Serial) == "" || !do.New.Type.Known()) {
		return refuseNewUnit()
	}
	return nil
}

func refuseNewUnit() error { return refuse("of a replaced unit record the new serial and type") }

type finishing struct {
	b        *Book
	c        Command
	do       FinishJob
	a        *Assembly
	job      *Job
	drafts   []Draft
	computed Opinion // on the newest test
	unfit    []int   // places, from 1, of the job's parts whose kits did not fit
}

func (f *finishing) add(event any) { f.drafts = append(f.drafts, Draft{f.a.entity(), event}) }

// tests adds what was read and done; stands is false for a result that a later one stands over.
func (f *finishing) tests(stands bool) {
	kind := f.a.Type
	if f.do.New != nil {
		if stands {
			f.add(f.replaced())
		}
		kind = f.do.New.Type
	}
	f.tested(f.do.Initial, kind)
	if f.do.Repair != nil {
		repair := *f.do.Repair
		repair.Job, repair.Crew = f.do.Job, f.do.Crew
		f.add(repair)
	}
	f.tested(f.do.Final, kind)
}

// tested adds a test, if it was made, with the verdict of the purveyor's criteria beside the tester's.
func (f *finishing) tested(made *Test, kind AssemblyType) {
	if made == nil {
		return
	}
	test := *made
	profile := ProfileFor(f.b.Purveyors[f.a.Purveyor])
	verdict := test.Judge(profile, kind)
	test.Profile, test.Computed = profile.ID, &verdict
	f.computed = verdict.Opinion()
	f.add(Tested{f.do.Job, f.do.Crew, test})
}

// ProfileFor is the criteria profile of a purveyor; the strictest when it names none, or one that is not known.
func ProfileFor(p *Purveyor) Profile {
	if p != nil {
		if profile, err := ProfileByID(ProfileID(p.Criteria)); err == nil {
			return profile
		}
	}
	strictest, err := ProfileByID(Strictest)
	if err != nil {
		panic(err) // it is part of the program
	}
	return strictest
}

func (f *finishing) replaced() Replaced {
	new := *f.do.New
	new.Job, new.Crew, new.On, new.OldSerial = f.do.Job, f.do.Crew, f.do.Day, f.a.Serial
	return new
}

func (f *finishing) outcome() error {
	setback := Setback{f.do.Job, f.do.Crew, f.do.Day, f.do.Why, f.do.Words, f.do.Obstacle}
	switch f.do.Outcome {
	case OutcomePassed, OutcomeRepairedPassed:
		f.passed()
	case OutcomeFailed:
		f.failed()
	case OutcomeCouldNotTest:
		f.add(CouldNotTest(setback))
	case OutcomeNotFound:
		f.add(NotFound(setback))
	case OutcomeRemoved:
		f.add(Removed(setback))
	case OutcomeRefused:
		f.add(OwnerRefused(setback))
	case OutcomeNoAccess:
		f.add(NoAccess(setback))
	case OutcomeRanOut:
		f.add(RanOut(setback))
	case OutcomeWrongType:
		f.add(WrongType{f.do.Job, f.do.Crew, f.do.Day, f.a.Type, f.do.Seen, f.do.Words})
	case OutcomeReplaced: // already added; a test of the new unit may have come with it
		if f.do.Final != nil && f.do.Final.Says == OpinionPass {
			f.passed()
		}
	}
	return nil
}

func (f *finishing) passed() {
	f.add(Passed{f.do.Job, f.do.Day, f.do.Crew, f.do.Outcome == OutcomeRepairedPassed, f.clock(func(p *Purveyor) DeadlineRule { return p.ReportPass })})
	f.drafts = append(f.drafts, freeKits(f.b, f.do.JobRef, f.job.Parts, f.fitted(), "the job passed without it")...)
	f.beforeUse()
}

// fitted are the parts of the job that went in, by the very kit where it was named, else by code.
func (f *finishing) fitted() []PartWanted {
	if f.do.Repair == nil {
		return nil
	}
	var in []PartWanted
	for _, p := range f.job.Parts {
		if slices.ContainsFunc(f.do.Repair.Fitted, func(w PartWanted) bool { return w.Item == p.Item || w.Item == "" && w.Code == p.Code }) {
			in = append(in, p)
		}
	}
	return in
}

// failed writes the failure with its deadline.
func (f *finishing) failed() {
	f.add(FailedRetest{
		Job: f.do.Job, On: f.do.Day, Crew: f.do.Crew, Words: f.why(),
		RetestBy: retestOwed(f.b.Purveyors[f.a.Purveyor], f.a, f.job, f.testedAt()),
		ReportBy: f.clock(func(p *Purveyor) DeadlineRule { return p.ReportFail }),
		PhoneBy:  f.clock(func(p *Purveyor) DeadlineRule { return p.PhoneFail }),
	})
	needed := f.stillNeeded()
	switch waiting := slices.ContainsFunc(needed, func(p PartWanted) bool { return p.Item == "" }); {
	case waiting:
		f.add(PartsPending{f.do.Job, needed})
	case len(needed) > 0:
		f.add(PartsReady{f.do.Job, needed})
	}
	f.drafts = append(f.drafts, freeKits(f.b, f.do.JobRef, f.spare(), needed, "the job does not wait for it any more")...)
}

// clock computes a deadline from the instant of the test by the purveyor's rule; without a purveyor it is not known.
func (f *finishing) clock(rule func(*Purveyor) DeadlineRule) Deadline {
	p := f.b.Purveyors[f.a.Purveyor]
	if p == nil {
		return Deadline{}
	}
	return rule(p).Due(Starts{FromTest: f.testedAt()}, p.Closed, p.Location())
}

// testedAt is when the deciding test was made, by the server's clock as well as it is known.
func (f *finishing) testedAt() time.Time {
	at := f.c.Happened
	for _, t := range []*Test{f.do.Initial, f.do.Final} {
		if t != nil && !t.At.IsZero() {
			at = t.At
		}
	}
	if f.c.ClockOffset != nil {
		at = at.Add(-*f.c.ClockOffset)
	}
	return at
}

func (f *finishing) why() string {
	if f.do.Words != "" {
		return f.do.Words
	}
	for i := len(f.drafts) - 1; i >= 0; i-- {
		if t, ok := f.drafts[i].Event.(Tested); ok && t.Computed != nil {
			return strings.Join(t.Computed.Why(), "; ")
		}
	}
	return "failed"
}

// takenBack reports whether the job was out with this crew on the day, and the day was taken back.
func (f *finishing) takenBack() bool {
	d, out := f.b.Day(f.a.Office, f.do.Day), f.job.LastOut
	return d != nil && d.Sent == nil && d.Taken != nil && out != nil && out.Date == f.do.Day && (f.do.Crew == "" || out.Crew == f.do.Crew)
}

// alarms are raised beside the facts, which stand.
func (f *finishing) alarms(later *VisitResult) {
	alarm := func(sort AlarmSort, words string) { f.add(AssemblyAlarm{Alarm{eventID(f.c.ID, 0), words, sort}}) }
	says := OpinionFail
	switch f.do.Outcome {
	case OutcomePassed, OutcomeRepairedPassed:
		says = OpinionPass
	case OutcomeFailed:
	default:
		says = ""
	}
	if says != "" && f.computed != "" && f.computed != says {
		alarm(AlarmVerdict, "the tester says "+string(says)+", the criteria of the purveyor's profile say "+string(f.computed)+": both are kept")
	}
	if later != nil {
		alarm(AlarmLate, "this result ("+string(f.do.Outcome)+") came in after a later one ("+string(later.Outcome)+"): the later one stands, both are kept; which one holds?")
	}
	switch out, twice := f.job.Dispatched, f.toldTwice(); {
	case later == nil && twice != nil && f.contradicts(twice):
		alarm(AlarmToldTwice, "this crew has said two things of one visit ("+string(twice.Outcome)+", now "+string(f.do.Outcome)+"): both are kept; which one holds?")
	case !f.job.NeedsVisit():
		alarm(AlarmOver, "a result came for a job that was already "+string(f.job.Stage))
	case out == nil && f.again():
	case out == nil && f.takenBack():
		alarm(AlarmTakenBack, "the day had been taken back when this result came in")
	case out == nil:
		alarm(AlarmTakenBack, "a result came for a job that was on no sent-out day")
	case f.do.Crew != "" && out.Crew != f.do.Crew:
		alarm(AlarmTakenBack, "a result came from another crew than the one the job was sent out with, "+crewName(f.b, out.Crew))
	}
	if n := len(f.job.Attempts); n > 0 && f.do.Day.Before(f.job.Attempts[n-1].On) {
		last := f.job.Attempts[n-1]
		alarm(AlarmLate, "this result is of "+f.do.Day.String()+", and one of "+last.On.String()+" ("+string(last.Outcome)+") was recorded before it: which one holds?")
	}
	for _, t := range []*Test{f.do.Initial, f.do.Final} {
		if t == nil {
			continue
		}
		if g := f.b.Gauges[t.Gauge]; g == nil {
			alarm(AlarmRights, "the gauge of the test is not on record")
		} else if !g.Valid(f.do.Day) {
			alarm(AlarmRights, "the gauge's certificate was not valid on that day: by many rules this is not a test; ask the purveyor")
		}
		if words := f.testerLacks(t.Tester); words != "" {
			alarm(AlarmRights, words)
		}
	}
}

// again reports whether the same crew was sent there with the job on that very day and recorded another outcome before: it
// came back when what stood in the way was gone. The same outcome twice is no second visit but a second word.
func (f *finishing) again() bool {
	out, n := f.job.LastOut, len(f.job.Attempts)
	return out != nil && out.Date == f.do.Day && out.Crew == f.do.Crew && n > 0 && f.job.Attempts[n-1].Outcome != f.do.Outcome
}

// testerLacks says what a tester lacked on the day, of those whose certificates are on record.
func (f *finishing) testerLacks(id PersonID) string {
	person, p := f.b.People[id], f.b.Purveyors[f.a.Purveyor]
	switch {
	case person == nil || len(person.Credentials) == 0:
		return ""
	case !person.Holds(TesterCertificate, f.do.Day):
		return "the tester's certificate was not valid on that day: ask the purveyor whether the test counts"
	case p != nil && p.RegistrationRequired && !person.RegisteredWith(p.ID, f.do.Day):
		return "the tester was not registered with the purveyor on that day: ask the purveyor whether the test counts"
	}
	return ""
}
