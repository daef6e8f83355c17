package postal

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// Address is the parts of a street address, each in capitals and with the standard abbreviation where there is one.
type Address struct {
	Number string   // 12, 12A, 12-14, 12 1/2; empty: none
	Before string   // direction before the name: N
	Name   []string // MILL BROOK, as written
	Suffix string   // ST
	After  string   // direction after it
	Unit   string   // without its word: 4B
	Town   string   // without state: ASHBY FALLS
	Code   string   // postcode, five digits of a longer one
}

// Street says the street line again: 12 N MILL BROOK ST.
func (a Address) Street() string {
	parts := append([]string{a.Number, a.Before}, a.Name...)
	return strings.Join(slices.DeleteFunc(append(parts, a.Suffix, a.After), func(s string) bool { return s == "" }), " ")
}

// joined is the name without its gaps, since they come and go: MILL BROOK, MILLBROOK.
func (a Address) joined() string { return strings.Join(a.Name, "") }

// spelt is the same with one spelling of each word: SAINT MARYS, ST MARYS.
func (a Address) spelt() string {
	var text strings.Builder
	for _, w := range a.Name {
		text.WriteString(Spelling(w))
	}
	return text.String()
}

// Doors are the house numbers under which an address is found: each of a range of up to forty doors.
func Doors(number string) []string {
	leading := func(text string) (int, bool) {
		n, found := 0, false
		for _, r := range text {
			if r < '0' || r > '9' || n > 1e8 {
				break
			}
			n, found = n*10+int(r-'0'), true
		}
		return n, found
	}
	from, ok := leading(number)
	if !ok {
		return []string{""}
	}
	keys := []string{fmt.Sprint(from)}
	if _, end, isRange := strings.Cut(number, "-"); isRange {
		if to, ok := leading(end); ok && to > from && to-from <= 80 {
			for n := from + 2; n <= to; n += 2 {
				keys = append(keys, fmt.Sprint(n))
			}
		}
	}
	return keys
}

// Key writes the street line in one way, as an identity: equal where number, name, directions (in either place), suffix and
// unit are equal. Compare forgives more.
func (a Address) Key() string {
	return strings.Join([]string{a.Number, a.Before + a.After, a.spelt(), a.Suffix, a.Unit}, "|")
}

var (
	dropped  = strings.NewReplacer(".", "", "'", "", "’", "", "#", " UNIT ")
	numbered = regexp.MustCompile(`^\d+[A-Z]?(-\d+[A-Z]?)?$`)
	ordinal  = regexp.MustCompile(`^\d+(ST|ND|RD|TH)$`)
	fraction = regexp.MustCompile(`^\d/\d$`)
	zip      = regexp.MustCompile(`^\d{5}(-?\d{4})?$`)
	outward  = regexp.MustCompile(`^[A-Z]{1,2}\d[A-Z\d]?$`)
	inward   = regexp.MustCompile(`^\d[A-Z]{2}$`)
	state    = regexp.MustCompile(`^[A-Z]{2}$`)
)

// Parse reads an address. It never fails: what it cannot place stays in the name.
func Parse(text string) Address {
	street, rest, _ := strings.Cut(text, ",")
	var a Address
	words := tokens(street)
	if rest = strings.TrimSpace(rest); rest == "" {
		words, a.Code = cutCode(words)
	}
	words = a.number(words)
	words = a.unit(words)
	a.street(words)
	// "12 Mill St, Suite 4, Ashby": a part that is only a unit is no town.
	for rest != "" {
		part, after, more := strings.Cut(rest, ",")
		words := tokens(part)
		if len(words) > 0 && len(words) <= 2 && isUnit(words) {
			a.Unit, rest = words[len(words)-1], after
			continue
		}
		if more {
			rest = part + " " + after
		}
		a.town(tokens(rest))
		break
	}
	return a
}

// tokens cuts a text into words of letters and digits, in capitals; hyphens and strokes stay within numbers.
func tokens(text string) []string {
	var words []string
	for _, w := range strings.FieldsFunc(strings.ToUpper(dropped.Replace(text)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '-' && r != '/'
	}) {
		if w[0] >= '0' && w[0] <= '9' && (numbered.MatchString(w) || fraction.MatchString(w) || zip.MatchString(w)) {
			words = append(words, w)
			continue
		}
		words = append(words, strings.FieldsFunc(w, func(r rune) bool { return r == '-' || r == '/' })...)
	}
	return words
}

// cutCode takes a postcode off the end of a line that has no commas.
func cutCode(words []string) (rest []string, code string) {
	if n := len(words); n > 3 && zip.MatchString(words[n-1]) {
		return words[:n-1], words[n-1][:5]
	}
	return words, ""
}

func (a *Address) number(words []string) []string {
	if len(words) < 2 || !numbered.MatchString(words[0]) || ordinal.MatchString(words[0]) {
		return words
	}
	a.Number, words = words[0], words[1:]
	if fraction.MatchString(words[0]) {
		a.Number, words = a.Number+" "+words[0], words[1:]
	}
	return words
}

// strong unit words stand in no street name.
var strong = []string{"APT", "UNIT", "STE", "BLDG", "RM"}

func isUnit(words []string) bool {
	word, ok := units[words[0]]
	return ok && (len(words) == 2 && isUnitNumber(words[1]) || len(words) == 1 && !slices.Contains(strong, word))
}

func isUnitNumber(w string) bool { return len(w) == 1 || strings.ContainsAny(w, "0123456789") }

// unit cuts a unit off the end: APT 4 anywhere after the name's first word, FRONT or FLOOR 2 only after a street suffix,
// since streets have such names too.
func (a *Address) unit(words []string) []string {
	suffixed := false
	for i, w := range words {
		if word, ok := units[w]; ok && i > 0 && (suffixed || slices.Contains(strong, word)) {
			switch left := len(words) - i; {
			case left == 1 && !slices.Contains(strong, word):
				a.Unit = word
				return words[:i]
			case left >= 2 && isUnitNumber(words[i+1]):
				a.Unit = strings.Join(words[i+1:], "")
				return words[:i]
			}
		}
		_, is := suffixes[w]
		suffixed = suffixed || is && i > 0
	}
	return words
}

// street reads directions, name and suffix. A word is a direction or suffix only where a name is left over without it.
func (a *Address) street(words []string) {
	if n := len(words); n >= 2 {
		if d, ok := directions[words[0]]; ok && (n > 2 || !isSuffix(words[1])) {
			a.Before, words = d, words[1:]
		}
	}
	if n := len(words); n >= 2 {
		if d, ok := directions[words[n-1]]; ok && (n > 2 || !isSuffix(words[0])) {
			a.After, words = d, words[:n-1]
		}
	}
	if n := len(words); n >= 2 {
		if s, ok := suffixes[words[n-1]]; ok {
			a.Suffix, words = s, words[:n-1]
		}
	}
	a.Name = words
}

func isSuffix(w string) bool { _, ok := suffixes[w]; return ok }

// Spelling is the one spelling of a word of an address: SAINT, ST; MILL, ML. A word with one spelling stays as it is.
func Spelling(w string) string {
	for _, table := range []map[string]string{names, directions, suffixes} {
		if one, ok := table[w]; ok {
			return one
		}
	}
	return w
}

// town reads what follows the street line: town, state, postcode.
func (a *Address) town(words []string) {
	if n := len(words); n > 0 && zip.MatchString(words[n-1]) {
		a.Code, words = words[n-1][:5], words[:n-1]
	} else if n > 1 && outward.MatchString(words[n-2]) && inward.MatchString(words[n-1]) {
		a.Code, words = words[n-2]+words[n-1], words[:n-2]
	}
	if n := len(words); n > 1 && state.MatchString(words[n-1]) {
		words = words[:n-1]
	}
	for i, w := range words {
		words[i] = Spelling(w)
	}
	a.Town = strings.Join(words, " ")
}
