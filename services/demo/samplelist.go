package demo

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"valveround/events"
)

// typeWords are what people write for a type.
var typeWords = map[events.AssemblyType][]string{
	events.RP: {"RPZ", "RPBA", "Reduced Pressure", "RP"}, events.DC: {"DCVA", "Double Check", "DC"}, events.DCDA: {"DCDA", "DDCV"},
	events.DCDA2: {"DCDA Type II"}, events.RPDA: {"RPDA"}, events.RPDA2: {"RPDA-II"}, events.PVB: {"PVB", "Pressure Vacuum Breaker"},
	events.SVB: {"SRPVB", "Spill-Resistant Vacuum Breaker"}, events.AirGap: {"Air Gap"},
}

// staleRows is how many assemblies that have passed are listed as due all the same.
const staleRows = 3

// SampleDueList is a purveyor's due list as it comes, with a last column in which the office has noted what is ordered:
// title lines above the header, the trade's many names for types, a row for each assembly that is due, whether an earlier
// list named it or not, some that have passed, a few rows that cannot be read or matched, and a total below. The story's
// assembly is on its purveyor's list.
func SampleDueList(f Fleet, id events.PurveyorID) [][]string {
	d := newDice(f.Options.Seed, "sample list "+string(id))
	rows := [][]string{
		{nameOf(f, id)},
		{"Backflow assemblies due for test", "", "", "printed " + us(f.Options.Today.AddDays(-1))},
		{},
		{"Assembly No.", "Customer", "Service Address", "Location", "Type", "Size", "Make", "Model", "Serial #", "Hazard", "Last Test", "Due Date", "Ordered"},
	}
	above, stale := len(rows), 0
	for _, s := range f.sites {
		for _, u := range s.units {
			if u.facts.Purveyor != id || u.role == nil || u.facts.PurveyorNumber == "" {
				continue
			}
			switch u.role.part {
			case isUnlisted, isDue, isMissed, isFailed, isStopped:
			case isPassed, isReported:
				if stale++; stale > staleRows {
					continue
				}
			default:
				continue
			}
			rows = append(rows, listRow(d, u))
		}
	}
	rows = append(rows, badRows(f.Options.Today)...)
	return append(rows, []string{}, []string{fmt.Sprintf("Total: %d", len(rows)-above)})
}

var ordered = map[events.Standing]string{events.Ours: "yes", events.NotOurs: "no", events.Ask: ""}

func listRow(d dice, u *unit) []string {
	size := strings.TrimSuffix(u.facts.Size.String(), " in")
	if d.chance(0.5) {
		size += `"`
	}
	hazard := map[events.Hazard][]string{events.Health: {"High", "health"}, events.NonHealth: {"Low", "non-health"}, events.Imminent: {"High"}, events.UnknownHazard: {""}}[u.facts.Hazard]
	return []string{u.facts.PurveyorNumber, u.site.facts.Name, strings.ToUpper(u.site.facts.Address), u.facts.Place, pick(d, typeWords[u.facts.Type]),
		size, u.facts.Maker, u.facts.Model, u.facts.Serial, pick(d, hazard), us(u.facts.LastPassed), us(u.role.due), ordered[standingOf(u.role)]}
}

// badRows are faults that every office knows: an unknown number, a day that does not exist, a size that became a date, a type
// that could be several, and no number at all.
func badRows(today events.Date) [][]string {
	due := us(today.AddDays(30))
	return [][]string{
		{"ZZ-999999", "Nobody We Know", "1 UNKNOWN ROAD", "", "RPZ", "1", "", "", "", "High", "", due, ""},
		{"ZZ-999998", "Leap Year Laundry", "2 UNKNOWN ROAD", "", "DCVA", "2", "", "", "", "Low", "", "2/30/" + due[len(due)-4:], ""},
		{"ZZ-999997", "Spreadsheet Supplies", "3 UNKNOWN ROAD", "", "RPBA", "4-Mar", "", "", "1.23E+08", "High", "", due, ""},
		{"ZZ-999996", "Either Or Ltd", "4 UNKNOWN ROAD", "", "Vacuum Breaker", "1", "", "", "", "", "", due, ""},
		{"", "No Number Nurseries", "5 UNKNOWN ROAD", "", "PVB", "1", "", "", "", "Low", "", due, ""},
	}
}

func nameOf(f Fleet, id events.PurveyorID) string {
	for _, p := range f.purveyors {
		if p.id == id {
			return p.facts.Name
		}
	}
	return string(id)
}

// us writes month/day/year; empty for no date.
func us(d events.Date) string {
	if d.IsZero() {
		return ""
	}
	year, month, day := d.YMD()
	return fmt.Sprintf("%d/%d/%d", month, day, year)
}

// WriteSampleList writes SampleDueList as CSV.
func WriteSampleList(w io.Writer, f Fleet, id events.PurveyorID) error {
	out := csv.NewWriter(w)
	for _, row := range SampleDueList(f, id) {
		if len(row) == 0 {
			row = []string{""}
		}
		if err := out.Write(row); err != nil {
			return fmt.Errorf("writing the sample list: %w", err)
		}
	}
	out.Flush()
	return out.Error()
}
