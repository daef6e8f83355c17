package intake_test

import (
	"fmt"
	"testing"

	"valveround/events"
	"valveround/services/intake"
	"valveround/services/intake/duelist"
)

// BenchmarkPropose proposes a list of 5,000 rows on a book of 5,000 assemblies, half of them known.
func BenchmarkPropose(b *testing.B) {
	s := newStory(b).furnish()
	for i := range 5000 {
		id := fmt.Sprint("x", i)
		for _, do := range []any{
			events.Put[events.SiteFacts]{ID: id, Facts: events.SiteFacts{Name: "Site", Address: fmt.Sprint(i/2, " North Mill Street, Ashby"), Zone: "America/New_York"}},
			events.Put[events.FeedFacts]{ID: id, Facts: events.FeedFacts{Site: events.SiteID(id)}},
			events.Put[events.AssemblyFacts]{ID: id, Facts: events.AssemblyFacts{Site: events.SiteID(id), Feed: events.FeedID(id), Purveyor: "pv", PurveyorNumber: id, Serial: id}},
		} {
			c := events.Command{ID: events.DeriveCommandID(events.CommandID{1}, fmt.Sprintf("%T %d", do, i)), Office: office, Happened: noon, Do: do}
			if err := s.carryOut(c); err != nil {
				b.Fatal(err)
			}
		}
	}
	var list duelist.Result
	for i := range 5000 {
		list.Rows = append(list.Rows, row(i+2, fmt.Sprint("x", 2*i), "2026-05-01", at(fmt.Sprint(i, " N Mill St")), serial(fmt.Sprint("x", i))))
	}
	options := intake.Options{Purveyor: "pv", Office: office, AsOf: date("2026-04-01")}
	for b.Loop() {
		p, err := intake.Propose(s.book, list, options)
		if err != nil || len(p.Rows) != len(list.Rows) {
			b.Fatalf("%d rows, error %v", len(p.Rows), err)
		}
	}
}
