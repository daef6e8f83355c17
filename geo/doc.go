// Package geo knows where things are and how far apart: positions, distances on the
// sphere and on the ellipsoid, travel models, matrices and a spatial index. It is the
// only package that knows an earth radius or an axis order (a test looks through the
// others).
//
// # Conventions
//
// Latitude and longitude in degrees, north and east positive, always in the order
// latitude, longitude; distances in [Metres]; travel times in whole [Seconds];
// bearings and azimuths in degrees clockwise from north. The zero [Point] is no place.
// Other libraries' orders and radii are met in convert.go alone.
//
// # Which distance
//
// Costs are in haversines, the plain formula of one pair measured in the same run
// (about 55 ns on a 2023 server core); `valveround bench geo` measures them again.
//
//	for                          use                 accuracy                            cost a pair
//	one pair, a list, a page     Distance            0.56 % (SphereError)                1.5
//	thousands by thousands       DistanceMatrix      that, and 8e-8 of rounding          1/15 on one core
//	planning: metres, seconds    Model, Table        the roads' detour, far above both   about 1
//	ranking close calls,         GeodesicDistance,   15 nm on WGS 84                     12; Direct 5.5
//	checking, surveying          Ellipsoid.Inverse
//
// [Distance] is the great circle on the sphere of radius [MeanRadius], by the
// arctangent of cross and dot product: exact for coincident, antipodal and polar
// points. Against the geodesic on WGS 84 it is at most 0.5615 % too long (north to
// south near the equator) and 0.45 % too short (near the poles); over the 10,000 lines
// of C. F. F. Karney, Test set for geodesics, 2010, doi 10.5281/zenodo.32156, at most
// 0.560 %. A route's order hardly ever turns on that; a tie between two near
// candidates may, and then the short list is ranked by [GeodesicDistance].
//
// [DistanceMatrix] takes chords from differences of coordinates and the arc from a
// table: [DistanceMatrixError]. A [Model]'s matrix holds whole metres and seconds and
// equals its single answers exactly, since both come from one function; [Table] keeps
// one row for each place, however many visits share it, and asks the model beyond a
// size limit.
//
// [Ellipsoid.Inverse] and [Ellipsoid.Direct] solve the geodesic problems by C. F. F.
// Karney, Algorithms for geodesics, Journal of Geodesy 87:43 (2013), doi
// 10.1007/s00190-012-0578-z, to the sixth order: they do not fail near antipodes, where
// older methods do. Over the same 10,000 lines the largest error is 11.2 nm of distance
// and 12.7 nm of an end point (a double at 20,000 km has steps of 3.7 nm).
//
// # Files
//
//	units.go           metres and seconds, with printing
//	point.go           a position, unset until it is made
//	convert.go         the one place for other libraries' axis orders, and GeoJSON
//	distance.go        distance, bearing and destination on the sphere
//	chord.go           the angle between near points from their chord
//	distances.go       matrices of distances in 32-bit floats
//	ellipsoid.go       ellipsoids of revolution, WGS 84
//	geodesic.go        shortest lines on them: the direct problem
//	geodesicinverse.go the inverse problem
//	geodesicguess.go   where its search begins
//	geodesicseries.go  the series in ε
//	angle.go           angles as sine and cosine
//	travel.go          the travel model and its first form, great circle with detour
//	terrain.go         travel by kind of area and hour of day
//	barrier.go         ways past rivers and motorways
//	calibrate.go       a terrain learnt from driven legs
//	robust.go          least squares that wild values do not draw away
//	matrix.go          travel between lists of points
//	table.go           travel between visits, kept by place
//	rows.go            rows of a matrix on all processors
//	index.go           nearest points, points within a radius
//	search.go          one question to the index
//	neighbourhood.go   S2 cells as neighbourhoods and territories
//	plane.go           a flat map, for drawing
//
// The package does no input or output and keeps no state.
package geo
