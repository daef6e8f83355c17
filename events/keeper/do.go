package keeper

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"

	"go.uber.org/zap"

	"valveround/events"
)

// Receipt says where a command's events lie.
type Receipt struct {
	// Position of the command's last event; of the book it was decided on when there was nothing to do.
	Position uint64
	// EventIDs of what was written now; none when there was nothing to do or the command was known.
	EventIDs []events.EventID
	// Repeated: the book had accepted this command before, and nothing was written.
	Repeated bool
}

// ErrPartlyVoid: some of a command's events were folded and others had lost a race against another process. It takes
// two servers that both think they lead; a person has to look at the command.
var ErrPartlyVoid = errors.New("only a part of the command was taken into the book")

// Do carries one command out and returns when the book has accepted its events. Errors: a *events.Refusal as decided; a
// *events.ConflictError after too many lost races; events.ErrBatchSize and events.ErrTooLarge; anything else means that
// it is not known whether the command was stored: send it again under the same id.
//
// Once its events are on their way to the log, the end of ctx no longer stops it.
func (k *Keeper) Do(ctx context.Context, c events.Command) (Receipt, error) {
	c = signed(ctx, c)
	plan := func(b *events.Book) ([]events.Append, error) {
		if position, known := b.CommandPosition(c.ID); known {
			return nil, errKnown{position}
		}
		return events.Prepare(b, c, k.cfg.Now())
	}
	position, batch, err := k.commit(ctx, plan)
	var known errKnown
	switch {
	case errors.As(err, &known):
		return Receipt{Position: known.position, Repeated: true}, nil
	case err != nil:
		return Receipt{}, err
	}
	return Receipt{Position: position, EventIDs: eventIDs(batch)}, nil
}

// errKnown ends the work on a command that the book has accepted already.
type errKnown struct{ position uint64 }

func (e errKnown) Error() string { return fmt.Sprintf("known since position %d", e.position) }

func eventIDs(batch []events.Append) []events.EventID {
	ids := make([]events.EventID, len(batch))
	for i, a := range batch {
		ids[i] = a.ID
	}
	return ids
}

// commit plans on the newest book, appends the batch and waits until the fold has accepted it; when it loses a race it
// plans again. An empty plan is done at once. plan may be called several times and must be pure.
func (k *Keeper) commit(ctx context.Context, plan func(*events.Book) ([]events.Append, error)) (uint64, []events.Append, error) {
	ctx, cancel := context.WithTimeout(ctx, k.cfg.Timeout)
	defer cancel()
	var lost error
	for attempt := range k.cfg.Attempts {
		if attempt > 0 {
			if err := k.catchUp(ctx); err != nil {
				return 0, nil, errors.Join(lost, err)
			}
			pause(ctx, attempt)
		}
		position, batch, err := k.attempt(ctx, plan)
		var conflict *events.ConflictError
		if !errors.As(err, &conflict) && !errors.Is(err, errVoid) {
			return position, batch, err
		}
		k.log.Debug("lost a race, trying again", zap.Int("attempt", attempt+1), zap.Error(err))
		lost = err
	}
	return 0, nil, fmt.Errorf("gave up after %d attempts: %w", k.cfg.Attempts, lost)
}

// pause waits a little, so that processes that raced do not race in step. It stays short: whoever wins does not pause, and
// the loser would never get its turn.
func pause(ctx context.Context, attempt int) {
	select {
	case <-ctx.Done():
	case <-time.After(rand.N(time.Duration(min(attempt, 10)) * time.Millisecond)):
	}
}

// errVoid: the records were stored but had lost a race that the log did not see.
var errVoid = errors.New("the records lost a race and are void")

// attempt plans, takes the turn on the planned entities, plans again behind whoever had the turn before, and writes.
func (k *Keeper) attempt(ctx context.Context, plan func(*events.Book) ([]events.Append, error)) (uint64, []events.Append, error) {
	for {
		if err := errors.Join(k.Err(), ctx.Err()); err != nil {
			return 0, nil, err
		}
		batch, position, err := k.plan(plan)
		if err != nil || len(batch) == 0 {
			return position, nil, err
		}
		entities := entitiesOf(batch)
		giveBack := k.turns.take(entities)
		if k.Position() != position {
			batch, position, err = k.plan(plan)
		}
		switch {
		case err != nil || len(batch) == 0:
			giveBack()
			return position, nil, err
		case !within(batch, entities): // it has become another matter meanwhile
			giveBack()
			continue
		}
		position, err = k.write(ctx, batch)
		giveBack()
		return position, batch, err
	}
}

func (k *Keeper) plan(plan func(*events.Book) ([]events.Append, error)) ([]events.Append, uint64, error) {
	k.mu.RLock()
	defer k.mu.RUnlock()
	batch, err := plan(k.book)
	return batch, k.position, err
}

// write appends a batch and waits until the fold has accepted it. It sees the matter through even when ctx ends.
func (k *Keeper) write(ctx context.Context, batch []events.Append) (uint64, error) {
	if len(batch) > events.MaxBatch {
		return 0, fmt.Errorf("the command makes %d events: %w", len(batch), events.ErrBatchSize)
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), k.cfg.Timeout)
	defer cancel()
	position, err := k.cfg.Log.Append(ctx, batch)
	var conflict *events.ConflictError
	switch {
	case err == nil:
	case errors.As(err, &conflict), errors.Is(err, events.ErrTooLarge), errors.Is(err, events.ErrBatchSize):
		return 0, err
	default: // it may be stored all the same
		return k.lookFor(ctx, batch, err)
	}
	if err := k.Wait(ctx, position); err != nil {
		return 0, fmt.Errorf("the events are stored up to position %d, but this process has not folded them: %w", position, err)
	}
	return position, k.accepted(batch, position)
}

// lookFor folds up to the end of the log and looks whether the batch is there although appending failed.
func (k *Keeper) lookFor(ctx context.Context, batch []events.Append, failure error) (uint64, error) {
	if err := k.catchUp(ctx); err != nil {
		return 0, failure
	}
	position, known := k.Known(batch[len(batch)-1].Command)
	if !known {
		return 0, failure
	}
	return position, nil
}

// accepted checks that none of a batch that ends at a position was voided. Batches lie together in the log.
func (k *Keeper) accepted(batch []events.Append, last uint64) error {
	k.mu.RLock()
	defer k.mu.RUnlock()
	first := last + 1 - uint64(len(batch))
	taken, void := map[events.CommandID]bool{}, map[events.CommandID]bool{}
	for i, a := range batch {
		if k.voided[first+uint64(i)] {
			void[a.Command] = true
		} else {
			taken[a.Command] = true
		}
	}
	for command := range void {
		if taken[command] {
			return fmt.Errorf("command %s, positions %d to %d: %w", command, first, last, ErrPartlyVoid)
		}
	}
	if len(void) > 0 {
		return errVoid
	}
	return nil
}
