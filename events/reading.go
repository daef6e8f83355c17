package events

import "time"

// Part is the mainline or the metered bypass of a detector assembly; everything else has only a main part.
type Part string

// The parts.
const (
	MainPart   Part = "main"
	BypassPart Part = "bypass"
)

// Component is what gives one result in a test.
type Component string

// The components. Check 1 and check 2 count from the inlet.
const (
	Check1      Component = "check-1"
	Check2      Component = "check-2"
	Relief      Component = "relief"
	AirInlet    Component = "air-inlet"
	SingleCheck Component = "check"        // the one check of a PVB or SVB
	BypassCheck Component = "bypass-check" // the one check in the bypass of a Type II detector
	Gap         Component = "air-gap"
	ShutOffNo2  Component = "shut-off-2" // appears in findings only
)

// Name says the component in the words of a report form.
func (c Component) Name() string {
	switch c {
	case Check1:
		return "check 1"
	case Check2:
		return "check 2"
	case Relief:
		return "relief"
	case AirInlet:
		return "air inlet"
	case BypassCheck:
		return "bypass check"
	case Gap:
		return "air gap"
	}
	return string(c)
}

// Phase is the test before or after repair.
type Phase string

// The phases.
const (
	Initial Phase = "initial"
	Final   Phase = "final"
)

// Result is what was seen beside a number, or in its place.
type Result string

// The results, in the words of report forms.
const (
	Held       Result = "held"
	Leaked     Result = "leaked"
	Opened     Result = "opened"
	DidNotOpen Result = "did-not-open"
)

// Procedure names the field test procedure a reading was taken by, as on the tester's certificate. Readings of
// different procedures are never compared: the backpressure and direction-of-flow methods disagree on the same
// valve (Foundation for Cross-Connection Control newsletter, November 1994).
type Procedure string

// Reading is one result as the tester read it. A nil number means that none was read; it is never stored as 0.
type Reading struct {
	Part      Part      `json:"part"`
	Component Component `json:"component"`
	Phase     Phase     `json:"phase"`
	Number    *Decimal  `json:"number,omitempty"` // in Unit, with the digits as read
	Unit      Unit      `json:"unit,omitempty"`
	Result    Result    `json:"result,omitempty"`
	FullyOpen *bool     `json:"fully_open,omitempty"` // of an air inlet; nil: not noted
	Procedure Procedure `json:"procedure,omitempty"`
	GapAt     *GapAt    `json:"gap_at,omitempty"` // of an air gap
}

// GapAt is what an air gap is measured against.
type GapAt struct {
	// SupplyDiameter of the pipe end, in the reading's unit.
	SupplyDiameter Decimal `json:"supply_diameter"`
	// BesideWall: one wall within 3 diameters or two within 4 (WAC 246-290-010).
	BesideWall bool `json:"beside_wall"`
}

// Opinion is a verdict on a whole test. The tester's and the computed one stand side by side; neither is
// overwritten by the other.
type Opinion string

// The opinions. NotCompleted is neither a pass nor a fail.
const (
	OpinionPass         Opinion = "pass"
	OpinionFail         Opinion = "fail"
	OpinionNotCompleted Opinion = "not-completed"
)

// Test is one field test of one assembly.
type Test struct {
	Gauge     GaugeID   `json:"gauge"`
	Tester    PersonID  `json:"tester"`
	Procedure Procedure `json:"procedure"`
	At        time.Time `json:"at"`
	// LinePressure is read before anything is touched; nil when it was not.
	LinePressure     *Decimal `json:"line_pressure,omitempty"`
	LinePressureUnit Unit     `json:"line_pressure_unit,omitempty"`
	// WaterMeter and DetectorMeter are meter readings with the digits and unit as read; empty: not read.
	WaterMeter    string `json:"water_meter_reading,omitempty"`
	DetectorMeter string `json:"detector_meter_reading,omitempty"`
	// ForwardFlowGPM was measured through a fire line, in US gallons a minute; nil: not measured.
	ForwardFlowGPM *int `json:"forward_flow_gpm,omitempty"`
	// ShutOff1 and ShutOff2 are Held or Leaked; empty when not noted.
	ShutOff1 Result `json:"shut_off_1,omitempty"`
	ShutOff2 Result `json:"shut_off_2,omitempty"`
	// NoFlowProved: a further valve or a compensating hose gave a no-flow state although a shut-off leaks.
	NoFlowProved bool      `json:"no_flow_proved,omitempty"`
	Readings     []Reading `json:"readings"`
	Says         Opinion   `json:"says"` // the tester's verdict
	Profile      ProfileID `json:"profile,omitempty"`
	Computed     *Verdict  `json:"computed,omitempty"` // ours, by Profile
}

// Disagrees reports whether the tester's and the computed verdict differ; both are shown then.
func (t Test) Disagrees() bool {
	return t.Computed != nil && t.Says != "" && t.Says != t.Computed.Opinion()
}
