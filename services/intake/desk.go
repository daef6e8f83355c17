package intake

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/services/intake/duelist"
	"valveround/services/intake/sheet"
	"valveround/services/words"
)

// Doer is what the desk needs of the log: the book as it is, and a way to carry commands out. A keeper is one.
type Doer interface {
	Book() *events.Book // a snapshot that does not change
	Import(ctx context.Context, commands []events.Command, progress func(done int)) ([]keeper.Imported, error)
}

var _ Doer = (*keeper.Keeper)(nil)

// Config of a Desk. Doer, Office and Now are required.
type Config struct {
	Doer   Doer
	Office events.OfficeID
	Now    func() time.Time
	// OurNames are the names under which purveyors know this firm, for lists that say who tests.
	OurNames []string
	// KeepDetails stores whom to ask for at a new site, apart from the log; nil: such details are not kept.
	KeepDetails func(ctx context.Context, site events.SiteID, d words.Details) error
	// NewID: see Options.
	NewID func(kind, key string) string
	// Limits of an uploaded file; zero fields take the defaults of package sheet.
	Limits sheet.Limits
	// Keep is how many lists are kept in memory, the newest ones; zero: 20.
	Keep int
}

// Errors of a Desk, besides those of reading a file, which are meant for the user as they are.
var (
	// ErrNoList: the list is not here. Lists that were not taken in do not outlive the program.
	ErrNoList = errors.New("this list is not here any more: upload it again")
	// ErrNoPurveyor: a list must belong to a purveyor on record.
	ErrNoPurveyor = errors.New("say whose list it is")
	// ErrUnanswered: the list still asks something; see Preview.Questions.
	ErrUnanswered = errors.New("the list cannot be taken in before its questions are answered")
)

// Desk holds lists that were uploaded until they are taken in. Reading a list writes nothing. It is safe for use by
// several goroutines.
type Desk struct {
	cfg Config

	mu    sync.Mutex
	lists map[string]*upload
	order []string // ids, oldest first
}

// upload is a list as it came and how it is read. Its mutex is held while it is worked on.
type upload struct {
	mu       sync.Mutex
	id       string
	sha      string
	tables   []sheet.Table
	table    sheet.Table
	purveyor events.PurveyorID
	asOf     events.Date
	mapping  duelist.Mapping
	order    duelist.DateOrder // as decided; empty: as the list proves
	saved    bool
	taken    *Preview
}

// Preview is a list as it is read now and what it would do. It is a value.
type Preview struct {
	ID       string
	File     string
	Sheet    string
	Purveyor events.PurveyorID
	AsOf     events.Date
	Mapping  duelist.Mapping
	Saved    bool             // the mapping was used before for this purveyor
	Samples  map[int][]string // by column, from 1: some values
	// Questions must be answered, by Remap, before the list can be taken in.
	Questions []duelist.Question
	// Result is the list read; empty while the columns are not decided.
	Result   duelist.Result
	Proposal Proposal
	Taken    bool
	// Refused are rows that could not be taken in, after Take.
	Refused []sheet.Fault
}

// NewDesk makes a desk without lists.
func NewDesk(cfg Config) *Desk {
	if cfg.Keep <= 0 {
		cfg.Keep = 20
	}
	return &Desk{cfg: cfg, lists: map[string]*upload{}}
}

// Read reads an uploaded file as a purveyor's list that speaks for a day, with the columns as saved for that purveyor
// or else as proposed. Nothing is written.
func (d *Desk) Read(ctx context.Context, file string, data []byte, purveyor events.PurveyorID, asOf events.Date) (Preview, error) {
	if err := ctx.Err(); err != nil {
		return Preview{}, err
	}
	book := d.cfg.Doer.Book()
	if book.Purveyors[purveyor] == nil {
		return Preview{}, fmt.Errorf("%w: no purveyor %q is on record", ErrNoPurveyor, purveyor)
	}
	if asOf.IsZero() {
		return Preview{}, duelist.ErrNoAsOf
	}
	tables, err := sheet.Read(file, data, d.cfg.Limits)
	if err != nil {
		return Preview{}, err
	}
	sum := sha256.Sum256(data)
	u := &upload{sha: hex.EncodeToString(sum[:]), tables: tables, purveyor: purveyor, asOf: asOf}
	u.id = HashID("list", strings.Join([]string{u.sha, string(purveyor), asOf.String()}, "\x1f"))
	u.chooseTable(book.Purveyors[purveyor])
	d.keep(u)
	u.mu.Lock()
	defer u.mu.Unlock()
	return d.preview(u)
}

// keep puts a list on the desk; the oldest one goes when there are too many.
func (d *Desk) keep(u *upload) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.order = append(slices.DeleteFunc(d.order, func(id string) bool { return id == u.id }), u.id)
	d.lists[u.id] = u
	for len(d.order) > d.cfg.Keep {
		delete(d.lists, d.order[0])
		d.order = d.order[1:]
	}
}

// on finds a list and locks it; the caller unlocks it.
func (d *Desk) on(id string) (*upload, error) {
	d.mu.Lock()
	u := d.lists[id]
	d.mu.Unlock()
	if u == nil {
		return nil, ErrNoList
	}
	u.mu.Lock()
	return u, nil
}

// Look is the list as it would be taken in now: against the book of this moment.
func (d *Desk) Look(id string) (Preview, error) {
	u, err := d.on(id)
	if err != nil {
		return Preview{}, err
	}
	defer u.mu.Unlock()
	return d.preview(u)
}

// Remap decides what columns hold (by column, from 1; FieldIgnore: not read) and in which order dates are written;
// an empty order leaves it as it was.
func (d *Desk) Remap(id string, columns map[int]duelist.Field, order duelist.DateOrder) (Preview, error) {
	u, err := d.on(id)
	if err != nil {
		return Preview{}, err
	}
	defer u.mu.Unlock()
	if u.taken != nil {
		return Preview{}, errors.New("this list has been taken in: upload it again to read it in another way")
	}
	mapping := u.mapping
	for _, col := range sortedKeys(columns) {
		field := columns[col]
		if field == "" {
			field = duelist.FieldIgnore
		}
		if !slices.Contains(duelist.Fields(), field) {
			return Preview{}, fmt.Errorf("column %s: %q is nothing a column can hold", sheet.ColumnName(col), field)
		}
		mapping = mapping.Set(col, field)
	}
	u.mapping, u.saved = mapping, false
	if order != "" {
		u.order = order
	}
	return d.preview(u)
}

func sortedKeys(columns map[int]duelist.Field) []int {
	var keys []int
	for col := range columns {
		keys = append(keys, col)
	}
	slices.Sort(keys)
	return keys
}

// preview reads and proposes. While the columns are undecided only the questions are in it.
func (d *Desk) preview(u *upload) (Preview, error) {
	if u.taken != nil {
		return *u.taken, nil
	}
	p := Preview{ID: u.id, File: u.table.File, Sheet: u.table.Sheet, Purveyor: u.purveyor, AsOf: u.asOf, Mapping: u.mapping,
		Saved: u.saved, Samples: samples(u.table, u.mapping), Questions: u.mapping.Questions()}
	if len(p.Questions) > 0 {
		return p, nil
	}
	book := d.cfg.Doer.Book()
	purveyor := book.Purveyors[u.purveyor]
	if purveyor == nil {
		return Preview{}, ErrNoPurveyor
	}
	var err error
	p.Result, err = duelist.Read(u.table, u.mapping, duelist.Options{AsOf: u.asOf, DateOrder: u.order, Closed: purveyor.Closed, OurNames: d.cfg.OurNames})
	if err != nil {
		return Preview{}, err
	}
	p.Result.Warnings = slices.Concat(u.otherSheets(), p.Result.Warnings)
	p.Questions = p.Result.Questions
	p.Proposal, err = Propose(book, p.Result, Options{Purveyor: u.purveyor, AsOf: u.asOf, Office: d.cfg.Office, NewID: d.cfg.NewID,
		File: u.table.File, SHA256: u.sha, Mapping: u.mapping, DateOrder: u.order, Rejected: rejectedTexts(u.table, p.Result)})
	return p, err
}

// Take takes the list in. Sent again under the same command id, also after an error half-way, it changes nothing twice.
// Rows that the book refuses are in Preview.Refused, and the rest stands.
func (d *Desk) Take(ctx context.Context, id string, command events.CommandID, actor events.PersonID) (Preview, error) {
	u, err := d.on(id)
	if err != nil {
		return Preview{}, err
	}
	defer u.mu.Unlock()
	p, err := d.preview(u)
	switch {
	case err != nil || p.Taken:
		return p, err
	case len(p.Questions) > 0:
		return p, fmt.Errorf("%w: %s", ErrUnanswered, p.Questions[0].Text)
	}
	if err := d.keepDetails(ctx, p.Proposal); err != nil {
		return p, err
	}
	base, err := u.base(command)
	if err != nil {
		return p, err
	}
	waves, err := p.Proposal.Commands(base, actor, d.cfg.Now())
	if err != nil {
		return p, err
	}
	for _, wave := range waves {
		results, err := d.cfg.Doer.Import(ctx, wave, nil)
		if err != nil {
			return p, fmt.Errorf("taking in %s: %w", p.File, err)
		}
		p.Refused = append(p.Refused, p.refusals(base, wave, results)...)
	}
	p.Taken = true
	u.taken = &p
	return p, nil
}

func (d *Desk) keepDetails(ctx context.Context, p Proposal) error {
	if d.cfg.KeepDetails == nil {
		return nil
	}
	for site, details := range p.Details() {
		if err := d.cfg.KeepDetails(ctx, site, details); err != nil {
			return fmt.Errorf("keeping whom to ask for at site %s: %w", site, err)
		}
	}
	return nil
}

// base is the command id made special to how the list is read, so that nothing read in another way passes for known.
func (u *upload) base(command events.CommandID) (events.CommandID, error) {
	text, err := json.Marshal(saved{u.mapping, u.order})
	return events.DeriveCommandID(command, u.sha+string(text)), err
}

// refusals says which rows were refused and why.
func (p Preview) refusals(base events.CommandID, wave []events.Command, results []keeper.Imported) []sheet.Fault {
	lines := map[events.CommandID]int{}
	for _, r := range p.Proposal.Rows {
		for _, s := range r.steps {
			lines[events.DeriveCommandID(base, s.key)] = r.Row.Line()
		}
	}
	var faults []sheet.Fault
	for i, result := range results {
		if result.Err != nil {
			faults = append(faults, sheet.Fault{File: p.File, Sheet: p.Sheet, Row: lines[wave[i].ID], Problem: "was refused: " + result.Err.Error(),
				WhatToDo: "mend what it says and upload the list again; what was taken in is not taken twice"})
		}
	}
	return faults
}

// SaveRejected writes the rejected rows as a CSV file, each with its reason, to be mended and uploaded again.
func (d *Desk) SaveRejected(w io.Writer, id string) error {
	u, err := d.on(id)
	if err != nil {
		return err
	}
	defer u.mu.Unlock()
	p, err := d.preview(u)
	if err != nil {
		return err
	}
	return duelist.SaveRejected(w, u.table, p.Result)
}
