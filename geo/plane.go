package geo

import (
	"fmt"
	"math"
	"slices"
)

// Flat is a place on a flat map: metres from its middle.
type Flat struct{ East, North Metres }

// Flatten puts points on a flat map whose middle is the middle of their box, for
// drawing: east is shortened by the cosine of the middle latitude, and a box across
// the antimeridian is taken the short way round. Within 100 km of each other and
// away from the poles, lengths on it are right within a few hundredths. An unset
// point is an error; no points give none.
func Flatten(points []Point) ([]Flat, error) {
	if len(points) == 0 {
		return nil, nil
	}
	lats, lons := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		if !p.IsSet() {
			return nil, fmt.Errorf("point %d: %w", i, ErrUnset)
		}
		lats[i] = p.latDeg
		lons[i] = points[0].lonDeg + math.Remainder(p.lonDeg-points[0].lonDeg, 360)
	}
	lat, lon := (slices.Min(lats)+slices.Max(lats))/2, (slices.Min(lons)+slices.Max(lons))/2
	flat := make([]Flat, len(points))
	for i := range points {
		flat[i] = Flat{
			East:  MeanRadius * Metres(radians(lons[i]-lon)*headingOf(lat).cos),
			North: MeanRadius * Metres(radians(lats[i]-lat)),
		}
	}
	return flat, nil
}
