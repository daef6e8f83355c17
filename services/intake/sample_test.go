package intake_test

import (
	"bytes"
	"testing"
	"time"

	"valveround/events"
	"valveround/services/demo"
	"valveround/services/intake"
	"valveround/services/intake/duelist"
)

// TestTheDemoList takes the demo's untidy list in: read, asked, taken, and again.
func TestTheDemoList(t *testing.T) {
	o := demo.Default()
	o.Today = today
	county := demo.Generate(o)
	for _, id := range []events.PurveyorID{"pv-1", "pv-2", "pv-3", "pv-4"} {
		t.Run(string(id), func(t *testing.T) {
			book, err := county.Fold()
			if err != nil {
				t.Fatal(err)
			}
			s := newStory(t)
			s.book = book
			var file bytes.Buffer
			if err := demo.WriteSampleList(&file, county, id); err != nil {
				t.Fatal(err)
			}
			d := intake.NewDesk(intake.Config{Doer: s, Office: county.Office, Now: func() time.Time { return noon }})
			p, err := d.Read(ctx, "due.csv", file.Bytes(), id, today)
			if err != nil {
				t.Fatal(err)
			}
			for _, q := range p.Questions {
				if q.Key != "date-order" {
					t.Fatalf("it asks %q", q.Text)
				}
				if p, err = d.Remap(p.ID, nil, duelist.MonthFirst); err != nil {
					t.Fatal(err)
				}
			}
			t.Logf("%v, rejected %d, skipped %d, warnings %d", p.Proposal.Counts, len(p.Result.RejectedRows()), len(p.Result.Skipped), len(p.Result.Warnings))
			for _, action := range []intake.Action{intake.New, intake.NotCredited} {
				if p.Proposal.Counts[string(action)] == 0 {
					t.Errorf("no row is %s", action)
				}
			}
			if p, err = d.Take(ctx, p.ID, events.CommandID{5}, "p-desk"); err != nil || len(p.Refused) > 0 {
				t.Fatalf("taking: %v, refused %v", err, p.Refused)
			}
			s.wrote = nil
			p, err = d.Read(ctx, "due.csv", file.Bytes(), id, today)
			if err != nil || !p.Saved {
				t.Fatalf("the second time: saved %v, error %v", p.Saved, err)
			}
			if _, err = d.Take(ctx, p.ID, events.CommandID{6}, "p-desk"); err != nil || len(s.wrote) > 0 {
				t.Errorf("the second time: error %v, wrote %v", err, s.wrote)
			}
			if county.Story.Purveyor == id && book.Assemblies[county.Story.Assembly].OpenJob() == nil {
				t.Error("the assembly to follow has no job")
			}
		})
	}
}
