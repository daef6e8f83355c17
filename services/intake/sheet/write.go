package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"
)

// WriteCSV writes rows as UTF-8 with a byte-order mark and CR LF, the form spreadsheet programs open
// rightly. A cell that such a program would run as a formula is guarded by an apostrophe, which
// ReadCSV takes off again. Source for the guard: OWASP community page "CSV Injection".
func WriteCSV(w io.Writer, rows [][]string) error {
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return fmt.Errorf("writing CSV: %w", err)
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	for _, row := range rows {
		guarded := make([]string, len(row))
		for i, text := range row {
			guarded[i] = guard(text)
		}
		if err := out.Write(guarded); err != nil {
			return fmt.Errorf("writing CSV: %w", err)
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("writing CSV: %w", err)
	}
	return nil
}

// formulaStart holds the first characters that make a spreadsheet take a cell for a formula. Plain
// negative numbers and a lone hyphen are left alone.
func formulaStart(text string) bool {
	if text == "" || !strings.ContainsRune("=+-@\t", rune(text[0])) {
		return false
	}
	return strings.Trim(text, "-+.0123456789 ") != ""
}

func guard(text string) string {
	if formulaStart(strings.TrimLeft(text, "'")) {
		return "'" + text
	}
	return text
}

func unguard(text string) string {
	if strings.HasPrefix(text, "'") && formulaStart(strings.TrimLeft(text, "'")) {
		return text[1:]
	}
	return text
}
