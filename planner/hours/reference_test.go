package hours

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"slices"
	"testing"
	"time"
	_ "time/tzdata"
)

// reference is testdata/hours/reference.json.gz; the script beside it says how it is made and what it holds.
type reference struct {
	Source      string
	Year, Years int
	Zones       []string
	Holidays    []string // 2006-01-02
	Cases       []referenceCase
}

type referenceCase struct {
	Text    string
	Minutes [][]int64 // by zone: closed and open in turn, from the first year's beginning
}

func (c referenceCase) spans(zone int, from time.Time) []Span {
	var spans []Span
	for i := 0; i+1 < len(c.Minutes[zone]); i += 2 {
		open := from.Add(time.Duration(c.Minutes[zone][i]) * time.Minute)
		from = open.Add(time.Duration(c.Minutes[zone][i+1]) * time.Minute)
		spans = append(spans, Span{open, from})
	}
	return spans
}

func readReference(t *testing.T) reference {
	t.Helper()
	packed, err := os.ReadFile("../../testdata/hours/reference.json.gz")
	if err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	var ref reference
	if err := json.NewDecoder(z).Decode(&ref); err != nil {
		t.Fatal(err)
	}
	return ref
}

// listedDays are public holidays by 2006-01-02.
type listedDays []string

func (l listedDays) Holiday(year int, month time.Month, day int) bool {
	return slices.Contains(l, fmt.Sprintf("%04d-%02d-%02d", year, month, day))
}

// springMonday is the first hour of each Monday that follows the spring change, a Sunday of 23 hours. The reference finds
// "the day before" by going back 24 hours, lands on Saturday and takes windows over midnight from there: it opens for
// Saturday night and not for Sunday night. The specification knows only the day before.
func springMonday(ref reference, loc *time.Location) []Span {
	var hours []Span
	for day := time.Date(ref.Year, 1, 1, 0, 0, 0, 0, loc); day.Year() < ref.Year+ref.Years; day = day.AddDate(0, 0, 1) {
		if next := day.AddDate(0, 0, 1); day.Weekday() == time.Sunday && next.Sub(day) == 23*time.Hour {
			hours = append(hours, Span{next, next.Add(time.Hour)})
		}
	}
	return hours
}

// deviations are differences of single expressions, with the reason. Each is at the times that only gives, if any.
var deviations = []struct {
	reason string
	about  *regexp.Regexp
	zone   string // empty: any
	only   func(loc *time.Location) Span
}{
	{
		"the reference opens on no day at all for a range of days up to Feb 28 or 29; the specification has no such exception, and in a year without the 29th the range ends with the 28th",
		regexp.MustCompile(`Feb \d\d-2[89]\b`), "", func(loc *time.Location) Span {
			return Span{time.Date(2026, 2, 20, 0, 0, 0, 0, loc), time.Date(2027, 3, 2, 0, 0, 0, 0, loc)}
		},
	},
	{
		"the reference counts weeks in hours: in the south, where clocks go back in autumn, weeks 14 to 39 of 2027 do not come at all",
		regexp.MustCompile(`week `), "Australia/Adelaide", func(loc *time.Location) Span {
			return Span{time.Date(2027, 4, 5, 0, 0, 0, 0, loc), time.Date(2027, 10, 5, 0, 0, 0, 0, loc)}
		},
	},
	{
		"two windows, one closing and one opening at clock times that the spring change skips, are one to the reference",
		regexp.MustCompile(`^2026 Aug 26 01:45-11:30,19:45-21:45, Mar 23-Jun 16 02:45-07:15,15:15-02:30$`), "Europe/Berlin", func(loc *time.Location) Span {
			return Span{time.Date(2026, 3, 29, 3, 30, 0, 0, loc), time.Date(2027, 3, 28, 3, 45, 0, 0, loc)}
		},
	},
}

// TestReference compares two years of every expression with the npm package opening_hours 3.15.0, in three zones, to the
// minute. Where we differ for a known reason is no more than a few expressions, and only at those times.
func TestReference(t *testing.T) {
	ref := readReference(t)
	if len(ref.Cases) < 1200 || ref.Years < 2 || len(ref.Zones) < 3 {
		t.Fatalf("the reference holds %d expressions over %d years in %d zones", len(ref.Cases), ref.Years, len(ref.Zones))
	}
	holidays := listedDays(ref.Holidays)
	excused := 0
	for zone, name := range ref.Zones {
		loc := location(t, name)
		from := time.Date(ref.Year, 1, 1, 0, 0, 0, 0, loc)
		to := time.Date(ref.Year+ref.Years, 1, 1, 0, 0, 0, 0, loc)
		mondays := springMonday(ref, loc)
		for _, c := range ref.Cases {
			got, want := parse(t, c.Text).Observing(holidays).Spans(loc, from, to), c.spans(zone, from)
			differ := Union(Subtract(got, want), Subtract(want, got))
			if len(differ) == 0 {
				continue
			}
			rest := Subtract(differ, mondays)
			for _, k := range deviations {
				if k.about.MatchString(c.Text) && (k.zone == "" || k.zone == name) {
					rest = Subtract(rest, []Span{k.only(loc)})
				}
			}
			if len(rest) > 0 {
				t.Errorf("%s %q: %d differences from the reference, the first at %v", name, c.Text, len(rest), rest[0])
				continue
			}
			excused++
		}
	}
	if most := len(ref.Cases) * len(ref.Zones) / 10; excused == 0 || excused > most {
		t.Errorf("%d of %d comparisons differ for a known reason; want some, and at most %d", excused, len(ref.Cases)*len(ref.Zones), most)
	}
	t.Logf("%d expressions in %d zones over %d years; %d differ for a known reason", len(ref.Cases), len(ref.Zones), ref.Years, excused)
}
