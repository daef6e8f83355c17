package routing

import (
	"container/heap"
	"math"
)

// load builds a draft from a plan: each route's visits in order, leaving out
// those that break a rule where they stand. Visits pinned to positions go first.
func load(p *Problem, routes [][]VisitIndex, extra Seconds) *draft {
	d := newDraft(p, extra)
	for r := range min(len(routes), p.RouteCount()) {
		if !d.loadWhole(RouteIndex(r), routes[r]) {
			d.loadOneByOne(RouteIndex(r), routes[r])
		}
	}
	d.begin()
	return d
}

// loadWhole takes a route as it is, if it keeps every rule.
func (d *draft) loadWhole(r RouteIndex, order []VisitIndex) bool {
	d.begin()
	free := false
	lastPosition := 0
	for _, v := range order {
		if !d.loadable(v) || !d.admits(v, r) {
			d.rollback()
			return false
		}
		position := d.p.position(v)
		if position > 0 && (free || position < lastPosition) {
			d.rollback()
			return false
		}
		lastPosition, free = position, free || position == 0
		d.insert(v, r, len(d.tours[r].visits))
	}
	if !d.tours[r].feasible {
		d.rollback()
		return false
	}
	return true
}

func (d *draft) loadable(v VisitIndex) bool {
	return v >= 0 && int(v) < d.p.VisitCount() && d.routeOf[v] == NoRoute
}

// loadOneByOne appends what can be appended.
func (d *draft) loadOneByOne(r RouteIndex, order []VisitIndex) {
	for _, v := range order {
		if !d.loadable(v) || !d.admits(v, r) {
			continue
		}
		_, last := d.gaps(v, &d.tours[r])
		d.begin()
		d.insert(v, r, last)
		if !d.tours[r].feasible {
			d.rollback()
		}
	}
}

// insertPinned puts visits pinned to positions on their routes, in order of
// position.
func (d *draft) insertPinned() {
	for position := 1; ; position++ {
		more := false
		for i := range d.p.spec.Visits {
			v := VisitIndex(i)
			at := d.p.position(v)
			more = more || at > position
			if at == position && d.routeOf[v] == NoRoute {
				if in := d.bestInsertion(v, d.p.spec.Visits[v].Pin.Route, math.MaxInt64, nil); in.route != NoRoute {
					d.insert(v, in.route, in.gap)
				}
			}
		}
		if !more {
			return
		}
	}
}

// greedy is how constructive insertion ranks visits.
type greedy int

const (
	byGain        greedy = iota // largest gain first
	byGainPerTime               // largest gain for each second of working time first
)

// candidate is a visit with its best insertion when last looked at.
type candidate struct {
	visit VisitIndex
	in    insertion
	grown int     // insertions made into the route, at that look
	look  int     // number of that look; only a visit's last one counts
	rank  float64 // smaller first
}

type candidates []candidate

func (c candidates) Len() int      { return len(c) }
func (c candidates) Swap(i, j int) { c[i], c[j] = c[j], c[i] }
func (c candidates) Less(i, j int) bool {
	if c[i].rank != c[j].rank {
		return c[i].rank < c[j].rank
	}
	return c[i].visit < c[j].visit
}
func (c *candidates) Push(x any) { *c = append(*c, x.(candidate)) }
func (c *candidates) Pop() any {
	last := (*c)[len(*c)-1]
	*c = (*c)[:len(*c)-1]
	return last
}

// rankOf orders candidates: required visits before all others (fewest possible
// routes first), then by gain.
func (d *draft) rankOf(v VisitIndex, in insertion, order greedy) float64 {
	const requiredFirst = 1e21
	switch {
	case d.p.required[v]:
		return float64(in.delta) + float64(d.p.leftOut[v]) + requiredFirst*(float64(len(d.p.fitting[v]))/float64(d.p.RouteCount()+1)-2)
	case order == byGainPerTime:
		const stopCharge = 300 // seconds, so that a visit next door is not infinitely good
		return float64(in.delta) / float64(max(in.extra, 0)+stopCharge)
	}
	return float64(in.delta)
}

// filler is one run of greedy insertion.
type filler struct {
	*draft
	order greedy
	near  neighbours
	queue candidates
	grown []int       // by route: insertions made into it
	last  []candidate // by visit: the last look
}

// fill inserts visits, best first, until nothing gains. A visit's best insertion
// is looked at anew when its turn comes and its route has grown meanwhile: until
// then the old, mostly better figure stands (lazy greedy). After each insertion
// the visits near the new stop are offered its route.
func (d *draft) fill(order greedy, near neighbours, c *clock) {
	f := filler{
		draft: d, order: order, near: near,
		grown: make([]int, d.p.RouteCount()), last: make([]candidate, d.p.VisitCount()),
	}
	for i := range d.p.spec.Visits {
		if v := VisitIndex(i); d.routeOf[v] == NoRoute && !c.due() {
			f.enter(v, d.bestEverywhere(v))
		}
	}
	for len(f.queue) > 0 && !c.due() {
		best := heap.Pop(&f.queue).(candidate)
		v, r := best.visit, best.in.route
		switch {
		case best.look != f.last[v].look: // looked at again since
		case best.grown != f.grown[r] || !d.groupAllows(v, r):
			f.enter(v, d.bestEverywhere(v))
		default:
			d.insert(v, r, best.in.gap)
			f.grown[r]++
			f.offer(r, v)
		}
	}
}

// enter puts a visit into the queue, in place of its earlier look.
func (f *filler) enter(v VisitIndex, in insertion) {
	next := candidate{visit: v, in: in, look: f.last[v].look + 1}
	if f.worthwhile(v, in) {
		next.grown = f.grown[in.route]
		next.rank = f.rankOf(v, in, f.order)
		heap.Push(&f.queue, next)
	}
	f.last[v] = next
}

// offer lets visits near a new stop change their mind for its route: the new
// neighbour may have made it the best place.
func (f *filler) offer(r RouteIndex, stop VisitIndex) {
	for _, v := range f.near[stop] {
		last := f.last[v]
		if f.routeOf[v] != NoRoute || last.look == 0 {
			continue
		}
		limit := last.in.delta // noInsertion's is the largest there is
		if last.in.route == r {
			continue // looked at when its turn comes
		}
		if in := f.bestInsertion(v, r, limit, nil); in.route != NoRoute {
			f.enter(v, in)
		}
	}
}

// bestEverywhere is the cheapest insertion over all routes; of equal empty
// routes only the first is tried.
func (d *draft) bestEverywhere(v VisitIndex) insertion {
	best := noInsertion
	for _, r := range d.p.fitting[v] {
		if !d.openRoute(r) {
			continue
		}
		if in := d.bestInsertion(v, r, best.delta, nil); in.route != NoRoute {
			best = in
		}
	}
	return best
}

// openRoute reports whether a route is worth trying: used, or the first unused
// one of its kind.
func (d *draft) openRoute(r RouteIndex) bool {
	if len(d.tours[r].visits) > 0 {
		return true
	}
	for _, same := range d.p.alike[r] {
		if len(d.tours[same].visits) == 0 {
			return same == r
		}
	}
	return true
}
