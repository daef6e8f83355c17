package natslog_test

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"go.uber.org/zap"

	"valveround/events"
	"valveround/events/natslog"
)

// smallDisk mounts a disk in memory; it needs the right to mount.
func smallDisk(t *testing.T, megabytes string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+megabytes+"m"); err != nil {
		t.Skipf("cannot mount a small disk here: %v", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) })
	return dir
}

// fill appends until the log says no, and returns the last position acknowledged.
func fill(t *testing.T, store *natslog.Store, batch int) (acked uint64, err error) {
	t.Helper()
	for range 5000 {
		records := make([]events.Append, batch)
		for i := range records {
			records[i] = events.Append{Record: sealed(newEntity(events.KindAssembly), "registered", 16<<10)}
		}
		last, err := store.Append(t.Context(), records)
		if err != nil {
			return acked, err
		}
		acked = last
	}
	t.Fatal("the small disk does not fill")
	return 0, nil
}

// wantAll checks that every position up to the acknowledged one can be read.
func wantAll(t *testing.T, store *natslog.Store, acked uint64) {
	t.Helper()
	next := uint64(1)
	err := store.Read(t.Context(), 1, func(r events.Record) error {
		if r.Seq != next {
			t.Errorf("position %d is followed by %d", next-1, r.Seq)
		}
		next = r.Seq + 1
		return nil
	})
	if err != nil || next <= acked {
		t.Errorf("read up to %d, %v, want at least the acknowledged %d", next-1, err, acked)
	}
}

func TestNearlyFullDiskRefusesToWriteAndStillReads(t *testing.T) {
	for name, batch := range map[string]int{"one by one": 1, "in batches": 20} {
		t.Run(name, func(t *testing.T) {
			dir := smallDisk(t, "64")
			store := openStore(t, natslog.Config{Dir: filepath.Join(dir, "store"), ReserveBytes: 24 << 20, Logger: zap.NewNop()})
			acked, err := fill(t, store, batch)
			if !errors.Is(err, natslog.ErrDiskFull) {
				t.Fatalf("Append = %v, want %v", err, natslog.ErrDiskFull)
			}
			wantAll(t, store, acked)
			if err := store.Put(t.Context(), "p-1", []byte("{}")); !errors.Is(err, natslog.ErrDiskFull) {
				t.Errorf("Put = %v, want %v", err, natslog.ErrDiskFull)
			}
			// With more room it goes on without a restart.
			if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, "size=128m"); err != nil {
				t.Fatal(err)
			}
			wantAll(t, store, appendSome(t, store, 5))
		})
	}
}

func TestFullDiskLosesNothingAcknowledged(t *testing.T) {
	for name, batch := range map[string]int{"one by one": 1, "in batches": 20} {
		t.Run(name, func(t *testing.T) {
			dir := smallDisk(t, "48")
			cfg := natslog.Config{Dir: filepath.Join(dir, "store"), ReserveBytes: -1, Timeout: 3e9, Logger: zap.NewNop()}
			store := openStore(t, cfg)
			acked, err := fill(t, store, batch)
			if !errors.Is(err, natslog.ErrDiskFull) && !errors.Is(err, natslog.ErrUnavailable) {
				t.Fatalf("Append = %v, want %v or %v", err, natslog.ErrDiskFull, natslog.ErrUnavailable)
			}
			t.Logf("full after position %d: %v", acked, err)
			_ = store.Close() // the position may not be writable
			if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, "size=128m"); err != nil {
				t.Fatal(err)
			}
			store = openStore(t, cfg)
			wantAll(t, store, acked)
			wantAll(t, store, appendSome(t, store, 5))
		})
	}
}

func TestReadOnlyDiskIsRefusedInWords(t *testing.T) {
	dir := smallDisk(t, "16")
	if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("cannot mount read-only here: %v", err)
	}
	_, err := natslog.Open(t.Context(), natslog.Config{Dir: filepath.Join(dir, "store")})
	if !errors.Is(err, os.ErrPermission) && !errors.Is(err, syscall.EROFS) {
		t.Errorf("Open = %v, want a refusal because the disk is read-only", err)
	}
}
