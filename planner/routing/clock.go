package routing

import (
	"context"
	"time"
)

// clock says when to stop. It is the only part of the engine that looks at the
// time.
type clock struct {
	ctx     context.Context
	started time.Time
	limit   time.Duration // 0 = none
	asked   int
	stopped StopReason // empty while running
}

func newClock(ctx context.Context, limit time.Duration) *clock {
	return &clock{ctx: ctx, started: time.Now(), limit: limit}
}

// due reports whether to stop. Cheap enough to be asked every few microseconds:
// it looks at the time once in 16 questions.
func (c *clock) due() bool {
	c.asked++
	if c.stopped != "" || c.asked%16 != 0 {
		return c.stopped != ""
	}
	return c.look()
}

// look is due without the thrift.
func (c *clock) look() bool {
	switch {
	case c.ctx.Err() != nil:
		c.stopped = StoppedCancelled
	case c.limit > 0 && time.Since(c.started) >= c.limit:
		c.stopped = StoppedTime
	}
	return c.stopped != ""
}

func (c *clock) elapsed() time.Duration { return time.Since(c.started) }

// spent is the share of the time limit used, 0 to 1; 0 without a limit.
func (c *clock) spent() float64 {
	if c.limit == 0 {
		return 0
	}
	return min(1, float64(c.elapsed())/float64(c.limit))
}
