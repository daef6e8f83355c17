package backlog

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// HistoryView is how an assembly came to be where it is.
type HistoryView struct {
	Job     words.Job      `json:"job"`
	Site    words.Site     `json:"site"`
	Entries []HistoryEntry `json:"entries" doc:"oldest first"`
}

// HistoryEntry is one thing that happened.
type HistoryEntry struct {
	Position uint64    `json:"position"`
	Happened time.Time `json:"happened"`
	Recorded time.Time `json:"recorded"`
	Who      string    `json:"who"`
	Name     string    `json:"name" doc:"the event's name in the log"`
	Words    string    `json:"words"`
	Alarm    bool      `json:"alarm,omitempty"`
	Void     bool      `json:"void,omitempty"`
}

// History tells how an assembly came to be where it is: its own events and those of its site and feed, as stored.
func History(ctx context.Context, log events.Log, b *events.Book, people *words.People, id events.AssemblyID) (HistoryView, error) {
	a := b.Assemblies[id]
	if a == nil {
		return HistoryView{}, &events.Refusal{Words: fmt.Sprintf("there is no assembly %q on record", id)}
	}
	v := HistoryView{Site: words.SiteOf(b, a.Site), Entries: []HistoryEntry{}}
	job := a.OpenJob()
	if job == nil && len(a.Jobs) > 0 {
		job = &a.Jobs[len(a.Jobs)-1]
	}
	if job == nil {
		job = &events.Job{}
	}
	v.Job = words.JobOf(b, a, job, events.DateIn(time.Now(), words.Zone(b, a.Site)), planner.DefaultSettings())
	for _, e := range []events.Entity{
		{Office: a.Office, Kind: events.KindAssembly, ID: string(id)},
		{Office: a.Office, Kind: events.KindSite, ID: string(a.Site)},
		{Office: a.Office, Kind: events.KindFeed, ID: string(a.Feed)},
	} {
		records, err := log.History(ctx, e)
		if err != nil {
			return v, fmt.Errorf("reading the history of %s: %w", e, err)
		}
		v.Entries = append(v.Entries, entries(b, people, a, records)...)
	}
	slices.SortFunc(v.Entries, func(x, y HistoryEntry) int { return int(x.Position) - int(y.Position) })
	return v, nil
}

// entries says the records of one entity; those whose hash does not follow never happened and are marked.
func entries(b *events.Book, people *words.People, a *events.Assembly, records []events.Record) []HistoryEntry {
	var list []HistoryEntry
	var prev events.Hash
	loc := words.Zone(b, a.Site)
	for _, r := range records {
		entry := HistoryEntry{Position: r.Seq, Happened: r.OnServerClock().In(loc), Recorded: r.Recorded.In(loc), Who: who(people, b, r.Actor), Name: r.Name,
			Alarm: r.Name == "alarm-raised", Void: r.Prev != prev}
		if !entry.Void {
			prev = r.Hash()
		}
		event, err := events.Decode(r)
		if err != nil {
			entry.Words = "An event that this program cannot read: " + err.Error()
		} else {
			entry.Words = words.Sentence(b, people, event)
		}
		list = append(list, entry)
	}
	return list
}

func who(people *words.People, b *events.Book, id events.PersonID) string {
	if c := b.Crews[events.CrewID(id)]; c != nil {
		return c.Name
	}
	return strings.TrimPrefix(people.Name(id), "p-")
}
