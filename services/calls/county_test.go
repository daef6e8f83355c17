package calls_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/planner"
	"valveround/services/calls"
	"valveround/services/demo"
	"valveround/services/words"
)

func county(t testing.TB, change func(*demo.Options)) (*events.Book, demo.Options, events.OfficeID) {
	t.Helper()
	o := demo.Default()
	o.Today = date("2026-03-02")
	if change != nil {
		change(&o)
	}
	f := demo.Generate(o)
	b, err := f.Fold()
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range b.Assemblies {
		return b, o, a.Office
	}
	t.Fatal("the county has no assemblies")
	return nil, o, ""
}

// TestCounty: on the demo every job that is owed is in exactly one call, and marked jobs are ones that tomorrow's plan
// leaves out for want of a word.
func TestCounty(t *testing.T) {
	b, o, office := county(t, nil)
	now := o.Today.In(time.UTC).Add(15 * time.Hour)
	plan, err := planner.Make(t.Context(), planner.Request{Book: b, Office: office, Date: o.Today.AddDays(1), Now: now, Settings: planner.DefaultSettings(), Iterations: 1})
	if err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	v := calls.List(calls.Request{Book: b, Office: office, Firm: "The firm", People: &words.People{}, From: o.Today, To: o.Today.AddDays(14), Now: now,
		Settings: planner.DefaultSettings(), Tomorrow: o.Today.AddDays(1), Plan: &plan})
	t.Logf("%d calls in %v: %s", len(v.Customers), time.Since(began), v.Headline)
	seen := map[string]bool{}
	marked := 0
	for i, c := range v.Customers {
		jobs := 0
		marked += c.JobsIn
		for _, s := range c.Sites {
			for _, f := range s.Feeds {
				for _, j := range f.Jobs {
					jobs++
					if seen[j.Job] {
						t.Errorf("job %s is on two calls", j.Job)
					}
					seen[j.Job] = true
				}
			}
		}
		if jobs != c.Jobs || c.Say == "" || c.Name == "" || c.Needed && len(c.Whom) == 0 {
			t.Errorf("call %d: %d jobs of %d, says %q, %d to ask", i, jobs, c.Jobs, c.Say, len(c.Whom))
		}
		if i < 6 || c.JobsIn > 0 && i < 30 {
			t.Logf("%s, ask by %v: %s | %v", c.Name, c.AskBy, c.Say, c.Tomorrow)
		}
	}
	owed := 0
	for _, a := range b.Assemblies {
		for _, j := range a.Jobs {
			if j.NeedsVisit() && j.Stage != events.StageStopped && j.Standing != events.NotOurs && !a.Gone && j.Dispatched == nil &&
				(j.Failure != nil || !o.Today.AddDays(14).Before(j.Due)) {
				owed++
				if !seen[string(j.ID)] {
					t.Errorf("job %s, %s, due %v, is on no call", j.ID, j.Stage, j.Due)
				}
			}
		}
	}
	wanting := 0
	for _, x := range plan.LeftOut {
		if slices.Contains([]string{"standing", "repair-yes", "notice", "window", "season"}, x.Rule) {
			wanting++
		}
	}
	t.Logf("%d owed, %d left out for want of a word, %d marked", owed, wanting, marked)
	if marked == 0 || marked > wanting {
		t.Errorf("%d jobs marked of %d that want a word", marked, wanting)
	}
}

// TestAnyCall: whatever outcome any call of a small county has, the log takes it, twice is as once, and the next list holds.
func TestAnyCall(t *testing.T) {
	b, o, office := county(t, func(o *demo.Options) { o.Crews, o.Sites, o.Assemblies = 3, 40, 100 })
	now := o.Today.In(time.UTC).Add(15 * time.Hour)
	list := func() calls.View {
		return calls.List(calls.Request{Book: b, Office: office, People: &words.People{}, From: o.Today, To: o.Today.AddDays(21), Now: now, Settings: planner.DefaultSettings(), Tomorrow: o.Today.AddDays(1)})
	}
	n := byte(0)
	rapid.Check(t, func(rt *rapid.T) {
		v := list()
		if len(v.Customers) == 0 {
			return
		}
		c := rapid.SampledFrom(v.Customers).Draw(rt, "call")
		do := events.NoteCall{Outcome: rapid.SampledFrom(events.CallOutcomes).Draw(rt, "outcome"), Words: "so they say"}
		for _, s := range c.Sites {
			do.Sites = append(do.Sites, events.SiteID(s.Site.ID))
		}
		do.From = now.Add(time.Duration(rapid.IntRange(1, 300).Draw(rt, "hours")) * time.Hour)
		do.To = do.From.Add(time.Duration(rapid.IntRange(1, 9).Draw(rt, "long")) * time.Hour)
		if do.Outcome == events.CallPosted {
			do.From = time.Time{} // notice of any later day
		}
		n++
		batch, err := events.Prepare(b, events.Command{ID: events.CommandID{n, byte(len(v.Customers)), 7}, Actor: "desk", Office: office, Happened: now, Do: do}, now)
		if err != nil {
			rt.Fatalf("%s to %s: %v", do.Outcome, c.Name, err)
		}
		for _, a := range batch {
			a.Record.Seq = b.Position() + 1
			if got := b.Apply(a.Record); !got.Accepted || got.Unknown {
				rt.Fatalf("%+v", got)
			}
		}
		after := list()
		i := slices.IndexFunc(after.Customers, func(x calls.Customer) bool { return x.ID == c.ID })
		switch do.Outcome {
		case events.CallRefused, events.CallOtherFirm:
			if i >= 0 && !strings.Contains(rulesOf(after.Customers[i]), "stopped") {
				rt.Errorf("%s is still to be called: %s", c.Name, after.Customers[i].Say)
			}
		case events.CallAgreed, events.CallPosted:
			if i >= 0 && strings.Contains(rulesOf(after.Customers[i]), "notice") {
				rt.Errorf("%s is still to be given notice", c.Name)
			}
		}
		for i := 1; i < len(after.Customers); i++ {
			if after.Customers[i].Needed && !after.Customers[i-1].Needed {
				rt.Error("a call that is needed stands below one that is not")
			}
		}
	})
}

func rulesOf(c calls.Customer) string { return rules(c.Asks) }
