package routing_test

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"valveround/planner/routing"
	"valveround/planner/routing/instances"
)

// Every part that can be switched off can be, and the rest still keeps the
// rules.
func TestEachPartSwitchedOff(t *testing.T) {
	p := mustProblem(t, countySpec(60, 3, 2, 4))
	for name := range routing.Parts {
		t.Run(name, func(t *testing.T) {
			s, err := routing.SolveWithout(p, routing.Options{Seed: 1, Iterations: 300}, name)
			if err != nil || !s.Evaluation.Feasible() {
				t.Fatal(err, s.Evaluation.Faults)
			}
		})
	}
}

// BenchmarkAblation plans instances with one part of the search switched off after another, and says the mean cost of
// two seeds. Without VALVEROUND_ABLATION, a list of files in Solomon's format, it takes the small ones in testdata.
func BenchmarkAblation(b *testing.B) {
	files := strings.Fields(os.Getenv("VALVEROUND_ABLATION"))
	if len(files) == 0 {
		files, _ = filepath.Glob(filepath.Join("..", "..", "testdata", "routing", "*.txt")) // the pattern is well-formed
	}
	for _, name := range slices.Sorted(maps.Keys(routing.Parts)) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				sum := 0.0
				for _, file := range files {
					sum += costWithout(b, file, name)
				}
				b.ReportMetric(sum/float64(len(files)), "cost")
			}
		})
	}
}

func costWithout(b *testing.B, file, part string) float64 {
	f, err := os.Open(filepath.Clean(file))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	instance, err := instances.ReadSolomon(f)
	if err != nil {
		b.Fatal(err)
	}
	p, err := routing.NewProblem(instance.Spec(instances.Truncated))
	if err != nil {
		b.Fatal(err)
	}
	sum := 0.0
	for seed := range uint64(2) {
		s, err := routing.SolveWithout(p, routing.Options{Seed: seed, Iterations: 4000}, part)
		if err != nil {
			b.Fatal(err)
		}
		sum += float64(s.Evaluation.Cost.Total()) / 20
	}
	return sum
}
