// Package plain reads and writes the firm's own lists as plain CSV files, one kind a file, in documented
// columns with their units in their names: purveyors.csv, customers.csv, sites.csv, feeds.csv,
// assemblies.csv, crews.csv, people.csv, gauges.csv, kits.csv, jobs.csv, bookings.csv.
//
// Columns may stand in any order; columns nobody knows are reported and not read. A blank cell means not
// known, unless the column's description says otherwise. Dates are year-month-day; lists inside a cell are
// separated by semicolons; yes and no are written so. What is written reads back the same.
//
//	files.go    the eleven kinds and their columns
//	fleet.go    all files of a folder together, and references between them
//	codec.go    rows to structs and back
//	cells.go    one cell to one value and back
package plain
