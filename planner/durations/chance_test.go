package durations

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"valveround/events"
)

// The worked example of Gelman et al., "Bayesian Data Analysis", section 2.4 (from memory): of 980 births with placenta previa
// 437 were girls. After a uniform prior the posterior is Beta(438, 544), its mean 0.446 and standard deviation 0.016. With
// priors about 0.485 that count as 100 and 200 births, the centre is 0.450 and 0.453.
func TestBetaOfTheTextbook(t *testing.T) {
	flat := Beta{1, 1}.After(437, 980)
	if flat != (Beta{438, 544}) || !about(flat.Mean(), 0.446, 0.0005) || !about(flat.SD(), 0.016, 0.0005) {
		t.Errorf("%v has mean %.4f, sd %.4f", flat, flat.Mean(), flat.SD())
	}
	for counts, want := range map[float64]float64{100: 0.450, 200: 0.453} {
		if got := (Beta{0.485 * counts, 0.515 * counts}).After(437, 980).Mean(); !about(got, want, 0.0006) {
			t.Errorf("a prior of %v births: %.4f, want %.3f", counts, got, want)
		}
	}
}

// With nothing known, any number of events of n is as likely as any other (Bayes 1763; Laplace's rule of succession).
func TestBetaBinomialOfNothingKnown(t *testing.T) {
	for n := range 12 {
		for k := range n + 1 {
			if got := (Beta{1, 1}).Exactly(k, n); !about(got, 1/float64(n+1), 1e-12) {
				t.Errorf("%d of %d: %f", k, n, got)
			}
		}
	}
	if got := (Beta{1, 1}).After(9, 9).Mean(); !about(got, 10.0/11, 1e-12) {
		t.Errorf("after nine of nine the next comes with %f, by the rule of succession 10/11", got)
	}
}

// The chances of 0 to n add up to one, their mean is n times the mean, and at least one comes with the chance that a chain of
// single draws gives, each learning from those before.
func TestBetaBinomialProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Beta{rapid.Float64Range(0.1, 50).Draw(t, "a"), rapid.Float64Range(0.1, 200).Draw(t, "b")}
		n := rapid.IntRange(0, 40).Draw(t, "n")
		sum, mean, none, chain := 0.0, 0.0, 1.0, b
		for k := range n + 1 {
			sum += b.Exactly(k, n)
			mean += float64(k) * b.Exactly(k, n)
		}
		for range n {
			none *= 1 - chain.Mean()
			chain = chain.After(0, 1)
		}
		if !about(sum, 1, 1e-9) || !about(mean, float64(n)*b.Mean(), 1e-7) || !about(b.Any(n), 1-none, 1e-9) {
			t.Fatalf("%v of %d: sum %v, mean %v, any %v and %v", b, n, sum, mean, b.Any(n), 1-none)
		}
		if plain := 1 - math.Pow(1-b.Mean(), float64(n)); b.Any(n) > plain+1e-9 {
			t.Fatalf("at least one of %d with %v, more than when the chance were known: %v", n, b.Any(n), plain)
		}
	})
}

func TestFailPriorIsTheWorkingRange(t *testing.T) {
	if m := FailPrior.Mean(); m != 0.1 {
		t.Errorf("the prior's mean is %v", m)
	}
	// By numerical integration: how much of the prior lies between 3 and 19 in 100.
	inside, all := 0.0, 0.0
	for p := 0.0005; p < 1; p += 0.001 {
		d := p * math.Pow(1-p, 17) // Beta(2, 18) but for a constant
		if all += d; p > 0.03 && p < 0.19 {
			inside += d
		}
	}
	if share := inside / all; !about(share, 0.8, 0.04) {
		t.Errorf("%.3f of the prior lies between 3 and 19 in 100", share)
	}
}

func TestFailHistory(t *testing.T) {
	b := visited()
	fails := *b.Assemblies["x"]
	fails.ID = "y"
	fails.Jobs = []events.Job{fails.Jobs[0]}
	fails.Jobs[0].Attempts = []events.Attempt{{On: fails.Jobs[0].Attempts[0].On, Crew: "a", Outcome: events.OutcomeFailed}}
	b.Assemblies["y"] = &fails
	setting := func(c Class) float64 { return map[Class]float64{Reduced: 0.1, DoubleCheck: 0.2}[c] }
	rows, all := FailHistory(b, "north", setting)
	if len(rows) != 2 || rows[0].Class != rows[1].Class || rows[0].Band != AnySize || rows[1].Band == AnySize || all.Tests != 2 || all.Failed != 1 || all.Beta != (Beta{3, 19}) {
		t.Fatalf("%+v, all %+v", rows, all)
	}
	prior := 20 * setting(rows[0].Class)
	class := (prior + 1) / 22
	if got := rows[0].Beta; !about(got.A, prior+1, 1e-9) || !about(got.Mean(), class, 1e-9) {
		t.Errorf("by class %+v", got)
	}
	if got := rows[1].Beta; !about(got.A, 20*class+1, 1e-9) || !about(got.B, 20*(1-class)+1, 1e-9) {
		t.Errorf("by class and size %+v", got)
	}
	if got, want := all.Words(), "all types: 1 of 2 failed as found, 0 of them put right at once; the next fails with a chance of 14 in 100 (give or take 7)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if _, none := FailHistory(events.NewBook(), "north", setting); none.Beta != FailPrior {
		t.Errorf("without a history the chance is %+v", none.Beta)
	}
}
