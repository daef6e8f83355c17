package planner_test

import (
	"context"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
)

// sendOut puts a plan out: on the day, and on each of its jobs.
func sendOut(b *events.Book, plan planner.Plan) events.SentOut {
	out := planner.SentOut(b, plan)
	b.Days, b.Assemblies = out.Days, out.Assemblies
	return *b.Day(plan.Office, plan.Date).Sent
}

func changeJob(b *events.Book, ref events.JobRef, change func(*events.Job)) {
	a := *b.Assemblies[ref.Assembly]
	a.Jobs = slices.Clone(a.Jobs)
	change(a.Job(ref.Job))
	b.Assemblies[a.ID] = &a
}

func changeSite(b *events.Book, id events.SiteID, change func(*events.Site)) {
	site := *b.Sites[id]
	change(&site)
	b.Sites[id] = &site
}

// come is a crew arriving at a visit, done all its jobs having passed and the crew gone again.
func come(b *events.Book, crew events.CrewID, v events.DayVisit, at time.Time) {
	changeSite(b, v.Site, func(s *events.Site) { s.Here = &events.Presence{Crew: crew, Since: at} })
}

func done(b *events.Book, crew events.CrewID, v events.DayVisit, date events.Date, at time.Time) {
	for _, dj := range v.Jobs {
		changeJob(b, dj.JobRef, func(j *events.Job) {
			j.Stage, j.Dispatched = events.StagePassed, nil
			j.Attempts = append(slices.Clone(j.Attempts), events.Attempt{On: date, Crew: crew, Outcome: events.OutcomePassed})
		})
	}
	changeSite(b, v.Site, func(s *events.Site) { s.Here, s.Gone = nil, &events.Presence{Crew: crew, Since: at} })
}

// restPasses holds a plan of the rest of a day to the independent check.
func restPasses(t failer, r planner.Request, plan planner.Plan) {
	t.Helper()
	for _, v := range (check.Options{Amending: true}).Plan(r.Book, plan, r.Settings) {
		t.Errorf("refused: %s", v)
	}
}

// restHolds plans the rest of the day and looks at everything that is said of it.
func restHolds(t failer, r planner.Request) (kept, rest planner.Plan, d planner.Difference) {
	t.Helper()
	kept, rest, err := planner.Rest(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	restPasses(t, r, kept)
	restPasses(t, r, rest)
	addsUp(t, kept)
	addsUp(t, rest)
	if rest.Cost.Total > kept.Cost.Total {
		t.Errorf("the new plan costs %.2f USD, keeping the day %.2f USD", rest.Cost.Total.USD(), kept.Cost.Total.USD())
	}
	sent := *r.Book.Day(r.Office, r.Date).Sent
	on := onPlan(rest)
	wasOut := map[events.JobRef]bool{}
	sent.Jobs(func(_ events.CrewID, j events.DayJob) { wasOut[j.JobRef] = true })
	for job := range onPlan(kept) {
		if on[job] == "" && wasOut[job] {
			t.Errorf("job %s was sent out and can be kept, but falls out", job.Job)
		}
	}
	d = planner.CompareRest(sent, kept, rest)
	moves := planner.MicroUSD(0)
	for _, m := range d.Moves {
		moves += m.Money
	}
	if total := rest.Cost.Total - kept.Cost.Total; d.Money.Total != total || moves+d.Money.Distance+d.Money.Hours+d.Money.Overtime+d.Money.Change != total {
		t.Errorf("the rest costs %d more than keeping the day; the difference says %d, its moves %d of it", total, d.Money.Total, moves)
	}
	amended := r.Book.Snapshot()
	day := *amended.Day(r.Office, r.Date)
	now := sent
	now.Routes = slices.Clone(sent.Routes)
	for _, route := range planner.Amendment(sent, rest) {
		i := slices.IndexFunc(now.Routes, func(x events.DayRoute) bool { return x.Crew == route.Crew })
		if i < 0 {
			now.Routes = append(now.Routes, route)
		} else {
			now.Routes[i] = route
		}
	}
	day.Sent = &now
	seen := map[events.JobRef]bool{}
	now.Jobs(func(_ events.CrewID, j events.DayJob) {
		if seen[j.JobRef] {
			t.Errorf("job %s is on the amended day twice", j.Job)
		}
		seen[j.JobRef] = true
	})
	for job := range on {
		if !seen[job] {
			t.Errorf("job %s is on the plan of the rest, but not on the amended day", job.Job)
		}
	}
	return kept, rest, d
}

// Any day of any small county that is out, at any moment of it, however much of it is done and whatever has changed since.
func TestTheRestOfADayHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t)
		r.Brief = true
		plan, err := planner.Make(context.Background(), r)
		if err != nil {
			t.Fatal(err)
		}
		sent := sendOut(r.Book, plan)
		if len(sent.Routes) == 0 {
			return
		}
		first, last := sent.Routes[0].Start, sent.Routes[0].End
		for _, route := range sent.Routes {
			if route.Start.Before(first) {
				first = route.Start
			}
			if route.End.After(last) {
				last = route.End
			}
		}
		r.Now = first.Add(time.Duration(rapid.IntRange(-60, int(last.Sub(first)/time.Minute)+60).Draw(t, "minutes")) * time.Minute)
		for _, route := range sent.Routes {
			drawProgress(t, r, route)
		}
		for range rapid.IntRange(0, 6).Draw(t, "deeds since") {
			drawDeed(t, r)
		}
		restHolds(t, r)
	})
}

// drawProgress has a crew do part of its route, sooner or later than planned, or says nothing of it.
func drawProgress(t *rapid.T, r planner.Request, route events.DayRoute) {
	if rapid.IntRange(0, 4).Draw(t, "unheard") == 0 {
		return
	}
	late := time.Duration(rapid.IntRange(-10, 60).Draw(t, "late")) * time.Minute
	for _, v := range route.Visits {
		if rapid.IntRange(0, 9).Draw(t, "skipped") == 0 {
			continue
		}
		arrive, leave := v.Arrive.Add(late), v.Leave.Add(late)
		if arrive.After(r.Now) {
			return
		}
		come(r.Book, route.Crew, v, arrive)
		if leave.After(r.Now) {
			if rapid.Bool().Draw(t, "all done") {
				done(r.Book, route.Crew, v, r.Date, r.Now)
				come(r.Book, route.Crew, v, arrive)
			}
			return
		}
		done(r.Book, route.Crew, v, r.Date, leave)
	}
}

// restCounty is a day out: crew A drives the bakery at seven, the school at nine and the mill at eleven, crew B the clinic at nine.
func restCounty(t *testing.T) (*county, events.SentOut) {
	c := newCounty(t)
	c.person("cy", events.TesterCertificate, events.RepairLicence)
	c.crew("b", "g2", "cy")
	c.shop("bakery", 40.02, "Mo-Fr 07:00-08:00")
	c.shop("school", 40.04, "Mo-Fr 09:00-10:00")
	c.shop("mill", 40.06, "Mo-Fr 11:00-13:00")
	c.shop("clinic", 39.9, "Mo-Fr 09:00-10:00")
	for _, site := range []events.SiteID{"bakery", "school", "mill"} {
		c.wish(events.Wish{Site: site, Crew: "a"})
	}
	c.wish(events.Wish{Site: "clinic", Crew: "b"})
	plan := c.plan()
	c.book.Days[events.Entity{Office: office, Kind: events.KindDay, ID: tuesday.String()}].Wishes = nil
	sent := sendOut(c.book, plan)
	if len(sent.Routes) != 2 || len(sent.Routes[0].Visits) != 3 {
		t.Fatalf("the day is %+v", sent.Routes)
	}
	return c, sent
}

func TestTheRestOfADay(t *testing.T) {
	for _, x := range []struct {
		name   string
		now    string
		change func(*county, events.SentOut)
		begun  string // sites that crew A has begun
		orders string // what is ahead of A and of B
		words  []string
	}{
		{"nothing has happened yet", "05:00", func(*county, events.SentOut) {}, "", "bakery school mill | clinic", []string{"0 visits moved, +0 min driving"}},
		{"the bakery is done", "08:00", func(c *county, s events.SentOut) { done(c.book, "a", s.Routes[0].Visits[0], tuesday, clock("07:40")) },
			"bakery", "school mill | clinic", []string{"0 visits moved"}},
		{"nothing was heard of anyone by nine", "09:20", func(*county, events.SentOut) {}, "bakery school", "mill | ", []string{"0 visits moved"}},
		{"A is sick after the bakery: B takes what it can", "08:00", func(c *county, s events.SentOut) {
			done(c.book, "a", s.Routes[0].Visits[0], tuesday, clock("07:40"))
			c.book.Crews["a"].Off = []events.CrewOff{{Date: tuesday, Why: "sick"}}
		}, "bakery", " | clinic mill", []string{"The mill: another crew, Crew B at", "The school: falls out, was Crew A at 08:52"}},
		{"A comes late from the bakery: the school is not lost if B can be there", "09:15", func(c *county, s events.SentOut) {
			come(c.book, "a", s.Routes[0].Visits[0], clock("09:10"))
			c.book.Feeds["school"].ShutdownWindow = "Mo-Fr 09:00-11:00"
			done(c.book, "b", s.Routes[1].Visits[0], tuesday, clock("09:14"))
			c.book.Crews["a"].OvertimeMinutes = 0
			c.book.Feeds["bakery"].DrySince = clock("09:15")
		}, "bakery", "school mill | ", []string{"0 visits moved"}},
		{"a job is phoned in near the mill", "08:00", func(c *county, s events.SentOut) {
			done(c.book, "a", s.Routes[0].Visits[0], tuesday, clock("07:40"))
			failed(c.shop("dairy", 40.061, "24/7"))
		}, "bakery", "school dairy mill | clinic", []string{"The dairy: comes in, Crew A"}},
	} {
		t.Run(x.name, func(t *testing.T) {
			c, sent := restCounty(t)
			c.now = clock(x.now)
			x.change(c, sent)
			_, rest, d := restHolds(t, c.request())
			var begun []string
			orders := map[events.CrewID]string{}
			for _, route := range rest.Routes {
				if route.Crew == "a" && route.Begun != nil {
					for _, v := range route.Begun.Visits {
						begun = append(begun, string(v.Site))
					}
				}
				var ahead []string
				for _, v := range route.Visits {
					ahead = append(ahead, string(v.Site))
				}
				orders[route.Crew] = strings.Join(ahead, " ")
			}
			if got := strings.Join(begun, " "); got != x.begun {
				t.Errorf("A has begun %q, want %q", got, x.begun)
			}
			if got := orders["a"] + " | " + orders["b"]; got != x.orders {
				t.Errorf("ahead are %q, want %q", got, x.orders)
			}
			words := d.InWords(c.book)
			for _, want := range x.words {
				if !strings.Contains(words, want) {
					t.Errorf("want %q in\n%s", want, words)
				}
			}
		})
	}
}

// What has begun is kept as it was sent out, and nothing else is taken as begun: each damage to a good plan of the rest of a day is
// refused by that rule.
func TestWhatHasBegunIsKept(t *testing.T) {
	for _, x := range []struct {
		name string
		harm func(c *county, p *planner.Plan)
	}{
		{"the begun visit has another time", func(_ *county, p *planner.Plan) { p.Routes[0].Begun.Visits[0].Leave = clock("07:59") }},
		{"what is begun is planned anew", func(_ *county, p *planner.Plan) { p.Routes[0].Begun = nil }},
		{"a visit is taken as begun that is not", func(c *county, p *planner.Plan) {
			p.Routes[1].Begun = &planner.Begun{Visits: c.book.Day(office, tuesday).Sent.Routes[1].Visits, Site: "clinic", Free: clock("10:30")}
		}},
		{"a crew drives on before the plan is made", func(_ *county, p *planner.Plan) { p.Routes[0].Begun.Free = clock("07:00") }},
		{"a crew is elsewhere", func(_ *county, p *planner.Plan) { p.Routes[0].Begun.Site = "mill" }},
		{"it left home at another time", func(_ *county, p *planner.Plan) { p.Routes[0].Start = p.Routes[0].Start.Add(time.Minute) }},
		{"it came to the mill after the plan was made", func(c *county, _ *planner.Plan) {
			come(c.book, "a", c.book.Day(office, tuesday).Sent.Routes[0].Visits[2], clock("08:10"))
		}},
		{"the day is not out any more", func(c *county, _ *planner.Plan) { c.book.Day(office, tuesday).Sent = nil }},
	} {
		t.Run(x.name, func(t *testing.T) {
			c, sent := restCounty(t)
			c.now = clock("08:00")
			done(c.book, "a", sent.Routes[0].Visits[0], tuesday, clock("07:40"))
			_, rest, _ := restHolds(t, c.request())
			begun := *rest.Routes[0].Begun
			begun.Visits = slices.Clone(begun.Visits)
			rest.Routes[0].Begun = &begun
			x.harm(c, &rest)
			found := (check.Options{Amending: true}).Plan(c.book, rest, c.settings)
			if !slices.ContainsFunc(found, func(v check.Violation) bool { return v.Rule == check.RuleBegun }) {
				t.Errorf("found %v", found)
			}
		})
	}
}
