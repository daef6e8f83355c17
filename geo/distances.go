package geo

import (
	"context"
	"fmt"
	"math"
)

// Distances holds great-circle distances between two lists of points: row = from,
// column = to, stored row by row.
type Distances struct {
	Rows, Columns int
	Metres        []float32 // Rows × Columns
}

// At is the distance from row i to column j.
func (d Distances) At(i, j int) Metres { return Metres(d.Metres[i*d.Columns+j]) }

// DistanceMatrixError is the most by which a distance of a [DistanceMatrix] is off
// [Distance], as a part of it (and 10 nanometres beside): nearly all of it the
// rounding to 32 bits, 16 mm at 300 km and 1 m near the antipode.
const DistanceMatrixError = 8e-8

// DistanceMatrix gives the great-circle distances from each of from to each of to,
// four bytes a pair, worked out on all processors, within [DistanceMatrixError].
// Between equal points it is 0.
//
// progress may be nil; it is called from the calling goroutine with the pairs
// done so far. An unset point and a cancelled context are errors.
func DistanceMatrix(ctx context.Context, from, to []Point, progress func(done, total int)) (Distances, error) {
	rows, err := unitVectors("from", from)
	if err != nil {
		return Distances{}, err
	}
	ends, err := unitVectors("to", to)
	if err != nil {
		return Distances{}, err
	}
	d := Distances{Rows: len(from), Columns: len(to), Metres: make([]float32, len(from)*len(to))}
	columns := makeColumns(ends)
	fill := columns.fill
	if longestChordSquare(rows, ends) < nearChordSquare {
		fill = columns.fillNear
	}
	err = eachRow(ctx, d.Rows, d.Columns, progress, func(i int) {
		fill(d.Metres[i*d.Columns:(i+1)*d.Columns], rows[i])
	})
	if err != nil {
		return Distances{}, fmt.Errorf("distance matrix: %w", err)
	}
	return d, nil
}

// columns are unit vectors by coordinate, which is how the loops below read them.
type columns struct{ x, y, z []float64 }

func makeColumns(vectors []vector) columns {
	n := len(vectors)
	all := make([]float64, 3*n)
	c := columns{all[:n:n], all[n : 2*n : 2*n], all[2*n:]}
	for i, v := range vectors {
		c.x[i], c.y[i], c.z[i] = v.x, v.y, v.z
	}
	return c
}

// longestChordSquare bounds the square of the chords between two lists: by the box
// that holds them all.
func longestChordSquare(lists ...[]vector) float64 {
	low, high := vector{2, 2, 2}, vector{-2, -2, -2}
	for _, list := range lists {
		for _, v := range list {
			low = vector{min(low.x, v.x), min(low.y, v.y), min(low.z, v.z)}
			high = vector{max(high.x, v.x), max(high.y, v.y), max(high.z, v.z)}
		}
	}
	return chordSquare(low, high)
}

// fillNear writes the distances from one point to every column for chords up to
// 0.2: the series of arcOfNearChord cut after the fourth term, 3e-10 of the
// distance.
func (c columns) fillNear(out []float32, from vector) {
	const r = float64(MeanRadius)
	const k0, k1, k2, k3 = r, r / 24, r * 3 / 640, r * 5 / 7168
	n := len(out)
	xs, ys, zs := c.x[:n], c.y[:n], c.z[:n]
	for j := range out {
		x, y, z := xs[j]-from.x, ys[j]-from.y, zs[j]-from.z
		q := x*x + y*y + z*z
		out[j] = float32(math.Sqrt(q) * (k0 + q*(k1+q*(k2+q*k3))))
	}
}

// arcsine is asin(√k)/√k for k from 0 to 1/2, the Chebyshev approximation of degree
// 9, lowest power first: within 4.4e-10.
var arcsine = [10]float64{
	0.9999999997624108, 0.16666676148878942, 0.07499381287529563, 0.044797868648363166, 0.028433801311241912,
	0.03620817622762058, -0.04106808870534895, 0.16083178354554348, -0.1955462730380675, 0.14315106122330062,
}

// fill writes the distances from one point to every column, anywhere. With h the
// square of half the chord, the arc is 2 asin √h, and beyond a right angle
// π - 2 asin √(1-h); no branch, for it would be guessed wrong half of the time.
func (c columns) fill(out []float32, from vector) {
	const r = float64(MeanRadius)
	n := len(out)
	xs, ys, zs := c.x[:n], c.y[:n], c.z[:n]
	a := &arcsine
	for j := range out {
		x, y, z := xs[j]-from.x, ys[j]-from.y, zs[j]-from.z
		h := (x*x + y*y + z*z) / 4
		rest := 1 - h
		k := max(min(h, rest), 0)
		p := a[0] + k*(a[1]+k*(a[2]+k*(a[3]+k*(a[4]+k*(a[5]+k*(a[6]+k*(a[7]+k*(a[8]+k*a[9]))))))))
		short := 2 * r * math.Sqrt(k) * p
		out[j] = float32(math.Pi/2*r - math.Copysign(math.Pi/2*r-short, rest-h))
	}
}
