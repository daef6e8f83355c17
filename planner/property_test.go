package planner_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/geo"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/planner/check/reckon"
	"valveround/services/demo"
)

// Any day of any small county, however the office has dealt with it: the plan passes the independent check, and every word
// that explains what is left out holds when it is tried.
func TestPlansAndExplanationsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRequest(t)
		plan, err := planner.Make(context.Background(), r)
		if err != nil {
			t.Fatal(err)
		}
		passes(t, r, plan)
		addsUp(t, plan)
		sameWhenArranged(t, r, plan)
		explained(t, r, plan)
		for range 3 {
			drawMove(t, r, plan)
		}
		drawDeed(t, r)
		planAgain(t, r, plan)
	})
}

// drawMove moves a visit, or puts one that is left out, anywhere by hand: what is not refused passes the check.
func drawMove(t *rapid.T, r planner.Request, plan planner.Plan) {
	var keys []string
	crews := []events.CrewID{}
	for _, route := range plan.Routes {
		crews = append(crews, route.Crew)
		for _, v := range route.Visits {
			keys = append(keys, v.Key)
		}
	}
	for _, l := range plan.LeftOut {
		if l.Visit != "" {
			keys = append(keys, l.Visit)
		}
	}
	if len(keys) == 0 {
		return
	}
	key := rapid.SampledFrom(keys).Draw(t, "moved")
	order := planner.OrderOf(plan)
	for crew, visits := range order {
		order[crew] = slices.DeleteFunc(visits, func(k string) bool { return k == key })
	}
	to := rapid.SampledFrom(crews).Draw(t, "to")
	order[to] = slices.Insert(order[to], rapid.IntRange(0, len(order[to])).Draw(t, "place"), key)
	moved, err := planner.Arrange(context.Background(), r, order)
	var cannot *planner.ErrCannot
	switch {
	case err == nil:
		passes(t, r, moved)
	case !errors.As(err, &cannot):
		t.Fatal(err)
	case cannot.Words == "":
		t.Error("refused without a word")
	}
}

// planAgain plans once more after something has changed, from the plan before.
func planAgain(t *rapid.T, r planner.Request, before planner.Plan) {
	r.Previous = &before
	again, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	passes(t, r, again)
	addsUp(t, again)
}

// drawRequest is a day in a small county with more work than crews, in any season, also on nights when clocks change.
func drawRequest(t *rapid.T) planner.Request {
	date := events.NewDate(2026, time.January, 1).AddDays(rapid.IntRange(0, 900).Draw(t, "day"))
	if rapid.IntRange(0, 9).Draw(t, "clock change") == 0 {
		date = rapid.SampledFrom([]events.Date{events.NewDate(2026, 3, 8), events.NewDate(2026, 11, 1)}).Draw(t, "on")
	}
	o := demo.Default()
	o.Crews = rapid.IntRange(1, 3).Draw(t, "crews")
	o.Sites = rapid.IntRange(5, 50).Draw(t, "sites")
	o.Assemblies = o.Sites * rapid.IntRange(1, 4).Draw(t, "assemblies a site")
	o.OpenFailures = rapid.IntRange(0, 8).Draw(t, "failures")
	o.Seed, o.Today = rapid.Uint64().Draw(t, "seed"), date.AddDays(-1)
	o.Zone = rapid.SampledFrom([]string{"America/Chicago", "America/New_York", "Australia/Sydney"}).Draw(t, "zone")
	book, err := demo.Generate(o).Fold()
	if err != nil {
		t.Fatal(err)
	}
	loc, err := time.LoadLocation(o.Zone)
	if err != nil {
		t.Fatal(err)
	}
	r := planner.Request{Book: book.Snapshot(), Office: demo.Office, Date: date, Now: o.Today.In(loc).Add(15 * time.Hour),
		Settings: planner.DefaultSettings(), Iterations: 60, Seed: 1}
	r.Settings.FireOut = rapid.SampledFrom([]int{30, 60, 600}).Draw(t, "fire line out")
	for range rapid.IntRange(0, 20).Draw(t, "deeds") {
		drawDeed(t, r)
	}
	return r
}

// drawDeed changes one thing about a site or a crew, as the office might.
func drawDeed(t *rapid.T, r planner.Request) {
	b := r.Book
	site := *b.Sites[rapid.SampledFrom(slices.Sorted(maps.Keys(b.Sites))).Draw(t, "site")]
	feed := *b.FeedsOf(site.ID)[0]
	crew := *b.Crews[rapid.SampledFrom(slices.Sorted(maps.Keys(b.Crews))).Draw(t, "crew")]
	windows := []string{"24/7", "Mo-Su 21:00-05:00", "Mo-Su 05:00-07:00,15:00-19:00", "Mo-Fr 00:30-03:30", "Mo-Su 12:00-12:30"}
	switch rapid.SampledFrom([]string{"agree", "access", "window", "as left", "wish", "hours", "gauge", "zone", "off", "hang", "legs", "notice", "standing", "parts", "yes",
		"season", "hold", "stopped", "position", "vault", "people", "registration", "expired", "fire", "measures", "dried", "earliest", "out", "use", "told", "needs", "booking", "break"}).Draw(t, "deed") {
	case "agree":
		from := r.Date.In(time.UTC).Add(time.Duration(rapid.IntRange(-10, 40).Draw(t, "hour")) * time.Hour)
		agreed := events.AgreedTime{From: from, To: from.Add(time.Duration(rapid.IntRange(1, 16).Draw(t, "half hours")) * 30 * time.Minute)}
		if rapid.Bool().Draw(t, "for one feed") {
			agreed.Feed = feed.ID
		}
		site.Agreed = append(slices.Clone(site.Agreed), agreed)
	case "access":
		site.AccessHours = rapid.SampledFrom(windows).Draw(t, "access")
	case "window":
		feed.ShutdownWindow = rapid.SampledFrom(windows).Draw(t, "window")
	case "as left":
		feed.AsLeft = &events.Condition{Service: rapid.SampledFrom([]events.ServiceState{events.InService, events.Impaired, events.Shut}).Draw(t, "as left")}
	case "wish":
		wish := events.Wish{Site: site.ID, Hold: rapid.Bool().Draw(t, "hold"), Crew: crew.ID}
		if rapid.Bool().Draw(t, "out") {
			wish = events.Wish{Site: site.ID, Out: true, Why: "they have guests"}
		}
		day := events.Day{Office: r.Office, Date: r.Date}
		if known := b.Day(r.Office, r.Date); known != nil {
			day = *known
		}
		if rapid.Bool().Draw(t, "about a part") {
			wish.Feed = feed.ID
		}
		day.Wishes = append(slices.Clone(day.Wishes), wish)
		b.Days[events.Entity{Office: r.Office, Kind: events.KindDay, ID: r.Date.String()}] = &day
	case "needs":
		need := []events.Need{{What: rapid.SampledFrom(events.BroughtByOthers).Draw(t, "need")}}
		if rapid.Bool().Draw(t, "of one feed") {
			feed.Needs = need
		} else {
			site.Needs = need
		}
	case "booking":
		from := r.Date.In(time.UTC).Add(time.Duration(rapid.IntRange(-10, 60).Draw(t, "hour")) * time.Hour)
		booking := events.Booking{What: rapid.SampledFrom(events.BroughtByOthers).Draw(t, "booked"), From: from, To: from.Add(time.Duration(rapid.IntRange(1, 16).Draw(t, "hours")) * time.Hour)}
		if rapid.Bool().Draw(t, "for one feed") {
			booking.Feed = feed.ID
		}
		site.Booked = append(slices.Clone(site.Booked), booking)
	case "hang":
		for _, other := range b.FeedsOf(site.ID)[1:] {
			hanging := *other
			if rapid.Bool().Draw(t, "in series") {
				hanging.FedFrom = feed.ID
			} else {
				feed.Manifold, hanging.Manifold = "cold", "cold"
			}
			b.Feeds[hanging.ID] = &hanging
		}
	case "legs":
		site.LegsOneADay = true
	case "hours":
		crew.Hours = rapid.SampledFrom([]string{"24/7", "Mo-Su 20:00-06:00", "Mo-Su 06:00-14:00", "Mo-Su 06:00-09:00,15:00-20:00"}).Draw(t, "hours")
		crew.OvertimeMinutes = rapid.SampledFrom([]int{0, 45, 120}).Draw(t, "overtime")
	case "break":
		crew.BreakMinutes = rapid.SampledFrom([]int{15, 30, 90}).Draw(t, "break")
		crew.BreakFrom = rapid.SampledFrom([]string{"08:00", "11:30", "23:00"}).Draw(t, "from")
		crew.BreakTo = rapid.SampledFrom([]string{"09:30", "13:30", "01:00"}).Draw(t, "to")
	case "gauge":
		crew.Gauges = nil
	case "zone":
		site.Zone = rapid.SampledFrom([]string{"Asia/Kolkata", "America/Los_Angeles", "Pacific/Auckland"}).Draw(t, "zone")
	case "notice":
		site.NoticeDays = rapid.IntRange(0, 5).Draw(t, "days")
	case "told":
		site.Notice = &events.Notice{Given: r.Date.AddDays(-rapid.IntRange(0, 9).Draw(t, "ago")), For: r.Date}
	case "standing", "parts", "yes", "stopped", "vault", "earliest", "out", "use":
		drawAssembly(t, r, site.ID, crew.ID)
	case "season":
		feed.Season = rapid.SampledFrom([]string{"", "Apr-Oct", "Nov-Feb"}).Draw(t, "season")
		filled := rapid.Bool().Draw(t, "filled")
		if feed.Pressurised = nil; rapid.Bool().Draw(t, "known") {
			feed.Pressurised = &filled
			if rapid.Bool().Draw(t, "known since") {
				feed.PressurisedAt = r.Now.AddDate(0, 0, -rapid.IntRange(0, 500).Draw(t, "days ago"))
			}
		}
	case "fire":
		feed.Fire = true
	case "measures":
		feed.Fire = true
		feed.Measures = []events.MeasuresNoted{{Day: r.Date.AddDays(rapid.IntRange(-1, 1).Draw(t, "measures for")), Minutes: rapid.IntRange(1, 1440).Draw(t, "measures"), By: "impairment coordinator", Words: "fire watch"}}
	case "dried":
		feed.Fire = true
		from := r.Date.In(time.UTC).Add(time.Duration(rapid.IntRange(-40, 40).Draw(t, "dry from")) * time.Hour)
		feed.Dried = []events.DryTime{{From: from, To: from.Add(time.Duration(rapid.IntRange(1, 600).Draw(t, "dry for")) * time.Minute)}}
		if rapid.Bool().Draw(t, "dry now") {
			feed.DrySince = r.Now.Add(-time.Duration(rapid.IntRange(0, 900).Draw(t, "dry since")) * time.Minute)
		}
		if rapid.Bool().Draw(t, "dry on another day") {
			date := r.Date.AddDays(rapid.SampledFrom([]int{-1, 1}).Draw(t, "which"))
			dry := events.WaterOff{Feed: feed.ID, From: from, To: from.Add(2 * time.Hour)}
			b.Days[events.Entity{Office: r.Office, Kind: events.KindDay, ID: date.String()}] = &events.Day{Office: r.Office, Date: date,
				Sent: &events.SentOut{Date: date, Routes: []events.DayRoute{{Crew: crew.ID, Visits: []events.DayVisit{{Site: site.ID, WaterOff: []events.WaterOff{dry}}}}}}}
		}
	case "hold":
		if c := b.Customers[site.Customer]; c != nil {
			held := *c
			held.OnHold = rapid.SampledFrom([]string{"", "unpaid"}).Draw(t, "on hold")
			b.Customers[c.ID] = &held
		}
	case "position":
		site.Position = geo.Point{}
	case "people":
		crew.People = crew.People[:rapid.IntRange(0, len(crew.People)).Draw(t, "people")]
	case "registration":
		for _, id := range crew.People {
			if p := b.People[id]; p != nil {
				person := *p
				person.Registrations, person.Credentials = nil, person.Credentials[:rapid.IntRange(0, len(p.Credentials)).Draw(t, "papers")]
				b.People[id] = &person
			}
		}
	case "expired":
		for _, id := range crew.Gauges {
			if g := b.Gauges[id]; g != nil {
				gauge := *g
				gauge.CertifiedUntil = r.Date.AddDays(rapid.IntRange(-1, 3).Draw(t, "days valid"))
				gauge.Potable = rapid.Bool().Draw(t, "potable")
				for _, known := range slices.Sorted(maps.Keys(b.Purveyors)) {
					p := *b.Purveyors[known]
					p.GaugeAnniversaryCounts = rapid.Bool().Draw(t, "anniversary counts")
					b.Purveyors[known] = &p
				}
				b.Gauges[id] = &gauge
			}
		}
	case "off":
		crew.Off = append(slices.Clone(crew.Off), events.CrewOff{Date: r.Date.AddDays(rapid.IntRange(0, 2).Draw(t, "on"))})
	}
	b.Sites[site.ID], b.Feeds[feed.ID], b.Crews[crew.ID] = &site, &feed, &crew
}

// drawAssembly changes how one job of a site stands.
func drawAssembly(t *rapid.T, r planner.Request, site events.SiteID, crew events.CrewID) {
	var ids []events.AssemblyID
	for id, a := range r.Book.Assemblies {
		if a.Site == site && len(a.Jobs) > 0 {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		return
	}
	slices.Sort(ids)
	a := *r.Book.Assemblies[rapid.SampledFrom(ids).Draw(t, "assembly")]
	a.Jobs = slices.Clone(a.Jobs)
	j := &a.Jobs[len(a.Jobs)-1]
	switch rapid.SampledFrom([]string{"standing", "parts", "yes", "stopped", "vault", "earliest", "out", "use"}).Draw(t, "how it stands") {
	case "standing":
		j.Standing = rapid.SampledFrom([]events.Standing{events.Ours, events.NotOurs, events.Ask}).Draw(t, "standing")
	case "parts":
		j.Stage, j.Failure = events.StagePartsPending, &events.Failure{On: r.Date.AddDays(-3), RetestBy: events.Deadline{Known: rapid.Bool().Draw(t, "known"), On: r.Date.AddDays(3)}}
		j.Yes = &events.RepairYes{Basis: "quote"}
		j.Parts = []events.PartWanted{{Code: "kit", Item: events.KitID(rapid.SampledFrom([]string{"", "k"}).Draw(t, "item")), Where: rapid.SampledFrom([]string{"shop", string(crew)}).Draw(t, "where")}}
	case "yes":
		j.Stage, j.Failure, j.Yes, j.Parts = events.StageFailedRetest, &events.Failure{On: r.Date.AddDays(-3)}, nil, nil
	case "stopped":
		j.Stage, j.Stopped = events.StageStopped, &events.Stop{Outcome: events.OutcomeCouldNotTest, Why: rapid.SampledFrom([]string{"flooded", "shut-off-would-not-hold"}).Draw(t, "why"), On: r.Date.AddDays(-2)}
	case "vault":
		a.Vault = rapid.SampledFrom([]events.Vault{events.NoVault, events.OpenVault, events.PermitVault}).Draw(t, "vault")
	case "earliest":
		j.Earliest = r.Date.AddDays(rapid.IntRange(-2, 20).Draw(t, "earliest"))
		j.Due = r.Date.AddDays(rapid.SampledFrom([]int{20, 60, 61, 200}).Draw(t, "due"))
	case "use": // it is tested before it is used again
		owed := events.BeforeUse{Why: events.OutOfUse}
		if rapid.Bool().Draw(t, "known when") {
			owed.Back = r.Date.AddDays(rapid.IntRange(-3, 40).Draw(t, "used again"))
			owed.By = events.Deadline{Known: true, On: owed.Back.AddDays(-1)}
		}
		j.BeforeUse = []events.BeforeUse{owed}
		if j.Listed = j.Due; rapid.Bool().Draw(t, "for the use alone") {
			j.Listed = events.Date{}
		}
		if j.Due = j.Listed; owed.By.Known && (j.Due.IsZero() || owed.By.On.Before(j.Due)) {
			j.Due = owed.By.On
		}
	case "out":
		j.Dispatched = &events.Dispatched{Date: r.Date.AddDays(rapid.IntRange(-1, 2).Draw(t, "out with")), Crew: crew}
	}
	r.Book.Assemblies[a.ID] = &a
}

type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
	Fatal(args ...any)
}

func passes(t failer, r planner.Request, plan planner.Plan) {
	t.Helper()
	for _, v := range check.Plan(r.Book, plan, r.Settings) {
		t.Errorf("refused: %s", v)
	}
}

func sameWhenArranged(t failer, r planner.Request, plan planner.Plan) {
	t.Helper()
	again, err := planner.Arrange(context.Background(), r, planner.OrderOf(plan))
	if err != nil {
		t.Fatal(err)
	}
	if again.Cost != plan.Cost {
		t.Errorf("the same order arranged by hand costs %+v, planned it cost %+v", again.Cost, plan.Cost)
	}
}

// explained tries what is said of every job left out.
func explained(t failer, r planner.Request, plan planner.Plan) {
	t.Helper()
	tried := map[string]bool{}
	for _, l := range plan.LeftOut {
		if l.Rule == "" || l.Reason == "" || l.Change == "" {
			t.Errorf("job %s is left out without a rule, a reason or a change: %+v", l.Job, l)
		}
		if l.Remedy == nil {
			said := strings.Contains(l.Change, "even then no crew has room") || strings.Contains(l.Change, "none of the changes tried") || strings.Contains(l.Change, "none so equipped has room")
			if beyondChange(r, l) == "" && !said {
				t.Errorf("job %s has no change that would hold, and that is not said: %+v", l.Job, l)
			}
			continue
		}
		if key := fmt.Sprint(*l.Remedy, l.Visit); l.Visit == "" || !tried[key] {
			tried[key] = true
			if err := holdsTrue(r, plan, l); err != nil {
				t.Errorf("%s, left out for %s: %q (%+v), but %v", l.Job, l.Rule, l.Change, *l.Remedy, err)
			}
		}
	}
}

// beyondChange says why a job may be left out without a change that holds; empty where there should be one.
func beyondChange(r planner.Request, l planner.LeftOut) string {
	a := r.Book.Assemblies[l.Assembly]
	site := r.Book.Sites[a.Site]
	working := 0
	for id, crew := range r.Book.Crews {
		_, works, err := planner.WorkingSpan(crew, r.Date)
		off := slices.ContainsFunc(crew.Off, func(o events.CrewOff) bool { return o.Date == r.Date })
		if works && err == nil && !off && r.Book.Crews[id].Home.IsSet() {
			working++
		}
	}
	switch {
	case a.Gone:
		return "it is gone"
	case site == nil || r.Book.Feeds[a.Feed] == nil:
		return "it is not on record"
	case r.Book.Purveyors[a.Purveyor] == nil:
		return "nobody knows what its purveyor requires"
	case working == 0:
		return "no crew works"
	case tooFar(r, site):
		return "it is more than a day's drive away"
	}
	return ""
}

// tooFar reports whether every crew would be on the road for longer than any day can be made.
func tooFar(r planner.Request, site *events.Site) bool {
	if !site.Position.IsSet() {
		return false
	}
	for _, crew := range r.Book.Crews {
		if crew.Home.IsSet() && r.Settings.Travel.Travel(crew.Home, site.Position).Seconds < 8*3600 {
			return false
		}
	}
	return true
}

// holdsTrue puts a job that is left out into this very plan with what is supposed, and looks whether the check passes it, whether
// nothing falls out, and whether it costs what is said. A later day is made of nothing else, on the book after this plan.
func holdsTrue(r planner.Request, plan planner.Plan, l planner.LeftOut) error {
	remedy := *l.Remedy
	r.Brief = true
	book, order := r.Book, planner.OrderOf(plan)
	if remedy.Date != r.Date {
		book, order = planner.Driven(r.Book, plan), planner.Order{}
		r.Date, r.Previous = remedy.Date, nil
	}
	var err error
	if r.Book, err = planner.Suppose(book, r.Office, remedy.Date, remedy.Suppose...); err != nil {
		return err
	}
	if order, err = withVisit(r, plan, order, l); err != nil {
		return err
	}
	with, err := planner.Arrange(context.Background(), r, order)
	if err != nil {
		return err
	}
	if found := check.Plan(r.Book, with, r.Settings); len(found) > 0 {
		return errors.New("the check refuses it: " + found[0].String())
	}
	on, before := onPlan(with), onPlan(plan)
	worth := worthAt(r.Book, with, l.Site)
	if remedy.Date == plan.Date {
		worth -= worthAt(r.Book, plan, l.Site)
	}
	adds := routesCost(with)
	if remedy.Date == plan.Date {
		adds -= routesCost(plan)
		for job := range before {
			if on[job] == "" {
				return fmt.Errorf("job %s falls out", job.Job)
			}
		}
	}
	visit, crew := visitOf(with, remedy.Visit)
	switch {
	case on[events.JobRef{Assembly: l.Assembly, Job: l.Job}] != remedy.Visit:
		return errors.New("the job is not on that visit")
	case crew != remedy.Crew || !visit.Arrive.Equal(remedy.Arrive):
		return fmt.Errorf("%s is there at %s", crew, visit.Arrive)
	case adds != remedy.Adds:
		return fmt.Errorf("it adds %.6f USD", adds.USD())
	case worth != remedy.Worth:
		return fmt.Errorf("it brings in %.6f USD", worth.USD())
	case !strings.Contains(l.Change, fmt.Sprintf("adds %.2f USD and brings in %.2f USD", adds.USD(), worth.USD())):
		return fmt.Errorf("the money is not said: %.2f USD", adds.USD())
	}
	return nil
}

// worthAt is what a plan's visits to a site are worth, by the checker's own sums: their jobs, and the trips that those due later save
// there, which is what they would be charged with if they were left out.
func worthAt(b *events.Book, plan planner.Plan, site events.SiteID) planner.MicroUSD {
	without := planner.Plan{Office: plan.Office, Date: plan.Date, Settings: plan.Settings}
	worth := planner.MicroUSD(0)
	for _, route := range plan.Routes {
		for _, v := range route.Visits {
			for _, j := range v.Jobs {
				if v.Site == site {
					without.LeftOut = append(without.LeftOut, planner.LeftOut{Assembly: j.Assembly, Job: j.Job, Site: site, Visit: v.Key})
					worth += reckon.Worth(b.Assemblies[j.Assembly].Job(j.Job), plan.Settings, plan.Date)
				}
			}
		}
	}
	for _, trip := range reckon.TripsNotSaved(b, without, reckon.NewCalendar(plan.Date)) {
		worth += trip
	}
	return worth
}

// withVisit is the order with the visit that holds a job put at its place. Visits of the plan to the site may have become
// others under what is supposed; each is looked for by its jobs.
func withVisit(r planner.Request, plan planner.Plan, order planner.Order, l planner.LeftOut) (planner.Order, error) {
	stops, _, err := planner.CollectStops(r)
	if err != nil {
		return nil, err
	}
	keyOf := map[events.JobRef]string{}
	for _, p := range stops {
		for _, j := range p.Jobs {
			keyOf[events.JobRef{Assembly: j.Assembly, Job: j.Job}] = p.Key
		}
	}
	there := false
	for _, route := range plan.Routes {
		if len(order[route.Crew]) == 0 {
			continue
		}
		for i, v := range route.Visits {
			if v.Site == l.Site {
				order[route.Crew][i] = keyOf[events.JobRef{Assembly: v.Jobs[0].Assembly, Job: v.Jobs[0].Job}]
				there = there || order[route.Crew][i] == l.Remedy.Visit
			}
		}
	}
	if !there {
		crew, at := l.Remedy.Crew, l.Remedy.Place-1
		if at > len(order[crew]) {
			return nil, fmt.Errorf("the route of %s has no place %d", crew, at+1)
		}
		order[crew] = slices.Insert(order[crew], at, l.Remedy.Visit)
	}
	return order, nil
}

// onPlan are the jobs of a plan, each with the key of its visit.
func onPlan(plan planner.Plan) map[events.JobRef]string {
	on := map[events.JobRef]string{}
	for _, route := range plan.Routes {
		for _, v := range route.Visits {
			for _, j := range v.Jobs {
				on[events.JobRef{Assembly: j.Assembly, Job: j.Job}] = v.Key
			}
		}
	}
	return on
}

func routesCost(plan planner.Plan) planner.MicroUSD {
	return plan.Cost.Distance + plan.Cost.Hours + plan.Cost.Overtime + plan.Cost.Change
}

func visitOf(plan planner.Plan, key string) (planner.Visit, events.CrewID) {
	for _, route := range plan.Routes {
		for _, v := range route.Visits {
			if v.Key == key {
				return v, route.Crew
			}
		}
	}
	return planner.Visit{}, ""
}
