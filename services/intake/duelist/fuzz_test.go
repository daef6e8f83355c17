package duelist

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"valveround/events"
	"valveround/services/intake/sheet"
)

// FuzzReadDate: a day comes out only within the years a list can have, the same day written plainly reads
// back, and what is bad or ambiguous says why.
func FuzzReadDate(f *testing.F) {
	for _, seed := range []string{"3/2/2026", "2026-03-02", "2 Mar 26", "March 2, 2026", "OVERDUE", "6/31/2026", "46083", "Mon 2nd Sept 2026 12:00", "Mar-26", "20260302", "1.1.1"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, order := range []DateOrder{"", MonthFirst, DayFirst} {
			got := readDate(sheet.Cell{Text: text}, order, asOf)
			switch got.kind {
			case dateDay:
				year, _, _ := got.day.YMD()
				again := readDate(sheet.Cell{Text: got.day.String()}, "", asOf)
				if year < minYear || year > maxYear || again.kind != dateDay || again.day != got.day {
					t.Fatalf("%q is read as %s", text, got.day)
				}
			case dateBad, dateAmbiguous:
				if got.problem == "" || got.whatToDo == "" {
					t.Fatalf("%q is refused without words", text)
				}
				if got.kind == dateAmbiguous && order != "" {
					t.Fatalf("%q is ambiguous although the order is known", text)
				}
			}
		}
	})
}

// FuzzRead: whatever the list, no row is lost, what is rejected can be saved and read again, and nothing of
// it is accepted the second time that was rejected for the first.
func FuzzRead(f *testing.F) {
	names, err := filepath.Glob(filepath.Join(lists, "*.csv"))
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Add([]byte("Device No,Address,Type,Size,Due\n1,12 Oak,DCDA,6,2026-03-15\n1,,DCDA bypass,\"3/4\"\",2026-03-15\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := sheet.ReadCSV("due.csv", data, sheet.Limits{MaxBytes: 1 << 14, MaxCols: 40})
		if err != nil {
			return
		}
		m := decided(ProposeMapping(table))
		r, err := Read(table, m, Options{AsOf: asOf, Closed: events.Closures{Days: []events.Date{asOf}}})
		if err != nil {
			return
		}
		nothingLost(t, table, r)
		for _, row := range r.Rows {
			if row.Number == "" && row.Address == "" {
				t.Fatalf("row %d is no assembly that could be found: %+v", row.Line(), row)
			}
		}
		var out bytes.Buffer
		if err := SaveRejected(&out, table, r); err != nil {
			t.Fatal(err)
		}
		again, err := sheet.ReadCSV("rejected.csv", out.Bytes(), sheet.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		second, err := Read(again, m, Options{AsOf: asOf})
		if err != nil {
			return // the header's words were lost with the separator: rare, and said to the user
		}
		nothingLost(t, again, second)
		if len(second.Rows) > 0 && len(second.Questions) == len(r.Questions) {
			t.Fatalf("rejected, then read unmended: %+v\n%q", second.Rows, out.String())
		}
	})
}

// decided answers every question of a mapping with the first column.
func decided(m Mapping) Mapping {
	for range 50 {
		questions := m.Questions()
		if len(questions) == 0 || len(questions[0].Columns) == 0 {
			return m
		}
		q := questions[0]
		m = m.Set(q.Columns[0], Field(q.Key[len("field "):]))
		for _, col := range q.Columns[1:] {
			m = m.Set(col, FieldIgnore)
		}
	}
	return m
}
