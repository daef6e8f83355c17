package keeper_test

import (
	"fmt"
	"sync"
	"testing"

	"valveround/events"
	"valveround/events/keeper"
)

func BenchmarkDo(b *testing.B) {
	k, _ := newKeeper(b)
	n := 0
	for b.Loop() {
		mustDo(b, k, putSite(fmt.Sprintf("s-%d", n), "Mill"))
		n++
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "commands/s")
}

func BenchmarkDoFrom32Writers(b *testing.B) {
	k, _ := newKeeper(b)
	work := make(chan int)
	var all sync.WaitGroup
	for range 32 {
		all.Go(func() {
			for n := range work {
				if _, err := k.Do(b.Context(), command(putSite(fmt.Sprintf("s-%d", n), "Mill"))); err != nil {
					b.Error(err)
				}
			}
		})
	}
	n := 0
	for b.Loop() {
		work <- n
		n++
	}
	close(work)
	all.Wait()
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "commands/s")
}

func BenchmarkImport(b *testing.B) {
	const things = 2500 // four commands each
	k, _ := newKeeper(b)
	n := 0
	for b.Loop() {
		var all []events.Command
		for _, c := range county(things) {
			all = append(all, renamed(c, n))
		}
		if _, err := k.Import(b.Context(), all, nil); err != nil {
			b.Fatal(err)
		}
		n++
	}
	b.ReportMetric(float64(b.N*4*things)/b.Elapsed().Seconds(), "commands/s")
}

// renamed gives the sites of another round other ids; what hangs on them keeps its own and becomes a correction.
func renamed(c events.Command, round int) events.Command {
	switch do := c.Do.(type) {
	case events.Put[events.SiteFacts]:
		do.Facts.Name = fmt.Sprint("round ", round)
		c.Do = do
	case events.Put[events.FeedFacts]:
		do.Facts.Name = fmt.Sprint("round ", round)
		c.Do = do
	case events.Put[events.AssemblyFacts]:
		do.Facts.Place = fmt.Sprint("round ", round)
		c.Do = do
	case events.ListDue:
		do.Due = do.Due.AddDays(round)
		c.Do = do
	}
	return c
}

// BenchmarkBookOf100000 measures what replaying and looking at a large company costs.
func BenchmarkBookOf100000(b *testing.B) {
	k, log := newKeeper(b)
	const assemblies = 100_000
	if _, err := k.Import(b.Context(), county(assemblies), nil); err != nil {
		b.Fatal(err)
	}
	b.Run("replay", func(b *testing.B) {
		for b.Loop() {
			again, err := keeper.Open(b.Context(), keeper.Config{Log: log})
			if err != nil || len(again.Book().Assemblies) != assemblies {
				b.Fatal(err)
			}
			_ = again.Close()
		}
		b.ReportMetric(float64(b.N*4*assemblies)/b.Elapsed().Seconds(), "records/s")
	})
	b.Run("snapshot", func(b *testing.B) {
		var book *events.Book
		for b.Loop() {
			k.Look(func(live *events.Book) { book = live.Snapshot() })
		}
		if len(book.Assemblies) != assemblies {
			b.Fatal("the snapshot is not whole")
		}
	})
	b.Run("do", func(b *testing.B) {
		n := 0
		for b.Loop() {
			mustDo(b, k, putSite(fmt.Sprintf("s-%d", n%assemblies), fmt.Sprint("again ", n)))
			n++
		}
	})
	b.Run("do and look", func(b *testing.B) {
		n := 0
		for b.Loop() {
			mustDo(b, k, putSite(fmt.Sprintf("s-%d", n%assemblies), fmt.Sprint("and again ", n)))
			n++
			if k.Book().Sites["s-1"] == nil {
				b.Fatal("gone")
			}
		}
	})
}
