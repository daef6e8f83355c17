package backlog_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/services/backlog"
)

// mendsOf lists how the entry of a story that says something can be mended.
func mendsOf(v backlog.StoryView, says string) []string {
	for _, e := range v.Entries {
		if strings.Contains(e.Words, says) && !e.Void {
			var hows []string
			for _, m := range e.Mends {
				hows = append(hows, m.How)
			}
			return hows
		}
	}
	return []string{"no such entry"}
}

func storyOf(t *testing.T, s *story, log events.Log, kind events.Kind, id string, most int) backlog.StoryView {
	t.Helper()
	v, err := backlog.Story(t.Context(), log, s.book, people(t), backlog.Asked{Office: office, Kind: kind, ID: id, Zone: newYork(t), Most: most})
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// TestStoryOfWhatHangsOnIt: a customer's history tells of its sites, feeds and assemblies, newest first, each named.
func TestStoryOfWhatHangsOnIt(t *testing.T) {
	s, log := whole(t)
	site, customer := storyOf(t, s, log, events.KindSite, "s1", 0), storyOf(t, s, log, events.KindCustomer, "cu", 0)
	if len(customer.Entries) != len(site.Entries)+1 {
		t.Errorf("the customer tells %d entries, its one site %d: want one more, its own", len(customer.Entries), len(site.Entries))
	}
	things := map[string]bool{}
	for i, e := range customer.Entries {
		things[e.Thing] = true
		if i > 0 && e.Position >= customer.Entries[i-1].Position {
			t.Errorf("entry %d is not older than the one before", i)
		}
	}
	for _, want := range []string{"", "Corner kitchen", "Corner kitchen, main", "Corner kitchen, RP, 1 in, riser room"} {
		if !things[want] {
			t.Errorf("nothing is told of %q; told of %v", want, things)
		}
	}
	some := storyOf(t, s, log, events.KindCustomer, "cu", 3)
	if len(some.Entries) != 3 || some.Earlier != len(customer.Entries)-3 || some.Entries[0].Position != customer.Entries[0].Position {
		t.Errorf("of the newest three: %d told, %d earlier", len(some.Entries), some.Earlier)
	}
	for _, ask := range []backlog.Asked{{Office: office, Kind: events.KindSite, ID: "s9"}, {Office: "south", Kind: events.KindSite, ID: "s1"}} {
		if _, err := backlog.Story(t.Context(), log, s.book, people(t), ask); err == nil {
			t.Errorf("%+v is told", ask)
		}
	}
}

// TestMendsAsThingsStand: what is offered beside an entry is what would be accepted now.
func TestMendsAsThingsStand(t *testing.T) {
	s, log := whole(t)
	assembly := func() backlog.StoryView { return storyOf(t, s, log, events.KindAssembly, "a1", 0) }
	for says, want := range map[string][]string{
		"check 1 6.4 psid":      {"correct-readings", "note-mistake"},
		"Repaired and passed":   {"void-result", "note-mistake"},
		"Failed: check 1":       {"note-mistake"}, // a later result stands
		"Sent out for":          nil,              // by the program
		"The purveyor accepted": {"note-mistake"},
		"entered on record":     nil, // mended by its form
		"set aside for this":    {"no such entry"},
	} {
		if got := mendsOf(assembly(), says); !slices.Equal(got, want) {
			t.Errorf("%q: %v, want %v", says, got, want)
		}
	}

	from := time.Date(2026, 3, 20, 6, 0, 0, 0, newYork(t))
	agreed := events.AgreedTime{From: from, To: from.Add(2 * time.Hour)}
	s.do(events.AgreeTime{Site: "s1", AgreedTime: agreed})
	site := func() backlog.StoryView { return storyOf(t, s, log, events.KindSite, "s1", 0) }
	if got := mendsOf(site(), "Agreed that"); !slices.Equal(got, []string{"withdraw-time", "note-mistake"}) {
		t.Errorf("a time agreed: %v", got)
	}
	s.do(events.WithdrawTime{Site: "s1", TimeWithdrawn: events.TimeWithdrawn{From: agreed.From, To: agreed.To, Why: "called off"}})
	if got := mendsOf(site(), "Agreed that"); !slices.Equal(got, []string{"note-mistake"}) {
		t.Errorf("a time withdrawn: %v", got)
	}
}

// TestMendsOfAPart: a kit is set free or found wrong from the job's history or its own, and goes back when no job has it.
func TestMendsOfAPart(t *testing.T) {
	s := newStory(t)
	log := openLog(t)
	s.log = log
	ref := s.furnish().unit("a1", nil)
	s.send("2026-03-02", ref)
	s.fail(ref, events.PartWanted{Code: "RK-1", Component: events.Check1})
	part := events.WhichPart{JobRef: ref, Nth: 1, Code: "RK-1"}
	s.do(events.ReceivePart{WhichPart: part, Item: "k1"})
	job := func() backlog.StoryView { return storyOf(t, s, log, events.KindAssembly, "a1", 0) }
	kit := func() backlog.StoryView { return storyOf(t, s, log, events.KindKit, "k1", 0) }
	offered := func(v backlog.StoryView) (hows []string) {
		for _, e := range v.Entries {
			for _, m := range e.Mends {
				if m.How != "note-mistake" && m.How != "correct-readings" && m.How != "void-result" {
					hows = append(hows, m.How)
				}
			}
		}
		return hows
	}
	want := func(what string, v backlog.StoryView, hows ...string) {
		t.Helper()
		if got := offered(v); !slices.Equal(got, hows) {
			t.Errorf("%s: %v, want %v", what, got, hows)
		}
	}
	want("came", job(), "wrong-part")
	s.do(events.ReservePart{WhichPart: part})
	want("reserved, the job", job(), "release-part", "wrong-part", "release-part", "wrong-part")
	want("reserved, the kit", kit(), "release-part", "wrong-part")
	s.do(events.WrongPart{WhichPart: part, Why: "for 2 in"})
	want("wrong, the job", job(), "send-back-kit")
	want("wrong, the kit", kit(), "send-back-kit", "send-back-kit")
	s.do(events.SendBackKit{Kit: "k1", On: date("2026-03-03")})
	want("gone back", kit())
	want("gone back, the job", job())
}
