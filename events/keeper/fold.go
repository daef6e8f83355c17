package keeper

import (
	"context"
	"fmt"

	"go.uber.org/zap"

	"valveround/events"
)

// fold applies one record. It is called from one goroutine only.
func (k *Keeper) fold(r events.Record) {
	k.mu.Lock()
	if r.Seq > k.position+1 {
		k.stats.Missing += r.Seq - k.position - 1
		k.log.Error("positions are missing from the log", zap.Uint64("after", k.position), zap.Uint64("before", r.Seq))
	}
	applied := k.book.Apply(r)
	k.position, k.snapshot = r.Seq, nil
	k.stats.Position = r.Seq
	k.stats.Records++
	k.count(r, applied)
	k.wake()
	k.mu.Unlock()
	if !applied.Void {
		k.watchers.publish(Change{Position: r.Seq, Entity: r.Entity, Name: r.Name})
	}
}

func (k *Keeper) count(r events.Record, applied events.Applied) {
	switch {
	case applied.Void:
		k.stats.Void++
		k.voided[r.Seq] = true
		k.log.Warn("a record that lost a race is void", zap.Uint64("position", r.Seq), zap.String("subject", r.Subject()))
	case applied.Unknown:
		name := fmt.Sprintf("%s.%s version %d", r.Entity.Kind, r.Name, r.Version)
		k.stats.Unknown[name]++
		if k.stats.Unknown[name] == 1 {
			k.log.Warn("the log holds an event this program cannot read; what it happened to is read-only here",
				zap.String("event", name), zap.Uint64("position", r.Seq), zap.Error(applied.Err))
		}
	}
}

// Book is an immutable snapshot of the newest state. It is made once a position, so readers between two events share it.
func (k *Keeper) Book() *events.Book {
	k.mu.RLock()
	snapshot := k.snapshot
	k.mu.RUnlock()
	if snapshot != nil {
		return snapshot
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.snapshot == nil {
		k.snapshot = k.book.Snapshot()
	}
	return k.snapshot
}

// Look calls a function with the live book, which must not be kept or changed. It sees what snapshots leave out, the
// heads and the command ids, and holds up the fold, so it must be short.
func (k *Keeper) Look(at func(*events.Book)) {
	k.mu.RLock()
	defer k.mu.RUnlock()
	at(k.book)
}

// Position is how far the log has been folded.
func (k *Keeper) Position() uint64 {
	k.mu.RLock()
	defer k.mu.RUnlock()
	return k.position
}

// Known says where a command's newest event lies, if the book has accepted it.
func (k *Keeper) Known(id events.CommandID) (position uint64, ok bool) {
	k.Look(func(b *events.Book) { position, ok = b.CommandPosition(id) })
	return position, ok
}

// waiter is told when the fold has reached a position.
type waiter struct {
	position uint64
	reached  chan struct{}
}

// wake tells the waiters whose position is reached. The lock is held.
func (k *Keeper) wake() {
	rest := k.waiting[:0]
	for _, w := range k.waiting {
		if w.position <= k.position {
			close(w.reached)
		} else {
			rest = append(rest, w)
		}
	}
	k.waiting = rest
}

// Wait returns when the fold has reached a position of the log.
func (k *Keeper) Wait(ctx context.Context, position uint64) error {
	k.mu.Lock()
	if k.position >= position {
		k.mu.Unlock()
		return nil
	}
	w := waiter{position, make(chan struct{})}
	k.waiting = append(k.waiting, w)
	k.mu.Unlock()
	select {
	case <-w.reached:
		return nil
	case <-k.done:
		return k.failure
	case <-ctx.Done():
		k.forget(w)
		return fmt.Errorf("waiting for position %d of the log: %w", position, ctx.Err())
	}
}

func (k *Keeper) forget(gone waiter) {
	k.mu.Lock()
	defer k.mu.Unlock()
	rest := k.waiting[:0]
	for _, w := range k.waiting {
		if w.reached != gone.reached {
			rest = append(rest, w)
		}
	}
	k.waiting = rest
}

// catchUp waits until everything that is in the log now has been folded.
func (k *Keeper) catchUp(ctx context.Context) error {
	last, err := k.cfg.Log.Last(ctx)
	if err != nil {
		return err
	}
	return k.Wait(ctx, last)
}
