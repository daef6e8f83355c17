package events_test

import (
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
)

// decision is one row of a table: given what was done before, when this is asked, then these events happen, or it is
// refused in words that hold these.
type decision struct {
	name    string
	given   []any
	when    any
	then    string // names of events, parted by spaces; empty: nothing to change
	refused string
	after   func(t *testing.T, b *events.Book)
}

// world is furnish, a job that is due, and one more of most things.
func world(t testing.TB) *story {
	s := newStory(t).furnish().due()
	s.do(events.Put[events.FeedFacts]{ID: "f2", Facts: events.FeedFacts{Site: "s1", Name: "east leg", Manifold: "m"}}, "feed.registered")
	s.do(events.Put[events.FeedFacts]{ID: "f3", Facts: events.FeedFacts{Site: "s1", Name: "west leg", Manifold: "m"}}, "feed.registered")
	s.do(events.Put[events.FeedFacts]{ID: "f4", Facts: events.FeedFacts{Site: "s1", Name: "roof", FedFrom: "f1"}}, "feed.registered")
	s.do(events.Put[events.AssemblyFacts]{ID: "a2", Facts: events.AssemblyFacts{Site: "s1", Feed: "f2", Purveyor: "nobody", Type: events.DC}}, "assembly.registered")
	s.do(events.ListDue{Assembly: "a2", NewJob: "j2", Due: date("2026-03-20")}, "assembly.due")
	s.do(events.Put[events.CrewFacts]{ID: "c2", Facts: events.CrewFacts{Name: "Crew 2", Letter: "B"}}, "crew.registered")
	s.do(events.Put[events.KitFacts]{ID: "k1", Facts: events.KitFacts{Code: "RK-1", Where: "shop"}}, "kit.registered")
	s.do(events.Put[events.KitFacts]{ID: "k2", Facts: events.KitFacts{Code: "RK-2"}}, "kit.registered")
	s.do(events.Put[events.CustomerFacts]{ID: "cu1", Facts: events.CustomerFacts{Name: "Field and Sons"}}, "customer.registered")
	s.do(events.Put[events.PersonFacts]{ID: "p1"}, "person.registered")
	return s
}

func decide(t *testing.T, table []decision) {
	for _, row := range table {
		t.Run(row.name, func(t *testing.T) {
			s := world(t)
			for _, do := range row.given {
				if _, err := s.try(do); err != nil {
					t.Fatalf("given %T: %v", do, err)
				}
			}
			before := s.book.Digest()
			stored, err := s.try(row.when)
			var refusal *events.Refusal
			switch {
			case row.refused == "" && err != nil:
				t.Fatalf("%T: %v", row.when, err)
			case row.refused != "" && (!errors.As(err, &refusal) || !strings.Contains(refusal.Words, row.refused)):
				t.Fatalf("%T: error %v, want a refusal that says %q", row.when, err, row.refused)
			case row.then == "" && s.book.Digest() != before:
				t.Errorf("%T changed the book, and nothing was to happen", row.when)
			}
			var names []string
			for _, r := range stored {
				names = append(names, string(r.Entity.Kind)+"."+r.Name)
			}
			if got := strings.Join(names, " "); got != row.then {
				t.Errorf("%T: then %s, want %s", row.when, got, row.then)
			}
			if row.after != nil {
				row.after(t, s.book)
			}
		})
	}
}

var (
	job2  = events.JobRef{Assembly: "a2", Job: "j2"}
	noJob = events.JobRef{Assembly: "a1", Job: "jx"}
	march = func(day int) events.Date { return events.NewDate(2026, time.March, day) }
)

func passes(day int) events.FinishJob {
	return events.FinishJob{JobRef: job1, Crew: "c1", Day: march(day), Outcome: events.OutcomePassed, Initial: rpTest("6.0", "2.4", events.OpinionPass)}
}

func fails(day int) events.FinishJob {
	return events.FinishJob{JobRef: job1, Crew: "c1", Day: march(day), Outcome: events.OutcomeFailed, Initial: rpTest("4.9", "1.8", events.OpinionFail), Words: "relief opens too low"}
}

func ends(outcome events.VisitOutcome, why string) events.FinishJob {
	return events.FinishJob{JobRef: job1, Crew: "c1", Day: march(3), Outcome: outcome, Why: why}
}

func sendOut(day int, jobs ...events.JobRef) events.SendOut {
	visit := events.DayVisit{Site: "s1"}
	for _, ref := range jobs {
		visit.Jobs = append(visit.Jobs, events.DayJob{JobRef: ref, Work: "test"})
	}
	return events.SendOut{SentOut: events.SentOut{Date: march(day), Routes: []events.DayRoute{{Crew: "c1", Visits: []events.DayVisit{visit}}}}}
}

// sentBy is the event of the n-th command that a story of world carries out.
func sentBy(n byte) events.EventID {
	return events.EventID(events.CommandID{worldCommands + n, 1}.String() + "-0")
}

const worldCommands = 17

func echo(day int, n byte, ref events.JobRef) events.EchoDispatch {
	return events.EchoDispatch{Day: sentBy(n), Date: march(day), Crew: "c1", JobRef: ref}
}

func a1(b *events.Book) *events.Job { return b.Assemblies["a1"].Job("j1") }

func alarms(t *testing.T, b *events.Book, want ...string) {
	t.Helper()
	got := b.Assemblies["a1"].Alarms
	if len(got) != len(want) {
		t.Fatalf("alarms %+v, want %d", got, len(want))
	}
	for i := range want {
		if !strings.Contains(got[i].Words, want[i]) {
			t.Errorf("alarm %q, want one that says %q", got[i].Words, want[i])
		}
	}
}

func TestWorld(t *testing.T) {
	if s := world(t); s.n != worldCommands {
		t.Fatalf("the world takes %d commands", s.n)
	}
}

func TestDecideRegistry(t *testing.T) {
	site := events.SiteFacts{Name: "Mill", Zone: "America/New_York"}
	decide(t, []decision{
		{name: "a new site", when: events.Put[events.SiteFacts]{ID: "s2", Facts: site}, then: "site.registered"},
		{name: "the same facts again", given: []any{events.Put[events.SiteFacts]{ID: "s2", Facts: site}}, when: events.Put[events.SiteFacts]{ID: "s2", Facts: site, Why: "again"}},
		{name: "nil and empty are the same", given: []any{events.Put[events.SiteFacts]{ID: "s2", Facts: site}},
			when: events.Put[events.SiteFacts]{ID: "s2", Facts: events.SiteFacts{Name: "Mill", Zone: "America/New_York", Contacts: []events.Contact{}}}},
		{name: "other facts", given: []any{events.Put[events.SiteFacts]{ID: "s2", Facts: site}}, when: events.Put[events.SiteFacts]{ID: "s2", Facts: events.SiteFacts{Name: "Old mill"}}, then: "site.corrected"},
		{name: "an id with a dot", when: events.Put[events.SiteFacts]{ID: "s.2", Facts: site}, refused: "letters, digits"},
		{name: "no id", when: events.Put[events.CustomerFacts]{}, refused: "letters, digits"},
		{name: "an assembly at no site", when: events.Put[events.AssemblyFacts]{ID: "a9", Facts: events.AssemblyFacts{Site: "sx"}}, refused: `no site "sx"`},
		{name: "an assembly on no feed", when: events.Put[events.AssemblyFacts]{ID: "a9", Facts: events.AssemblyFacts{Site: "s1", Feed: "fx"}}, refused: `has no feed "fx"`},
		{name: "an assembly on another site's feed", given: []any{events.Put[events.SiteFacts]{ID: "s2", Facts: site}},
			when: events.Put[events.AssemblyFacts]{ID: "a9", Facts: events.AssemblyFacts{Site: "s2", Feed: "f1"}}, refused: `has no feed "f1"`},
		{name: "a feed at no site", when: events.Put[events.FeedFacts]{ID: "f9", Facts: events.FeedFacts{Site: "sx"}}, refused: `no site "sx"`},
		{name: "a correction does not forget the jobs and keeps a newer pass", given: []any{passes(3)},
			when: events.Put[events.AssemblyFacts]{ID: "a1", Facts: events.AssemblyFacts{Site: "s1", Feed: "f1", Purveyor: "pv", Type: events.RP, LastPassed: date("2025-03-10")}},
			then: "assembly.corrected", after: func(t *testing.T, b *events.Book) {
				if a := b.Assemblies["a1"]; a.Passed != march(3) || len(a.Jobs) != 1 {
					t.Errorf("passed %s, %d jobs", a.Passed, len(a.Jobs))
				}
			}},
	})
}

func TestAnotherOfficesThingsAreNotCorrected(t *testing.T) {
	s := world(t)
	c := events.Command{ID: events.CommandID{99}, Office: "south", Happened: s.now, Do: events.Put[events.CrewFacts]{ID: "c1", Facts: events.CrewFacts{Name: "South 1"}}}
	var refusal *events.Refusal
	if _, err := events.Prepare(s.book, c, s.now); !errors.As(err, &refusal) || !strings.Contains(refusal.Words, `belongs to office "north"`) {
		t.Errorf("error %v, want a refusal", err)
	}
	c.Do = events.Put[events.PersonFacts]{ID: "p1", Facts: events.PersonFacts{Credentials: []events.Credential{{Kind: events.TesterCertificate}}}}
	if batch, err := events.Prepare(s.book, c, s.now); err != nil || len(batch) != 1 || batch[0].Entity.Office != events.Firm {
		t.Errorf("people belong to the firm: %v, %v", batch, err)
	}
}

func TestDecideSite(t *testing.T) {
	arrive := func(crew events.CrewID) events.Arrive { return events.Arrive{Site: "s1", Crew: crew, Day: march(3)} }
	six := time.Date(2026, 3, 3, 11, 0, 0, 0, time.UTC)
	here := func(crew events.CrewID) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if s := b.Sites["s1"]; crew == "" && s.Here != nil || crew != "" && (s.Here == nil || s.Here.Crew != crew) {
				t.Errorf("here is %+v, want crew %q", s.Here, crew)
			}
		}
	}
	booking := events.MakeBooking{Site: "s1", Booking: events.Booking{What: events.StreetValve, Feed: "f1", From: six, To: six.Add(time.Hour), Whom: "County Water"}}
	withdrawn := events.WithdrawBooking{Site: "s1", BookingWithdrawn: events.BookingWithdrawn{What: events.StreetValve, Feed: "f1", From: six, To: six.Add(time.Hour), Why: "their valve crew is short"}}
	decide(t, []decision{
		{name: "notice given", when: events.GiveNotice{Site: "s1", Notice: events.Notice{Given: march(1)}}, then: "site.notice-given"},
		{name: "notice without a date", when: events.GiveNotice{Site: "s1"}, refused: "which date notice was given"},
		{name: "notice to no site", when: events.GiveNotice{Site: "sx", Notice: events.Notice{Given: march(1)}}, refused: `no site "sx"`},
		{name: "a time agreed", when: events.AgreeTime{Site: "s1", AgreedTime: events.AgreedTime{From: six, To: six.Add(time.Hour)}}, then: "site.time-agreed"},
		{name: "a time that ends as it begins", when: events.AgreeTime{Site: "s1", AgreedTime: events.AgreedTime{From: six, To: six}}, refused: "must end after it begins"},
		{name: "the purveyor is booked", when: booking, then: "site.booked"},
		{name: "booked twice", given: []any{booking}, when: booking, refused: "booked already"},
		{name: "others were asked and come", when: events.AskBooking{What: events.StreetValve, Places: []events.BookingPlace{{Site: "s1", Feed: "f1"}}, Answer: events.AnswerBooked, From: six, To: six.Add(time.Hour), Whom: "County Water"},
			then: "site.booking-asked site.booked"},
		{name: "others were asked and word was left", when: events.AskBooking{What: events.Escort, Places: []events.BookingPlace{{Site: "s1"}, {Site: "s1", Feed: "f1"}}, Answer: events.AnswerLeftWord},
			then: "site.booking-asked site.booking-asked"},
		{name: "others were asked about nothing", when: events.AskBooking{What: events.Escort, Answer: events.AnswerLeftWord}, refused: "which sites"},
		{name: "others come at no time", when: events.AskBooking{What: events.Escort, Places: []events.BookingPlace{{Site: "s1"}}, Answer: events.AnswerBooked}, refused: "from when to when"},
		{name: "others said something else", when: events.AskBooking{What: events.Escort, Places: []events.BookingPlace{{Site: "s1"}}, Answer: "perhaps"}, refused: "is no answer"},
		{name: "asked twice about one place", when: events.AskBooking{What: events.Escort, Places: []events.BookingPlace{{Site: "s1"}, {Site: "s1"}}, Answer: events.AnswerRefused}, refused: "named twice"},
		{name: "asked about a feed of elsewhere", when: events.AskBooking{What: events.Escort, Places: []events.BookingPlace{{Site: "s1", Feed: "fx"}}, Answer: events.AnswerRefused}, refused: "not one of the site's"},
		{name: "booked for no time", when: events.MakeBooking{Site: "s1", Booking: events.Booking{What: events.Escort, From: six, To: six}}, refused: "must end after it begins"},
		{name: "something that nobody brings", when: events.MakeBooking{Site: "s1", Booking: events.Booking{What: "tea", From: six, To: six.Add(time.Hour)}}, refused: "nothing that others bring"},
		{name: "booked for a feed of elsewhere", when: events.MakeBooking{Site: "s1", Booking: events.Booking{What: events.Escort, Feed: "fx", From: six, To: six.Add(time.Hour)}}, refused: "not one of the site's"},
		{name: "booked for no site", when: events.MakeBooking{Site: "sx", Booking: booking.Booking}, refused: `no site "sx"`},
		{name: "a booking is withdrawn", given: []any{booking}, when: withdrawn, then: "site.booking-withdrawn", after: func(t *testing.T, b *events.Book) {
			if n := len(b.Sites["s1"].Booked); n != 0 {
				t.Errorf("%d bookings are left", n)
			}
		}},
		{name: "withdrawn without a reason", given: []any{booking}, when: events.WithdrawBooking{Site: "s1"}, refused: "say why"},
		{name: "withdrawn and never made", when: withdrawn, refused: "nothing of the kind is booked"},
		{name: "arrived", when: arrive("c1"), then: "site.arrived", after: here("c1")},
		{name: "arrived where another crew is: both stand, and an alarm", given: []any{arrive("c1")}, when: arrive("c2"), then: "site.arrived site.alarm-raised", after: here("c2")},
		{name: "arrived again", given: []any{arrive("c1")}, when: arrive("c1"), then: "site.arrived", after: here("c1")},
		{name: "arrived at no site", when: events.Arrive{Site: "sx"}, refused: `no site "sx"`},
		{name: "left", given: []any{arrive("c1")}, when: events.Leave{Site: "s1", Crew: "c1"}, then: "site.left", after: here("")},
		{name: "the other crew left", given: []any{arrive("c1"), arrive("c2")}, when: events.Leave{Site: "s1", Crew: "c1"}, then: "site.left", after: here("c2")},
		{name: "left no site", when: events.Leave{Site: "sx"}, refused: `no site "sx"`},
		{name: "no access is no fail", given: []any{arrive("c1")}, when: events.MeetNoAccess{Site: "s1", Crew: "c1", Day: march(3), Jobs: []events.JobRef{job1, job2}},
			then: "site.no-access assembly.no-access assembly.no-access", after: func(t *testing.T, b *events.Book) {
				here("")(t, b)
				if j := a1(b); j.Stage != events.StageDue || j.Failure != nil || j.LastResult != events.OutcomeNoAccess {
					t.Errorf("job %+v", j)
				}
			}},
		{name: "no access to a job that does not exist", when: events.MeetNoAccess{Site: "s1", Jobs: []events.JobRef{noJob}}, refused: `no job "jx"`},
		{name: "no access to no site", when: events.MeetNoAccess{Site: "sx"}, refused: `no site "sx"`},
	})
}

func TestDecideFeed(t *testing.T) {
	shut := func(id events.FeedID) events.ShutFeed { return events.ShutFeed{Feed: id, Crew: "c1"} }
	leave := func(id events.FeedID, service events.ServiceState) events.LeaveFeed {
		return events.LeaveFeed{Feed: id, Crew: "c1", Condition: events.Condition{Service: service}}
	}
	out := func(id events.FeedID, want bool) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if f := b.Feeds[id]; f.OutOfService() != want || !f.DrySince.IsZero() {
				t.Errorf("out of service %v, dry since %v, want out of service %v", f.OutOfService(), f.DrySince, want)
			}
		}
	}
	decide(t, []decision{
		{name: "shut", when: shut("f1"), then: "feed.shut-off"},
		{name: "a leg shut while the other is dry", given: []any{shut("f2")}, when: shut("f3"), then: "feed.shut-off feed.alarm-raised"},
		{name: "a leg shut while the other was left shut", given: []any{leave("f2", events.Shut)}, when: shut("f3"), then: "feed.shut-off feed.alarm-raised"},
		{name: "a leg shut while the other is left impaired", given: []any{leave("f2", events.Impaired)}, when: shut("f3"), then: "feed.shut-off"},
		{name: "downstream shut while upstream is dry", given: []any{shut("f1")}, when: shut("f4"), then: "feed.shut-off feed.alarm-raised"},
		{name: "upstream shut while downstream is dry", given: []any{shut("f4")}, when: shut("f1"), then: "feed.shut-off feed.alarm-raised"},
		{name: "another feed of the site is dry", given: []any{shut("f1")}, when: shut("f2"), then: "feed.shut-off"},
		{name: "a leg left shut while the other is left shut", given: []any{leave("f2", events.Shut)}, when: leave("f3", events.Shut), then: "feed.as-left feed.alarm-raised"},
		{name: "shut no feed", when: shut("fx"), refused: `no feed "fx"`},
		{name: "restored", given: []any{shut("f1")}, when: events.RestoreFeed{Feed: "f1", Crew: "c1"}, then: "feed.restored", after: out("f1", false)},
		{name: "left shut", given: []any{shut("f1")}, when: leave("f1", events.Shut), then: "feed.as-left", after: out("f1", true)},
		{name: "left in service with a valve partly open", when: events.LeaveFeed{Feed: "f1", Condition: events.Condition{Service: events.InService,
			Valves: []events.Valve{{Name: "No. 2 shut-off", State: events.ValvePartly}}}}, then: "feed.as-left", after: out("f1", true)},
		{name: "left shut, then restored by others", given: []any{leave("f1", events.Shut)}, when: events.RestoreFeed{Feed: "f1", By: "the owner"}, then: "feed.restored", after: out("f1", false)},
		{name: "a failed assembly is left in service", given: []any{shut("f1"), fails(3)}, when: leave("f1", events.InService), then: "feed.as-left", after: func(t *testing.T, b *events.Book) {
			out("f1", false)(t, b)
			if !a1(b).NeedsRepair() {
				t.Error("how the feed was left changed the verdict")
			}
		}},
		{name: "a passed assembly's feed is left shut", given: []any{passes(3)}, when: leave("f1", events.Shut), then: "feed.as-left", after: func(t *testing.T, b *events.Book) {
			out("f1", true)(t, b)
			if a1(b).Stage != events.StagePassed {
				t.Error("how the feed was left changed the verdict")
			}
		}},
		{name: "a verdict says nothing of the feed", given: []any{leave("f1", events.Impaired)}, when: passes(3),
			then: "assembly.tested assembly.passed assembly.alarm-raised", after: out("f1", true)},
		{name: "left in no known way", when: leave("f1", "fine"), refused: `in service, impaired or shut (got "fine")`},
		{name: "left no feed", when: leave("fx", events.InService), refused: `no feed "fx"`},
		{name: "restored no feed", when: events.RestoreFeed{Feed: "fx"}, refused: `no feed "fx"`},
	})
}

func TestDecideDay(t *testing.T) {
	out := sendOut(3, job1)
	toC2 := events.Amend{Date: march(3), Amended: events.Amended{Routes: []events.DayRoute{{Crew: "c1"},
		{Crew: "c2", Visits: []events.DayVisit{{Site: "s1", Jobs: []events.DayJob{{JobRef: job1}}}}}}}}
	decide(t, []decision{
		{name: "a wish", when: events.WishFor{Date: march(3), Wish: events.Wish{Site: "s1", Crew: "c1", Hold: true}}, then: "day.wished"},
		{name: "a wish replaces the one before", given: []any{events.WishFor{Date: march(3), Wish: events.Wish{Site: "s1", Crew: "c1"}}},
			when: events.WishFor{Date: march(3), Wish: events.Wish{Site: "s1", Crew: "c2"}}, then: "day.wished", after: func(t *testing.T, b *events.Book) {
				if w := b.Day(office, march(3)).Wishes; len(w) != 1 || w[0].Crew != "c2" {
					t.Errorf("wishes %+v", w)
				}
			}},
		{name: "a wish about no site", when: events.WishFor{Date: march(3), Wish: events.Wish{Site: "sx"}}, refused: `no site "sx"`},
		{name: "a wish for no crew", when: events.WishFor{Date: march(3), Wish: events.Wish{Site: "s1", Crew: "cx"}}, refused: `no crew "cx"`},
		{name: "a wish for no day", when: events.WishFor{Wish: events.Wish{Site: "s1"}}, refused: "which day"},
		{name: "left out without a reason", when: events.WishFor{Date: march(3), Wish: events.Wish{Site: "s1", Out: true}}, refused: "why the visit is left out"},
		{name: "a wish dropped", when: events.DropWish{Date: march(3), Site: "s1"}, then: "day.wish-dropped"},
		{name: "a wish dropped for no day", when: events.DropWish{Site: "s1"}, refused: "which day"},

		{name: "sent out", when: out, then: "day.sent-out"},
		{name: "sent out already", given: []any{out}, when: sendOut(3, job2), refused: "2026-03-03 is sent out already"},
		{name: "no day", when: events.SendOut{}, refused: "which day"},
		{name: "a job that does not exist", when: sendOut(3, noJob), refused: `no job "jx"`},
		{name: "an assembly that does not exist", when: sendOut(3, events.JobRef{Assembly: "ax"}), refused: `no assembly "ax"`},
		{name: "a job that is out on another day", given: []any{out, echo(3, 1, job1)}, when: sendOut(4, job1), refused: "job j1 is already out with 2026-03-03"},
		{name: "a job that was out on a day gone by", given: []any{sendOut(1, job1), echo(1, 1, job1)}, when: sendOut(4, job1), then: "day.sent-out"},
		{name: "a job that is done", given: []any{passes(2)}, when: out, refused: "job j1 needs no visit any more: it is passed"},
		{name: "a job twice", when: sendOut(3, job1, job1), refused: "job j1 is on this day twice"},
		{name: "taken back and sent out again", given: []any{out, events.TakeBack{Date: march(3)}}, when: out, then: "day.sent-out"},

		{name: "amended", given: []any{out}, when: toC2, then: "day.amended", after: func(t *testing.T, b *events.Book) {
			if s := b.Day(office, march(3)).Sent; len(s.Routes) != 2 || len(s.Routes[0].Visits) != 0 {
				t.Errorf("routes %+v", s.Routes)
			}
		}},
		{name: "nothing to amend", when: toC2, refused: "not sent out, so there is nothing to amend"},
		{name: "amended with a job that does not exist", given: []any{out}, refused: `no job "jx"`,
			when: events.Amend{Date: march(3), Amended: events.Amended{Routes: sendOut(3, noJob).Routes}}},
		{name: "taken back", given: []any{out}, when: events.TakeBack{Date: march(3), Why: "snow"}, then: "day.taken-back"},
		{name: "nothing to take back", when: events.TakeBack{Date: march(3)}, refused: "nothing to take back"},

		{name: "the echo on a job", given: []any{out}, when: echo(3, 1, job1), then: "assembly.dispatched"},
		{name: "the echo again", given: []any{out, echo(3, 1, job1)}, when: echo(3, 1, job1)},
		{name: "the echo of a day taken back", given: []any{out, events.TakeBack{Date: march(3)}}, when: echo(3, 1, job1)},
		{name: "the echo of a day that never was", when: echo(3, 1, job1)},
		{name: "the echo of a job that the day does not hold", given: []any{out}, when: echo(3, 1, job2)},
		{name: "the echo on a job that is done", given: []any{out, passes(3)}, when: echo(3, 1, job1)},
		{name: "the late echo of a route that was amended", given: []any{out, toC2}, when: echo(3, 1, job1)},
		{name: "the echo of an amended route", given: []any{out, echo(3, 1, job1), toC2}, then: "assembly.dispatched",
			when: events.EchoDispatch{Day: sentBy(1), Date: march(3), Crew: "c2", JobRef: job1}, after: func(t *testing.T, b *events.Book) {
				if d := a1(b).Dispatched; d == nil || d.Crew != "c2" {
					t.Errorf("dispatched %+v", d)
				}
			}},
		{name: "the echo on no job", given: []any{out}, when: echo(3, 1, noJob), refused: `no job "jx"`},
		{name: "stood down", given: []any{out, echo(3, 1, job1), events.TakeBack{Date: march(3)}}, when: events.EchoStandDown{Date: march(3), JobRef: job1}, then: "assembly.stood-down"},
		{name: "stood down again", given: []any{out, echo(3, 1, job1), events.EchoStandDown{Date: march(3), JobRef: job1}}, when: events.EchoStandDown{Date: march(3), JobRef: job1}},
		{name: "stood down from another day", given: []any{out, echo(3, 1, job1)}, when: events.EchoStandDown{Date: march(4), JobRef: job1}},
		{name: "no job stands down", when: events.EchoStandDown{Date: march(3), JobRef: noJob}, refused: `no job "jx"`},
	})
}

func TestDecideCrewGaugePurveyor(t *testing.T) {
	off := events.SetCrewOff{Crew: "c1", CrewOff: events.CrewOff{Date: march(3), Why: "training"}}
	save := func(mapping string) events.SaveMapping {
		return events.SaveMapping{Purveyor: "pv", MappingSaved: events.MappingSaved{Fingerprint: "ab", Mapping: json.RawMessage(mapping)}}
	}
	list := events.ReceiveList{Purveyor: "pv", ListReceived: events.ListReceived{File: "march.csv", SHA256: "00", AsOf: march(1)}}
	valid := func(want bool) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if got := b.Gauges["g1"].Valid(march(3)); got != want {
				t.Errorf("valid on 3 March: %v, want %v", got, want)
			}
		}
	}
	decide(t, []decision{
		{name: "a crew off", when: off, then: "crew.off", after: func(t *testing.T, b *events.Book) {
			if c := b.Crews["c1"]; c.OffOn(march(3)) != "training" || c.OffOn(march(4)) != "" {
				t.Errorf("off %+v", c.Off)
			}
		}},
		{name: "a crew off again", given: []any{off}, when: off},
		{name: "a crew back", given: []any{off}, when: events.SetCrewBack{Crew: "c1", Date: march(3)}, then: "crew.back", after: func(t *testing.T, b *events.Book) {
			if b.Crews["c1"].OffOn(march(3)) != "" {
				t.Error("still off")
			}
		}},
		{name: "a crew back that was not off", when: events.SetCrewBack{Crew: "c1", Date: march(3)}},
		{name: "no crew off", when: events.SetCrewOff{Crew: "cx"}, refused: `no crew "cx"`},
		{name: "no crew back", when: events.SetCrewBack{Crew: "cx"}, refused: `no crew "cx"`},
		{name: "a gauge dropped", when: events.DropGauge{Gauge: "g1", Why: "fell"}, then: "gauge.dropped", after: valid(false)},
		{name: "a gauge verified", given: []any{events.DropGauge{Gauge: "g1", Why: "fell"}}, when: events.VerifyGauge{Gauge: "g1", GaugeVerified: events.GaugeVerified{CertifiedUntil: march(4)}}, then: "gauge.verified", after: valid(true)},
		{name: "verified until this very day, which does not count", when: events.VerifyGauge{Gauge: "g1", GaugeVerified: events.GaugeVerified{CertifiedUntil: march(3)}}, then: "gauge.verified", after: valid(false)},
		{name: "no gauge dropped", when: events.DropGauge{Gauge: "gx"}, refused: `no gauge "gx"`},
		{name: "no gauge verified", when: events.VerifyGauge{Gauge: "gx"}, refused: `no gauge "gx"`},
		{name: "a mapping", when: save(`{"due": "Due"}`), then: "purveyor.mapping-saved"},
		{name: "the same mapping with other spaces", given: []any{save(`{"due": "Due"}`)}, when: save(`{ "due":"Due" }`)},
		{name: "another mapping", given: []any{save(`{"due": "Due"}`)}, when: save(`{"due": "By"}`), then: "purveyor.mapping-saved"},
		{name: "a mapping that is no JSON", when: save(`{"due"`), refused: "not JSON"},
		{name: "a mapping of no purveyor", when: events.SaveMapping{Purveyor: "px", MappingSaved: events.MappingSaved{Mapping: json.RawMessage(`{}`)}}, refused: `no purveyor "px"`},
		{name: "a list", when: list, then: "purveyor.list-received"},
		{name: "the same list", given: []any{list}, when: list},
		{name: "a list of no purveyor", when: events.ReceiveList{Purveyor: "px"}, refused: `no purveyor "px"`},
	})
}

func TestDecideLists(t *testing.T) {
	list := func(due events.Date) events.ListDue {
		return events.ListDue{Assembly: "a1", NewJob: events.JobID("next-" + due.String()), Due: due, AsOf: march(4), Standing: events.Ours}
	}
	reported := []any{passes(2), events.FileReport{JobRef: job1, On: march(3)}}
	accepted := append(slices.Clone(reported), events.AcceptReport{JobRef: job1, On: march(4)})
	stage := func(want events.Stage, jobs int) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if got := a1(b); got.Stage != want || len(b.Assemblies["a1"].Jobs) != jobs {
				t.Errorf("job %s, %d jobs, want %s, %d", got.Stage, len(b.Assemblies["a1"].Jobs), want, jobs)
			}
		}
	}
	decide(t, []decision{
		{name: "no assembly", when: events.ListDue{Assembly: "ax", Due: march(9)}, refused: `no assembly "ax"`},
		{name: "no due date", when: events.ListDue{Assembly: "a1"}, refused: "say when it is due"},
		{name: "the same again", when: list(march(10))},
		{name: "another date", when: list(march(12)), then: "assembly.deadline-moved"},
		{name: "another standing", when: events.ListDue{Assembly: "a1", NewJob: "n", Due: march(10), AsOf: march(4), Standing: events.NotOurs}, then: "assembly.ordered"},
		{name: "a standing the list does not know", when: events.ListDue{Assembly: "a1", NewJob: "n", Due: march(10), AsOf: march(4), Standing: events.Ask}},
		{name: "an older list", when: events.ListDue{Assembly: "a1", NewJob: "n", Due: march(12), AsOf: date("2026-01-01")}},
		{name: "a job without a word whose it is, is to be asked", given: []any{events.Withdraw{JobRef: job1, Why: "x"}},
			when: events.ListDue{Assembly: "a1", NewJob: "n", Due: march(12)}, then: "assembly.due", after: func(t *testing.T, b *events.Book) {
				if j := b.Assemblies["a1"].Job("n"); j.Standing != events.Ask || j.Kind != events.AnnualTest {
					t.Errorf("job %+v", j)
				}
			}},
		{name: "a job without an id", given: []any{events.Withdraw{JobRef: job1, Why: "x"}}, when: events.ListDue{Assembly: "a1", Due: march(12)}, refused: "the new job's id"},
		{name: "a job that was withdrawn, listed under its id", given: []any{events.Withdraw{JobRef: job1, Why: "x"}}, when: events.ListDue{Assembly: "a1", NewJob: "j1", Due: march(10)}},

		{name: "passed and listed for the same date", given: []any{passes(2)}, when: list(march(10)), then: "assembly.not-credited", after: stage(events.StagePassed, 1)},
		{name: "passed and listed again and again", given: []any{passes(2), list(march(10))}, when: list(march(10))},
		{name: "passed and listed in the second half of the year before", given: []any{passes(2)}, when: list(date("2026-08-30")), then: "assembly.not-credited"},
		{name: "passed in the first half of the year before: a new job", given: []any{passes(2)}, when: list(date("2026-09-02")), then: "assembly.due", after: stage(events.StagePassed, 2)},
		{name: "a report nobody accepted does not hide next year's test", given: reported, when: list(date("2027-03-10")), then: "assembly.due", after: stage(events.StageReported, 2)},
		{name: "and next year's test is listed once", given: append(slices.Clone(reported), list(date("2027-03-10"))), when: list(date("2027-03-10"))},
		{name: "accepted and listed in its cycle", given: accepted, when: list(march(20)), then: "assembly.not-credited", after: stage(events.StageAccepted, 1)},
		{name: "accepted and listed for the next year", given: accepted, when: list(date("2027-03-10")), then: "assembly.due"},
		{name: "passed late and listed", given: []any{passes(30)}, when: list(march(10)), then: "assembly.not-credited"},
		{name: "the list itself shows the pass", given: accepted, then: "assembly.due",
			when: events.ListDue{Assembly: "a1", NewJob: "n", Due: march(20), LastTest: march(2)}},
		{name: "the list shows an older test", given: accepted, then: "assembly.not-credited",
			when: events.ListDue{Assembly: "a1", NewJob: "n", Due: march(20), LastTest: date("2025-03-10")}},

		{name: "a failure taken over", when: events.CarryOver{JobRef: job1, FailedOn: march(2), Words: "relief"}, then: "assembly.failed-retest", after: func(t *testing.T, b *events.Book) {
			if f := a1(b).Failure; f == nil || f.RetestBy.On != march(9) { // 7 days, health hazard
				t.Errorf("failure %+v", f)
			}
		}},
		{name: "taken over again", given: []any{events.CarryOver{JobRef: job1, FailedOn: march(2)}}, when: events.CarryOver{JobRef: job1, FailedOn: march(2)}},
		{name: "a second failure taken over keeps the clock", given: []any{fails(2)}, when: events.CarryOver{JobRef: job1, FailedOn: march(5)}, then: "assembly.failed-retest",
			after: func(t *testing.T, b *events.Book) {
				if f := a1(b).Failure; f.RetestBy.On != march(9) {
					t.Errorf("retest by %s, want 9 March", f.RetestBy.On)
				}
			}},
		{name: "taken over with its date, although no purveyor is known", when: events.CarryOver{JobRef: job2, FailedOn: march(2), RetestBy: march(6)}, then: "assembly.failed-retest",
			after: func(t *testing.T, b *events.Book) {
				if f := b.Assemblies["a2"].Job("j2").Failure; !f.RetestBy.Known || f.RetestBy.On != march(6) {
					t.Errorf("failure %+v", f)
				}
			}},
		{name: "taken over without a rule: not known, never no deadline", when: events.CarryOver{JobRef: job2, FailedOn: march(2)}, then: "assembly.failed-retest",
			after: func(t *testing.T, b *events.Book) {
				if f := b.Assemblies["a2"].Job("j2").Failure; f.RetestBy.Known || !strings.HasPrefix(f.RetestBy.Rule, "not known: ask") {
					t.Errorf("failure %+v", f)
				}
			}},
		{name: "taken over without a day", when: events.CarryOver{JobRef: job1}, refused: "on which day it failed"},
		{name: "taken over after it passed", given: []any{passes(2)}, when: events.CarryOver{JobRef: job1, FailedOn: march(1)}, refused: "needs no visit any more"},
		{name: "taken over on no job", when: events.CarryOver{JobRef: noJob, FailedOn: march(1)}, refused: `no job "jx"`},

		{name: "ours after all", when: events.SetStanding{JobRef: job2, Standing: events.Ours}, then: "assembly.ordered"},
		{name: "ours already", when: events.SetStanding{JobRef: job1, Standing: events.Ours}},
		{name: "nobody's", when: events.SetStanding{JobRef: noJob, Standing: events.Ours}, refused: `no job "jx"`},
		{name: "a question", when: events.QuestionJob{JobRef: job1, Words: "which building?"}, then: "assembly.questioned"},
		{name: "the same question", given: []any{events.QuestionJob{JobRef: job1, Words: "which building?"}}, when: events.QuestionJob{JobRef: job1, Words: "which building?"}},
	})
}

func TestDecideFinish(t *testing.T) {
	sent := []any{sendOut(3, job1), echo(3, 1, job1)}
	after := func(more ...any) []any { return append(slices.Clone(sent), more...) }
	neither := func(stage events.Stage) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != stage || j.Failure != nil || j.NeedsRepair() || j.Dispatched != nil || !j.PassedOn.IsZero() || !j.NeedsVisit() {
				t.Errorf("job %+v, want it %s and neither passed nor failed", j, stage)
			}
			alarms(t, b)
		}
	}
	stopped, due := neither(events.StageStopped), neither(events.StageDue)
	repaired := events.FinishJob{JobRef: job1, Crew: "c1", Day: march(3), Outcome: events.OutcomeRepairedPassed, Initial: rpTest("4.9", "1.8", events.OpinionFail),
		Repair: &events.Repaired{Cleaned: true}, Final: rpTest("6.0", "2.4", events.OpinionPass)}
	newUnit := events.FinishJob{JobRef: job1, Crew: "c1", Day: march(3), Outcome: events.OutcomeReplaced, New: &events.Replaced{Serial: "N-1", Type: events.RP}}
	newUnitTested := newUnit
	newUnitTested.Final = rpTest("6.0", "2.4", events.OpinionPass)
	wrong := ends(events.OutcomeWrongType, "")
	wrong.Seen = events.DC
	ranOutOpened := ends(events.OutcomeRanOut, "")
	ranOutOpened.Repair = &events.Repaired{Cleaned: true}
	otherCrew, badGauge, sayPass, noNew, half := passes(3), passes(3), passes(3), newUnit, passes(3)
	otherCrew.Crew = "c2"
	badGauge.Initial = rpTest("6.0", "2.4", events.OpinionPass)
	badGauge.Initial.Gauge = "gx"
	sayPass.Initial = rpTest("4.9", "1.8", events.OpinionPass)
	noNew.New = &events.Replaced{Serial: " ", Type: events.RP}
	half.New = &events.Replaced{Serial: "N-1"}
	decide(t, []decision{
		{name: "passed", given: sent, when: passes(3), then: "assembly.tested assembly.passed", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != events.StagePassed || j.PassedOn != march(3) || j.Dispatched != nil || j.ReportBy.On != march(16) { // 10 business days from the test on the 2nd, by the story's clock
				t.Errorf("job %+v, report by %+v", j, j.ReportBy)
			}
			alarms(t, b)
		}},
		{name: "failed", given: sent, when: fails(3), then: "assembly.tested assembly.failed-retest", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Stage != events.StageFailedRetest || j.Failure.Words != "relief opens too low" || !j.Tests[0].Computed.Fail {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "a second failure keeps the clock", given: after(fails(3)), when: fails(6), then: "assembly.tested assembly.failed-retest assembly.alarm-raised",
			after: func(t *testing.T, b *events.Book) {
				if f := a1(b).Failure; f.On != march(6) || f.RetestBy.On != march(9) { // 7 days from 2 March, when the clock of the story stands
					t.Errorf("failure %+v", f)
				}
			}},
		{name: "repaired and passed", given: sent, when: repaired, then: "assembly.tested assembly.repaired assembly.tested assembly.passed",
			after: func(t *testing.T, b *events.Book) {
				if j := a1(b); j.LastResult != events.OutcomeRepairedPassed || len(j.Tests) != 2 {
					t.Errorf("job %+v", j)
				}
				alarms(t, b)
			}},
		{name: "could not test", given: sent, when: ends(events.OutcomeCouldNotTest, "flooded"), then: "assembly.could-not-test", after: stopped},
		{name: "not found", given: sent, when: ends(events.OutcomeNotFound, ""), then: "assembly.not-found", after: stopped},
		{name: "removed", given: sent, when: ends(events.OutcomeRemoved, ""), then: "assembly.removed", after: stopped},
		{name: "owner refused", given: sent, when: ends(events.OutcomeRefused, ""), then: "assembly.owner-refused", after: stopped},
		{name: "wrong type", given: sent, when: wrong, then: "assembly.wrong-type", after: func(t *testing.T, b *events.Book) {
			stopped(t, b)
			if b.Assemblies["a1"].Type != events.DC {
				t.Error("the type that was seen is not on record")
			}
		}},
		{name: "no access", given: sent, when: ends(events.OutcomeNoAccess, ""), then: "assembly.no-access", after: due},
		{name: "ran out of window", given: sent, when: ends(events.OutcomeRanOut, ""), then: "assembly.ran-out-of-window", after: due},
		{name: "ran out of window with the unit opened: the repair is told once", given: sent, when: ranOutOpened, then: "assembly.repaired assembly.ran-out-of-window", after: due},
		{name: "replaced, its initial test owed", given: sent, when: newUnit, then: "assembly.replaced", after: func(t *testing.T, b *events.Book) {
			due(t, b)
			if a := b.Assemblies["a1"]; a.Serial != "N-1" || len(a.Serials) != 1 {
				t.Errorf("assembly %+v", a)
			}
		}},
		{name: "replaced and tested", given: sent, when: newUnitTested, then: "assembly.replaced assembly.tested assembly.passed"},
		{name: "a failure whose unit is replaced owes nothing from before", given: after(fails(3)), when: newUnit, then: "assembly.replaced",
			after: func(t *testing.T, b *events.Book) {
				if j := a1(b); j.Failure != nil || j.Stage != events.StageDue {
					t.Errorf("job %+v", j)
				}
			}},
		{name: "a stopped job that is failed after all is not stopped", given: []any{ends(events.OutcomeNotFound, "")}, when: fails(3),
			then: "assembly.tested assembly.failed-retest assembly.alarm-raised", after: func(t *testing.T, b *events.Book) {
				if j := a1(b); j.Stopped != nil || j.Stage != events.StageFailedRetest {
					t.Errorf("job %+v", j)
				}
			}},

		// Alarms stand beside the fact and never in its place.
		{name: "on no sent-out day", when: passes(3), then: "assembly.tested assembly.passed assembly.alarm-raised",
			after: func(t *testing.T, b *events.Book) { alarms(t, b, "on no sent-out day") }},
		{name: "by another crew", given: sent, when: otherCrew, then: "assembly.tested assembly.passed assembly.alarm-raised",
			after: func(t *testing.T, b *events.Book) { alarms(t, b, "another crew") }},
		{name: "with a gauge that is not on record", given: sent, when: badGauge, then: "assembly.tested assembly.passed assembly.alarm-raised",
			after: func(t *testing.T, b *events.Book) { alarms(t, b, "gauge of the test is not on record") }},
		{name: "with a gauge that was dropped", given: after(events.DropGauge{Gauge: "g1", Why: "fell"}), when: passes(3), then: "assembly.tested assembly.passed assembly.alarm-raised",
			after: func(t *testing.T, b *events.Book) { alarms(t, b, "not valid on that day") }},
		{name: "passed against the criteria: the tester's word stands", given: sent, when: sayPass, then: "assembly.tested assembly.passed assembly.alarm-raised",
			after: func(t *testing.T, b *events.Book) {
				alarms(t, b, "the tester says pass")
				if j := a1(b); j.Stage != events.StagePassed || !j.Tests[0].Disagrees() {
					t.Errorf("job %+v", j)
				}
			}},
		{name: "a setback that comes late does not undo the pass", given: after(passes(4)), when: ends(events.OutcomeCouldNotTest, "flooded"),
			then: "assembly.could-not-test assembly.alarm-raised assembly.alarm-raised", after: func(t *testing.T, b *events.Book) {
				alarms(t, b, "already passed", "which one holds?")
				if j := a1(b); j.Stage != events.StagePassed || j.Stopped != nil || len(j.Attempts) != 2 {
					t.Errorf("job %+v", j)
				}
			}},
		{name: "an older pass after a newer failure", given: after(fails(6)), when: passes(5), then: "assembly.tested assembly.passed assembly.alarm-raised assembly.alarm-raised",
			after: func(t *testing.T, b *events.Book) {
				alarms(t, b, "on no sent-out day", "one of 2026-03-06 (failed) was recorded before it")
			}},
		{name: "a failure after it was withdrawn is owed", given: []any{events.Withdraw{JobRef: job1, Why: "sold"}}, when: fails(3),
			then: "assembly.tested assembly.failed-retest assembly.alarm-raised", after: func(t *testing.T, b *events.Book) {
				alarms(t, b, "already withdrawn")
				if !a1(b).NeedsRepair() {
					t.Error("a failed assembly is owed a repair")
				}
			}},

		{name: "passed without readings", when: ends(events.OutcomePassed, ""), refused: "record the readings"},
		{name: "failed without readings", when: ends(events.OutcomeFailed, ""), refused: "record the readings"},
		{name: "repaired and passed without a retest", when: events.FinishJob{JobRef: job1, Outcome: events.OutcomeRepairedPassed, Initial: rpTest("1", "1", "")}, refused: "the retest comes before the verdict"},
		{name: "could not test, without a reason", when: ends(events.OutcomeCouldNotTest, ""), refused: "say why it could not be tested: shut-off-would-not-hold, cock-broken, buried, flooded, no-pressure, winterised, vacant"},
		{name: "replaced by nothing", when: ends(events.OutcomeReplaced, ""), refused: "the new serial and type"},
		{name: "replaced by a unit without a serial", when: noNew, refused: "the new serial and type"},
		{name: "passed on a new unit of no type", when: half, refused: "the new serial and type"},
		{name: "wrong type, without the right one", when: ends(events.OutcomeWrongType, ""), refused: "which type of assembly is there"},
		{name: "no outcome", when: ends("", ""), refused: `"" is not an outcome of a visit`},
		{name: "no job", when: events.FinishJob{JobRef: noJob, Outcome: events.OutcomeNotFound}, refused: `no job "jx"`},
	})
}

func TestDecideRepairAndReport(t *testing.T) {
	kit := []events.PartWanted{{Code: "RK-1"}}
	pending := []any{fails(3), events.WantParts{JobRef: job1, Parts: kit}}
	with := func(given []any, more ...any) []any { return append(slices.Clone(given), more...) }
	ready := events.ReadyParts{JobRef: job1, Where: "truck A", Items: []events.KitID{"k1"}}
	file := events.FileReport{JobRef: job1, On: march(5)}
	filed := []any{passes(3), file}
	yes := events.SayYesToRepair{JobRef: job1, RepairYes: events.RepairYes{Basis: "quote", On: march(4)}}
	stage := func(want events.Stage) func(*testing.T, *events.Book) {
		return func(t *testing.T, b *events.Book) {
			if got := a1(b).Stage; got != want {
				t.Errorf("the job is %s, want %s", got, want)
			}
		}
	}
	decide(t, []decision{
		{name: "yes to repair", given: []any{fails(3)}, when: yes, then: "assembly.repair-authorised"},
		{name: "yes again", given: []any{fails(3), yes}, when: yes},
		{name: "yes to repair what has not failed", when: yes, refused: "job j1 has not failed (it is due)"},
		{name: "parts wanted", given: []any{fails(3)}, when: events.WantParts{JobRef: job1, Parts: kit}, then: "assembly.parts-pending", after: stage(events.StagePartsPending)},
		{name: "the same parts again", given: pending, when: events.WantParts{JobRef: job1, Parts: kit}},
		{name: "no parts", given: []any{fails(3)}, when: events.WantParts{JobRef: job1}, refused: "which repair kits are needed"},
		{name: "parts for what has not failed", when: events.WantParts{JobRef: job1, Parts: kit}, refused: "has not failed"},
		{name: "parts ready", given: pending, when: ready, then: "assembly.parts-ready kit.reserved", after: func(t *testing.T, b *events.Book) {
			stage(events.StagePartsReady)(t, b)
			if k := b.Kits["k1"]; k.For == nil || *k.For != job1 || k.Where != "truck A" {
				t.Errorf("kit %+v", k)
			}
		}},
		{name: "parts ready again", given: with(pending, ready), when: ready},
		{name: "parts ready that are not tracked", given: pending, when: events.ReadyParts{JobRef: job1, Where: "shop"}, then: "assembly.parts-ready"},
		{name: "and again", given: with(pending, events.ReadyParts{JobRef: job1, Where: "shop"}), when: events.ReadyParts{JobRef: job1, Where: "shop"}},
		{name: "no such kit", given: pending, when: events.ReadyParts{JobRef: job1, Items: []events.KitID{"kx"}}, refused: `no repair kit "kx"`},
		{name: "another kit than is wanted", given: pending, when: events.ReadyParts{JobRef: job1, Items: []events.KitID{"k2"}}, refused: "is a RK-2, and a RK-1 is wanted"},
		{name: "one kit for two", given: []any{fails(3), events.WantParts{JobRef: job1, Parts: []events.PartWanted{{Code: "RK-1"}, {Code: "RK-1"}}}},
			when: events.ReadyParts{JobRef: job1, Items: []events.KitID{"k1", "k1"}}, refused: "k1 is named twice"},
		{name: "a kit that is reserved for another job", given: with(pending, ready, events.CarryOver{JobRef: job2, FailedOn: march(2)}, events.WantParts{JobRef: job2, Parts: kit}),
			when: events.ReadyParts{JobRef: job2, Items: []events.KitID{"k1"}}, refused: "reserved for job j1"},
		{name: "parts for what has not failed are not ready", when: ready, refused: "has not failed"},
		{name: "parts for no job", when: events.ReadyParts{JobRef: noJob}, refused: `no job "jx"`},

		{name: "the way cleared", given: []any{ends(events.OutcomeCouldNotTest, "flooded")}, when: events.ClearWay{JobRef: job1}, then: "assembly.way-cleared", after: stage(events.StageDue)},
		{name: "a failure that was stopped stays a failure", given: []any{fails(2), ends(events.OutcomeRefused, "")}, when: events.ClearWay{JobRef: job1}, then: "assembly.way-cleared", after: stage(events.StageFailedRetest)},
		{name: "stopped with parts pending", given: with(pending, ends(events.OutcomeRefused, "")), when: events.ClearWay{JobRef: job1}, then: "assembly.way-cleared", after: stage(events.StagePartsPending)},
		{name: "stopped with parts ready", given: with(pending, ready, ends(events.OutcomeRefused, "")), when: events.ClearWay{JobRef: job1}, then: "assembly.way-cleared", after: stage(events.StagePartsReady)},
		{name: "nothing in the way", when: events.ClearWay{JobRef: job1}, refused: "only a job that is stopped"},

		{name: "report filed", given: []any{passes(3)}, when: file, then: "assembly.reported", after: stage(events.StageReported)},
		{name: "nothing to report", when: file, refused: "only a job that is passed has a report to file; job j1 is due"},
		{name: "a failure's report accepted", given: []any{fails(2), events.FileReport{JobRef: job1, On: march(3)}}, when: events.AcceptReport{JobRef: job1, On: march(4)},
			then: "assembly.failure-report-accepted", after: func(t *testing.T, b *events.Book) {
				if j := b.Assemblies["a1"].Jobs[0]; j.FailAccepted != march(4) || !j.NeedsRepair() {
					t.Errorf("accepted %s, the job is %s", j.FailAccepted, j.Stage)
				}
			}},
		{name: "a failure's report that was not filed cannot be accepted", given: []any{fails(2)}, when: events.AcceptReport{JobRef: job1, On: march(4)}, refused: "is not filed"},
		{name: "a failure's report that was accepted does not come back", given: []any{fails(2), events.FileReport{JobRef: job1, On: march(3)}, events.AcceptReport{JobRef: job1, On: march(4)}},
			when: events.ReturnReport{JobRef: job1, On: march(5), Why: "no gauge"}, refused: "only a job that is reported"},
		{name: "report accepted", given: filed, when: events.AcceptReport{JobRef: job1, On: march(6)}, then: "assembly.report-accepted", after: stage(events.StageAccepted)},
		{name: "accepted before it was filed", given: []any{passes(3)}, when: events.AcceptReport{JobRef: job1}, refused: "only a job that is reported has a report to be accepted; job j1 is passed"},
		{name: "report returned", given: filed, when: events.ReturnReport{JobRef: job1, On: march(6), Why: "no gauge serial"}, then: "assembly.report-returned", after: stage(events.StageReturned)},
		{name: "returned before it was filed", when: events.ReturnReport{JobRef: job1}, refused: "has a report to be returned"},
		{name: "returned and filed again", given: with(filed, events.ReturnReport{JobRef: job1, Why: "x"}), when: file, then: "assembly.reported"},

		{name: "withdrawn", given: []any{sendOut(3, job1), echo(3, 1, job1)}, when: events.Withdraw{JobRef: job1, Why: "sold"}, then: "assembly.withdrawn", after: func(t *testing.T, b *events.Book) {
			if j := a1(b); j.Open() || j.Dispatched != nil {
				t.Errorf("job %+v", j)
			}
		}},
		{name: "withdrawn twice", given: []any{events.Withdraw{JobRef: job1}}, when: events.Withdraw{JobRef: job1}, refused: "job j1 is over: it is withdrawn"},
	})
}
