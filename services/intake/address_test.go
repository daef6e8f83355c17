package intake

import (
	"testing"

	"valveround/events"
	"valveround/services/intake/duelist"
	"valveround/services/intake/positions/postal"
)

// The abbreviations are those of USPS Publication 28, appendix C (from memory).
func TestAddressKey(t *testing.T) {
	same := [][]string{
		{"12 North Mill Street", "12 N. Mill St.", "12 n mill st, Ashby", " 12  N MILL ST ", "12 Mill St N"},
		{"7 O'Dell Avenue Suite 4", "7 ODell Ave #4", "7 O’Dell Av. Ste 4"},
		{"100 Weir Boulevard", "100 WEIR BLVD"},
		{"8 Saint Marys Road", "8 ST MARYS RD", "8 St. Mary's Rd."},
		{"12 Mill St"}, {"121 Mill St"}, {"12 Mill Rd"}, {"7 O'Dell Avenue Suite 5"},
	}
	key := func(address string) string { return rowAddress(duelist.Row{Address: address}).Key() }
	for i, group := range same {
		for _, address := range group {
			if got, want := key(address), key(group[0]); got != want || got == "" {
				t.Errorf("key(%q) = %q, want %q", address, got, want)
			}
			for j, other := range same {
				if i != j && key(other[0]) == key(address) {
					t.Errorf("%q and %q have one key", address, other[0])
				}
			}
		}
	}
}

// TestSiteAtARow: which site on record a row of a list is surely at, and which only likely.
func TestSiteAtARow(t *testing.T) {
	book := events.NewBook()
	for id, address := range map[events.SiteID]string{"mill": "12 North Mill Street, Ashby", "corby": "12 N Mill St, Corby", "suite": "7 Weir Blvd Suite 4, Ashby",
		"range": "20-24 Quarry Lane, Ashby", "bare": "3 Ferry Road", "nowhere": "", "willow": "5 Willow Street, Ashby", "brook": "8 Millbrook Lane, Ashby"} {
		book.Sites[id] = &events.Site{Office: "north", ID: id, SiteFacts: events.SiteFacts{Name: string(id), Address: address}}
	}
	book.Sites["south"] = &events.Site{Office: "south", ID: "south", SiteFacts: events.SiteFacts{Address: "9 Ferry Rd, Ashby"}}
	r := newRegistry(book, "pv")
	for _, c := range []struct {
		name          string
		row           duelist.Row
		surely        events.SiteID // empty: a new site is registered
		perhaps       events.SiteID // the likeliest for an assembly that looks the same
		perhapsNobody bool
	}{
		{"spelt in another way", duelist.Row{Address: "12 N. MILL ST", City: "ASHBY"}, "mill", "mill", false},
		{"the town after a comma", duelist.Row{Address: "12 N Mill St, Ashby, XY 00011"}, "mill", "mill", false},
		{"the same street of another town", duelist.Row{Address: "12 N MILL ST", City: "Corby"}, "corby", "corby", false},
		{"a town of no site", duelist.Row{Address: "12 N MILL ST", City: "Dunmere"}, "", "", true},
		{"direction behind", duelist.Row{Address: "12 Mill St N", City: "Ashby"}, "mill", "mill", false},
		{"the suite", duelist.Row{Address: "7 Weir Boulevard #4", City: "Ashby"}, "suite", "suite", false},
		{"another suite of the building", duelist.Row{Address: "7 Weir Boulevard #5", City: "Ashby"}, "", "suite", false},
		{"a door within a range", duelist.Row{Address: "22 Quarry Ln", City: "Ashby"}, "", "range", false},
		{"a door on the other side", duelist.Row{Address: "23 Quarry Ln", City: "Ashby"}, "", "", true},
		{"no town on record", duelist.Row{Address: "3 FERRY RD", City: "Ashby"}, "bare", "bare", false},
		{"a slip of the pen", duelist.Row{Address: "5 Wilow St", City: "Ashby"}, "", "willow", false},
		{"a gap in the name", duelist.Row{Address: "8 Mill Brook Ln", City: "Ashby"}, "brook", "brook", false},
		{"another house", duelist.Row{Address: "13 N Mill St", City: "Ashby"}, "", "", true},
		{"another street", duelist.Row{Address: "12 N Mill Rd", City: "Ashby"}, "", "", true},
		{"another office's site", duelist.Row{Address: "9 Ferry Rd", City: "Ashby"}, "", "south", false},
		{"no address", duelist.Row{City: "Ashby"}, "", "", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got events.SiteID
			if s := r.siteAt(c.row, "north"); s != nil {
				got = s.ID
			}
			if got != c.surely {
				t.Errorf("surely at %q, want %q", got, c.surely)
			}
			near := r.sites.near(rowAddress(c.row), postal.Likely)
			switch {
			case c.perhapsNobody && len(near) > 0:
				t.Errorf("likely at %s, %d %v", near[0].ID, near[0].Score, near[0].Differs)
			case !c.perhapsNobody && (len(near) == 0 || near[0].ID != c.perhaps):
				t.Errorf("likely at %v, want %s", near, c.perhaps)
			}
		})
	}
}
