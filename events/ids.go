package events

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
)

// Ids are opaque: no office, serial or dot in them, so that a subject can be cut at its dots
// and a damaged serial never changes what a thing is.
type (
	OfficeID   string // the part of the company that plans together; a shard of the log
	AssemblyID string
	SiteID     string
	FeedID     string
	CustomerID string
	PurveyorID string
	PersonID   string
	CrewID     string
	GaugeID    string
	KitID      string // one repair kit on a shelf or truck, not the catalogue entry
	JobID      string
)

// Firm is the office under which what the whole firm shares is filed: purveyors, people, gauges.
const Firm OfficeID = "firm"

// ErrBadID says that a text cannot be an id.
var ErrBadID = errors.New("an id is 1 to 64 letters, digits, hyphens or underscores")

// CheckID refuses ids that would break a subject: anything but ASCII letters, digits, hyphen and underscore.
func CheckID(id string) error {
	if len(id) == 0 || len(id) > 64 {
		return fmt.Errorf("%q: %w", id, ErrBadID)
	}
	for _, r := range id {
		ok := r == '-' || r == '_' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !ok {
			return fmt.Errorf("%q: %w", id, ErrBadID)
		}
	}
	return nil
}

// CommandID names one intention of one person, made where it was tapped. Whatever is sent again
// under the same id changes nothing again.
type CommandID [16]byte

// ParseCommandID reads 32 hexadecimal digits; hyphens are skipped, so a UUID will do.
func ParseCommandID(text string) (CommandID, error) {
	var id CommandID
	digits := make([]byte, 0, 32)
	for i := range len(text) {
		if text[i] != '-' {
			digits = append(digits, text[i])
		}
	}
	if len(digits) != 32 {
		return id, fmt.Errorf("command id %q: want 32 hexadecimal digits", text)
	}
	if _, err := hex.Decode(id[:], digits); err != nil {
		return id, fmt.Errorf("command id %q: want 32 hexadecimal digits", text)
	}
	if id == (CommandID{}) {
		return id, errors.New("command id is all zeros")
	}
	return id, nil
}

func (c CommandID) String() string { return hex.EncodeToString(c[:]) }

// IsZero reports whether no id was given.
func (c CommandID) IsZero() bool { return c == CommandID{} }

// MarshalText and UnmarshalText write the id as 32 hexadecimal digits.
func (c CommandID) MarshalText() ([]byte, error) { return []byte(c.String()), nil }

// UnmarshalText reads what ParseCommandID reads.
func (c *CommandID) UnmarshalText(text []byte) error {
	id, err := ParseCommandID(string(text))
	*c = id
	return err
}

// DeriveCommandID makes the id of a command that follows from another one, the same each time:
// the echo of a sent-out day on one job, one hundred of an import.
func DeriveCommandID(parent CommandID, label string) CommandID {
	sum := sha256.Sum256(append(parent[:], label...))
	return CommandID(sum[:16])
}

// EventID is the command's id and the event's place among the command's events.
type EventID string

func eventID(c CommandID, index int) EventID {
	return EventID(fmt.Sprintf("%s-%d", c, index))
}
