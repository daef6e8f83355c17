package sheet

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"pgregory.net/rapid"
)

func texts(t Table) [][]string {
	var out [][]string
	for _, row := range t.Rows {
		var line []string
		for _, c := range row {
			line = append(line, c.Text)
		}
		out = append(out, line)
	}
	return out
}

func flat(t Table) string {
	var lines []string
	for _, row := range texts(t) {
		lines = append(lines, strings.Join(row, "¦"))
	}
	return strings.Join(lines, "⏎")
}

func TestReadCSVShapes(t *testing.T) {
	utf16LE, _ := unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewEncoder().Bytes([]byte("Größe,Due\n¾,x\n"))
	utf16BE, _ := unicode.UTF16(unicode.BigEndian, unicode.UseBOM).NewEncoder().Bytes([]byte("Größe,Due\n¾,x\n"))
	noMark, _ := unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM).NewEncoder().Bytes([]byte("Number,Due\n17,x\n"))
	windows, _ := charmap.Windows1252.NewEncoder().Bytes([]byte("Größe,Due\n¾,x\n"))
	for _, c := range []struct {
		name, data, want, enc string
		sep                   rune
	}{
		{"plain", "a,b\n1,2\n", "a¦b⏎1¦2", "UTF-8", ','},
		{"byte-order mark", "\xEF\xBB\xBFa,b\n1,2", "a¦b⏎1¦2", "UTF-8", ','},
		{"UTF-16 little endian", string(utf16LE), "Größe¦Due⏎¾¦x", "UTF-16LE", ','},
		{"UTF-16 big endian", string(utf16BE), "Größe¦Due⏎¾¦x", "UTF-16BE", ','},
		{"UTF-16 without a mark", string(noMark), "Number¦Due⏎17¦x", "UTF-16LE", ','},
		{"Windows-1252", string(windows), "Größe¦Due⏎¾¦x", "Windows-1252", ','},
		{"CR LF", "a,b\r\n1,2\r\n", "a¦b⏎1¦2", "UTF-8", ','},
		{"CR alone", "a,b\r1,2\r", "a¦b⏎1¦2", "UTF-8", ','},
		{"semicolon with decimal commas", "a;b;c\n1;2,5;x\n2;0,75;y\n", "a¦b¦c⏎1¦2,5¦x⏎2¦0,75¦y", "UTF-8", ';'},
		{"tab with commas in addresses", "a\tb\n1\t12 Oak St, Unit 2\n", "a¦b⏎1¦12 Oak St, Unit 2", "UTF-8", '\t'},
		{"separator line", "sep=;\na;b\n", "sep=¦⏎a¦b", "UTF-8", ';'},
		{"ragged rows", "a,b,c\n1\n1,2,3,4\n", "a¦b¦c⏎1⏎1¦2¦3¦4", "UTF-8", ','},
		{"inch signs", "n,size,t\n1,2-1/2\",RP\n2,3/4\",DC\n", "n¦size¦t⏎1¦2-1/2\"¦RP⏎2¦3/4\"¦DC", "UTF-8", ','},
		{"quoted inch signs", "n,size\n1,\"2-1/2\"\"\"\n", "n¦size⏎1¦2-1/2\"", "UTF-8", ','},
		{"title with commas before semicolons", "Due list, spring, 2026\na;b;c\n1;2;3\n", "Due list, spring, 2026⏎a¦b¦c⏎1¦2¦3", "UTF-8", ';'},
		{"nothing but blank lines at the end", "a,b\n,\n\n \n", "a¦b", "UTF-8", ','},
	} {
		t.Run(c.name, func(t *testing.T) {
			table, err := ReadCSV("x.csv", []byte(c.data), Limits{})
			if err != nil {
				t.Fatal(err)
			}
			if got := flat(table); got != c.want || table.Encoding != c.enc || table.Separator != c.sep {
				t.Errorf("got %q %s %q, want %q %s %q", got, table.Encoding, table.Separator, c.want, c.enc, c.sep)
			}
			if len(table.Damaged) > 0 {
				t.Errorf("damaged: %v", table.Damaged)
			}
		})
	}
}

func TestRowNumbersArePhysicalLines(t *testing.T) {
	table, err := ReadCSV("x.csv", []byte("a,b\n\n1,\"two\nlines\"\r\n2,x\n"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	var got []int
	for i := range table.Rows {
		got = append(got, table.RowNumber(i))
	}
	want := []int{1, 2, 3, 5}
	if len(got) != len(want) {
		t.Fatalf("rows %v, want %v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Fatalf("rows %v, want %v", got, want)
		}
	}
	if table.Rows[2][1].Text != "two\nlines" {
		t.Errorf("cell %q", table.Rows[2][1].Text)
	}
}

func TestAnUnclosedQuoteDamagesOneLineOnly(t *testing.T) {
	table, err := ReadCSV("x.csv", []byte("n,size,t\n1,\"2-1/2\"\",RP\n2,\"3/4\"\",DC\n3,\"1,RP\n4,2,DC\n"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Rows) != 5 {
		t.Fatalf("%d rows: %s", len(table.Rows), flat(table))
	}
	for _, row := range []int{2, 3, 4} {
		if table.Damaged[row] == "" {
			t.Errorf("row %d is not marked", row)
		}
	}
	if len(table.Damaged) != 3 {
		t.Errorf("damaged: %v", table.Damaged)
	}
}

func TestAMissingPairDoesNotSwallowTheNextLine(t *testing.T) {
	table, err := ReadCSV("x.csv", []byte("n,size,t\n1,\"2-1/2\"\",RP\n2,3/4\",DC\n3,1,PVB\n"), Limits{})
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Rows) != 4 || table.Damaged[2] == "" || len(table.Damaged) != 1 || table.Rows[2][1].Text != `3/4"` {
		t.Errorf("%s %v", flat(table), table.Damaged)
	}
}

func TestCSVLimits(t *testing.T) {
	for name, c := range map[string]struct {
		data   string
		limits Limits
	}{
		"bytes":   {strings.Repeat("x", 100), Limits{MaxBytes: 50}},
		"rows":    {strings.Repeat("x,y\n", 100), Limits{MaxRows: 50}},
		"columns": {strings.Repeat("x,", 100), Limits{MaxCols: 50}},
	} {
		if _, err := ReadCSV("x.csv", []byte(c.data), c.limits); !errors.Is(err, ErrTooLarge) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestWriteCSVReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringMatching(`['=+@a-c0-9 ,;"/-]{0,6}`)
		// So many columns that two cells cannot hold as many semicolons as there are commas.
		rest := slices.Repeat([]string{"x"}, 11)
		rows := [][]string{append([]string{"head", "er", "x"}, rest...)}
		for range rapid.IntRange(0, 5).Draw(t, "rows") {
			rows = append(rows, append([]string{"x", cell.Draw(t, "b"), cell.Draw(t, "c")}, rest...))
		}
		var out bytes.Buffer
		if err := WriteCSV(&out, rows); err != nil {
			t.Fatal(err)
		}
		table, err := ReadCSV("x.csv", out.Bytes(), Limits{})
		if err != nil {
			t.Fatal(err)
		}
		if table.Separator != ',' {
			t.Fatalf("separator %q", table.Separator)
		}
		got := texts(table)
		if len(got) != len(rows) {
			t.Fatalf("%d rows, want %d", len(got), len(rows))
		}
		for i := range rows {
			if strings.Join(got[i], "¦") != strings.Join(rows[i], "¦") {
				t.Fatalf("row %d: %q, want %q", i, got[i], rows[i])
			}
		}
	})
}

func TestFormulasAreGuarded(t *testing.T) {
	var out bytes.Buffer
	if err := WriteCSV(&out, [][]string{{"=1+1", "@x", "-", "-5", "-SUM(A1)", "+1 555"}}); err != nil {
		t.Fatal(err)
	}
	if got, want := out.String(), "\ufeff'=1+1,'@x,-,-5,'-SUM(A1),+1 555\r\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// FuzzReadCSV: no input crashes, every cell knows its place, row numbers rise, and every line of the file
// belongs to a row (blank lines at the end excepted).
func FuzzReadCSV(f *testing.F) {
	for _, seed := range []string{"a,b\n1,2\n", "a;\"b\nc\"\n\n1", "\xff\xfea\x00,\x00", "n,2-1/2\"\n", "\"", "a\tb\r\r", "sep=;\n1"} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		table, err := ReadCSV("x.csv", data, Limits{MaxBytes: 1 << 16})
		if err != nil {
			return
		}
		last := 0
		for i, row := range table.Rows {
			if len(row) == 0 || row[0].Row <= last {
				t.Fatalf("row %d: %v after line %d", i, row, last)
			}
			newlines := 0
			for j, c := range row {
				if c.Row != row[0].Row || c.Col != j+1 {
					t.Fatalf("cell %+v at %d, %d", c, i, j)
				}
				newlines += strings.Count(c.Text, "\n")
			}
			if last != 0 && row[0].Row != last+1 {
				t.Fatalf("line %d follows %d", row[0].Row, last)
			}
			last = row[0].Row + newlines
		}
	})
}
