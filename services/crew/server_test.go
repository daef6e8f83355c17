package crew_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
	"valveround/planner"
	"valveround/services/console"
	"valveround/services/crew"
	"valveround/services/dispatch"
	"valveround/services/intake"
	"valveround/services/words"
)

// server is the real handler on the real log, at seven on the day.
type server struct {
	t      *testing.T
	url    string
	keeper *keeper.Keeper
	n      int
}

func serve(t *testing.T) *server {
	t.Helper()
	now := func() time.Time { return seven }
	store, err := natslog.Open(t.Context(), natslog.Config{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	k, err := keeper.Open(t.Context(), keeper.Config{Log: store, Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = k.Close() })
	desk, err := dispatch.New(dispatch.Config{Keeper: k, Office: office, Settings: planner.DefaultSettings(), Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(desk.Close)
	handler, err := console.New(console.Config{Office: office, Name: "North", Zone: time.UTC, Log: store, Keeper: k, Dispatch: desk, People: &words.People{}, Details: store, Blobs: store, Now: now,
		Intake: intake.NewDesk(intake.Config{Doer: k, Office: office, Now: now}), Pages: fs.FS(fstest.MapFS{})})
	if err != nil {
		t.Fatal(err)
	}
	h := httptest.NewServer(handler)
	t.Cleanup(h.Close)
	return &server{t: t, url: h.URL, keeper: k}
}

func (s *server) id() string { s.n++; return fmt.Sprintf("%032x", s.n) }

func (s *server) do(do any) {
	s.t.Helper()
	command, err := events.ParseCommandID(s.id())
	if err == nil {
		_, err = s.keeper.Do(s.t.Context(), events.Command{ID: command, Actor: "desk", Office: office, Happened: seven, Do: do})
	}
	if err != nil {
		s.t.Fatalf("%T: %v", do, err)
	}
}

// send posts what a phone or the desk would; bytes go as they are. It gives back the body, and fails on another status.
func (s *server) send(path string, body any, want int) []byte {
	s.t.Helper()
	kind, text := "application/json", []byte(nil)
	if raw, ok := body.([]byte); ok {
		kind, text = "application/octet-stream", raw
	} else {
		var err error
		if text, err = json.Marshal(body); err != nil {
			s.t.Fatal(err)
		}
	}
	request, err := http.NewRequestWithContext(s.t.Context(), http.MethodPost, s.url+path, bytes.NewReader(text))
	if err != nil {
		s.t.Fatal(err)
	}
	request.Header.Set("Content-Type", kind)
	return s.answer(request, want)
}

func (s *server) read(path string, into any) {
	s.t.Helper()
	request, err := http.NewRequestWithContext(s.t.Context(), http.MethodGet, s.url+path, nil)
	if err != nil {
		s.t.Fatal(err)
	}
	if err := json.Unmarshal(s.answer(request, http.StatusOK), into); err != nil {
		s.t.Fatal(err)
	}
}

func (s *server) answer(request *http.Request, want int) []byte {
	s.t.Helper()
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		s.t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil || response.StatusCode != want {
		s.t.Fatalf("%s answers %d, want %d: %.400s %v", request.URL.Path, response.StatusCode, want, text, err)
	}
	return text
}

func (s *server) field(kind string, with func(*crew.Request)) {
	s.t.Helper()
	r := request(kind, with)
	r.CommandID = s.id()
	s.send("/api/field", r, http.StatusOK)
}

// place registers a site with a feed and a crew with a gauge.
func (s *server) place(feed events.FeedFacts) {
	s.t.Helper()
	s.do(events.Put[events.SiteFacts]{ID: "s1", Facts: events.SiteFacts{Name: "Hill school", Zone: "UTC", PositionSource: events.NoPosition}})
	feed.Site, feed.Name = "s1", "main"
	s.do(events.Put[events.FeedFacts]{ID: "f1", Facts: feed})
	s.do(events.Put[events.GaugeFacts]{ID: "g1", Facts: events.GaugeFacts{Serial: "G-1", CertifiedUntil: events.NewDate(2026, time.March, 1), Potable: true}})
	s.do(events.Put[events.PersonFacts]{ID: "p1", Facts: events.PersonFacts{Credentials: []events.Credential{{Kind: events.TesterCertificate, Until: events.NewDate(2026, time.March, 2)}}}})
	s.do(events.Put[events.CrewFacts]{ID: "c1", Facts: events.CrewFacts{Name: "Crew 1", Letter: "A", Zone: "UTC", People: []events.PersonID{"p1"}, Gauges: []events.GaugeID{"g1"}}})
}

// unit registers a purveyor with criteria, an assembly of a type, and its job.
func (s *server) unit(assembly events.AssemblyID, kind events.AssemblyType, profile events.ProfileID) events.JobRef {
	s.t.Helper()
	purveyor := events.PurveyorID("by-" + string(profile))
	s.do(events.Put[events.PurveyorFacts]{ID: string(purveyor), Facts: events.PurveyorFacts{Name: "Purveyor " + string(profile), Zone: "UTC", Criteria: string(profile),
		Repair: map[events.Hazard]events.DeadlineRule{events.Health: {Count: 7, Unit: events.CalendarDays}}}})
	s.do(events.Put[events.AssemblyFacts]{ID: string(assembly), Facts: events.AssemblyFacts{Site: "s1", Feed: "f1", Purveyor: purveyor, Type: kind, Hazard: events.Health, Serial: "S-0"}})
	job := events.JobRef{Assembly: assembly, Job: events.JobID("job-" + string(assembly))}
	s.do(events.ListDue{Assembly: assembly, NewJob: job.Job, Due: events.NewDate(2026, time.March, 20), AsOf: day, Standing: events.Ours})
	return job
}

// sendOut sends the day out with one visit.
func (s *server) sendOut(work string, refs ...events.JobRef) {
	s.t.Helper()
	visit := events.DayVisit{Site: "s1", Key: "s1", Arrive: seven, Leave: seven.Add(time.Hour), WaterOff: []events.WaterOff{{Feed: "f1", From: seven, To: seven.Add(time.Hour)}}}
	for _, ref := range refs {
		visit.Jobs = append(visit.Jobs, events.DayJob{JobRef: ref, Work: work})
	}
	s.do(events.SendOut{SentOut: events.SentOut{Date: day, Routes: []events.DayRoute{{Crew: "c1", Visits: []events.DayVisit{visit}}}}})
	sent := s.keeper.Book().Day(office, day).SentBy
	for _, ref := range refs {
		s.do(events.EchoDispatch{Day: sent, Date: day, Crew: "c1", JobRef: ref})
	}
}

func (s *server) stop() crew.Stop {
	s.t.Helper()
	var v crew.View
	s.read("/api/crews/c1/days/"+day.String(), &v)
	if len(v.Stops) != 1 {
		s.t.Fatalf("stops %+v", v.Stops)
	}
	return v.Stops[0]
}

func (s *server) job(ref events.JobRef) *events.Job {
	return s.keeper.Book().Assemblies[ref.Assembly].Job(ref.Job)
}

// TestCriteriaThroughTheServer sends the readings of every case of testdata/criteria/cases.json, whose sources are named
// there, as a phone sends them, and reads the verdict that the server recorded beside the tester's. The same file holds the
// page to the same verdicts (web/test/verdict.test.ts).
func TestCriteriaThroughTheServer(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "criteria", "cases.json"))
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []struct {
			Name     string              `json:"name"`
			Type     events.AssemblyType `json:"type"`
			Profiles []events.ProfileID  `json:"profiles"`
			events.Test
			Expect struct {
				Opinion events.Opinion `json:"opinion"`
				Fails   []string       `json:"fails"`
				Buffer  *string        `json:"buffer"`
			} `json:"expect"`
		} `json:"cases"`
	}
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	s := serve(t)
	s.place(events.FeedFacts{})
	units, sent := map[string]events.JobRef{}, 0
	for _, c := range file.Cases {
		for _, profile := range c.Profiles {
			key := fmt.Sprintf("%s-%s", c.Type, profile)
			ref, known := units[key]
			if !known {
				ref = s.unit(events.AssemblyID(key), c.Type, profile)
				units[key] = ref
			}
			test := c.Test
			test.Gauge, test.Tester, test.Says, test.At = "g1", "p1", events.OpinionFail, seven
			if test.Readings == nil {
				test.Readings = []events.Reading{}
			}
			s.field("finish-job", func(r *crew.Request) {
				r.Assembly, r.Job, r.Outcome, r.Initial = string(ref.Assembly), string(ref.Job), events.OutcomeFailed, &test
			})
			sent++
			tests := s.job(ref).Tests
			got := tests[len(tests)-1].Computed
			if got == nil || got.Opinion() != c.Expect.Opinion || got.Profile != profile {
				t.Errorf("%s by %s: computed %+v, want %s", c.Name, profile, got, c.Expect.Opinion)
				continue
			}
			var fails []string
			for _, f := range got.Findings {
				if f.Status == events.StatusFail && !slices.Contains(fails, string(f.Part)+" "+string(f.Component)) {
					fails = append(fails, string(f.Part)+" "+string(f.Component))
				}
			}
			slices.Sort(fails)
			slices.Sort(c.Expect.Fails)
			if c.Expect.Fails != nil && !slices.Equal(fails, c.Expect.Fails) {
				t.Errorf("%s by %s: fails %q, want %q", c.Name, profile, fails, c.Expect.Fails)
			}
			if want := c.Expect.Buffer; want != nil && (got.Buffer == nil || got.Buffer.String() != *want) {
				t.Errorf("%s by %s: buffer %v, want %s", c.Name, profile, got.Buffer, *want)
			}
		}
	}
	if sent < 300 {
		t.Errorf("only %d readings were sent", sent)
	}
}

// TestThePhoneGetsTheServersCriteria: the page judges by the very data that the server judges by.
func TestThePhoneGetsTheServersCriteria(t *testing.T) {
	s := serve(t)
	s.place(events.FeedFacts{})
	var v crew.View
	s.read("/api/crews/c1/days/"+day.String(), &v)
	want, err := events.CriteriaJSON()
	if err != nil {
		t.Fatal(err)
	}
	var got, server bytes.Buffer
	if json.Compact(&got, v.Criteria) != nil || json.Compact(&server, want) != nil || got.String() != server.String() {
		t.Error("the criteria on the phone are not those of the server")
	}
	for _, o := range events.VisitOutcomes {
		if v.NextSteps[string(o)] == "" {
			t.Errorf("the phone does not know what follows %s", o)
		}
	}
}

// TestWhatIsNotValidIsSaidAndRecorded: an expired gauge and certificate are said before work starts, and what was read with
// them is recorded with an alarm beside it.
func TestWhatIsNotValidIsSaidAndRecorded(t *testing.T) {
	s := serve(t)
	s.place(events.FeedFacts{Fire: true})
	job := s.unit("a1", events.DC, events.USC10)
	s.sendOut("test", job)
	lacks := strings.Join(s.stop().Lacks, "\n")
	for _, want := range []string{"tester certificate", "ran out after 2 Mar 2026", "G-1's certificate ran out on 1 Mar 2026", "No valid fire licence"} {
		if !strings.Contains(lacks, want) {
			t.Errorf("before work starts it is said\n%s\nand not %q", lacks, want)
		}
	}
	s.field("finish-job", func(r *crew.Request) {
		r.Job, r.Outcome = string(job.Job), events.OutcomePassed
		r.Initial = &events.Test{Gauge: "g1", Tester: "p1", Says: events.OpinionPass, Readings: []events.Reading{}}
	})
	if s.job(job).Stage != events.StagePassed {
		t.Errorf("the fact was not recorded: %s", s.job(job).Stage)
	}
	if got := s.keeper.Book().Assemblies["a1"].Alarms; len(got) != 3 { // verdict, gauge, tester
		t.Errorf("alarms %+v", got)
	}
}

// TestFireLineOverHTTP: the caller's list before and after, the countdown, and what was made sure of.
func TestFireLineOverHTTP(t *testing.T) {
	s := serve(t)
	s.place(events.FeedFacts{Fire: true})
	s.sendOut("test", s.unit("a1", events.DCDA, events.USC10))
	until := seven.Add(2 * time.Hour)
	tell := func(when events.CallTime, role string, until time.Time) {
		s.field("tell", func(r *crew.Request) { r.Told = &events.PeopleTold{When: when, Role: role, OnTestUntil: until} })
	}
	tell(events.BeforeShutting, "impairment coordinator", time.Time{})
	tell(events.BeforeShutting, "alarm company", until)
	feed := s.stop().Feeds[0]
	if len(feed.Calls) != 4 || feed.Calls[0].ToldAt == nil || feed.Calls[1].ToldAt == nil || feed.Calls[2].ToldAt != nil || feed.OnTestUntil == nil || !feed.OnTestUntil.Equal(until) {
		t.Errorf("before shutting: %+v", feed)
	}
	if want := []string{"No. 1 shut-off", "No. 2 shut-off", "bypass No. 1 shut-off", "bypass No. 2 shut-off"}; !slices.Equal(feed.Valves, want) {
		t.Errorf("shut-offs %q, want %q", feed.Valves, want)
	}
	s.field("shut-off", nil)
	s.field("restore", nil)
	tell(events.AfterRestoring, "alarm company", time.Time{})
	s.field("leave-feed", func(r *crew.Request) {
		r.Condition = &events.Condition{Service: events.InService, Confirmed: feed.Checks}
	})
	if feed := s.stop().Feeds[0]; feed.OnTestUntil != nil || feed.Calls[1].BackAt == nil || len(feed.Checks) == 0 {
		t.Errorf("after restoring: %+v", feed)
	}
	if got := s.keeper.Book().Feeds["f1"].AsLeft; got == nil || len(got.Confirmed) != len(feed.Checks) {
		t.Errorf("as left %+v", got)
	}
}

// TestPhotoSerialPositionOverHTTP: a photo's bytes go first; the serial is a proposal that the office takes; the phone's
// position fills a gap once.
func TestPhotoSerialPositionOverHTTP(t *testing.T) {
	s := serve(t)
	s.place(events.FeedFacts{})
	job := s.unit("a1", events.DC, events.USC10)
	s.sendOut("test", job)
	if !s.stop().AskPosition {
		t.Error("a site without position is not asked for one")
	}

	photo := request("photo", func(r *crew.Request) {
		r.Job, r.Photo = string(job.Job), &events.Photo{SHA256: hash, Shows: "serial plate"}
	})
	photo.CommandID = s.id()
	s.send("/api/field", photo, http.StatusUnprocessableEntity) // its picture is not here
	var kept console.Attachment
	if err := json.Unmarshal(s.send("/api/attachments", []byte("\xff\xd8\xff\xe0 a picture"), http.StatusOK), &kept); err != nil {
		t.Fatal(err)
	}
	photo.Photo.SHA256 = kept.SHA256
	s.send("/api/field", photo, http.StatusOK)
	s.send("/api/field", photo, http.StatusOK) // sent again: once
	s.field("serial-seen", func(r *crew.Request) {
		r.Job, r.Serial = string(job.Job), &events.SerialDiffers{Part: events.MainPart, Seen: "S-9"}
	})
	work := s.stop().Work[0]
	if len(work.Photos) != 1 || work.Photos[0].SHA256 != kept.SHA256 || len(work.SerialsSeen) != 1 || work.SerialsSeen[0].Record != "S-0" {
		t.Errorf("the unit on the phone: %+v, %+v", work.Photos, work.SerialsSeen)
	}
	var report struct {
		Photos []struct {
			SHA256 string `json:"sha256"`
		} `json:"photos"`
	}
	s.read("/api/assemblies/a1/jobs/"+string(job.Job)+"/report", &report)
	if len(report.Photos) != 1 || report.Photos[0].SHA256 != kept.SHA256 {
		t.Errorf("photos of the report: %+v", report.Photos)
	}
	s.send("/api/desk", map[string]any{"command_id": s.id(), "kind": "take-serial", "assembly": "a1", "serial": "S-9"}, http.StatusOK)
	if got := s.stop().Work[0]; got.Serial != "S-9" || len(got.SerialsSeen) != 0 {
		t.Errorf("the record after the office took it: %q, %+v", got.Serial, got.SerialsSeen)
	}

	fix := map[string]any{"command_id": s.id(), "happened": seven, "kind": "position", "crew": "c1", "day": day, "site": "s1",
		"position": map[string]any{"at": map[string]float64{"lat": 41.25, "lon": -93.5}, "accuracy_m": 14}}
	s.send("/api/field", fix, http.StatusOK)
	site := s.keeper.Book().Sites["s1"]
	if s.stop().AskPosition || site.PositionSource != events.PhonePosition || site.Fix == nil || site.Fix.AccuracyM != 14 {
		t.Errorf("the site stands %+v, %s, %+v", site.Position, site.PositionSource, site.Fix)
	}
}

// TestStreetValveOverHTTP: an RP will not reseat and its No. 1 shut-off will not hold; the purveyor shuts the street at 11:00.
func TestStreetValveOverHTTP(t *testing.T) {
	s := serve(t)
	s.place(events.FeedFacts{})
	job := s.unit("a1", events.RP, events.USC10)
	s.sendOut("test", job)
	eleven := seven.Add(4 * time.Hour)
	mine := func(with func(*crew.Request)) func(*crew.Request) {
		return func(r *crew.Request) { r.Job = string(job.Job); with(r) }
	}
	s.field("arrive", nil)
	s.field("finish-job", mine(func(r *crew.Request) {
		r.Outcome, r.Why = events.OutcomeCouldNotTest, "shut-off-would-not-hold"
		r.Obstacle = &events.Obstacle{Which: "No. 1 shut-off", Who: "purveyor, at the street valve", From: eleven}
	}))
	s.field("leave-feed", func(r *crew.Request) {
		r.Condition = &events.Condition{Service: events.Impaired, Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValvePartly}}, Decides: "purveyor", Restores: "street valve at 11:00"}
	})
	w := s.stop().Work[0]
	if w.Stopped == nil || w.Stopped.Which != "No. 1 shut-off" || !w.Stopped.From.Equal(eleven) || !strings.HasPrefix(w.Next, "Neither a pass nor a fail.") || s.job(job).Failure != nil {
		t.Errorf("before eleven: %+v, next %q", w.Stopped, w.Next)
	}
	if !s.keeper.Book().Feeds["f1"].OutOfService() {
		t.Error("the feed is not on the list of what was left off")
	}
	s.field("shut-off", func(r *crew.Request) { r.By = "purveyor, at the street valve" })
	number := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	test := func(phase events.Phase, relief string, says events.Opinion) *events.Test {
		return &events.Test{Says: says, Gauge: "g1", Tester: "p1", Readings: []events.Reading{
			{Part: events.MainPart, Component: events.Relief, Phase: phase, Number: number(relief), Unit: events.PSID, Result: events.Opened},
			{Part: events.MainPart, Component: events.Check1, Phase: phase, Number: number("6.1"), Unit: events.PSID},
			{Part: events.MainPart, Component: events.Check2, Phase: phase, Result: events.Held}}}
	}
	s.field("finish-job", mine(func(r *crew.Request) {
		r.Outcome, r.Initial, r.Final = events.OutcomeRepairedPassed, test(events.Initial, "1.2", events.OpinionFail), test(events.Final, "2.4", events.OpinionPass)
		r.Repair = &events.Repaired{Components: []events.ComponentRepair{{Part: events.MainPart, Component: events.Relief, Did: events.DidCleaned, Found: "sand or grit"}}}
	}))
	s.field("restore", nil)
	s.field("leave-feed", func(r *crew.Request) { r.Condition = &events.Condition{Service: events.InService} })
	if j := s.job(job); j.Stage != events.StagePassed || j.Failure != nil || len(j.Attempts) != 2 || s.keeper.Book().Feeds["f1"].OutOfService() {
		t.Errorf("after eleven: %s, %+v", j.Stage, j.Attempts)
	}
}

// TestWrongKitOverHTTP: the kit is for the wrong serial range, the unit is open and the school starts at 07:30: closed with
// the old rubber, left failed and in service, the first clock running.
func TestWrongKitOverHTTP(t *testing.T) {
	s := serve(t)
	s.place(events.FeedFacts{})
	job := s.unit("a1", events.DC, events.USC10)
	s.do(events.CarryOver{JobRef: job, FailedOn: events.NewDate(2026, time.March, 2), Words: "check 1"})
	s.do(events.WantParts{JobRef: job, Parts: []events.PartWanted{{Code: "RK-1", Part: events.MainPart, Component: events.Check1}}})
	s.do(events.Put[events.KitFacts]{ID: "k1", Facts: events.KitFacts{Code: "RK-1"}})
	s.do(events.ReservePart{WhichPart: events.WhichPart{JobRef: job, Nth: 1}, Item: "k1"})
	s.sendOut("repair", job)
	if parts := s.stop().Work[0].Parts; len(parts) != 1 || parts[0].Item != "k1" {
		t.Fatalf("the phone's kits: %+v", parts)
	}
	s.field("finish-job", func(r *crew.Request) {
		number := events.MustDecimal("0.4")
		r.Job, r.Outcome = string(job.Job), events.OutcomeFailed
		r.Initial = &events.Test{Gauge: "g1", Tester: "p1", Says: events.OpinionFail, Readings: []events.Reading{{Part: events.MainPart, Component: events.Check1, Number: &number, Unit: events.PSID}}}
		r.Repair = &events.Repaired{Components: []events.ComponentRepair{{Part: events.MainPart, Component: events.Check1, Did: events.DidClosed}}}
		r.Wrong = []events.KitTrouble{{Code: "RK-1", Item: "k1", Why: "for the wrong serial range"}}
	})
	s.field("leave-feed", func(r *crew.Request) { r.Condition = &events.Condition{Service: events.InService} })
	b := s.keeper.Book()
	j := s.job(job)
	if j.Stage != events.StagePartsPending || j.Failure == nil || j.Failure.RetestBy.On != events.NewDate(2026, time.March, 9) {
		t.Errorf("job %s, failure %+v: want parts pending, and the first clock to 9 March", j.Stage, j.Failure)
	}
	if len(j.Parts) != 1 || j.Parts[0].Step() != events.PartNeeded || b.Kits["k1"].Wrong == "" || b.Feeds["f1"].OutOfService() {
		t.Errorf("parts %+v, kit %+v, feed %+v", j.Parts, b.Kits["k1"], b.Feeds["f1"].AsLeft)
	}
	var history struct{ Entries []struct{ Words string } }
	s.read("/api/assemblies/a1/history", &history)
	told := ""
	for _, e := range history.Entries {
		told += e.Words + "\n"
	}
	for _, want := range []string{"Opened and not repaired: check 1 closed again with the old parts", "for the wrong serial range", "Left in service"} {
		if !strings.Contains(told, want) {
			t.Errorf("the history says\n%sand not %q", told, want)
		}
	}
}
