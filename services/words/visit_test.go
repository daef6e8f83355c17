package words

import (
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
)

// What a plan says of a repair reaches the desk and the phone, on the site's clocks.
func TestVisitSaysUntilWhenToDecide(t *testing.T) {
	b := events.NewBook()
	b.Sites["s"] = &events.Site{ID: "s", SiteFacts: events.SiteFacts{Name: "Mill", Zone: "America/New_York", AccessHours: "24/7"}}
	for _, id := range []events.FeedID{"f", "g"} {
		b.Feeds[id] = &events.Feed{ID: id, FeedFacts: events.FeedFacts{Site: "s", Name: string(id), ShutdownWindow: "05:00-09:00"}}
	}
	ten := time.Date(2026, 5, 12, 10, 0, 0, 0, time.UTC) // 06:00 in New York in summer (IANA time zone database)
	v := VisitOf(b, events.DayVisit{Site: "s", Arrive: ten, Leave: ten.Add(time.Hour), WaterOff: []events.WaterOff{
		{Feed: "f", From: ten, To: ten.Add(18 * time.Minute), DecideBy: ten.Add(40 * time.Minute)}, {Feed: "g", From: ten.Add(18 * time.Minute), To: ten.Add(time.Hour), TestOnly: true}}},
		events.NewDate(2026, 5, 12), planner.DefaultSettings())
	if by := v.WaterOff[0].DecideBy; by == nil || by.Format("15:04") != "06:40" || v.WaterOff[0].TestOnly {
		t.Errorf("%+v, want to decide by 06:40", v.WaterOff[0])
	}
	if v.WaterOff[1].DecideBy != nil || !v.WaterOff[1].TestOnly {
		t.Errorf("%+v, want tests only", v.WaterOff[1])
	}
}
