package events_test

import (
	"testing"

	"valveround/events"
)

// A report that a list does not credit is sent again: that settles it, whether or not it was accepted before, until a list
// of a later day still names the assembly as due.
func TestSendAgainIsSettledBySending(t *testing.T) {
	for _, accepted := range []bool{false, true} {
		s := newStory(t).furnish().due()
		s.do(events.FinishJob{JobRef: job1, Crew: "c1", Day: date("2026-03-02"), Outcome: events.OutcomePassed, Initial: rpTest("6.4", "2.4", events.OpinionPass)},
			"assembly.tested", "assembly.passed", "assembly.alarm-raised") // it was not on a day that is out
		s.do(events.FileReport{JobRef: job1, On: date("2026-03-03")}, "assembly.reported")
		stage := events.StageReported
		if accepted {
			s.do(events.AcceptReport{JobRef: job1, On: date("2026-03-04")}, "assembly.report-accepted")
			stage = events.StageAccepted
			s.refused(events.FileReport{JobRef: job1, On: date("2026-03-05")})
		}
		list := events.ListDue{Assembly: "a1", NewJob: "j2", Due: date("2026-03-10"), AsOf: date("2026-03-01"), Standing: events.Ours}
		s.do(list, "assembly.not-credited")
		s.do(events.FileReport{JobRef: job1, On: date("2026-03-06")}, "assembly.reported")
		if a := s.book.Assemblies["a1"]; a.SentAgain != date("2026-03-06") || a.Jobs[0].Stage != stage || a.Jobs[0].Filed.On != date("2026-03-06") {
			t.Errorf("accepted %v: sent again %s, the job is %s", accepted, a.SentAgain, a.Jobs[0].Stage)
		}
		s.do(list)
		list.AsOf = date("2026-03-06")
		s.do(list)
		list.AsOf = date("2026-03-20")
		s.do(list, "assembly.not-credited")
		if a := s.book.Assemblies["a1"]; !a.SentAgain.IsZero() {
			t.Errorf("a later list names it, and it counts as sent again on %s", a.SentAgain)
		}
	}
}
