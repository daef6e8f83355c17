package planner_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/planner/hours"
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
	for range rapid.IntRange(0, 12).Draw(t, "deeds") {
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
	switch rapid.SampledFrom([]string{"agree", "access", "window", "as left", "wish", "hours", "gauge", "zone", "off", "hang", "legs"}).Draw(t, "deed") {
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
	case "gauge":
		crew.Gauges = nil
	case "zone":
		site.Zone = rapid.SampledFrom([]string{"Asia/Kolkata", "America/Los_Angeles", "Pacific/Auckland"}).Draw(t, "zone")
	case "off":
		crew.Off = append(slices.Clone(crew.Off), events.CrewOff{Date: r.Date.AddDays(rapid.IntRange(0, 2).Draw(t, "on"))})
	}
	b.Sites[site.ID], b.Feeds[feed.ID], b.Crews[crew.ID] = &site, &feed, &crew
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

var (
	dayLonger = regexp.MustCompile(`^fits with (.+) if its day may be (\d+) min longer$`)
	siteWider = regexp.MustCompile(`^fits with (.+) if the site agrees to (\d+) min more, before or after its hours$`)
	aStart    = regexp.MustCompile(`^would have a start if the site agreed to (\d+) min more at both ends of its hours$`)
	otherDay  = regexp.MustCompile(`^by itself it fits on [A-Z][a-z]+ (\d{4}-\d{2}-\d{2}) with (.+)$`)
	tooDear   = regexp.MustCompile(`^(.+) could do it, but the detour costs \d+ USD and it is worth \d+ USD that day$`)
)

// explained tries what is said of every job left out.
func explained(t failer, r planner.Request, plan planner.Plan) {
	t.Helper()
	tried := map[string]bool{}
	for _, l := range plan.LeftOut {
		if l.Rule == "" || l.Reason == "" || l.Change == "" {
			t.Errorf("job %s is left out without a rule, a reason or a change: %+v", l.Job, l)
		}
		if m := aStart.FindStringSubmatch(l.Change); m != nil {
			wider := r
			wider.Book = withWiderHours(t, r, l.Site, number(m[1]))
			if !collected(t, wider, l.Job) {
				t.Errorf("%s: %q, but it has none", l.Job, l.Change)
			}
		}
		if l.Visit == "" || tried[l.Visit] {
			continue
		}
		tried[l.Visit] = true
		words, err := untrue(t, r, plan, l)
		if err != nil {
			t.Errorf("%s: %q, but %v", l.Visit, words, err)
		}
	}
}

// untrue tries what is said of a visit left out and gives the words that do not hold, and why.

func untrue(t failer, r planner.Request, plan planner.Plan, l planner.LeftOut) (words string, err error) {
	t.Helper()
	if l.Rule == "too-dear" {
		m := tooDear.FindStringSubmatch(l.Reason)
		if m == nil {
			t.Fatalf("too dear, in other words: %s", l.Reason)
		}
		more, err := fitsFor(r, plan, l, crewNamed(t, r.Book, m[1]))
		if err == nil && !strings.HasSuffix(l.Change, fmt.Sprintf(": %.0f USD more than leaving it", more.USD())) {
			err = fmt.Errorf("it costs %.2f USD more", more.USD())
		}
		return l.Reason + "; " + l.Change, err
	}
	if m := siteWider.FindStringSubmatch(l.Change); m != nil {
		wider := r
		wider.Book = withWiderHours(t, r, l.Site, number(m[2]))
		return l.Change, fitsSomewhere(wider, plan, l, crewNamed(t, r.Book, m[1]))
	}
	if m := dayLonger.FindStringSubmatch(l.Change); m != nil {
		crew := crewNamed(t, r.Book, m[1])
		longer := r
		longer.Book = withOvertime(r.Book, crew, number(m[2]))
		return l.Change, fitsSomewhere(longer, plan, l, crew)
	}
	if m := otherDay.FindStringSubmatch(l.Change); m != nil {
		date, err := events.ParseDate(m[1])
		if err != nil {
			t.Fatal(err)
		}
		return l.Change, fitsAlone(r, plan, l, date, crewNamed(t, r.Book, m[2]))
	}
	return "", nil
}

// collected reports whether a job has a visit that may begin at some time of the day, or is left out by hand.
func collected(t failer, r planner.Request, job events.JobID) bool {
	t.Helper()
	stops, left, err := planner.CollectStops(r)
	if err != nil {
		t.Fatal(err)
	}
	return slices.ContainsFunc(left, func(l planner.LeftOut) bool { return l.Job == job && l.Rule == "wish" }) ||
		slices.ContainsFunc(stops, func(p planner.CollectedStop) bool {
			return slices.ContainsFunc(p.Jobs, func(j planner.Job) bool { return j.Job == job })
		})
}

// jobsOf lists the jobs of a visit left out.
func jobsOf(plan planner.Plan, visit string) []events.JobID {
	var jobs []events.JobID
	for _, l := range plan.LeftOut {
		if l.Visit == visit {
			jobs = append(jobs, l.Job)
		}
	}
	return jobs
}

func number(digits string) int {
	n, err := strconv.Atoi(digits)
	if err != nil {
		panic(err)
	}
	return n
}

func crewNamed(t failer, b *events.Book, name string) events.CrewID {
	t.Helper()
	for id, c := range b.Crews {
		if c.Name == name {
			return id
		}
	}
	t.Fatalf("no crew is called %q", name)
	return ""
}

func withOvertime(b *events.Book, id events.CrewID, more int) *events.Book {
	changed := b.Snapshot()
	crew := *b.Crews[id]
	crew.OvertimeMinutes += more
	changed.Crews[id] = &crew
	return changed
}

// withWiderHours is a book in which the site agreed to some minutes more at both ends of all its hours around the date.
func withWiderHours(t failer, r planner.Request, id events.SiteID, more int) *events.Book {
	t.Helper()
	changed := r.Book.Snapshot()
	site := *r.Book.Sites[id]
	loc, err := time.LoadLocation(site.Zone)
	if err != nil {
		t.Fatal(err)
	}
	wider := func(text string) string {
		h, err := hours.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		var days []string
		for _, s := range h.Spans(loc, r.Date.AddDays(-1).In(loc), r.Date.AddDays(2).In(loc)) {
			open, close := s.Open.Add(-time.Duration(more)*time.Minute).In(loc), s.Close.Add(time.Duration(more)*time.Minute).In(loc)
			for day := open; day.Before(close); day = events.DateIn(day, loc).AddDays(1).In(loc) {
				last := "24:00"
				if events.DateIn(close, loc) == events.DateIn(day, loc) {
					last = close.Format("15:04")
				}
				days = append(days, day.Format("2006 Jan 02 15:04")+"-"+last)
			}
		}
		if len(days) == 0 {
			return "off"
		}
		return strings.Join(days, ", ")
	}
	site.AccessHours = wider(site.AccessHours)
	site.Agreed = slices.Clone(site.Agreed)
	for i, a := range site.Agreed {
		if a.To.After(r.Date.In(loc)) && a.From.Before(r.Date.AddDays(1).In(loc)) {
			site.Agreed[i].From, site.Agreed[i].To = a.From.Add(-time.Duration(more)*time.Minute), a.To.Add(time.Duration(more)*time.Minute)
		}
	}
	for _, f := range r.Book.FeedsOf(id) {
		feed := *f
		feed.ShutdownWindow = wider(feed.ShutdownWindow)
		changed.Feeds[feed.ID] = &feed
	}
	changed.Sites[id] = &site
	return changed
}

// fitsSomewhere puts a visit left out at every place of a crew's route, until one can be driven and passes the check. It
// gives the last reason against it when none can.
func fitsSomewhere(r planner.Request, plan planner.Plan, l planner.LeftOut, crew events.CrewID) error {
	_, err := fitsFor(r, plan, l, crew)
	return err
}

// fitsFor is fitsSomewhere with what the cheapest place costs more than leaving the visit out.
func fitsFor(r planner.Request, plan planner.Plan, l planner.LeftOut, crew events.CrewID) (more planner.MicroUSD, err error) {
	order := planner.OrderOf(plan)
	route := order[crew]
	var last error
	fits := false
	for place := range len(route) + 1 {
		order[crew] = slices.Insert(slices.Clone(route), place, l.Visit)
		with, err := drivable(r, order, jobsOf(plan, l.Visit))
		if err != nil {
			last = err
			continue
		}
		if by := with.Cost.Total - plan.Cost.Total; !fits || by < more {
			fits, more = true, by
		}
	}
	if fits {
		last = nil
	}
	return more, last
}

// fitsAlone makes the visit the only one of another day.
func fitsAlone(r planner.Request, plan planner.Plan, l planner.LeftOut, date events.Date, crew events.CrewID) error {
	r.Date = date
	empty, err := planner.Arrange(context.Background(), r, nil)
	if err != nil {
		return err
	}
	for _, there := range empty.LeftOut {
		if there.Job == l.Job {
			_, err := drivable(r, planner.Order{crew: {there.Visit}}, jobsOf(plan, l.Visit))
			return err
		}
	}
	return errors.New("the job is not among those of that day")
}

// drivable arranges an order, checks it, and looks whether the jobs are on it.
func drivable(r planner.Request, order planner.Order, jobs []events.JobID) (planner.Plan, error) {
	plan, err := planner.Arrange(context.Background(), r, order)
	if err != nil {
		return plan, err
	}
	if found := check.Plan(r.Book, plan, r.Settings); len(found) > 0 {
		return plan, errors.New("the check refuses it: " + found[0].String())
	}
	for _, l := range plan.LeftOut {
		if slices.Contains(jobs, l.Job) {
			return plan, errors.New("job " + string(l.Job) + " is not on the plan")
		}
	}
	return plan, nil
}
