// Package postal reads a street address the way a postman does, and compares two of them forgivingly: letter case,
// punctuation, abbreviations, directions in either place and slips of the pen do not count; the house number does.
//
//	words.go    street suffixes, directions, unit words and ordinals, each with its published abbreviation
//	address.go  the parts of an address
//	compare.go  two addresses: how surely they are one, what agrees and what does not
//	nearly.go   how many slips of the pen lie between two words
package postal
