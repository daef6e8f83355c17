package intake

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/intake/sheet"
)

// saved is what is kept for a purveyor's next list with the same header.
type saved struct {
	duelist.Mapping
	DateOrder duelist.DateOrder `json:"date_order,omitempty"`
}

// chooseTable takes the sheet that a saved mapping fits, else the one whose columns say most.
func (u *upload) chooseTable(purveyor *events.Purveyor) {
	best := -1
	for _, table := range u.tables {
		proposed := duelist.ProposeMapping(table)
		if kept, ok := savedMapping(purveyor, table, proposed.Fingerprint); ok {
			u.table, u.mapping, u.order, u.saved = table, kept.Mapping, kept.DateOrder, true
			return
		}
		if score := recognised(proposed); score > best {
			best, u.table, u.mapping = score, table, proposed
		}
	}
}

// savedMapping finds the mapping of an earlier list of the purveyor that fits the table.
func savedMapping(purveyor *events.Purveyor, table sheet.Table, fingerprint string) (saved, bool) {
	var kept saved
	text, ok := purveyor.Mappings[fingerprint]
	if fingerprint == "" || !ok || json.Unmarshal(text, &kept) != nil {
		return saved{}, false
	}
	mapping, _, err := kept.Fit(table)
	kept.Mapping = mapping
	return kept, err == nil && len(mapping.Questions()) == 0
}

// recognised counts the columns that are known to be something.
func recognised(m duelist.Mapping) int {
	n := 0
	for _, c := range m.Columns {
		if c.Field != "" && c.Field != duelist.FieldIgnore {
			n++
		}
	}
	return n
}

// otherSheets warns of what is not read.
func (u *upload) otherSheets() []sheet.Fault {
	var faults []sheet.Fault
	for _, table := range u.tables {
		if table.Sheet != u.table.Sheet && recognised(duelist.ProposeMapping(table)) > 1 {
			faults = append(faults, sheet.Fault{File: table.File, Sheet: table.Sheet, Problem: "is another sheet of the file and is not read",
				WhatToDo: fmt.Sprintf("save it as a file of its own if it holds a list; sheet %q is the one that is read", u.table.Sheet)})
		}
	}
	return faults
}

const sampleValues, sampleLength = 3, 40

// samples are some values of each column, to recognise it by.
func samples(table sheet.Table, m duelist.Mapping) map[int][]string {
	out := map[int][]string{}
	for i := range table.Rows {
		if table.RowNumber(i) <= m.HeaderRow {
			continue
		}
		for _, c := range table.Rows[i] {
			text := strings.TrimSpace(c.Shown())
			if text == "" || len(out[c.Col]) >= sampleValues || slices.Contains(out[c.Col], text) {
				continue
			}
			if runes := []rune(text); len(runes) > sampleLength {
				text = string(runes[:sampleLength]) + "…"
			}
			out[c.Col] = append(out[c.Col], text)
		}
	}
	return out
}

// rejectedTexts are the cells of rejected rows.
func rejectedTexts(table sheet.Table, result duelist.Result) []string {
	rejected := map[int]bool{}
	for _, row := range result.RejectedRows() {
		rejected[row] = true
	}
	var texts []string
	for i := range table.Rows {
		if !rejected[table.RowNumber(i)] {
			continue
		}
		for _, c := range table.Rows[i] {
			if !c.Blank() {
				texts = append(texts, c.Text)
			}
		}
	}
	return texts
}

// FieldName says what a column holds in the words of a form.
func FieldName(f duelist.Field) string {
	if name, ok := fieldNames[f]; ok {
		return name
	}
	return strings.ReplaceAll(string(f), "-", " ")
}

var fieldNames = map[duelist.Field]string{
	duelist.FieldNumber: "purveyor's number of the assembly", duelist.FieldAccount: "account number", duelist.FieldCustomer: "customer or owner",
	duelist.FieldAddress: "service address", duelist.FieldAddress2: "address, second line", duelist.FieldPlace: "where at the address",
	duelist.FieldType: "assembly type", duelist.FieldPart: "main or bypass", duelist.FieldMaker: "make", duelist.FieldSerial: "serial number",
	duelist.FieldMeter: "meter number", duelist.FieldService: "what the water is for", duelist.FieldDue: "due date", duelist.FieldLastTest: "date of the last test",
	duelist.FieldStanding: "ours, not ours or ask", duelist.FieldProblem: "problem (not read)", duelist.FieldIgnore: "not read",
}
