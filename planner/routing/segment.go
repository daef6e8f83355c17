package routing

// A segment is a stretch of a route driven without a break in the order, seen as
// one: how long it takes, how much lateness it must swallow, and when it may
// begin.
//
// Time warp is the seconds a late crew would have to turn its clock back to keep
// a window: lateness that a search may pay for while it is on its way to a plan
// without any (Nagata, Bräysy, Dullaert 2010, doi 10.1016/j.cor.2009.06.022).
// Joining takes constant time, and brackets do not matter (Vidal, Crainic,
// Gendreau, Prins 2013, doi 10.1016/j.cor.2012.07.018, equations 3 to 6).
//
//	one visit: service 20, window 100-150    {dur 20, warp 0, early 100, late 150}
//	then, 30 away, service 10, window 160-170: begin at 110-120, 60 in all
//	                                         {dur 60, warp 0, early 110, late 120}
type segment struct {
	dur   int32 // shortest time from beginning to end, waiting included
	warp  int32 // time warp
	early int32 // earliest beginning that does not lengthen dur
	late  int32 // latest beginning that does not add to warp
}

// join is a, then t seconds of driving, then b.
func join(a segment, t int32, b segment) segment {
	ahead := a.dur - a.warp + t
	wait := max(b.early-ahead-a.late, 0)
	late := max(a.early+ahead-b.late, 0)
	return segment{
		dur:   a.dur + b.dur + t + wait,
		warp:  a.warp + b.warp + late,
		early: max(b.early-ahead, a.early) - wait,
		late:  min(b.late-ahead, a.late) + late,
	}
}

// joinTotals is the dur and warp of join, for the last join of a route.
func joinTotals(a segment, t int32, b segment) (dur, warp int32) {
	ahead := a.dur - a.warp + t
	return a.dur + b.dur + t + max(b.early-ahead-a.late, 0), a.warp + b.warp + max(a.early+ahead-b.late, 0)
}
