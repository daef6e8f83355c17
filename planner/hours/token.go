package hours

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// SyntaxError says in plain words what in a text of hours was not understood, and where.
type SyntaxError struct {
	Text    string // the whole text
	Column  int    // 1-based, in characters
	Problem string
}

// Error names the column and the problem.
func (e *SyntaxError) Error() string {
	return fmt.Sprintf("hours %q, column %d: %s", e.Text, e.Column, e.Problem)
}

type kind int

const (
	endOfText kind = iota
	word           // letters
	number         // digits
	clock          // digits, colon, digits
	always         // 24/7
	comment        // text between quotes
	sign           // any other single character
)

// token is a piece of the text; text is as written, without the quotes of a comment.
type token struct {
	kind   kind
	text   string
	column int
}

// is reports whether the token is this sign.
func (t token) is(s string) bool { return t.kind == sign && t.text == s }

// isWord reports whether the token is this word, in upper or lower case.
func (t token) isWord(s string) bool { return t.kind == word && strings.EqualFold(t.text, s) }

// scanner cuts text into tokens.
type scanner struct {
	text   string
	pos    int // byte offset
	column int // of pos
}

func scan(text string) ([]token, error) {
	s := scanner{text: text, column: 1}
	if !utf8.ValidString(text) {
		valid := strings.ToValidUTF8(text, string(utf8.RuneError))
		column := 1 + utf8.RuneCountInString(valid[:strings.IndexRune(valid, utf8.RuneError)])
		return nil, &SyntaxError{Text: valid, Column: column, Problem: "this is not readable text (not UTF-8)"}
	}
	var tokens []token
	for {
		s.take(unicode.IsSpace)
		t, err := s.next()
		if err != nil {
			return nil, err
		}
		tokens = append(tokens, t)
		if t.kind == endOfText {
			return tokens, nil
		}
	}
}

func (s *scanner) next() (token, error) {
	t := token{column: s.column}
	switch r := s.peek(); {
	case s.pos == len(s.text):
	case unicode.IsLetter(r):
		t.kind, t.text = word, s.take(unicode.IsLetter)
	case isDigit(r):
		t.kind, t.text = s.digits()
	case r == '"':
		s.skip()
		t.kind, t.text = comment, s.take(func(r rune) bool { return r != '"' })
		if s.pos == len(s.text) {
			return t, &SyntaxError{Text: s.text, Column: t.column, Problem: `this note has no closing quotation mark (")`}
		}
		s.skip()
	default:
		t.kind, t.text = sign, s.skip()
		if t.text == "–" || t.text == "−" { // dashes that word processors make of a hyphen
			t.text = "-"
		}
	}
	return t, nil
}

// digits takes a number, a clock time or 24/7.
func (s *scanner) digits() (kind, string) {
	start := s.pos
	s.take(isDigit)
	rest := s.text[s.pos:]
	switch {
	case s.text[start:s.pos] == "24" && strings.HasPrefix(rest, "/7"):
		s.skip()
		s.skip()
		return always, "24/7"
	case len(rest) > 1 && rest[0] == ':' && isDigit(rune(rest[1])):
		s.skip()
		s.take(isDigit)
		return clock, s.text[start:s.pos]
	}
	return number, s.text[start:s.pos]
}

func (s *scanner) peek() rune {
	r, _ := utf8.DecodeRuneInString(s.text[s.pos:])
	return r
}

// skip takes one character.
func (s *scanner) skip() string {
	_, size := utf8.DecodeRuneInString(s.text[s.pos:])
	s.pos += size
	s.column++
	return s.text[s.pos-size : s.pos]
}

// take takes characters while they are wanted.
func (s *scanner) take(wanted func(rune) bool) string {
	start := s.pos
	for s.pos < len(s.text) && wanted(s.peek()) {
		s.skip()
	}
	return s.text[start:s.pos]
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }
