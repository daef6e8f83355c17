package keeper

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"sync"
	"time"

	"go.uber.org/zap"

	"valveround/events"
)

// Config says what a keeper works on.
type Config struct {
	Log events.Log
	// Now is the clock for an event's recorded time. Default time.Now.
	Now func() time.Time
	// Progress is called now and then while the log is replayed at start, and once at the end.
	Progress func(position, last uint64)
	// Attempts is how often a command that loses races against other processes is tried. Default 50.
	Attempts int
	// Timeout bounds a command or one hundred of an import. Default 30 s.
	Timeout time.Duration
	// Logger; nil logs nothing.
	Logger *zap.Logger
}

func (c Config) withDefaults() (Config, error) {
	if c.Log == nil {
		return c, errors.New("open the keeper: no log was given")
	}
	if c.Now == nil {
		c.Now = time.Now
	}
	if c.Progress == nil {
		c.Progress = func(uint64, uint64) {}
	}
	if c.Attempts <= 0 {
		c.Attempts = 50
	}
	if c.Timeout <= 0 {
		c.Timeout = 30 * time.Second
	}
	if c.Logger == nil {
		c.Logger = zap.NewNop()
	}
	return c, nil
}

// ErrClosed: the keeper was closed, or the log ended under it.
var ErrClosed = errors.New("the book is no longer kept")

// Keeper keeps the book. It is safe for concurrent use.
type Keeper struct {
	cfg   Config
	log   *zap.Logger
	turns turns // whose turn it is to write to an entity

	mu       sync.RWMutex // guards what follows
	book     *events.Book // the live one: applied to under the write lock only
	position uint64       // of the newest record folded
	snapshot *events.Book // of the live book at its position; nil until asked for
	voided   map[uint64]bool
	waiting  []waiter
	stats    Stats

	watchers watchers

	stop    context.CancelFunc
	done    chan struct{} // closed when folding has ended
	failure error         // why folding ended; read after done
}

// Stats counts what the fold has met.
type Stats struct {
	Position uint64         // of the newest record folded
	Records  uint64         // folded, of whatever sort
	Void     uint64         // records that had lost a race
	Missing  uint64         // positions that the log did not hold
	Unknown  map[string]int // records this code cannot read, by kind, name and version
}

// Open replays the log into a new book and goes on following it until Close.
func Open(ctx context.Context, cfg Config) (*Keeper, error) {
	cfg, err := cfg.withDefaults()
	if err != nil {
		return nil, err
	}
	k := &Keeper{
		cfg: cfg, log: cfg.Logger, book: events.NewBook(), voided: map[uint64]bool{},
		stats: Stats{Unknown: map[string]int{}}, done: make(chan struct{}),
	}
	if err := k.replay(ctx); err != nil {
		return nil, err
	}
	following, stop := context.WithCancel(context.WithoutCancel(ctx))
	k.stop = stop
	go k.follow(following)
	return k, nil
}

// progressEvery is how many records are replayed between two calls of Config.Progress.
const progressEvery = 20_000

func (k *Keeper) replay(ctx context.Context) error {
	last, err := k.cfg.Log.Last(ctx)
	if err != nil {
		return fmt.Errorf("replay the log: %w", err)
	}
	began := time.Now()
	err = k.cfg.Log.Read(ctx, 1, func(r events.Record) error {
		k.fold(r)
		if r.Seq%progressEvery == 0 {
			k.cfg.Progress(r.Seq, last)
		}
		return ctx.Err()
	})
	if err != nil {
		return fmt.Errorf("replay the log: %w", err)
	}
	k.cfg.Progress(k.position, last)
	k.log.Info("replayed the log", zap.Uint64("records", k.stats.Records), zap.Uint64("position", k.position),
		zap.Duration("took", time.Since(began)), zap.Uint64("void", k.stats.Void), zap.Int("unknown types", len(k.stats.Unknown)))
	return nil
}

func (k *Keeper) follow(ctx context.Context) {
	defer close(k.done)
	err := k.cfg.Log.Follow(ctx, k.position+1, func(r events.Record) error {
		k.fold(r)
		return nil
	})
	k.failure = fmt.Errorf("%w: %w", ErrClosed, err)
	if ctx.Err() == nil {
		k.log.Error("following the log ended", zap.Error(err))
	}
	k.watchers.close()
}

// Close stops folding. Commands under way end with ErrClosed; what they wrote stays written.
func (k *Keeper) Close() error {
	k.stop()
	<-k.done
	return nil
}

// Done is closed when the book is no longer kept; Err then says why.
func (k *Keeper) Done() <-chan struct{} { return k.done }

// Err is nil while the book is kept.
func (k *Keeper) Err() error {
	select {
	case <-k.done:
		return k.failure
	default:
		return nil
	}
}

// Stats counts what the fold has met so far.
func (k *Keeper) Stats() Stats {
	k.mu.RLock()
	defer k.mu.RUnlock()
	stats := k.stats
	stats.Unknown = maps.Clone(stats.Unknown)
	return stats
}
