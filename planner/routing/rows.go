package routing

import (
	"runtime"
	"sync"
)

// bothProcessors is the number of workers for what is done before there are any.
const bothProcessors = 2

// eachOf does something for every number below a count, two at a time where there are
// two workers, until the clock, if any, says stop. What is done for one must not change what
// is done for another, so that the outcome does not depend on who did it. work makes
// what does it for one worker, with scratch of its own.
func eachOf(count, workers int, c *clock, work func() func(i int)) {
	const few = 64 // between two looks at the clock
	first := work()
	if workers < 2 || count < 2*few {
		for i := range count {
			if i%few == 0 {
				runtime.Gosched()
				if c != nil && c.look() {
					return
				}
			}
			first(i)
		}
		return
	}
	second := work()
	for low := 0; low < count && (c == nil || !c.look()); low += 8 * few {
		high := min(count, low+8*few)
		middle := (low + high) / 2
		var both sync.WaitGroup
		both.Go(func() {
			for i := middle; i < high; i++ {
				second(i)
			}
		})
		for i := low; i < middle; i++ {
			first(i)
		}
		both.Wait()
	}
}
