package crew

import (
	"fmt"
	"time"
)

// Bounds on what is believed of a phone's clock; common practice.
const (
	// clockSlack is what the way there and back, and clocks that are kept by the network, may differ by.
	clockSlack = 2 * time.Minute
	// clockMoved is from where on two offsets of one phone mean that somebody has set its clock in between.
	clockMoved = 10 * time.Minute
	// clockBelieved is the largest offset that is taken for one: a phone whose battery died may wake up in 1970.
	clockBelieved = 100 * 365 * 24 * time.Hour
)

// Clock is what is known of the clock of a phone when a fact comes in.
type Clock struct {
	// Offset is the phone's clock minus the server's, so that what it says happened is never later than it was received;
	// nil: not known.
	Offset *time.Duration
	// Doubt says in words why the time is not sure; empty: it is.
	Doubt string
}

// clock works out the phone's offset for this fact. The phone learned one at its last sync before the tap; the other follows
// from its clock as it sent and the server's as it received, and stands in where the first is missing or cannot be right.
// What the phone says stays as it says it.
func (r Request) clock(received time.Time) Clock {
	learned, sending := believed(r.ClockOffsetMS), r.sending(received)
	c := Clock{Offset: learned}
	if c.Offset == nil {
		c.Offset = sending
	}
	if learned != nil && sending != nil && (*learned-*sending).Abs() > clockMoved {
		c.Doubt = fmt.Sprintf("the phone's clock was set between recording and sending (%s, then %s): the time is not sure", offBy(*learned), offBy(*sending))
	}
	if ahead := r.Happened.Sub(received) - offsetOf(c.Offset); ahead > 0 {
		c = r.notAhead(c, sending, received, ahead)
	}
	return c
}

// notAhead puts right what would have happened later than it was received.
func (r Request) notAhead(c Clock, sending *time.Duration, received time.Time, ahead time.Duration) Clock {
	if sending != nil && r.Happened.Sub(received) <= *sending && ahead > clockSlack {
		c.Offset = sending
		return c
	}
	offset := r.Happened.Sub(received)
	c.Offset = &offset
	if ahead > clockSlack && c.Doubt == "" {
		c.Doubt = "by the phone's clock this has yet to happen: the time it was received is taken"
	}
	return c
}

// sending is the phone's offset as this was sent, the way there counted in; nil when the phone does not say.
func (r Request) sending(received time.Time) *time.Duration {
	if r.Sent == nil {
		return nil
	}
	offset := r.Sent.Sub(received)
	if offset.Abs() > clockBelieved {
		return nil
	}
	return &offset
}

func believed(ms *int64) *time.Duration {
	if ms == nil || *ms > clockBelieved.Milliseconds() || *ms < -clockBelieved.Milliseconds() {
		return nil
	}
	offset := time.Duration(*ms) * time.Millisecond
	return &offset
}

func offsetOf(offset *time.Duration) time.Duration {
	if offset == nil {
		return 0
	}
	return *offset
}

// offBy says how wrong a clock is: "5 h 2 min ahead".
func offBy(offset time.Duration) string {
	minutes := int(offset.Abs().Round(time.Minute) / time.Minute)
	words := fmt.Sprintf("%d min", minutes)
	if minutes >= 60 {
		words = fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
	}
	switch {
	case minutes == 0:
		return "right"
	case offset < 0:
		return words + " behind"
	}
	return words + " ahead"
}
