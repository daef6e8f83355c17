package intake

import (
	"strings"
	"unicode"
)

// streetWords joins the spellings of one word in a street address (from memory of the usual postal abbreviations).
var streetWords = map[string]string{
	"STREET": "ST", "AVENUE": "AVE", "AV": "AVE", "ROAD": "RD", "DRIVE": "DR", "LANE": "LN", "COURT": "CT", "PLACE": "PL",
	"BOULEVARD": "BLVD", "HIGHWAY": "HWY", "PARKWAY": "PKWY", "SQUARE": "SQ", "TERRACE": "TER", "CIRCLE": "CIR", "TRAIL": "TRL",
	"NORTH": "N", "SOUTH": "S", "EAST": "E", "WEST": "W", "NORTHEAST": "NE", "NORTHWEST": "NW", "SOUTHEAST": "SE", "SOUTHWEST": "SW",
	"SUITE": "UNIT", "STE": "UNIT", "APARTMENT": "UNIT", "APT": "UNIT", "BUILDING": "BLDG", "MOUNT": "MT", "SAINT": "ST",
}

// AddressKey writes the street line of an address in one way, for comparing: capitals, no punctuation, one spelling
// of the usual words. What follows the first comma (town, state, code) is left out; see sameTown.
func AddressKey(address string) string {
	street, _, _ := strings.Cut(address, ",")
	words := addressWords(street)
	for i, w := range words {
		if short, ok := streetWords[w]; ok {
			words[i] = short
		}
	}
	return strings.Join(words, " ")
}

var addressSigns = strings.NewReplacer(".", "", "'", "", "’", "", "#", " UNIT ")

// addressWords cuts at everything but letters and digits; points within abbreviations fall away.
func addressWords(text string) []string {
	text = strings.ToUpper(addressSigns.Replace(text))
	return strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// sameTown says that a town does not speak against an address; either may be silent.
func sameTown(address, town string) bool {
	_, rest, ok := strings.Cut(address, ",")
	want := strings.Join(addressWords(town), " ")
	if !ok || want == "" || strings.TrimSpace(rest) == "" {
		return true
	}
	return strings.Contains(" "+strings.Join(addressWords(rest), " ")+" ", " "+want+" ")
}
