package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// The optimum of R101 is 1637.7 (12th DIMACS implementation challenge, 2022).
func TestBenchRoutes(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"C101", "R101"} {
		text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "routing", name+".txt"))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, name+".txt"), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	best := "instance,customers,convention,vehicles,distance,source,verified\nR101,100,dimacs,20,1637.7,challenge,yes\n" +
		"C101,100,hierarchical,10,828.9369,recomputed from published routes,yes\n"
	if err := os.WriteFile(filepath.Join(folder, "best-known.csv"), []byte(best), 0o644); err != nil {
		t.Fatal(err)
	}
	table := filepath.Join(folder, "table.csv")
	args := []string{"bench", "routes", "--instances", folder, "--iterations", "300", "--json", "--csv", table, "--solutions", filepath.Join(folder, "out")}
	lines := strings.Split(strings.TrimSpace(must(t, args...)), "\n")
	if len(lines) != 3 {
		t.Fatalf("%d lines, want two instances and the mean: %v", len(lines), lines)
	}
	var last benchResult
	for i, want := range []string{"C101", "R101", "mean"} {
		var r benchResult
		if err := json.Unmarshal([]byte(lines[i]), &r); err != nil {
			t.Fatal(err)
		}
		if r.Instance != want || !r.Feasible || r.Distance <= 0 {
			t.Errorf("line %d: %+v", i, r)
		}
		if (r.BestKnown == nil) != (want == "C101") {
			t.Errorf("%s: best known %v", want, r.BestKnown)
		}
		last = r
	}
	if last.Gap == nil || *last.Gap < 0 {
		t.Errorf("mean gap %v, below the proven optimum", last.Gap)
	}
	// A second run takes every line from the table.
	if again := must(t, args...); again != strings.Join(lines, "\n")+"\n" {
		t.Errorf("resumed:\n%s\nfirst:\n%s", again, strings.Join(lines, "\n"))
	}
	text, err := os.ReadFile(filepath.Join(folder, "out", "R101.sol"))
	if err != nil || !strings.HasPrefix(string(text), "Route #1: ") || !strings.Contains(string(text), "\nCost ") {
		t.Errorf("routes %q, %v", text, err)
	}
	// Fewest vehicles first, and text for people.
	out := must(t, "bench", "routes", "--instances", folder, "--only", "R101", "--iterations", "300", "--objective", "fleet", "--workers", "2")
	if !strings.Contains(out, "R101") || !strings.Contains(out, "mean") {
		t.Error(out)
	}
	// A fleet run stops when the best-known fleet and distance are reached: 10 and
	// 828.94 in C101 (recomputed from published routes).
	const rounds = 200_000
	var fleet benchResult
	line, _, _ := strings.Cut(must(t, "bench", "routes", "--instances", folder, "--only", "C101", "--iterations", strconv.Itoa(rounds), "--objective", "fleet", "--json"), "\n")
	if err := json.Unmarshal([]byte(line), &fleet); err != nil || fleet.Vehicles != 10 || fleet.Iterations >= rounds || fleet.Distance > 828.94 {
		t.Errorf("C101, fewest vehicles: %+v, %v", fleet, err)
	}
	if code, _, errOut := valveround(t, "bench", "routes", "--instances", folder); code != 2 || !strings.Contains(errOut, "--seconds") {
		t.Errorf("without a budget: exit %d, %s", code, errOut)
	}
}
