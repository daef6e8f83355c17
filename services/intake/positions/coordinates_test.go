package positions_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/services/intake/positions"
)

func TestParseCoordinates(t *testing.T) {
	tests := []struct {
		text     string
		lat, lon float64
	}{
		{"41.2, -95.9", 41.2, -95.9},
		{"41.2 -95.9", 41.2, -95.9},
		{"41.2;-95.9", 41.2, -95.9},
		{"(41.2, −95.9)", 41.2, -95.9},
		{"41,2; -95,9", 41.2, -95.9},
		{"41,2 -95,9", 41.2, -95.9},
		{"41,2, -95,9", 41.2, -95.9},
		{"N 41.2 W 95.9", 41.2, -95.9},
		{"41.2N 95.9W", 41.2, -95.9},
		{"41.2n, 95.9w", 41.2, -95.9},
		{"95.9 W, 41.2 N", 41.2, -95.9},
		{"lat: 41.2, lon: -95.9", 41.2, -95.9},
		{"Longitude=-95.9 Latitude=41.2", 41.2, -95.9},
		{`41°12'0"N 95°54'0"W`, 41.2, -95.9},
		{"41° 12′ 0″ N, 95° 54′ 0″ W", 41.2, -95.9},
		{"41 12 N 95 54 W", 41.2, -95.9},
		{"41 12.0, -95 54.0", 41.2, -95.9},
		{"41 12 0 -95 54 0", 41.2, -95.9},
		{"S 33° 30' E 151° 15' 36''", -33.5, 151.26},
		// RFC 5870, sections 1, 6.1 to 6.3 (from memory).
		{"geo:13.4125,103.8667", 13.4125, 103.8667},
		{"geo:48.2010,16.3695,183", 48.2010, 16.3695},
		{"geo:48.198634,16.371648;crs=wgs84;u=40", 48.198634, 16.371648},
		{"GEO:66,30;u=6.500;FOo=this%2dthat", 66, 30},
		{"geo:90,-22.43;crs=WGS84", 90, -22.43},
		// ISO 6709:2008, annex H (from memory): one place in three notations.
		{"+40.20361-075.00417/", 40.20361, -75.00417},
		{"+4012.22-07500.25/", 40 + 12.22/60, -(75 + 0.25/60)},
		{"+401213.1-0750015.1/", 40 + 12/60.0 + 13.1/3600, -(75 + 15.1/3600)},
		{"+27.5916+086.5640+8850CRSWGS_84/", 27.5916, 86.5640},
	}
	for _, test := range tests {
		t.Run(test.text, func(t *testing.T) {
			c, err := positions.ParseCoordinates(test.text)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(c.At.LatDeg()-test.lat) > 1e-9 || math.Abs(c.At.LonDeg()-test.lon) > 1e-9 {
				t.Errorf("read as %v (%s), want %v, %v", c.At, c.ReadAs, test.lat, test.lon)
			}
		})
	}
	if c, _ := positions.ParseCoordinates("geo:48.198634,16.371648;crs=wgs84;u=40"); c.UncertaintyM != 40 {
		t.Errorf("uncertainty %v m, want 40", c.UncertaintyM)
	}
}

func TestNotCoordinates(t *testing.T) {
	tests := []struct{ text, says string }{
		{"", "latitude and longitude"}, {"41.2", "latitude and longitude"}, {"41.2, -95.9, 12", "latitude and longitude"},
		{"-95.9, 41.2", "longitude first"}, {"0, 0", "sea"}, {"95.9, 195.9", "latitude"}, {"41.2, 200", "longitude"},
		{"41 61 N 95 54 W", "60 or more"}, {"41.5 12 N 95 54 W", "fraction"}, {"-41.2 S, 95.9 E", "twice"}, {"41.2 N, 95.9 N", "letters"},
		{"41.2 E, 95.9 W", "letters"}, {"41'12 N, 95 54 W", "wrong number"}, {"12 Mill St", "not part of a position"}, {"geo:41.2", "latitude and longitude"},
		{"geo:41.2,-95.9;crs=nad27", "WGS 84"}, {"+4012-07500CRSNAD27/", "WGS 84"}, {"geo:NaN,0", "not a number"}, {"41.2 lat -95.9 lat", "latitude and longitude"},
	}
	for _, test := range tests {
		if c, err := positions.ParseCoordinates(test.text); err == nil || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%q is read as %v, %v; want an error with %q", test.text, c.At, err, test.says)
		}
	}
}

// TestWrittenAndRead: a position written in any notation is read as what it was.
func TestWrittenAndRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		latS, lonS := rapid.IntRange(-90*3600, 90*3600).Draw(t, "lat"), rapid.IntRange(-180*3600, 180*3600).Draw(t, "lon")
		if latS == 0 && lonS == 0 {
			return
		}
		lat, lon := float64(latS)/3600, float64(lonS)/3600
		dms := func(s int, letters string) string {
			letter := letters[:1]
			if s < 0 {
				s, letter = -s, letters[1:]
			}
			return fmt.Sprintf(`%d°%02d'%02d"%s`, s/3600, s/60%60, s%60, letter)
		}
		for _, text := range []string{
			fmt.Sprintf("%.9f, %.9f", lat, lon), fmt.Sprintf("%.9f %.9f", lat, lon), fmt.Sprintf("geo:%.9f,%.9f", lat, lon), fmt.Sprintf("%+013.9f%+014.9f/", lat, lon),
			dms(latS, "NS") + " " + dms(lonS, "EW"), dms(lonS, "EW") + ", " + dms(latS, "NS"),
		} {
			c, err := positions.ParseCoordinates(text)
			if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			if math.Abs(c.At.LatDeg()-lat) > 1e-8 || math.Abs(c.At.LonDeg()-lon) > 1e-8 {
				t.Fatalf("%q is read as %v, want %v, %v", text, c.At, lat, lon)
			}
		}
	})
}

func FuzzParseCoordinates(f *testing.F) {
	for _, text := range []string{"41.2, -95.9", `41°12'30.5"N 95°54'W`, "geo:41.2,-95.9;u=35", "+4012.22-07500.25/", "lat lon", "41,2; -95,9", "°,';"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := positions.ParseCoordinates(text)
		if err != nil {
			return
		}
		if !c.At.IsSet() || c.ReadAs == "" {
			t.Fatalf("%q is read as no place", text)
		}
		again, err := positions.ParseCoordinates(fmt.Sprintf("%.12f, %.12f", c.At.LatDeg(), c.At.LonDeg()))
		if math.Abs(c.At.LatDeg())+math.Abs(c.At.LonDeg()) < 1e-9 {
			return
		}
		if err != nil || math.Abs(again.At.LatDeg()-c.At.LatDeg()) > 1e-9 || math.Abs(again.At.LonDeg()-c.At.LonDeg()) > 1e-9 {
			t.Fatalf("%q is %v, and said again %v, %v", text, c.At, again.At, err)
		}
	})
}
