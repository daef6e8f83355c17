package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
)

// maxRecordLines bounds one record: a quoted field may hold newlines, but a quotation mark that is never
// closed would swallow the rest of the file.
const maxRecordLines = 40

// ReadCSV reads separated text: comma, semicolon, tab or bar, any encoding decode knows, quoted fields
// with newlines inside, rows of unequal length, quotation marks used as inch signs. Cells that our own
// writer guarded with an apostrophe lose it again.
func ReadCSV(name string, data []byte, limits Limits) (Table, error) {
	limits = limits.orDefaults()
	if int64(len(data)) > limits.MaxBytes {
		return Table{}, tooLarge(name, int64(len(data)), limits.MaxBytes)
	}
	text, enc, err := decode(data)
	if err != nil {
		return Table{}, fileError(name, err)
	}
	table := Table{File: name, Encoding: enc, Separator: separator(text), Damaged: map[int]string{}}
	cut := cutter{text: text, comma: table.Separator, line: 1}
	for {
		fields, line, damage, err := cut.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if len(table.Rows) >= limits.MaxRows || len(fields) > limits.MaxCols {
			return Table{}, tooMany(name, limits)
		}
		table.Rows = append(table.Rows, textRow(fields, line))
		if damage != "" {
			table.Damaged[line] = damage
		}
	}
	table.trimBlankEnd()
	return table, nil
}

func textRow(fields []string, line int) []Cell {
	row := make([]Cell, max(1, len(fields)))
	row[0] = Cell{Row: line, Col: 1}
	for i, field := range fields {
		text := unguard(field)
		row[i] = Cell{Text: text, Formatted: text, Row: line, Col: i + 1}
	}
	return row
}

// trimBlankEnd drops blank rows at the end of the file.
func (t *Table) trimBlankEnd() {
	for len(t.Rows) > 0 && blankRow(t.Rows[len(t.Rows)-1]) {
		t.Rows = t.Rows[:len(t.Rows)-1]
	}
}

func blankRow(row []Cell) bool {
	for _, c := range row {
		if !c.Blank() {
			return false
		}
	}
	return true
}

// cutter cuts text into records, strictly where it can. A line with stray quotation marks (2-1/2" as a
// size) is read by itself and loosely, so that one bad line never eats its neighbours.
type cutter struct {
	text   []byte
	comma  rune
	line   int         // physical line of text[0]
	strict *csv.Reader // over the next maxRecordLines lines
	used   int64       // bytes that its records took so far
	width  int         // cells of the last record
}

// next returns one record, the line it starts on, and what is wrong with it if it had to be read loosely.
func (c *cutter) next() (fields []string, line int, damage string, err error) {
	if len(c.text) == 0 {
		return nil, 0, "", io.EOF
	}
	line = c.line
	if c.text[0] == '\n' {
		c.advance(1)
		c.strict = nil
		return nil, line, "", nil
	}
	if fields, ok := c.cutStrict(); ok {
		return fields, line, "", nil
	}
	end := bytes.IndexByte(c.text, '\n') + 1
	if end == 0 {
		end = len(c.text)
	}
	fields, damage = cutLoose(strings.TrimSuffix(string(c.text[:end]), "\n"), c.comma)
	c.advance(end)
	return fields, line, damage, nil
}

// cutStrict reads one record by the rules of RFC 4180. One reader serves for a few lines, so that a faulty
// line costs a look at those and not at the whole file.
func (c *cutter) cutStrict() ([]string, bool) {
	for {
		fresh := c.strict == nil
		if fresh {
			c.strict = newReader(bytes.NewReader(c.text[:linesEnd(c.text, maxRecordLines)]), c.comma, false)
			c.used = 0
		}
		fields, err := c.strict.Read()
		if err == nil && !swallowed(fields, c.comma, c.width) {
			size := c.strict.InputOffset() - c.used
			c.used += size
			c.advance(int(size))
			c.width = len(fields)
			return fields, true
		}
		c.strict = nil
		if fresh {
			return nil, false
		}
	}
}

// swallowed says that a quoted field over several lines took in its neighbours: it holds a quotation mark
// right before a separator, most likely an inch sign whose pair is missing, and with the separators inside
// it the record has as many as so many whole records of the usual width.
func swallowed(fields []string, comma rune, width int) bool {
	inside, lines, stray := 0, 1, false
	for _, field := range fields {
		if n := strings.Count(field, "\n"); n > 0 {
			lines += n
			inside += strings.Count(field, string(comma))
			stray = stray || strings.Contains(field, `"`+string(comma))
		}
	}
	return stray && lines > 1 && len(fields)-1+inside == lines*(width-1)
}

// linesEnd is where the first n lines of the text end.
func linesEnd(text []byte, n int) int {
	end := 0
	for range n {
		next := bytes.IndexByte(text[end:], '\n')
		if next < 0 {
			return len(text)
		}
		end += next + 1
	}
	return end
}

func (c *cutter) advance(size int) {
	c.line += bytes.Count(c.text[:size], []byte("\n"))
	c.text = c.text[size:]
}

func newReader(r io.Reader, comma rune, lazy bool) *csv.Reader {
	reader := csv.NewReader(r)
	reader.Comma = comma
	reader.FieldsPerRecord = -1
	reader.LazyQuotes = lazy
	return reader
}

// cutLoose reads one physical line whose quotation marks do not follow the rules. When every field
// that holds a mark starts without one, the marks are inch signs and the cut is sure.
func cutLoose(line string, comma rune) (fields []string, damage string) {
	for _, field := range strings.Split(line, string(comma)) {
		if strings.HasPrefix(field, `"`) {
			damage = "the quotation marks on this line do not pair up, so where its columns end is not known"
		}
	}
	fields, err := newReader(strings.NewReader(line), comma, true).Read()
	if err != nil {
		return strings.Split(line, string(comma)), damage
	}
	return fields, damage
}

// separator picks the candidate that cuts most of the first lines into the same number of fields.
func separator(text []byte) rune {
	if bytes.HasPrefix(bytes.ToLower(text), []byte("sep=")) && len(text) > 4 && strings.ContainsRune(",;\t|", rune(text[4])) {
		return rune(text[4])
	}
	best, bestScore := ',', 0
	for _, comma := range []rune{',', ';', '\t', '|'} {
		if score := evenness(text, comma); score > bestScore {
			best, bestScore = comma, score
		}
	}
	return best
}

// evenness counts the cells of those among the first 60 records that have the most common width
// (of at least two).
func evenness(text []byte, comma rune) int {
	widths := map[int]int{}
	cut := cutter{text: text, comma: comma, line: 1}
	for range 60 {
		fields, _, _, err := cut.next()
		if err != nil {
			break
		}
		widths[len(fields)]++
	}
	best := 0
	for width, records := range widths {
		if width >= 2 {
			best = max(best, records*(width-1))
		}
	}
	return best
}
