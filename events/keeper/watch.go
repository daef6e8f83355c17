package keeper

import (
	"context"
	"sync"

	"valveround/events"
)

// Change tells a live page what has changed. It comes after the book has taken the event in.
type Change struct {
	Position uint64
	Entity   events.Entity
	Name     string // of the event
	// Resync: changes up to Position were left out because the reader was slow or came late. Entity and Name are empty;
	// read everything afresh.
	Resync bool
}

const (
	recentChanges  = 4096 // kept for readers that come back with an old position
	pendingChanges = 1024 // kept for a reader that is slow, before it is told to read afresh
)

// Watch sends every change after position from (normally the position of the snapshot the page was made from) until the
// context ends or the keeper is closed; then the channel is closed. A slow reader never holds up the fold: it gets one
// Resync in place of what it missed.
func (k *Keeper) Watch(ctx context.Context, from uint64) <-chan Change {
	w := &watcher{from: from, changed: make(chan struct{}, 1)}
	out := make(chan Change)
	if !k.watchers.add(w, from) {
		close(out)
		return out
	}
	go func() {
		defer close(out)
		defer k.watchers.remove(w)
		w.pump(ctx, out)
	}()
	return out
}

// watchers is everyone who watches, and the newest changes.
type watchers struct {
	mu     sync.Mutex
	all    map[*watcher]bool
	recent []Change // a ring once it is full
	next   int      // where the ring goes on
	last   uint64
	closed bool
}

func (ws *watchers) publish(c Change) {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	ws.last = c.Position
	if len(ws.recent) < recentChanges {
		ws.recent = append(ws.recent, c)
	} else {
		ws.recent[ws.next] = c
		ws.next = (ws.next + 1) % recentChanges
	}
	for w := range ws.all {
		w.push(c)
	}
}

// add starts a watcher with what it has missed since its position.
func (ws *watchers) add(w *watcher, from uint64) bool {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	if ws.closed {
		return false
	}
	if ws.all == nil {
		ws.all = map[*watcher]bool{}
	}
	ws.all[w] = true
	if from >= ws.last {
		return true
	}
	missed := make([]Change, 0, recentChanges)
	for _, c := range append(ws.recent[ws.next:len(ws.recent):len(ws.recent)], ws.recent[:ws.next]...) {
		if c.Position > from {
			missed = append(missed, c)
		}
	}
	complete := len(ws.recent) < recentChanges || len(missed) < len(ws.recent)
	if !complete || len(missed) > pendingChanges {
		missed = []Change{{Position: ws.last, Resync: true}}
	}
	for _, c := range missed {
		w.push(c)
	}
	return true
}

func (ws *watchers) remove(w *watcher) {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	delete(ws.all, w)
}

func (ws *watchers) close() {
	ws.mu.Lock()
	defer ws.mu.Unlock()
	ws.closed = true
	for w := range ws.all {
		w.end()
	}
}

// watcher holds what one reader has not taken yet.
type watcher struct {
	from    uint64 // what it has seen: a change may be folded just before it is published here
	mu      sync.Mutex
	pending []Change
	ended   bool
	changed chan struct{} // holds one when there is something new
}

func (w *watcher) push(c Change) {
	if c.Position <= w.from {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if n := len(w.pending); n >= pendingChanges || n == 1 && w.pending[0].Resync {
		w.pending = append(w.pending[:0], Change{Position: c.Position, Resync: true})
	} else {
		w.pending = append(w.pending, c)
	}
	w.signal()
}

func (w *watcher) end() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.ended = true
	w.signal()
}

func (w *watcher) signal() {
	select {
	case w.changed <- struct{}{}:
	default:
	}
}

// take empties what is pending.
func (w *watcher) take() ([]Change, bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	pending := w.pending
	w.pending = nil
	return pending, w.ended
}

// pump hands the pending changes over, as quickly as the reader takes them.
func (w *watcher) pump(ctx context.Context, out chan<- Change) {
	for {
		changes, ended := w.take()
		for _, c := range changes {
			select {
			case out <- c:
			case <-ctx.Done():
				return
			}
		}
		if ended {
			return
		}
		select {
		case <-w.changed:
		case <-ctx.Done():
			return
		}
	}
}
