package geo

import (
	"errors"
	"math"
	"slices"
)

// robustFit finds coefficients c with rows·c near y that a minority of wild values
// does not draw away: least squares, then Huber's weights (P. J. Huber, Annals of
// Mathematical Statistics 35:73, 1964, doi 10.1214/aoms/1177703732) until they settle,
// then the biweight, which leaves the wildest out altogether (A. E. Beaton and J. W.
// Tukey, Technometrics 16:147, 1974, doi 10.1080/00401706.1974.10489171). weights are
// those of the last round, 0 for what was left out.
func robustFit(rows [][]float64, y []float64) (c, weights []float64, err error) {
	c, _, _, err = huberFit(rows, y)
	if err != nil {
		return nil, nil, err
	}
	return reweigh(rows, y, c, spread(residuals(rows, y, c)), biweight)
}

// huberFit is the fit with Huber's weights, and the spread of its residuals.
func huberFit(rows [][]float64, y []float64) (c, weights []float64, scale float64, err error) {
	weights = slices.Repeat([]float64{1}, len(y))
	if c, err = leastSquares(rows, y, weights); err != nil {
		return nil, nil, 0, err
	}
	c, weights, err = reweigh(rows, y, c, 0, huber)
	return c, weights, spread(residuals(rows, y, c)), err
}

// reweigh repeats least squares with weights by the residuals until the
// coefficients settle. A scale of 0 is measured anew each round.
func reweigh(rows [][]float64, y, c []float64, scale float64, weigh func(u float64) float64) (_, weights []float64, err error) {
	weights = make([]float64, len(y))
	for range 100 {
		off := residuals(rows, y, c)
		s := scale
		if s == 0 {
			s = spread(off)
		}
		for i := range off {
			weights[i] = 1
			if s > 0 {
				weights[i] = weigh(math.Abs(off[i]) / s)
			} else if off[i] != 0 {
				weights[i] = weigh(math.Inf(1))
			}
		}
		next, err := leastSquares(rows, y, weights)
		if err != nil {
			return nil, nil, err
		}
		moved := 0.0
		for k := range c {
			moved = max(moved, math.Abs(next[k]-c[k])/(1e-9+math.Abs(c[k])))
		}
		if c = next; moved < 1e-9 {
			break
		}
	}
	return c, weights, nil
}

// huber and biweight are tuned to lose 5 % where nothing is wild.
func huber(u float64) float64 { return min(1, 1.345/u) }

func biweight(u float64) float64 {
	r := u / 4.685
	if r >= 1 {
		return 0
	}
	return (1 - r*r) * (1 - r*r)
}

// spread is the median size of residuals over that of the normal distribution.
func spread(off []float64) float64 { return quantileOfSizes(off, 0.5) / 0.6745 }

// quantileOfSizes of absolute values; between two it is their mean.
func quantileOfSizes(list []float64, part float64) float64 {
	if len(list) == 0 {
		return 0
	}
	sizes := make([]float64, len(list))
	for i, x := range list {
		sizes[i] = math.Abs(x)
	}
	slices.Sort(sizes)
	at := part * float64(len(sizes)-1)
	return (sizes[int(math.Floor(at))] + sizes[int(math.Ceil(at))]) / 2
}

func residuals(rows [][]float64, y, c []float64) []float64 {
	off := make([]float64, len(y))
	for i, row := range rows {
		off[i] = y[i]
		for k, x := range row {
			off[i] -= x * c[k]
		}
	}
	return off
}

var errTooAlike = errors.New("the drives are too few or too much alike")

// leastSquares solves the weighted normal equations by elimination.
func leastSquares(rows [][]float64, y, weights []float64) ([]float64, error) {
	if len(rows) == 0 {
		return nil, errTooAlike
	}
	n := len(rows[0])
	a := make([][]float64, n) // the equations, the right side last
	for i := range a {
		a[i] = make([]float64, n+1)
	}
	for r, row := range rows {
		for i := range n {
			for j := range n {
				a[i][j] += weights[r] * row[i] * row[j]
			}
			a[i][n] += weights[r] * row[i] * y[r]
		}
	}
	sizes := make([]float64, n)
	for k := range sizes {
		sizes[k] = a[k][k]
	}
	for k := range n {
		pivot := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[pivot][k]) {
				pivot = i
			}
		}
		a[k], a[pivot] = a[pivot], a[k]
		if !(math.Abs(a[k][k]) > 1e-10*sizes[k]) {
			return nil, errTooAlike
		}
		for i := range n {
			if i == k {
				continue
			}
			f := a[i][k] / a[k][k]
			for j := k; j <= n; j++ {
				a[i][j] -= f * a[k][j]
			}
		}
	}
	c := make([]float64, n)
	for k := range c {
		c[k] = a[k][n] / a[k][k]
	}
	return c, nil
}
