package events

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Decimal is a number exactly as typed: 1.0 keeps its digit, and 0.96 is never rounded to 1.0.
// The zero value is 0; a number that was not read is a nil *Decimal.
type Decimal struct {
	digits int64
	places int8 // digits after the point
}

// ErrNotDecimal says that a text is not a plain decimal number.
var ErrNotDecimal = errors.New("not a number like 1.2")

const maxDigits, maxPlaces = 9, 6

// ParseDecimal reads digits with at most one point or decimal comma, and an optional sign. A comma that could
// part thousands ("1,000") is refused. At most 9 digits, 6 of them after the point.
func ParseDecimal(text string) (Decimal, error) {
	body, negative := strings.CutPrefix(strings.TrimSpace(text), "-")
	whole, fraction, pointed := strings.Cut(body, ".")
	if !pointed {
		whole, fraction, pointed = strings.Cut(body, ",")
		if pointed && len(fraction) == 3 && strings.Trim(whole, "0") != "" {
			return Decimal{}, fmt.Errorf("%q: %w: the comma could part thousands", text, ErrNotDecimal)
		}
	}
	all := whole + fraction
	if all == "" || pointed && fraction == "" || len(all) > maxDigits || len(fraction) > maxPlaces || strings.Trim(all, "0123456789") != "" {
		return Decimal{}, fmt.Errorf("%q: %w", text, ErrNotDecimal)
	}
	n, err := strconv.ParseInt(all, 10, 64)
	if err != nil {
		return Decimal{}, fmt.Errorf("%q: %w", text, ErrNotDecimal)
	}
	if negative {
		n = -n
	}
	return Decimal{n, int8(len(fraction))}, nil
}

// MustDecimal is ParseDecimal for tables in code; it panics on a bad number.
func MustDecimal(text string) Decimal {
	d, err := ParseDecimal(text)
	if err != nil {
		panic(err)
	}
	return d
}

// String writes the number with the digits it was typed with.
func (d Decimal) String() string {
	n, sign := d.digits, ""
	if n < 0 {
		n, sign = -n, "-"
	}
	text := fmt.Sprintf("%0*d", int(d.places)+1, n)
	if d.places == 0 {
		return sign + text
	}
	point := len(text) - int(d.places)
	return sign + text[:point] + "." + text[point:]
}

// MarshalText and UnmarshalText keep the digits as typed, so in JSON a Decimal is a string.
func (d Decimal) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads what ParseDecimal reads.
func (d *Decimal) UnmarshalText(text []byte) (err error) {
	*d, err = ParseDecimal(string(text))
	return err
}

// align writes both numbers with the same places.
func align(a, b Decimal) (x, y int64, places int8) {
	x, y = a.digits, b.digits
	for places = a.places; places < b.places; places++ {
		x *= 10
	}
	for p := b.places; p < a.places; p++ {
		y *= 10
	}
	return x, y, places
}

// Cmp is -1, 0 or 1 as d is less than, equal to or more than e; 1.0 and 1.00 are equal.
func (d Decimal) Cmp(e Decimal) int {
	x, y, _ := align(d, e)
	switch {
	case x < y:
		return -1
	case x > y:
		return 1
	}
	return 0
}

// Sub is d-e, exact, with the digits of the finer one.
func (d Decimal) Sub(e Decimal) Decimal {
	x, y, places := align(d, e)
	return Decimal{x - y, places}
}

// Times is d multiplied by a small whole number.
func (d Decimal) Times(n int) Decimal { return Decimal{d.digits * int64(n), d.places} }

// Unit is what a number was read in. Numbers are judged in the unit they were read in, never converted.
type Unit string

// The units.
const (
	PSID        Unit = "psid" // pounds per square inch, differential
	KPa         Unit = "kPa"
	Inches      Unit = "in"
	Millimetres Unit = "mm"
)

// Size is a nominal pipe size in eighths of an inch; zero is not known.
type Size uint16

// Errors of ParseSize.
var (
	// ErrSize: the text is no nominal size.
	ErrSize = errors.New("not a size like 3/4, 2-1/2 in or DN 65")
	// ErrSpreadsheetDate: the text is a date, most likely a fraction that a spreadsheet turned into one.
	ErrSpreadsheetDate = errors.New("turned into a date by a spreadsheet")
)

// nominal pairs inch sizes, in eighths, with DN (ASME B36.10M and ISO 6708; from memory).
var nominal = []struct {
	eighths Size
	dn      int
}{
	{2, 8}, {3, 10}, {4, 15}, {6, 20}, {8, 25}, {10, 32}, {12, 40}, {16, 50}, {20, 65}, {24, 80}, {28, 90}, {32, 100},
	{40, 125}, {48, 150}, {64, 200}, {80, 250}, {96, 300}, {112, 350}, {128, 400}, {144, 450}, {160, 500}, {192, 600},
}

// InchSize is a size of whole inches and eighths: InchSize(2, 4) is 2-1/2 in.
func InchSize(inches, eighths int) Size { return Size(8*inches + eighths) }

// IsZero reports whether the size is not known.
func (s Size) IsZero() bool { return s == 0 }

// DN is the nominal size in the metric series, or 0 when it is not in the table.
func (s Size) DN() int {
	for _, n := range nominal {
		if n.eighths == s {
			return n.dn
		}
	}
	return 0
}

// String writes 2-1/2 in, 3/4 in, 6 in; the zero size is empty.
func (s Size) String() string {
	whole, part, below := int(s)/8, int(s)%8, 8
	for part > 0 && part%2 == 0 {
		part, below = part/2, below/2
	}
	switch {
	case s == 0:
		return ""
	case part == 0:
		return fmt.Sprintf("%d in", whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d in", part, below)
	}
	return fmt.Sprintf("%d-%d/%d in", whole, part, below)
}

// MarshalText writes what String writes.
func (s Size) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what ParseSize reads; empty is the zero size.
func (s *Size) UnmarshalText(text []byte) (err error) {
	if len(text) == 0 {
		*s = 0
		return nil
	}
	*s, err = ParseSize(string(text))
	return err
}

// sizeSigns turns the ways of writing a fraction and a unit into one way.
var sizeSigns = strings.NewReplacer("½", " 1/2 ", "¼", " 1/4 ", "¾", " 3/4 ", "⅜", " 3/8 ", "⅛", " 1/8 ", "⅝", " 5/8 ", "⅞", " 7/8 ",
	"⁄", "/", "∕", "/", "–", "-", "‑", "-", "−", "-", "”", `"`, "“", `"`, "″", `"`, "''", `"`, "’’", `"`, "\u00a0", " ")

// ParseSize reads 2-1/2", 2.5, 2 1/2 in, 2½, DN65, 65 mm, 3/4. A fraction that a spreadsheet turned into a date is
// ErrSpreadsheetDate, with a hint at what it was; a bare number that could be millimetres is refused too.
func ParseSize(text string) (Size, error) {
	clean := strings.ToLower(strings.Join(strings.Fields(sizeSigns.Replace(text)), " "))
	if err := spreadsheetDate(text, clean); err != nil {
		return 0, err
	}
	if number, ok := millimetres(clean); ok {
		return sizeOfDN(text, number)
	}
	bare := trimInch(clean)
	eighths, err := inchEighths(bare)
	if err != nil {
		return 0, fmt.Errorf("size %q: %w", text, err)
	}
	if bare == clean && eighths > 8*maxBareInches {
		return 0, fmt.Errorf("size %q: %w: inches or millimetres?", text, ErrSize)
	}
	if eighths.DN() == 0 {
		return 0, fmt.Errorf("size %q: %w: no pipe has this nominal size", text, ErrSize)
	}
	return eighths, nil
}

// maxBareInches: assemblies are made up to about 16 in, so a larger number without a unit is likely millimetres.
const maxBareInches = 16

// millimetres finds the number of "dn 65", "65 mm", "dn65mm".
func millimetres(clean string) (number string, ok bool) {
	rest, dn := strings.CutPrefix(clean, "dn")
	rest, mm := strings.CutSuffix(strings.TrimSuffix(rest, "."), "mm")
	return strings.TrimSpace(rest), dn || mm
}

func sizeOfDN(text, number string) (Size, error) {
	dn, err := strconv.Atoi(number)
	if err != nil {
		return 0, fmt.Errorf("size %q: %w", text, ErrSize)
	}
	for _, n := range nominal {
		if n.dn == dn {
			return n.eighths, nil
		}
	}
	return 0, fmt.Errorf("size %q: %w: %d mm is no nominal size", text, ErrSize, dn)
}

func trimInch(clean string) string {
	for _, unit := range []string{`"`, "inches", "inch", "in.", "ins", "in"} {
		if number, ok := strings.CutSuffix(clean, unit); ok {
			return strings.Trim(number, " -")
		}
	}
	return clean
}

// inchEighths reads "2", "2.5", "1/2", "2-1/2", "2 1/2".
func inchEighths(bare string) (Size, error) {
	whole, fraction, mixed := strings.Cut(bare, "-")
	if !mixed {
		whole, fraction, mixed = strings.Cut(bare, " ")
	}
	if !mixed && strings.Contains(bare, "/") {
		whole, fraction = "0", bare
	}
	eighths, err := decimalEighths(strings.TrimSpace(whole), fraction == "")
	if err != nil || fraction == "" {
		return eighths, err
	}
	part, err := fractionEighths(strings.TrimSpace(fraction))
	return eighths + part, err
}

func decimalEighths(text string, pointAllowed bool) (Size, error) {
	d, err := ParseDecimal(text)
	if err != nil || d.digits < 0 || d.Cmp(MustDecimal("99")) > 0 || d.places > 0 && !pointAllowed {
		return 0, ErrSize
	}
	eight, one := d.Times(8), int64(1)
	for range eight.places {
		one *= 10
	}
	if eight.digits%one != 0 {
		return 0, ErrSize
	}
	return Size(eight.digits / one), nil
}

func fractionEighths(text string) (Size, error) {
	above, below, _ := strings.Cut(text, "/")
	n, err1 := strconv.ParseUint(above, 10, 8)
	m, err2 := strconv.ParseUint(below, 10, 8)
	if err1 != nil || err2 != nil || n == 0 || m == 0 || n >= m || m > 8 || 8%m != 0 {
		return 0, ErrSize
	}
	return Size(n * 8 / m), nil
}

// spreadsheetDate is an error when the text is a date: "4-Mar", "Mar-04", "3/4/2026", "2026-03-04", or the number
// of a day that a raw cell holds.
func spreadsheetDate(text, clean string) error {
	day, ok := dateOf(clean)
	if !ok {
		return nil
	}
	for _, was := range day.fractions() {
		if part, err := inchEighths(was); err == nil && part.DN() != 0 {
			return fmt.Errorf("size %q: looks like %s %w", text, was, ErrSpreadsheetDate)
		}
	}
	return fmt.Errorf("size %q: looks like a size %w", text, ErrSpreadsheetDate)
}

var spreadsheetDates = []string{
	"2-Jan", "Jan-2", "2 Jan", "Jan 2", "2-Jan-06", "2-Jan-2006", "2 Jan 2006", "2-January", "January-2",
	"2006-1-2", "2006/1/2", "1/2/2006", "1/2/06", "1-2-06", "1-2-2006", "2/1/2006", "2/1/06", "2.1.2006",
}

type sheetDay struct{ year, month, day int } // year 0: not shown

// fractions are the sizes that could have become this day, the likeliest first. 3/4 becomes 4 March of the year of
// typing, or 3 April; 2-1/2 becomes 1 February 2002 (from memory).
func (d sheetDay) fractions() []string {
	likely := []string{fmt.Sprintf("%d/%d", d.month, d.day), fmt.Sprintf("%d/%d", d.day, d.month)}
	if below := d.year - 2000; below == 2 || below == 4 || below == 8 {
		return append([]string{fmt.Sprintf("%d-%d/%d", d.month, d.day, below), fmt.Sprintf("%d-%d/%d", d.day, d.month, below)}, likely...)
	}
	return likely
}

// dateOf recognises the ways in which spreadsheets write dates, with month names and without.
func dateOf(clean string) (sheetDay, bool) {
	if serial, err := strconv.Atoi(clean); err == nil && serial >= 30_000 && serial < 80_000 { // 1982 to 2119
		t := time.Date(1899, time.December, 30+serial, 0, 0, 0, 0, time.UTC)
		return sheetDay{t.Year(), int(t.Month()), t.Day()}, true
	}
	date := clean
	if day, clock, ok := strings.Cut(clean, " "); ok && strings.Contains(clock, ":") {
		date = day
	} else if day, clock, ok := strings.Cut(clean, "t"); ok && strings.Contains(clock, ":") {
		date = day
	}
	for _, layout := range spreadsheetDates {
		if t, err := time.Parse(layout, date); err == nil {
			return sheetDay{t.Year(), int(t.Month()), t.Day()}, true
		}
	}
	return sheetDay{}, false
}

// GateTurns is how many turns close an old gate valve of this size: 3 an inch, plus 2 to 3 to seat (a tester's
// article on RP tests). Fewer mean that it is not fully shut. Close slowly; count them.
func (s Size) GateTurns() (fewest, most int) {
	turns := (3*int(s) + 7) / 8
	return turns + 2, turns + 3
}
