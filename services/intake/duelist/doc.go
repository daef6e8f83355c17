// Package duelist reads the lists of due assemblies that purveyors send, whatever their columns, into
// rows that say which assembly, where, of what kind and due when.
//
// The way through it: ProposeMapping finds the header and says which column is what and how sure that
// is; a person answers what it asks; Read takes table and mapping to a Result. Every physical row of
// the table is in exactly one of Result.Rows, Result.Rejected and Result.Skipped. SaveRejected writes
// the rejected rows with the reason beside each, to be mended and read again.
//
// The package is pure: no clock, no files. It never guesses. What could be meant two ways becomes a
// question; what a spreadsheet has damaged is flagged and never used as an identity.
//
//	fields.go     what a column can be, and the words it goes by
//	mapping.go    column to field; header.go finds the header line
//	dates.go      days as people and spreadsheets write them
//	cells.go      sizes, services, hazards, standing
//	serials.go    serial numbers: fillers, damage, look-alikes
//	row.go        what a row becomes, and its key
//	sort.go       titles, totals, blank lines, repeated headers, carried addresses
//	read.go       the whole reading
//	detectors.go  main and bypass of one detector assembly on two rows
//	repeats.go    the same thing twice
//	rejected.go   the file of rejected rows
package duelist
