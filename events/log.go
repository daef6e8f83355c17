package events

import (
	"context"
	"errors"
	"fmt"
)

// Log is the only source of truth: what it holds happened, in this order.
// Every implementation passes the contract suite in events/logtest.
type Log interface {
	// Append stores all records or none, each entity guarded by its expectation. One record is published
	// plainly, several as one atomic batch of at most MaxBatch. It returns the position of the last one.
	// A lost race is a *ConflictError; the records may nevertheless be there if an earlier try of the same
	// command got through, so the caller folds again and looks for the command id.
	Append(ctx context.Context, batch []Append) (uint64, error)
	// Read calls each record from position from (1 is the first) to what was the end when it was called.
	Read(ctx context.Context, from uint64, each func(Record) error) error
	// Follow calls each record from position from on, and waits for more until the context ends or each fails.
	Follow(ctx context.Context, from uint64, each func(Record) error) error
	// History reads one entity's records in order.
	History(ctx context.Context, e Entity) ([]Record, error)
	// Last is the position of the newest record; zero when the log is empty.
	Last(ctx context.Context) (uint64, error)
}

// MaxBatch is the most records one atomic batch may hold.
const MaxBatch = 1000

// Append is one record to store and the guard on its entity.
type Append struct {
	Record
	// ExpectLast is the position of the entity's newest record as the writer knows it (zero: none).
	// It is checked on the first record of each entity in a batch.
	ExpectLast uint64
}

// ConflictError says that an entity changed since it was folded.
type ConflictError struct {
	Entity   Entity
	Expected uint64
}

func (e *ConflictError) Error() string {
	return fmt.Sprintf("%s has changed since position %d", e.Entity, e.Expected)
}

// Errors of the log.
var (
	// ErrTooLarge: a record or batch is larger than the log takes.
	ErrTooLarge = errors.New("too large for the log")
	// ErrBatchSize: a batch of none or more than MaxBatch records.
	ErrBatchSize = fmt.Errorf("a batch holds 1 to %d records", MaxBatch)
	// ErrMovedBack: the log ends before a position it once had; records were lost or another log was put in its place.
	ErrMovedBack = errors.New("the log ends before a position it has already had")
)

// PeopleStore keeps what must be forgettable apart from the log: names, telephone numbers, gate codes.
// Keys are a person's or site's id; values are small JSON objects.
type PeopleStore interface {
	Put(ctx context.Context, key string, details []byte) error
	Get(ctx context.Context, key string) ([]byte, error) // nil, nil when nothing is known
	Forget(ctx context.Context, key string) error
	All(ctx context.Context, each func(key string, details []byte) error) error
}
