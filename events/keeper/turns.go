package keeper

import (
	"cmp"
	"slices"
	"sync"

	"valveround/events"
)

// turns lets the writers of this process take turns on each entity, so that they do not race one another.
// The zero value is ready.
type turns struct {
	mu    sync.Mutex
	taken map[events.Entity]*turn
}

// turn is one entity's lock and how many hold or want it.
type turn struct {
	sync.Mutex
	wanted int
}

// take waits for the turn on each entity and returns how to give them back. The entities are taken in one fixed order,
// so that two writers never wait for each other.
func (t *turns) take(entities []events.Entity) (giveBack func()) {
	entities = slices.SortedFunc(slices.Values(entities), compareEntities)
	held := make([]*turn, len(entities))
	for i, e := range entities {
		held[i] = t.want(e)
		held[i].Lock()
	}
	return func() {
		for i, e := range entities {
			held[i].Unlock()
			t.release(e)
		}
	}
}

func (t *turns) want(e events.Entity) *turn {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.taken == nil {
		t.taken = map[events.Entity]*turn{}
	}
	one := t.taken[e]
	if one == nil {
		one = &turn{}
		t.taken[e] = one
	}
	one.wanted++
	return one
}

func (t *turns) release(e events.Entity) {
	t.mu.Lock()
	defer t.mu.Unlock()
	one := t.taken[e]
	if one.wanted--; one.wanted == 0 {
		delete(t.taken, e)
	}
}

func compareEntities(a, b events.Entity) int {
	return cmp.Or(cmp.Compare(a.Office, b.Office), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.ID, b.ID))
}

// entitiesOf lists the entities of a batch, each once.
func entitiesOf(batch []events.Append) []events.Entity {
	seen := make(map[events.Entity]bool, 1)
	var list []events.Entity
	for _, a := range batch {
		if !seen[a.Entity] {
			seen[a.Entity] = true
			list = append(list, a.Entity)
		}
	}
	return list
}

// within reports whether every entity of the batch is among those.
func within(batch []events.Append, those []events.Entity) bool {
	among := make(map[events.Entity]bool, len(those))
	for _, e := range those {
		among[e] = true
	}
	for _, a := range batch {
		if !among[a.Entity] {
			return false
		}
	}
	return true
}
