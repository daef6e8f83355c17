package natslog

import (
	"context"
	"errors"
	"fmt"

	"github.com/nats-io/nats.go/jetstream"

	"valveround/events"
)

// bucket is a store of small values that can be forgotten, one value a key.
type bucket struct {
	s      *Store
	kv     jetstream.KeyValue
	stream string // behind the bucket
	of     string // what it holds, for errors
}

// Put keeps details about a person or site in place of what was kept before.
func (s *Store) Put(ctx context.Context, key string, details []byte) error {
	return s.details().Put(ctx, key, details)
}

// Get is what is kept under the key; nil when nothing is.
func (s *Store) Get(ctx context.Context, key string) ([]byte, error) {
	return s.details().Get(ctx, key)
}

// Forget overwrites what is kept under the key on disk and removes it. Details that had been replaced earlier
// leave the disk when the server next compacts its files.
func (s *Store) Forget(ctx context.Context, key string) error { return s.details().Forget(ctx, key) }

// All calls each kept entry once, in no promised order.
func (s *Store) All(ctx context.Context, each func(key string, details []byte) error) error {
	return s.details().All(ctx, each)
}

func (s *Store) details() bucket { return bucket{s, s.people, peopleStream, "details"} }

// SignIn is the store of what signing in needs: hashes of passwords, sessions and the keys of phones. It is no part of
// the log, nor of a backup.
func (s *Store) SignIn() events.PeopleStore { return bucket{s, s.signIn, signInStream, "sign-in"} }

func (b bucket) Put(ctx context.Context, key string, details []byte) error {
	if err := events.CheckID(key); err != nil {
		return fmt.Errorf("keep %s: %w", b.of, err)
	}
	if len(details) > maxDetails-batchHeaders {
		return fmt.Errorf("keep %s of %s: %d bytes: %w", b.of, key, len(details), events.ErrTooLarge)
	}
	if err := b.s.checkRoom(); err != nil {
		return err
	}
	ctx, cancel := b.s.deadline(ctx)
	defer cancel()
	put := func(ctx context.Context) (uint64, error) { return b.kv.Put(ctx, key, details) } // twice is as good as once
	if _, err := patiently(ctx, put); err != nil {
		return fmt.Errorf("keep %s of %s: %w", b.of, key, err)
	}
	return nil
}

func (b bucket) Get(ctx context.Context, key string) ([]byte, error) {
	entry, err := b.entry(ctx, key)
	if err != nil || entry == nil {
		return nil, err
	}
	return entry.Value(), nil
}

func (b bucket) entry(ctx context.Context, key string) (jetstream.KeyValueEntry, error) {
	if err := events.CheckID(key); err != nil {
		return nil, fmt.Errorf("look up %s: %w", b.of, err)
	}
	ctx, cancel := b.s.deadline(ctx)
	defer cancel()
	entry, err := patiently(ctx, func(ctx context.Context) (jetstream.KeyValueEntry, error) { return b.kv.Get(ctx, key) })
	if errors.Is(err, jetstream.ErrKeyNotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("look up %s of %s: %w", b.of, key, err)
	}
	return entry, nil
}

func (b bucket) Forget(ctx context.Context, key string) error {
	entry, err := b.entry(ctx, key)
	if err != nil || entry == nil {
		return err
	}
	ctx, cancel := b.s.deadline(ctx)
	defer cancel()
	stream, err := b.s.js.Stream(ctx, b.stream)
	if err == nil {
		err = stream.SecureDeleteMsg(ctx, entry.Revision())
	}
	if err != nil {
		return fmt.Errorf("forget %s: %w", key, err)
	}
	return nil
}

func (b bucket) All(ctx context.Context, each func(key string, details []byte) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	watcher, err := b.kv.WatchAll(ctx, jetstream.IgnoreDeletes())
	if err != nil {
		return fmt.Errorf("list %s: %w", b.of, err)
	}
	defer func() { _ = watcher.Stop() }()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-b.s.closed:
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
