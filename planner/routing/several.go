package routing

import (
	"cmp"
	"slices"
)

// Where there are few visits and time to spare, one cooling is not the best use of
// it: its end may lie in a valley that no string of ten visits leads out of, often with
// a route too many or too few. Several coolings end in several valleys, every other
// one with whole routes taken out now and then, and a child of two ends can have
// what is good in both.
//
// Exchange of routes between two plans: the selective route exchange of
// Nagata & Kobayashi 2010, doi 10.1007/978-3-642-15844-5_54, in a simple form,
// with a short cooling of each child for their local search.
const (
	fewToCool    = 300    // visits, up to which there are several coolings
	ampleRounds  = 40_000 // and from how many rounds on
	coolings     = 6      // first
	coolingShare = 0.4    // of the budget, all of them
	childRounds  = 1_000  // of a child's cooling
	childHeat    = 0.1    // of the first temperature
	endsKept     = 8
)

// course says how hot a worker's next rounds are, and begins its coolings.
type course struct {
	*engine
	worker  *annealer
	begun   int // rounds of the whole run when this course began
	judged  bool
	several bool
	cooling int     // number of the first ones under way
	since   float64 // share of the budget when it began
	ends    []kept
	child   int // rounds of the child under way; -1 = none
}

func newCourse(e *engine, worker *annealer) *course {
	return &course{engine: e, worker: worker, begun: e.done, child: -1}
}

// next is the temperature of the next rounds; ran is how many were run since it
// was last asked.
func (s *course) next(ran int) float64 {
	share := s.share()
	if !s.judged && s.done-s.begun >= 256 && share > 0 {
		s.judged, s.several = true, s.worthSeveral(float64(s.done-s.begun)/share)
	}
	if !s.several {
		return cooled(s.hot, s.cold, share)
	}
	if s.child >= 0 {
		if s.child += ran; s.child >= childRounds {
			s.keepEnd()
			s.beginNext()
		}
	} else if share-s.since >= coolingShare/coolings {
		s.keepEnd()
		s.cooling++
		s.worker.routesOut = wholeRoutes * float64(s.cooling%2)
		s.since = share
		s.worker.best.forget()
		if s.cooling >= coolings {
			s.beginNext()
		}
	}
	if s.child >= 0 {
		return cooled(childHeat*s.hot, s.cold, float64(s.child)/childRounds)
	}
	return cooled(s.hot, s.cold, (share-s.since)/(coolingShare/coolings))
}

// share is the share used of the budget for cooling.
func (e *engine) share() float64 {
	return min(1, max(0, e.spent()-e.used)/(1-e.used))
}

// worthSeveral judges by the rounds that the budget will allow all workers.
func (s *course) worthSeveral(rounds float64) bool {
	ample := ampleRounds * float64(max(1, s.o.Workers))
	if s.o.ample > 0 {
		ample = s.o.ample
	}
	return s.o.Start == nil && rounds >= ample && s.visits <= fewToCool && s.p.groups == 0 &&
		len(s.worker.seeds) == int(s.visits) && s.o.off&offSeveral == 0
}

// keepEnd keeps the best plan of the cooling that ends, if there is none as dear.
func (s *course) keepEnd() {
	end := &s.worker.best
	if end.missing >= unknown {
		return
	}
	worst := -1
	for i := range s.ends {
		if s.ends[i].cost == end.cost && s.ends[i].missing == end.missing {
			return
		}
		if worst < 0 || s.ends[worst].better(&s.ends[i]) {
			worst = i
		}
	}
	if len(s.ends) < endsKept {
		s.ends = append(s.ends, kept{})
		worst = len(s.ends) - 1
	} else if !end.better(&s.ends[worst]) {
		return
	}
	s.ends[worst].copyFrom(end)
}

// beginNext begins a child of two ends, or another cooling if there are no two.
func (s *course) beginNext() {
	a := s.worker
	a.best.forget()
	s.child = -1
	if len(s.ends) < 2 {
		s.since = s.share()
		return
	}
	x := a.random.IntN(len(s.ends))
	y := a.random.IntN(len(s.ends) - 1)
	if y >= x {
		y++
	}
	s.child, a.routesOut = 0, 0
	child, rest := s.cross(&s.ends[x], &s.ends[y])
	a.take(child)
	a.pool = append(a.pool[:0], rest...)
	a.recreate()
	a.settle()
	a.begin()
}

// cross takes the routes of x about a visit drawn at random, of y the routes of
// which at least half is left, and tells which visits are then on none.
func (s *course) cross(x, y *kept) (child [][]VisitIndex, rest []int32) {
	a := s.worker
	child = make([][]VisitIndex, len(a.lines))
	taken := make([]bool, s.visits)
	put := func(r int32, order []int32) {
		for _, v := range order {
			taken[v] = true
			child[r] = append(child[r], VisitIndex(v))
		}
	}
	if near := s.routesAbout(x, int32(a.random.IntN(int(s.visits)))); len(near) > 0 {
		for _, r := range near[:1+a.random.IntN(len(near))] {
			put(r, x.route(r))
		}
	}
	free := int32(0)
	var left []int32
	for q := range int32(len(child)) {
		left = left[:0]
		for _, v := range y.route(q) {
			if !taken[v] {
				left = append(left, v)
			}
		}
		if len(left) == 0 || 2*len(left) < len(y.route(q)) {
			continue
		}
		if len(child[q]) == 0 {
			put(q, left)
			continue
		}
		if !s.oneKind {
			continue
		}
		for int(free) < len(child) && (len(child[free]) > 0 || !a.open[free] || len(y.route(free)) > 0) {
			free++
		}
		if int(free) < len(child) {
			put(free, left)
		}
	}
	for _, plan := range [2]*kept{x, y} {
		for _, v := range plan.visits {
			if !taken[v] {
				taken[v] = true
				rest = append(rest, v)
			}
		}
	}
	return child, rest
}

// routesAbout are a plan's routes, those first that are near a visit on the whole.
func (s *course) routesAbout(plan *kept, centre int32) []int32 {
	type distant struct {
		route int32
		mean  float64
	}
	var order []distant
	for r := range int32(len(plan.cut) - 1) {
		visits := plan.route(r)
		if len(visits) == 0 {
			continue
		}
		sum := 0.0
		for _, v := range visits {
			sum += s.meanCost(s.leg(centre, v))
		}
		order = append(order, distant{r, sum / float64(len(visits))})
	}
	slices.SortFunc(order, func(x, y distant) int {
		return cmp.Or(cmp.Compare(x.mean, y.mean), cmp.Compare(x.route, y.route))
	})
	routes := make([]int32, len(order))
	for i := range order {
		routes[i] = order[i].route
	}
	return routes
}
