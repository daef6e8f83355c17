package console

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"valveround/services/intake/bulk"
)

// BulkView is what an edited file would change.
type BulkView struct {
	bulk.Differences
	Faults []FaultView `json:"faults" doc:"rows that are left out, and why"`
}

// BulkReceipt answers the taking of it.
type BulkReceipt struct {
	Changed  int      `json:"changed" doc:"records entered or mended, those known already included"`
	Refused  []string `json:"refused,omitempty"`
	Position uint64   `json:"position"`
}

// BulkFile is an edited file of one kind of record.
type BulkFile struct {
	Kind    string `path:"kind" enum:"customers,sites,feeds,assemblies,crews,gauges,kits,purveyors"`
	File    string `query:"file" required:"true" doc:"name of the file"`
	RawBody []byte `contentType:"application/octet-stream"`
}

func (s *Server) bulkRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "bulk-file", Security: readers, Method: http.MethodGet, Path: "/api/bulk/{kind}/records.csv",
		Summary: "Every record of a kind as a file for a spreadsheet"},
		func(_ context.Context, in *struct {
			Kind string `path:"kind" enum:"customers,sites,feeds,assemblies,crews,gauges,kits,purveyors"`
		}) (*huma.StreamResponse, error) {
			file, err := bulk.Export(s.cfg.Keeper.Book(), s.cfg.Office, in.Kind)
			if err != nil {
				return nil, s.fail(err)
			}
			return s.file(file, nil, "text/csv; charset=utf-8", in.Kind+".csv")
		})

	huma.Register(s.api, huma.Operation{OperationID: "bulk-read", Security: recorders, Method: http.MethodPost, Path: "/api/bulk/{kind}", MaxBodyBytes: maxBody,
		Summary: "Say what an edited file would change, cell by cell; nothing is taken yet"},
		func(_ context.Context, in *BulkFile) (*reply[BulkView], error) {
			d, err := bulk.Differ(s.cfg.Keeper.Book(), s.cfg.Office, in.Kind, in.File, in.RawBody)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(BulkView{d, faultViews(d.Faults)}), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "bulk-take", Security: recorders, Method: http.MethodPost, Path: "/api/bulk/{kind}/take", MaxBodyBytes: maxBody,
		Summary: "Take the very differences that were seen"},
		func(ctx context.Context, in *struct {
			BulkFile
			CommandID string `query:"command_id" required:"true"`
			Digest    string `query:"digest" required:"true" doc:"of the differences that were seen"`
		}) (*reply[BulkReceipt], error) {
			return s.takeBulk(ctx, in.BulkFile, in.CommandID, in.Digest)
		})
}

func (s *Server) takeBulk(ctx context.Context, in BulkFile, id, digest string) (*reply[BulkReceipt], error) {
	c, err := s.deskCommand(id)
	if err != nil {
		return nil, err
	}
	d, err := bulk.Differ(s.cfg.Keeper.Book(), s.cfg.Office, in.Kind, in.File, in.RawBody)
	if err != nil {
		return nil, s.fail(err)
	}
	if d.Digest != digest {
		return nil, huma.Error409Conflict("The records have changed since you looked at the differences: look again.")
	}
	c.Actor = "office"
	results, err := s.cfg.Keeper.Import(ctx, d.Commands(c), nil)
	if err != nil {
		return nil, s.fail(err)
	}
	receipt := BulkReceipt{Position: s.cfg.Keeper.Position()}
	for _, one := range results {
		if one.Err != nil {
			receipt.Refused = append(receipt.Refused, one.Err.Error())
		} else {
			receipt.Changed++
		}
	}
	return answer(receipt), nil
}
