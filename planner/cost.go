package planner

import (
	"fmt"
	"math"
	"slices"

	"valveround/events"
	"valveround/planner/routing"
)

// DaysLeft is how many days remain after a day until the job's clock runs out: the retest deadline of a failure, else the
// due date, and never later than the day before a use for which it must be done. A failure whose rule is not known is treated as
// pressing, and so is a use of which nobody knows the day, never as having no deadline.
func (s Settings) DaysLeft(j *events.Job, on events.Date) int {
	left := s.daysLeft(j, on)
	for _, u := range j.BeforeUse {
		if u.By.Known {
			left = min(left, u.By.On.Sub(on))
		}
	}
	return left
}

func (s Settings) daysLeft(j *events.Job, on events.Date) int {
	switch {
	case j.Failure != nil && j.Failure.RetestBy.Known:
		return j.Failure.RetestBy.On.Sub(on)
	case j.Failure != nil:
		return s.UnknownDeadlineAs
	case !j.Due.IsZero():
		return j.Due.Sub(on)
	case j.UseNotKnown():
		return s.UnknownDeadlineAs
	}
	return 60
}

// Worth is what doing the job on a day is worth: what it earns, less while it can wait for long, and what waiting would cost.
func (s Settings) Worth(j *events.Job, on events.Date) MicroUSD {
	left := s.DaysLeft(j, on)
	urgency := 0.0
	for _, step := range s.Urgency {
		if left <= step.DaysLeft {
			urgency = step.USD
			break
		}
	}
	if j.NeedsRepair() {
		urgency *= s.FailedFactor
	}
	return microUSD(s.earns(j, left) + urgency)
}

// earns is what a job earns on a day. What can wait for long earns no less later, so that no crew is sent for it: it is worth then
// what it takes at the site, and more from day to day until waiting begins to cost.
func (s Settings) earns(j *events.Job, left int) float64 {
	near := 0
	if n := len(s.Urgency); n > 0 {
		near = max(0, s.Urgency[n-1].DaysLeft)
	}
	switch {
	case j.NeedsRepair() || s.FarDays == 0 || left <= near:
		return s.TestWorthUSD
	case left >= s.FarDays:
		return s.FarWorthUSD
	}
	return s.TestWorthUSD - (s.TestWorthUSD-s.FarWorthUSD)*float64(left-near)/float64(s.FarDays-near)
}

func microUSD(usd float64) MicroUSD { return MicroUSD(math.Round(usd * 1e6)) }

// WorthWords says in words why a job is worth what it is worth on a day.
func (s Settings) WorthWords(j *events.Job, on events.Date) string {
	left := s.DaysLeft(j, on)
	words := fmt.Sprintf("%.2f USD for the job", s.earns(j, left))
	if earns := s.earns(j, left); earns < s.TestWorthUSD {
		words += fmt.Sprintf(" (%.2f USD when it presses; it can wait %d days)", s.TestWorthUSD, left)
	}
	i := slices.IndexFunc(s.Urgency, func(step WorthStep) bool { return left <= step.DaysLeft })
	if i < 0 {
		return words
	}
	usd, times := s.Urgency[i].USD, ""
	if j.NeedsRepair() {
		usd, times = usd*s.FailedFactor, fmt.Sprintf(", %g times as for one that has not failed", s.FailedFactor)
	}
	return fmt.Sprintf("%s and %.2f USD for waiting with %s%s", words, usd, daysLeftWords(j, left), times)
}

func daysLeftWords(j *events.Job, left int) string {
	switch {
	case j.Failure != nil && !j.Failure.RetestBy.Known, j.Failure == nil && j.UseNotKnown():
		return "a deadline that nobody knows"
	case left < 0:
		return "the deadline " + counted(-left, "day") + " past"
	case left == 1:
		return "1 day left"
	}
	return fmt.Sprintf("%d days left", left)
}

// promised reports whether the people of a site count on the visit on that day: a time of the day is agreed for one of its
// feeds, others are booked, notice of that very day was given, or the day is out with one of its jobs.
func (c *collector) promised(p stop) bool {
	if n := p.site.Notice; n != nil && n.For == c.date {
		return true
	}
	for _, j := range p.jobs {
		a := c.b.Assemblies[j.Assembly]
		if out := a.Job(j.Job).Dispatched; out != nil && out.Date == c.date || len(p.open.agreed[a.Feed]) > 0 || c.booked(p.site, a.Feed) {
			return true
		}
	}
	return false
}

func routeCost(parts routing.CostParts) RouteCost {
	c := RouteCost{Distance: MicroUSD(parts.Distance), Hours: MicroUSD(parts.Hours), Overtime: MicroUSD(parts.Overtime), Change: MicroUSD(parts.Change)}
	c.Total = c.Distance + c.Hours + c.Overtime + c.Change
	return c
}

// charge says what each job left out costs and adds up the plan.
func (w *work) charge(p *Plan) {
	broken := map[string]bool{}    // by visit: the promise is not kept, and nothing is charged for it yet
	saves := map[string]MicroUSD{} // by visit: a trip that is not saved, and not charged yet
	for _, s := range slices.Concat(w.stops, w.unmet) {
		broken[s.key], saves[s.key] = s.promised, s.saves
	}
	for i := range p.LeftOut {
		l := &p.LeftOut[i]
		if l.Visit == "" {
			continue
		}
		job := w.r.Book.Assemblies[l.Assembly].Job(l.Job)
		l.Worth = w.r.Settings.Worth(job, w.r.Date)
		if w.r.Settings.DueLater(job, w.r.Date) {
			l.Worth, saves[l.Visit] = l.Worth+saves[l.Visit], 0
		}
		if broken[l.Visit] {
			l.Promise, broken[l.Visit] = microUSD(w.r.Settings.PromiseUSD), false
		}
	}
	p.Cost = costOf(*p)
}

// costOf adds up the routes and the jobs left out.
func costOf(p Plan) Cost {
	var c Cost
	for _, r := range p.Routes {
		c.Distance += r.Cost.Distance
		c.Hours += r.Cost.Hours
		c.Overtime += r.Cost.Overtime
		c.Change += r.Cost.Change
	}
	for _, l := range p.LeftOut {
		c.LeftOut += l.Worth
		c.Promise += l.Promise
	}
	c.Total = c.Distance + c.Hours + c.Overtime + c.LeftOut + c.Promise + c.Change
	return c
}
