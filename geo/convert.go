package geo

import (
	"errors"
	"fmt"

	"github.com/golang/geo/s2"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geojson"
)

// Orb converts to paulmach/orb's order, longitude first. An unset point gives
// NaN, NaN. (orb's own distances use a radius of 6,378,137 m and are not used
// anywhere.)
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

// s2Point is the point on S2's unit sphere.
func s2Point(p Point) s2.Point { return unitVector(p).s2() }

func (v vector) s2() s2.Point { return s2.PointFromCoords(v.x, v.y, v.z) }

func fromS2(p s2.Point) vector { return vector{p.X, p.Y, p.Z} }

// Shape says what a list of points draws.
type Shape string

// The shapes of GeoJSON (RFC 7946) that are read and written.
const (
	Place   Shape = "Point"      // one position
	Line    Shape = "LineString" // at least two positions
	Outline Shape = "Polygon"    // the ring round an area, without holes; its end is not repeated
)

// GeoJSON writes points as a geometry of RFC 7946: longitude first, every digit
// kept. An outline is closed, and turned counterclockwise as the standard asks.
func GeoJSON(shape Shape, points []Point) ([]byte, error) {
	ring := make([]orb.Point, len(points))
	for i, p := range points {
		if !p.IsSet() {
			return nil, fmt.Errorf("point %d: %w", i, ErrUnset)
		}
		ring[i] = p.Orb()
	}
	if err := shape.fits(len(points)); err != nil {
		return nil, err
	}
	var g orb.Geometry = orb.LineString(ring)
	switch shape {
	case Place:
		g = ring[0]
	case Outline:
		closed := orb.Ring(append(ring, ring[0]))
		if closed.Orientation() == orb.CW {
			closed.Reverse()
		}
		g = orb.Polygon{closed}
	}
	return geojson.NewGeometry(g).MarshalJSON()
}

// fits says whether a shape can have so many points.
func (s Shape) fits(points int) error {
	least := map[Shape]int{Place: 1, Line: 2, Outline: 3}[s]
	switch {
	case least == 0:
		return fmt.Errorf("the shape %q is not one of Point, LineString and Polygon", string(s))
	case points < least || s == Place && points > 1:
		return fmt.Errorf("%d positions do not make a %s", points, string(s))
	}
	return nil
}

// FromGeoJSON reads a Point, LineString or Polygon of RFC 7946, by itself or as the
// geometry of a Feature. Heights are left out. Holes, positions out of range and
// other shapes are errors in words.
func FromGeoJSON(data []byte) (Shape, []Point, error) {
	geometry, err := readGeometry(data)
	if err != nil {
		return "", nil, fmt.Errorf("reading GeoJSON: %w", err)
	}
	shape, positions := Shape(geometry.GeoJSONType()), []orb.Point(nil)
	switch g := geometry.(type) {
	case orb.Point:
		positions = []orb.Point{g}
	case orb.LineString:
		positions = g
	case orb.Polygon:
		if len(g) != 1 {
			return "", nil, fmt.Errorf("reading GeoJSON: a Polygon of %d rings; it needs one, and no holes", len(g))
		}
		if n := len(g[0]); n < 4 || g[0][0] != g[0][n-1] {
			return "", nil, errors.New("reading GeoJSON: the ring of a Polygon needs four positions, the last being the first")
		}
		positions = g[0][:len(g[0])-1]
	default:
		return "", nil, fmt.Errorf("reading GeoJSON: a %s is not read, only Point, LineString and Polygon", shape)
	}
	if err := shape.fits(len(positions)); err != nil {
		return "", nil, fmt.Errorf("reading GeoJSON: %w", err)
	}
	points := make([]Point, len(positions))
	for i, o := range positions {
		if points[i], err = FromOrb(o); err != nil {
			return "", nil, fmt.Errorf("reading GeoJSON: position %d: %w", i+1, err)
		}
	}
	return shape, points, nil
}

func readGeometry(data []byte) (orb.Geometry, error) {
	if feature, err := geojson.UnmarshalFeature(data); err == nil {
		if feature.Geometry == nil {
			return nil, errors.New("the Feature has no geometry")
		}
		return feature.Geometry, nil
	}
	g, err := geojson.UnmarshalGeometry(data)
	if err != nil {
		return nil, err
	}
	if g.Geometry() == nil {
		return nil, errors.New("there is no geometry")
	}
	return g.Geometry(), nil
}
