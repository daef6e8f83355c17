package events_test

import (
	"testing"

	"valveround/events"
)

func TestFill(t *testing.T) {
	drained := events.Put[events.FeedFacts]{ID: "f2", Facts: events.FeedFacts{Site: "s1", Name: "east leg", Manifold: "m", Pressurised: new(false)}}
	unknown := events.Put[events.FeedFacts]{ID: "f2", Facts: events.FeedFacts{Site: "s1", Name: "east leg", Manifold: "m", Season: "Apr-Oct"}}
	fire := events.Put[events.FeedFacts]{ID: "f2", Facts: events.FeedFacts{Site: "s1", Name: "east leg", Manifold: "m", Fire: true}}
	shut := events.LeaveFeed{Feed: "f2", Condition: events.Condition{Service: events.Shut}}
	winterised := events.FinishJob{JobRef: job2, Crew: "c1", Day: march(2), Outcome: events.OutcomeCouldNotTest, Why: "winterised"}
	fill := events.FillFeed{Feed: "f2", By: "Ms Ord"}
	holds := func(yes bool) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if f := b.Feeds["f2"]; f.Pressurised == nil || *f.Pressurised != yes || f.NotFilled() == yes || yes && f.OutOfService() {
				t.Errorf("the feed holds water: %v", f.Pressurised)
			}
		}
	}
	decide(t, []decision{
		{name: "a drained feed", given: []any{drained}, when: fill, then: "feed.filled", after: holds(true)},
		{name: "a seasonal feed of which nobody said it", given: []any{unknown}, when: fill, then: "feed.filled", after: holds(true)},
		{name: "drained and left shut", given: []any{drained, shut}, when: fill, then: "feed.restored feed.filled", after: holds(true)},
		{name: "filled already", given: []any{drained, fill}, when: fill},
		{name: "a seasonal feed that was filled last year", given: []any{unknown, fill}, when: fill, then: "feed.filled", after: holds(true)},
		{name: "a feed with nothing to say", when: fill},
		{name: "nobody says so", given: []any{drained}, when: events.FillFeed{Feed: "f2"}, refused: "say who says"},
		{name: "no such feed", when: events.FillFeed{Feed: "fx", By: "Ms Ord"}, refused: `no feed "fx"`},
		{name: "a fire line left shut is restored by itself", given: []any{fire, shut}, when: fill, refused: "with its calls and checks"},
		{name: "a crew has it dry", given: []any{drained, events.ShutFeed{Feed: "f2", Crew: "c1"}}, when: fill, refused: "has east leg dry now"},
		{name: "found drained by a crew", given: []any{unknown}, when: winterised, then: "assembly.could-not-test feed.drained assembly.alarm-raised", after: holds(false)},
		{name: "found drained twice", given: []any{drained}, when: winterised, then: "assembly.could-not-test assembly.alarm-raised", after: holds(false)},
		{name: "what waited for the water can be gone to again", given: []any{unknown, winterised}, when: fill, then: "feed.filled assembly.way-cleared",
			after: func(t *testing.T, b *events.Book) {
				holds(true)(t, b)
				if j := b.Assemblies["a2"].Job("j2"); j.Stage != events.StageDue {
					t.Errorf("the job is %s", j.Stage)
				}
			}},
		{name: "the way cleared of a winterised job", given: []any{unknown, winterised}, when: events.ClearWay{JobRef: job2, Words: "the owner filled it"}, then: "assembly.way-cleared feed.filled",
			after: holds(true)},
		{name: "another outcome says nothing of the feed", given: []any{unknown}, when: events.FinishJob{JobRef: job2, Crew: "c1", Day: march(2), Outcome: events.OutcomeCouldNotTest, Why: "buried"},
			then: "assembly.could-not-test assembly.alarm-raised"},
		{name: "a test on a feed that was on record as drained", given: []any{drained}, when: events.FinishJob{JobRef: job2, Crew: "c1", Day: march(2), Outcome: events.OutcomePassed,
			Initial: rpTest("6.4", "2.4", events.OpinionPass)}, then: "assembly.tested assembly.passed feed.filled assembly.alarm-raised assembly.alarm-raised", after: holds(true)},
	})
}

// The purveyor's list names as due what passed before this log began: it is asked for once, and sent again without a job.
func TestSendAgainOfAPassFromBefore(t *testing.T) {
	s := newStory(t).furnish()
	s.do(events.Put[events.AssemblyFacts]{ID: "a1", Facts: passedBefore(s)}, "assembly.corrected")
	s.do(events.ListDue{Assembly: "a1", NewJob: "j1", Due: date("2026-03-10"), AsOf: date("2026-03-01"), Standing: events.Ours}, "assembly.not-credited")
	if again, job := s.book.Assemblies["a1"].OwesAgain(); again == nil || job != nil {
		t.Fatalf("asked for again: %v of job %v", again, job)
	}
	s.do(events.FileReport{JobRef: events.JobRef{Assembly: "a1"}, On: date("2026-03-06"), How: "post"}, "assembly.reported")
	if again, _ := s.book.Assemblies["a1"].OwesAgain(); again != nil {
		t.Errorf("sent again, and still asked for: %+v", again)
	}
	s.refused(events.FileReport{JobRef: events.JobRef{Assembly: "a1"}, On: date("2026-03-07")})
}

func passedBefore(s *story) events.AssemblyFacts {
	facts := s.book.Assemblies["a1"].AssemblyFacts
	facts.LastPassed = date("2026-02-20")
	return facts
}
