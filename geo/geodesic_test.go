package geo

import (
	"bufio"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// shared is where the whole published vectors lie when their folder is beside
// the clone; a committed part of them always runs.
var shared = filepath.Join("..", "..", "shared", "vectors")

// whole opens one of the whole sets, or skips the test.
func whole(t *testing.T, name string) *os.File {
	t.Helper()
	f, err := os.Open(filepath.Join(shared, name))
	if errors.Is(err, fs.ErrNotExist) {
		t.Skipf("%s is not beside the clone; the committed part is checked by the other tests", name)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// geodTest is one line of Karney's test set: lat1 lon1 azi1 lat2 lon2 azi2 s12 a12
// m12 S12.
type geodTest struct {
	lat1, lon1, azi1, lat2, lon2, azi2, s12, a12 float64
}

func readGeodTest(t *testing.T, lines *bufio.Scanner) []geodTest {
	t.Helper()
	var all []geodTest
	for lines.Scan() {
		var g geodTest
		if _, err := fmt.Sscan(lines.Text(), &g.lat1, &g.lon1, &g.azi1, &g.lat2, &g.lon2, &g.azi2, &g.s12, &g.a12); err != nil {
			t.Fatalf("line %d: %v", len(all)+1, err)
		}
		all = append(all, g)
	}
	return all
}

// nm is a nanometre in metres.
const nm = 1e-9

// metresApart is how far two near positions are apart on the ground of WGS 84,
// from differences of coordinates, which keeps nanometres.
func metresApart(lat1, lon1, lat2, lon2 float64) float64 {
	north := radians(lat2-lat1) * 6.4e6
	east := radians(math.Remainder(lon2-lon1, 360)) * 6.4e6 * math.Cos(radians(lat1))
	return math.Hypot(north, east)
}

// worst keeps the largest of some errors.
type worst struct {
	name  string
	value float64
	line  int
}

func (w *worst) see(value float64, line int) {
	if math.IsNaN(value) || value > w.value {
		w.value, w.line = value, line
	}
}

func (w *worst) within(t *testing.T, limit float64, unit string, scale float64) {
	t.Helper()
	t.Logf("%s: largest error %.3g %s (line %d)", w.name, w.value*scale, unit, w.line)
	if !(w.value <= limit) {
		t.Errorf("%s: %.3g %s on line %d, want at most %.3g", w.name, w.value*scale, unit, w.line, limit*scale)
	}
}

// C. F. F. Karney, Test set for geodesics (2010), doi 10.5281/zenodo.32156, computed
// with 100 digits: distances and end points within 15 nm. Azimuths of the inverse
// problem are checked by going there: the direct problem with the azimuth found
// must end at point 2. Lines between vertices and near the antipodes leave the
// azimuth almost free.
func checkGeodTest(t *testing.T, lines []geodTest) {
	length, arc := worst{name: "inverse, distance"}, worst{name: "inverse, arc"}
	end, back := worst{name: "direct, end point"}, worst{name: "direct backwards, start"}
	through := worst{name: "direct with the inverse's azimuth and length, end point"}
	azimuth := worst{name: "direct, azimuth at the end × cos latitude"}
	for i, g := range lines {
		in := WGS84.inverse(g.lat1, g.lon1, g.lat2, g.lon2)
		length.see(math.Abs(float64(in.Length)-g.s12), i+1)
		arc.see(math.Abs(in.ArcDeg-g.a12), i+1)
		lat, lon, out := WGS84.direct(g.lat1, g.lon1, g.azi1, g.s12)
		end.see(metresApart(g.lat2, g.lon2, lat, lon), i+1)
		// Near a pole the meridian it is measured from turns quickly.
		azimuth.see(math.Abs(math.Remainder(out.FinalAzimuthDeg-g.azi2, 360))*math.Cos(radians(g.lat2)), i+1)
		lat, lon, _ = WGS84.direct(g.lat2, g.lon2, g.azi2, -g.s12)
		back.see(metresApart(g.lat1, g.lon1, lat, lon), i+1)
		lat, lon, _ = WGS84.direct(g.lat1, g.lon1, in.InitialAzimuthDeg, float64(in.Length))
		through.see(metresApart(g.lat2, g.lon2, lat, lon), i+1)
	}
	t.Logf("checked %d lines", len(lines))
	length.within(t, 15*nm, "nm", 1e9)
	end.within(t, 15*nm, "nm", 1e9)
	back.within(t, 15*nm, "nm", 1e9)
	through.within(t, 30*nm, "nm", 1e9)
	arc.within(t, 1e-9, "degrees", 1)
	azimuth.within(t, 2e-12, "degrees", 1)
}

func TestGeodTestHundredth(t *testing.T) {
	checkGeodTest(t, readGeodTest(t, bufio.NewScanner(vectors(t, "geodtest-hundredth.dat"))))
}

func TestGeodTestWhole(t *testing.T) {
	zipped, err := gzip.NewReader(whole(t, "geodtest-short.dat.gz"))
	if err != nil {
		t.Fatal(err)
	}
	lines := readGeodTest(t, bufio.NewScanner(zipped))
	if len(lines) != 10_000 {
		t.Fatalf("%d lines, want 10,000", len(lines))
	}
	checkGeodTest(t, lines)
	for from := 0; from < len(lines); from += 1000 {
		w := worst{name: fmt.Sprintf("lines %d to %d, inverse, azimuth at point 1", from+1, from+1000)}
		for i, g := range lines[from : from+1000] {
			in := WGS84.inverse(g.lat1, g.lon1, g.lat2, g.lon2)
			w.see(math.Abs(math.Remainder(in.InitialAzimuthDeg-g.azi1, 360)), from+i+1)
		}
		limit := 1e-9 // short lines: 6e-9 of rounded coordinates
		if from == 3000 || from == 5000 {
			limit = 2e-8
		}
		if from >= 8000 { // ends at vertices: a thousandth of a degree changes nothing
			limit = 1e-3
		}
		w.within(t, limit, "degrees", 1)
	}
}

// table reads a CSV file into rows by column name; lines that begin with # are
// left out.
func table(t *testing.T, f *os.File) []row {
	t.Helper()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
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

// numbers of several columns; an empty cell is NaN.
func (r row) numbers(t *testing.T, columns ...string) []float64 {
	t.Helper()
	var all []float64
	for _, column := range columns {
		if r[column] == "" {
			all = append(all, math.NaN())
			continue
		}
		all = append(all, r.number(t, column))
	}
	return all
}

func turnApart(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 360)) }

// checkComputed compares with lines computed by GeodSolve (GeographicLib 2.1.2),
// itself within 12 nm of the elliptic integrals: two such errors. Azimuths of
// short lines depend on how coordinates are rounded, those between poles,
// antipodes and coincident points are a convention.
func checkComputed(t *testing.T, rows []row, length string, free func(row) bool) {
	s12, azi := worst{name: "inverse, distance"}, worst{name: "inverse, azimuth × distance"}
	for i, r := range rows {
		x := r.numbers(t, "lat1", "lon1", "lat2", "lon2", length)
		g := WGS84.inverse(x[0], x[1], x[2], x[3])
		s12.see(math.Abs(float64(g.Length)-x[4]), i+1)
		if free(r) || x[4] > 19_000_000 {
			continue
		}
		a := r.numbers(t, "azi1"+r["deg"], "azi2"+r["deg"])
		turned := max(turnApart(g.InitialAzimuthDeg, a[0]), turnApart(g.FinalAzimuthDeg, a[1]))
		azi.see(radians(turned)*x[4]*math.Cos(radians(max(math.Abs(x[0]), math.Abs(x[2])))), i+1)
	}
	t.Logf("checked %d lines", len(rows))
	s12.within(t, 20*nm, "nm", 1e9)
	azi.within(t, 40*nm, "nm", 1e9)
}

func TestComputedByGeodSolve(t *testing.T) {
	rows := table(t, vectors(t, "geodsolve-2.1.2.csv"))
	if len(rows) < 300 {
		t.Fatalf("%d lines, want at least 300", len(rows))
	}
	checkComputed(t, rows, "s12", func(r row) bool {
		return strings.HasPrefix(r["kind"], "coincident") || strings.Contains(r["kind"], "antipode")
	})
}

func TestComputedByGeodSolveWhole(t *testing.T) {
	rows := table(t, whole(t, "generated.csv"))
	for _, r := range rows {
		r["deg"] = "_deg"
	}
	checkComputed(t, rows, "s12_m", func(r row) bool {
		return r["azi_unique"] == "0" || r["category"] == "near_antipodal"
	})
}

// The hard cases of GeographicLib's own test suite, within the suite's tolerances.
func TestRegressions(t *testing.T) {
	rows := table(t, vectors(t, "geographiclib-regressions.csv"))
	for _, r := range rows {
		t.Run(r["id"], func(t *testing.T) {
			x := r.numbers(t, "lat1_deg", "lon1_deg", "lat2_deg", "lon2_deg", "azi1_deg", "azi2_deg", "s12_m", "tol_angle_deg", "tol_s12_m")
			lat1, lon1, lat2, lon2, azi1, azi2, s12, angle, length := x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7], x[8]
			if strings.Contains(r["kind"], "inverse") {
				g := WGS84.inverse(lat1, lon1, lat2, lon2)
				near(t, "distance", float64(g.Length), s12, length)
				nearTurn(t, "azimuth at point 1", g.InitialAzimuthDeg, azi1, angle)
				nearTurn(t, "azimuth at point 2", g.FinalAzimuthDeg, azi2, angle)
			}
			if strings.Contains(r["kind"], "direct") {
				lat, lon, g := WGS84.direct(lat1, lon1, azi1, s12)
				near(t, "latitude", lat, lat2, angle)
				if math.Abs(lat2) < 90 { // at a pole any longitude is right with its azimuth
					nearTurn(t, "longitude", lon, lon2, angle)
					nearTurn(t, "azimuth at point 2", g.FinalAzimuthDeg, azi2, angle)
				} else {
					nearTurn(t, "longitude and azimuth", lon-g.FinalAzimuthDeg, lon1, angle)
				}
			}
		})
	}
	t.Logf("checked %d lines", len(rows))
}

// nearTurn compares angles modulo 360 degrees; NaN in the table says that the
// publication gives none.
func nearTurn(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !math.IsNaN(want) && !(turnApart(got, want) <= tolerance+1e-15) {
		t.Errorf("%s = %.15g, want %.15g within %g", what, got, want, tolerance)
	}
}

// Worked examples of C. F. F. Karney, Journal of Geodesy 87:43 (2013), and of the
// documentation of GeographicLib and its ports, to their printed precision.
func TestWorkedExamples(t *testing.T) {
	rows := table(t, vectors(t, "karney-2013.csv"))
	for _, r := range rows {
		t.Run(r["id"], func(t *testing.T) {
			x := r.numbers(t, "lat1_deg", "lon1_deg", "lat2_deg", "lon2_deg", "azi1_deg", "azi2_deg", "s12_m",
				"tol_position_deg", "tol_azimuth_deg", "tol_s12_m")
			if r["kind"] == "direct" {
				lat, lon, g := WGS84.direct(x[0], x[1], x[4], x[6])
				nearTurn(t, "latitude", lat, x[2], x[7])
				nearTurn(t, "longitude", lon, x[3], x[7])
				nearTurn(t, "azimuth at point 2", g.FinalAzimuthDeg, x[5], x[8])
				return
			}
			g := WGS84.inverse(x[0], x[1], x[2], x[3])
			near(t, "distance", float64(g.Length), x[6], x[9])
			nearTurn(t, "azimuth at point 1", g.InitialAzimuthDeg, x[4], x[8])
			nearTurn(t, "azimuth at point 2", g.FinalAzimuthDeg, x[5], x[8])
		})
	}
	t.Logf("checked %d lines", len(rows))
}

// Vincenty 1975, table II, and Rapp 1993, standard test lines, on their own
// ellipsoids: within the printed precision (Vincenty 1 mm and 0.00001 seconds,
// Rapp 0.1 mm; line (d) of Vincenty and line 7 of Rapp print rounded ends), and
// within 15 nm of GeodSolve's answers.
func TestPublishedTables(t *testing.T) {
	const second = 1. / 3600
	for _, c := range []struct {
		file                     string
		length, azimuth, lengthC float64
	}{
		{"vincenty-1975.csv", 1e-3, 5e-5 * second, 15 * nm},
		{"rapp-standard-lines.csv", 2e-4, 5e-5 * second, 15 * nm},
	} {
		rows := table(t, vectors(t, c.file))
		for _, r := range rows {
			t.Run(c.file+" "+r["line"], func(t *testing.T) {
				e, err := NewEllipsoid(Metres(r.number(t, "a_m")), r.number(t, "inverse_flattening"))
				if err != nil {
					t.Fatal(err)
				}
				x := r.numbers(t, "lat1_deg", "lon1_deg", "lat2_deg", "lon2_deg", "azi1_deg", "azi2_deg", "s_m",
					"check_inverse_s12_m", "check_inverse_azi1_deg", "check_inverse_azi2_deg")
				g := e.inverse(x[0], x[1], x[2], x[3])
				near(t, "distance", float64(g.Length), x[6], c.length)
				near(t, "distance against GeodSolve", float64(g.Length), x[7], c.lengthC)
				nearTurn(t, "azimuth against GeodSolve", g.InitialAzimuthDeg, x[8], 1e-9+degrees(10*nm/x[6]))
				if r["line"] == "d" { // nearly antipodal: the azimuth was the input, 0.00103 seconds off
					c.azimuth = 0.0011 * second
				}
				nearTurn(t, "azimuth at point 1", g.InitialAzimuthDeg, x[4], c.azimuth)
				nearTurn(t, "azimuth at point 2", g.FinalAzimuthDeg, x[5], c.azimuth)
				lat, lon, _ := e.direct(x[0], x[1], x[4], x[6])
				near(t, "end point", metresApart(x[2], x[3], lat, lon), 0, 0.0013)
			})
		}
		t.Logf("%s: checked %d lines", c.file, len(rows))
	}
}

// The shortest line leads where it should, is as long backwards, and does not
// change when the places are turned round the axis across the antimeridian.
func TestGeodesicProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawPoint(t, "from"), drawPoint(t, "to")
		g, back := WGS84.Inverse(a, b), WGS84.Inverse(b, a)
		if math.Abs(float64(g.Length-back.Length)) > 15*nm {
			t.Fatalf("there %v, back %v", g.Length, back.Length)
		}
		if g.Length < 0 || g.Length > 20_003_931.4587 { // half a meridian, Karney 2013
			t.Fatalf("length %v", float64(g.Length))
		}
		end, _ := WGS84.Direct(a, g.InitialAzimuthDeg, g.Length)
		if off := metresApart(b.LatDeg(), b.LonDeg(), end.LatDeg(), end.LonDeg()); off > 30*nm {
			t.Fatalf("ends %v nm from the point meant", off/nm)
		}
		turned := WGS84.inverse(a.LatDeg(), a.LonDeg()+360, b.LatDeg(), b.LonDeg()-360)
		if turned.Length != WGS84.inverse(a.LatDeg(), math.Remainder(a.LonDeg()+360, 360), b.LatDeg(), math.Remainder(b.LonDeg()-360, 360)).Length {
			t.Fatalf("turned by whole turns it is %v long, not %v", turned.Length, g.Length)
		}
		if s := Distance(a, b); math.Abs(float64(s-g.Length)) > SphereError*float64(g.Length)+1e-6 {
			t.Fatalf("the sphere says %v, the ellipsoid %v", s, g.Length)
		}
	})
}

// Nothing jumps at the antimeridian, at a pole or where the geodesic of two places
// on the equator leaves it: a metre's step changes the distance by a metre at most.
func TestGeodesicContinuity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawPoint(t, "from")
		b := rapid.SampledFrom([]Point{
			MustPoint(90, 0), MustPoint(-90, 77), MustPoint(0, 180), MustPoint(50, -180), MustPoint(0, 0.3965), drawPoint(t, "to"),
			{latDeg: -a.latDeg, lonDeg: wrapDeg(a.lonDeg + 180), set: true},
		}).Draw(t, "to")
		near, _ := WGS84.Direct(b, rapid.Float64Range(0, 360).Draw(t, "azimuth"), 1)
		far := WGS84.Inverse(a, b).Length
		if step := math.Abs(float64(WGS84.Inverse(a, near).Length - far)); step > 1+30*nm {
			t.Fatalf("a metre from %v to %v is %v m from %v", b, near, step, a)
		}
	})
}

func TestGeodesicOfNoNumber(t *testing.T) {
	here := MustPoint(40, -100)
	if g := WGS84.Inverse(here, Point{}); !math.IsNaN(float64(g.Length)) || !math.IsNaN(g.InitialAzimuthDeg) {
		t.Errorf("to nowhere: %+v", g)
	}
	for _, c := range []struct{ azimuth, length float64 }{{math.NaN(), 1}, {0, math.NaN()}, {math.Inf(1), 1}, {0, math.Inf(-1)}} {
		if p, _ := WGS84.Direct(here, c.azimuth, Metres(c.length)); p.IsSet() {
			t.Errorf("azimuth %v, length %v lead to %v", c.azimuth, c.length, p)
		}
	}
	if p, _ := WGS84.Direct(Point{}, 0, 1); p.IsSet() {
		t.Errorf("from nowhere to %v", p)
	}
	for _, inverse := range []float64{0, 99, math.NaN(), math.Inf(1), -298} {
		if _, err := NewEllipsoid(6_378_137, inverse); err == nil {
			t.Errorf("an ellipsoid of inverse flattening %v", inverse)
		}
	}
	if _, err := NewEllipsoid(0, 298); err == nil {
		t.Error("an ellipsoid of no size")
	}
}

// The series against the integrals they stand for, by Simpson's rule (Karney 2013,
// equations 7, 8, 40 and 41): I1 = ∫√(1 + k² sin²σ) dσ, I2 = ∫1/√(1 + k² sin²σ) dσ,
// I3 = ∫(2 - f)/(1 + (1 - f)√(1 + k² sin²σ)) dσ.
func TestSeriesAgainstIntegrals(t *testing.T) {
	root := func(k2, s float64) float64 { return math.Sqrt(1 + k2*math.Sin(s)*math.Sin(s)) }
	f := WGS84.f
	for _, cosAlpha0 := range []float64{0, 0.3, 0.8, 1} {
		k2, eps := WGS84.ep2*cosAlpha0*cosAlpha0, WGS84.expansion(cosAlpha0)
		c1, c2, c3 := distanceSines(eps), reducedSines(eps), WGS84.longitudeSines(eps)
		back := arcSines(eps)
		for _, sigma := range []float64{0.1, 1, 2, 3} {
			s, c := math.Sincos(sigma)
			i1 := distanceFactor(eps) * (sigma + c1.sum(s, c))
			near(t, "I1", i1, simpson(sigma, func(x float64) float64 { return root(k2, x) }), 1e-14)
			near(t, "I2", reducedFactor(eps)*(sigma+c2.sum(s, c)),
				simpson(sigma, func(x float64) float64 { return 1 / root(k2, x) }), 1e-14)
			near(t, "I3", WGS84.longitudeFactor(eps)*(sigma+c3.sum(s, c)),
				simpson(sigma, func(x float64) float64 { return (2 - f) / (1 + (1-f)*root(k2, x)) }), 1e-13)
			s, c = math.Sincos(i1 / distanceFactor(eps))
			near(t, "σ from I1", i1/distanceFactor(eps)+back.sum(s, c), sigma, 1e-14)
		}
	}
}

func simpson(to float64, f func(float64) float64) float64 {
	const n = 2000
	h := to / n
	sum := f(0) + f(to)
	for i := 1; i < n; i++ {
		sum += f(float64(i)*h) * float64(2+2*(i&1))
	}
	return sum * h / 3
}

func TestGeodesicsDoNotAllocate(t *testing.T) {
	a, b := MustPoint(40, -100), MustPoint(-39.9, 79.7) // near the antipode, the longest search
	var sum Metres
	if n := testing.AllocsPerRun(100, func() { sum += WGS84.Inverse(a, b).Length }); n != 0 || sum == 0 {
		t.Errorf("the inverse problem allocates %v times", n)
	}
	if n := testing.AllocsPerRun(100, func() { _, g := WGS84.Direct(a, 33, 1e6); sum += g.Length }); n != 0 || sum == 0 {
		t.Errorf("the direct problem allocates %v times", n)
	}
}
