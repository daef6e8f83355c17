package backlog

import (
	"cmp"
	"slices"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// LeftOff is what is shut, partly open or impaired tonight.
type LeftOff struct {
	Now  time.Time    `json:"now"`
	Rows []LeftOffRow `json:"rows"`
}

// LeftOffRow is one feed.
type LeftOffRow struct {
	Feed        string         `json:"feed"`
	Name        string         `json:"name"`
	Fire        bool           `json:"fire"`
	Site        words.Site     `json:"site"`
	Service     string         `json:"service" enum:"in-service,impaired,shut" doc:"in-service: with a shut-off that is not wholly open"`
	DryNow      bool           `json:"dry_now"`
	Valves      []events.Valve `json:"valves"`
	Since       time.Time      `json:"since"`
	By          string         `json:"by,omitempty"`
	Told        []string       `json:"told,omitempty"`
	OnTestUntil *time.Time     `json:"on_test_until,omitempty"`
	Decides     string         `json:"decides,omitempty"`
	Restores    string         `json:"restores,omitempty"`
	Words       string         `json:"words,omitempty"`
	Call        []Contact      `json:"call,omitempty" doc:"the site's contacts; for the screen only"`
}

// Contact is somebody who can be called about a site.
type Contact struct {
	Role  string `json:"role"`
	Name  string `json:"name"`
	Phone string `json:"phone,omitempty"`
}

// Calling adds whom to call about each feed.
func (v LeftOff) Calling(b *events.Book, people *words.People) LeftOff {
	for i := range v.Rows {
		site := b.Sites[events.SiteID(v.Rows[i].Site.ID)]
		if site == nil {
			continue
		}
		for _, c := range site.Contacts {
			v.Rows[i].Call = append(v.Rows[i].Call, Contact{words.Plain(c.Role), people.Name(c.Person), people.Of(string(c.Person)).Phone})
		}
	}
	return v
}

// LeftOffTonight lists the feeds that are dry now or were left shut, partly open or impaired, longest first.
func LeftOffTonight(b *events.Book, office events.OfficeID, now time.Time) LeftOff {
	v := LeftOff{Now: now, Rows: []LeftOffRow{}}
	for _, f := range b.Feeds {
		if f.Office == office && (f.OutOfService() || !f.DrySince.IsZero()) {
			v.Rows = append(v.Rows, leftOffRow(b, f))
		}
	}
	slices.SortFunc(v.Rows, func(x, y LeftOffRow) int {
		return cmp.Or(x.Since.Compare(y.Since), cmp.Compare(x.Feed, y.Feed))
	})
	return v
}

func leftOffRow(b *events.Book, f *events.Feed) LeftOffRow {
	loc := words.Zone(b, f.Site)
	row := LeftOffRow{Feed: string(f.ID), Name: f.Name, Fire: f.Fire, Site: words.SiteOf(b, f.Site), Valves: []events.Valve{}}
	crew := f.LeftBy
	if !f.DrySince.IsZero() {
		row.DryNow, row.Service, row.Since, crew = true, string(events.Shut), f.DrySince.In(loc), f.DryBy
	} else {
		row.Service, row.Since = string(f.AsLeft.Service), f.LeftAt.In(loc)
	}
	if c := b.Crews[crew]; c != nil {
		row.By = c.Name
	}
	if left := f.AsLeft; left != nil && left.Left() {
		row.Told, row.Decides, row.Restores, row.Words = left.Told, left.Decides, left.Restores, left.Words
		row.Valves = append(row.Valves, left.Valves...)
		if !left.OnTestUntil.IsZero() {
			until := left.OnTestUntil.In(loc)
			row.OnTestUntil = &until
		}
	}
	return row
}
