package events

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// DisuseKind says what was not used.
type DisuseKind string

// The kinds: a building stood empty, or the water of a feed was not used.
const (
	Vacant   DisuseKind = "vacant"
	OutOfUse DisuseKind = "out-of-use"
)

// Disuse is how long a site stood empty, or a feed was out of use.
type Disuse struct {
	Since Date   `json:"since,omitzero"` // the first day without use; unset: it was noted by mistake
	Back  Date   `json:"back,omitzero"`  // the day on which it is used again; unset: nobody knows yet
	By    string `json:"by"`             // who says so, by role
	Words string `json:"words,omitempty"`
}

// DisuseRule says after how many months without use an assembly must be tested before it is used. The zero rule is not known.
// Published: before re-occupying premises that were vacant for a year (Harker Heights TX code); before use of an assembly that
// was idle for more than three months (codes of Ankeny IA and Clive IA). Whether exactly so many months are long enough
// no source read says; they are, which is the stricter.
type DisuseRule struct {
	Months int    `json:"months,omitempty"`
	None   bool   `json:"none,omitempty"` // it was asked, and has no such rule
	Source string `json:"source,omitempty"`
}

// strictestDisuseMonths stands for a rule that is not known: the shortest of those published (Ankeny IA and Clive IA).
const strictestDisuseMonths = 3

// Known reports whether the purveyor said whether it has such a rule.
func (r DisuseRule) Known() bool { return r.Months > 0 || r.None }

// BeforeUse is a test that is owed before something is used again.
type BeforeUse struct {
	Why   DisuseKind `json:"why"`
	Since Date       `json:"since"`
	// CountsFrom is the first day on which a test counts: less than the rule's months lie between it and the use. While nobody
	// knows the day of use, it is the first day on which a test is owed.
	CountsFrom Date `json:"counts_from"`
	Back       Date `json:"back,omitzero"` // as of Disuse
	// By ends with the day before it is used again. While that is not known it is not known, and never no deadline.
	By Deadline `json:"by"`
}

// Owed says by when a test is owed before a use after disuse; ok is false when none is. Months are those of the calendar, as
// AddMonths counts them. A test passed meanwhile, on passed, starts the count again. The zone is the purveyor's.
func (r DisuseRule) Owed(why DisuseKind, d Disuse, passed Date, loc *time.Location) (owed BeforeUse, ok bool) {
	if r.None || d.Since.IsZero() {
		return BeforeUse{}, false
	}
	months := cmp.Or(r.Months, strictestDisuseMonths)
	idle := d.Since
	if idle.Before(passed) {
		idle = passed
	}
	enough := idle.AddMonths(months)
	owed = BeforeUse{Why: why, Since: d.Since, CountsFrom: enough, Back: d.Back}
	if d.Back.IsZero() {
		owed.By = unknown("when it is used again; it is tested before that, " + r.words(why, months))
		return owed, true
	}
	if d.Back.Before(enough) {
		return BeforeUse{}, false
	}
	owed.CountsFrom = d.Back.AddMonths(-months)
	for !d.Back.Before(owed.CountsFrom.AddMonths(months)) {
		owed.CountsFrom = owed.CountsFrom.AddDays(1)
	}
	owed.By = Deadline{true, d.Back.In(loc), d.Back.AddDays(-1), fmt.Sprintf("before use on %s, %s", d.Back, r.words(why, months))}
	return owed, true
}

// words says the rule: "since it was out of use for 3 months or longer (town code)".
func (r DisuseRule) words(why DisuseKind, months int) string {
	count := fmt.Sprintf("%d months", months)
	if months == 1 {
		count = "1 month"
	}
	text := "since it was " + why.words() + " for " + count + " or longer"
	switch {
	case !r.Known():
		text += "; the purveyor's rule is not known: ask, until then the strictest of those published"
	case r.Source != "":
		text += " (" + r.Source + ")"
	}
	return text
}

func (k DisuseKind) words() string {
	if k == OutOfUse {
		return "out of use"
	}
	return string(k)
}

// rule is the purveyor's rule for a kind of disuse; that of no purveyor is not known.
func (k DisuseKind) rule(p *Purveyor) DisuseRule {
	switch {
	case p == nil:
		return DisuseRule{}
	case k == Vacant:
		return p.Vacancy
	}
	return p.Idle
}

// jobKind is the kind of a job that is opened for it alone.
func (k DisuseKind) jobKind() JobKind {
	if k == Vacant {
		return ReOccupancy
	}
	return BeforeUseAgain
}

// The events of disuse.
type (
	// SiteVacant: a site stands, or stood, empty. The newest counts.
	SiteVacant struct{ Disuse }
	// FeedOutOfUse: the water of a feed is not, or was not, used. The newest counts.
	FeedOutOfUse struct{ Disuse }
	// BeforeUseOwed: a job is to be done before something is used again. It takes the place of an earlier one of its kind.
	BeforeUseOwed struct {
		Job JobID `json:"job"`
		BeforeUse
	}
	// BeforeUseLifted: for that no test is owed any more.
	BeforeUseLifted struct {
		Job   JobID      `json:"job"`
		Why   DisuseKind `json:"why"`
		Words string     `json:"words,omitempty"`
	}
)

func (e BeforeUseOwed) job() JobID   { return e.Job }
func (e BeforeUseLifted) job() JobID { return e.Job }

func declareDisuse(v *vocabulary) {
	declare[SiteVacant](v, KindSite, "vacant")
	declare[FeedOutOfUse](v, KindFeed, "out-of-use")
	declare[BeforeUseOwed](v, KindAssembly, "before-use")
	declare[BeforeUseLifted](v, KindAssembly, "before-use-lifted")
}

// noted is disuse as the book holds it; nothing when it was noted by mistake.
func (d Disuse) noted() *Disuse {
	if d.Since.IsZero() {
		return nil
	}
	return &d
}

// owesBeforeUse notes what is owed before use. The job is due by the earlier of that and what a list or a caller said;
// one that was opened for it alone is not done before it counts for it.
func (j Job) owesBeforeUse(e BeforeUse) Job {
	if len(j.BeforeUse) == 0 {
		j.Listed = j.Due
	}
	j.BeforeUse = append(slices.DeleteFunc(slices.Clone(j.BeforeUse), e.sameKind), e)
	if j.ForUseAlone() {
		j.Earliest = e.CountsFrom
	}
	return j.dueBy(j.Listed)
}

func (j Job) liftBeforeUse(why DisuseKind) Job {
	j.BeforeUse = slices.DeleteFunc(slices.Clone(j.BeforeUse), BeforeUse{Why: why}.sameKind)
	if len(j.BeforeUse) == 0 {
		j.Due, j.Listed, j.BeforeUse = j.Listed, Date{}, nil
		return j
	}
	return j.dueBy(j.Listed)
}

// same compares instants as such: one from the log has another zone's pointer.
func (u BeforeUse) same(other BeforeUse) bool {
	at := u.By.At.Equal(other.By.At)
	u.By.At, other.By.At = time.Time{}, time.Time{}
	return at && u == other
}

func (u BeforeUse) sameKind(other BeforeUse) bool { return other.Why == u.Why }

// dueBy sets the due date to what a list or a caller said, or to the last day before use when that is earlier.
func (j Job) dueBy(listed Date) Job {
	j.Due = listed
	if len(j.BeforeUse) > 0 {
		j.Listed = listed
	}
	for _, u := range j.BeforeUse {
		if u.By.Known && (j.Due.IsZero() || u.By.On.Before(j.Due)) {
			j.Due = u.By.On
		}
	}
	return j
}

// ListedDue is the due date as a list or a caller said it; unset when none did.
func (j *Job) ListedDue() Date {
	if len(j.BeforeUse) > 0 {
		return j.Listed
	}
	return j.Due
}

// UseNotKnown reports whether the job waits for nothing but a use of which nobody knows the day.
func (j *Job) UseNotKnown() bool { return j.Due.IsZero() && len(j.BeforeUse) > 0 }

// ForUseAlone reports whether the job was opened for a use that is to come, and no list or caller named it since.
func (j *Job) ForUseAlone() bool {
	return len(j.BeforeUse) > 0 && j.Listed.IsZero() && (j.Kind == ReOccupancy || j.Kind == BeforeUseAgain)
}

// Commands about disuse. Saying the same again changes nothing, unless the purveyor's rule has changed since.
type (
	// SayVacant records since when a site stands empty, and from when it is used again.
	SayVacant struct {
		Site SiteID
		Disuse
	}
	// SayOutOfUse records since when a feed is out of use, and from when it is used again.
	SayOutOfUse struct {
		Feed FeedID
		Disuse
	}
)

func decideVacant(b *Book, c Command, do SayVacant) ([]Draft, error) {
	s := b.Sites[do.Site]
	if s == nil {
		return nil, refuse("no site %q", do.Site)
	}
	d, err := do.checked(s.Vacant)
	if err != nil {
		return nil, err
	}
	return d.decide(b, c, Vacant, s.Vacant, Draft{s.entity(), SiteVacant{d}}, func(a *Assembly) bool { return a.Site == do.Site }), nil
}

func decideOutOfUse(b *Book, c Command, do SayOutOfUse) ([]Draft, error) {
	f := b.Feeds[do.Feed]
	if f == nil {
		return nil, refuse("no feed %q", do.Feed)
	}
	d, err := do.checked(f.OutOfUse)
	if err != nil {
		return nil, err
	}
	return d.decide(b, c, OutOfUse, f.OutOfUse, Draft{f.entity(), FeedOutOfUse{d}}, func(a *Assembly) bool { return a.Feed == do.Feed }), nil
}

func (d Disuse) checked(known *Disuse) (Disuse, error) {
	d.By, d.Words = strings.TrimSpace(d.By), strings.TrimSpace(d.Words)
	switch {
	case d.By == "":
		return d, refuse("say who says so, by role: the owner, the manager")
	case d.Since.IsZero() && known == nil:
		return d, refuse("say since when it is not used")
	case d.Since.IsZero() && d.Words == "":
		return d, refuse("say why it is taken back")
	case d.Since.IsZero():
		return Disuse{By: d.By, Words: d.Words}, nil
	case !d.Back.IsZero() && !d.Since.Before(d.Back):
		return d, refuse("it is used again on %s, but is out of use from %s on: the first must be the later", d.Back, d.Since)
	}
	return d, nil
}

// decide writes what was said, unless it is known, and what each assembly then owes before use.
func (d Disuse) decide(b *Book, c Command, why DisuseKind, known *Disuse, said Draft, on func(*Assembly) bool) []Draft {
	var drafts []Draft
	if known == nil || *known != d {
		drafts = append(drafts, said)
	}
	var list []*Assembly
	for _, a := range b.Assemblies {
		if on(a) && !a.Gone && a.Type.Testable() {
			list = append(list, a)
		}
	}
	slices.SortFunc(list, func(x, y *Assembly) int { return cmp.Compare(x.ID, y.ID) })
	for _, a := range list {
		drafts = append(drafts, d.onAssembly(b, c, why, a, a.Passed, nil)...)
	}
	return drafts
}

// onAssembly writes what an assembly owes before use after its newest pass: on the job that is open, else on a new one. A job
// that this very command ends is not counted among the open.
func (d Disuse) onAssembly(b *Book, c Command, why DisuseKind, a *Assembly, passed Date, ends *Job) []Draft {
	p, loc, rule := b.Purveyors[a.Purveyor], time.UTC, DisuseRule{}
	if p != nil {
		loc, rule = p.Location(), why.rule(p)
	}
	owed, ok := rule.Owed(why, d, passed, loc)
	job := a.ListedJob()
	if job == ends || job != nil && !job.NeedsVisit() {
		job = nil
	}
	if !ok {
		return d.lift(why, a, job)
	}
	var drafts []Draft
	id := JobID("")
	if job != nil {
		id = job.ID
		if slices.ContainsFunc(job.BeforeUse, owed.same) {
			return nil
		}
	} else {
		id = JobID("j-" + DeriveCommandID(c.ID, "before use "+string(a.ID)).String()[:16])
		drafts = append(drafts, Draft{a.entity(), Due{Job: id, Kind: why.jobKind(), Earliest: owed.CountsFrom, List: d.By, Standing: Ours}})
	}
	drafts = append(drafts, Draft{a.entity(), BeforeUseOwed{id, owed}})
	if words := "the purveyor, whether an assembly that was " + why.words() + " must be tested before use, and after how many months"; !rule.Known() && (job == nil || !slices.Contains(job.Questions, words)) {
		drafts = append(drafts, Draft{a.entity(), Questioned{id, words}})
	}
	return drafts
}

// lift takes back what was owed before use. A job that was opened for it alone is over, unless it is out or was tried.
func (d Disuse) lift(why DisuseKind, a *Assembly, job *Job) []Draft {
	if job == nil || !slices.ContainsFunc(job.BeforeUse, BeforeUse{Why: why}.sameKind) {
		return nil
	}
	words := "it was not " + why.words() + " long enough"
	if d.Since.IsZero() {
		words = d.Words
	}
	drafts := []Draft{{a.entity(), BeforeUseLifted{job.ID, why, words}}}
	if len(job.BeforeUse) == 1 && job.ForUseAlone() && job.Stage == StageDue && job.Dispatched == nil && len(job.Attempts) == 0 {
		drafts = append(drafts, Draft{a.entity(), Withdrawn{job.ID, words}})
	}
	return drafts
}

// beforeUse writes what is still owed before use when a job passes too early to count for it.
func (f *finishing) beforeUse() {
	s, feed := f.b.Sites[f.a.Site], f.b.Feeds[f.a.Feed]
	for _, u := range f.job.BeforeUse {
		d := (*Disuse)(nil)
		switch {
		case u.Why == Vacant && s != nil:
			d = s.Vacant
		case u.Why == OutOfUse && feed != nil:
			d = feed.OutOfUse
		}
		if d != nil && !d.Back.IsZero() && f.do.Day.Before(d.Back) {
			f.drafts = append(f.drafts, d.onAssembly(f.b, f.c, u.Why, f.a, f.do.Day, f.job)...)
		}
	}
}
