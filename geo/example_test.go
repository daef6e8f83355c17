package geo_test

import (
	"context"
	"fmt"

	"valveround/geo"
)

// New York to London, by the sphere and by the ellipsoid (the sample of the
// GeographicLib documentation: 5,551,759.400 m).
func ExampleGeodesicDistance() {
	jfk, lhr := geo.MustPoint(40.6, -73.8), geo.MustPoint(51.6, -0.5)
	fmt.Printf("%.3f m on WGS 84, %s on the sphere\n", float64(geo.GeodesicDistance(jfk, lhr)), geo.Distance(jfk, lhr))
	// Output: 5551759.400 m on WGS 84, 5536.9 km on the sphere
}

func ExampleTerrain() {
	west, east := geo.MustPoint(40, -100.1), geo.MustPoint(40, -99.9)
	terrain := geo.Terrain{
		Kinds: []geo.AreaKind{{Name: "country", DetourFactor: 1.2, SpeedKmh: 70}},
		Barriers: []geo.Barrier{{
			Name:      "river",
			Line:      []geo.Point{geo.MustPoint(39, -100), geo.MustPoint(41, -100)},
			Crossings: []geo.Point{geo.MustPoint(40.2, -100)},
		}},
		FixedSeconds: 2 * geo.Minute,
	}
	model, err := terrain.At(9)
	if err != nil {
		fmt.Println(err)
		return
	}
	drive := model.Travel(west, east)
	fmt.Printf("%s as the crow flies, %s and %s over the bridge\n", geo.Distance(west, east), drive.Metres, drive.Seconds)
	// Output: 17.0 km as the crow flies, 57.1 km and 51 min over the bridge
}

func ExampleDistanceMatrix() {
	depot := []geo.Point{geo.MustPoint(40, -100)}
	sites := []geo.Point{geo.MustPoint(40, -100), geo.MustPoint(40.1, -100), geo.MustPoint(40, -99.9)}
	d, err := geo.DistanceMatrix(context.Background(), depot, sites, nil)
	fmt.Println(d.Metres, err)
	// Output: [0 11119.508 8518.037] <nil>
}

func ExampleIndex_Nearest() {
	index := geo.NewIndex([]geo.Point{geo.MustPoint(40.3, -100), geo.MustPoint(40.1, -100), {}, geo.MustPoint(40.2, -100)})
	for _, near := range index.Nearest(geo.MustPoint(40, -100), 2) {
		fmt.Println(near.Point, near.Distance)
	}
	// Output:
	// 1 11.1 km
	// 3 22.2 km
}
