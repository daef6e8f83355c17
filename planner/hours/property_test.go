package hours

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var zones = []string{"UTC", "America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "America/Havana", "Africa/Cairo", "Asia/Kathmandu"}

func drawZone(t *rapid.T) *time.Location {
	loc, err := time.LoadLocation(rapid.SampledFrom(zones).Draw(t, "zone"))
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

// drawWindow draws up to 20 days, often with a change of the clock in them.
func drawWindow(t *rapid.T, loc *time.Location) (from, to time.Time) {
	begin := time.Date(2026, 1, 1, 0, 0, 0, 0, loc)
	month := rapid.SampledFrom([]int{2, 3, 9, 10, 11, 0, 6}).Draw(t, "month")
	from = begin.AddDate(0, month, 0).Add(time.Duration(rapid.IntRange(0, 31*24*3600).Draw(t, "from s")) * time.Second)
	return from, from.Add(time.Duration(rapid.IntRange(0, 20*24*3600).Draw(t, "length s")) * time.Second)
}

func drawRules(t *rapid.T, label string) Hours {
	rules := rapid.SliceOfN(rapid.Custom(drawRule), 0, 4).Draw(t, label)
	for i := range rules {
		rules[i].Adds = rules[i].Adds && i > 0
		if i > 0 && rules[i].replacesAll() {
			rules[i].Adds = true
		}
	}
	h, err := FromRules(rules)
	if err != nil {
		t.Fatalf("%+v: %v", rules, err)
	}
	return h.Observing(thirds{})
}

func drawRule(t *rapid.T) Rule {
	return Rule{
		Adds:     rapid.Bool().Draw(t, "adds"),
		Dates:    rapid.SliceOfN(rapid.Custom(drawDates), 0, 2).Filter(yearsGoOn).Draw(t, "dates"),
		Weeks:    rapid.SliceOfN(rapid.Custom(drawWeeks), 0, rapid.SampledFrom([]int{0, 0, 2}).Draw(t, "most weeks")).Draw(t, "weeks"),
		Weekdays: rapid.SliceOfN(rapid.Custom(drawWeekdays), 0, 2).Draw(t, "weekdays"),
		Holidays: rapid.IntRange(0, 3).Draw(t, "holidays") == 0,
		Times:    rapid.SliceOfN(rapid.Custom(drawTimes), 0, 3).Draw(t, "times"),
		Closed:   rapid.Bool().Draw(t, "closed"),
		Comment:  rapid.SampledFrom([]string{"", "", "ring; at gate", "Straße, 2"}).Draw(t, "comment"),
	}
}

// yearsGoOn says that no date without a year follows one with a year, which the notation refuses.
func yearsGoOn(dates []DateRange) bool {
	return len(dates) < 2 || dates[0].From.Year == 0 || dates[1].From.Year != 0
}

func drawDates(t *rapid.T) DateRange {
	year := rapid.SampledFrom([]int{0, 0, 2025, 2026}).Draw(t, "year")
	month := func(label string) time.Month { return time.Month(rapid.IntRange(1, 12).Draw(t, label)) }
	day := func(label string) int { return rapid.IntRange(1, 28).Draw(t, label) }
	d := DateRange{Date{year, month("from month"), 0}, Date{year, month("to month"), 0}}
	switch kind := rapid.IntRange(0, 4).Draw(t, "kind"); {
	case kind == 0 && year != 0:
		return DateRange{Date{Year: year}, Date{Year: year + rapid.IntRange(0, 1).Draw(t, "years")}}
	case kind > 2:
		d.From.Day, d.To.Day = day("from day"), day("to day")
		if year != 0 {
			d.To.Year += rapid.IntRange(0, 1).Draw(t, "years")
		}
	}
	if year != 0 && dateKey(d.To.Year, d.To.Month, d.To.Day) < dateKey(year, d.From.Month, d.From.Day) {
		d.To = d.From
	}
	return d
}

func drawWeekdays(t *rapid.T) WeekdayRange {
	draw := func(label string) time.Weekday { return time.Weekday(rapid.IntRange(0, 6).Draw(t, label)) }
	if from := draw("from"); rapid.IntRange(0, 2).Draw(t, "counted") == 0 {
		return WeekdayRange{from, from, NthOf(rapid.SliceOfN(rapid.SampledFrom([]int{1, 2, 3, 4, 5, -1, -2, -5}), 1, 3).Draw(t, "nth")...)}
	}
	return WeekdayRange{From: draw("from"), To: draw("to")}
}

func drawWeeks(t *rapid.T) WeekRange {
	w := WeekRange{From: rapid.IntRange(1, 53).Draw(t, "from week")}
	w.To = rapid.IntRange(w.From, 53).Draw(t, "to week")
	if every := rapid.IntRange(0, 4).Draw(t, "every"); every > 1 {
		w.Every = every
	}
	return w
}

// thirds is a calendar in which the 3rd of each month is a public holiday.
type thirds struct{}

func (thirds) Holiday(_ int, _ time.Month, day int) bool { return day == 3 }

func drawTimes(t *rapid.T) TimeRange {
	open := rapid.IntRange(0, dayMin-1).Draw(t, "open")
	return TimeRange{open, rapid.IntRange(open+1, 2*dayMin).Draw(t, "close")}
}

func TestTextRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawRules(t, "hours")
		again, err := Parse(h.String())
		if err != nil || !again.Equal(h) {
			t.Fatalf("%+v is written %q and read as %+v, %v", h.rules, h, again.rules, err)
		}
	})
}

// TestSpansAgreeWithPaint compares with a plain reading of the rules, one minute at a time, in a zone that never changes.
func TestSpansAgreeWithPaint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := drawRules(t, "hours")
		from, to := drawWindow(t, time.UTC)
		spans := h.Spans(time.UTC, from, to)
		for range 50 {
			at := from.Add(time.Duration(rapid.Int64Range(0, int64(to.Sub(from))).Draw(t, "at")))
			if !at.Before(to) {
				continue
			}
			got := slices.ContainsFunc(spans, func(s Span) bool { return !at.Before(s.Open) && at.Before(s.Close) })
			if want := paintedOpen(h, at); got != want {
				t.Fatalf("%q at %v is open: %v, want %v", h, at, got, want)
			}
		}
	})
}

// paintedOpen reads the rules one after the other for one instant: the last one that has something to say wins. It uses
// nothing of the expansion but matches.
func paintedOpen(h Hours, at time.Time) bool {
	minute := at.Hour()*60 + at.Minute()
	today, yesterday := civil(at), civil(at).AddDate(0, 0, -1)
	open := false
	for _, r := range h.rules {
		inside := false
		for _, t := range r.Times {
			inside = inside || h.matches(r, today) && t.OpenMin <= minute && minute < t.CloseMin ||
				h.matches(r, yesterday) && t.OpenMin <= minute+dayMin && minute+dayMin < t.CloseMin
		}
		inside = inside || len(r.Times) == 0 && h.matches(r, today)
		switch {
		case inside:
			open = !r.Closed
		case h.matches(r, today) && !r.Closed && !r.Adds:
			open = false
		}
	}
	return open
}

func TestSpansAreSortedMergedAndClipped(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loc := drawZone(t)
		h := drawRules(t, "hours")
		from, to := drawWindow(t, loc)
		spans := h.Spans(loc, from, to)
		checkSpans(t, spans)
		if n := len(spans); n > 0 && (spans[0].Open.Before(from) || spans[n-1].Close.After(to)) {
			t.Fatalf("%q leaves [%v, %v): %v", h, from, to, spans)
		}
		middle := from.Add(time.Duration(rapid.Int64Range(0, int64(to.Sub(from))).Draw(t, "middle")))
		parts := Union(h.Spans(loc, from, middle), h.Spans(loc, middle, to))
		if !sameSpans(spans, parts) {
			t.Fatalf("%q: whole %v, in two parts %v", h, spans, parts)
		}
	})
}

func checkSpans(t *rapid.T, spans []Span) {
	for i, s := range spans {
		if !s.Open.Before(s.Close) || i > 0 && !spans[i-1].Close.Before(s.Open) {
			t.Fatalf("span %d is empty or touches the one before: %v", i, spans)
		}
	}
}

func sameSpans(a, b []Span) bool {
	return slices.EqualFunc(a, b, func(s, o Span) bool { return s.Open.Equal(o.Open) && s.Close.Equal(o.Close) })
}

func TestCoversAgreesWithSpans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loc := drawZone(t)
		h := drawRules(t, "hours")
		from, to := drawWindow(t, loc)
		closed := Subtract([]Span{{from, to}}, h.Spans(loc, from, to))
		if from.Before(to) && h.Covers(loc, from, to) != (len(closed) == 0) {
			t.Fatalf("%q covers [%v, %v): %v, closed at %v", h, from, to, h.Covers(loc, from, to), closed)
		}
		for _, s := range h.Spans(loc, from, to) {
			if !h.Covers(loc, s.Open, s.Close) || h.Covers(loc, s.Close, s.Close) && s.Close.Before(to) {
				t.Fatalf("%q: Covers is not true of span %v, or true of its end", h, s)
			}
		}
	})
}

// clockChanges are the hours around each change of the clock. A window that closes at a skipped time and another that
// opens within the skip are one window when they are rules of one text, and two when each is read alone.
func clockChanges(loc *time.Location, from, to time.Time) []Span {
	var around []Span
	for at := from.In(loc); ; {
		_, next := at.ZoneBounds()
		if next.IsZero() || next.After(to) {
			return around
		}
		around = Union(around, []Span{{next.Add(-time.Hour), next.Add(2 * time.Hour)}})
		at = next
	}
}

// TestCommaIsUnion: an open rule after a comma adds its own hours, no more and no less.
func TestCommaIsUnion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		loc := drawZone(t)
		h := drawRules(t, "hours")
		extra := rapid.Custom(drawRule).Draw(t, "extra")
		extra.Closed = false
		extra.Adds = false
		alone := Hours{rules: []Rule{extra}}.Observing(thirds{})
		extra.Adds = true
		both := Hours{rules: append(h.Tree(), extra)}.Observing(thirds{})
		from, to := drawWindow(t, loc)
		want := Union(h.Spans(loc, from, to), alone.Spans(loc, from, to))
		changes := clockChanges(loc, from, to)
		if got := both.Spans(loc, from, to); !sameSpans(Subtract(got, changes), Subtract(want, changes)) {
			t.Fatalf("%q is open at %v, want %v", both, got, want)
		}
	})
}

func drawSpans(label string) *rapid.Generator[[]Span] {
	return rapid.Custom(func(t *rapid.T) []Span {
		begin := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
		var spans []Span
		for range rapid.IntRange(0, 6).Draw(t, label) {
			open := rapid.IntRange(0, 40).Draw(t, "open")
			length := rapid.IntRange(0, 10).Draw(t, "length")
			spans = append(spans, Span{begin.Add(time.Duration(open) * time.Hour), begin.Add(time.Duration(open+length) * time.Hour)})
		}
		return Union(spans, nil)
	})
}

func TestSpanSets(t *testing.T) {
	contains := func(spans []Span, at time.Time) bool {
		return slices.ContainsFunc(spans, func(s Span) bool { return !at.Before(s.Open) && at.Before(s.Close) })
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSpans("a").Draw(t, "a"), drawSpans("b").Draw(t, "b")
		union, common, left := Union(a, b), Intersect(a, b), Subtract(a, b)
		for _, spans := range [][]Span{a, b, union, common, left} {
			checkSpans(t, spans)
		}
		for h := -1; h < 52; h++ {
			at := time.Date(2026, 1, 1, h, 0, 0, 0, time.UTC)
			inA, inB := contains(a, at), contains(b, at)
			if contains(union, at) != (inA || inB) || contains(common, at) != (inA && inB) || contains(left, at) != (inA && !inB) {
				t.Fatalf("at hour %d: a %v, b %v, union %v, common %v, left %v", h, a, b, union, common, left)
			}
		}
		if back := Shift(Shift(a, time.Hour), -time.Hour); !sameSpans(back, a) {
			t.Fatalf("%v moved there and back is %v", a, back)
		}
	})
}

// FuzzParse: whatever is read can be written and read again, and an error points into the text.
func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"24/7", "off", "Mo-Fr 05:00-09:00,13:00-15:00; Dec 24-26 off", "Nov-Mar: Sa,Su 22:00-26:00 open \"ring\"",
		"2026 Dec 24-2027 Jan 02,2027 Dec 24,26 off, Mo 08:00-12:00", "PH off", "Mo[1] sunrise-20:00+ || off", "Mo–Fr 8:00-9:00;",
		"2026-2028 Fr-Mo 00:00-48:00", "open \"\xff\"", "Dec 99", "\"", "Mo open, 10:00-12:00",
		"week 01-53/2 We[2,-1],PH 10:00-12:00; PH,Mo off; 2026 Apr week 12,20-30: Fr", "week 53-1", "Mo[1-", "PH PH", "week 1 2026",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		h, err := Parse(text)
		if err != nil {
			var syntax *SyntaxError
			if !errors.As(err, &syntax) || syntax.Column < 1 || syntax.Column > len([]rune(text))+1 || strings.TrimSpace(syntax.Problem) == "" {
				t.Fatalf("Parse(%q): %#v", text, err)
			}
			return
		}
		again, err := Parse(h.String())
		if err != nil || !again.Equal(h) || again.String() != h.String() {
			t.Fatalf("Parse(%q) is written %q and read as %q, %v", text, h, again, err)
		}
		if made, err := FromRules(h.Tree()); err != nil || !made.Equal(h) {
			t.Fatalf("FromRules of the tree of %q = %q, %v", text, made, err)
		}
		from := time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)
		h.Spans(time.UTC, from, from.AddDate(0, 0, 10))
	})
}
