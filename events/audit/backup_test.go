package audit_test

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"valveround/events"
	"valveround/events/audit"
	"valveround/events/keeper"
)

// folded is the digest of the book that a log folds to.
func folded(t *testing.T, log events.Log) events.Hash {
	t.Helper()
	book := events.NewBook()
	if err := log.Read(t.Context(), 1, func(r events.Record) error { book.Apply(r); return nil }); err != nil {
		t.Fatal(err)
	}
	return book.Digest()
}

func TestBackupAndRestore(t *testing.T) {
	log := filled(t, t.TempDir(), 30)
	for i := range 5 {
		if err := log.Put(t.Context(), fmt.Sprintf("p-%d", i), []byte(fmt.Sprintf(`{"name":"Zoë %d","phone":"555-01%02d"}`, i, i))); err != nil {
			t.Fatal(err)
		}
	}
	paper, err := log.PutBlob(t.Context(), []byte("a signed report"))
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	made, err := audit.Backup(t.Context(), log, log, log, noon, &file)
	if err != nil {
		t.Fatal(err)
	}
	if made.Records != 90 || made.People != 5 || made.Blobs != 1 {
		t.Errorf("the backup holds %+v", made)
	}
	into := openLog(t, t.TempDir())
	restored, err := audit.Restore(t.Context(), bytes.NewReader(file.Bytes()), int64(file.Len()), into, into, into)
	if err != nil {
		t.Fatal(err)
	}
	if restored != made {
		t.Errorf("restored %+v, backed up %+v", restored, made)
	}
	if folded(t, into) != folded(t, log) {
		t.Error("the restored log folds to another book")
	}
	if text, err := into.Get(t.Context(), "p-3"); err != nil || !strings.Contains(string(text), "Zoë 3") {
		t.Errorf("the details of p-3 are %s, %v", text, err)
	}
	if data, err := into.Blob(t.Context(), paper); err != nil || string(data) != "a signed report" {
		t.Errorf("the attachment is %q, %v", data, err)
	}
	if _, err := audit.Restore(t.Context(), bytes.NewReader(file.Bytes()), int64(file.Len()), into, into, into); !errors.Is(err, audit.ErrNotEmpty) {
		t.Errorf("restoring into a log that is not empty: %v", err)
	}
}

// TestBackupWhileWriting: the log goes on while it is copied; the copy is whole and holds what was there when it began.
func TestBackupWhileWriting(t *testing.T) {
	log := filled(t, t.TempDir(), 50)
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = k.Close() }()
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		for n := 0; ctx.Err() == nil && n < 5000; n++ {
			_, _ = k.Do(ctx, events.Command{ID: events.CommandID{7, byte(n >> 8), byte(n)}, Actor: "p", Office: "north", Happened: noon,
				Do: events.Put[events.SiteFacts]{ID: fmt.Sprintf("s-%d", n%50), Facts: events.SiteFacts{Name: fmt.Sprint("again ", n)}}})
		}
	}()
	for range 3 {
		before := k.Position()
		var file bytes.Buffer
		made, err := audit.Backup(t.Context(), log, log, log, noon, &file)
		if err != nil {
			t.Fatal(err)
		}
		if made.Last < before {
			t.Errorf("the backup ends at %d, the log was at %d when it began", made.Last, before)
		}
		if _, err := audit.VerifyBackup(bytes.NewReader(file.Bytes()), int64(file.Len())); err != nil {
			t.Error(err)
		}
	}
	stop()
	<-done
}

// smallBackup is of a log with events, a person's details and an attachment.
func smallBackup(t *testing.T) []byte {
	t.Helper()
	log := filled(t, t.TempDir(), 10)
	if _, err := log.PutBlob(t.Context(), []byte("a signed report")); err != nil {
		t.Fatal(err)
	}
	if err := log.Put(t.Context(), "p-1", []byte(`{"name":"Zoë","phone":"555-0101"}`)); err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if _, err := audit.Backup(t.Context(), log, log, log, noon, &file); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

// TestBackupByAPlainScript: unzip, sha256sum and a script of another language find a backup whole, one of the restored log
// the same, and one flipped bit anywhere.
func TestBackupByAPlainScript(t *testing.T) {
	for _, tool := range []string{"sh", "unzip", "sha256sum", "python3"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("there is no %s here", tool)
		}
	}
	run := func(backup []byte) (string, error) {
		path := filepath.Join(t.TempDir(), "backup.zip")
		if err := os.WriteFile(path, backup, 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command("sh", "verify-backup.sh", path).Output()
		return string(out), err
	}
	whole := smallBackup(t)
	said, err := run(whole)
	if err != nil || !strings.HasPrefix(said, "records 30 entities ") {
		t.Fatalf("the script says %q, %v", said, err)
	}
	into := openLog(t, t.TempDir())
	if _, err := audit.Restore(t.Context(), bytes.NewReader(whole), int64(len(whole)), into, into, into); err != nil {
		t.Fatal(err)
	}
	var copied bytes.Buffer
	if _, err := audit.Backup(t.Context(), into, into, into, noon, &copied); err != nil {
		t.Fatal(err)
	}
	if again, err := run(copied.Bytes()); err != nil || again != said {
		t.Errorf("of the restored log the script says %q, %v, want %q", again, err, said)
	}
	flips := 0
	damage := func(file string) {
		flipped := rezip(t, whole, func(name, text string) string {
			if !strings.HasPrefix(name, file) {
				return text
			}
			flips++
			bytes := []byte(text)
			bytes[len(bytes)/2] ^= 1
			return string(bytes)
		})
		if out, err := run(flipped); err == nil {
			t.Errorf("a bit flipped in %s is not found: %q", file, out)
		}
		if _, err := audit.VerifyBackup(bytes.NewReader(flipped), int64(len(flipped))); !errors.Is(err, audit.ErrBackup) {
			t.Errorf("a bit flipped in %s: %v", file, err)
		}
	}
	for _, file := range []string{"events.jsonl", "people.jsonl", "blobs/", "SHA256SUMS"} {
		damage(file)
	}
	if flips != 4 {
		t.Errorf("%d files were damaged, want 4", flips)
	}
}

func TestBrokenBackupIsRefused(t *testing.T) {
	whole := smallBackup(t)
	for _, c := range []struct {
		name   string
		damage func(name, text string) string
	}{
		{"a name changed in an event", func(name, text string) string { return strings.Replace(text, "Mill", "Bill", 1) }},
		{"the last event missing", func(name, text string) string {
			if name != "events.jsonl" {
				return text
			}
			lines := strings.SplitAfter(strings.TrimSuffix(text, "\n"), "\n")
			return strings.Join(lines[:len(lines)-1], "")
		}},
		{"a line that is none", func(name, text string) string {
			if name != "events.jsonl" {
				return text
			}
			return text + "{\n"
		}},
		{"a telephone number changed", func(name, text string) string { return strings.Replace(text, "555-0101", "555-0107", 1) }},
		{"a changed attachment", func(name, text string) string { return strings.Replace(text, "a signed report", "another report", 1) }},
		{"another number of attachments said", func(name, text string) string { return strings.Replace(text, `"blobs":1`, `"blobs":2`, 1) }},
		{"another number of records said", func(name, text string) string {
			return strings.Replace(text, `"records":30`, `"records":31`, 1)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			broken := rezip(t, whole, c.damage)
			into := openLog(t, t.TempDir())
			if _, err := audit.Restore(t.Context(), bytes.NewReader(broken), int64(len(broken)), into, into, into); !errors.Is(err, audit.ErrBackup) {
				t.Errorf("got %v, want a refusal", err)
			}
			if last, err := into.Last(t.Context()); err != nil || last != 0 {
				t.Errorf("a refused backup left %d records behind, %v", last, err)
			}
		})
	}
	for _, length := range []int{0, 10, len(whole) / 2, len(whole) - 1} {
		if _, err := audit.VerifyBackup(bytes.NewReader(whole[:length]), int64(length)); !errors.Is(err, audit.ErrBackup) {
			t.Errorf("a backup cut off at %d of %d bytes: %v", length, len(whole), err)
		}
	}
}

func rezip(t *testing.T, whole []byte, damage func(name, text string) string) []byte {
	t.Helper()
	files, err := zip.NewReader(bytes.NewReader(whole), int64(len(whole)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	to := zip.NewWriter(&out)
	for _, f := range files.File {
		from, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(from)
		if err != nil {
			t.Fatal(err)
		}
		file, err := to.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := file.Write([]byte(damage(f.Name, string(text)))); err != nil {
			t.Fatal(err)
		}
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
