package backlog

import (
	"context"
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// StoryView is what happened to one thing on record and to what hangs on it: of a site its feeds and assemblies too, of a
// customer all its sites.
type StoryView struct {
	Kind    string         `json:"kind"`
	ID      string         `json:"id"`
	Zone    string         `json:"zone" doc:"on whose clocks it is told"`
	Entries []HistoryEntry `json:"entries" doc:"newest first"`
	Earlier int            `json:"earlier" doc:"how many older ones are not told here"`
}

// Asked says of what a story is told.
type Asked struct {
	Office events.OfficeID
	Kind   events.Kind
	ID     string
	Zone   *time.Location // of the office, for what lies at no site
	Most   int            // how many of the newest entries; 0: all
}

// Story tells what happened to one thing and to what hangs on it, newest first.
func Story(ctx context.Context, log events.Log, b *events.Book, people *words.People, ask Asked) (StoryView, error) {
	told := hangingOn(b, ask)
	if len(told) == 0 {
		return StoryView{}, &events.Refusal{Words: fmt.Sprintf("there is no %s %q on record", ask.Kind, ask.ID)}
	}
	t := &telling{log: log, b: b, people: people, loc: zoneOf(b, told[0], ask.Zone)}
	v := StoryView{Kind: string(ask.Kind), ID: ask.ID, Zone: t.loc.String(), Entries: []HistoryEntry{}}
	for _, e := range told {
		entries, err := t.entity(ctx, e)
		if err != nil {
			return v, err
		}
		for i := range entries {
			if e != told[0] {
				entries[i].Thing = thing(b, e)
			}
		}
		v.Entries = append(v.Entries, entries...)
	}
	inOrder(v.Entries)
	slices.Reverse(v.Entries)
	if ask.Most > 0 && len(v.Entries) > ask.Most {
		v.Earlier = len(v.Entries) - ask.Most
		v.Entries = v.Entries[:ask.Most]
	}
	return v, nil
}

// hangingOn are the thing itself and what hangs on it; empty when it is not on record in this office or the firm.
func hangingOn(b *events.Book, ask Asked) []events.Entity {
	self, known := entityOf(b, ask.Kind, ask.ID)
	if !known || self.Office != ask.Office && self.Office != events.Firm {
		return nil
	}
	list := []events.Entity{self}
	switch ask.Kind {
	case events.KindSite:
		list = append(list, atSite(b, events.SiteID(ask.ID))...)
	case events.KindCustomer:
		for _, s := range b.Sites {
			if string(s.Customer) == ask.ID {
				list = append(list, events.Entity{Office: s.Office, Kind: events.KindSite, ID: string(s.ID)})
				list = append(list, atSite(b, s.ID)...)
			}
		}
	}
	return list
}

// atSite are the feeds and assemblies of a site.
func atSite(b *events.Book, id events.SiteID) []events.Entity {
	var list []events.Entity
	for _, f := range b.Feeds {
		if f.Site == id {
			list = append(list, events.Entity{Office: f.Office, Kind: events.KindFeed, ID: string(f.ID)})
		}
	}
	for _, a := range b.Assemblies {
		if a.Site == id {
			list = append(list, events.Entity{Office: a.Office, Kind: events.KindAssembly, ID: string(a.ID)})
		}
	}
	return list
}

func entityOf(b *events.Book, kind events.Kind, id string) (events.Entity, bool) {
	office, known := events.OfficeID(""), false
	switch kind {
	case events.KindAssembly:
		if x := b.Assemblies[events.AssemblyID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindSite:
		if x := b.Sites[events.SiteID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindFeed:
		if x := b.Feeds[events.FeedID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindCustomer:
		if x := b.Customers[events.CustomerID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindCrew:
		if x := b.Crews[events.CrewID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindGauge:
		if x := b.Gauges[events.GaugeID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindKit:
		if x := b.Kits[events.KitID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindPurveyor:
		if x := b.Purveyors[events.PurveyorID(id)]; x != nil {
			office, known = x.Office, true
		}
	case events.KindPerson:
		if x := b.People[events.PersonID(id)]; x != nil {
			office, known = x.Office, true
		}
	}
	return events.Entity{Office: office, Kind: kind, ID: id}, known
}

// zoneOf is the zone of the site that a thing lies at, else the office's.
func zoneOf(b *events.Book, e events.Entity, office *time.Location) *time.Location {
	switch e.Kind {
	case events.KindSite:
		return words.Zone(b, events.SiteID(e.ID))
	case events.KindFeed:
		return words.Zone(b, b.Feeds[events.FeedID(e.ID)].Site)
	case events.KindAssembly:
		return words.Zone(b, b.Assemblies[events.AssemblyID(e.ID)].Site)
	}
	if office == nil {
		return time.UTC
	}
	return office
}

// thing says a feed, an assembly or a site within the history of what it hangs on.
func thing(b *events.Book, e events.Entity) string {
	switch e.Kind {
	case events.KindSite:
		return words.SiteOf(b, events.SiteID(e.ID)).Name
	case events.KindFeed:
		f := b.Feeds[events.FeedID(e.ID)]
		return words.SiteOf(b, f.Site).Name + ", " + f.Name
	case events.KindAssembly:
		a := b.Assemblies[events.AssemblyID(e.ID)]
		return words.SiteOf(b, a.Site).Name + ", " + words.UnitOf(a)
	}
	return ""
}
