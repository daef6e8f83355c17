package duelist

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// Mapping says which column of a purveyor's list is which field. It is plain data: saved as JSON for
// the purveyor under its Fingerprint, shown, changed, used again for the next list with that header.
type Mapping struct {
	// Fingerprint is a hash of the header's words in their order; empty for a list without a header.
	Fingerprint string `json:"fingerprint"`
	// HeaderRow is the physical row of the header in the table it was proposed for; 0: none was found.
	HeaderRow int      `json:"header_row"`
	Columns   []Column `json:"columns"`
}

// Column is one column of the list and what it is taken for.
type Column struct {
	Col    int    `json:"col"` // from 1
	Header string `json:"header"`
	Field  Field  `json:"field"`
	Sure   Sure   `json:"sure,omitempty"`
	Why    string `json:"why,omitempty"`
	// Candidates are what it might be; while there are any, Questions asks and Field is empty.
	Candidates []Field `json:"candidates,omitempty"`
}

// Question is a decision that somebody has to take before the list can be read in full.
type Question struct {
	Key     string   `json:"key"` // "field due", "date-order", …
	Text    string   `json:"text"`
	Columns []int    `json:"columns,omitempty"`
	Rows    []int    `json:"rows,omitempty"`
	Choices []string `json:"choices,omitempty"`
}

// Errors of Read and Fit.
var (
	// ErrUndecided: the mapping still asks something; see Mapping.Questions.
	ErrUndecided = errors.New("the columns are not decided yet")
	// ErrOtherColumns: the table has another header than the mapping was made for.
	ErrOtherColumns = errors.New("the list has other columns than the saved ones")
)

// ProposeMapping finds the header and proposes a field for every column, from the header's words and,
// where they say nothing, from the values.
func ProposeMapping(table sheet.Table) Mapping {
	header := findHeader(table)
	m := Mapping{}
	width := 0
	for _, row := range table.Rows {
		width = max(width, len(row))
	}
	if header >= 0 {
		m.HeaderRow = table.RowNumber(header)
		m.Fingerprint = fingerprint(table.Rows[header])
	}
	for col := 1; col <= width; col++ {
		m.Columns = append(m.Columns, propose(table, header, col))
	}
	m.askAboutTwins()
	m.askWhetherLocationIsAddress(table, header)
	return m
}

func propose(table sheet.Table, header, col int) Column {
	c := Column{Col: col}
	if header >= 0 {
		c.Header = strings.Join(strings.Fields(table.Cell(header, col).Text), " ")
	}
	c.Field, c.Sure = fieldOf(c.Header)
	if c.Sure == Likely {
		c.Why = "the header contains the words"
	}
	if c.Field == "" && mostly(table, header, col, looksLikeType) {
		c.Field, c.Sure, c.Why = FieldType, Unsure, "the values are names of assembly types"
	}
	return c
}

// mostly says that at least three values of a column, and seven in ten, look a certain way.
func mostly(table sheet.Table, header, col int, looks func(string) bool) bool {
	filled, fit := 0, 0
	for i := header + 1; i < len(table.Rows); i++ {
		if c := table.Cell(i, col); !c.Blank() {
			filled++
			if looks(strings.TrimSpace(c.Text)) {
				fit++
			}
		}
	}
	return fit >= 3 && fit*10 >= filled*7
}

func looksLikeType(text string) bool { _, err := events.ParseAssemblyType(text); return err == nil }

var streetAddress = regexp.MustCompile(`^\d+[A-Za-z]?(-\d+)?\s+\S*[A-Za-z]{2,}`)

// askAboutTwins turns two columns for one field into a question: which one?
func (m *Mapping) askAboutTwins() {
	for _, field := range Fields() {
		at := m.columnsOf(field)
		if field == FieldIgnore || field == FieldProblem || len(at) < 2 {
			continue
		}
		for _, i := range at {
			m.Columns[i].Candidates = []Field{field}
			m.Columns[i].Field, m.Columns[i].Sure = "", ""
			m.Columns[i].Why = "more than one column could be this"
		}
	}
}

// askWhetherLocationIsAddress: in some lists "Location" is the street address and in others the place on
// the premises.
func (m *Mapping) askWhetherLocationIsAddress(table sheet.Table, header int) {
	at := m.columnsOf(FieldPlace)
	if len(at) != 1 || len(m.columnsOf(FieldAddress)) > 0 || m.hasCandidate(FieldAddress) || len(m.columnsOf(FieldStreetName)) > 0 {
		return
	}
	c := &m.Columns[at[0]]
	if mostly(table, header, c.Col, streetAddress.MatchString) {
		c.Candidates = []Field{FieldAddress, FieldPlace}
		c.Field, c.Sure, c.Why = "", "", "the values look like street addresses"
	}
}

// columnsOf gives the indexes of the columns that have a field.
func (m Mapping) columnsOf(field Field) []int {
	var at []int
	for i, c := range m.Columns {
		if c.Field == field {
			at = append(at, i)
		}
	}
	return at
}

func (m Mapping) hasCandidate(field Field) bool {
	return slices.ContainsFunc(m.Columns, func(c Column) bool { return slices.Contains(c.Candidates, field) })
}

// Col is the column of a field, from 1; 0 when there is none.
func (m Mapping) Col(field Field) int {
	if at := m.columnsOf(field); len(at) > 0 {
		return m.Columns[at[0]].Col
	}
	return 0
}

// HeaderOf is the header's text over a column.
func (m Mapping) HeaderOf(col int) string {
	for _, c := range m.Columns {
		if c.Col == col {
			return c.Header
		}
	}
	return ""
}

// Set returns the mapping with one column decided by hand. Other columns that were candidates for the
// same field stop asking for it.
func (m Mapping) Set(col int, field Field) Mapping {
	m.Columns = slices.Clone(m.Columns)
	for i, c := range m.Columns {
		switch {
		case c.Col == col:
			c.Field, c.Sure, c.Why, c.Candidates = field, ByHand, "", nil
		case slices.Contains(c.Candidates, field) && field != FieldIgnore:
			c.Candidates = slices.DeleteFunc(slices.Clone(c.Candidates), func(f Field) bool { return f == field })
			if len(c.Candidates) == 0 {
				c.Field, c.Sure, c.Why = FieldIgnore, ByHand, "another column was chosen"
			}
		}
		m.Columns[i] = c
	}
	return m
}

// Questions lists what must be decided before Read will work with the mapping.
func (m Mapping) Questions() []Question {
	var out []Question
	for _, field := range Fields() {
		var cols []int
		var names []string
		doubled := field != FieldIgnore && field != FieldProblem && len(m.columnsOf(field)) > 1
		for _, c := range m.Columns {
			if len(c.Candidates) > 0 && c.Candidates[0] == field || doubled && c.Field == field {
				cols = append(cols, c.Col)
				names = append(names, fmt.Sprintf("%s %q", sheet.ColumnName(c.Col), c.Header))
			}
		}
		if len(cols) == 0 {
			continue
		}
		text := fmt.Sprintf("which column is %q: %s?", field, strings.Join(names, " or "))
		if len(cols) == 1 {
			text = fmt.Sprintf("is column %s %q, or something else?", names[0], field)
		}
		out = append(out, Question{Key: "field " + string(field), Text: text, Columns: cols, Choices: names})
	}
	if len(out) == 0 && m.Col(FieldNumber) == 0 && m.Col(FieldAddress) == 0 && m.Col(FieldStreetName) == 0 {
		out = append(out, Question{Key: "which-assembly",
			Text: "which column holds the purveyor's number of the assembly, or the service address? One of the two is needed."})
	}
	return out
}

// Fit finds the header that the mapping was made for in a table and returns the mapping for that table
// together with the index of the header in Table.Rows (-1: no header). ErrOtherColumns when it is not there.
func (m Mapping) Fit(table sheet.Table) (Mapping, int, error) {
	if m.Fingerprint == "" {
		m.HeaderRow = 0
		return m, -1, nil
	}
	for i := range min(len(table.Rows), headerSearchRows) {
		if fingerprint(table.Rows[i]) == m.Fingerprint {
			fitted, ok := m.at(table.Rows[i])
			if !ok {
				break
			}
			fitted.HeaderRow = table.RowNumber(i)
			return fitted, i, nil
		}
	}
	return m, -1, fmt.Errorf("%s %s: %w: let the columns be proposed anew", table.File, table.Sheet, ErrOtherColumns)
}

// at moves the columns to where their headers stand in this header row: blank columns may have come or gone.
// false: a column without a header was given a field by hand, and where it went cannot be told.
func (m Mapping) at(header []sheet.Cell) (Mapping, bool) {
	var filled []int
	for _, c := range header {
		if key := headerKey(c.Text); key != "" && key != "problem" {
			filled = append(filled, c.Col)
		}
	}
	var moved []Column
	next, shifted, nameless := 0, false, false
	for _, c := range m.Columns {
		key := headerKey(c.Header)
		if key == "problem" {
			continue
		}
		if key != "" && next < len(filled) {
			shifted = shifted || c.Col != filled[next]
			c.Col = filled[next]
			next++
		}
		nameless = nameless || key == "" && c.Field != "" && c.Field != FieldIgnore
		moved = append(moved, c)
	}
	m.Columns = moved
	return m, !shifted || !nameless
}

// fingerprint hashes the words of a header; our own problem column does not count.
func fingerprint(header []sheet.Cell) string {
	var keys []string
	for _, c := range header {
		if key := headerKey(c.Text); key != "" && key != "problem" {
			keys = append(keys, key)
		}
	}
	if len(keys) == 0 {
		return ""
	}
	sum := sha256.Sum256([]byte(strings.Join(keys, "\n")))
	return hex.EncodeToString(sum[:12])
}
