package crew_test

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/geo"
	"valveround/services/crew"
)

var (
	office events.OfficeID = "north"
	day                    = events.NewDate(2026, time.March, 3)
	seven                  = time.Date(2026, time.March, 3, 13, 0, 0, 0, time.UTC)
	ref                    = events.JobRef{Assembly: "a1", Job: "j1"}
	hash                   = strings.Repeat("ab", 32)
)

const id = "0123456789abcdef0123456789abcdef"

func request(kind string, with func(*crew.Request)) crew.Request {
	r := crew.Request{CommandID: id, Happened: seven, Kind: kind, Crew: "c1", Day: day, Site: "s1", Feed: "f1", Assembly: "a1", Job: "j1"}
	if with != nil {
		with(&r)
	}
	return r
}

func TestWhatThePhoneSendsBecomesACommand(t *testing.T) {
	test := &events.Test{Gauge: "g1", Tester: "p1", Says: events.OpinionFail}
	obstacle := events.Obstacle{Which: "No. 1 shut-off", Who: "purveyor", From: seven.Add(3 * time.Hour)}
	at := geo.MustPoint(41, -93)
	for _, row := range []struct {
		name string
		r    crew.Request
		want any
	}{
		{"arrive", request("arrive", nil), events.Arrive{Site: "s1", Crew: "c1", Day: day}},
		{"leave", request("leave", nil), events.Leave{Site: "s1", Crew: "c1", Day: day}},
		{"no access", request("no-access", func(r *crew.Request) { r.Jobs, r.Words = []events.JobRef{ref}, "gate locked" }),
			events.MeetNoAccess{Site: "s1", Crew: "c1", Day: day, Jobs: []events.JobRef{ref}, Words: "gate locked"}},
		{"water off", request("shut-off", nil), events.ShutFeed{Feed: "f1", Crew: "c1"}},
		{"water off at the street", request("shut-off", func(r *crew.Request) { r.By = "purveyor" }), events.ShutFeed{Feed: "f1", Crew: "c1", By: "purveyor"}},
		{"water on", request("restore", nil), events.RestoreFeed{Feed: "f1", Crew: "c1"}},
		{"as left", request("leave-feed", func(r *crew.Request) { r.Condition = &events.Condition{Service: events.Impaired} }),
			events.LeaveFeed{Feed: "f1", Crew: "c1", Condition: events.Condition{Service: events.Impaired}}},
		{"failed", request("finish-job", func(r *crew.Request) {
			r.Outcome, r.Initial, r.Wrong, r.Words = events.OutcomeFailed, test, []events.KitTrouble{{Code: "RK", Why: "serial range"}}, "w"
		}), events.FinishJob{JobRef: ref, Crew: "c1", Day: day, Outcome: events.OutcomeFailed, Initial: test, Words: "w", Wrong: []events.KitTrouble{{Code: "RK", Why: "serial range"}}}},
		{"could not test", request("finish-job", func(r *crew.Request) {
			r.Outcome, r.Why, r.Obstacle = events.OutcomeCouldNotTest, "shut-off-would-not-hold", &obstacle
		}), events.FinishJob{JobRef: ref, Crew: "c1", Day: day, Outcome: events.OutcomeCouldNotTest, Why: "shut-off-would-not-hold", Obstacle: obstacle}},
		{"told", request("tell", func(r *crew.Request) {
			r.Told = &events.PeopleTold{When: events.BeforeShutting, Role: "alarm company", OnTestUntil: seven.Add(time.Hour), Crew: "c9"}
		}), events.Tell{Feed: "f1", PeopleTold: events.PeopleTold{When: events.BeforeShutting, Role: "alarm company", OnTestUntil: seven.Add(time.Hour), Crew: "c1", Day: day}}},
		{"photo", request("photo", func(r *crew.Request) { r.Photo = &events.Photo{SHA256: hash, Shows: "gauge"} }),
			events.TakePhoto{Site: "s1", Assembly: "a1", Photo: events.Photo{SHA256: hash, Shows: "gauge", Job: "j1", Crew: "c1", Day: day}}},
		{"serial", request("serial-seen", func(r *crew.Request) { r.Serial = &events.SerialDiffers{Part: events.MainPart, Seen: "S-1"} }),
			events.SeeSerial{Assembly: "a1", SerialDiffers: events.SerialDiffers{Part: events.MainPart, Seen: "S-1", Job: "j1", Crew: "c1", On: day}}},
		{"position", request("position", func(r *crew.Request) { r.Position = &events.PositionRead{At: at, AccuracyM: 9} }),
			events.ReadPosition{Site: "s1", PositionRead: events.PositionRead{At: at, AccuracyM: 9, Crew: "c1", Day: day}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			c, err := row.r.Command(office, seven.Add(time.Minute))
			if err != nil {
				t.Fatal(err)
			}
			if !reflect.DeepEqual(c.Do, row.want) {
				t.Errorf("does\n%+v, want\n%+v", c.Do, row.want)
			}
			if c.Actor != "c1" || c.Office != office || !c.Happened.Equal(seven) || c.ClockOffset != nil {
				t.Errorf("command %+v: want the crew as actor, at seven, by an unknown clock", c)
			}
		})
	}
}

func TestTheClockAndTheActorOfThePhone(t *testing.T) {
	fiveHours := int64(5 * 3600 * 1000)
	c, err := request("arrive", func(r *crew.Request) { r.Actor, r.ClockOffsetMS = "p1", &fiveHours }).Command(office, seven.Add(time.Minute))
	if err != nil || c.Actor != "p1" || c.ClockOffset == nil || *c.ClockOffset != 5*time.Hour {
		t.Errorf("command %+v, %v", c, err)
	}
}

func TestWhatThePhoneCannotMean(t *testing.T) {
	for _, row := range []struct {
		name string
		r    crew.Request
		says string
	}{
		{"no id", request("arrive", func(r *crew.Request) { r.CommandID = "12" }), "32 hexadecimal digits"},
		{"no time", request("arrive", func(r *crew.Request) { r.Happened = time.Time{} }), "say when it happened"},
		{"no condition", request("leave-feed", nil), "how each shut-off was left"},
		{"no day", request("finish-job", func(r *crew.Request) { r.Day = events.Date{} }), "of which day"},
		{"nothing told", request("tell", nil), "tell: the request says nothing of it"},
		{"no picture", request("photo", nil), "photo: the request says nothing of it"},
		{"no serial", request("serial-seen", nil), "serial-seen: the request says nothing of it"},
		{"no position", request("position", nil), "position: the request says nothing of it"},
		{"no such kind", request("shrug", nil), `"shrug" is not something a phone records`},
	} {
		t.Run(row.name, func(t *testing.T) {
			if _, err := row.r.Command(office, seven.Add(time.Minute)); err == nil || !strings.Contains(err.Error(), row.says) {
				t.Errorf("error %v, want one that says %q", err, row.says)
			}
		})
	}
}

// TestEveryKindHasACommand: whatever the description of the API lets a phone send, some request of that kind is taken.
func TestEveryKindHasACommand(t *testing.T) {
	field, _ := reflect.TypeFor[crew.Request]().FieldByName("Kind")
	for _, kind := range strings.Split(field.Tag.Get("enum"), ",") {
		c, err := request(kind, func(r *crew.Request) {
			r.Condition, r.Told, r.Photo = &events.Condition{Service: events.InService}, &events.PeopleTold{When: events.BeforeShutting, Role: "x"}, &events.Photo{SHA256: hash}
			r.Serial, r.Position, r.Outcome = &events.SerialDiffers{Seen: "x"}, &events.PositionRead{At: geo.MustPoint(1, 1), AccuracyM: 1}, events.OutcomeNotFound
		}).Command(office, seven.Add(time.Minute))
		if err != nil || c.Do == nil {
			t.Errorf("%s: %v", kind, err)
		}
	}
}

// TestAnyRequestProperty: whatever a phone sends is a command, or is answered in words; it never brings the server down.
func TestAnyRequestProperty(t *testing.T) {
	book := events.NewBook()
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SampledFrom([]string{"", "c1", "s1", "a/b", "\x00", strings.Repeat("x", 100)})
		r := crew.Request{CommandID: rapid.SampledFrom([]string{id, "", "zz"}).Draw(t, "id"), Happened: seven, Crew: text.Draw(t, "crew"), Day: day,
			Kind: rapid.SampledFrom([]string{"arrive", "leave", "no-access", "shut-off", "restore", "leave-feed", "finish-job", "tell", "photo", "serial-seen", "position", ""}).Draw(t, "kind"),
			Site: text.Draw(t, "site"), Feed: text.Draw(t, "feed"), Assembly: text.Draw(t, "assembly"), Job: text.Draw(t, "job"), Words: text.Draw(t, "words"),
			Outcome: events.VisitOutcome(text.Draw(t, "outcome"))}
		if rapid.Bool().Draw(t, "with") {
			r.Photo, r.Told, r.Serial, r.Position, r.Condition = &events.Photo{}, &events.PeopleTold{}, &events.SerialDiffers{}, &events.PositionRead{}, &events.Condition{}
			r.Initial, r.Obstacle, r.New = &events.Test{}, &events.Obstacle{}, &events.Replaced{}
		}
		c, err := r.Command(office, seven.Add(time.Minute))
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("refused without words")
			}
			return
		}
		drafts, err := events.Decide(book, c)
		if err != nil || len(drafts) != 1 {
			t.Fatalf("%s on an empty book: %+v, %v, want it kept", r.Kind, drafts, err)
		}
		if kept, ok := drafts[0].Event.(events.FactKept); !ok || kept.Why == "" || !json.Valid(kept.Request) {
			t.Fatalf("%s on an empty book does something: %+v", r.Kind, drafts[0])
		}
	})
}
