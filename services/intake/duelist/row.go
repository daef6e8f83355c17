package duelist

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// Row is one assembly of a due list.
type Row struct {
	File  string `json:"file"`
	Sheet string `json:"sheet,omitempty"`
	// Lines are the physical rows it was read from: one, or two for a detector assembly whose main and
	// bypass stand on rows of their own.
	Lines []int `json:"lines"`
	// RowKey is a hash of what the mapped fields say. It does not depend on file, row number or order of
	// columns, so the same row in next month's list has the same key. Rows that say the same are told
	// apart by their order.
	RowKey string `json:"row_key"`

	Number   string `json:"number,omitempty"` // the purveyor's own number for the assembly
	Account  string `json:"account,omitempty"`
	Customer string `json:"customer,omitempty"`
	Address  string `json:"address,omitempty"`
	City     string `json:"city,omitempty"`
	PostCode string `json:"post_code,omitempty"`
	Contact  string `json:"contact,omitempty"`
	Phone    string `json:"phone,omitempty"`
	Place    string `json:"place,omitempty"` // where at the address, in the list's words
	Meter    string `json:"meter,omitempty"`
	Notes    string `json:"notes,omitempty"`
	Status   string `json:"status,omitempty"` // in the list's words
	// AddressFrom is the physical row whose address was carried down to this one; 0: its own.
	AddressFrom int `json:"address_from,omitempty"`
	// NumberRepeated: another row has the same number, so it does not tell this assembly from that one.
	NumberRepeated bool `json:"number_repeated,omitempty"`

	Type    events.AssemblyType `json:"type,omitempty"` // empty: the list does not say
	Service events.Service      `json:"service,omitempty"`
	Hazard  events.Hazard       `json:"hazard,omitempty"`
	Main    Part                `json:"main"`
	Bypass  *Part               `json:"bypass,omitempty"` // of a detector assembly

	Due      events.Date     `json:"due,omitzero"`      // zero: the list does not say; never "no deadline"
	Overdue  bool            `json:"overdue,omitempty"` // the list says overdue; Due is then the as-of date unless it gives one
	LastTest events.Date     `json:"last_test,omitzero"`
	Standing events.Standing `json:"standing"`

	texts map[Field]string
}

// Part is the main or the bypass of an assembly.
type Part struct {
	Number string      `json:"number,omitempty"` // of a bypass that has a number of its own
	Maker  string      `json:"maker,omitempty"`
	Model  string      `json:"model,omitempty"`
	Size   events.Size `json:"size,omitzero"` // zero: not known
	Serial string      `json:"serial,omitempty"`
	// SerialDoubt says why the serial is not to be trusted; SerialKey is then empty.
	SerialDoubt string `json:"serial_doubt,omitempty"`
	// SerialKey compares serials whatever their spacing and look-alike characters. Never an identity by
	// itself.
	SerialKey string `json:"serial_key,omitempty"`
}

// Line is the first physical row of the row.
func (r Row) Line() int { return r.Lines[0] }

// fault starts a fault at a column of the row.
func (r Row) fault(m Mapping, col int, value, problem, whatToDo string) sheet.Fault {
	return sheet.Fault{File: r.File, Sheet: r.Sheet, Row: r.Line(), Col: col, Column: m.HeaderOf(col),
		Value: value, Problem: problem, WhatToDo: whatToDo}
}

// keyOf hashes fields in a fixed order, letters and blanks evened out.
func keyOf(texts ...map[Field]string) string {
	h := sha256.New()
	for _, t := range texts {
		fields := make([]Field, 0, len(t))
		for field, text := range t {
			if text != "" && field != FieldProblem && field != FieldIgnore {
				fields = append(fields, field)
			}
		}
		slices.Sort(fields)
		for _, field := range fields {
			fmt.Fprintf(h, "%s\x1f%s\x1e", field, plainKey(t[field]))
		}
		fmt.Fprint(h, "\x1d")
	}
	return hex.EncodeToString(h.Sum(nil)[:12])
}

// plainKey evens out letters and blanks, for comparing texts that people typed.
func plainKey(text string) string { return strings.ToUpper(strings.Join(strings.Fields(text), " ")) }
