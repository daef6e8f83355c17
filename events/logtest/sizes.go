package logtest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"

	"valveround/events"
)

func testLargestBatch(t *testing.T, open Open) {
	log, _ := open(t)
	start := mustLast(t, log)
	batch := make([]events.Append, events.MaxBatch)
	for i := range batch {
		batch[i] = guard(record(entity(events.KindAssembly, "a-1"), "registered", fmt.Sprint(i)), 0)
	}
	if last := mustAppend(t, log, batch...); last != start+events.MaxBatch {
		t.Errorf("Append = position %d, want %d", last, start+events.MaxBatch)
	}
	if got := mustRead(t, log, start+1); len(got) != events.MaxBatch {
		t.Errorf("Read = %d records, want %d", len(got), events.MaxBatch)
	}
}

func testBatchTooMany(t *testing.T, open Open) {
	log, _ := open(t)
	start := mustLast(t, log)
	batch := make([]events.Append, events.MaxBatch+1)
	for i := range batch {
		batch[i] = guard(record(entity(events.KindAssembly, "a-1"), "registered", "x"), 0)
	}
	if _, err := log.Append(testContext(t), batch); !errors.Is(err, events.ErrBatchSize) {
		t.Errorf("Append(%d records) = %v, want %v", len(batch), err, events.ErrBatchSize)
	}
	if last := mustLast(t, log); last != start {
		t.Errorf("Last = %d, want %d", last, start)
	}
}

// tooLarge is more than the 8 MB a log takes.
const tooLarge = 9 << 20

func testTooLarge(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindDay, "2026-03-02")
	r := record(e, "sent-out", "x")
	r.Body = bytes.Repeat([]byte("x"), tooLarge)
	if _, err := log.Append(testContext(t), []events.Append{guard(r, 0)}); !errors.Is(err, events.ErrTooLarge) {
		t.Errorf("Append(9 MB) = %v, want %v", err, events.ErrTooLarge)
	}
	mustAppend(t, log, guard(record(e, "sent-out", "small"), 0)) // the log still works
}

func testBatchTooLarge(t *testing.T, open Open) {
	log, _ := open(t)
	start := mustLast(t, log)
	a, b := entity(events.KindDay, "2026-03-02"), entity(events.KindDay, "2026-03-03")
	large := record(b, "sent-out", "x")
	large.Body = bytes.Repeat([]byte("x"), tooLarge)
	batch := []events.Append{guard(record(a, "sent-out", "x"), 0), guard(large, 0)}
	if _, err := log.Append(testContext(t), batch); !errors.Is(err, events.ErrTooLarge) {
		t.Errorf("Append = %v, want %v", err, events.ErrTooLarge)
	}
	if last := mustLast(t, log); last != start {
		t.Errorf("Last = %d, want %d", last, start)
	}
}

// A day of 300 crews is about 1 MB.
func testLargeRecord(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindDay, "2026-03-02")
	body := bytes.Repeat([]byte("visit "), 1<<20/6)
	day := func() events.Record {
		r := record(e, "sent-out", "x")
		r.Body = body
		return r
	}
	last := mustAppend(t, log, guard(day(), 0))
	last = mustAppend(t, log, guard(day(), last), guard(day(), last))
	for name, got := range map[string][]events.Record{"History": mustHistory(t, log, e), "Read": mustRead(t, log, last-2)} {
		if len(got) != 3 || !bytes.Equal(got[0].Body, body) || !bytes.Equal(got[2].Body, body) {
			t.Errorf("%s gave %d records, want three like the one written", name, len(got))
		}
	}
}

func testEndedContext(t *testing.T, open Open) {
	log, _ := open(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	e := entity(events.KindSite, "s-1")
	_, appendErr := log.Append(ctx, []events.Append{guard(record(e, "registered", "x"), 0)})
	_, lastErr := log.Last(ctx)
	for name, err := range map[string]error{
		"Append": appendErr,
		"Last":   lastErr,
		"Follow": log.Follow(ctx, 1, func(events.Record) error { return nil }),
	} {
		if !errors.Is(err, context.Canceled) {
			t.Errorf("%s = %v, want %v", name, err, context.Canceled)
		}
	}
}
