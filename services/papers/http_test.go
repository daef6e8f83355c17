package papers_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"io"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"reflect"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
	"valveround/planner"
	"valveround/services/console"
	"valveround/services/demo"
	"valveround/services/dispatch"
	"valveround/services/intake"
	"valveround/services/papers"
	"valveround/services/words"
)

// server is the demo on the real log, with its next working day sent out, behind the real handler.
type server struct {
	t      *testing.T
	http   *httptest.Server
	store  *natslog.Store
	keeper *keeper.Keeper
	out    events.Date
	phones map[string]bool
}

func open(t *testing.T) *server {
	t.Helper()
	zone, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return time.Date(2026, 5, 12, 15, 10, 0, 0, zone) }
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
	o := demo.Default()
	o.Crews, o.Sites, o.Assemblies, o.Today = 8, 120, 300, events.NewDate(2026, 5, 12)
	fleet := demo.Generate(o)
	if _, err := k.Import(t.Context(), fleet.Commands, nil); err != nil {
		t.Fatal(err)
	}
	people := &words.People{}
	s := &server{t: t, store: store, keeper: k, out: events.NewDate(2026, 5, 13), phones: map[string]bool{}}
	for id, d := range fleet.People {
		s.phones[d.Phone] = true
		if err := people.Put(t.Context(), store, string(id), words.Details{Name: d.Name, Phone: d.Phone}); err != nil {
			t.Fatal(err)
		}
	}
	plan, err := planner.Make(t.Context(), planner.Request{Book: k.Book().Snapshot(), Office: fleet.Office, Date: s.out, Now: now(), Settings: planner.DefaultSettings(), Iterations: 100, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	id := events.DeriveCommandID(events.CommandID{1}, "send out")
	if _, err := k.Do(t.Context(), events.Command{ID: id, Actor: "desk", Office: fleet.Office, Happened: now(), Do: events.SendOut{SentOut: plan.Day()}}); err != nil {
		t.Fatal(err)
	}
	desk, err := dispatch.New(dispatch.Config{Keeper: k, Office: fleet.Office, Settings: planner.DefaultSettings(), Now: now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(desk.Close)
	handler, err := console.New(console.Config{Office: fleet.Office, Name: "Demo county", Zone: zone, Log: store, Keeper: k, Dispatch: desk, People: people, Details: store, Blobs: store, Now: now,
		Intake: intake.NewDesk(intake.Config{Doer: k, Office: fleet.Office, Now: now}), Pages: fs.FS(fstest.MapFS{})})
	if err != nil {
		t.Fatal(err)
	}
	s.http = httptest.NewServer(handler)
	t.Cleanup(s.http.Close)
	return s
}

// get asks for a path and fails the test when the status or the kind of content is another.
func (s *server) get(path string, status int, kind string) []byte {
	s.t.Helper()
	request, err := http.NewRequestWithContext(context.Background(), http.MethodGet, s.http.URL+path, nil)
	if err != nil {
		s.t.Fatal(err)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		s.t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	if response.StatusCode != status || !strings.HasPrefix(response.Header.Get("Content-Type"), kind) {
		s.t.Fatalf("%s answers %d %s, want %d %s: %.300s", path, response.StatusCode, response.Header.Get("Content-Type"), status, kind, body)
	}
	return body
}

func TestPapersOverHTTP(t *testing.T) {
	s := open(t)
	pdf := func(path string) {
		t.Helper()
		if file := s.get(path, http.StatusOK, "application/pdf"); !bytes.HasPrefix(file, []byte("%PDF-1.")) {
			t.Errorf("%s is no PDF: %.20q", path, file)
		}
	}
	day := "/api/days/" + s.out.String() + "/route-sheets.pdf"
	pdf(day)
	pdf(day + "?paper=a4&crew=" + string(s.keeper.Book().Day(demo.Office, s.out).Sent.Routes[0].Crew))
	s.get("/api/days/2026-05-14/route-sheets.pdf", http.StatusUnprocessableEntity, "application/problem+json")
	s.get(day+"?crew=nobody", http.StatusUnprocessableEntity, "application/problem+json")
	s.get(day+"?paper=a0", http.StatusUnprocessableEntity, "application/problem+json")

	var filing papers.FilingList
	s.read("/api/filing?accepted_days=60", &filing)
	if len(filing.Rows) == 0 || filing.Counts.Accepted == 0 || filing.Counts.Returned == 0 || len(filing.Clocks) != 4 {
		t.Errorf("filing list: %d rows, %+v, %d clocks", len(filing.Rows), filing.Counts, len(filing.Clocks))
	}
	for _, row := range filing.Rows {
		if row.State == papers.StateReturned && row.Filings[len(row.Filings)-1].Why == "" {
			t.Errorf("no reason for %s", row.Job.Job)
		}
	}
	row := filing.Rows[len(filing.Rows)-1]
	job := "/api/assemblies/" + row.Job.Assembly + "/jobs/" + row.Job.Job
	var report papers.Report
	s.read(job+"/report", &report)
	if report.Verdict != "pass" || report.Initial == nil && report.Final == nil || len(report.Signatures) < 2 || len(report.Filings) == 0 {
		t.Errorf("the report of an accepted job: %+v", report)
	}
	pdf(job + "/report.pdf")
	s.get("/api/assemblies/nothing/jobs/nothing/report", http.StatusNotFound, "application/problem+json")
	s.get("/api/assemblies/"+row.Job.Assembly+"/jobs/nothing/report.pdf", http.StatusNotFound, "application/problem+json")

	var expiries papers.Expiries
	s.read("/api/expiries?days=60", &expiries)
	if len(expiries.Rows) == 0 || expiries.Days != 60 {
		t.Errorf("expiries: %+v", expiries)
	}

	file := s.get("/api/invoicing.csv?from=2026-04-01&to=2026-05-12", http.StatusOK, "text/csv")
	rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(file, []byte("\ufeff")))).ReadAll()
	if err != nil || len(rows) < 20 {
		t.Errorf("invoicing: %d rows, %v", len(rows), err)
	}
	s.get("/api/invoicing.csv?from=2026-05-12&to=2026-05-11", http.StatusUnprocessableEntity, "application/problem+json")
	s.get("/api/invoicing.csv?from=2026-05-12", http.StatusUnprocessableEntity, "application/problem+json")

	calendar := s.get("/api/calendars/crews/"+string(s.keeper.Book().Day(demo.Office, s.out).Sent.Routes[0].Crew)+".ics", http.StatusOK, "text/calendar")
	if !bytes.Contains(calendar, []byte("BEGIN:VEVENT\r\n")) {
		t.Errorf("the crew's calendar is empty: %s", calendar)
	}
	s.get("/api/calendars/agreed.ics", http.StatusOK, "text/calendar")
	s.get("/api/calendars/crews/nobody.ics", http.StatusUnprocessableEntity, "application/problem+json")
	for phone := range s.phones {
		for name, text := range map[string][]byte{"invoicing": file, "calendar": calendar} {
			if phone != "" && bytes.Contains(text, []byte(phone)) {
				t.Errorf("%s holds a telephone number", name)
			}
		}
	}
}

// TestHistoriesEitherWay: one by one or in one pass, the log tells the same.
func TestHistoriesEitherWay(t *testing.T) {
	s := open(t)
	var entities []events.Entity
	for _, a := range s.keeper.Book().Assemblies {
		entities = append(entities, events.Entity{Office: a.Office, Kind: events.KindAssembly, ID: string(a.ID)})
	}
	pass, err := papers.Read(t.Context(), s.store, entities)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entities[:40] {
		single, err := papers.Read(t.Context(), s.store, []events.Entity{e})
		if err != nil {
			t.Fatal(err)
		}
		if len(single[e]) == 0 || !reflect.DeepEqual(single[e], pass[e]) {
			t.Errorf("%s has %d records read alone and %d read in a pass", e, len(single[e]), len(pass[e]))
		}
	}
}

func (s *server) read(path string, into any) {
	s.t.Helper()
	if err := json.Unmarshal(s.get(path, http.StatusOK, "application/json"), into); err != nil {
		s.t.Fatalf("%s: %v", path, err)
	}
}
