package geo

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestGeoJSON(t *testing.T) {
	square := []Point{MustPoint(0, 100), MustPoint(0, 101), MustPoint(1, 101), MustPoint(1, 100)}
	for _, c := range []struct {
		name, want string
		shape      Shape
		points     []Point
	}{
		// The examples of RFC 7946, appendix A.1 to A.3.
		{"a point", `{"type":"Point","coordinates":[100,0]}`, Place, square[:1]},
		{"a line", `{"type":"LineString","coordinates":[[100,0],[101,1]]}`, Line, []Point{square[0], square[2]}},
		{"an area", `{"type":"Polygon","coordinates":[[[100,0],[101,0],[101,1],[100,1],[100,0]]]}`, Outline, square},
	} {
		t.Run(c.name, func(t *testing.T) {
			data, err := GeoJSON(c.shape, c.points)
			if err != nil || string(data) != c.want {
				t.Errorf("GeoJSON = %s, %v; want %s", data, err, c.want)
			}
			for _, text := range []string{c.want, `{"type":"Feature","properties":{"name":"x"},"geometry":` + c.want + `}`} {
				shape, points, err := FromGeoJSON([]byte(text))
				if err != nil || shape != c.shape || !reflect.DeepEqual(points, c.points) {
					t.Errorf("FromGeoJSON(%s) = %s, %v, %v", text, shape, points, err)
				}
			}
		})
	}
	if data, err := GeoJSON(Outline, []Point{square[3], square[2], square[1], square[0]}); err != nil || !strings.Contains(string(data), "[[[100,1],[100,0],[101,0],[101,1],[100,1]]]") {
		t.Errorf("a clockwise outline is written as %s, %v", data, err)
	}
}

func TestGeoJSONFaults(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"not JSON", `{`, "reading GeoJSON"},
		{"nothing", `null`, "reading GeoJSON"},
		{"another shape", `{"type":"MultiPoint","coordinates":[[1,2]]}`, "MultiPoint is not read"},
		{"latitude first", `{"type":"LineString","coordinates":[[-98,41],[41,-98]]}`, "position 2"},
		{"a line of one", `{"type":"LineString","coordinates":[[1,2]]}`, "1 positions"},
		{"an open ring", `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,1]]]}`, "the last being the first"},
		{"a hole", `{"type":"Polygon","coordinates":[[[0,0],[9,0],[9,9],[0,0]],[[1,1],[2,1],[2,2],[1,1]]]}`, "2 rings"},
		{"a feature of nothing", `{"type":"Feature","properties":null,"geometry":null}`, "no geometry"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, points, err := FromGeoJSON([]byte(c.text))
			if err == nil || points != nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, %v; want %q", points, err, c.want)
			}
		})
	}
	for _, c := range []struct {
		shape  Shape
		points []Point
	}{{Place, nil}, {Line, []Point{MustPoint(1, 2)}}, {Outline, make([]Point, 3)}, {"Circle", []Point{MustPoint(1, 2)}}} {
		if data, err := GeoJSON(c.shape, c.points); err == nil {
			t.Errorf("%s of %v is written as %s", c.shape, c.points, data)
		}
	}
}

func TestGeoJSONRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var list []Point
		for range rapid.IntRange(2, 6).Draw(t, "points") {
			list = append(list, drawPoint(t, "point"))
		}
		data, err := GeoJSON(Line, list)
		if err != nil {
			t.Fatal(err)
		}
		if shape, points, err := FromGeoJSON(data); err != nil || shape != Line || !reflect.DeepEqual(points, list) {
			t.Fatalf("%s gives %s, %v, %v", data, shape, points, err)
		}
	})
}

func FuzzFromGeoJSON(f *testing.F) {
	for _, seed := range []string{
		`{"type":"Point","coordinates":[100,0]}`, `{"type":"LineString","coordinates":[[100,0,12],[101,1]]}`,
		`{"type":"Feature","properties":{},"geometry":{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]}}`,
		`{"type":"GeometryCollection","geometries":[]}`, `{"type":"Polygon","coordinates":[]}`, `{"type":"Point"}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		shape, points, err := FromGeoJSON(data)
		if err != nil {
			return
		}
		for _, p := range points {
			if !p.IsSet() || math.IsNaN(p.LatDeg()) {
				t.Fatalf("%s gives %v", data, points)
			}
		}
		again, err := GeoJSON(shape, points)
		if err != nil {
			t.Fatalf("%s gives %s of %v, which is not written: %v", data, shape, points, err)
		}
		if _, _, err := FromGeoJSON(again); err != nil {
			t.Fatalf("%s is written but not read: %v", again, err)
		}
	})
}
