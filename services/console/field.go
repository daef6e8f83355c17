package console

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/crew"
)

// outboxVersion is the version of the file that a phone saves of its outbox.
const outboxVersion = 1

// maxOutboxBytes bounds the file: a week of a crew's taps and some hundred pictures of 300 kB.
const maxOutboxBytes = 64 << 20

// OutboxFile is what a phone saved of its outbox because it could not send it. The ids are those made when each thing was
// tapped, so that taking the file in and sending later, or the other way round, records nothing twice.
type OutboxFile struct {
	_        struct{}        `json:"-" additionalProperties:"true"`
	Version  int             `json:"valveround_outbox" enum:"1"`
	Phone    string          `json:"phone,omitempty" doc:"a name of the phone"`
	Crew     string          `json:"crew,omitempty"`
	Entries  []OutboxEntry   `json:"entries" maxItems:"5000" doc:"in the order tapped"`
	Pictures []OutboxPicture `json:"pictures,omitempty" doc:"those that the entries name"`
}

// OutboxEntry is one thing recorded on the phone and not sent.
type OutboxEntry struct {
	_       struct{}        `json:"-" additionalProperties:"true"`
	ID      string          `json:"id" doc:"the command's"`
	At      string          `json:"at,omitempty" doc:"when it was tapped, by the phone's clock"`
	Label   string          `json:"label,omitempty" doc:"what was tapped, in words"`
	Request json.RawMessage `json:"request" doc:"as the phone would have sent it to /api/field"`
}

// OutboxPicture is the bytes of a photo.
type OutboxPicture struct {
	_      struct{} `json:"-" additionalProperties:"true"`
	SHA256 string   `json:"sha256"`
	Type   string   `json:"type,omitempty"`
	Base64 []byte   `json:"base64"`
}

// TakenItem is what became of one entry of the file.
type TakenItem struct {
	Label     string   `json:"label"`
	CommandID string   `json:"command_id"`
	Outcome   string   `json:"outcome" enum:"recorded,known,refused"`
	Words     []string `json:"words,omitempty" doc:"why it was refused, or what looks impossible beside it"`
}

// fieldRoutes are what the office does with what comes from the field besides reading it.
func (s *Server) fieldRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "alarms", Security: readers, Method: http.MethodGet, Path: "/api/alarms",
		Summary: "What was recorded in the field and looks impossible: open, and settled within a week"},
		func(context.Context, *struct{}) (*reply[[]crew.AlarmView], error) {
			return answer(crew.Alarms(s.cfg.Keeper.Book(), s.cfg.Office, s.cfg.People, s.cfg.Now())), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "take-outbox", Security: recorders, Method: http.MethodPost, Path: "/api/field/file", MaxBodyBytes: maxOutboxBytes,
		Summary: "Take in a file that a phone saved of what it could not send"},
		func(ctx context.Context, in *struct{ Body OutboxFile }) (*reply[[]TakenItem], error) {
			if in.Body.Version != outboxVersion {
				return nil, s.fail(&badRequest{fmt.Errorf("the file is of version %d: this program reads version %d", in.Body.Version, outboxVersion)})
			}
			taken := []TakenItem{}
			for _, p := range in.Body.Pictures {
				damaged, err := s.keepPicture(ctx, p)
				if err != nil {
					return nil, s.fail(err)
				}
				taken = append(taken, damaged...)
			}
			for _, entry := range in.Body.Entries {
				one, err := s.takeEntry(ctx, entry)
				if err != nil {
					return nil, err
				}
				taken = append(taken, one)
			}
			return answer(taken), nil
		})
}

// keepPicture keeps a picture of the file, and says so if its bytes are not those that its name says.
func (s *Server) keepPicture(ctx context.Context, p OutboxPicture) (damaged []TakenItem, err error) {
	if sum := sha256.Sum256(p.Base64); hex.EncodeToString(sum[:]) != p.SHA256 || len(p.Base64) > events.MaxBlobBytes {
		return []TakenItem{{Label: "picture", CommandID: p.SHA256, Outcome: "refused", Words: []string{"the picture is damaged or too large"}}}, nil
	}
	if _, err := s.cfg.Blobs.PutBlob(ctx, p.Base64); err != nil {
		return nil, fmt.Errorf("keep picture %s: %w", p.SHA256, err)
	}
	return nil, nil
}

// takeEntry records one entry. A refusal is its outcome; any other error ends the taking, which can be done again.
func (s *Server) takeEntry(ctx context.Context, entry OutboxEntry) (TakenItem, error) {
	taken := TakenItem{Label: entry.Label, CommandID: entry.ID}
	var r crew.Request
	if err := json.Unmarshal(entry.Request, &r); err != nil {
		taken.Outcome, taken.Words = "refused", []string{"the entry cannot be read: " + err.Error()}
		return taken, nil
	}
	taken.Label = cmp.Or(entry.Label, r.Kind)
	r.Sent = nil // it was saved, not sent
	receipt, err := s.record(ctx, r)
	var refusal *events.Refusal
	var bad *badRequest
	switch {
	case errors.As(err, &refusal), errors.As(err, &bad), errors.Is(err, events.ErrTooLarge), errors.Is(err, events.ErrBatchSize):
		taken.Outcome, taken.Words = "refused", []string{err.Error()}
	case err != nil:
		return taken, s.fail(err)
	case receipt.Repeated:
		taken.Outcome, taken.Words = "known", receipt.Alarms
	default:
		taken.Outcome, taken.Words = "recorded", receipt.Alarms
	}
	return taken, nil
}

// record records one thing from the field.
func (s *Server) record(ctx context.Context, r crew.Request) (Receipt, error) {
	c, err := r.Fact(s.cfg.Office, s.cfg.Now())
	if err != nil {
		return Receipt{}, &badRequest{err}
	}
	if err := s.pictureIsHere(ctx, c); err != nil {
		return Receipt{}, err
	}
	receipt, err := s.cfg.Keeper.Do(ctx, c)
	if err != nil {
		return Receipt{}, err
	}
	return Receipt{Position: receipt.Position, Repeated: receipt.Repeated, Alarms: s.alarms(c), Now: s.cfg.Now()}, nil
}
