package papers

import (
	"cmp"
	"math"
	"slices"

	"valveround/events"
	"valveround/geo"
)

// RouteMap is where the stops of a route lie. Its plane is flat, true to scale at its middle; over a county the
// error is far below a line's width.
type RouteMap struct {
	Home    *MapPoint  `json:"home,omitempty"`
	Stops   []MapPoint `json:"stops"`
	Missing []int      `json:"missing,omitempty" doc:"stops whose position is not known"`
}

// MapPoint is a place in metres east and north of the map's middle.
type MapPoint struct {
	Order  int     `json:"order,omitempty"`
	EastM  float64 `json:"east_m"`
	NorthM float64 `json:"north_m"`
	Rough  bool    `json:"rough,omitempty"`
}

// routeMap lays a route on the plane.
func routeMap(b *events.Book, r events.DayRoute, home geo.Point) RouteMap {
	m := RouteMap{Stops: []MapPoint{}}
	var places []geo.Point
	if home.IsSet() {
		places = append(places, home)
	}
	for i, v := range r.Visits {
		if s := b.Sites[v.Site]; s != nil && s.Position.IsSet() {
			places = append(places, s.Position)
			m.Stops = append(m.Stops, MapPoint{Order: i + 1, Rough: rough(s)})
		} else {
			m.Missing = append(m.Missing, i+1)
		}
	}
	if len(places) == 0 {
		return m
	}
	flat := flatten(places)
	if home.IsSet() {
		m.Home, flat = &flat[0], flat[1:]
	}
	for i := range m.Stops {
		m.Stops[i].EastM, m.Stops[i].NorthM = flat[i].EastM, flat[i].NorthM
	}
	return m
}

// flatten puts places on the plane.
func flatten(places []geo.Point) []MapPoint {
	on, err := geo.Flatten(places)
	if err != nil {
		return nil // an unset place: routeMap has none among its places
	}
	flat := make([]MapPoint, len(on))
	for i, p := range on {
		flat[i] = MapPoint{EastM: float64(p.East), NorthM: float64(p.North)}
	}
	return flat
}

// frame is the map drawn into a box of a page, in millimetres from its top left corner.
type frame struct {
	x, y, w, h float64
	metresPer  float64 // metres per millimetre
	midE, midN float64
}

// mapMargin keeps numbers and names inside the frame, in mm.
const mapMargin = 7

// fit scales the map into a box: everything inside, and never closer than 20 m to the millimetre.
func (m RouteMap) fit(x, y, w, h float64) frame {
	f := frame{x: x, y: y, w: w, h: h, metresPer: 20}
	all := slices.Clone(m.Stops)
	if m.Home != nil {
		all = append(all, *m.Home)
	}
	if len(all) == 0 {
		return f
	}
	byEast := func(a, b MapPoint) int { return cmp.Compare(a.EastM, b.EastM) }
	byNorth := func(a, b MapPoint) int { return cmp.Compare(a.NorthM, b.NorthM) }
	west, east := slices.MinFunc(all, byEast).EastM, slices.MaxFunc(all, byEast).EastM
	south, north := slices.MinFunc(all, byNorth).NorthM, slices.MaxFunc(all, byNorth).NorthM
	f.metresPer = max(f.metresPer, (east-west)/(w-2*mapMargin), (north-south)/(h-2*mapMargin))
	f.midE, f.midN = (west+east)/2, (south+north)/2
	return f
}

// at is where a place lies on the page.
func (f frame) at(p MapPoint) (x, y float64) {
	return f.x + f.w/2 + (p.EastM-f.midE)/f.metresPer, f.y + f.h/2 - (p.NorthM-f.midN)/f.metresPer
}

// label is a numbered disc and the place it stands for.
type label struct {
	order      int
	rough      bool
	x, y       float64 // of the disc
	trueX, trY float64 // of the place
}

// discRadius of a stop's number, in mm.
const discRadius = 2.5

// labels places the numbers of stops and moves apart those that would cover each other or the home; order decides nothing.
func (m RouteMap) labels(f frame) []label {
	list := make([]label, len(m.Stops))
	for i, p := range m.Stops {
		x, y := f.at(p)
		list[i] = label{p.Order, p.Rough, x, y, x, y}
	}
	const apart = 2*discRadius + 0.6
	for range 200 {
		moved := false
		for i := range list {
			for j := range i {
				moved = list[i].push(&list[j], apart, float64(i-j)) || moved
			}
			if m.Home != nil {
				hx, hy := f.at(*m.Home)
				home := label{x: hx, y: hy}
				moved = list[i].push(&home, apart, 1) || moved
			}
			list[i].x = min(max(list[i].x, f.x+discRadius+0.5), f.x+f.w-discRadius-0.5)
			list[i].y = min(max(list[i].y, f.y+discRadius+0.5), f.y+f.h-discRadius-0.5)
		}
		if !moved {
			break
		}
	}
	return list
}

// push moves two labels away from each other until they are apart; turn parts those that lie on one spot.
func (l *label) push(o *label, apart, turn float64) bool {
	dx, dy := l.x-o.x, l.y-o.y
	d := math.Hypot(dx, dy)
	if d >= apart-0.01 {
		return false
	}
	if d < 0.01 {
		dx, dy = math.Cos(2.4*turn), math.Sin(2.4*turn)
		l.x, l.y = l.x+dx*0.1, l.y+dy*0.1
		return true
	}
	step := (apart - d) / 2
	l.x, l.y, o.x, o.y = l.x+dx/d*step, l.y+dy/d*step, o.x-dx/d*step, o.y-dy/d*step
	return true
}

// niceLength is the longest of 1, 2 or 5 times a power of ten that is not above a length.
func niceLength(most float64) float64 {
	if most <= 0 {
		return 0
	}
	power := math.Pow(10, math.Floor(math.Log10(most)))
	for _, n := range []float64{5, 2} {
		if n*power <= most {
			return n * power
		}
	}
	return power
}
