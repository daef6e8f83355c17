package geo

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/golang/geo/s1"
	"github.com/golang/geo/s2"
)

// Neighbourhood names the S2 cell of a level (0 the largest, 30 the smallest)
// that a point lies in, as the cell's token. Level 12 cells are about 2 km
// across, level 10 about 8 km. Points with one token are near each other, but
// near points may have two. An unset point gives "".
func Neighbourhood(p Point, level int) string {
	if !p.IsSet() {
		return ""
	}
	if level < 0 || level > s2.MaxLevel {
		panic(fmt.Sprintf("geo: cell level %d is outside 0 to %d", level, s2.MaxLevel))
	}
	return cellOf(p).Parent(level).ToToken()
}

// Index finds points near a place. It keeps the points sorted along the S2
// curve, so that a region is a few ranges. It does not change once made.
type Index struct {
	cells   []s2.CellID // ascending
	at      []int       // index of the point in the caller's list
	vectors []vector
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
	slices.SortStableFunc(x.at, func(a, b int) int {
		switch {
		case cell[a] < cell[b]:
			return -1
		case cell[a] > cell[b]:
			return 1
		}
		return a - b
	})
	for _, i := range x.at {
		x.cells = append(x.cells, cell[i])
		x.vectors = append(x.vectors, unitVector(points[i]))
	}
	return x
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
	if !p.IsSet() || !(radius >= 0) {
		return nil
	}
	centre := unitVector(p)
	angle := float64(radius/MeanRadius)*(1+1e-12) + 1e-12
	if angle >= math.Pi {
		return sortNear(x.filter(nil, centre, radius, 0, len(x.at)))
	}
	cap := s2.CapFromCenterAngle(s2.PointFromLatLng(latLng(p)), s1.Angle(angle))
	coverer := s2.RegionCoverer{MinLevel: 0, MaxLevel: s2.MaxLevel, LevelMod: 1, MaxCells: 8}
	var found []Near
	for _, cell := range coverer.Covering(cap) {
		low := sort.Search(len(x.cells), func(i int) bool { return x.cells[i] >= cell.RangeMin() })
		high := sort.Search(len(x.cells), func(i int) bool { return x.cells[i] > cell.RangeMax() })
		found = x.filter(found, centre, radius, low, high)
	}
	return sortNear(found)
}

func (x *Index) filter(found []Near, centre vector, radius Metres, low, high int) []Near {
	for i := low; i < high; i++ {
		d := MeanRadius * Metres(centralAngle(centre, x.vectors[i]))
		if d <= radius {
			found = append(found, Near{Point: x.at[i], Distance: d})
		}
	}
	return found
}

func sortNear(found []Near) []Near {
	slices.SortFunc(found, func(a, b Near) int {
		switch {
		case a.Distance < b.Distance:
			return -1
		case a.Distance > b.Distance:
			return 1
		}
		return a.Point - b.Point
	})
	return found
}

// Nearest lists the count nearest points, nearest first; equal distances in the
// order of the list. The radius searched is doubled until enough are found.
func (x *Index) Nearest(p Point, count int) []Near {
	if count <= 0 || !p.IsSet() {
		return nil
	}
	count = min(count, len(x.at))
	for radius := Kilometre; ; radius *= 2 {
		whole := radius > MeanRadius*4
		found := x.Within(p, radius)
		if len(found) >= count || whole {
			return found[:min(count, len(found))]
		}
	}
}
