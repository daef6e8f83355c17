package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/services/backlog"
	"valveround/services/console"
	"valveround/services/dispatch"
)

// TestPaperAndParts: a failure comes in on paper, its parts are followed one by one until they are on a truck, the return
// visit waits for them, and mistakes are mended with the first entry staying visible.
func TestPaperAndParts(t *testing.T) {
	now := time.Date(2026, 5, 12, 15, 0, 0, 0, chicago)
	o := openOffice(t, t.TempDir(), now)
	defer func() { o.stop() }()
	wednesday := events.NewDate(2026, time.May, 13)

	_, job := dueDoubleCheck(t, o)
	ref := func(kind string) console.DeskRequest {
		return console.DeskRequest{CommandID: o.id(), Kind: kind, Assembly: string(job.Assembly), Job: string(job.Job)}
	}

	// The signed copy first: without it nothing is keyed in.
	scan := append([]byte("%PDF-1.7\n"), bytes.Repeat([]byte("a signed report "), 20_000)...)
	paper := console.PaperResultRequest{CommandID: o.id(), SHA256: fmt.Sprintf("%x", sha256.Sum256(scan)), SignedOn: events.NewDate(2026, time.May, 12),
		Tester: "p-tester", Assembly: string(job.Assembly), Job: string(job.Job), Outcome: events.OutcomeFailed, Initial: leakingCheck(t, o)}
	o.call("/api/paper-results", paper, http.StatusUnprocessableEntity, nil)
	var kept console.Attachment
	for range 2 {
		o.call("/api/attachments", scan, http.StatusOK, &kept)
	}
	// A browser names the kind of file it sends.
	if response, err := http.Post("http://"+o.program.address()+"/api/attachments", "application/pdf", bytes.NewReader(scan)); err != nil || response.StatusCode != http.StatusOK {
		t.Errorf("a PDF: %v, %v", response, err)
	} else if err := response.Body.Close(); err != nil {
		t.Error(err)
	}
	o.call("/api/attachments", make([]byte, events.MaxBlobBytes+1), http.StatusRequestEntityTooLarge, nil)
	o.call("/api/attachments", []byte{}, http.StatusBadRequest, nil)
	if kept.SHA256 != paper.SHA256 || kept.Bytes != len(scan) {
		t.Errorf("kept as %+v", kept)
	}
	if got, kind := o.fetch("/api/attachments/" + kept.SHA256); !bytes.Equal(got, scan) || kind != "application/pdf" {
		t.Errorf("the copy comes back with %d bytes as %s", len(got), kind)
	}
	o.call("/api/attachments/"+strings.Repeat("0", 64), nil, http.StatusNotFound, nil)
	paper.CommandID = o.id()
	o.call("/api/paper-results", paper, http.StatusOK, nil)
	row := o.backlogRow(string(job.Assembly))
	if row == nil || row.FailedOn != paper.SignedOn {
		t.Fatalf("the backlog says %+v", row)
	}

	// Only the tester changes a reading.
	history := func() backlog.HistoryView {
		var h backlog.HistoryView
		o.call("/api/assemblies/"+string(job.Assembly)+"/history", nil, http.StatusOK, &h)
		return h
	}
	entry := func(name string) backlog.HistoryEntry {
		entries := history().Entries
		for i := len(entries) - 1; i >= 0; i-- {
			if entries[i].Name == name {
				return entries[i]
			}
		}
		t.Fatalf("the history tells no %s", name)
		return backlog.HistoryEntry{}
	}
	right := *paper.Initial
	right.Readings = append([]events.Reading(nil), right.Readings...)
	number := events.MustDecimal("0.3")
	right.Readings[0].Number = &number
	readings := console.ReadingsRequest{CommandID: o.id(), By: "p-office", Assembly: string(job.Assembly), Job: string(job.Job), About: string(entry("tested").Event), Words: "a 3 read as an 8", Test: right}
	o.call("/api/readings", readings, http.StatusUnprocessableEntity, nil)
	readings.By, readings.CommandID = "p-tester", o.id()
	o.call("/api/readings", readings, http.StatusOK, nil)
	if e := entry("tested"); !strings.Contains(e.Mistake, "a 3 read as an 8") {
		t.Errorf("the first entry says %q beside it", e.Mistake)
	}

	// The parts, one by one. A promised day plans no visit.
	yes := ref("yes-to-repair")
	yes.Basis = "standing"
	o.call("/api/desk", yes, http.StatusOK, nil)
	want := ref("want-parts")
	want.Parts = []events.PartWanted{{Code: "RK-TEST", Component: events.Check1}}
	o.call("/api/desk", want, http.StatusOK, nil)
	step := func(kind, words string, change func(*console.DeskRequest)) {
		t.Helper()
		r := ref(kind)
		r.Code = "RK-TEST"
		change(&r)
		o.call("/api/desk", r, http.StatusOK, nil)
		row := o.backlogRow(string(job.Assembly))
		if len(row.PartStates) != 1 || row.PartStates[0].Words != words {
			t.Errorf("after %s the part is %+v, want %q", kind, row.PartStates, words)
		}
	}
	leftFor := func() string {
		for _, l := range o.plan(wednesday).LeftOut {
			for _, j := range l.Jobs {
				if j.Assembly == string(job.Assembly) {
					return l.Rule + ": " + l.Reason
				}
			}
		}
		return ""
	}
	step("order-parts", "RK-TEST for check 1, ordered on 12 May 2026 from Valve parts house, order 4711, no day promised", func(r *console.DeskRequest) { r.Supplier, r.OrderNumber = "Valve parts house", "4711" })
	step("promise-parts", "RK-TEST for check 1, ordered on 12 May 2026 from Valve parts house, order 4711, promised for 13 May 2026", func(r *console.DeskRequest) { r.Date = wednesday })
	if why := leftFor(); !strings.HasPrefix(why, "parts: the repair kit is promised for 2026-05-13 and not reserved") {
		t.Errorf("with a promise alone: %q", why)
	}
	step("receive-part", "RK-TEST for check 1, ordered on 12 May 2026 from Valve parts house, order 4711, came and is to be reserved, at shop", func(*console.DeskRequest) {})
	step("wrong-part", "RK-TEST for check 1, no day promised", func(r *console.DeskRequest) { r.Words = "for 2 in" })
	step("receive-part", "RK-TEST for check 1, came and is to be reserved, at shop", func(*console.DeskRequest) {})
	step("reserve-part", "RK-TEST for check 1, reserved for this job, at shop", func(*console.DeskRequest) {})
	if why := leftFor(); strings.HasPrefix(why, "parts") {
		t.Errorf("with its part reserved: %q", why)
	}

	// A change of the plan by hand is undone.
	var v dispatch.View
	o.call("/api/days/"+wednesday.String(), nil, http.StatusOK, &v)
	site := v.Routes[0].Visits[0].Site.ID
	wish := console.WishRequest{CommandID: o.id(), Site: string(site), Out: true, Why: "closed"}
	var changed, undone dispatch.View
	o.call("/api/days/"+wednesday.String()+"/wishes", wish, http.StatusOK, &changed)
	if changed.Undo == "" || len(changed.Wishes) != 1 {
		t.Errorf("after a wish %q can be undone, wishes %+v", changed.Undo, changed.Wishes)
	}
	o.call("/api/days/"+wednesday.String()+"/undo", console.UndoRequest{CommandID: o.id()}, http.StatusOK, &undone)
	if undone.Digest != v.Digest || len(undone.Wishes) != 0 {
		t.Errorf("undone, the plan is %s with wishes %+v, want %s", undone.Digest, undone.Wishes, v.Digest)
	}

	// It was the unit next door: the result is taken back, and the entry stays with its mistake beside it.
	note := ref("correct-entry")
	note.About, note.Words = "nothing-0", "x"
	o.call("/api/desk", note, http.StatusUnprocessableEntity, nil)
	note.CommandID, note.About, note.Words = o.id(), string(entry("repair-authorised").Event), "it was a yes to a quote"
	o.call("/api/desk", note, http.StatusOK, nil)
	void := ref("void-result")
	void.About, void.Words = string(entry("failed-retest").Event), "it was the unit next door"
	o.call("/api/desk", void, http.StatusOK, nil)
	if row := o.backlogRow(string(job.Assembly)); row != nil && row.FailedOn == paper.SignedOn {
		t.Errorf("the failure is still on the backlog: %+v", row)
	}
	for name, mistake := range map[string]string{"failed-retest": "does not count: it was the unit next door", "repair-authorised": "it was a yes to a quote"} {
		if e := entry(name); e.Mistake != mistake {
			t.Errorf("%s: %q, want %q", name, e.Mistake, mistake)
		}
	}

	// How the paper says that the feed was left counts unless something newer is known of it.
	left, later := *hoursAfter(now, -5), *hoursAfter(now, -6)
	again := paper
	again.CommandID, again.AsLeft, again.LeftAt = o.id(), &events.Condition{Service: events.InService}, &left
	feed := events.FeedID("")
	if a := o.program.keeper.Book().Assemblies[job.Assembly]; a != nil {
		feed = a.Feed
	}
	o.call("/api/paper-results", again, http.StatusOK, nil)
	o.call("/api/paper-results", again, http.StatusOK, nil) // sent again by a page that did not hear the answer
	if f := o.program.keeper.Book().Feeds[feed]; !f.LeftAt.Equal(left) {
		t.Errorf("the feed was left at %s, want %s", f.LeftAt, left)
	}
	again.CommandID, again.LeftAt = o.id(), &later
	o.call("/api/paper-results", again, http.StatusUnprocessableEntity, nil)
	again.LeftAt = nil
	o.call("/api/paper-results", again, http.StatusUnprocessableEntity, nil)

	// Backed up and read back with the copy of the paper.
	backup, _ := o.fetch("/api/log/backup")
	if !bytes.Contains(backup, []byte("blobs/"+kept.SHA256)) {
		t.Error("the copy of the paper is not in the backup")
	}
}

// hoursAfter is some hours after an instant.
func hoursAfter(now time.Time, hours int) *time.Time {
	at := now.Add(time.Duration(hours) * time.Hour)
	return &at
}

// fetch asks for a file.
func (o *office) fetch(path string) (data []byte, kind string) {
	o.t.Helper()
	response, err := http.Get("http://" + o.program.address() + path)
	if err != nil {
		o.t.Fatal(err)
	}
	defer response.Body.Close()
	data, err = io.ReadAll(response.Body)
	if err != nil || response.StatusCode != http.StatusOK {
		o.t.Fatalf("%s: %s, %v", path, response.Status, err)
	}
	return data, response.Header.Get("Content-Type")
}

// dueDoubleCheck finds a double check that is due, ours, and not out with any day.
func dueDoubleCheck(t *testing.T, o *office) (*events.Assembly, events.JobRef) {
	t.Helper()
	b := o.program.keeper.Book()
	var found *events.Assembly
	var ref events.JobRef
	for _, a := range b.Assemblies {
		f := b.Feeds[a.Feed]
		if a.Type != events.DC || f == nil || f.Fire || f.OutOfService() || a.Vault != events.NoVault || a.Size.IsZero() || found != nil && found.ID < a.ID {
			continue
		}
		if j := a.OpenJob(); j != nil && j.Stage == events.StageDue && j.Standing == events.Ours && j.Dispatched == nil && len(j.Attempts) == 0 && len(a.Jobs) == 1 {
			found, ref = a, events.JobRef{Assembly: a.ID, Job: j.ID}
		}
	}
	if found == nil {
		t.Fatal("the demo has no such unit")
	}
	return found, ref
}

// leakingCheck is a test of a double check whose first check leaks below 1.0 psid.
func leakingCheck(t *testing.T, o *office) *events.Test {
	t.Helper()
	var gauge events.GaugeID
	for id, g := range o.program.keeper.Book().Gauges {
		if g.Potable && (gauge == "" || id < gauge) {
			gauge = id
		}
	}
	n := func(text string) *events.Decimal { d := events.MustDecimal(text); return &d }
	return &events.Test{Gauge: gauge, Procedure: "usc-10", At: time.Date(2026, 5, 12, 9, 0, 0, 0, chicago), Says: events.OpinionFail, Readings: []events.Reading{
		{Part: events.MainPart, Component: events.Check1, Phase: events.Initial, Number: n("0.8"), Unit: events.PSID, Result: events.Leaked},
		{Part: events.MainPart, Component: events.Check2, Phase: events.Initial, Number: n("2.1"), Unit: events.PSID, Result: events.Held},
	}}
}
