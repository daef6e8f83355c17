package geo

import "math"

// heading is an angle kept as its sine and cosine, which loses no digits near
// the quarter turns.
type heading struct{ sin, cos float64 }

// normal scales the pair to length 1.
func (h heading) normal() heading {
	scale := 1 / h.length()
	return heading{h.sin * scale, h.cos * scale}
}

// length of the pair, for one that is not of length 1.
func (h heading) length() float64 { return math.Sqrt(h.sin*h.sin + h.cos*h.cos) }

// minus is the difference of two angles.
func (h heading) minus(g heading) heading {
	return heading{h.sin*g.cos - h.cos*g.sin, h.cos*g.cos + h.sin*g.sin}
}

// plus is the sum of two angles.
func (h heading) plus(g heading) heading {
	return heading{h.sin*g.cos + h.cos*g.sin, h.cos*g.cos - h.sin*g.sin}
}

// rad is the angle from -π to π.
func (h heading) rad() float64 {
	if h.cos > 0 {
		return math.Atan(h.sin / h.cos) // quicker
	}
	return math.Atan2(h.sin, h.cos)
}

// turn is the sine and cosine of an angle in radians.
func turn(rad float64) heading {
	if math.Abs(rad) < 1e-3 { // quicker; the next terms are below 1e-20
		r2 := rad * rad
		return heading{rad * (1 - r2*(1./6-r2/120)), 1 - r2*(1./2-r2/24)}
	}
	s, c := math.Sincos(rad)
	return heading{s, c}
}

// smallRad is rad, quicker for angles below a thousandth.
func (h heading) smallRad() float64 {
	if r := h.sin / h.cos; math.Abs(r) < 1e-3 && h.cos > 0 {
		r2 := r * r
		return r * (1 - r2*(1./3-r2/5)) // the next term is below 1e-21
	}
	return h.rad()
}

// deg is the angle from -180 to 180 degrees, exact at the quarter turns: the
// arctangent is only taken of angles up to 45 degrees.
func (h heading) deg() float64 {
	s, c := h.sin, h.cos
	if math.Abs(s) <= math.Abs(c) {
		if c >= 0 && !math.Signbit(c) {
			return degrees(math.Atan(s / c))
		}
		if math.Signbit(s) {
			return -180 + degrees(math.Atan(s/c))
		}
		return 180 + degrees(math.Atan(s/c))
	}
	if s > 0 {
		return 90 - degrees(math.Atan(c/s))
	}
	if s < 0 {
		return -90 - degrees(math.Atan(c/s))
	}
	return math.NaN()
}

// headingOf is the sine and cosine of an angle in degrees, exact at the quarter
// turns. Below 1e-20 degrees it is zero: no square of it may underflow.
func headingOf(deg float64) heading {
	if math.Abs(deg) < 1e-20 {
		return heading{0, 1}
	}
	if math.Abs(deg) > 360 {
		deg = math.Mod(deg, 360)
	}
	quarter := math.RoundToEven(deg / 90)
	s, c := math.Sincos(radians(deg - 90*quarter)) // the difference is exact
	switch int(quarter) & 3 {
	case 1:
		s, c = c, -s
	case 2:
		s, c = -s, -c
	case 3:
		s, c = -c, s
	}
	return heading{s, c + 0}
}

// degreesApart is to - from in degrees, brought into -180 to 180, as a rounded
// difference and what the rounding left (D. E. Knuth, The Art of Computer
// Programming 2, section 4.2.2, theorem B).
func degreesApart(from, to float64) (apart, left float64) {
	from, to = -math.Remainder(from, 360), math.Remainder(to, 360)
	apart = from + to
	part := apart - from
	left = (from - (apart - part)) + (to - part)
	switch {
	case apart > 180:
		apart -= 360 // exact
	case apart < -180:
		apart += 360
	}
	return apart, left
}
