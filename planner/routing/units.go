package routing

import "math"

// The engine counts in integers, so that sums are exact and two ways of adding
// up the same plan agree to the last digit.
type (
	// Metres is a driven length.
	Metres int64
	// Seconds is an instant (absolute: since any fixed zero, 1970 for one) or a
	// span of time.
	Seconds int64
	// Cost is money in millionths of the currency unit, see [CurrencyUnit]. A
	// benchmark without money uses it as a plain number.
	Cost int64
)

// CurrencyUnit is one dollar, euro or pound as a Cost. Millionths keep rates
// exact enough: 0.45 a kilometre is 450 a metre, 45 an hour is 12,500 a second.
const CurrencyUnit Cost = 1_000_000

// Indices into the lists of a [Spec], and ids that only need to be equal or not.
type (
	// PlaceIndex is a row and column of the travel times.
	PlaceIndex int
	// VisitIndex is a place in Spec.Visits.
	VisitIndex int
	// RouteIndex is a place in Spec.Routes.
	RouteIndex int
	// CrewIndex tells crews apart; any numbers from 0 up.
	CrewIndex int
	// DayIndex tells days apart; any numbers from 0 up.
	DayIndex int
	// SkillID is a skill, certificate, registration or tool: had or not had.
	SkillID int
	// StockID is a kind of part carried on the truck.
	StockID int
	// GroupID joins visits that one route a day must serve; 0 is no group.
	GroupID int
)

// Nowhere as a route's start or end makes the first or last drive free: the
// route begins at its first visit or ends at its last.
const Nowhere PlaceIndex = -1

// NoRoute and NoVisit stand where there is none.
const (
	NoRoute RouteIndex = -1
	NoVisit VisitIndex = -1
)

// CostOf converts an amount of money, in currency units, to the nearest Cost.
func CostOf(amount float64) Cost { return Cost(math.Round(amount * float64(CurrencyUnit))) }

// CostPerMetre converts a rate in currency units a kilometre.
func CostPerMetre(perKilometre float64) Cost { return CostOf(perKilometre / 1000) }

// CostPerSecond converts a rate in currency units an hour.
func CostPerSecond(perHour float64) Cost { return CostOf(perHour / 3600) }

// Amount is the cost in currency units, for printing.
func (c Cost) Amount() float64 { return float64(c) / float64(CurrencyUnit) }
