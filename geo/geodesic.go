package geo

import "math"

// Geodesic is the shortest line between two points of an ellipsoid.
type Geodesic struct {
	Length            Metres
	InitialAzimuthDeg float64 // heading at the first point, clockwise from north, -180 to 180
	FinalAzimuthDeg   float64 // heading at the second point that leads on beyond it, -180 to 180
	ArcDeg            float64 // arc on the auxiliary sphere
}

// GeodesicDistance is the length of the shortest line between two points on
// WGS 84, within 15 nanometres. NaN when a point is unset.
func GeodesicDistance(a, b Point) Metres { return WGS84.Inverse(a, b).Length }

// Inverse finds the shortest line between two points. Its length is right within
// 15 nanometres everywhere, antipodes included. Where several lines are shortest
// (antipodes, places on the equator nearly opposite) it gives one of them. The
// azimuths of coincident points are a convention: 0 in the south, 180 elsewhere. Every
// field is NaN when a point is unset.
func (e *Ellipsoid) Inverse(a, b Point) Geodesic {
	return e.inverse(a.LatDeg(), a.LonDeg(), b.LatDeg(), b.LonDeg())
}

// Direct finds where a geodesic leads that leaves p with the given azimuth
// (degrees clockwise from north) and length, which may be negative: backwards. The
// end is right within 15 nanometres. An unset point, or an azimuth or length that
// is no number, gives an unset point.
func (e *Ellipsoid) Direct(p Point, azimuthDeg float64, length Metres) (Point, Geodesic) {
	lat, lon, g := e.direct(p.LatDeg(), p.LonDeg(), azimuthDeg, float64(length))
	if math.IsNaN(lat) || math.IsNaN(lon) {
		return Point{}, g
	}
	return Point{latDeg: lat, lonDeg: wrapDeg(lon), set: true}, g
}

// atPole stands for the cosine of the latitude of a pole: small, but not zero, so
// that a heading at a pole has a meridian to be measured from.
const atPole = 1e-150

// reduced is the reduced latitude β of a latitude in degrees.
func (e *Ellipsoid) reduced(latDeg float64) heading {
	lat := headingOf(latDeg)
	sin := e.f1 * lat.sin
	length := math.Sqrt(sin*sin + lat.cos*lat.cos)
	return heading{sin / length, max(lat.cos/length, atPole)}
}

// equatorAzimuth is α0, the azimuth with which a geodesic crosses the equator,
// from its azimuth and reduced latitude somewhere (Karney 2013, equation 10).
func equatorAzimuth(alpha, beta heading) heading {
	s := alpha.sin * beta.sin
	return heading{alpha.sin * beta.cos, math.Sqrt(alpha.cos*alpha.cos + s*s)}
}

// direct solves the direct problem (Karney 2013, section 3). The longitude is
// not wrapped.
func (e *Ellipsoid) direct(lat1, lon1, azi1, s12 float64) (lat2, lon2 float64, g Geodesic) {
	if math.IsNaN(lat1+lon1+azi1+s12) || math.IsInf(azi1+s12, 0) {
		nan := math.NaN()
		return nan, nan, Geodesic{Metres(s12), azi1, nan, nan}
	}
	alpha1, beta1 := headingOf(azi1), e.reduced(lat1)
	alpha0 := equatorAzimuth(alpha1, beta1)
	// σ and ω are arc and longitude on the auxiliary sphere from the node, where
	// the geodesic crosses the equator northward.
	sigma1 := heading{beta1.sin, alpha1.cos * beta1.cos}
	omega1 := heading{alpha0.sin * beta1.sin, sigma1.cos}
	if beta1.sin == 0 && alpha1.cos == 0 {
		sigma1.cos, omega1.cos = 1, 1 // along the equator, begin at the node
	}
	sigma1 = sigma1.normal()

	eps := e.expansion(alpha0.cos)
	c1, back := distanceSines(eps), arcSines(eps)
	tau12 := s12 / (e.b * distanceFactor(eps))
	b1 := c1.sum(sigma1.sin, sigma1.cos)
	tau2 := sigma1.plus(turn(b1)).plus(turn(tau12))
	arc := tau12 + back.sum(tau2.sin, tau2.cos) + b1

	sigma2 := sigma1.plus(turn(arc))
	sinBeta2 := alpha0.cos * sigma2.sin
	up := alpha0.cos * sigma2.cos
	cosBeta2 := math.Sqrt(alpha0.sin*alpha0.sin + up*up)
	alpha2 := heading{alpha0.sin, up}
	if cosBeta2 == 0 {
		cosBeta2, alpha2.cos, sigma2.cos = atPole, atPole, atPole
	}
	omega2 := heading{alpha0.sin * sigma2.sin, sigma2.cos}
	c3 := e.longitudeSines(eps)
	lambda12 := omega2.minus(omega1).rad() - e.f*e.longitudeFactor(eps)*alpha0.sin*
		(arc+(c3.sum(sigma2.sin, sigma2.cos)-c3.sum(sigma1.sin, sigma1.cos)))

	lat2 = heading{sinBeta2, e.f1 * cosBeta2}.deg()
	return lat2, lon1 + degrees(lambda12), Geodesic{Metres(s12), azi1, alpha2.deg(), degrees(arc)}
}
