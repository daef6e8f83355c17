package events_test

import (
	"strings"
	"testing"
	"time"

	"valveround/events"
)

// TestCalls: one call about two sites becomes the promises that planning keeps.
func TestCalls(t *testing.T) {
	from := time.Date(2026, 3, 4, 11, 0, 0, 0, time.UTC) // 06:00 in New York
	both := []events.SiteID{"s1", "s2"}
	tests := []struct {
		name string
		do   events.NoteCall
		want string
	}{
		{"a day and a time, to two sites of which one wants notice", events.NoteCall{Sites: both, Outcome: events.CallAgreed, From: from, To: from.Add(3 * time.Hour)},
			"site.call-noted site.time-agreed site.call-noted site.time-agreed site.notice-given"},
		{"word left", events.NoteCall{Sites: both[:1], Outcome: events.CallLeftWord}, "site.call-noted"},
		{"wrong number", events.NoteCall{Sites: both[:1], Outcome: events.CallWrongNumber}, "site.call-noted"},
		{"posted", events.NoteCall{Sites: both[1:], Outcome: events.CallPosted}, "site.call-noted site.notice-given"},
		{"refused", events.NoteCall{Sites: both, Outcome: events.CallRefused, Words: "not this year"}, "site.call-noted assembly.owner-refused site.call-noted"},
		{"another firm", events.NoteCall{Sites: both[:1], Outcome: events.CallOtherFirm, Words: "so says the owner"}, "site.call-noted assembly.ordered"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := newStory(t).furnish().due()
			s.do(events.Put[events.SiteFacts]{ID: "s2", Facts: events.SiteFacts{Name: "Ward", Zone: "America/New_York", NoticeDays: 2}}, "site.registered")
			s.do(test.do, strings.Fields(test.want)...)
			for _, id := range test.do.Sites {
				calls := s.book.Sites[id].Calls
				if len(calls) != 1 || calls[0].Outcome != test.do.Outcome || calls[0].On != date("2026-03-02") {
					t.Errorf("calls of %s: %+v", id, calls)
				}
			}
			job := s.book.Assemblies["a1"].Job("j1")
			switch test.do.Outcome {
			case events.CallRefused:
				if job.Stage != events.StageStopped || job.Stopped.Outcome != events.OutcomeRefused || job.Stopped.Words != "not this year" {
					t.Errorf("after a refusal the job is %+v", job)
				}
			case events.CallOtherFirm:
				if job.Standing != events.NotOurs {
					t.Errorf("with another firm the job's standing is %s", job.Standing)
				}
			case events.CallAgreed:
				if n := s.book.Sites["s2"].Notice; n == nil || n.For != date("2026-03-04") || n.Given != date("2026-03-02") {
					t.Errorf("notice after an agreement: %+v", n)
				}
			}
		})
	}
	refused := []struct {
		name string
		do   events.NoteCall
		says string
	}{
		{"no sites", events.NoteCall{Outcome: events.CallLeftWord}, "which sites"},
		{"no such outcome", events.NoteCall{Sites: both[:1], Outcome: "maybe"}, "not how a call ends"},
		{"a site twice", events.NoteCall{Sites: []events.SiteID{"s1", "s1"}, Outcome: events.CallLeftWord}, "twice"},
		{"an unknown site", events.NoteCall{Sites: []events.SiteID{"s1", "sx"}, Outcome: events.CallLeftWord}, "no site"},
		{"agreed to no time", events.NoteCall{Sites: both[:1], Outcome: events.CallAgreed}, "from when to when"},
		{"another firm, nobody said so", events.NoteCall{Sites: both[:1], Outcome: events.CallOtherFirm}, "who told"},
		{"another site's feed", events.NoteCall{Sites: both[1:], Feed: "f1", Outcome: events.CallLeftWord}, "not one of the site's"},
	}
	s := newStory(t).furnish().due()
	s.do(events.Put[events.SiteFacts]{ID: "s2", Facts: events.SiteFacts{Name: "Ward", Zone: "America/New_York", NoticeDays: 2}}, "site.registered")
	s.do(events.NoteCall{Sites: []events.SiteID{"s1"}, Outcome: events.CallAgreed, From: from, To: from.Add(time.Hour)}, "site.call-noted", "site.time-agreed")
	s.do(events.AgreeTime{Site: "s1", AgreedTime: events.AgreedTime{From: from, To: from.Add(2 * time.Hour)}}, "site.time-agreed")
	off := events.WithdrawTime{Site: "s1", TimeWithdrawn: events.TimeWithdrawn{From: from, To: from.Add(time.Hour)}}
	s.refused(off) // does not say why
	off.Why = "they called it off"
	s.do(off, "site.time-withdrawn")
	if left := s.book.Sites["s1"].Agreed; len(left) != 1 || !left[0].To.Equal(from.Add(2*time.Hour)) {
		t.Errorf("after one of two times was called off: %+v", left)
	}
	s.refused(off) // no such time any more
	for _, test := range refused {
		t.Run(test.name, func(t *testing.T) {
			if got := s.refused(test.do).Words; !strings.Contains(got, test.says) {
				t.Errorf("refused with %q, want %q in it", got, test.says)
			}
		})
	}
}
