package bulk_test

import (
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/intake/bulk"
)

const office = "north"

func book(t *testing.T) *events.Book {
	t.Helper()
	b := events.NewBook()
	carry(t, b,
		events.Put[events.CustomerFacts]{ID: "c1", Facts: events.CustomerFacts{Name: "Weir Holdings", OnHold: "an invoice is open"}},
		events.Put[events.SiteFacts]{ID: "s1", Facts: events.SiteFacts{Customer: "c1", Name: "Weir House", Zone: "America/Chicago", AccessHours: "Mo-Fr 07:00-15:00", Position: geo.MustPoint(40, -93),
			PositionSource: events.Surveyed, Contacts: []events.Contact{{Role: "lets in", Person: "p1"}}}},
		events.Put[events.SiteFacts]{ID: "s2", Facts: events.SiteFacts{Name: "Mill, \"old\"", Zone: "America/Chicago", PositionSource: events.NoPosition}},
		events.Put[events.FeedFacts]{ID: "f1", Facts: events.FeedFacts{Site: "s1", Name: "domestic", ShutdownWindow: "Mo-Fr 07:00-09:00"}},
	)
	return b
}

func carry(t *testing.T, b *events.Book, all ...any) {
	t.Helper()
	for i, do := range all {
		c := events.Command{ID: events.DeriveCommandID(events.CommandID{1}, string(rune('a'+i))+time.Now().String()), Actor: "office", Office: office, Happened: time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC), Do: do}
		carryOut(t, b, c)
	}
}

func carryOut(t *testing.T, b *events.Book, c events.Command) {
	t.Helper()
	batch, err := events.Prepare(b, c, c.Happened)
	if err != nil {
		t.Fatalf("%T: %v", c.Do, err)
	}
	for _, a := range batch {
		a.Seq = b.Position() + 1
		if applied := b.Apply(a.Record); applied.Err != nil {
			t.Fatal(applied.Err)
		}
	}
}

func export(t *testing.T, b *events.Book, kind string) string {
	t.Helper()
	file, err := bulk.Export(b, office, kind)
	if err != nil {
		t.Fatal(err)
	}
	return string(file)
}

func differ(t *testing.T, b *events.Book, kind, file string) bulk.Differences {
	t.Helper()
	d, err := bulk.Differ(b, office, kind, "edited.csv", []byte(file))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A file that comes back as it went out changes nothing.
func TestUntouched(t *testing.T) {
	b := book(t)
	for _, kind := range bulk.Kinds {
		if d := differ(t, b, kind, export(t, b, kind)+"\n"); len(d.Rows)+len(d.Faults)+d.New+d.Absent != 0 {
			t.Errorf("%s: %+v", kind, d)
		}
	}
}

// One cell is edited: only that fact changes, and what has no column (contacts, why a customer is on hold) stays.
func TestOneCell(t *testing.T) {
	b := book(t)
	d := differ(t, b, "sites", strings.Replace(export(t, b, "sites"), "Mo-Fr 07:00-15:00", "Mo-Sa 06:00-15:00", 1))
	if len(d.Rows) != 1 || d.Same != 1 || len(d.Rows[0].Cells) != 1 || d.Rows[0].Name != "Weir House" {
		t.Fatalf("%+v", d)
	}
	if c := d.Rows[0].Cells[0]; c != (bulk.Cell{Column: "access_hours", Was: "Mo-Fr 07:00-15:00", Is: "Mo-Sa 06:00-15:00"}) {
		t.Errorf("%+v", c)
	}
	for _, c := range d.Commands(events.Command{ID: events.CommandID{9}, Actor: "office", Office: office, Happened: time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)}) {
		carryOut(t, b, c)
	}
	s := b.Sites["s1"]
	if s.AccessHours != "Mo-Sa 06:00-15:00" || len(s.Contacts) != 1 || s.Customer != "c1" || !s.Position.IsSet() {
		t.Errorf("%+v", s.SiteFacts)
	}
	d = differ(t, b, "customers", strings.Replace(export(t, b, "customers"), "Weir Holdings", "Weir & Sons", 1))
	for _, c := range d.Commands(events.Command{ID: events.CommandID{8}, Actor: "office", Office: office, Happened: time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)}) {
		carryOut(t, b, c)
	}
	if c := b.Customers["c1"]; c.Name != "Weir & Sons" || c.OnHold != "an invoice is open" {
		t.Errorf("%+v", c.CustomerFacts)
	}
}

// What the file leaves out stays: columns, and rows. A new row is entered; a faulty one is named and left out.
func TestPartOfAFile(t *testing.T) {
	b := book(t)
	d := differ(t, b, "sites", "id,name,zone\ns1,Weir Court,America/Chicago\ns3,The Annex,America/Chicago\ns4,Nowhere,Mars/North\n")
	if len(d.Rows) != 2 || d.New != 1 || d.Absent != 1 || len(d.Faults) != 1 || d.Faults[0].Column != "zone" || d.Faults[0].Row != 4 {
		t.Fatalf("%+v", d)
	}
	if len(d.Rows[0].Cells) != 1 || d.Rows[0].Cells[0].Is != "Weir Court" {
		t.Errorf("columns that the file lacks: %+v", d.Rows[0])
	}
	d = differ(t, b, "feeds", strings.Replace(export(t, b, "feeds"), "Mo-Fr 07:00-09:00", "early", 1))
	if len(d.Rows) != 0 || len(d.Faults) != 1 || d.Faults[0].Column != "shutdown_window" {
		t.Errorf("hours that cannot be read: %+v", d)
	}
	d = differ(t, b, "feeds", "id,site_id,state\nf1,s1,shut\n")
	if len(d.Rows) != 1 || !d.Rows[0].Cells[0].Not || len(d.Commands(events.Command{})) != 0 {
		t.Errorf("how a feed was left is no matter of a spreadsheet: %+v", d)
	}
	if _, err := bulk.Differ(b, office, "people", "x.csv", []byte("id\np1\n")); err == nil {
		t.Error("people were taken")
	}
}

func FuzzDiffer(f *testing.F) {
	f.Add("id,name,zone\ns1,Weir Court,America/Chicago\n")
	f.Add("id\n\"\n")
	f.Fuzz(func(t *testing.T, file string) {
		b := book(t)
		before := b.Digest()
		if d, err := bulk.Differ(b, office, "sites", "edited.csv", []byte(file)); err == nil && d.Digest == "" {
			t.Error("differences without a digest")
		}
		if b.Digest() != before {
			t.Error("reading changed the book")
		}
	})
}
