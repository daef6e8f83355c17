package natslog_test

import (
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/natslog"
)

// wantRefused checks that a store does not open, for the right reason and in words that name the folder.
func wantRefused(t *testing.T, cfg natslog.Config, want error) {
	t.Helper()
	store, err := natslog.Open(t.Context(), cfg)
	if err == nil {
		_ = store.Close()
	}
	if !errors.Is(err, want) || (cfg.Dir != "" && !errors.Is(want, natslog.ErrAlreadyThere) && !strings.Contains(err.Error(), cfg.Dir)) {
		t.Errorf("Open = %v, want %q with the folder's name", err, want)
	}
}

// filled makes a store with some records in it and returns its closed folder and last position.
func filled(t *testing.T) (string, uint64) {
	t.Helper()
	dir := t.TempDir()
	store := openStore(t, natslog.Config{Dir: dir})
	last := appendSome(t, store, 10)
	if err := store.Close(); err != nil {
		t.Fatal(err)
	}
	return dir, last
}

// appendSome stores n records of one new entity one by one and returns the last position.
func appendSome(t *testing.T, store *natslog.Store, n int) uint64 {
	t.Helper()
	last, err := appendTo(t, store, n)
	if err != nil {
		t.Fatalf("Append: %v", err)
	}
	return last
}

func TestFolderIsMarkedAndLocked(t *testing.T) {
	dir := t.TempDir()
	store := openStore(t, natslog.Config{Dir: dir})
	text, err := os.ReadFile(filepath.Join(dir, "store.json"))
	if err != nil {
		t.Fatal(err)
	}
	var mark struct {
		Kind, Stream string
		Created      time.Time
	}
	if err := json.Unmarshal(text, &mark); err != nil || mark.Kind != "standalone" || mark.Stream == "" || mark.Created.IsZero() {
		t.Errorf("mark = %s, %v", text, err)
	}
	wantRefused(t, natslog.Config{Dir: dir}, natslog.ErrInUse)
	appendSome(t, store, 1) // the refused start did no harm
}

func TestOpenRefuses(t *testing.T) {
	t.Run("no place", func(t *testing.T) {
		if _, err := natslog.Open(t.Context(), natslog.Config{}); err == nil {
			t.Error("Open = nil, want an error")
		}
	})
	t.Run("a folder with other files", func(t *testing.T) {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "letters.txt"), nil, 0o600); err != nil {
			t.Fatal(err)
		}
		wantRefused(t, natslog.Config{Dir: dir}, natslog.ErrNotAStore)
		wantRefused(t, natslog.Config{Dir: dir, Create: true}, natslog.ErrNotAStore)
	})
	t.Run("a store whose mark is gone", func(t *testing.T) {
		dir, _ := filled(t)
		if err := os.Remove(filepath.Join(dir, "store.json")); err != nil {
			t.Fatal(err)
		}
		wantRefused(t, natslog.Config{Dir: dir}, natslog.ErrNotAStore)
	})
	t.Run("a standalone store asked to be a cluster's", func(t *testing.T) {
		dir, _ := filled(t)
		wantRefused(t, natslog.Config{Dir: dir, URL: "nats://127.0.0.1:1"}, natslog.ErrOtherKind)
	})
	t.Run("a cluster's folder asked to be standalone", func(t *testing.T) {
		dir, _ := filled(t)
		editMark(t, dir, "standalone", "cluster")
		wantRefused(t, natslog.Config{Dir: dir}, natslog.ErrOtherKind)
	})
	t.Run("a mark of a later format", func(t *testing.T) {
		dir, _ := filled(t)
		editMark(t, dir, `"format": 1`, `"format": 2`)
		if _, err := natslog.Open(t.Context(), natslog.Config{Dir: dir}); err == nil || !strings.Contains(err.Error(), "format 2") {
			t.Errorf("Open = %v, want a refusal that names the format", err)
		}
	})
	t.Run("a marked folder whose log is gone", func(t *testing.T) {
		dir, _ := filled(t)
		if err := os.RemoveAll(filepath.Join(dir, "nats")); err != nil {
			t.Fatal(err)
		}
		wantRefused(t, natslog.Config{Dir: dir}, natslog.ErrNoLog)
		wantRefused(t, natslog.Config{Dir: dir, Create: true}, natslog.ErrNoLog)
	})
	t.Run("another log in place of the known one", func(t *testing.T) {
		dir, _ := filled(t)
		other, _ := filled(t)
		if err := errors.Join(os.RemoveAll(filepath.Join(dir, "nats")), os.Rename(filepath.Join(other, "nats"), filepath.Join(dir, "nats"))); err != nil {
			t.Fatal(err)
		}
		wantRefused(t, natslog.Config{Dir: dir}, natslog.ErrOtherLog)
	})
	t.Run("init over a log", func(t *testing.T) {
		dir, _ := filled(t)
		wantRefused(t, natslog.Config{Dir: dir, Create: true}, natslog.ErrAlreadyThere)
	})
}

func editMark(t *testing.T, dir, from, to string) {
	t.Helper()
	path := filepath.Join(dir, "store.json")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(text), from, to, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestStartCutShortIsFinished(t *testing.T) {
	t.Run("before the stream was made", func(t *testing.T) {
		dir := t.TempDir()
		store := openStore(t, natslog.Config{Dir: dir})
		_ = store.Close()
		unfinished(t, dir)
		if err := os.RemoveAll(filepath.Join(dir, "nats")); err != nil {
			t.Fatal(err)
		}
		appendSome(t, openStore(t, natslog.Config{Dir: dir}), 1)
	})
	t.Run("while the server's folder was made", func(t *testing.T) {
		dir := t.TempDir()
		unfinished(t, dir)
		half, _ := filled(t)
		stream := filepath.Join(half, "nats", "jetstream", "$G", "streams", "valveround-events")
		if err := errors.Join(os.Remove(filepath.Join(stream, "meta.sum")), os.Rename(filepath.Join(half, "nats"), filepath.Join(dir, "nats.new"))); err != nil {
			t.Fatal(err)
		}
		store := openStore(t, natslog.Config{Dir: dir})
		appendSome(t, store, 1)
		store = reopened(t, store, dir)
		appendSome(t, store, 1)
	})
	t.Run("after the stream was made", func(t *testing.T) {
		dir := t.TempDir()
		store := openStore(t, natslog.Config{Dir: dir})
		_ = store.Close()
		unfinished(t, dir)
		appendSome(t, openStore(t, natslog.Config{Dir: dir, Create: true}), 1)
	})
	t.Run("never with records in it", func(t *testing.T) {
		dir, _ := filled(t)
		unfinished(t, dir)
		wantRefused(t, natslog.Config{Dir: dir}, natslog.ErrOtherLog)
	})
}

// unfinished turns the mark back to what it was before the stream was made.
func unfinished(t *testing.T, dir string) {
	t.Helper()
	text := `{"format": 1, "kind": "standalone", "stream": "valveround-events", "created": "0001-01-01T00:00:00Z"}`
	if err := os.WriteFile(filepath.Join(dir, "store.json"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestLogMovedBackIsRefused(t *testing.T) {
	dir := t.TempDir()
	cfg := natslog.Config{Dir: dir}
	store := openStore(t, cfg)
	appendSome(t, store, 5)
	_ = store.Close()

	// A copy of the whole folder, as a snapshot of the disk would be.
	old := filepath.Join(t.TempDir(), "nats")
	if err := os.CopyFS(old, os.DirFS(filepath.Join(dir, "nats"))); err != nil {
		t.Fatal(err)
	}
	store = openStore(t, cfg)
	appendSome(t, store, 5)
	_ = store.Close()

	// The server's files of yesterday beside today's position.
	if err := errors.Join(os.RemoveAll(filepath.Join(dir, "nats")), os.Rename(old, filepath.Join(dir, "nats"))); err != nil {
		t.Fatal(err)
	}
	wantRefused(t, cfg, events.ErrMovedBack)
}

func TestPositionIsNotedNowAndThen(t *testing.T) {
	dir := t.TempDir()
	store := openStore(t, natslog.Config{Dir: dir, PositionEvery: 10})
	noted := func() string {
		text, _ := os.ReadFile(filepath.Join(dir, "position"))
		return strings.TrimSpace(string(text))
	}
	appendSome(t, store, 9)
	if got := noted(); got != "" {
		t.Errorf("after 9 records the position noted is %q, want none yet", got)
	}
	appendSome(t, store, 3)
	if got := noted(); got != "10" {
		t.Errorf("after 12 records the position noted is %q, want 10", got)
	}
	_ = store.Close()
	if got := noted(); got != "12" {
		t.Errorf("after closing the position noted is %q, want 12", got)
	}
}

func TestClosedStore(t *testing.T) {
	store := openStore(t, natslog.Config{Dir: t.TempDir()})
	appendSome(t, store, 1)
	following := make(chan error, 1)
	started := make(chan struct{})
	go func() {
		following <- store.Follow(t.Context(), 1, func(events.Record) error { close(started); return nil })
	}()
	<-started
	_ = store.Close()
	if err := <-following; !errors.Is(err, natslog.ErrClosed) {
		t.Errorf("Follow = %v, want %v", err, natslog.ErrClosed)
	}
	if _, err := appendTo(t, store, 1); !errors.Is(err, natslog.ErrClosed) {
		t.Errorf("Append = %v, want %v", err, natslog.ErrClosed)
	}
	if _, err := store.Last(t.Context()); !errors.Is(err, natslog.ErrClosed) {
		t.Errorf("Last = %v, want %v", err, natslog.ErrClosed)
	}
}
