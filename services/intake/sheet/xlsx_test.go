package sheet

import (
	"bytes"
	"errors"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

func workbook(t testing.TB, build func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	build(f)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func must[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func set(t testing.TB, f *excelize.File, cell string, value any, numFmt int) {
	t.Helper()
	if err := f.SetCellValue("Sheet1", cell, value); err != nil {
		t.Fatal(err)
	}
	if numFmt > 0 {
		style := must[int](t)(f.NewStyle(&excelize.Style{NumFmt: numFmt}))
		if err := f.SetCellStyle("Sheet1", cell, cell, style); err != nil {
			t.Fatal(err)
		}
	}
}

func TestReadXLSXCells(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		set(t, f, "A1", "Serial", 0)
		set(t, f, "A3", "00123", 0)                                              // text keeps its zeros
		set(t, f, "B3", 123456789012, 0)                                         // a number keeps its digits
		set(t, f, "C3", 46083, 14)                                               // a date
		set(t, f, "D3", 46085, 16)                                               // 4-Mar
		set(t, f, "E3", 0.75, 0)                                                 // a plain number
		set(t, f, "F3", true, 0)                                                 // a truth value
		set(t, f, "G3", time.Date(2026, time.March, 2, 0, 0, 0, 0, time.UTC), 0) // as a program writes it
		custom := `"SN "0`
		style := must[int](t)(f.NewStyle(&excelize.Style{CustomNumFmt: &custom}))
		set(t, f, "H3", 77, 0)
		if err := f.SetCellStyle("Sheet1", "H3", "H3", style); err != nil {
			t.Fatal(err)
		}
	})
	tables, err := Read("due.xlsx", data, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	table := tables[0]
	if len(tables) != 1 || len(table.Rows) != 3 || table.RowNumber(2) != 3 || table.Sheet != "Sheet1" {
		t.Fatalf("%+v", tables)
	}
	for _, c := range []struct {
		col    int
		text   string
		number bool
		date   bool
		shown  string
	}{
		{1, "00123", false, false, "00123"},
		{2, "123456789012", true, false, "123456789012"},
		{3, "2026-03-02", true, true, ""},
		{4, "2026-03-04", true, true, "4-Mar"},
		{5, "0.75", true, false, "0.75"},
		{6, "TRUE", false, false, "TRUE"},
		{7, "2026-03-02", true, true, ""},
		{8, "77", true, false, "SN 77"},
	} {
		got := table.Cell(2, c.col)
		if got.Text != c.text || (got.Number != nil) != c.number || (got.Serial != nil) != c.date || (c.shown != "" && got.Formatted != c.shown) {
			t.Errorf("column %d: %+v, want %+v", c.col, got, c)
		}
	}
}

func TestWorkbooksThatCountFrom1904(t *testing.T) {
	data := workbook(t, func(f *excelize.File) {
		yes := true
		if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}); err != nil {
			t.Fatal(err)
		}
		set(t, f, "A1", 46083-1462, 14)
	})
	tables, err := Read("due.xlsx", data, Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if got := tables[0].Cell(0, 1); got.Text != "2026-03-02" || got.Serial == nil || *got.Serial != 46083 {
		t.Errorf("%+v", got)
	}
}

// The two worked values are those of ECMA-376 Part 1, 18.17.4.1 for the 1900 system (from memory).
func TestSerialDay(t *testing.T) {
	for serial, want := range map[float64]string{61: "1900-03-01", 46083: "2026-03-02", 2958465: "9999-12-31", 45000.75: "2023-03-15"} {
		y, m, d, ok := SerialDay(serial)
		if got := time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Format(time.DateOnly); !ok || got != want {
			t.Errorf("SerialDay(%v) = %s, %v, want %s", serial, got, ok, want)
		}
	}
	for _, serial := range []float64{60, -1, 2958466, 1e300} {
		if _, _, _, ok := SerialDay(serial); ok {
			t.Errorf("SerialDay(%v) is accepted", serial)
		}
	}
}

func TestFilesThatAreNoSpreadsheet(t *testing.T) {
	good := workbook(t, func(f *excelize.File) { set(t, f, "A1", "x", 0) })
	locked := func() []byte {
		f := excelize.NewFile()
		defer f.Close()
		set(t, f, "A1", "x", 0)
		var out bytes.Buffer
		if err := f.Write(&out, excelize.Options{Password: "secret"}); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}()
	empty := workbook(t, func(*excelize.File) {})
	wide := workbook(t, func(f *excelize.File) { set(t, f, "AZ1", "x", 0) })
	far := workbook(t, func(f *excelize.File) { set(t, f, "A900", "x", 0) })
	for _, c := range []struct {
		name, file string
		data       []byte
		limits     Limits
		want       error
	}{
		{"text called xlsx", "a.xlsx", []byte("a,b\n"), Limits{}, ErrNotSpreadsheet},
		{"cut off", "a.xlsx", good[:len(good)/2], Limits{}, ErrNotSpreadsheet},
		{"another zip", "a.zip", []byte("PK\x03\x04nothing"), Limits{}, ErrNotSpreadsheet},
		{"old xls", "a.xls", []byte("\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1 and so on"), Limits{}, ErrNotSpreadsheet},
		{"a PDF", "a.pdf", []byte("%PDF-1.7"), Limits{}, ErrNotSpreadsheet},
		{"password", "a.xlsx", locked, Limits{}, ErrEncrypted},
		{"no bytes", "a.csv", nil, Limits{}, ErrEmpty},
		{"no cells", "a.xlsx", empty, Limits{}, ErrEmpty},
		{"large file", "a.xlsx", good, Limits{MaxBytes: 100}, ErrTooLarge},
		{"large inside", "a.xlsx", good, Limits{MaxUnzippedBytes: 1000}, ErrTooLarge},
		{"wide", "a.xlsx", wide, Limits{MaxCols: 20}, ErrTooLarge},
		{"far down", "a.xlsx", far, Limits{MaxRows: 500}, ErrTooLarge},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(c.file, c.data, c.limits)
			if !errors.Is(err, c.want) {
				t.Errorf("got %v, want %v", err, c.want)
			}
		})
	}
}

func TestFaultNamesThePlace(t *testing.T) {
	f := Fault{File: "due.csv", Row: 7, Col: 28, Column: "Size", Value: "4-Mar", Problem: "is a date", WhatToDo: "write the size"}
	if got, want := f.String(), `due.csv row 7, column AB "Size": "4-Mar" is a date; write the size`; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// FuzzReadXLSX: whatever the bytes, an answer or an error in plain words, never a crash.
func FuzzReadXLSX(f *testing.F) {
	f.Add(workbook(f, func(book *excelize.File) { set(f, book, "B2", 46083, 14) }))
	f.Fuzz(func(t *testing.T, data []byte) {
		if _, err := ReadXLSX("x.xlsx", data, Limits{MaxBytes: 1 << 20, MaxUnzippedBytes: 1 << 22}); err != nil && err.Error() == "" {
			t.Fatal("an error without words")
		}
	})
}
