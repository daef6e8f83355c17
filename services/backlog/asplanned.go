package backlog

import (
	"context"
	"fmt"
	"time"

	"valveround/events"
)

// asPlanned says what the sent-out day told about the job when its echo was written at a position of the log: when the
// crew was to be there, as which stop, and when the water was to be off. Empty when the day does not tell.
func (t *telling) asPlanned(ctx context.Context, of events.Entity, out events.Dispatched, position uint64) (string, error) {
	records, err := t.day(ctx, events.Entity{Office: of.Office, Kind: events.KindDay, ID: out.Date.String()})
	if err != nil {
		return "", fmt.Errorf("reading the plan of %s: %w", out.Date, err)
	}
	routes := routesAt(records, position)
	for _, route := range routes {
		for i, v := range route.Visits {
			for _, j := range v.Jobs {
				if route.Crew == out.Crew && j.JobRef == (events.JobRef{Assembly: events.AssemblyID(of.ID), Job: out.Job}) {
					return t.visit(v, i+1, len(route.Visits), events.AssemblyID(of.ID)), nil
				}
			}
		}
	}
	return "", nil
}

// day reads a day's records once.
func (t *telling) day(ctx context.Context, e events.Entity) ([]events.Record, error) {
	if records, known := t.days[e]; known {
		return records, nil
	}
	records, err := t.log.History(ctx, e)
	if err != nil {
		return nil, err
	}
	if t.days == nil {
		t.days = map[events.Entity][]events.Record{}
	}
	t.days[e] = records
	return records, nil
}

// routesAt are a day's routes as they were out at a position, by crew.
func routesAt(records []events.Record, position uint64) map[events.CrewID]events.DayRoute {
	routes := map[events.CrewID]events.DayRoute{}
	var head events.Hash
	for _, r := range records {
		if r.Seq > position || r.Prev != head {
			continue
		}
		head = r.Hash()
		event, err := events.Decode(r)
		if err != nil {
			continue // what cannot be read told nobody where to go
		}
		switch e := event.(type) {
		case events.SentOut:
			clear(routes)
			put(routes, e.Routes)
		case events.Amended:
			put(routes, e.Routes)
		case events.TakenBack:
			clear(routes)
		}
	}
	return routes
}

func put(routes map[events.CrewID]events.DayRoute, changed []events.DayRoute) {
	for _, r := range changed {
		routes[r.Crew] = r
	}
}

func (t *telling) visit(v events.DayVisit, stop, stops int, of events.AssemblyID) string {
	clock := func(at time.Time) string { return at.In(t.loc).Format("15:04") }
	text := fmt.Sprintf(" The plan then: stop %d of %d, at the site from %s to %s", stop, stops, clock(v.Arrive), clock(v.Leave))
	for _, off := range v.WaterOff {
		if a := t.b.Assemblies[of]; a != nil && off.Feed == a.Feed {
			text += fmt.Sprintf(", water off from %s to %s", clock(off.From), clock(off.To))
		}
	}
	return text + "."
}
