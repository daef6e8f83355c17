package routing

import (
	"math"

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
	return onTheFly{model, places}
}

type onTheFly struct {
	model  geo.Model
	places []geo.Point
}

func (t onTheFly) Between(from, to PlaceIndex) (Metres, Seconds) {
	drive := t.model.Travel(t.places[from], t.places[to])
	return Metres(drive.Metres), Seconds(drive.Seconds)
}

// matrixPlaces is the most places for which NewProblem copies travel times into
// a table of its own: 8 bytes a pair, twice that when not symmetric, 340 MB at the
// most and as much again for the copy in the order of the search.
const matrixPlaces = 6500

// drive is one entry of the table.
type drive struct{ metres, seconds int32 }

// drives is the engine's own form of the travel times. Two tables, by the place
// a drive begins and by the place it ends, keep the drives of one visit together
// in memory: most of the search's time is waiting for them otherwise. For
// symmetric travel they are one.
type drives struct {
	places int
	from   []drive     // row = from
	into   []drive     // row = to
	asked  TravelTimes // instead, for many places
}

func (d *drives) between(from, to PlaceIndex) (Metres, Seconds) {
	if from < 0 || to < 0 {
		return 0, 0
	}
	if d.asked != nil {
		return d.ask(from, to)
	}
	leg := d.from[int(from)*d.places+int(to)]
	return Metres(leg.metres), Seconds(leg.seconds)
}

// arriving is between, for a caller who asks for many froms and one to.
func (d *drives) arriving(from, to PlaceIndex) (Metres, Seconds) {
	if from < 0 || to < 0 {
		return 0, 0
	}
	if d.asked != nil {
		return d.ask(from, to)
	}
	leg := d.into[int(to)*d.places+int(from)]
	return Metres(leg.metres), Seconds(leg.seconds)
}

func (d *drives) ask(from, to PlaceIndex) (Metres, Seconds) {
	m, s := d.asked.Between(from, to)
	return min(max(m, 0), math.MaxInt32), min(max(s, 0), math.MaxInt32)
}

// transpose fills into from from.
func (d *drives) transpose() {
	n, symmetric := d.places, true
	for i := 0; i < n && symmetric; i++ {
		for j := range i {
			if d.from[i*n+j] != d.from[j*n+i] {
				symmetric = false
				break
			}
		}
	}
	d.into = d.from
	if symmetric {
		return
	}
	d.into = make([]drive, n*n)
	for i := range n {
		for j := range n {
			d.into[j*n+i] = d.from[i*n+j]
		}
	}
}
