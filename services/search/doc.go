// Package search finds things by one box: any part of an address, a serial, a customer, a purveyor's number, a site's name or
// a job number. It is forgiving of letter case, punctuation, abbreviations, letters and digits that look alike, and small slips.
//
//	index.go   every word of a book, and where it stands
//	find.go    a query against it: each word by itself, and the whole as one number
//	keeper.go  the index of the newest book, rebuilt when the book has moved
package search
