package hours

import "time"

// localDay turns the clock times of one calendar day in one zone into instants.
type localDay struct {
	loc          *time.Location
	midnightUTCs int64 // the day's midnight as if the zone were UTC, seconds since 1970
	beforeS      int64 // offset from UTC a day before the day begins, seconds
	afterS       int64 // offset from UTC a day after it ends, seconds
}

// newLocalDay takes the day as midnight UTC of its date.
func newLocalDay(loc *time.Location, date time.Time) localDay {
	const dayS = 24 * 60 * 60
	midnight := date.Unix()
	return localDay{
		loc:          loc,
		midnightUTCs: midnight,
		beforeS:      offsetAt(loc, midnight-dayS),
		afterS:       offsetAt(loc, midnight+2*dayS),
	}
}

// instant returns the instant at which the clock shows the minute of the day, by the rule of RFC 5545 section 3.3.5: the
// first of two, and with the offset before the change if the time is skipped, in which case shown is false. It takes it
// that a zone changes its offset at most once in three days.
func (d localDay) instant(minute int) (t time.Time, shown bool) {
	wall := d.midnightUTCs + int64(minute)*60
	early, late := wall-d.beforeS, wall-d.afterS
	switch {
	case d.beforeS == d.afterS || offsetAt(d.loc, early) == d.beforeS:
		return time.Unix(early, 0).In(d.loc), true
	case offsetAt(d.loc, late) == d.afterS:
		return time.Unix(late, 0).In(d.loc), true
	}
	return time.Unix(early, 0).In(d.loc), false
}

// span returns the stretch of the day as instants; ok is false if it does not happen because the clock skips it.
func (d localDay) span(s stretch) (span Span, ok bool) {
	open, openShown := d.instant(s.from)
	closing, closeShown := d.instant(s.to)
	return Span{open, closing}, open.Before(closing) && (openShown || closeShown)
}

func offsetAt(loc *time.Location, unixS int64) int64 {
	_, offset := time.Unix(unixS, 0).In(loc).Zone()
	return int64(offset)
}
