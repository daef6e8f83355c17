package geo

import (
	"context"
	"fmt"
	"runtime"
	"sync"
	"sync/atomic"
)

// serialPairs is how many pairs of a matrix one goroutine does by itself: fewer
// are not worth starting others for.
const serialPairs = 1 << 14

// eachRow calls work once for each row, on all processors when there are many
// pairs, and progress, if not nil, from the calling goroutine with the pairs done
// so far: never fewer than before, in the end all. A cancelled context stops it
// between rows and is the error.
func eachRow(ctx context.Context, rows, columns int, progress func(done, total int), work func(i int)) error {
	if progress == nil {
		progress = func(int, int) {}
	}
	workers := min(runtime.GOMAXPROCS(0), rows)
	if rows*columns <= serialPairs || workers < 2 {
		for i := range rows {
			if err := ctx.Err(); err != nil {
				return fmt.Errorf("row %d of %d: %w", i+1, rows, err)
			}
			work(i)
			progress((i+1)*columns, rows*columns)
		}
		return nil
	}

	var next atomic.Int64
	finished := make(chan int, workers)
	var running sync.WaitGroup
	for range workers {
		running.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= rows {
					return
				}
				work(i)
				finished <- 1
			}
		})
	}
	go func() {
		running.Wait()
		close(finished)
	}()
	done := 0
	for n := range finished {
		done += n
		progress(done*columns, rows*columns)
	}
	if done < rows {
		return fmt.Errorf("after %d of %d rows: %w", done, rows, ctx.Err())
	}
	return nil
}
