package events_test

import (
	"slices"
	"testing"

	"valveround/events"
)

func part(code string) events.WhichPart { return events.WhichPart{JobRef: job1, Code: code} }

// TestDecideParts follows repair kits one by one, from needed to the truck, and the wrong one back.
func TestDecideParts(t *testing.T) {
	wants := func(codes ...string) []any {
		want := events.WantParts{JobRef: job1}
		for _, code := range codes {
			want.Parts = append(want.Parts, events.PartWanted{Code: code, Component: events.Check1})
		}
		return []any{fails(3), want}
	}
	with := func(given []any, more ...any) []any { return append(slices.Clone(given), more...) }
	order := events.OrderPart{WhichPart: part("RK-1"), Supplier: "Valve parts house", Number: "4711", On: march(4)}
	promise := events.PromisePart{WhichPart: part("RK-1"), For: march(9)}
	receive := events.ReceivePart{WhichPart: part("RK-1"), Item: "k9"}
	reserve := events.ReservePart{WhichPart: part("RK-1")}
	load := events.LoadPart{WhichPart: part("RK-1"), Where: "c1"}
	wrong := events.WrongPart{WhichPart: part("RK-1"), Why: "for 1 inch"}
	step := func(nth int, want events.PartStep, stage events.Stage) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Parts[nth-1].Step() != want || j.Stage != stage {
				t.Errorf("part %d is %s and the job %s, want %s and %s: %+v", nth, j.Parts[nth-1].Step(), j.Stage, want, stage, j.Parts)
			}
		}
	}
	pending, ready := events.StagePartsPending, events.StagePartsReady
	whole := with(wants("RK-1"), order, promise, receive, reserve, load)
	decide(t, []decision{
		{name: "ordered", given: wants("RK-1"), when: order, then: "assembly.part-ordered", after: step(1, events.PartOnOrder, pending)},
		{name: "the same order again", given: with(wants("RK-1"), order), when: order},
		{name: "ordered without a day", given: wants("RK-1"), when: events.OrderPart{WhichPart: part("RK-1")}, refused: "on which day the part was ordered"},
		{name: "a part the job does not want", given: wants("RK-1"), when: events.OrderPart{WhichPart: part("RK-7"), On: march(4)}, refused: "waits for no RK-7"},
		{name: "a place with another part", given: wants("RK-1"), when: events.OrderPart{WhichPart: events.WhichPart{JobRef: job1, Nth: 1, Code: "RK-7"}, On: march(4)}, refused: "waits for no RK-7"},
		{name: "a place beyond the list", given: wants("RK-1"), when: events.OrderPart{WhichPart: events.WhichPart{JobRef: job1, Nth: 2}, On: march(4)}, refused: "waits for no such part"},
		{name: "parts of what has not failed", when: order, refused: "waits for no repair (it is due)"},
		{name: "promised", given: with(wants("RK-1"), order), when: promise, then: "assembly.part-promised", after: step(1, events.PartIsDue, pending)},
		{name: "the same promise", given: with(wants("RK-1"), order, promise), when: promise},
		{name: "promised for no day", given: wants("RK-1"), when: events.PromisePart{WhichPart: part("RK-1")}, refused: "for which day the part is promised"},
		{name: "two of a code: the second is ordered next", given: with(wants("RK-1", "RK-1"), order), when: events.OrderPart{WhichPart: part("RK-1"), On: march(5)},
			then: "assembly.part-ordered", after: step(2, events.PartOnOrder, pending)},

		{name: "received", given: with(wants("RK-1"), order, promise), when: receive, then: "assembly.part-received kit.registered", after: func(t *testing.T, b *events.Book) {
			step(1, events.PartArrived, pending)(t, b)
			if k := b.Kits["k9"]; k == nil || k.Code != "RK-1" || k.Where != events.InTheShop || k.For != nil {
				t.Errorf("kit %+v", k)
			}
		}},
		{name: "a kit that is on record comes", given: wants("RK-1"), when: events.ReceivePart{WhichPart: part("RK-1"), Item: "k1"}, then: "assembly.part-received kit.received"},
		{name: "received again", given: with(wants("RK-1"), receive), when: receive},
		{name: "another kit comes for it", given: with(wants("RK-1"), receive), when: events.ReceivePart{WhichPart: part("RK-1"), Item: "k8"}, refused: "at hand already"},
		{name: "a kit of another code comes", given: wants("RK-1"), when: events.ReceivePart{WhichPart: part("RK-1"), Item: "k2"}, refused: "is a RK-2, and a RK-1 is wanted"},
		{name: "received without an id", given: wants("RK-1"), when: events.ReceivePart{WhichPart: part("RK-1")}, refused: "has no id"},
		{name: "ordered although it is at hand", given: with(wants("RK-1"), receive), when: order, refused: "at hand already"},

		{name: "reserved", given: with(wants("RK-1"), receive), when: reserve, then: "assembly.part-reserved kit.reserved", after: step(1, events.PartSetAside, ready)},
		{name: "reserved again", given: with(wants("RK-1"), receive, reserve), when: reserve},
		{name: "reserved before it came", given: with(wants("RK-1"), promise), when: reserve, refused: "has not come yet"},
		{name: "reserved off the shelf", given: wants("RK-1"), when: events.ReservePart{WhichPart: part("RK-1"), Item: "k1"}, then: "assembly.part-reserved kit.reserved", after: step(1, events.PartSetAside, ready)},
		{name: "one of two reserved: the job waits", given: wants("RK-1", "RK-2"), when: events.ReservePart{WhichPart: part("RK-1"), Item: "k1"},
			then: "assembly.part-reserved kit.reserved", after: step(1, events.PartSetAside, pending)},
		{name: "both reserved", given: with(wants("RK-1", "RK-2"), events.ReservePart{WhichPart: part("RK-1"), Item: "k1"}), when: events.ReservePart{WhichPart: part("RK-2"), Item: "k2"},
			then: "assembly.part-reserved kit.reserved", after: step(2, events.PartSetAside, ready)},
		{name: "a kit of another job", given: with(wants("RK-1"), events.CarryOver{JobRef: job2, FailedOn: march(2)}, events.WantParts{JobRef: job2, Parts: []events.PartWanted{{Code: "RK-1"}}},
			events.ReservePart{WhichPart: events.WhichPart{JobRef: job2, Code: "RK-1"}, Item: "k1"}),
			when: events.ReservePart{WhichPart: part("RK-1"), Item: "k1"}, refused: "reserved for job j2"},
		{name: "no such kit", given: wants("RK-1"), when: events.ReservePart{WhichPart: part("RK-1"), Item: "kx"}, refused: `no repair kit "kx"`},

		{name: "on a truck", given: with(wants("RK-1"), receive, reserve), when: load, then: "assembly.part-loaded kit.loaded", after: func(t *testing.T, b *events.Book) {
			if p := a1(b).Parts[0]; p.Where != "c1" || b.Kits["k9"].Where != "c1" {
				t.Errorf("part %+v, kit %+v", p, b.Kits["k9"])
			}
		}},
		{name: "on the same truck", given: whole, when: load},
		{name: "on a truck before it came", given: wants("RK-1"), when: load, refused: "has not come yet"},
		{name: "on no crew's truck", given: with(wants("RK-1"), receive), when: events.LoadPart{WhichPart: part("RK-1"), Where: "c9"}, refused: `no crew "c9"`},

		{name: "the wrong part", given: whole, when: wrong, then: "assembly.part-wrong kit.wrong", after: func(t *testing.T, b *events.Book) {
			step(1, events.PartNeeded, pending)(t, b)
			if p := a1(b).Parts[0]; p != (events.PartWanted{Code: "RK-1", Component: events.Check1}) {
				t.Errorf("of the wrong part is kept %+v", p)
			}
		}},
		{name: "the wrong part without a word", given: whole, when: events.WrongPart{WhichPart: part("RK-1")}, refused: "what is wrong with the part"},
		{name: "wrong before it came", given: wants("RK-1"), when: wrong, refused: "has not come yet"},
		{name: "the wrong kit is set aside no more", given: with(whole, wrong), when: events.ReservePart{WhichPart: part("RK-1"), Item: "k9"}, refused: "is the wrong one: for 1 inch"},
		{name: "sent back", given: with(whole, wrong), when: events.SendBackKit{Kit: "k9", On: march(10)}, then: "kit.sent-back"},
		{name: "sent back again", given: with(whole, wrong, events.SendBackKit{Kit: "k9", On: march(10)}), when: events.SendBackKit{Kit: "k9", On: march(10)}},
		{name: "sent back while a job needs it", given: whole, when: events.SendBackKit{Kit: "k9", On: march(10)}, refused: "set aside for job j1"},
		{name: "what went back comes for no job", given: with(wants("RK-1"), events.SendBackKit{Kit: "k1", On: march(10)}), when: events.ReservePart{WhichPart: part("RK-1"), Item: "k1"}, refused: "went back on 2026-03-10"},

		{name: "freed", given: whole, when: events.ReleasePart{WhichPart: part("RK-1"), Why: "the hospital needs it"}, then: "assembly.part-released kit.released", after: step(1, events.PartNeeded, pending)},
		{name: "nothing to free", given: wants("RK-1"), when: events.ReleasePart{WhichPart: part("RK-1")}, refused: "no kit is set aside"},
		{name: "ready in one go takes the kit that came", given: with(wants("RK-1"), receive), when: events.ReadyParts{JobRef: job1, Where: "shop"}, then: "assembly.parts-ready kit.reserved", after: func(t *testing.T, b *events.Book) {
			if p := a1(b).Parts[0]; p.Item != "k9" {
				t.Errorf("part %+v", p)
			}
		}},

		{name: "stopped, the part comes meanwhile", given: with(wants("RK-1"), ends(events.OutcomeRefused, ""), receive), when: reserve, then: "assembly.part-reserved kit.reserved", after: step(1, events.PartSetAside, events.StageStopped)},
		{name: "and the way is cleared", given: with(wants("RK-1"), ends(events.OutcomeRefused, ""), receive, reserve), when: events.ClearWay{JobRef: job1}, then: "assembly.way-cleared", after: step(1, events.PartSetAside, ready)},
		{name: "withdrawn, the kit is free", given: whole, when: events.Withdraw{JobRef: job1, Why: "sold"}, then: "assembly.withdrawn kit.released", after: func(t *testing.T, b *events.Book) {
			if !b.Kits["k9"].Free() {
				t.Errorf("kit %+v", b.Kits["k9"])
			}
		}},
		{name: "passed without it, the kit is free", given: whole, when: passes(12), then: "assembly.tested assembly.passed kit.released assembly.alarm-raised"},
		{name: "passed with it", given: whole, when: events.FinishJob{JobRef: job1, Crew: "c1", Day: march(12), Outcome: events.OutcomeRepairedPassed,
			Repair: &events.Repaired{Fitted: []events.PartWanted{{Code: "RK-1"}}}, Final: rpTest("6.4", "2.6", events.OpinionPass)},
			then: "assembly.repaired assembly.tested assembly.passed assembly.alarm-raised"},
	})
}
