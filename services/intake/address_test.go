package intake

import "testing"

// The abbreviations are those of USPS Publication 28, appendix C (from memory).
func TestAddressKey(t *testing.T) {
	same := [][]string{
		{"12 North Mill Street", "12 N. Mill St.", "12 n mill st, Ashby", " 12  N MILL ST "},
		{"7 O'Dell Avenue Suite 4", "7 ODell Ave #4", "7 O’Dell Av. Ste 4"},
		{"100 Weir Boulevard", "100 WEIR BLVD"},
	}
	for i, group := range same {
		for _, address := range group {
			if got, want := AddressKey(address), AddressKey(group[0]); got != want || got == "" {
				t.Errorf("AddressKey(%q) = %q, want %q", address, got, want)
			}
			if again := AddressKey(AddressKey(address)); again != AddressKey(address) {
				t.Errorf("AddressKey(%q) is not its own key: %q", address, again)
			}
			for j, other := range same {
				if i != j && AddressKey(other[0]) == AddressKey(address) {
					t.Errorf("%q and %q have one key", address, other[0])
				}
			}
		}
	}
	if AddressKey("12 Mill St") == AddressKey("121 Mill St") || AddressKey("12 Mill St") == AddressKey("12 Mill Rd") {
		t.Error("different streets or numbers have one key")
	}
}

func TestSameTown(t *testing.T) {
	tests := []struct {
		address, town string
		want          bool
	}{
		{"12 Mill St, Ashby", "ASHBY", true},
		{"12 Mill St, Ashby, XY 00011", "Ashby", true},
		{"12 Mill St, Ashby", "Corby", false},
		{"12 Mill St", "Corby", true},
		{"12 Mill St, Ashby", "", true},
	}
	for _, test := range tests {
		if got := sameTown(test.address, test.town); got != test.want {
			t.Errorf("sameTown(%q, %q) = %v, want %v", test.address, test.town, got, test.want)
		}
	}
}
