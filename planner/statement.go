package planner

import (
	"fmt"

	"valveround/events"
)

// Cents is money in whole hundredths of a US dollar, for print.
type Cents int64

func (c Cents) String() string { return fmt.Sprintf("%d.%02d", c/100, c%100) }

// USD is the amount in dollars.
func (c Cents) USD() float64 { return float64(c) / 100 }

// Statement is a plan's money for print. Every row and every column adds up to the cent, and Total is the plan's total to the
// nearest cent: each figure is the rise of the running sum, rounded, and so at most a cent from the truth.
type Statement struct {
	Routes  []RouteMoney
	LeftOut []LeftOutMoney // of the jobs that cost anything
	Sum     RouteMoney     // of the routes, part by part
	Worth   Cents
	Promise Cents
	Total   Cents
}

// RouteMoney is what one route costs.
type RouteMoney struct {
	Crew                              events.CrewID
	Distance, Hours, Overtime, Change Cents
	Total                             Cents
}

// LeftOutMoney is what leaving out one job costs.
type LeftOutMoney struct {
	LeftOut
	WorthCents, PromiseCents, Total Cents
}

// Statement states the plan's money.
func (p Plan) Statement() Statement {
	var s Statement
	var sum MicroUSD
	next := func(m MicroUSD) Cents {
		before := rounded(sum)
		sum += m
		return rounded(sum) - before
	}
	for _, r := range p.Routes {
		if len(r.Visits) == 0 && r.Begun == nil {
			continue
		}
		m := RouteMoney{Crew: r.Crew, Distance: next(r.Cost.Distance), Hours: next(r.Cost.Hours), Overtime: next(r.Cost.Overtime), Change: next(r.Cost.Change)}
		m.Total = m.Distance + m.Hours + m.Overtime + m.Change
		s.Sum.Distance += m.Distance
		s.Sum.Hours += m.Hours
		s.Sum.Overtime += m.Overtime
		s.Sum.Change += m.Change
		s.Sum.Total += m.Total
		s.Routes = append(s.Routes, m)
	}
	for _, l := range p.LeftOut {
		if l.Worth == 0 && l.Promise == 0 {
			continue
		}
		m := LeftOutMoney{LeftOut: l, WorthCents: next(l.Worth), PromiseCents: next(l.Promise)}
		m.Total = m.WorthCents + m.PromiseCents
		s.Worth += m.WorthCents
		s.Promise += m.PromiseCents
		s.LeftOut = append(s.LeftOut, m)
	}
	s.Total = s.Sum.Total + s.Worth + s.Promise
	return s
}

const microUSDPerCent = 10_000

func rounded(m MicroUSD) Cents { return Cents((m + microUSDPerCent/2) / microUSDPerCent) }
