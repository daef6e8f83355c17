package routing

import "slices"

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
	skills := make([]map[SkillID]bool, routes)
	for j, r := range p.spec.Routes {
		skills[j] = map[SkillID]bool{}
		for _, s := range r.Skills {
			skills[j][s] = true
		}
	}
	for i := range p.spec.Visits {
		for j := range p.spec.Routes {
			o := p.findObstacle(VisitIndex(i), RouteIndex(j), skills[j])
			p.obstacles[i*routes+j] = o
			if o == fitsAlone {
				p.fitting[i] = append(p.fitting[i], RouteIndex(j))
			}
		}
	}
}

func (p *Problem) findObstacle(v VisitIndex, r RouteIndex, skills map[SkillID]bool) obstacle {
	visit := &p.spec.Visits[v]
	if visit.Pin != nil && visit.Pin.Route != r {
		return pinnedElsewhere
	}
	if visit.Allowed != nil && !slices.Contains(visit.Allowed, r) {
		return notAllowed
	}
	for _, s := range visit.Skills {
		if !skills[s] {
			return lacksSkill
		}
	}
	for _, n := range p.needs[v] {
		if n.quantity > p.capacity[int(r)*p.resources+n.index] {
			if n.index < p.loads {
				return tooHeavy
			}
			return lacksStock
		}
	}
	return p.aloneObstacle(v, r)
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
