package geo

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestNewPoint(t *testing.T) {
	for _, c := range []struct {
		name     string
		lat, lon float64
		fault    string // empty = fine
	}{
		{"null island", 0, 0, ""},
		{"poles and antimeridian", 90, -180, ""},
		{"too far north", 90.1, 0, "latitude 90.1 is outside"},
		{"swapped", -118.4, 33.9, "latitude -118.4 is outside"},
		{"too far west", 0, -180.5, "longitude -180.5 is outside"},
		{"not a number", math.NaN(), 0, "must be numbers"},
		{"infinite", 0, math.Inf(1), "longitude +Inf is outside"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := NewPoint(c.lat, c.lon)
			if c.fault == "" {
				if err != nil || !p.IsSet() || p.LatDeg() != c.lat || p.LonDeg() != c.lon {
					t.Errorf("NewPoint = %v, %v", p, err)
				}
				return
			}
			if err == nil || !strings.Contains(err.Error(), c.fault) || p.IsSet() {
				t.Errorf("NewPoint = %v, %v; want %q", p, err, c.fault)
			}
		})
	}
}

func TestZeroPointIsNoPlace(t *testing.T) {
	var p Point
	if p.IsSet() || !math.IsNaN(p.LatDeg()) || p.String() != "no position" || p == MustPoint(0, 0) {
		t.Errorf("zero point = %v", p)
	}
	if q, err := FromOrb(p.Orb()); err == nil {
		t.Errorf("an unset point came through orb as %v", q)
	}
}

func TestPointJSONRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPoint(t, "point")
		data, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		var q Point
		if err := json.Unmarshal(data, &q); err != nil || q != p {
			t.Fatalf("%s decodes to %v, %v; want %v", data, q, err, p)
		}
		o, err := FromOrb(p.Orb())
		if err != nil || o != p {
			t.Fatalf("through orb: %v, %v; want %v", o, err, p)
		}
	})
}

func TestPointJSON(t *testing.T) {
	type site struct{ At Point }
	data, err := json.Marshal([]site{{}, {MustPoint(40.5, math.Copysign(0, -1))}})
	if want := `[{"At":null},{"At":{"lat":40.5,"lon":0}}]`; err != nil || string(data) != want {
		t.Errorf("Marshal = %s, %v; want %s", data, err, want)
	}
	for _, bad := range []string{`{"lat":1}`, `{"lat":91,"lon":0}`, `"here"`, `{"lat":null,"lon":2}`, `{"lat":"1","lon":2}`} {
		p := MustPoint(1, 2)
		if err := json.Unmarshal([]byte(bad), &p); err == nil {
			t.Errorf("%s decodes to %v", bad, p)
		}
	}
}

func FuzzPointJSON(f *testing.F) {
	for _, seed := range []string{"null", `{"lat":1.5,"lon":-2}`, `{"lon":180,"lat":-90}`, `{"lat":1e-320,"lon":0}`} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var p, q Point
		if json.Unmarshal(data, &p) != nil {
			return
		}
		again, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(again, &q); err != nil || p != q {
			t.Fatalf("%s → %v → %s → %v, %v", data, p, again, q, err)
		}
	})
}

func TestPrinting(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Metres(850).String(), "850 m"},
		{Metres(999.6).String(), "1.0 km"},
		{(12400 * Metre).String(), "12.4 km"},
		{(12 * Kilometre).String(), "12.0 km"},
		{Seconds(45).String(), "45 s"},
		{(12 * Minute).String(), "12 min"},
		{Seconds(3599).String(), "1 h 00 min"},
		{(Hour + 5*Minute).String(), "1 h 05 min"},
		{(-90 * Minute).String(), "-1 h 30 min"},
		{MustPoint(40.1234567, -100).String(), "40.123457, -100.000000"},
	} {
		if c.got != c.want {
			t.Errorf("printed %q, want %q", c.got, c.want)
		}
	}
}
