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
// a matrix of its own (8 bytes a pair, so 128 MB at the most).
const matrixPlaces = 4000

// drives is the engine's own form of the travel times.
type drives struct {
	matrix MatrixTravel // when places <= matrixPlaces
	asked  TravelTimes  // otherwise
}

func (d *drives) between(from, to PlaceIndex) (Metres, Seconds) {
	if from < 0 || to < 0 {
		return 0, 0
	}
	if d.asked != nil {
		m, s := d.asked.Between(from, to)
		return min(max(m, 0), math.MaxInt32), min(max(s, 0), math.MaxInt32)
	}
	k := int(from)*d.matrix.Places + int(to)
	return Metres(d.matrix.Metres[k]), Seconds(d.matrix.Seconds[k])
}
