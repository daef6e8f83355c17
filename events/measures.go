package events

import (
	"slices"
	"strings"
)

// MeasuresNoted: what stands in for a fire line while it is out of service longer than the firm's limit was agreed with the
// impairment coordinator: a fire watch, a temporary supply, the building emptied (USFA bulletin cb-051219; NFPA 25, chapter on
// impairments). The newest for a day counts; Minutes 0 takes them back. Local code decides what is enough.
type MeasuresNoted struct {
	Day     Date   `json:"day"`
	Minutes int    `json:"minutes"` // for how long in any 24 hours the line may then be out of service
	By      string `json:"by"`      // who agreed to them, by role
	Words   string `json:"words"`   // which they are
}

// MeasuresFor are the measures noted for a day; nil when none are.
func (f *Feed) MeasuresFor(day Date) *MeasuresNoted {
	i := slices.IndexFunc(f.Measures, func(m MeasuresNoted) bool { return m.Day == day })
	if i < 0 {
		return nil
	}
	return &f.Measures[i]
}

func (f Feed) withMeasures(e MeasuresNoted) Feed {
	rest := slices.DeleteFunc(slices.Clone(f.Measures), func(m MeasuresNoted) bool { return m.Day == e.Day })
	if f.Measures = rest; e.Minutes > 0 {
		f.Measures = newest(rest, e)
	}
	return f
}

// NoteMeasures records measures for a fire line on a day.
type NoteMeasures struct {
	Feed FeedID
	MeasuresNoted
}

func decideMeasures(b *Book, do NoteMeasures) ([]Draft, error) {
	m := do.MeasuresNoted
	m.By, m.Words = strings.TrimSpace(m.By), strings.TrimSpace(m.Words)
	f := b.Feeds[do.Feed]
	switch {
	case f == nil:
		return nil, refuse("no feed %q", do.Feed)
	case !f.Fire:
		return nil, refuse("%s is no fire line: measures are noted for fire lines only", f.Name)
	case m.Day.IsZero():
		return nil, refuse("say for which day the measures are")
	case m.Minutes < 0 || m.Minutes > 24*60:
		return nil, refuse("the line may be out of service for 0 to 1,440 minutes in any 24 hours, not %d", m.Minutes)
	case m.By == "":
		return nil, refuse("say who agreed to the measures, by role: the impairment coordinator")
	case m.Words == "":
		return nil, refuse("say which measures are taken, or why they are taken back")
	}
	known := f.MeasuresFor(m.Day)
	if known != nil && *known == m || known == nil && m.Minutes == 0 {
		return nil, nil
	}
	return onFeed(b, do.Feed, m)
}
