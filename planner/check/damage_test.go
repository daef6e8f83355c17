package check_test

import (
	"context"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/planner/check/damage"
	"valveround/services/demo"
)

// demoPlan plans a day of the demo county.
func demoPlan(t testing.TB, crews, sites int, seed uint64, date events.Date) (*events.Book, planner.Plan) {
	t.Helper()
	o := demo.Default()
	o.Crews, o.Sites, o.Assemblies, o.Seed, o.Today = crews, sites, sites*5/2, seed, date.AddDays(-1)
	book, err := demo.Generate(o).Fold()
	if err != nil {
		t.Fatal(err)
	}
	loc, err := time.LoadLocation(o.Zone)
	if err != nil {
		t.Fatal(err)
	}
	plan, err := planner.Make(context.Background(), planner.Request{Book: book, Office: demo.Office, Date: date, Now: o.Today.In(loc).Add(15 * time.Hour),
		Settings: planner.DefaultSettings(), Iterations: 200})
	if err != nil {
		t.Fatal(err)
	}
	return book, plan
}

// Each named damage, on plans of the demo county, is refused for its own rule and for no other.
func TestDamagedDemoPlans(t *testing.T) {
	made := map[string]int{}
	for seed := range uint64(4) {
		book, plan := demoPlan(t, 8, 300, seed+1, events.NewDate(2026, 5, 12).AddDays(int(seed)))
		if found := check.Plan(book, plan, plan.Settings); len(found) > 0 {
			t.Fatalf("the plan is refused before it is damaged: %v", found)
		}
		if again := damage.Restate(book, plan); again.Digest() != plan.Digest() {
			t.Error("a good plan states itself otherwise than it should")
		}
		before := plan.Digest()
		for _, name := range damage.Names() {
			damaged, err := damage.Damage(name, book, plan)
			if errors.Is(err, damage.ErrNowhere) {
				continue
			} else if err != nil {
				t.Fatal(err)
			}
			made[name]++
			want(t, check.Plan(book, damaged, plan.Settings), check.Rule(name))
			if plan.Digest() != before {
				t.Fatalf("damage %s changed the plan it was given", name)
			}
		}
	}
	for _, rule := range []check.Rule{check.RuleWindow, check.RuleAccess, check.RuleOverlap, check.RuleHours, check.RuleMissingVisit, check.RuleTravel, check.RuleCertificate} {
		if made[string(rule)] == 0 {
			t.Errorf("no demo plan had a place for damage %s", rule)
		}
	}
	t.Log(made)
}

// Every named damage has a place in the small fixture, and is refused for its own rule and for no other.
func TestEachDamage(t *testing.T) {
	for _, name := range damage.Names() {
		t.Run(name, func(t *testing.T) {
			f := newFixture()
			f.book.Sites["hospital"].LegsOneADay = false
			f.book.People["di"].Registrations = f.book.People["cy"].Registrations // Crew C lacks a potable gauge only
			delete(f.book.Crews, "d")
			e := *f.book.Crews["b"] // Crew E lacks a registration only
			e.ID, e.Letter, e.People = "e", "E", []events.PersonID{"flo", "ed"}
			f.book.Crews["e"] = &e
			f.book.People["flo"] = &events.Person{ID: "flo", PersonFacts: events.PersonFacts{Credentials: f.book.People["ann"].Credentials}}
			g := e // Crew G has no certificate
			g.ID, g.Letter, g.People = "g", "G", []events.PersonID{"ed"}
			f.book.Crews["g"] = &g
			h := *f.book.Crews["a"] // Crew H lacks the plant's repair kit only
			h.ID, h.Letter = "h", "H"
			f.book.Crews["h"] = &h
			// The sprinklers are dry for as long as they may be, and one more test on them is left out.
			f.settings.FireOut, f.plan.Settings.FireOut = 180, 180
			f.assembly("p3", "sprinklers", events.DC, events.InchSize(2, 0))
			f.plan.LeftOut = append(f.plan.LeftOut, planner.LeftOut{Assembly: "p3", Job: "j-p3", Site: "plant", Rule: "fire-hours", Reason: "Out too long.", Change: "Note measures."})
			f.plan.Routes = append(f.plan.Routes[:3], planner.Route{Crew: "e", Date: day}, planner.Route{Crew: "g", Date: day}, planner.Route{Crew: "h", Date: day})
			if name == string(check.RuleBreak) {
				f.rests()
			}
			if found := f.check(); len(found) > 0 {
				t.Fatalf("the plan is refused before it is damaged: %v", found)
			}
			damaged, err := damage.Damage(name, f.book, f.plan)
			if err != nil {
				t.Fatal(err)
			}
			want(t, check.Plan(f.book, damaged, f.settings), check.Rule(name))
		})
	}
	if _, err := damage.Damage("rust", events.NewBook(), planner.Plan{}); err == nil || errors.Is(err, damage.ErrNowhere) {
		t.Errorf("an unknown damage: %v", err)
	}
}

// One random value anywhere in the plan's JSON is changed: the plan is refused, or it is shown that the day it would send
// out is the same: the same crews at the same places at the same times, with the same jobs, work and water off.
func TestMutantsAreRefused(t *testing.T) {
	book, plan := demoPlan(t, 6, 150, 5, events.NewDate(2026, 5, 12))
	r := rand.New(rand.NewPCG(1, 2))
	let := 0
	for range 1000 {
		mutant, what := damage.Mutate(plan, r)
		if len(check.Plan(book, mutant, plan.Settings)) > 0 {
			continue
		}
		if let++; !damage.Unknowable(what) {
			t.Errorf("not refused: %s", what)
		}
		if decided(t, mutant) != decided(t, plan) {
			t.Errorf("not refused, and the day would be another: %s", what)
		}
	}
	t.Logf("%d of 1,000 mutants pass, and none of them changes the day", let)
}

// decided is the day that a plan would send out, as text, without what is only said about it: notes, keys, and the
// position of the book, which sending out writes anew.
func decided(t *testing.T, p planner.Plan) string {
	day := p.Day()
	day.Position = 0
	for _, route := range day.Routes {
		for i := range route.Visits {
			route.Visits[i].Key, route.Visits[i].Notes = "", nil
		}
	}
	text, err := json.Marshal(day)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
