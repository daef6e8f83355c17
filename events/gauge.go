package events

// GaugeFacts is a differential pressure gauge with its accuracy certificate.
type GaugeFacts struct {
	Serial         string       `json:"serial,omitempty"`
	Maker          string       `json:"maker,omitempty"`
	Model          string       `json:"model,omitempty"`
	CalibratedOn   Date         `json:"calibrated_on,omitzero"`  // its newest accuracy check
	CalibratedBy   string       `json:"calibrated_by,omitempty"` // the laboratory, and where
	CertifiedUntil Date         `json:"certified_until"`         // the anniversary of its certificate
	RegisteredWith []PurveyorID `json:"registered_with,omitempty"`
	Potable        bool         `json:"potable"` // false: has been on non-potable water and never goes on potable again
}

// Gauge is the folded state of a gauge.
type Gauge struct {
	Office OfficeID `json:"office"`
	ID     GaugeID  `json:"id"`
	GaugeFacts
	Dropped string `json:"dropped,omitempty"` // why it is out of use until verified
}

// The events of a gauge besides its registry facts.
type (
	// GaugeDropped: dropped, frozen or doubted; out of use until verified.
	GaugeDropped struct {
		Why string `json:"why"`
	}
	// GaugeVerified: in use again, with a new certificate.
	GaugeVerified struct {
		CertifiedUntil Date   `json:"certified_until"`
		CalibratedOn   Date   `json:"calibrated_on,omitzero"`
		CalibratedBy   string `json:"calibrated_by,omitempty"`
	}
)

func (g Gauge) fold(at stamp, event any) (Gauge, error) {
	switch e := event.(type) {
	case Registered[GaugeFacts]:
		g.Office, g.ID, g.GaugeFacts = at.Entity.Office, GaugeID(at.Entity.ID), e.Facts
	case Corrected[GaugeFacts]:
		g.Office, g.ID, g.GaugeFacts = at.Entity.Office, GaugeID(at.Entity.ID), e.Facts
	case GaugeDropped:
		g.Dropped = e.Why
	case GaugeVerified:
		g.Dropped, g.CertifiedUntil = "", e.CertifiedUntil
		g.CalibratedOn, g.CalibratedBy = e.CalibratedOn, e.CalibratedBy // not known of the new check: then not known at all
	default:
		return g, errNotMine(at, event)
	}
	return g, nil
}

// Valid reports whether a test with this gauge on a day is a test. No source settles whether the anniversary day
// itself counts; the stricter reading, that it does not, is used.
func (g *Gauge) Valid(on Date) bool { return g.Dropped == "" && on.Before(g.CertifiedUntil) }

// ValidFor is Valid by what a purveyor takes: one that counts the anniversary day takes a test on it too.
func (g *Gauge) ValidFor(p *Purveyor, on Date) bool {
	if p != nil && p.GaugeAnniversaryCounts {
		on = on.AddDays(-1)
	}
	return g.Valid(on)
}

// RegisteredFor reports whether the gauge is registered with a purveyor.
func (g *Gauge) RegisteredFor(p PurveyorID) bool {
	for _, r := range g.RegisteredWith {
		if r == p {
			return true
		}
	}
	return false
}

func (g *Gauge) entity() Entity { return Entity{g.Office, KindGauge, string(g.ID)} }
