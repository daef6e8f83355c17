package backlog_test

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"valveround/events"
	"valveround/events/natslog"
	"valveround/services/backlog"
)

var update = flag.Bool("update", false, "write the golden texts anew")

func openLog(t *testing.T) *natslog.Store {
	t.Helper()
	log, err := natslog.Open(t.Context(), natslog.Config{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() })
	return log
}

// whole lives through one failure on a real log, from the list to the accepted report, with a record that lost a race.
func whole(t *testing.T) (*story, *natslog.Store) {
	log := openLog(t)
	s := newStory(t)
	s.log = log
	s.at("2026-02-02 09:00").furnish()
	ref := s.unit("a1", nil)
	stale := events.Entity{Office: office, Kind: events.KindAssembly, ID: "a1"}
	s.at("2026-02-24 11:00").do(events.GiveNotice{Site: "s1", Notice: events.Notice{Given: date("2026-02-24"), For: date("2026-03-02"), How: "telephone"}})
	s.at("2026-03-01 15:04").send("2026-03-02", ref)
	s.at("2026-03-02 07:12").as("c1", events.Arrive{Site: "s1", Crew: "c1", Day: date("2026-03-02")})
	s.at("2026-03-02 07:24").as("c1", events.ShutFeed{Feed: "f1", Crew: "c1"})
	s.at("2026-03-02 07:40")
	s.fail(ref, events.PartWanted{Code: "RK-1", Component: events.Check1})
	s.at("2026-03-02 07:50").as("c1", events.LeaveFeed{Feed: "f1", Crew: "c1", Condition: events.Condition{Service: events.InService,
		Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValveOpen}}, Told: []string{"site manager"}}})
	s.as("c1", events.Leave{Site: "s1", Crew: "c1", Day: date("2026-03-02")})
	s.at("2026-03-03 09:00").do(events.WantParts{JobRef: ref, Parts: []events.PartWanted{{Code: "RK-1", Component: events.Check1, Promised: date("2026-03-04")}}})
	s.lost(stale)
	s.do(events.ReadyParts{JobRef: ref, Where: "c1"})
	s.at("2026-03-05 15:00").send("2026-03-06", ref)
	s.at("2026-03-06 08:00").as("p1", events.FinishJob{JobRef: ref, Crew: "c1", Day: date("2026-03-06"), Outcome: events.OutcomeRepairedPassed,
		Repair: &events.Repaired{Fitted: []events.PartWanted{{Code: "RK-1", Component: events.Check1}}}, Final: rpTest("6.4", "1.8", events.Final, events.OpinionPass)})
	s.at("2026-03-09 10:00").do(events.FileReport{JobRef: ref, On: date("2026-03-09"), How: "purveyor's own page", By: "p1", Confirmation: "R100"})
	s.at("2026-03-12 10:00").do(events.AcceptReport{JobRef: ref, On: date("2026-03-12")})
	return s, log
}

// lost stores a record whose hash follows from nothing, as a writer's that lost a race on another server would.
func (s *story) lost(e events.Entity) {
	s.t.Helper()
	s.n++
	command := events.CommandID{s.n, 2}
	r := events.Seal(events.Envelope{ID: events.EventID(command.String() + "-0"), Entity: e, Name: "questioned", Version: 1, Command: command, Actor: "office",
		Happened: s.now, Recorded: s.now}, []byte(`{"job":"ja1","words":"which door?"}`))
	if _, err := s.log.Append(s.t.Context(), []events.Append{{Record: r, ExpectLast: s.book.Head(e).Seq}}); err != nil {
		s.t.Fatal(err)
	}
	r.Seq = s.book.Position() + 1
	if !s.book.Apply(r).Void {
		s.t.Fatal("the record is not void")
	}
}

func TestHistoryGolden(t *testing.T) {
	s, log := whole(t)
	v, err := backlog.HistoryAt(t.Context(), log, s.book, people(t), "a1", s.now)
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	fmt.Fprintf(&text, "%s %s, %s, %s: %s\n", v.Job.Size, v.Job.Type, v.Job.Place, v.Site.Name, v.Job.Stage)
	for _, e := range v.Entries {
		mark := ""
		if e.Alarm {
			mark = " [alarm]"
		}
		if e.Void {
			mark += " [void]"
		}
		fmt.Fprintf(&text, "%s  %s  (%s)%s\n", e.Happened.Format("2006-01-02 15:04"), e.Words, e.Who, mark)
	}
	golden := filepath.Join("testdata", "history.txt")
	if *update {
		if err := os.WriteFile(golden, []byte(text.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if text.String() != string(want) {
		t.Errorf("the history reads\n%s\nwant\n%s", text.String(), want)
	}
	for i := 1; i < len(v.Entries); i++ {
		if v.Entries[i-1].Position >= v.Entries[i].Position {
			t.Errorf("entry %d is out of order", i)
		}
	}
}

// TestThePlanAtThatTime: a day that is taken back and sent out anew tells on each echo what it said then.
func TestThePlanAtThatTime(t *testing.T) {
	s := newStory(t)
	log := openLog(t)
	s.log = log
	ref := s.furnish().unit("a1", nil)
	s.send("2026-03-03", ref)
	s.do(events.TakeBack{Date: date("2026-03-03"), Why: "snow"})
	s.as("dispatch", events.EchoStandDown{Date: date("2026-03-03"), JobRef: ref, Why: "snow"})
	v, err := backlog.HistoryAt(t.Context(), log, s.book, people(t), "a1", s.now)
	if err != nil {
		t.Fatal(err)
	}
	n := len(v.Entries)
	if got, want := v.Entries[n-2].Words, "Sent out for 3 Mar 2026 with Crew A. The plan then: stop 1 of 1, at the site from 07:10 to 08:30, water off from 07:20 to 08:05."; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got, want := v.Entries[n-1].Words, "Taken off the day it was sent out for: snow."; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestHistoryOfNothing(t *testing.T) {
	_, err := backlog.History(t.Context(), openLog(t), events.NewBook(), people(t), "a9")
	var refusal *events.Refusal
	if !errors.As(err, &refusal) {
		t.Errorf("got %v, want a refusal", err)
	}
}
