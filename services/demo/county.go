package demo

import (
	"math"

	"valveround/geo"
)

// Town is a named place of the county; sites cluster round it.
type Town struct {
	Name     string
	Position geo.Point
	spread   geo.Metres
	weight   int
	purveyor int
}

// county centre: open water in the North Atlantic.
var centre = geo.MustPoint(41.2, -38)

// halfSides of the default county are 30 km by 22.5 km: 60 by 45 in all.
func halfSides(sites int) (east, north geo.Metres) {
	grown := geo.Metres(math.Max(0.6, math.Pow(float64(sites)/600, 0.25)))
	return 30_000 * grown, 22_500 * grown
}

func offset(from geo.Point, east, north geo.Metres) geo.Point {
	bearing := math.Mod(math.Atan2(float64(east), float64(north))*180/math.Pi+360, 360)
	return geo.Destination(from, bearing, geo.Metres(math.Hypot(float64(east), float64(north))))
}

// makeTowns lays out the county seat in the middle and the others about it, not too near each other.
func makeTowns(o Options) []Town {
	d := newDice(o.Seed, "towns")
	east, north := halfSides(o.Sites)
	n := min(max(5, int(math.Round(12*math.Sqrt(float64(o.Sites)/600)))), len(townNames))
	apart := geo.Metres(math.Sqrt(float64(4*east*north)/float64(n)) * 0.6)
	towns := []Town{{townNames[0], centre, 3500, 10, 0}}
	for len(towns) < n {
		at := centre
		for try := range 40 {
			at = offset(centre, geo.Metres(d.Float64()*1.8-0.9)*east, geo.Metres(d.Float64()*1.8-0.9)*north)
			if nearest(towns, at) > apart/geo.Metres(1+try/10) {
				break
			}
		}
		weight := d.between(1, 4)
		towns = append(towns, Town{townNames[len(towns)], at, geo.Metres(900 + 450*weight), weight, len(towns) % 4})
	}
	return towns
}

func nearest(towns []Town, at geo.Point) geo.Metres {
	least := geo.Metres(math.Inf(1))
	for _, t := range towns {
		least = min(least, geo.Distance(t.Position, at))
	}
	return least
}

// place finds a town and a spot in or near it; one site in eight lies out in the country, and counts to the nearest town.
func place(d dice, o Options, towns []Town) (town int, at geo.Point) {
	east, north := halfSides(o.Sites)
	if d.chance(0.12) {
		at = offset(centre, geo.Metres(d.Float64()*2-1)*east, geo.Metres(d.Float64()*2-1)*north)
		return nearestTown(towns, at), at
	}
	town = weighted(d, len(towns), func(i int) int { return towns[i].weight })
	t := towns[town]
	within := func() geo.Metres { return t.spread * geo.Metres(max(-2.2, min(2.2, d.NormFloat64()))) }
	return town, offset(t.Position, within(), within())
}

func nearestTown(towns []Town, at geo.Point) int {
	best := 0
	for i, t := range towns {
		if geo.Distance(t.Position, at) < geo.Distance(towns[best].Position, at) {
			best = i
		}
	}
	return best
}
