package natslog_test

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"testing"

	"valveround/events"
	"valveround/events/natslog"
)

func TestBlobs(t *testing.T) {
	dir := t.TempDir()
	store, err := natslog.Open(t.Context(), natslog.Config{Dir: dir})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = store.Close() }()
	small, large := []byte("a signed report"), bytes.Repeat([]byte("page "), 200_000) // more than one chunk
	kept := map[string][]byte{}
	for _, data := range [][]byte{small, large, small} {
		hash, err := store.PutBlob(t.Context(), data)
		if err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprintf("%x", sha256.Sum256(data)); hash != want {
			t.Errorf("kept under %s, want %s", hash, want)
		}
		kept[hash] = data
	}
	look := func(when string) {
		for hash, data := range kept {
			if got, err := store.Blob(t.Context(), hash); err != nil || !bytes.Equal(got, data) {
				t.Errorf("%s: %d bytes, %v, want %d bytes", when, len(got), err, len(data))
			}
		}
		seen := 0
		err := store.Blobs(t.Context(), func(hash string, data []byte) error {
			seen++
			if !bytes.Equal(data, kept[hash]) {
				t.Errorf("%s: attachment %s has %d bytes", when, hash, len(data))
			}
			return nil
		})
		if err != nil || seen != 2 {
			t.Errorf("%s: %d attachments, %v, want 2", when, seen, err)
		}
	}
	look("at once")
	if err := store.Close(); err != nil {
		t.Fatal(err)
	}
	if store, err = natslog.Open(t.Context(), natslog.Config{Dir: dir}); err != nil {
		t.Fatal(err)
	}
	look("after a restart")
	for _, hash := range []string{"", "xyz", fmt.Sprintf("%064d", 7)} {
		if _, err := store.Blob(t.Context(), hash); !errors.Is(err, events.ErrNoBlob) {
			t.Errorf("attachment %q: %v", hash, err)
		}
	}
	if _, err := store.PutBlob(t.Context(), make([]byte, events.MaxBlobBytes+1)); !errors.Is(err, events.ErrTooLarge) {
		t.Errorf("an attachment that is too large: %v", err)
	}
	if _, err := store.PutBlob(t.Context(), nil); err == nil {
		t.Error("an empty attachment was kept")
	}
}

func TestNoBlobs(t *testing.T) {
	store, err := natslog.Open(t.Context(), natslog.Config{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = store.Close() }()
	if err := store.Blobs(t.Context(), func(string, []byte) error { t.Error("an attachment"); return nil }); err != nil {
		t.Error(err)
	}
}
