package instances_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"valveround/planner/routing"
	"valveround/planner/routing/instances"
	"valveround/planner/routing/verify"
)

// ulysses16 of TSPLIB (G. Reinelt, ORSA Journal on Computing 3:376, 1991; Groetschel
// and Padberg's Odyssey of Ulysses) and its optimal tour, length 6859.
const (
	ulysses16 = `NAME: ulysses16.tsp
TYPE: TSP
COMMENT: Odyssey of Ulysses (Groetschel/Padberg)
DIMENSION: 16
EDGE_WEIGHT_TYPE: GEO
DISPLAY_DATA_TYPE: COORD_DISPLAY
NODE_COORD_SECTION
 1 38.24 20.42
 2 39.57 26.15
 3 40.56 25.32
 4 36.26 23.12
 5 33.48 10.54
 6 37.56 12.19
 7 38.42 13.11
 8 37.52 20.44
 9 41.23 9.10
 10 41.17 13.05
 11 36.08 -5.21
 12 38.47 15.13
 13 38.15 15.35
 14 37.51 15.17
 15 35.49 14.32
 16 39.36 19.56
 EOF
`
	ulysses16Tour = `NAME : ulysses16.opt.tour
COMMENT : Optimal solution for ulysses16 (6859)
TYPE : TOUR
DIMENSION : 16
TOUR_SECTION
1 14 13 12 7 6 15 5 11 9 10 16 3 2 4 8
-1
EOF
`
)

func TestTSPLIBGeo(t *testing.T) {
	x, err := instances.ReadTSPLIB(strings.NewReader(ulysses16))
	if err != nil || x.Name != "ulysses16" || x.Rule != instances.Geo || len(x.Nodes) != 16 {
		t.Fatalf("read %+v, %v", x, err)
	}
	tour, err := instances.ReadTSPLIBTour(strings.NewReader(ulysses16Tour), len(x.Nodes))
	if err != nil {
		t.Fatal(err)
	}
	if got := x.TourLength(tour); got != 6859 {
		t.Errorf("the optimal tour is %d long, want 6859", got)
	}
}

// The instances whose optimal tours TSPLIB ships, where the benchmark folder is
// beside the clone; lengths from TSPLIB's list of optima.
func TestTSPLIBOptimalTours(t *testing.T) {
	folder := filepath.Join("..", "..", "..", "..", "shared", "benchmarks", "tsplib")
	checked := 0
	for name, want := range map[string]int64{
		"ulysses16": 6859, "ulysses22": 7013, "gr96": 55209, "gr202": 40160, "gr666": 294358,
		"att48": 10628, "eil51": 426, "berlin52": 7542, "pcb442": 50778, "pr1002": 259045,
	} {
		t.Run(name, func(t *testing.T) {
			file, err := os.Open(filepath.Join(folder, name+".tsp"))
			if os.IsNotExist(err) {
				t.Skip("not beside the clone")
			}
			if err != nil {
				t.Fatal(err)
			}
			defer file.Close()
			x, err := instances.ReadTSPLIB(file)
			if err != nil {
				t.Fatal(err)
			}
			tours, err := os.Open(filepath.Join(folder, name+".opt.tour"))
			if err != nil {
				t.Fatal(err)
			}
			defer tours.Close()
			tour, err := instances.ReadTSPLIBTour(tours, len(x.Nodes))
			if err != nil {
				t.Fatal(err)
			}
			checked++
			if got := x.TourLength(tour); got != want {
				t.Errorf("the optimal tour is %d long, want %d", got, want)
			}
		})
	}
	t.Logf("%d optimal tours checked", checked)
}

// The search finds the optimum of the small geographic instances. Lengths from
// TSPLIB's list of optima.
func TestTSPLIBOptimaReached(t *testing.T) {
	for _, c := range []struct {
		name   string
		want   routing.Cost
		rounds int
	}{{"burma14", 3323, 200}, {"ulysses16", 6859, 500}, {"ulysses22", 7013, 500}, {"gr96", 55209, 60_000}} {
		t.Run(c.name, func(t *testing.T) {
			text := []byte(ulysses16)
			if c.name != "ulysses16" {
				var err error
				if text, err = os.ReadFile(filepath.Join("..", "..", "..", "testdata", "tsplib", c.name+".tsp")); err != nil {
					t.Fatal(err)
				}
			}
			x, err := instances.ReadTSPLIB(bytes.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			p, err := routing.NewProblem(x.Spec())
			if err != nil {
				t.Fatal(err)
			}
			s, err := routing.Solve(context.Background(), p, routing.Options{Seed: 1, Iterations: c.rounds})
			if err != nil {
				t.Fatal(err)
			}
			tour := []int{0}
			for _, v := range s.Routes[0] {
				tour = append(tour, int(v)+1)
			}
			if got := s.Evaluation.Cost.Total(); got != c.want || x.TourLength(tour) != int64(c.want) || len(verify.Check(p, s)) > 0 {
				t.Errorf("a tour of %d (%d by the format's own sum), the optimum is %d; %v", got, x.TourLength(tour), c.want, verify.Check(p, s))
			}
		})
	}
}

func TestTSPLIBFaults(t *testing.T) {
	for _, c := range []struct{ name, from, to, want string }{
		{"no nodes", "NODE_COORD_SECTION", "SECTION", "no NODE_COORD_SECTION"},
		{"another type", "TYPE: TSP", "TYPE: ATSP", "line 2"},
		{"another rule", "GEO", "EXPLICIT", `"EXPLICIT"`},
		{"too few nodes", "DIMENSION: 16", "DIMENSION: 18", "line 24"},
		{"no number of nodes", "DIMENSION: 16", "DIMENSION: x", "line 4"},
		{"a node out of turn", " 7 38.42", " 8 38.42", "node 7"},
		{"a word for a coordinate", "40.56", "north", "field 2"},
		{"a latitude beyond the pole", "40.56", "99.5", "latitude"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := instances.ReadTSPLIB(strings.NewReader(strings.Replace(ulysses16, c.from, c.to, 1)))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
	for _, c := range []struct{ name, from, to string }{
		{"a node twice", " 14 13", " 14 14"}, {"a node missing", " 14 13", " 13"}, {"no end", "-1", ""}, {"no tour", "TOUR_", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := instances.ReadTSPLIBTour(strings.NewReader(strings.Replace(ulysses16Tour, c.from, c.to, 1)), 16); err == nil {
				t.Error("read without an error")
			}
		})
	}
}

func FuzzReadTSPLIB(f *testing.F) {
	f.Add(ulysses16)
	f.Add("DIMENSION: 2\nEDGE_WEIGHT_TYPE: ATT\nNODE_COORD_SECTION\n1 0 0\n2 3 4e2\n")
	f.Fuzz(func(t *testing.T, text string) {
		x, err := instances.ReadTSPLIB(strings.NewReader(text))
		if err != nil {
			return
		}
		for i := range min(len(x.Nodes), 20) {
			for j := range i {
				if x.Leg(i, j) < 0 || x.Leg(i, j) != x.Leg(j, i) {
					t.Fatalf("%d to %d is %d, back %d", i, j, x.Leg(i, j), x.Leg(j, i))
				}
			}
		}
	})
}
