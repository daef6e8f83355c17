package console

import (
	"bytes"
	"context"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/intake/sheet"
	"valveround/services/papers"
)

// JobInPath is the job of an assembly that a path names.
type JobInPath struct {
	ID  string `path:"id"`
	Job string `path:"job"`
}

func (p JobInPath) ref() events.JobRef {
	return events.JobRef{Assembly: events.AssemblyID(p.ID), Job: events.JobID(p.Job)}
}

// PaperInQuery is the size of the sheets asked for.
type PaperInQuery struct {
	Paper string `query:"paper" enum:"letter,a4" default:"letter" doc:"size of the sheets"`
}

func (s *Server) papersRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "route-sheets", Security: readers, Method: http.MethodGet, Path: "/api/days/{date}/route-sheets.pdf",
		Summary: "Route sheets of a sent-out day, one page a crew, as PDF"},
		func(_ context.Context, in *struct {
			DateInPath
			PaperInQuery
			Crew string `query:"crew" doc:"only this crew's"`
		}) (*huma.StreamResponse, error) {
			now := s.cfg.Now()
			sheets, err := papers.RouteSheets(s.cfg.Keeper.Book(), papers.SheetConfig{Firm: s.cfg.Name, Office: s.cfg.Office, Settings: s.cfg.Dispatch.Settings(),
				People: s.cfg.People, Now: now}, in.Date, events.CrewID(in.Crew))
			if err != nil {
				return nil, s.fail(err)
			}
			file, err := papers.RouteSheetsPDF(sheets, papers.Paper(in.Paper), now)
			return s.file(file, err, "application/pdf", "route-sheets-"+in.Date.String()+".pdf")
		})

	huma.Register(s.api, huma.Operation{OperationID: "report", Security: readers, Method: http.MethodGet, Path: "/api/assemblies/{id}/jobs/{job}/report", Summary: "The test report of one job"},
		func(ctx context.Context, in *JobInPath) (*reply[papers.Report], error) {
			r, err := s.report(ctx, in.ref())
			if err != nil {
				return nil, err
			}
			return answer(r), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "report-pdf", Security: readers, Method: http.MethodGet, Path: "/api/assemblies/{id}/jobs/{job}/report.pdf",
		Summary: "The test report of one job as PDF"},
		func(ctx context.Context, in *struct {
			JobInPath
			PaperInQuery
		}) (*huma.StreamResponse, error) {
			r, err := s.report(ctx, in.ref())
			if err != nil {
				return nil, err
			}
			file, err := papers.ReportPDF(r, papers.Paper(in.Paper))
			return s.file(file, err, "application/pdf", "report-"+in.ID+"-"+in.Job+".pdf")
		})

	huma.Register(s.api, huma.Operation{OperationID: "filing", Security: readers, Method: http.MethodGet, Path: "/api/filing", Summary: "Reports owed, filed, returned and accepted, by each purveyor's clock"},
		func(ctx context.Context, in *struct {
			Days int `query:"accepted_days" default:"14" minimum:"0" maximum:"400" doc:"accepted reports are shown when filed within so many days"`
		}) (*reply[papers.FilingList], error) {
			b, now := s.cfg.Keeper.Book(), s.cfg.Now()
			cfg := papers.FilingConfig{Office: s.cfg.Office, Settings: s.cfg.Dispatch.Settings(), People: s.cfg.People, Now: now,
				Since: events.DateIn(now, s.cfg.Zone).AddDays(-in.Days)}
			h, err := papers.Read(ctx, s.cfg.Log, papers.FilingNeeds(b, cfg))
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(papers.ListFilings(b, h, cfg)), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "expiries", Security: readers, Method: http.MethodGet, Path: "/api/expiries",
		Summary: "Certificates, registrations, licences and gauges that end, and the visits and jobs they would stop"},
		func(_ context.Context, in *struct {
			Days int `query:"days" default:"45" minimum:"0" maximum:"1000" doc:"how far ahead"`
		}) (*reply[papers.Expiries], error) {
			return answer(papers.ListExpiries(s.cfg.Keeper.Book(), papers.ExpiryConfig{Office: s.cfg.Office, People: s.cfg.People,
				Today: events.DateIn(s.cfg.Now(), s.cfg.Zone), Days: in.Days, Proposed: s.cfg.Dispatch.Proposed()})), nil
		})

	s.invoicingRoute()
	s.calendarRoutes()
}

func (s *Server) invoicingRoute() {
	huma.Register(s.api, huma.Operation{OperationID: "invoicing", Security: readers, Method: http.MethodGet, Path: "/api/invoicing.csv", Summary: "Work done between two days, both included, for invoices"},
		func(ctx context.Context, in *struct {
			From events.Date `query:"from" format:"date" required:"true"`
			To   events.Date `query:"to" format:"date" required:"true"`
		}) (*huma.StreamResponse, error) {
			if in.To.Before(in.From) {
				return nil, s.fail(&events.Refusal{Words: "The last day lies before the first."})
			}
			b := s.cfg.Keeper.Book()
			cfg := papers.InvoiceConfig{Office: s.cfg.Office, People: s.cfg.People, From: in.From, To: in.To}
			h, err := papers.Read(ctx, s.cfg.Log, papers.InvoiceNeeds(b, cfg))
			if err != nil {
				return nil, s.fail(err)
			}
			var out bytes.Buffer
			err = sheet.WriteCSV(&out, papers.InvoiceRows(papers.Invoicing(b, h, cfg)))
			return s.file(out.Bytes(), err, "text/csv; charset=utf-8", "invoicing-"+in.From.String()+"-to-"+in.To.String()+".csv")
		})
}

func (s *Server) calendarRoutes() {
	config := func() papers.CalendarConfig {
		return papers.CalendarConfig{Office: s.cfg.Office, Firm: s.cfg.Name, People: s.cfg.People, Now: s.cfg.Now()}
	}
	huma.Register(s.api, huma.Operation{OperationID: "crew-calendar", Security: readers, Method: http.MethodGet, Path: "/api/calendars/crews/{crew}.ics", Summary: "A crew's sent-out visits as iCalendar"},
		func(_ context.Context, in *struct {
			Crew string `path:"crew"`
		}) (*huma.StreamResponse, error) {
			b, cfg := s.cfg.Keeper.Book(), config()
			list, err := papers.CrewPromises(b, cfg, events.CrewID(in.Crew))
			if err != nil {
				return nil, s.fail(err)
			}
			return s.file([]byte(papers.Calendar(list, b.Crews[events.CrewID(in.Crew)].Name, cfg.Now)), nil, "text/calendar; charset=utf-8", "crew-"+in.Crew+".ics")
		})
	huma.Register(s.api, huma.Operation{OperationID: "agreed-calendar", Security: readers, Method: http.MethodGet, Path: "/api/calendars/agreed.ics", Summary: "Times agreed with sites as iCalendar"},
		func(context.Context, *struct{}) (*huma.StreamResponse, error) {
			cfg := config()
			return s.file([]byte(papers.Calendar(papers.AgreedPromises(s.cfg.Keeper.Book(), cfg), "Agreed times", cfg.Now)), nil,
				"text/calendar; charset=utf-8", "agreed-times.ics")
		})
	huma.Register(s.api, huma.Operation{OperationID: "site-hours-calendar", Security: readers, Method: http.MethodGet, Path: "/api/calendars/sites/{site}.ics",
		Summary: "The access hours of a site and the shutdown windows of its feeds as iCalendar, worked out for two years"},
		func(_ context.Context, in *struct {
			Site string `path:"site"`
		}) (*huma.StreamResponse, error) {
			b, cfg := s.cfg.Keeper.Book(), config()
			list, err := papers.SiteHours(b, cfg, events.SiteID(in.Site))
			if err != nil {
				return nil, s.fail(err)
			}
			return s.file([]byte(papers.HoursCalendar(list, "Hours of "+b.Sites[events.SiteID(in.Site)].Name, cfg)), nil, "text/calendar; charset=utf-8", "hours-"+in.Site+".ics")
		})
	huma.Register(s.api, huma.Operation{OperationID: "feed-hours-calendar", Security: readers, Method: http.MethodGet, Path: "/api/calendars/feeds/{feed}.ics",
		Summary: "The shutdown windows of a feed as iCalendar, worked out for two years"},
		func(_ context.Context, in *struct {
			Feed string `path:"feed"`
		}) (*huma.StreamResponse, error) {
			cfg := config()
			windows, err := papers.FeedHours(s.cfg.Keeper.Book(), cfg, events.FeedID(in.Feed))
			if err != nil {
				return nil, s.fail(err)
			}
			return s.file([]byte(papers.HoursCalendar([]papers.OpenHours{windows}, windows.Summary, cfg)), nil, "text/calendar; charset=utf-8", "water-off-"+in.Feed+".ics")
		})
}

// report reads the histories that a report is made from: the assembly's first, which names gauges and people.
func (s *Server) report(ctx context.Context, ref events.JobRef) (papers.Report, error) {
	b := s.cfg.Keeper.Book()
	if a := b.Assemblies[ref.Assembly]; a == nil || a.Office != s.cfg.Office || a.Job(ref.Job) == nil {
		return papers.Report{}, huma.Error404NotFound("There is no job " + string(ref.Job) + " of an assembly " + string(ref.Assembly) + " on record.")
	}
	h := papers.Histories{}
	for range 2 {
		var err error
		if h, err = papers.Read(ctx, s.cfg.Log, papers.ReportNeeds(b, h, ref)); err != nil {
			return papers.Report{}, s.fail(err)
		}
	}
	r, err := papers.ReportOf(b, h, papers.ReportConfig{Firm: s.cfg.Name, People: s.cfg.People, Now: s.cfg.Now()}, ref)
	if err != nil {
		return papers.Report{}, s.fail(err)
	}
	return r, nil
}

// file answers with a file, which browsers neither keep nor pass on.
func (s *Server) file(content []byte, err error, kind, name string) (*huma.StreamResponse, error) {
	if err != nil {
		return nil, s.fail(err)
	}
	return &huma.StreamResponse{Body: func(ctx huma.Context) {
		ctx.SetHeader("Content-Type", kind)
		show := "inline"
		if strings.HasPrefix(kind, "text/") {
			show = "attachment" // for a spreadsheet or calendar program, not for the browser's window
		}
		ctx.SetHeader("Content-Disposition", show+`; filename="`+name+`"`)
		ctx.SetHeader("Cache-Control", "private, no-store")
		if _, err := ctx.BodyWriter().Write(content); err != nil {
			s.log.Debug("the browser went away")
		}
	}}, nil
}
