package routing

// neighbourCount is how many near visits the search looks at for each visit.
const neighbourCount = 60

// neighbours lists, for each visit, the nearest others by driving there and
// back, nearest first; equal ones by number.
//
// The granular idea: good routes use short drives (Toth & Vigo 2003, INFORMS
// Journal on Computing 15:333).
type neighbours [][]VisitIndex

func findNeighbours(p *Problem, c *clock) neighbours {
	type near struct {
		visit VisitIndex
		drive Seconds
	}
	lists := make(neighbours, p.VisitCount())
	var best []near
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
			drive := out + back
			if len(best) == neighbourCount && drive >= best[neighbourCount-1].drive {
				continue
			}
			if len(best) < neighbourCount {
				best = append(best, near{})
			}
			k := len(best) - 1
			for k > 0 && best[k-1].drive > drive {
				best[k] = best[k-1]
				k--
			}
			best[k] = near{VisitIndex(j), drive}
		}
		lists[i] = make([]VisitIndex, len(best))
		for k, n := range best {
			lists[i][k] = n.visit
		}
	}
	return lists
}
