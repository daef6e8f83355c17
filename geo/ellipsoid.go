package geo

import (
	"fmt"
	"math"
)

// Ellipsoid is an ellipsoid of revolution with the numbers the geodesic problems
// need of it, named as in C. F. F. Karney, Algorithms for geodesics, Journal of
// Geodesy 87:43 (2013), doi 10.1007/s00190-012-0578-z. It does not change once
// made.
type Ellipsoid struct {
	a, b float64 // equatorial radius and polar semi-axis in metres
	f    float64 // flattening (a - b)/a
	f1   float64 // 1 - f = b/a
	e2   float64 // eccentricity squared
	ep2  float64 // second eccentricity squared

	a3 [order]float64        // A3 as a polynomial in ε, lowest power first
	c3 [order][order]float64 // C3[l] as a polynomial in ε from ε^l on; row 0 is unused
}

// WGS84 is the ellipsoid of satellite positioning: NIMA TR8350.2, World Geodetic
// System 1984 (third edition, 2000).
var WGS84 = mustEllipsoid(6_378_137, 298.257_223_563)

// NewEllipsoid makes an ellipsoid from its equatorial radius and its inverse
// flattening, which must be at least 100: the series are of sixth order and lose
// their nanometres beyond.
func NewEllipsoid(equatorialRadius Metres, inverseFlattening float64) (*Ellipsoid, error) {
	if !(equatorialRadius > 0) || math.IsInf(float64(equatorialRadius), 0) {
		return nil, fmt.Errorf("ellipsoid: equatorial radius %v m is not a length", float64(equatorialRadius))
	}
	if !(inverseFlattening >= 100) || math.IsInf(inverseFlattening, 0) {
		return nil, fmt.Errorf("ellipsoid: inverse flattening %v is below 100", inverseFlattening)
	}
	f := 1 / inverseFlattening
	e := &Ellipsoid{a: float64(equatorialRadius), f: f, f1: 1 - f, e2: f * (2 - f)}
	e.b = e.a * e.f1
	e.ep2 = e.e2 / (e.f1 * e.f1)
	e.a3, e.c3 = longitudeSeries(f / (2 - f))
	return e, nil
}

func mustEllipsoid(equatorialRadius Metres, inverseFlattening float64) *Ellipsoid {
	e, err := NewEllipsoid(equatorialRadius, inverseFlattening)
	if err != nil {
		panic("geo: " + err.Error())
	}
	return e
}

// expansion is Karney's ε for a geodesic that crosses the equator at the azimuth
// α0 (equations 9 and 16): the small number the series run in.
func (e *Ellipsoid) expansion(cosAlpha0 float64) float64 {
	k2 := e.ep2 * cosAlpha0 * cosAlpha0
	root := 1 + math.Sqrt(1+k2)
	return k2 / (root * root)
}
