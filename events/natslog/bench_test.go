package natslog_test

import (
	"fmt"
	"sync"
	"testing"

	"go.uber.org/zap"

	"valveround/events"
	"valveround/events/natslog"
)

// bodyBytes is about what a field-test result has.
const bodyBytes = 300

func BenchmarkAppend(b *testing.B) {
	for _, size := range []int{1, 2, 10, 100, 200, 1000} {
		b.Run(fmt.Sprintf("records=%d", size), func(b *testing.B) {
			store := openStore(b, natslog.Config{Dir: b.TempDir(), Logger: zap.NewNop()})
			for b.Loop() {
				batch := make([]events.Append, size)
				for i := range batch {
					batch[i] = events.Append{Record: sealed(newEntity(events.KindAssembly), "registered", bodyBytes)}
				}
				if _, err := store.Append(b.Context(), batch); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N*size)/b.Elapsed().Seconds(), "records/s")
		})
	}
}

func BenchmarkAppendFrom32Writers(b *testing.B) {
	store := openStore(b, natslog.Config{Dir: b.TempDir(), Logger: zap.NewNop()})
	work := make(chan struct{})
	var all sync.WaitGroup
	for range 32 {
		all.Go(func() {
			for range work {
				r := sealed(newEntity(events.KindAssembly), "registered", bodyBytes)
				if _, err := store.Append(b.Context(), []events.Append{{Record: r}}); err != nil {
					b.Error(err)
				}
			}
		})
	}
	for b.Loop() {
		work <- struct{}{}
	}
	close(work)
	all.Wait()
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "records/s")
}

func BenchmarkRead(b *testing.B) {
	store := openStore(b, natslog.Config{Dir: b.TempDir(), Logger: zap.NewNop()})
	const records = 100_000
	for range records / events.MaxBatch {
		batch := make([]events.Append, events.MaxBatch)
		for i := range batch {
			batch[i] = events.Append{Record: sealed(newEntity(events.KindAssembly), "registered", bodyBytes)}
		}
		if _, err := store.Append(b.Context(), batch); err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		count := 0
		err := store.Read(b.Context(), 1, func(events.Record) error { count++; return nil })
		if err != nil || count != records {
			b.Fatalf("read %d records, %v", count, err)
		}
	}
	b.ReportMetric(float64(b.N*records)/b.Elapsed().Seconds(), "records/s")
}
