package geo

import (
	"errors"
	"fmt"
	"math"

	"github.com/golang/geo/s2"
)

// The shortest way past barriers bends only at their corners, ends and crossings
// (the visibility graph of T. Lozano-Pérez and M. A. Wesley, Communications of the
// ACM 22:560, 1979, doi 10.1145/359156.359164). So the model knows the shortest ways
// between those, and a place knows which of them it sees.

// Limits on barriers.
const (
	crossingReach        = 250 * Metre // from a crossing to its line
	beside               = 1 * Metre   // how far from its corner a way bends
	mostCorners          = 500
	sliver        Metres = 0.001 // pieces of a line are longer
)

// barriers is a set of barriers made ready.
type barriers struct {
	pieces  []piece
	corners []vector    // where a way may bend
	through [][]float64 // shortest way from corner to corner, in radians; +Inf for none
}

// piece is one stretch of a barrier's line, with the ball of unit vectors that holds
// it.
type piece struct {
	from, to s2.Point
	normal   vector // of the plane of its great circle
	middle   vector
	reach    float64
}

// ways are a place's shortest ways to each corner: seen from it, and over others.
type ways struct{ seen, through []float64 }

func newBarriers(list []Barrier) (barriers, error) {
	var b barriers
	var errs []error
	var gates [][2]int
	for i, barrier := range list {
		g, err := b.add(barrier)
		if err != nil {
			errs = append(errs, fmt.Errorf("barrier %d (%s): %w", i+1, barrier.Name, err))
		}
		gates = append(gates, g...)
	}
	if len(b.corners) > mostCorners {
		errs = append(errs, fmt.Errorf("the barriers have %d corners and crossings, at most %d can be reckoned with", len(b.corners), mostCorners))
	}
	if err := errors.Join(errs...); err != nil {
		return barriers{}, err
	}
	b.connect(gates)
	return b, nil
}

// add takes a barrier's pieces and corners in, and returns the pairs of corners on
// both sides of its crossings.
func (b *barriers) add(barrier Barrier) (gates [][2]int, err error) {
	line, err := vectorsOfLine(barrier.Line)
	if err != nil {
		return nil, err
	}
	n := len(line)
	first := len(b.pieces)
	for i := range n - 1 {
		b.pieces = append(b.pieces, newPiece(line[i], line[i+1]))
	}
	if line[0] == line[n-1] { // a ring
		b.besides(line[0], line[n-2], line[1])
	} else {
		b.corners = append(b.corners, beyond(line[1], line[0]), beyond(line[n-2], line[n-1]))
	}
	for i := 1; i < n-1; i++ {
		b.besides(line[i], line[i-1], line[i+1])
	}
	for i, p := range barrier.Crossings {
		if !p.IsSet() {
			return nil, fmt.Errorf("crossing %d: %w", i+1, ErrUnset)
		}
		at, on, off := nearestPiece(b.pieces[first:], unitVector(p))
		if off > crossingReach {
			return nil, fmt.Errorf("crossing %d (%v) is %v from the line, more than %v", i+1, p, off, crossingReach)
		}
		k := len(b.corners)
		b.besides(at, fromS2(on.from), fromS2(on.to))
		gates = append(gates, [2]int{k, k + 1})
	}
	return gates, nil
}

// vectorsOfLine leaves out points that repeat the one before.
func vectorsOfLine(points []Point) ([]vector, error) {
	var line []vector
	for i, p := range points {
		if !p.IsSet() {
			return nil, fmt.Errorf("point %d of its line: %w", i+1, ErrUnset)
		}
		v := unitVector(p)
		if len(line) == 0 || angleBetween(line[len(line)-1], v) > float64(sliver/MeanRadius) {
			line = append(line, v)
		}
	}
	if len(line) < 2 || len(line) == 3 && line[0] == line[2] {
		return nil, fmt.Errorf("a line of %d different points, need 2", min(len(line), 2))
	}
	return line, nil
}

func newPiece(from, to vector) piece {
	middle := from.plus(to).unit()
	return piece{from.s2(), to.s2(), from.cross(to), middle, math.Sqrt(chordSquare(middle, from))}
}

// aside says that both ends of another stretch are clearly on one side of the
// piece's great circle, which it then does not cross.
func (p *piece) aside(from, to s2.Point) bool {
	const clearly = 1e-15
	a, b := p.normal.dot(fromS2(from)), p.normal.dot(fromS2(to))
	return a > clearly && b > clearly || a < -clearly && b < -clearly
}

// nearestPiece is the place on a line that is nearest to a point.
func nearestPiece(line []piece, v vector) (at vector, on piece, off Metres) {
	off = Metres(math.Inf(1))
	for _, p := range line {
		if d := MeanRadius * Metres(s2.DistanceFromSegment(v.s2(), p.from, p.to)); d < off {
			at, on, off = fromS2(s2.Project(v.s2(), p.from, p.to)), p, d
		}
	}
	return at, on, off
}

// besides adds a corner on either side of a line that passes at on its way from
// before to after, in the middle of the angle.
func (b *barriers) besides(at, before, after vector) {
	along := at.minus(before).unit().plus(after.minus(at).unit())
	if at.minus(before) == (vector{}) || after.minus(at) == (vector{}) || along.dot(along) < 1e-6 {
		along = after.minus(before) // at an end, or turning back
	}
	left := at.cross(along).unit().times(float64(beside / MeanRadius))
	b.corners = append(b.corners, at.plus(left).unit(), at.minus(left).unit())
}

// beyond is a corner past the end of a line.
func beyond(before, end vector) vector {
	return end.plus(end.minus(before).unit().times(float64(beside / MeanRadius))).unit()
}

// connect finds the shortest ways between corners (R. W. Floyd, Communications of
// the ACM 5:345, 1962, doi 10.1145/367766.368168).
func (b *barriers) connect(gates [][2]int) {
	n := len(b.corners)
	d := make([][]float64, n)
	for i := range d {
		d[i] = make([]float64, n)
		for j := range i {
			d[i][j] = math.Inf(1)
			if !b.between(b.corners[i], b.corners[j]) {
				d[i][j] = angleBetween(b.corners[i], b.corners[j])
			}
			d[j][i] = d[i][j]
		}
	}
	for _, g := range gates {
		across := angleBetween(b.corners[g[0]], b.corners[g[1]])
		d[g[0]][g[1]], d[g[1]][g[0]] = across, across
	}
	for k := range d {
		for i := range d {
			for j, by := range d[k] {
				d[i][j] = min(d[i][j], d[i][k]+by)
			}
		}
	}
	b.through = d
}

// between says whether the straight way between two places crosses a barrier.
func (b *barriers) between(v, w vector) bool {
	if len(b.pieces) == 0 || v == w {
		return false
	}
	way := newPiece(v, w)
	for i := range b.pieces {
		p := &b.pieces[i]
		reach := p.reach + way.reach
		if chordSquare(p.middle, way.middle) > reach*reach*(1+1e-9) {
			continue // too far to meet; never for antipodes, whose middle is no number
		}
		if p.aside(way.from, way.to) || way.aside(p.from, p.to) {
			continue
		}
		if s2.CrossingSign(way.from, way.to, p.from, p.to) == s2.Cross {
			return true
		}
	}
	return false
}

// ways looks from a place at every corner.
func (b *barriers) ways(v vector) ways {
	n := len(b.corners)
	if n == 0 {
		return ways{}
	}
	w := ways{make([]float64, n), make([]float64, n)}
	for k, c := range b.corners {
		w.seen[k], w.through[k] = math.Inf(1), math.Inf(1)
		if !b.between(v, c) {
			w.seen[k] = angleBetween(v, c)
		}
	}
	for k, seen := range w.seen {
		if math.IsInf(seen, 1) {
			continue
		}
		for j, on := range b.through[k] {
			w.through[j] = min(w.through[j], seen+on)
		}
	}
	return w
}

// angle is the length of the shortest way between two spots in radians. Where there
// is none, inside a ring without a crossing, it is the straight one.
func (b *barriers) angle(from, to *spot) float64 {
	straight := angleBetween(from.vector, to.vector)
	if !b.between(from.vector, to.vector) {
		return straight
	}
	shortest := math.Inf(1)
	for k, on := range from.ways.through {
		shortest = min(shortest, on+to.ways.seen[k])
	}
	if math.IsInf(shortest, 1) {
		return straight
	}
	return max(shortest, straight)
}

func (v vector) plus(w vector) vector   { return vector{v.x + w.x, v.y + w.y, v.z + w.z} }
func (v vector) minus(w vector) vector  { return vector{v.x - w.x, v.y - w.y, v.z - w.z} }
func (v vector) times(k float64) vector { return vector{v.x * k, v.y * k, v.z * k} }
func (v vector) dot(w vector) float64   { return v.x*w.x + v.y*w.y + v.z*w.z }
func (v vector) unit() vector           { return v.times(1 / math.Sqrt(v.dot(v))) }
func (v vector) cross(w vector) vector {
	return vector{v.y*w.z - v.z*w.y, v.z*w.x - v.x*w.z, v.x*w.y - v.y*w.x}
}
