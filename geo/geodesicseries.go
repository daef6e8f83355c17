package geo

// order is the order of the series in ε: 15 nm at the earth's size and
// flattening.
const order = 6

// sines holds the coefficients of Σ c[l] sin 2lσ, l from 1 to 6; element 0 is
// unused.
type sines [order + 1]float64

// sum is Σ c[l] sin 2lσ by Clenshaw's recurrence.
func (c *sines) sum(sin, cos float64) float64 {
	twice := 2 * (cos - sin) * (cos + sin) // 2 cos 2σ
	u6 := c[6]
	u5 := c[5] + twice*u6
	u4 := c[4] + twice*u5 - u6
	u3 := c[3] + twice*u4 - u5
	u2 := c[2] + twice*u3 - u4
	u1 := c[1] + twice*u2 - u3
	return 2 * sin * cos * u1
}

// distanceFactor is A1 (Karney 2013, equation 17).
func distanceFactor(eps float64) float64 {
	e := eps * eps
	return (1 + e*(1./4+e*(1./64+e/256))) / (1 - eps)
}

// distanceSines is C1 (equation 18): arc length to distance.
func distanceSines(eps float64) sines {
	e := eps * eps
	p2 := e
	p3 := p2 * eps
	p4 := p2 * p2
	return sines{0,
		eps * (-1./2 + e*(3./16-e/32)),
		p2 * (-1./16 + e*(1./32-e*(9./2048))),
		p3 * (-1./48 + e*(3./256)),
		p4 * (-5./512 + e*(3./512)),
		p4 * eps * (-7. / 1280),
		p4 * p2 * (-7. / 2048),
	}
}

// arcSines is C1' (equation 21): distance back to arc length.
func arcSines(eps float64) sines {
	e := eps * eps
	p2 := e
	p3 := p2 * eps
	p4 := p2 * p2
	return sines{0,
		eps * (1./2 + e*(-9./32+e*(205./1536))),
		p2 * (5./16 + e*(-37./96+e*(1335./4096))),
		p3 * (29./96 - e*(75./128)),
		p4 * (539./1536 - e*(2391./2560)),
		p4 * eps * (3467. / 7680),
		p4 * p2 * (38081. / 61440),
	}
}

// reducedFactor is A2 (equation 42).
func reducedFactor(eps float64) float64 {
	e := eps * eps
	return (1 - eps) * (1 + e*(1./4+e*(9./64+e*(25./256))))
}

// reducedSines is C2 (equation 43), for the reduced length.
func reducedSines(eps float64) sines {
	e := eps * eps
	p2 := e
	p3 := p2 * eps
	p4 := p2 * p2
	return sines{0,
		eps * (1./2 + e*(1./16+e/32)),
		p2 * (3./16 + e*(1./32+e*(35./2048))),
		p3 * (5./48 + e*(5./256)),
		p4 * (35./512 + e*(7./512)),
		p4 * eps * (63. / 1280),
		p4 * p2 * (77. / 2048),
	}
}

// longitudeSeries is A3 and C3 (equations 24 and 25), polynomials in n and ε,
// for one ellipsoid's third flattening n: polynomials in ε, where row l of the
// second begins at ε^l.
func longitudeSeries(n float64) (a3 [order]float64, c3 [order][order]float64) {
	a3 = [order]float64{
		1,
		-1./2 + n/2,
		-1./4 - n/8 + n*n*3/8,
		-1./16 - n*3/16 - n*n/16,
		-3./64 - n/32,
		-3. / 128,
	}
	c3[1] = [order]float64{
		1./4 - n/4,
		1./8 - n*n/8,
		3./64 + n*3/64 - n*n/64,
		5./128 + n/64,
		3. / 128,
	}
	c3[2] = [order]float64{
		1./16 - n*3/32 + n*n/32,
		3./64 - n/32 - n*n*3/64,
		3./128 + n/128,
		5. / 256,
	}
	c3[3] = [order]float64{
		5./192 - n*3/64 + n*n*5/192,
		3./128 - n*5/192,
		7. / 512,
	}
	c3[4] = [order]float64{
		7./512 - n*7/256,
		7. / 512,
	}
	c3[5] = [order]float64{21. / 2560}
	return a3, c3
}

// longitudeFactor is A3 of this ellipsoid.
func (e *Ellipsoid) longitudeFactor(eps float64) float64 {
	c := &e.a3
	return c[0] + eps*(c[1]+eps*(c[2]+eps*(c[3]+eps*(c[4]+eps*c[5]))))
}

// longitudeSines is C3 of this ellipsoid.
func (e *Ellipsoid) longitudeSines(eps float64) sines {
	p2 := eps * eps
	p3 := p2 * eps
	p4 := p2 * p2
	c1, c2, c3, c4 := &e.c3[1], &e.c3[2], &e.c3[3], &e.c3[4]
	return sines{0,
		eps * (c1[0] + eps*(c1[1]+eps*(c1[2]+eps*(c1[3]+eps*c1[4])))),
		p2 * (c2[0] + eps*(c2[1]+eps*(c2[2]+eps*c2[3]))),
		p3 * (c3[0] + eps*(c3[1]+eps*c3[2])),
		p4 * (c4[0] + eps*c4[1]),
		p4 * eps * e.c3[5][0],
	}
}
