// Package geo knows where things are and how far apart: positions, great-circle
// distance, the travel model, travel matrices and a spatial index. It is the
// only package that knows an earth radius or an axis order.
//
// Units and conventions: latitude and longitude in degrees, north and east
// positive, always in the order latitude, longitude; distances in [Metres];
// travel times in whole [Seconds]; bearings in degrees clockwise from north. The
// earth is a sphere of radius [MeanRadius]; the difference from the ellipsoid
// WGS 84 is at most 0.56 % of a distance anywhere (measured against the 10,000
// lines of C. F. F. Karney, Test set for geodesics, 2010,
// doi 10.5281/zenodo.32156).
//
// Files:
//
//	units.go     metres and seconds, with printing
//	point.go     a position, unset until it is made
//	convert.go   the one place for other libraries' axis orders
//	distance.go  distance, bearing and destination on the sphere
//	travel.go    the travel model and its first form, great circle with detour
//	matrix.go    travel between lists of points
//	index.go     neighbourhood cells, nearest points, points within a radius
//
// The package does no input or output and keeps no state.
package geo
