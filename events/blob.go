package events

import (
	"context"
	"errors"
)

// BlobStore keeps attachments, such as the copy of a signed test report, under the SHA-256 of their bytes. What is in it
// never changes; an event names it by its hash.
type BlobStore interface {
	// PutBlob keeps data, if it is not kept yet, and returns its SHA-256 as 64 hexadecimal digits.
	PutBlob(ctx context.Context, data []byte) (sha256 string, err error)
	// Blob gives back what is kept under a hash, compared with it; ErrNoBlob when nothing is.
	Blob(ctx context.Context, sha256 string) ([]byte, error)
	// Blobs calls each attachment once, in no promised order.
	Blobs(ctx context.Context, each func(sha256 string, data []byte) error) error
}

// MaxBlobBytes is the largest attachment: a scanned report of several pages with room to spare.
const MaxBlobBytes = 16 << 20

// ErrNoBlob: no attachment is kept under the hash.
var ErrNoBlob = errors.New("there is no such attachment")
