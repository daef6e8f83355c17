package events_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/geo"
)

// drawMending draws a command about a part, a report, or a mistake.
func drawMending(t *rapid.T, b *events.Book, ref events.JobRef, day events.Date, crew events.CrewID, words string) any {
	part := events.WhichPart{JobRef: ref, Nth: rapid.IntRange(0, 2).Draw(t, "nth"), Code: rapid.SampledFrom([]string{"", "RK-1", "RK-2"}).Draw(t, "code")}
	item := events.KitID(rapid.SampledFrom([]string{"", "k1", "k2", "k3", "k4", "k5"}).Draw(t, "item"))
	var about events.EventID = "none-0"
	var test events.Test
	if a := b.Assemblies[ref.Assembly]; a != nil {
		if j := a.Job(ref.Job); j != nil {
			if n := len(j.Results); n > 0 {
				about = j.Results[rapid.IntRange(0, n-1).Draw(t, "result")].Event
			}
			if n := len(j.Tests); n > 0 {
				test = j.Tests[n-1].Test
			}
		}
	}
	return rapid.SampledFrom([]any{
		events.OrderPart{WhichPart: part, Supplier: words, On: day}, events.PromisePart{WhichPart: part, For: day},
		events.ReceivePart{WhichPart: part, Item: item}, events.ReservePart{WhichPart: part, Item: item}, events.ReservePart{WhichPart: part},
		events.LoadPart{WhichPart: part, Where: string(crew)}, events.ReleasePart{WhichPart: part, Why: words}, events.WrongPart{WhichPart: part, Why: words},
		events.SendBackKit{Kit: item, On: day}, events.PhoneFailure{JobRef: ref, To: words}, events.FileReport{JobRef: ref, On: day},
		events.VoidResult{JobRef: ref, About: about, Why: "another unit"}, events.VoidResult{JobRef: ref, About: about, Why: "another unit"},
		events.CorrectEntry{Kind: events.KindAssembly, ID: string(ref.Assembly), Correction: events.Correction{About: about, Words: words}},
		events.CorrectReadings{JobRef: ref, About: about, Why: words, Test: test},
		events.SeeSerial{Assembly: ref.Assembly, SerialDiffers: events.SerialDiffers{Seen: "S-" + string(item), Job: ref.Job, Crew: crew, On: day}},
		events.SettleSerial{Assembly: ref.Assembly, Seen: "S-" + string(item), Take: words == "", Why: words},
		events.TakePhoto{Site: "s1", Assembly: ref.Assembly, Photo: events.Photo{SHA256: strings.Repeat("ab", 32), Job: ref.Job, Words: words}},
		events.TakePhoto{Site: "s1", Photo: events.Photo{SHA256: strings.Repeat("cd", 32), Crew: crew, Day: day}},
		events.ReadPosition{Site: "s1", PositionRead: events.PositionRead{At: geo.MustPoint(41, -74), AccuracyM: 12, Crew: crew, Day: day}},
		events.Tell{Feed: "f1", PeopleTold: events.PeopleTold{When: events.BeforeShutting, Role: words, Crew: crew, Day: day}},
	}).Draw(t, "mending")
}

// A job whose result does not count stands where it stood before it, but for what the office learned meanwhile.
func TestVoidedIsAsBefore(t *testing.T) {
	from := world(t)
	rapid.Check(t, func(t *rapid.T) {
		p := play(t, from, 12)
		for _, ref := range []events.JobRef{job1, job2} {
			a := p.book.Assemblies[ref.Assembly]
			before := a.Job(ref.Job)
			if before == nil || !before.NeedsVisit() {
				continue
			}
			stage, attempts, tests, passed, kind, late := before.Stage, len(before.Attempts), len(before.Tests), a.Passed, a.Type, len(before.Late)
			if !p.carryOut(p.command(drawFinish(t, ref, "c1", march(3), nil, ""))) {
				continue
			}
			if with := p.book.Assemblies[ref.Assembly].Job(ref.Job); len(with.Late) > late {
				if with.Stage != stage || len(with.Attempts) != attempts {
					t.Fatalf("a late result changed how %+v stands: from %s to %s", ref, stage, with.Stage)
				}
				continue // it stands over nothing, and there is nothing to take back
			}
			results := p.book.Assemblies[ref.Assembly].Job(ref.Job).Results
			if !p.carryOut(p.command(events.VoidResult{JobRef: ref, About: results[len(results)-1].Event, Why: "another unit"})) {
				t.Fatalf("the result of %+v was not taken back", ref)
			}
			a = p.book.Assemblies[ref.Assembly]
			after := a.Job(ref.Job)
			if after.Stage != stage || len(after.Attempts) != attempts || len(after.Tests) != tests || a.Passed != passed || a.Type != kind {
				t.Fatalf("%+v stood at %s with %d attempts and %d tests, and stands at %s with %d and %d", ref, stage, attempts, tests, after.Stage, len(after.Attempts), len(after.Tests))
			}
		}
	})
}
