// Package bench measures package geo against plain haversine loops run beside it,
// so that figures from noisy machines can be compared by their ratios.
package bench

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"time"

	"github.com/paulmach/orb"
	orbgeo "github.com/paulmach/orb/geo"

	"valveround/geo"
)

// Figure is one measurement. Fields that do not belong to it are zero, and left
// out of the JSON form except Allocs, which is a pointer.
type Figure struct {
	Name                 string   `json:"name"`
	Seconds              float64  `json:"seconds,omitempty"`                 // a whole matrix, its memory included
	RatioToHaversineLoop float64  `json:"ratio_to_haversine_loop,omitempty"` // how many times longer the loop of the orb library takes, with as many workers
	MemoryRatio          float64  `json:"memory_ratio,omitempty"`            // bytes allocated over bytes of the cells
	Ns                   float64  `json:"ns,omitempty"`                      // one call
	Allocs               *float64 `json:"allocs,omitempty"`                  // allocations a call
	RatioToHaversine     float64  `json:"ratio_to_haversine,omitempty"`      // how many plain haversines a call costs
	Us                   float64  `json:"us,omitempty"`                      // one query
}

// String is the figure for people.
func (f Figure) String() string {
	switch {
	case f.Seconds > 0:
		return fmt.Sprintf("%-24s %8.3f s    %6.1f × faster than the haversine loop, memory %.3f × its cells",
			f.Name, f.Seconds, f.RatioToHaversineLoop, f.MemoryRatio)
	case f.Us > 0:
		return fmt.Sprintf("%-24s %8.2f µs", f.Name, f.Us)
	default:
		text := fmt.Sprintf("%-24s %8.1f ns", f.Name, f.Ns)
		if f.RatioToHaversine > 0 {
			text += fmt.Sprintf("   %6.2f × a haversine", f.RatioToHaversine)
		}
		if f.Allocs != nil {
			text += fmt.Sprintf(", %g allocations", *f.Allocs)
		}
		return text
	}
}

// rounds is how often each thing is measured, turn and turn about with what it is
// compared with; the shortest time of each counts.
const rounds = 5

// sizes are how many places each measurement takes.
type sizes struct{ matrix, index, pairs int }

var whole = sizes{matrix: 10_000, index: 100_000, pairs: 2048}

// loopRows are the rows of the haversine loop that are run; the rest is multiplied.
const loopRows = 400

// Run measures everything and hands each figure to show as it comes.
func Run(ctx context.Context, show func(Figure) error) error { return run(ctx, whole, show) }

func run(ctx context.Context, n sizes, show func(Figure) error) error {
	random := rand.New(rand.NewPCG(5, 10))
	for _, m := range []func() (Figure, error){
		func() (Figure, error) { return matrix(ctx, "matrix_10000", local(random, n.matrix)) },
		func() (Figure, error) { return matrix(ctx, "matrix_10000_world", world(random, n.matrix)) },
		func() (Figure, error) { return one(ctx, "haversine", local(random, n.pairs), haversines) },
		func() (Figure, error) { return one(ctx, "great_circle", local(random, n.pairs), greatCircles) },
		func() (Figure, error) { return one(ctx, "karney_inverse", local(random, n.pairs), inverses) },
		func() (Figure, error) { return one(ctx, "karney_inverse_world", world(random, n.pairs), inverses) },
		func() (Figure, error) { return one(ctx, "karney_direct", local(random, n.pairs), directs) },
		func() (Figure, error) { return nearest(ctx, "nearest20_100k", random, local(random, n.index)) },
		func() (Figure, error) {
			return nearest(ctx, "nearest20_100k_clustered", random, clustered(random, n.index))
		},
	} {
		figure, err := m()
		if err != nil {
			return err
		}
		if err := show(figure); err != nil {
			return err
		}
	}
	return nil
}

// local are places within 300 km of one.
func local(random *rand.Rand, n int) []geo.Point {
	centre := geo.MustPoint(41.2, -38)
	list := make([]geo.Point, n)
	for i := range list {
		list[i] = geo.Destination(centre, 360*random.Float64(), geo.Metres(300_000*math.Sqrt(random.Float64())))
	}
	return list
}

// world are places all over the earth, evenly.
func world(random *rand.Rand, n int) []geo.Point {
	list := make([]geo.Point, n)
	for i := range list {
		list[i] = geo.MustPoint(math.Asin(2*random.Float64()-1)*180/math.Pi, 360*random.Float64()-180)
	}
	return list
}

// clustered are places in 200 towns, most of them near the middle of theirs.
func clustered(random *rand.Rand, n int) []geo.Point {
	towns := local(random, 200)
	list := make([]geo.Point, n)
	for i := range list {
		list[i] = geo.Destination(towns[random.IntN(len(towns))], 360*random.Float64(), geo.Metres(1500*random.ExpFloat64()))
	}
	return list
}

// matrix measures a distance matrix of a list with itself against the haversine
// loop of the orb library over the first rows of the same matrix.
func matrix(ctx context.Context, name string, list []geo.Point) (Figure, error) {
	figure := Figure{Name: name, Seconds: math.Inf(1)}
	loop := math.Inf(1)
	for range rounds {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		start := time.Now()
		d, err := geo.DistanceMatrix(ctx, list, list, nil)
		if err != nil {
			return Figure{}, err
		}
		figure.Seconds = min(figure.Seconds, time.Since(start).Seconds())
		runtime.ReadMemStats(&after)
		figure.MemoryRatio = float64(after.TotalAlloc-before.TotalAlloc) / float64(4*len(d.Metres))
		rows := min(loopRows, len(list))
		start = time.Now()
		haversineLoop(d, list, rows)
		loop = min(loop, time.Since(start).Seconds()*float64(len(list))/float64(rows))
	}
	figure.RatioToHaversineLoop = loop / figure.Seconds
	return figure, nil
}

// haversineLoop fills the first rows of a matrix with orb's haversine, on as many
// workers as there are processors.
func haversineLoop(d geo.Distances, list []geo.Point, rows int) {
	places := make([]orb.Point, len(list))
	for i, p := range list {
		places[i] = p.Orb()
	}
	var running sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		running.Go(func() {
			for i := w; i < rows; i += workers {
				row := d.Metres[i*d.Columns : (i+1)*d.Columns]
				for j := range row {
					row[j] = float32(orbgeo.DistanceHaversine(places[i], places[j]))
				}
			}
		})
	}
	running.Wait()
}

// A batch does one thing with the pairs (list[i], list[i+1]) and sums up, so that
// nothing is left out by the compiler.
type batch func(list []geo.Point) float64

func haversines(list []geo.Point) (sum float64) {
	for i := range len(list) - 1 {
		sum += haversine(list[i].LatDeg(), list[i].LonDeg(), list[i+1].LatDeg(), list[i+1].LonDeg())
	}
	return sum
}

// haversine is the plain formula, as everybody writes it.
func haversine(lat1, lon1, lat2, lon2 float64) float64 {
	const deg = math.Pi / 180
	u, v := math.Sin((lat2-lat1)*deg/2), math.Sin((lon2-lon1)*deg/2)
	h := u*u + math.Cos(lat1*deg)*math.Cos(lat2*deg)*v*v
	return 2 * float64(geo.MeanRadius) * math.Asin(math.Sqrt(min(1, h)))
}

func greatCircles(list []geo.Point) (sum float64) {
	for i := range len(list) - 1 {
		sum += float64(geo.Distance(list[i], list[i+1]))
	}
	return sum
}

func inverses(list []geo.Point) (sum float64) {
	for i := range len(list) - 1 {
		sum += float64(geo.WGS84.Inverse(list[i], list[i+1]).Length)
	}
	return sum
}

func directs(list []geo.Point) (sum float64) {
	for i := range len(list) - 1 {
		end, _ := geo.WGS84.Direct(list[i], 360*list[i+1].LatDeg(), geo.Metres(3000*list[i+1].LonDeg()))
		sum += end.LatDeg()
	}
	return sum
}

// one measures one call against one haversine of the same pairs.
func one(ctx context.Context, name string, list []geo.Point, b batch) (Figure, error) {
	per := 1 / float64(len(list)-1)
	call, plain, sum := math.Inf(1), math.Inf(1), 0.0
	for range 10 * rounds {
		if err := ctx.Err(); err != nil {
			return Figure{}, err
		}
		start := time.Now()
		sum += b(list)
		middle := time.Now()
		sum += haversines(list)
		call = min(call, float64(middle.Sub(start).Nanoseconds())*per)
		plain = min(plain, float64(time.Since(middle).Nanoseconds())*per)
	}
	if math.IsNaN(sum) {
		return Figure{}, fmt.Errorf("%s: a distance is no number", name)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	b(list)
	runtime.ReadMemStats(&after)
	allocs := math.Floor(float64(after.Mallocs-before.Mallocs)*per*100) / 100
	return Figure{Name: name, Ns: call, Allocs: &allocs, RatioToHaversine: call / plain}, nil
}

// nearest measures queries for the 20 nearest of a list, from places as they lie: in
// short batches, so that the best round of each is hardly disturbed by others at work
// on the machine, and then their mean.
func nearest(ctx context.Context, name string, random *rand.Rand, list []geo.Point) (Figure, error) {
	const batches, queries = 20, 100
	index := geo.NewIndex(list)
	asked := make([]geo.Point, batches*queries)
	for i := range asked {
		asked[i] = geo.Destination(list[random.IntN(len(list))], 360*random.Float64(), 500)
	}
	best := slices.Repeat([]float64{math.Inf(1)}, batches)
	for range 5 * rounds {
		if err := ctx.Err(); err != nil {
			return Figure{}, err
		}
		for b := range best {
			start, found := time.Now(), 0
			for _, p := range asked[b*queries : (b+1)*queries] {
				found += len(index.Nearest(p, 20))
			}
			best[b] = min(best[b], time.Since(start).Seconds()*1e6/queries)
			if found != 20*queries {
				return Figure{}, fmt.Errorf("%s: found %d points", name, found)
			}
		}
	}
	sum := 0.0
	for _, us := range best {
		sum += us
	}
	return Figure{Name: name, Us: sum / batches}, nil
}

// Dump writes n random cells of the two matrices measured, half from within 300 km
// and half world-wide, one a line: lat1,lon1,lat2,lon2,metres.
func Dump(ctx context.Context, w io.Writer, n int) error { return dump(ctx, whole, w, n) }

func dump(ctx context.Context, size sizes, w io.Writer, n int) error {
	random := rand.New(rand.NewPCG(5, 11))
	for half, list := range [][]geo.Point{local(random, size.matrix), world(random, size.matrix)} {
		d, err := geo.DistanceMatrix(ctx, list, list, nil)
		if err != nil {
			return err
		}
		for range (n + 1 - half) / 2 {
			i, j := random.IntN(len(list)), random.IntN(len(list))
			a, b := list[i], list[j]
			line := make([]byte, 0, 100)
			for _, x := range []float64{a.LatDeg(), a.LonDeg(), b.LatDeg(), b.LonDeg()} {
				line = append(strconv.AppendFloat(line, x, 'f', -1, 64), ',')
			}
			line = append(strconv.AppendFloat(line, float64(d.At(i, j)), 'f', -1, 32), '\n')
			if _, err := w.Write(line); err != nil {
				return fmt.Errorf("writing the cells: %w", err)
			}
		}
	}
	return nil
}
