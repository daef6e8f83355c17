package search

import (
	"slices"
	"sync"

	"valveround/events"
)

// Finder searches the newest book. The whole is indexed now and then; what has changed since is found by comparing entities,
// which never change themselves, and indexed for each new position. It is safe for concurrent use; the zero value is ready.
type Finder struct {
	Office events.OfficeID

	mu       sync.Mutex
	base     *Index
	of       *events.Book // that base was made of
	recent   *Index
	position uint64 // that recent reaches to
	changed  map[owner]bool
}

// rebuildAt is after how many changed entities the whole is indexed again.
const rebuildAt = 1500

// Results are the best hits and how many there are in all.
type Results struct {
	Query string `json:"query"`
	Total int    `json:"total"`
	Hits  []Hit  `json:"hits" doc:"the best first"`
}

// Find searches a book for a query and returns so many hits at most.
func (f *Finder) Find(b *events.Book, query string, limit int) Results {
	base, recent, changed := f.indexes(b)
	hits := slices.DeleteFunc(base.Find(query), func(h Hit) bool { return changed[h.owner] })
	if recent != nil {
		hits = append(hits, recent.Find(query)...)
		slices.SortFunc(hits, better)
	}
	r := Results{Query: query, Total: len(hits), Hits: []Hit{}}
	r.Hits = append(r.Hits, hits[:min(limit, len(hits))]...)
	return r
}

func (f *Finder) indexes(b *events.Book) (base, recent *Index, changed map[owner]bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.base == nil || b.Position() < f.of.Position() {
		f.rebuild(b)
	}
	if b.Position() != f.position {
		changed := f.changes(b)
		if len(changed) > rebuildAt {
			f.rebuild(b)
		} else {
			f.changed, f.position = changed, b.Position()
			f.recent = indexOf(b, f.Office, func(o owner) bool { return changed[o] })
		}
	}
	return f.base, f.recent, f.changed
}

func (f *Finder) rebuild(b *events.Book) {
	f.base, f.of, f.recent, f.changed, f.position = NewIndex(b, f.Office), b, nil, nil, b.Position()
}

// changes are the entities whose own record, or one that they show, is another than when the whole was indexed.
func (f *Finder) changes(b *events.Book) map[owner]bool {
	changed := map[owner]bool{}
	for id, c := range b.Customers {
		if f.of.Customers[id] != c {
			changed[owner{CustomerKind, string(id)}] = true
		}
	}
	for id, s := range b.Sites {
		if f.of.Sites[id] != s || f.of.Customers[s.Customer] != b.Customers[s.Customer] {
			changed[owner{SiteKind, string(id)}] = true
		}
	}
	for id, a := range b.Assemblies {
		if f.of.Assemblies[id] != a || f.of.Sites[a.Site] != b.Sites[a.Site] {
			changed[owner{AssemblyKind, string(id)}] = true
		}
	}
	return changed
}
