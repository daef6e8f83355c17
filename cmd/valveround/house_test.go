package main_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// These tests hold the house to its rules: who may import whom, what lies at the top, and what every package says of itself.

const (
	module = "valveround/"
	root   = "../.."
)

// layers from the bottom up: a folder imports its own layer and those below it.
var layers = []string{"geo", "events", "planner", "services", "cmd"}

// ban forbids the packages below from to import those below to, and says why. A path ending in /... means the folder and all
// in it.
type ban struct {
	from, to, why string
	except        []string // packages below from that may
	tests         bool     // tests are held to it too
}

var bans = []ban{
	{from: "planner/routing", to: "valveround/events/...", why: "the engine knows nothing of valves", tests: true},
	{from: "planner/routing", to: "valveround/planner", why: "the engine knows nothing of plans", tests: true},
	{from: "planner/routing", to: "valveround/planner/hours", why: "the engine knows spans, not opening hours", tests: true},
	{from: "planner/routing", to: "valveround/planner/check/...", why: "the engine does not know what judges it", tests: true},
	{from: "planner/routing/...", to: "valveround/planner/check/...", why: "the engine does not know what judges it", tests: true},
	{from: "planner/check/...", to: "valveround/planner/routing/...", why: "the checker is a stranger to the engine it checks", tests: true},
	{from: "planner/...", to: "net/...", why: "the planner knows no network", tests: true},
	{from: "planner/...", to: "os/...", why: "the planner knows no files"},
	{from: "planner/...", to: "path/filepath", why: "the planner knows no files"},
	{from: "planner/...", to: "github.com/nats-io/...", why: "the planner knows no network", tests: true},
	{from: "geo/...", to: "net/...", why: "geo knows no network", tests: true},
	{from: "geo/...", to: "os/...", why: "geo knows no files"},
	{from: "geo/...", to: "path/filepath", why: "geo knows no files"},
	{from: "events/...", to: "github.com/nats-io/...", why: "only natslog knows the broker", except: []string{"events/natslog"}, tests: true},
	{from: "events/...", to: "github.com/synadia-io/...", why: "only natslog knows the broker", except: []string{"events/natslog"}, tests: true},
	{from: "services/...", to: "github.com/nats-io/...", why: "services know the log, not the broker"},
	{from: "geo/...", to: "go.uber.org/zap/...", why: "pure packages do not log", tests: true},
	{from: "planner/...", to: "go.uber.org/zap/...", why: "pure packages do not log", tests: true},
	{from: "events", to: "go.uber.org/zap/...", why: "pure packages do not log", tests: true},
}

// upward are the imports against the layers that tests may make, each with its reason. (Reading stored vectors from
// testdata is why bans on files leave tests out.)
var upward = map[[2]string]string{
	{"planner", "services/demo"}:       "the demo county is the book that whole plans are tried on",
	{"planner/check", "services/demo"}: "the demo county is the book that whole plans are tried on",
}

// listed is what go list says of a package.
type listed struct {
	ImportPath, Dir, Name, Doc         string
	Imports, TestImports, XTestImports []string
}

func (p listed) folder() string { return strings.TrimPrefix(p.ImportPath, module) }

// packages asks the go command, which the tests run under anyway. Packages that do not build are listed too.
func packages(t *testing.T) []listed {
	t.Helper()
	out := run(t, "go", "list", "-e", "-json=ImportPath,Dir,Name,Doc,Imports,TestImports,XTestImports", "./...")
	var list []listed
	for read := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		err := read.Decode(&p)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, p)
	}
	if len(list) < 10 {
		t.Fatalf("go list names %d packages", len(list))
	}
	return list
}

func run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	c := exec.CommandContext(t.Context(), name, args...)
	c.Dir = root
	var faults bytes.Buffer
	c.Stderr = &faults
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, &faults)
	}
	return out
}

func below(path, folder string) bool {
	folder, deep := strings.CutSuffix(folder, "/...")
	return path == folder || deep && strings.HasPrefix(path, folder+"/")
}

func layerOf(folder string) int {
	top, _, _ := strings.Cut(folder, "/")
	return slices.Index(layers, top)
}

func TestImportsGoOneWay(t *testing.T) {
	for _, p := range packages(t) {
		for _, fault := range importFaults(p) {
			t.Error(fault)
		}
	}
}

func importFaults(p listed) []string {
	from := p.folder()
	if layerOf(from) < 0 {
		return []string{from + " is in none of the folders " + strings.Join(layers, ", ")}
	}
	var faults []string
	check := func(imports []string, test bool) {
		for _, path := range imports {
			to, ours := strings.CutPrefix(path, module)
			if ours && layerOf(to) > layerOf(from) && (!test || upward[[2]string{from, to}] == "") {
				faults = append(faults, from+" imports "+to+": arrows go down from "+layers[layerOf(to)]+" to "+layers[layerOf(from)])
			}
			for _, b := range bans {
				if below(from, b.from) && below(path, b.to) && !slices.Contains(b.except, from) && (b.tests || !test) {
					faults = append(faults, from+" imports "+path+": "+b.why)
				}
			}
		}
	}
	check(p.Imports, false)
	check(append(slices.Clone(p.TestImports), p.XTestImports...), true)
	return faults
}

// The rules are rules: each of these packages breaks one, or none.
func TestImportRulesBite(t *testing.T) {
	for _, c := range []struct {
		from, imports, testImports string
		fault                      string
	}{
		{"events", "valveround/geo", "", ""},
		{"events", "valveround/planner", "", "arrows go down from planner to events"},
		{"geo", "", "valveround/events", "arrows go down from events to geo"},
		{"planner", "valveround/services/demo", "", "arrows go down from services to planner"},
		{"planner", "valveround/planner/routing", "valveround/services/demo", ""},
		{"planner/hours", "", "valveround/services/demo", "arrows go down"},
		{"planner/routing", "valveround/geo", "valveround/planner/routing/verify", ""},
		{"planner/routing", "valveround/events", "", "nothing of valves"},
		{"planner/check/reckon", "valveround/planner", "", ""},
		{"planner/check/reckon", "valveround/planner/routing/verify", "", "stranger"},
		{"planner/routing/instances", "os", "", "no files"},
		{"planner/routing/instances", "", "os", ""},
		{"geo", "net/http", "", "no network"},
		{"geo", "os/exec", "", "no files"},
		{"events/keeper", "github.com/nats-io/nats.go/jetstream", "", "only natslog"},
		{"events/natslog", "github.com/nats-io/nats.go/jetstream", "github.com/nats-io/nats-server/v2/server", ""},
		{"tools/gen", "", "", "in none of the folders"},
	} {
		got := importFaults(listed{ImportPath: module + c.from, Imports: strings.Fields(c.imports), TestImports: strings.Fields(c.testImports)})
		if text := strings.Join(got, "\n"); (c.fault == "") != (len(got) == 0) || !strings.Contains(text, c.fault) {
			t.Errorf("%s importing %q, and %q in tests: faults %q, want %q", c.from, c.imports, c.testImports, text, c.fault)
		}
	}
}

// What planner and geo rest on, their libraries included, opens no connection either.
func TestPlannerReachesNoNetwork(t *testing.T) {
	for _, path := range strings.Fields(string(run(t, "go", "list", "-e", "-deps", "./geo/...", "./planner/..."))) {
		if path == "net" || path == "net/http" || path == "crypto/tls" || strings.HasPrefix(path, "github.com/nats-io/") {
			t.Errorf("planner or geo reaches %s through what it imports", path)
		}
	}
}

// Judges call no function of what they judge, even where they may use its types: a shared mistake would pass unseen.
func TestJudgesShareNoCode(t *testing.T) {
	for _, c := range []struct{ judges, judged string }{
		{"planner/check", "planner"},
		{"planner/check/reckon", "planner"},
		{"planner/routing/verify", "planner/routing"},
	} {
		functions := map[string]bool{}
		for _, file := range parse(t, c.judged) {
			for _, d := range file.Decls {
				if f, ok := d.(*ast.FuncDecl); ok && f.Recv == nil {
					functions[f.Name.Name] = true
				}
			}
		}
		for _, file := range parse(t, c.judges) {
			called := calledIn(file, module+c.judged)
			ast.Inspect(file, func(n ast.Node) bool {
				s, ok := n.(*ast.SelectorExpr)
				if !ok {
					return true
				}
				if x, ok := s.X.(*ast.Ident); ok && x.Name == called && functions[s.Sel.Name] {
					t.Errorf("%s uses the function %s.%s of what it judges", c.judges, called, s.Sel.Name)
				}
				return true
			})
		}
	}
}

// parse reads the source of a package, without its tests.
func parse(t *testing.T, folder string) []*ast.File {
	t.Helper()
	var files []*ast.File
	names, err := filepath.Glob(filepath.Join(root, folder, "*.go"))
	if err != nil || len(names) == 0 {
		t.Fatalf("%s: no source, %v", folder, err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
	}
	return files
}

// calledIn is what a file calls a package that it imports; a blank when it does not.
func calledIn(file *ast.File, path string) string {
	for _, spec := range file.Imports {
		if got, _ := strconv.Unquote(spec.Path.Value); got != path {
			continue
		}
		if spec.Name != nil {
			return spec.Name.Name
		}
		return path[strings.LastIndex(path, "/")+1:]
	}
	return ""
}

func TestEveryPackageSaysWhatItIsFor(t *testing.T) {
	for _, p := range packages(t) {
		if p.Doc == "" && p.Name != "" { // no name: a folder of tests only
			t.Errorf("%s has no package comment", p.folder())
		}
		for _, name := range []string{p.Name, filepath.Base(p.Dir)} {
			switch name {
			case "util", "utils", "common", "helper", "helpers", "misc", "shared", "base":
				t.Errorf("%s: a package is named for what it does, and %q says nothing", p.folder(), name)
			}
		}
	}
}

// files lists what is kept in the repository and what would be, without what .gitignore names. A copy without its history
// has no build outputs to leave out but these.
func files(t *testing.T) []string {
	t.Helper()
	if _, err := os.Stat(filepath.Join(root, ".git")); err == nil {
		out := run(t, "git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
		return strings.FieldsFunc(string(out), func(r rune) bool { return r == 0 })
	}
	var list []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch name := d.Name(); {
		case err != nil:
			return err
		case d.IsDir() && (name == "node_modules" || name == "bin" || name == "test-results" || name == "dist"):
			return fs.SkipDir
		case d.Type().IsRegular():
			kept, err := filepath.Rel(root, path)
			list = append(list, filepath.ToSlash(kept))
			return err
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return list
}

var topLevel = []string{"services", "events", "planner", "geo", "cmd", "deploy", "testdata", "go.mod", "go.sum", "README.md", "DEVELOPERS.md", "Makefile", "LICENSE"}

func TestTopLevelIsFixed(t *testing.T) {
	seen := map[string]bool{}
	for _, file := range files(t) {
		top, _, _ := strings.Cut(file, "/")
		if seen[top] = true; !slices.Contains(topLevel, top) && !strings.HasPrefix(top, ".") {
			t.Errorf("%s: only %s and dot-files lie at the top", file, strings.Join(topLevel, ", "))
		}
	}
	for _, top := range topLevel {
		if !seen[top] {
			t.Errorf("%s is missing at the top", top)
		}
	}
}

func TestNoMachinesPaths(t *testing.T) {
	machine := [][]byte{[]byte("/wo" + "rk/"), []byte("/ro" + "ot/"), []byte("/ho" + "me/")}
	for _, file := range files(t) {
		text, err := os.ReadFile(filepath.Join(root, file))
		if errors.Is(err, fs.ErrNotExist) { // taken away and not yet recorded
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range bytes.Split(text, []byte("\n")) {
			for _, path := range machine {
				if bytes.Contains(line, path) && len(line) < 1000 { // longer ones are data or built
					t.Errorf("%s:%d names a path of one machine: %s", file, i+1, bytes.TrimSpace(line))
				}
			}
		}
	}
}

func TestNoCgo(t *testing.T) {
	for _, file := range files(t) {
		if !strings.HasSuffix(file, ".go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, file), nil, parser.ImportsOnly)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, spec := range parsed.Imports {
			if spec.Path.Value == `"C"` {
				t.Errorf("%s imports C: everything is built without cgo", file)
			}
		}
	}
}
