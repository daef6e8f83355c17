package routing

// Evaluate works a plan out from scratch.
func Evaluate(p *Problem, routes [][]VisitIndex) Evaluation { panic("todo") }
