package duelist

import (
	"fmt"
	"regexp"
	"strings"

	"valveround/services/intake/sheet"
)

// Skipped is a physical row that holds no assembly, and why it was passed over.
type Skipped struct {
	Row  int    `json:"row"`
	Why  string `json:"why"`
	Text string `json:"text,omitempty"`
}

// Filled is a cell that was blank in the file and took a value carried down from above.
type Filled struct {
	Row  int    `json:"row"`
	Col  int    `json:"col"`
	Text string `json:"text"`
	From int    `json:"from"` // the physical row it came from
}

// draft is a row on its way through the reading.
type draft struct {
	index    int // in Table.Rows
	cells    map[Field]sheet.Cell
	row      Row
	part     partKind
	faults   []sheet.Fault // any: the row is rejected
	warnings []sheet.Fault
	with     *draft // the bypass row joined to this main row
	joined   bool   // this is the bypass row of another
	repeat   int    // the row this one repeats word for word
}

// sorted is the table cut into rows that hold assemblies and rows that do not.
type sorted struct {
	drafts  []*draft
	skipped []Skipped
	filled  []Filled
}

// sorter walks down the table and remembers whose address holds.
type sorter struct {
	table  sheet.Table
	m      Mapping
	header int
	titles map[string]bool
	above  map[Field]sheet.Cell // the last row with an address of its own; nil: nothing may be carried
	out    sorted
}

func sortRows(table sheet.Table, m Mapping, header int) sorted {
	s := sorter{table: table, m: m, header: header, titles: map[string]bool{}}
	for i := range table.Rows {
		if why := s.skip(i); why != "" {
			s.above = nil
			s.out.skipped = append(s.out.skipped, Skipped{Row: table.RowNumber(i), Why: why, Text: rowText(table.Rows[i])})
			continue
		}
		s.take(i)
	}
	return s.out
}

// skip says why a row holds no assembly; empty when it may hold one.
func (s *sorter) skip(i int) string {
	row := s.table.Rows[i]
	text := rowText(row)
	switch {
	case s.table.Damaged[s.table.RowNumber(i)] != "":
		return ""
	case text == "":
		return "blank"
	case i < s.header:
		s.titles[plainKey(text)] = true
		return "title above the header"
	case i == s.header:
		return "header"
	case s.header >= 0 && repeatsHeader(s.table.Rows[s.header], row):
		return "header repeated"
	case s.titles[plainKey(text)]:
		return "title repeated"
	case isTotal(row):
		return "total or end of the list"
	}
	return ""
}

func rowText(row []sheet.Cell) string {
	var texts []string
	for _, c := range row {
		if !c.Blank() {
			texts = append(texts, strings.TrimSpace(c.Shown()))
		}
	}
	return strings.Join(texts, " | ")
}

var totalWords = regexp.MustCompile(`(?i)^\W*((grand |sub-?)?totals?\b|count\b|number of (rows|records|assemblies|devices)|end of (list|report)|page \d+|printed\b|(report )?generated\b|report date|\d+ (rows|records|assemblies|devices|items)\b)`)

// isTotal recognises a total or a foot line: it begins with such a word, and what else it holds are
// numbers. A customer called Total Something has an address and a type beside the name.
func isTotal(row []sheet.Cell) bool {
	first, others := "", 0
	for _, c := range row {
		text := strings.TrimSpace(c.Text)
		switch {
		case text == "":
		case first == "":
			first = text
		case strings.Trim(text, "0123456789.,:%/- ") != "":
			return false
		default:
			others++
		}
	}
	return totalWords.MatchString(first) && others <= 3
}

// take makes a draft of a row and carries the address down to it if it has none.
func (s *sorter) take(i int) {
	d := &draft{index: i, cells: map[Field]sheet.Cell{}}
	d.row = Row{File: s.table.File, Sheet: s.table.Sheet, Lines: []int{s.table.RowNumber(i)}}
	if damage := s.table.Damaged[d.row.Line()]; damage != "" {
		d.reject(d.row.fault(s.m, 0, rowText(s.table.Rows[i]), damage, "close every quotation mark, and double those inside a cell"))
		s.above = nil
		s.out.drafts = append(s.out.drafts, d)
		return
	}
	d.cells = s.cells(i)
	if s.addressHeading(i, d.cells) {
		s.above = d.cells
		s.out.skipped = append(s.out.skipped, Skipped{Row: d.row.Line(), Why: "address for the rows below", Text: rowText(s.table.Rows[i])})
		return
	}
	if len(d.cells) < 2 {
		d.reject(d.row.fault(s.m, 0, rowText(s.table.Rows[i]), "has one cell filled or none that is read, so it is no assembly that could be found again",
			"complete the row, or take it out if it is a remark"))
	} else {
		s.carry(d)
	}
	s.out.drafts = append(s.out.drafts, d)
}

// cells gathers the filled cells of a row by field. An address in parts is put together.
func (s *sorter) cells(i int) map[Field]sheet.Cell {
	cells := map[Field]sheet.Cell{}
	for _, column := range s.m.Columns {
		if column.Field == "" || column.Field == FieldIgnore || column.Field == FieldProblem {
			continue
		}
		if c := s.table.Cell(i, column.Col); !c.Blank() {
			cells[column.Field] = c
		}
	}
	var parts []string
	var at sheet.Cell
	for _, field := range []Field{FieldStreetNumber, FieldStreetName, FieldAddress, FieldAddress2} {
		if c, ok := cells[field]; ok {
			if len(parts) == 0 || field == FieldAddress {
				at = c
			}
			if !ditto(c.Text) {
				parts = append(parts, clean(c.Text))
			}
			delete(cells, field)
			cells[FieldAddress] = at
		}
	}
	if len(parts) > 0 {
		at.Text = strings.Join(parts, " ")
		cells[FieldAddress] = at
	}
	return cells
}

func clean(text string) string { return strings.Join(strings.Fields(text), " ") }

// ditto says that a cell means the cell above.
func ditto(text string) bool {
	switch strings.Trim(plainKey(text), ". ") {
	case `"`, `''`, `""`, "DITTO", "SAME", "SAME AS ABOVE", "AS ABOVE", "SAME ADDRESS":
		return true
	}
	return false
}

// addressHeading says that a row holds an address alone and the next row none: a heading for those below.
func (s *sorter) addressHeading(i int, cells map[Field]sheet.Cell) bool {
	if _, ok := cells[FieldAddress]; !ok || len(cells) != 1 || i+1 >= len(s.table.Rows) || s.skip(i+1) != "" {
		return false
	}
	if s.table.Damaged[s.table.RowNumber(i+1)] != "" {
		return false
	}
	next := s.cells(i + 1)
	_, has := next[FieldAddress]
	return !has && len(next) > 0
}

// carried are the fields that go down with an address.
var carried = []Field{FieldAddress, FieldCity, FieldPostCode, FieldCustomer, FieldAccount, FieldContact, FieldPhone}

// carry gives a row without an address that of the row above it, unless the two differ in account,
// customer or city. Blank rows, titles and totals end the reach of an address.
func (s *sorter) carry(d *draft) {
	own, has := d.cells[FieldAddress]
	if has && !ditto(own.Text) {
		s.above = d.cells
		return
	}
	delete(d.cells, FieldAddress)
	if s.above == nil || len(d.cells) == 0 || differ(s.above, d.cells) {
		if has {
			d.reject(d.row.fault(s.m, own.Col, own.Text, "says the address is the one above, and there is none it could mean", "write the address"))
		}
		return
	}
	from := s.above[FieldAddress]
	d.row.AddressFrom = from.Row
	for _, field := range carried {
		above, ok := s.above[field]
		if mine, filled := d.cells[field]; !ok || filled && !ditto(mine.Text) {
			continue
		}
		d.cells[field] = above
		s.out.filled = append(s.out.filled, Filled{Row: d.row.Line(), Col: above.Col, Text: above.Text, From: from.Row})
	}
}

func differ(above, own map[Field]sheet.Cell) bool {
	for _, field := range []Field{FieldAccount, FieldCustomer, FieldCity} {
		a, b := plainKey(above[field].Text), plainKey(own[field].Text)
		if b != "" && !ditto(b) && a != b {
			return true
		}
	}
	return false
}

func (d *draft) reject(f sheet.Fault) { d.faults = append(d.faults, f) }
func (d *draft) warn(f sheet.Fault)   { d.warnings = append(d.warnings, f) }

// ask adds a fault that is a question.
func (d *draft) ask(f sheet.Fault) { f.Question = true; d.faults = append(d.faults, f) }

// String is for failing tests.
func (s Skipped) String() string { return fmt.Sprintf("row %d: %s (%s)", s.Row, s.Why, s.Text) }
