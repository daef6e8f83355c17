package routing

import (
	"context"
	"time"
)

// Options steers [Solve].
type Options struct {
	// Seed makes the run: one problem, one seed and one number of iterations
	// give one plan, bit for bit.
	Seed uint64
	// Iterations is the number of improvement rounds after the first local
	// optimum. 0 with a TimeLimit means until the time is used up; 0 without one
	// means none.
	Iterations int
	// TimeLimit ends the run; 0 means no limit.
	TimeLimit time.Duration
	// Start is a plan to begin from. When it keeps every hard rule the answer is
	// never worse; visits that break a rule are taken out first.
	Start *Solution
	// Progress, if set, is called now and then from Solve's goroutine.
	Progress func(Progress)
}

// Progress is how far Solve has come.
type Progress struct {
	Round    int
	Elapsed  time.Duration
	Cost     Cost // of the best plan so far
	Unserved int  // visits the best plan leaves out
	Missing  int  // required visits among them
}

// Solve finds a good plan.
func Solve(ctx context.Context, p *Problem, o Options) (Solution, error) {
	panic("todo")
}
