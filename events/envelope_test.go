package events_test

import (
	"maps"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
)

func sampleEnvelope() events.Envelope {
	offset := -1500 * time.Millisecond
	return events.Envelope{ID: "00ff-0", Entity: events.Entity{Office: office, Kind: events.KindSite, ID: "s1"}, Name: "left", Version: 1,
		Command: events.CommandID{1, 2, 3}, Actor: "p-desk", Happened: time.Date(2026, 3, 2, 15, 0, 0, 125, time.UTC),
		ClockOffset: &offset, Recorded: time.Date(2026, 3, 2, 15, 0, 1, 0, time.UTC), Prev: events.Hash{7, 31: 9}}
}

// Attributes that every event must have, and the rule for names: CloudEvents 1.0, sections "Required Attributes" and
// "Attribute Naming Convention"; the prefix ce- and the percent-encoding: its NATS Protocol Binding, binary mode (all from
// memory).
func TestHeadersAreCloudEvents(t *testing.T) {
	r := events.Seal(sampleEnvelope(), []byte(`{}`))
	for name, value := range r.Headers {
		if !regexp.MustCompile(`^ce-[a-z0-9]{1,20}$`).MatchString(name) {
			t.Errorf("header %q is no name of an attribute", name)
		}
		if strings.ContainsAny(value, "\r\n") {
			t.Errorf("header %s: value %q holds the end of a line", name, value)
		}
	}
	for _, name := range []string{"ce-id", "ce-source", "ce-specversion", "ce-type"} {
		if r.Headers[name] == "" {
			t.Errorf("the required header %s is missing", name)
		}
	}
	if got := r.Headers["ce-specversion"]; got != "1.0" {
		t.Errorf("ce-specversion = %q, want 1.0", got)
	}
}

func TestSealAndOpen(t *testing.T) {
	actors := map[string]events.PersonID{"none": "", "plain": "p-1", "spaces": "  two  words ", "marks": "a:b/c?d=e&f#g%h+i", "line ends": "a\r\nce-id: x",
		"letters of other scripts": "Łucja Ünal 王", "nul": "\x00", "no utf-8": "\xff\xfe", "percent": "%zz"}
	for name, actor := range actors {
		t.Run(name, func(t *testing.T) {
			e := sampleEnvelope()
			e.Actor = actor
			sealed := events.Seal(e, []byte(`{"crew":"c1"}`))
			for _, c := range sealed.Headers["ce-actor"] {
				if c < 0x20 || c > 0x7e {
					t.Fatalf("header ce-actor %q is not printable ASCII", sealed.Headers["ce-actor"])
				}
			}
			opened, err := events.Open(sealed.Subject(), sealed.Headers, sealed.Body, 0)
			if err != nil || !reflect.DeepEqual(opened, sealed) {
				t.Errorf("Open(Seal(e)) = %+v, %v, want %+v", opened, err, sealed)
			}
		})
	}
}

func TestSealOpenProperty(t *testing.T) {
	zones := []*time.Location{time.UTC, time.FixedZone("west", -7*3600), time.Local}
	instant := rapid.Custom(func(t *rapid.T) time.Time {
		sec := rapid.Int64Range(-60_000_000_000, 250_000_000_000).Draw(t, "second") // years 68 to 9892
		return time.Unix(sec, rapid.Int64Range(0, 999_999_999).Draw(t, "nanosecond")).In(rapid.SampledFrom(zones).Draw(t, "zone"))
	})
	rapid.Check(t, func(t *rapid.T) {
		e := sampleEnvelope()
		e.Actor = events.PersonID(rapid.String().Draw(t, "actor"))
		e.Version = rapid.IntRange(1, 9).Draw(t, "version")
		e.Happened, e.Recorded = instant.Draw(t, "happened"), instant.Draw(t, "recorded")
		e.Command[3] = rapid.Byte().Draw(t, "command")
		e.ClockOffset = nil
		if rapid.Bool().Draw(t, "has offset") {
			offset := time.Duration(rapid.Int64().Draw(t, "offset"))
			e.ClockOffset = &offset
		}
		sealed := events.Seal(e, rapid.SliceOf(rapid.Byte()).Draw(t, "body"))
		opened, err := events.Open(sealed.Subject(), sealed.Headers, sealed.Body, 7)
		sealed.Seq = 7
		if err != nil || !reflect.DeepEqual(opened, sealed) {
			t.Fatalf("Open(Seal(e)) = %+v, %v, want %+v", opened, err, sealed)
		}
		if !opened.Happened.Equal(e.Happened) || opened.Hash() != sealed.Hash() {
			t.Fatalf("happened %v, want %v", opened.Happened, e.Happened)
		}
	})
}

func TestOpenNamesTheBadHeader(t *testing.T) {
	good := events.Seal(sampleEnvelope(), []byte(`{}`))
	open := func(headers map[string]string) error {
		_, err := events.Open(good.Subject(), headers, good.Body, 12)
		return err
	}
	broken := map[string][]string{
		"ce-specversion": {"", "0.3", "1.0 "},
		"ce-id":          {""},
		"ce-source":      {"", "/valveround/south", "/valveround"},
		"ce-type":        {"", "valveround.site.arrived", "site.left"},
		"ce-time":        {"", "2026-03-02", "yesterday", "2026-13-02T15:00:00Z"},
		"ce-bodyversion": {"", "0", "-1", "1.5", "one", "99999999999999999999"},
		"ce-command":     {"", "12", strings.Repeat("0", 32), strings.Repeat("g", 32), strings.Repeat("a", 33)},
		"ce-actor":       {"%", "%g0"},
		"ce-clockoffsetms": {"", "1.5", "soon", "9223372036854775807", "-9223372036854775808",
			"10000000000000"},
		"ce-recorded": {"", "0"},
		"ce-prevhash": {"", "07", strings.Repeat("0", 63), strings.Repeat("x", 64), strings.Repeat("0", 66), strings.Repeat("0", 640)},
	}
	for name := range good.Headers {
		if broken[name] == nil {
			t.Errorf("header %s is not tried", name)
		}
	}
	for name, values := range broken {
		headers := maps.Clone(good.Headers)
		if delete(headers, name); name != "ce-clockoffsetms" { // the desk has none
			if err := open(headers); err == nil || !strings.Contains(err.Error(), name) {
				t.Errorf("without %s: error %v does not name it", name, err)
			}
		}
		for _, value := range values {
			headers[name] = value
			err := open(headers)
			if err == nil || !strings.Contains(err.Error(), name) || !strings.Contains(err.Error(), "event 12") {
				t.Errorf("%s %q: error %v does not name it and the event", name, value, err)
			}
		}
	}
	// All of them are named at once, and what can be read is read.
	headers := maps.Clone(good.Headers)
	headers["ce-id"], headers["ce-time"] = "", "yesterday"
	r, err := events.Open(good.Subject(), headers, good.Body, 12)
	if err == nil || !strings.Contains(err.Error(), "ce-id") || !strings.Contains(err.Error(), "ce-time") {
		t.Errorf("two bad headers: error %v", err)
	}
	if r.Prev != good.Prev || r.Command != good.Command || r.Entity != good.Entity {
		t.Errorf("two bad headers: the rest was not read: %+v", r)
	}
}

func TestOpenRefusesOddSubjects(t *testing.T) {
	good := events.Seal(sampleEnvelope(), nil)
	for _, subject := range []string{"", "vr", "vr.north.site.s1", "vr.north.site.s1.left.again", "xx.north.site.s1.left", "vr..site.s1.left",
		"vr.north.hydrant.s1.left", "vr.north.site.s 1.left", "vr.north.site.*.left", "vr.north.site.s1.>", "vr.north.site.é.left"} {
		if _, err := events.Open(subject, good.Headers, good.Body, 1); err == nil {
			t.Errorf("subject %q was opened", subject)
		}
	}
}

func TestCommandsMustSayWhoAndWhen(t *testing.T) {
	book := newStory(t).furnish().book
	when := time.Date(2026, 3, 2, 15, 0, 0, 0, time.UTC)
	do := events.Arrive{Site: "s1", Crew: "c1", Day: date("2026-03-02")}
	for name, c := range map[string]events.Command{
		"no id":        {Office: office, Happened: when, Do: do},
		"no instant":   {ID: events.CommandID{1}, Office: office, Do: do},
		"year 10000":   {ID: events.CommandID{1}, Office: office, Happened: when.AddDate(8000, 0, 0), Do: do},
		"no command":   {ID: events.CommandID{1}, Office: office, Happened: when},
		"not ours":     {ID: events.CommandID{1}, Office: office, Happened: when, Do: "arrive"},
		"a pointer":    {ID: events.CommandID{1}, Office: office, Happened: when, Do: &do},
		"a wrong kind": {ID: events.CommandID{1}, Office: office, Happened: when, Do: events.Left{}},
	} {
		if batch, err := events.Prepare(book, c, when); err == nil || len(batch) > 0 {
			t.Errorf("%s: got %d records and error %v, want an error", name, len(batch), err)
		}
	}
}
