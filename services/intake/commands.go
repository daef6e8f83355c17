package intake

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// Commands are what taking the list in would do, in waves: commands of one wave do not rely on each other, each wave
// relies on those before it. Their ids derive from base and from what each is about, so a list sent again under the
// same id changes nothing again. How its columns are read is saved first; that the list was taken in is noted last.
func (p Proposal) Commands(base events.CommandID, actor events.PersonID, happened time.Time) ([][]events.Command, error) {
	steps := p.steps()
	mapping, err := p.saveMapping()
	if err != nil {
		return nil, err
	}
	steps = append(mapping, steps...)
	if !p.again {
		steps = append(steps, step{waveLast, "received", events.ReceiveList{Purveyor: p.options.Purveyor, ListReceived: events.ListReceived{
			File: p.options.File, SHA256: p.options.SHA256, AsOf: p.options.AsOf, Counts: p.Counts}}})
	}
	out := events.Command{Actor: actor, Office: p.options.Office, Happened: happened}
	return inWaves(steps, base, out), nil
}

// steps of all rows, and the questions about what is missing.
func (p Proposal) steps() []step {
	var steps []step
	for _, r := range p.Rows {
		steps = append(steps, r.steps...)
	}
	for _, m := range p.Missing {
		if !m.Asked {
			steps = append(steps, m.step(p.options.AsOf))
		}
	}
	return steps
}

// Details are whom to ask for at each site that the list registers: the contact, else the customer, as listed. They are
// of people, so they are kept apart from the log.
func (p Proposal) Details() map[events.SiteID]words.Details {
	details := map[events.SiteID]words.Details{}
	for _, r := range p.Rows {
		if r.details != nil {
			details[r.details.site] = r.details.Details
		}
	}
	return details
}

// ChangesNothing reports whether everything the list says is known.
func (p Proposal) ChangesNothing() bool { return len(p.steps()) == 0 }

func (p Proposal) saveMapping() ([]step, error) {
	if p.options.Mapping.Fingerprint == "" {
		return nil, nil
	}
	text, err := json.Marshal(saved{p.options.Mapping, p.options.DateOrder})
	if err != nil {
		return nil, fmt.Errorf("saving how the columns are read: %w", err)
	}
	return []step{{waveFirst, "mapping", events.SaveMapping{Purveyor: p.options.Purveyor,
		MappingSaved: events.MappingSaved{Fingerprint: p.options.Mapping.Fingerprint, Mapping: text}}}}, nil
}

// inWaves makes commands of steps, each like the model but for its id and what it does. Empty waves are left out.
func inWaves(steps []step, base events.CommandID, model events.Command) [][]events.Command {
	steps = slices.Clone(steps)
	slices.SortStableFunc(steps, func(a, b step) int { return a.wave - b.wave })
	var out [][]events.Command
	for i, s := range steps {
		if i == 0 || s.wave != steps[i-1].wave {
			out = append(out, nil)
		}
		c := model
		c.ID, c.Do = events.DeriveCommandID(base, s.key), s.do
		out[len(out)-1] = append(out[len(out)-1], c)
	}
	return out
}
