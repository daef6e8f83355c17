package keeper

import (
	"context"
	"fmt"
	"reflect"

	"valveround/events"
)

// Imported is what became of one command of an import.
type Imported struct {
	Receipt
	// Err is the refusal, if the command was refused. The rest of the import goes on.
	Err error
}

// importRecords is how many records an import stores at once: a batch costs four syncs whatever its size.
const importRecords = 200

// Import carries many commands out in their order, storing neighbours together: commands of the same sort on different
// entities that follow one another become one atomic batch of up to 200 records, each with its own id. So it is quick
// when all sites come first, then all feeds, then all assemblies, and merely correct otherwise.
//
// It is idempotent: what was stored before an error or a crash is known when the same commands are imported again.
// It returns what became of each command it came to; an error means that it did not come to the end.
// Progress, which may be nil, is told how many commands are done.
func (k *Keeper) Import(ctx context.Context, commands []events.Command, progress func(done int)) ([]Imported, error) {
	commands = allSigned(ctx, commands)
	results := make([]Imported, 0, len(commands))
	for len(results) < len(commands) {
		some, err := k.importSome(ctx, commands[len(results):])
		if err != nil {
			c := commands[len(results)]
			return results, fmt.Errorf("import, from command %d of %d (%s): %w", len(results)+1, len(commands), c.ID, err)
		}
		results = append(results, some...)
		if progress != nil {
			progress(len(results))
		}
	}
	return results, nil
}

// importSome stores as many of the first commands as go together, at least one.
func (k *Keeper) importSome(ctx context.Context, commands []events.Command) ([]Imported, error) {
	var some []Imported
	plan := func(b *events.Book) (batch []events.Append, err error) {
		some, batch = k.together(b, commands)
		return batch, nil
	}
	position, batch, err := k.commit(ctx, plan)
	if err != nil {
		return nil, err
	}
	for i := range some {
		if one := &some[i]; len(one.EventIDs) > 0 {
			one.Position = position - uint64(len(batch)) + one.Position
		}
	}
	return some, nil
}

// importCommands bounds how many commands are looked at in one go, known ones among them.
const importCommands = 2000

// together plans the first commands that may be stored as one batch. Of those that write something, Position
// counts within the batch until it is stored.
func (k *Keeper) together(b *events.Book, commands []events.Command) (some []Imported, batch []events.Append) {
	now := k.cfg.Now()
	var group grouping
	for _, c := range commands[:min(len(commands), importCommands)] {
		if position, known := b.CommandPosition(c.ID); known {
			some = append(some, Imported{Receipt: Receipt{Position: position, Repeated: true}})
			continue
		}
		if len(batch) > 0 && !group.fits(c) {
			return some, batch
		}
		records, err := events.Prepare(b, c, now)
		if len(batch) > 0 && (err != nil || len(batch)+len(records) > importRecords || group.touches(records)) {
			return some, batch // of an error: perhaps it relies on what is in the batch
		}
		if err != nil {
			some = append(some, Imported{Err: err})
			continue
		}
		one := Imported{Receipt: Receipt{Position: b.Position(), EventIDs: eventIDs(records)}}
		if len(records) > 0 {
			group.add(c, records)
			batch = append(batch, records...)
			one.Position = uint64(len(batch))
		}
		some = append(some, one)
	}
	return some, batch
}

// grouping knows what is in a batch and so may not come again in it: every command of a batch is decided on the book as
// it was before the batch.
type grouping struct {
	sort     reflect.Type
	commands map[events.CommandID]bool
	targets  map[string]bool
	entities map[events.Entity]bool
}

// fits reports whether a command is of the same sort as those in the batch, and about something else.
func (g *grouping) fits(c events.Command) bool {
	target := target(c.Do)
	return reflect.TypeOf(c.Do) == g.sort && target != "" && !g.targets[target] && !g.commands[c.ID]
}

func (g *grouping) touches(records []events.Append) bool {
	for _, r := range records {
		if g.entities[r.Entity] {
			return true
		}
	}
	return false
}

func (g *grouping) add(c events.Command, records []events.Append) {
	if g.commands == nil {
		g.commands, g.targets, g.entities = map[events.CommandID]bool{}, map[string]bool{}, map[events.Entity]bool{}
	}
	g.sort = reflect.TypeOf(c.Do)
	g.commands[c.ID] = true
	g.targets[target(c.Do)] = true
	for _, r := range records {
		g.entities[r.Entity] = true
	}
}

// target is the id of what a command of an import is about; empty when it is not of a sort that comes in numbers, so
// that it goes alone.
func target(do any) string {
	v := reflect.ValueOf(do)
	if v.Kind() != reflect.Struct {
		return ""
	}
	for _, field := range []string{"ID", "Assembly"} { // of Put, and of what is about a job
		if id := v.FieldByName(field); id.IsValid() && id.Kind() == reflect.String {
			return id.String()
		}
	}
	return ""
}
