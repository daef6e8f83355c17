package routing

import (
	"math"
	"slices"
)

// obstacle is why a visit can never be on a route.
type obstacle uint8

const (
	fitsAlone obstacle = iota
	lacksSkill
	notAllowed
	pinnedElsewhere
	lacksStock
	tooHeavy
	closedAlone  // no window can be met even with the route otherwise empty
	tooLongAlone // windows can be met, but not within the route's hours
)

func (o obstacle) fault() FaultKind {
	return [...]FaultKind{"", FaultSkill, FaultAllowed, FaultPin, FaultStock, FaultLoad, FaultWindow, FaultDuration}[o]
}

func (p *Problem) tableObstacles() {
	routes := p.RouteCount()
	p.obstacles = make([]obstacle, p.VisitCount()*routes)
	p.fitting = make([][]RouteIndex, p.VisitCount())
	numbers := map[SkillID]int{}
	for _, r := range p.spec.Routes {
		for _, s := range r.Skills {
			number(numbers, s)
		}
	}
	has := make([]bool, routes*len(numbers))
	for j, r := range p.spec.Routes {
		for _, s := range r.Skills {
			has[j*len(numbers)+numbers[s]] = true
		}
	}
	same := firstLike(p, p.aloneKey)
	const unknown obstacle = math.MaxUint8
	alone := make([]obstacle, routes)
	var asked []int
	var fitting []RouteIndex
	for i := range p.spec.Visits {
		asked = asked[:0]
		unskilled := false // no route has such a skill
		for _, s := range p.spec.Visits[i].Skills {
			n, ok := numbers[s]
			asked, unskilled = append(asked, n), unskilled || !ok
		}
		for j := range alone {
			alone[j] = unknown
		}
		fitting = fitting[:0]
		for j := range p.spec.Routes {
			v, r := VisitIndex(i), RouteIndex(j)
			o := p.plainObstacle(v, r)
			if o == fitsAlone && (unskilled || !hasAll(has[j*len(numbers):], asked)) {
				o = lacksSkill
			}
			if o == fitsAlone {
				o = p.partsObstacle(v, r)
			}
			if o == fitsAlone {
				if alone[same[j]] == unknown {
					alone[same[j]] = p.aloneObstacle(v, r)
				}
				o = alone[same[j]]
			}
			p.obstacles[i*routes+j] = o
			if o == fitsAlone {
				fitting = append(fitting, r)
			}
		}
		p.fitting[i] = slices.Clone(fitting)
	}
}

func hasAll(has []bool, asked []int) bool {
	for _, s := range asked {
		if !has[s] {
			return false
		}
	}
	return true
}

func (p *Problem) plainObstacle(v VisitIndex, r RouteIndex) obstacle {
	visit := &p.spec.Visits[v]
	if visit.Pin != nil && visit.Pin.Route != r {
		return pinnedElsewhere
	}
	if visit.Allowed != nil && !slices.Contains(visit.Allowed, r) {
		return notAllowed
	}
	return fitsAlone
}

func (p *Problem) partsObstacle(v VisitIndex, r RouteIndex) obstacle {
	for _, n := range p.needs[v] {
		if n.quantity > p.capacity[int(r)*p.resources+n.index] {
			if n.index < p.loads {
				return tooHeavy
			}
			return lacksStock
		}
	}
	return fitsAlone
}

// aloneKey is what decides how long a route with one visit takes.
type aloneKey struct {
	start, end                           PlaceIndex
	earliest, latest, duration, overtime Seconds
	crew                                 int        // where some are quicker than others, else 0
	route                                RouteIndex // of a route with breaks, else NoRoute
}

func (p *Problem) aloneKey(r RouteIndex) aloneKey {
	route := &p.spec.Routes[r]
	k := aloneKey{route.Start, route.End, route.Earliest, route.Latest, route.Duration, route.Overtime, 0, NoRoute}
	if p.byCrew {
		k.crew = p.crewOf[r]
	}
	if p.restsOn(r) {
		k.route = r
	}
	return k
}

// relaxedHours is how much later a route may return when it is asked whether
// working time is what stands in the way.
const relaxedHours Seconds = 12 * 3600

// aloneObstacle tries the visit on the otherwise empty route, and once more with
// longer hours to tell closed doors from short days.
func (p *Problem) aloneObstacle(v VisitIndex, r RouteIndex) obstacle {
	if w := p.windows[int(v)*p.RouteCount()+int(r)]; w.low == w.high && len(p.spec.Visits[v].Windows) > 0 {
		return closedAlone
	}
	if duration, ok := p.alone(v, r, 0); ok && withinDuration(&p.spec.Routes[r], duration) {
		return fitsAlone
	}
	if _, ok := p.alone(v, r, relaxedHours); ok {
		return tooLongAlone
	}
	return closedAlone
}

// alone is the shortest time of a route with one visit, the route's hours
// lengthened by extra.
func (p *Problem) alone(v VisitIndex, r RouteIndex, extra Seconds) (Seconds, bool) {
	if p.restsOn(r) {
		return shortest(p.restedWays(&rester{}, r, extra, 1, func(int) VisitIndex { return v }))
	}
	route := &p.spec.Routes[r]
	place := p.spec.Visits[v].Place
	_, out := p.drives.between(route.Start, place)
	_, back := p.drives.between(place, route.End)
	day := [1]span{hours(route)}
	day[0].slack += extra
	var open [1]span
	var first, second [8]span
	there := joinSpans(first[:0], day[:], out, p.door(v, r, &open))
	return shortest(joinSpans(second[:0], there, p.ServiceOn(v, r)+back, day[:]))
}
