package logtest

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
)

func testHeaders(t *testing.T, open Open) {
	log, _ := open(t)
	bodies := map[string][]byte{
		"json":          []byte(`{"a":1,"b":"½ ≥ é"}`),
		"empty":         nil,
		"every byte":    allBytes(),
		"looks like it": []byte("NATS/1.0\r\nce-id: no\r\n\r\n"),
	}
	for name, body := range bodies {
		t.Run(name, func(t *testing.T) {
			e := entity(events.KindAssembly, "a-1")
			r := record(e, "registered", "x")
			r.Headers["ce-traceparent"] = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"
			r.Headers["ce-later"] = `a: b; c="d" ½`
			r.Body = body
			want := r.Hash()
			mustAppend(t, log, guard(r, 0))
			got := mustHistory(t, log, e)
			if len(got) != 1 || !reflect.DeepEqual(got[0].Headers, r.Headers) || !bytes.Equal(got[0].Body, body) || got[0].Hash() != want {
				t.Errorf("History = %+v, want %+v", got, r)
			}
		})
	}
}

func allBytes() []byte {
	all := make([]byte, 256)
	for i := range all {
		all[i] = byte(i)
	}
	return all
}

func testChain(t *testing.T, open Open) {
	log, _ := open(t)
	e := entity(events.KindAssembly, "a-1")
	last, prev := uint64(0), events.Hash{}
	for i := range 10 {
		r := chained(e, "corrected", fmt.Sprint(i), prev)
		last, prev = mustAppend(t, log, guard(r, last)), r.Hash()
	}
	var head events.Hash
	for i, r := range mustHistory(t, log, e) {
		if r.Prev != head {
			t.Fatalf("record %d names %s as the one before, want %s", i, r.Prev, head)
		}
		head = r.Hash()
	}
	if head != prev {
		t.Errorf("the chain ends with %s, want %s", head, prev)
	}
}

func testRestart(t *testing.T, open Open) {
	log, reopen := open(t)
	e := entity(events.KindAssembly, "a-1")
	last := mustAppend(t, log, guard(record(e, "registered", "1"), 0))
	last = mustAppend(t, log, guard(record(e, "due", "2"), last), guard(record(e, "ordered", "3"), last))
	before := mustHistory(t, log, e)

	log = reopen()
	if got := mustHistory(t, log, e); !reflect.DeepEqual(got, before) {
		t.Errorf("after a restart History = %v, want %v", says(got), says(before))
	}
	if got := mustLast(t, log); got != last {
		t.Errorf("after a restart Last = %d, want %d", got, last)
	}
	wantConflict(t, log, e, last-1, guard(record(e, "tested", "late"), last-1))
	if next := mustAppend(t, log, guard(record(e, "tested", "4"), last)); next != last+1 {
		t.Errorf("after a restart Append = position %d, want %d", next, last+1)
	}
}

// testModel appends at random, alone and in batches, with right and with stale guards, and compares with a model:
// what is stored is what was not stale.
func testModel(t *testing.T, open Open) {
	log, _ := open(t)
	rapid.Check(t, func(rt *rapid.T) {
		entities := []events.Entity{entity(events.KindAssembly, "a-1"), entity(events.KindSite, "s-1"), entity(events.KindCrew, "c-1")}
		start := mustLast(t, log)
		lastOf := map[events.Entity]uint64{}
		var stored []string
		for step := range rapid.IntRange(1, 12).Draw(rt, "steps") {
			var batch []events.Append
			stale := map[events.Entity]bool{}
			touched := map[events.Entity]bool{}
			for i := range rapid.IntRange(1, 5).Draw(rt, "records") {
				e := rapid.SampledFrom(entities).Draw(rt, "entity")
				expect := lastOf[e]
				if !touched[e] && rapid.IntRange(0, 9).Draw(rt, "stale") == 0 {
					expect += rapid.Uint64Range(1, 3).Draw(rt, "off")
					stale[e] = true
				}
				touched[e] = true
				name := rapid.SampledFrom([]string{"registered", "corrected", "due"}).Draw(rt, "name")
				batch = append(batch, guard(record(e, name, fmt.Sprintf("%d.%d", step, i)), expect))
			}
			seq, err := log.Append(testContext(t), batch)
			var conflict *events.ConflictError
			switch {
			case len(stale) > 0:
				if !errors.As(err, &conflict) || !stale[conflict.Entity] {
					rt.Fatalf("step %d: Append = %v, want a conflict on one of %v", step, err, stale)
				}
			case err != nil:
				rt.Fatalf("step %d: Append = %v", step, err)
			default:
				first := seq - uint64(len(batch)) + 1
				for i, a := range batch {
					a.Seq = first + uint64(i)
					lastOf[a.Entity] = a.Seq
					stored = append(stored, says([]events.Record{a.Record})[0])
				}
			}
		}
		if got := says(mustRead(t, log, start+1)); len(got)+len(stored) > 0 && !reflect.DeepEqual(got, stored) {
			rt.Fatalf("Read = %v, want %v", got, stored)
		}
	})
}
