package routing_test

import (
	"cmp"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
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

// BenchmarkAblation plans instances with one part of the search switched off after
// another, and prints how much dearer the plans come out than with all parts on:
// the table in ablation.md. VALVEROUND_ABLATION lists files in Solomon's format,
// VALVEROUND_ABLATION_ROUNDS the rounds (4,000); without them it takes the small
// instances in testdata. Each figure is the mean of two seeds.
func BenchmarkAblation(b *testing.B) {
	files := strings.Fields(os.Getenv("VALVEROUND_ABLATION"))
	if len(files) == 0 {
		files, _ = filepath.Glob(filepath.Join("..", "..", "testdata", "routing", "*.txt")) // the pattern is well-formed
	}
	rounds, err := strconv.Atoi(cmp.Or(os.Getenv("VALVEROUND_ABLATION_ROUNDS"), "4000"))
	if err != nil {
		b.Fatal(err)
	}
	whole := map[string]float64{}
	row := "| part off |"
	for _, file := range files {
		whole[file] = costWithout(b, file, "nothing", rounds)
		row += " " + strings.TrimSuffix(filepath.Base(file), ".txt") + " |"
	}
	rows := []string{row + " mean |", "|---|" + strings.Repeat("---:|", len(files)+1)}
	for _, name := range slices.Sorted(maps.Keys(routing.Parts)) {
		if name == "nothing" {
			continue
		}
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				sum, row := 0.0, "| "+name+" |"
				for _, file := range files {
					dearer := 100 * (costWithout(b, file, name, rounds)/whole[file] - 1)
					sum += dearer
					row += fmt.Sprintf(" %+.2f |", dearer)
				}
				b.ReportMetric(sum/float64(len(files)), "%dearer")
				rows = append(rows, fmt.Sprintf("%s %+.2f |", row, sum/float64(len(files))))
			}
		})
	}
	fmt.Fprintln(os.Stderr, strings.Join(rows, "\n"))
}

func costWithout(b *testing.B, file, part string, rounds int) float64 {
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
		s, err := routing.SolveWithout(p, routing.Options{Seed: seed, Iterations: rounds}, part)
		if err != nil {
			b.Fatal(err)
		}
		sum += float64(s.Evaluation.Cost.Total())
	}
	return sum
}
