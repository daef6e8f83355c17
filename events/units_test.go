package events

import (
	"encoding/json"
	"errors"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseDecimal(t *testing.T) {
	for text, want := range map[string]string{
		"0.96": "0.96", "1": "1", "1.0": "1.0", "1.00": "1.00", ".5": "0.5", " 2.4 ": "2.4", "-0.1": "-0.1", "0,96": "0.96", "0,125": "0.125",
		"007": "7", "12,5": "12.5", "123456789": "123456789", "0.000001": "0.000001",
	} {
		if got, err := ParseDecimal(text); err != nil || got.String() != want {
			t.Errorf("ParseDecimal(%q) = %s, %v, want %s", text, got, err, want)
		}
	}
	for _, text := range []string{"", " ", "-", ".", "1.", "1,", "1.2.3", "1,2,3", "1,000", "12,345", "1e3", "+1", "--1", "1 2", "½", "٣", "NaN", "0x1", "1234567890", "0.0000001", "1.2 psid"} {
		if got, err := ParseDecimal(text); !errors.Is(err, ErrNotDecimal) {
			t.Errorf("ParseDecimal(%q) = %s, %v, want an error", text, got, err)
		}
	}
}

func drawDecimal(t *rapid.T, name string) Decimal {
	return Decimal{rapid.Int64Range(-999_999_999, 999_999_999).Draw(t, name), int8(rapid.IntRange(0, maxPlaces).Draw(t, name+" places"))}
}

func rat(t *rapid.T, d Decimal) *big.Rat {
	r, ok := new(big.Rat).SetString(d.String())
	if !ok {
		t.Fatalf("%v is no rational number", d)
	}
	return r
}

// The reference is math/big's exact rational arithmetic.
func TestDecimalIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawDecimal(t, "a"), drawDecimal(t, "b")
		x, y := rat(t, a), rat(t, b)
		if got, want := a.Cmp(b), x.Cmp(y); got != want {
			t.Fatalf("%s.Cmp(%s) = %d, want %d", a, b, got, want)
		}
		if got, want := rat(t, a.Sub(b)), new(big.Rat).Sub(x, y); got.Cmp(want) != 0 {
			t.Fatalf("%s - %s = %s", a, b, a.Sub(b))
		}
		if got, want := rat(t, a.Times(3)), new(big.Rat).Mul(x, big.NewRat(3, 1)); got.Cmp(want) != 0 {
			t.Fatalf("3 × %s = %s", a, a.Times(3))
		}
	})
}

func FuzzParseDecimal(f *testing.F) {
	for _, seed := range []string{"0.96", "1,5", "-12.300", "1,000", ".", "1e9", "999999999"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDecimal(text)
		if err != nil {
			if d != (Decimal{}) {
				t.Fatalf("ParseDecimal(%q) = %s beside an error", text, d)
			}
			return
		}
		again, err := ParseDecimal(d.String())
		if err != nil || again != d {
			t.Fatalf("%q is %s, and that is %s, %v", text, d, again, err)
		}
		if want, ok := new(big.Rat).SetString(strings.Replace(strings.TrimSpace(text), ",", ".", 1)); !ok || want.Cmp(mustRat(d)) != 0 {
			t.Fatalf("ParseDecimal(%q) = %s, math/big says %v", text, d, want)
		}
	})
}

func mustRat(d Decimal) *big.Rat {
	r, _ := new(big.Rat).SetString(d.String())
	return r
}

func TestParseSize(t *testing.T) {
	for want, texts := range map[string][]string{
		"2-1/2 in": {`2-1/2"`, "2.5", "2 1/2 in", "2½", "2-½ in.", "2 - 1/2", "2,5", "DN65", "dn 65", "65 mm", "2.50 inches", "2-1/2-inch", "2–1/2”", "2 1⁄2''"},
		"3/4 in":   {"3/4", `3/4"`, "¾", "0.75", ".75 in", "DN20", "20mm"},
		"1/2 in":   {"1/2", "½", "0.5", "½ inch"},
		"3/8 in":   {"3/8", "⅜", "0.375"},
		"1-1/4 in": {"1 1/4", "1.25", "DN 32", "1-1/4in"},
		"1-1/2 in": {"1.5", "1½", "1-4/8"},
		"2 in":     {"2", "2 in", `2"`, "2.0", "DN50", "50 MM"},
		"6 in":     {"6", "6in", "6.00", "DN150"},
		"10 in":    {"10", "DN250"},
		"24 in":    {"24 in", "DN600"},
	} {
		for _, text := range append(texts, want) {
			if got, err := ParseSize(text); err != nil || got.String() != want {
				t.Errorf("ParseSize(%q) = %q, %v, want %s", text, got, err, want)
			}
		}
	}
}

func TestParseSizeRefuses(t *testing.T) {
	for _, text := range []string{
		"", "in", "0", "-2", "7", "2.3", "1/3", "3/2", "21/2", "4/6", "2x3", "2-1", "2.5-1/2", "DN", "DN66", "66 mm", "2.5 mm", "two", `2" x 1"`, "1e1",
		"65", "100", "20", // inches or millimetres?
	} {
		if got, err := ParseSize(text); !errors.Is(err, ErrSize) {
			t.Errorf("ParseSize(%q) = %q, %v, want ErrSize", text, got, err)
		}
	}
}

// What spreadsheets make of fractions: 46085 is 4 March 2026 in the 1900 date system (common practice); that 2-1/2
// becomes 1 February 2002 is from memory.
func TestSpreadsheetDates(t *testing.T) {
	for text, was := range map[string]string{
		"4-Mar": "3/4", "Mar-04": "3/4", "mar 4": "3/4", "3-Apr": "3/4", "46085": "3/4", "3/4/2026": "3/4", "4/3/2026": "3/4", "2026-03-04": "3/4",
		"2026-03-04 00:00:00": "3/4", "2026-03-04T00:00:00Z": "3/4", "3/4/26 00:00": "3/4", "04.03.2026": "3/4",
		"2-Jan": "1/2", "1-Feb": "1/2", "Jan-02": "1/2", "8-Mar": "3/8", "4-Jan": "1/4",
		"2/1/2002": "2-1/2", "1-Jan-2002": "1-1/2", "1/1/2004": "1-1/4", "37288": "2-1/2",
		"17-May": "a size", "2026-11-30": "a size",
	} {
		_, err := ParseSize(text)
		if !errors.Is(err, ErrSpreadsheetDate) || !strings.Contains(err.Error(), "looks like "+was+" turned") {
			t.Errorf("ParseSize(%q): %v; want a date that was %s", text, err, was)
		}
	}
}

// Nominal pairs: ASME B36.10M and ISO 6708, from memory.
func TestNominalSizes(t *testing.T) {
	for dn, want := range map[int]Size{15: InchSize(0, 4), 20: InchSize(0, 6), 25: InchSize(1, 0), 50: InchSize(2, 0), 65: InchSize(2, 4), 80: InchSize(3, 0), 100: InchSize(4, 0), 150: InchSize(6, 0)} {
		if want.DN() != dn {
			t.Errorf("%s is DN %d, want %d", want, want.DN(), dn)
		}
	}
	for _, n := range nominal {
		text, err := json.Marshal(n.eighths)
		var back Size
		if err == nil {
			err = json.Unmarshal(text, &back)
		}
		if err != nil || back != n.eighths {
			t.Errorf("%s came back as %s, %v", text, back, err)
		}
	}
	var none Size
	if err := json.Unmarshal([]byte(`""`), &none); err != nil || !none.IsZero() || none.String() != "" {
		t.Errorf("no size = %q, %v", none, err)
	}
}

// A tester's article on RP tests: an 8 in gate valve takes 24 + 3 = 27 turns; stopped at 25 it was not fully shut.
func TestGateTurns(t *testing.T) {
	if fewest, most := InchSize(8, 0).GateTurns(); most != 27 || fewest <= 25 {
		t.Errorf("8 in takes %d to %d turns, want up to 27 and more than 25", fewest, most)
	}
}

func FuzzParseSize(f *testing.F) {
	for _, seed := range []string{`2-1/2"`, "DN65", "4-Mar", "46085", "2½", "65 mm", ".75", "1/2/2002", "-", "t:"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		size, err := ParseSize(text)
		if (err == nil) != (size.DN() != 0) {
			t.Fatalf("ParseSize(%q) = %q, %v", text, size, err)
		}
		if err != nil {
			if !errors.Is(err, ErrSize) && !errors.Is(err, ErrSpreadsheetDate) && !errors.Is(err, ErrNotDecimal) {
				t.Fatalf("ParseSize(%q): %v is none of its errors", text, err)
			}
			return
		}
		if again, err := ParseSize(size.String()); err != nil || again != size {
			t.Fatalf("%q is %s, and that is %s, %v", text, size, again, err)
		}
	})
}
