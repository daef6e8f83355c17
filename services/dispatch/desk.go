package dispatch

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"time"

	"go.uber.org/zap"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/planner"
	"valveround/planner/check"
)

// Keeper is what dispatch needs of the book and the log.
type Keeper interface {
	Book() *events.Book
	Do(ctx context.Context, c events.Command) (keeper.Receipt, error)
	Import(ctx context.Context, commands []events.Command, progress func(done int)) ([]keeper.Imported, error)
}

// Config says what a desk works with.
type Config struct {
	Keeper   Keeper
	Office   events.OfficeID
	Settings planner.Settings
	// Seconds is how long a plan is searched for unless asked otherwise.
	Seconds float64
	// Iterations, when not zero, is how many rounds every plan is searched for in place of a time, so that one log gives
	// one plan on any machine.
	Iterations int
	Now        func() time.Time
	Logger     *zap.Logger
}

// Desk plans the days of one office. It is safe for concurrent use.
type Desk struct {
	cfg Config
	log *zap.Logger

	mu        sync.Mutex
	proposals map[events.Date]*proposal
	listeners map[chan Progress]bool
	closed    bool
	running   sync.WaitGroup
}

// proposal is a day's plan as last made, and the planning under way.
type proposal struct {
	plan       *planner.Plan
	violations []check.Violation
	planning   bool
	stop       context.CancelFunc
	progress   Progress
	failure    error
	sending    bool
	past       []earlier        // oldest first, see Undo
	undone     events.CommandID // the last command that undid a change
	rest       *planner.Plan    // of a day that is out: what is left of it, planned anew
}

// Progress is how far planning a day has come.
type Progress struct {
	Date    events.Date
	Step    string // collecting, solving, explaining, checking, done, failed
	Elapsed time.Duration
	Budget  time.Duration
	Line    []Point // best cost against time
	Visits  int
}

// Point is the best cost found after a time.
type Point struct {
	Elapsed time.Duration
	Cost    planner.MicroUSD
}

// New makes a desk.
func New(cfg Config) (*Desk, error) {
	if cfg.Keeper == nil || cfg.Office == "" {
		return nil, errors.New("a dispatch desk needs a keeper and an office")
	}
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	if cfg.Logger == nil {
		cfg.Logger = zap.NewNop()
	}
	if cfg.Seconds <= 0 {
		cfg.Seconds = 3
	}
	if err := cfg.Settings.Validate(); err != nil {
		return nil, fmt.Errorf("dispatch settings: %w", err)
	}
	return &Desk{cfg: cfg, log: cfg.Logger, proposals: map[events.Date]*proposal{}, listeners: map[chan Progress]bool{}}, nil
}

// Close stops planning under way and waits for it.
func (d *Desk) Close() {
	d.mu.Lock()
	d.closed = true
	for _, p := range d.proposals {
		if p.stop != nil {
			p.stop()
		}
	}
	d.mu.Unlock()
	d.running.Wait()
}

// Proposal is a day's plan as it stands.
type Proposal struct {
	Plan       *planner.Plan // nil: none
	Violations []check.Violation
	Planning   bool
	Progress   Progress
	Failure    error
}

// Proposal of a day; empty when none was made.
func (d *Desk) Proposal(date events.Date) Proposal {
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	if p == nil {
		return Proposal{}
	}
	return Proposal{p.plan, p.violations, p.planning, p.progress, p.failure}
}

// Proposed are the days that are planned and not sent out, in the form they would be sent out in, the earliest first.
func (d *Desk) Proposed() []events.SentOut {
	d.mu.Lock()
	defer d.mu.Unlock()
	var days []events.SentOut
	for _, p := range d.proposals {
		if p.plan != nil {
			days = append(days, p.plan.Day())
		}
	}
	slices.SortFunc(days, func(x, y events.SentOut) int { return x.Date.Sub(y.Date) })
	return days
}

// ErrBusy: the day is being planned or sent out already.
var ErrBusy = errors.New("this day is being planned just now")

// Settings are those every plan is made and checked with.
func (d *Desk) Settings() planner.Settings { return d.settings(d.cfg.Keeper.Book()) }

// settings are the desk's own, but for what the office has changed. What cannot be read is not guessed at: the desk's own hold.
func (d *Desk) settings(b *events.Book) planner.Settings {
	s, err := d.cfg.Settings.Of(b, d.cfg.Office)
	if err != nil {
		d.log.Error("settings", zap.Error(err))
	}
	return s
}

// Plan starts planning a day and returns at once; Progress follows. The proposal before stays until the new one is there,
// and is where the search begins.
func (d *Desk) Plan(date events.Date, seconds float64) error {
	if seconds <= 0 {
		seconds = d.cfg.Seconds
	}
	book := d.cfg.Keeper.Book()
	if day := book.Day(d.cfg.Office, date); day != nil && day.Sent != nil {
		return &events.Refusal{Words: date.String() + " is sent out; take it back before planning it again"}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	p := d.proposals[date]
	if p == nil {
		p = &proposal{}
		d.proposals[date] = p
	}
	if p.planning || p.sending || d.closed {
		return ErrBusy
	}
	ctx, stop := context.WithCancel(context.Background())
	p.planning, p.stop, p.failure = true, stop, nil
	p.progress = Progress{Date: date, Step: "collecting", Budget: time.Duration(seconds * float64(time.Second))}
	d.running.Go(func() {
		defer stop()
		d.plan(ctx, p, d.search(planner.Request{Book: book, Office: d.cfg.Office, Date: date, Now: d.cfg.Now(), Settings: d.settings(book),
			Previous: p.plan}, seconds))
	})
	return nil
}

// search is the request with the bound of its search: so many seconds, or this desk's rounds.
func (d *Desk) search(r planner.Request, seconds float64) planner.Request {
	r.Seed, r.Seconds, r.Iterations = 1, seconds, d.cfg.Iterations
	if r.Iterations > 0 {
		r.Seconds = 0
	}
	return r
}

func (d *Desk) plan(ctx context.Context, p *proposal, r planner.Request) {
	r.Progress = func(at planner.Progress) { d.note(p, at) }
	plan, err := planner.Make(ctx, r)
	var violations []check.Violation
	if err == nil {
		d.note(p, planner.Progress{Step: "checking", Elapsed: p.progress.Elapsed})
		violations = check.Plan(r.Book, plan, r.Settings)
	}
	d.mu.Lock()
	p.planning, p.failure = false, err
	p.progress.Step = "done"
	if err == nil {
		if p.plan == nil {
			p.past = nil // wishes from before the first plan are undone by dropping them
		} else {
			p.remember(earlier{p.plan, wishesOf(r.Book, r.Office, r.Date), "The day was planned anew."})
		}
		p.plan, p.violations = &plan, violations
	} else {
		p.progress.Step = "failed"
		d.log.Error("planning failed", zap.Stringer("date", r.Date), zap.Error(err))
	}
	done := p.progress
	d.mu.Unlock()
	d.tell(done)
}

// note keeps the falling line: a point for each better cost.
func (d *Desk) note(p *proposal, at planner.Progress) {
	d.mu.Lock()
	p.progress.Step, p.progress.Elapsed = at.Step, max(at.Elapsed, p.progress.Elapsed)
	changed := at.Step != "solving"
	if at.Step == "solving" {
		line := p.progress.Line
		if n := len(line); n == 0 || line[n-1].Cost != at.Cost {
			p.progress.Line = append(line[:n:n], Point{at.Elapsed, at.Cost})
			changed = true
		}
		p.progress.Visits = at.Visits
	}
	now := p.progress
	d.mu.Unlock()
	if changed {
		d.tell(now)
	}
}

// Stop ends the search; the best plan so far is kept.
func (d *Desk) Stop(date events.Date) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if p := d.proposals[date]; p != nil && p.stop != nil {
		p.stop()
	}
}

// Listen gives progress as it comes until cancel is called. A slow listener misses steps, never the last one for long:
// the proposal itself says how it stands.
func (d *Desk) Listen() (progress <-chan Progress, cancel func()) {
	ch := make(chan Progress, 64)
	d.mu.Lock()
	d.listeners[ch] = true
	d.mu.Unlock()
	return ch, func() {
		d.mu.Lock()
		delete(d.listeners, ch)
		d.mu.Unlock()
	}
}

func (d *Desk) tell(p Progress) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for ch := range d.listeners {
		select {
		case ch <- p:
		default:
		}
	}
}
