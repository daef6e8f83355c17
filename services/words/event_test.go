package words_test

import (
	"context"
	"regexp"
	"strings"
	"testing"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// TestEveryEventHasASentence: whatever the log can hold can be told, also when it says no more than its name.
func TestEveryEventHasASentence(t *testing.T) {
	b, people := events.NewBook(), &words.People{}
	odd := regexp.MustCompile(`\.\.|  |: \.|, \.|\(\)|: [:;,]| [.,;:]|-(shot|ready|pending)|<nil>|0001`)
	for _, name := range events.Vocabulary() {
		t.Run(string(name.Kind)+"."+name.Name, func(t *testing.T) {
			event, err := events.Decode(events.Record{Envelope: events.Envelope{Entity: events.Entity{Office: "north", Kind: name.Kind, ID: "x"},
				Name: name.Name, Version: name.Version}, Body: []byte("{}")})
			if err != nil {
				t.Fatal(err)
			}
			text := words.Sentence(b, people, event)
			switch {
			case text == "":
				t.Fatalf("%T has no sentence", event)
			case strings.ToUpper(text[:1]) != text[:1], !strings.HasSuffix(text, "."):
				t.Errorf("not a sentence: %q", text)
			case odd.MatchString(text) && name.Name != "time-agreed": // an instant of year 1 is no sentence's fault
				t.Errorf("reads oddly: %q", text)
			}
		})
	}
}

func TestNotAnEvent(t *testing.T) {
	if text := words.Sentence(events.NewBook(), &words.People{}, 7); text != "" {
		t.Errorf("a number is told as %q", text)
	}
}

func date(text string) events.Date {
	d, err := events.ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

// before is a test owed before use of what was out of use, by a rule of three months.
func before(since, back string) events.BeforeUse {
	d := events.Disuse{Since: date(since)}
	if back != "" {
		d.Back = date(back)
	}
	owed, _ := events.DisuseRule{Months: 3, Source: "town code"}.Owed(events.OutOfUse, d, events.Date{}, time.UTC)
	return owed
}

// furnished is a book with one crew, one gauge and one feed, put there as folding would.
func furnished() *events.Book {
	b := events.NewBook()
	b.Crews["c1"] = &events.Crew{ID: "c1", CrewFacts: events.CrewFacts{Name: "Crew A", Letter: "A"}}
	b.Gauges["g1"] = &events.Gauge{ID: "g1", GaugeFacts: events.GaugeFacts{Serial: "DG1042"}}
	b.Feeds["f1"] = &events.Feed{ID: "f1", FeedFacts: events.FeedFacts{Site: "s1", Name: "fire line"}}
	b.Sites["s1"] = &events.Site{ID: "s1", SiteFacts: events.SiteFacts{Name: "Corner kitchen", Zone: "America/New_York"}}
	return b
}

func number(text string) *events.Decimal { d := events.MustDecimal(text); return &d }

// failing is a test that the profile usc-10, with its sources, fails: check 1 is below 5.0 psid.
func failing() events.Tested {
	test := events.Test{Gauge: "g1", Tester: "p1", Says: events.OpinionFail, Profile: events.USC10, Readings: []events.Reading{
		{Part: events.MainPart, Component: events.Check1, Number: number("4.9"), Unit: events.PSID},
		{Part: events.MainPart, Component: events.Relief, Number: number("2.0"), Unit: events.PSID, Result: events.Opened},
		{Part: events.MainPart, Component: events.Check2, Result: events.Held},
	}}
	profile, err := events.ProfileByID(events.USC10)
	if err != nil {
		panic(err)
	}
	verdict := test.Judge(profile, events.RP)
	test.Computed = &verdict
	return events.Tested{Job: "j1", Crew: "c1", Test: test}
}

func TestSentences(t *testing.T) {
	newYork, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	disputed, retest := failing(), failing()
	disputed.Says = events.OpinionPass
	retest.Readings = []events.Reading{{Part: events.MainPart, Component: events.Check1, Phase: events.Final, Number: number("6.40"), Unit: events.PSID}}
	retest.Computed, retest.Says = nil, events.OpinionPass
	vacuum := events.Tested{Test: events.Test{Gauge: "g9", Tester: "p9", Says: events.OpinionNotCompleted, ShutOff2: events.Leaked,
		LinePressure: number("62"), LinePressureUnit: "psi", Readings: []events.Reading{
			{Component: events.AirInlet, Number: number("1.2"), Unit: events.PSID, Result: events.Opened, FullyOpen: new(bool)},
			{Component: events.SingleCheck, Result: events.Leaked}}}}
	at := time.Date(2026, 3, 4, 14, 0, 0, 0, time.UTC) // 09:00 in New York
	sevenDays := events.Deadline{Known: true, On: date("2026-03-09"), At: date("2026-03-10").In(newYork), Rule: "7 calendar days after the day of the test"}
	for _, c := range []struct {
		name  string
		event any
		want  string
	}{
		{"due", events.Due{Kind: events.AnnualTest, Due: date("2026-03-10"), Earliest: date("2026-02-08"), List: "march.csv, row 4", Standing: events.Ours},
			"Annual test due by 10 Mar 2026, so says march.csv, row 4. It counts from 8 Feb 2026 on. The job is ours."},
		{"vacant", events.SiteVacant{Disuse: events.Disuse{Since: date("2025-03-01"), By: "owner"}}, "The site stands empty from 1 Mar 2025 on, nobody knows yet when it is used again, says owner."},
		{"out of use", events.FeedOutOfUse{Disuse: events.Disuse{Since: date("2025-12-01"), Back: date("2026-04-15"), By: "manager", Words: "shut for the winter"}},
			"The feed is out of use from 1 Dec 2025 on, used again on 15 Apr 2026, says manager. Shut for the winter."},
		{"not out of use", events.FeedOutOfUse{Disuse: events.Disuse{By: "manager", Words: "another feed"}}, "The feed is out of use: taken back, says manager. Another feed."},
		// Three months: codes of Ankeny IA and Clive IA.
		{"before use", events.BeforeUseOwed{BeforeUse: before("2025-12-01", "2026-04-15")},
			"To be tested before use on 2026-04-15, since it was out of use for 3 months or longer (town code). A test counts from 16 Jan 2026 on."},
		{"before use, on a day that is not known", events.BeforeUseOwed{BeforeUse: before("2025-12-01", "")},
			"To be tested before it is used again, on a day that is not known: ask when it is used again; it is tested before that, since it was out of use for 3 months or longer (town code)."},
		{"before no use", events.BeforeUseLifted{Why: events.OutOfUse, Words: "another feed"}, "No test is owed any more for want of use: another feed."},
		{"tested", failing(),
			"Tested by Bo Wren with gauge DG1042: check 1 4.9 psid, relief opened at 2.0 psid, check 2 held. Check 1 was 2.9 psid above the relief's opening. Tester says fail; usc-10 says fail."},
		{"disputed", disputed, "Tested by Bo Wren with gauge DG1042: check 1 4.9 psid, relief opened at 2.0 psid, check 2 held. Check 1 was 2.9 psid above the relief's opening. Tester says pass; usc-10 says fail (" +
			strings.Join(disputed.Computed.Why(), "; ") + "): both are kept."},
		{"retested", retest, "Retested after the repair by Bo Wren with gauge DG1042: check 1 6.40 psid. Tester says pass."},
		{"not completed", vacuum,
			"Tested by p9 with gauge g9: line pressure 62 psi, No. 2 shut-off leaked, air inlet opened at 1.2 psid, not fully open, check leaked. Tester says not completed."},
		// 7 days: Carthage, North Carolina, cross-connection rules, for health hazards.
		{"failed", events.FailedRetest{On: date("2026-03-02"), Words: "check 1 too low.", RetestBy: sevenDays},
			"Failed: check 1 too low. Repair and retest owed by 9 Mar 2026 (7 calendar days after the day of the test)."},
		{"failed, to be told", events.FailedRetest{RetestBy: events.Deadline{Rule: "not known: ask the purveyor for its rule"},
			PhoneBy:  events.Deadline{Known: true, On: date("2026-03-03"), At: time.Date(2026, 3, 3, 9, 30, 0, 0, newYork)},
			ReportBy: events.Deadline{Known: true, On: date("2026-03-04"), At: date("2026-03-05").In(newYork)}},
			"Failed. Repair and retest owed by a day that is not known: ask the purveyor for its rule. To be told to the purveyor by telephone by 09:30 on 3 Mar 2026. Report of the failure owed by 4 Mar 2026."},
		{"passed without a purveyor", events.Passed{Repaired: true}, "Repaired and passed. Report owed by a day that is not known: ask."},
		{"parts", events.PartsPending{Parts: []events.PartWanted{{Code: "RK-1", Component: events.Check1, Promised: date("2026-03-04")}, {Code: "RK-2"}}},
			"Waits for parts: RK-1 for check 1, promised for 4 Mar 2026; RK-2, no day promised."},
		{"parts ready", events.PartsReady{Parts: []events.PartWanted{{Code: "RK-1", Item: "k1", Where: "c1"}, {Code: "RK-2", Item: "k2", Where: "shop"}}},
			"All parts are at hand and reserved for this job: RK-1, on the truck of Crew A; RK-2, at shop."},
		{"yes", events.RepairAuthorised{RepairYes: events.RepairYes{Basis: "quote", LimitUSD: 400, By: "p1", On: date("2026-03-03")}},
			"The owner said yes to the repair on 3 Mar 2026, by Bo Wren: to a quote, no more than 400 USD."},
		{"repaired", events.Repaired{Cleaned: true, Fitted: []events.PartWanted{{Code: "RK-1", Component: events.Check1}}, Words: "seat scored"},
			"Repaired: cleaned, fitted RK-1 for check 1. Seat scored. A retest comes before it counts as returned to service."},
		{"could not test", events.CouldNotTest{Why: "shut-off-would-not-hold", Words: "needs the street valve"},
			"Could not be tested, neither a pass nor a fail: shut-off would not hold. Needs the street valve."},
		{"wrong type", events.WrongType{Record: events.RP, Seen: events.DC}, "On record as reduced pressure, seen to be double check."},
		{"agreed", events.TimeAgreed{AgreedTime: events.AgreedTime{Feed: "f1", From: at, To: at.Add(2 * time.Hour), With: "p1"}},
			"Agreed that the fire line water may be off from 09:00 on 4 Mar 2026 to 11:00, with Bo Wren."},
		{"agreed over midnight", events.TimeAgreed{AgreedTime: events.AgreedTime{From: at.Add(14 * time.Hour), To: at.Add(16 * time.Hour)}},
			"Agreed that the water may be off from 23:00 on 4 Mar 2026 to 01:00 on 5 Mar 2026."},
		{"booked", events.Booked{Booking: events.Booking{What: events.StreetValve, Feed: "f1", From: at, To: at.Add(2 * time.Hour), Whom: "County Water, dispatch", Reference: "W 7781"}},
			"The purveyor at the street valve (County Water, dispatch) for fire line from 09:00 on 4 Mar 2026 to 11:00: booked, reference W 7781."},
		{"others were asked", events.BookingAsked{What: events.StreetValve, Feed: "f1", Answer: events.AnswerRefused, On: events.NewDate(2026, 3, 2), Whom: "County Water, dispatch", Words: "no valve crew that week"},
			"The purveyor at the street valve (County Water, dispatch) for fire line: asked on 2 Mar 2026, they do not come. No valve crew that week."},
		{"booking withdrawn", events.BookingWithdrawn{What: events.Escort, From: at, To: at.Add(2 * time.Hour), Why: "off sick"},
			"An escort from 09:00 on 4 Mar 2026 to 11:00 holds no more: off sick."},
		{"left", events.FeedAsLeft{Crew: "c1", Condition: events.Condition{Service: events.Impaired,
			Valves: []events.Valve{{Name: "No. 1 shut-off", State: events.ValveOpen}, {Name: "No. 2 shut-off", State: events.ValvePartly}},
			Told:   []string{"alarm company", "site manager"}, OnTestUntil: at, Decides: "site manager", Restores: "a new stem", Words: "stem bent"}},
			"Left impaired by Crew A: No. 1 shut-off open, No. 2 shut-off partly open. Stem bent. Told: alarm company, site manager. On test until 09:00 on 4 Mar 2026. Decides: site manager. Restored by: a new stem."},
		{"no access", events.SiteNoAccess{Crew: "c1", Words: "gate locked"}, "Crew A was at the site and nobody let them in. Gate locked."},
		{"wish", events.Wished{Wish: events.Wish{Site: "s1", Hold: true, Crew: "c1", Place: 2}}, "The visit to Corner kitchen is held with Crew A, as stop 2."},
		{"returned", events.ReportReturned{On: date("2026-03-07"), Why: "gauge serial missing"}, "The purveyor sent the report back on 7 Mar 2026: gauge serial missing."},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := words.SentenceIn(furnished(), named(t), c.event, newYork); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

// store keeps details in memory, for a test only.
type store map[string][]byte

func (s store) All(_ context.Context, each func(string, []byte) error) error {
	for key, text := range s {
		if err := each(key, text); err != nil {
			return err
		}
	}
	return nil
}

func (s store) Put(_ context.Context, key string, text []byte) error { s[key] = text; return nil }
func (s store) Get(_ context.Context, key string) ([]byte, error)    { return s[key], nil }
func (s store) Forget(_ context.Context, key string) error           { delete(s, key); return nil }

func named(t *testing.T) *words.People {
	t.Helper()
	people, err := words.LoadPeople(t.Context(), store{"p1": []byte(`{"name":"Bo Wren"}`)})
	if err != nil {
		t.Fatal(err)
	}
	return people
}
