package papers

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"valveround/events"
	"valveround/services/words"
)

// unsaid stands where a code or number was taken out of free text.
const unsaid = "(on screen only)"

// secrets are the codes and telephone numbers on record of one site.
type secrets []string

// secretsOf collects what must not be printed about a site: its own code, its contacts' numbers and codes, and the numbers
// of the firm's own people.
func secretsOf(b *events.Book, people *words.People, id events.SiteID) secrets {
	var list secrets
	add := func(key string) {
		for _, text := range []string{people.Of(key).Code, people.Of(key).Phone} {
			if text = strings.TrimSpace(text); text != "" && !slices.Contains(list, text) {
				list = append(list, text)
			}
		}
	}
	add(string(id))
	if s := b.Sites[id]; s != nil {
		for _, c := range s.Contacts {
			add(string(c.Person))
		}
	}
	for person := range b.People {
		add(string(person))
	}
	slices.SortFunc(list, func(x, y string) int { return cmp.Or(cmp.Compare(len(y), len(x)), cmp.Compare(x, y)) }) // the longest first, whole
	return list
}

// clear takes the secrets out of free text, wherever somebody typed one into a note; telephone numbers however they are
// spaced.
func (s secrets) clear(text string) string {
	for _, secret := range s {
		if n := digits(secret); len(n) >= leastPhone {
			if strings.Contains(digits(text), n) {
				text = replaceNumber(text, n)
			}
			continue
		}
		text = replaceWhole(text, secret, unsaid)
	}
	return text
}

// leastPhone is how many digits make a telephone number: a local one has seven (North American Numbering Plan, from
// memory).
const leastPhone = 7

func digits(text string) string {
	return strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, text)
}

// replaceNumber takes a run of digits out of a text, with what stands between them: 555-0142, 555 0142, (555) 0142.
func replaceNumber(text, number string) string {
	pattern := regexp.MustCompile(`(^|[^0-9])\(?` + strings.Join(strings.Split(number, ""), `[ .()/\x{2010}-\x{2013}\x{a0}-]{0,3}`) + `($|[^0-9])`)
	return pattern.ReplaceAllString(text, "${1}"+unsaid+"${2}")
}

func (s secrets) clearAll(texts []string) []string {
	clean := make([]string, len(texts))
	for i, text := range texts {
		clean[i] = s.clear(text)
	}
	return clean
}

// replaceWhole replaces a word where it stands alone: code 12 is not taken out of 1200 Main Street.
func replaceWhole(text, old, with string) string {
	var out strings.Builder
	for {
		i := strings.Index(text, old)
		if i < 0 {
			return out.String() + text
		}
		end := i + len(old)
		before, after := lastRune(text[:i]), firstRune(text[end:])
		if glued(before, firstRune(old)) || glued(lastRune(old), after) {
			out.WriteString(text[:end])
		} else {
			out.WriteString(text[:i] + with)
		}
		text = text[end:]
	}
}

// glued reports whether two neighbours belong to one word or number.
func glued(a, b rune) bool {
	word := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	return word(a) && word(b)
}

func firstRune(text string) rune {
	for _, r := range text {
		return r
	}
	return 0
}

func lastRune(text string) (last rune) {
	for _, r := range text {
		last = r
	}
	return last
}
