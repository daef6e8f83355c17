package duelist

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// Options say what the list itself does not.
type Options struct {
	// AsOf is the day the list was made, or came. Required: "overdue" is dated by it.
	AsOf events.Date
	// DateOrder of dates such as 3/2/2026. OrderAsk or empty: what the list proves, else a question.
	DateOrder DateOrder
	// Closed are the purveyor's closed days; when set, a due date on one of them gets a warning.
	Closed events.Closures
	// OurNames are the names under which purveyors know this firm, for a column that names the tester.
	OurNames []string
	// Standing of rows of which the list does not say whose they are; empty: ask.
	Standing events.Standing
}

// Result is a list read. Every physical row of the table is in exactly one of Rows (by Row.Lines),
// Rejected and Skipped.
type Result struct {
	File      string        `json:"file"`
	Sheet     string        `json:"sheet,omitempty"`
	HeaderRow int           `json:"header_row"` // 0: no header
	Rows      []Row         `json:"rows"`
	Rejected  []sheet.Fault `json:"rejected"` // at least one for every rejected row, in order of rows
	Warnings  []sheet.Fault `json:"warnings"` // about rows that were read, or about the list (Row 0)
	Skipped   []Skipped     `json:"skipped"`
	Filled    []Filled      `json:"filled"` // addresses carried down, cell by cell
	// Questions would, once answered in Options, let rejected rows through.
	Questions []Question `json:"questions"`
	// DateOrder is the order dates were read in; empty when it did not matter.
	DateOrder DateOrder `json:"date_order,omitempty"`

	problemCol int // the column SaveRejected added earlier; 0: none
}

// ErrNoAsOf says that Options.AsOf is missing.
var ErrNoAsOf = errors.New("say the date of the list")

// Read reads a table by a mapping. Errors are ErrUndecided, ErrOtherColumns and ErrNoAsOf; everything
// else that is wrong stands in the Result, beside the row it concerns.
func Read(table sheet.Table, mapping Mapping, options Options) (Result, error) {
	if options.AsOf.IsZero() {
		return Result{}, ErrNoAsOf
	}
	if questions := mapping.Questions(); len(questions) > 0 {
		return Result{}, fmt.Errorf("%s: %w: %s", table.File, ErrUndecided, questions[0].Text)
	}
	m, header, err := mapping.Fit(table)
	if err != nil {
		return Result{}, err
	}
	rows := sortRows(table, m, header)
	r := newReader(m, options, rows.drafts)
	for _, d := range rows.drafts {
		r.read(d)
	}
	joinDetectors(m, rows.drafts)
	markRepeats(m, rows.drafts)
	result := Result{File: table.File, Sheet: table.Sheet, HeaderRow: m.HeaderRow, Skipped: rows.skipped, Filled: rows.filled,
		DateOrder: r.order, problemCol: problemColumn(table, header)}
	result.collect(rows.drafts)
	result.Questions = r.questions(rows.drafts)
	result.Warnings = slices.Concat(r.aboutTheList(table, result.Rows), result.Warnings)
	return result, nil
}

// collect files every draft as read, rejected or skipped.
func (r *Result) collect(drafts []*draft) {
	for _, d := range drafts {
		switch {
		case d.joined && len(d.faults) == 0: // it is in its main's Lines
		case len(d.faults) > 0:
			r.Rejected = append(r.Rejected, d.faults...)
		case d.repeat > 0:
			for _, line := range d.row.Lines {
				r.Skipped = append(r.Skipped, Skipped{Row: line, Why: fmt.Sprintf("says the same as row %d", d.repeat)})
			}
		default:
			r.Rows = append(r.Rows, d.row)
			r.Warnings = append(r.Warnings, d.warnings...)
		}
	}
	slices.SortStableFunc(r.Skipped, func(a, b Skipped) int { return a.Row - b.Row })
}

// RejectedRows lists the physical rows that were rejected, each once.
func (r Result) RejectedRows() []int {
	var rows []int
	for _, f := range r.Rejected {
		if len(rows) == 0 || rows[len(rows)-1] != f.Row {
			rows = append(rows, f.Row)
		}
	}
	return rows
}

// reader turns cells into the parts of a row.
type reader struct {
	m        Mapping
	opt      Options
	order    DateOrder
	conflict bool // the list proves both date orders
	swapped  bool // spreadsheet dates stand among day-first texts: see swapSuspected
	habit    map[Field]zeroHabit
}

func newReader(m Mapping, opt Options, drafts []*draft) *reader {
	r := &reader{m: m, opt: opt, habit: map[Field]zeroHabit{}}
	dates := slices.Concat(column(drafts, FieldDue), column(drafts, FieldLastTest))
	r.order = opt.DateOrder
	if r.order != MonthFirst && r.order != DayFirst {
		r.order, r.conflict = provenOrder(dates, opt.AsOf)
		r.swapped = r.order == DayFirst && swapSuspected(dates)
	}
	for _, field := range []Field{FieldNumber, FieldSerial, FieldBypassSerial} {
		r.habit[field] = zeroHabitOf(column(drafts, field))
	}
	return r
}

func column(drafts []*draft, field Field) []sheet.Cell {
	var cells []sheet.Cell
	for _, d := range drafts {
		if c, ok := d.cells[field]; ok {
			cells = append(cells, c)
		}
	}
	return cells
}

// swapSuspected: a day-first list opened by a spreadsheet that expects month first becomes half dates with
// day and month exchanged (3/2 read as 2 March) and half texts it could not read (25/2) [common practice].
func swapSuspected(cells []sheet.Cell) bool {
	return slices.ContainsFunc(cells, func(c sheet.Cell) bool { return c.Serial != nil })
}

// read fills in the row of one draft.
func (r *reader) read(d *draft) {
	if len(d.cells) == 0 {
		return
	}
	d.row.texts = map[Field]string{}
	for field, c := range d.cells {
		d.row.texts[field] = c.Text
	}
	d.row.RowKey = keyOf(d.row.texts)
	r.words(d)
	r.typeAndPart(d)
	d.row.Main = r.mainPart(d)
	r.bypassPart(d)
	r.serviceAndHazard(d)
	r.standing(d)
	r.due(d)
	r.lastTest(d)
	r.whichAssembly(d)
}

// words copies what is kept as written.
func (r *reader) words(d *draft) {
	text := func(f Field) string { return clean(d.cells[f].Text) }
	row := &d.row
	row.Account, row.Customer, row.Address, row.City = text(FieldAccount), text(FieldCustomer), text(FieldAddress), text(FieldCity)
	row.PostCode, row.Contact, row.Phone, row.Place = text(FieldPostCode), text(FieldContact), text(FieldPhone), text(FieldPlace)
	row.Meter, row.Notes, row.Status = text(FieldMeter), strings.TrimSpace(d.cells[FieldNotes].Text), text(FieldStatus)
	if number := text(FieldNumber); !noNumber(number) {
		row.Number = number
	}
	if c, ok := d.cells[FieldNumber]; ok && (c.Serial != nil || exponent.MatchString(row.Number) || r.habit[FieldNumber].lostZeros(c)) {
		row.Number = ""
		r.warnAt(d, FieldNumber, "was damaged by a spreadsheet (a date, an exponent or lost zeros) and is not used", "ask for the list with this column formatted as text")
	}
}

// whichAssembly rejects a row that says neither number nor address, and warns of one without an address.
func (r *reader) whichAssembly(d *draft) {
	if len(d.faults) > 0 || d.row.Address != "" {
		return
	}
	if d.row.Number == "" {
		d.reject(d.row.fault(r.m, 0, "", "has neither the purveyor's number nor an address, so nothing says which assembly it is", "add one of the two"))
		return
	}
	if r.m.Col(FieldAddress) > 0 || r.m.Col(FieldStreetName) > 0 {
		d.warn(d.row.fault(r.m, r.m.Col(FieldAddress), "", "has no address", "find it by the purveyor's number, or ask"))
	}
}

func (r *reader) warnAt(d *draft, field Field, problem, whatToDo string) {
	c := d.cells[field]
	d.warn(d.row.fault(r.m, c.Col, c.Shown(), problem, whatToDo))
}

func (r *reader) rejectAt(d *draft, field Field, problem, whatToDo string) {
	c := d.cells[field]
	d.reject(d.row.fault(r.m, c.Col, c.Shown(), problem, whatToDo))
}

const listTypes = "write one of DC, DCDA, DCDA-II, RP, RPDA, RPDA-II, PVB, SVB, AVB, AG"

// typeAndPart reads the type and whether the row says it is the main or the bypass of something.
func (r *reader) typeAndPart(d *draft) {
	typed := d.cells[FieldType].Text
	d.part = partOf(d.cells)
	rest := withoutPartWords(typed)
	if nothingWords[plainKey(rest)] {
		if r.m.Col(FieldType) > 0 && d.part != bypassRow { // a bypass has its main's type
			c := d.cells[FieldType]
			d.warn(d.row.fault(r.m, r.m.Col(FieldType), c.Shown(), "says no type", "ask; until then it cannot be planned for the right gauge and time"))
		}
		return
	}
	kind, err := events.ParseAssemblyType(rest)
	switch {
	case err == nil:
		d.row.Type = kind
	case errors.Is(err, events.ErrAmbiguousType):
		_, could, _ := strings.Cut(err.Error(), events.ErrAmbiguousType.Error()+": ")
		c := d.cells[FieldType]
		d.ask(d.row.fault(r.m, c.Col, c.Shown(), "could be "+could, listTypes))
	default:
		r.rejectAt(d, FieldType, "is not an assembly type", listTypes)
	}
}

func (r *reader) mainPart(d *draft) Part {
	return r.part(d, Part{Maker: clean(d.cells[FieldMaker].Text), Model: clean(d.cells[FieldModel].Text)}, FieldSize, FieldSerial)
}

// bypassPart reads the bypass columns of a detector assembly that stands on one row.
func (r *reader) bypassPart(d *draft) {
	said := false
	for _, field := range []Field{FieldBypassNumber, FieldBypassSize, FieldBypassMaker, FieldBypassModel, FieldBypassSerial} {
		c, ok := d.cells[field]
		said = said || ok && !nothingWords[plainKey(c.Text)]
	}
	if !said {
		return
	}
	part := r.part(d, Part{Number: clean(d.cells[FieldBypassNumber].Text), Maker: clean(d.cells[FieldBypassMaker].Text),
		Model: clean(d.cells[FieldBypassModel].Text)}, FieldBypassSize, FieldBypassSerial)
	d.row.Bypass = &part
	if d.row.Type != "" && !d.row.Type.IsDetector() {
		f := d.row.fault(r.m, r.m.Col(FieldType), d.cells[FieldType].Shown(), "has no bypass, yet the row describes one", "ask whether it is a detector assembly")
		f.Question = true
		d.warn(f)
	}
}

func (r *reader) part(d *draft, part Part, sizeField, serialField Field) Part {
	if c, ok := d.cells[sizeField]; ok {
		size, problem, whatToDo := readSize(c)
		part.Size = size
		if problem != "" {
			r.warnAt(d, sizeField, problem, whatToDo)
			d.warnings[len(d.warnings)-1].Question = true
		}
	}
	if c, ok := d.cells[serialField]; ok {
		part.Serial = clean(c.Text)
		part.SerialDoubt = serialDoubt(c, r.habit[serialField])
		if part.SerialDoubt == "" {
			part.SerialKey = LookAlikeKey(part.Serial)
		} else {
			r.warnAt(d, serialField, part.SerialDoubt, "read the serial off the unit at the next visit; it is not used to find the assembly")
		}
	}
	return part
}

func (r *reader) serviceAndHazard(d *draft) {
	var known bool
	if c, ok := d.cells[FieldService]; ok && !nothingWords[plainKey(c.Text)] {
		if d.row.Service, known = readService(c.Text); !known {
			r.warnAt(d, FieldService, "is not one of domestic, irrigation, fire, process; left open", "say which")
		}
	}
	if c, ok := d.cells[FieldHazard]; ok && !nothingWords[plainKey(c.Text)] {
		if d.row.Hazard, known = readHazard(c.Text); !known {
			r.warnAt(d, FieldHazard, "is not a known hazard; left open, planned as a health hazard", "ask the purveyor whether it is health or non-health")
		}
	}
}

func (r *reader) standing(d *draft) {
	d.row.Standing = r.opt.Standing
	if d.row.Standing == "" {
		d.row.Standing = events.Ask
	}
	overdue, gone, byStatus := readStatus(d.row.Status)
	d.row.Overdue = overdue
	if c, ok := d.cells[FieldStanding]; ok {
		standing, known := readStanding(c.Text, r.opt.OurNames)
		d.row.Standing = standing
		if !known {
			r.warnAt(d, FieldStanding, "does not say whether this is ours", "write ours, not ours or ask, or give the names this firm goes by")
		}
	} else if r.m.Col(FieldStanding) > 0 {
		d.row.Standing = events.Ask
	} else if byStatus != "" {
		d.row.Standing = byStatus
	}
	if gone && d.row.Standing != events.NotOurs {
		d.row.Standing = events.Ask
		f := d.row.fault(r.m, r.m.Col(FieldStatus), d.row.Status, "may mean that there is nothing to test", "ask whether the assembly is still in use")
		f.Question = true
		d.warn(f)
	}
}

// due reads the due date. Blank is not known, never no deadline.
func (r *reader) due(d *draft) {
	c, ok := d.cells[FieldDue]
	if !ok {
		c = sheet.Cell{Row: d.row.Line(), Col: r.m.Col(FieldDue)}
	}
	reading := readDate(c, r.order, r.opt.AsOf)
	switch reading.kind {
	case dateBad:
		r.rejectAt(d, FieldDue, reading.problem, reading.whatToDo)
	case dateAmbiguous:
		d.ask(d.row.fault(r.m, c.Col, c.Shown(), reading.problem, reading.whatToDo))
	case dateOverdue:
		d.row.Due, d.row.Overdue = r.opt.AsOf, true
		r.warnAt(d, FieldDue, fmt.Sprintf("gives no day; taken as due on the date of the list, %s", r.opt.AsOf), "ask for the day it was due")
	case dateNone:
		r.noDue(d)
	case dateDay:
		d.row.Due = reading.day
		r.unlikelyDue(d, c, reading)
	}
}

func (r *reader) noDue(d *draft) {
	switch {
	case d.row.Overdue:
		d.row.Due = r.opt.AsOf
		d.warn(d.row.fault(r.m, r.m.Col(FieldStatus), d.row.Status, fmt.Sprintf("gives no day; taken as due on the date of the list, %s", r.opt.AsOf), "ask for the day it was due"))
	case r.m.Col(FieldDue) > 0 && d.part != bypassRow:
		d.warn(d.row.fault(r.m, r.m.Col(FieldDue), "", "has no due date", "ask; not known is not the same as no deadline"))
	}
}

// Due dates further from the list than this are worth a second look.
const unlikelyPastDays, unlikelyAheadDays = 10 * 366, 6 * 366

func (r *reader) unlikelyDue(d *draft, c sheet.Cell, reading dateReading) {
	away := reading.day.Sub(r.opt.AsOf)
	switch {
	case reading.guessed != "":
		r.warnAt(d, FieldDue, reading.guessed, "check it")
	case away > unlikelyAheadDays || away < -unlikelyPastDays:
		r.warnAt(d, FieldDue, fmt.Sprintf("is read as %s, years away from the list", reading.day), "check the year")
	case !r.opt.Closed.IsZero() && !r.opt.Closed.Open(reading.day):
		r.warnAt(d, FieldDue, fmt.Sprintf("is a day on which the purveyor is closed (%s)", reading.day.Weekday()), "plan for the working day before unless its rule says otherwise")
	}
	if _, _, day := reading.day.YMD(); r.swapped && c.Serial != nil && day <= 12 {
		r.warnAt(d, FieldDue, fmt.Sprintf("is read as %s, but other dates of this list are day-first text, so a spreadsheet may have exchanged day and month", reading.day),
			"ask for the list with dates as text")
		d.warnings[len(d.warnings)-1].Question = true
	}
}

// lastTest reads the day of the last test; one that cannot be read is left open, for nothing hangs on it.
func (r *reader) lastTest(d *draft) {
	c, ok := d.cells[FieldLastTest]
	if !ok {
		return
	}
	reading := readDate(c, r.order, r.opt.AsOf)
	switch {
	case reading.kind == dateBad || reading.kind == dateOverdue:
		problem := reading.problem
		if problem == "" {
			problem = "is not a date"
		}
		r.warnAt(d, FieldLastTest, problem+"; the last test was left open", writeDate)
	case reading.kind == dateAmbiguous:
		r.warnAt(d, FieldLastTest, reading.problem+"; the last test was left open", reading.whatToDo)
		d.warnings[len(d.warnings)-1].Question = true
	case reading.kind == dateDay && r.opt.AsOf.Before(reading.day):
		r.warnAt(d, FieldLastTest, fmt.Sprintf("is read as %s, after the date of the list; the last test was left open", reading.day), "check it")
	default:
		d.row.LastTest = reading.day
	}
}

// questions gathers what one answer in Options would settle for many rows.
func (r *reader) questions(drafts []*draft) []Question {
	var rows []int
	example := ""
	for _, d := range drafts {
		if c, ok := d.cells[FieldDue]; ok && readDate(c, r.order, r.opt.AsOf).kind == dateAmbiguous {
			rows = append(rows, d.row.Line())
			if example == "" {
				example = c.Shown()
			}
		}
	}
	if len(rows) == 0 {
		return nil
	}
	text := fmt.Sprintf("does this list write the month or the day first? %d dates such as %s could be either", len(rows), example)
	if r.conflict {
		text += ", and the others prove both"
	}
	return []Question{{Key: "date-order", Text: text, Rows: rows, Choices: []string{string(MonthFirst), string(DayFirst)}}}
}

// aboutTheList are warnings that concern no single row.
func (r *reader) aboutTheList(table sheet.Table, rows []Row) []sheet.Fault {
	var out []sheet.Fault
	warn := func(problem, whatToDo string) {
		out = append(out, sheet.Fault{File: table.File, Sheet: table.Sheet, Problem: problem, WhatToDo: whatToDo})
	}
	if r.m.Col(FieldDue) == 0 {
		warn("the list has no column with due dates", "ask the purveyor, or take it as a list of assemblies only")
	}
	if r.m.Col(FieldType) == 0 {
		warn("the list has no column with assembly types", "ask the purveyor; what is not known yet stays as it is")
	}
	if len(rows) == 0 {
		warn("no row could be read", "look at the rejected rows and at the columns")
	}
	return out
}

// problemColumn finds the column that SaveRejected added to an earlier list.
func problemColumn(table sheet.Table, header int) int {
	if header < 0 {
		return 0
	}
	for _, c := range table.Rows[header] {
		if headerKey(c.Text) == "problem" {
			return c.Col
		}
	}
	return 0
}
