package logtest

import (
	"context"
	"errors"
	"fmt"
	"reflect"
	"testing"

	"valveround/events"
)

func testEmptyBatch(t *testing.T, open Open) {
	log, _ := open(t)
	if _, err := log.Append(testContext(t), nil); !errors.Is(err, events.ErrBatchSize) {
		t.Errorf("Append(nothing) = %v, want %v", err, events.ErrBatchSize)
	}
}

func testAppendRead(t *testing.T, open Open) {
	log, _ := open(t)
	start := mustLast(t, log)
	e := entity(events.KindAssembly, "a-1")
	written := record(e, "registered", "one")
	seq := mustAppend(t, log, guard(written, 0))
	if seq != start+1 {
		t.Errorf("Append = position %d, want %d", seq, start+1)
	}
	if last := mustLast(t, log); last != seq {
		t.Errorf("Last = %d, want %d", last, seq)
	}
	written.Seq = seq
	for name, got := range map[string][]events.Record{
		"Read":    mustRead(t, log, seq),
		"History": mustHistory(t, log, e),
	} {
		if len(got) != 1 || !reflect.DeepEqual(got[0], written) {
			t.Errorf("%s = %+v, want %+v", name, got, written)
		}
	}
}

func testReadBounds(t *testing.T, open Open) {
	log, _ := open(t)
	start := mustLast(t, log)
	e := entity(events.KindSite, "s-1")
	last := uint64(0)
	for i := range 5 {
		last = mustAppend(t, log, guard(record(e, "arrived", fmt.Sprint(i)), last))
	}
	if got := mustRead(t, log, start+3); len(got) != 3 || got[0].Seq != start+3 || got[2].Seq != last {
		t.Errorf("Read(third) = %v", says(got))
	}
	if got := mustRead(t, log, last+1); len(got) != 0 {
		t.Errorf("Read(past the end) = %v, want nothing", says(got))
	}
	first := mustRead(t, log, 0)
	if len(first) == 0 || first[0].Seq != 1 {
		t.Errorf("Read(0) starts at %v, want position 1", says(first[:min(1, len(first))]))
	}
	// What is written while reading is not part of this reading.
	count := 0
	err := log.Read(testContext(t), start+1, func(events.Record) error {
		count++
		last = mustAppend(t, log, guard(record(e, "arrived", "meanwhile"), last))
		return nil
	})
	if err != nil || count != 5 {
		t.Errorf("Read while writing = %d records, %v, want 5", count, err)
	}
}

func testReadError(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindSite, "s-1")
	from := mustAppend(t, log, guard(record(e, "arrived", "x"), 0))
	mustAppend(t, log, guard(record(e, "left", "y"), from))
	stop := errors.New("enough")
	for name, read := range map[string]func(context.Context, uint64, func(events.Record) error) error{
		"Read": log.Read, "Follow": log.Follow,
	} {
		calls := 0
		err := read(testContext(t), from, func(events.Record) error { calls++; return stop })
		if !errors.Is(err, stop) || calls != 1 {
			t.Errorf("%s = %v after %d calls, want the caller's error after one", name, err, calls)
		}
	}
}

func testFollow(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindFeed, "f-1")
	from := mustAppend(t, log, guard(record(e, "shut-off", "0"), 0))
	last := from
	const want = 300
	done := errors.New("seen all")
	var seen []uint64
	err := log.Follow(testContext(t), from, func(r events.Record) error {
		if r.Entity != e {
			return nil
		}
		seen = append(seen, r.Seq)
		if len(seen) == want {
			return done
		}
		if r.Seq == last { // caught up: write some more, alone and as a batch
			for range 2 {
				last = mustAppend(t, log, guard(record(e, "restored", "x"), last))
			}
			last = mustAppend(t, log, guard(record(e, "shut-off", "x"), last), guard(record(e, "restored", "x"), last))
		}
		return nil
	})
	if !errors.Is(err, done) {
		t.Fatalf("Follow = %v, want it to see %d records, saw %d", err, want, len(seen))
	}
	for i := range seen {
		if i > 0 && seen[i] <= seen[i-1] {
			t.Fatalf("Follow gave position %d after %d", seen[i], seen[i-1])
		}
	}
}

func testFollowEnds(t *testing.T, open Open) {
	log, _ := open(t)
	from := mustAppend(t, log, guard(record(entity(events.KindFeed, "f-1"), "shut-off", "x"), 0))
	ctx, cancel := context.WithCancel(testContext(t))
	defer cancel()
	err := log.Follow(ctx, from, func(events.Record) error { cancel(); return nil })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("Follow = %v, want %v", err, context.Canceled)
	}
}

func testHistory(t *testing.T, open Open) {
	log, _ := open(t)
	mine := entity(events.KindAssembly, "a-1")
	others := []events.Entity{
		{Office: mine.Office, Kind: mine.Kind, ID: "a-11"},
		{Office: mine.Office, Kind: events.KindSite, ID: mine.ID},
		{Office: mine.Office + "x", Kind: mine.Kind, ID: mine.ID},
	}
	last := uint64(0)
	for i := range 3 {
		last = mustAppend(t, log, guard(record(mine, []string{"registered", "due", "tested"}[i], fmt.Sprint(i)), last))
		for _, other := range others {
			if i == 0 {
				mustAppend(t, log, guard(record(other, "registered", "other"), 0))
			}
		}
	}
	got := mustHistory(t, log, mine)
	if len(got) != 3 || got[0].Name != "registered" || got[1].Name != "due" || got[2].Name != "tested" {
		t.Errorf("History = %v", says(got))
	}
	if got := mustHistory(t, log, entity(events.KindCrew, "nobody")); len(got) != 0 {
		t.Errorf("History(unknown) = %v, want nothing", says(got))
	}
}

func testLongHistory(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindAssembly, "a-1")
	last, want := uint64(0), 0
	for range 5 {
		batch := make([]events.Append, 500)
		for i := range batch {
			batch[i] = guard(record(e, "corrected", fmt.Sprint(want)), last)
			want++
		}
		last = mustAppend(t, log, batch...)
	}
	got := mustHistory(t, log, e)
	if len(got) != want {
		t.Fatalf("History = %d records, want %d", len(got), want)
	}
	for i, r := range got {
		if text := fmt.Sprintf(`{"says":"%d"}`, i); string(r.Body) != text {
			t.Fatalf("History[%d] = %s, want %s", i, r.Body, text)
		}
	}
}
