// Package holidays tells the public holidays of a region: of a whole country, or of a part of one where the parts differ.
//
// Regions are named by ISO 3166-1 and 3166-2 codes ("US", "AU-QLD"). The days come from github.com/rickar/cal, with the days
// on which a holiday is observed when it falls on a weekend: both the day itself and the day observed are holidays here. What
// a town, a purveyor or a site keeps beyond that is for its own list of closed days.
package holidays

import (
	"maps"
	"slices"
	"time"

	"github.com/rickar/cal/v2"
	"github.com/rickar/cal/v2/au"
	"github.com/rickar/cal/v2/ca"
	"github.com/rickar/cal/v2/gb"
	"github.com/rickar/cal/v2/ie"
	"github.com/rickar/cal/v2/us"
	"github.com/rickar/cal/v2/za"
)

// regions is read and never written.
var regions = map[string][]*cal.Holiday{
	"US": us.Holidays, "CA": ca.Holidays, "GB": gb.Holidays, "IE": ie.Holidays, "ZA": za.Holidays,
	"AU-ACT": au.HolidaysACT, "AU-NSW": au.HolidaysNSW, "AU-NT": au.HolidaysNT, "AU-QLD": au.HolidaysQLD,
	"AU-SA": au.HolidaysSA, "AU-TAS": au.HolidaysTAS, "AU-VIC": au.HolidaysVIC, "AU-WA": au.HolidaysWA,
}

// Regions lists the codes of every region that is known, sorted.
func Regions() []string { return slices.Sorted(maps.Keys(regions)) }

// Region is the public holidays of one region. The zero Region has none.
type Region struct{ days []*cal.Holiday }

// Of finds a region by its code; ok is false when it is not known.
func Of(code string) (r Region, ok bool) {
	days, ok := regions[code]
	return Region{days}, ok
}

// Holiday reports whether the day is a public holiday, on the day itself or as observed.
func (r Region) Holiday(year int, month time.Month, day int) bool {
	return r.Name(year, month, day) != ""
}

// Name is the name of the public holiday in its own country's words; empty on other days.
func (r Region) Name(year int, month time.Month, day int) string {
	for _, h := range r.days {
		// A holiday of one year may be observed in the year before or after.
		for y := year - 1; y <= year+1; y++ {
			if actual, observed := h.Calc(y); is(actual, year, month, day) || is(observed, year, month, day) {
				return h.Name
			}
		}
	}
	return ""
}

func is(t time.Time, year int, month time.Month, day int) bool {
	return !t.IsZero() && t.Year() == year && t.Month() == month && t.Day() == day
}
