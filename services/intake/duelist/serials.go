package duelist

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"valveround/services/intake/sheet"
)

// LookAlikeKey writes a serial for comparison only: capitals, no blanks or punctuation, letter O as
// zero, letters I and L as one. Two serials with one key may be the same plate read by two people; two
// plates may also share it, so it never says which assembly this is.
func LookAlikeKey(serial string) string {
	return strings.Map(func(r rune) rune {
		switch r = unicode.ToUpper(r); {
		case r == 'O':
			return '0'
		case r == 'I' || r == 'L':
			return '1'
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			return r
		}
		return -1
	}, serial)
}

var (
	fillerSerial = regexp.MustCompile(`(?i)^(n\.?/?a\.?|none|no|nil|null|unk|unkn|unknown|not known|see (notes?|comments?|remarks?|file|tag)|tbd|tba|pending|illegible|unreadable|not (legible|readable|visible|available)|missing|no (tag|serial|serial no\.?|plate|sn|s/n)|can'?t read|cannot read|#n/a|#ref!|#value!|various|multiple|same|\?+|-+|\.+|x+)$`)
	exponent     = regexp.MustCompile(`(?i)^\d([.,]\d+)?e\+\d{1,3}$`)
	digitsOnly   = regexp.MustCompile(`^\d+$`)
	pointZero    = regexp.MustCompile(`^\d+\.0+$`)
	monthShaped  = regexp.MustCompile(`(?i)^(\d{1,2}-(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)(-\d{2,4})?|(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)-\d{2,4})$`)
)

// noNumber says that a purveyor's number is a word or zeros put there to fill the cell.
func noNumber(number string) bool {
	return number == "" || fillerSerial.MatchString(number) || strings.Trim(number, "0 -") == ""
}

// filler says that a serial is a word or a row of equal characters put there to fill the cell.
func filler(serial string) bool {
	serial = strings.TrimSpace(serial)
	if serial == "" || noNumber(serial) {
		return serial != ""
	}
	key := LookAlikeKey(serial)
	return len(key) >= 4 && strings.Trim(key, key[:1]) == ""
}

// zeroHabit is what the other serials of the column show about leading zeros.
type zeroHabit struct {
	zeros  int // all-digit texts that begin with a zero
	length int // their common length; 0 when they differ
}

func zeroHabitOf(cells []sheet.Cell) zeroHabit {
	var h zeroHabit
	for _, c := range cells {
		text := strings.TrimSpace(c.Text)
		if c.Number != nil || !digitsOnly.MatchString(text) || text[0] != '0' || filler(text) {
			continue
		}
		h.zeros++
		if h.zeros == 1 {
			h.length = len(text)
		} else if h.length != len(text) {
			h.length = 0
		}
	}
	return h
}

// lostZeros says that a spreadsheet stores a cell as a number although others of the column begin with zeros,
// and that it is shorter than those.
func (h zeroHabit) lostZeros(c sheet.Cell) bool {
	return c.Number != nil && h.zeros > 0 && (h.length == 0 || len(strings.TrimSpace(c.Text)) < h.length)
}

// serialDoubt says why a serial is not to be trusted; empty when nothing speaks against it.
func serialDoubt(c sheet.Cell, habit zeroHabit) string {
	text := strings.TrimSpace(c.Text)
	switch {
	case text == "":
		return ""
	case filler(text):
		return "is a filler, no serial"
	case c.Serial != nil || monthShaped.MatchString(text):
		return "was turned into a date by a spreadsheet"
	case exponent.MatchString(text):
		return "was shortened to an exponent by a spreadsheet; its last digits are lost"
	case c.Number != nil && (*c.Number >= 1e15 || *c.Number <= -1e15):
		return "has more digits than a spreadsheet number keeps; the last ones are wrong"
	case pointZero.MatchString(text) || c.Number != nil && strings.ContainsAny(text, ".eE"):
		return "was turned into a decimal number by a spreadsheet"
	case habit.lostZeros(c):
		return "is stored as a number while others in the column begin with zeros; leading zeros may be lost"
	case c.Number == nil && habit.zeros >= 2 && habit.length > len(text) && digitsOnly.MatchString(text) && text[0] != '0':
		return fmt.Sprintf("is shorter than the %d digits of others that begin with zeros; leading zeros may be lost", habit.length)
	}
	return ""
}
