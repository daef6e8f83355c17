package planner_test

import (
	"context"
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/planner/durations"
)

// Every number of the settings means something to people, and no meaning is of a setting that is no more.
func TestEverySettingIsExplained(t *testing.T) {
	seen := map[string]bool{}
	for _, x := range planner.DefaultSettings().Explain() {
		if x.Group == "Other" || x.Words == "" || x.Unit == "" || x.Number != x.Default {
			t.Errorf("%+v", x)
		}
		if seen[x.Name] {
			t.Errorf("%s comes twice", x.Name)
		}
		seen[x.Name] = true
	}
	for _, name := range planner.MeaningNames() {
		if !slices.ContainsFunc(planner.DefaultSettings().Values(), func(v planner.Value) bool { return planner.Generic(v.Name) == name }) {
			t.Errorf("%s is no setting any more", name)
		}
	}
}

// What is changed and recorded is what is planned with, whatever it is; what makes no sense is refused.
func TestSettingsThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := planner.DefaultSettings().Values()
		var values []planner.Value
		for range rapid.IntRange(1, 5).Draw(t, "changed") {
			values = append(values, planner.Value{Name: rapid.SampledFrom(names).Draw(t, "name").Name, Number: float64(rapid.IntRange(-5, 2000).Draw(t, "number"))})
		}
		set, err := planner.DefaultSettings().Set(values)
		if err != nil {
			return
		}
		changed, err := set.Changed(planner.DefaultSettings())
		if err != nil {
			t.Fatal(err)
		}
		b := events.NewBook()
		e := events.Entity{Office: "north", Kind: events.KindSettings, ID: "planning"}
		b.Settings[e] = &events.OfficeSettings{Office: "north", SettingsChanged: events.SettingsChanged{Values: changed}}
		back, err := planner.SettingsOf(b, "north")
		if err != nil || !reflect.DeepEqual(back, set) {
			t.Fatalf("%s came back as %+v, %v", changed, back, err)
		}
		if other, err := planner.SettingsOf(b, "south"); err != nil || !reflect.DeepEqual(other, planner.DefaultSettings()) {
			t.Fatalf("another office plans with %+v, %v", other, err)
		}
		if (len(back.Differing()) == 0) != (string(changed) == "{}") {
			t.Fatalf("%s is said as %v", changed, back.Differing())
		}
	})
}

func TestSettingsRefused(t *testing.T) {
	for _, tc := range []struct{ name, values, words string }{
		{"no such setting", `{"coffee_usd": 3}`, "coffee_usd"},
		{"nonsense", `{"crew_hour_usd": -1}`, "crew hour"},
		{"not JSON", `{`, "unexpected end"},
		{"steps out of order", `{"urgency": [{"days_left": 5, "usd": 1}, {"days_left": 2, "usd": 9}]}`, "in the order of days left"},
	} {
		if _, err := planner.DefaultSettings().With([]byte(tc.values)); err == nil || !strings.Contains(err.Error(), tc.words) {
			t.Errorf("%s: %v", tc.name, err)
		}
	}
	if _, err := planner.DefaultSettings().Set([]planner.Value{{Name: "test_minutes.reduced_pressure", Number: 3}}); err == nil {
		t.Error("a group of settings takes a number")
	}
	if _, err := planner.DefaultSettings().Set([]planner.Value{{Name: "vault_entry_minutes", Number: 2.5}}); err == nil {
		t.Error("half a minute is taken for a whole number")
	}
}

// The plan prints what it was made with, and the check judges it by the same.
func TestPlanSaysWhatItWasMadeWith(t *testing.T) {
	c := newCounty(t)
	c.mill("24/7")
	c.assembly("m1", "f1", events.RP, 2)
	r := c.request()
	var err error
	if r.Settings, err = r.Settings.With(json.RawMessage(`{"crew_hour_usd": 52, "test_minutes": {"reduced_pressure": {"to_2_in": 31}}}`)); err != nil {
		t.Fatal(err)
	}
	plan, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	passes(t, r, plan)
	for _, want := range []string{"set by the firm: a crew, from leaving home to return, 52 USD an hour (default 48)", "set by the firm: reduced pressure, to 2 in, 31 min (default 25)"} {
		if words := plan.InWords(r.Book); !strings.Contains(words, want) {
			t.Errorf("the plan does not say %q:\n%s", want, words)
		}
	}
	if found := check.Plan(r.Book, plan, planner.DefaultSettings()); len(found) == 0 || found[0].Rule != check.RuleSettings {
		t.Errorf("judged by other settings: %v", found)
	}
}

// The name that a learned duration has among the settings is the number that it is compared with.
func TestSettingForIsTheSettingComparedWith(t *testing.T) {
	s := planner.DefaultSettings()
	byName := map[string]float64{}
	for _, v := range s.Values() {
		byName[v.Name] = v.Number
	}
	for _, class := range []durations.Class{durations.VacuumBreaker, durations.DoubleCheck, durations.Reduced, durations.AnyClass} {
		for _, band := range []durations.Band{durations.ToTwo, durations.ToFour, durations.Larger} {
			cell := durations.Cell{Class: class, Band: band, Work: durations.Tested}
			if class == durations.AnyClass {
				cell.Work = durations.Return
			}
			if got, ok := byName[planner.SettingFor(cell)]; !ok || int(got) != s.MinutesOf(cell) {
				t.Errorf("%s: %q is %v, compared with %d", cell.Name(), planner.SettingFor(cell), got, s.MinutesOf(cell))
			}
		}
	}
}
