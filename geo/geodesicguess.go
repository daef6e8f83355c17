package geo

import "math"

// kind says how an inverse problem is to be solved.
type kind int

const (
	ordinary kind = iota
	veryShort
	antipodal
)

// veryShortSine is sin σ12 below which the sphere answers by itself (0.2 m).
const veryShortSine = 3e-8

// guess is a first azimuth at point 1 (Karney 2013, section 5).
func (p *pair) guess() (heading, kind) {
	omega, short := p.lambda, p.isShort()
	if short {
		omega = turn(p.lambda12 / p.meanWidth())
	}
	alpha1 := p.onSphere(omega)
	sine := alpha1.length() // of σ12
	cosine := p.beta1.sin*p.beta2.sin + p.beta1.cos*p.beta2.cos*omega.cos
	third := p.f / (2 - p.f)
	switch {
	case short && sine < veryShortSine:
		return alpha1, veryShort
	case short:
		return alpha1.normal(), ordinary
	case cosine >= 0 || sine >= 6*third*math.Pi*p.beta1.cos*p.beta1.cos:
		return p.closer(alpha1.normal(), math.Atan2(sine, cosine)), ordinary
	}
	return p.nearAntipode(), antipodal
}

// closer betters a guess by the first term of the longitude difference between
// ellipsoid and sphere (equation 8): what is left is of the order of f².
func (p *pair) closer(alpha1 heading, arc float64) heading {
	omega := turn(p.lambda12 + p.f*alpha1.sin*p.beta1.cos*arc)
	if omega.sin <= 0 {
		return alpha1
	}
	return p.onSphere(omega).normal()
}

// isShort: within about half a radian.
func (p *pair) isShort() bool {
	gap := p.beta2.minus(p.beta1)
	return gap.cos >= 0 && gap.sin < 0.5 && p.beta2.cos*p.lambda12 < 0.5
}

// meanWidth is w̄, longitude on the ellipsoid over longitude on the auxiliary
// sphere for a short line (equation 48).
func (p *pair) meanWidth() float64 {
	mean := (p.beta1.cos + p.beta2.cos) / 2
	return math.Sqrt(1 - p.e2*mean*mean)
}

// onSphere is the azimuth at point 1 on the auxiliary sphere, of length sin σ12
// (equation 49), with 1 - cos ω or 1 + cos ω in place of a difference that loses
// digits.
func (p *pair) onSphere(omega heading) heading {
	across := p.beta2.cos * omega.sin
	side := p.beta1.sin * p.beta2.cos * omega.sin * omega.sin
	if omega.cos >= 0 {
		return heading{across, p.beta2.minus(p.beta1).sin + side/(1+omega.cos)}
	}
	return heading{across, p.beta2.plus(p.beta1).sin - side/(1-omega.cos)}
}

// shortLine is the line over a few centimetres: a piece of the sphere (equations
// 48 to 51).
func (p *pair) shortLine() line {
	width := p.meanWidth()
	omega := turn(p.lambda12 / width)
	alpha1 := p.onSphere(omega)
	side := p.beta1.cos * p.beta2.sin * omega.sin * omega.sin
	alpha2 := heading{p.beta1.cos * omega.sin, p.beta2.minus(p.beta1).sin - side/(1+omega.cos)}
	arc := math.Asin(alpha1.length())
	return line{alpha1.normal(), alpha2.normal(), arc, p.a * width * arc}
}

// nearAntipode guesses from the astroid which the geodesics from point 1 envelop
// round its antipode: x and y are the place of point 2 seen from there, in units
// of the astroid's size (equations 53 to 57).
func (p *pair) nearAntipode() heading {
	size := p.f * math.Pi * p.beta1.cos * p.longitudeFactor(p.expansion(p.beta1.sin))
	x := -math.Atan2(p.lambda.sin, -p.lambda.cos) / size
	y := p.beta2.plus(p.beta1).sin / (size * p.beta1.cos)
	if y > -200*roundOff && x > -1-1e-5 {
		sin := min(1, -x)
		return heading{sin, -math.Sqrt(1 - sin*sin)} // on the cut
	}
	mu := astroid(x, y)
	// The better longitude on the sphere, short of π by this.
	short := turn(-size * x * mu / (1 + mu))
	alpha1 := p.onSphere(heading{short.sin, -short.cos})
	if alpha1.sin <= 0 {
		return heading{1, 0}
	}
	return alpha1.normal()
}

// astroid is the positive root μ of (x/(1+μ))² + (y/μ)² = 1 (equation 55). The
// left side falls and is convex, so that Newton's method climbs to the root from
// below.
func astroid(x, y float64) float64 {
	x2, y2 := x*x, y*y
	mu := max(math.Abs(y), math.Abs(x)-1)
	for range 40 {
		p, q := x2/((1+mu)*(1+mu)), y2/(mu*mu)
		step := (p + q - 1) / (2 * (p/(1+mu) + q/mu))
		mu += step
		if step <= 1e-9*mu {
			break
		}
	}
	return mu
}
