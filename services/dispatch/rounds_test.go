package dispatch_test

import (
	"testing"
	"time"

	"valveround/planner"
	"valveround/services/dispatch"
)

// A desk that counts rounds looks at no clock: asked for an hour it is done when they are, and another desk of the same log
// comes to the same plan, and to the same rest of the day.
func TestRoundsInPlaceOfATime(t *testing.T) {
	r := newRoom(t)
	desk := func() *dispatch.Desk {
		d, err := dispatch.New(dispatch.Config{Keeper: r.keeper, Office: office, Settings: planner.DefaultSettings(), Seconds: 3600, Iterations: 40,
			Now: func() time.Time { return now }})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(d.Close)
		return d
	}
	var plans []planner.Plan
	for _, d := range []*dispatch.Desk{desk(), desk()} {
		if err := d.Plan(tuesday, 3600); err != nil {
			t.Fatal(err)
		}
		r.wait(func() bool { return !d.Proposal(tuesday).Planning })
		plans = append(plans, *d.Proposal(tuesday).Plan)
	}
	if plans[0].Digest() != plans[1].Digest() {
		t.Error("two desks of one log plan the day differently")
	}
	r.out()
	first, second := r.rest(desk()), r.rest(desk())
	if first.TotalUSD != second.TotalUSD || first.Moved != second.Moved {
		t.Errorf("two desks plan the rest of the day differently: %+v and %+v", first, second)
	}
}
