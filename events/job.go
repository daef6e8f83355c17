package events

import (
	"slices"
	"time"
)

// JobKind says why an assembly is to be visited.
type JobKind string

// Kinds of job.
const (
	AnnualTest     JobKind = "annual-test"
	NewInstall     JobKind = "new-install"
	ReOccupancy    JobKind = "re-occupancy"
	BeforeUseAgain JobKind = "before-use" // it was out of use
	Discharging    JobKind = "relief-discharging"
	AfterFreeze    JobKind = "after-freeze"
	ReturnVisit    JobKind = "return-visit" // a failure taken over from another firm or an earlier system
	AfterRepair    JobKind = "after-repair"
	SeasonStart    JobKind = "season-start"
	SurveyOnSite   JobKind = "survey"
)

// Standing says whether a listed job is this firm's to do.
type Standing string

// Standings. A purveyor lists every assembly it has; whose it is must be known before it is planned.
const (
	Ours    Standing = "ours"
	NotOurs Standing = "not-ours"
	Ask     Standing = "ask"
)

// Stage is where a job stands between due and accepted.
type Stage string

// Stages. Only StageFailedRetest, StagePartsPending and StagePartsReady follow from a failed test.
const (
	StageDue          Stage = "due"
	StageFailedRetest Stage = "failed-retest" // failed; a repair and retest are owed
	StagePartsPending Stage = "parts-pending" // as failed-retest, and the parts are not at hand
	StagePartsReady   Stage = "parts-ready"   // as failed-retest, and the parts are reserved
	StageStopped      Stage = "stopped"       // could not be tested; something must change first
	StagePassed       Stage = "passed"        // the report is owed
	StageReported     Stage = "reported"      // filed, not yet accepted
	StageReturned     Stage = "returned"      // the purveyor sent the report back
	StageAccepted     Stage = "accepted"      // over
	StageWithdrawn    Stage = "withdrawn"     // over
)

// Job is one obligation on one assembly, from due to accepted. It is part of its assembly's state.
type Job struct {
	ID         JobID        `json:"id"`
	Kind       JobKind      `json:"kind"`
	Due        Date         `json:"due,omitzero"`
	Earliest   Date         `json:"earliest,omitzero"` // a test before this day does not count
	AsOf       Date         `json:"as_of,omitzero"`    // of the list that named it
	Standing   Standing     `json:"standing"`
	Stage      Stage        `json:"stage"`
	Dispatched *Dispatched  `json:"dispatched,omitempty"` // on a sent-out day, not yet done
	LastOut    *Dispatched  `json:"last_out,omitempty"`   // as Dispatched, and kept when the visit is over
	StoodDown  bool         `json:"stood_down,omitempty"` // and it stood down after LastOut: it may go out with that day again
	Tests      []TestTaken  `json:"tests,omitempty"`
	Failure    *Failure     `json:"failure,omitempty"`
	Yes        *RepairYes   `json:"yes_to_repair,omitempty"`
	Parts      []PartWanted `json:"parts,omitempty"`
	Stopped    *Stop        `json:"stopped,omitempty"`
	Attempts   []Attempt    `json:"attempts,omitempty"`
	PassedOn   Date         `json:"passed_on,omitzero"`
	ReportBy   *Deadline    `json:"report_by,omitempty"`
	Filed      *Reported    `json:"filed,omitempty"`
	// FailFiled is the report of the failure, which has a clock of its own; the job goes on.
	FailFiled *FailureReported `json:"fail_filed,omitempty"`
	// FailAccepted is when the purveyor took the report of the failure that stands in FailFiled.
	FailAccepted Date `json:"fail_accepted,omitzero"`
	// Returned is the newest report that came back and was not filed again.
	Returned *ReportReturned `json:"returned,omitempty"`
	// BeforeUse is what it must be done before, for Listed is when a list or a caller said that it is due; Due is the earlier.
	BeforeUse  []BeforeUse    `json:"before_use,omitempty"`
	Listed     Date           `json:"listed,omitzero"`
	Questions  []string       `json:"questions,omitempty"` // open ones, for the office to ask
	OpenedAt   time.Time      `json:"opened_at"`
	FailedAt   time.Time      `json:"failed_at,omitzero"`
	PhoneBy    *Deadline      `json:"phone_by,omitempty"` // a failure must be told to the purveyor by
	Phoned     *FailurePhoned `json:"phoned,omitempty"`   // it was told
	Replaced   *Replaced      `json:"replaced,omitempty"`
	LastResult VisitOutcome   `json:"last_result,omitempty"`
	Papers     []PaperResult  `json:"papers,omitempty"`  // results that were keyed in from paper
	Results    []VisitResult  `json:"results,omitempty"` // oldest first, voided ones too
	Late       []LateTaken    `json:"late,omitempty"`    // results that came in after one of a later moment

	before kept // the newest result, see VisitResult
}

// Failure is why a job failed and by when repair and retest are owed. A second failure does not restart the clock.
type Failure struct {
	On       Date     `json:"on"`
	Words    string   `json:"words"`
	RetestBy Deadline `json:"retest_by"`
}

// TestTaken is a test as recorded.
type TestTaken struct {
	Event EventID   `json:"event"`
	At    time.Time `json:"at"`
	Crew  CrewID    `json:"crew,omitempty"`
	Test
	Corrected EventID `json:"corrected,omitempty"` // the event in which its tester corrected readings; the first entry is in the log
}

// RepairYes is the owner's consent to repair. Without it an assembly is not opened.
type RepairYes struct {
	Basis    string   `json:"basis"` // standing, quote, or up to a sum
	LimitUSD int      `json:"limit_usd,omitempty"`
	By       PersonID `json:"by,omitempty"`
	On       Date     `json:"on"`
}

// PartWanted is a repair kit a job waits for.
type PartWanted struct {
	Code        string    `json:"code"`
	Part        Part      `json:"part,omitempty"`
	Component   Component `json:"component,omitempty"`
	Supplier    string    `json:"supplier,omitempty"`
	OrderNumber string    `json:"order_number,omitempty"`
	Ordered     Date      `json:"ordered,omitzero"`
	Promised    Date      `json:"promised,omitzero"`
	Received    KitID     `json:"received,omitempty"` // the very kit that came for it
	Item        KitID     `json:"item,omitempty"`     // the very kit reserved for this job
	Where       string    `json:"where,omitempty"`    // the shop, or the crew on whose truck it is
}

// Stop is what kept a job from being tested and stands in the way until the office clears it.
type Stop struct {
	Outcome VisitOutcome `json:"outcome"`
	Why     string       `json:"why,omitempty"`
	Words   string       `json:"words,omitempty"`
	On      Date         `json:"on"`
	Obstacle
}

// Obstacle is what stood in the way, and who can take it away from when.
type Obstacle struct {
	Which string    `json:"which,omitempty"` // which shut-off or cock: No. 1 shut-off
	Who   string    `json:"who,omitempty"`   // by role: the purveyor, at the street valve
	From  time.Time `json:"from,omitzero"`   // from when it can be tried again
}

// Attempt is one visit to the job and how it ended.
type Attempt struct {
	On      Date         `json:"on"`
	Crew    CrewID       `json:"crew,omitempty"`
	Outcome VisitOutcome `json:"outcome"`
}

// VisitOutcome is how a visit to a job ended. Only Failed is a fail.
type VisitOutcome string

// Outcomes of a visit, each with its own next step.
const (
	OutcomePassed         VisitOutcome = "passed"
	OutcomeFailed         VisitOutcome = "failed"
	OutcomeRepairedPassed VisitOutcome = "repaired-and-passed"
	OutcomeCouldNotTest   VisitOutcome = "could-not-test"
	OutcomeNotFound       VisitOutcome = "not-found"
	OutcomeRemoved        VisitOutcome = "removed"
	OutcomeReplaced       VisitOutcome = "replaced"
	OutcomeWrongType      VisitOutcome = "wrong-type"
	OutcomeNoAccess       VisitOutcome = "no-access"
	OutcomeRefused        VisitOutcome = "owner-refused"
	OutcomeRanOut         VisitOutcome = "ran-out-of-window"
)

// VisitOutcomes are all of them, in the order in which a form asks.
var VisitOutcomes = []VisitOutcome{OutcomePassed, OutcomeFailed, OutcomeRepairedPassed, OutcomeCouldNotTest, OutcomeNotFound, OutcomeRemoved,
	OutcomeReplaced, OutcomeWrongType, OutcomeNoAccess, OutcomeRefused, OutcomeRanOut}

// CouldNotReasons are the ways a test cannot be completed; the words are common practice.
var CouldNotReasons = []string{
	"shut-off-would-not-hold", "cock-broken", "buried", "flooded", "no-pressure", "winterised", "vacant",
}

// Open reports whether the job is not over.
func (j *Job) Open() bool { return j.Stage != StageAccepted && j.Stage != StageWithdrawn }

// NeedsVisit reports whether a crew must still go there, sooner or later.
func (j *Job) NeedsVisit() bool {
	switch j.Stage {
	case StageDue, StageFailedRetest, StagePartsPending, StagePartsReady, StageStopped:
		return true
	}
	return false
}

// NeedsRepair reports whether the next visit is a return visit with a repair and a retest.
func (j *Job) NeedsRepair() bool {
	switch j.Stage {
	case StageFailedRetest, StagePartsPending, StagePartsReady:
		return true
	}
	return false
}

// PartsBy is the day on which every part is at hand: the zero date when they are all reserved or none is wanted,
// and ok false when a part has no promised date.
func (j *Job) PartsBy() (by Date, ok bool) {
	for _, p := range j.Parts {
		switch {
		case p.Item != "":
		case p.Promised.IsZero():
			return Date{}, false
		case by.Before(p.Promised):
			by = p.Promised
		}
	}
	return by, true
}

// The events of a job, filed under its assembly.
type (
	// Due opens a job: a test is owed.
	Due struct {
		Job      JobID    `json:"job"`
		Kind     JobKind  `json:"kind"`
		Due      Date     `json:"due,omitzero"`
		Earliest Date     `json:"earliest,omitzero"`
		AsOf     Date     `json:"as_of,omitzero"`
		List     string   `json:"list,omitempty"` // the file and row it came from
		Standing Standing `json:"standing"`
	}
	// DeadlineMoved: the purveyor changed the date.
	DeadlineMoved struct {
		Job  JobID  `json:"job"`
		From Date   `json:"from,omitzero"`
		To   Date   `json:"to"`
		AsOf Date   `json:"as_of,omitzero"`
		List string `json:"list,omitempty"`
	}
	// Ordered: it is known whose job it is.
	Ordered struct {
		Job      JobID    `json:"job"`
		Standing Standing `json:"standing"`
		Why      string   `json:"why,omitempty"`
	}
	// Questioned: something about the job is to be asked of the purveyor or the customer.
	Questioned struct {
		Job   JobID  `json:"job"`
		Words string `json:"words"`
	}
	// NotCredited: the list names as due what passed in this cycle; the report is to be sent again.
	NotCredited struct {
		Job    JobID  `json:"job,omitempty"`
		Passed Date   `json:"passed"`
		Due    Date   `json:"due"`
		List   string `json:"list,omitempty"`
	}
	// Dispatched echoes a sent-out day on one of its jobs; harmless when repeated.
	Dispatched struct {
		Job  JobID   `json:"job"`
		Date Date    `json:"date"`
		Crew CrewID  `json:"crew"`
		Day  EventID `json:"day"` // the day's event that sent it out
	}
	// StoodDown: the day that held the job was taken back or changed.
	StoodDown struct {
		Job JobID  `json:"job"`
		Why string `json:"why,omitempty"`
	}
	// Tested: all readings as read, with the tester's verdict and the computed one side by side.
	Tested struct {
		Job  JobID  `json:"job"`
		Crew CrewID `json:"crew,omitempty"`
		Test
	}
	// FailedRetest: the assembly failed; by when a retest is owed.
	FailedRetest struct {
		Job      JobID    `json:"job"`
		On       Date     `json:"on"`
		Crew     CrewID   `json:"crew,omitempty"`
		Words    string   `json:"words"`
		RetestBy Deadline `json:"retest_by"`
		ReportBy Deadline `json:"report_by"`
		PhoneBy  Deadline `json:"phone_by,omitzero"`
	}
	// RepairAuthorised: the owner said yes to repair.
	RepairAuthorised struct {
		Job JobID `json:"job"`
		RepairYes
	}
	// Repaired: cleaned, or parts fitted; a retest follows before it counts as returned to service.
	Repaired struct {
		Job     JobID        `json:"job"`
		Crew    CrewID       `json:"crew,omitempty"`
		Cleaned bool         `json:"cleaned,omitempty"`
		Fitted  []PartWanted `json:"fitted,omitempty"`
		Words   string       `json:"words,omitempty"`
		// By component: what was done to each, and what was found in it.
		Components []ComponentRepair `json:"components,omitempty"`
	}
	// PartsPending: kits are wanted, some perhaps with a promised date. It replaces what was wanted before.
	PartsPending struct {
		Job   JobID        `json:"job"`
		Parts []PartWanted `json:"parts"`
	}
	// PartsReady: every kit is reserved for this very job.
	PartsReady struct {
		Job   JobID        `json:"job"`
		Parts []PartWanted `json:"parts"`
	}
	// Passed: the assembly passed; the report is owed.
	Passed struct {
		Job      JobID    `json:"job"`
		On       Date     `json:"on"`
		Crew     CrewID   `json:"crew,omitempty"`
		Repaired bool     `json:"repaired,omitempty"`
		ReportBy Deadline `json:"report_by"`
	}
	// Setback is the body shared by the outcomes that are neither pass nor fail.
	Setback struct {
		Job   JobID  `json:"job"`
		Crew  CrewID `json:"crew,omitempty"`
		Day   Date   `json:"day"`
		Why   string `json:"why,omitempty"`
		Words string `json:"words,omitempty"`
		Obstacle
	}
	// CouldNotTest: not completed, for the reason Why (see CouldNotReasons).
	CouldNotTest Setback
	// NotFound: no assembly where the record says.
	NotFound Setback
	// Removed: cut out and capped, or gone.
	Removed Setback
	// OwnerRefused: the owner would not have it done.
	OwnerRefused Setback
	// NoAccess: nobody let the crew in.
	NoAccess Setback
	// RanOut: the shutdown window ended first.
	RanOut Setback
	// WrongType: the unit is not of the type on record.
	WrongType struct {
		Job    JobID        `json:"job"`
		Crew   CrewID       `json:"crew,omitempty"`
		Day    Date         `json:"day"`
		Record AssemblyType `json:"record"`
		Seen   AssemblyType `json:"seen"`
		Words  string       `json:"words,omitempty"`
	}
	// Replaced: the unit was changed for a new one; an initial test of the new one is owed.
	Replaced struct {
		Job       JobID        `json:"job"`
		Crew      CrewID       `json:"crew,omitempty"`
		On        Date         `json:"on"`
		OldSerial string       `json:"old_serial,omitempty"`
		Serial    string       `json:"serial"`
		Maker     string       `json:"maker,omitempty"`
		Model     string       `json:"model,omitempty"`
		Type      AssemblyType `json:"type"`
		Size      Size         `json:"size,omitzero"`
	}
	// WayCleared: what stopped the job is out of the way.
	WayCleared struct {
		Job   JobID  `json:"job"`
		Words string `json:"words,omitempty"`
	}
	// Reported: the report was filed with the purveyor.
	Reported struct {
		Job          JobID    `json:"job"`
		On           Date     `json:"on"`
		How          string   `json:"how,omitempty"`
		By           PersonID `json:"by,omitempty"`
		Confirmation string   `json:"confirmation,omitempty"`
	}
	// FailureReported: the report of a failed test was filed with the purveyor; the repair is owed as before.
	FailureReported struct {
		Job          JobID    `json:"job"`
		On           Date     `json:"on"`
		How          string   `json:"how,omitempty"`
		By           PersonID `json:"by,omitempty"`
		Confirmation string   `json:"confirmation,omitempty"`
	}
	// FailurePhoned: the purveyor was told of the failure by telephone.
	FailurePhoned struct {
		Job   JobID     `json:"job"`
		At    time.Time `json:"at"`
		To    string    `json:"to"` // by role, not by name
		By    PersonID  `json:"by,omitempty"`
		Words string    `json:"words,omitempty"`
	}
	// ReportAccepted: the purveyor took the report; the job is over.
	ReportAccepted struct {
		Job JobID `json:"job"`
		On  Date  `json:"on"`
	}
	// FailureAccepted: the purveyor took the report of a failure; the repair is owed as before.
	FailureAccepted struct {
		Job JobID `json:"job"`
		On  Date  `json:"on"`
	}
	// ReportReturned: the purveyor sent the report back.
	ReportReturned struct {
		Job JobID  `json:"job"`
		On  Date   `json:"on"`
		Why string `json:"why"`
	}
	// Withdrawn: the job is over without a test.
	Withdrawn struct {
		Job JobID  `json:"job"`
		Why string `json:"why"`
	}
)

func declareJob(v *vocabulary) {
	declare[Due](v, KindAssembly, "due")
	declare[DeadlineMoved](v, KindAssembly, "deadline-moved")
	declare[Ordered](v, KindAssembly, "ordered")
	declare[Questioned](v, KindAssembly, "questioned")
	declare[NotCredited](v, KindAssembly, "not-credited")
	declare[Dispatched](v, KindAssembly, "dispatched")
	declare[StoodDown](v, KindAssembly, "stood-down")
	declare[Tested](v, KindAssembly, "tested")
	declare[FailedRetest](v, KindAssembly, "failed-retest")
	declare[RepairAuthorised](v, KindAssembly, "repair-authorised")
	declare[Repaired](v, KindAssembly, "repaired")
	declare[PartsPending](v, KindAssembly, "parts-pending")
	declare[PartsReady](v, KindAssembly, "parts-ready")
	declare[Passed](v, KindAssembly, "passed")
	declare[CouldNotTest](v, KindAssembly, "could-not-test")
	declare[NotFound](v, KindAssembly, "not-found")
	declare[Removed](v, KindAssembly, "removed")
	declare[OwnerRefused](v, KindAssembly, "owner-refused")
	declare[NoAccess](v, KindAssembly, "no-access")
	declare[RanOut](v, KindAssembly, "ran-out-of-window")
	declare[WrongType](v, KindAssembly, "wrong-type")
	declare[Replaced](v, KindAssembly, "replaced")
	declare[WayCleared](v, KindAssembly, "way-cleared")
	declare[Reported](v, KindAssembly, "reported")
	declare[FailureReported](v, KindAssembly, "failure-reported")
	declare[FailurePhoned](v, KindAssembly, "failure-phoned")
	declare[ReportAccepted](v, KindAssembly, "report-accepted")
	declare[FailureAccepted](v, KindAssembly, "failure-report-accepted")
	declare[ReportReturned](v, KindAssembly, "report-returned")
	declare[Withdrawn](v, KindAssembly, "withdrawn")
}

// foldJob assigns; every rule was applied when the event was decided.
func (a Assembly) foldJob(at stamp, event any) (Assembly, error) {
	was := a
	switch e := event.(type) {
	case ResultVoided:
		return a.void(e), nil
	case Due:
		a.Jobs = append(slices.Clone(a.Jobs), Job{ID: e.Job, Kind: e.Kind, Due: e.Due, Earliest: e.Earliest, AsOf: e.AsOf,
			Standing: e.Standing, Stage: StageDue, OpenedAt: at.Happened})
		return a, nil
	case NotCredited:
		a.SendAgain, a.SentAgain = &e, Date{}
		return a, nil
	case Replaced:
		a.Serials = append(slices.Clone(a.Serials), e.OldSerial)
		a.Serial, a.SerialDoubt, a.Type, a.SerialsSeen = e.Serial, "", e.Type, nil
		a.Maker, a.Model = e.Maker, e.Model
		if !e.Size.IsZero() {
			a.Size = e.Size
		}
	case WrongType:
		a.Type = e.Seen
	case Reported:
		if e.Job == "" || a.asksAgain(a.Job(e.Job)) {
			a.SentAgain = e.On
		}
	case Removed:
		a.Gone = true
	case Passed:
		if a.Passed.Before(e.On) {
			a.Passed = e.On
		}
	}
	id, ok := jobOf(event)
	if !ok {
		return a, errNotMine(at, event)
	}
	for i := range a.Jobs {
		if a.Jobs[i].ID == id {
			a.Jobs = slices.Clone(a.Jobs)
			job := a.Jobs[i]
			if key := at.ID.CommandKey(); tellsResult(event) && job.before.command != key {
				job.before = was.keep(key, job)
			}
			a.Jobs[i] = job.fold(at, event).noteResult(at, len(job.Attempts), &a)
		}
	}
	return a, nil
}

func jobOf(event any) (JobID, bool) {
	switch e := event.(type) {
	case DeadlineMoved:
		return e.Job, true
	case Ordered:
		return e.Job, true
	case Questioned:
		return e.Job, true
	case Dispatched:
		return e.Job, true
	case StoodDown:
		return e.Job, true
	case Tested:
		return e.Job, true
	case FailedRetest:
		return e.Job, true
	case RepairAuthorised:
		return e.Job, true
	case Repaired:
		return e.Job, true
	case PartsPending:
		return e.Job, true
	case PartsReady:
		return e.Job, true
	case Passed:
		return e.Job, true
	case CouldNotTest:
		return e.Job, true
	case NotFound:
		return e.Job, true
	case Removed:
		return e.Job, true
	case OwnerRefused:
		return e.Job, true
	case NoAccess:
		return e.Job, true
	case RanOut:
		return e.Job, true
	case WrongType:
		return e.Job, true
	case Replaced:
		return e.Job, true
	case WayCleared:
		return e.Job, true
	case Reported:
		return e.Job, true
	case FailureReported:
		return e.Job, true
	case FailurePhoned:
		return e.Job, true
	case ReportAccepted:
		return e.Job, true
	case FailureAccepted:
		return e.Job, true
	case ReportReturned:
		return e.Job, true
	case Withdrawn:
		return e.Job, true
	case KeyedIn:
		return e.Job, true
	case ReadingsCorrected:
		return e.Job, true
	case interface{ job() JobID }:
		return e.job(), true
	}
	return "", false
}

func (j Job) fold(at stamp, event any) Job {
	switch e := event.(type) {
	case DeadlineMoved:
		j = j.dueBy(e.To)
		j.AsOf = e.AsOf
	case BeforeUseOwed:
		j = j.owesBeforeUse(e.BeforeUse)
	case BeforeUseLifted:
		j = j.liftBeforeUse(e.Why)
	case Ordered:
		j.Standing = e.Standing
	case Questioned:
		j.Questions = append(slices.Clone(j.Questions), e.Words)
	case Dispatched:
		j.Dispatched, j.LastOut, j.StoodDown = &e, &e, false
	case StoodDown:
		j.Dispatched, j.StoodDown = nil, true
	case Tested:
		j.Tests = inOrder(j.Tests, TestTaken{Event: at.ID, At: at.Happened, Crew: e.Crew, Test: e.Test})
	case LateResult:
		j.Late = append(slices.Clone(j.Late), LateTaken{at.ID, at.Happened, e})
	case FailedRetest:
		j.Stage, j.Failure = StageFailedRetest, &Failure{e.On, e.Words, e.RetestBy}
		j.FailedAt, j.ReportBy = at.Happened, &e.ReportBy
		if e.PhoneBy.Known {
			j.PhoneBy = &e.PhoneBy
		}
		j.Parts, j.Stopped, j.Phoned, j.FailFiled, j.FailAccepted = nil, nil, nil, nil, Date{}
		j = j.visited(e.On, e.Crew, OutcomeFailed)
	case RepairAuthorised:
		j.Yes = &e.RepairYes
	case Repaired:
	case PartsPending:
		j.Stage, j.Parts = StagePartsPending, e.Parts
	case PartsReady:
		j.Stage, j.Parts = StagePartsReady, e.Parts
	case Passed:
		outcome := OutcomePassed
		if e.Repaired {
			outcome = OutcomeRepairedPassed
		}
		j.Stage, j.PassedOn, j.ReportBy, j.Stopped = StagePassed, e.On, &e.ReportBy, nil
		j = j.visited(e.On, e.Crew, outcome)
	case CouldNotTest:
		j = j.stop(Setback(e), OutcomeCouldNotTest)
	case NotFound:
		j = j.stop(Setback(e), OutcomeNotFound)
	case Removed:
		j = j.stop(Setback(e), OutcomeRemoved)
	case OwnerRefused:
		j = j.stop(Setback(e), OutcomeRefused)
	case NoAccess:
		j = j.visited(e.Day, e.Crew, OutcomeNoAccess)
	case RanOut:
		j = j.visited(e.Day, e.Crew, OutcomeRanOut)
	case WrongType:
		j = j.stop(Setback{Crew: e.Crew, Day: e.Day, Why: "on record " + string(e.Record) + ", seen " + string(e.Seen), Words: e.Words}, OutcomeWrongType)
	case Replaced:
		j.Stage, j.Failure, j.Parts, j.Stopped, j.Replaced = StageDue, nil, nil, nil, &e
		j = j.visited(e.On, e.Crew, OutcomeReplaced)
	case WayCleared:
		j = j.cleared()
	case Reported:
		j.Filed, j.Returned = &e, nil
		if j.Stage != StageAccepted { // what was accepted and is sent again stays accepted
			j.Stage = StageReported
		}
	case FailureReported:
		j.FailFiled, j.FailAccepted, j.Returned = &e, Date{}, nil
	case FailureAccepted:
		j.FailAccepted, j.Returned = e.On, nil
	case FailurePhoned:
		j.Phoned = &e
	case ReportAccepted:
		j.Stage = StageAccepted
	case ReportReturned:
		j.Returned = &e
		if j.Stage == StageReported {
			j.Stage = StageReturned
		} else {
			j.FailFiled, j.FailAccepted = nil, Date{}
		}
	case Withdrawn:
		j.Stage, j.Dispatched = StageWithdrawn, nil
	case KeyedIn:
		j.Papers = append(slices.Clone(j.Papers), e.Paper)
	case ReadingsCorrected:
		j = j.withReadings(at, e)
	default:
		j, _ = j.foldPart(event)
	}
	return j
}

// visited notes a visit that is over; the job is on no sent-out day any more.
func (j Job) visited(on Date, crew CrewID, outcome VisitOutcome) Job {
	j.Attempts = append(slices.Clone(j.Attempts), Attempt{on, crew, outcome})
	j.Dispatched, j.LastResult = nil, outcome
	return j
}

// stop puts a job aside until the office clears the way. One that needs no visit any more, because the word came late, is
// not taken back to where it stood.
func (j Job) stop(s Setback, outcome VisitOutcome) Job {
	if j.NeedsVisit() {
		j.Stage, j.Stopped = StageStopped, &Stop{outcome, s.Why, s.Words, s.Day, s.Obstacle}
	}
	return j.visited(s.Day, s.Crew, outcome)
}

// cleared puts a stopped job back to where it stood: a failure stays a failure.
func (j Job) cleared() Job {
	if j.Stage != StageStopped {
		return j
	}
	j.Stopped = nil
	by, ok := j.PartsBy()
	switch {
	case j.Failure == nil:
		j.Stage = StageDue
	case len(j.Parts) == 0:
		j.Stage = StageFailedRetest
	case ok && by.IsZero():
		j.Stage = StagePartsReady
	default:
		j.Stage = StagePartsPending
	}
	return j
}
