package geo

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A town of 10 km round 40, -100 in open country.
func country() Terrain {
	middle := MustPoint(40, -100)
	var ring []Point
	for bearing := 0.; bearing < 360; bearing += 30 {
		ring = append(ring, Destination(middle, bearing, 10*Kilometre))
	}
	rush := slices.Repeat([]float64{1}, 24)
	rush[8] = 0.5
	return Terrain{
		Kinds: []AreaKind{
			{Name: "country", DetourFactor: 1.2, SpeedKmh: 72},
			{Name: "town", DetourFactor: 1.5, SpeedKmh: 36, SpeedByHour: rush},
		},
		Areas:        []Area{{Name: "the town", Kind: "town", Outline: ring}},
		FixedSeconds: 60,
	}
}

// One degree of the equator is 111,195.08 m (π R / 180, R = 6,371,008.8 m); the sums
// are in the cases.
func TestTerrainTravel(t *testing.T) {
	terrain := country()
	middle := MustPoint(40, -100)
	inTown := Destination(middle, 90, 2*Kilometre)
	outside, further := Destination(middle, 90, 30*Kilometre), Destination(middle, 90, 40*Kilometre)
	for _, c := range []struct {
		name     string
		hour     int
		from, to Point
		want     Travel
	}{
		{"in the open: 10 km × 1.2 at 20 m/s", 12, outside, further, Travel{12_000, 600 + 60}},
		{"in town: 2 km × 1.5 at 10 m/s", 12, middle, inTown, Travel{3000, 300 + 60}},
		{"in town at eight: half as fast", 8, middle, inTown, Travel{3000, 600 + 60}},
		{"from town to open: 14 km × 1.5 and 14 km × 1.2", 12, inTown, outside, Travel{21_000 + 16_800, 2100 + 840 + 60}},
		{"nowhere", 12, middle, middle, Travel{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			model, err := terrain.At(c.hour)
			if err != nil {
				t.Fatal(err)
			}
			got := model.Travel(c.from, c.to)
			if math.Abs(float64(got.Metres-c.want.Metres)) > 1 || got.Seconds < c.want.Seconds || got.Seconds > c.want.Seconds+1 {
				t.Errorf("Travel = %+v, want %+v", got, c.want)
			}
		})
	}
	turned := country()
	slices.Reverse(turned.Areas[0].Outline) // an outline may be drawn in either direction
	model, err := turned.At(12)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := model.spot(inTown).kind, model.spot(outside).kind; a != 1 || b != 0 {
		t.Errorf("kinds %d in town and %d outside, want 1 and 0", a, b)
	}
	model, _ = terrain.At(8)
	if want := "at 8 o'clock, country × 1.2 at 72 km/h, town × 1.5 at 18 km/h, 1 min added to each drive"; model.Describe() != want {
		t.Errorf("Describe = %q, want %q", model.Describe(), want)
	}
}

func TestTerrainFaults(t *testing.T) {
	p := MustPoint(40, -100)
	for _, c := range []struct {
		name  string
		spoil func(*Terrain)
		want  string
	}{
		{"no kinds", func(t *Terrain) { t.Kinds, t.Areas = nil, nil }, "no kind of area"},
		{"a kind without a name", func(t *Terrain) { t.Kinds[0].Name = "" }, "kind 1"},
		{"two kinds of one name", func(t *Terrain) { t.Kinds[0].Name = "town" }, "taken"},
		{"a speed", func(t *Terrain) { t.Kinds[1].SpeedKmh = 0 }, `kind "town": speed`},
		{"hours", func(t *Terrain) { t.Kinds[1].SpeedByHour = []float64{1} }, "24 or none"},
		{"an hour", func(t *Terrain) { t.Kinds[1].SpeedByHour[3] = 0 }, "3 o'clock"},
		{"an area of no kind", func(t *Terrain) { t.Areas[0].Kind = "moor" }, `"moor"`},
		{"an area of two corners", func(t *Terrain) { t.Areas[0].Outline = t.Areas[0].Outline[:2] }, "area 1 (the town)"},
		{"an area with a corner twice", func(t *Terrain) { t.Areas[0].Outline[1] = t.Areas[0].Outline[0] }, "repeats a corner"},
		{"an unset corner", func(t *Terrain) { t.Areas[0].Outline[1] = Point{} }, "corner 2"},
		{"a barrier of one point", func(t *Terrain) { t.Barriers = []Barrier{{Name: "river", Line: []Point{p, p}}} }, "barrier 1 (river)"},
		{"an unset barrier", func(t *Terrain) { t.Barriers = []Barrier{{Line: []Point{p, {}}}} }, "point 2"},
		{"a crossing far off", func(t *Terrain) {
			t.Barriers = []Barrier{{Line: []Point{p, MustPoint(41, -100)}, Crossings: []Point{MustPoint(40.5, -100.1)}}}
		}, "crossing 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			terrain := country()
			c.spoil(&terrain)
			if err := terrain.Validate(); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("Validate = %v, want %q", err, c.want)
			}
		})
	}
	if _, err := country().At(24); err == nil {
		t.Error("a model for 24 o'clock")
	}
	model, _ := country().At(1)
	if _, err := model.Matrix(context.Background(), []Point{{}}, nil, nil); !errors.Is(err, ErrUnset) {
		t.Errorf("error %v, want unset", err)
	}
}

func plain(barriers ...Barrier) *TerrainModel {
	model, err := Terrain{Kinds: []AreaKind{{Name: "all", DetourFactor: 1, SpeedKmh: 36}}, Barriers: barriers}.At(12)
	if err != nil {
		panic(err)
	}
	return model
}

// A river from north to south, 100 km long, with a bridge 20 km north of the places
// on both banks; the ways are summed by hand from great circles.
func TestBarriers(t *testing.T) {
	west, east := MustPoint(40, -100.1), MustPoint(40, -99.9)
	bridge := MustPoint(40.2, -100)
	north, south := MustPoint(40.4, -100), MustPoint(39.5, -100)
	river := Barrier{Name: "river", Line: []Point{south, MustPoint(39.9, -100), MustPoint(40.1, -100), north}}
	bridged := river
	bridged.Crossings = []Point{bridge}
	// A deep bay: arms to the east, closed in the west.
	bay := Barrier{Name: "bay", Line: []Point{MustPoint(40.1, -99), MustPoint(40.1, -100), MustPoint(39.9, -100), MustPoint(39.9, -99)}}
	ring := Barrier{Line: []Point{MustPoint(40.1, -99.8), MustPoint(40.1, -100), MustPoint(39.9, -100), MustPoint(39.9, -99.8), MustPoint(40.1, -99.8)}}
	gated := ring
	gated.Crossings = []Point{MustPoint(40, -99.8)}
	way := func(points ...Point) (sum Metres) {
		for i := range points[1:] {
			sum += Distance(points[i], points[i+1])
		}
		return sum
	}
	for _, c := range []struct {
		name     string
		model    *TerrainModel
		from, to Point
		want     Metres
	}{
		{"no barrier", plain(), west, east, way(west, east)},
		{"over the bridge", plain(bridged), west, east, way(west, bridge, east)},
		{"on one bank", plain(bridged), west, MustPoint(40.3, -100.1), way(west, MustPoint(40.3, -100.1))},
		{"no bridge: round the nearer end", plain(river), west, east, way(west, north, east)},
		{"beyond its end", plain(river), MustPoint(41, -100.1), MustPoint(41, -99.9), way(MustPoint(41, -100.1), MustPoint(41, -99.9))},
		{"into the bay: round the arm", plain(bay), MustPoint(40.2, -99.5), MustPoint(40, -99.5),
			way(MustPoint(40.2, -99.5), MustPoint(40.1, -99), MustPoint(40, -99.5))},
		{"past the bay", plain(bay), west, MustPoint(40.2, -99.5), way(west, MustPoint(40.1, -100), MustPoint(40.2, -99.5))},
		{"two rivers, a bridge each", plain(bridged, Barrier{Line: []Point{MustPoint(39, -99.95), MustPoint(41, -99.95)}, Crossings: []Point{MustPoint(40, -99.95)}}),
			west, east, way(west, bridge, MustPoint(40, -99.95), east)},
		{"into a ring by its gate", plain(gated), west, MustPoint(40, -99.9),
			way(west, MustPoint(40.1, -100), MustPoint(40.1, -99.8), MustPoint(40, -99.8), MustPoint(40, -99.9))},
		{"into a ring without a gate: as if it were not there", plain(ring), west, MustPoint(40, -99.9), way(west, MustPoint(40, -99.9))},
		{"both in the ring", plain(ring), MustPoint(40.05, -99.95), MustPoint(39.95, -99.85), way(MustPoint(40.05, -99.95), MustPoint(39.95, -99.85))},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, got := range []Travel{c.model.Travel(c.from, c.to), c.model.Travel(c.to, c.from)} {
				if math.Abs(float64(got.Metres-c.want)) > 12 {
					t.Errorf("%.0f m, want %.0f", float64(got.Metres), float64(c.want))
				}
			}
		})
	}
}

// Whatever is drawn: the matrix gives what Travel gives, both directions alike, never
// shorter than as the crow flies, and by way of a third place is no shorter.
func TestBarrierProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		near := func(label string) Point {
			return MustPoint(rapid.Float64Range(39.5, 40.5).Draw(t, label+" latitude"), rapid.Float64Range(-100.5, -99.5).Draw(t, label+" longitude"))
		}
		var river Barrier
		lon := -100.6
		for range rapid.IntRange(2, 8).Draw(t, "bends") { // eastward, so that it never meets itself
			lon += rapid.Float64Range(0.01, 0.3).Draw(t, "step")
			river.Line = append(river.Line, MustPoint(rapid.Float64Range(39.5, 40.5).Draw(t, "bend"), lon))
		}
		for range rapid.IntRange(0, 3).Draw(t, "bridges") {
			k := rapid.IntRange(0, len(river.Line)-2).Draw(t, "after bend")
			a, b := river.Line[k], river.Line[k+1]
			river.Crossings = append(river.Crossings, Destination(a, InitialBearingDeg(a, b), Distance(a, b)*Metres(rapid.Float64Range(0.05, 0.95).Draw(t, "part"))))
		}
		terrain := country()
		terrain.Kinds = terrain.Kinds[:1]
		terrain.Areas = nil
		terrain.Kinds[0].DetourFactor = 1
		if rapid.Bool().Draw(t, "barrier") {
			terrain.Barriers = []Barrier{river}
		}
		model, err := terrain.At(rapid.IntRange(0, 23).Draw(t, "hour"))
		if err != nil {
			t.Fatal(err)
		}
		list := []Point{near("a"), near("b"), near("c"), near("d")}
		m, err := model.Matrix(context.Background(), list, list, nil)
		if err != nil || m.Validate() != nil {
			t.Fatal(err, m.Validate())
		}
		for i, a := range list {
			for j, b := range list {
				if m.At(i, j) != model.Travel(a, b) || m.At(i, j) != m.At(j, i) {
					t.Fatalf("matrix %v, back %v, travel %v", m.At(i, j), m.At(j, i), model.Travel(a, b))
				}
				if m.At(i, j).Metres < Distance(a, b)-0.51 {
					t.Fatalf("%v to %v is %v, shorter than %v", a, b, m.At(i, j).Metres, Distance(a, b))
				}
				for k := range list {
					if m.At(i, j).Metres > m.At(i, k).Metres+m.At(k, j).Metres+40 {
						t.Fatalf("%v to %v is %v, but %v and %v by way of %v", a, b, m.At(i, j).Metres, m.At(i, k).Metres, m.At(k, j).Metres, list[k])
					}
				}
			}
		}
	})
}

// Drives made from a known country, one in six of them spoilt, give the country back.
func TestCalibrate(t *testing.T) {
	truth := country()
	truth.FixedSeconds = 150
	truth.Kinds[0].SpeedKmh, truth.Kinds[1].SpeedKmh = 80, 30
	truth.Kinds[1].DetourFactor = 1.4
	for _, withMetres := range []bool{false, true} {
		drives := madeDrives(t, truth, 400, withMetres)
		fitted, report, err := country().Calibrate(drives)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("odometer %v: fixed %d s, %+v, %+v; %+v", withMetres, fitted.FixedSeconds, fitted.Kinds[0], fitted.Kinds[1].SpeedKmh, report)
		for k, kind := range fitted.Kinds {
			want := truth.Kinds[k].DetourFactor / truth.Kinds[k].SpeedKmh
			if got := kind.DetourFactor / kind.SpeedKmh; math.Abs(got/want-1) > 0.03 {
				t.Errorf("%s takes %.4f of the true time for a metre", kind.Name, got/want)
			}
			if withMetres && math.Abs(kind.DetourFactor/truth.Kinds[k].DetourFactor-1) > 0.02 {
				t.Errorf("%s has detour %.3f, want %.3f", kind.Name, kind.DetourFactor, truth.Kinds[k].DetourFactor)
			}
		}
		if off := fitted.FixedSeconds - truth.FixedSeconds; off < -20 || off > 20 {
			t.Errorf("fixed %d s, want %d", fitted.FixedSeconds, truth.FixedSeconds)
		}
		if report.Drives != 400 || report.LeftOut < 40 || report.LeftOut > 90 || len(report.KindsFitted) != 2 || (report.WithMetres == 400) != withMetres {
			t.Errorf("report %+v", report)
		}
		if report.After.MedianSeconds > 60 || report.After.MedianSeconds > report.Before.MedianSeconds/2 || math.Abs(report.After.BiasSeconds) > 20 {
			t.Errorf("errors %+v, before %+v", report.After, report.Before)
		}
		if country().Kinds[0].SpeedKmh != 72 {
			t.Error("the terrain given was changed")
		}
	}
}

func madeDrives(t *testing.T, truth Terrain, count int, withMetres bool) (drives []Drive) {
	t.Helper()
	random := rand.New(rand.NewPCG(7, 7))
	middle := MustPoint(40, -100)
	for i := range count {
		d := Drive{
			From: Destination(middle, 360*random.Float64(), Metres(30_000*random.Float64())),
			To:   Destination(middle, 360*random.Float64(), Metres(30_000*random.Float64())),
			Hour: 7 + i%9,
		}
		model, err := truth.At(d.Hour)
		if err != nil {
			t.Fatal(err)
		}
		drive := model.Travel(d.From, d.To)
		d.Seconds = max(1, drive.Seconds+Seconds(random.NormFloat64()*math.Sqrt(float64(1000+drive.Metres))/4))
		if i%6 == 0 { // lunch on the way
			d.Seconds += Seconds(1200 + 3600*random.Float64())
		}
		if withMetres {
			d.Metres = drive.Metres * Metres(1+0.02*random.NormFloat64())
		}
		drives = append(drives, d)
	}
	return drives
}

func TestCalibrateFaults(t *testing.T) {
	good := madeDrives(t, country(), 40, true)
	same := slices.Repeat(good[:1], 40)
	for _, c := range []struct {
		name  string
		spoil func([]Drive) []Drive
		want  string
	}{
		{"too few", func(d []Drive) []Drive { return d[:19] }, "19 drives are too few"},
		{"all alike", func([]Drive) []Drive { return same }, "alike"},
		{"an unset point", func(d []Drive) []Drive { d[3].To = Point{}; return d }, "drive 3"},
		{"no time", func(d []Drive) []Drive { d[4].Seconds = 0; return d }, "drive 4"},
		{"no length", func(d []Drive) []Drive { d[5].Metres = Metres(math.NaN()); return d }, "drive 5"},
		{"no hour", func(d []Drive) []Drive { d[6].Hour = 24; return d }, "drive 6"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, _, err := country().Calibrate(c.spoil(slices.Clone(good))); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
}

// Huber's fit of the stack loss data (K. A. Brownlee, Statistical Theory and
// Methodology, 1965) as printed in W. N. Venables and B. D. Ripley, Modern Applied
// Statistics with S, section 6.5: coefficients to four decimals, scale 2.441. Data and
// results from memory.
func TestHuberOnStackLoss(t *testing.T) {
	air := []float64{80, 80, 75, 62, 62, 62, 62, 62, 58, 58, 58, 58, 58, 58, 50, 50, 50, 50, 50, 56, 70}
	water := []float64{27, 27, 25, 24, 22, 23, 24, 24, 23, 18, 18, 17, 18, 19, 18, 18, 19, 19, 20, 20, 20}
	acid := []float64{89, 88, 90, 87, 87, 87, 93, 93, 87, 80, 89, 88, 82, 93, 89, 86, 72, 79, 80, 82, 91}
	loss := []float64{42, 37, 37, 28, 18, 18, 19, 20, 15, 14, 14, 13, 11, 12, 8, 7, 8, 8, 9, 15, 15}
	var rows [][]float64
	for i := range loss {
		rows = append(rows, []float64{1, air[i], water[i], acid[i]})
	}
	c, _, scale, err := huberFit(rows, loss)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{-41.0265, 0.8294, 0.9261, -0.1278} {
		near(t, "coefficient", c[k], want, 0.0002)
	}
	near(t, "scale", scale, 2.441, 0.0006)
	c, err = leastSquares(rows, loss, slices.Repeat([]float64{1}, len(loss)))
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{-39.9197, 0.7156, 1.2953, -0.1521} { // the same source
		near(t, "least squares", c[k], want, 0.0001)
	}
}
