package routing

// draft is a plan in the form to search in: tours, who serves what, and the sums
// that decide. It keeps every hard rule at all times, except that required visits
// may be missing. Changes since begin can be taken back.
type draft struct {
	p       *Problem
	tours   []tour
	routeOf []RouteIndex // by visit
	cost    Cost         // of the whole plan, left-out visits included
	missing int          // required visits left out

	groupRoute []RouteIndex // day × group
	groupCount []int32      // visits of the group served that day

	// The undo log: the orders of tours as they were at begin.
	touched    []RouteIndex
	isTouched  []bool
	oldVisits  []VisitIndex
	oldCut     []int // per touched tour: where its old order begins in oldVisits
	oldCost    Cost
	oldMissing int
	extra      Seconds // lengthens every route's hours, see refresh
	scratchA   []span
	scratchB   []span
}

func newDraft(p *Problem, extra Seconds) *draft {
	d := &draft{
		p: p, extra: extra,
		tours:      make([]tour, p.RouteCount()),
		routeOf:    make([]RouteIndex, p.VisitCount()),
		groupRoute: make([]RouteIndex, p.days*p.groups),
		groupCount: make([]int32, p.days*p.groups),
		isTouched:  make([]bool, p.RouteCount()),
	}
	for v := range d.routeOf {
		d.routeOf[v] = NoRoute
		d.cost += p.leftOut[v]
		if p.required[v] {
			d.missing++
		}
	}
	for r := range d.tours {
		d.tours[r].route = RouteIndex(r)
		p.refresh(&d.tours[r], extra)
	}
	return d
}

// score orders plans: fewer required visits missing first, then cost.
type score struct {
	missing int
	cost    Cost
}

func (s score) less(t score) bool {
	if s.missing != t.missing {
		return s.missing < t.missing
	}
	return s.cost < t.cost
}

func (d *draft) score() score { return score{d.missing, d.cost} }

// begin forgets how to undo what was done so far.
func (d *draft) begin() {
	for _, r := range d.touched {
		d.isTouched[r] = false
	}
	d.touched, d.oldVisits, d.oldCut = d.touched[:0], d.oldVisits[:0], d.oldCut[:0]
	d.oldCost, d.oldMissing = d.cost, d.missing
}

// touch notes a tour's order before its first change.
func (d *draft) touch(r RouteIndex) {
	if d.isTouched[r] {
		return
	}
	d.isTouched[r] = true
	d.touched = append(d.touched, r)
	d.oldCut = append(d.oldCut, len(d.oldVisits))
	d.oldVisits = append(d.oldVisits, d.tours[r].visits...)
}

// rollback takes back everything since begin.
func (d *draft) rollback() {
	for _, r := range d.touched {
		for _, v := range d.tours[r].visits {
			d.note(v, NoRoute)
		}
	}
	for i, r := range d.touched {
		end := len(d.oldVisits)
		if i+1 < len(d.oldCut) {
			end = d.oldCut[i+1]
		}
		t := &d.tours[r]
		t.visits = append(t.visits[:0], d.oldVisits[d.oldCut[i]:end]...)
		for _, v := range t.visits {
			d.note(v, r)
		}
		d.p.refresh(t, d.extra)
	}
	d.cost, d.missing = d.oldCost, d.oldMissing
	d.begin()
}

// note records who serves a visit, and the group's count. Costs are elsewhere.
func (d *draft) note(v VisitIndex, r RouteIndex) {
	if old := d.routeOf[v]; old != NoRoute {
		if g := d.groupCell(v, old); g >= 0 {
			d.groupCount[g]--
		}
	}
	d.routeOf[v] = r
	if r == NoRoute {
		return
	}
	if g := d.groupCell(v, r); g >= 0 {
		d.groupRoute[g] = r
		d.groupCount[g]++
	}
}

func (d *draft) groupCell(v VisitIndex, r RouteIndex) int {
	if d.p.groupOf[v] < 0 {
		return -1
	}
	return d.p.dayOf[r]*d.p.groups + d.p.groupOf[v]
}

// groupAllows reports whether no other route of the day has a visit of the same
// group.
func (d *draft) groupAllows(v VisitIndex, r RouteIndex) bool {
	g := d.groupCell(v, r)
	return g < 0 || d.groupCount[g] == 0 || d.groupRoute[g] == r
}

// resourcesAllow reports whether load and stock bear the visit as well. without
// is a visit of the tour that would leave, or NoVisit.
func (d *draft) resourcesAllow(v VisitIndex, t *tour, without VisitIndex) bool {
	for _, n := range d.p.needs[v] {
		free := d.p.capacity[int(t.route)*d.p.resources+n.index] - t.used[n.index]
		if without != NoVisit {
			for _, m := range d.p.needs[without] {
				if m.index == n.index {
					free += m.quantity
				}
			}
		}
		if n.quantity > free {
			return false
		}
	}
	return true
}

// placement is the difference between serving a visit on a route and leaving it
// out, apart from driving and hours.
func (d *draft) placement(v VisitIndex, r RouteIndex) Cost {
	return d.p.assign[int(v)*d.p.RouteCount()+int(r)] - d.p.leftOut[v]
}

// movable reports whether the search may take a served visit out.
func (d *draft) movable(v VisitIndex) bool { return d.p.position(v) == 0 }

// insert puts a visit into gap k of a route, whose feasibility was tested.
func (d *draft) insert(v VisitIndex, r RouteIndex, k int) {
	d.touch(r)
	t := &d.tours[r]
	t.visits = append(t.visits, 0)
	copy(t.visits[k+1:], t.visits[k:])
	t.visits[k] = v
	d.note(v, r)
	d.cost += d.placement(v, r)
	if d.p.required[v] {
		d.missing--
	}
	d.refresh(t)
}

// remove takes stop k out of a route. (The rest stays feasible where travel
// times obey the triangle inequality; callers look at feasible otherwise.)
func (d *draft) remove(r RouteIndex, k int) {
	d.drop(r, k)
	d.refresh(&d.tours[r])
}

// drop is remove without the refresh, for taking out several.
func (d *draft) drop(r RouteIndex, k int) {
	d.touch(r)
	t := &d.tours[r]
	v := t.visits[k]
	t.visits = append(t.visits[:k], t.visits[k+1:]...)
	d.note(v, NoRoute)
	d.cost -= d.placement(v, r)
	if d.p.required[v] {
		d.missing++
	}
}

func (d *draft) refresh(t *tour) {
	d.cost -= t.cost
	d.p.refresh(t, d.extra)
	d.cost += t.cost
}

// find is the stop number of a served visit on its route.
func (d *draft) find(v VisitIndex) int {
	for k, u := range d.tours[d.routeOf[v]].visits {
		if u == v {
			return k
		}
	}
	panic("routing: visit is not on its route")
}

func (d *draft) orders() [][]VisitIndex {
	orders := make([][]VisitIndex, len(d.tours))
	for r := range d.tours {
		orders[r] = append([]VisitIndex{}, d.tours[r].visits...)
	}
	return orders
}
