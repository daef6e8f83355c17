package calls_test

import (
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/services/calls"
	"valveround/services/words"
)

func date(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

const zone = "America/New_York"

// office is a small book, folded from commands as the log would.
type office struct {
	t    *testing.T
	book *events.Book
	now  time.Time
	n    byte
}

// newOffice: Monday 2 March 2026, 09:00 in New York; one crew works on weekdays from 06:00 to 15:00.
func newOffice(t *testing.T) *office {
	o := &office{t: t, book: events.NewBook(), now: time.Date(2026, 3, 2, 14, 0, 0, 0, time.UTC)}
	o.do(events.Put[events.PurveyorFacts]{ID: "pv", Facts: events.PurveyorFacts{Name: "Millbrook Water", Zone: zone}})
	o.do(events.Put[events.PersonFacts]{ID: "p1", Facts: events.PersonFacts{Credentials: []events.Credential{
		{Kind: events.TesterCertificate, Until: date("2027-01-01")}, {Kind: events.RepairLicence, Until: date("2027-01-01")}, {Kind: events.FireLicence, Until: date("2027-01-01")}}}})
	o.do(events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{Serial: "1", Potable: true, CertifiedUntil: date("2027-01-01")}})
	o.do(events.Put[events.CrewFacts]{ID: "c1", Facts: events.CrewFacts{Name: "Crew 1", Letter: "A", People: []events.PersonID{"p1"}, Gauges: []events.GaugeID{"g1"},
		Home: geo.MustPoint(41, -74), Zone: zone, Hours: "Mo-Fr 06:00-15:00"}})
	return o
}

func (o *office) do(do any) {
	o.t.Helper()
	o.n++
	c := events.Command{ID: events.CommandID{o.n, 1}, Actor: "desk", Office: "north", Happened: o.now, Do: do}
	batch, err := events.Prepare(o.book, c, o.now)
	if err != nil {
		o.t.Fatalf("%T: %v", do, err)
	}
	for _, a := range batch {
		a.Record.Seq = o.book.Position() + 1
		if got := o.book.Apply(a.Record); !got.Accepted || got.Unknown {
			o.t.Fatalf("%T: %+v", do, got)
		}
	}
}

// site with one feed and one assembly that is due; the id names all of them.
func (o *office) site(id, customer, due string, change ...func(*events.SiteFacts, *events.FeedFacts, *events.AssemblyFacts)) {
	o.t.Helper()
	s := events.SiteFacts{Customer: events.CustomerID(customer), Name: "Site " + id, Address: id + " Mill St", Zone: zone, AccessHours: "Mo-Fr 06:00-17:00",
		Position: geo.MustPoint(41.01, -74), PositionSource: events.Surveyed,
		Contacts: []events.Contact{{Person: "who-" + events.PersonID(customer), Role: "lets in"}, {Person: "boss", Role: "may authorise repair"}, {Person: "alarm", Role: "alarm company"}}}
	f := events.FeedFacts{Site: events.SiteID(id), Name: "main", ShutdownWindow: "Mo-Fr 06:00-09:00"}
	a := events.AssemblyFacts{Site: events.SiteID(id), Feed: events.FeedID(id), Purveyor: "pv", Type: events.DC, Hazard: events.NonHealth, Size: events.InchSize(1, 0)}
	for _, c := range change {
		c(&s, &f, &a)
	}
	o.do(events.Put[events.SiteFacts]{ID: id, Facts: s})
	o.do(events.Put[events.FeedFacts]{ID: id, Facts: f})
	o.do(events.Put[events.AssemblyFacts]{ID: id, Facts: a})
	o.do(events.ListDue{Assembly: events.AssemblyID(id), NewJob: events.JobID("j-" + id), Due: date(due), Standing: events.Ours})
}

func (o *office) plan() planner.Plan {
	o.t.Helper()
	p, err := planner.Make(o.t.Context(), planner.Request{Book: o.book, Office: "north", Date: date("2026-03-03"), Now: o.now, Settings: planner.DefaultSettings(), Iterations: 20})
	if err != nil {
		o.t.Fatal(err)
	}
	return p
}

func (o *office) list(plan *planner.Plan) calls.View {
	return calls.List(calls.Request{Book: o.book, Office: "north", Firm: "Northside Testing", People: &words.People{}, From: date("2026-03-02"), To: date("2026-03-16"),
		Now: o.now, Settings: planner.DefaultSettings(), Tomorrow: date("2026-03-03"), Plan: plan})
}

func find(t *testing.T, v calls.View, id string) calls.Customer {
	t.Helper()
	for _, c := range v.Customers {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no call to %s on the list", id)
	return calls.Customer{}
}

func rules(asks []calls.Ask) string {
	var list []string
	for _, a := range asks {
		list = append(list, a.Rule)
	}
	return strings.Join(list, " ")
}

type change = func(*events.SiteFacts, *events.FeedFacts, *events.AssemblyFacts)

// TestWhatIsAsked: what a call is for, as it follows from the record.
func TestWhatIsAsked(t *testing.T) {
	notice := func(days int) change {
		return func(s *events.SiteFacts, _ *events.FeedFacts, _ *events.AssemblyFacts) { s.NoticeDays = days }
	}
	window := func(text string) change {
		return func(_ *events.SiteFacts, f *events.FeedFacts, _ *events.AssemblyFacts) { f.ShutdownWindow = text }
	}
	drained := false
	tests := []struct {
		name   string
		due    string
		change change
		after  func(*office)
		want   string
		askBy  string
	}{
		{name: "hours on record are enough", due: "2026-03-10", want: ""},
		// The last open day before Tuesday the 10th is the day itself; three days before is Saturday the 7th.
		{name: "notice", due: "2026-03-10", change: notice(3), want: "notice", askBy: "2026-03-07"},
		{name: "notice, before the weekend", due: "2026-03-08", change: notice(3), want: "notice", askBy: "2026-03-03"},
		{name: "notice given", due: "2026-03-10", change: notice(3), after: func(o *office) {
			o.do(events.NoteCall{Sites: []events.SiteID{"s"}, Outcome: events.CallPosted})
		}, want: ""},
		{name: "a time agreed", due: "2026-03-10", change: notice(3), after: func(o *office) {
			o.do(events.NoteCall{Sites: []events.SiteID{"s"}, Outcome: events.CallAgreed, From: o.now.AddDate(0, 0, 1), To: o.now.AddDate(0, 0, 1).Add(time.Hour)})
		}, want: ""},
		{name: "word left only", due: "2026-03-10", change: notice(3), after: func(o *office) {
			o.do(events.NoteCall{Sites: []events.SiteID{"s"}, Outcome: events.CallLeftWord})
		}, want: "notice", askBy: "2026-03-07"},
		{name: "no hours while a crew works", due: "2026-03-10", change: window("Mo-Fr 18:00-22:00"), want: "window", askBy: "2026-03-10"},
		{name: "hours too short for the work", due: "2026-03-10", change: window("Mo-Fr 06:00-06:15"), want: "window", askBy: "2026-03-10"},
		{name: "drained", due: "2026-03-10", change: func(_ *events.SiteFacts, f *events.FeedFacts, _ *events.AssemblyFacts) { f.Pressurised = &drained },
			want: "season", askBy: "2026-03-10"},
		{name: "out of season", due: "2026-03-10", change: func(_ *events.SiteFacts, f *events.FeedFacts, _ *events.AssemblyFacts) { f.Season = "Apr-Oct" },
			want: "season", askBy: "2026-03-10"},
		// Out of use from 1 March on: with three months, the strictest, since the purveyor's rule is not known.
		{name: "used again on a day that nobody knows", due: "2026-03-10", after: func(o *office) {
			o.do(events.Withdraw{JobRef: events.JobRef{Assembly: "s", Job: "j-s"}, Why: "listed by mistake"})
			o.do(events.SayVacant{Site: "s", Disuse: events.Disuse{Since: date("2025-10-01"), By: "owner"}})
		}, want: "before-use"},
		{name: "used again on a day that is known", due: "2026-03-10", after: func(o *office) {
			o.do(events.SayVacant{Site: "s", Disuse: events.Disuse{Since: date("2025-10-01"), Back: date("2026-03-06"), By: "owner"}})
		}, want: ""},
		{name: "fire line", due: "2026-03-10", change: func(_ *events.SiteFacts, f *events.FeedFacts, _ *events.AssemblyFacts) { f.Fire = true },
			want: "fire", askBy: "2026-03-10"},
		{name: "failed, nobody said yes", due: "2026-03-10", after: func(o *office) {
			o.do(events.CarryOver{JobRef: events.JobRef{Assembly: "s", Job: "j-s"}, FailedOn: date("2026-02-27"), RetestBy: date("2026-03-12")})
		}, want: "repair-yes", askBy: "2026-03-12"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			o := newOffice(t)
			o.do(events.Put[events.CustomerFacts]{ID: "k", Facts: events.CustomerFacts{Name: "Kitchens", Repair: "ask"}})
			changes := []change{}
			if test.change != nil {
				changes = append(changes, test.change)
			}
			o.site("s", "k", test.due, changes...)
			if test.after != nil {
				test.after(o)
			}
			c := find(t, o.list(nil), "k")
			if got := rules(c.Asks); got != test.want {
				t.Errorf("asked for %q, want %q", got, test.want)
			}
			if test.askBy != "" && c.AskBy != date(test.askBy) {
				t.Errorf("ask by %v, want %s", c.AskBy, test.askBy)
			}
			if c.Needed != (test.want != "") {
				t.Errorf("needed: %v", c.Needed)
			}
		})
	}
}

// TestOneCallForFortySites: one manager, forty sites, one call, and the outcome of it is forty promises.
func TestOneCallForFortySites(t *testing.T) {
	o := newOffice(t)
	o.do(events.Put[events.CustomerFacts]{ID: "k", Facts: events.CustomerFacts{Name: "Weir Property Management"}})
	var sites []events.SiteID
	for i := range 40 {
		id := "s" + string(rune('a'+i/26)) + string(rune('a'+i%26))
		o.site(id, "k", "2026-03-10", func(s *events.SiteFacts, _ *events.FeedFacts, _ *events.AssemblyFacts) { s.NoticeDays = 2 })
		sites = append(sites, events.SiteID(id))
	}
	v := o.list(nil)
	if len(v.Customers) != 1 || len(v.Customers[0].Sites) != 40 || v.Customers[0].Jobs != 40 {
		t.Fatalf("got %d calls; %s", len(v.Customers), v.Headline)
	}
	c := v.Customers[0]
	if len(c.Whom) != 1 || len(c.Whom[0].Sites) != 40 {
		t.Errorf("whom to ask: %+v", c.Whom)
	}
	for _, want := range []string{"Northside Testing", "40 sites", "40 tests", "10 Mar 2026", "2 days ahead"} {
		if !strings.Contains(c.Say, want) {
			t.Errorf("what to say lacks %q: %s", want, c.Say)
		}
	}
	o.do(events.NoteCall{Sites: sites, Outcome: events.CallAgreed, From: date("2026-03-05").In(words.Zone(o.book, "saa")).Add(6 * time.Hour),
		To: date("2026-03-05").In(words.Zone(o.book, "saa")).Add(14 * time.Hour), Who: "who-k"})
	c = o.list(nil).Customers[0]
	if c.Needed {
		t.Errorf("after the call there is still to ask: %+v", c.Asks)
	}
	for _, s := range c.Sites {
		if len(s.Agreed) != 1 || len(s.Feeds[0].Open) == 0 {
			t.Fatalf("site %s: agreed %v, open %v", s.Site.ID, s.Agreed, s.Feeds[0].Open)
		}
	}
	plan, err := planner.Make(t.Context(), planner.Request{Book: o.book, Office: "north", Date: date("2026-03-05"), Now: o.now, Settings: planner.DefaultSettings(), Iterations: 20})
	if err != nil {
		t.Fatal(err)
	}
	open := date("2026-03-05").In(words.Zone(o.book, "saa")).Add(6 * time.Hour)
	visits := 0
	for _, visit := range plan.Routes[0].Visits {
		visits++
		if off := visit.WaterOff[0]; off.From.Before(open) || off.To.After(open.Add(8*time.Hour)) {
			t.Errorf("%s is dry from %v to %v, outside the time agreed", visit.Site, off.From, off.To)
		}
	}
	if visits < 8 { // hours on record end at 09:00; the time agreed goes on to 14:00
		t.Errorf("only %d sites are planned for the day agreed", visits)
	}
	for _, x := range plan.LeftOut {
		if x.Rule == "notice" || x.Rule == "window" {
			t.Errorf("%s is left out for want of a word: %s", x.Site, x.Reason)
		}
	}
	var thursday calls.Day
	for _, d := range c.Sites[0].Feeds[0].Open {
		if d.Agreed {
			thursday = d
		}
	}
	if thursday.Name != "Thu 5 Mar" || thursday.Hours != "06:00–14:00" {
		t.Errorf("the agreed day is shown as %+v", thursday)
	}
}

// TestTomorrow: only a job that a word would let in is marked, and it is let in when the word is given.
func TestTomorrow(t *testing.T) {
	o := newOffice(t)
	for _, k := range []string{"notice", "both", "hold", "fine"} {
		o.do(events.Put[events.CustomerFacts]{ID: k, Facts: events.CustomerFacts{Name: k}})
	}
	noticed := func(s *events.SiteFacts, _ *events.FeedFacts, _ *events.AssemblyFacts) { s.NoticeDays = 5 }
	o.site("s1", "notice", "2026-03-10", noticed)
	o.site("s2", "both", "2026-03-10", noticed, func(_ *events.SiteFacts, f *events.FeedFacts, _ *events.AssemblyFacts) { f.Season = "Apr-Oct" })
	o.site("s3", "hold", "2026-03-10", noticed)
	o.do(events.Put[events.CustomerFacts]{ID: "hold", Facts: events.CustomerFacts{Name: "hold", OnHold: "unpaid"}})
	o.site("s4", "fine", "2026-03-10")
	before := o.plan()
	v := o.list(&before)
	for id, jobs := range map[string]int{"notice": 1, "both": 1, "hold": 0, "fine": 0} {
		if c := find(t, v, id); c.JobsIn != jobs {
			t.Errorf("%s: %d jobs let in tomorrow, want %d (%v)", id, c.JobsIn, jobs, c.Tomorrow)
		}
	}
	if text := strings.Join(find(t, v, "both").Tomorrow, ""); !strings.Contains(text, "a word that it is filled and a time agreed") {
		t.Errorf("says %q", text)
	}
	day := date("2026-03-03").In(words.Zone(o.book, "s1"))
	o.do(events.NoteCall{Sites: []events.SiteID{"s1"}, Outcome: events.CallAgreed, From: day.Add(7 * time.Hour), To: day.Add(9 * time.Hour)})
	planned := map[events.SiteID]planner.Visit{}
	for _, route := range o.plan().Routes {
		for _, visit := range route.Visits {
			planned[visit.Site] = visit
		}
	}
	got, ok := planned["s1"]
	if !ok {
		t.Fatal("after the call the site is not planned")
	}
	if off := got.WaterOff[0]; off.From.Before(day.Add(7*time.Hour)) || off.To.After(day.Add(9*time.Hour)) {
		t.Errorf("the water is off from %v to %v, outside the time agreed", off.From, off.To)
	}
	if _, ok := planned["s3"]; ok {
		t.Error("a customer on hold is planned")
	}
}

// TestPressing: the least days left first, and nothing to ask at the end.
func TestPressing(t *testing.T) {
	o := newOffice(t)
	noticed := func(s *events.SiteFacts, _ *events.FeedFacts, _ *events.AssemblyFacts) { s.NoticeDays = 5 }
	o.site("s1", "", "2026-03-13", noticed)
	o.site("s2", "", "2026-03-04", noticed)
	o.site("s3", "", "2026-03-03")
	o.site("s4", "", "2026-04-20", noticed) // beyond these weeks
	v := o.list(nil)
	var order []string
	for _, c := range v.Customers {
		order = append(order, c.ID)
	}
	if got := strings.Join(order, " "); got != "site:s2 site:s1 site:s3" {
		t.Errorf("order %s", got)
	}
	if c := v.Customers[0]; !c.Sites[0].NoticeLate || *c.DaysLeft >= 0 || !strings.Contains(c.Say, "too late for notice") {
		t.Errorf("late notice: %+v", c)
	}
	if !strings.HasPrefix(v.Headline, "2 calls to make, about 2 jobs at 2 sites. 1 should have been made before today.") {
		t.Errorf("headline: %s", v.Headline)
	}
}
