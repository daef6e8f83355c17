package natslog

import (
	"testing"

	"github.com/nats-io/nats.go"
	"go.uber.org/zap"

	"valveround/events"
)

// storeForTest opens a store with access to its connection.
func storeForTest(t *testing.T) *Store {
	t.Helper()
	store, err := Open(t.Context(), Config{Dir: t.TempDir(), Logger: zap.NewNop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = store.Close() })
	return store
}

// Records written by a newer program or by hand must not keep the rest from being read.
func TestOddRecordsAreRead(t *testing.T) {
	whole := nats.Header{
		"ce-id": {"x-0"}, "ce-type": {"valveround.assembly.due"}, "ce-bodyversion": {"1"},
		"ce-command": {"000102030405060708090a0b0c0d0e0f"}, "ce-time": {"2026-03-02T08:30:00Z"}, "ce-recorded": {"2026-03-02T08:30:00Z"},
		"ce-prevhash": {events.Hash{7}.String()}, "ce-specversion": {"1.0"}, "ce-source": {"/valveround/north"}, "ce-actor": {"p-1"},
	}
	without := func(name string) nats.Header {
		h := nats.Header{}
		for n, v := range whole {
			if n != name {
				h[n] = v
			}
		}
		return h
	}
	cases := []struct {
		name, subject string
		header        nats.Header
		version       int
		prev          events.Hash
	}{
		{"whole", "vr.north.assembly.a-1.due", whole, 1, events.Hash{7}},
		{"no headers", "vr.north.assembly.a-1.due", nil, 0, events.Hash{}},
		{"no type", "vr.north.assembly.a-1.due", without("ce-type"), 0, events.Hash{7}},
		{"no time", "vr.north.assembly.a-1.due", without("ce-time"), 0, events.Hash{7}},
		{"a kind of thing we do not know", "vr.north.hydrant.h-1.flushed", whole, 0, events.Hash{7}},
		{"an id we would not write", "vr.north.assembly.a:1.due", whole, 0, events.Hash{7}},
	}
	store := storeForTest(t)
	for _, c := range cases {
		if _, err := store.js.PublishMsg(t.Context(), &nats.Msg{Subject: c.subject, Header: c.header, Data: []byte("{}")}); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
	}
	i := 0
	err := store.Read(t.Context(), 1, func(r events.Record) error {
		c := cases[i]
		i++
		if r.Subject() != c.subject || r.Version != c.version || r.Prev != c.prev || r.Seq != uint64(i) || string(r.Body) != "{}" {
			t.Errorf("%s: read %+v (subject %s), want subject %s, version %d", c.name, r, r.Subject(), c.subject, c.version)
		}
		return nil
	})
	if err != nil || i != len(cases) {
		t.Errorf("Read = %d records, %v, want %d", i, err, len(cases))
	}
	if _, err := store.js.Publish(t.Context(), "vr.north.assembly.a-1.too.long", nil); err == nil {
		t.Error("a subject that is no event's was stored")
	}
}

func TestDamageIsDenied(t *testing.T) {
	store := storeForTest(t)
	if _, err := store.js.Publish(t.Context(), "vr.north.site.s-1.arrived", nil); err != nil {
		t.Fatal(err)
	}
	if err := store.stream.Purge(t.Context()); err == nil {
		t.Error("the log was purged")
	}
	if err := store.stream.DeleteMsg(t.Context(), 1); err == nil {
		t.Error("a record was deleted")
	}
	if err := store.stream.SecureDeleteMsg(t.Context(), 1); err == nil {
		t.Error("a record was overwritten")
	}
}

// The settings that the promises of the log hang on, as the server understood them.
func TestStreamSettings(t *testing.T) {
	store := storeForTest(t)
	if err := checkStream(store.stream.CachedInfo().Config); err != nil {
		t.Error(err)
	}
	loose := eventStream(1, 1<<20)
	loose.DenyPurge, loose.AllowAtomicPublish, loose.MaxAge = false, false, 1
	if err := checkStream(loose); err == nil {
		t.Error("a stream that may lose records was taken for a log")
	}
	if e := (events.Entity{Office: "north", Kind: events.KindDay, ID: "2026-03-02"}); e.Subject("x") != "vr.north.day.2026-03-02.x" || events.AllSubjects != "vr.>" {
		t.Errorf("subjects (%s) no longer fit %s", e.Subject("x"), storedSubjects)
	}
}

func TestCheckServer(t *testing.T) {
	cases := []struct {
		version string
		max     int64
		ok      bool
	}{
		{"2.15.2", 8 << 20, true},
		{"2.14.4", 8 << 20, true},
		{"3.0.0", 8 << 20, true},
		{"2.16.0-RC.1", 8 << 20, true},
		{"2.14.3", 8 << 20, false},
		{"2.9.25", 8 << 20, false},
		{"new", 8 << 20, false},
		{"2.15.2", 1 << 20, false},
	}
	for _, c := range cases {
		if err := checkServer(c.version, c.max, 8<<20); (err == nil) != c.ok {
			t.Errorf("checkServer(%s, %d) = %v, want ok %v", c.version, c.max, err, c.ok)
		}
	}
}
