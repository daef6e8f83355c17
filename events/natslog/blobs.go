package natslog

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"

	"github.com/nats-io/nats.go/jetstream"

	"valveround/events"
)

// PutBlob keeps an attachment under its hash; see events.BlobStore. It refuses nothing at all and more than
// events.MaxBlobBytes, and a disk that is nearly full.
func (s *Store) PutBlob(ctx context.Context, data []byte) (string, error) {
	switch {
	case len(data) == 0:
		return "", errors.New("keep an attachment: it is empty")
	case len(data) > events.MaxBlobBytes:
		return "", fmt.Errorf("keep an attachment of %d bytes, of at most %d: %w", len(data), events.MaxBlobBytes, events.ErrTooLarge)
	}
	if err := s.checkRoom(); err != nil {
		return "", err
	}
	sum := sha256.Sum256(data)
	hash := hex.EncodeToString(sum[:])
	if _, err := s.Blob(ctx, hash); err == nil {
		return hash, nil
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	meta := jetstream.ObjectMeta{Name: hash, Opts: &jetstream.ObjectMetaOptions{ChunkSize: uint32(min(blobChunk, s.cfg.MaxPayload/2))}}
	if _, err := s.blobs.Put(ctx, meta, bytes.NewReader(data)); err != nil {
		return "", fmt.Errorf("keep attachment %s: %w", hash, err)
	}
	return hash, nil
}

// Blob gives an attachment back, after its bytes were compared with its hash.
func (s *Store) Blob(ctx context.Context, hash string) ([]byte, error) {
	if sum, err := hex.DecodeString(hash); err != nil || len(sum) != sha256.Size {
		return nil, fmt.Errorf("attachment %q: %w", hash, events.ErrNoBlob)
	}
	ctx, cancel := s.deadline(ctx)
	defer cancel()
	data, err := s.blobs.GetBytes(ctx, hash)
	if errors.Is(err, jetstream.ErrObjectNotFound) {
		return nil, fmt.Errorf("attachment %s: %w", hash, events.ErrNoBlob)
	}
	if err != nil {
		return nil, fmt.Errorf("read attachment %s: %w", hash, err)
	}
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != hash {
		return nil, fmt.Errorf("attachment %s is damaged: its bytes have another hash", hash)
	}
	return data, nil
}

// Blobs calls each attachment.
func (s *Store) Blobs(ctx context.Context, each func(hash string, data []byte) error) error {
	list, cancel := s.deadline(ctx)
	defer cancel()
	infos, err := s.blobs.List(list)
	if errors.Is(err, jetstream.ErrNoObjectsFound) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("list attachments: %w", err)
	}
	for _, info := range infos {
		data, err := s.Blob(ctx, info.Name)
		if err != nil {
			return err
		}
		if err := each(info.Name, data); err != nil {
			return err
		}
	}
	return nil
}
