package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/s2"
)

// Index finds points near a place. It keeps the points in the order of their S2
// cells, a curve on which near points mostly follow each other, and bounds every
// eight neighbours by a box of unit vectors, every eight boxes by another, up to
// one: searches skip boxes that are too far. An index does not change once made.
type Index struct {
	cells   []s2.CellID // ascending
	at      []int       // index of the point in the caller's list
	vectors []vector
	levels  [][]box // levels[0] bounds the points; each next one the boxes before
}

// fan is how many points, or boxes, one box bounds.
const fan = 8

// box bounds some unit vectors.
type box struct{ low, high vector }

func (b box) with(c box) box {
	return box{
		vector{min(b.low.x, c.low.x), min(b.low.y, c.low.y), min(b.low.z, c.low.z)},
		vector{max(b.high.x, c.high.x), max(b.high.y, c.high.y), max(b.high.z, c.high.z)},
	}
}

// square is the square of the distance from a vector to the box, 0 inside.
func (b *box) square(v vector) float64 {
	x := max(b.low.x-v.x, v.x-b.high.x, 0)
	y := max(b.low.y-v.y, v.y-b.high.y, 0)
	z := max(b.low.z-v.z, v.z-b.high.z, 0)
	return x*x + y*y + z*z
}

// NewIndex makes an index over points; unset points are left out. Answers are
// indices into points.
func NewIndex(points []Point) *Index {
	x := &Index{}
	for i, p := range points {
		if p.IsSet() {
			x.at = append(x.at, i)
		}
	}
	cell := make([]s2.CellID, len(points))
	for _, i := range x.at {
		cell[i] = cellOf(points[i])
	}
	slices.SortFunc(x.at, func(a, b int) int {
		return cmp.Or(cmp.Compare(cell[a], cell[b]), a-b)
	})
	boxes := make([]box, len(x.at))
	for k, i := range x.at {
		v := unitVector(points[i])
		x.cells = append(x.cells, cell[i])
		x.vectors = append(x.vectors, v)
		boxes[k] = box{v, v}
	}
	for len(boxes) > 1 || len(x.levels) == 0 && len(boxes) == 1 {
		boxes = bound(boxes)
		x.levels = append(x.levels, boxes)
	}
	return x
}

// bound makes one box of every eight.
func bound(boxes []box) []box {
	var out []box
	for some := range slices.Chunk(boxes, fan) {
		all := some[0]
		for _, b := range some[1:] {
			all = all.with(b)
		}
		out = append(out, all)
	}
	return out
}

// Len is the number of points in the index.
func (x *Index) Len() int { return len(x.at) }

// Near is one answer: the point's index in the list given to NewIndex, and its
// distance.
type Near struct {
	Point    int
	Distance Metres
}

// Within lists the points at most radius away, nearest first; equal distances
// in the order of the list.
func (x *Index) Within(p Point, radius Metres) []Near {
	if !p.IsSet() || !(radius >= 0) || len(x.at) == 0 {
		return nil
	}
	chord := 2 * math.Sin(min(float64(radius/MeanRadius), math.Pi)/2)
	s := search{Index: x, centre: unitVector(p), limit: roundedUp(chord * chord)}
	s.visit(len(x.levels)-1, 0)
	found := s.answers()
	for len(found) > 0 && found[len(found)-1].Distance > radius {
		found = found[:len(found)-1]
	}
	if len(found) == 0 {
		return nil
	}
	return found
}

// Nearest lists the count nearest points, nearest first; equal distances in the
// order of the list.
func (x *Index) Nearest(p Point, count int) []Near {
	count = min(count, len(x.at))
	if count <= 0 || !p.IsSet() {
		return nil
	}
	s := search{Index: x, centre: unitVector(p), limit: math.Inf(1), nearest: make([]float64, 0, count)}
	s.found = make([]candidate, 0, 4*count)
	// The points next to it along the curve are near it: they set a first limit.
	here, _ := slices.BinarySearch(x.cells, cellOf(p))
	s.first = max(0, here-count) / fan
	s.last = min(len(x.at)-1, here+count) / fan
	for block := s.first; block <= s.last; block++ {
		s.points(block)
	}
	s.visit(len(x.levels)-1, 0)
	return s.answers()[:count]
}
