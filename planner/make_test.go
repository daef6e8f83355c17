package planner_test

import (
	"bytes"
	"context"
	"reflect"
	"testing"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/check"
	"valveround/services/demo"
)

// demoRequest is the demo county on the afternoon before a working day.
func demoRequest(t testing.TB, crews, sites int, seed uint64, date events.Date) planner.Request {
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
	return planner.Request{Book: book, Office: demo.Office, Date: date, Now: o.Today.In(loc).Add(15 * time.Hour),
		Settings: planner.DefaultSettings(), Iterations: 200}
}

func TestDemoPlansPassTheCheck(t *testing.T) {
	for _, c := range []struct {
		name string
		date events.Date
		seed uint64
	}{
		{"a Thursday in November", events.NewDate(2026, 11, 26), 1},
		{"a Tuesday in May", events.NewDate(2026, 5, 12), 2},
		{"the Sunday clocks go forward", events.NewDate(2026, 3, 8), 3},
		{"the Monday after", events.NewDate(2026, 3, 9), 4},
		{"the Sunday clocks go back", events.NewDate(2026, 11, 1), 5},
		{"a leap day", events.NewDate(2028, 2, 29), 6},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := demoRequest(t, 8, 300, c.seed, c.date)
			plan, err := planner.Make(context.Background(), r)
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range check.Plan(r.Book, plan, r.Settings) {
				t.Errorf("refused: %s", v)
			}
			for _, l := range plan.LeftOut {
				if gone := r.Book.Assemblies[l.Assembly].Gone; l.Reason == "" || l.Change == "" || l.Remedy == nil && !gone && len(planner.OrderOf(plan)) > 0 {
					t.Errorf("job %s is left out without a reason or a change that holds: %+v", l.Job, l)
				}
			}
		})
	}
}

func TestSameRequestSamePlan(t *testing.T) {
	r := demoRequest(t, 4, 150, 7, events.NewDate(2026, 5, 13))
	first, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	second, err := planner.Make(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	if first.Digest() != second.Digest() {
		t.Error("equal requests gave different plans")
	}
	var file bytes.Buffer
	if err := first.Write(&file); err != nil {
		t.Fatal(err)
	}
	read, err := planner.ReadPlan(&file)
	if err != nil {
		t.Fatal(err)
	}
	if read.Digest() != first.Digest() {
		t.Error("a plan written and read back is another plan")
	}
	if !reflect.DeepEqual(planner.OrderOf(read), planner.OrderOf(first)) {
		t.Error("a plan written and read back has another order")
	}
	again, err := planner.Arrange(context.Background(), r, planner.OrderOf(first))
	if err != nil {
		t.Fatal(err)
	}
	if again.Cost != first.Cost {
		t.Errorf("the same order arranged by hand costs %+v, planned it cost %+v", again.Cost, first.Cost)
	}
}
