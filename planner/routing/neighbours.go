package routing

import "valveround/geo"

// neighbourCount is how many near visits the search looks at for each visit.
const neighbourCount = 60

// neighbours lists, for each visit, the nearest others by driving there and
// back, nearest first; equal ones by number.
//
// The granular idea: good routes use short drives (Toth & Vigo 2003, INFORMS
// Journal on Computing 15:333).
type neighbours [][]VisitIndex

func findNeighbours(p *Problem, c *clock) neighbours {
	if t, ok := p.drives.asked.(onTheFly); ok {
		return t.findNeighbours(p, c)
	}
	lists := make(neighbours, p.VisitCount())
	best := make(nearest, 0, neighbourCount)
	for i := range lists {
		if c.due() {
			break // a visit without neighbours is still inserted, only not moved
		}
		best = best[:0]
		here := p.spec.Visits[i].Place
		for j := range lists {
			if i == j {
				continue
			}
			there := p.spec.Visits[j].Place
			_, out := p.drives.between(here, there)
			_, back := p.drives.arriving(there, here)
			best = best.offer(VisitIndex(j), out+back)
		}
		lists[i] = best.visits()
	}
	return lists
}

// findNeighbours, where travel is along great circles, asks a spatial index
// instead of every pair.
func (t onTheFly) findNeighbours(p *Problem, c *clock) neighbours {
	index := geo.NewIndex(t.places)
	at := make([][]VisitIndex, p.spec.Places)
	for i, v := range p.spec.Visits {
		at[v.Place] = append(at[v.Place], VisitIndex(i))
	}
	lists := make(neighbours, p.VisitCount())
	for i := range lists {
		if c.due() {
			break
		}
		here := p.spec.Visits[i].Place
		for _, near := range index.Nearest(t.places[here], neighbourCount+1) {
			for _, u := range at[near.Point] {
				if u != VisitIndex(i) && len(lists[i]) < neighbourCount {
					lists[i] = append(lists[i], u)
				}
			}
		}
	}
	return lists
}

// nearest holds the nearest visits so far, nearest first.
type nearest []struct {
	visit VisitIndex
	drive Seconds
}

func (n nearest) offer(v VisitIndex, drive Seconds) nearest {
	if len(n) == neighbourCount && drive >= n[neighbourCount-1].drive {
		return n
	}
	if len(n) < neighbourCount {
		n = n[:len(n)+1]
	}
	k := len(n) - 1
	for ; k > 0 && n[k-1].drive > drive; k-- {
		n[k] = n[k-1]
	}
	n[k].visit, n[k].drive = v, drive
	return n
}

func (n nearest) visits() []VisitIndex {
	list := make([]VisitIndex, len(n))
	for k := range n {
		list[k] = n[k].visit
	}
	return list
}
