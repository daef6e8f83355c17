package papers

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/geo"
)

// TestMapIsToScale: distances on the plane are those on the sphere to within one part in five hundred, over a county.
func TestMapIsToScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		middle := geo.MustPoint(rapid.Float64Range(-60, 60).Draw(t, "lat"), rapid.Float64Range(-180, 180).Draw(t, "lon"))
		place := func(label string) geo.Point {
			return geo.Destination(middle, rapid.Float64Range(0, 360).Draw(t, label+" bearing"), geo.Metres(rapid.Float64Range(0, 15_000).Draw(t, label+" m")))
		}
		a, b := place("a"), place("b")
		flat := flatten([]geo.Point{a, b})
		got, want := math.Hypot(flat[0].EastM-flat[1].EastM, flat[0].NorthM-flat[1].NorthM), float64(geo.Distance(a, b))
		if math.Abs(got-want) > want/500+1 {
			t.Fatalf("%v to %v is %.0f m on the map, want %.0f", a, b, got, want)
		}
		// North is up, east is to the right.
		f := RouteMap{Stops: flat}.fit(0, 0, 190, 80)
		ax, ay := f.at(flat[0])
		bx, by := f.at(flat[1])
		if a.LatDeg() > b.LatDeg()+1e-6 && ay >= by {
			t.Fatalf("%v is north of %v and drawn below it", a, b)
		}
		if east := math.Remainder(a.LonDeg()-b.LonDeg(), 360); east > 1e-6 && ax <= bx {
			t.Fatalf("%v is east of %v and drawn left of it", a, b)
		}
	})
}

// TestNumbersDoNotCoverEachOther: up to twelve stops anywhere, several at one place.
func TestNumbersDoNotCoverEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := RouteMap{Home: &MapPoint{}}
		for i := range rapid.IntRange(1, 12).Draw(t, "stops") {
			m.Stops = append(m.Stops, MapPoint{Order: i + 1, EastM: float64(rapid.IntRange(-5, 5).Draw(t, "east")) * 2000, NorthM: float64(rapid.IntRange(-5, 5).Draw(t, "north")) * 2000})
		}
		f := m.fit(10, 30, 196, 60)
		list := m.labels(f)
		for i, l := range list {
			if l.x < f.x || l.x > f.x+f.w || l.y < f.y || l.y > f.y+f.h {
				t.Fatalf("number %d lies outside the frame at %.1f, %.1f", l.order, l.x, l.y)
			}
			for _, o := range list[:i] {
				if d := math.Hypot(l.x-o.x, l.y-o.y); d < 2*discRadius-0.6 {
					t.Fatalf("numbers %d and %d are %.2f mm apart", l.order, o.order, d)
				}
			}
		}
	})
}

func TestNiceLength(t *testing.T) {
	for most, want := range map[float64]float64{0: 0, 1: 1, 1.9: 1, 2: 2, 4.9: 2, 7: 5, 10: 10, 0.3: 0.2, 0.07: 0.05, 240: 200} {
		if got := niceLength(most); math.Abs(got-want) > 1e-9 {
			t.Errorf("niceLength(%v) = %v, want %v", most, got, want)
		}
	}
}

func TestStopsWithoutPosition(t *testing.T) {
	b := events.NewBook()
	b.Sites["a"] = &events.Site{ID: "a"}
	m := routeMap(b, events.DayRoute{Visits: []events.DayVisit{{Site: "a"}, {Site: "gone"}}}, geo.Point{})
	if len(m.Stops) != 0 || m.Home != nil || len(m.Missing) != 2 {
		t.Errorf("a route without any position: %+v", m)
	}
	if file, err := RouteSheetsPDF([]RouteSheet{{Map: m, Date: outOn}}, Letter, printedAt); err != nil || pages(file) != 1 {
		t.Errorf("it is not drawn: %v", err)
	}
}
