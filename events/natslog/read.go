package natslog

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/synadia-io/orbit.go/jetstreamext"
	"go.uber.org/zap"

	"valveround/events"
)

// Last is the position of the newest record.
func (s *Store) Last(ctx context.Context) (uint64, error) {
	info, err := s.info(ctx)
	if err != nil {
		return 0, err
	}
	return info.State.LastSeq, nil
}

// Read calls each record from position from to what was the end when it was called.
func (s *Store) Read(ctx context.Context, from uint64, each func(events.Record) error) error {
	info, err := s.info(ctx)
	if err != nil {
		return err
	}
	from, last := max(from, 1, info.State.FirstSeq), info.State.LastSeq
	if from > last {
		return nil
	}
	messages, err := s.replay(ctx, from)
	if err != nil {
		return err
	}
	defer messages.Stop()
	for {
		r, err := s.nextSoon(ctx, messages)
		if err != nil {
			return s.readEnded(from, last, err)
		}
		if r.Seq > last { // the record at the end is missing
			return nil
		}
		if err := each(r); err != nil {
			return err
		}
		if r.Seq == last {
			return nil
		}
		from = r.Seq + 1
	}
}

// nextSoon waits for the next of the records that are there.
func (s *Store) nextSoon(ctx context.Context, messages jetstream.MessagesContext) (events.Record, error) {
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	return s.next(ctx, messages)
}

// readEnded judges why reading stopped before the end. When the embedded server has no more to give, the last
// records are lost, which a reader must survive; a copy in a cluster may only be slow.
func (s *Store) readEnded(from, last uint64, err error) error {
	if errors.Is(err, context.DeadlineExceeded) && s.server != nil && s.server.JetStreamEnabled() {
		s.log.Error("the last records of the event log are missing", zap.Uint64("from", from), zap.Uint64("to", last))
		return nil
	}
	return fmt.Errorf("read the event log at %d of %d: %w: %w", from, last, ErrUnavailable, err)
}

// Follow calls each record from position from on until the context ends, each fails or the store is closed.
// When the server cannot be reached it waits and goes on where it was.
func (s *Store) Follow(ctx context.Context, from uint64, each func(events.Record) error) error {
	next := max(from, 1)
	for pause := 100 * time.Millisecond; ; {
		var stop error // of each
		err := s.followOnce(ctx, next, func(r events.Record) error {
			next, pause = r.Seq+1, 100*time.Millisecond
			stop = each(r)
			return stop
		})
		switch {
		case stop != nil:
			return stop
		case ctx.Err() != nil:
			return ctx.Err()
		case s.isClosed():
			return ErrClosed
		}
		s.log.Warn("following the event log was interrupted", zap.Uint64("next", next), zap.Error(err))
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-s.closed:
			return ErrClosed
		case <-time.After(pause):
		}
		pause = min(2*pause, 5*time.Second)
	}
}

func (s *Store) followOnce(ctx context.Context, from uint64, each func(events.Record) error) error {
	messages, err := s.replay(ctx, from)
	if err != nil {
		return err
	}
	defer messages.Stop()
	ended := make(chan struct{})
	defer close(ended)
	go func() { // Next does not notice that the store is being closed
		select {
		case <-s.closed:
			messages.Stop()
		case <-ended:
		}
	}()
	for {
		r, err := s.next(ctx, messages)
		if err != nil {
			return err
		}
		if err := each(r); err != nil {
			return err
		}
	}
}

// replay opens an ordered consumer: each record once, in order, whatever happens to the connection.
func (s *Store) replay(ctx context.Context, from uint64) (jetstream.MessagesContext, error) {
	if s.isClosed() {
		return nil, ErrClosed
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	consumer, err := s.stream.OrderedConsumer(ctx, jetstream.OrderedConsumerConfig{
		DeliverPolicy:     jetstream.DeliverByStartSequencePolicy,
		OptStartSeq:       from,
		ReplayPolicy:      jetstream.ReplayInstantPolicy,
		InactiveThreshold: 5 * time.Minute,
	})
	if err != nil {
		return nil, fmt.Errorf("read the event log from %d: %w: %w", from, ErrUnavailable, err)
	}
	messages, err := consumer.Messages(jetstream.PullMaxMessagesWithBytesLimit(pullRecords, pullBytes))
	if err != nil {
		return nil, fmt.Errorf("read the event log from %d: %w: %w", from, ErrUnavailable, err)
	}
	return messages, nil
}

// next waits for the next record.
func (s *Store) next(ctx context.Context, messages jetstream.MessagesContext) (r events.Record, err error) {
	m, err := messages.Next(jetstream.NextContext(ctx))
	if err != nil {
		if errors.Is(err, jetstream.ErrMsgIteratorClosed) && s.isClosed() {
			err = ErrClosed
		}
		return r, err
	}
	meta, err := m.Metadata()
	if err != nil {
		return r, fmt.Errorf("a record without a position: %w", err)
	}
	return s.record(m.Subject(), m.Headers(), m.Data(), meta.Sequence.Stream), nil
}

// History reads one entity's records in order, in a few round trips and without a consumer.
func (s *Store) History(ctx context.Context, e events.Entity) ([]events.Record, error) {
	if s.isClosed() {
		return nil, ErrClosed
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	last, err := s.lastOf(ctx, e)
	if err != nil {
		return nil, fmt.Errorf("read the history of %s: %w: %w", e, ErrUnavailable, err)
	}
	var history []events.Record
	for from := uint64(1); from <= last; {
		got, err := s.historyFrom(ctx, e, from)
		if err != nil {
			return nil, fmt.Errorf("read the history of %s: %w: %w", e, ErrUnavailable, err)
		}
		if len(got) == 0 { // the copy that answered is behind
			time.Sleep(5 * time.Millisecond)
			continue
		}
		history = append(history, got...)
		from = got[len(got)-1].Seq + 1
	}
	return history, nil
}

// historyRecords is how many records one round trip asks for.
const historyRecords = 1000

func (s *Store) historyFrom(ctx context.Context, e events.Entity, from uint64) ([]events.Record, error) {
	messages, err := jetstreamext.GetBatch(ctx, s.js, streamName, historyRecords,
		jetstreamext.GetBatchSubject(e.Filter()), jetstreamext.GetBatchSeq(from), jetstreamext.GetBatchMaxBytes(pullBytes))
	if err != nil {
		return nil, err
	}
	var got []events.Record
	for m, err := range messages {
		if errors.Is(err, jetstreamext.ErrNoMessages) {
			break
		}
		if err != nil {
			return nil, err
		}
		got = append(got, s.record(m.Subject, m.Header, m.Data, m.Sequence))
	}
	return got, nil
}

// record reads a stored message. What cannot be read is passed on all the same, with Version zero, which no event
// has: the fold then keeps and counts it like an event it does not know. One odd message must not keep the
// whole log from being read.
func (s *Store) record(subject string, header nats.Header, body []byte, seq uint64) events.Record {
	ours := make(map[string]string, len(header))
	for name, values := range header {
		if strings.HasPrefix(name, "ce-") && len(values) > 0 {
			ours[name] = values[0]
		}
	}
	r, err := events.Open(subject, ours, body, seq)
	if err == nil {
		return r
	}
	s.log.Error("a record of the event log cannot be read", zap.Uint64("position", seq), zap.String("subject", subject), zap.Error(err))
	if r.Entity == (events.Entity{}) { // a kind of thing this code does not know: read the headers without it
		r, _ = events.Open(events.Entity{Office: events.Firm, Kind: events.KindPerson, ID: "unknown"}.Subject("unknown"), ours, body, seq)
		part := strings.SplitN(subject, ".", 5) // as many as storedSubjects lets through
		r.Entity, r.Name = events.Entity{Office: events.OfficeID(part[1]), Kind: events.Kind(part[2]), ID: part[3]}, part[4]
	}
	r.Version = 0
	return r
}
