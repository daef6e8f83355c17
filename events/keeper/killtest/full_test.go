package killtest

import (
	"errors"
	"path/filepath"
	"sync"
	"syscall"
	"testing"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
)

// A disk that fills up under many writers: each gets a clear error, what was acknowledged stays, and with more room the
// work goes on.
func TestFullDisk(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=40m"); err != nil {
		t.Skipf("cannot mount a small disk here: %v", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(disk, syscall.MNT_DETACH) })
	cfg := natslog.Config{Dir: filepath.Join(disk, "store"), ReserveBytes: 16 << 20}
	log, err := natslog.Open(t.Context(), cfg)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() })
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = k.Close() })

	acked := writeUntilFull(t, k)
	if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT, "size=80m"); err != nil {
		t.Fatal(err)
	}
	receipt, err := k.Do(t.Context(), largeNote())
	if err != nil || receipt.Repeated {
		t.Errorf("with more room: %+v, %v", receipt, err)
	}
	_, _ = k.Close(), log.Close()

	f := &folder{path: cfg.Dir, acked: acked}
	log, k = f.open(t)
	t.Cleanup(func() { _, _ = k.Close(), log.Close() })
	for id := range acked {
		if _, known := k.Known(id); !known {
			t.Errorf("command %s was acknowledged and is lost", id)
		}
	}
	t.Logf("%d commands acknowledged before the disk was full", len(acked))
}

// largeNote is a site whose words fill the disk quickly.
func largeNote() events.Command {
	c := command(nil)
	c.Do = events.Put[events.SiteFacts]{ID: "s-" + c.ID.String(), Facts: events.SiteFacts{Access: string(make([]byte, 8<<10))}}
	return c
}

func writeUntilFull(t *testing.T, k *keeper.Keeper) map[events.CommandID]bool {
	acked := map[events.CommandID]bool{}
	var mu sync.Mutex
	var all sync.WaitGroup
	for range workers {
		all.Go(func() {
			for range 10_000 {
				c := largeNote()
				if _, err := k.Do(t.Context(), c); err != nil {
					if !errors.Is(err, natslog.ErrDiskFull) {
						t.Errorf("Do = %v, want %v", err, natslog.ErrDiskFull)
					}
					return
				}
				mu.Lock()
				acked[c.ID] = true
				mu.Unlock()
			}
			t.Error("the small disk does not fill")
		})
	}
	all.Wait()
	return acked
}
