package routing

import (
	"context"
	"errors"
	"math"
	"time"
)

// Options steers [Solve].
type Options struct {
	// Seed makes the run: one problem, one seed and one number of iterations
	// give one plan, bit for bit, as long as no time limit cuts the run short.
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
	// Workers is how many processors to use, 1 or 2; 0 means 1. Rounds are counted
	// over all of them.
	Workers int
	// Enough, if set, ends the run when a plan as good is found.
	Enough *Goal
	// Progress, if set, is called now and then from Solve's goroutine.
	Progress func(Progress)

	onMove func(d *draft, before, delta Cost)   // tests: see search.onMove
	onStep func(s *chains, before, delta int64) // tests: see chains.onMove
	onMeet func(a, b *chains)                   // tests: two workers have met
	off    part                                 // tests: parts switched off
	first  bool                                 // tests: the first solver
	ample  float64                              // tests: instead of ampleRounds
}

// Goal is a plan that is good enough: not more used routes, and among those not
// dearer.
type Goal struct {
	Routes int
	Cost   Cost
}

// Progress is how far Solve has come.
type Progress struct {
	Round    int
	Elapsed  time.Duration
	Cost     Cost // of the best plan so far
	Unserved int  // visits the best plan leaves out
	Missing  int  // required visits among them
}

// Solve finds a good plan: greedy insertion, local search to a local optimum,
// then rounds of ruin, recreate and local search under exponential cooling. A plan with fewer
// required visits missing is always better than a cheaper one with more. Every
// other hard rule is kept by the plan that comes back; when required visits cannot all be
// served, the plan's Evaluation carries the faults.
//
// A cancelled context ends the run like the time limit does, with the best plan
// so far and no error. Errors are wrong options.
func Solve(ctx context.Context, p *Problem, o Options) (Solution, error) {
	switch {
	case p == nil:
		return Solution{}, errors.New("solve: no problem given")
	case o.Iterations < 0 || o.TimeLimit < 0:
		return Solution{}, errors.New("solve: iterations and time limit must be 0 or more")
	case o.Start != nil && len(o.Start.Routes) != p.RouteCount():
		return Solution{}, errors.New("solve: the start plan has another number of routes than the problem")
	}
	c := newClock(ctx, o.TimeLimit)
	near := findNeighbours(p, o.Workers, c)
	solution := Solution{Stopped: StoppedDone}
	compact, fast := newCore(p)
	fast = fast && !o.first
	var e *engine
	if fast {
		e = newEngine(compact, near, o, c)
	}
	if fast && p.VisitCount() >= manyVisits && e.constructMany(start(p, o.Start)) {
		e.anneal()
		solution.Routes, solution.Rounds = e.best.orders(), e.done
	} else {
		s := newSearch(construct(p, near, o, c), near, c)
		if o.onMove != nil {
			s.onMove = func(before, delta Cost) { o.onMove(s.draft, before, delta) }
		}
		s.localSearch()
		if fast && (o.Iterations > 0 || o.TimeLimit > 0) {
			e.begin(s.draft)
			e.anneal()
			solution.Routes, solution.Rounds = e.best.orders(), e.done
		} else {
			solution.Rounds = improve(s, o)
			solution.Routes = s.orders()
		}
	}
	if e != nil {
		solution.Evaluations = e.evaluations()
	}
	if c.stopped != "" {
		solution.Stopped = c.stopped
	}
	solution.Evaluation = Evaluate(p, solution.Routes)
	return solution, nil
}

// construct makes the first plan: from the start plan if there is one, otherwise
// the better of two greedy orders (of one, when that took long).
func construct(p *Problem, near neighbours, o Options, c *clock) *draft {
	const enough = 0.2 // of the time limit
	first := start(p, o.Start)
	first.fill(byGainPerTime, near, c)
	if o.Start != nil || c.spent() > enough {
		return first
	}
	second := start(p, nil)
	second.fill(byGain, near, c)
	if second.score().less(first.score()) {
		return second
	}
	return first
}

func start(p *Problem, plan *Solution) *draft {
	var routes [][]VisitIndex
	if plan != nil {
		routes = plan.Routes
	}
	d := load(p, routes, 0)
	d.insertPinned()
	d.begin()
	return d
}

// improve runs ruin and recreate from the search's plan, and leaves the best plan
// found in it. It returns the number of rounds run.
//
// The temperature falls exponentially from hot, as in simulated annealing; it
// is driven by the share of iterations done, or by the clock when only a time
// limit is given. First and last temperature are the best of eight pairs tried on
// R104, R211, RC208 (Solomon), R1_2_1 (Gehring & Homberger), two seeds each, and
// the county of the benchmarks; between 1 and 10 there is little to choose.
func improve(s *search, o Options) int {
	if o.Iterations == 0 && o.TimeLimit == 0 || s.p.VisitCount() == 0 || s.p.RouteCount() == 0 {
		return 0
	}
	u := newRuiner(s, o.Seed)
	best := keepBest(s.draft)
	hot := 3 * s.typicalCost()
	if o.Start != nil {
		hot /= 30 // a plan to keep near
	}
	const cooling = 0.003 // last temperature over first
	share, temperature := 0.0, hot
	round := 0
	for ; (o.Iterations == 0 || round < o.Iterations) && !s.clock.due(); round++ {
		if round%32 == 0 {
			share = s.clock.spent()
			if o.Iterations > 0 {
				share = float64(round) / float64(o.Iterations)
			}
			temperature = hot * math.Pow(cooling, share)
		}
		before := s.score()
		if !u.ruinAndRecreate() || !u.accept(before, temperature) {
			s.rollback()
			continue
		}
		s.begin()
		if s.score().less(best.score) {
			best.take(s.draft)
		}
		o.report(s, best, round)
	}
	best.restore(s.draft)
	s.localSearch()
	return round
}

// accept takes plans that are better, or worse by a random amount about the
// temperature, never with more required visits missing.
func (u *ruiner) accept(before score, temperature float64) bool {
	after := u.score()
	if after.missing != before.missing {
		return after.missing < before.missing
	}
	worse := float64(after.cost - before.cost)
	return worse <= -temperature*math.Log(1-u.random.Float64())
}

// typicalCost is the mean cost of serving one visit; when none is served, alone on
// a route.
func (d *draft) typicalCost() float64 {
	served, cost := 0, Cost(0)
	for r := range d.tours {
		t := &d.tours[r]
		served += len(t.visits)
		if len(t.visits) > 0 {
			cost += t.cost - d.p.spec.Routes[r].CostWhenUsed
		}
	}
	if served == 0 {
		served, cost = d.p.servedAlone()
	}
	return max(1, float64(cost)/float64(max(served, 1)))
}

// servedAlone adds up what some visits cost, each alone on the first route it fits.
func (p *Problem) servedAlone() (visits int, cost Cost) {
	const enough = 100
	for v := range p.spec.Visits {
		if len(p.fitting[v]) == 0 {
			continue
		}
		r := p.fitting[v][0]
		route := &p.spec.Routes[r]
		out, _ := p.drives.between(route.Start, p.spec.Visits[v].Place)
		back, _ := p.drives.between(p.spec.Visits[v].Place, route.End)
		if duration, ok := p.alone(VisitIndex(v), r, 0); ok {
			visits, cost = visits+1, cost+drivingCost(route, out+back, duration)
		}
		if visits == enough {
			break
		}
	}
	return visits, cost
}

func (o Options) report(s *search, best *bestPlan, round int) {
	const every = 500
	if o.Progress == nil || round%every != 0 {
		return
	}
	o.Progress(Progress{Round: round, Elapsed: s.clock.elapsed(), Cost: best.score.cost, Unserved: best.unserved, Missing: best.score.missing})
}

// bestPlan keeps the best plan seen.
type bestPlan struct {
	score    score
	unserved int
	orders   [][]VisitIndex
}

func keepBest(d *draft) *bestPlan {
	b := &bestPlan{orders: make([][]VisitIndex, len(d.tours))}
	b.take(d)
	return b
}

func (b *bestPlan) take(d *draft) {
	b.score = d.score()
	b.unserved = len(d.routeOf)
	for r := range d.tours {
		b.orders[r] = append(b.orders[r][:0], d.tours[r].visits...)
		b.unserved -= len(b.orders[r])
	}
}

// restore makes the draft the best plan again.
func (b *bestPlan) restore(d *draft) {
	d.begin()
	for r := range d.tours {
		for k := len(d.tours[r].visits) - 1; k >= 0; k-- {
			d.drop(RouteIndex(r), k)
		}
		d.refresh(&d.tours[r])
	}
	for r, order := range b.orders {
		t := &d.tours[r]
		for _, v := range order {
			t.visits = append(t.visits, v)
			d.note(v, RouteIndex(r))
			d.cost += d.placement(v, RouteIndex(r))
			if d.p.required[v] {
				d.missing--
			}
		}
		d.refresh(t)
	}
	d.begin()
}
