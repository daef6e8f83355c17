package routing_test

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

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

// TestAblation prints the table of doc.go. VALVEROUND_ABLATION is a list of
// instance files in Solomon's format.
func TestAblation(t *testing.T) {
	files := strings.Fields(os.Getenv("VALVEROUND_ABLATION"))
	if len(files) == 0 {
		t.Skip("VALVEROUND_ABLATION is not set")
	}
	for _, name := range slices.Sorted(maps.Keys(routing.Parts)) {
		started := time.Now()
		sum := 0.0
		for _, file := range files {
			f, err := os.Open(filepath.Clean(file))
			if err != nil {
				t.Fatal(err)
			}
			instance, err := instances.ReadSolomon(f)
			f.Close()
			if err != nil {
				t.Fatal(err)
			}
			p := mustProblem(t, instance.Spec(instances.Truncated))
			for seed := range uint64(2) {
				s, err := routing.SolveWithout(p, routing.Options{Seed: seed, Iterations: 4000}, name)
				if err != nil {
					t.Fatal(err)
				}
				sum += float64(s.Evaluation.Cost.Total()) / 20
			}
		}
		t.Logf("%-14s %9.1f  %v", name, sum/float64(len(files)), time.Since(started).Round(time.Second))
	}
}
