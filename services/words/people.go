package words

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"

	"valveround/events"
)

// Details are what is kept apart from the log, of a person or a site, so that it can be forgotten.
type Details struct {
	Name  string `json:"name,omitempty"`
	Phone string `json:"phone,omitempty"`
	Code  string `json:"code,omitempty"` // of a gate or key safe; never on a paper that leaves the firm
}

// People knows the details by person or site id. The zero value knows nobody. It is safe for concurrent use.
type People struct {
	mu      sync.RWMutex
	details map[string]Details
}

// LoadPeople reads all details from their store.
func LoadPeople(ctx context.Context, store events.PeopleStore) (*People, error) {
	p := &People{details: map[string]Details{}}
	err := store.All(ctx, func(key string, text []byte) error {
		var d Details
		if err := json.Unmarshal(text, &d); err != nil {
			return fmt.Errorf("details of %s: %w", key, err)
		}
		p.details[key] = d
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("loading people: %w", err)
	}
	return p, nil
}

// Put stores details and knows them at once.
func (p *People) Put(ctx context.Context, store events.PeopleStore, key string, d Details) error {
	text, err := json.Marshal(d)
	if err != nil {
		return err
	}
	if err := store.Put(ctx, key, text); err != nil {
		return fmt.Errorf("storing details of %s: %w", key, err)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.details == nil {
		p.details = map[string]Details{}
	}
	p.details[key] = d
	return nil
}

// Of gives the details of a person or site; empty when nothing is known, or it was forgotten.
func (p *People) Of(key string) Details {
	p.mu.RLock()
	defer p.mu.RUnlock()
	return p.details[key]
}

// Name is a person's name, or the id when it is not known.
func (p *People) Name(id events.PersonID) string {
	if d := p.Of(string(id)); d.Name != "" {
		return d.Name
	}
	return string(id)
}
