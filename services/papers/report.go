package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// Report is the test report of one job: what the log knows filled in, everything else left blank to be written by hand.
// It leaves the firm, so the tester's and contacts' telephone numbers are blanks too.
type Report struct {
	Firm       string       `json:"firm"`
	Printed    time.Time    `json:"printed"`
	Zone       string       `json:"zone" doc:"of the site; every time on the report is on its clocks"`
	Assembly   string       `json:"assembly"`
	Job        string       `json:"job"`
	Purveyor   string       `json:"purveyor"`
	Why        string       `json:"why" doc:"the kind of job"`
	Verdict    string       `json:"verdict" enum:"pass,fail,not-completed,none" doc:"the tester's, of the last test"`
	Statement  string       `json:"statement"`
	Doubt      string       `json:"doubt,omitempty" doc:"the computed verdict, where it differs from the tester's"`
	Sections   []Section    `json:"sections"`
	Initial    *ReportTest  `json:"initial,omitempty"`
	Final      *ReportTest  `json:"final,omitempty"`
	Rows       []ReportRow  `json:"rows" doc:"one a result: the initial and the final test side by side"`
	Between    int          `json:"between,omitempty" doc:"tests on record besides these two"`
	Repairs    []RepairDone `json:"repairs"`
	Remarks    []string     `json:"remarks"`
	Filings    []Filing     `json:"filings"`
	Papers     []SignedCopy `json:"papers,omitempty" doc:"signed copies that results were keyed in from"`
	Photos     []Picture    `json:"photos,omitempty" doc:"taken at the stop, for the screen"`
	Signatures []Signature  `json:"signatures"`
	Blank      []string     `json:"blank" doc:"fields that are not on record"`
}

// Section is a part of the form.
type Section struct {
	Title  string  `json:"title"`
	Fields []Field `json:"fields"`
}

// Field is one field; an empty value is a blank to write in.
type Field struct {
	Label string `json:"label"`
	Value string `json:"value"`
}

// Signature is a line to sign on.
type Signature struct {
	Who  string `json:"who"`
	Says string `json:"says"`
	Name string `json:"name,omitempty" doc:"printed beside the line"`
}

// RepairDone is one repair.
type RepairDone struct {
	On      events.Date `json:"on"`
	Who     string      `json:"who"`
	Licence string      `json:"licence,omitempty"`
	Did     string      `json:"did"`
	Parts   []string    `json:"parts,omitempty"`
}

// SignedCopy is a signed paper that the office keyed a result in from.
type SignedCopy struct {
	SHA256   string      `json:"sha256" doc:"of the attached copy"`
	SignedOn events.Date `json:"signed_on"`
	Tester   string      `json:"tester"`
	KeyedBy  string      `json:"keyed_by"`
}

// Picture is a photo taken at the stop.
type Picture struct {
	SHA256 string    `json:"sha256"`
	Shows  string    `json:"shows,omitempty"`
	Taken  time.Time `json:"taken"`
}

// ReportConfig is what a report is made with.
type ReportConfig struct {
	Firm   string
	People *words.People
	Now    time.Time
}

// ReportNeeds says whose histories a report of a job is made from: the assembly's; and, once that is read, of the gauges
// and people of its tests, whose certificates count as they were then.
func ReportNeeds(b *events.Book, h Histories, ref events.JobRef) []events.Entity {
	a := b.Assemblies[ref.Assembly]
	if a == nil {
		return nil
	}
	list := []events.Entity{assemblyEntity(a)}
	for _, x := range h.of(list[0]) {
		switch e := x.event.(type) {
		case events.Tested:
			if e.Job == ref.Job {
				list = append(list, gaugeEntity(e.Gauge), personEntity(e.Tester))
			}
		case events.Repaired:
			if e.Job == ref.Job && b.People[x.Actor] != nil {
				list = append(list, personEntity(x.Actor))
			}
		}
	}
	return list
}

// ReportOf makes the report of a job. The unit is named as it is on record now, unless a later job replaced it: then as it
// was before. Gauges and testers are named as their certificates stood on the day of the test.
func ReportOf(b *events.Book, h Histories, cfg ReportConfig, ref events.JobRef) (Report, error) {
	a := b.Assemblies[ref.Assembly]
	if a == nil {
		return Report{}, &events.Refusal{Words: fmt.Sprintf("there is no assembly %q on record", ref.Assembly)}
	}
	job := a.Job(ref.Job)
	if job == nil {
		return Report{}, &events.Refusal{Words: fmt.Sprintf("assembly %s has no job %q", ref.Assembly, ref.Job)}
	}
	w := reporting{b: b, h: h, cfg: cfg, job: job, story: storyOf(b, cfg.People, h.of(assemblyEntity(a)), job.ID), loc: words.Zone(b, a.Site)}
	w.a = w.unit(a)
	w.hidden = secretsOf(b, cfg.People, a.Site)
	return w.report(), nil
}

// reporting makes one report.
type reporting struct {
	b      *events.Book
	h      Histories
	cfg    ReportConfig
	a      *events.Assembly // as it was for this job
	job    *events.Job
	story  jobStory
	loc    *time.Location
	hidden secrets
}

// unit is the assembly as this job had it: folded up to where a later job replaced it.
func (w reporting) unit(now *events.Assembly) *events.Assembly {
	mine, later := false, uint64(0)
	for _, x := range standing(w.h.of(assemblyEntity(now))) {
		switch e := x.event.(type) {
		case events.Tested:
			mine = mine || e.Job == w.job.ID
		case events.Replaced:
			if mine && e.Job != w.job.ID && later == 0 {
				later = x.Seq
			}
		}
	}
	if later == 0 {
		return now
	}
	then := w.h.bookAt(assemblyEntity(now), func(x happened) bool { return x.Seq >= later })
	if a := then.Assemblies[now.ID]; a != nil {
		return a
	}
	return now
}

func (w reporting) report() Report {
	r := Report{Firm: w.cfg.Firm, Printed: w.cfg.Now.In(w.loc), Zone: w.loc.String(), Assembly: string(w.a.ID), Job: string(w.job.ID), Why: words.Plain(string(w.job.Kind)),
		Purveyor: string(w.a.Purveyor), Repairs: []RepairDone{}, Remarks: []string{}, Filings: []Filing{}}
	if p := w.b.Purveyors[w.a.Purveyor]; p != nil {
		r.Purveyor = p.Name
	}
	initial, final := w.story.initial(), w.story.final()
	r.Initial, r.Final = w.test(initial), w.test(final)
	r.Between = len(w.story.tests) - count(initial != nil, final != nil)
	r.Rows = w.rows(initial, final)
	for _, fix := range w.story.repairs {
		r.Repairs = append(r.Repairs, w.repair(fix))
	}
	w.verdict(&r)
	r.Sections = w.sections()
	r.Remarks = w.hidden.clearAll(w.remarks())
	r.Filings = append(r.Filings, w.story.filings...)
	for _, p := range w.story.papers {
		r.Papers = append(r.Papers, SignedCopy{p.SHA256, p.SignedOn, w.cfg.People.Name(p.Tester), w.cfg.People.Name(p.KeyedBy)})
	}
	for _, p := range w.a.Photos {
		if p.Job == w.job.ID {
			r.Photos = append(r.Photos, Picture{p.SHA256, w.hidden.clear(p.Shows), p.At.In(w.loc)})
		}
	}
	r.Signatures = w.signatures(r)
	for _, s := range r.Sections {
		for _, f := range s.Fields {
			if f.Value == "" {
				r.Blank = append(r.Blank, f.Label)
			}
		}
	}
	return r
}

func count(list ...bool) (n int) {
	for _, is := range list {
		if is {
			n++
		}
	}
	return n
}

// verdict takes the tester's verdict of the last test; a disagreement with the computed one is said and settles nothing.
func (w reporting) verdict(r *Report) {
	last := cmp.Or(r.Final, r.Initial)
	if last == nil {
		r.Verdict, r.Statement = "none", "No test of this job is on record."
		return
	}
	r.Verdict = cmp.Or(last.Says, "none")
	switch events.Opinion(r.Verdict) {
	case events.OpinionPass:
		r.Statement = "In the tester's judgement this assembly MEETS the requirements on the day of the test."
	case events.OpinionFail:
		r.Statement = "In the tester's judgement this assembly DOES NOT MEET the requirements on the day of the test."
	case events.OpinionNotCompleted:
		r.Statement = "The test was not completed: neither a pass nor a fail."
	default:
		r.Statement = "The tester gave no verdict."
	}
	if last.Disagrees {
		r.Doubt = "Computed by " + last.Profile + ": " + words.Plain(last.Computed) + words.After(" (", strings.Join(last.Why, "; "))
		if len(last.Why) > 0 {
			r.Doubt += ")"
		}
		r.Doubt += ". Both stand; the verdict is the tester's."
	}
}

func (w reporting) repair(fix toldRepair) RepairDone {
	done := RepairDone{On: events.DateIn(fix.at, w.loc), Who: w.crewName(fix.Crew), Did: w.hidden.clear(upper(fix.Words))}
	if fix.Cleaned {
		done.Did = strings.TrimSuffix("Cleaned. "+done.Did, " ")
	}
	var did []string
	for _, c := range fix.Components {
		did = append(did, words.ComponentRepair(c))
	}
	if len(did) > 0 {
		done.Did = strings.TrimSuffix(upper(w.hidden.clear(strings.Join(did, "; ")))+". "+done.Did, " ")
	}
	for _, part := range fix.Fitted {
		text := part.Code
		if part.Component != "" {
			text += " (" + strings.TrimSpace(onlyBypass(part.Part)+" "+part.Component.Name()) + ")"
		}
		done.Parts = append(done.Parts, text)
	}
	if p := w.personAt(fix.actor, fix.at); p != nil {
		done.Who = w.cfg.People.Name(fix.actor)
		if c := newest(p.Credentials, events.RepairLicence); c != nil {
			done.Licence = strings.TrimSpace(c.Number + " until " + words.Day(c.Until))
		}
	}
	return done
}

func onlyBypass(p events.Part) string {
	if p == events.BypassPart {
		return "bypass"
	}
	return ""
}

func (w reporting) crewName(id events.CrewID) string {
	if c := w.b.Crews[id]; c != nil {
		return c.Name
	}
	return string(id)
}

// personAt is a person as on record at an instant, else as on record now.
func (w reporting) personAt(id events.PersonID, at time.Time) *events.Person {
	if p := w.h.bookAt(personEntity(id), after(at)).People[id]; p != nil && p.ID != "" {
		return p
	}
	return w.b.People[id]
}

// gaugeAt is a gauge as on record at an instant, else as on record now.
func (w reporting) gaugeAt(id events.GaugeID, at time.Time) *events.Gauge {
	if g := w.h.bookAt(gaugeEntity(id), after(at)).Gauges[id]; g != nil && g.ID != "" {
		return g
	}
	return w.b.Gauges[id]
}

// newest is the credential of a kind that lasts longest; nil when the person has none.
func newest(list []events.Credential, kind events.CredentialKind) *events.Credential {
	var best *events.Credential
	for i, c := range list {
		if c.Kind == kind && (best == nil || best.Until.Before(c.Until)) {
			best = &list[i]
		}
	}
	return best
}

// remarks are what the report must not be silent about.
func (w reporting) remarks() []string {
	list := append(slices.Clone(w.story.setbacks), w.story.mended...)
	for _, p := range w.story.papers {
		list = append(list, "Keyed in by "+w.cfg.People.Name(p.KeyedBy)+" from the paper that "+w.cfg.People.Name(p.Tester)+" signed on "+words.Day(p.SignedOn)+"; the signed copy is kept")
	}
	if f := w.story.failure; f != nil {
		list = append(list, "Failed on "+words.Day(f.On)+words.After(": ", strings.TrimRight(f.Words, ".")))
	}
	if w.job.Failure != nil && w.story.failure != nil && w.story.initial() == nil {
		list = append(list, "The failing test is in the papers of an earlier system.")
	}
	if x := w.story.replaced; x != nil {
		list = append(list, "Unit replaced on "+words.Day(x.On)+words.After(": old serial ", x.OldSerial)+words.After(", new serial ", x.Serial))
	}
	for _, s := range w.a.SerialsSeen {
		list = append(list, "Serial on the plate"+words.After(" of the ", onlyBypass(s.Part))+": "+s.Seen+"; the record is not corrected yet")
	}
	for _, p := range w.a.Photos {
		if p.Job == w.job.ID {
			list = append(list, "Photo kept"+words.After(": ", w.hidden.clear(p.Shows)))
		}
	}
	if w.a.SerialDoubt != "" {
		list = append(list, "Serial on record is doubted: "+w.a.SerialDoubt)
	}
	return list
}

func (w reporting) signatures(r Report) []Signature {
	tester, repairer := "", ""
	if last := cmp.Or(r.Final, r.Initial); last != nil {
		tester = last.Tester
	}
	if n := len(r.Repairs); n > 0 {
		repairer = r.Repairs[n-1].Who
	}
	list := []Signature{{"Tester", "The readings above are as I read them, by the procedure named.", tester}}
	if repairer != "" {
		list = append(list, Signature{"Repairer", "The repair above was done as described.", repairer})
	}
	return append(list, Signature{"Owner or agent", "The test took place.", ""})
}
