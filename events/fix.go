package events

import "valveround/geo"

// PhonePosition is a position read by the phone of a crew that stood at the site; its accuracy is in Site.Fix.
const PhonePosition PositionSource = "phone"

// PositionRead: a crew's phone said where the site is. It fills a gap and never takes the place of a position on record.
type PositionRead struct {
	At geo.Point `json:"at"`
	// AccuracyM is the radius, in metres, within which the phone says it is: with 95 % confidence by the W3C
	// Geolocation specification.
	AccuracyM int    `json:"accuracy_m"`
	Crew      CrewID `json:"crew,omitempty"`
	Day       Date   `json:"day,omitzero"`
}

func declareFix(v *vocabulary) { declare[PositionRead](v, KindSite, "position-read") }

// withFix takes the phone's position for a site that has none.
func (s Site) withFix(e PositionRead) Site {
	if s.Position.IsSet() && s.PositionSource != NoPosition {
		return s
	}
	s.Position, s.PositionSource, s.Fix = e.At, PhonePosition, &e
	return s
}

// ReadPosition records where a crew's phone says that the site is.
type ReadPosition struct {
	Site SiteID
	PositionRead
}

func decideFix(b *Book, do ReadPosition) ([]Draft, error) {
	s := b.Sites[do.Site]
	switch {
	case !do.At.IsSet():
		return nil, refuse("the phone gave no position")
	case do.AccuracyM <= 0:
		return nil, refuse("say how sure the phone's position is, in metres")
	case s != nil && s.Fix != nil && *s.Fix == do.PositionRead:
		return nil, nil
	}
	return onSite(b, do.Site, do.PositionRead)
}
