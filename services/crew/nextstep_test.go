package crew_test

import (
	"slices"
	"strings"
	"testing"

	"valveround/events"
	"valveround/services/crew"
)

// TestEveryOutcomeHasItsNextStep: only failed owes a repair and a retest; what could not be tested is neither pass nor fail.
func TestEveryOutcomeHasItsNextStep(t *testing.T) {
	seen := []string{}
	for _, o := range events.VisitOutcomes {
		step := crew.NextStep(o, "")
		if step == "" || slices.Contains(seen, step) {
			t.Errorf("%s: the next step %q is none of its own", o, step)
		}
		seen = append(seen, step)
		if strings.Contains(step, "repair and a retest are owed") != (o == events.OutcomeFailed) {
			t.Errorf("%s: %q", o, step)
		}
	}
	for _, why := range events.CouldNotReasons {
		step := crew.NextStep(events.OutcomeCouldNotTest, why)
		if !strings.HasPrefix(step, "Neither a pass nor a fail.") || slices.Contains(seen, step) {
			t.Errorf("could not test, %s: the next step %q is none of its own", why, step)
		}
		seen = append(seen, step)
	}
	if step := crew.NextStep("shrug", ""); step != "" {
		t.Errorf("no outcome, and yet %q", step)
	}
}
