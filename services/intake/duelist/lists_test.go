package duelist

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"valveround/services/intake/sheet"
)

var update = flag.Bool("update", false, "rewrite the .want files of the due lists")

const lists = "../../../testdata/duelists"

// TestLists reads every list in testdata/duelists and compares what came of it with the file beside it.
func TestLists(t *testing.T) {
	names, err := filepath.Glob(filepath.Join(lists, "*.csv"))
	if err != nil || len(names) < 6 {
		t.Fatalf("%d lists: %v", len(names), err)
	}
	for _, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			tables, err := sheet.Read(name, data, sheet.Limits{})
			if err != nil {
				t.Fatal(err)
			}
			got := report(t, tables[0])
			wantFile := strings.TrimSuffix(name, ".csv") + ".want"
			if *update {
				if err := os.WriteFile(wantFile, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(wantFile)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
}

// report says in plain text what became of a list.
func report(t *testing.T, table sheet.Table) string {
	var b strings.Builder
	m := ProposeMapping(table)
	fmt.Fprintf(&b, "%s, separator %q, header on row %d\n\ncolumns\n", table.Encoding, table.Separator, m.HeaderRow)
	for _, c := range m.Columns {
		fmt.Fprintf(&b, "  %s %q: %s %s\n", sheet.ColumnName(c.Col), c.Header, c.Field, c.Sure)
	}
	for _, q := range m.Questions() {
		fmt.Fprintf(&b, "question %s: %s\n", q.Key, q.Text)
	}
	result, err := Read(table, m, Options{AsOf: asOf})
	if errors.Is(err, ErrUndecided) {
		fmt.Fprintf(&b, "\nnot read: %v\n", err)
		return b.String()
	}
	if err != nil {
		t.Fatal(err)
	}
	nothingLost(t, table, result)
	b.WriteString("\nread\n")
	for _, row := range result.Rows {
		fmt.Fprintf(&b, "  %v %s | %s | %s %s | serial %q | due %s | %s", row.Lines, row.Number, row.Address, row.Type, row.Main.Size, row.Main.Serial, row.Due, row.Standing)
		if row.Bypass != nil {
			fmt.Fprintf(&b, " | bypass %s %s %q", row.Bypass.Number, row.Bypass.Size, row.Bypass.Serial)
		}
		if row.AddressFrom > 0 {
			fmt.Fprintf(&b, " | address of row %d", row.AddressFrom)
		}
		b.WriteString("\n")
	}
	section(&b, "rejected", result.Rejected)
	section(&b, "warnings", result.Warnings)
	b.WriteString("skipped\n")
	for _, s := range result.Skipped {
		fmt.Fprintf(&b, "  %s\n", s)
	}
	for _, q := range result.Questions {
		fmt.Fprintf(&b, "question %s: %s %v\n", q.Key, q.Text, q.Choices)
	}
	return b.String()
}

func section(b *strings.Builder, title string, faults []sheet.Fault) {
	fmt.Fprintln(b, title)
	for _, f := range faults {
		mark := ""
		if f.Question {
			mark = "? "
		}
		fmt.Fprintf(b, "  %s%s\n", mark, f)
	}
}
