package positions

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"valveround/geo"
)

// Coordinates is a position as somebody wrote it.
type Coordinates struct {
	At           geo.Point
	ReadAs       string  // in which notation
	UncertaintyM float64 // as a geo URI says it; 0: not said
}

var (
	errTwoParts = errors.New("write latitude and longitude, such as 41.2573, -95.9412")
	errCrs      = errors.New("the position is not in WGS 84 degrees; ask for it so")
)

// ParseCoordinates reads a position: decimal degrees, degrees with minutes and seconds, a geo URI (RFC 5870) or an ISO 6709
// text. Latitude comes first unless letters or labels say otherwise. Nothing is guessed: what can be read in two ways, or
// lies outside the globe, is an error in words.
func ParseCoordinates(text string) (Coordinates, error) {
	text = strings.TrimSpace(text)
	if len(text) > 200 {
		return Coordinates{}, errTwoParts
	}
	if rest, ok := cutPrefixFold(text, "geo:"); ok {
		return parseGeoURI(rest)
	}
	if m := iso6709.FindStringSubmatch(text); m != nil {
		return parseISO(m)
	}
	return parseWritten(text)
}

func cutPrefixFold(text, prefix string) (string, bool) {
	if len(text) < len(prefix) || !strings.EqualFold(text[:len(prefix)], prefix) {
		return text, false
	}
	return text[len(prefix):], true
}

// place checks the two angles and makes the point. The place at 0, 0 is what empty fields become, and is in the sea.
func place(lat, lon float64, readAs string) (Coordinates, error) {
	if lat == 0 && lon == 0 {
		return Coordinates{}, errors.New("0, 0 is a place in the sea, and what empty fields turn into")
	}
	at, err := geo.NewPoint(lat, lon)
	if err != nil && lon >= -90 && lon <= 90 && lat >= -180 && lat <= 180 {
		return Coordinates{}, fmt.Errorf("%w: is the longitude first? Write the latitude first", err)
	}
	if err != nil {
		return Coordinates{}, err
	}
	return Coordinates{At: at, ReadAs: readAs}, nil
}

// parseGeoURI reads what follows "geo:" (RFC 5870 section 3.3): latitude, longitude, perhaps altitude, then parameters.
func parseGeoURI(text string) (Coordinates, error) {
	parts := strings.Split(text, ";")
	numbers := strings.Split(parts[0], ",")
	if len(numbers) != 2 && len(numbers) != 3 {
		return Coordinates{}, errTwoParts
	}
	var angles []float64
	for _, n := range numbers {
		if !plainNumber.MatchString(n) {
			return Coordinates{}, fmt.Errorf("%q is not a number", n)
		}
		x, err := strconv.ParseFloat(n, 64)
		if err != nil {
			return Coordinates{}, fmt.Errorf("%q is not a number", n)
		}
		angles = append(angles, x)
	}
	uncertainty := 0.0
	for _, p := range parts[1:] {
		name, value, _ := strings.Cut(p, "=")
		switch {
		case strings.EqualFold(name, "crs") && !strings.EqualFold(value, "wgs84"):
			return Coordinates{}, errCrs
		case strings.EqualFold(name, "u"):
			u, err := strconv.ParseFloat(value, 64)
			if err != nil || !(u >= 0 && u < 1e8) {
				return Coordinates{}, fmt.Errorf("the uncertainty %q is not a number of metres", value)
			}
			uncertainty = u
		}
	}
	c, err := place(angles[0], angles[1], "geo URI")
	c.UncertaintyM = uncertainty
	return c, err
}

var (
	plainNumber = regexp.MustCompile(`^[+-]?\d{1,3}(\.\d{1,15})?$`)
	// ±DD.D±DDD.D/ and with minutes, or minutes and seconds, run together; an altitude and a CRS may follow.
	iso6709 = regexp.MustCompile(`^([+-])(\d{2}|\d{4}|\d{6})(\.\d{1,15})?([+-])(\d{3}|\d{5}|\d{7})(\.\d{1,15})?([+-]\d+(?:\.\d+)?)?(CRS\w+)?/?$`)
)

// parseISO reads the parts of an ISO 6709 text.
func parseISO(m []string) (Coordinates, error) {
	if crs := m[8]; crs != "" && crs != "CRSWGS_84" {
		return Coordinates{}, errCrs
	}
	lat, err := sexagesimal(m[2], m[3], 2)
	if err != nil {
		return Coordinates{}, err
	}
	lon, err := sexagesimal(m[5], m[6], 3)
	if err != nil {
		return Coordinates{}, err
	}
	if m[1] == "-" {
		lat = -lat
	}
	if m[4] == "-" {
		lon = -lon
	}
	return place(lat, lon, "ISO 6709")
}

// sexagesimal reads DDMMSS with a fraction of its last part; degrees have so many digits.
func sexagesimal(digits, fraction string, degreeDigits int) (float64, error) {
	parts := []string{digits[:degreeDigits]}
	for rest := digits[degreeDigits:]; rest != ""; rest = rest[2:] {
		parts = append(parts, rest[:2])
	}
	parts[len(parts)-1] += fraction
	return degrees(parts)
}

// degrees adds up degrees, minutes and seconds; only the last may have a fraction.
func degrees(parts []string) (float64, error) {
	sum, unit := 0.0, 1.0
	for i, p := range parts {
		x, err := strconv.ParseFloat(p, 64)
		switch {
		case err != nil:
			return 0, fmt.Errorf("%q is not a number", p)
		case i > 0 && x >= 60:
			return 0, fmt.Errorf("%s minutes or seconds are 60 or more", p)
		case i < len(parts)-1 && strings.Contains(p, "."):
			return 0, fmt.Errorf("%s has a fraction, and minutes or seconds besides", p)
		}
		sum += x / unit
		unit *= 60
	}
	return sum, nil
}

var (
	signs        = strings.NewReplacer("−", "-", "–", "-", "º", "°", "˚", "°", "′", "'", "’", "'", "″", `"`, "”", `"`, "“", `"`, "''", `"`, "\u00a0", " ", "\t", " ", "(", "", ")", "")
	labels       = regexp.MustCompile(`(?i)\b(latitude|lat|longitude|long|lon|lng)\b\.?\s*[:=]?`)
	decimalComma = regexp.MustCompile(`^\s*[+-]?\d+,\d+\s*[;,]?\s+[+-]?\d+,\d+\s*$|^\s*[+-]?\d+,\d+\s*;\s*[+-]?\d+,\d+\s*$`)
	commaWithin  = regexp.MustCompile(`(\d),(\d)`)
	token        = regexp.MustCompile(`^(?:[+-]?\d+(?:\.\d+)?|[NSEWnsew]|[°'",;])`)
	isNumber     = regexp.MustCompile(`\d`)
)

// half is one of the two angles: its numbers, the mark behind each, and the letter of its half of the globe.
type half struct {
	numbers, marks []string
	letter         string
}

// parseWritten reads a position as people write it.
func parseWritten(text string) (Coordinates, error) {
	text = signs.Replace(text)
	lonFirst := false
	if found := labels.FindAllString(text, -1); len(found) == 2 {
		first, second := strings.ToLower(found[0][:2]), strings.ToLower(found[1][:2])
		if first == second {
			return Coordinates{}, errTwoParts
		}
		lonFirst = first == "lo" || first == "ln"
		text = labels.ReplaceAllString(text, " ")
	}
	if decimalComma.MatchString(text) {
		// 41,2573; -95,9412
		text = commaWithin.ReplaceAllString(text, "$1.$2")
	}
	words, err := tokensOf(text)
	if err != nil {
		return Coordinates{}, err
	}
	first, second, err := halves(words)
	if err != nil {
		return Coordinates{}, err
	}
	if east := strings.ContainsAny(first.letter, "EW"); east || strings.ContainsAny(second.letter, "NS") {
		if strings.ContainsAny(second.letter, "EW") || strings.ContainsAny(first.letter, "NS") || lonFirst {
			return Coordinates{}, errors.New("the letters do not say which is the latitude: one must be N or S, the other E or W")
		}
		lonFirst = true
	}
	if lonFirst {
		first, second = second, first
	}
	lat, err := first.angle()
	if err != nil {
		return Coordinates{}, err
	}
	lon, err := second.angle()
	if err != nil {
		return Coordinates{}, err
	}
	readAs := "degrees"
	if n := max(len(first.numbers), len(second.numbers)); n > 1 {
		readAs = [...]string{"degrees and minutes", "degrees, minutes and seconds"}[n-2]
	}
	return place(lat, lon, readAs)
}

func tokensOf(text string) ([]string, error) {
	var words []string
	for text = strings.TrimSpace(text); text != ""; text = strings.TrimSpace(text) {
		w := token.FindString(text)
		if w == "" {
			return nil, fmt.Errorf("%.20q is not part of a position; %w", text, errTwoParts)
		}
		words = append(words, strings.ToUpper(w))
		text = text[len(w):]
	}
	return words, nil
}

// halves cuts the words in two: at the only comma or semicolon, else at the letters, else in the middle of the numbers.
func halves(words []string) (first, second half, err error) {
	cut, separators, letters, numbers := -1, 0, 0, 0
	for i, w := range words {
		switch {
		case w == "," || w == ";":
			separators++
			cut = i
		case strings.ContainsAny(w, "NSEW"):
			letters++
		case isNumber.MatchString(w):
			numbers++
		}
	}
	switch {
	case separators > 1:
		return first, second, errTwoParts
	case separators == 0 && letters == 2:
		cut = cutAtLetter(words)
	case separators == 0 && numbers%2 == 0:
		cut = cutInMiddle(words, numbers/2)
	case separators == 0:
		return first, second, errTwoParts
	}
	if first, err = halfOf(words[:cut]); err != nil {
		return first, second, err
	}
	second, err = halfOf(words[cut:])
	return first, second, err
}

// cutAtLetter cuts before the second letter when the first leads, else behind the first.
func cutAtLetter(words []string) int {
	leads := strings.ContainsAny(words[0], "NSEW")
	seen := 0
	for i, w := range words {
		if !strings.ContainsAny(w, "NSEW") {
			continue
		}
		if seen++; leads && seen == 2 {
			return i
		} else if !leads {
			return i + 1
		}
	}
	return len(words)
}

// cutInMiddle cuts before the number after so many.
func cutInMiddle(words []string, before int) int {
	for i, w := range words {
		if isNumber.MatchString(w) {
			if before == 0 {
				return i
			}
			before--
		}
	}
	return len(words)
}

func halfOf(words []string) (half, error) {
	var h half
	for _, w := range words {
		switch {
		case w == "," || w == ";":
		case isNumber.MatchString(w):
			if len(h.numbers) > 0 && (w[0] == '-' || w[0] == '+') {
				return h, errTwoParts
			}
			h.numbers, h.marks = append(h.numbers, w), append(h.marks, "")
		case strings.ContainsAny(w, "NSEW"):
			if h.letter != "" {
				return h, errTwoParts
			}
			h.letter = w
		default:
			if len(h.marks) == 0 || h.marks[len(h.marks)-1] != "" {
				return h, errTwoParts
			}
			h.marks[len(h.marks)-1] = w
		}
	}
	if len(h.numbers) == 0 || len(h.numbers) > 3 {
		return h, errTwoParts
	}
	for i, mark := range h.marks {
		if mark != "" && mark != []string{"°", "'", `"`}[i] {
			return h, fmt.Errorf("the mark %s stands behind the wrong number", mark)
		}
	}
	return h, nil
}

// angle of the half, south and west below zero.
func (h half) angle() (float64, error) {
	numbers := append([]string{}, h.numbers...)
	signed := numbers[0][0] == '-' || numbers[0][0] == '+'
	if signed && h.letter != "" {
		return 0, errors.New("a sign and a letter together say it twice; write one of them")
	}
	negative := numbers[0][0] == '-' || h.letter == "S" || h.letter == "W"
	numbers[0] = strings.TrimLeft(numbers[0], "+-")
	sum, err := degrees(numbers)
	if negative {
		sum = -sum
	}
	return sum, err
}
