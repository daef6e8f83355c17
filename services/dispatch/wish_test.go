package dispatch_test

import (
	"errors"
	"strings"
	"testing"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

func (r *room) wishes() []events.Wish {
	r.Helper()
	if day := r.keeper.Book().Day(office, tuesday); day != nil {
		return day.Wishes
	}
	return nil
}

func (r *room) wish(w events.Wish) {
	r.Helper()
	before := r.records()
	if err := r.desk.Wish(r.Context(), command(nil), tuesday, w); err != nil {
		r.Fatalf("wish %+v: %v", w, err)
	}
	if n := r.records() - before; n != 1 {
		r.Errorf("a wish wrote %d records", n)
	}
	if p := r.desk.Proposal(tuesday); len(p.Violations) > 0 {
		r.Errorf("after the wish the plan is refused: %v", p.Violations)
	}
}

func (r *room) plan() planner.Plan {
	r.Helper()
	return *r.desk.Proposal(tuesday).Plan
}

func TestHold(t *testing.T) {
	r := newRoom(t)
	r.planned()
	r.wish(events.Wish{Site: "diner", Hold: true})
	if w := r.wishes(); len(w) != 1 || w[0].Crew != "a" || !w[0].Hold {
		t.Errorf("held for the crew that has it: %+v", w)
	}
	for _, route := range r.plan().Routes {
		for _, v := range route.Visits {
			if v.Hold != (v.Site == "diner") {
				t.Errorf("%s is shown as held: %v", v.Site, v.Hold)
			}
		}
	}
	if v := r.desk.View(tuesday, &words.People{}); len(v.Wishes) != 1 || v.Wishes[0].Name != "The diner" {
		t.Errorf("shown: %+v", v.Wishes)
	}
	if p := r.planned(); crewOf(p, "diner") != "a" {
		t.Error("planned again, the held visit has another crew")
	}
}

func TestMove(t *testing.T) {
	r := newRoom(t)
	before := r.planned()
	r.wish(events.Wish{Site: "school", Crew: "b", Place: 1})
	if order := planner.OrderOf(r.plan()); crewOf(before, "school") != "a" || order["b"][0] != "school" {
		t.Errorf("moved to the front of Crew B's day: %v", order)
	}
	r.wish(events.Wish{Site: "school", Crew: "b", Place: 99})
	if order := planner.OrderOf(r.plan())["b"]; order[len(order)-1] != "school" {
		t.Errorf("moved to the end: %v", order)
	}
	if w := r.wishes(); len(w) != 1 {
		t.Errorf("a later wish takes the place of an earlier one: %+v", w)
	}
	if p := r.planned(); crewOf(p, "school") != "b" {
		t.Error("planned again, the moved visit has another crew")
	}
}

func TestLeaveOutAndPutBack(t *testing.T) {
	r := newRoom(t)
	r.planned()
	r.wish(events.Wish{Site: "school", Out: true, Why: "exams"})
	p := r.plan()
	if crewOf(p, "school") != "" || len(p.LeftOut) != 1 || p.LeftOut[0].Rule != "wish" || !strings.Contains(p.LeftOut[0].Reason, "exams") {
		t.Errorf("left out: %+v", p.LeftOut)
	}
	if v := r.desk.View(tuesday, &words.People{}); len(v.LeftOut) != 1 || !v.LeftOut[0].Wished {
		t.Errorf("shown: %+v", v.LeftOut)
	}
	if err := r.desk.DropWish(t.Context(), command(nil), tuesday, "school", ""); err != nil {
		t.Fatal(err)
	}
	if len(r.wishes()) != 0 {
		t.Error("the wish stands")
	}
	// It is free again, but nobody has put it on a route yet.
	if p = r.plan(); len(p.LeftOut) != 1 || p.LeftOut[0].Rule != "not-placed" || !strings.Contains(p.LeftOut[0].Reason, "has room for it") {
		t.Errorf("left out: %+v", p.LeftOut)
	}
	r.wish(events.Wish{Site: "school", Crew: "a", Place: 1})
	if p = r.plan(); crewOf(p, "school") != "a" {
		t.Errorf("put back by hand: %+v", planner.OrderOf(p))
	}
	if err := r.desk.DropWish(t.Context(), command(nil), tuesday, "school", ""); err != nil {
		t.Fatal(err)
	}
	if p = r.planned(); len(p.LeftOut) != 0 {
		t.Errorf("left out: %+v", p.LeftOut)
	}
}

func TestWishBeforeThereIsAPlan(t *testing.T) {
	r := newRoom(t)
	if err := r.desk.Wish(t.Context(), command(nil), tuesday, events.Wish{Site: "school", Crew: "b", Hold: true}); err != nil {
		t.Fatal(err)
	}
	if r.desk.Proposal(tuesday).Plan != nil {
		t.Error("a wish made a plan")
	}
	if p := r.planned(); crewOf(p, "school") != "b" {
		t.Errorf("order: %v", planner.OrderOf(p))
	}
}

func TestTheSameWishTwice(t *testing.T) {
	r := newRoom(t)
	r.planned()
	c := command(nil)
	for range 2 {
		if err := r.desk.Wish(t.Context(), c, tuesday, events.Wish{Site: "school", Crew: "b", Place: 1}); err != nil {
			t.Fatal(err)
		}
	}
	digest, before := r.plan().Digest(), r.records()
	if err := r.desk.Wish(t.Context(), c, tuesday, events.Wish{Site: "school", Crew: "b", Place: 1}); err != nil {
		t.Fatal(err)
	}
	if r.records() != before || len(r.wishes()) != 1 || len(planner.OrderOf(r.plan())["b"]) != 3 {
		t.Errorf("sent again it changes something: %v", planner.OrderOf(r.plan()))
	}
	if r.plan().Digest() != digest {
		t.Error("the plan is another one")
	}
}

// Whatever is refused leaves everything as it was: no record, the same plan, the same wishes.
func TestRefusedWishes(t *testing.T) {
	for _, c := range []struct {
		name  string
		build func(*room)
		wish  events.Wish
		words string
	}{
		{"too late for the window", nil, events.Wish{Site: "diner", Crew: "b", Place: 9}, "Crew B would reach The diner too late: work there may begin 05:52 to 07:27"},
		{"a crew that may not do it", func(r *room) { r.do(events.DropGauge{Gauge: "gauge-b", Why: "frozen"}) }, events.Wish{Site: "school", Crew: "b"}, "Crew B may not do"},
		{"a crew that is off", func(r *room) {
			r.do(events.SetCrewOff{Crew: "b", CrewOff: events.CrewOff{Date: tuesday, Why: "sick"}})
		}, events.Wish{Site: "school", Crew: "b"}, "Crew B does not work that day: sick"},
		{"no such crew", nil, events.Wish{Site: "school", Crew: "x"}, `no crew "x"`},
		{"no such site", nil, events.Wish{Site: "moon", Hold: true}, `no site "moon"`},
		{"left out, nobody says why", nil, events.Wish{Site: "school", Out: true}, "say why"},
		{"the plan is out of date", func(r *room) { r.do(events.LeaveFeed{Feed: "west", Condition: events.Condition{Service: events.Shut}}) },
			events.Wish{Site: "school", Hold: true}, "hospital"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRoom(t)
			r.planned()
			if c.build != nil {
				c.build(r)
			}
			before, digest := r.records(), r.plan().Digest()
			err := r.desk.Wish(t.Context(), command(nil), tuesday, c.wish)
			if err == nil || !strings.Contains(err.Error(), c.words) {
				t.Errorf("got %v, want %q", err, c.words)
			}
			if r.records() != before || r.plan().Digest() != digest || len(r.wishes()) != 0 {
				t.Error("something changed all the same")
			}
			if p := r.desk.Proposal(tuesday); p.Planning {
				t.Error("the day is taken as being planned")
			}
			if err := r.desk.Plan(tuesday, 0.05); err != nil {
				t.Errorf("the day cannot be planned any more: %v", err)
			}
		})
	}
}

func TestWishThatCannotBeWritten(t *testing.T) {
	r := newRoom(t)
	f := &failing{Keeper: r.keeper}
	d := r.anotherDesk(f)
	before := r.plannedBy(d)
	f.do = true
	if err := d.Wish(t.Context(), command(nil), tuesday, events.Wish{Site: "school", Crew: "b", Place: 1}); !errors.Is(err, errLog) {
		t.Errorf("got %v", err)
	}
	if d.Proposal(tuesday).Plan.Digest() != before.Digest() {
		t.Error("the plan changed although the wish was not written")
	}
}

// A site that is visited in parts: a wish about one part leaves the other alone.
func TestWishAboutAPart(t *testing.T) {
	r := newRoom(t)
	book := r.keeper.Book()
	east, west := book.Feeds["east"].FeedFacts, book.Feeds["west"].FeedFacts
	east.Manifold, west.Manifold, west.ShutdownWindow = "", "", "Mo-Fr 14:00-15:30"
	r.do(events.Put[events.FeedFacts]{ID: "east", Facts: east})
	r.do(events.Put[events.FeedFacts]{ID: "west", Facts: west})
	assembly := book.Assemblies["hospital-1"].AssemblyFacts
	assembly.Feed = "west"
	r.do(events.Put[events.AssemblyFacts]{ID: "hospital-2", Facts: assembly})
	r.do(events.ListDue{Assembly: "hospital-2", NewJob: "j-hospital-2", Kind: events.AnnualTest, Due: tuesday, Standing: events.Ours})
	r.planned()
	r.wish(events.Wish{Site: "hospital", Feed: "west", Crew: "a", Place: 9})
	order := planner.OrderOf(r.plan())
	if got := order["a"]; got[len(got)-1] != "hospital~west" {
		t.Errorf("order: %v", order)
	}
	crew := crewOf(r.plan(), "hospital")
	r.wish(events.Wish{Site: "hospital", Feed: "west", Out: true, Why: "theatre in use"})
	if p := r.plan(); len(p.LeftOut) != 1 || p.LeftOut[0].Job != "j-hospital-2" || crewOf(p, "hospital") == "" {
		t.Errorf("before with %s; left out: %+v", crew, p.LeftOut)
	}
	v := r.desk.View(tuesday, &words.People{})
	if len(v.LeftOut) != 1 || v.LeftOut[0].Feed != "west" {
		t.Fatalf("shown: %+v", v.LeftOut)
	}
	// What is shown is what puts it back.
	if err := r.desk.DropWish(t.Context(), command(nil), tuesday, "hospital", events.FeedID(v.LeftOut[0].Feed)); err != nil {
		t.Fatal(err)
	}
	if p := r.plan(); len(r.wishes()) != 0 || p.LeftOut[0].Visit != "hospital~west" {
		t.Errorf("wishes %+v, left out %+v", r.wishes(), p.LeftOut)
	}
}

func TestNoWishOnADayThatIsOut(t *testing.T) {
	r := newRoom(t)
	plan := r.planned()
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, plan.Digest()); err != nil {
		t.Fatal(err)
	}
	before := r.records()
	var refusal *events.Refusal
	if err := r.desk.Wish(t.Context(), command(nil), tuesday, events.Wish{Site: "school", Crew: "b"}); !errors.As(err, &refusal) || !strings.Contains(err.Error(), "sent out") {
		t.Errorf("got %v", err)
	}
	if err := r.desk.DropWish(t.Context(), command(nil), tuesday, "school", ""); !errors.As(err, &refusal) {
		t.Errorf("got %v", err)
	}
	if err := r.desk.Plan(tuesday, 1); !errors.As(err, &refusal) {
		t.Errorf("got %v", err)
	}
	if r.records() != before {
		t.Error("something was written")
	}
}
