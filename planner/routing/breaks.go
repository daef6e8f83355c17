package routing

import "fmt"

// Breaks. A crew with a break rests for its length without driving or serving,
// beginning in one of the break's windows; breaks are taken in the order listed.
// It rests where it is: on arriving at a stop before service begins, or after
// service before driving on. It may as well rest at home, before it leaves or
// after it is back, in its own time: a short route is not held up for its lunch.
//
// Duration and windows with breaks to place: Goel 2009, Transportation Science
// 43:17; Vidal, Crainic, Gendreau, Prins 2014, European Journal of Operational
// Research 234:658, names the feature "breaks" among the clock attributes.

// farTime stands for always and never where breaks meet no route.
const farTime Seconds = 1 << 50

func judgeBreaks(breaks []Break) error {
	for i, b := range breaks {
		switch {
		case len(b.Windows) == 0:
			return fmt.Errorf("breaks[%d] has no window to begin in", i)
		case b.Length <= 0 || b.Length > maxTime:
			return fmt.Errorf("breaks[%d] takes %d s, outside 1 to 2^40", i, b.Length)
		}
		if err := judgeWindows(b.Windows); err != nil {
			return fmt.Errorf("breaks[%d]: %w", i, err)
		}
	}
	return nil
}

// restedBy[j] is the earliest departure before which the first j breaks can be
// taken at home.
func restedBy(breaks []Break) []Seconds {
	by := []Seconds{-farTime}
	for _, b := range breaks {
		start, ok := nextStart(b.Windows, by[len(by)-1])
		if !ok {
			start = farTime
		}
		by = append(by, min(start+b.Length, farTime))
	}
	return by
}

// backBy[j] is the latest return after which all breaks from the jth on can be
// taken at home.
func backBy(breaks []Break) []Seconds {
	by := make([]Seconds, len(breaks)+1)
	by[len(breaks)] = farTime
	for j := len(breaks) - 1; j >= 0; j-- {
		start, ok := lastStart(breaks[j].Windows, by[j+1]-breaks[j].Length)
		if j == len(breaks)-1 {
			start, ok = breaks[j].Windows[len(breaks[j].Windows)-1].Close, true
		}
		if !ok {
			start = -farTime
		}
		by[j] = start
	}
	return by
}

// rester follows the clock function of a route with breaks, stop by stop. For
// each number of breaks taken it keeps the ways to be ready to go on, as spans
// (see span.go) in no order: of two ways, one that sets out no earlier and is
// there no later makes the other superfluous.
type rester struct {
	p     *Problem
	route *Route
	extra Seconds  // lengthens the route's hours
	ways  [][]span // by breaks taken
	spare [][]span
	one   []span
	done  []span
}

// leave begins at the start of a route.
func (q *rester) leave(p *Problem, r RouteIndex, extra Seconds) {
	q.p, q.route, q.extra = p, &p.spec.Routes[r], extra
	states := len(q.route.Breaks) + 1
	for len(q.ways) < states {
		q.ways, q.spare = append(q.ways, nil), append(q.spare, nil)
	}
	q.ways, q.spare = q.ways[:states], q.spare[:states]
	last := q.route.Latest + extra
	for j, by := range p.rested[r] {
		q.ways[j] = q.ways[j][:0]
		if from := max(q.route.Earliest, by); from <= last {
			q.ways[j] = append(q.ways[j], span{from, from, last - from})
		}
	}
}

// drive is a drive, with as many rests before it as is good, and after it at the
// door.
func (q *rester) drive(r RouteIndex, seconds Seconds) {
	q.rest(r)
	for _, ways := range q.ways {
		for i := range ways {
			ways[i].to += seconds
		}
	}
	q.rest(r)
}

// rest adds the ways with a rest here.
func (q *rester) rest(r RouteIndex) {
	for j := range q.route.Breaks {
		length := q.route.Breaks[j].Length
		for _, way := range q.ways[j] {
			q.one = joinSpans(q.one[:0], []span{way}, 0, q.p.breakDoors[r][j])
			for _, s := range q.one {
				s.to += length
				q.ways[j+1] = addWay(q.ways[j+1], s)
			}
		}
	}
}

// serve waits at a door and serves.
func (q *rester) serve(door []span, service Seconds) {
	for j, ways := range q.ways {
		q.spare[j] = q.spare[j][:0]
		for _, way := range ways {
			q.one = joinSpans(q.one[:0], []span{way}, 0, door)
			for _, s := range q.one {
				s.to += service
				q.spare[j] = addWay(q.spare[j], s)
			}
		}
	}
	q.ways, q.spare = q.spare, q.ways
}

// back drives home and gives the ways to be back in time; they are overwritten by
// the next route.
func (q *rester) back(r RouteIndex, seconds Seconds) []span {
	q.rest(r)
	q.done = q.done[:0]
	for j, ways := range q.ways {
		last := min(q.route.Latest+q.extra, q.p.backBy[r][j])
		for _, s := range ways {
			s.to += seconds
			if s.to <= last {
				s.slack = min(s.slack, last-s.to)
				q.done = append(q.done, s)
			}
		}
	}
	return q.done
}

// addWay adds a way unless another is as good, and drops those it makes
// superfluous.
func addWay(ways []span, s span) []span {
	kept := 0
	for _, t := range ways {
		if noWorse(t, s) {
			return ways
		}
		if !noWorse(s, t) {
			ways[kept] = t
			kept++
		}
	}
	return append(ways[:kept], s)
}

// noWorse reports whether for every setting out of s there is one of t that sets
// out no earlier and is there no later.
func noWorse(t, s span) bool {
	return s.from+s.slack <= t.from+t.slack && t.to-t.from <= s.to-s.from && (s.from >= t.from || t.to <= s.to)
}

// restsOn reports whether a route has breaks.
func (p *Problem) restsOn(r RouteIndex) bool { return len(p.spec.Routes[r].Breaks) > 0 }

// restedWays are the ways to drive a route with breaks whose visits are told one
// by one.
func (p *Problem) restedWays(q *rester, r RouteIndex, extra Seconds, count int, visit func(k int) VisitIndex) []span {
	q.leave(p, r, extra)
	var open [1]span
	at := p.spec.Routes[r].Start
	for k := range count {
		v := visit(k)
		place := p.spec.Visits[v].Place
		_, seconds := p.drives.between(at, place)
		q.drive(r, seconds)
		q.serve(p.door(v, r, &open), p.ServiceOn(v, r))
		at = place
	}
	_, seconds := p.drives.between(at, p.spec.Routes[r].End)
	return q.back(r, seconds)
}

// tableBreaks makes the tables of breaks.
func (p *Problem) tableBreaks() {
	for r := range p.spec.Routes {
		breaks := p.spec.Routes[r].Breaks
		p.resting = p.resting || len(breaks) > 0
		p.rested = append(p.rested, restedBy(breaks))
		p.backBy = append(p.backBy, backBy(breaks))
		doors := make([][]span, len(breaks))
		for j, b := range breaks {
			for _, w := range b.Windows {
				doors[j] = append(doors[j], span{w.Open, w.Open, w.Close - w.Open})
			}
		}
		p.breakDoors = append(p.breakDoors, doors)
	}
}
