package demo_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/geo"
	"valveround/planner/hours"
	"valveround/services/demo"
)

func on(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

func county(today string, change ...func(*demo.Options)) demo.Options {
	o := demo.Default()
	o.Today = on(today)
	for _, c := range change {
		c(&o)
	}
	return o
}

func fold(t testing.TB, o demo.Options) (demo.Fleet, *events.Book) {
	t.Helper()
	f := demo.Generate(o)
	b, err := f.Fold()
	if err != nil {
		t.Fatal(err)
	}
	return f, b
}

func TestSameOptionsSameCounty(t *testing.T) {
	o := county("2026-05-13")
	_, one := fold(t, o)
	_, two := fold(t, o)
	if one.Digest() != two.Digest() {
		t.Error("the same options gave two counties")
	}
	o.Seed = 2
	if _, other := fold(t, o); other.Digest() == one.Digest() {
		t.Error("another seed gave the same county")
	}
}

func stages(b *events.Book) map[events.Stage]int {
	count := map[events.Stage]int{}
	for _, a := range b.Assemblies {
		for _, j := range a.Jobs {
			count[j.Stage]++
		}
	}
	return count
}

func alarms(b *events.Book) (words []string) {
	for _, a := range b.Assemblies {
		for _, alarm := range a.Alarms {
			words = append(words, string(a.ID)+": "+alarm.Words)
		}
	}
	return words
}

func TestDefaultCountyHoldsWhatIsSaid(t *testing.T) {
	for i, today := range []string{"2026-01-04", "2026-03-09", "2026-05-13", "2026-07-04", "2026-10-31", "2026-12-28", "2028-02-29"} {
		t.Run(today, func(t *testing.T) {
			f, b := fold(t, county(today, func(o *demo.Options) { o.Seed = uint64(i + 1) }))
			if len(b.Crews) != 8 || len(b.Sites) != 600 || len(b.Assemblies) != 1500 || len(b.Purveyors) != 4 {
				t.Errorf("%d crews, %d sites, %d assemblies, %d purveyors; want 8, 600, 1500, 4", len(b.Crews), len(b.Sites), len(b.Assemblies), len(b.Purveyors))
			}
			got := stages(b)
			want := map[events.Stage]int{events.StageDue: 379, events.StageFailedRetest: 18, events.StagePartsPending: 14, events.StagePartsReady: 8,
				events.StageStopped: 12, events.StagePassed: 15, events.StageReported: 12, events.StageReturned: 4, events.StageAccepted: 36, events.StageWithdrawn: 3}
			for stage, n := range want {
				if got[stage] != n {
					t.Errorf("%d jobs are %s, want %d", got[stage], stage, n)
				}
			}
			if words := alarms(b); len(words) != f.IntendedAlarms || f.IntendedAlarms != 1 {
				t.Errorf("alarms %v, want the one that is meant", words)
			}
			checkFailures(t, b, on(today))
			checkPeopleAndGauges(t, b, on(today))
			checkFeeds(t, b)
		})
	}
}

func checkFailures(t *testing.T, b *events.Book, today events.Date) {
	now := today.In(time.UTC)
	count := map[string]int{}
	for _, a := range b.Assemblies {
		for _, j := range a.Jobs {
			if !j.NeedsRepair() {
				continue
			}
			switch {
			case !j.Failure.RetestBy.Known:
				count["unknown deadline"]++
			case j.Failure.RetestBy.On.Before(today):
				count["past deadline"]++
			}
			if j.Yes == nil {
				count["no yes yet"]++
			}
			by, ok := j.PartsBy()
			switch {
			case j.Stage != events.StagePartsPending:
			case !ok:
				count["no promised day"]++
			case by.Before(today):
				count["promise broken"]++
			case by == today.AddDays(1):
				count["promised for tomorrow"]++
			}
			if j.FailedAt.After(now) {
				t.Errorf("%s failed after today began: %s", a.ID, j.FailedAt)
			}
		}
	}
	want := map[string]int{"unknown deadline": 2, "past deadline": 6, "no yes yet": 12, "no promised day": 4, "promise broken": 3, "promised for tomorrow": 2}
	for what, n := range want {
		if count[what] != n {
			t.Errorf("open failures with %s: %d, want %d", what, count[what], n)
		}
	}
}

func checkPeopleAndGauges(t *testing.T, b *events.Book, today events.Date) {
	crews := map[int]int{}
	for _, c := range b.Crews {
		crews[len(c.People)]++
	}
	if crews[2] != 1 || crews[3] != 1 {
		t.Errorf("crews by number of people %v, want one of two and one of three", crews)
	}
	count := map[string]int{}
	for _, p := range b.People {
		for _, c := range p.Credentials {
			switch {
			case c.Until == today:
				count["certificate ends today"]++
			case c.Until.Sub(today) < 10:
				count["certificate ends soon"]++
			}
		}
	}
	for _, g := range b.Gauges {
		switch {
		case g.Dropped != "":
			count["gauge dropped"]++
		case !g.Valid(today):
			count["gauge expired"]++
		case !g.Valid(today.AddDays(10)):
			count["gauge near its date"]++
		}
	}
	for _, what := range []string{"certificate ends today", "certificate ends soon", "gauge dropped", "gauge expired", "gauge near its date"} {
		if count[what] != 1 {
			t.Errorf("%s: %d, want 1", what, count[what])
		}
	}
}

func checkFeeds(t *testing.T, b *events.Book) {
	count := map[string]int{}
	for _, f := range b.Feeds {
		if f.OutOfService() {
			kind := "partly open"
			switch {
			case f.Manifold != "" && f.AsLeft.Service == events.Shut:
				kind = "hospital leg shut"
			case f.Fire && !f.AsLeft.OnTestUntil.IsZero():
				kind = "fire line on test"
			}
			count[kind]++
		}
		if f.Manifold != "" {
			count["legs"]++
		}
		if f.FedFrom != "" {
			count["in series"]++
			if up := b.Feeds[f.FedFrom]; up == nil || up.Site != f.Site {
				t.Errorf("feed %s is fed from %s, which is not at its site", f.ID, f.FedFrom)
			}
		}
	}
	for _, what := range []string{"hospital leg shut", "fire line on test", "partly open"} {
		if count[what] != 1 {
			t.Errorf("%s: %d, want 1", what, count[what])
		}
	}
	if count["legs"] < 4 || count["legs"]%2 != 0 || count["in series"] < 50 {
		t.Errorf("%d legs and %d feeds in series are too few", count["legs"], count["in series"])
	}
	legsOneADay := 0
	for _, s := range b.Sites {
		if s.LegsOneADay {
			legsOneADay++
		}
	}
	if legsOneADay == 0 {
		t.Error("no hospital asks for its legs on different days")
	}
}

// TestHours reads every text by the planner's reader of the OpenStreetMap opening-hours syntax, specification 0.7.4, and finds a
// time in the coming year at which the crew may be there and the water off.
func TestHours(t *testing.T) {
	o := county("2026-05-13")
	_, b := fold(t, o)
	loc, err := time.LoadLocation(o.Zone)
	if err != nil {
		t.Fatal(err)
	}
	read := func(what, text string) hours.Hours {
		h, err := hours.Parse(text)
		if err != nil || text == "" {
			t.Fatalf("%s: hours %q: %v", what, text, err)
		}
		return h
	}
	for _, c := range b.Crews {
		read(string(c.ID), c.Hours)
	}
	from, to := o.Today.In(loc), o.Today.AddDays(7).In(loc)
	for _, f := range b.Feeds {
		site := read(string(f.Site), b.Sites[f.Site].AccessHours)
		feed := read(string(f.ID), f.ShutdownWindow)
		if f.Season != "" {
			read(string(f.ID), f.Season)
		}
		longest := time.Duration(0)
		for _, s := range hours.Intersect(site.Spans(loc, from, to), feed.Spans(loc, from, to)) {
			longest = max(longest, s.Duration())
		}
		if longest < time.Hour {
			t.Errorf("feed %s: access %q and shutdown %q leave %s together", f.ID, site, feed, longest)
		}
	}
}

func TestStory(t *testing.T) {
	for seed := range uint64(20) {
		f, b := fold(t, county("2026-05-13", func(o *demo.Options) { o.Seed = seed }))
		a := b.Assemblies[f.Story.Assembly]
		s := b.Sites[f.Story.Site]
		if a == nil || a.Type != events.RP || a.OpenJob() != nil || a.PurveyorNumber != f.Story.PurveyorNumber || a.Feed != f.Story.Feed || a.Vault != events.NoVault {
			t.Fatalf("seed %d: the story's assembly is %+v", seed, a)
		}
		if s.NoticeDays != 0 || b.Customers[s.Customer].Repair != "yes" || b.Customers[s.Customer].OnHold != "" || !s.Position.IsSet() {
			t.Fatalf("seed %d: the story's site is %+v of %+v", seed, s, b.Customers[s.Customer])
		}
		near := geo.Metres(1e9)
		for _, c := range b.Crews {
			near = min(near, geo.Distance(c.Home, s.Position))
		}
		if near > 8*geo.Kilometre {
			t.Errorf("seed %d: the nearest crew is %v away", seed, near)
		}
		kits := 0
		for _, k := range b.Kits {
			if k.Code == demo.KitCode(a.AssemblyFacts, events.MainPart, events.Check1) && k.For == nil {
				kits++
			}
		}
		if kits == 0 {
			t.Errorf("seed %d: no repair kit for the story's check 1", seed)
		}
	}
	// The list's row opens a job that is the firm's to do, the crew fails it, and a return visit is owed.
	f, b := fold(t, county("2026-05-13"))
	do := func(n byte, cmd any) {
		t.Helper()
		now := f.Options.Today.In(time.UTC).Add(20 * time.Hour)
		batch, err := events.Prepare(b, events.Command{ID: events.CommandID{n}, Actor: "p-0001", Office: f.Office, Happened: now, Do: cmd}, now)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range batch {
			a.Seq = b.Position() + 1
			b.Apply(a.Record)
		}
	}
	do(1, events.ListDue{Assembly: f.Story.Assembly, NewJob: "j-new", Due: f.Story.Due, AsOf: f.Options.Today, Standing: events.Ours})
	job := b.Assemblies[f.Story.Assembly].OpenJob()
	if job == nil || job.Stage != events.StageDue {
		t.Fatalf("the list opened %+v", job)
	}
	do(2, events.FinishJob{JobRef: events.JobRef{Assembly: f.Story.Assembly, Job: job.ID}, Crew: "c-01", Day: f.Options.Today, Outcome: events.OutcomeFailed,
		Initial: &events.Test{Says: events.OpinionFail, Gauge: "g-001", Readings: []events.Reading{{Part: events.MainPart, Component: events.Check2, Result: events.Leaked}}}})
	if job = b.Assemblies[f.Story.Assembly].OpenJob(); !job.NeedsRepair() || !job.Failure.RetestBy.Known {
		t.Fatalf("after the failure the job is %+v", job)
	}
}

func TestSampleList(t *testing.T) {
	f, b := fold(t, county("2026-05-13"))
	numbers := map[string]*events.Assembly{}
	for _, a := range b.Assemblies {
		numbers[string(a.Purveyor)+" "+a.PurveyorNumber] = a
	}
	for _, id := range []events.PurveyorID{"pv-1", "pv-2", "pv-3", "pv-4"} {
		var out, again bytes.Buffer
		if err := errors.Join(demo.WriteSampleList(&out, f, id), demo.WriteSampleList(&again, f, id)); err != nil {
			t.Fatal(err)
		}
		if out.String() != again.String() {
			t.Errorf("%s: two lists differ", id)
		}
		read := csv.NewReader(&out)
		read.FieldsPerRecord = -1
		rows, err := read.ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		fresh, known, unknown := 0, 0, 0
		for _, row := range rows {
			if len(row) < 13 || row[0] == "Assembly No." {
				continue
			}
			a := numbers[string(id)+" "+row[0]]
			if a == nil || row[0] == "" {
				unknown++
				continue
			}
			known++
			if a.OpenJob() == nil {
				fresh++
			}
			if got, err := events.ParseAssemblyType(row[4]); err != nil || got != a.Type {
				t.Errorf("%s row %s: type %q is read as %q, %v; want %q", id, row[0], row[4], got, err, a.Type)
			}
			if got, err := events.ParseSize(row[5]); err != nil || got != a.Size {
				t.Errorf("%s row %s: size %q is read as %v, %v; want %v", id, row[0], row[5], got, err, a.Size)
			}
		}
		if fresh < 10 || known <= fresh || unknown != 5 {
			t.Errorf("%s: %d rows not on a list yet, %d known, %d bad", id, fresh, known, unknown)
		}
		if has := strings.Contains(again.String(), "\n"+f.Story.PurveyorNumber+","); has != (id == f.Story.Purveyor) {
			t.Errorf("%s: the story's row is on it: %v", id, has)
		}
	}
}

// TestBatches stores bundles at once and comes to the same folded jobs.
func TestBatches(t *testing.T) {
	f, want := fold(t, county("2026-05-13", func(o *demo.Options) { o.Sites, o.Assemblies = 100, 250 }))
	b := events.NewBook()
	now := f.Options.Today.In(time.UTC)
	n := 0
	for _, batch := range f.Batches(200) {
		records, err := events.PrepareAll(b, batch, now)
		if err != nil {
			t.Fatalf("a bundle of %d, first %T: %v", len(batch), batch[0].Do, err)
		}
		if len(records) > events.MaxBatch {
			t.Errorf("a bundle of %d records", len(records))
		}
		for _, r := range records {
			r.Seq = b.Position() + 1
			if got := b.Apply(r.Record); !got.Accepted || got.Unknown {
				t.Fatalf("%s: %+v", r.Subject(), got)
			}
		}
		n += len(batch)
	}
	if n != len(f.Commands) || b.Position() != want.Position() || fmt.Sprint(stages(b)) != fmt.Sprint(stages(want)) {
		t.Errorf("%d commands, %d records, %v; want %d, %d, %v", n, b.Position(), stages(b), len(f.Commands), want.Position(), stages(want))
	}
}

func TestAnyCountyFolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sites := rapid.IntRange(1, 120).Draw(t, "sites")
		o := demo.Options{
			Crews: rapid.IntRange(1, 20).Draw(t, "crews"), Sites: sites, Assemblies: rapid.IntRange(sites, 4*sites).Draw(t, "assemblies"),
			Seed: rapid.Uint64().Draw(t, "seed"), Today: on("2024-01-01").AddDays(rapid.IntRange(0, 3000).Draw(t, "day")),
			Zone: rapid.SampledFrom([]string{"America/Chicago", "Europe/London", "Australia/Lord_Howe", "Pacific/Apia"}).Draw(t, "zone"),
		}
		f := demo.Generate(o)
		b, err := f.Fold()
		if err != nil {
			t.Fatal(err)
		}
		if len(b.Sites) != o.Sites || len(b.Assemblies) != o.Assemblies || len(b.Crews) != o.Crews {
			t.Fatalf("%d sites, %d assemblies, %d crews", len(b.Sites), len(b.Assemblies), len(b.Crews))
		}
		if words := alarms(b); len(words) != f.IntendedAlarms {
			t.Fatalf("alarms %v", words)
		}
		loc, err := time.LoadLocation(o.Zone)
		if err != nil {
			t.Fatal(err)
		}
		for i, c := range f.Commands {
			if !c.Happened.Before(o.Today.In(loc)) || i > 0 && c.Happened.Before(f.Commands[i-1].Happened) {
				t.Fatalf("command %d, %T, happened at %s", i, c.Do, c.Happened)
			}
		}
		for _, s := range b.Sites {
			if s.AccessHours == "" || s.Name == "" || b.Customers[s.Customer] == nil {
				t.Fatalf("site %+v", s)
			}
		}
		for id, d := range f.People {
			if d.Name == "" || !strings.HasPrefix(d.Phone, "555-01") {
				t.Fatalf("%s is %+v", id, d)
			}
		}
		if f.Summary() == "" {
			t.Fatal("no summary")
		}
	})
}

// TestNamesStayOutOfTheLog: the log names people by id only.
func TestNamesStayOutOfTheLog(t *testing.T) {
	f, _ := fold(t, county("2026-05-13", func(o *demo.Options) { o.Sites, o.Assemblies = 60, 150 }))
	text := fmt.Sprintf("%+v", f.Commands)
	for _, d := range f.People {
		if strings.Contains(text, d.Name) {
			t.Errorf("%s is in the log", d.Name)
		}
	}
	for site, secret := range f.Secrets {
		if secret.GateCode == "" {
			t.Errorf("%s has no code", site)
		}
	}
}

func TestOptionsThatMakeNoSense(t *testing.T) {
	for name, change := range map[string]func(*demo.Options){
		"no crews":                    func(o *demo.Options) { o.Crews = 0 },
		"no sites":                    func(o *demo.Options) { o.Sites = 0 },
		"fewer assemblies than sites": func(o *demo.Options) { o.Assemblies = 599 },
		"no today":                    func(o *demo.Options) { o.Today = events.Date{} },
		"no such zone":                func(o *demo.Options) { o.Zone = "Tessaby/County" },
	} {
		t.Run(name, func(t *testing.T) {
			if county("2026-05-13", change).Validate() == nil {
				t.Error("was taken")
			}
		})
	}
}

func BenchmarkGenerateAndFold(b *testing.B) {
	o := county("2026-05-13", func(o *demo.Options) { o.Crews, o.Sites, o.Assemblies = 80, 6000, 15000 })
	for b.Loop() {
		_, book := fold(b, o)
		b.ReportMetric(float64(book.Position()), "events")
	}
}

// Others must bring something at some places of the county: at some of them they are booked, at some not, whatever the day.
func TestOthersMustBringSomething(t *testing.T) {
	for _, today := range []string{"2026-01-04", "2026-05-12", "2026-12-28"} {
		_, b := fold(t, county(today))
		needed, booked, asked := 0, 0, 0
		for _, s := range b.Sites {
			needs := len(s.Needs)
			for _, f := range b.FeedsOf(s.ID) {
				needs += len(f.Needs)
				for _, n := range f.Needs {
					if n.Whom == "" || n.Phone == "" {
						t.Errorf("%s: nobody to book for %s of %s", today, n.What, f.Name)
					}
				}
			}
			needed += needs
			booked += len(s.Booked)
			asked += len(s.Asked)
			if needs == 0 && len(s.Booked)+len(s.Asked) > 0 {
				t.Errorf("%s: others were asked to come to %s, and nothing is needed there", today, s.Name)
			}
			for _, x := range s.Booked {
				if !x.From.After(on(today).In(time.UTC)) {
					t.Errorf("%s: %s is booked for %v, which is past", today, s.Name, x.From)
				}
			}
		}
		if needed < 8 || booked < 3 || needed-booked < 3 || asked <= booked {
			t.Errorf("%s: %d places, %d booked, %d asked", today, needed, booked, asked)
		}
	}
}
