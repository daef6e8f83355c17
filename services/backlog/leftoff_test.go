package backlog_test

import (
	"slices"
	"testing"

	"valveround/events"
	"valveround/services/backlog"
)

func TestLeftOffTonight(t *testing.T) {
	s := newStory(t).furnish()
	for _, id := range []events.SiteID{"s2", "s3", "s4"} {
		s.site(id, "Site "+string(id), "cu")
	}
	partly := events.Condition{Service: events.InService, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValvePartly}},
		Told: []string{"alarm company"}, OnTestUntil: s.now, Decides: "site manager", Restores: "a new stem", Words: "stem bent"}
	s.at("2026-03-02 10:00").do(events.ShutFeed{Feed: "f1", Crew: "c1"})
	s.at("2026-03-01 16:00").do(events.LeaveFeed{Feed: "f2", Crew: "c1", Condition: partly})
	s.do(events.LeaveFeed{Feed: "f3", Crew: "c1", Condition: events.Condition{Service: events.InService, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}}}})
	s.at("2026-02-28 16:00").do(events.LeaveFeed{Feed: "f4", Condition: events.Condition{Service: events.Shut}})

	v := backlog.LeftOffTonight(s.book, office, s.now)
	if len(v.Rows) != 3 || v.Rows[0].Feed != "f4" || v.Rows[1].Feed != "f2" || v.Rows[2].Feed != "f1" {
		t.Fatalf("want f4, f2 and f1, longest first, and f3 not, which is open and in service: %+v", v.Rows)
	}
	if r := v.Rows[1]; r.Service != "in-service" || r.DryNow || r.By != "Crew A" || len(r.Valves) != 2 || len(r.Told) != 1 || r.OnTestUntil == nil ||
		!r.OnTestUntil.Equal(monday) || r.Decides != "site manager" || r.Restores != "a new stem" || r.Words != "stem bent" || r.Site.Name != "Site s2" ||
		r.Since.Format("15:04") != "16:00" {
		t.Errorf("partly open: %+v", r)
	}
	if r := v.Rows[2]; !r.DryNow || r.Service != "shut" || r.By != "Crew A" || len(r.Told) != 0 {
		t.Errorf("dry now: %+v", r)
	}
	s.at("2026-03-02 11:00").do(events.RestoreFeed{Feed: "f1", Crew: "c1"})
	s.do(events.RestoreFeed{Feed: "f2", By: "site manager"})
	s.do(events.LeaveFeed{Feed: "f4", Condition: events.Condition{Service: events.InService}})
	if v := backlog.LeftOffTonight(s.book, office, s.now); v.Rows == nil || len(v.Rows) != 0 {
		t.Errorf("all is restored and yet listed: %+v", v.Rows)
	}
	if v := backlog.LeftOffTonight(s.book, "south", s.now); len(v.Rows) != 0 {
		t.Errorf("another office's feeds: %+v", v.Rows)
	}
}

func TestWhomToCallAboutWhatIsLeftOff(t *testing.T) {
	s := newStory(t).furnish()
	s.book.Sites["s1"].Contacts = []events.Contact{{Person: "p1", Role: "alarm-company"}, {Person: "p1", Role: "lets in"}}
	s.at("2026-03-02 10:00").do(events.ShutFeed{Feed: "f1", Crew: "c1"})
	rows := backlog.LeftOffTonight(s.book, office, s.now).Calling(s.book, people(t)).Rows
	want := []backlog.Contact{{Role: "alarm company", Name: "Bo Wren"}, {Role: "lets in", Name: "Bo Wren"}}
	if len(rows) != 1 || !slices.Equal(rows[0].Call, want) {
		t.Errorf("whom to call: %+v, want %+v", rows, want)
	}
}
