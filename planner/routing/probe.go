package routing

// ProbeOutcome is what trying one visit on one route came to.
type ProbeOutcome string

// What trying one visit on one route came to.
const (
	// ProbeIncompatible: never, whatever else the route serves. Reason is skill,
	// allowed, pin, stock or load.
	ProbeIncompatible ProbeOutcome = "incompatible"
	// ProbeAlone: not even with the route otherwise empty. Reason is window or
	// duration (working time).
	ProbeAlone ProbeOutcome = "impossible alone"
	// ProbeNoRoom: alone it fits, but not beside what the route now serves.
	// Reason is group, stock, load, window or duration.
	ProbeNoRoom ProbeOutcome = "no room"
	// ProbeFits: it fits at Position for Delta.
	ProbeFits ProbeOutcome = "fits"
)

// ProbeResult says what trying one visit on one route came to.
type ProbeResult struct {
	Visit   VisitIndex
	Route   RouteIndex
	Outcome ProbeOutcome
	Reason  FaultKind // empty when it fits

	MissingSkills []SkillID // with reason skill
	ShortStock    []Need    // with reason stock: how many more parts are needed
	// ShortSeconds, with reason duration: how much longer the working time
	// would have to be, in the best place for it.
	ShortSeconds Seconds

	// With ProbeFits: the cheapest place, 0 = first, in the route without the
	// visit, and what it changes.
	Position     int
	Delta        Cost // change of the plan's total cost, negative = gain
	ExtraMetres  Metres
	ExtraSeconds Seconds // change of the time from leaving to return
}

// Prober tries visits on the routes of one plan.
type Prober struct{}

// NewProber makes a prober for a plan.
func NewProber(p *Problem, s Solution) *Prober { panic("todo") }

// Probe tries one visit on one route.
func (q *Prober) Probe(v VisitIndex, r RouteIndex) ProbeResult { panic("todo") }

// Probe tries one visit on one route of a plan. For many questions about one
// plan make a [Prober] once.
func Probe(p *Problem, s Solution, v VisitIndex, r RouteIndex) ProbeResult {
	return NewProber(p, s).Probe(v, r)
}
