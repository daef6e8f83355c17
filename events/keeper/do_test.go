package keeper_test

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/keeper"
)

func TestDoWritesAndAnswersFromItsOwnFold(t *testing.T) {
	k, log := newKeeper(t)
	receipt := mustDo(t, k, putSite("s-1", "Mill"))
	if receipt.Position != 1 || len(receipt.EventIDs) != 1 || receipt.Repeated {
		t.Errorf("Do = %+v, want one event at position 1", receipt)
	}
	book := k.Book()
	if site := book.Sites["s-1"]; site == nil || site.Name != "Mill" || book.Position() != 1 {
		t.Errorf("Book at %d holds site %+v, want what was just written", book.Position(), site)
	}
	if k.Book() != book {
		t.Error("two readers at one position got two snapshots")
	}
	mustDo(t, k, putSite("s-1", "Old mill"))
	if book.Sites["s-1"].Name != "Mill" || k.Book().Sites["s-1"].Name != "Old mill" {
		t.Error("a snapshot must not change and the next must")
	}
	history, err := log.History(t.Context(), siteEntity("s-1"))
	if err != nil || len(history) != 2 || history[0].ID != receipt.EventIDs[0] || history[1].Prev != history[0].Hash() {
		t.Errorf("History = %+v, %v", history, err)
	}
	wantSameAfterReplay(t, k, log)
}

func TestDoTheSameCommandAgain(t *testing.T) {
	k, log := newKeeper(t)
	c := command(putSite("s-1", "Mill"))
	first, err := k.Do(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	mustDo(t, k, putSite("s-1", "Old mill"))
	again, err := k.Do(t.Context(), c)
	if err != nil || !again.Repeated || again.Position != first.Position || len(again.EventIDs) != 0 {
		t.Errorf("Do again = %+v, %v, want it known at %d", again, err, first.Position)
	}
	if name := k.Book().Sites["s-1"].Name; name != "Old mill" {
		t.Errorf("the repeated command changed the name back to %q", name)
	}
	_ = k.Close()
	k = openKeeper(t, log)
	if again, err := k.Do(t.Context(), c); err != nil || !again.Repeated || again.Position != first.Position {
		t.Errorf("Do after a restart = %+v, %v, want it known at %d", again, err, first.Position)
	}
}

func TestDoNothing(t *testing.T) {
	k, log := newKeeper(t)
	mustDo(t, k, putSite("s-1", "Mill"))
	t.Run("nothing to change", func(t *testing.T) {
		receipt := mustDo(t, k, putSite("s-1", "Mill"))
		if receipt.Position != 1 || len(receipt.EventIDs) != 0 || receipt.Repeated {
			t.Errorf("Do = %+v, want nothing written", receipt)
		}
	})
	t.Run("refused", func(t *testing.T) {
		_, err := k.Do(t.Context(), command(putFeed("f-1", "s-9")))
		var refusal *events.Refusal
		if !errors.As(err, &refusal) {
			t.Errorf("Do = %v, want a refusal", err)
		}
	})
	t.Run("no id", func(t *testing.T) {
		if _, err := k.Do(t.Context(), events.Command{Office: office, Happened: noon, Do: putSite("s-2", "x")}); err == nil {
			t.Error("Do took a command without an id")
		}
	})
	t.Run("a caller who has gone", func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		if _, err := k.Do(ctx, command(putSite("s-2", "x"))); !errors.Is(err, context.Canceled) {
			t.Errorf("Do = %v, want %v", err, context.Canceled)
		}
	})
	if last, err := log.Last(t.Context()); err != nil || last != 1 {
		t.Errorf("the log ends at %d, %v, want 1", last, err)
	}
}

func TestManyWritersOfOneProcess(t *testing.T) {
	k, log := newKeeper(t)
	const writers = 24
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			for i := range 10 {
				if _, err := k.Do(t.Context(), command(putSite("s-1", fmt.Sprintf("by %d, %d", w, i)))); err != nil {
					t.Errorf("writer %d: %v", w, err)
				}
			}
		})
	}
	all.Wait()
	if last, _ := log.Last(t.Context()); last != writers*10 {
		t.Errorf("the log ends at %d, want %d", last, writers*10)
	}
	if stats := k.Stats(); stats.Void != 0 || stats.Missing != 0 || stats.Records != writers*10 {
		t.Errorf("Stats = %+v", stats)
	}
	wantSameAfterReplay(t, k, log)
}

func TestOneCommandFromManyAtOnce(t *testing.T) {
	k, log := newKeeper(t)
	c := command(putSite("s-1", "Mill"))
	var fresh atomic.Int32
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			receipt, err := k.Do(t.Context(), c)
			if err != nil || receipt.Position != 1 {
				t.Errorf("Do = %+v, %v", receipt, err)
			}
			if !receipt.Repeated {
				fresh.Add(1)
			}
		})
	}
	all.Wait()
	if last, _ := log.Last(t.Context()); last != 1 || fresh.Load() != 1 {
		t.Errorf("the log ends at %d and %d were told that it is new, want 1 and 1", last, fresh.Load())
	}
}

// Two keepers on one log are what two processes on one cluster are.
func TestTwoKeepersRace(t *testing.T) {
	first, log := newKeeper(t)
	second := openKeeper(t, log)
	const each = 60
	var all sync.WaitGroup
	for i, k := range []*keeper.Keeper{first, second} {
		for w := range 2 {
			all.Go(func() {
				for n := range each {
					if _, err := k.Do(t.Context(), command(putSite("s-1", fmt.Sprint(i, w, n)))); err != nil {
						t.Errorf("keeper %d: %v", i, err)
					}
				}
			})
		}
	}
	all.Wait()
	wantSameAfterReplay(t, first, log)
	wantSameAfterReplay(t, second, log)
	if last, _ := log.Last(t.Context()); last != 4*each {
		t.Errorf("the log ends at %d, want %d", last, 4*each)
	}
}

func TestLostRacesAreTriedAgainAndThenReported(t *testing.T) {
	_, real := newKeeper(t)
	races := 0
	log := &interfered{Log: real}
	log.appending = func(ctx context.Context, batch []events.Append) (uint64, error) {
		if races > 0 { // somebody is quicker
			races--
			history, err := real.History(ctx, batch[0].Entity)
			if err != nil {
				return 0, err
			}
			prev := events.Hash{}
			if len(history) > 0 {
				prev = history[len(history)-1].Hash()
			}
			quick := rawRecord(batch[0].Entity, "corrected", `{"facts":{"name":"quick"}}`, prev)
			if _, err := real.Append(ctx, []events.Append{{Record: quick, ExpectLast: batch[0].ExpectLast}}); err != nil {
				return 0, err
			}
		}
		return real.Append(ctx, batch)
	}
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log, Attempts: 4})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = k.Close() })

	races = 3
	mustDo(t, k, putSite("s-1", "slow"))
	if name := k.Book().Sites["s-1"].Name; name != "slow" {
		t.Errorf("the site is called %q, want what was written last", name)
	}
	races = 4
	_, err = k.Do(t.Context(), command(putSite("s-1", "too slow")))
	var conflict *events.ConflictError
	if !errors.As(err, &conflict) || conflict.Entity != siteEntity("s-1") {
		t.Errorf("Do = %v, want the conflict", err)
	}
}

// In a cluster a change of leader can let a stale record through: the fold voids it and the writer tries again.
func TestRaceTheLogDidNotSee(t *testing.T) {
	_, real := newKeeper(t)
	blind := 0
	log := &interfered{Log: real}
	log.appending = func(ctx context.Context, batch []events.Append) (uint64, error) {
		if blind == 0 {
			return real.Append(ctx, batch)
		}
		blind--
		quick := rawRecord(batch[0].Entity, "corrected", `{"facts":{"name":"quick"}}`, batch[0].Prev)
		last, err := real.Append(ctx, []events.Append{{Record: quick, ExpectLast: batch[0].ExpectLast}})
		if err != nil {
			return 0, err
		}
		for i := range batch {
			batch[i].ExpectLast = last // the guard does not see it
		}
		return real.Append(ctx, batch)
	}
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = k.Close() })
	mustDo(t, k, putSite("s-1", "first"))
	blind = 1
	c := command(putSite("s-1", "second"))
	receipt, err := k.Do(t.Context(), c)
	if err != nil || receipt.Repeated || receipt.Position != 4 { // quick at 2, void at 3
		t.Fatalf("Do = %+v, %v, want position 4", receipt, err)
	}
	if name := k.Book().Sites["s-1"].Name; name != "second" {
		t.Errorf("the site is called %q, want %q", name, "second")
	}
	if stats := k.Stats(); stats.Void != 1 {
		t.Errorf("Stats = %+v, want one void record", stats)
	}
	wantSameAfterReplay(t, k, real)
}

func TestTheAnswerIsLost(t *testing.T) {
	for _, c := range []struct {
		name   string
		stored bool
	}{{"after it was stored", true}, {"before it was stored", false}} {
		t.Run(c.name, func(t *testing.T) {
			_, real := newKeeper(t)
			log := &interfered{Log: real, appending: func(ctx context.Context, batch []events.Append) (uint64, error) {
				if c.stored {
					if _, err := real.Append(ctx, batch); err != nil {
						return 0, err
					}
				}
				return 0, errCut
			}}
			k := openKeeper(t, log)
			receipt, err := k.Do(t.Context(), command(putSite("s-1", "Mill")))
			if c.stored && (err != nil || receipt.Position != 1) {
				t.Errorf("Do = %+v, %v, want it found at position 1", receipt, err)
			}
			if !c.stored && !errors.Is(err, errCut) {
				t.Errorf("Do = %v, want %v", err, errCut)
			}
		})
	}
}

// A caller who goes away while the event is under way gets no answer, but the event is written whole.
func TestTheCallerGoesAwayMeanwhile(t *testing.T) {
	_, real := newKeeper(t)
	ctx, cancel := context.WithCancel(t.Context())
	log := &interfered{Log: real, appending: func(ctx context.Context, batch []events.Append) (uint64, error) {
		cancel()
		time.Sleep(time.Millisecond)
		return real.Append(ctx, batch)
	}}
	k := openKeeper(t, log)
	if receipt, err := k.Do(ctx, command(putSite("s-1", "Mill"))); err != nil || receipt.Position != 1 {
		t.Errorf("Do = %+v, %v, want it carried out", receipt, err)
	}
}

func TestUnknownEventMakesItsEntityReadOnly(t *testing.T) {
	k, log := newKeeper(t)
	mustDo(t, k, putSite("s-1", "Mill"))
	mustDo(t, k, putSite("s-2", "Barn"))
	history, err := log.History(t.Context(), siteEntity("s-1"))
	if err != nil {
		t.Fatal(err)
	}
	strange := rawRecord(siteEntity("s-1"), "painted", `{"colour":"green"}`, history[0].Hash())
	last, err := log.Append(t.Context(), []events.Append{{Record: strange, ExpectLast: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if err := k.Wait(t.Context(), last); err != nil {
		t.Fatal(err)
	}
	if stats := k.Stats(); stats.Unknown["site.painted version 1"] != 1 {
		t.Errorf("Stats = %+v, want the unknown event counted", stats)
	}
	var refusal *events.Refusal
	if _, err := k.Do(t.Context(), command(putSite("s-1", "Old mill"))); !errors.As(err, &refusal) {
		t.Errorf("Do on the entity = %v, want a refusal", err)
	}
	mustDo(t, k, putSite("s-2", "Old barn"))
}

func TestClosedKeeper(t *testing.T) {
	k, _ := newKeeper(t)
	mustDo(t, k, putSite("s-1", "Mill"))
	if err := k.Err(); err != nil {
		t.Errorf("Err = %v while open", err)
	}
	_ = k.Close()
	if _, err := k.Do(t.Context(), command(putSite("s-1", "x"))); !errors.Is(err, keeper.ErrClosed) {
		t.Errorf("Do = %v, want %v", err, keeper.ErrClosed)
	}
	if err := k.Wait(t.Context(), 99); !errors.Is(err, keeper.ErrClosed) {
		t.Errorf("Wait = %v, want %v", err, keeper.ErrClosed)
	}
	if k.Book().Sites["s-1"] == nil {
		t.Error("the book can no longer be read")
	}
}

func TestLogClosedUnderTheKeeper(t *testing.T) {
	k, log := newKeeper(t)
	_ = log.Close()
	<-k.Done()
	if err := k.Err(); !errors.Is(err, keeper.ErrClosed) {
		t.Errorf("Err = %v, want %v", err, keeper.ErrClosed)
	}
}

func TestReplayTellsItsProgress(t *testing.T) {
	k, log := newKeeper(t)
	for i := range 5 {
		mustDo(t, k, putSite("s-1", fmt.Sprint(i)))
	}
	var position, last uint64
	again, err := keeper.Open(t.Context(), keeper.Config{Log: log, Progress: func(p, l uint64) { position, last = p, l }})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = again.Close() }()
	if position != 5 || last != 5 || digest(again) != digest(k) {
		t.Errorf("progress ended at %d of %d, want 5 of 5 and the same book", position, last)
	}
}
