package planner

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Three tests, each with a chance of 10 in 100 of an hour more: nothing is delayed in 0.9³ = 729 of 1,000 days, one hour in 243,
// two in 27, three in 1, the binomial distribution.
func TestDelayIsBinomial(t *testing.T) {
	d := noDelay()
	for range 3 {
		d = d.plus(0.1, 60, 60)
	}
	for minutes, want := range map[int]int{-1: 271, 0: 271, 59: 271, 60: 28, 119: 28, 120: 1, 180: 0} {
		if got := d.beyond(minutes); got != want {
			t.Errorf("longer than %d min in %d of 1,000, want %d", minutes, got, want)
		}
	}
	// A wait of 45 minutes takes up that much of each.
	if d = d.less(45); d.beyond(14) != 271 || d.beyond(15) != 28 {
		t.Errorf("after the wait: %d and %d", d.beyond(14), d.beyond(15))
	}
	// Half an hour to an hour, each minute as likely: of 31 cases 11 are longer than 49 minutes.
	if got, want := noDelay().plus(0.31, 30, 60).beyond(49), 110; got != want {
		t.Errorf("%d of 1,000, want %d", got, want)
	}
}

func TestDelayProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := noDelay()
		mean := 0.0
		for range rapid.IntRange(0, 5).Draw(t, "tests") {
			p, from := rapid.Float64Range(0, 1).Draw(t, "chance"), rapid.IntRange(0, 90).Draw(t, "from")
			to := from + rapid.IntRange(0, 40).Draw(t, "more")
			d = d.plus(p, from, to)
			mean += p * float64(from+to) / 2
		}
		sum, got := 0.0, 0.0
		for m, p := range d {
			sum += p
			got += float64(m) * p
		}
		if math.Abs(sum-1) > 1e-9 || math.Abs(got-mean) > 1e-6 {
			t.Fatalf("the chances add up to %v, the mean is %v, want %v", sum, got, mean)
		}
		at := rapid.IntRange(0, 200).Draw(t, "at")
		if d.beyond(at+1) > d.beyond(at) || d.less(10).beyond(at) != d.beyond(at+10) {
			t.Fatalf("%d, %d, %d", d.beyond(at), d.beyond(at+1), d.less(10).beyond(at))
		}
	})
}

func TestOneIn(t *testing.T) {
	for thousandths, want := range map[int]string{50: "1 in 20", 100: "1 in 10", 167: "1 in 6", 333: "1 in 3", 500: "5 in 10", 740: "7 in 10", 1000: "10 in 10"} {
		if got := oneIn(thousandths); got != want {
			t.Errorf("%d of 1,000 is said as %q, want %q", thousandths, got, want)
		}
	}
}
