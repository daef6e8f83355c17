package check

import (
	"cmp"
	"slices"

	"valveround/events"
)

// index is what of the book is looked up often.
type index struct {
	feeds  map[events.SiteID][]*events.Feed // by id
	groups map[events.FeedID]events.FeedID  // of a feed that hangs together with others: the first feed of its group
}

func newIndex(b *events.Book) index {
	x := index{feeds: map[events.SiteID][]*events.Feed{}, groups: map[events.FeedID]events.FeedID{}}
	for _, f := range b.Feeds {
		x.feeds[f.Site] = append(x.feeds[f.Site], f)
	}
	for _, feeds := range x.feeds {
		slices.SortFunc(feeds, func(f, g *events.Feed) int { return cmp.Compare(f.ID, g.ID) })
		x.group(feeds)
	}
	return x
}

// group finds the connected groups among the feeds of one site: from each feed not yet in one, everything that can be
// reached by hanging together.
func (x index) group(feeds []*events.Feed) {
	for _, first := range feeds {
		if _, done := x.groups[first.ID]; done {
			continue
		}
		reached := []*events.Feed{first}
		for i := 0; i < len(reached); i++ {
			for _, g := range feeds {
				if hangs(reached[i], g) != "" && !slices.Contains(reached, g) {
					reached = append(reached, g)
				}
			}
		}
		if len(reached) > 1 {
			for _, f := range reached {
				x.groups[f.ID] = first.ID
			}
		}
	}
}

// hangs says by which rule two feeds of one site may never be dry together; empty when they may.
func hangs(f, g *events.Feed) Rule {
	switch {
	case f == nil || g == nil || f.ID == g.ID || f.Site != g.Site:
		return ""
	case f.Manifold != "" && f.Manifold == g.Manifold:
		return RuleManifold
	case f.FedFrom == g.ID || g.FedFrom == f.ID:
		return RuleSeries
	}
	return ""
}
