package routing

import "slices"

// tryWithin tries the moves inside one route that make x drive straight to y:
// y, or y and the next, moved behind x; x, or x and the one before, moved before
// y; the one behind x and y swapped; and 2-opt, everything between x and y driven
// backwards. The stretch between the outermost changes is driven anew.
func (m *improver) tryWithin(x, y int32) bool {
	nodes := m.nodes
	nx, py := nodes[x].next, nodes[y].prev
	if m.held[y] || nx < m.visits && m.held[nx] {
		return false
	}
	ny, px := nodes[y].next, nodes[x].prev
	forward := nodes[y].place > nodes[x].place
	if forward {
		// x [nx … py] y ny: y moves up, x moves down, swap, turn round
		if m.rearrange(x, ny, []int32{y, y, nx, py}, false) {
			return true
		}
		if ny < m.visits && m.rearrange(x, nodes[ny].next, []int32{y, ny, nx, py}, false) {
			return true
		}
		if !m.held[x] {
			if m.rearrange(px, y, []int32{nx, py, x, x}, false) {
				return true
			}
			if px < m.visits && !m.held[px] && m.rearrange(nodes[px].prev, y, []int32{nx, py, px, x}, false) {
				return true
			}
		}
		if nx != py && m.rearrange(x, ny, []int32{y, y, nodes[nx].next, py, nx, nx}, false) {
			return true
		}
		return m.rearrange(x, ny, []int32{y, nx}, true)
	}
	// py y [ny … px] x nx: y moves down behind x, x moves up before y
	if m.rearrange(py, nx, []int32{ny, x, y, y}, false) {
		return true
	}
	if ny != x && m.rearrange(py, nx, []int32{nodes[ny].next, x, y, ny}, false) {
		return true
	}
	if m.held[x] || y == px {
		return false
	}
	return m.rearrange(py, nx, []int32{x, x, y, px}, false)
}

// rearrange drives the runs (pairs of first and last visit, in the order of now)
// one after the other between left and right, and makes it so if that gains;
// backwards, the one run is driven against the order of now.
func (m *improver) rearrange(left, right int32, runs []int32, backwards bool) bool {
	r := m.nodes[left].route
	line := &m.lines[r]
	// The drives between runs first: most tries end here.
	metres, seconds := int64(0), int64(0)
	if !backwards || m.symmetric {
		at := left
		for i := 0; i < len(runs); i += 2 {
			d := m.leg(at, runs[i])
			metres, seconds = metres+int64(d.metres), seconds+int64(d.seconds)
			d = m.out[m.nodes[earlier(runs[i], runs[i+1], backwards)].prev]
			metres, seconds = metres-int64(d.metres), seconds-int64(d.seconds)
			at = runs[i+1]
		}
		d := m.leg(at, right)
		metres, seconds = metres+int64(d.metres), seconds+int64(d.seconds)
		d = m.out[m.nodes[right].prev]
		metres, seconds = metres-int64(d.metres), seconds-int64(d.seconds)
		if m.metre[r]*metres+m.second[r]*seconds >= line.stake {
			return false
		}
	}
	m.order = m.order[:0]
	for i := 0; i < len(runs); i += 2 {
		for v := runs[i]; ; v = m.step(v, backwards) {
			m.order = append(m.order, v)
			if v == runs[i+1] {
				break
			}
		}
	}
	m.evaluations++
	joined := m.nodes[left].before
	metres = line.metres
	for v := left; v != right; v = m.nodes[v].next {
		metres -= int64(m.out[v].metres)
	}
	at := left
	for _, v := range m.order {
		d := m.leg(at, v)
		metres += int64(d.metres)
		joined = join(joined, d.seconds, m.nodes[v].own)
		at = v
	}
	d := m.leg(at, right)
	metres += int64(d.metres)
	dur, warp := joinTotals(joined, d.seconds, m.nodes[right].after)
	if m.restsOn(r) {
		t := &m.rests
		m.listNodes(r, left, nothing, right)
		t.nodes = slices.Insert(t.nodes, int(m.nodes[left].place)+1, m.order...)
		dur, warp = m.restedTotals(r, false)
	}
	delta := m.price(r, metres, dur, warp, line.excess) - line.cost - line.penalty
	if delta >= 0 {
		return false
	}
	m.change(r, r, delta, func() {
		at := left
		for _, v := range m.order {
			m.nodes[at].next, m.nodes[v].prev = v, at
			at = v
		}
		m.nodes[at].next, m.nodes[right].prev = right, at
	})
	m.push(left)
	m.push(right)
	for _, v := range runs {
		m.push(v)
	}
	return true
}

// earlier is which of a run's ends comes first on the route of now.
func earlier(first, last int32, backwards bool) int32 {
	if backwards {
		return last
	}
	return first
}

func (m *improver) step(v int32, backwards bool) int32 {
	if backwards {
		return m.nodes[v].prev
	}
	return m.nodes[v].next
}
