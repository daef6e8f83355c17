package instances_test

import (
	"bytes"
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"valveround/planner/routing"
	"valveround/planner/routing/instances"
	"valveround/planner/routing/verify"
)

// What is written is what is read.
func TestRoutesThereAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		visit := rapid.Map(rapid.IntRange(0, 19_999), func(v int) routing.VisitIndex { return routing.VisitIndex(v) })
		routes := rapid.SliceOf(rapid.SliceOfN(visit, 1, 30)).Draw(t, "routes")
		var text bytes.Buffer
		if err := instances.WriteRoutes(&text, routes, 1637.7); err != nil {
			t.Fatal(err)
		}
		back, err := instances.ReadRoutes(&text)
		if err != nil || len(routes) > 0 && !reflect.DeepEqual(routes, back) {
			t.Fatalf("wrote %v, read %v, %v", routes, back, err)
		}
	})
}

func FuzzReadRoutes(f *testing.F) {
	f.Add("Route #1: 2 21 73\nRoute #2: 5\nCost 10.5\n")
	f.Add("Route #1: x")
	f.Fuzz(func(t *testing.T, text string) {
		routes, err := instances.ReadRoutes(strings.NewReader(text))
		if err != nil && !strings.Contains(err.Error(), "line") && !strings.Contains(err.Error(), "token too long") {
			t.Fatalf("the error names no line: %v", err)
		}
		for _, route := range routes {
			for _, v := range route {
				if v < 0 {
					t.Fatalf("visit %d", v)
				}
			}
		}
	})
}

// All published routes at hand cost what their table says and keep every rule,
// in both conventions (12th DIMACS implementation challenge, 2022, and SINTEF's
// list of best-known solutions). They are looked for beside the clone; the folder
// holds solomon/, homberger/, solutions/ and best-known.csv. One of them, R101,
// is in testdata and is always checked.
func TestAllPublishedRoutes(t *testing.T) {
	folder := filepath.Join("..", "..", "..", "..", "shared", "benchmarks")
	f, err := os.Open(filepath.Join(folder, "best-known.csv"))
	if os.IsNotExist(err) {
		t.Skip("not beside the clone")
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range rows {
		convention, known := map[string]instances.Convention{"dimacs": instances.Truncated, "hierarchical": instances.Exact}[row[2]]
		text, err := os.ReadFile(filepath.Join(folder, "solutions", row[2], row[0]+".sol"))
		if !known || err != nil {
			continue
		}
		checked++
		t.Run(row[2]+"/"+row[0], func(t *testing.T) {
			want, _ := strconv.ParseFloat(row[4], 64)
			checkPublished(t, folder, row[0], convention, string(text), want)
		})
	}
	if checked != 148 {
		t.Errorf("%d routes checked, 148 are published", checked)
	}
}

func checkPublished(t *testing.T, folder, name string, convention instances.Convention, text string, want float64) {
	file, err := os.Open(filepath.Join(folder, "solomon", name+".txt"))
	if err != nil {
		file, err = os.Open(filepath.Join(folder, "homberger", name+".txt"))
	}
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	s, err := instances.ReadSolomon(file)
	if err != nil {
		t.Fatal(err)
	}
	routes, err := instances.ReadRoutes(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if got := s.Length(convention, routes); math.Abs(got-want) > 0.00006 {
		t.Errorf("length %v, published %v", got, want)
	}
	p, err := routing.NewProblem(s.Spec(convention))
	if err != nil {
		t.Fatal(err)
	}
	plan := routing.Solution{Routes: append(routes, make([][]routing.VisitIndex, p.RouteCount()-len(routes))...)}
	plan.Evaluation = routing.Evaluate(p, plan.Routes)
	for _, fault := range verify.Check(p, plan) {
		t.Error(fault)
	}
	if convention == instances.Truncated && plan.Evaluation.Cost.Total() != routing.Cost(math.Round(want*10)) {
		t.Errorf("cost %d tenths, published %v", plan.Evaluation.Cost.Total(), want)
	}
}
