package console

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"

	"github.com/danielgtaylor/huma/v2"
	"go.uber.org/zap"

	"valveround/events/audit"
)

const backupPath = "/api/log/backup"

func (s *Server) backupRoute() {
	huma.Register(s.api, huma.Operation{OperationID: "backup", Security: administrators, Method: http.MethodGet, Path: backupPath,
		Summary: "A consistent backup of the log and what is kept beside it, as a zip file; accounts and phones are not in it"},
		func(ctx context.Context, _ *struct{}) (*huma.StreamResponse, error) {
			file, about, err := s.backup(ctx)
			if err != nil {
				s.log.Error("backup failed", zap.Error(err))
				return nil, huma.Error500InternalServerError("The backup could not be made: " + err.Error())
			}
			return &huma.StreamResponse{Body: func(ctx huma.Context) {
				defer func() { _ = os.Remove(file.Name()) }() // it holds names and numbers: gone as soon as it is sent
				defer func() { _ = file.Close() }()
				ctx.SetHeader("Content-Type", "application/zip")
				ctx.SetHeader("Content-Disposition", fmt.Sprintf(`attachment; filename="valveround-%s.zip"`, about.Made.Format("20060102-150405")))
				if _, err := io.Copy(ctx.BodyWriter(), file); err != nil {
					s.log.Warn("a backup was not taken to its end", zap.Error(err))
				}
			}}, nil
		})
}

// backup makes a backup while everything goes on. It is read back and verified before a byte of it is sent.
func (s *Server) backup(ctx context.Context) (*os.File, audit.About, error) {
	file, err := os.CreateTemp("", "valveround-backup-")
	if err != nil {
		return nil, audit.About{}, err
	}
	about, err := audit.Backup(ctx, s.cfg.Log, s.cfg.Details, s.cfg.Blobs, s.cfg.Now(), file)
	if err == nil {
		var size int64
		if size, err = file.Seek(0, io.SeekEnd); err == nil {
			_, err = audit.VerifyBackup(file, size)
		}
	}
	if err == nil {
		_, err = file.Seek(0, io.SeekStart)
	}
	if err != nil {
		return nil, about, errors.Join(err, file.Close(), os.Remove(file.Name()))
	}
	return file, about, nil
}
