package natslog_test

import (
	"testing"

	"go.uber.org/zap"
	"go.uber.org/zap/zaptest"

	"valveround/events"
	"valveround/events/logtest"
	"valveround/events/natslog"
)

// openStore opens a store and closes it when the test ends.
func openStore(t testing.TB, cfg natslog.Config) *natslog.Store {
	t.Helper()
	if cfg.Logger == nil {
		cfg.Logger = zaptest.NewLogger(t, zaptest.Level(zap.WarnLevel))
	}
	store, err := natslog.Open(t.Context(), cfg)
	if err != nil {
		t.Fatalf("Open: %v", err)
	}
	t.Cleanup(func() {
		if err := store.Close(); err != nil {
			t.Errorf("Close: %v", err)
		}
	})
	return store
}

func TestContractEmbedded(t *testing.T) {
	logtest.Run(t, func(t *testing.T) (events.Log, func() events.Log) {
		cfg := natslog.Config{Dir: t.TempDir()}
		store := openStore(t, cfg)
		return store, func() events.Log {
			if err := store.Close(); err != nil {
				t.Fatalf("Close: %v", err)
			}
			return openStore(t, cfg)
		}
	})
}
