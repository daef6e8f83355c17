package hours

import (
	"fmt"
	"slices"
	"time"

	"valveround/events/holidays"
)

// Hours says when something is open. It never changes once made. The zero value is never open and is written "off".
type Hours struct {
	rules    []Rule
	calendar Calendar // of public holidays; nil: none is known
}

// Calendar tells public holidays.
type Calendar interface {
	Holiday(year int, month time.Month, day int) bool
}

// Observing returns the same hours, whose "PH" means the public holidays of the calendar. Hours that name holidays and
// observe no calendar take no day for one: ask NamesHolidays first, and the people of the site for their region.
func (h Hours) Observing(c Calendar) Hours {
	h.calendar = c
	return h
}

// NamesHolidays reports whether public holidays matter to the hours.
func (h Hours) NamesHolidays() bool {
	return slices.ContainsFunc(h.rules, func(r Rule) bool { return r.Holidays })
}

// Parse reads hours from text. Text with nothing in it is an error, for only the caller knows whether no hours mean
// "always" or "not known yet". Every error is a [*SyntaxError].
func Parse(text string) (Hours, error) {
	tokens, err := scan(text)
	if err != nil {
		return Hours{}, err
	}
	p := parser{text: text, tokens: tokens}
	rules, err := p.hours()
	if err != nil {
		return Hours{}, err
	}
	return of(rules), nil
}

// ParseIn reads hours as Parse does, for a place in a region: "PH" means that region's public holidays, by the codes of
// package holidays. Hours that name holidays where the region is not set or not known are an error, for nobody knows when
// they are.
func ParseIn(text, region string) (Hours, error) {
	h, err := Parse(text)
	if err != nil || !h.NamesHolidays() {
		return h, err
	}
	switch days, ok := holidays.Of(region); {
	case ok:
		return h.Observing(days), nil
	case region == "":
		return Hours{}, fmt.Errorf("hours %q name public holidays (PH), and the region whose holidays they are is not set", text)
	}
	return Hours{}, fmt.Errorf("hours %q name public holidays (PH), and those of region %q are not known", text, region)
}

// of gives never open its one form, the zero value.
func of(rules []Rule) Hours {
	if len(rules) == 1 && rules[0].equal(Rule{Closed: true}) {
		rules = nil
	}
	return Hours{rules: rules}
}

// Always returns the hours "24/7".
func Always() Hours { return Hours{rules: []Rule{{}}} }

// FromRules makes hours of rules that an editor has put together. Rules that the notation cannot say, such as a 30th of
// February or a note with a quotation mark in it, are an error. No rules are the zero value, never open.
func FromRules(rules []Rule) (Hours, error) {
	made := of(cloneRules(rules))
	read, err := Parse(made.String())
	if err != nil {
		return Hours{}, fmt.Errorf("make hours from rules: %w", err)
	}
	if !read.Equal(made) {
		return Hours{}, fmt.Errorf("make hours from rules: %q would be read back as %q", made, read)
	}
	return read, nil
}

// Tree returns a copy of the rules, left to right; empty for the zero value.
func (h Hours) Tree() []Rule { return cloneRules(h.rules) }

// Equal reports whether both hours have the same rules in the same order. Hours written differently may still be open at
// the same times.
func (h Hours) Equal(other Hours) bool { return slices.EqualFunc(h.rules, other.rules, Rule.equal) }

// Covers reports whether the hours are open during the whole of [from, to), read in the zone loc. With from equal to to
// it reports whether they are open at that instant; with to before from it reports false.
func (h Hours) Covers(loc *time.Location, from, to time.Time) bool {
	if to.Before(from) {
		return false
	}
	if to.Equal(from) {
		to = from.Add(time.Nanosecond)
	}
	spans := h.Spans(loc, from, to)
	return len(spans) == 1 && spans[0].Open.Equal(from) && spans[0].Close.Equal(to)
}
