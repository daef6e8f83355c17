package hours

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"os"
	"testing"
	"time"
	_ "time/tzdata"
)

// reference is testdata/hours/reference.json.gz; the script beside it says how it is made and what it holds.
type reference struct {
	Source string
	Year   int
	Zones  []struct {
		Zone  string
		Cases []referenceCase
	}
}

type referenceCase struct {
	Text    string
	Minutes []int64 // closed and open in turn, from the year's beginning
}

func (c referenceCase) spans(from time.Time) []Span {
	var spans []Span
	for i := 0; i+1 < len(c.Minutes); i += 2 {
		open := from.Add(time.Duration(c.Minutes[i]) * time.Minute)
		from = open.Add(time.Duration(c.Minutes[i+1]) * time.Minute)
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

// difference is a stretch of the year in which an expression is known to differ from the reference, and why we keep it.
type difference struct {
	reason string
	only   func(year int, loc *time.Location) Span
}

// The reference finds "the day before" by going back 24 hours. In the first hour of the Monday after the spring change,
// which a day of 23 hours precedes, it lands on Saturday and takes windows over midnight from there: it opens for Saturday
// night and not for Sunday night. The specification knows only the day before.
var springMonday = difference{
	reason: "the reference takes Saturday for the day before the Monday that follows the spring change",
	only: func(year int, loc *time.Location) Span {
		day := 9 // of March 2026 in New York
		if loc.String() == "Europe/Berlin" {
			day = 30
		}
		return Span{time.Date(year, 3, day, 0, 0, 0, 0, loc), time.Date(year, 3, day, 1, 0, 0, 0, loc)}
	},
}

// The reference opens on no day at all for a range that ends on a 29th of February, in leap years too. The specification
// has no such exception, so in a year without that day the range ends with the 28th.
var leapDay = difference{
	reason: "the reference gives nothing for a range of days up to Feb 29",
	only: func(year int, loc *time.Location) Span {
		return Span{time.Date(year, 2, 20, 0, 0, 0, 0, loc), time.Date(year, 3, 1, 0, 0, 0, 0, loc)}
	},
}

// differences lists every expression of the reference file whose hours differ from ours.
var differences = map[string]difference{
	"Sa 22:00-04:00; Su 01:00-02:00":                                               springMonday,
	"Su 01:00-02:00; Sa 22:00-04:00":                                               springMonday,
	"Th 15:00-18:15; Oct-May Su 07:45-08:45,23:00-04:15":                           springMonday,
	"Fr,Su 03:30-01:45; Th,Su 09:00-17:45,21:30-02:00, Fr 01:30-08:15,10:15-16:15": springMonday,
	"Nov 06,Nov 21 Fr 08:45-13:45,15:30-17:30; Su 04:45-15:30,18:45-00:15":         springMonday,
	"00:00-05:00; Aug 17-May 25 Mo,Su-Th 16:15-13:15; We 09:30-09:00":              springMonday,
	"Mar 08 22:00-04:00":               springMonday, // in New York
	"Mar 29,Nov 01,Oct 25 22:00-04:00": springMonday, // in Berlin
	"Feb 20-29 10:00-12:00":            leapDay,
}

// TestReference compares a year of every expression with the npm package opening_hours 3.15.0, in two zones, to the
// minute.
func TestReference(t *testing.T) {
	ref := readReference(t)
	seen := map[string]bool{}
	for _, zone := range ref.Zones {
		loc := location(t, zone.Zone)
		from := time.Date(ref.Year, 1, 1, 0, 0, 0, 0, loc)
		to := time.Date(ref.Year+1, 1, 1, 0, 0, 0, 0, loc)
		if len(zone.Cases) < 200 {
			t.Errorf("%s: %d expressions, want 200 or more", zone.Zone, len(zone.Cases))
		}
		for _, c := range zone.Cases {
			got, want := parse(t, c.Text).Spans(loc, from, to), c.spans(from)
			differ := Union(Subtract(got, want), Subtract(want, got))
			if known, ok := differences[c.Text]; ok {
				rest := Subtract(differ, []Span{known.only(ref.Year, loc)})
				seen[c.Text] = seen[c.Text] || len(differ) > 0
				if len(rest) > 0 {
					t.Errorf("%s %q: differs at %v, want a difference only because %s", zone.Zone, c.Text, differ, known.reason)
				}
			} else if len(differ) > 0 {
				t.Errorf("%s %q: %d differences from the reference, the first at %v", zone.Zone, c.Text, len(differ), differ[0])
			}
		}
	}
	for text := range differences {
		if !seen[text] {
			t.Errorf("%q is listed as a difference and is none", text)
		}
	}
}
