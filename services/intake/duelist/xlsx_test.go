package duelist

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// day is a spreadsheet date in a format by number: 14 is a full date, 16 is 4-Mar, 17 is Mar-26.
type day struct {
	serial float64
	format int
}

// spreadsheet writes rows to a workbook and reads it as a list would come.
func spreadsheet(t *testing.T, rows [][]any) sheet.Table {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range rows {
		for j, value := range row {
			at, err := excelize.CoordinatesToCellName(j+1, i+1)
			if err != nil {
				t.Fatal(err)
			}
			if d, ok := value.(day); ok {
				style, err := f.NewStyle(&excelize.Style{NumFmt: d.format})
				if err != nil {
					t.Fatal(err)
				}
				if err := f.SetCellStyle("Sheet1", at, at, style); err != nil {
					t.Fatal(err)
				}
				value = d.serial
			}
			if err := f.SetCellValue("Sheet1", at, value); err != nil {
				t.Fatal(err)
			}
		}
	}
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	tables, err := sheet.Read("due.xlsx", out.Bytes(), sheet.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return tables[0]
}

func TestWhatSpreadsheetsDo(t *testing.T) {
	table := spreadsheet(t, [][]any{
		{"Larkwater District, due list"},
		{"Device No", "Address", "Type", "Size", "Serial", "Due"},
		{1001, "12 Oak St", "RP", day{46085, 16}, "0012345", day{46083, 14}}, // 3/4 became 4-Mar; a true date
		{1002, "13 Oak St", "RP", 0.75, 77123, 46083},                        // zeros lost; a date shown as a number
		{1003, "14 Oak St", "DC", "2-1/2", 1.23456789012345e17, day{46082, 17}},
		{1004, "15 Oak St", "DC", 2, day{46085, 16}, "6/31/2026"},
	})
	r, err := Read(table, ProposeMapping(table), Options{AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	nothingLost(t, table, r)
	if len(r.Rows) != 2 || len(r.RejectedRows()) != 2 {
		t.Fatal(outcome(r))
	}
	first, second := r.Rows[0], r.Rows[1]
	if first.Number != "1001" || first.Due != events.NewDate(2026, 3, 2) || first.Main.Size != 0 || first.Main.Serial != "0012345" || first.Main.SerialDoubt != "" {
		t.Errorf("%+v", first)
	}
	if second.Due != events.NewDate(2026, 3, 2) || second.Main.Size != events.InchSize(0, 6) || !strings.Contains(second.Main.SerialDoubt, "leading zeros") || second.Main.SerialKey != "" {
		t.Errorf("%+v", second)
	}
	warnings := problems(r.Warnings)
	for _, want := range []string{`column D "Size": "4-Mar" is a date`, "3/4", "spreadsheet's day number", "leading zeros may be lost"} {
		if !strings.Contains(warnings, want) {
			t.Errorf("no warning of %s in\n%s", want, warnings)
		}
	}
	rejected := problems(r.Rejected)
	for _, want := range []string{"a month and no day", "June 2026 has 30 days"} {
		if !strings.Contains(rejected, want) {
			t.Errorf("no rejection for %s in\n%s", want, rejected)
		}
	}
}

func TestAMonthFirstSpreadsheetOpenedADayFirstList(t *testing.T) {
	table := spreadsheet(t, [][]any{
		{"Device No", "Address", "Type", "Due"},
		{1, "12 Oak St", "RP", day{46083, 14}}, // was 3/2/2026, the third of February
		{2, "13 Oak St", "RP", "25/2/2026"},
	})
	r, err := Read(table, ProposeMapping(table), Options{AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Rows) != 2 || len(r.Warnings) != 1 || !r.Warnings[0].Question || !strings.Contains(r.Warnings[0].Problem, "exchanged day and month") {
		t.Error(outcome(r), problems(r.Warnings))
	}
}

// A number that has lost its zeros would name another assembly, so it names none. One as long as those with
// zeros has lost nothing.
func TestNumbersThatLostTheirZeros(t *testing.T) {
	table := spreadsheet(t, [][]any{
		{"Device No", "Address", "Type", "Due"},
		{"00417", "12 Oak St", "RP", "2026-03-15"},
		{418, "13 Oak St", "RP", "2026-03-15"},
		{11418, "14 Oak St", "RP", "2026-03-15"},
		{419, "", "RP", "2026-03-15"},
		{1111, "", "RP", "2026-03-15"},
	})
	r, err := Read(table, ProposeMapping(table), Options{AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, row := range r.Rows {
		got = append(got, row.Number+" "+row.Address)
	}
	want := []string{"00417 12 Oak St", " 13 Oak St", "11418 14 Oak St", " 14 Oak St", " 14 Oak St"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
	if r := read(t, "Device No,Address,Type,Due\n1111,12 Oak St,RP,2026-03-15\n0000,13 Oak St,RP,2026-03-15\n"); r.Rows[0].Number != "1111" || r.Rows[1].Number != "" {
		t.Errorf("%+v", r.Rows)
	}
}

// Rejected rows of a spreadsheet come back as CSV and are mended there.
func TestRejectedSpreadsheetRowsAreMended(t *testing.T) {
	table := spreadsheet(t, [][]any{
		{"Device No", "Address", "Type", "Size", "Due"},
		{1, "12 Oak St", "Hydrant", 2, day{46083, 14}},
	})
	m := ProposeMapping(table)
	r, err := Read(table, m, Options{AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := SaveRejected(&out, table, r); err != nil {
		t.Fatal(err)
	}
	mended := tableOf(t, strings.Replace(out.String(), "Hydrant,", "RP,", 1))
	again, err := Read(mended, m, Options{AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	if len(again.Rows) != 1 || again.Rows[0].Due != events.NewDate(2026, 3, 2) || again.Rows[0].Main.Size != events.InchSize(2, 0) {
		t.Error(outcome(again), out.String())
	}
}
