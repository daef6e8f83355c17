package geo

import "math"

// inverse solves the inverse problem (Karney 2013, sections 4 and 5) for
// coordinates in degrees; longitudes may be any number.
func (e *Ellipsoid) inverse(lat1, lon1, lat2, lon2 float64) Geodesic {
	if math.IsNaN(lat1+lon1+lat2+lon2) || math.IsInf(lon1, 0) || math.IsInf(lon2, 0) {
		nan := math.NaN()
		return Geodesic{Metres(nan), nan, nan, nan}
	}
	// By symmetry, point 1 becomes the one further from the equator, in the
	// south, and point 2 lies east of it (equation 44).
	apart, left := degreesApart(lon1, lon2)
	east, north := 1.0, 1.0
	if apart < 0 || apart == 0 && left < 0 {
		east, apart, left = -east, -apart, -left
	}
	if apart == 180 && left > 0 {
		east, left = -east, -left
	}
	swapped := math.Abs(lat1) < math.Abs(lat2)
	if swapped {
		lat1, lat2 = lat2, lat1
	}
	if lat1 >= 0 {
		north, lat1, lat2 = -north, -lat1, -lat2
	}
	p := pair{Ellipsoid: e, beta1: e.reduced(lat1), beta2: e.reduced(lat2)}
	p.setLongitude(apart, left)
	line := p.solve()
	if swapped { // turn the line round: both headings by 180 degrees, and mirror it
		line.alpha1, line.alpha2 = line.alpha2, line.alpha1
		north = -north
	}
	azi1 := heading{line.alpha1.sin*east + 0, line.alpha1.cos*north + 0}
	azi2 := heading{line.alpha2.sin*east + 0, line.alpha2.cos*north + 0}
	return Geodesic{Metres(line.length), azi1.deg(), azi2.deg(), degrees(line.arc)}
}

// pair is an inverse problem in its canonical place: β1 ≤ 0, |β2| ≤ |β1|,
// 0 ≤ λ12 ≤ π.
type pair struct {
	*Ellipsoid
	beta1, beta2 heading
	lambda       heading
	lambda12     float64 // radians
}

// line is the answer: azimuths, arc on the auxiliary sphere, length in metres.
type line struct {
	alpha1, alpha2 heading
	arc, length    float64
}

func (p *pair) setLongitude(apartDeg, leftDeg float64) {
	p.lambda12 = radians(apartDeg) + radians(leftDeg)
	if apartDeg <= 90 {
		p.lambda = headingOf(apartDeg + leftDeg)
		return
	}
	rest := headingOf((180 - apartDeg) - leftDeg) // near 180 the rest has more digits
	p.lambda = heading{rest.sin, -rest.cos}
}

func (p *pair) solve() line {
	switch {
	case p.beta1.cos == atPole || p.lambda.sin == 0:
		return p.alongMeridian()
	case p.beta1.sin == 0 && p.lambda12 <= p.f1*math.Pi:
		return line{
			alpha1: heading{1, 0}, alpha2: heading{1, 0},
			arc: p.lambda12 / p.f1, length: p.a * p.lambda12,
		}
	}
	alpha1, kind := p.guess()
	if kind == veryShort {
		return p.shortLine()
	}
	return p.search(alpha1, kind == antipodal)
}

// alongMeridian is the line between points of one meridian, or of opposite ones,
// over a pole: on an oblate ellipsoid it is shortest.
func (p *pair) alongMeridian() line {
	l := line{alpha1: p.lambda, alpha2: heading{0, 1}}
	sigma1 := heading{p.beta1.sin, p.lambda.cos * p.beta1.cos}.normal()
	sigma2 := p.beta2
	gap := sigma2.minus(sigma1)
	gap.sin = max(0, gap.sin)
	l.arc = gap.rad()
	l.length = p.along(p.expansion(1), sigma1, sigma2, l.arc)
	return l
}

// along is the length of an arc of the auxiliary sphere (equations 7 and 15).
func (p *pair) along(eps float64, sigma1, sigma2 heading, arc float64) float64 {
	c1 := distanceSines(eps)
	between := c1.sum(sigma2.sin, sigma2.cos) - c1.sum(sigma1.sin, sigma1.cos)
	return p.b * distanceFactor(eps) * (arc + between)
}

// trial is a geodesic that leaves point 1 with some azimuth, as far as the
// latitude of point 2.
type trial struct {
	alpha1, alpha2 heading
	alpha0         heading
	sigma1, sigma2 heading
	arc, eps       float64
}

func (p *pair) try(alpha1 heading) trial {
	if p.beta1.sin == 0 && alpha1.cos == 0 {
		alpha1.cos = -atPole // not along the equator, which is longer here
	}
	t := trial{alpha1: alpha1, alpha0: equatorAzimuth(alpha1, p.beta1)}
	t.sigma1 = heading{p.beta1.sin, alpha1.cos * p.beta1.cos}.normal()
	t.alpha2 = alpha1
	if p.beta2.cos != p.beta1.cos {
		t.alpha2.sin = t.alpha0.sin / p.beta2.cos
	}
	t.alpha2.cos = math.Abs(alpha1.cos)
	if p.beta2.cos != p.beta1.cos || math.Abs(p.beta2.sin) != -p.beta1.sin {
		// Equation 45, by the difference that keeps more digits.
		gap := (p.beta1.sin - p.beta2.sin) * (p.beta1.sin + p.beta2.sin)
		if p.beta1.cos < -p.beta1.sin {
			gap = (p.beta2.cos - p.beta1.cos) * (p.beta1.cos + p.beta2.cos)
		}
		up := alpha1.cos * p.beta1.cos
		t.alpha2.cos = math.Sqrt(max(0, up*up+gap)) / p.beta2.cos
	}
	t.sigma2 = heading{p.beta2.sin, t.alpha2.cos * p.beta2.cos}.normal()
	gap := t.sigma2.minus(t.sigma1)
	gap.sin = max(0, gap.sin)
	t.arc = gap.rad()
	t.eps = p.expansion(t.alpha0.cos)
	return t
}

// miss is how far east of point 2 the trial crosses its latitude, in radians.
func (p *pair) miss(t *trial) float64 {
	omega1 := heading{t.alpha0.sin * p.beta1.sin, t.alpha1.cos * p.beta1.cos}
	omega2 := heading{t.alpha0.sin * p.beta2.sin, t.alpha2.cos * p.beta2.cos}
	gap := omega2.minus(omega1)
	gap.sin = max(0, gap.sin)
	c3 := p.longitudeSines(t.eps)
	between := c3.sum(t.sigma2.sin, t.sigma2.cos) - c3.sum(t.sigma1.sin, t.sigma1.cos)
	return gap.minus(p.lambda).smallRad() - p.f*p.longitudeFactor(t.eps)*t.alpha0.sin*(t.arc+between)
}

// slope is the derivative of miss by α1 (equation 46): the reduced length
// (equations 38 to 40) over the width of the parallel.
func (p *pair) slope(t *trial) float64 {
	dn1 := math.Sqrt(1 + p.ep2*p.beta1.sin*p.beta1.sin)
	if t.alpha2.cos == 0 {
		return -2 * p.f1 * dn1 / p.beta1.sin
	}
	dn2 := math.Sqrt(1 + p.ep2*p.beta2.sin*p.beta2.sin)
	a1, a2 := distanceFactor(t.eps), reducedFactor(t.eps)
	c, c2 := distanceSines(t.eps), reducedSines(t.eps)
	for l := range c {
		c[l] = a1*c[l] - a2*c2[l]
	}
	s1, s2 := t.sigma1, t.sigma2
	j := (a1-a2)*t.arc + c.sum(s2.sin, s2.cos) - c.sum(s1.sin, s1.cos)
	m := dn2*s1.cos*s2.sin - dn1*s1.sin*s2.cos - s1.cos*s2.cos*j
	return m * p.f1 / (t.alpha2.cos * p.beta2.cos)
}

// Limits of the search for α1, in radians.
const (
	roundOff     = 0x1p-52
	newtonSteps  = 20   // from then on the interval is halved
	mostSteps    = 90   // halving an interval of π to nothing
	squaredNoise = 1e-8 // a step this short, away from a vertex, leaves an error of its square
)

// search finds α1 by Newton's method, kept inside an interval that holds the one
// root and halved where a step leaves it (section 4). A slope is used twice where
// its change no longer matters.
func (p *pair) search(alpha1 heading, antipodal bool) line {
	low, high := heading{atPole, 1}, heading{atPole, -1}
	t := p.try(alpha1)
	slope, before := 0.0, math.Inf(1) // and the change of α1 since that slope
	for step, last := 0, false; step < mostSteps && !last; step++ {
		miss := p.miss(&t)
		if math.Abs(miss) <= roundOff {
			break
		}
		if miss > 0 {
			high = alpha1
		} else {
			low = alpha1
		}
		// Away from a vertex and from the antipode, errors fall as squares.
		noise := squaredNoise * t.alpha2.cos * t.alpha2.cos
		if antipodal {
			noise = 0
		}
		change := -miss / slope
		if last = math.Abs(change*before) < noise*noise; !last {
			slope = p.slope(&t)
			change = -miss / slope
			last = math.Abs(miss) <= 16*roundOff || math.Abs(change) < noise
		}
		next := heading{}
		if step < newtonSteps && slope > 0 && math.Abs(change) < math.Pi {
			next = alpha1.plus(turn(change))
		}
		if before = change; next.sin <= 0 {
			next, last = heading{low.sin + high.sin, low.cos + high.cos}, false
			before = math.Inf(1)
		}
		alpha1 = next.normal()
		t = p.try(alpha1)
	}
	return line{t.alpha1, t.alpha2, t.arc, p.along(t.eps, t.sigma1, t.sigma2, t.arc)}
}
