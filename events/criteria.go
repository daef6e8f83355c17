package events

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
)

// ProfileID names a set of pass criteria.
type ProfileID string

// The profiles: published manuals and report forms that criteria were taken from. A purveyor's rules name one;
// where none is named, Strictest is used.
const (
	Strictest     ProfileID = "strictest"
	EPA2003       ProfileID = "epa-2003"       // EPA 816-R-03-002, chapter 5
	USC9          ProfileID = "usc-9"          // USC Foundation manual, 9th edition
	USC10         ProfileID = "usc-10"         // USC Foundation manual, 10th edition
	IowaCityForm  ProfileID = "iowa-city-form" // Iowa City test report form, 9/02
	TorontoForm   ProfileID = "toronto-form"   // City of Toronto test report form
	profileOfNone ProfileID = ""
)

// Family is a group of components judged alike: the bypass of a DCDA like any DC.
type Family string

// The families.
const (
	FamilyDC          Family = "DC"
	FamilyRP          Family = "RP"
	FamilyPVB         Family = "PVB"
	FamilySVB         Family = "SVB"
	FamilyBypassCheck Family = "bypass-check"
	FamilyAirGap      Family = "AG"
)

// Relation is how a criterion compares. There are few, so that the phone can evaluate the same data alike.
type Relation string

// The relations.
const (
	AtLeast   Relation = "at-least"   // number >= limit in the unit it was read in
	Recorded  Relation = "recorded"   // a number was read; there is no limit on it
	IsResult  Relation = "result"     // the result word is Want
	FullyOpen Relation = "fully-open" // the air inlet was seen fully open
	Above     Relation = "above"      // number > the number of Against
	AboveBy   Relation = "above-by"   // number - the number of Against >= limit: the buffer
	GapWidth  Relation = "gap"        // number >= the gap rule's width
)

// Mark says how far a source was read.
type Mark string

// The marks.
const (
	Checked    Mark = "checked"     // read in the publication, or in a reprint or summary of it
	FromMemory Mark = "from memory" // recalled; confirm before relying on it
	Derived    Mark = "derived"     // follows from what was checked
)

// Criterion is one condition on one component, as plain data.
type Criterion struct {
	Family    Family    `json:"family"`
	Component Component `json:"component"`
	Relation  Relation  `json:"relation"`
	// Limit by unit: psid, kPa. A number is judged by its own unit's limit and never converted.
	Limit map[Unit]Decimal `json:"limit,omitempty"`
	// Want is the result word of IsResult; for AtLeast it is the word that will do where no number was read.
	Want     Result    `json:"want,omitempty"`
	Against  Component `json:"against,omitempty"`
	IfGiven  bool      `json:"if_given,omitempty"` // not required; judged when read
	GapRule  *GapRule  `json:"gap_rule,omitempty"`
	Text     string    `json:"text"` // in plain words: "at least 1.0 psid (6.9 kPa)"
	Source   string    `json:"source"`
	Mark     Mark      `json:"mark"`
	LimitsBy string    `json:"limits_by,omitempty"` // source of the limits in other units
}

// GapRule is how wide an air gap must be: times the supply's diameter, and never under a minimum.
type GapRule struct {
	Times            int              `json:"times"`
	TimesBesideWall  int              `json:"times_beside_wall"`
	AtLeast          map[Unit]Decimal `json:"at_least"`
	AtLeastAtTheWall map[Unit]Decimal `json:"at_least_beside_wall"`
}

// Needed is the narrowest gap that passes, in the unit of the supply's diameter; ok is false for a unit the rule lacks.
func (r GapRule) Needed(at GapAt, unit Unit) (needed Decimal, ok bool) {
	times, least := r.Times, r.AtLeast
	if at.BesideWall {
		times, least = r.TimesBesideWall, r.AtLeastAtTheWall
	}
	needed, ok = least[unit]
	if wide := at.SupplyDiameter.Times(times); wide.Cmp(needed) > 0 {
		needed = wide
	}
	return needed, ok
}

// Profile is a set of criteria.
type Profile struct {
	ID       ProfileID   `json:"id"`
	Name     string      `json:"name"`
	Criteria []Criterion `json:"criteria"`
}

// Status is what one criterion found.
type Status string

// The statuses.
const (
	StatusPass    Status = "pass"
	StatusFail    Status = "fail"
	StatusMissing Status = "missing"
)

// Finding is one criterion applied to one component.
type Finding struct {
	Part      Part      `json:"part"`
	Component Component `json:"component"`
	Status    Status    `json:"status"`
	Criterion string    `json:"criterion"`
	Source    string    `json:"source,omitempty"`
	Mark      Mark      `json:"mark,omitempty"`
	Message   string    `json:"message"`
}

// Verdict is what the criteria say about a set of readings.
type Verdict struct {
	Profile ProfileID `json:"profile"`
	// Pass: everything was read and everything passes.
	Pass bool `json:"pass"`
	// Fail: at least one component fails; one is enough, also when others were not read.
	Fail bool `json:"fail"`
	// Complete: every component was read and could be judged.
	Complete bool      `json:"complete"`
	Findings []Finding `json:"findings"`
	// Buffer is check 1 minus relief opening; nil when either was not read or the relief did not open.
	Buffer       *Decimal `json:"buffer,omitempty"`
	BufferUnit   Unit     `json:"buffer_unit,omitempty"`
	BypassBuffer *Decimal `json:"bypass_buffer,omitempty"`
}

// Opinion is pass, fail or not completed.
func (v Verdict) Opinion() Opinion {
	switch {
	case v.Fail:
		return OpinionFail
	case v.Pass:
		return OpinionPass
	}
	return OpinionNotCompleted
}

// Why gives the messages of the findings that do not pass.
func (v Verdict) Why() []string {
	var why []string
	for _, f := range v.Findings {
		if f.Status != StatusPass {
			why = append(why, f.Message)
		}
	}
	return why
}

// CriteriaJSON is every profile and what each type's components are, for a page that judges by itself.
func CriteriaJSON() ([]byte, error) {
	types := map[AssemblyType][]Place{}
	for _, t := range AssemblyTypes() {
		types[t] = append([]Place{}, t.Components()...)
	}
	return json.Marshal(struct {
		Default  ProfileID                `json:"default"`
		Types    map[AssemblyType][]Place `json:"types"`
		Profiles []Profile                `json:"profiles"`
	}{Strictest, types, Profiles()})
}

// ErrNoProfile says that no criteria profile has the id.
var ErrNoProfile = errors.New("no such criteria profile")

// ProfileByID finds a profile; the empty id is Strictest.
func ProfileByID(id ProfileID) (Profile, error) {
	if id == profileOfNone {
		id = Strictest
	}
	for _, p := range profiles {
		if p.ID == id {
			return p, nil
		}
	}
	return Profile{}, fmt.Errorf("%q: %w", id, ErrNoProfile)
}

// Profiles lists every profile, the strictest first.
func Profiles() []Profile { return append([]Profile(nil), profiles...) }

// Judge applies a profile to the readings of one test. When any reading is final, only the final ones count: a
// retest reads every component again. A component that is not read, or read twice, is missing: the test is
// then not complete, and without a failing component it is neither a pass nor a fail.
func Judge(profile Profile, t AssemblyType, readings []Reading) Verdict {
	j := judging{profile: profile, readings: counting(readings)}
	v := Verdict{Profile: profile.ID, Findings: []Finding{}}
	for _, place := range t.Components() {
		v.Findings = append(v.Findings, j.place(place)...)
	}
	v.Complete = len(v.Findings) > 0
	for _, f := range v.Findings {
		v.Fail = v.Fail || f.Status == StatusFail
		v.Complete = v.Complete && f.Status != StatusMissing
	}
	v.Pass = v.Complete && !v.Fail
	v.Buffer, v.BufferUnit = j.buffer(MainPart)
	v.BypassBuffer, _ = j.buffer(BypassPart)
	return v
}

// Judge applies a profile with regard to the shut-offs. A No. 2 that leaks puts the unit in flow: the readings are not
// valid and the test is not completed, unless no flow was proved (EPA 816-R-03-002, ch. 5). If check 1 of a double
// check fails while No. 1 leaks, check 1 is repaired before check 2 is tested (Foundation newsletter, Spring 2001).
func (t Test) Judge(profile Profile, kind AssemblyType) Verdict {
	v := Judge(profile, kind, t.Readings)
	if t.ShutOff2 == Leaked && !t.NoFlowProved {
		v.Findings = append(v.Findings, Finding{
			Part: MainPart, Component: ShutOffNo2, Status: StatusMissing, Criterion: "held", Source: srcEPA, Mark: Checked,
			Message: "No. 2 shut-off does not hold: the unit is in flow and the readings are not valid",
		})
		v.Pass, v.Fail, v.Complete = false, false, false
		return v
	}
	if t.ShutOff1 == Leaked && v.failedAt(MainPart, Check1) && kind.family() == FamilyDC {
		v.repairFirst()
	}
	return v
}

func (v Verdict) failedAt(part Part, c Component) bool {
	return slices.ContainsFunc(v.Findings, func(f Finding) bool {
		return f.Part == part && f.Component == c && f.Status == StatusFail
	})
}

// repairFirst sets check 2 aside; check 1 has failed and stays so.
func (v *Verdict) repairFirst() {
	for i := range v.Findings {
		if f := &v.Findings[i]; f.Part == MainPart && f.Component == Check2 {
			f.Status, f.Source, f.Mark = StatusMissing, "Foundation newsletter, Spring 2001", Checked
			f.Message = "check 1 fails and No. 1 shut-off leaks: repair check 1 before testing check 2"
		}
	}
	v.Complete = false
}

// counting keeps the final readings if there are any, else the initial ones.
func counting(readings []Reading) []Reading {
	var initial, final []Reading
	for _, r := range readings {
		if r.Phase == Final {
			final = append(final, r)
		} else {
			initial = append(initial, r)
		}
	}
	if len(final) > 0 {
		return final
	}
	return initial
}

type judging struct {
	profile  Profile
	readings []Reading
}

// one finds the single reading of a component; nil when there is none or more than one.
func (j judging) one(part Part, c Component) (reading *Reading, count int) {
	for i, r := range j.readings {
		if r.Part == part && r.Component == c {
			reading = &j.readings[i]
			count++
		}
	}
	if count != 1 {
		return nil, count
	}
	return reading, 1
}

// place gives the findings of one component, at least one.
func (j judging) place(place Place) []Finding {
	what := place.Component.Name()
	if place.Part == BypassPart && place.Component != BypassCheck {
		what = "bypass " + what
	}
	f := Finding{Part: place.Part, Component: place.Component}
	r, count := j.one(place.Part, place.Component)
	switch {
	case count == 0:
		f.Status, f.Criterion, f.Message = StatusMissing, "read", what+" was not read"
		return []Finding{f}
	case count > 1:
		f.Status, f.Criterion, f.Message = StatusMissing, "read once", what+" was read more than once: which one counts?"
		return []Finding{f}
	case r.Result == Leaked || r.Result == DidNotOpen:
		f.Status, f.Criterion = StatusFail, "held, or opened"
		f.Message = what + " leaked"
		if r.Result == DidNotOpen {
			f.Message = what + " did not open"
		}
		return []Finding{f}
	}
	var found []Finding
	for _, c := range j.profile.Criteria {
		if c.Family != place.Family || c.Component != place.Component {
			continue
		}
		status, message := j.apply(c, *r, what)
		if status == "" {
			continue
		}
		f.Status, f.Criterion, f.Source, f.Mark, f.Message = status, c.Text, c.Source, c.Mark, message
		found = append(found, f)
	}
	if found == nil {
		f.Status, f.Criterion, f.Message = StatusMissing, "not known: ask", what+": this profile has no criterion for it"
		found = []Finding{f}
	}
	return found
}

// apply gives the status of one criterion on one reading, or "" when it does not apply.
func (j judging) apply(c Criterion, r Reading, what string) (Status, string) {
	switch c.Relation {
	case IsResult:
		return judgeResult(c, r, what)
	case FullyOpen:
		return judgeFullyOpen(r, what)
	case GapWidth:
		return judgeGap(c, r, what)
	}
	if r.Number == nil {
		if c.Want != "" && r.Result == c.Want {
			return StatusPass, fmt.Sprintf("%s %s", what, c.Want)
		}
		if c.IfGiven {
			return "", ""
		}
		return StatusMissing, fmt.Sprintf("%s has no number; %s is needed", what, c.Text)
	}
	switch c.Relation {
	case AtLeast:
		return compare(c, *r.Number, r.Unit, what+" read")
	case Recorded:
		return StatusPass, fmt.Sprintf("%s read %s %s", what, r.Number, r.Unit)
	case Above, AboveBy:
		return j.judgeAgainst(c, r, what)
	}
	return StatusMissing, fmt.Sprintf("%s: the criterion %q is not known here", what, c.Relation)
}

// compare judges a number by the limit of its own unit.
func compare(c Criterion, number Decimal, unit Unit, what string) (Status, string) {
	limit, ok := c.Limit[unit]
	if !ok {
		return StatusMissing, fmt.Sprintf("%s %s %q: there is no limit in this unit", what, number, unit)
	}
	if number.Cmp(limit) < 0 {
		return StatusFail, fmt.Sprintf("%s %s %s; %s is needed", what, number, unit, c.Text)
	}
	return StatusPass, fmt.Sprintf("%s %s %s", what, number, unit)
}

func judgeResult(c Criterion, r Reading, what string) (Status, string) {
	switch r.Result {
	case c.Want:
		return StatusPass, fmt.Sprintf("%s %s", what, c.Want)
	case "":
		if c.IfGiven {
			return "", ""
		}
		return StatusMissing, fmt.Sprintf("%s: was not noted whether it %s", what, c.Want)
	}
	return StatusMissing, fmt.Sprintf("%s: %q does not answer whether it %s", what, r.Result, c.Want)
}

func judgeFullyOpen(r Reading, what string) (Status, string) {
	switch {
	case r.FullyOpen == nil:
		return StatusMissing, what + ": was not noted whether it opened fully"
	case !*r.FullyOpen:
		return StatusFail, what + " did not open fully"
	}
	return StatusPass, what + " opened fully"
}

func judgeGap(c Criterion, r Reading, what string) (Status, string) {
	if r.Number == nil || r.GapAt == nil || c.GapRule == nil {
		return StatusMissing, what + ": the gap and the supply's diameter are needed"
	}
	needed, ok := c.GapRule.Needed(*r.GapAt, r.Unit)
	if !ok {
		return StatusMissing, fmt.Sprintf("%s: no rule in %q", what, r.Unit)
	}
	if r.Number.Cmp(needed) < 0 {
		return StatusFail, fmt.Sprintf("%s is %s %s; at least %s %s is needed", what, r.Number, r.Unit, needed, r.Unit)
	}
	return StatusPass, fmt.Sprintf("%s is %s %s", what, r.Number, r.Unit)
}

// judgeAgainst compares with another component's number. It does not apply when the other one has none: that
// component's own finding says so already.
func (j judging) judgeAgainst(c Criterion, r Reading, what string) (Status, string) {
	other, _ := j.one(r.Part, c.Against)
	if other == nil || other.Number == nil || other.Result == DidNotOpen {
		return "", ""
	}
	if other.Unit != r.Unit {
		return StatusMissing, fmt.Sprintf("%s and %s were read in different units", what, c.Against.Name())
	}
	difference := r.Number.Sub(*other.Number)
	if c.Relation == AboveBy {
		return compare(c, difference, r.Unit, fmt.Sprintf("%s above %s by", what, c.Against.Name()))
	}
	if difference.digits <= 0 {
		return StatusFail, fmt.Sprintf("%s read %s %s, which is not %s", what, r.Number, r.Unit, c.Text)
	}
	return StatusPass, fmt.Sprintf("%s read %s %s, %s", what, r.Number, r.Unit, c.Text)
}

// buffer is check 1 minus relief of one part, where both were read in one unit and the relief opened.
func (j judging) buffer(part Part) (*Decimal, Unit) {
	check, _ := j.one(part, Check1)
	relief, _ := j.one(part, Relief)
	if check == nil || relief == nil || check.Number == nil || relief.Number == nil ||
		relief.Result == DidNotOpen || check.Unit != relief.Unit {
		return nil, ""
	}
	b := check.Number.Sub(*relief.Number)
	return &b, check.Unit
}

// Sources of criteria, as cited in the profiles.
const (
	srcEPA      = "EPA 816-R-03-002 (2003), ch. 5, read as a reprint"
	srcUSC9     = "USC Foundation manual, 9th ed., by the Foundation's newsletters of Nov 1994 and Spring 2001"
	srcUSC10    = "USC Foundation manual, 10th ed., by a summary of its changes"
	srcIowa     = "Iowa City test report form, 9/02"
	srcToronto  = "City of Toronto test report form"
	srcWAC      = "WAC 246-290-010, definition of air gap"
	srcOneHose  = "Utah one-hose procedure page for ASSE 1056"
	srcTypeII   = "the bypass check is a check valve like those of a DC (ASSE 1047, 1048)"
	srcStricter = "not stated by this profile; the strictest published line is used"
	srcMetric   = "1, 2, 3 psi = 6.9, 13.8, 20.7 kPa: City of Toronto form; 5 psi = 34.5 kPa: derived, 5 x 6.8948 rounded alike"
)

// limits holds the few lines that are published in psi, with their published equivalents in kPa.
var limits = map[string]map[Unit]Decimal{
	"1.0": {PSID: MustDecimal("1.0"), KPa: MustDecimal("6.9")},
	"2.0": {PSID: MustDecimal("2.0"), KPa: MustDecimal("13.8")},
	"3.0": {PSID: MustDecimal("3.0"), KPa: MustDecimal("20.7")},
	"5.0": {PSID: MustDecimal("5.0"), KPa: MustDecimal("34.5")},
}

// wacGap: twice the supply's diameter, never under 1 in; beside a wall 3 times, never under 1-1/2 in.
var wacGap = GapRule{
	Times: 2, TimesBesideWall: 3,
	AtLeast:          map[Unit]Decimal{Inches: MustDecimal("1"), Millimetres: MustDecimal("25.4")},
	AtLeastAtTheWall: map[Unit]Decimal{Inches: MustDecimal("1.5"), Millimetres: MustDecimal("38.1")},
}

func line(f Family, c Component, r Relation, source string, m Mark) Criterion {
	return Criterion{Family: f, Component: c, Relation: r, Source: source, Mark: m}
}

func atLeast(f Family, c Component, psi, source string, m Mark) Criterion {
	l := line(f, c, AtLeast, source, m)
	l.Limit, l.LimitsBy = limits[psi], srcMetric
	l.Text = fmt.Sprintf("at least %s psid (%s kPa)", l.Limit[PSID], l.Limit[KPa])
	return l
}

// atLeastOr takes the word where the form asks for no number.
func atLeastOr(f Family, c Component, psi string, word Result, source string, m Mark) Criterion {
	l := atLeast(f, c, psi, source, m)
	l.Want = word
	l.Text += ", or " + string(word)
	return l
}

func ifGiven(c Criterion) Criterion {
	c.IfGiven = true
	return c
}

func buffer(psi, source string, m Mark) Criterion {
	l := line(FamilyRP, Check1, AboveBy, source, m)
	l.Limit, l.LimitsBy, l.Against = limits[psi], srcMetric, Relief
	l.Text = fmt.Sprintf("at least %s psid (%s kPa) above the relief opening", l.Limit[PSID], l.Limit[KPa])
	l.IfGiven = true // check 1's number is required by a criterion of its own
	return l
}

func aboveRelief(source string, m Mark) Criterion {
	l := line(FamilyRP, Check1, Above, source, m)
	l.Against, l.Text, l.IfGiven = Relief, "above the relief opening", true
	return l
}

func recorded(c Component, source string, m Mark) Criterion {
	l := line(FamilyRP, c, Recorded, source, m)
	l.Text = "a number"
	return l
}

// tight is check 2 of an RP holding against backpressure.
func tight(source string, m Mark) Criterion {
	l := line(FamilyRP, Check2, IsResult, source, m)
	l.Want, l.Text = Held, "held against backpressure"
	return l
}

func fullyOpen(source string, m Mark) Criterion {
	l := line(FamilySVB, AirInlet, FullyOpen, source, m)
	l.Text = "fully open at atmospheric pressure"
	return l
}

// both gives the same line to the two components of a type.
func both(f Family, a, b Component, psi, source string, m Mark) []Criterion {
	return []Criterion{atLeast(f, a, psi, source, m), atLeast(f, b, psi, source, m)}
}

// bypassAndGap is what every profile takes from outside its own publication.
func bypassAndGap() []Criterion {
	gap := line(FamilyAirGap, Gap, GapWidth, srcWAC, Checked)
	gap.GapRule = &wacGap
	gap.Text = "twice the supply's diameter and 1 in; beside a wall three times and 1-1/2 in"
	return []Criterion{atLeast(FamilyBypassCheck, BypassCheck, "1.0", srcTypeII, Derived), gap}
}

// strictSVB is for profiles that say nothing of spill-resistant breakers.
func strictSVB() []Criterion {
	return append(both(FamilySVB, SingleCheck, AirInlet, "1.0", srcStricter+" ("+srcIowa+")", Derived), fullyOpen(srcStricter+" ("+srcIowa+")", Derived))
}

func joined(parts ...[]Criterion) []Criterion {
	var all []Criterion
	for _, p := range parts {
		all = append(all, p...)
	}
	return append(all, bypassAndGap()...)
}

// All published versions that could be read agree on relief 2.0 and check values 1.0; they differ on check 1 of
// an RP. A direction-of-flow value of RP check 2 is judged where one is given: 0.5 psi does not meet the 9th
// edition (Foundation newsletter, Nov 1994).
var profiles = []Profile{
	{Strictest, "strictest of the published lines", joined(
		[]Criterion{
			atLeast(FamilyRP, Relief, "2.0", srcEPA, Checked),
			atLeast(FamilyRP, Check1, "5.0", srcUSC10, Checked), aboveRelief(srcUSC10, Checked), buffer("3.0", srcIowa, Checked),
			atLeast(FamilyRP, Check2, "1.0", srcIowa, Checked), tight(srcIowa, Checked),
		},
		both(FamilyDC, Check1, Check2, "1.0", srcEPA, Checked),
		both(FamilyPVB, AirInlet, SingleCheck, "1.0", srcIowa, Checked),
		both(FamilySVB, SingleCheck, AirInlet, "1.0", srcOneHose, Checked), []Criterion{fullyOpen(srcIowa, Checked)},
	)},
	{EPA2003, "EPA manual 2003", joined(
		[]Criterion{
			atLeast(FamilyRP, Relief, "2.0", srcEPA, Checked),
			atLeast(FamilyRP, Check1, "5.0", srcEPA, Checked),
			tight(srcEPA, Checked), ifGiven(atLeast(FamilyRP, Check2, "1.0", srcStricter, Derived)),
		},
		both(FamilyDC, Check1, Check2, "1.0", srcEPA, Checked),
		both(FamilyPVB, AirInlet, SingleCheck, "1.0", srcStricter+" ("+srcIowa+")", Derived),
		strictSVB(),
	)},
	{USC9, "USC Foundation manual, 9th edition", joined(
		[]Criterion{
			atLeast(FamilyRP, Relief, "2.0", srcUSC9, FromMemory),
			recorded(Check1, srcUSC9, Checked), buffer("3.0", srcUSC10, Checked),
			tight(srcUSC9, Checked), ifGiven(atLeast(FamilyRP, Check2, "1.0", srcUSC9, Checked)),
		},
		both(FamilyDC, Check1, Check2, "1.0", srcUSC9, Checked),
		both(FamilyPVB, AirInlet, SingleCheck, "1.0", srcUSC9, FromMemory),
		strictSVB(),
	)},
	{USC10, "USC Foundation manual, 10th edition", joined(
		[]Criterion{
			atLeast(FamilyRP, Relief, "2.0", srcUSC10, FromMemory),
			atLeast(FamilyRP, Check1, "5.0", srcUSC10, Checked), aboveRelief(srcUSC10, Checked),
			tight(srcUSC10, Checked), ifGiven(atLeast(FamilyRP, Check2, "1.0", srcUSC10, FromMemory)),
		},
		both(FamilyDC, Check1, Check2, "1.0", srcUSC10, FromMemory),
		both(FamilyPVB, AirInlet, SingleCheck, "1.0", srcUSC10, FromMemory),
		both(FamilySVB, SingleCheck, AirInlet, "1.0", srcUSC10, FromMemory),
	)},
	{IowaCityForm, "Iowa City test report form", joined(
		[]Criterion{
			atLeast(FamilyRP, Relief, "2.0", srcIowa, Checked),
			atLeast(FamilyRP, Check1, "5.0", srcIowa, Checked), buffer("3.0", srcIowa, Checked),
			atLeast(FamilyRP, Check2, "1.0", srcIowa, Checked), tight(srcIowa, Checked),
		},
		both(FamilyDC, Check1, Check2, "1.0", srcIowa, Checked),
		both(FamilyPVB, AirInlet, SingleCheck, "1.0", srcIowa, Checked),
		both(FamilySVB, SingleCheck, AirInlet, "1.0", srcIowa, Checked), []Criterion{fullyOpen(srcIowa, Checked)},
	)},
	{TorontoForm, "City of Toronto test report form", joined(
		[]Criterion{
			atLeast(FamilyRP, Relief, "2.0", srcToronto, Checked),
			recorded(Check1, srcToronto, Checked), buffer("3.0", srcToronto, Checked),
			tight(srcToronto, Checked), ifGiven(atLeast(FamilyRP, Check2, "1.0", srcStricter, Derived)),
		},
		[]Criterion{
			atLeastOr(FamilyDC, Check1, "1.0", Held, srcToronto, Checked), atLeastOr(FamilyDC, Check2, "1.0", Held, srcToronto, Checked),
			atLeastOr(FamilyPVB, AirInlet, "1.0", Opened, srcToronto, Checked), atLeastOr(FamilyPVB, SingleCheck, "1.0", Held, srcToronto, Checked),
		},
		strictSVB(),
	)},
}
