package postal

import (
	"slices"
	"strings"
)

// Sure says how surely two addresses are one.
type Sure string

// From surest to none at all.
const (
	Certain Sure = "sure"
	Likely  Sure = "likely"
	Ask     Sure = "ask" // a person must look
	No      Sure = "no"
)

// Order counts from the surest, 0.
func (s Sure) Order() int { return slices.Index([]Sure{Certain, Likely, Ask, No}, s) }

// AtLeast reports whether it is as sure as another, or surer.
func (s Sure) AtLeast(least Sure) bool { return s.Order() <= least.Order() }

// Match is the outcome of comparing two addresses.
type Match struct {
	Score   int      // 100: the same in every part; the weights are our own
	Agrees  []string // the parts that agree, in words
	Differs []string // those that do not, or are missing on one side
}

// Sure judges the score.
func (m Match) Sure() Sure {
	switch {
	case m.Score >= 90:
		return Certain
	case m.Score >= 75:
		return Likely
	case m.Score >= 60:
		return Ask
	}
	return No
}

// Compare compares two addresses; it is the same both ways. Another house number, a name that is not nearly the same, or
// opposite directions make a score of zero.
func Compare(a, b Address) Match {
	m := Match{Score: 100}
	for _, part := range []func(*Match, Address, Address) bool{(*Match).number, (*Match).name, (*Match).direction, (*Match).suffix, (*Match).place} {
		if !part(&m, a, b) {
			m.Score = 0
			return m
		}
	}
	m.Score = max(0, m.Score)
	return m
}

func (m *Match) agrees(what string) { m.Agrees = append(m.Agrees, what) }

func (m *Match) differs(cost int, what string) {
	m.Score -= cost
	m.Differs = append(m.Differs, what)
}

// number: the same, within a range of the same side of the street, or with a letter more.
func (m *Match) number(a, b Address) bool {
	x, y := a.Number, b.Number
	switch {
	case x == "" || y == "":
		if x != y {
			m.differs(45, "house number missing on one side")
		}
	case x == y:
		m.agrees("house number")
	case inRange(x, y) || inRange(y, x):
		m.differs(15, "house number within a range")
	case digits(x) == digits(y) && !strings.Contains(x+y, "-"):
		m.differs(20, "letter or fraction of the house number")
	default:
		m.differs(100, "house number")
		return false
	}
	return true
}

// digits is a house number without what follows its digits.
func digits(number string) string {
	if at := strings.IndexFunc(number, func(r rune) bool { return r < '0' || r > '9' }); at >= 0 {
		return number[:at]
	}
	return number
}

// inRange reports whether one is a plain number within the range of the other, on the same side of the street.
func inRange(one, many string) bool {
	from, to, ok := strings.Cut(many, "-")
	if !ok || strings.Contains(one, "-") || one != digits(one) || from != digits(from) || to != digits(to) {
		return false
	}
	n, f, t := value(one), value(from), value(to)
	return f <= n && n <= t && (n-f)%2 == 0
}

// value reads digits; a number too long for a house is as good as any other.
func value(digits string) (n int) {
	for _, r := range digits {
		n = min(n*10+int(r-'0'), 1<<40)
	}
	return n
}

func (m *Match) name(a, b Address) bool {
	x, y := a.joined(), b.joined()
	if x == "" || y == "" {
		m.differs(100, "street name missing")
		return false
	}
	if x == y || a.spelt() == b.spelt() {
		m.agrees("street name")
		return true
	}
	slips, ok := Slips(x, y, min(Forgiven(x), Forgiven(y)))
	if !ok || strings.ContainsAny(x+y, "0123456789") { // a slip in a number is another street: 4TH, 5TH
		m.differs(100, "street name")
		return false
	}
	m.differs(12*slips, "street name, by a slip of the pen: "+strings.Join(a.Name, " ")+" and "+strings.Join(b.Name, " "))
	return true
}

func (m *Match) direction(a, b Address) bool {
	switch {
	case a.Before == b.Before && a.After == b.After:
		if a.Before+a.After != "" {
			m.agrees("direction")
		}
	case a.Before == b.After && a.After == b.Before:
		m.differs(3, "place of the direction")
	case a.Before+a.After == "" || b.Before+b.After == "":
		m.differs(12, "direction missing on one side")
	default:
		m.differs(100, "direction")
		return false
	}
	return true
}

func (m *Match) suffix(a, b Address) bool {
	switch {
	case a.Suffix == b.Suffix && a.Suffix != "":
		m.agrees("suffix")
	case a.Suffix == b.Suffix:
	case a.Suffix == "" || b.Suffix == "":
		m.differs(12, "suffix missing on one side")
	default:
		m.differs(35, "suffix: "+a.Suffix+" and "+b.Suffix)
	}
	return true
}

// place: town and postcode. A town may go by two names; with another town and another postcode it is another place.
func (m *Match) place(a, b Address) bool {
	towns, codes := a.Town != "" && b.Town != "", a.Code != "" && b.Code != ""
	sameTown := towns && sameTown(a.Town, b.Town)
	if codes && a.Code == b.Code {
		m.agrees("postcode")
	}
	if sameTown {
		m.agrees("town")
	}
	switch {
	case !towns && !codes:
		m.differs(5, "town not known on one side")
	case towns && !sameTown && codes && a.Code != b.Code:
		m.differs(100, "town and postcode")
		return false
	case towns && !sameTown && codes:
		m.differs(5, "town: "+a.Town+" and "+b.Town)
	case towns && !sameTown:
		m.differs(30, "town: "+a.Town+" and "+b.Town)
	case codes && a.Code != b.Code:
		m.differs(12, "postcode: "+a.Code+" and "+b.Code)
	}
	return true
}

func sameTown(a, b string) bool {
	if a == b {
		return true
	}
	_, near := Slips(a, b, min(Forgiven(a), Forgiven(b)))
	return near || strings.HasPrefix(a, b+" ") || strings.HasPrefix(b, a+" ")
}
