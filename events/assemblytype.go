package events

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
)

// AssemblyType is a kind of backflow protection; its text is the trade's short name.
type AssemblyType string

// The assembly types. Type II detector assemblies share the mainline's first check with the bypass.
const (
	DC     AssemblyType = "DC"      // double check valve assembly
	DCDA   AssemblyType = "DCDA"    // double check detector assembly
	DCDA2  AssemblyType = "DCDA-II" // the same, Type II
	RP     AssemblyType = "RP"      // reduced pressure principle assembly
	RPDA   AssemblyType = "RPDA"    // reduced pressure principle detector assembly
	RPDA2  AssemblyType = "RPDA-II" // the same, Type II
	PVB    AssemblyType = "PVB"     // pressure vacuum breaker
	SVB    AssemblyType = "SVB"     // spill-resistant pressure vacuum breaker
	AVB    AssemblyType = "AVB"     // atmospheric vacuum breaker: inspected, never tested
	AirGap AssemblyType = "AG"      // air gap: inspected and measured
)

// AssemblyTypes lists every type.
func AssemblyTypes() []AssemblyType {
	return []AssemblyType{DC, DCDA, DCDA2, RP, RPDA, RPDA2, PVB, SVB, AVB, AirGap}
}

// Place is one result of a test: which component, in which part of the assembly, judged by which family
// of criteria.
type Place struct {
	Part      Part      `json:"part"`
	Component Component `json:"component"`
	Family    Family    `json:"family"`
}

type typeFacts struct {
	name   string
	places []Place
}

func dcPlaces(p Part) []Place {
	return []Place{{p, Check1, FamilyDC}, {p, Check2, FamilyDC}}
}

func rpPlaces(p Part) []Place {
	return []Place{{p, Relief, FamilyRP}, {p, Check1, FamilyRP}, {p, Check2, FamilyRP}}
}

// assemblyFacts: the number of separate results is 2 for DC and PVB and 3 for RP by a tester's procedure page;
// for the detectors it follows from what the parts are (ASSE 1047 and 1048, Type II since their 2005 revision).
var assemblyFacts = map[AssemblyType]typeFacts{
	DC:     {"double check", dcPlaces(MainPart)},
	DCDA:   {"double check detector", append(dcPlaces(MainPart), dcPlaces(BypassPart)...)},
	DCDA2:  {"double check detector, Type II", append(dcPlaces(MainPart), Place{BypassPart, BypassCheck, FamilyBypassCheck})},
	RP:     {"reduced pressure", rpPlaces(MainPart)},
	RPDA:   {"reduced pressure detector", append(rpPlaces(MainPart), rpPlaces(BypassPart)...)},
	RPDA2:  {"reduced pressure detector, Type II", append(rpPlaces(MainPart), Place{BypassPart, BypassCheck, FamilyBypassCheck})},
	PVB:    {"pressure vacuum breaker", []Place{{MainPart, AirInlet, FamilyPVB}, {MainPart, SingleCheck, FamilyPVB}}},
	SVB:    {"spill-resistant vacuum breaker", []Place{{MainPart, SingleCheck, FamilySVB}, {MainPart, AirInlet, FamilySVB}}},
	AVB:    {"atmospheric vacuum breaker", nil},
	AirGap: {"air gap", []Place{{MainPart, Gap, FamilyAirGap}}},
}

// Known reports whether the type is one of the types above.
func (t AssemblyType) Known() bool { _, ok := assemblyFacts[t]; return ok }

// Name says the type in plain words; an unknown type says itself.
func (t AssemblyType) Name() string {
	if f, ok := assemblyFacts[t]; ok {
		return f.name
	}
	return string(t)
}

// Components lists the results that a test or inspection gives separately, in the order they are taken.
// It is empty for an AVB and for an unknown type. The slice is the caller's own.
func (t AssemblyType) Components() []Place {
	return append([]Place(nil), assemblyFacts[t].places...)
}

// Testable reports whether a gauge can be put on it. AVBs and air gaps are inspected only.
func (t AssemblyType) Testable() bool { return t.Known() && t != AVB && t != AirGap }

// IsDetector reports whether the assembly has a metered bypass that is tested too.
func (t AssemblyType) IsDetector() bool {
	return t == DCDA || t == DCDA2 || t == RPDA || t == RPDA2
}

// family is that of the mainline; empty for an AVB.
func (t AssemblyType) family() Family {
	if places := assemblyFacts[t].places; len(places) > 0 {
		return places[0].Family
	}
	return ""
}

// HasRelief reports whether a relief valve can discharge, so that drainage and flooding matter.
func (t AssemblyType) HasRelief() bool { return t == RP || t == RPDA || t == RPDA2 }

// Service is what the water behind the assembly is for.
type Service string

// The services.
const (
	Domestic   Service = "domestic"
	Irrigation Service = "irrigation"
	Fire       Service = "fire"
	Process    Service = "process"
)

// Hazard is how bad backflow would be. The empty hazard means not known and is treated as Health.
type Hazard string

// The hazards. Imminent exists only for purveyors whose rules have it and is never assumed.
const (
	UnknownHazard Hazard = ""
	NonHealth     Hazard = "non-health"
	Health        Hazard = "health"
	Imminent      Hazard = "imminent"
)

// Stricter is the hazard to plan by: Health when it is not known.
func (h Hazard) Stricter() Hazard {
	if h == UnknownHazard {
		return Health
	}
	return h
}

// Errors of ParseAssemblyType.
var (
	// ErrUnknownType: the words name no assembly type.
	ErrUnknownType = errors.New("not an assembly type")
	// ErrAmbiguousType: the words fit more than one type, or often stand for something else.
	ErrAmbiguousType = errors.New("could be more than one assembly type")
)

// fillers say nothing about the type.
var fillers = map[string]bool{
	"backflow": true, "prevention": true, "preventer": true, "preventor": true, "assembly": true, "assy": true, "device": true,
	"valve": true, "valves": true, "principle": true, "zone": true, "type": true, "the": true, "style": true,
}

// sameWord joins spellings of one word.
var sameWord = map[string]string{
	"2": "ii", "two": "ii", "spillproof": "spillresistant", "checks": "check", "detection": "detector", "press": "pressure",
	"chk": "check", "chks": "check", "dbl": "double", "atm": "atmospheric", "vac": "vacuum", "brkr": "breaker", "resist": "resistant", "proof": "resistant",
}

// typeWords holds words without fillers and spaces.
var typeWords = map[string]AssemblyType{
	"dc": DC, "dcv": DC, "dcva": DC, "dca": DC, "dcba": DC, "doublecheck": DC,
	"dcda": DCDA, "dcdva": DCDA, "dcvda": DCDA, "ddc": DCDA, "ddcv": DCDA, "ddcva": DCDA, "doublecheckdetector": DCDA,
	"doubledetectorcheck": DCDA, "doublecheckdetectorcheck": DCDA, "detectordoublecheck": DCDA, "dcdetector": DCDA,
	"rp": RP, "rpz": RP, "rpza": RP, "rpba": RP, "rpbp": RP, "rpp": RP, "rppa": RP, "rpa": RP, "reducedpressure": RP, "ba": RP,
	"rpda": RPDA, "rpzda": RPDA, "rppda": RPDA, "rpdba": RPDA, "reducedpressuredetector": RPDA, "detectorreducedpressure": RPDA, "rpdetector": RPDA, "rpzdetector": RPDA,
	"pvb": PVB, "pvba": PVB, "pressurevacuumbreaker": PVB, "vacuumbreakerpressure": PVB,
	"svb": SVB, "srvb": SVB, "srpvb": SVB, "srpvba": SVB, "srvba": SVB, "svba": SVB, "spillresistantvacuumbreaker": SVB,
	"spillresistantpressurevacuumbreaker": SVB, "spillresistantpvb": SVB,
	"avb": AVB, "avba": AVB, "atmosphericvacuumbreaker": AVB, "vacuumbreakeratmospheric": AVB,
	"ag": AirGap, "airgap": AirGap, "approvedairgap": AirGap, "airgapseparation": AirGap,
}

// unclear words are in use but fit several types, or usually mean a device that no gauge goes on.
var unclear = map[string]string{
	"vacuumbreaker": "PVB, SVB or AVB", "vb": "PVB, SVB or AVB",
	"rpd": "RP or RPDA", "dcd": "DC or DCDA", "rpdc": "RP, DC or RPDA",
	"detector": "DCDA, DCDA-II, RPDA or RPDA-II", "detectorcheck": "a single detector check, DCDA or DCDA-II", "detectorii": "DCDA-II or RPDA-II",
	"dualcheck": "a residential dual check, which is not tested, or DC", "check": "a single check or DC", "singlecheck": "a single check, which is no assembly",
	"spillresistant": "SVB, written short", "pressure": "RP or PVB", "double": "DC or DCDA", "reduced": "RP or RPDA", "ii": "DCDA-II or RPDA-II",
}

// ParseAssemblyType reads the trade's names for the types, whatever their case, spacing and punctuation, also two
// that agree, such as "RPZ (reduced pressure)". It never guesses: errors are ErrAmbiguousType, which says what the
// words could be, and ErrUnknownType.
func ParseAssemblyType(text string) (AssemblyType, error) {
	t, err := parseOneType(text)
	if err == nil {
		return t, nil
	}
	pieces := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("()[]/,;:-–—", r) })
	for _, piece := range pieces {
		if strings.TrimSpace(piece) == "" {
			continue
		}
		next, pieceErr := parseOneType(piece)
		if pieceErr != nil {
			return "", err
		}
		if t != "" && t != next {
			return "", fmt.Errorf("type %q: %w: %s or %s", text, ErrAmbiguousType, t, next)
		}
		t = next
	}
	if t == "" {
		return "", err
	}
	return t, nil
}

func parseOneType(text string) (AssemblyType, error) {
	key := typeKey(text)
	if t, ok := typeWords[key]; ok {
		return t, nil
	}
	if base, ok := strings.CutSuffix(key, "ii"); ok {
		switch typeWords[base] {
		case DCDA:
			return DCDA2, nil
		case RPDA:
			return RPDA2, nil
		}
	}
	if could, ok := unclear[key]; ok {
		return "", fmt.Errorf("type %q: %w: %s", text, ErrAmbiguousType, could)
	}
	return "", fmt.Errorf("type %q: %w", text, ErrUnknownType)
}

// typeKey lowers the words, drops the ones that say nothing and joins the rest.
func typeKey(text string) string {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	var key strings.Builder
	for _, w := range words {
		if fillers[w] {
			continue
		}
		if same, ok := sameWord[w]; ok {
			w = same
		}
		if type1, ok := strings.CutSuffix(w, "2"); ok && typeWords[type1] != "" {
			w = type1 + "ii" // DCDA2
		}
		key.WriteString(w)
	}
	return key.String()
}
