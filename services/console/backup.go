package console

import (
	"fmt"
	"net/http"
	"os"

	"go.uber.org/zap"

	"valveround/events"
	"valveround/events/audit"
)

// backup answers with a consistent backup of the log and what is kept beside it, made while everything goes on. It is read
// back and verified before a byte of it is sent.
func (s *Server) backup(people events.PeopleStore, blobs events.BlobStore) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		file, err := os.CreateTemp("", "valveround-backup-")
		if err != nil {
			s.backupFailed(w, err)
			return
		}
		defer func() { _ = os.Remove(file.Name()) }() // it holds names and numbers: gone as soon as it is sent
		defer func() { _ = file.Close() }()
		about, err := audit.Backup(r.Context(), s.cfg.Log, people, blobs, s.cfg.Now(), file)
		if err == nil {
			var size int64
			if size, err = file.Seek(0, 2); err == nil {
				_, err = audit.VerifyBackup(file, size)
			}
		}
		if err != nil {
			s.backupFailed(w, err)
			return
		}
		w.Header().Set("Content-Type", "application/zip")
		w.Header().Set("Cache-Control", "no-store")
		w.Header().Set("Content-Disposition", fmt.Sprintf(`attachment; filename="valveround-%s.zip"`, about.Made.Format("20060102-150405")))
		http.ServeContent(w, r, "", about.Made, file)
	}
}

func (s *Server) backupFailed(w http.ResponseWriter, err error) {
	s.log.Error("backup failed", zap.Error(err))
	http.Error(w, "The backup could not be made: "+err.Error(), http.StatusInternalServerError)
}
