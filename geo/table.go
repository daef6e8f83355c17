package geo

import (
	"context"
	"fmt"
)

// TablePlaces is the most different places for which a [Table] keeps every drive:
// 8 bytes a pair, 128 MB in all.
const TablePlaces = 4000

// Table answers for the drives between the points of one list: from a matrix over
// the different places among them, however many points share one, or from the model
// each time when there are too many places. Either way the answers are the model's.
type Table struct {
	place  []int32 // of each point of the list
	points []Point // the different places
	matrix Matrix  // of the places; empty when asked on the fly
	model  Model
}

// NewTable makes a table of a list of points, keeping a matrix when there are at
// most limit different places (0: [TablePlaces]). progress and errors are as for
// [Model.Matrix].
func NewTable(ctx context.Context, model Model, list []Point, limit int, progress func(done, total int)) (*Table, error) {
	if limit == 0 {
		limit = TablePlaces
	}
	t := &Table{place: make([]int32, len(list)), model: model}
	seen := make(map[Point]int32, len(list))
	for i, p := range list {
		if !p.IsSet() {
			return nil, fmt.Errorf("point %d: %w", i, ErrUnset)
		}
		k, ok := seen[p]
		if !ok {
			k = int32(len(t.points))
			seen[p] = k
			t.points = append(t.points, p)
		}
		t.place[i] = k
	}
	if len(t.points) > limit {
		return t, nil
	}
	var err error
	t.matrix, err = model.Matrix(ctx, t.points, t.points, progress)
	return t, err
}

// Places is the number of different places.
func (t *Table) Places() int { return len(t.points) }

// Stored says whether the drives are kept.
func (t *Table) Stored() bool { return t.matrix.Rows == len(t.points) }

// Between is the drive from point i of the list to point j.
func (t *Table) Between(i, j int) Travel {
	a, b := t.place[i], t.place[j]
	if t.Stored() {
		return t.matrix.At(int(a), int(b))
	}
	return t.model.Travel(t.points[a], t.points[b])
}
