package routing

// Spec describes a problem: where to go, who can go, and what everything costs.
// It is judged once by [NewProblem]; after that nobody checks again.
type Spec struct {
	Places    int         // places are numbered 0 to Places-1
	Travel    TravelTimes // between places
	Visits    []Visit     // where there are many: faster when listed with their neighbours
	Routes    []Route
	Relations []Relation
	Objective Objective
}

// TravelTimes says how far and how long the drive between two places is. Both
// must be 0 or more and below 2^31. See [MatrixTravel], [FromGeo] and [OnTheFly].
type TravelTimes interface {
	Between(from, to PlaceIndex) (Metres, Seconds)
}

// Objective is what the engine makes small.
type Objective int

// MinimiseCost is the sum of [CostParts]. FewestRoutesFirst is the benchmark
// objective called hierarchical: fewer used routes are better at any cost; it is
// for problems that require every visit.
const (
	MinimiseCost Objective = iota
	FewestRoutesFirst
)

// Window is a span in which service may start: Open <= start <= Close. The end
// of the service is the caller's business: a window the whole service must lie
// in is closed earlier by the service time.
type Window struct{ Open, Close Seconds }

// Need is a quantity of one kind of part, used up by a visit or carried by a
// route.
type Need struct {
	Item     StockID
	Quantity int64
}

// Visit is one stop: somewhere to be, for so long, at some allowed time.
type Visit struct {
	Name    string // for messages only
	Place   PlaceIndex
	Service Seconds // from start to leaving
	// ServiceByCrew overrides Service for some crews.
	ServiceByCrew map[CrewIndex]Seconds
	// Windows are sorted and do not overlap; none means any time.
	Windows []Window
	// Skills are all needed.
	Skills []SkillID
	// Stock is used up from what the route carries.
	Stock []Need
	// Demand is the load, one number a dimension (see Route.Capacity).
	Demand []int64
	// Required visits must be served: leaving one out is a fault, whatever it
	// costs. A pinned visit is always required.
	Required bool
	// Value is lost when the visit is left out.
	Value Cost
	// ValueByDay is what it is worth on some days, 0 to Value; on other days it
	// is worth Value. Serving it on such a day loses the difference.
	ValueByDay map[DayIndex]Cost
	// Allowed lists the routes that may serve it; nil means any.
	Allowed []RouteIndex
	// Pin holds the visit to one route.
	Pin *Pin
	// Group: visits with one non-zero group, served on one day, must be on the
	// same route (feeds that must never be dry together).
	Group GroupID
	// Reference is where an earlier plan had the visit, and what moving costs.
	Reference *Reference
}

// Pin holds a visit to a route. Pinned visits with a position come first on
// their route, in the order of their positions (what is already driven).
type Pin struct {
	Route    RouteIndex
	Position int // 1 is first on the route; 0 is anywhere on it
}

// Reference is where an earlier plan served a visit. Another day, or being left
// out, costs DayChange; another crew costs CrewChange; both may apply.
type Reference struct {
	Crew       CrewIndex
	Day        DayIndex
	DayChange  Cost
	CrewChange Cost
}

// Route is one crew on one day. It leaves Start not before Earliest and is at
// End not after Latest (both hard). What it costs: distance, every second from
// leaving to return, overtime on top, and CostWhenUsed if it serves anything.
// It leaves as late as is free: the engine always takes the shortest time from
// leaving to return.
type Route struct {
	Name       string // for messages only
	Crew       CrewIndex
	Day        DayIndex
	Start, End PlaceIndex // may be Nowhere
	Earliest   Seconds
	Latest     Seconds
	// Duration is the longest time from leaving to return without overtime; 0
	// means no limit. Overtime is how much longer it may be at a price.
	Duration Seconds
	Overtime Seconds

	Skills []SkillID
	Stock  []Need // carried from the start; kinds not named are not carried
	// Capacity bounds the sum of Demand, one number a dimension; dimensions
	// beyond its length have no bound.
	Capacity []int64
	Breaks   []Break

	CostPerMetre          Cost
	CostPerSecond         Cost
	CostPerOvertimeSecond Cost // on top of CostPerSecond
	CostWhenUsed          Cost
}

// Break is a rest of a given length that begins in one of its windows, of which
// there is at least one. It is taken wherever the crew is: at a stop, before or
// after service, or at home before leaving or after the return; see breaks.go.
// The breaks of a route are taken in the order listed.
type Break struct {
	Windows []Window
	Length  Seconds
}

// RelationKind says what a [Relation] asks.
type RelationKind int

// NotBefore: Then starts at least Gap after First has started. SameDay: both on
// one day. Relations have their place here and are refused by NewProblem for
// now.
const (
	NotBefore RelationKind = iota + 1
	SameDay
)

// Relation ties two visits together.
type Relation struct {
	Kind        RelationKind
	First, Then VisitIndex
	Gap         Seconds
}
