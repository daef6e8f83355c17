// Package logtest is the contract of events.Log as tests: every implementation and every set-up of it
// (embedded, cluster) must pass Run.
//
// The tests use entities of their own and count from where the log ended when they began, so they may run
// on a log that is shared or already holds something.
package logtest

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"fmt"
	"testing"
	"time"

	"valveround/events"
)

// Open opens a log for one test and closes it at the test's end. Reopen closes it and opens the same log again,
// as after a restart.
type Open func(t *testing.T) (log events.Log, reopen func() events.Log)

// Run runs the whole contract.
func Run(t *testing.T, open Open) {
	tests := []struct {
		name string
		run  func(*testing.T, Open)
	}{
		{"an empty batch is refused", testEmptyBatch},
		{"append, last, read, history", testAppendRead},
		{"read starts where asked and ends where the log ended", testReadBounds},
		{"reading stops with the caller's error", testReadError},
		{"follow brings old and new records in order", testFollow},
		{"follow ends with its context", testFollowEnds},
		{"history is one entity's", testHistory},
		{"history longer than one round trip", testLongHistory},
		{"a stale writer is refused", testStale},
		{"a stale writer is refused whatever the event's name", testStaleOtherName},
		{"a first record is refused when there is one", testStaleFirst},
		{"a batch is stored whole and in order", testBatch},
		{"a batch with one stale entity stores nothing", testBatchStale},
		{"the same record again is a conflict", testResend},
		{"the same batch again is a conflict", testResendBatch},
		{"a record is written again with a new guard after a lost race", testRewrite},
		{"the largest batch", testLargestBatch},
		{"a batch too many is refused", testBatchTooMany},
		{"a record too large is refused", testTooLarge},
		{"a batch with a record too large stores nothing", testBatchTooLarge},
		{"a large day is stored", testLargeRecord},
		{"a writer may go on as soon as it is answered", testAtOnce},
		{"of writers racing on one entity one wins", testRace},
		{"batches from many writers are all stored", testManyBatches},
		{"unknown headers and odd bodies come back unchanged", testHeaders},
		{"the hash chain holds after the round trip", testChain},
		{"a restart keeps everything", testRestart},
		{"a call with a context that has ended fails", testEndedContext},
		{"random appends agree with a model", testModel},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) { test.run(t, open) })
	}
}

// wait bounds each test's calls; no test measures time.
const wait = 2 * time.Minute

func testContext(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), wait)
	t.Cleanup(cancel)
	return ctx
}

// entity makes a new entity, of an office of its own.
func entity(kind events.Kind, id string) events.Entity {
	var random [6]byte
	_, _ = rand.Read(random[:])
	return events.Entity{Office: events.OfficeID("o" + hex.EncodeToString(random[:])), Kind: kind, ID: id}
}

// record makes a sealed record; the body says which it is.
func record(e events.Entity, name, says string) events.Record {
	return chained(e, name, says, events.Hash{})
}

func chained(e events.Entity, name, says string, prev events.Hash) events.Record {
	var command events.CommandID
	_, _ = rand.Read(command[:])
	return events.Seal(events.Envelope{
		ID: events.EventID(command.String() + "-0"), Entity: e, Name: name, Version: 1,
		Command: command, Actor: "p-1",
		Happened: time.Date(2026, 3, 2, 8, 30, 0, 123456789, time.UTC),
		Recorded: time.Date(2026, 3, 2, 8, 30, 1, 0, time.UTC),
		Prev:     prev,
	}, fmt.Appendf(nil, `{"says":%q}`, says))
}

func guard(r events.Record, last uint64) events.Append {
	return events.Append{Record: r, ExpectLast: last}
}

// mustAppend stores the records and returns the position of the last.
func mustAppend(t *testing.T, log events.Log, batch ...events.Append) uint64 {
	t.Helper()
	seq, err := log.Append(testContext(t), batch)
	if err != nil {
		t.Fatalf("Append(%d records): %v", len(batch), err)
	}
	return seq
}

func mustLast(t *testing.T, log events.Log) uint64 {
	t.Helper()
	last, err := log.Last(testContext(t))
	if err != nil {
		t.Fatalf("Last(): %v", err)
	}
	return last
}

func mustHistory(t *testing.T, log events.Log, e events.Entity) []events.Record {
	t.Helper()
	history, err := log.History(testContext(t), e)
	if err != nil {
		t.Fatalf("History(%s): %v", e, err)
	}
	return history
}

// mustRead reads from a position to the end.
func mustRead(t *testing.T, log events.Log, from uint64) []events.Record {
	t.Helper()
	var all []events.Record
	err := log.Read(testContext(t), from, func(r events.Record) error {
		all = append(all, r)
		return nil
	})
	if err != nil {
		t.Fatalf("Read(%d): %v", from, err)
	}
	return all
}

func says(records []events.Record) []string {
	texts := make([]string, len(records))
	for i, r := range records {
		texts[i] = r.Subject() + " " + string(r.Body)
	}
	return texts
}
