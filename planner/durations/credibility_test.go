package durations

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func about(got, want, within float64) bool { return math.Abs(got-want) <= within }

// A worked example of the empirical Bayes chapter of Klugman, Panjer and Willmot, "Loss Models" (from memory): the claims of
// three policyholders in three years are 750, 800, 650; 625, 600, 675; 900, 950, 850. The variance within is 3,263.89, between
// 17,060.19, Z is 0.94, and the premiums are 734.67, 640.66 and 891.34.
func TestCredibilityOfTheTextbook(t *testing.T) {
	groups := [][]float64{{750, 800, 650}, {625, 600, 675}, {900, 950, 850}}
	c := CredibilityOf(groups)
	if !about(c.Mean, 755.56, 0.01) || !about(c.Within, 3263.89, 0.01) || !about(c.Between, 17060.19, 0.01) || !about(c.Z(3), 0.94, 0.001) {
		t.Errorf("mean %.2f, within %.2f, between %.2f, Z %.4f", c.Mean, c.Within, c.Between, c.Z(3))
	}
	for i, want := range []float64{734.67, 640.66, 891.34} {
		if got := c.Believed(groups[i], c.Mean); !about(got, want, 0.02) {
			t.Errorf("group %d is believed to be %.2f, want %.2f", i+1, got, want)
		}
	}
}

func TestCredibilityOfLittle(t *testing.T) {
	for _, tc := range []struct {
		name   string
		groups [][]float64
	}{
		{"nothing", nil}, {"an empty group", [][]float64{{}}}, {"one group", [][]float64{{20, 30, 40}}},
		{"groups of one", [][]float64{{20}, {30}, {40}}}, {"groups that differ less than their members", [][]float64{{10, 50}, {20, 40}}},
	} {
		c := CredibilityOf(tc.groups)
		if c.Between != 0 || c.Z(5) != 0 {
			t.Errorf("%s: groups are told apart: %+v", tc.name, c)
		}
	}
}

// What is believed of a group lies between its own mean and the centre, and nearer its own mean the more it has.
func TestBelievedLiesBetween(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		groups := rapid.SliceOfN(rapid.SliceOfN(rapid.Float64Range(3, 600), 0, 12), 1, 6).Draw(t, "groups")
		c := CredibilityOf(groups)
		if c.Within < 0 || c.Between < 0 || math.IsNaN(c.Mean+c.Within+c.Between) {
			t.Fatalf("%+v", c)
		}
		for _, g := range groups {
			got, own := c.Believed(g, c.Mean), mean(g)
			if len(g) > 0 && (got < min(own, c.Mean)-1e-9 || got > max(own, c.Mean)+1e-9) {
				t.Fatalf("%v is believed to be %f, between %f and %f", g, got, own, c.Mean)
			}
		}
		if n := rapid.IntRange(0, 50).Draw(t, "n"); c.Z(n) > c.Z(n+1) || c.Z(n) < 0 || c.Z(n+1) > 1 {
			t.Fatalf("Z falls from %f to %f", c.Z(n), c.Z(n+1))
		}
	})
}
