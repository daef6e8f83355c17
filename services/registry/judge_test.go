package registry_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"valveround/events"
	"valveround/geo"
	"valveround/services/registry"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func book(t *testing.T) *events.Book {
	t.Helper()
	b := events.NewBook()
	for i, do := range []any{
		events.Put[events.PurveyorFacts]{ID: "pv", Facts: events.PurveyorFacts{Name: "Water", Zone: "America/Chicago"}},
		events.Put[events.SiteFacts]{ID: "s1", Facts: events.SiteFacts{Name: "Mill", Zone: "America/Chicago", AccessHours: "24/7"}},
		events.Put[events.FeedFacts]{ID: "f1", Facts: events.FeedFacts{Site: "s1", Name: "main", ShutdownWindow: "24/7"}},
		events.Put[events.PersonFacts]{ID: "p1"},
	} {
		batch, err := events.Prepare(b, events.Command{ID: events.CommandID{byte(i + 1)}, Office: "north", Happened: noon, Do: do}, noon)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range batch {
			a.Seq = b.Position() + 1
			b.Apply(a.Record)
		}
	}
	return b
}

// faulty lists the fields an error names.
func faulty(err error) []string {
	var fields []string
	var walk func(error)
	walk = func(err error) {
		var field *registry.FieldError
		if joined, ok := err.(interface{ Unwrap() []error }); ok {
			for _, e := range joined.Unwrap() {
				walk(e)
			}
		} else if errors.As(err, &field) && !slices.Contains(fields, field.Field) {
			fields = append(fields, field.Field)
		}
	}
	walk(err)
	slices.Sort(fields)
	return fields
}

func TestJudge(t *testing.T) {
	home := geo.MustPoint(41, -95)
	for _, c := range []struct {
		name  string
		facts any
		want  []string
	}{
		{"a good customer", events.CustomerFacts{Name: "Mill Ltd", Repair: "ask"}, nil},
		{"a customer without a name", events.CustomerFacts{Repair: "perhaps", RepairLimitUSD: -1}, []string{"name", "repair", "repair_limit_usd"}},
		{"a good site", events.SiteFacts{Name: "Mill", Zone: "America/Chicago", AccessHours: "Mo-Fr 05:00-09:00"}, nil},
		{"hours that cannot be read", events.SiteFacts{Name: "Mill", Zone: "Mars/North", AccessHours: "early", Customer: "c9"},
			[]string{"access_hours", "customer", "zone"}},
		{"a position that is said and not given", events.SiteFacts{Name: "Mill", Zone: "UTC", AccessHours: "24/7", PositionSource: events.Surveyed}, []string{"position"}},
		{"a good feed", events.FeedFacts{Site: "s1", Name: "main", ShutdownWindow: "24/7", FedFrom: "f1"}, nil},
		{"a feed of nowhere", events.FeedFacts{Site: "s9", ShutdownWindow: "", Season: "warm", FedFrom: "f9"},
			[]string{"fed_from", "name", "season", "shutdown_window", "site"}},
		{"a good assembly", events.AssemblyFacts{Site: "s1", Feed: "f1", Purveyor: "pv", Type: events.RP}, nil},
		{"an assembly with everything wrong", events.AssemblyFacts{Site: "s1", Feed: "f9", Purveyor: "pv9", Type: "XX", Service: "tea", Hazard: "some", Vault: "deep", Bypass: &events.BypassFacts{}},
			[]string{"bypass", "feed", "hazard", "purveyor", "service", "type", "vault"}},
		{"a good crew", events.CrewFacts{Name: "Crew 1", Letter: "A", Zone: "UTC", Hours: "Mo-Fr 06:00-15:00", People: []events.PersonID{"p1"}, Home: home}, nil},
		{"a crew of nobody", events.CrewFacts{Hours: "Mo-Fr", Gauges: []events.GaugeID{"g9"}, OvertimeMinutes: 900},
			[]string{"gauges", "home", "letter", "name", "overtime_minutes", "people", "zone"}},
		{"a crew with a break", events.CrewFacts{Name: "Crew 1", Letter: "A", Zone: "UTC", Hours: "Mo-Fr 06:00-15:00", People: []events.PersonID{"p1"}, Home: home,
			BreakMinutes: 30, BreakFrom: "11:30", BreakTo: "13:30"}, nil},
		{"a break by night", events.CrewFacts{Name: "Crew 1", Letter: "A", Zone: "UTC", Hours: "Mo-Fr 20:00-05:00", People: []events.PersonID{"p1"}, Home: home,
			BreakMinutes: 45, BreakFrom: "23:30", BreakTo: "01:00"}, nil},
		{"a break without times", events.CrewFacts{Name: "Crew 1", Letter: "A", Zone: "UTC", Hours: "Mo-Fr 06:00-15:00", People: []events.PersonID{"p1"}, Home: home,
			BreakMinutes: 30, BreakFrom: "noon"}, []string{"break_from", "break_to"}},
		{"a break longer than its span", events.CrewFacts{Name: "Crew 1", Letter: "A", Zone: "UTC", Hours: "Mo-Fr 06:00-15:00", People: []events.PersonID{"p1"}, Home: home,
			BreakMinutes: 60, BreakFrom: "12:00", BreakTo: "12:30"}, []string{"break_to"}},
		{"a certificate without an end", events.PersonFacts{Credentials: []events.Credential{{Kind: "tester"}}, Registrations: []events.Registration{{Purveyor: "pv9"}}},
			[]string{"credentials", "registrations"}},
		{"a gauge without a certificate", events.GaugeFacts{RegisteredWith: []events.PurveyorID{"pv9"}}, []string{"certified_until", "registered_with", "serial"}},
		{"a kit without a code", events.KitFacts{}, []string{"code"}},
		{"a purveyor with an unknown profile", events.PurveyorFacts{Name: "Water", Zone: "UTC", Criteria: "mine", IntervalMonths: -1}, []string{"criteria_profile", "interval_months"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := faulty(registry.Judge(book(t), c.facts)); !slices.Equal(got, c.want) {
				t.Errorf("fields at fault: %v, want %v", got, c.want)
			}
		})
	}
	if err := registry.Judge(book(t), 7); err == nil {
		t.Error("a number was taken as a form")
	}
}
