package intake

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/intake/positions/postal"
)

// Options say whose list it is.
type Options struct {
	Purveyor events.PurveyorID
	AsOf     events.Date // the day the list speaks for
	Office   events.OfficeID
	// NewID makes the id of a thing that is registered because of a list: "assembly", "site", "feed" or "job". The same
	// kind and key must give the same id each time, so that a list taken twice changes nothing. Nil: HashID.
	NewID func(kind, key string) string
	// File and SHA256 of the list, for the record that it was taken in.
	File, SHA256 string
	// Mapping and DateOrder are how the list was read, to be saved for the purveyor's next list.
	Mapping   duelist.Mapping
	DateOrder duelist.DateOrder
	// Rejected are the texts of cells of rejected rows: an assembly that one of them names is not missing.
	Rejected []string
	// Partial says that the list names only some of the purveyor's due assemblies; nothing is then missing from it.
	Partial bool
}

// HashID makes ids from what they are for, the same each time.
func HashID(kind, key string) string {
	sum := sha256.Sum256([]byte(kind + "\x1f" + key))
	return kind[:1] + "-" + hex.EncodeToString(sum[:10])
}

func (o Options) id(kind, key string) string {
	key = string(o.Purveyor) + "\x1f" + key
	if o.NewID == nil {
		return HashID(kind, key)
	}
	return o.NewID(kind, key)
}

// Action is what a row would do.
type Action string

// Actions. Every row has exactly one.
const (
	New         Action = "new"          // opens a job that is ours
	Moved       Action = "moved"        // moves the due date of an open job
	Unchanged   Action = "unchanged"    // says what is known
	NotCredited Action = "not-credited" // passed in this cycle and listed as due: the report is to be sent again
	Ask         Action = "ask"          // whose it is, which it is or when it is due must be asked
	NotOurs     Action = "not-ours"
	Added       Action = "added" // the assembly is not on record and is registered
)

// RowAction is one row of the list and what it would do.
type RowAction struct {
	Row      duelist.Row
	Action   Action
	Words    string            // why, in plain words
	Assembly events.AssemblyID // the one it means, or the one that would be registered
	Due      events.Date       // as listed, or computed from the purveyor's interval when the list gives none
	// Differs says where the list and the record disagree about the assembly itself; nothing is overwritten.
	Differs []string

	steps   []step
	details *siteDetails
}

// Missing is an assembly with an open job from an earlier list that this list does not name.
type Missing struct {
	events.JobRef
	Number  string
	Address string
	Due     events.Date
	Asked   bool // the question is noted already
}

// String says it in a line.
func (m Missing) String() string {
	text := cmp.Or(m.Number, "without a number")
	if m.Address != "" {
		text += ", " + m.Address
	}
	return text + ", due " + m.Due.String()
}

// Proposal is what a list would do to the book. It is a value: making one writes nothing.
type Proposal struct {
	Rows     []RowAction
	Missing  []Missing
	Counts   map[string]int // by action; also missing
	Warnings []string       // about the list as a whole

	options Options
	again   bool // this very list is on record as taken in
}

// step is a command to be, with a key that is the same each time.
type step struct {
	wave int
	key  string
	do   any
}

// The waves, in order: no command relies on another of its own wave.
const (
	waveFirst = iota // sites, and how columns are read
	waveFeeds
	waveAssemblies
	waveJobs
	waveQuestions
	waveLast // the list itself
	waves
)

// proposing is the work on one list.
type proposing struct {
	book     *events.Book
	options  Options
	purveyor *events.Purveyor
	registry *registry
	put      map[string]bool // what the list registers already, by command key
}

// Propose says what each row of a list would do. It is pure; the purveyor must be on record.
func Propose(book *events.Book, list duelist.Result, o Options) (Proposal, error) {
	p := &proposing{book: book, options: o, purveyor: book.Purveyors[o.Purveyor], registry: newRegistry(book, o.Purveyor), put: map[string]bool{}}
	if p.purveyor == nil {
		return Proposal{}, fmt.Errorf("proposing a list: no purveyor %q is on record", o.Purveyor)
	}
	out := Proposal{Counts: map[string]int{}, options: o}
	p.claimRejected()
	out.Rows = p.rows(list.Rows)
	if !o.Partial && len(list.Rows) > 0 {
		out.Missing = p.missing()
	}
	for _, r := range out.Rows {
		out.Counts[string(r.Action)]++
	}
	out.Counts["missing"] = len(out.Missing)
	out.Warnings = p.warnings(out)
	out.again = slices.ContainsFunc(p.purveyor.Lists, func(l events.ListReceived) bool {
		return o.SHA256 != "" && l.SHA256 == o.SHA256 && l.AsOf == o.AsOf
	})
	return out, nil
}

// rows gives every row its action: first those that name an assembly for certain, so that none of them is taken for
// what a doubtful row means.
func (p *proposing) rows(rows []duelist.Row) []RowAction {
	out := make([]RowAction, len(rows))
	keys := rowKeys(rows)
	for i, row := range rows {
		if a := p.book.Assemblies[p.assemblyID(keys[i])]; p.registry.claim(a) { // registered for this very row
			out[i] = p.onRecord(row, a)
		}
	}
	for i, row := range rows {
		if out[i].Action != "" {
			continue
		}
		if a := p.registry.numbered(row); p.registry.claim(a) {
			out[i] = p.onRecord(row, a)
		}
	}
	for i, row := range rows {
		if out[i].Action != "" {
			continue
		}
		if a, by := p.registry.likely(row); p.registry.claim(a) {
			out[i] = p.doubtful(row, a, by)
		} else {
			out[i] = p.notOnRecord(row, keys[i])
		}
	}
	return out
}

// claimRejected keeps assemblies that a rejected row names from being taken for missing, or for what another row means.
func (p *proposing) claimRejected() {
	for _, text := range p.options.Rejected {
		for _, a := range p.registry.byNumber[numberKey(text)] {
			p.registry.claimed[a.ID] = true
		}
		for _, s := range p.registry.sites.near(postal.Parse(text), postal.Certain) {
			for _, a := range p.registry.bySite[s.ID] {
				if a.PurveyorNumber == "" {
					p.registry.claimed[a.ID] = true
				}
			}
		}
	}
}

// rowKeys are the rows' keys, each once: rows that describe their assembly alike are told apart by their order.
func rowKeys(rows []duelist.Row) []string {
	seen := map[string]int{}
	keys := make([]string, len(rows))
	for i, row := range rows {
		keys[i] = rowKey(row)
		seen[keys[i]]++
		if n := seen[keys[i]]; n > 1 {
			keys[i] += fmt.Sprintf("\x1f%d", n)
		}
	}
	return keys
}

// rowKey names the assembly a row speaks of, whatever the row says about dates: the purveyor's number; where that is
// missing or not unique, with all that describes the assembly.
func rowKey(row duelist.Row) string {
	number := numberKey(row.Number)
	if number != "" && !row.NumberRepeated {
		return number
	}
	at := rowAddress(row)
	return strings.Join([]string{number, at.Key(), at.Town, plainWords(row.Place), string(row.Type),
		string(row.Service), row.Main.Size.String(), plainWords(row.Main.Maker), plainWords(row.Main.Model), plainWords(row.Main.Serial)}, "\x1f")
}

func (p *proposing) assemblyID(key string) events.AssemblyID {
	return events.AssemblyID(p.options.id("assembly", key))
}

// onRecord asks events what the row would do to a known assembly.
func (p *proposing) onRecord(row duelist.Row, a *events.Assembly) RowAction {
	r := RowAction{Row: row, Assembly: a.ID, Differs: differences(row, a)}
	job := a.ListedJob()
	due, how := p.due(row, a.Passed)
	r.Due = due
	standing := p.standing(row, a)
	switch {
	case a.Gone:
		r.Action, r.Words = Ask, "is recorded as removed: tell the purveyor"
		p.ask(&r, a, "listed as due, but recorded as removed: tell the purveyor")
		return r
	case due.IsZero() && job != nil:
		r.Action, r.Words, r.Due = Unchanged, "the list gives no due date; the open job keeps "+job.Due.String(), job.Due
		return r
	case due.IsZero():
		r.Action, r.Words = Ask, how
		return r
	case standing == events.NotOurs && job == nil:
		r.Action, r.Words = NotOurs, "not ours, so no job is opened"
		return r
	}
	p.decide(&r, a, p.listDue(row, a.ID, due, standing))
	if how != "" {
		r.Words += "; " + how
	}
	return r
}

func (p *proposing) listDue(row duelist.Row, id events.AssemblyID, due events.Date, standing events.Standing) events.ListDue {
	return events.ListDue{Assembly: id, NewJob: events.JobID(p.options.id("job", string(id)+"\x1f"+due.String())),
		Kind: events.AnnualTest, Due: due, AsOf: p.options.AsOf, List: listPlace(row), Standing: standing, LastTest: row.LastTest}
}

func listPlace(row duelist.Row) string { return fmt.Sprintf("%s row %d", row.File, row.Line()) }

// decide says in the row's action what events would make of the command.
func (p *proposing) decide(r *RowAction, a *events.Assembly, do events.ListDue) {
	drafts, err := events.Decide(p.book, events.Command{Office: p.options.Office, Do: do})
	if err != nil {
		r.Action, r.Words = Ask, err.Error()
		return
	}
	job := a.ListedJob()
	switch {
	case len(drafts) > 0:
	case job == nil && a.SendAgain != nil && a.SendAgain.Due == do.Due, job != nil && !job.NeedsVisit():
		r.Action, r.Words = NotCredited, "passed on "+a.Passed.String()+" and listed as due; noted before"
	case job != nil && job.Standing == events.Ask:
		r.Action, r.Words = Ask, "open, and still to be asked whose it is"
	case job != nil && job.Standing == events.NotOurs:
		r.Action, r.Words = NotOurs, "open, and not ours"
	case job != nil && do.AsOf.Before(job.AsOf) && do.Due != job.Due:
		r.Action, r.Words = Unchanged, "an older list than the one of "+job.AsOf.String()+" moves nothing"
	case job != nil:
		r.Action, r.Words = Unchanged, "open already, due "+job.Due.String()
	default:
		r.Action, r.Words = Unchanged, "the job for this date is over"
	}
	for _, d := range drafts {
		r.drafted(d.Event)
	}
	if len(drafts) > 0 {
		r.steps = append(r.steps, step{waveJobs, "due:" + string(do.Assembly) + ":" + do.Due.String(), do})
	}
}

// drafted puts one event that would happen into words; the first one gives the action.
func (r *RowAction) drafted(event any) {
	action, words := Unchanged, ""
	switch e := event.(type) {
	case events.Due:
		action, words = New, "opens a job due "+e.Due.String()
		switch e.Standing {
		case events.Ask:
			action, words = Ask, "opens a job due "+e.Due.String()+"; ask whose it is"
		case events.NotOurs:
			action, words = NotOurs, "not ours"
		}
	case events.DeadlineMoved:
		action, words = Moved, "due date moves from "+cmp.Or(e.From.String(), "no date")+" to "+e.To.String()
	case events.Ordered:
		action, words = New, "is ours now"
		if e.Standing == events.NotOurs {
			action, words = NotOurs, "is not ours any more"
		}
	case events.NotCredited:
		action, words = NotCredited, "passed on "+e.Passed.String()+" and listed as due "+e.Due.String()+": send the report again"
	}
	if r.Action == "" {
		r.Action, r.Words = action, words
		return
	}
	r.Words += "; " + words
	if action == NotOurs {
		r.Action = NotOurs
	}
}

// standing is whose a new job would be: as the list says; else as the assembly's last job was; else it must be asked.
func (p *proposing) standing(row duelist.Row, a *events.Assembly) events.Standing {
	if row.Standing == events.Ours || row.Standing == events.NotOurs {
		return row.Standing
	}
	if n := len(a.Jobs); n > 0 && nothingToVisit(a) {
		return a.Jobs[n-1].Standing
	}
	if s := p.book.Sites[a.Site]; s != nil && s.Customer != "" && nothingToVisit(a) {
		return events.Ours // the site of a customer of ours
	}
	return events.Ask
}

// due is the date to hold the row to: the listed one, or the purveyor's interval after the last test. Zero: it must be
// asked, never "no deadline".
func (p *proposing) due(row duelist.Row, passed events.Date) (due events.Date, how string) {
	if !row.Due.IsZero() {
		if row.Overdue {
			return row.Due, "the list says overdue"
		}
		return row.Due, ""
	}
	last := row.LastTest
	if last.IsZero() {
		last = passed
	}
	window := events.TestInterval{Months: p.purveyor.IntervalMonths}.Next(last, events.Date{})
	if !window.Known {
		return events.Date{}, "the list gives no due date and it cannot be computed: ask the purveyor"
	}
	return window.Due, "the list gives no due date; this is " + window.Rule + " on " + last.String()
}

// doubtful leaves the record of the likely assembly as it is. Its open job gets the question; without one, a job is
// opened that is not planned until the office has asked.
func (p *proposing) doubtful(row duelist.Row, a *events.Assembly, by string) RowAction {
	r := RowAction{Row: row, Action: Ask, Assembly: a.ID, Differs: differences(row, a)}
	r.Due, _ = p.due(row, a.Passed)
	named := "a row without the purveyor's number"
	if row.Number != "" {
		named = "number " + row.Number
	}
	record := "on record without a number"
	if a.PurveyorNumber != "" {
		record = "on record as " + a.PurveyorNumber
	}
	r.Words = fmt.Sprintf("%s fits one %s by %s: ask the purveyor whether it is the same", named, record, by)
	p.ask(&r, a, fmt.Sprintf("the list names %s, which fits by %s: is it this assembly? Ask the purveyor", named, by))
	return r
}

// ask puts a question on the assembly's open job, or on one that it opens for it.
func (p *proposing) ask(r *RowAction, a *events.Assembly, words string) {
	job := a.ListedJob()
	ref := events.JobRef{Assembly: a.ID}
	switch {
	case job != nil && slices.Contains(job.Questions, words):
		return
	case job != nil:
		ref.Job = job.ID
	case r.Due.IsZero():
		return
	default:
		do := p.listDue(r.Row, a.ID, r.Due, events.Ask)
		drafts, err := events.Decide(p.book, events.Command{Office: p.options.Office, Do: do})
		if err != nil || len(drafts) == 0 {
			return
		}
		if _, opens := drafts[0].Event.(events.Due); !opens {
			return // it passed in this cycle: whether that is to be sent again is not for a doubtful row to say
		}
		r.steps = append(r.steps, step{waveJobs, "due:" + string(a.ID) + ":" + r.Due.String(), do})
		ref.Job = do.NewJob
	}
	r.steps = append(r.steps, questionStep(ref, words))
}

func questionStep(ref events.JobRef, words string) step {
	return step{waveQuestions, "question:" + string(ref.Assembly) + ":" + string(ref.Job) + ":" + words, events.QuestionJob{JobRef: ref, Words: words}}
}

// differences says where list and record disagree about the assembly. What the list does not say differs from nothing.
func differences(row duelist.Row, a *events.Assembly) []string {
	var out []string
	note := func(what, listed, recorded string) {
		if listed != "" && recorded != "" && !strings.EqualFold(listed, recorded) {
			out = append(out, fmt.Sprintf("%s: %s in the list, %s on record", what, listed, recorded))
		}
	}
	note("type", string(row.Type), string(a.Type))
	note("size", row.Main.Size.String(), a.Size.String())
	note("hazard", string(row.Hazard), string(a.Hazard))
	if row.Main.SerialKey != "" && a.SerialDoubt == "" && !sameSerial(row, a) {
		note("serial", row.Main.Serial, a.Serial)
	}
	return out
}

// nothingToVisit reports whether a new job would be opened for the assembly: it has none, or only its papers are open.
func nothingToVisit(a *events.Assembly) bool {
	job := a.ListedJob()
	return job == nil || !job.NeedsVisit()
}
