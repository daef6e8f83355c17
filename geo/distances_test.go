package geo

import (
	"context"
	"errors"
	"math"
	"runtime"
	"testing"

	"pgregory.net/rapid"
)

// The chord's arc against the arctangent, over the whole sphere and close by.
func TestAngleBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawPoint(t, "from")
		b := drawNear(t, a)
		got, want := angleBetween(unitVector(a), unitVector(b)), centralAngle(unitVector(a), unitVector(b))
		if math.Abs(got-want) > 1e-15+1e-14*want {
			t.Fatalf("by the chord %v, by the arctangent %v", got, want)
		}
	})
}

// drawNear draws a point at any scale of distance from another, up to its antipode.
func drawNear(t *rapid.T, a Point) Point {
	switch rapid.IntRange(0, 3).Draw(t, "how far") {
	case 0:
		return drawPoint(t, "to")
	case 1:
		return a
	}
	length := math.Pow(10, rapid.Float64Range(-4, 7.3).Draw(t, "log of the distance"))
	b := Destination(a, rapid.Float64Range(0, 360).Draw(t, "bearing"), Metres(length))
	if rapid.Bool().Draw(t, "opposite") {
		b = Point{latDeg: -b.latDeg, lonDeg: wrapDeg(b.lonDeg + 180), set: true}
	}
	return b
}

func TestDistanceMatrixAgainstDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawPoint(t, "centre")
		var from, to []Point
		for range rapid.IntRange(0, 5).Draw(t, "rows") {
			from = append(from, drawNear(t, a))
		}
		for range rapid.IntRange(0, 5).Draw(t, "columns") {
			to = append(to, drawNear(t, a))
		}
		checkDistances(t, from, to)
	})
}

// Both loops of the matrix: of places near each other, and world-wide.
func TestDistanceMatrixNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawPoint(t, "centre")
		var list []Point
		for range 20 {
			list = append(list, Destination(a, rapid.Float64Range(0, 360).Draw(t, "bearing"),
				Metres(rapid.Float64Range(0, 500_000).Draw(t, "distance"))))
		}
		checkDistances(t, list, list)
	})
}

func checkDistances(t *rapid.T, from, to []Point) {
	d, err := DistanceMatrix(context.Background(), from, to, nil)
	if err != nil || len(d.Metres) != len(from)*len(to) {
		t.Fatal(len(d.Metres), err)
	}
	for i := range from {
		for j := range to {
			want := float64(Distance(from[i], to[j]))
			if off := math.Abs(float64(d.At(i, j)) - want); off > DistanceMatrixError*want+1e-8 {
				t.Fatalf("%v to %v: matrix %v, distance %v", from[i], to[j], float64(d.At(i, j)), want)
			}
			if from[i] == to[j] && d.At(i, j) != 0 {
				t.Fatalf("%v is %v from itself", to[j], d.At(i, j))
			}
		}
	}
}

// The table of arcs over its whole range: within 5e-9.
func TestArcPieces(t *testing.T) {
	off := worst{name: "arc over the chord"}
	for i := range 400_000 {
		angle := math.Pi * float64(i) / 400_000
		var out [1]float32
		sin, cos := math.Sincos(angle)
		makeColumns([]vector{{1, 0, 0}}).fill(out[:], vector{cos, sin, 0})
		want := float64(MeanRadius) * angle
		if math.Abs(float64(out[0])-want) > DistanceMatrixError*want+1e-8 {
			t.Fatalf("angle %v: %v, want %v", angle, out[0], want)
		}
		if q := 2 - 2*cos; q <= lastPiece && q > 1e-3 {
			a := &arcPieces[int(q*piecesPerUnit)]
			off.see(math.Abs(math.Sqrt(q)*(a[0]+q*(a[1]+q*(a[2]+q*a[3])))/want-1), i)
		}
	}
	off.within(t, 5e-9, "of the distance", 1)
}

func grid(n int) []Point {
	var list []Point
	for i := range n {
		list = append(list, MustPoint(40+float64(i%17)/20, -100+float64(i/17)/200))
	}
	return list
}

func TestLargeMatrices(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	list := grid(300)
	last := 0
	progress := func(done, total int) {
		if done < last || total != len(list)*len(list) {
			t.Errorf("%d of %d done after %d", done, total, last)
		}
		last = done
	}
	d, err := DistanceMatrix(context.Background(), list, list, progress)
	if err != nil || last != len(list)*len(list) {
		t.Fatalf("%d pairs, %v", last, err)
	}
	last = 0
	model := GreatCircle{DetourFactor: 1.25, SpeedKmh: 42, FixedSeconds: 90}
	m, err := model.Matrix(context.Background(), list, list, progress)
	if err != nil || last != len(list)*len(list) {
		t.Fatalf("%d pairs, %v", last, err)
	}
	for i := range list {
		for j := range list {
			if m.At(i, j) != model.Travel(list[i], list[j]) || m.At(i, j) != m.At(j, i) {
				t.Fatalf("matrix %v, travel %v", m.At(i, j), model.Travel(list[i], list[j]))
			}
			if off := float64(d.At(i, j) - Distance(list[i], list[j])); math.Abs(off) > 0.02 {
				t.Fatalf("row %d, column %d is %v m off", i, j, off)
			}
		}
	}
}

func TestLargeMatrixCancelled(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	list := grid(1000)
	ctx, cancel := context.WithCancel(context.Background())
	_, err := DistanceMatrix(ctx, list, list, func(done, total int) { cancel() })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want cancelled", err)
	}
	if _, err = DistanceMatrix(context.Background(), list, []Point{list[0], {}}, nil); !errors.Is(err, ErrUnset) {
		t.Errorf("error %v, want unset", err)
	}
}

// Ten visits at three places: three rows, the model's answers, kept or asked.
func TestTable(t *testing.T) {
	places := grid(3)
	var list []Point
	for i := range 10 {
		list = append(list, places[i*i%3])
	}
	model := GreatCircle{DetourFactor: 1.3, SpeedKmh: 50, FixedSeconds: 60}
	for _, limit := range []int{0, 1} {
		table, err := NewTable(context.Background(), model, list, limit, nil)
		if err != nil {
			t.Fatal(err)
		}
		if table.Places() != 2 || table.Stored() != (limit == 0) {
			t.Errorf("limit %d: %d places, stored %v", limit, table.Places(), table.Stored())
		}
		for i := range list {
			for j := range list {
				if got, want := table.Between(i, j), model.Travel(list[i], list[j]); got != want {
					t.Errorf("limit %d: %v, want %v", limit, got, want)
				}
			}
		}
	}
	if _, err := NewTable(context.Background(), model, []Point{{}}, 0, nil); !errors.Is(err, ErrUnset) {
		t.Errorf("error %v, want unset", err)
	}
}

func BenchmarkDistanceMatrix2000(b *testing.B) {
	list := grid(2000)
	for b.Loop() {
		if _, err := DistanceMatrix(context.Background(), list, list, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/4e6, "ns/pair")
}
