// Package sheet reads comma-separated files and spreadsheets into plain tables of cells that
// remember where they stood, so that every later complaint can name file, row and column.
//
// It understands shapes (encodings, separators, quoted newlines, spreadsheet numbers) and nothing
// of what the columns mean. It guesses nothing: a line that cannot be cut faithfully is kept and
// marked in Table.Damaged.
package sheet

import (
	"fmt"
	"strings"
	"time"
)

// Cell is one cell as the file holds it.
type Cell struct {
	// Text is what the cell says: the text itself; for a spreadsheet number all its stored digits;
	// for a spreadsheet date the ISO form 2006-01-02 (the way it was shown is in Formatted).
	Text string
	// Row is the physical line (CSV) or row (XLSX) in the file, from 1.
	Row int
	// Col is the column, from 1.
	Col int
	// Number is set when a spreadsheet stored a number rather than text; leading zeros are then gone.
	Number *float64
	// Serial is set when that number is shown as a date: days since 1899-12-30, whatever epoch
	// the workbook itself counts from.
	Serial *float64
	// Formatted is the cell as the spreadsheet shows it; equal to Text in a CSV file.
	Formatted string
}

// Blank says that the cell shows nothing.
func (c Cell) Blank() bool { return strings.TrimSpace(c.Text) == "" }

// Table is one sheet of one file.
type Table struct {
	File      string // the name the user knows, without folders
	Sheet     string // the sheet's name; empty for CSV
	Encoding  string // CSV: "UTF-8", "UTF-16LE", "UTF-16BE" or "Windows-1252"
	Separator rune   // CSV: the separator found
	// Rows holds every physical row in order. A blank row is one blank cell, so that it keeps its
	// number. Rows may be ragged.
	Rows [][]Cell
	// Damaged says, by row number, why a row could not be cut into cells faithfully.
	Damaged map[int]string
}

// RowNumber is the physical number of the i-th row of the table.
func (t Table) RowNumber(i int) int { return t.Rows[i][0].Row }

// Cell returns the cell in the given column (from 1) of the i-th row; a row that ends early gives a
// blank cell with the right coordinates.
func (t Table) Cell(i, col int) Cell {
	if row := t.Rows[i]; col >= 1 && col <= len(row) {
		return row[col-1]
	}
	return Cell{Row: t.RowNumber(i), Col: col}
}

// ColumnName turns 1 into A, 27 into AA, as spreadsheets name their columns.
func ColumnName(col int) string {
	name := ""
	for col > 0 {
		col--
		name = string(rune('A'+col%26)) + name
		col /= 26
	}
	return name
}

// Fault is something wrong or doubtful in a file, said so that its sender can mend it.
type Fault struct {
	File     string `json:"file"`
	Sheet    string `json:"sheet,omitempty"`
	Row      int    `json:"row,omitempty"`    // physical row, from 1; 0 for the whole file
	Col      int    `json:"col,omitempty"`    // from 1; 0 for the whole row
	Column   string `json:"column,omitempty"` // the column's header
	Value    string `json:"value,omitempty"`
	Problem  string `json:"problem"`
	WhatToDo string `json:"what_to_do,omitempty"`
	Question bool   `json:"question,omitempty"` // somebody has to decide; nothing was guessed
}

// At starts a fault at a cell of the table.
func (t Table) At(c Cell, header string) Fault {
	return Fault{File: t.File, Sheet: t.Sheet, Row: c.Row, Col: c.Col, Column: header, Value: c.Shown()}
}

// Shown is the cell as a person sees it in the file.
func (c Cell) Shown() string {
	if c.Formatted != "" {
		return c.Formatted
	}
	return c.Text
}

// Where names the place in plain words: due.csv row 7, column C "Size".
func (f Fault) Where() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Sheet != "" {
		fmt.Fprintf(&b, " sheet %q", f.Sheet)
	}
	if f.Row > 0 {
		fmt.Fprintf(&b, " row %d", f.Row)
	}
	if f.Col > 0 {
		fmt.Fprintf(&b, ", column %s", ColumnName(f.Col))
	}
	if f.Column != "" {
		fmt.Fprintf(&b, " %q", f.Column)
	}
	return strings.TrimSpace(b.String())
}

// String is one line for a person.
func (f Fault) String() string {
	text := f.Where() + ": "
	if f.Value != "" {
		text += fmt.Sprintf("%q ", f.Value)
	}
	text += f.Problem
	if f.WhatToDo != "" {
		text += "; " + f.WhatToDo
	}
	return text
}

// SerialDay turns a spreadsheet's date serial (days since 1899-12-30, as 1900-system workbooks count
// from March 1900 on) into a calendar day. Days before 1900-03-01 and after 9999-12-31 are refused,
// the first because that system counts a 29 February 1900 that never was.
// Source: ECMA-376 Part 1, 18.17.4.1 (date conversion for serial values); the lost day from memory.
func SerialDay(serial float64) (year int, month time.Month, day int, ok bool) {
	if serial < 61 || serial >= 2958466 || serial != serial {
		return 0, 0, 0, false
	}
	t := time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(serial))
	return t.Year(), t.Month(), t.Day(), true
}
