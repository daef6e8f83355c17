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

// meanDrive is the mean cost of a drive from a visit to one of its first neighbours.
func (l neighbours) meanDrive(c *core) float64 {
	sum, count := 0.0, 0.0
	for u := range l {
		for _, v := range l[u][:min(searchReach, len(l[u]))] {
			sum, count = sum+c.meanCost(c.leg(int32(u), int32(v))), count+1
		}
	}
	return max(1, sum/max(1, count))
}

func findNeighbours(p *Problem, workers int, c *clock) neighbours {
	if t, ok := p.drives.asked.(*onTheFly); ok {
		return t.findNeighbours(p, workers, c)
	}
	if p.drives.asked != nil {
		return neighboursAsked(p, workers, c)
	}
	d := &p.drives
	at := make([][]VisitIndex, d.columns)
	for i := range p.spec.Visits {
		column := d.columnOf(p.spec.Visits[i].Place)
		at[column] = append(at[column], VisitIndex(i))
	}
	lists := make(neighbours, p.VisitCount())
	// A visit without neighbours, for want of time, is still inserted, only not moved.
	eachOf(len(lists), workers, c, func() func(int) {
		best := make(nearest, 0, neighbourCount)
		return func(i int) {
			best = best[:0]
			k := d.columnOf(p.spec.Visits[i].Place)*int32(d.columns)*d.size + d.toSeconds
			for column := range at {
				there := Seconds(d.from[k]) + Seconds(d.into[k])
				k += d.size
				if len(best) == neighbourCount && there > best[neighbourCount-1].drive {
					continue
				}
				for _, v := range at[column] {
					if v != VisitIndex(i) {
						best = best.offer(v, there)
					}
				}
			}
			lists[i] = best.visits()
		}
	})
	return lists
}

// neighboursAsked asks for every pair.
func neighboursAsked(p *Problem, workers int, c *clock) neighbours {
	lists := make(neighbours, p.VisitCount())
	eachOf(len(lists), workers, c, func() func(int) {
		best := make(nearest, 0, neighbourCount)
		return func(i int) {
			best = best[:0]
			here := p.spec.Visits[i].Place
			for j := range lists {
				if i == j {
					continue
				}
				there := p.spec.Visits[j].Place
				_, out := p.drives.ask(here, there)
				_, back := p.drives.ask(there, here)
				best = best.offer(VisitIndex(j), out+back)
			}
			lists[i] = best.visits()
		}
	})
	return lists
}

// findNeighbours, where travel is along great circles, asks a spatial index
// instead of every pair.
func (t *onTheFly) findNeighbours(p *Problem, workers int, c *clock) neighbours {
	index := geo.NewIndex(t.places)
	at := make([][]VisitIndex, p.spec.Places)
	for i, v := range p.spec.Visits {
		at[v.Place] = append(at[v.Place], VisitIndex(i))
	}
	lists := make(neighbours, p.VisitCount())
	eachOf(len(lists), workers, c, func() func(int) {
		return func(i int) {
			here := p.spec.Visits[i].Place
			for _, near := range index.Nearest(t.places[here], neighbourCount+1) {
				for _, u := range at[near.Point] {
					if u != VisitIndex(i) && len(lists[i]) < neighbourCount {
						lists[i] = append(lists[i], u)
					}
				}
			}
		}
	})
	return lists
}

// nearest holds the nearest visits so far, nearest first, equal ones by number.
type nearest []struct {
	visit VisitIndex
	drive Seconds
}

func (n nearest) offer(v VisitIndex, drive Seconds) nearest {
	farther := func(k int) bool { return n[k].drive > drive || n[k].drive == drive && n[k].visit > v }
	if len(n) == neighbourCount && !farther(neighbourCount-1) {
		return n
	}
	if len(n) < neighbourCount {
		n = n[:len(n)+1]
	}
	k := len(n) - 1
	for ; k > 0 && farther(k-1); k-- {
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
