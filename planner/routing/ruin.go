package routing

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Ruin and recreate by strings of adjacent visits: J. Christiaens, G. Vanden
// Berghe, Slack induction by string removals for vehicle routing problems,
// Transportation Science 54:417 (2020). Values as published, except that left-out
// visits near the hole compete for it too.
const (
	meanRemoved   = 10   // visits taken out, on average
	longestString = 10   // of one route at most
	splitShare    = 0.5  // strings that keep a piece in their middle
	splitGrow     = 0.01 // chance that the kept piece grows by one more
	blinkRate     = 0.01 // gaps overlooked
	rivals        = 12   // left-out visits that compete, at most
)

// ruiner takes visits out of a plan and puts visits back.
type ruiner struct {
	*search
	random  *rand.Rand
	pool    []VisitIndex // visits to put back
	ruined  []bool       // by route, this round
	changed []RouteIndex
	key     []float64 // sort key by visit
	blink   func() bool
}

func newRuiner(s *search, seed uint64) *ruiner {
	u := &ruiner{
		search: s,
		random: rand.New(rand.NewPCG(seed, 0x76616c7665)),
		ruined: make([]bool, len(s.tours)),
		key:    make([]float64, s.p.VisitCount()),
	}
	u.blink = func() bool { return u.random.Float64() < blinkRate }
	return u
}

// ruinAndRecreate takes out strings round a random visit and inserts greedily. It leaves
// the change open for the caller to keep or roll back, and reports whether every
// changed route is feasible.
func (u *ruiner) ruinAndRecreate() bool {
	u.begin()
	u.pool = u.pool[:0]
	seed := VisitIndex(u.random.IntN(u.p.VisitCount()))
	u.ruinAround(seed)
	u.inviteRivals(seed)
	u.sortPool()
	for _, v := range u.pool {
		u.putBack(v)
	}
	for _, r := range u.touched {
		if !u.tours[r].feasible {
			return false
		}
	}
	return true
}

func (u *ruiner) ruinAround(seed VisitIndex) {
	served, used := 0, 0
	for r := range u.tours {
		if n := len(u.tours[r].visits); n > 0 {
			served, used = served+n, used+1
		}
	}
	if used == 0 {
		return
	}
	longest := min(longestString, float64(served)/float64(used))
	most := 4*meanRemoved/(1+longest) - 1
	strings := int(u.random.Float64()*most) + 1
	u.changed = u.changed[:0]
	u.ruinString(seed, longest)
	for _, v := range u.near[seed] {
		if len(u.changed) >= strings {
			break
		}
		u.ruinString(v, longest)
	}
	for _, r := range u.changed {
		u.ruined[r] = false
		u.refresh(&u.tours[r])
	}
}

// ruinString takes a random string that holds v out of its route, once a round
// and route. Every other time it jumps over a piece in the middle.
func (u *ruiner) ruinString(v VisitIndex, longest float64) {
	r := u.routeOf[v]
	if r == NoRoute || u.ruined[r] || !u.movable(v) {
		return
	}
	t := &u.tours[r]
	free := len(t.visits) - t.held
	length := int(u.random.Float64()*min(longest, float64(free))) + 1
	length = min(length, free)
	kept := 0
	if length > 1 && length < free && u.random.Float64() < splitShare {
		for kept = 1; length+kept < free && u.random.Float64() < splitGrow; kept++ {
		}
	}
	at := u.find(v)
	total := length + kept
	low := max(t.held, at-total+1)
	high := min(at, len(t.visits)-total)
	first := low + u.random.IntN(high-low+1)
	keepFrom := first + length // after the string: nothing kept
	if kept > 0 {
		keepFrom = first + 1 + u.random.IntN(length-1)
	}
	u.ruined[r] = true
	u.changed = append(u.changed, r)
	for k := first + total - 1; k >= first; k-- {
		if k >= keepFrom && k < keepFrom+kept {
			continue
		}
		u.pool = append(u.pool, t.visits[k])
		u.drop(r, k)
	}
}

// inviteRivals adds left-out visits near the hole to the pool.
func (u *ruiner) inviteRivals(seed VisitIndex) {
	if u.routeOf[seed] == NoRoute && !slices.Contains(u.pool, seed) {
		u.pool = append(u.pool, seed)
	}
	removed := len(u.pool)
	invited := 0
	for _, v := range u.near[seed] {
		if invited == rivals {
			return
		}
		if u.routeOf[v] == NoRoute && u.random.IntN(2) == 0 && !slices.Contains(u.pool[:removed], v) {
			u.pool = append(u.pool, v)
			invited++
		}
	}
}

// sortPool orders the visits to put back by a criterion drawn at random;
// required ones before optional ones.
func (u *ruiner) sortPool() {
	criterion := u.random.IntN(12)
	for _, v := range u.pool {
		visit := &u.p.spec.Visits[v]
		key := u.random.Float64()
		switch {
		case criterion < 4: // random
		case criterion < 7 && !u.p.required[v]: // value for the time
			key = -float64(u.p.leftOut[v]) / float64(visit.Service+300)
		case criterion < 8 && len(u.p.needs[v]) > 0: // load
			key = -float64(u.p.needs[v][0].quantity)
		case criterion < 10: // far first, near first
			_, drive := u.p.Between(u.p.spec.Routes[0].Start, visit.Place)
			key = float64(drive)
			if criterion == 8 {
				key = -key
			}
		case len(visit.Windows) > 0 && criterion == 10: // opening
			key = float64(visit.Windows[0].Open)
		case len(visit.Windows) > 0: // time open
			key = 0
			for _, w := range visit.Windows {
				key += float64(w.Close - w.Open)
			}
		}
		u.key[v] = key
	}
	slices.SortFunc(u.pool, func(a, b VisitIndex) int {
		switch {
		case u.p.required[a] != u.p.required[b]:
			if u.p.required[a] {
				return -1
			}
			return 1
		case u.key[a] < u.key[b]:
			return -1
		case u.key[a] > u.key[b]:
			return 1
		}
		return int(a - b)
	})
}

// putBack inserts a visit at its cheapest near gap, overlooking one in a hundred.
func (u *ruiner) putBack(v VisitIndex) {
	limit := Cost(0)
	if u.p.required[v] {
		limit = math.MaxInt64
	}
	in := u.bestNear(v, limit, u.blink)
	if in.route == NoRoute && u.p.required[v] {
		in = u.bestEverywhere(v)
	}
	if in.route != NoRoute {
		u.insert(v, in.route, in.gap)
	}
}
