package routing

import (
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"valveround/geo"
)

// MatrixTravel holds the drives between Places places, row by row (row = from).
type MatrixTravel struct {
	Places  int
	Metres  []int32 // Places × Places
	Seconds []int32 // Places × Places
}

// Between implements [TravelTimes].
func (m MatrixTravel) Between(from, to PlaceIndex) (Metres, Seconds) {
	k := int(from)*m.Places + int(to)
	return Metres(m.Metres[k]), Seconds(m.Seconds[k])
}

// FromGeo uses a square matrix of package geo as it is.
func FromGeo(m geo.Matrix) MatrixTravel {
	return MatrixTravel{Places: m.Rows, Metres: m.Metres, Seconds: m.Seconds}
}

// OnTheFly asks a travel model each time: less memory for many places. Every
// point must be set.
func OnTheFly(model geo.Model, places []geo.Point) TravelTimes {
	t := &onTheFly{model: model, places: places}
	if g, ok := model.(geo.GreatCircle); ok {
		t.among = g.Among(places)
	}
	return t
}

type onTheFly struct {
	model  geo.Model
	places []geo.Point
	among  *geo.Drives // the model with the places worked out beforehand, where it can
}

// Between implements [TravelTimes].
func (t *onTheFly) Between(from, to PlaceIndex) (Metres, Seconds) {
	var drive geo.Travel
	if t.among != nil {
		drive = t.among.Between(int(from), int(to))
	} else {
		drive = t.model.Travel(t.places[from], t.places[to])
	}
	return Metres(drive.Metres), Seconds(drive.Seconds)
}

// matrixPlaces is the most places for which NewProblem copies travel times into
// a table of its own: 8 bytes a pair at most, twice that when not symmetric, 340 or 680 MB
// at the most.
const matrixPlaces = 6500

// drive is one entry of the table.
type drive struct{ metres, seconds int32 }

// drives is the engine's own form of the travel times. Two tables, by the place
// a drive begins and by the place it ends, keep the drives of one visit together
// in memory: most of the search's time is waiting for them otherwise. For
// symmetric travel they are one. For the same reason rows and columns are ordered
// so that places near each other stand near each other, and metres and seconds are
// told once where they are the same numbers, as in published instances.
type drives struct {
	columns   int         // of the tables: the places, then nowhere, to which every drive is free
	column    []int32     // by place: its column, and its row
	size      int32       // numbers to a drive
	toSeconds int32       // from a drive's metres to its seconds: 0 where they are the same number
	from      []int32     // row = from
	into      []int32     // row = to
	asked     TravelTimes // instead, for many places
}

func (d *drives) between(from, to PlaceIndex) (Metres, Seconds) {
	if from < 0 || to < 0 {
		return 0, 0
	}
	if d.asked != nil {
		return d.ask(from, to)
	}
	k := (d.column[from]*int32(d.columns) + d.column[to]) * d.size
	return Metres(d.from[k]), Seconds(d.from[k+d.toSeconds])
}

// arriving is between, for a caller who asks for many froms and one to.
func (d *drives) arriving(from, to PlaceIndex) (Metres, Seconds) {
	if from < 0 || to < 0 {
		return 0, 0
	}
	if d.asked != nil {
		return d.ask(from, to)
	}
	k := (d.column[to]*int32(d.columns) + d.column[from]) * d.size
	return Metres(d.into[k]), Seconds(d.into[k+d.toSeconds])
}

func (d *drives) ask(from, to PlaceIndex) (Metres, Seconds) {
	m, s := d.asked.Between(from, to)
	return min(max(m, 0), math.MaxInt32), min(max(s, 0), math.MaxInt32)
}

// columnOf is a place's column; Nowhere has the last one.
func (d *drives) columnOf(place PlaceIndex) int32 {
	if place < 0 {
		return int32(d.columns - 1)
	}
	return d.column[place]
}

// table copies the drives between n places, and gives the longest.
func (d *drives) table(travel TravelTimes, n int) (longest Metres, err error) {
	m, ok := travel.(MatrixTravel)
	if !ok {
		if m, err = matrixOf(travel, n); err != nil {
			return 0, err
		}
	}
	order := tourOfPlaces(m)
	d.columns, d.column = n+1, make([]int32, n)
	for k, i := range order {
		d.column[i] = int32(k)
	}
	d.size, d.toSeconds = 2, 1
	if slices.Equal(m.Metres, m.Seconds) {
		d.size, d.toSeconds = 1, 0
	}
	d.from = make([]int32, d.columns*d.columns*int(d.size))
	fill := func(k int) (most int32, err error) {
		i := order[k]
		row := d.from[k*d.columns*int(d.size):]
		metres, seconds := m.Metres[int(i)*n:][:n], m.Seconds[int(i)*n:][:n]
		at := int32(0)
		for _, j := range order {
			leg := drive{metres[j], seconds[j]}
			if leg.metres < 0 || leg.seconds < 0 {
				return 0, driveFault(int(i), int(j), Metres(leg.metres), Seconds(leg.seconds))
			}
			most = max(most, leg.metres)
			row[at], row[at+d.toSeconds] = leg.metres, leg.seconds
			at += d.size
		}
		return most, nil
	}
	most, faults := make([]int32, n), make([]error, n)
	eachOf(n, bothProcessors, nil, func() func(int) {
		return func(k int) { most[k], faults[k] = fill(k) }
	})
	for _, err := range faults {
		if err != nil {
			return 0, err
		}
	}
	d.transpose()
	return Metres(slices.Max(append(most, 0))), nil
}

func driveFault(from, to int, metres Metres, seconds Seconds) error {
	return fmt.Errorf("travel from place %d to %d is %d m and %d s, must be 0 or more and below 2^31", from, to, metres, seconds)
}

// matrixOf asks for every drive once.
func matrixOf(travel TravelTimes, n int) (MatrixTravel, error) {
	m := MatrixTravel{Places: n, Metres: make([]int32, n*n), Seconds: make([]int32, n*n)}
	for i := range n {
		for j := range n {
			metres, seconds := travel.Between(PlaceIndex(i), PlaceIndex(j))
			if metres < 0 || metres > math.MaxInt32 || seconds < 0 || seconds > math.MaxInt32 {
				return m, driveFault(i, j, metres, seconds)
			}
			m.Metres[i*n+j], m.Seconds[i*n+j] = int32(metres), int32(seconds)
		}
	}
	return m, nil
}

// tourOfPlaces orders the places by always driving to the nearest not yet seen.
func tourOfPlaces(m MatrixTravel) []int32 {
	n := m.Places
	left := make([]int32, n) // not yet seen
	for i := range left {
		left[i] = int32(i)
	}
	order := make([]int32, 0, n)
	at := 0 // in left
	for {
		here := left[at]
		order = append(order, here)
		left[at] = left[len(left)-1]
		left = left[:len(left)-1]
		if len(left) == 0 {
			return order
		}
		row := m.Seconds[int(here)*n : int(here)*n+n]
		nearest := int32(math.MaxInt32)
		at = 0
		for k, i := range left {
			if d := row[i]; d < nearest {
				nearest, at = d, k
			}
		}
	}
}

// transpose fills into from from.
func (d *drives) transpose() {
	d.into = d.from
	if d.symmetric() {
		return
	}
	n, size := d.columns, int(d.size)
	d.into = make([]int32, n*n*size)
	eachSquare(n, func(top, left, bottom, right int) {
		for i := top; i < bottom; i++ {
			for j := left; j < right; j++ {
				copy(d.into[(j*n+i)*size:][:size], d.from[(i*n+j)*size:])
			}
		}
	})
}

func (d *drives) symmetric() bool {
	n, size, more := d.columns, int(d.size), int(d.toSeconds)
	var differs atomic.Bool
	eachSquare(n, func(top, left, bottom, right int) {
		if left > top || differs.Load() {
			return
		}
		for i := top; i < bottom; i++ {
			there, back := (i*n+left)*size, (left*n+i)*size
			for range right - left {
				if d.from[there] != d.from[back] || d.from[there+more] != d.from[back+more] {
					differs.Store(true)
					return
				}
				there, back = there+size, back+n*size
			}
		}
	})
	return !differs.Load()
}

// eachSquare calls for the squares of a table that fit the nearest memory, from two
// goroutines.
func eachSquare(n int, call func(top, left, bottom, right int)) {
	const side = 32
	eachOf((n+side-1)/side, bothProcessors, nil, func() func(int) {
		return func(band int) {
			top := band * side
			for left := 0; left < n; left += side {
				call(top, left, min(top+side, n), min(left+side, n))
			}
		}
	})
}
