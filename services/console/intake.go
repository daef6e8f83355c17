package console

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"strconv"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/intake"
	"valveround/services/intake/duelist"
	"valveround/services/intake/sheet"
)

// ListInPath is the list that a path names.
type ListInPath struct {
	ID string `path:"id"`
}

func (s *Server) intakeRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "read-list", Security: recorders, Method: http.MethodPost, Path: "/api/intake/lists", MaxBodyBytes: maxBody,
		Summary: "Read a purveyor's due list; nothing is taken in yet"},
		func(ctx context.Context, in *struct {
			File     string      `query:"file" required:"true" doc:"name of the file"`
			Purveyor string      `query:"purveyor" required:"true"`
			AsOf     events.Date `query:"as_of" format:"date" required:"true" doc:"the day the list speaks for"`
			RawBody  []byte      `contentType:"application/octet-stream"`
		}) (*reply[ListView], error) {
			return s.list(s.cfg.Intake.Read(ctx, in.File, in.RawBody, events.PurveyorID(in.Purveyor), in.AsOf))
		})

	huma.Register(s.api, huma.Operation{OperationID: "list", Security: readers, Method: http.MethodGet, Path: "/api/intake/lists/{id}", Summary: "A list that was read"},
		func(_ context.Context, in *ListInPath) (*reply[ListView], error) {
			return s.list(s.cfg.Intake.Look(in.ID))
		})

	huma.Register(s.api, huma.Operation{OperationID: "map-list", Security: recorders, Method: http.MethodPost, Path: "/api/intake/lists/{id}/mapping", Summary: "Change how columns are read"},
		func(_ context.Context, in *struct {
			ListInPath
			Body MappingRequest
		}) (*reply[ListView], error) {
			columns := map[int]duelist.Field{}
			for text, field := range in.Body.Columns {
				col, err := strconv.Atoi(text)
				if err != nil {
					return nil, s.fail(&badRequest{errors.New("columns are numbered from 1: " + text)})
				}
				columns[col] = duelist.Field(field)
			}
			return s.list(s.cfg.Intake.Remap(in.ID, columns, duelist.DateOrder(in.Body.DateOrder)))
		})

	huma.Register(s.api, huma.Operation{OperationID: "take-list", Security: recorders, Method: http.MethodPost, Path: "/api/intake/lists/{id}/take", Summary: "Take a list in"},
		func(ctx context.Context, in *struct {
			ListInPath
			Body TakeRequest
		}) (*reply[ListView], error) {
			id, err := events.ParseCommandID(in.Body.CommandID)
			if err != nil {
				return nil, s.fail(&badRequest{err})
			}
			return s.list(s.cfg.Intake.Take(ctx, in.ID, id, "office"))
		})

	huma.Register(s.api, huma.Operation{OperationID: "rejected-rows", Security: readers, Method: http.MethodGet, Path: "/api/intake/lists/{id}/rejected.csv",
		Summary: "The rows that were not taken, to mend and send again"},
		func(_ context.Context, in *ListInPath) (*huma.StreamResponse, error) {
			var file bytes.Buffer
			if err := s.cfg.Intake.SaveRejected(&file, in.ID); err != nil {
				return nil, s.fail(&badRequest{err})
			}
			return &huma.StreamResponse{Body: func(ctx huma.Context) {
				ctx.SetHeader("Content-Type", "text/csv; charset=utf-8")
				ctx.SetHeader("Content-Disposition", `attachment; filename="rejected-rows.csv"`)
				if _, err := ctx.BodyWriter().Write(file.Bytes()); err != nil {
					s.log.Debug("the browser went away")
				}
			}}, nil
		})
}

// list answers with a list, or with what is wrong with the file in the user's words.
func (s *Server) list(p intake.Preview, err error) (*reply[ListView], error) {
	switch {
	case err == nil:
		return answer(listView(p)), nil
	case errors.Is(err, intake.ErrNoList):
		return nil, huma.Error404NotFound(sentence(err))
	case errors.Is(err, context.Canceled):
		return nil, s.fail(err)
	}
	return nil, s.fail(&badRequest{err})
}

// shownRows is how many rows of a list a page shows.
const shownRows = 500

func listView(p intake.Preview) ListView {
	v := ListView{ID: p.ID, File: p.File, Sheet: p.Sheet, Purveyor: string(p.Purveyor), AsOf: p.AsOf, DateOrder: string(p.Result.DateOrder), Saved: p.Saved,
		Taken: p.Taken, Counts: map[string]int{}, Columns: []ColumnView{}, Fields: []FieldView{}, Rows: []ListRowView{}, Missing: []string{},
		Rejected: append(faultViews(p.Result.Rejected), faultViews(p.Refused)...), Warnings: faultViews(p.Result.Warnings), Skipped: []FaultView{}}
	for _, f := range duelist.Fields() {
		v.Fields = append(v.Fields, FieldView{string(f), intake.FieldName(f)})
	}
	for _, c := range p.Mapping.Columns {
		v.Columns = append(v.Columns, ColumnView{Index: c.Col, Header: c.Header, Field: string(c.Field), Sure: string(c.Sure), Why: c.Why, Samples: p.Samples[c.Col]})
	}
	for _, q := range p.Questions {
		v.Questions = append(v.Questions, QuestionView{Key: q.Key, Text: q.Text, Columns: q.Columns, Choices: q.Choices})
	}
	for action, n := range p.Proposal.Counts {
		v.Counts[action] = n
	}
	v.Counts["rejected"] = len(p.Result.Rejected)
	for _, r := range p.Proposal.Rows[:min(shownRows, len(p.Proposal.Rows))] {
		v.Rows = append(v.Rows, ListRowView{Row: r.Row.Line(), Action: string(r.Action), Words: r.Words, Assembly: string(r.Assembly),
			Number: r.Row.Number, Address: r.Row.Address, Due: r.Due, Differs: r.Differs})
	}
	for _, m := range p.Proposal.Missing {
		v.Missing = append(v.Missing, m.String())
	}
	for _, w := range p.Proposal.Warnings {
		v.Warnings = append(v.Warnings, FaultView{Problem: w})
	}
	for _, x := range p.Result.Skipped {
		v.Skipped = append(v.Skipped, FaultView{Row: x.Row, Problem: x.Why, Value: x.Text})
	}
	return v
}

func faultViews(faults []sheet.Fault) []FaultView {
	list := []FaultView{}
	for _, f := range faults {
		list = append(list, FaultView{File: f.File, Sheet: f.Sheet, Row: f.Row, Col: f.Col, Column: f.Column, Value: f.Value, Problem: f.Problem,
			WhatToDo: f.WhatToDo, Question: f.Question})
	}
	return list
}
