package routing

// A span is a stretch of a clock function: setting out at from+x brings you to
// to+x, for 0 <= x <= slack. A list of spans, ascending in both, is a whole
// function from setting out to getting there, with waiting at the doors taken
// in: setting out between two spans waits and gets there at the to of the second;
// setting out after the last is too late.
//
//	windows 10-20 and 40-50 at the door, as spans:  (10,10,10) (40,40,10)
//	set out at 15 → start 15; at 25 → start 40; at 51 → never
//
// Joining two lists gives the function of driving one after the other, so the
// part of a route before a place and the part after it can be kept ready, and a
// new visit between them costs two joins. With one window everywhere each list
// has one span, and from, to, slack are the earliest-latest-duration triple of
// Vidal, Crainic, Gendreau, Prins 2013 (doi 10.1016/j.cor.2012.07.018) without
// its time warp; for several windows see Hoogeboom, Dullaert, Lai, Vigo 2020,
// Transportation Science 54:400.
type span struct{ from, to, slack Seconds }

// joinSpans appends to dst the function a, then offset more seconds, then b. dst
// must not share memory with a or b. Its cost is the sum of both lengths.
func joinSpans(dst, a []span, offset Seconds, b []span) []span {
	j := 0
	base := len(dst)
	for i := range a {
		low := a[i].to + offset
		high := low + a[i].slack
		for j < len(b) && b[j].from+b[j].slack < low {
			j++
		}
		covered := false // the last instant of a[i] falls into b[k]
		for k := j; k < len(b); k++ {
			if b[k].from > high {
				if !covered { // wait until b[k] opens
					dst = appendSpan(dst, base, span{a[i].from + a[i].slack, b[k].to, 0})
				}
				break
			}
			from := max(low, b[k].from)
			to := min(high, b[k].from+b[k].slack)
			dst = appendSpan(dst, base, span{a[i].from + from - low, b[k].to + from - b[k].from, to - from})
			covered = to == high
		}
	}
	return dst
}

// appendSpan appends s, dropping a last span that sets out earlier only to wait
// for the same instant.
func appendSpan(dst []span, base int, s span) []span {
	if n := len(dst); n > base && dst[n-1].slack == 0 && dst[n-1].to >= s.to {
		dst[n-1] = s
		return dst
	}
	return append(dst, s)
}

// shortest is the least time from setting out to getting there; false when the
// function is empty.
func shortest(spans []span) (Seconds, bool) {
	if len(spans) == 0 {
		return 0, false
	}
	best := spans[0].to - spans[0].from
	for _, s := range spans[1:] {
		best = min(best, s.to-s.from)
	}
	return best, true
}
