package check

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
)

// The book's own word on which feeds hang together, against the index: each two that hang are of one group, and a feed
// that hangs with none is in no group.
func TestGroupsAgainstTheBook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := events.NewBook()
		n := rapid.IntRange(1, 12).Draw(t, "feeds")
		id := func(i int) events.FeedID { return events.FeedID(fmt.Sprintf("f%02d", i)) }
		for i := range n {
			f := &events.Feed{ID: id(i), FeedFacts: events.FeedFacts{Site: rapid.SampledFrom([]events.SiteID{"s", "t"}).Draw(t, "site")}}
			f.Manifold = rapid.SampledFrom([]string{"", "", "", "m", "n"}).Draw(t, "manifold")
			if rapid.IntRange(0, 2).Draw(t, "series") == 0 {
				f.FedFrom = id(rapid.IntRange(0, n-1).Draw(t, "fed from"))
			}
			b.Feeds[f.ID] = f
		}
		x := newIndex(b)
		for _, f := range b.Feeds {
			with := b.HangingWith(f.ID)
			group, grouped := x.groups[f.ID]
			if grouped != (len(with) > 0) {
				t.Fatalf("feed %s hangs with %d others, in a group: %v", f.ID, len(with), grouped)
			}
			for _, g := range b.Feeds {
				hang := slices.ContainsFunc(with, func(o *events.Feed) bool { return o.ID == g.ID })
				if hang != (hangs(f, g) != "") {
					t.Fatalf("%+v and %+v hang together: the book says %v", f, g, hang)
				}
				if other, ok := x.groups[g.ID]; hang && (!ok || other != group) {
					t.Fatalf("%s and %s hang together, but are of groups %q and %q", f.ID, g.ID, group, other)
				}
			}
		}
	})
}
