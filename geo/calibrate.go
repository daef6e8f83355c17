package geo

import (
	"fmt"
	"math"
	"slices"
)

// Drive is one drive as it was: what calibration learns from.
type Drive struct {
	From, To Point
	Hour     int     // local hour it began in, 0 to 23
	Seconds  Seconds // from leaving to arriving, more than 0 and at most 12 hours
	Metres   Metres  // by the odometer; 0 when not known
}

// Calibration says how well a travel model fits driven legs.
type Calibration struct {
	Drives        int      // that were used
	LeftOut       int      // of these, given no weight at all: a stop on the way, a forgotten tap
	WithMetres    int      // drives whose odometer length was used for detour factors; 0 when too few
	KindsFitted   []string // kinds of area whose speed was fitted; the others had too few drives
	Before, After FitError
}

// FitError is how far a model's times are from the driven ones, over all drives, the
// ones left out too.
type FitError struct {
	MedianSeconds    float64 // half of the drives are nearer
	NinetiethSeconds float64 // nine in ten are nearer
	BiasSeconds      float64 // median of model less driven: below 0 when the model is too quick
}

// Fewest drives to learn from: for anything, and for the speed of one kind.
const (
	fewestDrives     = 20
	fewestDrivesKind = 10
)

// Calibrate fits fixed seconds and, kind by kind, speed and detour factor to drives,
// by robust least squares: a minority of wild drives does not count. Factors by the
// hour, areas and barriers stay as set. Without odometer lengths of at least 20
// drives the detour factors stay too, and speeds make up for them. The error of a
// drive is taken to grow with the root of its length.
//
// Fewer than 20 drives, drives all alike, and drives that are none (an unset point, a
// time out of range, named by their index) are errors. The terrain given is not
// changed.
func (t Terrain) Calibrate(drives []Drive) (Terrain, Calibration, error) {
	ways, err := t.drivenWays(drives)
	if err != nil {
		return Terrain{}, Calibration{}, fmt.Errorf("calibration: %w", err)
	}
	fitted, report := t.clone(), Calibration{Drives: len(drives), Before: ways.errorOf(t)}
	used := ways.kinds(len(t.Kinds))
	report.KindsFitted = names(t.Kinds, used)

	detour, withMetres, err := ways.detours(t)
	if err != nil {
		return Terrain{}, Calibration{}, fmt.Errorf("calibration of detours: %w", err)
	}
	report.WithMetres = withMetres
	fit, weights, err := ways.paces(t, used)
	if err != nil {
		return Terrain{}, Calibration{}, fmt.Errorf("calibration of speeds: %w", err)
	}
	for i, k := range used {
		if !(fit[i] > 0) {
			return Terrain{}, Calibration{}, fmt.Errorf("calibration of speeds: in %q time does not grow with distance", t.Kinds[k].Name)
		}
		fitted.Kinds[k].DetourFactor = detour[k]
		fitted.Kinds[k].SpeedKmh = min(max(3.6*detour[k]/fit[i], 1), 200)
	}
	fitted.FixedSeconds = Seconds(math.Round(fit[len(used)]))
	for _, w := range weights {
		if w == 0 {
			report.LeftOut++
		}
	}
	report.After = ways.errorOf(fitted)
	return fitted, report, nil
}

// detours fits the detour factor of each kind to the drives whose odometer length
// is known, when they are enough, and says how many they were.
func (ways drivenWays) detours(t Terrain) (detour []float64, used int, err error) {
	for _, k := range t.Kinds {
		detour = append(detour, k.DetourFactor)
	}
	known := ways.withMetres()
	kinds := known.kinds(len(t.Kinds))
	if len(known) < fewestDrives || len(kinds) == 0 {
		return detour, 0, nil
	}
	fit, _, err := known.fit(question{
		kinds:  kinds,
		cost:   func(w way) float64 { return float64(w.Metres) },
		half:   func(w way, _ int) float64 { return w.length / 2 },
		before: slices.Clone(detour),
	})
	for i := range fit {
		detour[kinds[i]] = min(max(fit[i], 1), 5)
	}
	return detour, len(known), err
}

// paces fits the seconds for a metre as the crow flies in each of the kinds, at the
// factor 1 of the hour, and after them the fixed seconds.
func (ways drivenWays) paces(t Terrain, kinds []int) (fit, weights []float64, err error) {
	q := question{
		kinds:    kinds,
		constant: true,
		cost:     func(w way) float64 { return float64(w.Drive.Seconds) },
		half: func(w way, kind int) float64 {
			k := t.Kinds[kind].at(w.Hour, 0)
			return w.length / 2 * t.Kinds[kind].SpeedKmh / k.SpeedKmh
		},
	}
	for _, k := range t.Kinds {
		q.before = append(q.before, 3.6*k.DetourFactor/k.SpeedKmh)
	}
	fit, weights, err = ways.fit(q)
	if err != nil || fit[len(kinds)] >= 0 && fit[len(kinds)] <= float64(Hour) {
		return fit, weights, err
	}
	// Less than nothing or more than an hour is no time to start and park.
	held := min(max(fit[len(kinds)], 0), float64(Hour))
	q.constant = false
	q.cost = func(w way) float64 { return float64(w.Drive.Seconds) - held }
	fit, weights, err = ways.fit(q)
	return append(fit, held), weights, err
}

func (t Terrain) clone() Terrain {
	t.Kinds = slices.Clone(t.Kinds)
	return t
}

func names(kinds []AreaKind, chosen []int) []string {
	var out []string
	for _, k := range chosen {
		out = append(out, kinds[k].Name)
	}
	return out
}

// way is a drive with the length of its shortest way as the crow flies, and the
// kinds of area at its ends.
type way struct {
	Drive
	length float64 // metres
	ends   [2]int
}

type drivenWays []way

func (t Terrain) drivenWays(drives []Drive) (drivenWays, error) {
	if len(drives) < fewestDrives {
		return nil, fmt.Errorf("%d drives are too few, at least %d are needed", len(drives), fewestDrives)
	}
	model, err := t.At(0)
	if err != nil {
		return nil, err
	}
	ways := make(drivenWays, len(drives))
	for i, d := range drives {
		switch {
		case !d.From.IsSet() || !d.To.IsSet():
			return nil, fmt.Errorf("drive %d: %w", i, ErrUnset)
		case d.Seconds <= 0 || d.Seconds > 12*Hour:
			return nil, fmt.Errorf("drive %d: %d seconds is outside 1 to 43,200", i, int64(d.Seconds))
		case !(d.Metres >= 0) || d.Metres > 2000*Kilometre:
			return nil, fmt.Errorf("drive %d: %v m is outside 0 to 2,000,000", i, float64(d.Metres))
		case d.Hour < 0 || d.Hour > 23:
			return nil, fmt.Errorf("drive %d: hour %d is outside 0 to 23", i, d.Hour)
		}
		a, b := model.spot(d.From), model.spot(d.To)
		a.ways, b.ways = model.barriers.ways(a.vector), model.barriers.ways(b.vector)
		ways[i] = way{d, float64(MeanRadius) * model.barriers.angle(&a, &b), [2]int{a.kind, b.kind}}
	}
	return ways, nil
}

// kinds are the kinds with enough ends of drives in them.
func (ways drivenWays) kinds(count int) []int {
	ends := make([]int, count)
	for _, w := range ways {
		ends[w.ends[0]]++
		if w.ends[1] != w.ends[0] {
			ends[w.ends[1]]++
		}
	}
	var used []int
	for k, n := range ends {
		if n >= fewestDrivesKind {
			used = append(used, k)
		}
	}
	return used
}

func (ways drivenWays) withMetres() drivenWays {
	var known drivenWays
	for _, w := range ways {
		if w.Metres > 0 {
			known = append(known, w)
		}
	}
	return known
}

// question is what fit asks of the ways: what a metre as the crow flies costs.
type question struct {
	kinds    []int // the kinds of area it is asked for
	constant bool  // and what every drive costs beside
	cost     func(way) float64
	half     func(w way, kind int) float64 // what half of the way counts for in a kind
	before   []float64                     // of each kind; holds for those not asked for
}

// fit answers by robust least squares: the costs of the kinds asked for, then the
// constant.
func (ways drivenWays) fit(q question) (c, weights []float64, err error) {
	var rows [][]float64
	var y []float64
	for _, w := range ways {
		row := make([]float64, len(q.kinds), len(q.kinds)+1)
		rest := q.cost(w)
		for _, k := range w.ends {
			if i := slices.Index(q.kinds, k); i >= 0 {
				row[i] += q.half(w, k)
			} else {
				rest -= q.half(w, k) * q.before[k]
			}
		}
		if q.constant {
			row = append(row, 1)
		}
		scale := 1 / math.Sqrt(1000+w.length)
		for i := range row {
			row[i] *= scale
		}
		rows, y = append(rows, row), append(y, rest*scale)
	}
	return robustFit(rows, y)
}

// errorOf is how far a terrain's times are from the driven ones.
func (ways drivenWays) errorOf(t Terrain) FitError {
	off := make([]float64, len(ways))
	for i, w := range ways {
		model := 0.0
		for _, k := range w.ends {
			kind := t.Kinds[k].at(w.Hour, 0)
			model += w.length / 2 * kind.DetourFactor * 3.6 / kind.SpeedKmh
		}
		if w.length > 0 {
			model += float64(t.FixedSeconds)
		}
		off[i] = model - float64(w.Drive.Seconds)
	}
	sorted := slices.Sorted(slices.Values(off))
	return FitError{
		MedianSeconds:    quantileOfSizes(off, 0.5),
		NinetiethSeconds: quantileOfSizes(off, 0.9),
		BiasSeconds:      (sorted[(len(sorted)-1)/2] + sorted[len(sorted)/2]) / 2,
	}
}
