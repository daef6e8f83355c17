package demo

import (
	"fmt"
	"strings"

	"valveround/events"
)

// maker is an invented manufacturer with its way of numbering.
type maker struct {
	name   string
	prefix string
	series int // models are counted from it
	serial func(d dice) string
}

var makers = []maker{
	{"Morvane", "MV", 30, func(d dice) string { return fmt.Sprintf("%06d", d.IntN(90_000)) }},
	{"Tindle & Oake", "TO", 410, func(d dice) string { return fmt.Sprintf("T%02d-%05d", d.between(5, 25), d.IntN(100_000)) }},
	{"Kestrow", "K", 7, func(d dice) string {
		return fmt.Sprintf("%dE%02d%03d", d.between(1, 9), d.between(1, 12), d.IntN(1000))
	}},
	{"Halvetta", "HA", 120, func(d dice) string { return fmt.Sprintf("HO%d0%04d", d.between(1, 9), d.IntN(10_000)) }},
	{"Quarnby", "QB", 55, func(d dice) string { return fmt.Sprintf("%09d", 400_000_000+d.IntN(99_999_999)) }},
}

var modelLetters = map[events.AssemblyType]string{
	events.DC: "D", events.RP: "R", events.DCDA: "DX", events.DCDA2: "DX2", events.RPDA: "RX", events.RPDA2: "RX2",
	events.PVB: "P", events.SVB: "S", events.AVB: "A", events.AirGap: "",
}

// model is the name of a maker's product: the series, one up for larger castings, and letters for the type.
func (m maker) model(t events.AssemblyType, size events.Size) string {
	letters := modelLetters[t]
	if letters == "" {
		return ""
	}
	series := m.series
	if size > events.InchSize(2, 0) {
		series++
	}
	return fmt.Sprintf("%s-%d%s", m.prefix, series, letters)
}

// damaged is a serial as it looks after some years in spreadsheets, with what is wrong with it.
func damaged(d dice, serial string) (text, doubt string) {
	switch trimmed := strings.TrimLeft(serial, "0"); {
	case trimmed != serial:
		return trimmed, "leading zeros are lost"
	case len(serial) == 9 && strings.Trim(serial, "0123456789") == "":
		return fmt.Sprintf("%s.%sE+08", serial[:1], serial[1:3]), "a spreadsheet wrote it as a rounded number"
	case strings.Contains(serial, "O"):
		return serial, "read from a worn plate: letter O or zero"
	case d.chance(0.5):
		return "", "the plate is missing"
	}
	return serial[:len(serial)-1], "one character may be missing"
}

var componentCodes = map[events.Component]string{
	events.Check1: "C1", events.Check2: "C2", events.Relief: "RV", events.AirInlet: "AI", events.SingleCheck: "CK", events.BypassCheck: "BC",
}

// KitCode is the catalogue code of the repair kit for one component of an invented model: MV30R-075-C1.
func KitCode(a events.AssemblyFacts, part events.Part, c events.Component) string {
	model, size := a.Model, a.Size
	if part == events.BypassPart && a.Bypass != nil {
		model, size = a.Bypass.Model, a.Bypass.Size
	}
	return fmt.Sprintf("%s-%03d-%s", strings.ReplaceAll(model, "-", ""), int(size)*100/8, componentCodes[c])
}
