package papers

import (
	"strings"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// ReportTest is one test as a column of the report.
type ReportTest struct {
	At           time.Time   `json:"at"`
	Tester       string      `json:"tester"`
	Certificate  string      `json:"certificate,omitempty"`
	CertUntil    events.Date `json:"certificate_until,omitzero"`
	Registered   events.Date `json:"registered_until,omitzero" doc:"with the purveyor"`
	Gauge        string      `json:"gauge" doc:"serial"`
	GaugeMaker   string      `json:"gauge_maker,omitempty"`
	GaugeModel   string      `json:"gauge_model,omitempty"`
	CalibratedOn events.Date `json:"gauge_calibrated_on,omitzero" doc:"its accuracy check, the newest before the test"`
	CalibratedBy string      `json:"gauge_calibrated_by,omitempty" doc:"the laboratory, and where"`
	GaugeUntil   events.Date `json:"gauge_until,omitzero" doc:"the last day of its certificate as it stood at the test"`
	Procedure    string      `json:"procedure,omitempty"`
	LinePressure string      `json:"line_pressure,omitempty"`
	ShutOff1     string      `json:"shut_off_1,omitempty"`
	ShutOff2     string      `json:"shut_off_2,omitempty"`
	NoFlow       bool        `json:"no_flow_proved,omitempty" doc:"although a shut-off leaked"`
	Buffer       string      `json:"buffer,omitempty" doc:"check 1 minus relief"`
	BypassBuffer string      `json:"bypass_buffer,omitempty"`
	Says         string      `json:"says" doc:"the tester's verdict"`
	Profile      string      `json:"profile,omitempty"`
	Computed     string      `json:"computed,omitempty"`
	Why          []string    `json:"why,omitempty" doc:"what the computed verdict rests on, where it is no pass"`
	Disagrees    bool        `json:"disagrees,omitempty"`
}

// ReportRow is one result: what was seen before and after the repair.
type ReportRow struct {
	Part      string `json:"part" enum:"main,bypass"`
	Component string `json:"component"`
	Initial   string `json:"initial,omitempty"`
	Final     string `json:"final,omitempty"`
}

// test makes the column of a test; nil for none.
func (w reporting) test(t *toldTest) *ReportTest {
	if t == nil {
		return nil
	}
	made := t.Test.At
	if made.IsZero() {
		made = t.at
	}
	c := &ReportTest{At: made.In(w.loc), Tester: w.cfg.People.Name(t.Tester), Gauge: string(t.Gauge), Procedure: string(t.Procedure),
		ShutOff1: words.Plain(string(t.ShutOff1)), ShutOff2: words.Plain(string(t.ShutOff2)), NoFlow: t.NoFlowProved, Says: string(t.Says),
		Profile: string(t.Profile), Disagrees: t.Disagrees()}
	if t.LinePressure != nil {
		c.LinePressure = t.LinePressure.String() + " " + gaugePressure(t.LinePressureUnit)
	}
	if g := w.gaugeAt(t.Gauge, made); g != nil {
		c.Gauge, c.GaugeUntil, c.GaugeMaker, c.GaugeModel = g.Serial, g.CertifiedUntil, g.Maker, g.Model
		c.CalibratedOn, c.CalibratedBy = g.CalibratedOn, g.CalibratedBy
	}
	if p := w.personAt(t.Tester, made); p != nil {
		if cert := newest(p.Credentials, events.TesterCertificate); cert != nil {
			c.Certificate, c.CertUntil = cert.Number, cert.Until
		}
		for _, reg := range p.Registrations {
			if reg.Purveyor == w.a.Purveyor && c.Registered.Before(reg.Until) {
				c.Registered = reg.Until
			}
		}
	}
	if v := t.Computed; v != nil {
		c.Computed = string(v.Opinion())
		if v.Opinion() != events.OpinionPass {
			c.Why = v.Why()
		}
		if v.Buffer != nil {
			c.Buffer = v.Buffer.String() + " " + string(v.BufferUnit)
		}
		if v.BypassBuffer != nil {
			c.BypassBuffer = v.BypassBuffer.String() + " " + string(v.BufferUnit)
		}
	}
	return c
}

// gaugePressure names the unit of a line pressure, which is no difference: psi, not psid.
func gaugePressure(u events.Unit) string {
	if u == events.PSID {
		return "psi"
	}
	return string(u)
}

// rows are the results that a test of this type gives, in order, and any others that were read.
func (w reporting) rows(initial, final *toldTest) []ReportRow {
	list := []ReportRow{}
	seen := map[events.Place]bool{}
	add := func(part events.Part, c events.Component) {
		if part == "" {
			part = events.MainPart
		}
		key := events.Place{Part: part, Component: c}
		if seen[key] {
			return
		}
		seen[key] = true
		list = append(list, ReportRow{Part: string(part), Component: c.Name(), Initial: readingOf(initial, part, c), Final: readingOf(final, part, c)})
	}
	for _, place := range w.a.Type.Components() {
		add(place.Part, place.Component)
	}
	for _, t := range []*toldTest{initial, final} {
		if t == nil {
			continue
		}
		for _, r := range t.Readings {
			add(r.Part, r.Component)
		}
	}
	return list
}

// readingOf says a component's result in a test as read, every one where it was read more than once; empty when it was not.
func readingOf(t *toldTest, part events.Part, c events.Component) string {
	if t == nil {
		return ""
	}
	var said []string
	for _, r := range t.Readings {
		if r.Component == c && (r.Part == part || r.Part == "" && part == events.MainPart) {
			said = append(said, reading(r, t.Procedure))
		}
	}
	return strings.Join(said, "; ")
}

// reading says one result in the words of report forms: closed tight is "held".
func reading(r events.Reading, procedure events.Procedure) string {
	text := words.Plain(string(r.Result))
	if r.Number != nil {
		if r.Result == events.Opened || r.Result == events.Held {
			text += " at"
		}
		text = strings.TrimSpace(text + " " + r.Number.String() + " " + string(r.Unit))
	}
	if r.FullyOpen != nil {
		text += map[bool]string{true: ", fully open", false: ", not fully open"}[*r.FullyOpen]
	}
	if r.GapAt != nil {
		text += ", supply " + r.GapAt.SupplyDiameter.String() + " " + string(r.Unit)
		if r.GapAt.BesideWall {
			text += ", beside a wall"
		}
	}
	if r.Procedure != "" && r.Procedure != procedure {
		text += " (" + string(r.Procedure) + ")"
	}
	return strings.TrimPrefix(text, ", ")
}
