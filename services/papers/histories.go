package papers

import (
	"context"
	"fmt"
	"slices"
	"time"

	"valveround/events"
)

// Histories are the records of some entities, as the log tells them.
type Histories map[events.Entity][]events.Record

// passRecords is how many records one pass over the log reads in about the time in which one history is asked for.
// Measured on the embedded server with other work going on: a history takes 2 to 3 ms, a pass 0.04 ms a record.
const passRecords = 60

// Read reads the histories of entities, each once: one by one, or, where many are asked of a short log, in one pass over it.
func Read(ctx context.Context, log events.Log, entities []events.Entity) (Histories, error) {
	h := Histories{}
	for _, e := range entities {
		if e.ID != "" {
			h[e] = nil
		}
	}
	last, err := log.Last(ctx)
	if err != nil {
		return nil, fmt.Errorf("reading what happened: %w", err)
	}
	if uint64(len(h))*passRecords > last {
		return h, h.pass(ctx, log)
	}
	for e := range h {
		if h[e], err = log.History(ctx, e); err != nil {
			return nil, fmt.Errorf("reading what happened to %s: %w", e, err)
		}
	}
	return h, nil
}

// pass reads the whole log and keeps the records of the entities asked for.
func (h Histories) pass(ctx context.Context, log events.Log) error {
	if len(h) == 0 {
		return nil
	}
	err := log.Read(ctx, 1, func(r events.Record) error {
		if list, wanted := h[r.Entity]; wanted {
			h[r.Entity] = append(list, r)
		}
		return ctx.Err()
	})
	if err != nil {
		return fmt.Errorf("reading what happened: %w", err)
	}
	return nil
}

// happened is one event that counts, with its record.
type happened struct {
	events.Record
	event any
}

// of gives the events of an entity that count: those that lost a race never happened, and what cannot be read tells nothing.
func (h Histories) of(e events.Entity) []happened {
	var list []happened
	var head events.Hash
	for _, r := range h[e] {
		if r.Prev != head {
			continue
		}
		head = r.Hash()
		if event, err := events.Decode(r); err == nil {
			list = append(list, happened{r, event})
		}
	}
	return list
}

// standing leaves out what was taken back: a result that was recorded by mistake stays in the log and counts for nothing.
func standing(list []happened) []happened {
	void := map[events.CommandKey]bool{}
	for _, x := range list {
		if e, ok := x.event.(events.ResultVoided); ok {
			void[e.About.CommandKey()] = true
		}
	}
	if len(void) == 0 {
		return list
	}
	return slices.DeleteFunc(slices.Clone(list), func(x happened) bool { return void[x.ID.CommandKey()] })
}

// bookAt folds an entity's records up to the first for which stop says so; an entity that had no record by then is not in it.
func (h Histories) bookAt(e events.Entity, stop func(happened) bool) *events.Book {
	b := events.NewBook()
	for _, r := range h.of(e) {
		if stop(r) {
			break
		}
		b.Apply(r.Record)
	}
	return b
}

// after stops a fold at what happened after an instant.
func after(t time.Time) func(happened) bool {
	return func(h happened) bool { return h.OnServerClock().After(t) }
}

func assemblyEntity(a *events.Assembly) events.Entity {
	return events.Entity{Office: a.Office, Kind: events.KindAssembly, ID: string(a.ID)}
}

func gaugeEntity(id events.GaugeID) events.Entity {
	return events.Entity{Office: events.Firm, Kind: events.KindGauge, ID: string(id)}
}

func personEntity(id events.PersonID) events.Entity {
	return events.Entity{Office: events.Firm, Kind: events.KindPerson, ID: string(id)}
}
