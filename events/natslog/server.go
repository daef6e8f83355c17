package natslog

import (
	"fmt"
	"sync"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"go.uber.org/zap"

	"valveround/events"
)

// Limits of the embedded server. Disk room is watched by the store itself (Config.ReserveBytes), so the server's
// own limit, three quarters of what is free at start unless set, is put out of the way.
const (
	serverMaxStore   = 1 << 50
	serverMaxMemory  = 256 << 20
	batchesInFlight  = 50
	batchOpenTimeout = 10 * time.Second
)

// startServer runs a JetStream server inside this process: no port, no signals, every write synced before it is
// acknowledged (the server's default syncs every two minutes and would lose acknowledged events on a power cut).
func startServer(dir string, cfg Config) (*server.Server, error) {
	options := &server.Options{
		ServerName:             "valveround",
		DontListen:             true,
		NoSigs:                 true,
		MaxPayload:             int32(cfg.MaxPayload),
		MaxPending:             256 << 20,
		JetStream:              true,
		StoreDir:               dir,
		SyncAlways:             true,
		JetStreamMaxStore:      serverMaxStore,
		JetStreamMaxMemory:     serverMaxMemory,
		DisableJetStreamBanner: true,
		JetStreamLimits: server.JSLimitOpts{
			MaxBatchSize:              events.MaxBatch,
			MaxBatchInflightPerStream: batchesInFlight,
			MaxBatchInflightTotal:     batchesInFlight,
			MaxBatchTimeout:           batchOpenTimeout,
			Duplicates:                duplicateWindow,
		},
	}
	s, err := server.NewServer(options)
	if err != nil {
		return nil, fmt.Errorf("start the embedded log server: %w", err)
	}
	logger := &serverLogger{log: cfg.Logger.Named("nats").Sugar()}
	s.SetLoggerV2(logger, false, false, false)
	go s.Start()
	if !s.ReadyForConnections(cfg.StartTimeout) || !s.JetStreamEnabled() {
		s.Shutdown()
		s.WaitForShutdown()
		return nil, fmt.Errorf("start the embedded log server in %s: not ready within %v: %s", dir, cfg.StartTimeout, logger.fault())
	}
	return s, nil
}

// serverLogger passes the server's words to zap. A fatal word of the server does not end the process:
// Open returns it.
type serverLogger struct {
	log   *zap.SugaredLogger
	mu    sync.Mutex
	fatal string
}

func (l *serverLogger) Noticef(format string, v ...any) { l.log.Debugf(format, v...) }
func (l *serverLogger) Warnf(format string, v ...any)   { l.log.Warnf(format, v...) }
func (l *serverLogger) Errorf(format string, v ...any)  { l.log.Errorf(format, v...) }
func (l *serverLogger) Debugf(format string, v ...any)  { l.log.Debugf(format, v...) }
func (l *serverLogger) Tracef(string, ...any)           {}

func (l *serverLogger) Fatalf(format string, v ...any) {
	l.log.Errorf(format, v...)
	l.mu.Lock()
	defer l.mu.Unlock()
	l.fatal = fmt.Sprintf(format, v...)
}

func (l *serverLogger) fault() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.fatal == "" {
		return "no reason given"
	}
	return l.fatal
}
