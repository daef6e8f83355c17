package natslog

import (
	"context"
	"errors"
	"testing"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
)

func TestPatiently(t *testing.T) {
	refused := errors.New("refused")
	for name, c := range map[string]struct {
		answers []error // nil is an answer
		asked   int
		want    error
	}{
		"answered at once":       {answers: []error{nil}, asked: 1},
		"silence, then answered": {answers: []error{nats.ErrTimeout, context.DeadlineExceeded, nats.ErrNoResponders, jetstream.ErrNoStreamResponse, nil}, asked: 5},
		"refused is an answer":   {answers: []error{nats.ErrTimeout, refused, nil}, asked: 2, want: refused},
		"not found is an answer": {answers: []error{jetstream.ErrStreamNotFound, nil}, asked: 1, want: jetstream.ErrStreamNotFound},
	} {
		t.Run(name, func(t *testing.T) {
			asked := 0
			got, err := patiently(t.Context(), func(context.Context) (int, error) {
				asked++
				return asked, c.answers[asked-1]
			})
			if asked != c.asked || got != asked || !errors.Is(err, c.want) {
				t.Errorf("asked %d times, got %d, %v; want %d times, %v", asked, got, err, c.asked, c.want)
			}
		})
	}
	t.Run("gives up with its context", func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		_, err := patiently(ctx, func(context.Context) (int, error) { cancel(); return 0, nats.ErrTimeout })
		if !errors.Is(err, nats.ErrTimeout) {
			t.Errorf("err = %v, want %v", err, nats.ErrTimeout)
		}
	})
}
