package geo

import (
	"math"
	"slices"
)

// search is one question to an index. Candidates are compared by the square of
// their chord; the answers by their distance, computed once for each.
type search struct {
	*Index
	centre  vector
	limit   float64 // no candidate has a larger square
	found   []candidate
	nearest []float64 // a heap of the smallest squares, largest first; capacity 0 when every point counts
	// Blocks of points seen before the boxes are visited; none when last < first
	// or both are 0 and nearest has no room.
	first, last int
}

type candidate struct {
	square float64
	at     int // in the order of the index
}

// roundedUp leaves room for the rounding of a chord's square, so that what is
// equal by distance is not lost.
func roundedUp(square float64) float64 {
	return square + 1e-14*math.Sqrt(square) + 1e-30
}

// visit goes through the boxes below one box.
func (s *search) visit(level, k int) {
	below := level - 1
	if below < 0 {
		if cap(s.nearest) == 0 || k < s.first || k > s.last {
			s.points(k)
		}
		return
	}
	boxes := s.levels[below]
	for i := k * fan; i < min((k+1)*fan, len(boxes)); i++ {
		if boxes[i].square(s.centre) <= s.limit {
			s.visit(below, i)
		}
	}
}

// points looks at the points of one block.
func (s *search) points(block int) {
	low := block * fan
	for i, v := range s.vectors[low:min(low+fan, len(s.vectors))] {
		if square := chordSquare(s.centre, v); square <= s.limit {
			s.found = append(s.found, candidate{square, low + i})
			if cap(s.nearest) > 0 {
				s.count(square)
			}
		}
	}
}

// count puts a square on the heap and lowers the limit to the largest of the
// smallest.
func (s *search) count(square float64) {
	h := s.nearest
	if len(h) < cap(h) {
		h = append(h, square)
		for i := len(h) - 1; i > 0 && h[(i-1)/2] < h[i]; i = (i - 1) / 2 {
			h[i], h[(i-1)/2] = h[(i-1)/2], h[i]
		}
		if s.nearest = h; len(h) < cap(h) {
			return
		}
	} else if square < h[0] {
		i := 0
		for {
			next := 2*i + 1
			if next+1 < len(h) && h[next+1] > h[next] {
				next++
			}
			if next >= len(h) || h[next] <= square {
				break
			}
			h[i] = h[next]
			i = next
		}
		h[i] = square
	}
	s.limit = roundedUp(h[0])
}

// answers are the candidates within the limit, nearest first.
func (s *search) answers() []Near {
	var near []Near
	if cap(s.nearest) > 0 {
		near = make([]Near, 0, cap(s.nearest)+8)
	}
	for _, c := range s.found {
		if c.square <= s.limit {
			d := MeanRadius * Metres(centralAngle(s.centre, s.vectors[c.at]))
			near = append(near, Near{s.at[c.at], d})
		}
	}
	return sortNear(near)
}

func sortNear(near []Near) []Near {
	slices.SortFunc(near, func(a, b Near) int {
		switch {
		case a.Distance < b.Distance:
			return -1
		case a.Distance > b.Distance:
			return 1
		}
		return a.Point - b.Point
	})
	return near
}
