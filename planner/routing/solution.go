package routing

import "fmt"

// Solution is a plan in plain form, to keep, compare and print.
type Solution struct {
	// Routes lists the visits of each route of the problem in order; an unused
	// route has none.
	Routes [][]VisitIndex
	// Evaluation is what [Evaluate] says of Routes.
	Evaluation Evaluation
	// Rounds is how many rounds of improvement were run, Stopped why they ended.
	Rounds  int
	Stopped StopReason
	// Evaluations is how many changes were priced in full on the way.
	Evaluations int64
}

// StopReason says why Solve came back.
type StopReason string

// Why Solve came back.
const (
	StoppedDone      StopReason = "done"       // the iterations asked for are used up
	StoppedTime      StopReason = "time limit" // the time limit is used up
	StoppedCancelled StopReason = "cancelled"  // the context was cancelled
)

// Evaluation is a plan worked out: every clock, every cost, every fault.
type Evaluation struct {
	Routes   []RouteSchedule // one for each route of the problem
	Unserved []VisitIndex    // ascending
	Cost     CostParts       // whole plan; Cost.Total() is what Solve makes small
	Faults   []PlanFault     // empty when every hard rule is kept
}

// Feasible reports whether every hard rule is kept.
func (e Evaluation) Feasible() bool { return len(e.Faults) == 0 }

// RouteSchedule is one route with its clocks. An unused route is all zero but
// for Route.
type RouteSchedule struct {
	Route    RouteIndex
	Used     bool
	Depart   Seconds // as late as is free
	Return   Seconds
	Duration Seconds // Return - Depart = Driving + Service + Waiting + Resting
	Overtime Seconds // part of Duration beyond the route's Duration
	Driving  Seconds
	Service  Seconds
	Waiting  Seconds
	Resting  Seconds // breaks taken on the way
	Metres   Metres
	Stops    []Stop
	Rests    []Rest // breaks taken on the way, in order; the others are taken at home
	// ReturnDrive and ReturnMetres are the last drive, to the route's end.
	ReturnDrive  Seconds
	ReturnMetres Metres
	Cost         CostParts // LeftOut is always 0 here
}

// Rest is a break taken on the way: after so many stops have been served, where
// the last of them was, or at the next one's when it begins there.
type Rest struct {
	Break int // number among the route's
	After int // stops served before
	Start Seconds
	End   Seconds
}

// Stop is one visit with its clocks: Arrive <= Start, between them waiting and
// rests.
type Stop struct {
	Visit  VisitIndex
	Arrive Seconds
	Start  Seconds
	Leave  Seconds
	Drive  Seconds // from the stop before
	Metres Metres  // from the stop before
}

// CostParts adds up exactly: Total is the sum of the parts, and the plan's parts
// are the sums of the routes' parts plus LeftOut and the Change of visits left
// out.
type CostParts struct {
	Distance  Cost // metres driven
	Hours     Cost // from leaving to return
	Overtime  Cost // the extra price of overtime
	RouteUse  Cost // CostWhenUsed of used routes
	LowerDays Cost // value lost by serving on a day worth less
	LeftOut   Cost // value of visits left out
	Change    Cost // moved against the reference
}

// Total is the sum of the parts.
func (c CostParts) Total() Cost {
	return c.Distance + c.Hours + c.Overtime + c.RouteUse + c.LowerDays + c.LeftOut + c.Change
}

// Plus adds part by part.
func (c CostParts) Plus(d CostParts) CostParts {
	return CostParts{
		Distance:  c.Distance + d.Distance,
		Hours:     c.Hours + d.Hours,
		Overtime:  c.Overtime + d.Overtime,
		RouteUse:  c.RouteUse + d.RouteUse,
		LowerDays: c.LowerDays + d.LowerDays,
		LeftOut:   c.LeftOut + d.LeftOut,
		Change:    c.Change + d.Change,
	}
}

// FaultKind names a broken hard rule.
type FaultKind string

// The hard rules, by what breaking them is called.
const (
	FaultShape    FaultKind = "shape"     // wrong number of routes, or no such visit
	FaultTwice    FaultKind = "twice"     // served more than once
	FaultRequired FaultKind = "required"  // left out though required
	FaultSkill    FaultKind = "skill"     // the route lacks a skill
	FaultAllowed  FaultKind = "allowed"   // the route is not allowed to serve it
	FaultPin      FaultKind = "pin"       // held to another route, or to another position
	FaultStock    FaultKind = "stock"     // more parts used than carried
	FaultLoad     FaultKind = "load"      // more load than capacity
	FaultGroup    FaultKind = "group"     // a group on two routes of one day
	FaultWindow   FaultKind = "window"    // service cannot start inside a window
	FaultReturn   FaultKind = "return"    // back after the route's latest return
	FaultDuration FaultKind = "duration"  // longer than duration and overtime allow
	FaultBreak    FaultKind = "break"     // no room for the route's breaks
	FaultClock    FaultKind = "clock"     // verify only: a stated clock or length is wrong
	FaultCost     FaultKind = "cost"      // verify only: a stated cost is wrong
	FaultUnserved FaultKind = "left-outs" // verify only: the stated list of left-out visits is wrong
)

// PlanFault is one broken rule: where, and by how much, in words.
type PlanFault struct {
	Kind   FaultKind
	Route  RouteIndex // NoRoute when no route is concerned
	Visit  VisitIndex // NoVisit when no visit is concerned
	Detail string
}

func (f PlanFault) String() string {
	text := string(f.Kind)
	if f.Route != NoRoute {
		text += fmt.Sprintf(", route %d", f.Route)
	}
	if f.Visit != NoVisit {
		text += fmt.Sprintf(", visit %d", f.Visit)
	}
	return text + ": " + f.Detail
}
