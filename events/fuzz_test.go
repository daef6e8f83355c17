package events_test

import (
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"valveround/events"
)

// FuzzOpen: whatever lies in the log, it is opened or refused; what is opened can be sealed again to the same record.
func FuzzOpen(f *testing.F) {
	s := world(f)
	for _, r := range s.log {
		f.Add(r.Subject(), headerText(r.Headers), r.Body)
	}
	sealed := events.Seal(sampleEnvelope(), []byte(`{}`))
	f.Add(sealed.Subject(), headerText(sealed.Headers), sealed.Body)
	f.Add("vr.north.site.s1.left", "ce-prevhash:"+strings.Repeat("0", 700), []byte(nil))
	f.Add("", "", []byte(nil))
	f.Fuzz(func(t *testing.T, subject, text string, body []byte) {
		headers := headersOf(text)
		r, err := events.Open(subject, headers, body, 3)
		if err != nil {
			if first, again := r.Hash(), r.Hash(); first != again {
				t.Fatal("the hash of what cannot be read is not the same twice")
			}
			return
		}
		if r.Subject() != subject {
			t.Fatalf("opened as %s", r.Subject())
		}
		again := events.Seal(r.Envelope, r.Body)
		reopened, err := events.Open(again.Subject(), again.Headers, again.Body, 3)
		if err != nil || !reflect.DeepEqual(reopened.Envelope, r.Envelope) {
			t.Fatalf("sealed again: %+v, %v, want %+v", reopened.Envelope, err, r.Envelope)
		}
		_, _ = events.Decode(r)
		if got := events.NewBook().Apply(r); !got.Accepted && !got.Void {
			t.Fatalf("neither accepted nor void: %+v", got)
		}
	})
}

func headerText(headers map[string]string) string {
	var lines []string
	for _, name := range slices.Sorted(maps.Keys(headers)) {
		lines = append(lines, name+":"+headers[name])
	}
	return strings.Join(lines, "\n")
}

func headersOf(text string) map[string]string {
	headers := map[string]string{}
	for line := range strings.SplitSeq(text, "\n") {
		name, value, _ := strings.Cut(line, ":")
		headers[name] = value
	}
	return headers
}

// FuzzParseSubject: a subject that is read is the subject that is written, and no wildcard or blank comes through.
func FuzzParseSubject(f *testing.F) {
	for _, text := range []string{"vr.north.assembly.a1.failed-retest", "vr.firm.person.p_1.registered", "vr.north.day.2026-03-02.sent-out",
		"vr.*.site.s1.>", "vr.north.site..left", "vr.north.site.s1.left.", "VR.north.site.s1.left", "vr.north.site.s\u00e9.left", "...."} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		e, name, err := events.ParseSubject(text)
		if err != nil {
			return
		}
		if e.Subject(name) != text {
			t.Fatalf("%q is read as %v, %q and written %q", text, e, name, e.Subject(name))
		}
		if strings.ContainsAny(text, " *>\t\r\n") || !strings.HasPrefix(text, strings.TrimSuffix(e.Filter(), ">")) {
			t.Fatalf("%q was read as a subject of %s", text, e)
		}
	})
}

// FuzzParseCommandID: what is read is never zero, and is written in a way that is read as the same.
func FuzzParseCommandID(f *testing.F) {
	for _, text := range []string{"0102030405060708090a0b0c0d0e0f10", "01020304-0506-0708-090A-0B0C0D0E0F10", "", "-", strings.Repeat("0", 32), strings.Repeat("-0", 32),
		strings.Repeat("f", 33), strings.Repeat("g", 32)} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		id, err := events.ParseCommandID(text)
		if err != nil {
			return
		}
		again, err := events.ParseCommandID(id.String())
		if id.IsZero() || err != nil || again != id || !strings.EqualFold(id.String(), strings.ReplaceAll(text, "-", "")) {
			t.Fatalf("%q is read as %s and then as %s, %v", text, id, again, err)
		}
	})
}
