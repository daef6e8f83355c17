package events

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// definition is one type of event: its written name, the version written today, how to read it.
type definition struct {
	kind    Kind
	name    string
	version int
	goType  reflect.Type
	decode  func(body []byte) (any, error)
	lifts   []lift // from version 1 to 2, from 2 to 3…; folds know only the newest
}

// lift turns a body of one version into the next. It is pure and stays for good, as the log does.
type lift func(body []byte) ([]byte, error)

// vocabulary is the registry of event types. Names are written strings, never derived from Go names,
// so that a rename in code does not rewrite history. It is read-only once built.
type vocabulary struct {
	byName map[string]*definition // "assembly.due"
	byType map[reflect.Type]*definition
}

// declare adds a type of event. Its version today is one more than there are lifts: whoever changes the body so that old
// readers would misread it adds the lift from the version before, and a stored example of the new one.
func declare[T any](v *vocabulary, kind Kind, name string, lifts ...lift) {
	if err := (Entity{Firm, kind, name}).check(); err != nil {
		panic("event type " + string(kind) + "." + name + ": " + err.Error())
	}
	d := &definition{kind: kind, name: name, version: 1 + len(lifts), goType: reflect.TypeFor[T](), lifts: lifts,
		decode: func(body []byte) (any, error) {
			var event T
			err := json.Unmarshal(body, &event)
			return event, err
		}}
	key := string(kind) + "." + name
	if v.byName[key] != nil || v.byType[d.goType] != nil {
		panic("event type declared twice: " + key)
	}
	v.byName[key], v.byType[d.goType] = d, d
}

var words = buildVocabulary()

func buildVocabulary() *vocabulary {
	v := &vocabulary{byName: map[string]*definition{}, byType: map[reflect.Type]*definition{}}
	declareRegistry(v)
	declareAssembly(v)
	declareJob(v)
	declareSite(v)
	declareCall(v)
	declareBooking(v)
	declareDisuse(v)
	declareFeed(v)
	declareDay(v)
	declareOthers(v)
	declareParts(v)
	declareKit(v)
	declareCorrections(v)
	declarePaper(v)
	declarePhotos(v)
	declareSerials(v)
	declareFix(v)
	declareImpairment(v)
	declareSettings(v)
	declareAlarms(v)
	declareLate(v)
	declareAccess(v)
	declareUnplaced(v)
	return v
}

// declareRegistry names the facts about a thing that the office keeps: first entered, later corrected.
func declareRegistry(v *vocabulary) {
	declareFacts[AssemblyFacts](v, KindAssembly)
	declareFacts[SiteFacts](v, KindSite)
	declareFacts[FeedFacts](v, KindFeed)
	declareFacts[CrewFacts](v, KindCrew)
	declareFacts[GaugeFacts](v, KindGauge)
	declareFacts[KitFacts](v, KindKit)
	declareFacts[PurveyorFacts](v, KindPurveyor)
	declareFacts[CustomerFacts](v, KindCustomer)
	declareFacts[PersonFacts](v, KindPerson)
}

func declareFacts[F any](v *vocabulary, kind Kind) {
	declare[Registered[F]](v, kind, "registered")
	declare[Corrected[F]](v, kind, "corrected")
}

// Registered is the first entry of a thing in the registry.
type Registered[F any] struct {
	Facts F `json:"facts"`
}

// Corrected replaces a thing's registry facts; the earlier entry stays in the log.
type Corrected[F any] struct {
	Facts F      `json:"facts"`
	Why   string `json:"why,omitempty"`
}

// EventName is one entry of the vocabulary, for documentation and tests.
type EventName struct {
	Kind    Kind
	Name    string
	Version int
}

// Vocabulary lists every event type this code can read, sorted by kind and name.
func Vocabulary() []EventName {
	var list []EventName
	for _, d := range words.byName {
		list = append(list, EventName{d.kind, d.name, d.version})
	}
	slices.SortFunc(list, func(a, b EventName) int {
		return strings.Compare(string(a.Kind)+"."+a.Name, string(b.Kind)+"."+b.Name)
	})
	return list
}

// UnknownEventError says that the log holds an event this code does not know how to read.
type UnknownEventError struct {
	Kind    Kind
	Name    string
	Version int
}

func (e *UnknownEventError) Error() string {
	return fmt.Sprintf("unknown event %s.%s version %d", e.Kind, e.Name, e.Version)
}

// Decode reads a record's body as the newest version of its type, lifting old versions on the way.
func Decode(r Record) (any, error) { return words.decode(r) }

func (v *vocabulary) decode(r Record) (any, error) {
	d := v.byName[string(r.Entity.Kind)+"."+r.Name]
	if d == nil || r.Version > d.version || r.Version < 1 {
		return nil, &UnknownEventError{r.Entity.Kind, r.Name, r.Version}
	}
	body := r.Body
	for from := r.Version; from < d.version; from++ {
		var err error
		if body, err = d.lifts[from-1](body); err != nil {
			return nil, fmt.Errorf("lifting %s.%s from version %d: %w", d.kind, d.name, from, err)
		}
	}
	event, err := d.decode(body)
	if err != nil {
		return nil, fmt.Errorf("reading %s.%s version %d: %w", d.kind, d.name, r.Version, err)
	}
	return event, nil
}

// encode writes an event as JSON and says under what name and version it is stored.
func (v *vocabulary) encode(entity Entity, event any) (*definition, []byte, error) {
	d := v.byType[reflect.TypeOf(event)]
	if d == nil {
		return nil, nil, fmt.Errorf("%T is not in the vocabulary", event)
	}
	if d.kind != entity.Kind {
		return nil, nil, fmt.Errorf("%s.%s cannot happen to %s", d.kind, d.name, entity)
	}
	body, err := json.Marshal(event)
	if err != nil {
		return nil, nil, fmt.Errorf("writing %s.%s: %w", d.kind, d.name, err)
	}
	return d, body, nil
}
