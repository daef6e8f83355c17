package geo

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// One degree of the equator is 111,195.08 m on the mean sphere (π R / 180); at
// detour 1.3 and 60 km/h that is 144,554 m and 8,673.2 s.
func TestGreatCircleTravel(t *testing.T) {
	model := GreatCircle{DetourFactor: 1.3, SpeedKmh: 60, FixedSeconds: 120}
	got := model.Travel(MustPoint(0, 0), MustPoint(0, 1))
	if want := (Travel{Metres: 144554, Seconds: 8674 + 120}); got != want {
		t.Errorf("Travel = %+v, want %+v", got, want)
	}
	here := MustPoint(40, -100)
	if got := model.Travel(here, here); got != (Travel{}) {
		t.Errorf("staying = %+v, want nothing", got)
	}
	if want := "great circle × 1.3 at 60 km/h, 2 min added to each drive"; model.Describe() != want {
		t.Errorf("Describe = %q, want %q", model.Describe(), want)
	}
}

func TestGreatCircleValidate(t *testing.T) {
	err := GreatCircle{DetourFactor: 0.9, SpeedKmh: 0, FixedSeconds: -1}.Validate()
	for _, want := range []string{"detour factor 0.9", "speed 0 km/h", "fixed time -1 s"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Validate = %v, want %q in it", err, want)
		}
	}
	if err := (GreatCircle{DetourFactor: 1, SpeedKmh: 50}).Validate(); err != nil {
		t.Error(err)
	}
}

func TestMatrixEqualsTravel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		model := GreatCircle{
			DetourFactor: rapid.Float64Range(1, 5).Draw(t, "detour"),
			SpeedKmh:     rapid.Float64Range(1, 200).Draw(t, "speed"),
			FixedSeconds: Seconds(rapid.IntRange(0, 3600).Draw(t, "fixed")),
		}
		var from, to []Point
		for range rapid.IntRange(0, 4).Draw(t, "rows") {
			from = append(from, drawPoint(t, "from"))
		}
		for range rapid.IntRange(0, 4).Draw(t, "columns") {
			to = append(to, drawPoint(t, "to"))
		}
		m, err := model.Matrix(context.Background(), from, to, nil)
		if err != nil || m.Validate() != nil {
			t.Fatal(err, m.Validate())
		}
		among := model.Among(append(slices.Clone(from), to...))
		for i := range from {
			for j := range to {
				if got := among.Between(i, len(from)+j); got != m.At(i, j) {
					t.Fatalf("among %v, matrix %v", got, m.At(i, j))
				}
				if m.At(i, j) != model.Travel(from[i], to[j]) {
					t.Fatalf("matrix %v, travel %v", m.At(i, j), model.Travel(from[i], to[j]))
				}
			}
		}
	})
}

func TestMatrixProgressAndCancel(t *testing.T) {
	points := []Point{MustPoint(40, -100), MustPoint(40, -101), MustPoint(41, -100)}
	model := GreatCircle{DetourFactor: 1, SpeedKmh: 50}
	ctx, cancel := context.WithCancel(context.Background())
	var seen []int
	_, err := model.Matrix(ctx, points, points, func(done, total int) {
		seen = append(seen, done)
		if total != 9 {
			t.Errorf("total %d, want 9", total)
		}
		if done == 6 {
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) || len(seen) != 2 {
		t.Errorf("error %v after %v, want cancelled after two rows", err, seen)
	}
	_, err = model.Matrix(context.Background(), points, []Point{points[0], {}}, nil)
	if !errors.Is(err, ErrUnset) || !strings.Contains(err.Error(), "to[1]") {
		t.Errorf("error %v, want to[1] unset", err)
	}
}
