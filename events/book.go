package events

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"
)

// Book is the folded state of everything at one position of the log. The entities it holds are immutable
// values: a snapshot shares them, and applying the next record replaces them.
type Book struct {
	Assemblies map[AssemblyID]*Assembly
	Sites      map[SiteID]*Site
	Feeds      map[FeedID]*Feed
	Days       map[Entity]*Day
	Crews      map[CrewID]*Crew
	Gauges     map[GaugeID]*Gauge
	Kits       map[KitID]*Kit
	Purveyors  map[PurveyorID]*Purveyor
	Customers  map[CustomerID]*Customer
	People     map[PersonID]*Person
	Settings   map[Entity]*OfficeSettings
	Unplaced   map[string]*Unplaced // by the command that told it

	position uint64
	heads    map[Entity]Head
	commands map[CommandID]uint64
	snapshot bool
}

// Head is where an entity's history stands.
type Head struct {
	Seq     uint64 // of the newest record stored for it, also of a voided one
	Hash    Hash   // of the newest record accepted
	Voided  int    // records that lost a race and were not folded
	Unread  int    // records this code cannot read: the entity is read-only until it can
	Records int    // accepted
}

// NewBook returns the book before the first event.
func NewBook() *Book {
	return &Book{
		Assemblies: map[AssemblyID]*Assembly{}, Sites: map[SiteID]*Site{}, Feeds: map[FeedID]*Feed{},
		Days: map[Entity]*Day{}, Crews: map[CrewID]*Crew{}, Gauges: map[GaugeID]*Gauge{}, Kits: map[KitID]*Kit{},
		Purveyors: map[PurveyorID]*Purveyor{}, Customers: map[CustomerID]*Customer{}, People: map[PersonID]*Person{}, Settings: map[Entity]*OfficeSettings{},
		Unplaced: map[string]*Unplaced{},
		heads:    map[Entity]Head{}, commands: map[CommandID]uint64{},
	}
}

// Position is the log position the book has folded up to.
func (b *Book) Position() uint64 { return b.position }

// Head is where an entity's history stands in this book.
func (b *Book) Head(e Entity) Head { return b.heads[e] }

// Heads calls every entity that has a history, in no order.
func (b *Book) Heads(each func(Entity, Head)) {
	for e, h := range b.heads {
		each(e, h)
	}
}

// CommandPosition says where the newest event of a command lies, if the book has accepted one.
// A snapshot does not remember commands.
func (b *Book) CommandPosition(c CommandID) (uint64, bool) {
	seq, ok := b.commands[c]
	return seq, ok
}

// Day finds an office's day; nil when nothing has happened to it.
func (b *Book) Day(office OfficeID, date Date) *Day {
	return b.Days[Entity{office, KindDay, date.String()}]
}

// FeedsOf lists the feeds of a site by id.
func (b *Book) FeedsOf(site SiteID) []*Feed {
	var feeds []*Feed
	for _, f := range b.Feeds {
		if f.Site == site {
			feeds = append(feeds, f)
		}
	}
	slices.SortFunc(feeds, func(a, b *Feed) int { return cmp.Compare(a.ID, b.ID) })
	return feeds
}

// HangingWith lists the feeds that must never be dry together with this one: the legs of its manifold, the feed
// it is fed from, and those fed from it.
func (b *Book) HangingWith(id FeedID) []*Feed {
	f := b.Feeds[id]
	if f == nil {
		return nil
	}
	return slices.DeleteFunc(b.FeedsOf(f.Site), func(o *Feed) bool {
		series := o.FedFrom == f.ID || f.FedFrom == o.ID
		leg := f.Manifold != "" && o.Manifold == f.Manifold
		return o.ID == f.ID || !series && !leg
	})
}

// Snapshot is a copy to plan and show on while the book goes on. It shares the entities, which never change.
func (b *Book) Snapshot() *Book {
	return &Book{
		Assemblies: maps.Clone(b.Assemblies), Sites: maps.Clone(b.Sites), Feeds: maps.Clone(b.Feeds),
		Days: maps.Clone(b.Days), Crews: maps.Clone(b.Crews), Gauges: maps.Clone(b.Gauges), Kits: maps.Clone(b.Kits),
		Purveyors: maps.Clone(b.Purveyors), Customers: maps.Clone(b.Customers), People: maps.Clone(b.People), Settings: maps.Clone(b.Settings),
		Unplaced: maps.Clone(b.Unplaced),
		position: b.position, snapshot: true,
	}
}

// Applied says what became of a record.
type Applied struct {
	Accepted bool
	Void     bool // its hash does not follow: it lost a race and never happened
	Unknown  bool // kept and counted, but this code cannot read it
	Event    any
	Err      error // why it could not be read
}

// ErrSnapshot: a snapshot takes no records.
var ErrSnapshot = errors.New("a snapshot of the book takes no records")

// Apply folds the next record of the log. It never fails: a record that does not follow is void, one that cannot
// be read makes its entity read-only.
func (b *Book) Apply(r Record) Applied {
	if b.snapshot {
		return Applied{Err: ErrSnapshot}
	}
	b.position = r.Seq
	head := b.heads[r.Entity]
	head.Seq = r.Seq
	if r.Prev != head.Hash {
		head.Voided++
		b.heads[r.Entity] = head
		return Applied{Void: true}
	}
	head.Hash = r.Hash()
	head.Records++
	b.commands[r.Command] = r.Seq
	event, err := Decode(r)
	if err == nil {
		err = b.fold(stamp{r.Entity, r.Seq, r.ID, r.OnServerClock(), r.Recorded, r.Actor}, event)
	}
	if err != nil {
		head.Unread++
	}
	b.heads[r.Entity] = head
	return Applied{Accepted: true, Unknown: err != nil, Event: event, Err: err}
}

// stamp is what a fold may know of an event besides its body.
type stamp struct {
	Entity   Entity
	Seq      uint64
	ID       EventID
	Happened time.Time // by the server's clock, see Envelope.OnServerClock
	Recorded time.Time
	Actor    PersonID
}

func errNotMine(at stamp, event any) error {
	return fmt.Errorf("event %T cannot be folded into %s", event, at.Entity)
}

// fold hands an event to its noun.
func (b *Book) fold(at stamp, event any) error {
	id := at.Entity.ID
	switch at.Entity.Kind {
	case KindAssembly:
		return foldInto(b.Assemblies, AssemblyID(id), at, event)
	case KindSite:
		return foldInto(b.Sites, SiteID(id), at, event)
	case KindFeed:
		return foldInto(b.Feeds, FeedID(id), at, event)
	case KindDay:
		return foldInto(b.Days, at.Entity, at, event)
	case KindCrew:
		return foldInto(b.Crews, CrewID(id), at, event)
	case KindGauge:
		return foldInto(b.Gauges, GaugeID(id), at, event)
	case KindKit:
		return foldInto(b.Kits, KitID(id), at, event)
	case KindPurveyor:
		return foldInto(b.Purveyors, PurveyorID(id), at, event)
	case KindCustomer:
		return foldInto(b.Customers, CustomerID(id), at, event)
	case KindPerson:
		return foldInto(b.People, PersonID(id), at, event)
	case KindSettings:
		return foldInto(b.Settings, at.Entity, at, event)
	case KindField:
		return foldInto(b.Unplaced, id, at, event)
	}
	return fmt.Errorf("no fold for kind %q", at.Entity.Kind)
}

// folder is a noun's state: it takes an event and returns the state after it.
type folder[S any] interface {
	fold(at stamp, event any) (S, error)
}

func foldInto[K comparable, S folder[S]](states map[K]*S, id K, at stamp, event any) error {
	var before S
	if known := states[id]; known != nil {
		before = *known
	}
	after, err := before.fold(at, event)
	if err != nil {
		return err
	}
	states[id] = &after
	return nil
}

// Digest is one hash over the whole folded state: equal books have equal digests.
func (b *Book) Digest() Hash {
	d := sha256.New()
	write := json.NewEncoder(d)
	for _, part := range []any{b.Assemblies, b.Sites, b.Feeds, b.Crews, b.Gauges, b.Kits, b.Purveyors, b.Customers, b.People, b.Unplaced} {
		// The states hold plain values only; json sorts map keys.
		if err := write.Encode(part); err != nil {
			panic(fmt.Sprintf("digest of the book: %v", err))
		}
	}
	days := slices.SortedFunc(maps.Keys(b.Days), compareEntities)
	for _, e := range days {
		if err := write.Encode(b.Days[e]); err != nil {
			panic(fmt.Sprintf("digest of the book: %v", err))
		}
	}
	for _, e := range slices.SortedFunc(maps.Keys(b.Settings), compareEntities) {
		if err := write.Encode(b.Settings[e]); err != nil {
			panic(fmt.Sprintf("digest of the book: %v", err))
		}
	}
	for _, e := range slices.SortedFunc(maps.Keys(b.heads), compareEntities) {
		h := b.heads[e]
		fmt.Fprintf(d, "%s %d %s %d %d\n", e, h.Seq, h.Hash, h.Voided, h.Unread)
	}
	ids := slices.SortedFunc(maps.Keys(b.commands), func(a, b CommandID) int { return bytes.Compare(a[:], b[:]) })
	for _, id := range ids {
		fmt.Fprintf(d, "%s %d\n", id, b.commands[id])
	}
	fmt.Fprintf(d, "%d", b.position)
	return Hash(d.Sum(nil))
}

func compareEntities(a, b Entity) int {
	return cmp.Or(cmp.Compare(a.Office, b.Office), cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.ID, b.ID))
}
