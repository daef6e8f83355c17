package logtest

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"valveround/events"
)

// wantConflict checks that an append was refused as a lost race and left the entity as it was.
func wantConflict(t *testing.T, log events.Log, e events.Entity, expected uint64, batch ...events.Append) {
	t.Helper()
	before := mustHistory(t, log, e)
	end := mustLast(t, log)
	_, err := log.Append(testContext(t), batch)
	var conflict *events.ConflictError
	if !errors.As(err, &conflict) {
		t.Fatalf("Append = %v, want a conflict", err)
	}
	if conflict.Entity != e || conflict.Expected != expected {
		t.Errorf("conflict = %v, want %s since position %d", conflict, e, expected)
	}
	if after := mustHistory(t, log, e); len(after) != len(before) {
		t.Errorf("after the conflict History = %v, want %v", says(after), says(before))
	}
	if now := mustLast(t, log); now != end {
		t.Errorf("after the conflict Last = %d, want %d", now, end)
	}
}

func testStale(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindGauge, "g-1")
	first := mustAppend(t, log, guard(record(e, "registered", "one"), 0))
	mustAppend(t, log, guard(record(e, "corrected", "two"), first))
	wantConflict(t, log, e, first, guard(record(e, "corrected", "late"), first))
}

func testStaleOtherName(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindAssembly, "a-1")
	first := mustAppend(t, log, guard(record(e, "registered", "one"), 0))
	mustAppend(t, log, guard(record(e, "tested", "two"), first))
	// The newest "could-not-test" is none, the newest "registered" is first: only a guard on the whole entity sees it.
	wantConflict(t, log, e, first, guard(record(e, "could-not-test", "late"), first))
	wantConflict(t, log, e, 0, guard(record(e, "could-not-test", "late"), 0))
	wantConflict(t, log, e, first, guard(record(e, "registered", "late"), first))
	wantConflict(t, log, e, first, guard(record(e, "due", "late"), first), guard(record(e, "ordered", "late"), first))
}

func testStaleFirst(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindCrew, "c-1")
	mustAppend(t, log, guard(record(e, "registered", "one"), 0))
	wantConflict(t, log, e, 0, guard(record(e, "registered", "again"), 0))
	unknown := entity(events.KindCrew, "c-2")
	wantConflict(t, log, unknown, 7, guard(record(unknown, "registered", "x"), 7))
}

// testAtOnce writes one entity's history, alone and in batches, without a pause: nobody else writes it, so nothing
// may be refused.
func testAtOnce(t *testing.T, open Open) {
	log, _ := open(t)
	e, other := entity(events.KindAssembly, "a-1"), entity(events.KindSite, "s-1")
	last, lastOther := uint64(0), uint64(0)
	for i := range 200 {
		next := guard(record(e, "corrected", fmt.Sprint(i)), last)
		if i%3 > 0 {
			last = mustAppend(t, log, next)
			continue
		}
		last = mustAppend(t, log, guard(record(other, "corrected", fmt.Sprint(i)), lastOther), next)
		lastOther = last - 1
	}
}

func testBatch(t *testing.T, open Open) {
	log, _ := open(t)
	start := mustLast(t, log)
	a, b, c := entity(events.KindAssembly, "a-1"), entity(events.KindAssembly, "a-2"), entity(events.KindSite, "s-1")
	known := mustAppend(t, log, guard(record(a, "registered", "1"), 0))
	last := mustAppend(t, log,
		guard(record(a, "due", "2"), known), guard(record(b, "registered", "3"), 0), guard(record(a, "ordered", "4"), known),
		guard(record(c, "registered", "5"), 0), guard(record(b, "due", "6"), 0))
	if last != start+6 {
		t.Errorf("Append = position %d, want %d", last, start+6)
	}
	got := mustRead(t, log, start+1)
	if len(got) != 6 {
		t.Fatalf("Read = %v, want six records", says(got))
	}
	for i, r := range got {
		if want := fmt.Sprintf(`{"says":"%d"}`, i+1); string(r.Body) != want || r.Seq != start+uint64(i)+1 {
			t.Errorf("record %d = %s at %d, want %s at %d", i, r.Body, r.Seq, want, start+uint64(i)+1)
		}
	}
}

func testBatchStale(t *testing.T, open Open) {
	log, _ := open(t)
	a, b, c := entity(events.KindAssembly, "a-1"), entity(events.KindAssembly, "a-2"), entity(events.KindSite, "s-1")
	first := mustAppend(t, log, guard(record(b, "registered", "1"), 0))
	mustAppend(t, log, guard(record(b, "due", "2"), first))
	for name, batch := range map[string][]events.Append{
		"stale in the middle": {guard(record(a, "registered", "x"), 0), guard(record(b, "ordered", "x"), first), guard(record(c, "registered", "x"), 0)},
		"stale at the end":    {guard(record(a, "registered", "x"), 0), guard(record(c, "registered", "x"), 0), guard(record(b, "ordered", "x"), first)},
		"stale at the start":  {guard(record(b, "ordered", "x"), first), guard(record(a, "registered", "x"), 0), guard(record(c, "registered", "x"), 0)},
	} {
		t.Run(name, func(t *testing.T) {
			wantConflict(t, log, b, first, batch...)
			for _, e := range []events.Entity{a, c} {
				if got := mustHistory(t, log, e); len(got) != 0 {
					t.Errorf("History(%s) = %v, want nothing stored", e, says(got))
				}
			}
		})
	}
}

func testResend(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindKit, "k-1")
	one := guard(record(e, "registered", "one"), 0)
	mustAppend(t, log, one)
	wantConflict(t, log, e, 0, one)
}

func testResendBatch(t *testing.T, open Open) {
	log, _ := open(t)
	a, b := entity(events.KindKit, "k-1"), entity(events.KindKit, "k-2")
	batch := []events.Append{guard(record(a, "registered", "one"), 0), guard(record(b, "registered", "two"), 0)}
	mustAppend(t, log, batch...)
	wantConflict(t, log, a, 0, batch...)
	if got := mustHistory(t, log, b); len(got) != 1 {
		t.Errorf("History = %v, want one record", says(got))
	}
}

// An event keeps its id (it comes from the command) when it has to be written again behind what won the race.
func testRewrite(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindKit, "k-1")
	one := record(e, "registered", "one")
	first := mustAppend(t, log, guard(one, 0))
	if second := mustAppend(t, log, guard(one, first)); second != first+1 {
		t.Errorf("Append with a new guard = position %d, want %d", second, first+1)
	}
	two := record(e, "reserved", "two")
	batch := []events.Append{guard(one, first+1), guard(two, first+1)}
	if third := mustAppend(t, log, batch...); third != first+3 {
		t.Errorf("Append of a batch with a new guard = position %d, want %d", third, first+3)
	}
}

func testRace(t *testing.T, open Open) {
	log, _ := open(t)
	for _, size := range []int{1, 3} {
		t.Run(fmt.Sprintf("%d records each", size), func(t *testing.T) {
			e := entity(events.KindDay, "2026-03-02")
			const writers = 16
			outcome := make([]error, writers)
			var all sync.WaitGroup
			for w := range writers {
				all.Go(func() {
					batch := make([]events.Append, size)
					for i := range batch {
						batch[i] = guard(record(e, "sent-out", fmt.Sprint(w)), 0)
					}
					_, outcome[w] = log.Append(testContext(t), batch)
				})
			}
			all.Wait()
			winners := 0
			for w, err := range outcome {
				var conflict *events.ConflictError
				switch {
				case err == nil:
					winners++
				case !errors.As(err, &conflict):
					t.Errorf("writer %d: %v, want a conflict", w, err)
				}
			}
			if got := mustHistory(t, log, e); winners != 1 || len(got) != size {
				t.Errorf("%d winners, History = %v, want one winner with %d records", winners, says(got), size)
			}
		})
	}
}

func testManyBatches(t *testing.T, open Open) {
	log, _ := open(t)
	start := mustLast(t, log)
	const writers, records = 80, 4 // more writers than a server keeps batches open
	outcome := make([]error, writers)
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			e := entity(events.KindAssembly, "a-1")
			batch := make([]events.Append, records)
			for i := range batch {
				batch[i] = guard(record(e, "registered", fmt.Sprint(w)), 0)
			}
			_, outcome[w] = log.Append(testContext(t), batch)
		})
	}
	all.Wait()
	if err := errors.Join(outcome...); err != nil {
		t.Fatalf("Append: %v", err)
	}
	got := mustRead(t, log, start+1)
	if len(got) != writers*records {
		t.Fatalf("Read = %d records, want %d", len(got), writers*records)
	}
	for i := range got { // each batch lies together
		if whole := got[i/records*records]; got[i].Entity != whole.Entity {
			t.Fatalf("record %d belongs to %s, its batch to %s", got[i].Seq, got[i].Entity, whole.Entity)
		}
	}
}
