package intake_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/demo"
	"valveround/services/intake"
	"valveround/services/intake/plain"
	"valveround/services/intake/sheet"
)

var today = date("2026-03-02")

func folderOptions() intake.FolderOptions {
	return intake.FolderOptions{Office: office, Actor: "p-desk", Happened: noon}
}

// files reads a folder written as one text: "== name" before each file.
func files(t *testing.T, text string) plain.Fleet {
	t.Helper()
	folder := fstest.MapFS{}
	for _, part := range strings.Split(text, "== ")[1:] {
		name, body, _ := strings.Cut(part, "\n")
		folder[strings.TrimSpace(name)] = &fstest.MapFile{Data: []byte(body)}
	}
	fleet, faults, err := plain.ReadFolder(folder, sheet.Limits{})
	if err != nil || len(faults) > 0 {
		t.Fatalf("reading the folder: %v, %v", err, faults)
	}
	return fleet
}

const smallFirm = `== purveyors.csv
id,name,zone,interval_months,repair_days_health,repair_days_unit
pv,Millbrook Water,America/New_York,12,14,calendar
== customers.csv
id,name,repair_standing
cu,Corner Holdings,ask
== sites.csv
id,customer_id,name,lat_deg,lon_deg,position_source,zone,access_hours,notice_days,notice_given_on
s1,cu,Corner kitchen,41,-74,surveyed,America/New_York,Mo-Fr 05:00-17:00,2,2026-02-20
== feeds.csv
id,site_id,name,shutdown_window,state,needs
f1,s1,main,Mo-Fr 05:00-09:00,
f2,s1,lawn,Mo-Fr 05:00-09:00,partly-open,street-valve=Millbrook valve desk/555-0142; escort
== assemblies.csv
id,site_id,feed_id,purveyor_id,purveyor_number,type,size_in,hazard,last_passed
a1,s1,f1,pv,MW-1,RP,3/4 in,health,2025-11-20
a2,s1,f1,pv,MW-2,RP,2 in,health,
a3,s1,f2,pv,MW-3,PVB,1 in,health,
a4,s1,f2,pv,MW-4,PVB,1 in,,
== people.csv
id,display_name,tester_certificate_until
p1,Ada Quill,2027-01-01
== gauges.csv
id,serial,certified_until,potable
g1,G-77,2026-12-01,yes
== crews.csv
id,name,people,gauges,home_lat_deg,home_lon_deg,zone,hours
c1,Crew 1,p1,g1,41.1,-74.1,America/New_York,Mo-Fr 06:00-14:30
== jobs.csv
id,assembly_id,kind,due,standing,stage,failed_on,retest_by,repair_authorised,needs_kit_codes,notes
j1,a1,annual,2026-05-20,ours,,,,,,ask for the key
j2,a2,return-visit,,ours,parts-ready,2026-02-16,2026-03-05,yes,RK-1; RK-2,
j3,a3,annual,2026-03-01,ours,parts-pending,2026-02-16,,,RK-3,
j4,a4,annual,2026-03-01,,failed-retest,2026-02-16,,,,
== bookings.csv
id,site_id,feed_id,what,day,from_time,to_time,whom,reference
b1,s1,f2,street-valve,2026-03-05,06:00,08:00,Millbrook valve desk,W 7781
b2,s1,,escort,2026-03-05,22:00,02:00,,
== kits.csv
id,code,state,promised_on,for_job,where
k1,RK-1,reserved,,j2,c1
k2,RK-2,reserved,,j2,c1
k3,RK-3,promised,2026-03-04,j3,
`

func TestFolderToBook(t *testing.T) {
	book, folder, err := intake.FoldFolder(files(t, smallFirm), folderOptions())
	if err != nil || len(folder.Faults) > 0 {
		t.Fatalf("error %v, faults %v", err, folder.Faults)
	}
	expect(t, "names kept apart", folder.People, "map[p1:Ada Quill]")
	job := func(id events.AssemblyID) *events.Job { return book.Assemblies[id].OpenJob() }
	expect(t, "stages", []events.Stage{job("a1").Stage, job("a2").Stage, job("a3").Stage, job("a4").Stage},
		"[due parts-ready parts-pending failed-retest]")
	expect(t, "taken over deadline", job("a2").Failure.RetestBy.On, "2026-03-05")
	// 14 days from Monday 16 February 2026 are Monday 2 March 2026.
	expect(t, "deadline by the purveyor's rule", job("a3").Failure.RetestBy.On, "2026-03-02")
	expect(t, "hazard not known: the known rule", job("a4").Failure.RetestBy.On, "2026-03-02")
	expect(t, "standing left blank", job("a4").Standing, events.Ask)
	expect(t, "due of a failure without a date", job("a2").Due, "2026-02-16")
	expect(t, "yes to repair", job("a2").Yes != nil && job("a3").Yes == nil, true)
	expect(t, "kits reserved", []any{book.Kits["k1"].For.Job, book.Kits["k2"].For.Job, job("a2").Parts[1].Where}, "[j2 j2 c1]")
	expect(t, "promised", job("a3").Parts[0].Promised, "2026-03-04")
	expect(t, "notice", book.Sites["s1"].Notice.Given, "2026-02-20")
	expect(t, "as left", book.Feeds["f2"].OutOfService(), true)
	expect(t, "what others bring", book.Feeds["f2"].Needs, "[{street-valve Millbrook valve desk 555-0142} {escort  }]")
	loc, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	var booked []string
	for _, b := range book.Sites["s1"].Booked {
		booked = append(booked, fmt.Sprint(b.What, b.Feed, b.From.In(loc).Format(" 02 15:04"), b.To.In(loc).Format(" 02 15:04"), b.Whom, b.Reference))
	}
	expect(t, "booked", booked, "[street-valvef2 05 06:00 05 08:00Millbrook valve deskW 7781 escort 05 22:00 06 02:00]")
	expect(t, "note", job("a1").Questions, "[ask for the key]")
	if len(book.Assemblies["a2"].Alarms) > 0 {
		t.Errorf("taking over raised alarms: %v", book.Assemblies["a2"].Alarms)
	}
}

func TestFolderTwiceChangesNothing(t *testing.T) {
	s := newStory(t)
	fleet := files(t, smallFirm)
	if wrote := s.run(intake.FromFolder(fleet, folderOptions()).Waves); len(wrote) == 0 {
		t.Fatal("nothing was written")
	}
	before := s.book.Digest()
	expect(t, "written again", s.run(intake.FromFolder(fleet, folderOptions()).Waves), "[]")
	known := folderOptions()
	known.Known = s.book.Snapshot()
	fleet.Gauges[0].Serial = "G-78" // another folder, so other command ids
	expect(t, "written for one changed cell", s.run(intake.FromFolder(fleet, known).Waves), "[gauge.corrected]")
	if s.book.Digest() == before {
		t.Error("the changed cell changed nothing")
	}
}

func TestFolderFaults(t *testing.T) {
	tests := []struct{ name, old, new, want string }{
		{"hours", "Mo-Fr 05:00-17:00", "mornings", `sites.csv row 2 "access_hours": "mornings" is not a time`},
		{"shutdown window", "f1,s1,main,Mo-Fr 05:00-09:00", "f1,s1,main,Mo-Fr 5-9pm", `feeds.csv row 2 "shutdown_window"`},
		{"unknown site", "f1,s1", "f1,s9", `feeds.csv row 2 "site_id": "s9" names a site`},
		{"unknown assembly", "j1,a1", "j1,a9", `jobs.csv row 2 "assembly_id": "a9" names a assembly`},
		{"half a position", "41,-74,surveyed", "41,,surveyed", `sites.csv row 2 "lat_deg": is half a position`},
		{"no zone", "America/New_York,Mo-Fr 05:00-17:00", ",Mo-Fr 05:00-17:00", `sites.csv row 2 "zone"`},
		{"failed when", "parts-ready,2026-02-16", "parts-ready,", `jobs.csv row 3 "failed_on"`},
		{"which parts", ",RK-3,", ",,", `jobs.csv row 4 "needs_kit_codes"`},
		{"due when", "annual,2026-05-20", "annual,", `jobs.csv row 2 "due"`},
		{"criteria", "interval_months,", "criteria_profile,", `purveyors.csv row 2 "criteria_profile": "12"`},
		{"what others bring", "f1,s1,main,Mo-Fr 05:00-09:00,", "f1,s1,main,Mo-Fr 05:00-09:00,,tea=Tea shop", `feeds.csv row 2 "needs": "tea" is nothing that others bring; write street-valve, alarm-company, escort or pump-out`},
		{"booked at no site", "b1,s1", "b1,s9", `bookings.csv row 2 "site_id": "s9" names a site`},
		{"kit for no job", ",j3,", ",j9,", `kits.csv row 4 "for_job": "j9"`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			text := strings.Replace(smallFirm, test.old, test.new, 1)
			if text == smallFirm {
				t.Fatal("the text was not changed")
			}
			_, folder, err := intake.FoldFolder(files(t, text), folderOptions())
			if err != nil {
				t.Fatal(err)
			}
			if len(folder.Faults) == 0 || !strings.HasPrefix(folder.Faults[0].String(), test.want) {
				t.Errorf("faults are %v, want first %s", folder.Faults, test.want)
			}
			for _, f := range folder.Faults {
				if strings.Contains(f.Problem, "refused") {
					t.Errorf("a row with a fault was let through: %v", f)
				}
			}
		})
	}
}

// writeAndRead sends rows through CSV files.
func writeAndRead(t *testing.T, fleet plain.Fleet) plain.Fleet {
	t.Helper()
	folder := fstest.MapFS{}
	err := plain.WriteFolder(fleet, func(name string) (io.WriteCloser, error) {
		return &memoryFile{folder: folder, name: name}, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	back, faults, err := plain.ReadFolder(folder, sheet.Limits{})
	if err != nil || len(faults) > 0 {
		t.Fatalf("reading what was written: %v, %v", err, faults)
	}
	return back
}

type memoryFile struct {
	bytes.Buffer
	folder fstest.MapFS
	name   string
}

func (m *memoryFile) Close() error {
	m.folder[m.name] = &fstest.MapFile{Data: m.Bytes()}
	return nil
}

func TestSmallFirmThereAndBack(t *testing.T) {
	book, _, err := intake.FoldFolder(files(t, smallFirm), folderOptions())
	if err != nil {
		t.Fatal(err)
	}
	fleet, lost := intake.ToFolder(book, office, nil)
	if len(lost) > 0 {
		t.Errorf("lost: %v", lost)
	}
	again, folder, err := intake.FoldFolder(writeAndRead(t, fleet), folderOptions())
	if err != nil || len(folder.Faults) > 0 {
		t.Fatalf("error %v, faults %v", err, folder.Faults)
	}
	samePlanning(t, book, again)
}

func TestDemoThereAndBack(t *testing.T) {
	o := demo.Default()
	o.Today, o.Sites, o.Assemblies = today, 120, 300
	county := demo.Generate(o)
	book, err := county.Fold()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range book.Sites {
		s.Asked = nil // what those said who were asked to come has no column, and is said of a job left out
	}
	fleet, lost := intake.ToFolder(book, county.Office, nil)
	t.Logf("%d facts have no column", len(lost))
	options := folderOptions()
	options.Office = county.Office
	again, folder, err := intake.FoldFolder(writeAndRead(t, fleet), options)
	if err != nil || len(folder.Faults) > 0 {
		t.Fatalf("error %v, faults %v", err, folder.Faults)
	}
	samePlanning(t, book, again)
	// Equal requests give equal plans, so both books are planned and the plans compared.
	plan := func(b *events.Book) planner.Plan {
		p, err := planner.Make(t.Context(), planner.Request{Book: b, Office: county.Office, Date: today.AddDays(1), Now: noon,
			Settings: planner.DefaultSettings(), Iterations: 40, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	want, got := plan(book), plan(again)
	if len(want.Routes) == 0 {
		t.Error("the plan is empty")
	}
	expect(t, "routes planned", inWords(t, withoutChances(got.Routes)), inWords(t, withoutChances(want.Routes)))
	stopped := func(l planner.LeftOut) bool { return l.Rule == "stopped" } // has no column
	expect(t, "left out", inWords(t, slices.DeleteFunc(got.LeftOut, stopped)), inWords(t, slices.DeleteFunc(want.LeftOut, stopped)))
}

// withoutChances takes out of routes how probably they come too late, which rests on the results on record: earlier results
// have no column.
func withoutChances(routes []planner.Route) []planner.Route {
	for i := range routes {
		routes[i].Late = 0
		for j := range routes[i].Visits {
			v := &routes[i].Visits[j]
			v.Late = 0
			v.Notes = slices.DeleteFunc(v.Notes, func(note string) bool { return strings.Contains(note, "that this cannot begin by") })
		}
	}
	return routes
}

// samePlanning compares what planning looks at, as far as the columns hold it.
func samePlanning(t *testing.T, want, got *events.Book) {
	t.Helper()
	compare(t, want.Sites, got.Sites, func(s *events.Site) any {
		facts := s.SiteFacts
		facts.Contacts = nil
		given := events.Date{}
		if s.Notice != nil {
			given = s.Notice.Given
		}
		booked := []string{}
		for _, b := range s.Booked {
			booked = append(booked, fmt.Sprint(b.What, b.Feed, b.From.UTC(), b.To.UTC(), b.Whom, b.Reference))
		}
		slices.Sort(booked)
		return []any{facts, given, booked}
	})
	compare(t, want.Feeds, got.Feeds, func(f *events.Feed) any { return []any{f.FeedFacts, f.OutOfService()} })
	compare(t, want.Crews, got.Crews, func(c *events.Crew) any { return c.CrewFacts })
	compare(t, want.Gauges, got.Gauges, func(g *events.Gauge) any { return []any{g.GaugeFacts, g.Dropped != ""} })
	compare(t, want.People, got.People, func(p *events.Person) any {
		out := fmt.Sprint(p.Registrations)
		for _, kind := range []events.CredentialKind{events.TesterCertificate, events.RepairLicence, events.FireLicence, events.ConfinedSpaceEntry} {
			out += fmt.Sprint(p.Holds(kind, today), p.Holds(kind, today.AddDays(200)))
		}
		return out
	})
	compare(t, want.Customers, got.Customers, func(c *events.Customer) any { return []any{c.Repair, c.RepairLimitUSD, c.OnHold != ""} })
	compare(t, want.Assemblies, got.Assemblies, func(a *events.Assembly) any {
		if a.Gone {
			return nil
		}
		facts := a.AssemblyFacts
		facts.LastPassed, facts.SerialDoubt = a.Passed, ""
		out := []any{facts}
		for _, j := range a.Jobs {
			if j.Stage == events.StageDue || j.NeedsRepair() {
				out = append(out, planned(j))
			}
		}
		return out
	})
}

func planned(j events.Job) string {
	text := fmt.Sprint(j.ID, j.Kind, j.Due, j.Earliest, j.Standing, j.Stage)
	if j.NeedsRepair() {
		by, ok := j.PartsBy()
		text += fmt.Sprint(j.Failure.On, j.Failure.RetestBy.On, j.Failure.RetestBy.Known, j.Yes != nil, by, ok)
		for _, p := range j.Parts {
			text += fmt.Sprint(p.Code, p.Promised, p.Item, p.Where)
		}
	}
	return text
}

func compare[K ~string, V any](t *testing.T, want, got map[K]*V, of func(*V) any) {
	t.Helper()
	differ := 0
	for _, id := range slices.Sorted(maps.Keys(want)) {
		w := inWords(t, of(want[id]))
		if w == "null" {
			continue
		}
		g := "not there"
		if got[id] != nil {
			g = inWords(t, of(got[id]))
		}
		if g != w {
			if differ++; differ <= 3 {
				t.Errorf("%T %s:\n got %s\nwant %s", want[id], id, g, w)
			}
		}
	}
	if differ > 3 {
		t.Errorf("%d of %d differ", differ, len(want))
	}
}

func inWords(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
