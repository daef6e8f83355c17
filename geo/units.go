package geo

import (
	"math"
	"strconv"
)

// Metres is a length along the ground.
type Metres float64

// Lengths to multiply with: 12 * geo.Kilometre.
const (
	Metre     Metres = 1
	Kilometre Metres = 1000
)

// Kilometres returns the length in kilometres.
func (m Metres) Kilometres() float64 { return float64(m) / float64(Kilometre) }

// String prints the length with its unit: whole metres below one kilometre,
// kilometres with one decimal from there on ("850 m", "12.4 km").
func (m Metres) String() string {
	if math.Abs(float64(m)) < 999.5 {
		return strconv.FormatFloat(float64(m), 'f', 0, 64) + " m"
	}
	return strconv.FormatFloat(m.Kilometres(), 'f', 1, 64) + " km"
}

// Seconds is a travel time, whole seconds.
type Seconds int64

// Times to multiply with.
const (
	Second Seconds = 1
	Minute Seconds = 60
	Hour   Seconds = 3600
)

// String prints the time with its units: "45 s", "12 min", "1 h 05 min".
// Minutes are rounded to the nearest one.
func (s Seconds) String() string {
	sign := ""
	if s < 0 {
		sign, s = "-", -s
	}
	if s < Minute {
		return sign + strconv.FormatInt(int64(s), 10) + " s"
	}
	minutes := int64(s+Minute/2) / int64(Minute)
	if minutes < 60 {
		return sign + strconv.FormatInt(minutes, 10) + " min"
	}
	pad := ""
	if minutes%60 < 10 {
		pad = "0"
	}
	return sign + strconv.FormatInt(minutes/60, 10) + " h " + pad + strconv.FormatInt(minutes%60, 10) + " min"
}
