package duelist

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"valveround/events"
	"valveround/services/intake/sheet"
)

var asOf = events.NewDate(2026, 3, 1)

func tableOf(t testing.TB, csv string) sheet.Table {
	t.Helper()
	table, err := sheet.ReadCSV("due.csv", []byte(csv), sheet.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	return table
}

func readWith(t testing.TB, csv string, options Options) (sheet.Table, Result) {
	t.Helper()
	table := tableOf(t, csv)
	if options.AsOf.IsZero() {
		options.AsOf = asOf
	}
	result, err := Read(table, ProposeMapping(table), options)
	if err != nil {
		t.Fatal(err)
	}
	nothingLost(t, table, result)
	return table, result
}

func read(t testing.TB, csv string) Result {
	t.Helper()
	_, result := readWith(t, csv, Options{})
	return result
}

// nothingLost: every physical row is in exactly one of Rows, Rejected and Skipped.
func nothingLost(t testing.TB, table sheet.Table, r Result) {
	t.Helper()
	seen := map[int]string{}
	put := func(row int, where string) {
		if was := seen[row]; was != "" {
			t.Fatalf("row %d is %s and %s", row, was, where)
		}
		seen[row] = where
	}
	for _, row := range r.Rows {
		for _, line := range row.Lines {
			put(line, "read")
		}
	}
	for _, row := range r.RejectedRows() {
		put(row, "rejected")
	}
	for _, s := range r.Skipped {
		put(s.Row, "skipped")
	}
	for i := range table.Rows {
		if seen[table.RowNumber(i)] == "" {
			t.Fatalf("row %d is lost", table.RowNumber(i))
		}
		delete(seen, table.RowNumber(i))
	}
	if len(seen) > 0 {
		t.Fatalf("rows that are not in the file: %v", seen)
	}
}

// outcome is a result in a few words, for tables of cases.
func outcome(r Result) string {
	var b strings.Builder
	for _, row := range r.Rows {
		fmt.Fprintf(&b, "read %v %s\n", row.Lines, row.Number)
	}
	for _, f := range r.Rejected {
		fmt.Fprintf(&b, "rejected %d %s\n", f.Row, f.Problem)
	}
	return b.String()
}

func problems(faults []sheet.Fault) string {
	var lines []string
	for _, f := range faults {
		lines = append(lines, f.String())
	}
	return strings.Join(lines, "\n")
}

func TestTitlesTotalsBlankRowsAndRepeatedHeaders(t *testing.T) {
	_, r := readWith(t, `Larkwater District,,,
"Assemblies due, spring 2026",,,
,,,
Device #,Service Address,Type,Due Date
1001,12 Oak St,RPZ,3/15/2026
,,,
Larkwater District,,,
Device #,Service Address,Type,Due Date
1002,14 Oak St,DCVA,3/16/2026
1003,Total Wine Row 9,DC,3/17/2026
TOTAL,,,3
Printed 3/1/2026,,,
`, Options{})
	if len(r.Rows) != 3 || len(r.Rejected) != 0 {
		t.Fatalf("%s", outcome(r))
	}
	want := []string{"title above the header", "title above the header", "blank", "header", "blank", "title repeated", "header repeated", "total or end of the list", "total or end of the list"}
	var got []string
	for _, s := range r.Skipped {
		got = append(got, s.Why)
	}
	if !slices.Equal(got, want) {
		t.Errorf("skipped %q, want %q", got, want)
	}
	if row := r.Rows[0]; row.Number != "1001" || row.Address != "12 Oak St" || row.Type != events.RP || row.Due != events.NewDate(2026, 3, 15) || row.Line() != 5 {
		t.Errorf("%+v", row)
	}
}

func TestAddressesAreCarriedDown(t *testing.T) {
	r := read(t, `Device No,Customer,Service Address,City,Type,Due
1,Harrow Mill,12 Oak St,Lark,RP,3/15/2026
2,,,,DC,3/15/2026
3,Other Owner,,,DC,3/15/2026
,,,,,
4,,,,DC,3/15/2026
,,30 Elm St,,,
5,,,,DC,3/15/2026
6,,ditto,,PVB,3/15/2026
`)
	if len(r.Rows) != 6 {
		t.Fatal(outcome(r))
	}
	for i, want := range []struct {
		address string
		from    int
	}{{"12 Oak St", 0}, {"12 Oak St", 2}, {"", 0}, {"", 0}, {"30 Elm St", 7}, {"30 Elm St", 7}} {
		if got := r.Rows[i]; got.Address != want.address || got.AddressFrom != want.from {
			t.Errorf("row %d: %q from %d, want %+v", got.Line(), got.Address, got.AddressFrom, want)
		}
	}
	if r.Rows[1].Customer != "Harrow Mill" || r.Rows[1].City != "Lark" {
		t.Errorf("customer and city are not carried: %+v", r.Rows[1])
	}
	if got := strings.Count(problems(r.Warnings), "has no address"); got != 2 {
		t.Errorf("%d warnings of no address: %s", got, problems(r.Warnings))
	}
}

func TestNothingSaysWhichAssembly(t *testing.T) {
	r := read(t, "Device No,Service Address,Serial,Type,Due\n,,A123,RP,3/15/2026\n12,,,,\nditto,ditto,B1,RP,3/15/2026\n")
	if len(r.Rows) != 0 || len(r.RejectedRows()) != 3 {
		t.Error(outcome(r))
	}
}

func TestDueDates(t *testing.T) {
	day := func(y int, m, d int) events.Date { return events.NewDate(y, 1, 1).AddMonths(m - 1).AddDays(d - 1) }
	for _, c := range []struct {
		name, cell string
		order      DateOrder
		want       events.Date
		reject     string // part of the problem
		warn       string
	}{
		{"month first", "3/2/2026", MonthFirst, day(2026, 3, 2), "", ""},
		{"day first", "3/2/2026", DayFirst, day(2026, 2, 3), "", ""},
		{"nobody says", "3/2/2026", "", events.Date{}, "could be 2026-03-02 or 2026-02-03", ""},
		{"the same both ways", "3/3/2026", "", day(2026, 3, 3), "", ""},
		{"only one way", "3/25/2026", "", day(2026, 3, 25), "", ""},
		{"only the other way", "25.3.2026", "", day(2026, 3, 25), "", ""},
		{"against what was said", "25/3/2026", MonthFirst, events.Date{}, "cannot be read month first", ""},
		{"year first", "2026-03-02", "", day(2026, 3, 2), "", ""},
		{"with a time", "2026-03-02T00:00:00", "", day(2026, 3, 2), "", ""},
		{"with a clock", "3/2/2026 12:00 AM", MonthFirst, day(2026, 3, 2), "", ""},
		{"eight digits", "20260302", "", day(2026, 3, 2), "", ""},
		{"two-digit year", "3/2/26", MonthFirst, day(2026, 3, 2), "", ""},
		{"named month", "2 Mar 26", "", day(2026, 3, 2), "", ""},
		{"hyphens", "2-Mar-26", "", day(2026, 3, 2), "", ""},
		{"written out", `"March 2, 2026"`, "", day(2026, 3, 2), "", ""},
		{"ordinal and weekday", `"Mon, March 2nd, 2026"`, "", day(2026, 3, 2), "", ""},
		{"Sept", "2 Sept 2026", "", day(2026, 9, 2), "", ""},
		{"day number", "46083", "", day(2026, 3, 2), "", "day number"},
		{"overdue", "OVERDUE", "", asOf, "", "taken as due on the date of the list, 2026-03-01"},
		{"past due", "past due", "", asOf, "", "taken as due"},
		{"blank", "", "", events.Date{}, "", "has no due date"},
		{"no such day", "6/31/2026", "", events.Date{}, "does not exist: June 2026 has 30 days", ""},
		{"no leap year", "2/29/2027", "", events.Date{}, "February 2027 has 28 days", ""},
		{"month only", "March 2026", "", events.Date{}, "a month and no day", ""},
		{"no year", "2-Mar", "", events.Date{}, "has no year", ""},
		{"words", "when convenient", "", events.Date{}, "is not a date", ""},
		{"far away", "2062-03-02", "", day(2062, 3, 2), "", "years away"},
		{"closed", "2026-03-01", "", day(2026, 3, 1), "", "closed (Sunday)"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, r := readWith(t, "Device No,Address,Type,Due\n1,12 Oak St,RP,"+c.cell+"\n", Options{DateOrder: c.order, Closed: events.Closures{Days: []events.Date{events.NewDate(2026, 7, 3)}}})
			if c.reject != "" {
				if len(r.Rejected) != 1 || !strings.Contains(r.Rejected[0].Problem, c.reject) || r.Rejected[0].WhatToDo == "" || r.Rejected[0].Column != "Due" {
					t.Fatalf("rejected %s, want %q", problems(r.Rejected), c.reject)
				}
				return
			}
			if len(r.Rows) != 1 || r.Rows[0].Due != c.want {
				t.Fatalf("%s %+v, want %s", problems(r.Rejected), r.Rows, c.want)
			}
			if c.warn == "" && len(r.Warnings) > 0 && !strings.Contains(problems(r.Warnings), "closed") || !strings.Contains(problems(r.Warnings), c.warn) {
				t.Errorf("warnings %q, want %q", problems(r.Warnings), c.warn)
			}
		})
	}
}

func TestTheColumnProvesItsOrder(t *testing.T) {
	const head = "Device No,Address,Type,Due,Last Test\n"
	for _, c := range []struct {
		name, rows string
		order      DateOrder
		rejected   int
		question   bool
	}{
		{"day first", "1,12 Oak St,RP,3/2/2026,\n2,13 Oak St,RP,25/2/2026,\n", DayFirst, 0, false},
		{"month first", "1,12 Oak St,RP,3/2/2026,\n2,13 Oak St,RP,2/25/2026,\n", MonthFirst, 0, false},
		{"by the other column", "1,12 Oak St,RP,3/2/2026,25/2/2025\n", DayFirst, 0, false},
		{"no proof", "1,12 Oak St,RP,3/2/2026,\n2,13 Oak St,RP,4/2/2026,\n3,14 Oak St,RP,2026-05-06,\n", "", 2, true},
		{"both", "1,12 Oak St,RP,3/2/2026,\n2,13 Oak St,RP,25/2/2026,\n3,14 Oak St,RP,2/25/2026,\n", "", 1, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := read(t, head+c.rows)
			if r.DateOrder != c.order || len(r.Rejected) != c.rejected || (len(r.Questions) > 0) != c.question {
				t.Errorf("order %q, rejected %s, questions %v", r.DateOrder, problems(r.Rejected), r.Questions)
			}
		})
	}
}

func TestSizes(t *testing.T) {
	for cell, want := range map[string]events.Size{
		`"2-1/2"""`: events.InchSize(2, 4), "2.5": events.InchSize(2, 4), "2 1/2 in": events.InchSize(2, 4), "DN65": events.InchSize(2, 4), "2½": events.InchSize(2, 4),
		"3/4": events.InchSize(0, 6), "6": events.InchSize(6, 0), "": 0, "N/A": 0,
		"4-Mar": 0, "Mar-04": 0, "3/4/2026": 0, "2026-03-04": 0, "46085": 0, "big": 0, "212": 0,
	} {
		t.Run(cell, func(t *testing.T) {
			r := read(t, "Device No,Address,Type,Size,Due\n1,12 Oak St,RP,"+cell+",2026-03-15\n")
			if len(r.Rows) != 1 || r.Rows[0].Main.Size != want {
				t.Fatalf("%s %+v, want %v", problems(r.Rejected), r.Rows, want)
			}
			asks := len(r.Warnings) == 1 && r.Warnings[0].Question && r.Warnings[0].Column == "Size" && r.Warnings[0].WhatToDo != ""
			if damaged := want == 0 && cell != "" && cell != "N/A"; asks != damaged {
				t.Errorf("warnings %q", problems(r.Warnings))
			}
		})
	}
}

func TestTypes(t *testing.T) {
	for cell, want := range map[string]events.AssemblyType{
		"RPZ": events.RP, "RP": events.RP, "RPBA": events.RP, "DCVA": events.DC, "Double Check Detector": events.DCDA,
		"Reduced Pressure Principle Assembly": events.RP, "SRVB": events.SVB,
	} {
		if r := read(t, "Device No,Address,Type,Due\n1,12 Oak St,"+cell+",2026-03-15\n"); len(r.Rows) != 1 || r.Rows[0].Type != want {
			t.Errorf("%s: %+v %s, want %s", cell, r.Rows, problems(r.Rejected), want)
		}
	}
	for cell, want := range map[string]string{"Vacuum Breaker": "could be PVB, SVB or AVB", "Hydrant": "is not an assembly type"} {
		r := read(t, "Device No,Address,Type,Due\n1,12 Oak St,"+cell+",2026-03-15\n")
		if len(r.Rejected) != 1 || r.Rejected[0].Problem != want || r.Rejected[0].Value != cell || !strings.Contains(r.Rejected[0].WhatToDo, "DCDA-II") {
			t.Errorf("%s: %s", cell, problems(r.Rejected))
		}
	}
	if r := read(t, "Device No,Address,Type,Due\n1,12 Oak St,,2026-03-15\n"); len(r.Rows) != 1 || !strings.Contains(problems(r.Warnings), "says no type") {
		t.Errorf("blank type: %s %s", outcome(r), problems(r.Warnings))
	}
}

// The words are those of the codes named at readHazard.
func TestHazards(t *testing.T) {
	for text, want := range map[string]events.Hazard{
		"High": events.Health, "LOW HAZARD": events.NonHealth, "Non-Health": events.NonHealth, "health hazard": events.Health, "Severe": events.Health,
		"moderate": events.NonHealth, "Pollutant": events.NonHealth, "contaminant": events.Health, "non-health hazard": events.NonHealth, "Imminent": events.Imminent,
	} {
		if got, known := readHazard(text); got != want || !known {
			t.Errorf("%s: %s, %v, want %s", text, got, known, want)
		}
	}
	if got, known := readHazard("medium"); known || got != "" {
		t.Errorf("medium: %s", got)
	}
}

func TestServices(t *testing.T) {
	for text, want := range map[string]events.Service{"Fire Line": events.Fire, "IRRIGATION": events.Irrigation, "Domestic": events.Domestic, "boiler makeup": events.Process, "FIRE/DOMESTIC": "", "sprinkler": ""} {
		if got, known := readService(text); got != want || known != (want != "") {
			t.Errorf("%s: %q, %v, want %q", text, got, known, want)
		}
	}
}

func TestSerials(t *testing.T) {
	for _, c := range []struct{ cell, doubt string }{
		{"A12345", ""}, {"12345", ""}, {"N/A", "filler"}, {"SEE NOTES", "filler"}, {"unknown", "filler"}, {"-", "filler"}, {"0000", "filler"}, {strings.Repeat("X", 4), "filler"},
		{"99999", "filler"}, {"1.23E+11", "exponent"}, {"4-Mar", "date"}, {"12345.0", "decimal"},
	} {
		r := read(t, "Device No,Address,Type,Serial No,Due\n1,12 Oak St,RP,"+c.cell+",2026-03-15\n")
		if len(r.Rows) != 1 {
			t.Fatalf("%s: %s", c.cell, problems(r.Rejected))
		}
		main := r.Rows[0].Main
		if (main.SerialDoubt == "") != (c.doubt == "") || !strings.Contains(main.SerialDoubt, c.doubt) || main.Serial != c.cell {
			t.Errorf("%s: doubt %q, want %q", c.cell, main.SerialDoubt, c.doubt)
		}
		if (main.SerialKey == "") != (c.doubt != "") {
			t.Errorf("%s: key %q with doubt %q", c.cell, main.SerialKey, main.SerialDoubt)
		}
		if c.doubt != "" && len(r.Warnings) != 1 {
			t.Errorf("%s: warnings %s", c.cell, problems(r.Warnings))
		}
	}
	r := read(t, "Device No,Address,Type,Serial No,Due\n1,12 Oak St,RP,0012345,2026-03-15\n2,12 Oak St,RP,0099881,2026-03-15\n3,12 Oak St,RP,77123,2026-03-15\n")
	if !strings.Contains(r.Rows[2].Main.SerialDoubt, "leading zeros") || r.Rows[0].Main.SerialDoubt != "" {
		t.Errorf("%+v", r.Rows)
	}
}

func TestLookAlikes(t *testing.T) {
	for _, pair := range [][2]string{{"AO-1l2", "A0112"}, {"b i7", "BL7"}} {
		if a, b := LookAlikeKey(pair[0]), LookAlikeKey(pair[1]); a != b {
			t.Errorf("%s: %s, %s: %s", pair[0], a, pair[1], b)
		}
	}
	r := read(t, "Device No,Address,Type,Serial No,Due\n1,12 Oak St,RP,AO12,2026-03-15\n2,13 Oak St,RP,A012,2026-03-15\n3,14 Oak St,RP,B7,2026-03-15\n4,15 Oak St,RP,B7,2026-03-15\n")
	if got := problems(r.Warnings); len(r.Rows) != 4 || len(r.Warnings) != 4 || !strings.Contains(got, "looks like A012 on row 3") || !strings.Contains(got, "also the serial of row 5") {
		t.Error(got)
	}
}

func TestRepeats(t *testing.T) {
	r := read(t, `Device No,Address,Type,Serial,Due
1,12 Oak St,RP,A1,2026-03-15
1,12  OAK st,RP,a1,2026-03-15
2,13 Oak St,DC,B1,2026-03-15
2,13 Oak St,DC,B2,2026-03-15
,14 Oak St,DC,,2026-03-15
,14 Oak St,DC,N/A,2026-03-15
,15 Oak St,DC,,2026-03-15
,15 Oak St,DC,,2026-03-15
`)
	if len(r.Rows) != 7 || len(r.Skipped) != 2 || r.Skipped[1].Row != 3 {
		t.Fatalf("%s%v", outcome(r), r.Skipped)
	}
	if !r.Rows[1].NumberRepeated || !r.Rows[2].NumberRepeated || r.Rows[0].NumberRepeated {
		t.Errorf("repeated numbers: %+v", r.Rows)
	}
	keys := map[string]bool{}
	for _, row := range r.Rows {
		if keys[row.RowKey] {
			t.Errorf("row key %s twice", row.RowKey)
		}
		keys[row.RowKey] = true
	}
}

func TestStanding(t *testing.T) {
	for _, c := range []struct {
		header, cell string
		names        []string
		want         events.Standing
		warn         bool
	}{
		{"Ours", "yes", nil, events.Ours, false},
		{"Ours", "No", nil, events.NotOurs, false},
		{"Ours", "", nil, events.Ask, false},
		{"Testing Company", "Larkwater Testing", nil, events.Ask, true},
		{"Testing Company", "LARKWATER  testing", []string{"Larkwater Testing"}, events.Ours, false},
		{"Testing Company", "Someone Else", []string{"Larkwater Testing"}, events.NotOurs, false},
		{"Status", "not ours", nil, events.NotOurs, false},
		{"Status", "Active", nil, events.Ask, false},
		{"Status", "Removed", nil, events.Ask, true},
	} {
		_, r := readWith(t, "Device No,Address,Type,Due,"+c.header+"\n1,12 Oak St,RP,2026-03-15,"+c.cell+"\n", Options{OurNames: c.names})
		if len(r.Rows) != 1 || r.Rows[0].Standing != c.want || (len(r.Warnings) > 0) != c.warn {
			t.Errorf("%s %q: %s %s, want %s", c.header, c.cell, r.Rows[0].Standing, problems(r.Warnings), c.want)
		}
	}
	_, r := readWith(t, "Device No,Address,Type,Due,Status\n1,12 Oak St,RP,,Overdue\n", Options{Standing: events.Ours})
	if row := r.Rows[0]; row.Due != asOf || !row.Overdue || row.Standing != events.Ours {
		t.Errorf("%+v", row)
	}
}

func TestDetectors(t *testing.T) {
	const head = "Device No,Address,Type,Size,Serial,Location,Due\n"
	for _, c := range []struct{ name, rows, want, warn string }{
		{"same number, type says bypass", "1,12 Oak St,DCDA,6,M1,vault,2026-03-15\n1,12 Oak St,DCDA bypass,3/4,B1,vault,2026-03-15\n", "read [2 3] 1\n", ""},
		{"own numbers, alone at the address", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n2,12 Oak St,Bypass,3/4,B1,,2026-03-15\n", "read [2 3] 1\n", ""},
		{"bypass first, address carried", "1,12 Oak St,RPDA bypass,3/4,B1,,2026-03-15\n2,,RPDA,6,M1,,2026-03-15\n", "read [3 2] 2\n", ""},
		{"the place says bypass", "1,12 Oak St,DCDA,6,M1,vault,2026-03-15\n2,12 Oak St,DC,3/4,B1,bypass,2026-03-15\n", "read [2 3] 1\n", "read as the bypass of row 2"},
		{"same number, much smaller", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n1,12 Oak St,DCDA,3/4,B1,,2026-03-15\n", "read [2 3] 1\n", "read as the bypass of row 2"},
		{"in turn", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n2,12 Oak St,DC bypass,3/4,B1,,2026-03-15\n3,12 Oak St,DCDA,8,M2,,2026-03-15\n4,12 Oak St,DC bypass,3/4,B2,,2026-03-15\n", "read [2 3] 1\nread [4 5] 3\n", ""},
		{"not in turn", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n3,12 Oak St,DCDA,8,M2,,2026-03-15\n2,12 Oak St,DC bypass,3/4,B1,,2026-03-15\n4,12 Oak St,DC bypass,3/4,B2,,2026-03-15\n",
			"rejected 2 rows 2, 3, 4, 5 at\nrejected 3 rows 2, 3, 4, 5 at\nrejected 4 rows 2, 3, 4, 5 at\nrejected 5 rows 2, 3, 4, 5 at\n", ""},
		{"two of a kind, another number", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n2,12 Oak St,DCDA,3/4,B1,,2026-03-15\n", "rejected 2 rows 2, 3 at\nrejected 3 rows 2, 3 at\n", ""},
		{"no detector there", "1,12 Oak St,DC,6,M1,,2026-03-15\n2,12 Oak St,DC bypass,3/4,B1,,2026-03-15\n", "rejected 2 may be the main\nrejected 3 is a bypass, and\n", ""},
		{"nothing there", "2,12 Oak St,DC bypass,3/4,B1,,2026-03-15\n", "rejected 2 is a bypass, and\n", ""},
		{"a bypass round a meter is no part", "1,12 Oak St,DC,2,M1,meter bypass,2026-03-15\n2,12 Oak St,RP,2,M2,,2026-03-15\n", "read [2] 1\nread [3] 2\n", ""},
		{"small and alone", "1,12 Oak St,DCDA,3/4,M1,,2026-03-15\n", "read [2] 1\n", "is small for a DCDA"},
		{"bypass with a bad date", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n1,12 Oak St,DCDA bypass,3/4,B1,,6/31/2026\n", "rejected 2 belongs to row 3\nrejected 3 does not exist\n", ""},
		{"bypass without a date", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n1,12 Oak St,DCDA bypass,3/4,B1,,\n", "read [2 3] 1\n", ""},
		{"different dates", "1,12 Oak St,DCDA,6,M1,,2026-03-15\n1,12 Oak St,DCDA bypass,3/4,B1,,2026-03-10\n", "read [2 3] 1\n", "the earlier one counts"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := read(t, head+c.rows)
			var got strings.Builder
			for line := range strings.Lines(outcome(r)) { // compare rejected rows by their first words
				for want := range strings.Lines(c.want) {
					if strings.HasPrefix(line, strings.TrimSuffix(want, "\n")) {
						line = want
						break
					}
				}
				got.WriteString(line)
			}
			if got.String() != c.want {
				t.Errorf("got\n%swant\n%s", got.String(), c.want)
			}
			if (c.warn == "") != (len(r.Warnings) == 0 || len(r.Rows) == 0) || len(r.Rows) > 0 && !strings.Contains(problems(r.Warnings), c.warn) {
				t.Errorf("warnings %s, want %q", problems(r.Warnings), c.warn)
			}
			for _, row := range r.Rows {
				if len(row.Lines) == 2 && (row.Bypass == nil || row.Bypass.Serial[0] != 'B' || row.Main.Serial[0] != 'M' || events.NewDate(2026, 3, 15).Before(row.Due)) {
					t.Errorf("%+v", row)
				}
			}
		})
	}
}

func TestDetectorOnOneRow(t *testing.T) {
	r := read(t, `Device No,Address,Type,Size,Serial No,Bypass Size,Bypass Serial No,Due
1,12 Oak St,DCDA,6,M1,3/4,B1,2026-03-15
2,13 Oak St,DC,2,M2,N/A,N/A,2026-03-15
3,14 Oak St,DC,2,M3,3/4,B3,2026-03-15
`)
	if len(r.Rows) != 3 || r.Rows[0].Bypass == nil || r.Rows[0].Bypass.Serial != "B1" || r.Rows[0].Bypass.Size != events.InchSize(0, 6) || r.Rows[1].Bypass != nil {
		t.Fatalf("%+v", r.Rows)
	}
	if got := problems(r.Warnings); len(r.Warnings) != 1 || !strings.Contains(got, "has no bypass, yet the row describes one") {
		t.Error(got)
	}
}

func TestBrokenQuotesAreRejected(t *testing.T) {
	r := read(t, "Device No,Address,Type,Size,Due\n1,12 Oak St,RP,\"2-1/2\"\",2026-03-15\n2,13 Oak St,RP,2-1/2\",2026-03-15\n")
	if len(r.Rows) != 1 || r.Rows[0].Main.Size != events.InchSize(2, 4) || len(r.Rejected) != 1 || !strings.Contains(r.Rejected[0].Problem, "quotation marks") {
		t.Error(outcome(r))
	}
}

func TestRejectedRowsAreMendedAndReadAgain(t *testing.T) {
	table, r := readWith(t, `Larkwater District,,,,
Device No,Service Address,Type,Size,Due Date
1,12 Oak St,RPZ,2,3/25/2026
2,,DCVA,1,6/31/2026
3,14 Oak St,Hydrant,1,3/25/2026
4,15 Oak St,DC,"2-1/2"",3/25/2026
5,16 Oak St,=Hose,1,3/25/2026
`, Options{})
	mapping := ProposeMapping(table)
	var out bytes.Buffer
	if err := SaveRejected(&out, table, r); err != nil {
		t.Fatal(err)
	}
	saved := out.String()
	lines := strings.Split(strings.TrimSpace(saved), "\r\n")
	if len(lines) != 6 || !strings.HasSuffix(lines[0], "Due Date,problem") || !strings.HasPrefix(lines[1], "2,12 Oak St,DCVA,1,6/31/2026,") || !strings.Contains(lines[1], "June 2026 has 30 days") {
		t.Fatalf("%s", saved)
	}
	// as it is, the same rows are rejected again, and saving them again is the same file
	again := tableOf(t, saved)
	second, err := Read(again, mapping, Options{AsOf: asOf})
	if err != nil {
		t.Fatal(err)
	}
	nothingLost(t, again, second)
	if len(second.Rows) != 0 || len(second.RejectedRows()) != 4 {
		t.Fatal(outcome(second))
	}
	var out2 bytes.Buffer
	if err := SaveRejected(&out2, again, second); err != nil {
		t.Fatal(err)
	}
	if header, _, _ := strings.Cut(out2.String(), "\r\n"); header != strings.TrimSpace(lines[0]) {
		t.Errorf("header %q, want %q", header, lines[0])
	}
	// mended, they are read, with the same keys as if they had been right from the start
	mended := strings.NewReplacer("6/31/2026,", "6/30/2026,", "Hydrant,", "DC,", "'=Hose,", "RP,").Replace(saved)
	third := read(t, mended)
	if len(third.Rows) != 3 || len(third.Rejected) != 1 {
		t.Fatal(outcome(third))
	}
	right := read(t, "Device No,Service Address,Type,Size,Due Date\n1,12 Oak St,RPZ,2,3/25/2026\n2,,DCVA,1,6/30/2026\n")
	if third.Rows[0].RowKey != right.Rows[1].RowKey || third.Rows[0].Address != "12 Oak St" {
		t.Errorf("%+v, want the key of %+v", third.Rows[0], right.Rows[1])
	}
}

// Rows that were far apart stand close together in the file of rejected rows; an address must not run over.
func TestNoAddressRunsOverInTheRejectedFile(t *testing.T) {
	table, r := readWith(t, "Device No,Address,Type,Due\n1,12 Oak St,Hydrant,2026-03-15\n2,13 Oak St,RP,2026-03-15\n\n3,,RP,6/31/2026\n", Options{})
	var out bytes.Buffer
	if err := SaveRejected(&out, table, r); err != nil {
		t.Fatal(err)
	}
	again := read(t, strings.Replace(out.String(), "6/31/2026,", "6/30/2026,", 1))
	if len(again.Rows) != 1 || again.Rows[0].Number != "3" || again.Rows[0].Address != "" {
		t.Errorf("%+v\n%s", again.Rows, out.String())
	}
}

func TestReadRefuses(t *testing.T) {
	table := tableOf(t, "Device No,Address,Type,Due\n1,12 Oak St,RP,2026-03-15\n")
	if _, err := Read(table, ProposeMapping(table), Options{}); !errors.Is(err, ErrNoAsOf) {
		t.Errorf("without a date: %v", err)
	}
	other := tableOf(t, "Device No,Address,Kind of thing,Due\n1,12 Oak St,RP,2026-03-15\n")
	if _, err := Read(other, ProposeMapping(table), Options{AsOf: asOf}); !errors.Is(err, ErrOtherColumns) {
		t.Errorf("with another header: %v", err)
	}
	twins := tableOf(t, "Device No,Address,Type,Due,Due Date\n1,12 Oak St,RP,2026-03-15,2026-03-16\n")
	if _, err := Read(twins, ProposeMapping(twins), Options{AsOf: asOf}); !errors.Is(err, ErrUndecided) {
		t.Errorf("with two due columns: %v", err)
	}
}

func TestResultIsPlainData(t *testing.T) {
	r := read(t, "Device No,Address,Type,Size,Due\n1,12 Oak St,RP,4-Mar,2026-03-15\n")
	data, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	if text := string(data); !strings.Contains(text, `"due":"2026-03-15"`) || !strings.Contains(text, `"question":true`) {
		t.Error(text)
	}
}
