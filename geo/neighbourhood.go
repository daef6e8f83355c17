package geo

import (
	"fmt"
	"sort"

	"github.com/golang/geo/s2"
)

// Neighbourhood names the S2 cell of a level (0 the largest, 30 the smallest)
// that a point lies in, as the cell's token. Level 12 cells are about 2 km
// across, level 10 about 8 km. Points with one token are near each other, but
// near points may have two. An unset point gives "". Tokens serve as keys of
// territories; who works in one is never derived from them.
func Neighbourhood(p Point, level int) string {
	if !p.IsSet() {
		return ""
	}
	if level < 0 || level > s2.MaxLevel {
		panic(fmt.Sprintf("geo: cell level %d is outside 0 to %d", level, s2.MaxLevel))
	}
	return cellOf(p).Parent(level).ToToken()
}

// Group is the points of one neighbourhood.
type Group struct {
	Token  string // of the S2 cell that holds them
	Points []int  // indices into the list given to NewIndex, along the S2 curve
}

// groupLevel is the smallest cell a group is split to, about 150 m across: who
// stands nearer is at one place.
const groupLevel = 16

// Groups splits the points into neighbourhoods of at most most points (at least
// 1): cells are quartered until their points are few enough or the cell is a
// place, about 150 m across. Groups follow each other along the S2 curve; together
// they hold every point once.
func (x *Index) Groups(most int) []Group {
	most = max(most, 1)
	var groups []Group
	for face := range 6 {
		groups = x.split(groups, s2.CellIDFromFace(face), most)
	}
	return groups
}

func (x *Index) split(groups []Group, cell s2.CellID, most int) []Group {
	points := x.inCell(cell)
	switch {
	case len(points) == 0:
		return groups
	case len(points) <= most || cell.Level() == groupLevel:
		return append(groups, Group{cell.ToToken(), points})
	}
	for _, child := range cell.Children() {
		groups = x.split(groups, child, most)
	}
	return groups
}

// In lists the points of a neighbourhood by its token, along the S2 curve. A token
// that names no cell is an error.
func (x *Index) In(token string) ([]int, error) {
	cell := s2.CellIDFromToken(token)
	if !cell.IsValid() {
		return nil, fmt.Errorf("%q is no token of a neighbourhood", token)
	}
	return x.inCell(cell), nil
}

func (x *Index) inCell(cell s2.CellID) []int {
	low := sort.Search(len(x.cells), func(i int) bool { return x.cells[i] >= cell.RangeMin() })
	high := sort.Search(len(x.cells), func(i int) bool { return x.cells[i] > cell.RangeMax() })
	return x.at[low:high:high]
}
