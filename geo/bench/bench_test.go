package bench

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"

	"valveround/geo"
)

var small = sizes{matrix: 60, index: 2000, pairs: 50}

// Every figure is there by name, with the fields that others read.
func TestFigures(t *testing.T) {
	lines := map[string]map[string]any{}
	err := run(context.Background(), small, func(f Figure) error {
		data, err := json.Marshal(f)
		if err != nil {
			return err
		}
		line := map[string]any{}
		if !strings.Contains(f.String(), f.Name) {
			t.Errorf("%s prints as %q", f.Name, f)
		}
		lines[f.Name] = line
		return json.Unmarshal(data, &line)
	})
	if err != nil {
		t.Fatal(err)
	}
	for name, fields := range map[string]string{
		"matrix_10000":             "seconds ratio_to_haversine_loop memory_ratio",
		"matrix_10000_world":       "seconds ratio_to_haversine_loop memory_ratio",
		"karney_inverse":           "ns allocs ratio_to_haversine",
		"karney_direct":            "ns allocs ratio_to_haversine",
		"nearest20_100k":           "us",
		"nearest20_100k_clustered": "us",
	} {
		for field := range strings.FieldsSeq(fields) {
			if _, ok := lines[name][field].(float64); !ok {
				t.Errorf("%s has no %s: %v", name, field, lines[name])
			}
		}
	}
	for _, name := range []string{"karney_inverse", "karney_direct"} {
		if lines[name]["allocs"] != 0. {
			t.Errorf("%s allocates: %v", name, lines[name])
		}
	}
}

// The cells written are distances of the points beside them, by a formula of this
// package.
func TestDump(t *testing.T) {
	for _, n := range []int{1, 2, 25} {
		var out bytes.Buffer
		if err := dump(context.Background(), small, &out, n); err != nil {
			t.Fatal(err)
		}
		lines, err := csv.NewReader(&out).ReadAll()
		if err != nil || len(lines) != n {
			t.Fatalf("%d lines, want %d; %v", len(lines), n, err)
		}
		for _, line := range lines {
			var x [5]float64
			for i := range x {
				if x[i], err = strconv.ParseFloat(line[i], 64); err != nil {
					t.Fatal(err)
				}
			}
			want := haversine(x[0], x[1], x[2], x[3])
			if math.Abs(x[4]-want) > geo.DistanceMatrixError*want+1e-3 {
				t.Errorf("%v, want %v metres", line, want)
			}
		}
	}
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := Run(ctx, func(Figure) error { return nil }); err == nil {
		t.Error("no error when cancelled")
	}
	if err := Dump(ctx, &bytes.Buffer{}, 2); err == nil {
		t.Error("no error when cancelled")
	}
}
