package papers

import (
	"strings"
	"unicode"

	"valveround/events"
	"valveround/services/words"
)

// unsaid stands where a code or number was taken out of free text.
const unsaid = "(on screen only)"

// secrets are the codes and telephone numbers on record of one site.
type secrets []string

// secretsOf collects what must not be printed about a site: its own code and its contacts' numbers and codes.
func secretsOf(b *events.Book, people *words.People, id events.SiteID) secrets {
	var list secrets
	add := func(key string) {
		for _, text := range []string{people.Of(key).Code, people.Of(key).Phone} {
			if text = strings.TrimSpace(text); text != "" {
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
	return list
}

// clear takes the secrets out of free text, wherever somebody typed one into a note.
func (s secrets) clear(text string) string {
	for _, secret := range s {
		text = replaceWhole(text, secret, unsaid)
	}
	return text
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
