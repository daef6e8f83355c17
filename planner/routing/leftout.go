package routing

// spot is a tested place for a visit: after a node.
type spot struct {
	left   int32   // -1 = none
	delta  int64   // change of the plan's cost and penalties
	window segment // the visit's
}

// trySpot prices a visit after a node, if that may cost less than the limit.
func (m *improver) trySpot(v, left int32, limit int64) int64 {
	return m.trySpotBetween(v, left, m.legInto(left, v), m.leg(v, m.nodes[left].next), limit)
}

// trySpotBetween is trySpot with both drives known.
func (m *improver) trySpotBetween(v, left int32, in, out drive, limit int64) int64 {
	r := m.nodes[left].route
	right := m.nodes[left].next
	metres := int64(in.metres) + int64(out.metres) - int64(m.out[left].metres)
	placement := m.placement(v, r) - m.leftOut[v]
	line := &m.lines[r]
	if m.metre[r]*metres+placement >= limit && metres >= 0 && !m.restsOn(r) {
		return limit // time and load only add to it
	}
	if !m.admits(v, r) {
		return limit
	}
	x := stretch{v, v, 1}
	price := m.insertPrice(r, left, v, right, in.seconds, out.seconds, line.metres+metres, m.excessWith(r, nothing, x))
	return price - line.cost - line.penalty + placement
}

// insertPrice is priceWith for a visit that is on no route.
func (m *improver) insertPrice(r, left, v, right, in, out int32, metres, excess int64) int64 {
	m.evaluations++
	if m.restsOn(r) {
		return m.priceRested(r, left, stretch{v, v, 1}, right, metres, excess)
	}
	first, last := m.nodes[left].before, m.nodes[right].after
	best := int64(1)<<62 - 1
	for _, own := range m.windowsOn(v, r) {
		dur, warp := joinTotals(join(first, in, own), out, last)
		if price := m.price(r, metres, dur, warp, excess); price < best {
			best, m.picked[0] = price, own
		}
	}
	return best
}

func (m *improver) linkPicked(v, left, r int32, window segment) {
	m.link(v, left, r)
	m.nodes[v].own = window
}

// mayFollow reports whether a visit that is not held may come after a node.
func (m *improver) mayFollow(left int32) bool {
	next := m.nodes[left].next
	return next >= 0 && (next >= m.visits || !m.held[next])
}

// insertBeside puts a left-out visit after a node if that gains.
func (m *improver) insertBeside(v, left int32) bool {
	if !m.mayFollow(left) || m.held[v] {
		return false
	}
	delta := m.trySpot(v, left, 0)
	if delta >= 0 {
		return m.replace(v, left)
	}
	r := m.nodes[left].route
	right := m.nodes[left].next
	m.change(r, r, delta, func() { m.linkPicked(v, left, r, m.picked[0]) })
	m.push(v)
	m.push(left)
	m.push(right)
	return true
}

// replace serves a left-out visit in the place of the one after a node, if that
// gains; a required one is left out only for another.
//
//	… left u right …   →   … left v right …
func (m *improver) replace(v, left int32) bool {
	u := m.nodes[left].next
	if u >= m.visits || m.held[u] || m.p.required[u] && !m.p.required[v] {
		return false
	}
	r := m.nodes[left].route
	right := m.nodes[u].next
	in, out := m.legInto(left, v), m.leg(v, right)
	line := &m.lines[r]
	metres := int64(in.metres) + int64(out.metres) - int64(m.out[left].metres) - int64(m.out[u].metres)
	placement := m.placement(v, r) - m.leftOut[v] - m.placement(u, r) + m.leftOut[u]
	if m.metre[r]*metres+placement >= line.stake+m.second[r]*(line.serviced) || !m.admits(v, r) {
		return false
	}
	excess := m.excessWith(r, stretch{u, u, 1}, stretch{v, v, 1})
	price := m.insertPrice(r, left, v, right, in.seconds, out.seconds, line.metres+metres, excess)
	delta := price - line.cost - line.penalty + placement
	if delta >= 0 {
		return false
	}
	m.change(r, r, delta, func() { m.unlink(u); m.linkPicked(v, left, r, m.picked[0]) })
	m.push(v)
	m.push(left)
	m.push(right)
	return true
}

// dropVisit leaves an optional visit out if that gains.
func (m *improver) dropVisit(u int32) bool {
	if m.p.required[u] {
		return false
	}
	n := &m.nodes[u]
	r, left, right := n.route, n.prev, n.next
	line := &m.lines[r]
	placement := m.leftOut[u] - m.placement(u, r)
	if line.size == 1 {
		delta := placement - line.cost - line.penalty
		if delta >= 0 {
			return false
		}
		m.change(r, r, delta, func() { m.unlink(u) })
		return true
	}
	if placement >= line.cost+line.penalty {
		return false
	}
	d := m.leg(left, right)
	metres := int64(d.metres) - int64(m.out[left].metres) - int64(m.out[u].metres)
	m.evaluations++
	price := m.priceWith(r, left, nothing, right, d.seconds, 0, line.metres+metres, m.excessWith(r, stretch{u, u, 1}, nothing))
	delta := price - line.cost - line.penalty + placement
	if delta >= 0 {
		return false
	}
	m.change(r, r, delta, func() { m.unlink(u) })
	m.push(left)
	m.push(right)
	return true
}
