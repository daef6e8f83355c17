package audit

import (
	"bufio"
	"context"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"valveround/events"
)

// ErrNotEmpty: an export is loaded into an empty log only.
var ErrNotEmpty = errors.New("the log is not empty")

// How much is stored at once: so many records, or fewer when they are large.
const (
	loadRecords = 500
	loadBytes   = 8 << 20
)

// Load stores an export in an empty log, in its order and with its envelopes as they were: ids, times and hashes.
// Positions follow one another, so they are those of the export unless that had holes. What it stored before an
// error stays: begin again with another empty log. It returns what a check of the chain finds on the way;
// records that do not follow are stored all the same, and left out by the fold.
func Load(ctx context.Context, from io.Reader, log events.Log) (Report, error) {
	last, err := log.Last(ctx)
	if err != nil {
		return Report{}, fmt.Errorf("load an export: %w", err)
	}
	if last > 0 {
		return Report{}, fmt.Errorf("load an export: %w: it holds %d records", ErrNotEmpty, last)
	}
	l := loading{log: log, check: newChain(), newest: map[events.Entity]uint64{}}
	decode := json.NewDecoder(bufio.NewReaderSize(from, 1<<16))
	for n := 1; ; n++ {
		r, err := nextRecord(decode)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return l.check.result(), fmt.Errorf("load an export: line %d: %w", n, err)
		}
		if err := l.add(ctx, r); err != nil {
			return l.check.result(), fmt.Errorf("load an export: up to line %d: %w", n, err)
		}
	}
	if err := l.store(ctx); err != nil {
		return l.check.result(), fmt.Errorf("load an export: %w", err)
	}
	return l.check.result(), nil
}

// nextRecord reads the next line; io.EOF after the last.
func nextRecord(decode *json.Decoder) (events.Record, error) {
	var l line
	if err := decode.Decode(&l); err != nil {
		return events.Record{}, err
	}
	return l.record()
}

// record turns a line back into what was stored. It asks no more of it than that it has a subject: what an export holds
// is kept even when this program cannot read it.
func (l line) record() (events.Record, error) {
	part := strings.Split(l.Subject, ".")
	root := strings.TrimSuffix(events.AllSubjects, ">")
	if len(part) != 5 || slices.Contains(part, "") || strings.ContainsAny(l.Subject, " \t\r\n*>") || !strings.HasPrefix(l.Subject, root) {
		return events.Record{}, fmt.Errorf("subject %q is not an event's", l.Subject)
	}
	r := events.Record{Headers: l.Headers, Body: l.body(), Seq: l.Seq}
	r.Entity = events.Entity{Office: events.OfficeID(part[1]), Kind: events.Kind(part[2]), ID: part[3]}
	r.Name = part[4]
	r.ID = events.EventID(l.Headers["ce-id"])
	r.Version = 1
	if prev, err := hex.DecodeString(l.Headers["ce-prevhash"]); err == nil && len(prev) == len(r.Prev) {
		r.Prev = events.Hash(prev)
	}
	return r, nil
}

// loading collects records and stores them in batches.
type loading struct {
	log    events.Log
	check  *chain
	batch  []events.Append
	bytes  int // of the bodies in the batch
	stored uint64
	newest map[events.Entity]uint64 // position of each entity's newest record, stored or collected
}

func (l *loading) add(ctx context.Context, r events.Record) error {
	l.check.add(r)
	l.batch = append(l.batch, events.Append{Record: r, ExpectLast: l.newest[r.Entity]})
	l.newest[r.Entity] = l.stored + uint64(len(l.batch))
	l.bytes += len(r.Body)
	if len(l.batch) < loadRecords && l.bytes < loadBytes {
		return nil
	}
	return l.store(ctx)
}

func (l *loading) store(ctx context.Context) error {
	if len(l.batch) == 0 {
		return nil
	}
	last, err := l.log.Append(ctx, l.batch)
	if err != nil {
		return err
	}
	if want := l.stored + uint64(len(l.batch)); last != want {
		return fmt.Errorf("the records went to position %d and not %d: somebody else writes to the log", last, want)
	}
	l.stored, l.batch, l.bytes = last, l.batch[:0], 0
	return nil
}
