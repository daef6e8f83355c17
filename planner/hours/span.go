package hours

import (
	"slices"
	"time"
)

// Span is the half-open stretch of time [Open, Close). In the results of this package it is never empty.
type Span struct {
	Open, Close time.Time
}

// Duration returns how long the span lasts.
func (s Span) Duration() time.Duration { return s.Close.Sub(s.Open) }

// Union returns the time that is in a or in b, sorted and merged: spans that touch become one. Either may be in any order.
func Union(a, b []Span) []Span {
	all := slices.Concat(a, b)
	slices.SortFunc(all, func(s, t Span) int { return s.Open.Compare(t.Open) })
	var merged []Span
	for _, s := range all {
		merged = appendSpan(merged, s)
	}
	return merged
}

// Intersect returns the time that is in a and in b. Both must be sorted and merged, and so is the result.
func Intersect(a, b []Span) []Span {
	var common []Span
	for i, j := 0, 0; i < len(a) && j < len(b); {
		common = appendSpan(common, Span{later(a[i].Open, b[j].Open), earlier(a[i].Close, b[j].Close)})
		if a[i].Close.Before(b[j].Close) {
			i++
		} else {
			j++
		}
	}
	return common
}

// Subtract returns the time that is in a and not in b. Both must be sorted and merged, and so is the result.
func Subtract(a, b []Span) []Span {
	var left []Span
	for _, s := range a {
		for len(b) > 0 && !b[0].Close.After(s.Open) {
			b = b[1:]
		}
		open := s.Open
		for _, gone := range b {
			if !gone.Open.Before(s.Close) {
				break
			}
			left = appendSpan(left, Span{open, gone.Open})
			open = later(open, gone.Close)
		}
		left = appendSpan(left, Span{open, s.Close})
	}
	return left
}

// Shift returns the spans moved by d, later if d is positive.
func Shift(spans []Span, d time.Duration) []Span {
	moved := make([]Span, len(spans))
	for i, s := range spans {
		moved[i] = Span{s.Open.Add(d), s.Close.Add(d)}
	}
	return moved
}

// appendSpan adds a span that opens no earlier than the last one, merging the two if they touch; an empty one is left out.
func appendSpan(spans []Span, s Span) []Span {
	if !s.Open.Before(s.Close) {
		return spans
	}
	if n := len(spans); n > 0 && !s.Open.After(spans[n-1].Close) {
		spans[n-1].Close = later(spans[n-1].Close, s.Close)
		return spans
	}
	return append(spans, s)
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
