package routing

import (
	"fmt"
	"math"
)

// Problem is a judged [Spec] with the tables the engine works from. It never
// changes, and may be used from several goroutines.
type Problem struct {
	spec   Spec
	drives drives

	crews   int   // crews, days and groups as dense numbers
	crewOf  []int // by route
	days    int
	dayOf   []int // by route
	groups  int
	groupOf []int // by visit, -1 = none

	required   []bool         // by visit: required or pinned
	service    []Seconds      // visit × crew
	byCrew     bool           // some visits take some crews longer than others
	resources  int            // load dimensions, then kinds of stock
	loads      int            // the first resources are load dimensions
	items      []StockID      // kinds of stock: resource loads+i is items[i]
	needs      [][]resource   // by visit, only what is needed
	capacity   []int64        // route × resource
	windows    []windowRange  // visit × route: those that meet the route's hours
	doors      []span         // all visits' windows as spans
	doorAt     []int32        // by visit: where its windows begin in doors
	assign     []Cost         // visit × route: lower day and change
	leftOut    []Cost         // by visit: cost of leaving it out
	obstacles  []obstacle     // visit × route: why never, or fitsAlone
	fitting    [][]RouteIndex // by visit: routes it fits alone
	alike      [][]RouteIndex // by route: see tableAlike
	longestLeg Metres

	resting    bool        // some route has breaks
	rested     [][]Seconds // by route: see restedBy
	backBy     [][]Seconds // by route: see backBy
	breakDoors [][][]span  // by route and break: its windows as spans
}

type resource struct {
	index    int
	quantity int64
}

// windowRange is a part of a visit's windows, [low, high).
type windowRange struct{ low, high int32 }

// NewProblem judges a spec and builds the tables. The error names the first
// field at fault, as in `visits[3] "Mill Street 4": service is negative`. The
// spec must not be changed afterwards.
func NewProblem(spec Spec) (*Problem, error) {
	p := &Problem{spec: spec}
	steps := []func() error{
		p.judgePlaces, p.judgeRoutes, p.judgeVisits, p.judgePins, p.judgeUnsupported,
		p.takeTravel, p.judgeSums,
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return nil, err
		}
	}
	p.numberThings()
	p.tableResources()
	p.tableWindows()
	p.tableBreaks()
	p.tableCosts()
	p.tableObstacles()
	p.tableAlike()
	return p, nil
}

// Spec is what the problem was made from; it must not be changed.
func (p *Problem) Spec() Spec { return p.spec }

// VisitCount is the number of visits.
func (p *Problem) VisitCount() int { return len(p.spec.Visits) }

// RouteCount is the number of routes.
func (p *Problem) RouteCount() int { return len(p.spec.Routes) }

// Visit is one visit of the spec.
func (p *Problem) Visit(v VisitIndex) Visit { return p.spec.Visits[v] }

// Route is one route of the spec.
func (p *Problem) Route(r RouteIndex) Route { return p.spec.Routes[r] }

// Between is the drive between two places, none when either is Nowhere.
func (p *Problem) Between(from, to PlaceIndex) (Metres, Seconds) { return p.drives.between(from, to) }

// Required reports whether the visit must be served: required or pinned.
func (p *Problem) Required(v VisitIndex) bool { return p.required[v] }

// ServiceOn is the visit's service time on a route.
func (p *Problem) ServiceOn(v VisitIndex, r RouteIndex) Seconds {
	return p.service[int(v)*p.crews+p.crewOf[r]]
}

// Compatible reports whether the visit could ever be on the route: skills,
// allowed routes, pin, stock, load, and alone within the hours.
func (p *Problem) Compatible(v VisitIndex, r RouteIndex) bool {
	return p.obstacles[int(v)*p.RouteCount()+int(r)] == fitsAlone
}

// Bounds that keep every sum far from overflow.
const (
	maxTime     Seconds = 1 << 40
	maxQuantity int64   = 1 << 40
	maxCost     Cost    = 1 << 60
	maxTotal            = float64(1 << 61)
)

func timeFault(s Seconds) string {
	if s < -maxTime || s > maxTime {
		return fmt.Sprintf("is %d s, more than 2^40 from zero", s)
	}
	return ""
}

func (p *Problem) judgePlaces() error {
	s := p.spec
	if s.Places < 1 || s.Places > math.MaxInt32 {
		return fmt.Errorf("places: %d, need 1 or more", s.Places)
	}
	if s.Travel == nil {
		return fmt.Errorf("travel: missing")
	}
	if s.Objective != MinimiseCost && s.Objective != FewestRoutesFirst {
		return fmt.Errorf("objective: %d is neither MinimiseCost nor FewestRoutesFirst", s.Objective)
	}
	if m, ok := s.Travel.(MatrixTravel); ok {
		if m.Places != s.Places || len(m.Metres) != m.Places*m.Places || len(m.Seconds) != m.Places*m.Places {
			return fmt.Errorf("travel: a matrix for %d places with %d lengths and %d times, need %d places", m.Places, len(m.Metres), len(m.Seconds), s.Places)
		}
	}
	return nil
}

func (p *Problem) judgeRoutes() error {
	for i, r := range p.spec.Routes {
		if err := p.judgeRoute(r); err != nil {
			return fmt.Errorf("routes[%d] %q: %w", i, r.Name, err)
		}
	}
	return nil
}

func (p *Problem) judgeRoute(r Route) error {
	for _, end := range []struct {
		name  string
		place PlaceIndex
	}{{"start", r.Start}, {"end", r.End}} {
		if end.place != Nowhere && (end.place < 0 || int(end.place) >= p.spec.Places) {
			return fmt.Errorf("%s: place %d does not exist", end.name, end.place)
		}
	}
	if r.Crew < 0 || r.Day < 0 {
		return fmt.Errorf("crew %d, day %d: must be 0 or more", r.Crew, r.Day)
	}
	for _, t := range []struct {
		name  string
		value Seconds
		span  bool
	}{{"earliest", r.Earliest, false}, {"latest", r.Latest, false}, {"duration", r.Duration, true}, {"overtime", r.Overtime, true}} {
		if fault := timeFault(t.value); fault != "" {
			return fmt.Errorf("%s %s", t.name, fault)
		}
		if t.span && t.value < 0 {
			return fmt.Errorf("%s is negative", t.name)
		}
	}
	if r.Latest < r.Earliest {
		return fmt.Errorf("latest return %d is before earliest departure %d", r.Latest, r.Earliest)
	}
	for _, c := range []struct {
		name  string
		value Cost
	}{{"cost per metre", r.CostPerMetre}, {"cost per second", r.CostPerSecond}, {"cost per overtime second", r.CostPerOvertimeSecond}, {"cost when used", r.CostWhenUsed}} {
		if c.value < 0 || c.value > maxCost {
			return fmt.Errorf("%s is %d, outside 0 to 2^60", c.name, c.value)
		}
	}
	for d, c := range r.Capacity {
		if c < 0 || c > maxQuantity {
			return fmt.Errorf("capacity[%d] is %d, outside 0 to 2^40", d, c)
		}
	}
	if err := judgeStock(r.Stock); err != nil {
		return err
	}
	return judgeBreaks(r.Breaks)
}

func judgeStock(stock []Need) error {
	seen := map[StockID]bool{}
	for i, n := range stock {
		if n.Quantity < 0 || n.Quantity > maxQuantity {
			return fmt.Errorf("stock[%d] is %d, outside 0 to 2^40", i, n.Quantity)
		}
		if seen[n.Item] {
			return fmt.Errorf("stock[%d]: item %d is listed twice", i, n.Item)
		}
		seen[n.Item] = true
	}
	return nil
}

func (p *Problem) judgeVisits() error {
	for i, v := range p.spec.Visits {
		if err := p.judgeVisit(v); err != nil {
			return fmt.Errorf("visits[%d] %q: %w", i, v.Name, err)
		}
	}
	return nil
}

func (p *Problem) judgeVisit(v Visit) error {
	if v.Place < 0 || int(v.Place) >= p.spec.Places {
		return fmt.Errorf("place: %d does not exist", v.Place)
	}
	if v.Service < 0 || v.Service > maxTime {
		return fmt.Errorf("service is %d s, outside 0 to 2^40", v.Service)
	}
	for crew, s := range v.ServiceByCrew {
		if s < 0 || s > maxTime {
			return fmt.Errorf("service by crew %d is %d s, outside 0 to 2^40", crew, s)
		}
	}
	if err := judgeWindows(v.Windows); err != nil {
		return err
	}
	if err := judgeStock(v.Stock); err != nil {
		return err
	}
	for d, q := range v.Demand {
		if q < 0 || q > maxQuantity {
			return fmt.Errorf("demand[%d] is %d, outside 0 to 2^40", d, q)
		}
	}
	if v.Value < 0 || v.Value > maxCost {
		return fmt.Errorf("value is %d, outside 0 to 2^60", v.Value)
	}
	for day, value := range v.ValueByDay {
		if value < 0 || value > v.Value {
			return fmt.Errorf("value by day %d is %d, outside 0 to the value %d", day, value, v.Value)
		}
	}
	for i, r := range v.Allowed {
		if r < 0 || int(r) >= p.RouteCount() {
			return fmt.Errorf("allowed[%d]: route %d does not exist", i, r)
		}
	}
	if v.Group < 0 {
		return fmt.Errorf("group is negative")
	}
	if f := v.Reference; f != nil && (f.DayChange < 0 || f.DayChange > maxCost || f.CrewChange < 0 || f.CrewChange > maxCost) {
		return fmt.Errorf("reference: change costs %d and %d must be 0 to 2^60", f.DayChange, f.CrewChange)
	}
	return nil
}

func judgeWindows(windows []Window) error {
	if len(windows) > math.MaxInt16 {
		return fmt.Errorf("windows: %d are too many", len(windows))
	}
	for i, w := range windows {
		if fault := timeFault(w.Open); fault != "" {
			return fmt.Errorf("windows[%d]: open %s", i, fault)
		}
		if fault := timeFault(w.Close); fault != "" {
			return fmt.Errorf("windows[%d]: close %s", i, fault)
		}
		if w.Close < w.Open {
			return fmt.Errorf("windows[%d] closes at %d before it opens at %d", i, w.Close, w.Open)
		}
		if i > 0 && w.Open <= windows[i-1].Close {
			return fmt.Errorf("windows[%d] opens at %d, not after the one before it closes at %d", i, w.Open, windows[i-1].Close)
		}
	}
	return nil
}

// judgePins refuses pins to nowhere and positions that are taken twice.
func (p *Problem) judgePins() error {
	type position struct {
		route RouteIndex
		at    int
	}
	taken := map[position]int{}
	for i, v := range p.spec.Visits {
		if v.Pin == nil {
			continue
		}
		if v.Pin.Route < 0 || int(v.Pin.Route) >= p.RouteCount() {
			return fmt.Errorf("visits[%d] %q: pin: route %d does not exist", i, v.Name, v.Pin.Route)
		}
		if v.Pin.Position < 0 {
			return fmt.Errorf("visits[%d] %q: pin: position is negative", i, v.Name)
		}
		if v.Pin.Position == 0 {
			continue
		}
		at := position{v.Pin.Route, v.Pin.Position}
		if other, ok := taken[at]; ok {
			return fmt.Errorf("visits[%d] %q: pin: position %d of route %d is held by visits[%d]", i, v.Name, at.at, at.route, other)
		}
		taken[at] = i
	}
	return nil
}

func (p *Problem) judgeUnsupported() error {
	if len(p.spec.Relations) > 0 {
		return fmt.Errorf("relations[0]: relations are not supported yet")
	}
	return nil
}

// takeTravel copies the travel times when there are few places, and finds the
// longest leg.
func (p *Problem) takeTravel() error {
	n := p.spec.Places
	if n > matrixPlaces {
		p.drives.asked = p.spec.Travel
		p.longestLeg = math.MaxInt32
		return nil
	}
	longest, err := p.drives.table(p.spec.Travel, n)
	p.longestLeg = longest
	return err
}

// judgeSums refuses figures whose sums could overflow.
func (p *Problem) judgeSums() error {
	var dear Route
	var longest Seconds
	total := 0.0
	for _, r := range p.spec.Routes {
		dear.CostPerMetre = max(dear.CostPerMetre, r.CostPerMetre)
		dear.CostPerSecond = max(dear.CostPerSecond, r.CostPerSecond)
		dear.CostPerOvertimeSecond = max(dear.CostPerOvertimeSecond, r.CostPerOvertimeSecond)
		longest = max(longest, r.Latest-r.Earliest)
		total += float64(r.CostWhenUsed)
	}
	legs := float64(len(p.spec.Visits) + len(p.spec.Routes))
	total += legs * float64(p.longestLeg) * float64(dear.CostPerMetre)
	total += float64(len(p.spec.Routes)) * float64(longest) * (float64(dear.CostPerSecond) + float64(dear.CostPerOvertimeSecond))
	for _, v := range p.spec.Visits {
		total += float64(v.Value)
		if v.Reference != nil {
			total += float64(v.Reference.DayChange) + float64(v.Reference.CrewChange)
		}
	}
	if total > maxTotal {
		return fmt.Errorf("costs: the dearest plan could cost %.3g, more than 2^61; use smaller rates and values", total)
	}
	return nil
}

// numberThings gives crews, days and groups dense numbers, in order of first
// appearance.
func (p *Problem) numberThings() {
	crew, day, group := map[CrewIndex]int{}, map[DayIndex]int{}, map[GroupID]int{}
	for _, r := range p.spec.Routes {
		p.crewOf = append(p.crewOf, number(crew, r.Crew))
		p.dayOf = append(p.dayOf, number(day, r.Day))
	}
	p.crews, p.days = max(len(crew), 1), max(len(day), 1)
	p.groupOf = make([]int, len(p.spec.Visits))
	p.required = make([]bool, len(p.spec.Visits))
	p.service = make([]Seconds, len(p.spec.Visits)*p.crews)
	for i, v := range p.spec.Visits {
		p.groupOf[i] = -1
		if v.Group != 0 {
			p.groupOf[i] = number(group, v.Group)
		}
		p.required[i] = v.Required || v.Pin != nil
		p.byCrew = p.byCrew || len(v.ServiceByCrew) > 0
		for r := range p.spec.Routes {
			seconds, ok := v.ServiceByCrew[p.spec.Routes[r].Crew]
			if !ok {
				seconds = v.Service
			}
			p.service[i*p.crews+p.crewOf[r]] = seconds
		}
	}
	p.groups = len(group)
}

func number[K comparable](numbers map[K]int, key K) int {
	n, ok := numbers[key]
	if !ok {
		n = len(numbers)
		numbers[key] = n
	}
	return n
}

// tableResources puts load and stock into one list of bounded resources.
func (p *Problem) tableResources() {
	for _, v := range p.spec.Visits {
		p.loads = max(p.loads, len(v.Demand))
	}
	item := map[StockID]int{}
	for _, v := range p.spec.Visits {
		for _, n := range v.Stock {
			if number(item, n.Item) == len(p.items) {
				p.items = append(p.items, n.Item)
			}
		}
	}
	p.resources = p.loads + len(p.items)
	p.needs = make([][]resource, len(p.spec.Visits))
	for i, v := range p.spec.Visits {
		for d, q := range v.Demand {
			if q > 0 {
				p.needs[i] = append(p.needs[i], resource{d, q})
			}
		}
		for _, n := range v.Stock {
			if n.Quantity > 0 {
				p.needs[i] = append(p.needs[i], resource{p.loads + item[n.Item], n.Quantity})
			}
		}
	}
	p.capacity = make([]int64, len(p.spec.Routes)*p.resources)
	for i, r := range p.spec.Routes {
		row := p.capacity[i*p.resources:][:p.resources]
		for d := range p.loads {
			row[d] = math.MaxInt64
			if d < len(r.Capacity) {
				row[d] = r.Capacity[d]
			}
		}
		for _, n := range r.Stock {
			if k, ok := item[n.Item]; ok {
				row[p.loads+k] = n.Quantity
			}
		}
	}
}

// tableWindows finds, for each visit and route, the visit's windows that meet
// the route's hours. A visit without windows is open whenever the route is.
func (p *Problem) tableWindows() {
	routes := p.RouteCount()
	p.windows = make([]windowRange, p.VisitCount()*routes)
	sameHours := firstLike(p, func(r RouteIndex) Window { return Window{p.spec.Routes[r].Earliest, p.spec.Routes[r].Latest} })
	for i := range p.spec.Visits {
		v := &p.spec.Visits[i]
		p.doorAt = append(p.doorAt, int32(len(p.doors)))
		for _, w := range v.Windows {
			p.doors = append(p.doors, span{w.Open, w.Open, w.Close - w.Open})
		}
		row := p.windows[i*routes:][:routes]
		for j := range p.spec.Routes {
			if same := sameHours[j]; int(same) < j {
				row[j] = row[same]
				continue
			}
			row[j] = windowsWithin(v.Windows, &p.spec.Routes[j])
		}
	}
}

// windowsWithin are the windows that meet a route's hours.
func windowsWithin(windows []Window, r *Route) windowRange {
	low := 0
	for low < len(windows) && windows[low].Close < r.Earliest {
		low++
	}
	high := low
	for high < len(windows) && windows[high].Open <= r.Latest {
		high++
	}
	return windowRange{int32(low), int32(high)}
}

// firstLike is, for each route, the first with the same key.
func firstLike[K comparable](p *Problem, key func(r RouteIndex) K) []RouteIndex {
	first, of := map[K]RouteIndex{}, make([]RouteIndex, p.RouteCount())
	for r := range of {
		k := key(RouteIndex(r))
		if _, ok := first[k]; !ok {
			first[k] = RouteIndex(r)
		}
		of[r] = first[k]
	}
	return of
}

// tableCosts works out what each placement costs apart from driving and hours.
func (p *Problem) tableCosts() {
	routes := p.RouteCount()
	p.assign = make([]Cost, p.VisitCount()*routes)
	p.leftOut = make([]Cost, p.VisitCount())
	for i := range p.spec.Visits {
		v := &p.spec.Visits[i]
		for j := range p.spec.Routes {
			lower, change := placementCosts(v, &p.spec.Routes[j])
			p.assign[i*routes+j] = lower + change
		}
		p.leftOut[i] = v.Value + leftOutChange(v)
	}
}

// placementCosts is what serving a visit on a route loses by the day, and what
// it costs as a change of the reference.
func placementCosts(v *Visit, r *Route) (lowerDay, change Cost) {
	if value, ok := v.ValueByDay[r.Day]; ok {
		lowerDay = v.Value - value
	}
	if f := v.Reference; f != nil {
		if r.Day != f.Day {
			change += f.DayChange
		}
		if r.Crew != f.Crew {
			change += f.CrewChange
		}
	}
	return lowerDay, change
}

func leftOutChange(v *Visit) Cost {
	if v.Reference == nil {
		return 0
	}
	return v.Reference.DayChange
}
