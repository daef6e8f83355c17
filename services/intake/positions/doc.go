// Package positions places sites without a network: by a county's file of address points, by centres of streets or
// postcodes, and by coordinates that somebody pasted. Reading never writes: a file becomes proposals, each with what
// matched and how surely; those taken become corrections of the sites' records.
//
//	coordinates.go  one position as people write it
//	points.go       a file of points, whatever its columns are called
//	propose.go      which point each site without a sure position is at
//	take.go         proposals that were taken, as commands
//
// The subpackage postal reads and compares addresses.
package positions
