package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// daysTo1904 is how far workbooks that count from 1904-01-01 lag behind those that count from 1900.
// Source: ECMA-376 Part 1, 18.17.4.1.
const daysTo1904 = 1462

// ReadXLSX reads every sheet that has something in it. Numbers keep all their digits, dates come as
// serials, text keeps its leading zeros, formulas give the value that was saved with them.
func ReadXLSX(name string, data []byte, limits Limits) (tables []Table, err error) {
	limits = limits.orDefaults()
	if int64(len(data)) > limits.MaxBytes {
		return nil, tooLarge(name, int64(len(data)), limits.MaxBytes)
	}
	// The file comes from outside and the parser is not ours: a panic in it is a bad file, not a crash.
	defer func() {
		if r := recover(); r != nil {
			tables, err = nil, fmt.Errorf("%s is damaged (%v): save it again in the spreadsheet program: %w", name, r, ErrNotSpreadsheet)
		}
	}()
	book, err := open(name, data, limits)
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, book.Close()) }()
	reader := xlsxReader{book: book, name: name, limits: limits, dates: map[int]bool{}}
	if props, err := book.GetWorkbookProps(); err == nil && props.Date1904 != nil && *props.Date1904 {
		reader.epochDays = daysTo1904
	}
	for _, sheetName := range book.GetSheetList() {
		table, err := reader.sheet(sheetName)
		if err != nil {
			return nil, err
		}
		if len(table.Rows) > 0 {
			tables = append(tables, table)
		}
	}
	if len(tables) == 0 {
		return nil, fmt.Errorf("%s: %w", name, ErrEmpty)
	}
	return tables, nil
}

func open(name string, data []byte, limits Limits) (*excelize.File, error) {
	if looksOldOffice(data) {
		if bytes.Contains(data, utf16Bytes("EncryptedPackage")) {
			return nil, fmt.Errorf("%s: %w: open it, remove the password, save and send again", name, ErrEncrypted)
		}
		return nil, fmt.Errorf("%s is an old .xls file: save it as .xlsx or CSV: %w", name, ErrNotSpreadsheet)
	}
	book, err := excelize.OpenReader(bytes.NewReader(data), excelize.Options{
		RawCellValue:      true,
		UnzipSizeLimit:    limits.MaxUnzippedBytes,
		UnzipXMLSizeLimit: limits.MaxUnzippedBytes,
	})
	switch {
	case err == nil:
		return book, nil
	case strings.Contains(err.Error(), "unzip size exceeds"):
		return nil, fmt.Errorf("%s unpacks to more than %d MB: %w", name, limits.MaxUnzippedBytes>>20, ErrTooLarge)
	case errors.Is(err, excelize.ErrWorkbookPassword):
		return nil, fmt.Errorf("%s: %w: open it, remove the password, save and send again", name, ErrEncrypted)
	}
	return nil, fmt.Errorf("%s cannot be opened as .xlsx (%w): save it as .xlsx or CSV: %w", name, err, ErrNotSpreadsheet)
}

func utf16Bytes(text string) []byte {
	var b []byte
	for _, unit := range utf16.Encode([]rune(text)) {
		b = append(b, byte(unit), byte(unit>>8))
	}
	return b
}

type xlsxReader struct {
	book      *excelize.File
	name      string
	limits    Limits
	epochDays float64
	dates     map[int]bool // by style: does it show dates
}

func (x *xlsxReader) sheet(sheetName string) (Table, error) {
	table := Table{File: x.name, Sheet: sheetName, Damaged: map[int]string{}}
	rows, err := x.book.Rows(sheetName)
	if err != nil {
		return table, fileError(x.name+" sheet "+strconv.Quote(sheetName), err)
	}
	for number := 1; rows.Next(); number++ {
		texts, err := rows.Columns()
		if err != nil {
			return table, errors.Join(fileError(x.name+" sheet "+strconv.Quote(sheetName), err), rows.Close())
		}
		if number > x.limits.MaxRows || len(texts) > x.limits.MaxCols {
			return table, errors.Join(tooMany(x.name, x.limits), rows.Close())
		}
		row, err := x.row(sheetName, number, texts)
		if err != nil {
			return table, errors.Join(err, rows.Close())
		}
		table.Rows = append(table.Rows, row)
	}
	table.trimBlankEnd()
	return table, rows.Close()
}

func (x *xlsxReader) row(sheetName string, number int, texts []string) ([]Cell, error) {
	row := make([]Cell, max(1, len(texts)))
	row[0] = Cell{Row: number, Col: 1}
	for i, text := range texts {
		cell, err := x.cell(sheetName, number, i+1, text)
		if err != nil {
			return nil, fileError(fmt.Sprintf("%s row %d", x.name, number), err)
		}
		row[i] = cell
	}
	return row, nil
}

func (x *xlsxReader) cell(sheetName string, row, col int, text string) (Cell, error) {
	cell := Cell{Text: text, Formatted: text, Row: row, Col: col}
	number, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return cell, nil
	}
	at, err := excelize.CoordinatesToCellName(col, row)
	if err != nil {
		return cell, err
	}
	kind, err := x.book.GetCellType(sheetName, at)
	if err != nil {
		return cell, err
	}
	if kind == excelize.CellTypeBool {
		cell.Text = map[bool]string{true: "TRUE", false: "FALSE"}[number != 0]
		cell.Formatted = cell.Text
	}
	if kind != excelize.CellTypeUnset && kind != excelize.CellTypeNumber {
		return cell, nil
	}
	cell.Number = &number
	cell.Text = allDigits(text, number)
	if cell.Formatted, err = x.book.GetCellValue(sheetName, at, excelize.Options{RawCellValue: false}); err != nil {
		return cell, err
	}
	style, err := x.book.GetCellStyle(sheetName, at)
	if err != nil {
		return cell, err
	}
	if x.showsDate(style) {
		serial := number + x.epochDays
		if year, month, day, ok := SerialDay(serial); ok {
			cell.Serial = &serial
			cell.Text = time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
		}
	}
	return cell, nil
}

// allDigits writes whole numbers without exponent as long as a float holds them exactly.
func allDigits(text string, number float64) string {
	if number == float64(int64(number)) && number > -1e15 && number < 1e15 {
		return strconv.FormatInt(int64(number), 10)
	}
	return text
}

// showsDate says whether a style shows numbers as days. Built-in formats by number from ECMA-376 Part 1,
// 18.8.30 (14 to 17 and 22 hold a day; 18 to 21 and 45 to 47 are times; 27 to 36 and 50 to 58 are the
// East Asian dates).
func (x *xlsxReader) showsDate(style int) bool {
	if known, ok := x.dates[style]; ok {
		return known
	}
	shows := false
	if format, err := x.book.GetStyle(style); err == nil {
		n := format.NumFmt
		shows = n >= 14 && n <= 17 || n == 22 || n >= 27 && n <= 36 || n >= 50 && n <= 58
		if format.CustomNumFmt != nil {
			shows = dateFormat(*format.CustomNumFmt)
		}
	}
	x.dates[style] = shows
	return shows
}

// dateFormat says whether a custom number format shows a day or a year; what is quoted, escaped or in
// brackets does not count.
func dateFormat(format string) bool {
	quoted, bracket, escaped := false, false, false
	for _, r := range strings.ToLower(format) {
		switch {
		case escaped:
			escaped = false
		case r == '\\' || r == '_' || r == '*':
			escaped = true
		case r == '"':
			quoted = !quoted
		case r == '[' || r == ']':
			bracket = r == '['
		case !quoted && !bracket && (r == 'd' || r == 'y'):
			return true
		}
	}
	return false
}
