package audit_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"go.uber.org/zap"

	"valveround/events"
	"valveround/events/audit"
	"valveround/events/keeper"
	"valveround/events/natslog"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func openLog(t *testing.T, dir string) *natslog.Store {
	t.Helper()
	log, err := natslog.Open(t.Context(), natslog.Config{Dir: dir, Logger: zap.NewNop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() })
	return log
}

// filled makes a log in which n sites were entered and corrected twice.
func filled(t *testing.T, dir string, n int) *natslog.Store {
	t.Helper()
	log := openLog(t, dir)
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log, Now: func() time.Time { return noon }})
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = k.Close() }()
	var all []events.Command
	for round := range 3 {
		for i := range n {
			all = append(all, events.Command{
				ID: events.CommandID{byte(round + 1), byte(i >> 8), byte(i)}, Actor: "p-½ desk", Office: "north", Happened: noon,
				Do: events.Put[events.SiteFacts]{ID: fmt.Sprintf("s-%d", i), Facts: events.SiteFacts{Name: fmt.Sprintf("<Mill & \"Söhne\"> %d", round)}},
			})
		}
	}
	if _, err := k.Import(t.Context(), all, nil); err != nil {
		t.Fatal(err)
	}
	return log
}

func site(i int) events.Entity {
	return events.Entity{Office: "north", Kind: events.KindSite, ID: fmt.Sprintf("s-%d", i)}
}

func raw(e events.Entity, id string, prev events.Hash, body []byte) events.Record {
	return events.Seal(events.Envelope{ID: events.EventID(id), Entity: e, Name: "corrected", Version: 1, Command: events.CommandID{9},
		Actor: "p-1", Happened: noon, Recorded: noon, Prev: prev}, body)
}

func mustVerify(t *testing.T, log events.Log) audit.Report {
	t.Helper()
	report, err := audit.VerifyChain(t.Context(), log)
	if err != nil {
		t.Fatal(err)
	}
	return report
}

func TestWholeLog(t *testing.T) {
	log := openLog(t, t.TempDir())
	if report := mustVerify(t, log); !report.Whole() || report.Records != 0 {
		t.Errorf("an empty log: %v", report)
	}
	report := mustVerify(t, filled(t, t.TempDir(), 40))
	if !report.Whole() || report.Records != 120 || report.Last != 120 || report.Entities != 40 || report.Void+report.Unreadable+report.Missing != 0 {
		t.Errorf("a whole log: %v", report)
	}
}

func TestLostRaceIsNoFault(t *testing.T) {
	log := filled(t, t.TempDir(), 2)
	history, err := log.History(t.Context(), site(1))
	if err != nil {
		t.Fatal(err)
	}
	newest := history[len(history)-1]
	late := raw(site(1), "late", newest.Prev, []byte("{}"))
	next := raw(site(1), "next", newest.Hash(), []byte("{}"))
	last, err := log.Append(t.Context(), []events.Append{{Record: late, ExpectLast: newest.Seq}})
	if err == nil {
		_, err = log.Append(t.Context(), []events.Append{{Record: next, ExpectLast: last}})
	}
	if err != nil {
		t.Fatal(err)
	}
	if report := mustVerify(t, log); !report.Whole() || report.Void != 1 || report.Records != 8 {
		t.Errorf("a lost race: %v", report)
	}
}

// A record with a foreign hash, and one after it: both are faults, and the first is named.
func TestBrokenLinkIsNamed(t *testing.T) {
	log := filled(t, t.TempDir(), 2)
	foreign := raw(site(0), "foreign", events.Hash{1, 2, 3}, []byte("{}"))
	last, err := log.Append(t.Context(), []events.Append{{Record: foreign, ExpectLast: 5}})
	if err == nil {
		_, err = log.Append(t.Context(), []events.Append{{Record: raw(site(0), "next", foreign.Hash(), []byte("{}")), ExpectLast: last}})
	}
	if err != nil {
		t.Fatal(err)
	}
	report := mustVerify(t, log)
	if report.Whole() || report.Faults != 2 || report.First == nil || report.First.Position != last || report.First.Subject != foreign.Subject() {
		t.Errorf("a broken link: %v", report)
	}
}

// One changed byte in the server's files: the server drops the record it is in, and the chain shows it.
func TestChangedByteOnDiskIsFound(t *testing.T) {
	dir := t.TempDir()
	log := filled(t, dir, 40)
	before := mustVerify(t, log)
	_ = log.Close()
	blocks, err := filepath.Glob(filepath.Join(dir, "nats", "jetstream", "*", "streams", "valveround-events", "msgs", "*.blk"))
	if err != nil || len(blocks) == 0 {
		t.Fatalf("no block files: %v", err)
	}
	content, err := os.ReadFile(blocks[0])
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(content, []byte(`Söhne\"\u003e 1`)) // in a record from the middle
	if at < 0 {
		t.Fatal("the block file does not hold what was written")
	}
	content[at] ^= 0x20
	if err := os.WriteFile(blocks[0], content, 0o600); err != nil {
		t.Fatal(err)
	}
	log, err = natslog.Open(t.Context(), natslog.Config{Dir: dir, Logger: zap.NewNop()})
	if errors.Is(err, events.ErrMovedBack) {
		return // seen even before
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() })
	after, err := audit.VerifyChain(t.Context(), log)
	t.Logf("%v, %v", after, err)
	if err == nil && (after.Whole() || after.Digest == before.Digest) {
		t.Errorf("a changed byte was not found: %v", after)
	}
}

func export(t *testing.T, log events.Log) (string, audit.Report) {
	t.Helper()
	var out bytes.Buffer
	report, err := audit.Export(t.Context(), log, &out)
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), report
}

func TestExportAndLoad(t *testing.T) {
	log := filled(t, t.TempDir(), 300)
	odd := raw(events.Entity{Office: "north", Kind: events.KindGauge, ID: "g-1"}, "odd", events.Hash{}, []byte{0xff, 0x00, '\n', 0xfe})
	odd.Headers["ce-later"] = "a: ½ <b>"
	empty := raw(events.Entity{Office: "north", Kind: events.KindGauge, ID: "g-2"}, "empty", events.Hash{}, nil)
	for _, r := range []events.Record{odd, empty} {
		if _, err := log.Append(t.Context(), []events.Append{{Record: r}}); err != nil {
			t.Fatal(err)
		}
	}
	text, report := export(t, log)
	if want := mustVerify(t, log); report != want {
		t.Errorf("Export found %v, VerifyChain %v", report, want)
	}
	if lines := strings.Count(text, "\n"); lines != 902 {
		t.Errorf("%d lines, want 902", lines)
	}

	copied := openLog(t, t.TempDir())
	loaded, err := audit.Load(t.Context(), strings.NewReader(text), copied)
	if err != nil || loaded != report {
		t.Errorf("Load found %v, %v, want %v", loaded, err, report)
	}
	again, _ := export(t, copied)
	if again != text {
		t.Error("the export of the copy is another text")
	}
	if bookOf(t, log).Digest() != bookOf(t, copied).Digest() {
		t.Error("the copy folds to another book")
	}
	if _, err := audit.Load(t.Context(), strings.NewReader(text), copied); !errors.Is(err, audit.ErrNotEmpty) {
		t.Errorf("Load into a log with records = %v, want %v", err, audit.ErrNotEmpty)
	}
}

func bookOf(t *testing.T, log events.Log) *events.Book {
	t.Helper()
	book := events.NewBook()
	if err := log.Read(t.Context(), 1, func(r events.Record) error { book.Apply(r); return nil }); err != nil {
		t.Fatal(err)
	}
	return book
}

// Records that lost a race keep their ids and come back in one batch with their repetition.
func TestLoadKeepsLostRaces(t *testing.T) {
	log := openLog(t, t.TempDir())
	first := raw(site(0), "1", events.Hash{}, []byte("{}"))
	void := raw(site(0), "2", events.Hash{}, []byte("{}"))
	again := raw(site(0), "2", first.Hash(), []byte("{}"))
	for i, r := range []events.Record{first, void, again} {
		if _, err := log.Append(t.Context(), []events.Append{{Record: r, ExpectLast: uint64(i)}}); err != nil {
			t.Fatal(err)
		}
	}
	text, report := export(t, log)
	loaded, err := audit.Load(t.Context(), strings.NewReader(text), openLog(t, t.TempDir()))
	if err != nil || loaded != report || loaded.Void != 1 || !loaded.Whole() {
		t.Errorf("Load = %v, %v, want %v", loaded, err, report)
	}
}

func TestChangedExportIsFound(t *testing.T) {
	text, _ := export(t, filled(t, t.TempDir(), 3))
	lines := strings.SplitAfter(text, "\n")
	cases := map[string]string{
		"a body":          strings.Replace(text, `u003e 0`, `u003e 9`, 1),
		"a line is gone":  strings.Join(append(lines[:3:3], lines[4:]...), ""),
		"two lines moved": strings.Join(append([]string{lines[0], lines[1], lines[2], lines[6], lines[4], lines[5], lines[3]}, lines[7:]...), ""),
		"a header":        strings.Replace(text, "desk", "dusk", 1),
	}
	for name, changed := range cases {
		t.Run(name, func(t *testing.T) {
			if changed == text {
				t.Fatal("nothing was changed")
			}
			report, err := audit.Load(t.Context(), strings.NewReader(changed), openLog(t, t.TempDir()))
			if err != nil || report.Whole() {
				t.Errorf("Load = %v, %v, want a fault", report, err)
			}
		})
	}
}

func TestLoadRefusesInWords(t *testing.T) {
	text, _ := export(t, filled(t, t.TempDir(), 1))
	first := strings.SplitAfter(text, "\n")[0]
	for name, c := range map[string]struct{ text, words string }{
		"no JSON":          {first + "not json\n", "line 2"},
		"cut in the line":  {first + first[:len(first)/2], "line 2"},
		"no event subject": {`{"seq":1,"subject":"vr.north.site","headers":{},"body":""}`, "is not an event's"},
		"a wild subject":   {`{"seq":1,"subject":"vr.north.site.*.left","headers":{},"body":""}`, "is not an event's"},
		"another root":     {`{"seq":1,"subject":"xx.north.site.s-1.left","headers":{},"body":""}`, "is not an event's"},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := audit.Load(t.Context(), strings.NewReader(c.text), openLog(t, t.TempDir())); err == nil || !strings.Contains(err.Error(), c.words) {
				t.Errorf("Load = %v, want words with %q", err, c.words)
			}
		})
	}
}

// The export needs nothing of this program to be checked: a script of another language finds the same.
func TestScriptFindsTheSame(t *testing.T) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Fatal("python3 is needed for the second reader of an export; on Debian: apt-get install python3")
	}
	log := filled(t, t.TempDir(), 10)
	odd := raw(events.Entity{Office: "north", Kind: events.KindGauge, ID: "g-1"}, "odd", events.Hash{}, []byte{0xff, 0x00, '\n', 0xfe})
	if _, err := log.Append(t.Context(), []events.Append{{Record: odd}}); err != nil {
		t.Fatal(err)
	}
	text, report := export(t, log)
	run := func(text string) (string, error) {
		path := filepath.Join(t.TempDir(), "export.jsonl")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(python, "verify.py", path).Output()
		return strings.TrimSpace(string(out)), err
	}
	want := fmt.Sprintf("records %d entities %d void 0 faults 0 digest %s", report.Records, report.Entities, report.Digest)
	if got, err := run(text); err != nil || got != want {
		t.Errorf("the script says %q, %v, want %q", got, err, want)
	}
	if got, err := run(strings.Replace(text, `u003e 0`, `u003e 9`, 1)); err == nil {
		t.Errorf("the script finds nothing wrong with a changed export: %q", got)
	}
}

func FuzzLoadLine(f *testing.F) {
	f.Add([]byte(`{"seq":1,"subject":"vr.north.site.s-1.left","headers":{"ce-id":"a-0","ce-prevhash":"` + strings.Repeat("0", 64) + `"},"body":"{}"}`))
	f.Add([]byte(`{"seq":2,"subject":"vr.north.site.s-1.left","headers":null,"body_base64":"/wA="}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := audit.ParseLine(text)
		if err != nil {
			return
		}
		again, err := json.Marshal(audit.LineOf(r))
		if err != nil {
			t.Fatal(err)
		}
		back, err := audit.ParseLine(again)
		if err != nil || back.Hash() != r.Hash() || back.Seq != r.Seq || back.Subject() != r.Subject() {
			t.Errorf("%s came back as %s (%v)", text, again, err)
		}
	})
}
