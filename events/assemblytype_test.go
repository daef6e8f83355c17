package events

import (
	"errors"
	"testing"
)

// Names as listed by state rules, forms and training pages (WAC 246-290-490, NY DOH-1013, 30 TAC 290.44, UK water
// regulations page on Type BA); spellings in lists are common practice.
func TestParseAssemblyType(t *testing.T) {
	good := map[AssemblyType][]string{
		DC:     {"DC", "dcva", "D.C.V.A.", "DCV", "Double Check", "double-check valve assembly", "DOUBLE  CHECK VALVE", "DCVA (double check valve assembly)", "dbl chk"},
		DCDA:   {"DCDA", "D.C.D.A.", "double check detector assembly", "Double Check Valve Detector Assembly", "double detector check"},
		DCDA2:  {"DCDA-II", "DCDA II", "dcda2", "DCDA type II", "Double check detector assembly (Type 2)"},
		RP:     {"RP", "RPZ", "rpba", "RPBP", "RPP", "R.P.Z.", "Reduced Pressure", "reduced pressure principle backflow preventer", "Reduced Pressure Zone Assembly", "RPZ/RPBA", "RP - Reduced Pressure", "Type BA"},
		RPDA:   {"RPDA", "reduced pressure detector assembly", "Reduced Pressure Principle Detector Assembly", "RP detector"},
		RPDA2:  {"RPDA-II", "RPDA Type II", "rpdaii", "reduced pressure principle detector assembly type 2"},
		PVB:    {"PVB", "PVBA", "pressure vacuum breaker", "Pressure Vacuum Breaker Assembly", "vacuum breaker, pressure"},
		SVB:    {"SVB", "SRVB", "SRPVB", "spill-resistant vacuum breaker", "Spill Resistant Pressure Vacuum Breaker", "spill proof vacuum breaker"},
		AVB:    {"AVB", "Atmospheric vacuum breaker", "atmospheric-type vacuum breaker"},
		AirGap: {"AG", "air gap", "Air-Gap", "AIRGAP", "approved air gap"},
	}
	for want, texts := range good {
		for _, text := range append(texts, string(want), want.Name()) {
			if got, err := ParseAssemblyType(text); err != nil || got != want {
				t.Errorf("ParseAssemblyType(%q) = %q, %v, want %s", text, got, err, want)
			}
		}
	}
}

func TestParseAssemblyTypeNeverGuesses(t *testing.T) {
	for text, want := range map[string]error{
		"vacuum breaker": ErrAmbiguousType, "VB": ErrAmbiguousType, "detector": ErrAmbiguousType, "detector check": ErrAmbiguousType,
		"RPD": ErrAmbiguousType, "dual check": ErrAmbiguousType, "DC/RP": ErrAmbiguousType, "RP or DC": ErrUnknownType,
		"": ErrUnknownType, "-": ErrUnknownType, "backflow preventer": ErrUnknownType, "hose bibb": ErrUnknownType, "RP 2 inch": ErrUnknownType,
		"RP-II": ErrUnknownType, "DC type II": ErrUnknownType, "none": ErrUnknownType,
	} {
		if got, err := ParseAssemblyType(text); !errors.Is(err, want) {
			t.Errorf("ParseAssemblyType(%q) = %q, %v, want %v", text, got, err, want)
		}
	}
}

// Results a test: DC 2, PVB 2, RP 3 (a tester's procedure page); detectors by their parts (ASSE 1047, 1048).
func TestComponents(t *testing.T) {
	for kind, want := range map[AssemblyType]int{
		DC: 2, PVB: 2, RP: 3, DCDA: 4, DCDA2: 3, RPDA: 6, RPDA2: 4, SVB: 2, AVB: 0, AirGap: 1, "?": 0,
	} {
		places := kind.Components()
		if len(places) != want {
			t.Errorf("%s has %d results, want %d", kind, len(places), want)
		}
		bypass := 0
		for _, p := range places {
			if p.Part == BypassPart {
				bypass++
			}
		}
		if kind.IsDetector() != (bypass > 0) {
			t.Errorf("%s: detector %v, %d bypass results", kind, kind.IsDetector(), bypass)
		}
		if len(places) > 0 {
			places[0].Component = "changed"
			if kind.Components()[0].Component == "changed" {
				t.Errorf("%s: the table can be changed from outside", kind)
			}
		}
	}
}

func TestTypeFacts(t *testing.T) {
	for _, kind := range AssemblyTypes() {
		if want := kind != AVB && kind != AirGap; kind.Testable() != want {
			t.Errorf("%s testable = %v, want %v", kind, kind.Testable(), want)
		}
		if want := kind == RP || kind == RPDA || kind == RPDA2; kind.HasRelief() != want {
			t.Errorf("%s relief = %v, want %v", kind, kind.HasRelief(), want)
		}
	}
	if AssemblyType("?").Testable() || AssemblyType("?").Known() || AssemblyType("?").Name() != "?" {
		t.Error("an unknown type passes for a known one")
	}
}

func TestUnknownHazardIsHealth(t *testing.T) {
	if UnknownHazard.Stricter() != Health || NonHealth.Stricter() != NonHealth || Imminent.Stricter() != Imminent {
		t.Error("hazards are not what they should be")
	}
}

func FuzzParseAssemblyType(f *testing.F) {
	for _, seed := range []string{"RPZ", "DCDA type 2", "vacuum breaker", "RP/DC", "(", "2", "½", "RP (RPZ)"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		kind, err := ParseAssemblyType(text)
		if (err == nil) != kind.Known() {
			t.Fatalf("ParseAssemblyType(%q) = %q, %v", text, kind, err)
		}
		if err == nil {
			if again, err := ParseAssemblyType(string(kind)); err != nil || again != kind {
				t.Fatalf("%q is %s, and that is %s, %v", text, kind, again, err)
			}
		}
	})
}
