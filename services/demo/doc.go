// Package demo makes an invented county to try the program on: water purveyors with differing rules, sites, feeds,
// assemblies, crews, gauges, repair kits, and some weeks of history that left work behind. People, places, makers, models
// and rules are all made up; the county lies in the open Atlantic, so that no stop is anybody's door.
//
// Everything follows from Options: the same options give the same commands, byte for byte, on every machine. All dates
// are counted from Options.Today, so that there is work on whatever day it is run. A larger county both grows and fills up:
// its sides grow with the fourth root of the number of sites, so ten times the sites are about three times as dense.
//
// The package does no input or output but for the list it writes to a given writer. Files:
//
//	options.go     size, seed and day
//	fleet.go       what comes out, and folding it
//	batches.go     the commands in bundles that may be stored at once
//	dice.go        the only source of chance
//	county.go      towns and where sites lie
//	names.go       invented names
//	makers.go      invented makers, models, serials and kit codes
//	purveyors.go   four sets of rules
//	crews.go       people, certificates, gauges and crews
//	uses.go        what is found at a restaurant, a hospital, a school…
//	sites.go       sites with their feeds and assemblies
//	customers.go   whose the sites are
//	brought.go     where others must bring something, and who is booked
//	formfields.go  what only report forms ask for
//	roles.go       which assembly is due, failed, stopped, passed, not yet listed
//	history.go     past days: who went where and what came of it
//	outcomes.go    what crews found, and what the desk did about it
//	timeline.go    commands in the order in which they happened
//	readings.go    test readings that pass or fail
//	samplelist.go  a purveyor's untidy due list
//	summary.go     the county in words
package demo
