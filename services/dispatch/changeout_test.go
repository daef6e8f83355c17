package dispatch_test

import (
	"errors"
	"strings"
	"testing"

	"valveround/events"
	"valveround/services/words"
)

// One visit of a day that is out is taken off, put back, moved and put in another order, each time with the checker's consent; the
// log, the day and the jobs say the same, also when a job goes off and back to the same crew.
func TestChangeOut(t *testing.T) {
	r := newRoom(t)
	r.out()
	early := r.deskAt("05:30")
	sent := func() *events.Day { return r.keeper.Book().Day(office, tuesday) }
	change := func(w events.Wish) {
		t.Helper()
		if err := early.ChangeOut(t.Context(), command(nil), tuesday, w); err != nil {
			t.Fatalf("%+v: %v", w, err)
		}
		sent().Sent.Jobs(func(crew events.CrewID, j events.DayJob) {
			if out := r.job(j.Assembly).Dispatched; out == nil || out.Crew != crew {
				t.Errorf("after %+v job %s is out as %+v, and the day has it with %s", w, j.Job, out, crew)
			}
		})
	}
	change(events.Wish{Site: "school", Out: true, Why: "exams"})
	if a := sitesOf(sent(), "a"); strings.Contains(join(a), "school") || r.job("school-1").Dispatched != nil {
		t.Errorf("taken off: crew A has %v, the job is out: %v", a, r.job("school-1").Dispatched)
	}
	if w := r.wishes(); len(w) != 1 || !w[0].Out {
		t.Errorf("whoever plans the rest anew must know: %+v", w)
	}
	change(events.Wish{Site: "school", Crew: "a"})
	if a := sitesOf(sent(), "a"); len(a) != 2 || !strings.Contains(join(a), "school") || r.job("school-1").Dispatched == nil {
		t.Errorf("put back: crew A has %v", a)
	}
	change(events.Wish{Site: "school", Crew: "b", Place: 1})
	if b := sitesOf(sent(), "b"); b[0] != "school" {
		t.Errorf("moved: crew B has %v", b)
	}
	change(events.Wish{Site: "school", Crew: "b", Place: 9})
	if b := sitesOf(sent(), "b"); b[len(b)-1] != "school" {
		t.Errorf("put last: crew B has %v", b)
	}
	v := early.View(tuesday, &words.People{})
	for _, route := range v.Routes {
		for _, visit := range route.Visits {
			if !visit.Ahead {
				t.Errorf("nothing has begun, and %s cannot be changed", visit.Site.Name)
			}
		}
	}
}

func join(sites []events.SiteID) string {
	list := make([]string, len(sites))
	for i, s := range sites {
		list[i] = string(s)
	}
	return strings.Join(list, " ")
}

// A job that came by telephone on the very day goes on a route that is out, where it fits best.
func TestAddOnADayThatIsOut(t *testing.T) {
	r := newRoom(t)
	r.out()
	r.do(events.Put[events.SiteFacts]{ID: "cafe", Facts: events.SiteFacts{Customer: "owner", Name: "The cafe", Position: r.keeper.Book().Sites["school"].Position, Zone: newYork, AccessHours: "24/7"}})
	r.do(events.Put[events.FeedFacts]{ID: "bar", Facts: events.FeedFacts{Site: "cafe", Name: "the bar", ShutdownWindow: "Mo-Fr 06:00-16:00"}})
	r.do(events.Put[events.AssemblyFacts]{ID: "cafe-1", Facts: events.AssemblyFacts{Site: "cafe", Feed: "bar", Purveyor: "water", Type: events.RP, Size: events.InchSize(1, 0), Service: events.Domestic}})
	r.do(events.OpenJob{Assembly: "cafe-1", NewJob: "j-cafe", Kind: events.Discharging, Due: tuesday, Words: "the relief valve runs"})
	noon := r.deskAt("07:30")
	r.doAt("06:10", events.Arrive{Site: "diner", Crew: "a", Day: tuesday})
	fits, because, err := noon.Fits(t.Context(), tuesday, events.JobRef{Assembly: "cafe-1", Job: "j-cafe"})
	if err != nil || len(fits) == 0 || fits[0].Crew != "a" || fits[0].Place < 2 {
		t.Fatalf("fits %+v, because %+v, %v: crew A is at the diner, so the next place is its second", fits, because, err)
	}
	c := command(nil)
	for range 2 {
		if err := noon.ChangeOut(t.Context(), c, tuesday, events.Wish{Site: "cafe", Crew: "a", Place: fits[0].Place}); err != nil {
			t.Fatal(err)
		}
	}
	a := sitesOf(r.keeper.Book().Day(office, tuesday), "a")
	if a[0] != "diner" || !strings.Contains(join(a), "cafe") || len(a) != 3 || r.job("cafe-1").Dispatched == nil {
		t.Errorf("crew A has %v", a)
	}
}

// What is refused changes nothing.
func TestRefusedChangesOfADayThatIsOut(t *testing.T) {
	for _, c := range []struct {
		name, clock string
		given       []any
		wish        events.Wish
		words       string
	}{
		{"what has begun stays", "06:30", []any{events.Arrive{Site: "diner", Crew: "a", Day: tuesday}}, events.Wish{Site: "diner", Out: true, Why: "storm"}, "has begun its visit to The diner"},
		{"no reason", "05:30", nil, events.Wish{Site: "school", Out: true}, "say why"},
		{"no crew", "05:30", nil, events.Wish{Site: "school"}, "say which crew"},
		{"too late for its window", "05:30", nil, events.Wish{Site: "diner", Crew: "b", Place: 9}, "too late"},
		{"a crew that may not", "05:30", []any{events.DropGauge{Gauge: "gauge-b", Why: "frozen"}}, events.Wish{Site: "school", Crew: "b", Place: 1}, ""},
		{"as it is already", "05:30", nil, events.Wish{Site: "diner", Crew: "a", Place: 2}, "out already"},
		{"no such site", "05:30", nil, events.Wish{Site: "moon", Crew: "a"}, `no site "moon"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRoom(t)
			r.out()
			for _, do := range c.given {
				r.doAt("06:10", do)
			}
			before := r.records()
			err := r.deskAt(c.clock).ChangeOut(t.Context(), command(nil), tuesday, c.wish)
			if err == nil || !strings.Contains(err.Error(), c.words) {
				t.Errorf("got %v, want %q", err, c.words)
			}
			if r.records() != before {
				t.Errorf("%d records were written", r.records()-before)
			}
		})
	}
	r := newRoom(t)
	var refusal *events.Refusal
	if err := r.desk.ChangeOut(t.Context(), command(nil), tuesday, events.Wish{Site: "school", Crew: "a"}); !errors.As(err, &refusal) || !strings.Contains(refusal.Words, "not sent out") {
		t.Errorf("a day that is not out: %v", err)
	}
}
