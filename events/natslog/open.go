package natslog

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"github.com/nats-io/nats-server/v2/server"
	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"go.uber.org/zap"

	"valveround/events"
)

// Config says where the log lies. Zero values are usable except that Dir or URL must be given.
type Config struct {
	// Dir is the store folder: with the embedded server everything lies in it; with a cluster only the mark and
	// the last position do, and it may be left empty by processes that keep nothing.
	Dir string
	// URL is the address of an external cluster, several parted by commas. Empty: the embedded server.
	URL string
	// Credentials is the path of a NATS credentials file, RootCA that of a certificate authority; for URL only.
	Credentials, RootCA string
	// Create makes the event stream and refuses if there is one. Without it a stream is made only by the embedded
	// server in an empty folder, never in a cluster.
	Create bool
	// Replicas of a new stream. Default 1 embedded, 3 in a cluster.
	Replicas int
	// MaxPayload is the largest record in bytes, body and headers. Default 8 MB.
	MaxPayload int
	// ReserveBytes is the room on the disk below which nothing more is written, so that the server can still
	// work. Default 64 MB; negative: none. It counts for the embedded server.
	ReserveBytes int64
	// PositionEvery is how many records are appended between two notes of the last position. Default 1,000.
	PositionEvery int
	// Timeout bounds each call on the log, StartTimeout the start of the embedded server (which may have to rebuild
	// its index). Defaults 10 s and 5 min.
	Timeout, StartTimeout time.Duration
	// Logger; nil logs nothing.
	Logger *zap.Logger
}

func (c Config) withDefaults() (Config, error) {
	if c.Dir == "" && c.URL == "" {
		return c, errors.New("open the event log: neither a folder nor the address of a cluster was given")
	}
	if c.Replicas == 0 {
		c.Replicas = 1
		if c.URL != "" {
			c.Replicas = 3
		}
	}
	if c.URL == "" && c.Replicas != 1 {
		return c, fmt.Errorf("open the event log: the embedded server holds one copy, not %d", c.Replicas)
	}
	if c.MaxPayload == 0 {
		c.MaxPayload = 8 << 20
	}
	if c.MaxPayload < 1024 || c.MaxPayload > pullBytes {
		return c, fmt.Errorf("open the event log: the largest record must have 1 kB to 64 MB, not %d bytes", c.MaxPayload)
	}
	if c.ReserveBytes == 0 {
		c.ReserveBytes = 64 << 20
	}
	if c.PositionEvery <= 0 {
		c.PositionEvery = 1000
	}
	if c.Timeout <= 0 {
		c.Timeout = 10 * time.Second
	}
	if c.StartTimeout <= 0 {
		c.StartTimeout = 5 * time.Minute
	}
	if c.Logger == nil {
		c.Logger = zap.NewNop()
	}
	return c, nil
}

func (c Config) kind() string {
	if c.URL != "" {
		return kindCluster
	}
	return kindStandalone
}

// Store is an open event log and the details kept apart from it. It is safe for concurrent use.
type Store struct {
	cfg    Config
	log    *zap.Logger
	folder *folder        // nil when a cluster is used without one
	server *server.Server // nil with a cluster
	conn   *nats.Conn
	js     jetstream.JetStream
	stream jetstream.Stream
	people jetstream.KeyValue
	signIn jetstream.KeyValue
	blobs  jetstream.ObjectStore

	batches sync.Mutex // one atomic batch at a time: the server allows few open ones
	acked   atomic.Uint64
	noted   atomic.Uint64
	note    sync.Mutex // held while the position is written down

	closed  chan struct{} // closed by Close; calls and followers end
	closing sync.Once
}

var (
	_ events.Log         = (*Store)(nil)
	_ events.PeopleStore = (*Store)(nil)
	_ events.BlobStore   = (*Store)(nil)
)

// Open opens the log, and makes it if the config and the place allow that.
func Open(ctx context.Context, cfg Config) (_ *Store, err error) {
	cfg, err = cfg.withDefaults()
	if err != nil {
		return nil, err
	}
	s := &Store{cfg: cfg, log: cfg.Logger, closed: make(chan struct{})}
	defer func() {
		if err != nil {
			_ = s.release()
		}
	}()
	known, err := s.openFolder()
	if err != nil {
		return nil, err
	}
	if s.cfg.URL == "" {
		if err := s.startServer(ctx, known); err != nil {
			return nil, err
		}
	}
	if s.conn, s.js, err = connect(s.cfg, s.server); err != nil {
		return nil, err
	}
	if err := s.openStreams(ctx, known); err != nil {
		return nil, err
	}
	if err := s.comparePositions(ctx); err != nil {
		return nil, err
	}
	return s, nil
}

// openFolder locks the folder and returns its mark, nil when there is no folder or a new one.
func (s *Store) openFolder() (known *mark, err error) {
	if s.cfg.Dir == "" {
		return nil, nil
	}
	if s.folder, err = openFolder(s.cfg.Dir); err != nil {
		return nil, err
	}
	if known, err = s.folder.mark(); err != nil {
		return nil, err
	}
	if known == nil {
		if s.cfg.URL != "" {
			return nil, nil
		}
		// Before the server puts its files into the folder, for a start cut short is finished only in a marked one.
		return &mark{}, s.writeMark(time.Time{})
	}
	if known.Kind != s.cfg.kind() {
		return nil, fmt.Errorf("store folder %s is marked %s and a %s log was asked for: %w; move by backup and restore into a new folder",
			s.cfg.Dir, known.Kind, s.cfg.kind(), ErrOtherKind)
	}
	return known, nil
}

// startServer starts the embedded server, after making its folder if the store is new.
func (s *Store) startServer(ctx context.Context, known *mark) (err error) {
	dir := s.folder.file(serverFolder)
	if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) && known.unfinished() {
		if err := makeServerFolder(ctx, s.folder, s.cfg); err != nil {
			return err
		}
	}
	s.server, err = startServer(dir, s.cfg)
	return err
}

// makeServerFolder makes the streams in a folder aside, which takes its place only when it is whole. A server that is
// killed while it makes a stream leaves one behind that works at the next start and is gone at the one after
// (its settings without their checksum), with all that was written meanwhile.
func makeServerFolder(ctx context.Context, f *folder, cfg Config) error {
	aside := f.file(serverFolder + ".new")
	if err := os.RemoveAll(aside); err != nil { // of an earlier start cut short; nothing was ever written there
		return fmt.Errorf("make the event log: %w", err)
	}
	server, err := startServer(aside, cfg)
	if err != nil {
		return err
	}
	conn, js, err := connect(cfg, server)
	if err == nil {
		_, err = createStreams(ctx, js, cfg)
		conn.Close()
	}
	server.Shutdown()
	server.WaitForShutdown()
	if err == nil {
		err = os.Rename(aside, f.file(serverFolder))
	}
	if err == nil {
		err = syncFolder(f.path)
	}
	if err != nil {
		return fmt.Errorf("make the event log: %w", err)
	}
	return nil
}

// connect reaches the server: the one in this process if there is one, else the cluster.
func connect(cfg Config, inProcess *server.Server) (*nats.Conn, jetstream.JetStream, error) {
	options := []nats.Option{
		nats.Name("valveround"), nats.Timeout(cfg.Timeout), nats.MaxReconnects(-1),
		nats.DisconnectErrHandler(func(_ *nats.Conn, err error) {
			if err != nil {
				cfg.Logger.Warn("lost the connection to the event log", zap.Error(err))
			}
		}),
		nats.ReconnectHandler(func(*nats.Conn) { cfg.Logger.Info("connected to the event log again") }),
		nats.ErrorHandler(func(_ *nats.Conn, _ *nats.Subscription, err error) {
			cfg.Logger.Warn("the connection to the event log reports a fault", zap.Error(err))
		}),
	}
	if inProcess != nil {
		options = append(options, nats.InProcessServer(inProcess))
	}
	if cfg.Credentials != "" {
		options = append(options, nats.UserCredentials(cfg.Credentials))
	}
	if cfg.RootCA != "" {
		options = append(options, nats.RootCAs(cfg.RootCA))
	}
	conn, err := nats.Connect(cfg.URL, options...)
	if err != nil {
		return nil, nil, fmt.Errorf("connect to the event log: %w", err)
	}
	js, err := jetstream.New(conn, jetstream.WithDefaultTimeout(cfg.Timeout))
	if err == nil {
		err = checkServer(conn.ConnectedServerVersion(), conn.MaxPayload(), cfg.MaxPayload)
	}
	if err != nil {
		conn.Close()
		return nil, nil, fmt.Errorf("connect to the event log: %w", err)
	}
	return conn, js, nil
}

// checkServer refuses a server before 2.14.4, which wrongly refused batches over several entities, and one that
// takes smaller messages than we write.
func checkServer(version string, serverMax int64, ourMax int) error {
	var major, minor, patch int
	if _, err := fmt.Sscanf(version, "%d.%d.%d", &major, &minor, &patch); err != nil {
		return fmt.Errorf("server version %q: %w: %w", version, ErrServer, err)
	}
	if (major*1000+minor)*1000+patch < 2_014_004 {
		return fmt.Errorf("server version %s, want 2.14.4 or later: %w", version, ErrServer)
	}
	if serverMax < int64(ourMax) {
		return fmt.Errorf("the server takes messages of %d bytes and the log writes up to %d: %w; raise its max_payload", serverMax, ourMax, ErrServer)
	}
	return nil
}

// openStreams finds the streams. In a cluster it makes them if it was asked to; the embedded server's were made with
// its folder.
func (s *Store) openStreams(ctx context.Context, known *mark) error {
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	var err error
	s.stream, err = patiently(ctx, func(ctx context.Context) (jetstream.Stream, error) { return s.js.Stream(ctx, streamName) })
	switch {
	case errors.Is(err, jetstream.ErrStreamNotFound) && s.cfg.URL != "" && s.cfg.Create && (known == nil || known.unfinished()):
		err = s.createInCluster(ctx)
	case errors.Is(err, jetstream.ErrStreamNotFound):
		err = s.noLog(known)
	case err != nil:
		err = fmt.Errorf("open the event log: %w", err)
	default:
		err = s.adoptStream(known)
	}
	if err != nil {
		return err
	}
	s.people, err = patiently(ctx, func(ctx context.Context) (jetstream.KeyValue, error) { return s.js.KeyValue(ctx, peopleBucket) })
	if err != nil {
		return fmt.Errorf("open the store of personal details: %w", err)
	}
	return errors.Join(s.openSignIn(ctx), s.openBlobs(ctx))
}

// openSignIn finds the bucket of accounts. A log that was made before there were any gets one now.
func (s *Store) openSignIn(ctx context.Context) error {
	var err error
	s.signIn, err = s.js.KeyValue(ctx, signInBucket)
	if errors.Is(err, jetstream.ErrBucketNotFound) {
		if _, err = s.js.CreateOrUpdateStream(ctx, signInStreamConfig(s.stream.CachedInfo().Config.Replicas)); err == nil {
			s.signIn, err = s.js.KeyValue(ctx, signInBucket)
		}
	}
	if err != nil {
		return fmt.Errorf("open the store of accounts: %w", err)
	}
	return nil
}

// openBlobs finds the bucket of attachments. A log that was made before there were any gets one now.
func (s *Store) openBlobs(ctx context.Context) error {
	var err error
	find := func(ctx context.Context) (jetstream.ObjectStore, error) { return s.js.ObjectStore(ctx, blobBucket) }
	s.blobs, err = patiently(ctx, find)
	if errors.Is(err, jetstream.ErrBucketNotFound) {
		if _, err = createStream(ctx, s.js, blobStreamConfig(s.stream.CachedInfo().Config.Replicas)); err == nil {
			s.blobs, err = patiently(ctx, find)
		}
	}
	if err != nil {
		return fmt.Errorf("open the store of attachments: %w", err)
	}
	return nil
}

// noLog says that the event stream is not there, and whether it ever was.
func (s *Store) noLog(known *mark) error {
	where := "the cluster " + s.cfg.URL
	if s.cfg.URL == "" {
		where = "the store folder " + s.cfg.Dir
	}
	if known == nil || known.unfinished() {
		return fmt.Errorf("%s: %w; make one with init", where, ErrNoLog)
	}
	return fmt.Errorf("%s had an event log made %s, and it is gone: %w; restore a backup into a new folder",
		where, known.Created.Format(time.RFC3339), ErrNoLog)
}

func (s *Store) createInCluster(ctx context.Context) (err error) {
	if err := s.writeMark(time.Time{}); err != nil {
		return err
	}
	if s.stream, err = createStreams(ctx, s.js, s.cfg); err != nil {
		return err
	}
	return s.writeMark(s.stream.CachedInfo().Created)
}

// createStream makes one stream; one that is there with the same settings is as good.
func createStream(ctx context.Context, js jetstream.JetStream, cfg jetstream.StreamConfig) (jetstream.Stream, error) {
	return patiently(ctx, func(ctx context.Context) (jetstream.Stream, error) { return js.CreateStream(ctx, cfg) })
}

// createStreams makes all streams, the log's last: once the event stream is there, everything is.
func createStreams(ctx context.Context, js jetstream.JetStream, cfg Config) (jetstream.Stream, error) {
	if _, err := createStream(ctx, js, peopleStreamConfig(cfg.Replicas)); err != nil {
		return nil, fmt.Errorf("make the store of personal details: %w", err)
	}
	if _, err := createStream(ctx, js, signInStreamConfig(cfg.Replicas)); err != nil {
		return nil, fmt.Errorf("make the store of accounts: %w", err)
	}
	if _, err := createStream(ctx, js, blobStreamConfig(cfg.Replicas)); err != nil {
		return nil, fmt.Errorf("make the store of attachments: %w", err)
	}
	stream, err := createStream(ctx, js, eventStream(cfg.Replicas, cfg.MaxPayload))
	if err != nil {
		return nil, fmt.Errorf("make the event log: %w", err)
	}
	return stream, nil
}

// adoptStream checks that the stream found is ours and the one the folder knows.
func (s *Store) adoptStream(known *mark) error {
	info := s.stream.CachedInfo()
	if err := checkStream(info.Config); err != nil {
		return err
	}
	switch {
	case known != nil && known.unfinished(): // a start cut short after the stream was made
		if s.cfg.URL == "" && info.State.LastSeq > 0 {
			return fmt.Errorf("store folder %s: its log was never finished but holds %d records: %w", s.cfg.Dir, info.State.LastSeq, ErrOtherLog)
		}
		return s.writeMark(info.Created)
	case s.cfg.Create:
		return fmt.Errorf("made %s, %d records: %w", info.Created.Format(time.RFC3339), info.State.LastSeq, ErrAlreadyThere)
	case known == nil:
		return s.writeMark(info.Created)
	case known.Stream != info.Config.Name || !known.Created.Equal(info.Created):
		return fmt.Errorf("store folder %s knows log %q made %s, found %q made %s: %w", s.cfg.Dir,
			known.Stream, known.Created.Format(time.RFC3339Nano), info.Config.Name, info.Created.Format(time.RFC3339Nano), ErrOtherLog)
	}
	return nil
}

// checkStream refuses a stream whose settings would break a promise of the log.
func checkStream(c jetstream.StreamConfig) error {
	var faults []error
	want := func(ok bool, words string) {
		if !ok {
			faults = append(faults, fmt.Errorf("stream %s: %s: %w", c.Name, words, ErrServer))
		}
	}
	want(len(c.Subjects) == 1 && c.Subjects[0] == storedSubjects, "must hold exactly the subjects "+storedSubjects)
	want(c.AllowAtomicPublish, "must allow atomic batches")
	want(c.AllowDirect, "must allow direct reads")
	want(c.DenyDelete && c.DenyPurge, "must deny delete and purge")
	want(c.Storage == jetstream.FileStorage, "must lie on disk")
	want(c.Retention == jetstream.LimitsPolicy && c.MaxAge == 0 && c.MaxMsgs <= 0 && c.MaxBytes <= 0 && c.MaxMsgsPerSubject <= 0,
		"must keep everything")
	want(!c.NoAck && c.PersistMode == jetstream.DefaultPersistMode, "must acknowledge only what is stored")
	return errors.Join(faults...)
}

func (s *Store) writeMark(created time.Time) error {
	if s.folder == nil {
		return nil
	}
	return s.folder.writeMark(mark{Format: 1, Kind: s.cfg.kind(), Stream: streamName, Created: created})
}

// comparePositions refuses a log that ends before a position that was acknowledged, and reports holes.
func (s *Store) comparePositions(ctx context.Context) error {
	info, err := s.info(ctx)
	if err != nil {
		return err
	}
	state := info.State
	if state.NumDeleted > 0 || state.Lost != nil || state.LastSeq > 0 && state.FirstSeq != 1 {
		s.log.Error("the event log has holes: records were lost; verify it and restore a backup",
			zap.Uint64("first", state.FirstSeq), zap.Uint64("last", state.LastSeq), zap.Int("missing", state.NumDeleted))
	}
	if s.folder != nil {
		known, err := s.folder.position()
		if err != nil {
			return err
		}
		if state.LastSeq < known {
			return fmt.Errorf("store folder %s: the log ends at %d and had reached %d: %w; restore a backup into a new folder",
				s.cfg.Dir, state.LastSeq, known, events.ErrMovedBack)
		}
	}
	s.acked.Store(state.LastSeq)
	if err := s.notePosition(state.LastSeq); err != nil { // a full disk can still be read
		s.log.Warn("the last position was not written down", zap.Error(err))
	}
	return nil
}

// advance remembers an acknowledged position and writes it down now and then.
func (s *Store) advance(seq uint64) {
	for {
		old := s.acked.Load()
		if seq <= old || s.acked.CompareAndSwap(old, seq) {
			break
		}
	}
	if seq < s.noted.Load()+uint64(s.cfg.PositionEvery) || !s.note.TryLock() {
		return
	}
	defer s.note.Unlock()
	if err := s.notePosition(s.acked.Load()); err != nil {
		s.log.Warn("the last position was not written down", zap.Error(err))
	}
}

func (s *Store) notePosition(seq uint64) error {
	s.noted.Store(seq)
	if s.folder == nil || seq == 0 {
		return nil
	}
	return s.folder.writePosition(seq)
}

// Close ends followers, writes the last position down and stops the embedded server.
func (s *Store) Close() error {
	var err error
	s.closing.Do(func() {
		close(s.closed)
		s.note.Lock()
		defer s.note.Unlock()
		if s.acked.Load() > s.noted.Load() {
			err = s.notePosition(s.acked.Load())
		}
		err = errors.Join(err, s.release())
	})
	return err
}

// release gives back whatever Open got hold of, in the reverse order.
func (s *Store) release() error {
	if s.conn != nil {
		s.conn.Close()
	}
	if s.server != nil {
		s.server.Shutdown()
		s.server.WaitForShutdown()
	}
	if s.folder != nil {
		return s.folder.close()
	}
	return nil
}

func (s *Store) isClosed() bool {
	select {
	case <-s.closed:
		return true
	default:
		return false
	}
}

// deadline bounds one call.
func (s *Store) deadline(ctx context.Context) (context.Context, context.CancelFunc) {
	return context.WithTimeout(ctx, s.cfg.Timeout)
}

func (s *Store) info(ctx context.Context) (*jetstream.StreamInfo, error) {
	if s.isClosed() {
		return nil, ErrClosed
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	info, err := patiently(ctx, func(ctx context.Context) (*jetstream.StreamInfo, error) { return s.stream.Info(ctx) })
	if err != nil {
		return nil, fmt.Errorf("ask for the end of the event log: %w: %w", ErrUnavailable, err)
	}
	return info, nil
}
