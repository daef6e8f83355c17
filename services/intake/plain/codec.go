package plain

import (
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"valveround/services/intake/sheet"
)

// Column describes one column of a file.
type Column struct {
	Name     string   // the header
	Required bool     // the column and every cell of it
	OneOf    []string // the values allowed; empty: any
	Help     string
	field    int // in the struct
}

// Columns lists the columns of a row type, such as Columns[Site]().
func Columns[T any]() []Column {
	t := reflect.TypeFor[T]()
	var out []Column
	for i := range t.NumField() {
		tag := t.Field(i).Tag
		name, rest, _ := strings.Cut(tag.Get("csv"), ",")
		if name == "-" {
			continue
		}
		c := Column{Name: name, Help: tag.Get("help"), field: i}
		for option := range strings.SplitSeq(rest, ",") {
			if values, ok := strings.CutPrefix(option, "oneof="); ok {
				c.OneOf = strings.Split(values, "|")
			}
			c.Required = c.Required || option == "required"
		}
		out = append(out, c)
	}
	return out
}

// Read turns a table into rows. The header is the first row that is not blank. A row with a fault in any
// cell is left out, its faults name the cells; so are rows that repeat an id.
func Read[T any](table sheet.Table) ([]T, []sheet.Fault) {
	header := 0
	for header < len(table.Rows) && blank(table, header) {
		header++
	}
	if header == len(table.Rows) {
		return nil, []sheet.Fault{{File: table.File, Problem: "is empty", WhatToDo: "write a header line with these columns: " + names(Columns[T]())}}
	}
	d := decoder[T]{table: table, columns: Columns[T](), at: map[string]int{}, seen: map[string]int{}}
	if !d.readHeader(header) {
		return nil, d.faults
	}
	var rows []T
	for i := header + 1; i < len(table.Rows); i++ {
		if row, ok := d.row(i); ok {
			rows = append(rows, row)
		}
	}
	return rows, d.faults
}

func blank(table sheet.Table, i int) bool {
	return !slices.ContainsFunc(table.Rows[i], func(c sheet.Cell) bool { return !c.Blank() })
}

func names(columns []Column) string {
	var out []string
	for _, c := range columns {
		out = append(out, c.Name)
	}
	return strings.Join(out, ", ")
}

type decoder[T any] struct {
	table   sheet.Table
	columns []Column
	at      map[string]int // column name to its place in the table, from 1
	seen    map[string]int // id to the row it was read on
	faults  []sheet.Fault
}

// readHeader finds the columns; false: a required one is missing.
func (d *decoder[T]) readHeader(header int) bool {
	known := map[string]bool{}
	for _, c := range d.columns {
		known[c.Name] = true
	}
	for _, c := range d.table.Rows[header] {
		name := strings.ToLower(strings.Join(strings.Fields(c.Text), "_"))
		switch {
		case name == "":
		case !known[name]:
			d.fault(c, c.Text, "is no column of this file and was not read", "the columns are "+names(d.columns))
		case d.at[name] > 0:
			d.fault(c, name, "stands twice; the first one is read", "take one out")
		default:
			d.at[name] = c.Col
		}
	}
	whole := true
	for _, c := range d.columns {
		if c.Required && d.at[c.Name] == 0 {
			whole = false
			d.faults = append(d.faults, sheet.Fault{File: d.table.File, Row: d.table.RowNumber(header), Column: c.Name,
				Problem: "is missing, so nothing was read", WhatToDo: "add the column"})
		}
	}
	return whole
}

func (d *decoder[T]) fault(c sheet.Cell, column, problem, whatToDo string) {
	f := d.table.At(c, column)
	f.Problem, f.WhatToDo = problem, whatToDo
	d.faults = append(d.faults, f)
}

// row reads the i-th row; false: blank or faulty.
func (d *decoder[T]) row(i int) (T, bool) {
	var row T
	if blank(d.table, i) {
		return row, false
	}
	if damage := d.table.Damaged[d.table.RowNumber(i)]; damage != "" {
		d.fault(sheet.Cell{Row: d.table.RowNumber(i)}, "", damage, "close every quotation mark, and double those inside a cell")
		return row, false
	}
	before := len(d.faults)
	v := reflect.ValueOf(&row).Elem()
	v.FieldByName("Line").SetInt(int64(d.table.RowNumber(i)))
	for _, column := range d.columns {
		if at := d.at[column.Name]; at > 0 {
			d.cell(v.Field(column.field), column, d.table.Cell(i, at))
		}
	}
	if id := v.FieldByName("ID").String(); len(d.faults) == before {
		if first, twice := d.seen[id]; twice {
			d.fault(d.table.Cell(i, d.at["id"]), "id", fmt.Sprintf("is already the id of row %d", first), "give each row an id of its own")
		}
		d.seen[id] = d.table.RowNumber(i)
	}
	return row, len(d.faults) == before
}

func (d *decoder[T]) cell(v reflect.Value, column Column, c sheet.Cell) {
	text := strings.TrimSpace(c.Text)
	if text == "" {
		if column.Required {
			d.fault(c, column.Name, "must not be blank", strings.TrimSpace("fill it in "+column.Help))
		}
		return
	}
	if len(column.OneOf) > 0 {
		text = strings.ToLower(text)
		if !slices.Contains(column.OneOf, text) {
			d.fault(c, column.Name, "is not one of the values it can have", "write "+strings.Join(column.OneOf, ", "))
			return
		}
	}
	if problem, whatToDo := parse(v, column.Name, text); problem != "" {
		d.fault(c, column.Name, problem, whatToDo)
	}
}

// Write writes rows as Read reads them. No rows: an empty form with the header only.
func Write[T any](w io.Writer, rows []T) error {
	columns := Columns[T]()
	out := [][]string{nil}
	for _, c := range columns {
		out[0] = append(out[0], c.Name)
	}
	for i := range rows {
		v := reflect.ValueOf(&rows[i]).Elem()
		var line []string
		for _, c := range columns {
			line = append(line, format(v.Field(c.field)))
		}
		out = append(out, line)
	}
	return sheet.WriteCSV(w, out)
}
