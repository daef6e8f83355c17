package geo

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// On the flat map two places are nearly as far apart as on the sphere.
func TestFlatten(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		home := MustPoint(rapid.Float64Range(-65, 65).Draw(t, "latitude"), rapid.Float64Range(-180, 180).Draw(t, "longitude"))
		list := []Point{home}
		for range rapid.IntRange(1, 5).Draw(t, "points") {
			list = append(list, Destination(home, rapid.Float64Range(0, 360).Draw(t, "bearing"),
				Metres(rapid.Float64Range(0, 50_000).Draw(t, "distance"))))
		}
		flat, err := Flatten(list)
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range flat {
			want := float64(Distance(home, list[i]))
			got := math.Hypot(float64(a.East-flat[0].East), float64(a.North-flat[0].North))
			if math.Abs(got-want) > 0.03*want+1e-6 {
				t.Fatalf("%v to %v: %v on the map, %v on the sphere", home, list[i], got, want)
			}
		}
	})
	if _, err := Flatten([]Point{{}}); !errors.Is(err, ErrUnset) {
		t.Errorf("error %v, want unset", err)
	}
	if flat, err := Flatten(nil); flat != nil || err != nil {
		t.Errorf("nothing gives %v, %v", flat, err)
	}
}
