package console

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/crew"
	"valveround/services/words"
)

// mends turns what the office recorded of single parts, mistakes and the telephone into what is to be done; nil when it
// recorded something else.
func (r DeskRequest) mends(id events.CommandID, ref events.JobRef, date events.Date) any {
	part := events.WhichPart{JobRef: ref, Nth: r.Nth, Code: r.Code}
	switch r.Kind {
	case "order-parts":
		return events.OrderPart{WhichPart: part, Supplier: r.Supplier, Number: r.OrderNumber, On: date}
	case "promise-parts":
		return events.PromisePart{WhichPart: part, For: r.Date}
	case "receive-part":
		// The id follows from the command's, so that sending it twice makes one kit.
		return events.ReceivePart{WhichPart: part, Item: events.KitID(cmp.Or(r.Item, "kit-"+id.String())), Where: r.Where}
	case "reserve-part":
		return events.ReservePart{WhichPart: part, Item: events.KitID(r.Item), Where: r.Where}
	case "load-part":
		return events.LoadPart{WhichPart: part, Where: r.Where}
	case "release-part":
		return events.ReleasePart{WhichPart: part, Why: r.Words}
	case "wrong-part":
		return events.WrongPart{WhichPart: part, Why: r.Words}
	case "send-back-kit":
		return events.SendBackKit{Kit: events.KitID(r.Item), On: date, Words: r.Words}
	case "phone-failure":
		return events.PhoneFailure{JobRef: ref, To: r.How, By: events.PersonID(r.By), Words: r.Words}
	case "take-serial", "keep-serial":
		return events.SettleSerial{Assembly: ref.Assembly, Part: r.Part, Seen: r.Serial, Take: r.Kind == "take-serial", Why: r.Words}
	case "void-result":
		return events.VoidResult{JobRef: ref, About: events.EventID(r.About), Why: r.Words}
	case "correct-entry":
		do := events.CorrectEntry{Kind: events.KindAssembly, ID: r.Assembly, Correction: events.Correction{About: events.EventID(r.About), Words: r.Words}}
		do.Kind, do.ID = r.thing()
		return do
	case "settle-alarm":
		kind, thing := r.thing()
		return events.SettleAlarm{Kind: kind, ID: thing, Alarm: events.EventID(r.About), By: events.PersonID(r.By), Words: r.Words}
	}
	return nil
}

// thing is the assembly, site or feed that the request is about.
func (r DeskRequest) thing() (events.Kind, string) {
	switch {
	case r.Kept != "":
		return events.KindField, r.Kept
	case r.Feed != "":
		return events.KindFeed, r.Feed
	case r.Site != "":
		return events.KindSite, r.Site
	}
	return events.KindAssembly, r.Assembly
}

// entryIsThere refuses to correct an entry that the history of its entity does not hold.
func (s *Server) entryIsThere(ctx context.Context, c events.Command) error {
	do, ok := c.Do.(events.CorrectEntry)
	if !ok {
		return nil
	}
	records, err := s.cfg.Log.History(ctx, events.Entity{Office: c.Office, Kind: do.Kind, ID: do.ID})
	if err != nil {
		return fmt.Errorf("reading the history of %s %s: %w", do.Kind, do.ID, err)
	}
	for _, r := range records {
		if r.ID == do.About {
			return nil
		}
	}
	return &events.Refusal{Words: fmt.Sprintf("the history of %s %s holds no such entry", do.Kind, do.ID)}
}

// PaperResultRequest is a result keyed in by the office from a test report that the tester signed on paper.
type PaperResultRequest struct {
	CommandID string      `json:"command_id"`
	By        string      `json:"by,omitempty" doc:"the person who keys it in"`
	SHA256    string      `json:"sha256" doc:"of the signed copy, as POST /api/attachments answered"`
	SignedOn  events.Date `json:"signed_on"`
	Tester    string      `json:"tester" doc:"the person who tested and signed"`
	Crew      string      `json:"crew,omitempty"`
	Day       events.Date `json:"day,omitzero" doc:"of the visit; default: when it was signed"`

	Assembly string              `json:"assembly"`
	Job      string              `json:"job"`
	Outcome  events.VisitOutcome `json:"outcome"`
	Initial  *events.Test        `json:"initial,omitempty"`
	Repair   *events.Repaired    `json:"repair,omitempty"`
	Final    *events.Test        `json:"final,omitempty"`
	Why      string              `json:"why,omitempty"`
	Words    string              `json:"words,omitempty"`
	Parts    []events.PartWanted `json:"parts,omitempty"`
	New      *events.Replaced    `json:"new,omitempty"`
	Seen     events.AssemblyType `json:"seen,omitempty"`
	Wrong    []events.KitTrouble `json:"wrong_kits,omitempty" doc:"repair kits that did not fit"`
	Obstacle *events.Obstacle    `json:"obstacle,omitempty" doc:"what stood in the way, and who clears it from when"`

	AsLeft *events.Condition `json:"as_left,omitempty" doc:"how the paper says that each shut-off was left; none: it does not say"`
	LeftAt *time.Time        `json:"left_at,omitempty" doc:"when; what was recorded of the feed since stands"`
}

// leaves is how the feed was left, as the paper says: a command of its own, for it is a fact of the feed. Its id follows
// from the result's. What was recorded of the feed since the paper was signed is newer and stands.
func (r PaperResultRequest) leaves(b *events.Book, c events.Command) (*events.Command, error) {
	if r.AsLeft == nil {
		return nil, nil
	}
	a := b.Assemblies[events.AssemblyID(r.Assembly)]
	if a == nil || b.Feeds[a.Feed] == nil {
		return nil, &events.Refusal{Words: "the assembly hangs on no feed on record, so how it was left cannot be recorded"}
	}
	if r.LeftAt == nil || r.LeftAt.After(c.Happened) {
		return nil, &events.Refusal{Words: "say when the feed was left so, as the paper says; it cannot be later than now"}
	}
	left := events.Command{ID: events.DeriveCommandID(c.ID, "as-left"), Actor: c.Actor, Office: c.Office, Happened: *r.LeftAt,
		Do: events.LeaveFeed{Feed: a.Feed, Crew: events.CrewID(r.Crew), Condition: *r.AsLeft}}
	f := b.Feeds[a.Feed]
	if _, repeated := b.CommandPosition(c.ID); !repeated && f.AsLeft != nil && f.LeftAt.After(*r.LeftAt) {
		return nil, &events.Refusal{Words: fmt.Sprintf("%s was recorded as %s at %s, which is later than this paper: leave out how it was left", f.Name,
			words.Condition(*f.AsLeft), f.LeftAt.In(words.Zone(b, f.Site)).Format("15:04 on 2 Jan 2006"))}
	}
	return &left, nil
}

func (r PaperResultRequest) do() events.FinishJob {
	day := r.Day
	if day.IsZero() {
		day = r.SignedOn
	}
	do := events.FinishJob{JobRef: events.JobRef{Assembly: events.AssemblyID(r.Assembly), Job: events.JobID(r.Job)}, Crew: events.CrewID(r.Crew), Day: day,
		Outcome: r.Outcome, Initial: r.Initial, Repair: r.Repair, Final: r.Final, Why: r.Why, Words: r.Words, Parts: r.Parts, New: r.New, Seen: r.Seen, Wrong: r.Wrong,
		Paper: &events.PaperResult{SHA256: r.SHA256, SignedOn: r.SignedOn, Tester: events.PersonID(r.Tester)}}
	if r.Obstacle != nil {
		do.Obstacle = *r.Obstacle
	}
	return do
}

// ReadingsRequest corrects the readings of a test; only its tester may.
type ReadingsRequest struct {
	CommandID string      `json:"command_id"`
	By        string      `json:"by" doc:"the person who says so: the tester"`
	Assembly  string      `json:"assembly"`
	Job       string      `json:"job"`
	About     string      `json:"about" doc:"the event in which the test was recorded"`
	Words     string      `json:"words" doc:"why"`
	Test      events.Test `json:"test" doc:"as read in truth, with the tester's verdict as it was"`
}

// Attachment is a file that is kept by its hash.
type Attachment struct {
	SHA256 string `json:"sha256"`
	Bytes  int    `json:"bytes"`
}

func (s *Server) mendingRoutes() {
	huma.Register(s.api, huma.Operation{OperationID: "paper-result", Security: recorders, Method: http.MethodPost, Path: "/api/paper-results",
		Summary: "Key in a result from a signed paper whose copy is attached"},
		func(ctx context.Context, in *struct{ Body PaperResultRequest }) (*reply[Receipt], error) {
			c, err := s.actedBy(in.Body.CommandID, in.Body.By)
			if err != nil {
				return nil, err
			}
			if _, err := s.cfg.Blobs.Blob(ctx, in.Body.SHA256); err != nil {
				return nil, s.fail(attached(err))
			}
			c.Do = in.Body.do()
			left, err := in.Body.leaves(s.cfg.Keeper.Book(), c)
			if err != nil {
				return nil, s.fail(err)
			}
			receipt, err := s.do(ctx, c)
			if err != nil || left == nil {
				return receipt, err
			}
			after, err := s.do(ctx, *left)
			if err != nil {
				return nil, err
			}
			after.Body.Alarms = append(receipt.Body.Alarms, after.Body.Alarms...)
			return after, nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "paper-form", Security: testers, Method: http.MethodGet, Path: "/api/assemblies/{id}/jobs/{job}/form",
		Summary: "What is needed to key in the result of a job from a signed paper, or to correct its readings"},
		func(_ context.Context, in *struct {
			JobInPath
			On events.Date `query:"on" format:"date" doc:"when the paper was signed; default: today"`
		}) (*reply[crew.Form], error) {
			on := in.On
			if on.IsZero() {
				on = events.DateIn(s.cfg.Now(), s.cfg.Zone)
			}
			f, err := crew.FormOf(s.cfg.Keeper.Book(), crew.Config{Office: s.cfg.Office, Settings: s.cfg.Dispatch.Settings(), People: s.cfg.People, Now: s.cfg.Now()}, in.ref(), on)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(f), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "correct-readings", Security: testers, Method: http.MethodPost, Path: "/api/readings",
		Summary: "Correct the readings of a test, by its tester; the first entry stays visible"},
		func(ctx context.Context, in *struct{ Body ReadingsRequest }) (*reply[Receipt], error) {
			c, err := s.actedBy(in.Body.CommandID, in.Body.By)
			if err != nil {
				return nil, err
			}
			c.Do = events.CorrectReadings{JobRef: events.JobRef{Assembly: events.AssemblyID(in.Body.Assembly), Job: events.JobID(in.Body.Job)},
				About: events.EventID(in.Body.About), Why: in.Body.Words, Test: in.Body.Test}
			return s.do(ctx, c)
		})

	huma.Register(s.api, huma.Operation{OperationID: "attach", Security: testers, Method: http.MethodPost, Path: "/api/attachments", MaxBodyBytes: events.MaxBlobBytes,
		Summary: "Keep a file, such as the copy of a signed report; sent twice it is kept once"},
		func(ctx context.Context, in *struct {
			RawBody []byte `contentType:"application/octet-stream"`
		}) (*reply[Attachment], error) {
			hash, err := s.cfg.Blobs.PutBlob(ctx, in.RawBody)
			if err != nil {
				return nil, s.fail(err)
			}
			return answer(Attachment{hash, len(in.RawBody)}), nil
		})

	huma.Register(s.api, huma.Operation{OperationID: "attachment", Security: everybody, Method: http.MethodGet, Path: "/api/attachments/{hash}", Summary: "A kept file"},
		func(ctx context.Context, in *struct {
			Hash string `path:"hash" pattern:"^[0-9a-f]{64}$"`
		}) (*huma.StreamResponse, error) {
			return s.attachment(ctx, in.Hash)
		})
}

// actedBy is an empty command of the office, said by a person of it where one is named.
func (s *Server) actedBy(id, by string) (events.Command, error) {
	c, err := s.deskCommand(id)
	if err == nil {
		c.Actor = events.PersonID(cmp.Or(by, "office"))
	}
	return c, err
}

// attached says in words for the page that the copy is missing.
func attached(err error) error {
	if errors.Is(err, events.ErrNoBlob) {
		return &events.Refusal{Words: "attach the signed paper first: no such copy is kept"}
	}
	return err
}

// attachment answers with a kept file. Only what a browser shows without running anything is shown in it; anything else is
// saved.
func (s *Server) attachment(ctx context.Context, hash string) (*huma.StreamResponse, error) {
	data, err := s.cfg.Blobs.Blob(ctx, hash)
	if errors.Is(err, events.ErrNoBlob) {
		return nil, huma.Error404NotFound("There is no such attachment.")
	}
	if err != nil {
		return nil, s.fail(err)
	}
	kind, shown := http.DetectContentType(data), "attachment"
	switch kind {
	case "application/pdf", "image/png", "image/jpeg", "image/gif", "image/webp":
		shown = "inline"
	default:
		kind = "application/octet-stream"
	}
	return &huma.StreamResponse{Body: func(ctx huma.Context) {
		ctx.SetHeader("Content-Type", kind)
		ctx.SetHeader("Content-Disposition", fmt.Sprintf("%s; filename=%q", shown, hash[:12]))
		ctx.SetHeader("Cache-Control", "private, no-store") // a signed paper names people
		_, _ = ctx.BodyWriter().Write(data)                 // whoever went away needs no answer
	}}, nil
}
