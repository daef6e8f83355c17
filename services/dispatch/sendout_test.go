package dispatch_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/services/dispatch"
	"valveround/services/words"
)

var sites = []events.SiteID{"diner", "school", "plant", "hospital"}

// wantOut says that the day is out as planned, on the day and on each job.
func (r *room) wantOut(plan planner.Plan) {
	r.Helper()
	day := r.keeper.Book().Day(office, tuesday)
	if day == nil || day.Sent == nil {
		r.Fatal("the day is not out")
	}
	for _, s := range sites {
		out := r.job(events.AssemblyID(s + "-1")).Dispatched
		if out == nil || out.Date != tuesday || out.Crew != crewOf(plan, s) || out.Day != day.SentBy {
			r.Errorf("%s is dispatched %+v, planned with %s", s, out, crewOf(plan, s))
		}
	}
}

func (r *room) wantNotOut() {
	r.Helper()
	if day := r.keeper.Book().Day(office, tuesday); day != nil && day.Sent != nil {
		r.Error("the day is out")
	}
	for _, s := range sites {
		if out := r.job(events.AssemblyID(s + "-1")).Dispatched; out != nil {
			r.Errorf("%s is dispatched %+v", s, out)
		}
	}
}

func TestSendOut(t *testing.T) {
	r := newRoom(t)
	plan := r.planned()
	before := r.records()
	c := command(nil)
	if err := r.desk.SendOut(t.Context(), c, tuesday, plan.Digest()); err != nil {
		t.Fatal(err)
	}
	r.wantOut(plan)
	if n := r.records() - before; n != 5 {
		t.Errorf("%d records; one of the day and one of each job were expected", n)
	}
	v := r.desk.View(tuesday, &words.People{})
	if v.Status != "sent-out" || len(v.Routes) != 2 || v.Jobs.Planned != 4 || len(v.Amend) != 0 || !strings.HasSuffix(v.Headline, "; sent out, 0 done.") {
		t.Errorf("shown: %q %q %+v", v.Status, v.Headline, v.Amend)
	}
	for i, route := range v.Routes {
		proposed := plan.Day().Routes[i]
		if !route.Start.Equal(proposed.Start) || !route.End.Equal(proposed.End) || len(route.Visits) != len(proposed.Visits) {
			t.Errorf("%s: shown %s to %s, planned %s to %s", route.Crew.Name, route.Start, route.End, proposed.Start, proposed.End)
		}
	}

	// The page did not hear the answer and sends it again: nothing changes. Somebody else is told that it is out.
	before = r.records()
	if err := r.desk.SendOut(t.Context(), c, tuesday, plan.Digest()); err != nil {
		t.Errorf("sent again: %v", err)
	}
	if err := r.anotherDesk(r.keeper).SendOut(t.Context(), c, tuesday, plan.Digest()); err != nil {
		t.Errorf("sent again to a desk that has started anew: %v", err)
	}
	var refused *dispatch.RefusedError
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, plan.Digest()); !errors.As(err, &refused) {
		t.Errorf("sent out twice: %v", err)
	}
	if r.records() != before {
		t.Error("something was written")
	}
	r.wantOut(plan)
}

// What is refused writes nothing.
func TestSendOutRefused(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*room)
		rule   check.Rule
	}{
		{"a gauge was dropped meanwhile", func(r *room) { r.do(events.DropGauge{Gauge: "gauge-a", Why: "off a ladder"}) }, check.RuleGauge},
		{"the other leg was left shut meanwhile", func(r *room) { r.do(events.LeaveFeed{Feed: "west", Condition: events.Condition{Service: events.Shut}}) }, check.RuleAsLeft},
		{"a job was withdrawn meanwhile", func(r *room) {
			r.do(events.Withdraw{JobRef: events.JobRef{Assembly: "school-1", Job: "j-school"}, Why: "cut and capped"})
		}, check.RuleWork},
		{"the customer was put on hold meanwhile", func(r *room) {
			r.do(events.Put[events.CustomerFacts]{ID: "owner", Facts: events.CustomerFacts{Name: "The Owner", OnHold: "has not paid"}})
		}, check.RuleHold},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRoom(t)
			plan := r.planned()
			c.change(r)
			before := r.records()
			err := r.desk.SendOut(t.Context(), command(nil), tuesday, plan.Digest())
			var refused *dispatch.RefusedError
			if !errors.As(err, &refused) || refused.Violations[0].Rule != c.rule {
				t.Fatalf("got %v, want a refusal by rule %s", err, c.rule)
			}
			if r.records() != before {
				t.Error("something was written")
			}
			r.wantNotOut()
			// Planned again, it goes out.
			if again := r.planned(); r.desk.SendOut(t.Context(), command(nil), tuesday, again.Digest()) != nil && len(planner.OrderOf(again)) > 0 {
				t.Error("planned again it does not go out")
			}
		})
	}
}

func TestSendOutOnlyWhatWasSeen(t *testing.T) {
	r := newRoom(t)
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, "0123"); !errors.Is(err, dispatch.ErrNoPlan) {
		t.Errorf("nothing is planned: %v", err)
	}
	seen := r.planned()
	r.wish(events.Wish{Site: "school", Crew: "b", Place: 1})
	before := r.records()
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, seen.Digest()); !errors.Is(err, dispatch.ErrNotWhatYouSaw) {
		t.Errorf("another plan than was seen: %v", err)
	}
	if r.records() != before {
		t.Error("something was written")
	}
	r.wantNotOut()
}

func TestAnEmptyDayIsNotSentOut(t *testing.T) {
	r := newRoom(t)
	for _, crew := range []events.CrewID{"a", "b"} {
		r.do(events.SetCrewOff{Crew: crew, CrewOff: events.CrewOff{Date: tuesday, Why: "holiday"}})
	}
	plan := r.planned()
	var refusal *events.Refusal
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, plan.Digest()); !errors.As(err, &refusal) || !strings.Contains(err.Error(), "nothing to send out") {
		t.Errorf("got %v", err)
	}
	r.wantNotOut()
}

// Two desks, of one process and of two, plan the same day differently and send it out at once: one is out, whole, and the
// other is told.
func TestTwoDesksCannotSendTheSameDayOutTwice(t *testing.T) {
	for _, c := range []struct {
		name   string
		second func(*room) *dispatch.Desk
	}{
		{"one process", func(r *room) *dispatch.Desk { return r.anotherDesk(r.keeper) }},
		{"two processes", func(r *room) *dispatch.Desk { return r.anotherDesk(r.anotherKeeper()) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRoom(t)
			desks := []*dispatch.Desk{r.desk, c.second(r)}
			plans := []planner.Plan{r.planned(), r.plannedBy(desks[1])}
			other := events.CrewID("a")
			if crewOf(plans[1], "school") == "a" {
				other = "b"
			}
			// The first desk takes the school for the other crew, and leaves it free to be moved.
			r.wish(events.Wish{Site: "school", Crew: other, Place: 1})
			if err := r.desk.DropWish(t.Context(), command(nil), tuesday, "school", ""); err != nil {
				t.Fatal(err)
			}
			plans[0] = r.plan()
			errs := make([]error, 2)
			var both sync.WaitGroup
			for i := range desks {
				both.Go(func() {
					errs[i] = desks[i].SendOut(context.WithoutCancel(t.Context()), command(nil), tuesday, plans[i].Digest())
				})
			}
			both.Wait()
			won := 0
			if errs[0] != nil {
				won = 1
			}
			if errs[won] != nil || errs[1-won] == nil {
				t.Fatalf("sent out: %v; %v", errs[0], errs[1])
			}
			last := r.records()
			if err := r.keeper.Wait(t.Context(), last); err != nil {
				t.Fatal(err)
			}
			r.wantOut(plans[won])
			if last != r.records() {
				t.Error("the loser goes on writing")
			}
		})
	}
}

func TestTakeBack(t *testing.T) {
	r := newRoom(t)
	var refusal *events.Refusal
	if err := r.desk.TakeBack(t.Context(), command(nil), tuesday, "a mistake"); !errors.As(err, &refusal) {
		t.Errorf("nothing is out: %v", err)
	}
	r.planned()
	r.wish(events.Wish{Site: "diner", Hold: true})
	plan := r.plan()
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, plan.Digest()); err != nil {
		t.Fatal(err)
	}
	// Crew A finds nobody at the school, and that stays on record.
	r.do(events.MeetNoAccess{Site: "school", Crew: "a", Day: tuesday, Jobs: []events.JobRef{{Assembly: "school-1", Job: "j-school"}}, Words: "gate shut"})
	c := command(nil)
	if err := r.desk.TakeBack(t.Context(), c, tuesday, "flood"); err != nil {
		t.Fatal(err)
	}
	r.wantNotOut()
	day := r.keeper.Book().Day(office, tuesday)
	if day.Taken == nil || day.Taken.Why != "flood" || len(day.Wishes) != 1 {
		t.Errorf("the day: %+v", day)
	}
	if n := len(r.job("school-1").Attempts); n != 1 {
		t.Errorf("%d attempts at the school on record", n)
	}
	before := r.records()
	if err := r.desk.TakeBack(t.Context(), c, tuesday, "flood"); err != nil || r.records() != before {
		t.Errorf("sent again: %v, %d records more", err, r.records()-before)
	}

	// Planned and sent out again; only then the first taking back arrives once more: it is over and changes nothing.
	again := r.planned()
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, again.Digest()); err != nil {
		t.Fatal(err)
	}
	r.wantOut(again)
	before = r.records()
	if err := r.desk.TakeBack(t.Context(), c, tuesday, "flood"); err != nil || r.records() != before {
		t.Errorf("sent again, late: %v, %d records more", err, r.records()-before)
	}
	r.wantOut(again)
}

// The process stops between the day and its echoes: the day is out, its jobs do not show it. The next start completes them.
func TestRecoverEchoes(t *testing.T) {
	r := newRoom(t)
	plan := r.planned()
	r.do(events.SendOut{SentOut: plan.Day()})
	if r.job("diner-1").Dispatched != nil {
		t.Fatal("the job shows what only its echo says")
	}
	next := r.anotherDesk(r.keeper)
	if err := next.Recover(t.Context()); err != nil {
		t.Fatal(err)
	}
	r.wantOut(plan)
	before := r.records()
	if err := next.Recover(t.Context()); err != nil || r.records() != before {
		t.Errorf("recovered again: %v, %d records more", err, r.records()-before)
	}
	// What was done since is not sent out again.
	r.do(events.MeetNoAccess{Site: "school", Crew: "a", Day: tuesday, Jobs: []events.JobRef{{Assembly: "school-1", Job: "j-school"}}})
	if err := next.Recover(t.Context()); err != nil || r.job("school-1").Dispatched != nil {
		t.Errorf("recovered after the visit: %v, %+v", err, r.job("school-1").Dispatched)
	}
}

func TestRecoverStandDowns(t *testing.T) {
	r := newRoom(t)
	plan := r.planned()
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, plan.Digest()); err != nil {
		t.Fatal(err)
	}
	r.do(events.TakeBack{Date: tuesday, Why: "flood"})
	if r.job("diner-1").Dispatched == nil {
		t.Fatal("the job stood down by itself")
	}
	if err := r.desk.Recover(t.Context()); err != nil {
		t.Fatal(err)
	}
	r.wantNotOut()
	before := r.records()
	if err := r.desk.Recover(t.Context()); err != nil || r.records() != before {
		t.Errorf("recovered again: %v, %d records more", err, r.records()-before)
	}
}

// The echoes could not be written: the page hears so and sends the day again under the same id, which completes it.
func TestEchoesThatFail(t *testing.T) {
	r := newRoom(t)
	f := &failing{Keeper: r.keeper}
	d := r.anotherDesk(f)
	plan, c := r.plannedBy(d), command(nil)
	f.imports = true
	if err := d.SendOut(t.Context(), c, tuesday, plan.Digest()); !errors.Is(err, errLog) {
		t.Fatalf("got %v", err)
	}
	f.imports = false
	if err := d.SendOut(t.Context(), c, tuesday, plan.Digest()); err != nil {
		t.Fatal(err)
	}
	r.wantOut(plan)
	f.imports = true
	c = command(nil)
	if err := d.TakeBack(t.Context(), c, tuesday, "flood"); !errors.Is(err, errLog) {
		t.Fatalf("got %v", err)
	}
	f.imports = false
	if err := d.TakeBack(t.Context(), c, tuesday, "flood"); err != nil {
		t.Fatal(err)
	}
	r.wantNotOut()
}

func TestSendOutThatCannotBeWritten(t *testing.T) {
	r := newRoom(t)
	f := &failing{Keeper: r.keeper, do: true}
	d := r.anotherDesk(f)
	plan := r.plannedBy(d)
	if err := d.SendOut(t.Context(), command(nil), tuesday, plan.Digest()); !errors.Is(err, errLog) {
		t.Errorf("got %v", err)
	}
	r.wantNotOut()
	f.do = false
	if err := d.SendOut(t.Context(), command(nil), tuesday, plan.Digest()); err != nil {
		t.Error(err)
	}
	r.wantOut(plan)
}

// What changes under a day that is out is shown as to be amended, by rule; what is done or unchanged is not.
func TestAmend(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*room)
		want   string // rule: words, parted by " | "
	}{
		{"nothing", func(*room) {}, ""},
		{"a gauge is dropped", func(r *room) { r.do(events.DropGauge{Gauge: "gauge-b", Why: "frozen"}) },
			"gauge: The hospital: Crew B lacks a potable gauge valid that day and accepted by County Water | gauge: The plant: Crew B lacks a potable gauge valid that day and accepted by County Water"},
		{"and verified again", func(r *room) {
			r.do(events.DropGauge{Gauge: "gauge-b", Why: "frozen"})
			r.do(events.VerifyGauge{Gauge: "gauge-b", GaugeVerified: events.GaugeVerified{CertifiedUntil: tuesday.AddDays(300)}})
		}, ""},
		{"a crew is off", func(r *room) { r.do(events.SetCrewOff{Crew: "b", CrewOff: events.CrewOff{Date: tuesday, Why: "sick"}}) },
			"crew: Crew B does not work that day: sick | crew: The hospital: nobody comes at 08:52: give it to another crew, or call it off | crew: The plant: nobody comes at 09:36: give it to another crew, or call it off"},
		{"the other leg is left shut", func(r *room) { r.do(events.LeaveFeed{Feed: "west", Condition: events.Condition{Service: events.Shut}}) },
			"as-left: The hospital: the other leg, the west, was left shut: shutting this one may stop all water"},
		{"a job is withdrawn", func(r *room) {
			r.do(events.Withdraw{JobRef: events.JobRef{Assembly: "plant-1", Job: "j-plant"}, Why: "cut and capped"})
		}, "standing: The plant: the job is withdrawn"},
		{"a visit is over without a result", func(r *room) {
			r.do(events.MeetNoAccess{Site: "plant", Crew: "b", Day: tuesday, Jobs: []events.JobRef{{Assembly: "plant-1", Job: "j-plant"}}})
			r.do(events.Put[events.SiteFacts]{ID: "plant", Facts: events.SiteFacts{Name: "The plant", Zone: newYork, AccessHours: "24/7"}}) // no position any more
		}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRoom(t)
			if err := r.desk.SendOut(t.Context(), command(nil), tuesday, r.planned().Digest()); err != nil {
				t.Fatal(err)
			}
			c.change(r)
			var got []string
			for _, x := range r.desk.View(tuesday, &words.People{}).Amend {
				got = append(got, x.Rule+": "+x.Words)
			}
			if text := strings.Join(got, " | "); text != c.want {
				t.Errorf("to amend: %s\nwant:     %s", text, c.want)
			}
		})
	}
}

// What a past day left undone is planned and sent out again, although the jobs still show that day.
func TestLeftOver(t *testing.T) {
	r := newRoom(t)
	if err := r.desk.SendOut(t.Context(), command(nil), tuesday, r.planned().Digest()); err != nil {
		t.Fatal(err)
	}
	later := now.AddDate(0, 0, 3)
	friday := tuesday.AddDays(3)
	d, err := dispatch.New(dispatch.Config{Keeper: r.keeper, Office: office, Settings: planner.DefaultSettings(), Seconds: 0.1, Now: func() time.Time { return later }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(d.Close)
	if err := d.Plan(friday, 0.1); err != nil {
		t.Fatal(err)
	}
	r.wait(func() bool { return !d.Proposal(friday).Planning })
	plan := d.Proposal(friday).Plan
	if len(plan.LeftOut) != 0 {
		t.Fatalf("left out: %+v", plan.LeftOut)
	}
	c := command(nil)
	c.Happened = later
	if err := d.SendOut(t.Context(), c, friday, plan.Digest()); err != nil {
		t.Fatal(err)
	}
	if out := r.job("diner-1").Dispatched; out == nil || out.Date != friday {
		t.Errorf("the diner is out with %+v", out)
	}
	// Taking the old day back late must not stand down what is out with Friday.
	if err := d.TakeBack(t.Context(), command(nil), tuesday, "tidying up"); err != nil {
		t.Fatal(err)
	}
	if out := r.job("diner-1").Dispatched; out == nil || out.Date != friday {
		t.Errorf("the diner is out with %+v", out)
	}
}
