package holidays_test

import (
	"compress/gzip"
	"encoding/json"
	"os"
	"slices"
	"testing"
	"time"

	"valveround/events/holidays"
)

// reference is what testdata/hours/reference.json.gz says of public holidays; the npm package opening_hours 3.15.0 has its
// own table of them.
type reference struct {
	Year, Years int
	Holidays    []string
}

func TestAgreesWithAnotherTable(t *testing.T) {
	file, err := os.Open("../../testdata/hours/reference.json.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	z, err := gzip.NewReader(file)
	if err != nil {
		t.Fatal(err)
	}
	var ref reference
	if err := json.NewDecoder(z).Decode(&ref); err != nil {
		t.Fatal(err)
	}
	if len(ref.Holidays) < 22 {
		t.Fatalf("the reference has %d holidays in %d years", len(ref.Holidays), ref.Years)
	}
	country, _ := holidays.Of("US")
	for day := time.Date(ref.Year, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() < ref.Year+ref.Years; day = day.AddDate(0, 0, 1) {
		got, want := country.Name(day.Date()), slices.Contains(ref.Holidays, day.Format(time.DateOnly))
		// The reference keeps 2027 and does not look ahead to New Year's Day 2028, a Saturday, observed on the Friday before
		// (5 U.S.C. 6103(b)).
		if day.Format(time.DateOnly) == "2027-12-31" && got == "New Year's Day" && !want {
			continue
		}
		if (got != "") != want {
			t.Errorf("%s: %q, in the reference a holiday: %v", day.Format(time.DateOnly), got, want)
		}
	}
}

// Easter 2026 is 5 April: U.S. Naval Observatory, "The Date of Easter", from memory. Independence Day 2026 is a Saturday,
// observed on Friday (5 U.S.C. 6103(b)).
func TestKnownDays(t *testing.T) {
	for _, c := range []struct {
		region, day string
		want        bool
	}{
		{"US", "2026-07-03", true}, {"US", "2026-07-04", true}, {"US", "2026-07-06", false}, {"US", "2026-11-26", true}, {"US", "2026-11-27", false},
		{"GB", "2026-04-06", true}, {"GB", "2026-04-05", false}, {"GB", "2026-12-28", true},
		{"AU-QLD", "2026-04-03", true}, {"IE", "2026-03-17", true}, {"ZA", "2026-04-27", true}, {"CA", "2026-07-01", true},
	} {
		r, ok := holidays.Of(c.region)
		day, err := time.Parse(time.DateOnly, c.day)
		if !ok || err != nil {
			t.Fatal(c, err)
		}
		if got := r.Holiday(day.Date()); got != c.want {
			t.Errorf("%s in %s: holiday %v, want %v (%s)", c.day, c.region, got, c.want, r.Name(day.Date()))
		}
	}
}

func TestUnknownRegions(t *testing.T) {
	for _, code := range []string{"", "us", "XX", "AU"} {
		if _, ok := holidays.Of(code); ok {
			t.Errorf("region %q is known", code)
		}
	}
	if !slices.Contains(holidays.Regions(), "US") || !slices.IsSorted(holidays.Regions()) {
		t.Errorf("regions: %v", holidays.Regions())
	}
	var none holidays.Region
	if none.Holiday(2026, time.December, 25) {
		t.Error("the zero region has holidays")
	}
}
