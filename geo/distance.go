package geo

import "math"

// MeanRadius is the mean radius R1 = (2a + b)/3 of the ellipsoid WGS 84, the
// radius of the sphere all distances here are measured on (H. Moritz, Geodetic
// Reference System 1980, gives 6,371,008.7714 m).
const MeanRadius Metres = 6_371_008.8

// SphereError is the most by which a distance on the mean sphere differs from the
// geodesic on WGS 84, as a part of it: 0.56 %. Too long by that near the equator
// from north to south, where the meridian's radius of curvature is a(1 - e²); too
// short by 0.45 % at most near the poles, where it is a/√(1 - e²).
const SphereError = 0.005615

// vector is a point on the unit sphere.
type vector struct{ x, y, z float64 }

// unitVector is exact at the poles and on the meridians of the quarter turns.
func unitVector(p Point) vector {
	lat, lon := headingOf(p.LatDeg()), headingOf(p.LonDeg())
	return vector{lat.cos * lon.cos, lat.cos * lon.sin, lat.sin}
}

// centralAngle is the angle between two unit vectors in radians: the arctangent
// of |a × b| over a · b, which is well conditioned for coincident, antipodal and
// polar points alike. The products are rounded one by one (no fused
// multiply-add), so that a × a is exactly zero and every machine agrees.
func centralAngle(a, b vector) float64 {
	cx := float64(a.y*b.z) - float64(a.z*b.y)
	cy := float64(a.z*b.x) - float64(a.x*b.z)
	cz := float64(a.x*b.y) - float64(a.y*b.x)
	dot := float64(a.x*b.x) + float64(a.y*b.y) + float64(a.z*b.z)
	cross := math.Sqrt(float64(cx*cx) + float64(cy*cy) + float64(cz*cz))
	return math.Atan2(cross, dot)
}

// Distance is the length of the great circle between two points on the mean
// sphere, off the ellipsoid by at most [SphereError]. NaN when a point is unset.
func Distance(a, b Point) Metres {
	return MeanRadius * Metres(centralAngle(unitVector(a), unitVector(b)))
}

// InitialBearingDeg is the heading at a of the great circle to b, in degrees
// clockwise from north, 0 up to 360. Between coincident points it is 0; NaN when
// a point is unset.
func InitialBearingDeg(a, b Point) float64 {
	sinA, cosA := math.Sincos(radians(a.LatDeg()))
	sinB, cosB := math.Sincos(radians(b.LatDeg()))
	sinD, cosD := math.Sincos(radians(b.LonDeg() - a.LonDeg()))
	y := sinD * cosB
	x := cosA*sinB - sinA*cosB*cosD
	if x == 0 && y == 0 || a == b {
		if !a.IsSet() || !b.IsSet() {
			return math.NaN()
		}
		return 0
	}
	deg := math.Mod(degrees(math.Atan2(y, x))+360, 360)
	return deg
}

// Destination is the point reached from p along the great circle with the given
// initial bearing after the given length on the mean sphere. An unset point
// stays unset.
func Destination(p Point, bearingDeg float64, length Metres) Point {
	if !p.IsSet() {
		return Point{}
	}
	return destination(p, bearingDeg, float64(length/MeanRadius))
}

// destination is Destination for a central angle in radians.
func destination(p Point, bearingDeg, angle float64) Point {
	sinLat, cosLat := math.Sincos(radians(p.latDeg))
	sinAng, cosAng := math.Sincos(angle)
	sinBrg, cosBrg := math.Sincos(radians(bearingDeg))
	// The end point in axes east, north and up at p; up lies in the plane of p.
	up := cosAng*cosLat - sinAng*cosBrg*sinLat    // away from the earth's axis
	axis := cosAng*sinLat + sinAng*cosBrg*cosLat  // along the earth's axis
	east := sinAng * sinBrg                       // across the meridian of p
	lat := math.Atan2(axis, math.Hypot(up, east)) // never leaves -90 to 90
	lon := p.lonDeg + degrees(math.Atan2(east, up))
	return Point{latDeg: degrees(lat), lonDeg: wrapDeg(lon), set: true}
}

// wrapDeg brings a longitude into -180 to 180.
func wrapDeg(lon float64) float64 {
	if lon >= -180 && lon <= 180 {
		return lon
	}
	return math.Remainder(lon, 360)
}

func radians(deg float64) float64 { return deg * (math.Pi / 180) }
func degrees(rad float64) float64 { return rad * (180 / math.Pi) }
