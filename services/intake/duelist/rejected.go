package duelist

import (
	"io"
	"strings"

	"valveround/services/intake/sheet"
)

// SaveRejected writes the rejected rows of a result as a CSV file that can be mended and read again with
// the same mapping: the list's own header and columns, and beside them a column "problem". Addresses that
// were carried down are written out, so that every row stands for itself, and a blank line stands between rows
// that were not neighbours, so that no address is carried to a row it was not meant for. A row that could not
// be cut into cells is written whole into the first cell. The table must be the one that was read.
func SaveRejected(w io.Writer, table sheet.Table, result Result) error {
	problems := map[int][]string{}
	for _, f := range result.Rejected {
		problems[f.Row] = append(problems[f.Row], describe(f))
	}
	width := 0
	for i, row := range table.Rows {
		if n := table.RowNumber(i); n == result.HeaderRow || problems[n] != nil {
			width = max(width, len(row))
		}
	}
	problemAt := result.problemCol
	if problemAt == 0 {
		width++
		problemAt = width
	}
	filled := map[[2]int]string{}
	for _, f := range result.Filled {
		filled[[2]int{f.Row, f.Col}] = f.Text
	}
	var out [][]string
	last := -1 // index of the last row written
	for i := range table.Rows {
		number := table.RowNumber(i)
		switch {
		case number == result.HeaderRow:
			line := plainLine(table, i, width, nil)
			line[problemAt-1] = "problem"
			out = append(out, line)
		case problems[number] != nil:
			if last >= 0 && (last != i-1 || table.Damaged[table.RowNumber(last)] != "") {
				out = append(out, make([]string, width))
			}
			last = i
			line := plainLine(table, i, width, filled)
			line[problemAt-1] = strings.Join(problems[number], " / ")
			out = append(out, line)
		}
	}
	return sheet.WriteCSV(w, out)
}

func plainLine(table sheet.Table, i, width int, filled map[[2]int]string) []string {
	line := make([]string, width)
	number := table.RowNumber(i)
	for c := range width {
		cell := table.Cell(i, c+1)
		line[c] = cell.Text
		if text, ok := filled[[2]int{number, c + 1}]; ok {
			line[c] = text
		}
	}
	if table.Damaged[number] != "" {
		whole := strings.TrimRight(strings.Join(line, string(table.Separator)), string(table.Separator))
		line = make([]string, width)
		line[0] = whole
	}
	return line
}

// describe is the fault without the place, which the mended file will not share with the list.
func describe(f sheet.Fault) string {
	text := f.Problem
	if f.Value != "" && f.Column != "" {
		text = f.Column + " \"" + f.Value + "\" " + f.Problem
	}
	if f.WhatToDo != "" {
		text += ": " + f.WhatToDo
	}
	return text
}
