package calls_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/calls"
	"valveround/services/words"
)

// needing has a feed that waits for others.
func needing(what events.Brought, whom, phone string) change {
	return func(_ *events.SiteFacts, f *events.FeedFacts, _ *events.AssemblyFacts) {
		f.Needs = append(f.Needs, events.Need{What: what, Whom: whom, Phone: phone})
	}
}

// at is an instant of a day on the clocks of the site.
func at(day string, hour int) time.Time {
	loc, err := time.LoadLocation(zone)
	if err != nil {
		panic(err)
	}
	return date(day).In(loc).Add(time.Duration(hour) * time.Hour)
}

func (o *office) comes(what events.Brought, from time.Time, hours int) {
	o.t.Helper()
	o.do(events.MakeBooking{Site: "s", Booking: events.Booking{What: what, From: from, To: from.Add(time.Duration(hours) * time.Hour)}})
}

// TestWhoIsToBeBooked: who must be asked to come, as it follows from the record.
func TestWhoIsToBeBooked(t *testing.T) {
	valve := needing(events.StreetValve, "Valve desk", "555-0142")
	tests := []struct {
		name   string
		change []change
		after  func(*office)
		want   string // parties by name and what
		says   string // the first of them
	}{
		{name: "nothing is needed"},
		{name: "a desk by name", change: []change{valve}, want: "street-valve Valve desk 555-0142", says: "Ask for the street valve to be worked"},
		{name: "the purveyor where no desk is named", change: []change{needing(events.StreetValve, "", "")}, want: "street-valve Millbrook Water", says: "It could be Tue 3 Mar 06:00–09:00"},
		{name: "the alarm company of the site", change: []change{needing(events.AlarmCompany, "", "")}, want: "alarm-company alarm", says: "on test"},
		{name: "an escort of the customer", change: []change{needing(events.Escort, "", "")}, want: "escort Kitchens", says: "someone to go with the crew"},
		{name: "a pump-out", change: []change{needing(events.PumpOut, "Drain firm", "")}, want: "pump-out Drain firm", says: "pumped out"},
		{name: "booked in time", change: []change{valve}, after: func(o *office) { o.comes(events.StreetValve, at("2026-03-04", 6), 3) }},
		{name: "booked after the deadline", change: []change{valve}, after: func(o *office) { o.comes(events.StreetValve, at("2026-03-12", 6), 3) },
			want: "street-valve Valve desk 555-0142", says: "is booked for Thu 12 Mar, which is after the deadline"},
		{name: "booked, and over", change: []change{valve}, after: func(o *office) { o.comes(events.StreetValve, at("2026-03-01", 6), 3) },
			want: "street-valve Valve desk 555-0142"},
		{name: "one of two is booked", change: []change{valve, needing(events.AlarmCompany, "Watch desk", "")}, after: func(o *office) { o.comes(events.StreetValve, at("2026-03-04", 6), 3) },
			want: "alarm-company Watch desk", says: "The purveyor at the street valve (Valve desk) is booked for Wed 4 Mar: ask for the same day."},
		{name: "two are booked for different days", change: []change{valve, needing(events.AlarmCompany, "Watch desk", "")}, after: func(o *office) {
			o.comes(events.StreetValve, at("2026-03-05", 6), 3)
			o.comes(events.AlarmCompany, at("2026-03-04", 6), 3)
		}, want: "street-valve Valve desk 555-0142", says: "The alarm company (Watch desk) is booked for Wed 4 Mar: ask for the same day."},
		{name: "both on one day", change: []change{valve, needing(events.AlarmCompany, "Watch desk", "")}, after: func(o *office) {
			o.comes(events.StreetValve, at("2026-03-05", 6), 3)
			o.comes(events.AlarmCompany, at("2026-03-05", 6), 3)
		}},
		{name: "word was left", change: []change{valve}, after: func(o *office) {
			o.do(events.AskBooking{What: events.StreetValve, Places: []events.BookingPlace{{Site: "s", Feed: "s"}}, Answer: events.AnswerLeftWord, Whom: "Valve desk"})
		}, want: "street-valve Valve desk 555-0142"},
		{name: "they come", change: []change{valve}, after: func(o *office) {
			o.do(events.AskBooking{What: events.StreetValve, Places: []events.BookingPlace{{Site: "s", Feed: "s"}}, Answer: events.AnswerBooked, From: at("2026-03-04", 6), To: at("2026-03-04", 8)})
		}},
		{name: "a shut-off that would not hold", after: stop("shut-off-would-not-hold"), want: "street-valve Millbrook Water", says: "street valve"},
		{name: "a flooded pit", after: stop("flooded"), want: "pump-out Site s"},
		{name: "stopped for what nobody brings", after: stop("cock-broken")},
		{name: "the customer is on hold", change: []change{valve}, after: func(o *office) {
			o.do(events.Put[events.CustomerFacts]{ID: "k", Facts: events.CustomerFacts{Name: "Kitchens", OnHold: "unpaid"}})
		}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			o := newOffice(t)
			o.do(events.Put[events.CustomerFacts]{ID: "k", Facts: events.CustomerFacts{Name: "Kitchens", Repair: "ask"}})
			o.site("s", "k", "2026-03-10", test.change...)
			if test.after != nil {
				test.after(o)
			}
			v := o.list(nil)
			var got []string
			for _, p := range v.Parties {
				got = append(got, strings.TrimSpace(string(p.What)+" "+p.Name+" "+p.Phone))
				if len(p.Places) != 1 || len(p.Places[0].Jobs) != 1 || p.AskBy != date("2026-03-10") {
					t.Errorf("%+v", p)
				}
			}
			if strings.Join(got, ", ") != test.want {
				t.Errorf("to be booked: %q, want %q", got, test.want)
			}
			if len(v.Parties) > 0 && !strings.Contains(v.Parties[0].Say, test.says) {
				t.Errorf("says %q, want %q in it", v.Parties[0].Say, test.says)
			}
			if booked := strings.Contains(v.Headline, "to book others"); booked != (test.want != "") {
				t.Errorf("headline: %s", v.Headline)
			}
		})
	}
}

// stop has the crew find that the job cannot be tested.
func stop(why string) func(*office) {
	return func(o *office) {
		o.do(events.FinishJob{JobRef: events.JobRef{Assembly: "s", Job: "j-s"}, Outcome: events.OutcomeCouldNotTest, Why: why, Day: date("2026-02-27"), Crew: "c1"})
	}
}

// TestBookedIsPlanned: what others must bring is missing from tomorrow's plan, the list says so, and when they are booked in a call
// the plan keeps within their time.
func TestBookedIsPlanned(t *testing.T) {
	o := newOffice(t)
	o.site("s", "", "2026-03-10", needing(events.StreetValve, "Valve desk", ""), func(s *events.SiteFacts, _ *events.FeedFacts, _ *events.AssemblyFacts) { s.NoticeDays = 5 })
	before := o.plan()
	i := slices.IndexFunc(before.LeftOut, func(l planner.LeftOut) bool { return l.Site == "s" })
	if i < 0 {
		t.Fatalf("the plan does without the street valve: %+v", before.Routes)
	}
	v := o.list(&before)
	if len(v.Parties) != 1 || v.Parties[0].JobsIn != 1 {
		t.Fatalf("to be booked: %+v", v.Parties)
	}
	if want := "Site s, main: 1 job with the purveyor at the street valve and a time agreed"; strings.Join(v.Parties[0].Tomorrow, "") != want {
		t.Errorf("lets in %q, want %q", v.Parties[0].Tomorrow, want)
	}
	if c := find(t, v, "site:s"); c.JobsIn != 1 || !strings.Contains(c.Tomorrow[0], "the purveyor at the street valve and a time agreed") {
		t.Errorf("the site's own call: %+v", c.Tomorrow)
	}
	o.do(events.AskBooking{What: events.StreetValve, Places: []events.BookingPlace{{Site: "s", Feed: "s"}}, Answer: events.AnswerRefused, Words: "not this week"})
	for _, l := range o.plan().LeftOut {
		if l.Rule == "booking" && !strings.Contains(l.Reason, "they said no on 2026-03-02") {
			t.Errorf("the reason does not say what they said: %s", l.Reason)
		}
	}
	if last := strings.Join(o.list(nil).Parties[0].Places[0].Last, " "); !strings.Contains(last, "they do not come. Not this week.") {
		t.Errorf("what they said last: %q", last)
	}
	from, to := at("2026-03-03", 7), at("2026-03-03", 8)
	o.do(events.AskBooking{What: events.StreetValve, Places: []events.BookingPlace{{Site: "s", Feed: "s"}}, Answer: events.AnswerBooked, From: from, To: to, Whom: "Valve desk"})
	o.do(events.NoteCall{Sites: []events.SiteID{"s"}, Outcome: events.CallAgreed, From: at("2026-03-03", 6), To: at("2026-03-03", 9)})
	after := o.plan()
	visits := after.Routes[0].Visits
	if len(visits) != 1 || visits[0].WaterOff[0].From.Before(from) || visits[0].WaterOff[0].To.After(to) {
		t.Errorf("planned %+v, left out %+v; the street valve is worked from 07:00 to 08:00", visits, after.LeftOut)
	}
	if v := o.list(&after); len(v.Parties) != 0 {
		t.Errorf("still to be booked: %+v", v.Parties)
	}
}

// TestOneCallForOneDesk: a desk is called once about all the places it is wanted at.
func TestOneCallForOneDesk(t *testing.T) {
	o := newOffice(t)
	o.site("s1", "", "2026-03-12", needing(events.StreetValve, "Valve desk", ""))
	o.site("s2", "", "2026-03-09", needing(events.StreetValve, "Valve desk", "555-0142"))
	o.site("s3", "", "2026-03-09", needing(events.StreetValve, "Another desk", ""))
	v := o.list(nil)
	if len(v.Parties) != 2 {
		t.Fatalf("%d calls: %+v", len(v.Parties), v.Parties)
	}
	var p calls.Party
	for _, x := range v.Parties {
		if x.Name == "Valve desk" {
			p = x
		}
	}
	if p.Phone != "555-0142" || len(p.Places) != 2 || p.Places[0].Site.ID != "s2" || p.AskBy != date("2026-03-09") {
		t.Errorf("%+v", p)
	}
	if want := "This is Northside Testing about 2 places, first of all Site s2, s2 Mill St, main: 2 backflow assemblies to work on, the first by " + words.Day(date("2026-03-09")); !strings.HasPrefix(p.Say, want) {
		t.Errorf("says %q, want %q first", p.Say, want)
	}
}
