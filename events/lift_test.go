package events

import (
	"bytes"
	"encoding/json"
	"errors"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// watered is an event that has had three versions: version 1 wrote "minutes", version 2 "seconds", version 3 "dry_s".
type watered struct {
	DryS int    `json:"dry_s"`
	Crew CrewID `json:"crew"`
}

func liftedVocabulary() *vocabulary {
	v := &vocabulary{byName: map[string]*definition{}, byType: map[reflect.Type]*definition{}}
	minutesToSeconds := func(body []byte) ([]byte, error) {
		var old struct {
			Minutes *int   `json:"minutes"`
			Crew    string `json:"crew"`
		}
		if err := json.Unmarshal(body, &old); err != nil {
			return nil, err
		}
		if old.Minutes == nil {
			return nil, errors.New("no minutes")
		}
		return json.Marshal(map[string]any{"seconds": *old.Minutes * 60, "crew": old.Crew})
	}
	rename := func(body []byte) ([]byte, error) {
		return bytes.Replace(body, []byte(`"seconds"`), []byte(`"dry_s"`), 1), nil
	}
	declare[watered](v, KindFeed, "watered", minutesToSeconds, rename)
	return v
}

func TestOldVersionsAreLifted(t *testing.T) {
	v := liftedVocabulary()
	feed := Entity{"north", KindFeed, "f1"}
	want := watered{DryS: 1800, Crew: "c1"}
	for version, body := range map[int]string{
		1: `{"minutes":30,"crew":"c1"}`,
		2: `{"seconds":1800,"crew":"c1"}`,
		3: `{"dry_s":1800,"crew":"c1"}`,
	} {
		r := Seal(Envelope{Entity: feed, Name: "watered", Version: version}, []byte(body))
		before := r.Hash()
		got, err := v.decode(r)
		if err != nil || got != want {
			t.Errorf("version %d: got %+v, %v, want %+v", version, got, err, want)
		}
		if r.Hash() != before || string(r.Body) != body {
			t.Errorf("version %d: lifting changed what is stored", version)
		}
	}
	if d, body, err := v.encode(feed, want); err != nil || d.version != 3 || string(body) != `{"dry_s":1800,"crew":"c1"}` {
		t.Errorf("written as %s, %v, want version 3", body, err)
	}
	for _, version := range []int{-1, 0, 4} {
		var unknown *UnknownEventError
		_, err := v.decode(Seal(Envelope{Entity: feed, Name: "watered", Version: version}, []byte(`{}`)))
		if !errors.As(err, &unknown) || unknown.Version != version {
			t.Errorf("version %d: error %v, want UnknownEventError", version, err)
		}
	}
	_, err := v.decode(Seal(Envelope{Entity: feed, Name: "watered", Version: 1}, []byte(`{}`)))
	if err == nil || !strings.Contains(err.Error(), "feed.watered from version 1") || !strings.Contains(err.Error(), "no minutes") {
		t.Errorf("a body that cannot be lifted: error %v", err)
	}
}

func TestDeclarationsAreChecked(t *testing.T) {
	panics := func(name string, declaration func(*vocabulary)) {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("was declared")
				}
			}()
			declaration(liftedVocabulary())
		})
	}
	type another struct{}
	panics("the same name", func(v *vocabulary) { declare[another](v, KindFeed, "watered") })
	panics("the same Go type", func(v *vocabulary) { declare[watered](v, KindSite, "watered") })
	panics("a kind that is not known", func(v *vocabulary) { declare[another](v, "hydrant", "watered") })
	panics("a name with a dot", func(v *vocabulary) { declare[another](v, KindFeed, "was.watered") })
	panics("no name", func(v *vocabulary) { declare[another](v, KindFeed, "") })
}

// Every type of every kind can be folded: an event that the registry reads and no noun takes would make things read-only.
func TestEveryEventIsFolded(t *testing.T) {
	for _, d := range words.byName {
		id := "x1"
		if d.kind == KindDay {
			id = "2026-03-02"
		}
		e := Entity{"north", d.kind, id}
		_, body, err := words.encode(e, reflect.Zero(d.goType).Interface())
		if err != nil {
			t.Fatal(err)
		}
		got := NewBook().Apply(Seal(Envelope{ID: "1-0", Entity: e, Name: d.name, Version: d.version, Command: CommandID{1}}, body))
		if !got.Accepted || got.Unknown {
			t.Errorf("%s.%s is not folded: %v", d.kind, d.name, got.Err)
		}
	}
	if list := Vocabulary(); len(list) != len(words.byName) || !slices.IsSortedFunc(list, func(a, b EventName) int {
		return strings.Compare(string(a.Kind)+"."+a.Name, string(b.Kind)+"."+b.Name)
	}) {
		t.Errorf("the vocabulary lists %d of %d types, or not in order", len(list), len(words.byName))
	}
}
