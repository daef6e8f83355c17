package routing

import "math"

// insertion is a tested place for a visit.
type insertion struct {
	route RouteIndex // NoRoute = none found
	gap   int
	delta Cost // change of the plan's cost
	extra Seconds
}

var noInsertion = insertion{route: NoRoute, delta: math.MaxInt64}

// admits reports whether a route may take a visit at all just now: compatible,
// its group not elsewhere that day, load and stock left.
func (d *draft) admits(v VisitIndex, r RouteIndex) bool {
	return d.p.Compatible(v, r) && d.groupAllows(v, r) && d.resourcesAllow(v, &d.tours[r], NoVisit)
}

// gaps are the gaps [low, high] a visit may go into. Visits pinned to positions
// stay in front, in order of position.
func (d *draft) gaps(v VisitIndex, t *tour) (low, high int) {
	position := d.p.position(v)
	if position == 0 {
		return t.held, len(t.visits)
	}
	k := 0
	for k < t.held && d.p.position(t.visits[k]) < position {
		k++
	}
	return k, k
}

// bestInsertion finds the cheapest gap of a route for a visit, if any costs less
// than limit. Blink, if set, is asked for each gap and skips it when true.
func (d *draft) bestInsertion(v VisitIndex, r RouteIndex, limit Cost, blink func() bool) insertion {
	best := insertion{route: NoRoute, delta: limit}
	if !d.admits(v, r) {
		return best
	}
	p, t := d.p, &d.tours[r]
	route := &p.spec.Routes[r]
	var open [1]span
	door := p.door(v, r, &open)
	last := door[len(door)-1]
	closes := last.from + last.slack
	place := p.spec.Visits[v].Place
	service := p.ServiceOn(v, r)
	placement := d.placement(v, r)
	low, high := d.gaps(v, t)
	for k := low; k <= high; k++ {
		before, after := t.beforeGap(k), t.afterGap(k)
		if len(before) == 0 || len(after) == 0 || before[0].to > closes {
			break // every later gap is later still
		}
		from, to := p.gapPlaces(t, k)
		metresIn, driveIn := p.drives.arriving(from, place)
		metresOut, driveOut := p.drives.between(place, to)
		latest := after[len(after)-1]
		if max(before[0].to+driveIn, door[0].to)+service+driveOut > latest.from+latest.slack {
			continue
		}
		extraMetres := metresIn + metresOut - t.legs[k]
		rests := len(route.Breaks) > 0
		if route.CostPerMetre*Cost(extraMetres)+placement >= best.delta && extraMetres > 0 && !rests {
			continue // time only adds to it
		}
		if blink != nil && blink() {
			continue
		}
		d.scratchA = joinSpans(d.scratchA[:0], before, driveIn, door)
		d.scratchB = joinSpans(d.scratchB[:0], d.scratchA, service+driveOut, after)
		ways := d.scratchB
		if rests && len(ways) > 0 {
			ways = p.restedWith(t, d.extra, k, v, 0)
		}
		duration, ok := shortest(ways)
		if !ok || d.extra == 0 && !withinDuration(route, duration) {
			continue
		}
		delta := drivingCost(route, t.metres+extraMetres, duration) - t.cost + placement
		if delta < best.delta {
			best = insertion{r, k, delta, duration - t.duration}
		}
	}
	return best
}

// worthwhile reports whether an insertion should be made: always for a required
// visit, otherwise when it gains.
func (d *draft) worthwhile(v VisitIndex, in insertion) bool {
	return in.route != NoRoute && (d.p.required[v] || in.delta < 0)
}
