package geo

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Exempt from the rule below: readers of benchmark formats, which bring a radius
// and a distance rule of their own.
var benchmarkReaders = []string{
	"planner/routing/instances/tsplib.go",
	"planner/routing/instances/tsplib_test.go",
}

// No other package knows an earth radius or computes a distance on the earth: none
// holds a number that is a radius, axis or degree of the earth in metres,
// kilometres, miles or nautical miles, names one, imports a library's distances, or
// takes sines and cosines of latitudes.
func TestOnlyGeoMeasuresTheEarth(t *testing.T) {
	root := ".."
	files := 0
	for _, folder := range []string{"cmd", "events", "planner", "services", "deploy"} {
		err := filepath.WalkDir(filepath.Join(root, folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			name, _ := filepath.Rel(root, path)
			name = filepath.ToSlash(name)
			if d.IsDir() {
				if d.Name() == "node_modules" || d.Name() == "dist" {
					return filepath.SkipDir
				}
				return nil
			}
			if !strings.HasSuffix(name, ".go") || slices.Contains(benchmarkReaders, name) {
				return nil
			}
			files++
			set := token.NewFileSet()
			file, err := parser.ParseFile(set, path, nil, 0)
			if err != nil {
				return nil // the compiler says so better
			}
			for _, f := range earthFaults(file) {
				t.Errorf("%s:%d: %s; that belongs to package geo", name, set.Position(f.at).Line, f.what)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if files < 50 {
		t.Errorf("only %d files seen", files)
	}
	t.Logf("%d files seen", files)
}

type earthFault struct {
	at   token.Pos
	what string
}

func earthFaults(file *ast.File) (faults []earthFault) {
	for _, i := range file.Imports {
		path, _ := strconv.Unquote(i.Path.Value)
		for _, bad := range []string{"github.com/paulmach/orb/", "github.com/golang/geo/"} {
			if strings.HasPrefix(path, bad) && !strings.HasSuffix(path, "/geojson") {
				faults = append(faults, earthFault{i.Pos(), "imports " + path})
			}
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BasicLit:
			if n.Kind != token.INT && n.Kind != token.FLOAT {
				break
			}
			text := strings.ReplaceAll(n.Value, "_", "")
			if x, err := strconv.ParseFloat(text, 64); err == nil && isEarths(x) {
				faults = append(faults, earthFault{n.Pos(), "the number " + n.Value})
			}
		case *ast.Ident:
			lower := strings.ToLower(n.Name)
			for _, bad := range []string{"haversine", "earthradius", "radiusofearth", "equirect", "vincenty", "greatcircledist"} {
				if strings.Contains(lower, bad) {
					faults = append(faults, earthFault{n.Pos(), "the name " + n.Name})
				}
			}
		case *ast.CallExpr:
			f, ok := n.Fun.(*ast.SelectorExpr)
			if ok && slices.Contains([]string{"Sin", "Cos", "Sincos", "Tan", "Asin", "Acos"}, f.Sel.Name) && isName(f.X, "math") && speaksOfLatitude(n.Args) {
				faults = append(faults, earthFault{n.Pos(), "math." + f.Sel.Name + " of a latitude or longitude"})
			}
		}
		return true
	})
	return faults
}

func isName(e ast.Expr, name string) bool {
	id, ok := e.(*ast.Ident)
	return ok && id.Name == name
}

func speaksOfLatitude(args []ast.Expr) (found bool) {
	for _, a := range args {
		ast.Inspect(a, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				lower := strings.ToLower(id.Name)
				found = found || strings.HasPrefix(lower, "lat") || strings.HasPrefix(lower, "lon") || strings.HasPrefix(lower, "lng") || strings.HasPrefix(lower, "phi")
			}
			return true
		})
	}
	return found
}

// isEarths: a radius or axis of the earth in metres, kilometres, miles or nautical
// miles, or the length of a degree; but no other whole hundred, which may be money.
func isEarths(x float64) bool {
	if slices.Contains([]float64{6_371_000, 6_378_000, 6_357_000, 111_000, 111_200}, x) {
		return true
	}
	if x == math.Trunc(x) && (x < 1000 || math.Mod(x, 100) == 0) {
		return false
	}
	for _, r := range [][2]float64{
		{6_330_000, 6_405_000}, {6_330, 6_405}, {3_940, 3_975}, {3_430, 3_450}, // radii
		{110_500, 111_700}, {110.5, 111.7}, {69.0, 69.2}, // degrees
	} {
		if r[0] <= x && x <= r[1] {
			return true
		}
	}
	return false
}

// The rule finds what it is for.
func TestOnlyGeoFinds(t *testing.T) {
	for _, c := range []struct{ name, code string }{
		{"a radius in metres", "const r = 6371008.8"},
		{"a radius in kilometres", "const r = 6371"},
		{"the equator's radius", "var r = 6_378_137.0"},
		{"the radius in miles", "const r = 3958.8"},
		{"metres in a degree", "const d = 111_195"},
		{"metres in a degree, nearly", "const d = 111_320.0"},
		{"a name", "func haversine() {}"},
		{"sine of a latitude", "import \"math\"\nfunc f(latDeg float64) float64 { return math.Cos(latDeg * math.Pi / 180) }"},
		{"a library's distances", "import _ \"github.com/paulmach/orb/geo\""},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := parser.ParseFile(token.NewFileSet(), "x.go", "package x\n"+c.code, 0)
			if err != nil {
				t.Fatal(err)
			}
			if len(earthFaults(file)) == 0 {
				t.Errorf("nothing found in %s", c.code)
			}
		})
	}
	file, err := parser.ParseFile(token.NewFileSet(), "x.go", "package x\nconst a, b, c, d = 86400, 3600, 14400, 110", 0)
	if err != nil || len(earthFaults(file)) > 0 {
		t.Errorf("%v, %v", earthFaults(file), err)
	}
}
