package geo

import "math"

// Matrices do not take an arctangent for each pair. They take the chord, the
// straight line through the earth between two points of the unit sphere, from the
// differences of coordinates, and turn it into the arc above it. (From a plain dot
// product instead, the arc comes out up to 0.2 m wrong for a point and itself: near
// 1 the arccosine turns the rounding of 1e-16 into 1e-8.)

// chordSquare is the square of the chord between two unit vectors, from 0 to 4.
// The products are rounded one by one, so that every machine agrees.
func chordSquare(a, b vector) float64 {
	x, y, z := a.x-b.x, a.y-b.y, a.z-b.z
	return float64(x*x) + float64(y*y) + float64(z*z)
}

// nearChordSquare is the square of the longest chord that arcOfNearChord takes:
// 1,274 km.
const nearChordSquare = 0.04

// arcOfNearChord is the arc in radians over a chord up to 0.2: 2 asin(c/2) as a
// Taylor series, to 1e-14 of itself.
func arcOfNearChord(square float64) float64 {
	sum := 231. / 54525952
	for _, c := range nearArc {
		sum = c + float64(square*sum)
	}
	return math.Sqrt(square) * sum
}

// nearArc are the terms before the last, highest power first.
var nearArc = [6]float64{63. / 2883584, 35. / 294912, 5. / 7168, 3. / 640, 1. / 24, 1}

// angleBetween is the angle between two unit vectors in radians, within 1e-15 and
// 1e-14 of itself: by the chord where they are near, by the arctangent elsewhere.
func angleBetween(a, b vector) float64 {
	if q := chordSquare(a, b); q < nearChordSquare {
		return arcOfNearChord(q)
	}
	return centralAngle(a, b)
}
