package search_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/services/demo"
	"valveround/services/search"
)

func small() *events.Book {
	b := events.NewBook()
	b.Customers["k1"] = &events.Customer{Office: "north", ID: "k1", CustomerFacts: events.CustomerFacts{Name: "Weir Property Management"}}
	b.Sites["s1"] = &events.Site{Office: "north", ID: "s1", SiteFacts: events.SiteFacts{Name: "Corner Kitchen", Address: "12 North Mill Street, Ashby", Customer: "k1"}}
	b.Sites["s2"] = &events.Site{Office: "north", ID: "s2", SiteFacts: events.SiteFacts{Name: "Saint Mary's School", Address: "120 Willow Brook Blvd, Corby"}}
	b.Sites["s3"] = &events.Site{Office: "south", ID: "s3", SiteFacts: events.SiteFacts{Name: "Corner Kitchen South", Address: "12 N Mill St, Corby"}}
	b.Assemblies["a1"] = &events.Assembly{Office: "north", ID: "a1", AssemblyFacts: events.AssemblyFacts{Site: "s1", Feed: "f1", Serial: "AB-10I42", PurveyorNumber: "0004417", Type: events.RP,
		Size: events.InchSize(2, 0)}, Jobs: []events.Job{{ID: "job-2026-017", Stage: events.StageDue}}}
	b.Assemblies["a2"] = &events.Assembly{Office: "north", ID: "a2", AssemblyFacts: events.AssemblyFacts{Site: "s2", Feed: "f2", Serial: "K7731902", PurveyorNumber: "MW 55-120", Type: events.DC},
		Serials: []string{"OLD-900"}}
	return b
}

// TestFind: what people type, and what must come first.
func TestFind(t *testing.T) {
	b := small()
	tests := []struct{ name, query, want string }{
		{"a serial", "AB-10I42", "assembly a1"},
		{"without punctuation, small letters", "ab10i42", "assembly a1"},
		{"look-alikes", "AB1O142", "assembly a1"},
		{"its end", "731902", "assembly a2"},
		{"its middle", "77319", "assembly a2"},
		{"two digits exchanged", "K7713902", "assembly a2"},
		{"the serial of the unit before", "old900", "assembly a2"},
		{"a purveyor's number", "0004417", "assembly a1"},
		{"without its zeros", "4417", "assembly a1"},
		{"with gaps elsewhere", "mw55 120", "assembly a2"},
		{"a job", "job-2026-017", "job job-2026-017"},
		{"a job by its number", "2026 017", "job job-2026-017"},
		{"a customer", "weir property", "customer k1"},
		{"a customer with a slip", "wier propety", "customer k1"},
		{"an address", "12 North Mill Street", "site s1"},
		{"abbreviated", "12 n mill st", "site s1"},
		{"abbreviated with points", "12 N. Mill St.", "site s1"},
		{"a part of it", "mill", "site s1"},
		{"the beginning of a word", "willo", "site s2"},
		{"suffix spelt out", "120 willow brook boulevard", "site s2"},
		{"with a slip", "120 wilow brook", "site s2"},
		{"a site's name", "corner kitchen", "site s1"},
		{"saint", "st marys school", "site s2"},
		{"one word of three is wrong", "corner kitchen zebra", "site s1"},
	}
	x := search.NewIndex(b, "north")
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			hits := x.Find(test.query)
			if len(hits) == 0 {
				t.Fatalf("%q finds nothing", test.query)
			}
			if got := string(hits[0].Kind) + " " + hits[0].ID; got != test.want {
				t.Errorf("%q finds first %s (%s, %d), want %s", test.query, got, hits[0].Why, hits[0].Score, test.want)
			}
			if hits[0].Why == "" || hits[0].Title == "" || !strings.HasPrefix(hits[0].Page, "#/") {
				t.Errorf("hit %+v", hits[0])
			}
		})
	}
	for _, query := range []string{"", " .,- ", "zebra", "99999999", "21 mill", "\xff"} {
		if hits := x.Find(query); len(hits) > 0 && query != "21 mill" {
			t.Errorf("%q finds %+v", query, hits[0])
		}
	}
	for _, h := range x.Find("corner kitchen") {
		if h.ID == "s3" {
			t.Error("another office's site is found")
		}
	}
}

func county(t testing.TB, change func(*demo.Options)) (*events.Book, events.OfficeID) {
	t.Helper()
	o := demo.Default()
	o.Today = events.NewDate(2026, time.March, 2)
	if change != nil {
		change(&o)
	}
	b, err := demo.Generate(o).Fold()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range b.Sites {
		return b, s.Office
	}
	return b, ""
}

// TestEverythingIsFound: on the demo every unit is found by its serial, every site by its address and every job by its
// number, among the first, also when written carelessly.
func TestEverythingIsFound(t *testing.T) {
	b, office := county(t, func(o *demo.Options) { o.Sites, o.Assemblies = 120, 300 })
	x := search.NewIndex(b, office)
	among := func(query string, kind search.Kind, id string, first int) {
		hits := x.Find(query)
		if !slices.ContainsFunc(hits[:min(first, len(hits))], func(h search.Hit) bool { return h.Kind == kind && h.ID == id }) {
			t.Errorf("%s %s is not among the first %d for %q", kind, id, first, query)
		}
	}
	careless := func(s string) string {
		return strings.ToLower(strings.NewReplacer("-", "", "0", "O", "1", "l", "Street", "st.", "Avenue", "av", "North ", "N ").Replace(s))
	}
	for id, a := range b.Assemblies {
		if a.Serial == "" || a.SerialDoubt != "" {
			continue
		}
		among(a.Serial, search.AssemblyKind, string(id), 5)
		among(careless(a.Serial), search.AssemblyKind, string(id), 5)
		for _, j := range a.Jobs {
			among(string(j.ID), search.JobKind, string(j.ID), 3)
		}
	}
	for id, s := range b.Sites {
		among(s.Address, search.SiteKind, string(id), 5)
		street, _, _ := strings.Cut(s.Address, ",")
		among(strings.NewReplacer("Street", "st.", "Avenue", "av", "North ", "n ").Replace(street), search.SiteKind, string(id), 8)
	}
}

// TestFinderFollowsTheBook: a finder that is asked again and again as the book moves finds what a fresh index would.
func TestFinderFollowsTheBook(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := events.NewBook()
		finder := search.Finder{Office: "north"}
		n := byte(0)
		put := func(do any) {
			n++
			now := time.Unix(1_772_000_000, 0).UTC()
			batch, err := events.Prepare(b, events.Command{ID: events.CommandID{n, 9}, Actor: "desk", Office: "north", Happened: now, Do: do}, now)
			if err != nil {
				rt.Fatal(err)
			}
			for _, a := range batch {
				a.Record.Seq = b.Position() + 1
				b.Apply(a.Record)
			}
		}
		put(events.Put[events.CustomerFacts]{ID: "k", Facts: events.CustomerFacts{Name: "Weir"}})
		word := rapid.SampledFrom([]string{"Mill", "Weir", "Willow", "Kitchen", "12", "120"})
		for range rapid.IntRange(1, 12).Draw(rt, "steps") {
			id := fmt.Sprint(rapid.IntRange(1, 4).Draw(rt, "id"))
			switch rapid.IntRange(0, 2).Draw(rt, "what") {
			case 0:
				put(events.Put[events.SiteFacts]{ID: "s" + id, Facts: events.SiteFacts{Name: word.Draw(rt, "name"), Address: word.Draw(rt, "no") + " " + word.Draw(rt, "street"), Customer: "k", Zone: "UTC"}})
			case 1:
				put(events.Put[events.CustomerFacts]{ID: "k", Facts: events.CustomerFacts{Name: word.Draw(rt, "customer")}})
			case 2:
				site := "s" + id
				if b.Sites[events.SiteID(site)] == nil {
					continue
				}
				put(events.Put[events.FeedFacts]{ID: "f" + id, Facts: events.FeedFacts{Site: events.SiteID(site), Name: "main"}})
				put(events.Put[events.AssemblyFacts]{ID: "a" + id, Facts: events.AssemblyFacts{Site: events.SiteID(site), Feed: events.FeedID("f" + id), Serial: "SN" + word.Draw(rt, "serial")}})
			}
			query := word.Draw(rt, "query")
			snapshot := b.Snapshot()
			got, want := finder.Find(snapshot, query, 100), search.NewIndex(snapshot, "north").Find(query)
			if len(got.Hits) != len(want) {
				rt.Fatalf("%q: %d hits, a fresh index has %d", query, len(got.Hits), len(want))
			}
			for i := range want {
				if !reflect.DeepEqual(got.Hits[i], want[i]) {
					rt.Fatalf("%q, hit %d: %+v, want %+v", query, i, got.Hits[i], want[i])
				}
			}
		}
	})
}

func FuzzFind(f *testing.F) {
	x := search.NewIndex(small(), "north")
	for _, q := range []string{"12 mill", "ab1042", "", "¹²", strings.Repeat("a ", 400), "\xff\xfe"} {
		f.Add(q)
	}
	f.Fuzz(func(t *testing.T, query string) {
		for _, h := range x.Find(query) {
			if h.Score <= 0 || h.Why == "" {
				t.Fatalf("%q: %+v", query, h)
			}
		}
	})
}

func BenchmarkFindAmong15000(b *testing.B) {
	book, office := county(b, func(o *demo.Options) { o.Sites, o.Assemblies = 6000, 15000 })
	x := search.NewIndex(book, office)
	queries := []string{"12 north mill street", "wilow", "ab1O42", "77319", "property management", "st"}
	b.Run("index", func(b *testing.B) {
		for b.Loop() {
			search.NewIndex(book, office)
		}
	})
	for _, q := range queries {
		b.Run(strings.ReplaceAll(q, " ", "_"), func(b *testing.B) {
			for b.Loop() {
				x.Find(q)
			}
		})
	}
	b.Run("after_a_change", func(b *testing.B) {
		finder := search.Finder{Office: office}
		finder.Find(book, "mill", 20)
		for b.Loop() {
			finder.Find(book, "mill", 20)
		}
	})
}
