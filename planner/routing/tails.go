package routing

// tails is 2-opt*, the exchange of route ends (Potvin & Rousseau 1995, Journal of
// the Operational Research Society 46:1433), applied if it gains:
//
//	a: … x  nx …        a: … x  y …
//	b: … py y  …   →    b: … py nx …
func (m *improver) tails(x, y int32, d drive) bool {
	a, b := m.nodes[x].route, m.nodes[y].route
	nx, py := m.nodes[x].next, m.nodes[y].prev
	if !m.oneKind || m.placed || m.p.groups > 0 || m.p.resting {
		return m.unlikeTails(x, y)
	}
	cross := drive{}
	emptied := py >= m.visits && nx >= m.visits
	if !emptied {
		cross = m.legInto(py, nx)
	}
	lineA, lineB := &m.lines[a], &m.lines[b]
	metres := int64(d.metres) + int64(cross.metres) - int64(m.out[x].metres) - int64(m.out[py].metres)
	seconds := int64(d.seconds) + int64(cross.seconds) - int64(m.out[x].seconds) - int64(m.out[py].seconds)
	if m.sameRates && !emptied && m.metre[a]*metres+m.second[a]*seconds >= lineA.stake+lineB.stake {
		return false
	}
	if !m.sameRates {
		return m.unlikeTails(x, y)
	}
	m.evaluations += 2
	before := lineA.cost + lineA.penalty + lineB.cost + lineB.penalty
	dur, warp := joinTotals(m.nodes[x].before, d.seconds, m.nodes[y].after)
	excessA, excessB := m.tailExcess(x, py, a, b)
	// Only the sum of metres matters: all routes pay the same.
	after := m.price(a, lineA.metres+metres+lineB.metres, dur, warp, excessA)
	if after >= before {
		return false
	}
	if !emptied {
		dur, warp = joinTotals(m.nodes[py].before, cross.seconds, m.nodes[nx].after)
		after += m.price(b, 0, dur, warp, excessB)
	}
	if after >= before {
		return false
	}
	m.swapTails(x, y, after-before, false)
	return true
}

// tailExcess is the excess of both routes after the exchange.
func (m *improver) tailExcess(x, py, a, b int32) (excessA, excessB int64) {
	resources := m.p.resources
	for k := range resources {
		ofX, ofPy := m.load[int(x)*resources+k], m.load[int(py)*resources+k]
		totalA, totalB := m.total[int(a)*resources+k], m.total[int(b)*resources+k]
		excessA += max(0, ofX+totalB-ofPy-m.capacity[int(a)*resources+k])
		excessB += max(0, ofPy+totalA-ofX-m.capacity[int(b)*resources+k])
	}
	return excessA, excessB
}

func (m *improver) swapTails(x, y int32, delta int64, unlike bool) {
	a, b := m.nodes[x].route, m.nodes[y].route
	nx, py := m.nodes[x].next, m.nodes[y].prev
	m.change(a, b, delta, func() {
		lastA, lastB := m.nodes[m.end(a)].prev, m.nodes[m.end(b)].prev
		m.relinkTail(x, y, lastB, a)
		if nx < m.visits {
			m.relinkTail(py, nx, lastA, b)
		} else {
			m.nodes[py].next, m.nodes[m.end(b)].prev = m.end(b), py
		}
		if unlike {
			m.reopen(x)
			m.reopen(py)
		}
	})
	for _, u := range [...]int32{x, y, nx, py} {
		m.push(u)
	}
}

// relinkTail puts first … last after a node, as the end of route r.
func (m *improver) relinkTail(left, first, last, r int32) {
	end := m.end(r)
	for v := first; ; v = m.nodes[v].next {
		m.cost += m.placement(v, r) - m.placement(v, m.nodes[v].route)
		m.note(v, r)
		if v == last {
			break
		}
	}
	m.nodes[left].next, m.nodes[first].prev = first, left
	m.nodes[last].next, m.nodes[end].prev = end, last
}

// reopen puts the windows into use that driveTail chose behind a node.
func (m *improver) reopen(left int32) {
	r := m.nodes[left].route
	joined := m.nodes[left].before
	for v := m.nodes[left].next; v < m.visits; left, v = v, m.nodes[v].next {
		d := m.leg(left, v).seconds
		m.nodes[v].own = m.windowFrom(v, r, joined.early+joined.dur+d)
		joined = join(joined, d, m.nodes[v].own)
	}
}

// unlikeTails is tails for routes that differ in hours, end, skills or price: the
// ends are driven anew, visit by visit.
func (m *improver) unlikeTails(x, y int32) bool {
	a, b := m.nodes[x].route, m.nodes[y].route
	nx, py := m.nodes[x].next, m.nodes[y].prev
	lineA, lineB := &m.lines[a], &m.lines[b]
	if lineA.grouped+lineB.grouped > 0 {
		return false
	}
	before := lineA.cost + lineA.penalty + lineB.cost + lineB.penalty
	excessA, excessB := m.tailExcess(x, py, a, b)
	after, ok := m.driveTail(a, x, y, excessA)
	if !ok || after >= before && !m.placed {
		return false
	}
	if py < m.visits || nx < m.visits {
		other, ok := m.driveTail(b, py, nx, excessB)
		if !ok {
			return false
		}
		after += other
	}
	if after >= before {
		return false
	}
	m.swapTails(x, y, after-before, true)
	return true
}

// driveTail is the price of route r up to left and from there on through another
// route's visits from first; false when one does not fit.
func (m *improver) driveTail(r, left, first int32, excess int64) (int64, bool) {
	m.evaluations++
	joined := m.nodes[left].before
	metres, placement := int64(0), int64(0)
	for v := left; v != m.start(r); v = m.nodes[v].prev {
		metres += int64(m.out[m.nodes[v].prev].metres)
	}
	at := left
	for v := first; v < m.visits; v = m.nodes[v].next {
		if !m.fits(v, r) {
			return 0, false
		}
		if m.placed {
			placement += m.placement(v, r) - m.placement(v, m.nodes[v].route)
		}
		d := m.leg(at, v)
		metres += int64(d.metres)
		joined = join(joined, d.seconds, m.windowFrom(v, r, joined.early+joined.dur+d.seconds))
		at = v
	}
	d := m.leg(at, m.end(r))
	metres += int64(d.metres)
	if m.restsOn(r) {
		m.listNodes(r, left, nothing, first)
		m.rests.nodes[len(m.rests.nodes)-1] = m.end(r)
		return m.restedPrice(r, metres, excess) + placement, true
	}
	dur, warp := joinTotals(joined, d.seconds, m.nodes[m.end(r)].own)
	return m.price(r, metres, dur, warp, excess) + placement, true
}

// windowFrom is a visit's first window on a route that is not over at an
// instant.
func (m *improver) windowFrom(v, r, instant int32) segment {
	options := m.windowsOn(v, r)
	k := 0
	for k < len(options)-1 && options[k].late < instant {
		k++
	}
	return options[k]
}
