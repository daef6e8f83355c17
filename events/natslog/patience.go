package natslog

import (
	"context"
	"errors"
	"time"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

// askEvery is how long a question to the server waits for its answer before it is asked again.
const askEvery = 3 * time.Second

// patiently asks until there is an answer or ctx ends. In a cluster a question that meets an election is answered by
// nobody, not even later, so waiting longer for the first answer does not help. Only for questions that may be asked
// twice: reading, making a stream with the same settings, and keeping the same value under the same key.
func patiently[T any](ctx context.Context, ask func(context.Context) (T, error)) (T, error) {
	for {
		once, cancel := context.WithTimeout(ctx, askEvery)
		answer, err := ask(once)
		cancel()
		if !unanswered(err) {
			return answer, err
		}
		select {
		case <-ctx.Done():
			return answer, err
		case <-time.After(50 * time.Millisecond):
		}
	}
}

// unanswered: the server was silent, or said that it cannot answer just now.
func unanswered(err error) bool {
	var js jetstream.JetStreamError
	if errors.As(err, &js) && js.APIError() != nil {
		return js.APIError().Code == 503
	}
	return errors.Is(err, context.DeadlineExceeded) || errors.Is(err, nats.ErrTimeout) || isUnheard(err)
}

// isUnheard: nobody had the question or the message, as when a cluster's servers have yet to tell each other of a stream.
func isUnheard(err error) bool {
	return errors.Is(err, nats.ErrNoResponders) || errors.Is(err, jetstream.ErrNoStreamResponse)
}
