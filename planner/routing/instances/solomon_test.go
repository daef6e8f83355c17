package instances_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"valveround/planner/routing"
	"valveround/planner/routing/instances"
	"valveround/planner/routing/verify"
)

func read(t testing.TB, name string) instances.Solomon {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "..", "testdata", "routing", name+".txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	s, err := instances.ReadSolomon(f)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestReadSolomon(t *testing.T) {
	s := read(t, "R101")
	if s.Name != "R101" || s.Vehicles != 25 || s.Capacity != 200 || len(s.Customers) != 101 {
		t.Errorf("read %s, %d vehicles of %d, %d customers", s.Name, s.Vehicles, s.Capacity, len(s.Customers))
	}
	if depot := s.Customers[0]; depot.Due != 230 || depot.X != 35 || depot.Y != 35 {
		t.Errorf("depot %+v", depot)
	}
}

// The optimal routes of R101 (12th DIMACS implementation challenge, 2022; the
// file states 1637.7) keep every rule and cost what they say.
func TestPublishedRoutes(t *testing.T) {
	s := read(t, "R101")
	p, err := routing.NewProblem(s.Spec(instances.Truncated))
	if err != nil {
		t.Fatal(err)
	}
	plan := routing.Solution{Routes: make([][]routing.VisitIndex, p.RouteCount())}
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "routing", "R101.sol"))
	if err != nil {
		t.Fatal(err)
	}
	for i, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		_, stops, isRoute := strings.Cut(line, ": ")
		if !isRoute {
			continue
		}
		for _, word := range strings.Fields(stops) {
			customer, err := strconv.Atoi(word)
			if err != nil {
				t.Fatal(err)
			}
			plan.Routes[i] = append(plan.Routes[i], routing.VisitIndex(customer-1))
		}
	}
	plan.Evaluation = routing.Evaluate(p, plan.Routes)
	if faults := verify.Check(p, plan); len(faults) > 0 {
		t.Error(faults)
	}
	if got := plan.Evaluation.Cost.Total(); got != 16377 {
		t.Errorf("cost %d tenths, want 16377", got)
	}
}

// The first 25 customers of three instances, to the optimum. The values are those
// of N. Kohl, J. Desrosiers, O. B. G. Madsen, M. M. Solomon, F. Soumis, 2-path cuts
// for the vehicle routing problem with time windows, Transportation Science
// 33:101 (1999), from memory.
func TestSmallInstancesToTheOptimum(t *testing.T) {
	for _, c := range []struct {
		name string
		want routing.Cost // tenths
	}{{"C101", 1913}, {"R101", 6171}, {"RC101", 4611}} {
		t.Run(c.name, func(t *testing.T) {
			s := read(t, c.name).First(25)
			p, err := routing.NewProblem(s.Spec(instances.Truncated))
			if err != nil {
				t.Fatal(err)
			}
			solution, err := routing.Solve(context.Background(), p, routing.Options{Seed: 1, Iterations: 5000})
			if err != nil {
				t.Fatal(err)
			}
			if faults := verify.Check(p, solution); len(faults) > 0 {
				t.Error(faults)
			}
			if got := solution.Evaluation.Cost.Total(); got != c.want {
				t.Errorf("cost %d tenths, want %d", got, c.want)
			}
		})
	}
}

// One instance, one seed, one number of iterations: one plan. A change of this
// number is a change of the search and says so in its commit.
func TestPinnedRun(t *testing.T) {
	p, err := routing.NewProblem(read(t, "RC101").Spec(instances.Truncated))
	if err != nil {
		t.Fatal(err)
	}
	s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 7, Iterations: 2000})
	if err != nil {
		t.Fatal(err)
	}
	const optimum, pinned = 16198, 16397
	if got := s.Evaluation.Cost.Total(); got != pinned {
		t.Errorf("cost %d tenths, pinned at %d (optimum %d)", got, pinned, optimum)
	}
}

func TestReadSolomonErrors(t *testing.T) {
	good := "X1\nVEHICLE\nNUMBER CAPACITY\n 2 10\nCUSTOMER\nCUST NO. XCOORD.\n"
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "the file is empty"},
		{"no header", "X1\nSHIPS\n", "line 2: expected VEHICLE"},
		{"header cut off", "X1\nVEHICLE\n", "line 2: the file ends before NUMBER CAPACITY"},
		{"no fleet", "X1\nVEHICLE\nNUMBER CAPACITY\n", "line 3: the file ends before the vehicles"},
		{"no vehicles", "X1\nVEHICLE\nNUMBER CAPACITY\n 0 10\n", "line 4: 0 vehicles"},
		{"no depot", good, "no depot"},
		{"short line", good + "0 1 2 3\n", "line 7: a customer needs 7 numbers, found 4"},
		{"not a number", good + "0 1 x 0 0 9 0\n", `line 7, field 3: "x" is not a whole number`},
		{"wrong order", good + "1 0 0 0 0 9 0\n", "line 7: customer 1, expected 0"},
		{"due before ready", good + "0 0 0 0 9 8 0\n", "before it is ready"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := instances.ReadSolomon(strings.NewReader(c.text))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
}

// Whatever is read makes a problem that is either refused in words or solved
// without breaking a rule.
func FuzzReadSolomon(f *testing.F) {
	for _, name := range []string{"C101", "R101"} {
		s := read(f, name).First(4)
		text := fmt.Sprintf("%s\n\nVEHICLE\nNUMBER CAPACITY\n%d %d\n\nCUSTOMER\nCUST NO.\n\n", s.Name, s.Vehicles, s.Capacity)
		for _, c := range s.Customers {
			text += fmt.Sprintln(c.Number, c.X, c.Y, c.Demand, c.Ready, c.Due, c.Service)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := instances.ReadSolomon(strings.NewReader(text))
		if err != nil || len(s.Customers) > 12 || s.Vehicles > 30 {
			return
		}
		p, err := routing.NewProblem(s.Spec(instances.Truncated))
		if err != nil {
			return
		}
		plan, err := routing.Solve(context.Background(), p, routing.Options{Iterations: 5})
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range verify.Check(p, plan) {
			if fault.Kind != routing.FaultRequired {
				t.Fatal(fault)
			}
		}
	})
}
