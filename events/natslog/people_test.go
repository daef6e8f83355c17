package natslog_test

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"valveround/events"
	"valveround/events/natslog"
)

func TestPeople(t *testing.T) {
	dir := t.TempDir()
	store := openStore(t, natslog.Config{Dir: dir})
	ctx := t.Context()
	put := func(key, details string) {
		t.Helper()
		if err := store.Put(ctx, key, []byte(details)); err != nil {
			t.Fatalf("Put(%s): %v", key, err)
		}
	}
	want := func(key, details string) {
		t.Helper()
		got, err := store.Get(ctx, key)
		if err != nil || string(got) != details {
			t.Errorf("Get(%s) = %q, %v, want %q", key, got, err, details)
		}
	}
	want("p-1", "")
	put("p-1", `{"name":"Ada Tester"}`)
	put("p-2", `{"name":"Bo"}`)
	put("p-2", `{"name":"Bo Fitter"}`)
	want("p-1", `{"name":"Ada Tester"}`)
	want("p-2", `{"name":"Bo Fitter"}`)

	if fileHolding(t, dir, "Ada Tester") == "" {
		t.Error("no file holds the name yet: the check below would show nothing")
	}
	if err := store.Forget(ctx, "p-1"); err != nil {
		t.Fatalf("Forget: %v", err)
	}
	if err := store.Forget(ctx, "p-1"); err != nil {
		t.Errorf("Forget again: %v", err)
	}
	want("p-1", "")
	all := map[string]string{}
	err := store.All(ctx, func(key string, details []byte) error { all[key] = string(details); return nil })
	if err != nil || !reflect.DeepEqual(all, map[string]string{"p-2": `{"name":"Bo Fitter"}`}) {
		t.Errorf("All = %v, %v", all, err)
	}
	stop := errors.New("enough")
	if err := store.All(ctx, func(string, []byte) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("All = %v, want the caller's error", err)
	}

	for _, bad := range []string{"", "a.b", "Ann Lee"} {
		if err := store.Put(ctx, bad, nil); !errors.Is(err, events.ErrBadID) {
			t.Errorf("Put(%q) = %v, want %v", bad, err, events.ErrBadID)
		}
	}
	if err := store.Put(ctx, "p-3", make([]byte, 64<<10)); !errors.Is(err, events.ErrTooLarge) {
		t.Errorf("Put(64 kB) = %v, want %v", err, events.ErrTooLarge)
	}

	store = reopened(t, store, dir)
	want("p-1", "")
	want("p-2", `{"name":"Bo Fitter"}`)
	if last, err := store.Last(ctx); err != nil || last != 0 {
		t.Errorf("Last = %d, %v: details must not be in the log", last, err)
	}
	if file := fileHolding(t, dir, "Ada Tester"); file != "" {
		t.Errorf("%s still holds the forgotten name", file)
	}
}

func reopened(t *testing.T, store *natslog.Store, dir string) *natslog.Store {
	t.Helper()
	if err := store.Close(); err != nil {
		t.Fatalf("Close: %v", err)
	}
	return openStore(t, natslog.Config{Dir: dir})
}

// fileHolding names a file below the folder that contains the text.
func fileHolding(t *testing.T, dir, text string) (found string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		content, err := os.ReadFile(path)
		if bytes.Contains(content, []byte(text)) {
			found = path
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}
