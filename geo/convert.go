package geo

import (
	"fmt"

	"github.com/golang/geo/s2"
	"github.com/paulmach/orb"
)

// Orb converts to paulmach/orb's order, longitude first. An unset point gives
// NaN, NaN.
func (p Point) Orb() orb.Point { return orb.Point{p.LonDeg(), p.LatDeg()} }

// FromOrb converts from paulmach/orb's order, longitude first.
func FromOrb(o orb.Point) (Point, error) {
	p, err := NewPoint(o[1], o[0])
	if err != nil {
		return Point{}, fmt.Errorf("longitude-first point %v: %w", [2]float64(o), err)
	}
	return p, nil
}

func latLng(p Point) s2.LatLng { return s2.LatLngFromDegrees(p.LatDeg(), p.LonDeg()) }

func cellOf(p Point) s2.CellID { return s2.CellIDFromLatLng(latLng(p)) }
