package routing

import "slices"

// nearby lists, for each visit, the visits it is promising to drive to, and to
// come from, best first: near, with little waiting that no schedule can avoid.
// Pairs that no route could serve in that order are left out.
//
// Granular neighbourhoods: Toth & Vigo 2003, INFORMS Journal on Computing 15:333;
// the proximity in time and space is that of Vidal et al. 2013 (see segment.go).
type nearby struct {
	next [][]neighbour // visits to drive to
	last [][]neighbour // visits to come from
}

// neighbour is a visit and the drive to it, or from it.
type neighbour struct {
	visit int32
	drive drive
}

// waitShare is how much a second of unavoidable waiting counts against a second
// of driving.
const waitShare = 0.2

type ranked struct {
	visit int32
	rank  float64
}

func findNearby(c *core, near neighbours, count, workers int) nearby {
	l := nearby{make([][]neighbour, c.visits), make([][]neighbour, c.visits)}
	perSecond := c.meanSecond
	if perSecond == 0 {
		perSecond = c.meanMetre * c.metresPerSecond()
	}
	eachOf(int(c.visits), workers, nil, func() func(int) {
		next, last := make([]ranked, 0, c.visits), make([]ranked, 0, c.visits)
		return func(i int) {
			u := int32(i)
			next, last = next[:0], last[:0]
			offer := func(v int32) {
				if v == u {
					return
				}
				if wait, ok := c.gapBetween(u, v); ok {
					next = append(next, ranked{v, c.meanCost(c.leg(u, v)) + waitShare*perSecond*float64(wait)})
				}
				if wait, ok := c.gapBetween(v, u); ok {
					last = append(last, ranked{v, c.meanCost(c.legInto(v, u)) + waitShare*perSecond*float64(wait)})
				}
			}
			if int(c.visits) <= fewVisits {
				for v := range c.visits {
					offer(v)
				}
			} else {
				for _, v := range near[u] {
					offer(int32(v))
				}
			}
			l.next[u], l.last[u] = c.nearest(next, count, u, true), c.nearest(last, count, u, false)
		}
	})
	return l
}

// meanDrive is the mean cost of a drive from a visit to one of its first
// neighbours.
func (l nearby) meanDrive(c *core) float64 {
	sum, count := 0.0, 0.0
	for _, list := range l.next {
		for _, n := range list[:min(searchReach, len(list))] {
			sum, count = sum+c.meanCost(n.drive), count+1
		}
	}
	return max(1, sum/max(1, count))
}

// fewVisits is up to how many visits every pair is ranked; beyond, only those
// that are near on the map.
const fewVisits = 1500

// nearest are the first of a list, with the drives from or to u.
func (c *core) nearest(list []ranked, count int, u int32, away bool) []neighbour {
	slices.SortFunc(list, func(a, b ranked) int {
		switch {
		case a.rank < b.rank:
			return -1
		case a.rank > b.rank:
			return 1
		}
		return int(a.visit - b.visit)
	})
	visits := make([]neighbour, min(count, len(list)))
	for i := range visits {
		v := list[i].visit
		if away {
			visits[i] = neighbour{v, c.leg(u, v)}
		} else {
			visits[i] = neighbour{v, c.legInto(v, u)}
		}
	}
	return visits
}

func (c *core) meanCost(d drive) float64 {
	return c.meanMetre*float64(d.metres) + c.meanSecond*float64(d.seconds)
}

// metresPerSecond is the speed of the drives, from a sample of them.
func (c *core) metresPerSecond() float64 {
	metres, seconds := 0.0, 0.0
	for u := range min(c.visits, 50) {
		for v := range min(c.visits, 50) {
			d := c.leg(u, v)
			metres, seconds = metres+float64(d.metres), seconds+float64(d.seconds)
		}
	}
	if metres == 0 || seconds == 0 {
		return 1
	}
	return metres / seconds
}

// gapBetween is the least waiting at v when driven to straight from u, over all
// kinds of routes and windows; false when no route can serve u, then v.
func (c *core) gapBetween(u, v int32) (wait int32, ok bool) {
	drive := c.leg(u, v).seconds
	wait = most
	for k := range c.kinds {
		for _, a := range c.options[c.optionAt[u*c.kinds+k]:c.optionAt[u*c.kinds+k+1]] {
			for _, b := range c.options[c.optionAt[v*c.kinds+k]:c.optionAt[v*c.kinds+k+1]] {
				if a.early+a.dur+drive > b.late {
					continue
				}
				ok = true
				wait = min(wait, max(0, b.early-drive-a.dur-a.late))
			}
		}
		if wait == 0 {
			break
		}
	}
	return wait, ok
}
