package intake_test

import (
	"testing"
	"time"

	"valveround/events"
	"valveround/events/keeper"
	"valveround/events/natslog"
	"valveround/services/intake"
)

// TestOnTheLog takes a folder and a list in on a real log, each twice.
func TestOnTheLog(t *testing.T) {
	log, err := natslog.Open(t.Context(), natslog.Config{Dir: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = log.Close() })
	k, err := keeper.Open(t.Context(), keeper.Config{Log: log, Now: func() time.Time { return noon }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = k.Close() })

	fleet := files(t, smallFirm)
	take := func() {
		t.Helper()
		folder := intake.FromFolder(fleet, folderOptions())
		for _, wave := range folder.Waves {
			results, err := k.Import(t.Context(), wave, nil)
			if err != nil {
				t.Fatal(err)
			}
			if faults := folder.Refused(wave, results); len(faults) > 0 {
				t.Fatalf("refused: %v", faults)
			}
		}
		if faults := folder.NotOpened(k.Book()); len(faults) > 0 {
			t.Fatalf("not opened: %v", faults)
		}
	}
	take()
	position := k.Position()
	take()
	expect(t, "position after the folder again", k.Position(), position)
	memory, _, err := intake.FoldFolder(fleet, folderOptions())
	if err != nil {
		t.Fatal(err)
	}
	samePlanning(t, memory, k.Book())

	d := intake.NewDesk(intake.Config{Doer: k, Office: office, Now: func() time.Time { return noon }})
	text := "Assembly No,Service Address,Type,Size,Due Date\nMW-1,,RP,3/4 in,2026-05-27\nMW-40,3 Kiln Row,DC,1 in,2026-06-01\n"
	for i, want := range []string{"moved added", "unchanged ask"} {
		p, err := d.Read(t.Context(), "due.csv", []byte(text), "pv", date("2026-03-02"))
		if err != nil {
			t.Fatal(err)
		}
		expect(t, "actions", actions(p.Proposal), want)
		position = k.Position()
		if p, err = d.Take(t.Context(), p.ID, events.CommandID{byte(i + 1)}, "p-desk"); err != nil || len(p.Refused) > 0 {
			t.Fatalf("taking: %v, %v", err, p.Refused)
		}
	}
	expect(t, "position after the list again", k.Position(), position)
}
