package geo

import (
	"bufio"
	"compress/gzip"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/golang/geo/s2"
	"pgregory.net/rapid"
)

func vectors(t *testing.T, name string) *os.File {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "geodesic", name))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// row is one line of sphere.csv by column name.
type row map[string]string

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("%s: column %s: %v", r["id"], column, err)
	}
	return x
}

func (r row) point(t *testing.T, lat, lon string) Point {
	return MustPoint(r.number(t, lat), r.number(t, lon))
}

func sphereRows(t *testing.T) []row {
	lines, err := csv.NewReader(vectors(t, "sphere.csv")).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

// The published great circles of testdata/geodesic/sphere.csv (the publication is
// named in each row), to the precision they are printed with.
func TestPublishedGreatCircles(t *testing.T) {
	rows := sphereRows(t)
	t.Logf("checked %d lines", len(rows))
	for _, r := range rows {
		t.Run(r["id"], func(t *testing.T) {
			radius := r.number(t, "radius_m")
			a := r.point(t, "lat1_deg", "lon1_deg")
			b := r.point(t, "lat2_deg", "lon2_deg")
			switch r["kind"] {
			case "inverse":
				checkInverse(t, r, radius, a, b)
			case "direct":
				end := destination(a, r.number(t, "azi1_deg"), r.number(t, "distance_m")/radius)
				near(t, "end point", degrees(centralAngle(unitVector(end), unitVector(b))), 0, r.number(t, "tol_position_deg"))
			case "intermediate":
				angle := centralAngle(unitVector(a), unitVector(b))
				mid := destination(a, InitialBearingDeg(a, b), angle*r.number(t, "fraction"))
				want := r.point(t, "mid_lat_deg", "mid_lon_deg")
				near(t, "point between", degrees(centralAngle(unitVector(mid), unitVector(want))), 0, r.number(t, "tol_position_deg"))
			default:
				t.Fatalf("unknown kind %q", r["kind"])
			}
		})
	}
}

// Nothing jumps at the antimeridian or at a pole: a metre's step changes the distance
// by a metre at most.
func TestDistanceContinuity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawPoint(t, "from")
		b := rapid.SampledFrom([]Point{
			MustPoint(90, 0), MustPoint(-90, 77), MustPoint(0, 180), MustPoint(50, -180), drawPoint(t, "to"),
			{latDeg: -a.latDeg, lonDeg: wrapDeg(a.lonDeg + 180), set: true},
		}).Draw(t, "to")
		near := Destination(b, rapid.Float64Range(0, 360).Draw(t, "bearing"), 1)
		if step := math.Abs(float64(Distance(a, near) - Distance(a, b))); step > 1+1e-8 {
			t.Fatalf("a metre from %v to %v is %v m from %v", b, near, step, a)
		}
	})
}

// One place has one position, however its longitude is written.
func TestOnePlaceTwoWays(t *testing.T) {
	for _, c := range [][2]Point{
		{MustPoint(90, 0), MustPoint(90, 123)},
		{MustPoint(-90, -180), MustPoint(-90, 45)},
		{MustPoint(12, 180), MustPoint(12, -180)},
	} {
		if d := Distance(c[0], c[1]); d != 0 {
			t.Errorf("%v and %v are %v apart", c[0], c[1], float64(d))
		}
		model := GreatCircle{DetourFactor: 1.3, SpeedKmh: 50, FixedSeconds: 60}
		if drive := model.Travel(c[0], c[1]); drive != (Travel{}) {
			t.Errorf("the drive from %v to %v is %+v", c[0], c[1], drive)
		}
	}
	// Antipodes: half the circumference, π R.
	for _, p := range []Point{MustPoint(0, 0), MustPoint(90, 0), MustPoint(35.25, -120.5)} {
		opposite := MustPoint(-p.LatDeg(), wrapDeg(p.LonDeg()+180))
		if d := Distance(p, opposite); math.Abs(float64(d)-math.Pi*float64(MeanRadius)) > 1e-8 {
			t.Errorf("%v is %v m from its antipode", p, float64(d))
		}
	}
}

func checkInverse(t *testing.T, r row, radius float64, a, b Point) {
	got := radius * centralAngle(unitVector(a), unitVector(b))
	near(t, "distance", got, r.number(t, "distance_m"), r.number(t, "tol_distance_m"))
	near(t, "distance against the check column", got, r.number(t, "check_distance_m"), 1e-6)
	if r["azi1_deg"] != "" {
		near(t, "bearing", math.Remainder(InitialBearingDeg(a, b)-r.number(t, "azi1_deg"), 360), 0, r.number(t, "tol_azi1_deg"))
	}
	if r["azi2_deg"] != "" {
		forward := InitialBearingDeg(b, a) + 180
		near(t, "bearing at the end", math.Remainder(forward-r.number(t, "azi2_deg"), 360), 0, r.number(t, "tol_azi2_deg"))
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance+1e-12) {
		t.Errorf("%s = %.9f, want %.9f within %g", what, got, want, tolerance)
	}
}

// The sphere is at most 0.562 % off the ellipsoid WGS 84 (C. F. F. Karney, Test
// set for geodesics, 2010, doi 10.5281/zenodo.32156; the committed file holds a
// hundredth of it and its two worst lines).
func TestSphereAgainstEllipsoid(t *testing.T) {
	checkSphere(t, readGeodTest(t, bufio.NewScanner(vectors(t, "geodtest-hundredth.dat"))))
}

func TestSphereAgainstEllipsoidWhole(t *testing.T) {
	zipped, err := gzip.NewReader(whole(t, "geodtest-short.dat.gz"))
	if err != nil {
		t.Fatal(err)
	}
	checkSphere(t, readGeodTest(t, bufio.NewScanner(zipped)))
}

func checkSphere(t *testing.T, lines []geodTest) {
	off := worst{name: "sphere against ellipsoid"}
	for i, g := range lines {
		got := float64(Distance(MustPoint(g.lat1, g.lon1), MustPoint(g.lat2, g.lon2)))
		off.see(math.Abs(got-g.s12)/g.s12, i+1)
	}
	t.Logf("checked %d lines", len(lines))
	off.within(t, SphereError, "%", 100)
	if off.value < 0.0055 {
		t.Error("the known worst line is missing")
	}
}

// Against the S2 library (golang/geo), whose angle between two places is computed
// another way.
func TestDistanceAgainstS2(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawPoint(t, "a"), drawPoint(t, "b")
		want := s2.PointFromLatLng(latLng(a)).Distance(s2.PointFromLatLng(latLng(b)))
		if got := Distance(a, b) / MeanRadius; math.Abs(float64(got)-float64(want)) > 1e-15*math.Pi {
			t.Fatalf("angle %v, S2 %v", got, want)
		}
	})
}

func drawPoint(t *rapid.T, name string) Point {
	lat := rapid.Float64Range(-90, 90).Draw(t, name+" latitude")
	lon := rapid.Float64Range(-180, 180).Draw(t, name+" longitude")
	return MustPoint(lat, lon)
}

// Where you get by going the distance in the bearing is where you meant to go.
func TestDestinationUndoesDistanceAndBearing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawPoint(t, "from"), drawPoint(t, "to")
		there := Destination(a, InitialBearingDeg(a, b), Distance(a, b))
		if off := Distance(there, b); off > 0.001 && Distance(a, b) < 20_000*Kilometre {
			t.Fatalf("%v to %v ends %v off", a, b, off)
		}
	})
}

func TestDistanceIsAMetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawPoint(t, "a"), drawPoint(t, "b"), drawPoint(t, "c")
		if Distance(a, a) != 0 {
			t.Fatalf("%v is %v from itself", a, Distance(a, a))
		}
		if Distance(a, b) != Distance(b, a) {
			t.Fatalf("there %v, back %v", Distance(a, b), Distance(b, a))
		}
		if Distance(a, c) > Distance(a, b)+Distance(b, c)+0.001 {
			t.Fatalf("%v → %v is longer than by way of %v", a, c, b)
		}
	})
}

func TestUnsetPointsHaveNoDistance(t *testing.T) {
	home := MustPoint(40, -100)
	if d := Distance(Point{}, home); !math.IsNaN(float64(d)) {
		t.Errorf("distance from nowhere = %v", d)
	}
	if b := InitialBearingDeg(home, Point{}); !math.IsNaN(b) {
		t.Errorf("bearing to nowhere = %v", b)
	}
	if p := Destination(Point{}, 0, Kilometre); p.IsSet() {
		t.Errorf("from nowhere to %v", p)
	}
}
