package audit

import (
	"bytes"
	"encoding/json"

	"valveround/events"
)

// ParseLine and LineOf are for the fuzz test.
func ParseLine(text []byte) (events.Record, error) {
	return nextRecord(json.NewDecoder(bytes.NewReader(text)))
}

// LineOf is what Export writes of a record.
func LineOf(r events.Record) any { return lineOf(r) }
