package events_test

import (
	"slices"
	"strings"
	"testing"

	"valveround/events"
)

// said is the n-th event of the m-th command that a row of a table gives.
func said(m, n byte) events.EventID {
	return events.EventID(strings.TrimSuffix(string(sentBy(m)), "0") + string('0'+n))
}

func with(given []any, more ...any) []any { return append(slices.Clone(given), more...) }

// TestVoidResult takes results back: the job stands where it stood before, and the first entry stays.
func TestVoidResult(t *testing.T) {
	void := func(m, n byte) events.VoidResult {
		return events.VoidResult{JobRef: job1, About: said(m, n), Why: "it was the unit next door"}
	}
	kit := events.WantParts{JobRef: job1, Parts: []events.PartWanted{{Code: "RK-1"}}}
	out := []any{sendOut(3, job1), echo(3, 1, job1)}
	replaced := events.FinishJob{JobRef: job1, Crew: "c1", Day: march(3), Outcome: events.OutcomeReplaced, Final: rpTest("6.4", "2.6", events.OpinionPass),
		New: &events.Replaced{Serial: "N1", Type: events.DC}}
	decide(t, []decision{
		{name: "a pass", given: []any{passes(3)}, when: void(1, 1), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			j := a1(b)
			if j.Stage != events.StageDue || !j.PassedOn.IsZero() || len(j.Tests) > 0 || len(j.Attempts) > 0 || j.LastResult != "" {
				t.Errorf("job %+v", j)
			}
			if b.Assemblies["a1"].Passed != date("2025-03-10") {
				t.Errorf("last passed %s", b.Assemblies["a1"].Passed)
			}
			if len(j.Results) != 1 || j.Results[0].Outcome != events.OutcomePassed || j.Results[0].Void == "" {
				t.Errorf("results %+v", j.Results)
			}
		}},
		{name: "named by its test", given: []any{passes(3)}, when: void(1, 0), then: "assembly.result-voided"},
		{name: "taken back twice", given: []any{passes(3), void(1, 1)}, when: void(1, 1)},
		{name: "recorded again", given: []any{passes(3), void(1, 1)}, when: fails(3), then: "assembly.tested assembly.failed-retest assembly.alarm-raised", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != events.StageFailedRetest || len(j.Tests) != 1 || len(j.Results) != 2 {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "a failure, with its yes and its kit", given: []any{fails(3), kit, events.ReservePart{WhichPart: part("RK-1"), Item: "k1"},
			events.SayYesToRepair{JobRef: job1, RepairYes: events.RepairYes{Basis: "quote", On: march(4)}}},
			when: void(1, 1), then: "assembly.result-voided kit.released", after: func(t *testing.T, b *events.Book) {
				if j := a1(b); j.Stage != events.StageDue || j.Failure != nil || len(j.Parts) > 0 || j.Yes == nil {
					t.Errorf("job %+v", j)
				}
			}},
		{name: "a second failure: the first stands", given: []any{fails(3), fails(4)}, when: void(2, 1), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Failure == nil || j.Failure.On != march(3) || len(j.Tests) != 1 {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "one by one, the newest first", given: []any{fails(3), fails(4), void(2, 1)}, when: void(1, 1), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != events.StageDue || len(j.Results) != 2 || j.Results[0].Void == "" || j.Results[1].Void == "" {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "not the newest", given: []any{fails(3), fails(4)}, when: void(1, 1), refused: "a later result (failed on 2026-03-04)"},
		{name: "no result", given: []any{passes(3)}, when: void(9, 1), refused: "no such result"},
		{name: "without a word", given: []any{passes(3)}, when: events.VoidResult{JobRef: job1, About: said(1, 1)}, refused: "say why"},
		{name: "with the purveyor", given: []any{passes(3), events.FileReport{JobRef: job1, On: march(4)}}, when: void(1, 1), refused: "record that it was returned, first"},
		{name: "back from the purveyor", given: []any{passes(3), events.FileReport{JobRef: job1, On: march(4)}, events.ReturnReport{JobRef: job1, On: march(5), Why: "not that unit"}},
			when: void(1, 1), then: "assembly.result-voided"},
		{name: "a failure that is with the purveyor", given: []any{fails(3), events.FileReport{JobRef: job1, On: march(4)}}, when: void(1, 1), refused: "record that it was returned, first"},
		{name: "a pass after a failure that was filed", given: []any{fails(3), events.FileReport{JobRef: job1, On: march(4)}, passes(5)}, when: void(3, 1), then: "assembly.result-voided"},
		{name: "of a job that is over", given: []any{passes(3), events.Withdraw{JobRef: job1, Why: "sold"}}, when: void(1, 1), refused: "is over"},
		{name: "nobody let the crew in, it was said", given: []any{events.MeetNoAccess{Site: "s1", Crew: "c1", Day: march(3), Jobs: []events.JobRef{job1}}}, when: void(1, 1), then: "assembly.result-voided"},
		{name: "removed, it was said", given: []any{ends(events.OutcomeRemoved, "")}, when: void(1, 0), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if a := b.Assemblies["a1"]; a.Gone || a1(b).Stage != events.StageDue {
				t.Errorf("assembly %+v", a)
			}
		}},
		{name: "replaced, it was said", given: []any{replaced}, when: void(1, 1), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if a := b.Assemblies["a1"]; a.Type != events.RP || a.Serial != "" || len(a.Serials) > 0 || a1(b).Replaced != nil || a.Passed != date("2025-03-10") {
				t.Errorf("assembly %+v", a)
			}
		}},
		{name: "out with its day again", given: with(out, passes(3)), when: void(3, 1), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Dispatched == nil || j.Dispatched.Date != march(3) {
				t.Errorf("dispatched %+v", j.Dispatched)
			}
		}},
		{name: "its day was taken back meanwhile", given: with(out, passes(3), events.TakeBack{Date: march(3)}), when: void(3, 1), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Dispatched != nil {
				t.Errorf("dispatched %+v", j.Dispatched)
			}
		}},
		{name: "the date moved meanwhile", given: []any{fails(3), events.ListDue{Assembly: "a1", NewJob: "j1", Due: march(20), AsOf: march(4)}}, when: void(1, 1), then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Due != march(20) {
				t.Errorf("due %s", j.Due)
			}
		}},
	})
}

func TestCorrectEntry(t *testing.T) {
	correct := func(kind events.Kind, id string) events.CorrectEntry {
		return events.CorrectEntry{Kind: kind, ID: id, Correction: events.Correction{About: said(1, 0), Words: "it was the roof feed"}}
	}
	decide(t, []decision{
		{name: "of an assembly", when: correct(events.KindAssembly, "a1"), then: "assembly.entry-corrected"},
		{name: "of a site", when: correct(events.KindSite, "s1"), then: "site.entry-corrected"},
		{name: "of a feed", when: correct(events.KindFeed, "f1"), then: "feed.entry-corrected"},
		{name: "said twice", given: []any{correct(events.KindFeed, "f1")}, when: correct(events.KindFeed, "f1")},
		{name: "of a day", when: correct(events.KindDay, "2026-03-03"), refused: `no day "2026-03-03"`},
		{name: "of no assembly", when: correct(events.KindAssembly, "ax"), refused: `no assembly "ax"`},
		{name: "without a word", when: events.CorrectEntry{Kind: events.KindSite, ID: "s1", Correction: events.Correction{About: "x"}}, refused: "what is right"},
	})
}

// TestKeyedIn: the office keys results in from signed paper, and only the tester changes a reading.
func TestKeyedIn(t *testing.T) {
	sum := strings.Repeat("0123456789abcdef", 4)
	keyed := func(change func(*events.PaperResult)) events.FinishJob {
		do := passes(3)
		paper := events.PaperResult{SHA256: sum, SignedOn: march(3), Tester: "p1"}
		change(&paper)
		do.Paper, do.Crew = &paper, ""
		return do
	}
	plain := func(*events.PaperResult) {}
	corrected := func(says events.Opinion, why string) events.CorrectReadings {
		return events.CorrectReadings{JobRef: job1, About: said(1, 0), Why: why, Test: *rpTest("6.4", "2.6", says)}
	}
	decide(t, []decision{
		{name: "from a signed paper", when: keyed(plain), then: "assembly.keyed-in assembly.tested assembly.passed assembly.alarm-raised", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); len(j.Papers) != 1 || j.Papers[0].KeyedBy != "p-desk" || j.Papers[0].SHA256 != sum || j.Tests[0].Tester != "p1" {
				t.Errorf("papers %+v", j.Papers)
			}
		}},
		{name: "taken back", given: []any{keyed(plain)}, when: events.VoidResult{JobRef: job1, About: said(1, 0), Why: "another job"}, then: "assembly.result-voided", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); len(j.Papers) > 0 || j.Stage != events.StageDue {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "without the copy", when: keyed(func(p *events.PaperResult) { p.SHA256 = "" }), refused: "attach the signed paper first"},
		{name: "with half a hash", when: keyed(func(p *events.PaperResult) { p.SHA256 = sum[:40] }), refused: "attach the signed paper first"},
		{name: "not signed on any day", when: keyed(func(p *events.PaperResult) { p.SignedOn = events.Date{} }), refused: "on which day the paper was signed"},
		{name: "signed by nobody", when: keyed(func(p *events.PaperResult) { p.Tester = "" }), refused: "who tested and signed"},
		{name: "signed by another", when: keyed(func(p *events.PaperResult) { p.Tester = "p2" }), refused: "signed by another than the tester"},
		{name: "the office changes a reading", given: []any{passes(3)}, when: corrected(events.OpinionPass, "misread"), refused: "only the tester changes a reading"},
		{name: "of no test", given: []any{ends(events.OutcomeNoAccess, "")}, when: corrected(events.OpinionPass, "misread"), refused: "has no such test"},
	})
}

// TestTesterCorrectsReadings: the same, by the one who tested.
func TestTesterCorrectsReadings(t *testing.T) {
	test := func(check1 string, says events.Opinion) events.Test { return *rpTest(check1, "2.6", says) }
	for _, c := range []struct {
		name    string
		actor   events.PersonID
		do      events.CorrectReadings
		refused string
	}{
		{"by the tester", "p1", events.CorrectReadings{Why: "6.4 on the gauge", Test: test("6.4", events.OpinionPass)}, ""},
		{"by another tester", "p2", events.CorrectReadings{Why: "6.4 on the gauge", Test: test("6.4", events.OpinionPass)}, "only the tester"},
		{"with another verdict", "p1", events.CorrectReadings{Why: "it failed", Test: test("1.0", events.OpinionFail)}, "it is another result"},
		{"without a word", "p1", events.CorrectReadings{Test: test("6.4", events.OpinionPass)}, "say why"},
		{"to nothing", "p1", events.CorrectReadings{Why: "x", Test: events.Test{Says: events.OpinionPass}}, "record the readings"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := world(t)
			if _, err := s.try(passes(3)); err != nil {
				t.Fatal(err)
			}
			first := *a1(s.book)
			c.do.JobRef, c.do.About = job1, first.Tests[0].Event
			drafts, err := events.Decide(s.book, events.Command{ID: events.CommandID{250}, Actor: c.actor, Office: office, Happened: s.now, Do: c.do})
			if c.refused != "" {
				if err == nil || !strings.Contains(err.Error(), c.refused) {
					t.Errorf("error %v, want a refusal that says %q", err, c.refused)
				}
				return
			}
			if err != nil || len(drafts) != 1 {
				t.Fatalf("drafts %+v, error %v", drafts, err)
			}
			batch, err := events.Prepare(s.book, events.Command{ID: events.CommandID{250}, Actor: c.actor, Office: office, Happened: s.now, Do: c.do}, s.now)
			if err != nil {
				t.Fatal(err)
			}
			r := batch[0].Record
			r.Seq = s.book.Position() + 1
			s.book.Apply(r)
			now := a1(s.book).Tests[0]
			if got := now.Readings[2].Number.String(); got != "6.4" || now.Corrected != r.ID || now.Event != c.do.About || now.Computed == nil {
				t.Errorf("test %+v", now)
			}
			if first.Tests[0].Readings[2].Number.String() != "6.0" {
				t.Error("the book before the correction changed")
			}
		})
	}
}

// TestFailureToPurveyor: the report of a failure and the telephone have clocks of their own, and the repair is owed as before.
func TestFailureToPurveyor(t *testing.T) {
	file := events.FileReport{JobRef: job1, On: march(4), How: "email"}
	phone := events.PhoneFailure{JobRef: job1, To: "cross-connection desk"}
	back := events.ReturnReport{JobRef: job1, On: march(5), Why: "no gauge serial"}
	decide(t, []decision{
		{name: "a failure is filed", given: []any{fails(3)}, when: file, then: "assembly.failure-reported", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != events.StageFailedRetest || j.FailFiled == nil || j.FailFiled.How != "email" {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "filed twice", given: []any{fails(3), file}, when: file},
		{name: "and returned", given: []any{fails(3), file}, when: back, then: "assembly.report-returned", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != events.StageFailedRetest || j.FailFiled != nil || j.Returned == nil || j.Returned.Why != "no gauge serial" {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "and filed again", given: []any{fails(3), file, back}, when: file, then: "assembly.failure-reported", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Returned != nil || j.FailFiled == nil {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "the report of a pass came back", given: []any{passes(3), file, back}, when: file, then: "assembly.reported", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != events.StageReported || j.Returned != nil {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "phoned in", given: []any{fails(3)}, when: phone, then: "assembly.failure-phoned", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Phoned == nil || j.Phoned.By != "p-desk" || j.Phoned.At.IsZero() {
				t.Errorf("phoned %+v", j.Phoned)
			}
		}},
		{name: "phoned in twice", given: []any{fails(3), phone}, when: phone, refused: "was phoned in"},
		{name: "to nobody", given: []any{fails(3)}, when: events.PhoneFailure{JobRef: job1}, refused: "who was told"},
		{name: "no failure", when: phone, refused: "nothing to phone in"},
		{name: "a second failure is phoned in anew", given: []any{fails(3), phone, fails(4)}, when: phone, then: "assembly.failure-phoned"},
	})
}
