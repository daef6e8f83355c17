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
	err = eachRow(ctx, d.Rows, d.Columns, progress, func(i int) {
		columns.fill(d.Metres[i*d.Columns:(i+1)*d.Columns], rows[i])
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

// fill writes the distances from one point to every column, with the arc over a
// chord from a table of cubic pieces, which costs no more than a polynomial for
// short chords alone. A chord of nearly the diameter, where the arc grows like a
// square root, is measured from the antipode.
func (c columns) fill(out []float32, from vector) {
	n := len(out)
	xs, ys, zs := c.x[:n], c.y[:n], c.z[:n]
	table := arcPieces
	for j := range out {
		x, y, z := xs[j]-from.x, ys[j]-from.y, zs[j]-from.z
		q := x*x + y*y + z*z
		if q > lastPiece {
			out[j] = float32(float64(MeanRadius) * (math.Pi - arcOfNearChord(max(0, 4-q))))
			continue
		}
		a := &table[uint8(int(q*piecesPerUnit))]
		out[j] = float32(math.Sqrt(q) * (a[0] + q*(a[1]+q*(a[2]+q*a[3]))))
	}
}

// The table over the squares of chords, 0 to 4: a piece each 1/64, right within
// 5e-9 up to lastPiece.
const (
	pieces        = 256
	piecesPerUnit = pieces / 4
	lastPiece     = 3.84
)

// arcPieces holds for each piece the cubic in the chord's square, lowest power
// first, that gives the arc's length in metres over the chord on the unit sphere.
var arcPieces = makeArcPieces()

// makeArcPieces interpolates at the Chebyshev nodes of each piece.
func makeArcPieces() *[pieces][4]float64 {
	all := new([pieces][4]float64)
	for i := range all {
		var at, c [4]float64
		for k := range at {
			at[k] = (float64(i) + (1+math.Cos(math.Pi*float64(2*k+1)/8))/2) / piecesPerUnit
			root := math.Sqrt(at[k])
			c[k] = float64(MeanRadius) * 2 * math.Asin(root/2) / root
		}
		for order := 1; order < 4; order++ { // divided differences
			for k := 3; k >= order; k-- {
				c[k] = (c[k] - c[k-1]) / (at[k] - at[k-order])
			}
		}
		p := &all[i]
		for k := 3; k >= 0; k-- { // p × (q - at[k]) + c[k], power by power
			for power := 3; power > 0; power-- {
				p[power] = p[power-1] - at[k]*p[power]
			}
			p[0] = c[k] - at[k]*p[0]
		}
	}
	return all
}
