package natslog

import (
	"errors"
	"fmt"
	"strings"

	"github.com/nats-io/nats.go"
	"github.com/nats-io/nats.go/jetstream"
	"github.com/synadia-io/orbit.go/jetstreamext"

	"valveround/events"
)

// Refusals of Open. Each is wrapped with the folder and what to do.
var (
	// ErrInUse: another process has the folder open.
	ErrInUse = errors.New("the folder is in use by another process")
	// ErrNotAStore: the folder holds files, but none of them says that this program put them there.
	ErrNotAStore = errors.New("the folder is not empty and is not a store of this program")
	// ErrOtherKind: the folder belongs to a standalone store and a cluster was asked for, or the reverse.
	ErrOtherKind = errors.New("the folder belongs to the other kind of store")
	// ErrNoLog: the event stream is not there and this start may not make one.
	ErrNoLog = errors.New("there is no event log")
	// ErrAlreadyThere: Create was asked for and there is a log already.
	ErrAlreadyThere = errors.New("there is an event log already")
	// ErrOtherLog: the event stream is not the one this folder knows.
	ErrOtherLog = errors.New("another event log lies in the place of the known one")
	// ErrServer: the server is too old or not set up for the log.
	ErrServer = errors.New("the server cannot hold the event log")
)

// Errors of an open store.
var (
	// ErrClosed: the store was closed.
	ErrClosed = errors.New("the event log is closed")
	// ErrDiskFull: too little room is left on the disk to go on writing safely. Nothing of the call was stored.
	ErrDiskFull = errors.New("the disk of the event log is full")
	// ErrUnavailable: the log did not answer, so it is not known whether the records were stored.
	// Send the same command again, under the same id, when it answers.
	ErrUnavailable = errors.New("the event log does not answer")
)

// Codes of the server for which there is no named constant in the client.
const (
	codeInsufficientResources jetstream.ErrorCode = 10023
	codeStorageExceeded       jetstream.ErrorCode = 10047
	codeStoreFailed           jetstream.ErrorCode = 10077
)

// apiCode is the server's error code, zero when the server did not answer with one.
func apiCode(err error) jetstream.ErrorCode {
	var api *jetstream.APIError
	if errors.As(err, &api) {
		return api.ErrorCode
	}
	var js jetstream.JetStreamError
	if errors.As(err, &js) && js.APIError() != nil {
		return js.APIError().ErrorCode
	}
	return 0
}

// isConflict: some entity is not where the writer thought, or the very message is there already.
// The answer to each is to fold again and look for the command id.
func isConflict(err error) bool {
	switch apiCode(err) {
	case jetstream.JSErrCodeStreamWrongLastSequence, jetstream.JSErrCodeStreamWrongLastSequenceConstant:
		return true
	}
	return isRepeat(err)
}

// isRepeat: the very message is there already.
func isRepeat(err error) bool {
	return errors.Is(err, errDuplicate) || apiCode(err) == jetstreamext.JSErrCodeBatchPublishDuplicateMsgID
}

// isBusy: too many batches are open; waiting helps.
func isBusy(err error) bool {
	switch apiCode(err) {
	case jetstreamext.JSErrCodeAtomicPublishTooManyInflight, jetstreamext.JSErrCodeBatchPublishTooManyInflight:
		return true
	}
	var api *jetstream.APIError
	return errors.As(err, &api) && api.Code == 429
}

// appendError says in our words what went wrong with an append that is neither a conflict nor busy.
func (s *Store) appendError(err error) error {
	switch code := apiCode(err); {
	case s.server != nil && !s.server.JetStreamEnabled() && !s.isClosed():
		return fmt.Errorf("append to the event log: its server has switched itself off, for which a full disk is the usual reason; "+
			"make room in %s and start again: %w: %w", s.cfg.Dir, ErrUnavailable, err)
	case code == jetstream.JSErrCodeStreamMessageExceedsMaximum,
		code == jetstreamext.JSErrCodeBatchPublishExceedsLimit,
		errors.Is(err, nats.ErrMaxPayload):
		return fmt.Errorf("append to the event log: %w: %w", events.ErrTooLarge, err)
	case code == codeInsufficientResources, code == codeStorageExceeded,
		strings.Contains(err.Error(), "no space left"):
		return fmt.Errorf("append to the event log: %w: %w", ErrDiskFull, err)
	default:
		return fmt.Errorf("append to the event log: %w: %w", ErrUnavailable, err)
	}
}
