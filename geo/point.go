package geo

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
)

// ErrUnset says that a position was needed and the point has none.
var ErrUnset = errors.New("the position is not set")

// Point is a position. Its zero value is an unset point, which is no place at
// all (and not the place at 0, 0). Points can be compared with == and used as
// map keys.
type Point struct {
	latDeg, lonDeg float64
	set            bool
}

// NewPoint makes a point from degrees: latitude -90 to 90 (north positive),
// longitude -180 to 180 (east positive). Anything else is an error in words.
func NewPoint(latDeg, lonDeg float64) (Point, error) {
	if math.IsNaN(latDeg) || math.IsNaN(lonDeg) {
		return Point{}, errors.New("latitude and longitude must be numbers")
	}
	if latDeg < -90 || latDeg > 90 {
		return Point{}, fmt.Errorf("latitude %v is outside -90 to 90 degrees", latDeg)
	}
	if lonDeg < -180 || lonDeg > 180 {
		return Point{}, fmt.Errorf("longitude %v is outside -180 to 180 degrees", lonDeg)
	}
	return Point{latDeg: latDeg + 0, lonDeg: lonDeg + 0, set: true}, nil // + 0 turns -0 into 0
}

// MustPoint is NewPoint for tables and tests; it panics where NewPoint errs.
func MustPoint(latDeg, lonDeg float64) Point {
	p, err := NewPoint(latDeg, lonDeg)
	if err != nil {
		panic("geo: " + err.Error())
	}
	return p
}

// IsSet reports whether the point is a place.
func (p Point) IsSet() bool { return p.set }

// LatDeg returns the latitude in degrees, NaN for an unset point.
func (p Point) LatDeg() float64 {
	if !p.set {
		return math.NaN()
	}
	return p.latDeg
}

// LonDeg returns the longitude in degrees, NaN for an unset point.
func (p Point) LonDeg() float64 {
	if !p.set {
		return math.NaN()
	}
	return p.lonDeg
}

// String prints latitude, longitude with six decimals (about 0.1 m), or "no
// position".
func (p Point) String() string {
	if !p.set {
		return "no position"
	}
	return fmt.Sprintf("%.6f, %.6f", p.latDeg, p.lonDeg)
}

type pointJSON struct {
	Lat *float64 `json:"lat"`
	Lon *float64 `json:"lon"`
}

// MarshalJSON writes {"lat":..,"lon":..} in degrees, or null for an unset
// point. Every digit is kept: decoding gives the same point back.
func (p Point) MarshalJSON() ([]byte, error) {
	if !p.set {
		return []byte("null"), nil
	}
	return json.Marshal(pointJSON{Lat: &p.latDeg, Lon: &p.lonDeg})
}

// UnmarshalJSON reads what MarshalJSON writes. Both numbers are needed and
// must be in range; null gives the unset point.
func (p *Point) UnmarshalJSON(data []byte) error {
	if bytes.Equal(bytes.TrimSpace(data), []byte("null")) {
		*p = Point{}
		return nil
	}
	var raw pointJSON
	if err := json.Unmarshal(data, &raw); err != nil {
		return fmt.Errorf("reading a position: %w", err)
	}
	if raw.Lat == nil || raw.Lon == nil {
		return errors.New(`a position needs both "lat" and "lon"`)
	}
	q, err := NewPoint(*raw.Lat, *raw.Lon)
	if err != nil {
		return err
	}
	*p = q
	return nil
}
