package geo

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

func TestIndexAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var points []Point
		for range rapid.IntRange(0, 30).Draw(t, "points") {
			if rapid.IntRange(0, 5).Draw(t, "unset") == 0 {
				points = append(points, Point{})
				continue
			}
			points = append(points, drawPoint(t, "point"))
		}
		centre := drawPoint(t, "centre")
		radius := Metres(rapid.Float64Range(0, 21_000_000).Draw(t, "radius"))
		count := rapid.IntRange(0, 8).Draw(t, "count")

		var within, all []Near
		for i, p := range points {
			if !p.IsSet() {
				continue
			}
			n := Near{Point: i, Distance: Distance(centre, p)}
			all = append(all, n)
			if n.Distance <= radius {
				within = append(within, n)
			}
		}
		x := NewIndex(points)
		if got := x.Within(centre, radius); !reflect.DeepEqual(got, sortNear(within)) {
			t.Fatalf("Within = %v, want %v", got, within)
		}
		sortNear(all)
		if got := x.Nearest(centre, count); len(got) != min(count, len(all)) || len(got) > 0 && !reflect.DeepEqual(got, all[:len(got)]) {
			t.Fatalf("Nearest = %v, want the first %d of %v", got, count, all)
		}
	})
}

func TestNeighbourhood(t *testing.T) {
	home := MustPoint(40, -100)
	next := Destination(home, 90, 50)
	far := Destination(home, 90, 100*Kilometre)
	if Neighbourhood(home, 10) != Neighbourhood(next, 10) || Neighbourhood(home, 10) == Neighbourhood(far, 10) {
		t.Errorf("neighbourhoods %s %s %s", Neighbourhood(home, 10), Neighbourhood(next, 10), Neighbourhood(far, 10))
	}
	if got := Neighbourhood(Point{}, 10); got != "" {
		t.Errorf("nowhere is in %q", got)
	}
	// The S2 library's documentation: the face cell of longitude 0, latitude 0
	// is face 0, token 1.
	if got := Neighbourhood(MustPoint(0.1, 0.1), 0); got != "1" {
		t.Errorf("level 0 cell of 0.1, 0.1 is %q, want 1", got)
	}
}

func BenchmarkGreatCircleTravel(b *testing.B) {
	model := GreatCircle{DetourFactor: 1.3, SpeedKmh: 50}
	from, to := MustPoint(40, -100), MustPoint(40.3, -100.2)
	var sum Seconds
	for b.Loop() {
		sum += model.Travel(from, to).Seconds
	}
	if sum == 0 {
		b.Fatal("no time passed")
	}
}
