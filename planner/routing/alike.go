package routing

import "slices"

// tableAlike finds, for each route, the routes that differ from it in name and
// crew number only, itself included, where no visit tells crews or routes apart.
// While several of them are empty, trying one is enough.
func (p *Problem) tableAlike() {
	p.alike = make([][]RouteIndex, p.RouteCount())
	if p.tellsRoutesApart() {
		return
	}
	for i := range p.spec.Routes {
		for j := range i {
			if len(p.alike[j]) > 0 && sameKind(&p.spec.Routes[i], &p.spec.Routes[p.alike[j][0]]) {
				p.alike[i] = append(p.alike[j], RouteIndex(i))
				break
			}
		}
		if p.alike[i] == nil {
			p.alike[i] = []RouteIndex{RouteIndex(i)}
		}
		for _, r := range p.alike[i] {
			p.alike[r] = p.alike[i]
		}
	}
}

func (p *Problem) tellsRoutesApart() bool {
	return slices.ContainsFunc(p.spec.Visits, func(v Visit) bool {
		return v.Allowed != nil || v.Pin != nil || v.Reference != nil || len(v.ServiceByCrew) > 0
	})
}

func sameKind(a, b *Route) bool {
	return a.Day == b.Day && a.Start == b.Start && a.End == b.End &&
		a.Earliest == b.Earliest && a.Latest == b.Latest &&
		a.Duration == b.Duration && a.Overtime == b.Overtime &&
		a.CostPerMetre == b.CostPerMetre && a.CostPerSecond == b.CostPerSecond &&
		a.CostPerOvertimeSecond == b.CostPerOvertimeSecond && a.CostWhenUsed == b.CostWhenUsed &&
		slices.Equal(a.Skills, b.Skills) && slices.Equal(a.Stock, b.Stock) && slices.Equal(a.Capacity, b.Capacity) &&
		slices.EqualFunc(a.Breaks, b.Breaks, func(x, y Break) bool { return x.Length == y.Length && slices.Equal(x.Windows, y.Windows) })
}
