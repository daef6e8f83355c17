package geo

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// Travel is one drive: how far and how long.
type Travel struct {
	Metres  Metres  // whole metres
	Seconds Seconds // whole seconds, rounded up
}

// Model says how far and how long the drive between two points is.
// Travel and Matrix give the same answers exactly.
type Model interface {
	// Travel gives the drive between two set points. It panics on an unset
	// point: who has points from outside asks IsSet first, or uses Matrix.
	Travel(from, to Point) Travel
	// Matrix gives the drives from each of from (rows) to each of to (columns).
	// progress may be nil; it is called from the calling goroutine after each
	// row with the pairs done so far. Rows are worked out on all processors. An
	// unset point and a cancelled context are errors.
	Matrix(ctx context.Context, from, to []Point, progress func(done, total int)) (Matrix, error)
	// Describe says in words what the answers are made of.
	Describe() string
}

// GreatCircle travels along the great circle, lengthened by a detour factor and
// driven at one speed. Symmetric, and good enough to start with: no road is
// known.
type GreatCircle struct {
	DetourFactor float64 // road length over great circle, 1 to 5; about 1.3 in towns
	SpeedKmh     float64 // mean driving speed in km/h, 1 to 200
	FixedSeconds Seconds // added to every drive between two different points, 0 to 3,600: start, park, walk
}

var _ Model = GreatCircle{}

// Validate reports every field out of its range.
func (g GreatCircle) Validate() error {
	var errs []error
	if !(g.DetourFactor >= 1 && g.DetourFactor <= 5) {
		errs = append(errs, fmt.Errorf("detour factor %v is outside 1 to 5", g.DetourFactor))
	}
	if !(g.SpeedKmh >= 1 && g.SpeedKmh <= 200) {
		errs = append(errs, fmt.Errorf("speed %v km/h is outside 1 to 200", g.SpeedKmh))
	}
	if g.FixedSeconds < 0 || g.FixedSeconds > Hour {
		errs = append(errs, fmt.Errorf("fixed time %d s a drive is outside 0 to 3,600", int64(g.FixedSeconds)))
	}
	return errors.Join(errs...)
}

// Travel implements [Model].
func (g GreatCircle) Travel(from, to Point) Travel {
	if !from.IsSet() || !to.IsSet() {
		panic("geo: travel needs two set points")
	}
	return g.between(unitVector(from), unitVector(to))
}

func (g GreatCircle) between(a, b vector) Travel {
	road := float64(MeanRadius) * angleBetween(a, b) * g.DetourFactor
	if road == 0 {
		return Travel{}
	}
	driving := math.Ceil(road * 3.6 / g.SpeedKmh)
	return Travel{Metres: Metres(math.Round(road)), Seconds: Seconds(driving) + g.FixedSeconds}
}

// Among readies the drives between some points, for who asks for one at a time and for many of them. It panics on an
// unset point.
func (g GreatCircle) Among(points []Point) *Drives {
	vectors, err := unitVectors("points", points)
	if err != nil {
		panic("geo: travel needs set points: " + err.Error())
	}
	return &Drives{g, vectors}
}

// Drives are the drives between some points, worked out one by one when they are asked for; 24 bytes a point.
type Drives struct {
	by     GreatCircle
	points []vector
}

// Between is the drive from a point to another, by their places in the list; the same as Travel says.
func (d *Drives) Between(from, to int) Travel { return d.by.between(d.points[from], d.points[to]) }

// Matrix implements [Model].
func (g GreatCircle) Matrix(ctx context.Context, from, to []Point, progress func(done, total int)) (Matrix, error) {
	if err := g.Validate(); err != nil {
		return Matrix{}, fmt.Errorf("travel model: %w", err)
	}
	rows, err := unitVectors("from", from)
	if err != nil {
		return Matrix{}, err
	}
	columns, err := unitVectors("to", to)
	if err != nil {
		return Matrix{}, err
	}
	m := NewMatrix(len(from), len(to))
	err = eachRow(ctx, m.Rows, m.Columns, progress, func(i int) {
		for j, b := range columns {
			m.Set(i, j, g.between(rows[i], b))
		}
	})
	if err != nil {
		return Matrix{}, fmt.Errorf("travel matrix: %w", err)
	}
	return m, nil
}

func unitVectors(list string, points []Point) ([]vector, error) {
	vectors := make([]vector, len(points))
	for i, p := range points {
		if !p.IsSet() {
			return nil, fmt.Errorf("%s[%d]: %w", list, i, ErrUnset)
		}
		vectors[i] = unitVector(p)
	}
	return vectors, nil
}

// Describe implements [Model].
func (g GreatCircle) Describe() string {
	text := fmt.Sprintf("great circle × %.4g at %.4g km/h", g.DetourFactor, g.SpeedKmh)
	if g.FixedSeconds > 0 {
		text += fmt.Sprintf(", %s added to each drive", g.FixedSeconds)
	}
	return text
}
