package sheet

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
)

// Read recognises a file by its content, not by its name, and reads it: one table for a CSV file, one
// for each sheet with something in it for a spreadsheet. Name is used in messages and in Table.File.
func Read(name string, data []byte, limits Limits) ([]Table, error) {
	name = filepath.Base(name)
	if len(bytes.TrimSpace(data)) == 0 {
		return nil, fmt.Errorf("%s: %w", name, ErrEmpty)
	}
	if looksZipped(data) || looksOldOffice(data) || strings.EqualFold(filepath.Ext(name), ".xlsx") {
		return ReadXLSX(name, data, limits)
	}
	if bytes.HasPrefix(data, []byte("%PDF")) {
		return nil, fmt.Errorf("%s is a PDF: ask the purveyor for the list as CSV or XLSX: %w", name, ErrNotSpreadsheet)
	}
	table, err := ReadCSV(name, data, limits)
	if err != nil {
		return nil, err
	}
	if len(table.Rows) == 0 {
		return nil, fmt.Errorf("%s: %w", name, ErrEmpty)
	}
	return []Table{table}, nil
}

func looksZipped(data []byte) bool { return bytes.HasPrefix(data, []byte("PK\x03\x04")) }

// looksOldOffice recognises the compound file in which both the old .xls and a password-protected
// .xlsx are kept. Source: [MS-CFB] 2.2, header signature.
func looksOldOffice(data []byte) bool {
	return bytes.HasPrefix(data, []byte{0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1})
}
