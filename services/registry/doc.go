// Package registry is the office's card index: customers, sites, feeds, assemblies, crews, people, gauges, repair kits and
// purveyors, entered and mended by form. Every change is an event; the entry before it stays in the log.
package registry
