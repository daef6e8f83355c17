package natslog

import (
	"context"
	"errors"
	"fmt"

	"github.com/nats-io/nats.go/jetstream"

	"valveround/events"
)

// Put keeps details about a person or site in place of what was kept before.
func (s *Store) Put(ctx context.Context, key string, details []byte) error {
	if err := events.CheckID(key); err != nil {
		return fmt.Errorf("keep details: %w", err)
	}
	if len(details) > maxDetails-batchHeaders {
		return fmt.Errorf("keep details of %s: %d bytes: %w", key, len(details), events.ErrTooLarge)
	}
	if err := s.checkRoom(); err != nil {
		return err
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	if _, err := s.people.Put(ctx, key, details); err != nil {
		return fmt.Errorf("keep details of %s: %w", key, err)
	}
	return nil
}

// Get is what is kept under the key; nil when nothing is.
func (s *Store) Get(ctx context.Context, key string) ([]byte, error) {
	entry, err := s.entry(ctx, key)
	if err != nil || entry == nil {
		return nil, err
	}
	return entry.Value(), nil
}

func (s *Store) entry(ctx context.Context, key string) (jetstream.KeyValueEntry, error) {
	if err := events.CheckID(key); err != nil {
		return nil, fmt.Errorf("look up details: %w", err)
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	entry, err := s.people.Get(ctx, key)
	if errors.Is(err, jetstream.ErrKeyNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("look up details of %s: %w", key, err)
	}
	return entry, nil
}

// Forget overwrites what is kept under the key on disk and removes it. Details that had been replaced earlier
// leave the disk when the server next compacts its files.
func (s *Store) Forget(ctx context.Context, key string) error {
	entry, err := s.entry(ctx, key)
	if err != nil || entry == nil {
		return err
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	stream, err := s.js.Stream(ctx, peopleStream)
	if err == nil {
		err = stream.SecureDeleteMsg(ctx, entry.Revision())
	}
	if err != nil {
		return fmt.Errorf("forget %s: %w", key, err)
	}
	return nil
}

// All calls each kept entry once, in no promised order.
func (s *Store) All(ctx context.Context, each func(key string, details []byte) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	watcher, err := s.people.WatchAll(ctx, jetstream.IgnoreDeletes())
	if err != nil {
		return fmt.Errorf("list details: %w", err)
	}
	defer func() { _ = watcher.Stop() }()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-s.closed:
			return ErrClosed
		case entry := <-watcher.Updates():
			if entry == nil { // everything that was there has come
				return nil
			}
			if err := each(entry.Key(), entry.Value()); err != nil {
				return err
			}
		}
	}
}
