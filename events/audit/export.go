package audit

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"unicode/utf8"

	"valveround/events"
)

// line is one record of an export.
type line struct {
	Seq     uint64            `json:"seq"`
	Subject string            `json:"subject"`
	Headers map[string]string `json:"headers"`
	// Body is the stored body as text, exactly; BodyBase64 in its stead when it is not UTF-8.
	Body       string `json:"body,omitempty"`
	BodyBase64 []byte `json:"body_base64,omitempty"`
}

func lineOf(r events.Record) line {
	l := line{Seq: r.Seq, Subject: r.Subject(), Headers: r.Headers}
	if utf8.Valid(r.Body) {
		l.Body = string(r.Body)
	} else {
		l.BodyBase64 = r.Body
	}
	return l
}

func (l line) body() []byte {
	if l.BodyBase64 != nil {
		return l.BodyBase64
	}
	return []byte(l.Body)
}

// Export writes the log from its first record to what is its end now, as JSON Lines: position, subject, headers and
// the body as stored. It returns what a check of the chain finds on the way.
//
// A record's hash is SHA-256 over "<subject>\n", then "<name>:<value>\n" for each header sorted by name,
// then "\n", then the body. Header ce-prevhash holds that of the entity's record before.
func Export(ctx context.Context, log events.Log, to io.Writer) (Report, error) {
	check := newChain()
	out := bufio.NewWriterSize(to, 1<<16)
	encode := json.NewEncoder(out)
	encode.SetEscapeHTML(false)
	err := log.Read(ctx, 1, func(r events.Record) error {
		check.add(r)
		if err := encode.Encode(lineOf(r)); err != nil {
			return fmt.Errorf("position %d: %w", r.Seq, err)
		}
		return ctx.Err()
	})
	if err == nil {
		err = out.Flush()
	}
	if err != nil {
		return check.result(), fmt.Errorf("export the event log: %w", err)
	}
	return check.result(), nil
}
