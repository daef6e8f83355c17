package console

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"valveround/events"
	"valveround/services/registry"
	"valveround/services/words"
)

// FormRequest enters a thing, or mends it.
type FormRequest[F any] struct {
	CommandID string         `json:"command_id"`
	Facts     F              `json:"facts"`
	Why       string         `json:"why,omitempty" doc:"of a correction"`
	Details   *words.Details `json:"details,omitempty" doc:"of a person or site: name, telephone, code; kept apart from the log"`
}

// FormReceipt answers a form.
type FormReceipt struct {
	ID       string `json:"id"`
	Position uint64 `json:"position"`
	Repeated bool   `json:"repeated"`
}

// Entry is one thing of the registry.
type Entry[F any] struct {
	ID      string         `json:"id"`
	Facts   F              `json:"facts"`
	Details *words.Details `json:"details,omitempty"`
}

// kindIn is what the registry knows of one kind.
type kindIn[F any] struct {
	plural string // in the path
	kind   events.Kind
	all    func(*events.Book) []Entry[F]
}

func (s *Server) registryRoutes() {
	registryOf(s, kindIn[events.CustomerFacts]{"customers", events.KindCustomer, func(b *events.Book) []Entry[events.CustomerFacts] {
		return entriesOf(b.Customers, func(x *events.Customer) events.CustomerFacts { return x.CustomerFacts })
	}})
	registryOf(s, kindIn[events.SiteFacts]{"sites", events.KindSite, func(b *events.Book) []Entry[events.SiteFacts] {
		return entriesOf(b.Sites, func(x *events.Site) events.SiteFacts { return x.SiteFacts })
	}})
	registryOf(s, kindIn[events.FeedFacts]{"feeds", events.KindFeed, func(b *events.Book) []Entry[events.FeedFacts] {
		return entriesOf(b.Feeds, func(x *events.Feed) events.FeedFacts { return x.FeedFacts })
	}})
	registryOf(s, kindIn[events.AssemblyFacts]{"assemblies", events.KindAssembly, func(b *events.Book) []Entry[events.AssemblyFacts] {
		return entriesOf(b.Assemblies, func(x *events.Assembly) events.AssemblyFacts { return x.AssemblyFacts })
	}})
	registryOf(s, kindIn[events.CrewFacts]{"crews", events.KindCrew, func(b *events.Book) []Entry[events.CrewFacts] {
		return entriesOf(b.Crews, func(x *events.Crew) events.CrewFacts { return x.CrewFacts })
	}})
	registryOf(s, kindIn[events.PersonFacts]{"people", events.KindPerson, func(b *events.Book) []Entry[events.PersonFacts] {
		return entriesOf(b.People, func(x *events.Person) events.PersonFacts { return x.PersonFacts })
	}})
	registryOf(s, kindIn[events.GaugeFacts]{"gauges", events.KindGauge, func(b *events.Book) []Entry[events.GaugeFacts] {
		return entriesOf(b.Gauges, func(x *events.Gauge) events.GaugeFacts { return x.GaugeFacts })
	}})
	registryOf(s, kindIn[events.KitFacts]{"kits", events.KindKit, func(b *events.Book) []Entry[events.KitFacts] {
		return entriesOf(b.Kits, func(x *events.Kit) events.KitFacts { return x.KitFacts })
	}})
	registryOf(s, kindIn[events.PurveyorFacts]{"purveyors", events.KindPurveyor, func(b *events.Book) []Entry[events.PurveyorFacts] {
		return entriesOf(b.Purveyors, func(x *events.Purveyor) events.PurveyorFacts { return x.PurveyorFacts })
	}})
}

func entriesOf[K ~string, S, F any](states map[K]*S, facts func(*S) F) []Entry[F] {
	list := make([]Entry[F], 0, len(states))
	for id, state := range states {
		list = append(list, Entry[F]{ID: string(id), Facts: facts(state)})
	}
	slices.SortFunc(list, func(x, y Entry[F]) int { return cmp.Compare(x.ID, y.ID) })
	return list
}

// registryOf serves one kind: the list, one thing, a form for a new one and a form to mend one.
func registryOf[F any](s *Server, k kindIn[F]) {
	path := "/api/registry/" + k.plural
	huma.Register(s.api, huma.Operation{OperationID: "list-" + k.plural, Security: readers, Method: http.MethodGet, Path: path, Summary: "The " + k.plural + " on record"},
		func(_ context.Context, in *struct {
			From  int `query:"from" minimum:"0"`
			Limit int `query:"limit" minimum:"1" maximum:"5000" default:"500"`
		}) (*reply[[]Entry[F]], error) {
			all := k.all(s.cfg.Keeper.Book())
			from := min(in.From, len(all))
			return answer(all[from:min(from+in.Limit, len(all))]), nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "one-of-" + k.plural, Security: readers, Method: http.MethodGet, Path: path + "/{id}", Summary: "One of the " + k.plural},
		func(_ context.Context, in *struct {
			ID string `path:"id"`
		}) (*reply[Entry[F]], error) {
			entry, found := oneOf(s, k, in.ID)
			if !found {
				return nil, huma.Error404NotFound("There is no " + string(k.kind) + " " + in.ID + " on record.")
			}
			return answer(entry), nil
		})
	huma.Register(s.api, huma.Operation{OperationID: "enter-" + k.plural, Security: recorders, Method: http.MethodPost, Path: path, Summary: "Enter a new one of the " + k.plural},
		func(ctx context.Context, in *struct{ Body FormRequest[F] }) (*reply[FormReceipt], error) {
			return form(ctx, s, k.kind, "", in.Body)
		})
	huma.Register(s.api, huma.Operation{OperationID: "mend-" + k.plural, Security: recorders, Method: http.MethodPut, Path: path + "/{id}", Summary: "Mend one of the " + k.plural},
		func(ctx context.Context, in *struct {
			ID   string `path:"id"`
			Body FormRequest[F]
		}) (*reply[FormReceipt], error) {
			if _, found := oneOf(s, k, in.ID); !found {
				return nil, huma.Error404NotFound("There is no " + string(k.kind) + " " + in.ID + " on record.")
			}
			return form(ctx, s, k.kind, in.ID, in.Body)
		})
}

// oneOf finds one thing, with its details where it has any. A site's contact may be known by details alone: a person of
// whom nothing is in the log, and who can be given a name and number all the same.
func oneOf[F any](s *Server, k kindIn[F], id string) (Entry[F], bool) {
	all := k.all(s.cfg.Keeper.Book())
	i, found := slices.BinarySearchFunc(all, id, func(e Entry[F], id string) int { return cmp.Compare(e.ID, id) })
	entry := Entry[F]{ID: id}
	if found {
		entry = all[i]
	}
	if k.kind != events.KindPerson && k.kind != events.KindSite {
		return entry, found
	}
	d := s.cfg.People.Of(id)
	if d != (words.Details{}) {
		entry.Details = &d
	}
	return entry, found || k.kind == events.KindPerson && entry.Details != nil
}

// form judges and carries out what a form says; an empty id enters a new thing. Details are stored first, so that whoever
// sees the event knows the name.
func form[F any](ctx context.Context, s *Server, kind events.Kind, id string, r FormRequest[F]) (*reply[FormReceipt], error) {
	c, err := s.deskCommand(r.CommandID)
	if err != nil {
		return nil, err
	}
	if err := registry.Judge(s.cfg.Keeper.Book(), r.Facts); err != nil {
		return nil, formFault(err)
	}
	if id == "" {
		id = registry.NewID(kind, c.ID)
	}
	if r.Details != nil && (kind == events.KindPerson || kind == events.KindSite) {
		if err := s.cfg.People.Put(ctx, s.cfg.Details, id, *r.Details); err != nil {
			return nil, s.fail(err)
		}
	}
	c.Actor, c.Do = "office", events.Put[F]{ID: id, Facts: r.Facts, Why: r.Why}
	receipt, err := s.cfg.Keeper.Do(ctx, c)
	if err != nil {
		return nil, s.fail(err)
	}
	return answer(FormReceipt{ID: id, Position: receipt.Position, Repeated: receipt.Repeated}), nil
}

// formFault says every field at fault, each at its place.
func formFault(err error) error {
	var details []error
	var walk func(error)
	walk = func(err error) {
		var field *registry.FieldError
		if joined, ok := err.(interface{ Unwrap() []error }); ok {
			for _, e := range joined.Unwrap() {
				walk(e)
			}
		} else if errors.As(err, &field) {
			details = append(details, &huma.ErrorDetail{Message: field.Words, Location: "body.facts." + field.Field})
		}
	}
	walk(err)
	return huma.Error422UnprocessableEntity("Some fields need a look.", details...)
}
