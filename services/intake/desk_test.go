package intake_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/services/intake"
	"valveround/services/intake/duelist"
)

const list = `Millbrook Water
Assembly No,Service Address,Type,Size,Serial No,Due Date,Assigned To
MW-1,12 N Mill St,RP,2 in,00417,5/1/2026,ours
MW-2,12 N Mill St,RP,2 in,B10I,5/2/2026,ours
MW-9,4 New Lane,DC,3/4 in,Q7,5/3/2026,
MW-10,5 New Lane,WHAT,3/4 in,Q8,5/3/2026,ours
,,,,,,
Total,3,,,,,
`

func newDesk(s *story) *intake.Desk {
	return intake.NewDesk(intake.Config{Doer: s, Office: office, Now: func() time.Time { return noon }})
}

var ctx = context.Background()

func TestDeskReadsAsksAndTakes(t *testing.T) {
	s := newStory(t).furnish()
	d := newDesk(s)
	p, err := d.Read(ctx, "due.csv", []byte(list), "pv", date("2026-04-01"))
	if err != nil {
		t.Fatal(err)
	}
	s.wrote = nil
	expect(t, "questions", len(p.Questions), 1) // is 5/1 the 5th or the 1st?
	if _, err := d.Take(ctx, p.ID, events.CommandID{7}, "p-desk"); !errors.Is(err, intake.ErrUnanswered) {
		t.Fatalf("a list with open questions was taken: %v", err)
	}
	if p, err = d.Remap(p.ID, nil, duelist.MonthFirst); err != nil {
		t.Fatal(err)
	}
	expect(t, "actions", actions(p.Proposal), "new new added")
	expect(t, "written by reading", s.wrote, "[]")
	lines := 0
	for _, r := range p.Proposal.Rows {
		lines += len(r.Row.Lines)
	}
	// Nothing is lost: title, header, blank and total are skipped, one row is rejected.
	expect(t, "rows accounted for", lines+len(p.Result.RejectedRows())+len(p.Result.Skipped), strings.Count(list, "\n"))
	expect(t, "due of MW-1", p.Proposal.Rows[0].Due, "2026-05-01")
	expect(t, "samples of column A", p.Samples[1], "[MW-1 MW-2 MW-9]")

	p, err = d.Take(ctx, p.ID, events.CommandID{7}, "p-desk")
	if err != nil || !p.Taken || len(p.Refused) > 0 {
		t.Fatalf("taking: %v, %+v", err, p.Refused)
	}
	expect(t, "written", s.wrote, "[purveyor.mapping-saved site.registered feed.registered assembly.registered assembly.due assembly.due assembly.due purveyor.list-received]")
	s.wrote = nil
	if again, err := d.Take(ctx, p.ID, events.CommandID{8}, "p-desk"); err != nil || !again.Taken {
		t.Errorf("taking twice: %v", err)
	}
	var rejected strings.Builder
	if err := d.SaveRejected(&rejected, p.ID); err != nil || !strings.Contains(rejected.String(), "MW-10") || strings.Contains(rejected.String(), "MW-9") {
		t.Errorf("rejected rows, error %v:\n%s", err, rejected.String())
	}
	p, err = d.Read(ctx, "due-copy.csv", []byte(list), "pv", date("2026-04-01"))
	if err != nil || !p.Saved || len(p.Questions) > 0 || p.Taken {
		t.Fatalf("the second time: %v, saved %v, questions %v", err, p.Saved, p.Questions)
	}
	expect(t, "actions the second time", actions(p.Proposal), "unchanged unchanged ask")
	if _, err = d.Take(ctx, p.ID, events.CommandID{9}, "p-desk"); err != nil {
		t.Fatal(err)
	}
	expect(t, "written the second time", s.wrote, "[]")
}

func TestDeskRefusals(t *testing.T) {
	s := newStory(t).furnish()
	d := newDesk(s)
	for name, try := range map[string]func() error{
		"no such purveyor": func() error { _, err := d.Read(ctx, "a.csv", []byte(list), "who", date("2026-04-01")); return err },
		"no date":          func() error { _, err := d.Read(ctx, "a.csv", []byte(list), "pv", events.Date{}); return err },
		"empty file":       func() error { _, err := d.Read(ctx, "a.csv", nil, "pv", date("2026-04-01")); return err },
		"no such list":     func() error { _, err := d.Look("l-1"); return err },
		"no such field": func() error {
			p, err := d.Read(ctx, "a.csv", []byte(list), "pv", date("2026-04-01"))
			if err != nil {
				return nil
			}
			_, err = d.Remap(p.ID, map[int]duelist.Field{1: "shoe-size"}, "")
			return err
		},
	} {
		if try() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestUndecidedColumnsAreAsked(t *testing.T) {
	s := newStory(t).furnish()
	d := newDesk(s)
	p, err := d.Read(ctx, "a.csv", []byte("Ref,When\nMW-1,2026-05-01\nMW-2,2026-05-02\nMW-3,2026-05-03\n"), "pv", date("2026-04-01"))
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Questions) == 0 {
		t.Fatalf("nothing is asked about columns nobody knows: %+v", p.Mapping)
	}
	p, err = d.Remap(p.ID, map[int]duelist.Field{1: duelist.FieldNumber, 2: duelist.FieldDue}, "")
	if err != nil {
		t.Fatal(err)
	}
	expect(t, "actions", actions(p.Proposal), "new new ask")
}

// broken loses the connection after some commands.
type broken struct {
	*story
	left int
}

func (b *broken) Import(ctx context.Context, commands []events.Command, progress func(int)) ([]keeper.Imported, error) {
	if n := len(commands); n > b.left {
		commands = commands[:b.left]
		b.left = 0
		_, _ = b.story.Import(ctx, commands, progress)
		return nil, errors.New("the log is gone")
	}
	b.left -= len(commands)
	return b.story.Import(ctx, commands, progress)
}

func TestTakenAgainAfterABreak(t *testing.T) {
	whole := newStory(t).furnish()
	text := strings.NewReplacer("5/1/2026", "2026-05-01", "5/2/2026", "2026-05-02", "5/3/2026", "2026-05-03").Replace(list)
	take := func(doer intake.Doer, id events.CommandID) error {
		d := intake.NewDesk(intake.Config{Doer: doer, Office: office, Now: func() time.Time { return noon }})
		p, err := d.Read(ctx, "due.csv", []byte(text), "pv", date("2026-04-01"))
		if err != nil {
			t.Fatal(err)
		}
		_, err = d.Take(ctx, p.ID, id, "p-desk")
		return err
	}
	if err := take(whole, events.CommandID{7}); err != nil {
		t.Fatal(err)
	}
	for _, id := range []events.CommandID{{7}, {8}} { // the same tap again, or a new one
		for left := range 8 {
			t.Run(fmt.Sprintf("command %d, break after %d", id[0], left), func(t *testing.T) {
				s := newStory(t).furnish()
				if err := take(&broken{s, left}, events.CommandID{7}); err == nil {
					t.Fatal("no error of a broken log")
				}
				if err := take(s, id); err != nil {
					t.Fatal(err)
				}
				expect(t, "assemblies", len(s.book.Assemblies), len(whole.book.Assemblies))
				expect(t, "records", s.book.Position(), whole.book.Position())
				for id, a := range whole.book.Assemblies {
					expect(t, "jobs of "+string(id), len(s.book.Assemblies[id].Jobs), len(a.Jobs))
				}
			})
		}
	}
}
