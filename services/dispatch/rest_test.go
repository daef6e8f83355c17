package dispatch_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/dispatch"
	"valveround/services/words"
)

// deskAt is a desk at another time.
func (r *room) deskAt(clock string) *dispatch.Desk {
	r.Helper()
	d, err := dispatch.New(dispatch.Config{Keeper: r.keeper, Office: office, Settings: planner.DefaultSettings(), Seconds: 0.1, Now: func() time.Time { return at(tuesday, clock) }})
	if err != nil {
		r.Fatal(err)
	}
	r.Cleanup(d.Close)
	return d
}

func (r *room) doAt(clock string, do any) {
	r.Helper()
	c := command(do)
	c.Happened = at(tuesday, clock)
	if _, err := r.keeper.Do(r.Context(), c); err != nil {
		r.Fatalf("%T: %v", do, err)
	}
}

// out sends the Tuesday out as planned: the diner and the school with crew A, the plant and the hospital with crew B.
func (r *room) out() planner.Plan {
	r.Helper()
	plan := r.planned()
	if err := r.desk.SendOut(r.Context(), command(nil), tuesday, plan.Digest()); err != nil {
		r.Fatal(err)
	}
	return plan
}

func (r *room) rest(d *dispatch.Desk) dispatch.Otherwise {
	r.Helper()
	o, err := d.Rest(r.Context(), tuesday, &words.People{})
	if err != nil {
		r.Fatal(err)
	}
	if len(o.Refusals) > 0 {
		r.Errorf("refused: %+v", o.Refusals)
	}
	return o
}

func sitesOf(day *events.Day, crew events.CrewID) []events.SiteID {
	var list []events.SiteID
	for _, route := range day.Sent.Routes {
		if route.Crew == crew {
			for _, v := range route.Visits {
				list = append(list, v.Site)
			}
		}
	}
	return list
}

// Crew A falls sick when it has done the diner. What it has done stays, crew B takes the school, and the log, the day and the jobs
// say so; sent again it changes nothing.
func TestTheRestIsSentOut(t *testing.T) {
	r := newRoom(t)
	if _, err := r.desk.Rest(t.Context(), tuesday, &words.People{}); err == nil || !strings.Contains(err.Error(), "is not sent out") {
		t.Errorf("nothing is out: %v", err)
	}
	plan := r.out()
	diner, _ := visitTo(plan, "diner")
	d := r.deskAt("08:30")
	r.doAt("06:30", events.Arrive{Site: "diner", Crew: crewOf(plan, "diner"), Day: tuesday})
	r.doAt("07:20", events.Leave{Site: "diner", Crew: crewOf(plan, "diner"), Day: tuesday})
	r.doAt("07:20", events.MeetNoAccess{Site: "diner", Crew: "a", Day: tuesday, Jobs: []events.JobRef{{Assembly: "diner-1", Job: "j-diner"}}, Words: "dark"})
	if o := r.rest(d); o.Moved != 0 || o.Digest != "" {
		t.Errorf("with nothing otherwise %d visits move: %+v", o.Moved, o.Moves)
	}
	if err := d.SendRest(t.Context(), command(nil), tuesday, "", "why not"); !errors.Is(err, dispatch.ErrNoPlan) {
		t.Errorf("there is nothing to send: %v", err)
	}
	r.doAt("08:30", events.SetCrewOff{Crew: "a", CrewOff: events.CrewOff{Date: tuesday, Why: "sick"}})
	o := r.rest(d)
	if o.Digest == "" || o.Amends != 2 || o.Moved != 1 || o.Moves[0].Site.ID != "school" || o.Moves[0].How != "another crew" {
		t.Fatalf("proposed: %+v", o)
	}
	if len(o.Begun) != 2 && len(o.Begun) != 1 || o.Begun[0].Crew != "a" || o.Begun[0].Site.ID != "diner" {
		t.Errorf("begun: %+v", o.Begun)
	}
	c, before := command(nil), r.records()
	if err := d.SendRest(t.Context(), command(nil), tuesday, "0123", "sick"); !errors.Is(err, dispatch.ErrNotWhatYouSaw) {
		t.Errorf("another plan than was seen: %v", err)
	}
	if r.records() != before {
		t.Error("what was refused was written")
	}
	if err := d.SendRest(t.Context(), c, tuesday, o.Digest, "Crew A is sick"); err != nil {
		t.Fatal(err)
	}
	day := r.keeper.Book().Day(office, tuesday)
	if got := sitesOf(day, "a"); !slices.Equal(got, []events.SiteID{"diner"}) {
		t.Errorf("A has %v", got)
	}
	if got := sitesOf(day, "b"); len(got) != 3 || !slices.Contains(got, "school") {
		t.Errorf("B has %v", got)
	}
	if out := r.job("school-1").Dispatched; out == nil || out.Crew != "b" {
		t.Errorf("the school is out %+v", out)
	}
	for _, route := range day.Sent.Routes {
		for _, v := range route.Visits {
			if v.Site == "diner" && !v.Arrive.Equal(diner.Arrive) {
				t.Errorf("the diner has changed: %+v", v)
			}
		}
	}
	before = r.records()
	if err := d.SendRest(t.Context(), c, tuesday, o.Digest, "Crew A is sick"); err != nil || r.records() != before {
		t.Errorf("sent again: %v, %d records more", err, r.records()-before)
	}
}

func visitTo(p planner.Plan, site events.SiteID) (planner.Visit, bool) {
	for _, route := range p.Routes {
		for _, v := range route.Visits {
			if v.Site == site {
				return v, true
			}
		}
	}
	return planner.Visit{}, false
}

// Between the plan of the rest and its going out a crew has come to a visit that would move: that is refused, and nothing is written.
func TestTheRestIsRefusedWhenACrewHasBegunSince(t *testing.T) {
	r := newRoom(t)
	plan := r.out()
	d := r.deskAt("05:50")
	r.do(events.SetCrewOff{Crew: "b", CrewOff: events.CrewOff{Date: tuesday, Why: "sick"}})
	o := r.rest(d)
	if o.Digest == "" {
		t.Fatalf("proposed: %+v", o)
	}
	first := plan.Routes[1].Visits[0].Site
	r.doAt("05:55", events.Arrive{Site: first, Crew: "b", Day: tuesday})
	before := r.records()
	var refused *dispatch.RefusedError
	if err := d.SendRest(t.Context(), command(nil), tuesday, o.Digest, "B is sick"); !errors.As(err, &refused) || refused.Violations[0].Rule != "begun" {
		t.Errorf("got %v", err)
	}
	if r.records() != before {
		t.Error("something was written")
	}
}

// A job that is taken off a day that is out, put back with the same crew and taken off again shows it each time, also when the
// program stopped between the day and its jobs.
func TestTakenOffAndPutBack(t *testing.T) {
	r := newRoom(t)
	plan := r.out()
	crew := crewOf(plan, "school")
	whole := events.DayRoute{}
	for _, route := range plan.Day().Routes {
		if route.Crew == crew {
			whole = route
		}
	}
	less := whole
	less.Visits = slices.DeleteFunc(slices.Clone(whole.Visits), func(v events.DayVisit) bool { return v.Site == "school" })
	for i, route := range []events.DayRoute{less, whole, less, whole} {
		r.do(events.Amend{Date: tuesday, Amended: events.Amended{Routes: []events.DayRoute{route}, Why: "tried"}})
		if err := r.anotherDesk(r.keeper).Recover(t.Context()); err != nil {
			t.Fatal(err)
		}
		if out := r.job("school-1").Dispatched != nil; out != (i%2 == 1) {
			t.Errorf("after change %d the school is out: %v", i+1, out)
		}
		before := r.records()
		if err := r.anotherDesk(r.keeper).Recover(t.Context()); err != nil || r.records() != before {
			t.Errorf("recovered again: %v, %d records more", err, r.records()-before)
		}
	}
}

// What if, on a day that is out: nothing is recorded, and nothing can be sent.
func TestSupposeOnADayThatIsOut(t *testing.T) {
	r := newRoom(t)
	r.out()
	d := r.deskAt("05:30")
	before := r.records()
	for _, x := range []struct {
		name string
		what dispatch.Supposed
		how  string
		site string
	}{
		{"a crew is sick", dispatch.Supposed{What: "crew-off", Crew: "a"}, "another crew", "school"},
		{"a job now", dispatch.Supposed{What: "new-job", Assembly: "school-1"}, "", ""},
		{"a window has moved", dispatch.Supposed{What: "window", Feed: "classes", Hours: "Mo-Fr 13:00-15:00"}, "another crew", "school"},
		{"and out of the day", dispatch.Supposed{What: "window", Feed: "classes", Hours: "Mo-Fr 01:00-02:00"}, "falls out", "school"},
	} {
		o, err := d.Suppose(t.Context(), tuesday, []dispatch.Supposed{x.what}, &words.People{})
		if err != nil || len(o.Refusals) > 0 || o.Digest != "" || len(o.Suppose) != 1 {
			t.Errorf("%s: %v, %+v", x.name, err, o)
			continue
		}
		found := x.how == "" || slices.ContainsFunc(o.Moves, func(m dispatch.MoveView) bool { return m.How == x.how && m.Site.ID == x.site })
		if !found {
			t.Errorf("%s: %+v", x.name, o.Moves)
		}
	}
	if r.records() != before {
		t.Error("something was written")
	}
}
