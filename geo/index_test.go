package geo

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/golang/geo/s2"
	"pgregory.net/rapid"
)

func TestIndexAgainstLookingAtAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var points []Point
		for range rapid.IntRange(0, 200).Draw(t, "points") {
			if rapid.IntRange(0, 5).Draw(t, "unset") == 0 {
				points = append(points, Point{})
				continue
			}
			if len(points) > 0 && points[len(points)-1].IsSet() {
				points = append(points, drawNear(t, points[len(points)-1]))
				continue
			}
			points = append(points, drawPoint(t, "point"))
		}
		centre := drawPoint(t, "centre")
		if len(points) > 0 && points[0].IsSet() {
			centre = drawNear(t, points[0])
		}
		radius := Metres(rapid.Float64Range(0, 21_000_000).Draw(t, "radius"))
		count := rapid.IntRange(0, 30).Draw(t, "count")

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

// Groups hold every point once, in cells that hold them, none too many but where
// they stand at one place.
func TestGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		home := drawPoint(t, "home")
		var list []Point
		for range rapid.IntRange(0, 40).Draw(t, "points") {
			list = append(list, Destination(home, rapid.Float64Range(0, 360).Draw(t, "bearing"),
				Metres(rapid.Float64Range(0, 30_000).Draw(t, "distance"))))
		}
		most := rapid.IntRange(1, 10).Draw(t, "most")
		x := NewIndex(list)
		seen := map[int]bool{}
		for _, g := range x.Groups(most) {
			level := s2.CellIDFromToken(g.Token).Level()
			if len(g.Points) == 0 || len(g.Points) > most && level < groupLevel {
				t.Fatalf("%d points in %s of level %d", len(g.Points), g.Token, level)
			}
			in, err := x.In(g.Token)
			if err != nil || !reflect.DeepEqual(in, g.Points) {
				t.Fatalf("In(%s) = %v, %v; want %v", g.Token, in, err, g.Points)
			}
			for _, i := range g.Points {
				if seen[i] || Neighbourhood(list[i], level) != g.Token {
					t.Fatalf("point %d twice or not in %s", i, g.Token)
				}
				seen[i] = true
			}
		}
		if len(seen) != len(list) {
			t.Fatalf("%d of %d points", len(seen), len(list))
		}
	})
	if _, err := NewIndex(nil).In("nowhere"); err == nil {
		t.Error("a token of nothing")
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

func BenchmarkGeodesicInverse(b *testing.B) {
	from, to := MustPoint(40, -100), MustPoint(41.3, -98.2)
	var sum Metres
	b.ReportAllocs()
	for b.Loop() {
		sum += WGS84.Inverse(from, to).Length
	}
	if sum == 0 {
		b.Fatal("no way was gone")
	}
}

func BenchmarkGeodesicDirect(b *testing.B) {
	from := MustPoint(40, -100)
	var sum float64
	b.ReportAllocs()
	for b.Loop() {
		_, g := WGS84.Direct(from, 33, 123456)
		sum += g.ArcDeg
	}
	if sum == 0 {
		b.Fatal("no way was gone")
	}
}

func BenchmarkHaversine(b *testing.B) {
	a, c := MustPoint(40, -100), MustPoint(41.3, -98.2)
	var sum float64
	for b.Loop() {
		lat1, lat2 := radians(a.LatDeg()), radians(c.LatDeg())
		s, u := math.Sin((lat2-lat1)/2), math.Sin(radians(c.LonDeg()-a.LonDeg())/2)
		h := s*s + math.Cos(lat1)*math.Cos(lat2)*u*u
		sum += 2 * 6371008.8 * math.Asin(math.Sqrt(h))
	}
	if sum == 0 {
		b.Fatal("no way was gone")
	}
}

func BenchmarkGeodesicInverseWorld(b *testing.B) {
	var ps []Point
	for i := range 1024 {
		u := math.Mod(float64(i)*0.6180339887, 1)
		v := math.Mod(float64(i)*0.7548776662, 1)
		ps = append(ps, MustPoint(degrees(math.Asin(2*u-1)), 360*v-180))
	}
	var sum Metres
	i := 0
	for b.Loop() {
		sum += WGS84.Inverse(ps[i&1023], ps[(i*7+3)&1023]).Length
		i++
	}
	if sum == 0 {
		b.Fatal("no way was gone")
	}
}

func BenchmarkNearest20(b *testing.B) {
	var list, asked []Point
	random := rand.New(rand.NewPCG(1, 2))
	for range 100_000 {
		list = append(list, MustPoint(40+3*random.Float64(), -100+4*random.Float64()))
	}
	for range 1000 {
		asked = append(asked, MustPoint(40+3*random.Float64(), -100+4*random.Float64()))
	}
	x := NewIndex(list)
	sum, i := 0, 0
	b.ReportAllocs()
	for b.Loop() {
		sum += len(x.Nearest(asked[i%len(asked)], 20))
		i++
	}
	if sum != 20*i {
		b.Fatal("some were not found")
	}
}
