package natslog

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"strconv"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/synadia-io/orbit.go/jetstreamext"

	"valveround/events"
)

// Append stores all records or none; see events.Log. Besides *events.ConflictError, events.ErrTooLarge and
// events.ErrBatchSize it returns ErrDiskFull (nothing was stored), ErrClosed, and ErrUnavailable, after which it
// is not known whether the records were stored.
func (s *Store) Append(ctx context.Context, batch []events.Append) (uint64, error) {
	if len(batch) == 0 || len(batch) > events.MaxBatch {
		return 0, fmt.Errorf("append %d records: %w", len(batch), events.ErrBatchSize)
	}
	if s.isClosed() {
		return 0, ErrClosed
	}
	messages, err := s.messages(batch)
	if err != nil {
		return 0, err
	}
	if err := s.checkRoom(); err != nil {
		return 0, err
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	for pause := time.Millisecond; ; pause = min(2*pause, 100*time.Millisecond) {
		seq, err := s.publish(ctx, messages)
		if err == nil {
			s.advance(seq)
			return seq, nil
		}
		again := s.server == nil && isUnheard(err)
		refused := s.appendError(err)
		if isConflict(err) {
			refused, again = s.conflict(ctx, batch)
			again = again && !isRepeat(err)
		}
		if !again {
			return 0, refused
		}
		select {
		case <-ctx.Done():
			return 0, refused
		case <-s.closed:
			return 0, ErrClosed
		case <-time.After(pause):
		}
	}
}

// publish sends the messages, one by itself and more as an atomic batch.
func (s *Store) publish(ctx context.Context, messages []*nats.Msg) (uint64, error) {
	if len(messages) == 1 {
		return s.publishOne(ctx, messages[0])
	}
	return s.publishBatch(ctx, messages)
}

// messages writes the records as messages, the guard on the first of each entity.
func (s *Store) messages(batch []events.Append) ([]*nats.Msg, error) {
	guarded := make(map[events.Entity]bool, 1)
	messages := make([]*nats.Msg, len(batch))
	for i, a := range batch {
		m := message(a)
		if !guarded[a.Entity] {
			guarded[a.Entity] = true
			m.Header.Set(jetstream.ExpectedLastSubjSeqHeader, strconv.FormatUint(a.ExpectLast, 10))
			m.Header.Set(jetstream.ExpectedLastSubjSeqSubjHeader, a.Entity.Filter())
		}
		if size := m.Size() + batchHeaders; size > s.cfg.MaxPayload {
			return nil, fmt.Errorf("record %d of %d, %s, has %d bytes of at most %d: %w",
				i+1, len(batch), m.Subject, size, s.cfg.MaxPayload, events.ErrTooLarge)
		}
		messages[i] = m
	}
	return messages, nil
}

// batchHeaders is room for what the client adds to a message of a batch.
const batchHeaders = 256

// message writes one record. The message id is only the server's first sieve against a message sent twice; it
// holds the guard too, so that a record which has to be written again after a lost race is not taken for the first.
func message(a events.Append) *nats.Msg {
	header := make(nats.Header, len(a.Headers)+5)
	for name, value := range a.Headers {
		header[name] = []string{value}
	}
	header.Set(jetstream.MsgIDHeader, string(a.ID)+"@"+strconv.FormatUint(a.ExpectLast, 10))
	return &nats.Msg{Subject: a.Subject(), Header: header, Data: a.Body}
}

func (s *Store) publishOne(ctx context.Context, m *nats.Msg) (uint64, error) {
	ack, err := s.js.PublishMsg(ctx, m)
	switch {
	case err != nil:
		return 0, err
	case ack.Duplicate: // a cluster says so before it looks at the guard
		return 0, errDuplicate
	}
	return ack.Sequence, nil
}

// errDuplicate: the server remembers the very message.
var errDuplicate = errors.New("the record is stored already")

// publishBatch sends one atomic batch, and waits and tries again while the server has too many open ones.
func (s *Store) publishBatch(ctx context.Context, messages []*nats.Msg) (uint64, error) {
	s.batches.Lock()
	defer s.batches.Unlock()
	for pause := 20 * time.Millisecond; ; pause *= 2 {
		ack, err := jetstreamext.PublishMsgBatch(ctx, s.js, messages)
		if err == nil {
			return ack.Sequence, nil
		}
		if !isBusy(err) {
			return 0, err
		}
		select {
		case <-ctx.Done():
			return 0, errors.Join(err, ctx.Err())
		case <-s.closed:
			return 0, ErrClosed
		case <-time.After(pause/2 + rand.N(pause)):
		}
	}
}

// conflict names the first entity that is not where the writer thought, and says whether the append is worth trying
// again, because nobody has written in between. A cluster refuses for two more reasons: it is still at work on an
// earlier record of the entity, for a moment even after that one was acknowledged; and a new leader has yet to store
// what the old one acknowledged.
func (s *Store) conflict(ctx context.Context, batch []events.Append) (conflict error, again bool) {
	end, err := s.Last(ctx) // before the entities are looked at, which may have arrived by then
	seen := make(map[events.Entity]bool, 1)
	for _, a := range batch {
		if seen[a.Entity] {
			continue
		}
		seen[a.Entity] = true
		last, failed := s.lastOf(ctx, a.Entity)
		if failed == nil && last == a.ExpectLast {
			continue
		}
		isBehind := last < a.ExpectLast && end < a.ExpectLast && a.ExpectLast <= s.acked.Load()
		return &events.ConflictError{Entity: a.Entity, Expected: a.ExpectLast}, isBehind && errors.Join(err, failed) == nil
	}
	return &events.ConflictError{Entity: batch[0].Entity, Expected: batch[0].ExpectLast}, true
}

// lastOf asks the stream's leader for the position of an entity's newest record. (The client's own call may be
// answered by a copy that is behind.)
func (s *Store) lastOf(ctx context.Context, e events.Entity) (uint64, error) {
	question, err := json.Marshal(map[string]string{"last_by_subj": e.Filter()})
	if err != nil {
		return 0, err
	}
	answer, err := s.conn.RequestWithContext(ctx, "$JS.API.STREAM.MSG.GET."+streamName, question)
	if err != nil {
		return 0, err
	}
	var got struct {
		Error   *jetstream.APIError `json:"error"`
		Message struct {
			Seq uint64 `json:"seq"`
		} `json:"message"`
	}
	if err := json.Unmarshal(answer.Data, &got); err != nil {
		return 0, err
	}
	if got.Error != nil && got.Error.ErrorCode != jetstream.JSErrCodeMessageNotFound {
		return 0, got.Error
	}
	return got.Message.Seq, nil
}

// checkRoom refuses to write when the disk is nearly full: the embedded server switches itself off when
// a write fails for want of room, and then not even reading works.
func (s *Store) checkRoom() error {
	if s.server == nil || s.cfg.ReserveBytes < 0 {
		return nil
	}
	free, err := s.folder.free()
	if err != nil {
		return err
	}
	if free < uint64(s.cfg.ReserveBytes) {
		return fmt.Errorf("append to the event log: %d MB free on the disk of %s, %d MB are kept in reserve: %w",
			free>>20, s.cfg.Dir, s.cfg.ReserveBytes>>20, ErrDiskFull)
	}
	return nil
}
