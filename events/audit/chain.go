package audit

import (
	"context"
	"crypto/sha256"
	"fmt"
	"hash"

	"valveround/events"
)

// Report is what a check of the log found.
type Report struct {
	Records  uint64 // read
	Entities int    // that have a record
	Last     uint64 // position of the last record
	// Void counts records that had lost a race: they name an earlier record of their entity than the newest. They are
	// harmless, for the fold leaves them out.
	Void uint64
	// Unreadable counts records whose envelope this program cannot read; a newer one may.
	Unreadable uint64
	// Missing counts positions that the log does not hold.
	Missing uint64
	// Faults counts what should not be: records that do not follow from any known one, and runs of missing positions.
	Faults uint64
	// First is the first of the faults; nil when there is none.
	First *Fault
	// Digest is one hash over the hashes of all records in order: equal logs have equal digests.
	Digest events.Hash
}

// Whole reports whether nothing is wrong with the log.
func (r Report) Whole() bool { return r.Faults == 0 }

func (r Report) String() string {
	text := fmt.Sprintf("%d records of %d entities up to position %d: %d lost a race, %d unreadable, %d missing, %d faults",
		r.Records, r.Entities, r.Last, r.Void, r.Unreadable, r.Missing, r.Faults)
	if r.First != nil {
		text += "; the first: " + r.First.String()
	}
	return text
}

// Fault is one thing wrong with the log.
type Fault struct {
	Position uint64
	Subject  string // empty when the record is not there
	Words    string
}

func (f Fault) String() string {
	if f.Subject == "" {
		return fmt.Sprintf("position %d: %s", f.Position, f.Words)
	}
	return fmt.Sprintf("position %d (%s): %s", f.Position, f.Subject, f.Words)
}

// VerifyChain reads the whole log and recomputes every hash.
func VerifyChain(ctx context.Context, log events.Log) (Report, error) {
	check := newChain()
	err := log.Read(ctx, 1, func(r events.Record) error {
		check.add(r)
		return ctx.Err()
	})
	if err != nil {
		return check.result(), fmt.Errorf("verify the event log: %w", err)
	}
	return check.result(), nil
}

// chain checks records one after another.
type chain struct {
	report Report
	links  map[events.Entity]links
	digest hash.Hash
}

// links are the hashes of an entity's newest accepted records, newest first. Races are close together,
// so a few are enough to know a lost one.
type links [4]events.Hash

func newChain() *chain {
	return &chain{links: map[events.Entity]links{}, digest: sha256.New()}
}

func (c *chain) add(r events.Record) {
	if r.Seq > c.report.Last+1 {
		c.report.Missing += r.Seq - c.report.Last - 1
		c.fault(Fault{Position: c.report.Last + 1, Words: fmt.Sprintf("missing, as is everything before %d", r.Seq)})
	}
	c.report.Last = r.Seq
	c.report.Records++
	if r.Version < 1 {
		c.report.Unreadable++
	}
	sum := r.Hash()
	c.digest.Write(sum[:])
	known, seen := c.links[r.Entity]
	switch {
	case r.Prev == known[0]:
		copy(known[1:], known[:3])
		known[0] = sum
	case seen && known.lost(r.Prev):
		c.report.Void++
	default:
		c.fault(Fault{r.Seq, r.Subject(), "names " + short(r.Prev) + " as the record before it, which is " + short(known[0])})
	}
	c.links[r.Entity] = known
}

// lost reports whether the hash is that of an earlier record, so that the record naming it came too late.
func (l links) lost(prev events.Hash) bool {
	for _, earlier := range l[1:] {
		if earlier == prev {
			return true
		}
	}
	return false
}

func short(h events.Hash) string {
	if h.IsZero() {
		return "none"
	}
	return h.String()[:12] + "…"
}

func (c *chain) fault(f Fault) {
	c.report.Faults++
	if c.report.First == nil {
		c.report.First = &f
	}
}

func (c *chain) result() Report {
	c.report.Entities = len(c.links)
	c.report.Digest = events.Hash(c.digest.Sum(nil))
	return c.report
}
