package routing

import (
	"context"
	"slices"
)

// SolveChecked is Solve with the delta check on: after every applied move of the
// local search, the cost before plus the move's delta must be the cost kept, and
// that must be the cost from scratch.
func SolveChecked(p *Problem, o Options, fault func(format string, args ...any)) (Solution, error) {
	o.onMove = func(d *draft, before, delta Cost) {
		e := Evaluate(p, d.orders())
		if before+delta != d.cost || d.cost != e.Cost.Total() {
			fault("cost before %d, delta %d, kept %d, from scratch %d", before, delta, d.cost, e.Cost.Total())
		}
		broken := slices.DeleteFunc(e.Faults, func(f PlanFault) bool { return f.Kind == FaultRequired })
		if len(broken) > 0 {
			fault("a move broke a rule: %v", broken[0])
		}
	}
	return Solve(context.Background(), p, o)
}

// AskForTravel makes the problem ask its travel times each time, as it does for
// many places.
func (p *Problem) AskForTravel() { p.drives = drives{asked: p.spec.Travel} }
