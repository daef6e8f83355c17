package events

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"time"
)

// Hash is SHA-256 over one stored event. Each event carries the hash of the entity's event before it,
// so that a lost, changed or misplaced record shows.
type Hash [sha256.Size]byte

func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// IsZero reports whether this is the hash before an entity's first event.
func (h Hash) IsZero() bool { return h == Hash{} }

// Envelope is what every event carries whatever it says: CloudEvents 1.0 attributes plus ours.
// It names people by id only; names and numbers live apart (see PeopleStore), so that a person can be forgotten.
type Envelope struct {
	ID       EventID
	Entity   Entity
	Name     string // the event's name within its kind: "failed-retest"
	Version  int    // of the body's schema
	Command  CommandID
	Actor    PersonID
	Happened time.Time // by the clock of whoever recorded it
	// ClockOffset is the phone's clock minus the server's at their last sync; nil at the desk.
	ClockOffset *time.Duration
	Recorded    time.Time // by the server, when it wrote the event; a restored log keeps it
	Prev        Hash      // of the entity's event before this one; zero for its first
}

// OnServerClock is when it happened by the server's clock: a phone's clock may be hours off, and its offset is known.
func (e Envelope) OnServerClock() time.Time {
	if e.ClockOffset == nil {
		return e.Happened
	}
	return e.Happened.Add(-*e.ClockOffset)
}

// Record is an event as stored: the envelope as headers, the body as written, and where it lies.
type Record struct {
	Envelope
	Headers map[string]string // all ce- headers as stored, also ones this code does not know
	Body    []byte
	Seq     uint64 // position in the log; zero before it is stored
}

// Subject is where the record is stored.
func (r Record) Subject() string { return r.Entity.Subject(r.Name) }

// Header names: CloudEvents attributes in the NATS binding's binary mode. The last six are extensions. Names of attributes
// are lower-case letters and digits (CloudEvents 1.0, "Attribute Naming Convention").
const (
	headerSpec     = "ce-specversion"
	headerID       = "ce-id"
	headerSource   = "ce-source"
	headerType     = "ce-type"
	headerTime     = "ce-time"
	headerVersion  = "ce-bodyversion"
	headerCommand  = "ce-command"
	headerActor    = "ce-actor"
	headerOffset   = "ce-clockoffsetms"
	headerRecorded = "ce-recorded"
	headerPrev     = "ce-prevhash"
)

const specVersion = "1.0"

func source(e Entity) string { return "/valveround/" + string(e.Office) }

func typeOf(e Entity, name string) string { return "valveround." + string(e.Kind) + "." + name }

// headers writes the envelope as CloudEvents headers.
func (e Envelope) headers() map[string]string {
	h := map[string]string{
		headerSpec:     specVersion,
		headerID:       string(e.ID),
		headerSource:   source(e.Entity),
		headerType:     typeOf(e.Entity, e.Name),
		headerTime:     e.Happened.UTC().Format(time.RFC3339Nano),
		headerVersion:  strconv.Itoa(e.Version),
		headerCommand:  e.Command.String(),
		headerActor:    url.PathEscape(string(e.Actor)),
		headerRecorded: e.Recorded.UTC().Format(time.RFC3339Nano),
		headerPrev:     e.Prev.String(),
	}
	if e.ClockOffset != nil {
		h[headerOffset] = strconv.FormatInt(e.ClockOffset.Milliseconds(), 10)
	}
	return h
}

// Seal makes the record of an envelope and body, ready to be stored. The record is what Open makes of it again: instants
// are in UTC, the clock's offset is in whole milliseconds.
func Seal(e Envelope, body []byte) Record {
	e.Happened, e.Recorded = e.Happened.UTC().Round(0), e.Recorded.UTC().Round(0) // without the reading of the monotonic clock
	if e.ClockOffset != nil {
		offset := e.ClockOffset.Truncate(time.Millisecond)
		e.ClockOffset = &offset
	}
	return Record{Envelope: e, Headers: e.headers(), Body: body}
}

// Open reads a stored message back. The subject, not the type header, says what and whose it is; both must agree. What
// could be read is in the record also when there is an error, which names every header at fault.
func Open(subject string, headers map[string]string, body []byte, seq uint64) (Record, error) {
	r := Record{Headers: headers, Body: body, Seq: seq}
	var err error
	if r.Entity, r.Name, err = ParseSubject(subject); err != nil {
		return r, err
	}
	var faults []error
	fail := func(name string, err error) {
		faults = append(faults, fmt.Errorf("event %d, header %s %q: %w", seq, name, headers[name], err))
	}
	want := func(name, text string) {
		if headers[name] != text {
			fail(name, fmt.Errorf("want %s", text))
		}
	}
	want(headerSpec, specVersion)
	want(headerSource, source(r.Entity))
	want(headerType, typeOf(r.Entity, r.Name))
	if r.ID = EventID(headers[headerID]); r.ID == "" {
		fail(headerID, errors.New("missing"))
	}
	if r.Version, err = strconv.Atoi(headers[headerVersion]); err != nil || r.Version < 1 {
		fail(headerVersion, errors.New("want a whole number from 1"))
	}
	if r.Command, err = ParseCommandID(headers[headerCommand]); err != nil {
		fail(headerCommand, err)
	}
	if r.Actor, err = readActor(headers); err != nil {
		fail(headerActor, err)
	}
	if r.Happened, err = readInstant(headers[headerTime]); err != nil {
		fail(headerTime, err)
	}
	if r.Recorded, err = readInstant(headers[headerRecorded]); err != nil {
		fail(headerRecorded, err)
	}
	if text, ok := headers[headerOffset]; ok {
		if r.ClockOffset, err = readOffset(text); err != nil {
			fail(headerOffset, err)
		}
	}
	if r.Prev, err = readHash(headers[headerPrev]); err != nil {
		fail(headerPrev, err)
	}
	return r, errors.Join(faults...)
}

func readActor(headers map[string]string) (PersonID, error) {
	text, ok := headers[headerActor]
	if !ok {
		return "", errors.New("missing")
	}
	actor, err := url.PathUnescape(text)
	return PersonID(actor), err
}

func readInstant(text string) (time.Time, error) {
	t, err := time.Parse(time.RFC3339Nano, text)
	return t.UTC(), err
}

// readOffset reads milliseconds, as many as a time.Duration holds.
func readOffset(text string) (*time.Duration, error) {
	ms, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return nil, err
	}
	offset := time.Duration(ms) * time.Millisecond
	if offset.Milliseconds() != ms {
		return nil, errors.New("more than a clock can be wrong by")
	}
	return &offset, nil
}

func readHash(text string) (h Hash, err error) {
	if len(text) != hex.EncodedLen(len(h)) {
		return h, errBadHash
	}
	if _, err := hex.Decode(h[:], []byte(text)); err != nil {
		return Hash{}, errBadHash
	}
	return h, nil
}

var errBadHash = errors.New("want 64 hexadecimal digits")

// Hash is SHA-256 over the subject, the ce- headers sorted by name, and the raw body, written so that a few
// lines of any script can check it: "<subject>\n", then "<name>:<value>\n" for each header, then "\n", then the body.
func (r Record) Hash() Hash {
	names := make([]string, 0, len(r.Headers))
	for name := range r.Headers {
		names = append(names, name)
	}
	slices.Sort(names)
	d := sha256.New()
	d.Write([]byte(r.Subject() + "\n"))
	for _, name := range names {
		d.Write([]byte(name + ":" + r.Headers[name] + "\n"))
	}
	d.Write([]byte("\n"))
	d.Write(r.Body)
	return Hash(d.Sum(nil))
}
