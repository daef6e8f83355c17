package backlog

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// HistoryView is how an assembly came to be where it is.
type HistoryView struct {
	Job words.Job `json:"job"`
	// SerialsSeen are proposals to correct the record.
	SerialsSeen []events.SerialDiffers `json:"serials_seen,omitempty" doc:"serials that crews read off the unit and the record does not follow"`
	Site        words.Site             `json:"site"`
	Entries     []HistoryEntry         `json:"entries" doc:"oldest first"`
}

// HistoryEntry is one thing that happened.
type HistoryEntry struct {
	Position uint64         `json:"position"`
	Event    events.EventID `json:"event" doc:"what a correction names"`
	Entity   string         `json:"entity" enum:"assembly,site,feed,customer,crew,gauge,kit,purveyor,person"`
	ID       string         `json:"id" doc:"of the entity"`
	Thing    string         `json:"thing,omitempty" doc:"the entity in words, in a history that tells of several"`
	Happened time.Time      `json:"happened"`
	Recorded time.Time      `json:"recorded"`
	Who      string         `json:"who"`
	Name     string         `json:"name" doc:"the event's name in the log"`
	Words    string         `json:"words"`
	Alarm    bool           `json:"alarm,omitempty"`
	Photo    string         `json:"photo,omitempty" doc:"SHA-256 of the picture taken"`
	Void     bool           `json:"void,omitempty"`
	Mistake  string         `json:"mistake,omitempty" doc:"what a later entry says is wrong with this one, which stays"`
	Mends    []Mend         `json:"mends,omitempty" doc:"what can be done about it, as things stand"`

	about *mistake // that this entry names
}

// History tells how an assembly came to be where it is, as seen today.
func History(ctx context.Context, log events.Log, b *events.Book, people *words.People, id events.AssemblyID) (HistoryView, error) {
	return HistoryAt(ctx, log, b, people, id, time.Now())
}

// HistoryAt tells how an assembly came to be where it is: its own events, and of its site and feed those that a visit or
// the water left behind, in the order in which they were stored, told on the site's clocks. The job is the open one, or the
// last, with its days left counted from now in the purveyor's zone.
func HistoryAt(ctx context.Context, log events.Log, b *events.Book, people *words.People, id events.AssemblyID, now time.Time) (HistoryView, error) {
	a := b.Assemblies[id]
	if a == nil {
		return HistoryView{}, &events.Refusal{Words: fmt.Sprintf("there is no assembly %q on record", id)}
	}
	settings, err := planner.SettingsOf(b, a.Office)
	if err != nil {
		return HistoryView{}, err
	}
	l := looking{b: b, now: now, s: settings}
	v := HistoryView{Job: words.JobOf(b, a, lastJob(a), l.today(a), l.s), Site: words.SiteOf(b, a.Site), Entries: []HistoryEntry{}, SerialsSeen: a.SerialsSeen}
	t := telling{log: log, b: b, people: people, loc: words.Zone(b, a.Site), work: true}
	for _, e := range []events.Entity{{Kind: events.KindAssembly, ID: string(id)}, {Kind: events.KindSite, ID: string(a.Site)}, {Kind: events.KindFeed, ID: string(a.Feed)}} {
		if e.Office = a.Office; e.ID == "" {
			continue
		}
		entries, err := t.entity(ctx, e)
		if err != nil {
			return v, err
		}
		v.Entries = append(v.Entries, entries...)
	}
	inOrder(v.Entries)
	return v, nil
}

// inOrder sorts entries as they were stored and puts later words about mistakes beside them.
func inOrder(entries []HistoryEntry) {
	slices.SortFunc(entries, func(x, y HistoryEntry) int { return cmp.Compare(x.Position, y.Position) })
	markMistakes(entries)
}

// lastJob is the open job, else the newest; an empty one when there was never any.
func lastJob(a *events.Assembly) *events.Job {
	if j := a.OpenJob(); j != nil {
		return j
	}
	if n := len(a.Jobs); n > 0 {
		return &a.Jobs[n-1]
	}
	return &events.Job{}
}

// telling tells histories on the clocks of a zone.
type telling struct {
	log    events.Log
	b      *events.Book
	people *words.People
	loc    *time.Location
	work   bool // of a site and a feed only what a visit or the water left behind
	days   map[events.Entity][]events.Record
}

// entity tells the records of one entity. A record whose hash does not follow lost a race and never happened: it is void.
func (t *telling) entity(ctx context.Context, e events.Entity) ([]HistoryEntry, error) {
	records, err := t.log.History(ctx, e)
	if err != nil {
		return nil, fmt.Errorf("reading what happened to %s %s: %w", e.Kind, e.ID, err)
	}
	var list []HistoryEntry
	var head events.Hash
	for _, r := range records {
		void := r.Prev != head
		if !void {
			head = r.Hash()
		}
		if t.work && e.Kind != events.KindAssembly && !tellsOfWork(r) {
			continue
		}
		entry, err := t.entry(ctx, r)
		if err != nil {
			return nil, err
		}
		if entry.Void = void; void {
			entry.Mends = nil
		}
		list = append(list, entry)
	}
	return list, nil
}

// tellsOfWork leaves out of a site's and a feed's history what the office wrote before there was any work.
func tellsOfWork(r events.Record) bool { return r.Name != "registered" }

func (t *telling) entry(ctx context.Context, r events.Record) (HistoryEntry, error) {
	entry := HistoryEntry{Position: r.Seq, Event: r.ID, Entity: string(r.Entity.Kind), ID: r.Entity.ID, Happened: r.OnServerClock().In(t.loc),
		Recorded: r.Recorded.In(t.loc), Who: t.who(r.Actor), Name: r.Name, Alarm: r.Name == "alarm-raised"}
	event, err := events.Decode(r)
	if err != nil {
		entry.Words = "Something that this program cannot read: " + err.Error() + "."
		return entry, nil
	}
	entry.Photo = pictureOf(event)
	entry.Words, entry.about, entry.Mends = words.SentenceIn(t.b, t.people, event, t.loc), mistakeOf(event), t.mends(r, event)
	if out, ok := event.(events.Dispatched); ok {
		plan, err := t.asPlanned(ctx, r.Entity, out, r.Seq)
		if err != nil {
			return entry, err
		}
		entry.Words += plan
	}
	return entry, nil
}

func pictureOf(event any) string {
	switch e := event.(type) {
	case events.AssemblyPhoto:
		return e.SHA256
	case events.SitePhoto:
		return e.SHA256
	}
	return ""
}

// who names the one who said so: a person, a crew's phone, or the part of the program that wrote it.
func (t *telling) who(id events.PersonID) string {
	if c := t.b.Crews[events.CrewID(id)]; c != nil {
		return c.Name
	}
	return t.people.Name(id)
}
