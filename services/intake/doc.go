// Package intake brings in what others send: purveyors' lists of due assemblies, and a firm's own registry as a
// folder of plain CSV files.
//
// Reading never writes. A list becomes a Proposal: what each row would do, found by asking events.Decide on the book
// as it is; taking it turns the proposal into waves of commands that may be repeated without harm. Nothing is guessed:
// an assembly is known by the purveyor's number for it and never by its serial; what only looks like a known one is
// opened as a question for the office. No row is lost: each is an action, rejected or skipped.
//
//	propose.go   due list and book in, proposal out
//	match.go     which assembly on record a row means; address.go compares addresses
//	register.go  what is registered for an assembly that is not on record
//	commands.go  proposal to waves of commands
//	missing.go   what an earlier list named and this one does not
//	desk.go      lists that were uploaded and not yet taken in; reading.go how they are read
//	folder.go    a folder of plain CSV files to waves of commands
//	export.go    a book as a folder of plain CSV files
//
// The subpackages know no book: sheet reads cells, duelist reads rows, plain reads and writes the registry's files.
package intake
