package events

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"valveround/geo"
)

var update = flag.Bool("update", false, "write the stored example of the newest version of every event type")

const exampleFolder = "../testdata/events"

// example is one event as stored: where it is published, its headers and its body. An example of a version that was ever
// written stays for good. While a version is the newest, a field that old readers may leave out can join it: then -update
// adds lines to its example and changes none.
type example struct {
	Subject string            `json:"subject"`
	Headers map[string]string `json:"headers"`
	Body    json.RawMessage   `json:"body"`
}

func exampleFile(d *definition, version int) string {
	return fmt.Sprintf("%s.%s.v%d.json", d.kind, d.name, version)
}

func exampleEntity(kind Kind) Entity {
	switch kind {
	case KindDay:
		return Entity{"north", kind, "2026-03-02"}
	case KindGauge, KindPerson, KindPurveyor:
		return Entity{Firm, kind, string(kind) + "-1"}
	}
	return Entity{"north", kind, string(kind) + "-1"}
}

// exampleOf seals an event of the type with every field filled.
func exampleOf(t *testing.T, d *definition) (any, Record) {
	event := reflect.New(d.goType).Elem()
	fill(t, event, d.name)
	e := exampleEntity(d.kind)
	_, body, err := words.encode(e, event.Interface())
	if err != nil {
		t.Fatal(err)
	}
	offset := 1250 * time.Millisecond
	return event.Interface(), Seal(Envelope{
		ID: eventID(CommandID{0: 1, 15: 2}, 0), Entity: e, Name: d.name, Version: d.version, Command: CommandID{0: 1, 15: 2}, Actor: "person 1",
		Happened: exampleInstant, ClockOffset: &offset, Recorded: exampleInstant.Add(time.Second), Prev: Hash{0: 0xab, 31: 0xcd},
	}, body)
}

// TestExamples holds the stored examples to the code: the newest version decodes to the value it was written from and is
// written again byte by byte, and every older version is still read.
func TestExamples(t *testing.T) {
	expected := map[string]bool{}
	for _, d := range words.byName {
		for version := 1; version <= d.version; version++ {
			name := exampleFile(d, version)
			expected[name] = true
			t.Run(name, func(t *testing.T) {
				want, sealed := exampleOf(t, d)
				if *update && version == d.version {
					writeExample(t, name, sealed)
				}
				r := readExample(t, name)
				got, err := Decode(r)
				if err != nil {
					t.Fatal(err)
				}
				if r.Entity.Kind != d.kind || r.Name != d.name || r.Version != version {
					t.Fatalf("the file holds %s.%s version %d", r.Entity.Kind, r.Name, r.Version)
				}
				if version < d.version {
					return
				}
				if !reflect.DeepEqual(got, want) {
					t.Errorf("decoded to\n%+v\nwant\n%+v\n(after adding a field that may be left out: -update adds it to the example)", got, want)
				}
				_, body, err := words.encode(r.Entity, got)
				if err != nil || !bytes.Equal(body, r.Body) {
					t.Errorf("written again as\n%s\nwant\n%s", body, r.Body)
				}
				if again := Seal(r.Envelope, body); again.Hash() != r.Hash() {
					t.Errorf("sealed again with headers\n%v\nwant\n%v", again.Headers, r.Headers)
				}
			})
		}
	}
	files, err := os.ReadDir(exampleFolder)
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if !expected[file.Name()] {
			t.Errorf("%s is an example of no type and version that this code can read; history keeps its words", file.Name())
		}
	}
}

func writeExample(t *testing.T, name string, r Record) {
	text, err := json.MarshalIndent(example{r.Subject(), r.Headers, r.Body}, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(exampleFolder, name), append(text, '\n'), 0o644); err != nil {
		t.Fatal(err)
	}
}

func readExample(t *testing.T, name string) Record {
	text, err := os.ReadFile(filepath.Join(exampleFolder, name))
	if err != nil {
		t.Fatalf("there is no stored example of this type and version (go test ./events -run TestExamples -update writes it): %v", err)
	}
	var ex example
	if err := json.Unmarshal(text, &ex); err != nil {
		t.Fatal(err)
	}
	var body bytes.Buffer
	if err := json.Compact(&body, ex.Body); err != nil {
		t.Fatal(err)
	}
	r, err := Open(ex.Subject, ex.Headers, body.Bytes(), 1)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

var exampleInstant = time.Date(2026, 3, 2, 14, 30, 0, 0, time.UTC)

// exampleValues are values of the types whose text has a grammar, or few words.
var exampleValues = map[reflect.Type]any{
	reflect.TypeFor[Date]():            NewDate(2026, time.March, 2),
	reflect.TypeFor[Decimal]():         MustDecimal("2.0"),
	reflect.TypeFor[Size]():            InchSize(2, 4),
	reflect.TypeFor[time.Time]():       exampleInstant,
	reflect.TypeFor[geo.Point]():       geo.MustPoint(41.25, -74.5),
	reflect.TypeFor[json.RawMessage](): json.RawMessage(`{"due":"Due Date"}`),
	reflect.TypeFor[time.Weekday]():    time.Friday,
	reflect.TypeFor[AssemblyType]():    RP,
	reflect.TypeFor[Service]():         Fire,
	reflect.TypeFor[Hazard]():          Health,
	reflect.TypeFor[Vault]():           PermitVault,
	reflect.TypeFor[PositionSource]():  Surveyed,
	reflect.TypeFor[ServiceState]():    Impaired,
	reflect.TypeFor[ValveState]():      ValvePartly,
	reflect.TypeFor[CredentialKind]():  TesterCertificate,
	reflect.TypeFor[JobKind]():         AnnualTest,
	reflect.TypeFor[Standing]():        Ours,
	reflect.TypeFor[RuleUnit]():        BusinessDays,
	reflect.TypeFor[CountsFrom]():      FromReport,
	reflect.TypeFor[Roll]():            RollAfter,
	reflect.TypeFor[Part]():            MainPart,
	reflect.TypeFor[Component]():       Check1,
	reflect.TypeFor[Phase]():           Final,
	reflect.TypeFor[Result]():          Held,
	reflect.TypeFor[Unit]():            PSID,
	reflect.TypeFor[Opinion]():         OpinionPass,
	reflect.TypeFor[ProfileID]():       Strictest,
	reflect.TypeFor[Status]():          StatusFail,
	reflect.TypeFor[Mark]():            Checked,
}

// fill gives every field below v a value that is not its zero; texts without a grammar say what the field is called.
func fill(t *testing.T, v reflect.Value, name string) {
	if value, ok := exampleValues[v.Type()]; ok {
		v.Set(reflect.ValueOf(value))
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(t, v.Elem(), name)
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			if !field.IsExported() {
				t.Fatalf("%s.%s is not exported and would not be stored", v.Type(), field.Name)
			}
			fill(t, v.Field(i), field.Name)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(t, v.Index(0), name)
	case reflect.Map:
		key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fill(t, key, name)
		fill(t, value, name)
		v.Set(reflect.MakeMap(v.Type()))
		v.SetMapIndex(key, value)
	case reflect.String:
		v.SetString(exampleText(v.Type(), name))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(7)
	case reflect.Uint64:
		v.SetUint(7)
	default:
		t.Fatalf("%s: no example of a %s", name, v.Type())
	}
}

// exampleText is what a text without a grammar says: an id, the field's name, or in free words what encoders treat in their
// own ways.
func exampleText(t reflect.Type, name string) string {
	if kind, ok := strings.CutSuffix(t.Name(), "ID"); ok {
		return strings.ToLower(kind) + "-1"
	}
	if name == "Words" || name == "Why" {
		return "cock broken & <buried>, \"ñ\""
	}
	return strings.ToLower(name)
}
