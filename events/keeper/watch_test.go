package keeper_test

import (
	"context"
	"fmt"
	"testing"

	"valveround/events/keeper"
)

func TestWatch(t *testing.T) {
	k, _ := newKeeper(t)
	mustDo(t, k, putSite("s-1", "Mill"))
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	early, late := k.Watch(ctx, 0), k.Watch(ctx, k.Book().Position())
	mustDo(t, k, putSite("s-1", "Old mill"))
	mustDo(t, k, putSite("s-2", "Barn"))
	for _, c := range []struct {
		name    string
		changes <-chan keeper.Change
		want    []keeper.Change
	}{
		{"from the beginning", early, []keeper.Change{
			{Position: 1, Entity: siteEntity("s-1"), Name: "registered"},
			{Position: 2, Entity: siteEntity("s-1"), Name: "corrected"}, {Position: 3, Entity: siteEntity("s-2"), Name: "registered"}}},
		{"from now", late, []keeper.Change{
			{Position: 2, Entity: siteEntity("s-1"), Name: "corrected"}, {Position: 3, Entity: siteEntity("s-2"), Name: "registered"}}},
	} {
		for _, want := range c.want {
			if got := <-c.changes; got != want {
				t.Errorf("%s: got %+v, want %+v", c.name, got, want)
			}
		}
	}
	cancel()
	for range early { // ends
	}
}

func TestWatchEndsWithTheKeeper(t *testing.T) {
	k, _ := newKeeper(t)
	changes := k.Watch(t.Context(), 0)
	mustDo(t, k, putSite("s-1", "Mill"))
	_ = k.Close()
	count := 0
	for range changes {
		count++
	}
	if count != 1 {
		t.Errorf("%d changes before the end, want 1", count)
	}
	for range k.Watch(t.Context(), 0) {
		t.Error("a closed keeper has changes")
	}
}

func TestSlowWatcherIsToldToReadAfresh(t *testing.T) {
	k, _ := newKeeper(t)
	slow := k.Watch(t.Context(), 0)
	if _, err := k.Import(t.Context(), county(1500), nil); err != nil { // nobody reads meanwhile
		t.Fatal(err)
	}
	last := uint64(0)
	resync := false
	for last < 6000 {
		c := <-slow
		if c.Position <= last {
			t.Fatalf("position %d after %d", c.Position, last)
		}
		if c.Position != last+1 && !c.Resync {
			t.Fatalf("position %d after %d without a word", c.Position, last)
		}
		last, resync = c.Position, resync || c.Resync
	}
	if !resync {
		t.Error("the slow reader was not told to read afresh")
	}
	receipt := mustDo(t, k, putSite("s-1", "after"))
	if c := <-slow; c.Resync || c.Position != receipt.Position {
		t.Errorf("after reading afresh: %+v, want the change at %d", c, receipt.Position)
	}
}

func TestLateWatcherIsToldToReadAfresh(t *testing.T) {
	k, _ := newKeeper(t)
	if _, err := k.Import(t.Context(), county(1500), nil); err != nil {
		t.Fatal(err)
	}
	// What is answered may be told to watchers a moment later: wait for the last.
	if c := <-k.Watch(t.Context(), 5999); c.Position != 6000 {
		t.Fatalf("the last change is %+v, want it at 6000", c)
	}
	for _, from := range []uint64{0, 1903, 1904, 4900, 5999} {
		t.Run(fmt.Sprint(from), func(t *testing.T) {
			c := <-k.Watch(t.Context(), from)
			if want := from < 6000-1024; c.Resync != want || c.Resync && c.Position != 6000 || !c.Resync && c.Position != from+1 {
				t.Errorf("first change = %+v, want resync %v", c, want)
			}
		})
	}
}
