package postal_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/services/intake/positions/postal"
)

// TestPublishedAbbreviations holds the tables to USPS Publication 28, appendix C1 and the directional words of section
// 233 (a sample, from memory).
func TestPublishedAbbreviations(t *testing.T) {
	suffixes := map[string]string{"ALLEY": "ALY", "ANNEX": "ANX", "ARCADE": "ARC", "AVENUE": "AVE", "AV": "AVE", "BAYOU": "BYU", "BEACH": "BCH", "BLUFFS": "BLFS",
		"BOULEVARD": "BLVD", "BOUL": "BLVD", "BRIDGE": "BRG", "BYPASS": "BYP", "CANYON": "CYN", "CAUSEWAY": "CSWY", "CENTER": "CTR", "CIRCLE": "CIR", "CLIFFS": "CLFS",
		"COMMON": "CMN", "CORNER": "COR", "COURT": "CT", "COVE": "CV", "CREEK": "CRK", "CRESCENT": "CRES", "CROSSING": "XING", "CROSSROAD": "XRD", "DRIVE": "DR",
		"DRIV": "DR", "ESTATES": "ESTS", "EXPRESSWAY": "EXPY", "EXTENSION": "EXT", "FALLS": "FLS", "FERRY": "FRY", "FOREST": "FRST", "FORT": "FT", "FREEWAY": "FWY",
		"GARDENS": "GDNS", "GATEWAY": "GTWY", "GLEN": "GLN", "GREEN": "GRN", "GROVE": "GRV", "HARBOR": "HBR", "HEIGHTS": "HTS", "HIGHWAY": "HWY", "HILL": "HL",
		"HOLLOW": "HOLW", "INLET": "INLT", "ISLAND": "IS", "JUNCTION": "JCT", "KNOLLS": "KNLS", "LAKE": "LK", "LANDING": "LNDG", "LANE": "LN", "LODGE": "LDG",
		"LOOP": "LOOP", "MANOR": "MNR", "MEADOWS": "MDWS", "MILL": "ML", "MISSION": "MSN", "MOTORWAY": "MTWY", "MOUNT": "MT", "MOUNTAIN": "MTN", "ORCHARD": "ORCH",
		"OVERPASS": "OPAS", "PARKWAY": "PKWY", "PASSAGE": "PSGE", "PIKE": "PIKE", "PINES": "PNES", "PLACE": "PL", "PLAINS": "PLNS", "PLAZA": "PLZ", "POINT": "PT",
		"PORT": "PRT", "PRAIRIE": "PR", "RADIAL": "RADL", "RANCH": "RNCH", "RAPIDS": "RPDS", "RIDGE": "RDG", "RIVER": "RIV", "ROAD": "RD", "ROUTE": "RTE", "SHORES": "SHRS",
		"SKYWAY": "SKWY", "SPRINGS": "SPGS", "SQUARE": "SQ", "STATION": "STA", "STREAM": "STRM", "STREET": "ST", "STR": "ST", "SUMMIT": "SMT", "TERRACE": "TER",
		"THROUGHWAY": "TRWY", "TRACE": "TRCE", "TRACK": "TRAK", "TRAIL": "TRL", "TUNNEL": "TUNL", "TURNPIKE": "TPKE", "UNDERPASS": "UPAS", "UNION": "UN", "VALLEY": "VLY",
		"VIADUCT": "VIA", "VIEW": "VW", "VILLAGE": "VLG", "VILLE": "VL", "VISTA": "VIS", "WALK": "WALK", "WAY": "WAY", "WELLS": "WLS"}
	for word, want := range suffixes {
		if got, ok := postal.Suffix(word); !ok || got != want {
			t.Errorf("suffix %s: got %q, want %s", word, got, want)
		}
		if got, ok := postal.Suffix(want); !ok || got != want {
			t.Errorf("the abbreviation %s is read as %q", want, got)
		}
	}
	for word, want := range map[string]string{"NORTH": "N", "SOUTH": "S", "EAST": "E", "WEST": "W", "NORTHEAST": "NE", "NORTHWEST": "NW", "SOUTHEAST": "SE", "SOUTHWEST": "SW"} {
		if got, ok := postal.Direction(word); !ok || got != want {
			t.Errorf("direction %s: got %q, want %s", word, got, want)
		}
	}
	for _, word := range []string{"MAPLE", "ZEBRA", ""} {
		if _, ok := postal.Suffix(word); ok {
			t.Errorf("%q is taken for a suffix", word)
		}
	}
}

func TestParse(t *testing.T) {
	cases := []struct {
		text string
		want postal.Address
	}{
		{"12 North Mill Street, Ashby Falls, XY 00011-1234", postal.Address{Number: "12", Before: "N", Name: []string{"MILL"}, Suffix: "ST", Town: "ASHBY FLS", Code: "00011"}},
		{"12 North St", postal.Address{Number: "12", Name: []string{"NORTH"}, Suffix: "ST"}},
		{"7 O'Dell Ave. #4", postal.Address{Number: "7", Name: []string{"ODELL"}, Suffix: "AVE", Unit: "4"}},
		{"7 ODell Avenue, Suite 4, Ashby", postal.Address{Number: "7", Name: []string{"ODELL"}, Suffix: "AVE", Unit: "4", Town: "ASHBY"}},
		{"12-14 Weir Blvd S", postal.Address{Number: "12-14", Name: []string{"WEIR"}, Suffix: "BLVD", After: "S"}},
		{"12A Weir Blvd", postal.Address{Number: "12A", Name: []string{"WEIR"}, Suffix: "BLVD"}},
		{"12 1/2 Weir Blvd", postal.Address{Number: "12 1/2", Name: []string{"WEIR"}, Suffix: "BLVD"}},
		{"100 Avenue N", postal.Address{Number: "100", Name: []string{"AVENUE", "N"}}},
		{"100 Fifth Ave", postal.Address{Number: "100", Name: []string{"FIFTH"}, Suffix: "AVE"}},
		{"5th Avenue", postal.Address{Name: []string{"5TH"}, Suffix: "AVE"}},
		{"100 Saint Marys Rd", postal.Address{Number: "100", Name: []string{"SAINT", "MARYS"}, Suffix: "RD"}},
		{"9 Front St", postal.Address{Number: "9", Name: []string{"FRONT"}, Suffix: "ST"}},
		{"9 Front St Front", postal.Address{Number: "9", Name: []string{"FRONT"}, Suffix: "ST", Unit: "FRNT"}},
		{"9 Mill St Ashby 00011", postal.Address{Number: "9", Name: []string{"MILL", "ST", "ASHBY"}, Code: "00011"}},
		{"4 Quay Row, Corby, AB1 2CD", postal.Address{Number: "4", Name: []string{"QUAY"}, Suffix: "ROW", Town: "CORBY", Code: "AB12CD"}},
		{"", postal.Address{}},
		{", Ashby", postal.Address{Town: "ASHBY"}},
		{"12", postal.Address{Name: []string{"12"}}},
	}
	for _, test := range cases {
		got := postal.Parse(test.text)
		if got.Number != test.want.Number || got.Before != test.want.Before || strings.Join(got.Name, " ") != strings.Join(test.want.Name, " ") ||
			got.Suffix != test.want.Suffix || got.After != test.want.After || got.Unit != test.want.Unit || got.Town != test.want.Town || got.Code != test.want.Code {
			t.Errorf("%q is read as %+v, want %+v", test.text, got, test.want)
		}
	}
}

func TestCompare(t *testing.T) {
	tests := []struct {
		name, a, b string
		want       postal.Sure
	}{
		{"abbreviated", "12 North Mill Street, Ashby", "12 N. MILL ST, ASHBY", postal.Certain},
		{"direction behind", "12 N Mill St, Ashby", "12 Mill St N, Ashby", postal.Certain},
		{"unit on one side", "12 Mill St Apt 4, Ashby", "12 Mill St, Ashby", postal.Certain},
		{"no town on one side", "12 Mill St", "12 Mill St, Ashby", postal.Certain},
		{"gap in the name", "12 Mill Brook Rd, Ashby", "12 Millbrook Road, Ashby", postal.Certain},
		{"saint", "12 Saint Marys Rd, Ashby", "12 St. Mary's Road, Ashby", postal.Certain},
		{"number word", "12 Fifth Ave, Ashby", "12 5th Ave, Ashby", postal.Certain},
		{"one slip", "12 Willow St, Ashby", "12 Wilow St, Ashby", postal.Likely},
		{"letters exchanged", "12 Willow St, Ashby", "12 Wlilow St, Ashby", postal.Likely},
		{"suffix missing", "12 Willow, Ashby", "12 Willow St, Ashby", postal.Likely},
		{"direction missing", "12 N Willow St, Ashby", "12 Willow St, Ashby", postal.Likely},
		{"another suffix", "12 Willow Rd, Ashby", "12 Willow St, Ashby", postal.Ask},
		{"another town", "12 Willow St, Ashby", "12 Willow St, Corby", postal.Ask},
		{"another town, same postcode", "12 Willow St, Ashby, XY 00011", "12 Willow St, Upper Weir, XY 00011", postal.Certain},
		{"another town and postcode", "12 Willow St, Ashby, XY 00011", "12 Willow St, Corby, XY 00012", postal.No},
		{"letter", "12A Willow St, Ashby", "12 Willow St, Ashby", postal.Likely},
		{"within a range", "14 Willow St, Ashby", "12-16 Willow St, Ashby", postal.Likely},
		{"across the street from a range", "13 Willow St, Ashby", "12-16 Willow St, Ashby", postal.No},
		{"another number", "12 Willow St, Ashby", "21 Willow St, Ashby", postal.No},
		{"opposite ends", "12 N Willow St, Ashby", "12 S Willow St, Ashby", postal.No},
		{"another street", "12 Willow St, Ashby", "12 Weir St, Ashby", postal.No},
		{"next numbered street", "12 4th St, Ashby", "12 5th St, Ashby", postal.No},
		{"short names are not forgiven", "12 Oak St, Ashby", "12 Oat St, Ashby", postal.No},
		{"two doubts", "12 Wilow, Ashby", "12 Willow St, Ashby", postal.Likely},
		{"no number on one side", "Willow St, Ashby", "12 Willow St, Ashby", postal.No},
		{"nothing", "", "12 Willow St, Ashby", postal.No},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m := postal.Compare(postal.Parse(test.a), postal.Parse(test.b))
			if m.Sure() != test.want {
				t.Errorf("%s: score %d is %s, want %s; agrees %v, differs %v", test.name, m.Score, m.Sure(), test.want, m.Agrees, m.Differs)
			}
		})
	}
}

// TestSlips: examples of Damerau's four kinds of slip, and Wagner and Fischer's distance where no letters are exchanged.
func TestSlips(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{{"", "", 0}, {"a", "", 1}, {"kitten", "sitting", 3}, {"ab", "ba", 1}, {"ca", "abc", 3}, {"willow", "wlilow", 1}, {"saturday", "sunday", 3}}
	for _, test := range tests {
		if got, ok := postal.Slips(test.a, test.b, 9); !ok || got != test.want {
			t.Errorf("slips between %q and %q: %d %v, want %d", test.a, test.b, got, ok, test.want)
		}
		if _, ok := postal.Slips(test.a, test.b, test.want-1); ok {
			t.Errorf("%d slips between %q and %q are let pass as %d", test.want, test.a, test.b, test.want-1)
		}
	}
}

// TestSlipsAgainstTheWholeTable: looking only near the diagonal changes nothing.
func TestSlipsAgainstTheWholeTable(t *testing.T) {
	word := rapid.StringMatching(`[abc]{0,9}`)
	rapid.Check(t, func(t *rapid.T) {
		a, b, most := word.Draw(t, "a"), word.Draw(t, "b"), rapid.IntRange(0, 4).Draw(t, "most")
		want := wholeTable(a, b)
		got, ok := postal.Slips(a, b, most)
		if ok != (want <= most) || ok && got != want {
			t.Fatalf("%q, %q within %d: %d %v, the whole table says %d", a, b, most, got, ok, want)
		}
	})
}

// wholeTable fills the table of the optimal string alignment cell by cell.
func wholeTable(a, b string) int {
	d := make([][]int, len(a)+1)
	for i := range d {
		d[i] = make([]int, len(b)+1)
		for j := range d[i] {
			switch {
			case i == 0 || j == 0:
				d[i][j] = i + j
				continue
			case a[i-1] == b[j-1]:
				d[i][j] = d[i-1][j-1]
			default:
				d[i][j] = 1 + min(d[i-1][j], d[i][j-1], d[i-1][j-1])
			}
			d[i][j] = min(d[i][j], d[i-1][j]+1, d[i][j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(a)][len(b)]
}

var written = rapid.Custom(func(t *rapid.T) string {
	part := func(list ...string) string { return rapid.SampledFrom(list).Draw(t, "part") }
	return part("", "1", "12", "12A", "12-18", "12 1/2", "120") + " " + part("", "N", "North", "SW", "s.e.") + " " + part("Mill", "Willow", "Willow Brook", "5th", "Fifth", "St Mary's", "North", "Avenue", "Key") +
		" " + part("", "St", "STREET", "Rd.", "blvd", "Xing") + " " + part("", "N", "south") + part("", " #4", " Apt 4B", " Rear") + part("", ", Ashby", ", Ashby Falls, XY 00011", ", Suite 9, Corby", ", AB1 2CD")
})

func TestCompareIsEvenHanded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := postal.Parse(written.Draw(t, "a")), postal.Parse(written.Draw(t, "b"))
		if x, y := postal.Compare(a, b), postal.Compare(b, a); x.Score != y.Score {
			t.Fatalf("%+v and %+v score %d one way and %d the other", a, b, x.Score, y.Score)
		}
		if self := postal.Compare(a, a); self.Sure() != postal.Certain {
			t.Fatalf("%+v is not itself: %+v", a, self)
		}
		if again := postal.Compare(a, postal.Parse(a.Street()+", "+a.Town+" "+a.Code)); again.Score > 0 && again.Sure() == postal.No {
			t.Fatalf("%+v said again is another: %+v", a, again)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{"12 North Mill Street, Ashby, XY 00011", "7 O’Dell Ave #4", "#", ",,,", "12-14 1/2 N", "½ é", "\xff12 Mill"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a := postal.Parse(text)
		if got, want := postal.Parse(strings.ToUpper(strings.ToLower(text))), postal.Parse(strings.ToLower(text)); got.Street() != want.Street() {
			t.Errorf("letter case counts: %q and %q", got.Street(), want.Street())
		}
		if m := postal.Compare(a, a); m.Score < 0 || m.Score > 100 || len(a.Name) > 0 && m.Sure() == postal.No {
			t.Errorf("%+v compared with itself: %+v", a, m)
		}
	})
}

func FuzzCompare(f *testing.F) {
	f.Add("12 North Mill Street, Ashby, XY 00011", "12 Mill St N")
	f.Add("12-16 Mill", "14 Mill Ave, Corby")
	f.Add("12 1/2", "½ \xff")
	f.Fuzz(func(t *testing.T, one, other string) {
		a, b := postal.Parse(one), postal.Parse(other)
		x, y := postal.Compare(a, b), postal.Compare(b, a)
		if x.Score != y.Score || x.Score < 0 || x.Score > 100 {
			t.Errorf("%q and %q: %d one way, %d the other", one, other, x.Score, y.Score)
		}
		if x.Sure() == postal.Certain && a.Number != b.Number {
			t.Errorf("%q and %q are surely one, with house numbers %s and %s", one, other, a.Number, b.Number)
		}
	})
}
