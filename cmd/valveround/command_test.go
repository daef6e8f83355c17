package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// valveround runs the program with a command line, in this process.
func valveround(t *testing.T, args ...string) (code int, out, errOut string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), args, &stdout, &stderr)
	return code, stdout.String(), stderr.String()
}

// must runs a command that has to succeed and gives what it printed.
func must(t *testing.T, args ...string) string {
	t.Helper()
	code, out, errOut := valveround(t, args...)
	if code != 0 {
		t.Fatalf("valveround %s: exit %d\n%s%s", strings.Join(args, " "), code, out, errOut)
	}
	return out
}

var smallDemo = []string{"--crews", "3", "--sites", "60", "--seed", "5"}

func with(args []string, more ...string) []string {
	return append(append([]string{}, args...), more...)
}

// addsUpInPrint adds up the printed money: each route, the routes, and the jobs left out with them, to the cent.
func addsUpInPrint(t *testing.T, out string) {
	t.Helper()
	cents := func(text string) int {
		n, err := strconv.Atoi(strings.ReplaceAll(text, ".", ""))
		if err != nil {
			t.Fatalf("%q is no money", text)
		}
		return n
	}
	amount := regexp.MustCompile(`-?\d+\.\d\d`)
	sums, routes, left, inMoney, inLeft := map[string][]string{}, 0, 0, false, false
	for line := range strings.Lines(out) {
		figures := amount.FindAllString(line, -1)
		switch name := strings.TrimSpace(line[:min(len(line), 30)]); {
		case strings.HasPrefix(line, "Money in USD"):
			inMoney = true
		case strings.HasPrefix(line, "Left out, and"):
			inMoney, inLeft = false, true
		case inMoney && strings.HasPrefix(name, "Crew"):
			row := 0
			for _, f := range figures[:4] {
				row += cents(f)
			}
			if row != cents(figures[4]) {
				t.Errorf("does not add up: %s", line)
			}
			routes += row
		case inMoney && len(figures) > 0:
			sums[name] = figures
		case inLeft && strings.HasPrefix(line, "  ") && !strings.HasPrefix(line, "              "):
			left += cents(figures[0])
		}
	}
	if got := cents(sums["routes"][4]); got != routes {
		t.Errorf("the routes cost %d cents, printed %d", routes, got)
	}
	if got := cents(sums["work left out"][0]) + cents(sums["promises not kept"][0]); got != left {
		t.Errorf("the jobs left out cost %d cents, printed %d", left, got)
	}
	if got := cents(sums["total"][0]); got != routes+left || got == 0 {
		t.Errorf("everything costs %d cents, printed %d", routes+left, got)
	}
}

func TestPlanThenCheck(t *testing.T) {
	file := filepath.Join(t.TempDir(), "plan.json")
	out := must(t, with([]string{"plan", "--demo", "--date", "2026-05-13", "--seconds", "0.3", "--out", file}, smallDemo...)...)
	for _, want := range []string{"great circle × 1.3 at 45 km/h", "left out", "total", "USD"} {
		if !strings.Contains(out, want) {
			t.Errorf("the printed plan does not say %q:\n%s", want, out)
		}
	}
	must(t, with([]string{"check", "--demo", file}, smallDemo...)...)
	addsUpInPrint(t, out)
	said := must(t, with([]string{"suppose", "--demo", "--plan", file, "--seconds", "0.2", "--crew-off", "A"}, smallDemo...)...)
	if !strings.Contains(said, "Suppose that Crew A does not work that day.") || !strings.Contains(said, "visits moved") || !strings.Contains(said, "was Crew A at") {
		t.Errorf("suppose says %s", said)
	}
	if days := must(t, with([]string{"plan", "--demo", "--date", "2026-05-13", "--seconds", "0.1", "--days", "3"}, smallDemo...)...); strings.Count(days, "jobs planned") != 3 {
		t.Errorf("three days say %s", days)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, from, to, want string }{
		{"a field that does not exist", `"routes"`, `"routen"`, "unknown field"},
		{"a number where a list belongs", `"left_out": [`, `"left_out": 7, "x": [`, "left_out"},
		{"cut off", "", "", "unexpected EOF"},
		{"another office", `"office": "demo"`, `"office": "south"`, "of office"},
		{"another speed", `"SpeedKmh": 45`, `"SpeedKmh": 90`, "settings"},
	} {
		t.Run(c.name, func(t *testing.T) {
			damaged := strings.Replace(string(text), c.from, c.to, 1)
			if c.from == "" {
				damaged = string(text[:len(text)/2])
			} else if damaged == string(text) {
				t.Fatalf("the plan holds no %s", c.from)
			}
			path := filepath.Join(t.TempDir(), "damaged.json")
			if err := os.WriteFile(path, []byte(damaged), 0o600); err != nil {
				t.Fatal(err)
			}
			code, out, errOut := valveround(t, with([]string{"check", "--demo", path}, smallDemo...)...)
			if code != 1 || !strings.Contains(errOut, c.want) {
				t.Errorf("exit %d, want 1 and %q in:\n%s%s", code, c.want, out, errOut)
			}
		})
	}
}

func TestFilesPlanAndLog(t *testing.T) {
	dir := t.TempDir()
	county, log, file := filepath.Join(dir, "county"), filepath.Join(dir, "log"), filepath.Join(dir, "plan.json")
	must(t, with([]string{"demo", "files", county, "--date", "2026-05-12"}, smallDemo...)...)
	must(t, "plan", "--from", county, "--date", "2026-05-13", "--seconds", "0.2", "--out", file)
	must(t, "check", "--from", county, file)

	must(t, "init", log)
	if code, _, errOut := valveround(t, "init", log); code != 1 || errOut == "" {
		t.Errorf("a second init in the same folder: exit %d, %q", code, errOut)
	}
	if out := must(t, "import", "--dir", log, "--from", county); strings.HasPrefix(out, "0 ") {
		t.Errorf("the first import wrote nothing: %s", out)
	}
	if out := must(t, "import", "--dir", log, "--from", county); !strings.HasPrefix(out, "0 ") {
		t.Errorf("the same folder imported again: %s", out)
	}
	importsPositions(t, dir, log)
	list, rejected := filepath.Join(dir, "due.csv"), filepath.Join(dir, "rejected.csv")
	must(t, with([]string{"demo", "list", "--date", "2026-05-12", "--out", list}, smallDemo...)...)
	for range 2 {
		must(t, "import", "--dir", log, "--list", list, "--purveyor", "pv-2", "--as-of", "2026-05-12", "--rejected", rejected)
	}
	if text, err := os.ReadFile(rejected); err != nil || len(text) == 0 {
		t.Errorf("the rejected rows were not saved: %v", err)
	}
	if out := must(t, "log", "verify", "--dir", log); !strings.Contains(out, "0 faults") {
		t.Errorf("verify says %s", out)
	}
	export := filepath.Join(dir, "log.jsonl")
	must(t, "log", "export", "--dir", log, "--out", export)
	if text, err := os.ReadFile(export); err != nil || bytes.Count(text, []byte("\n")) < 100 {
		t.Errorf("the export holds %d lines: %v", bytes.Count(text, []byte("\n")), err)
	}
}

// importsPositions gives the log an address-point file of the county's own addresses, spelt as another office would, without
// and then with leave to take them.
func importsPositions(t *testing.T, dir, log string) {
	t.Helper()
	table := func(name string) (rows [][]string, col func(string) int) {
		text, err := os.ReadFile(filepath.Join(dir, "county", name))
		if err != nil {
			t.Fatal(err)
		}
		if rows, err = csv.NewReader(bytes.NewReader(text)).ReadAll(); err != nil {
			t.Fatal(err)
		}
		return rows, func(column string) int { return slices.Index(rows[0], column) }
	}
	crews, of := table("crews.csv")
	home := crews[1][of("home_lat_deg")] + "," + crews[1][of("home_lon_deg")]
	rows, col := table("sites.csv")
	points, wanting := "ADDRESS,LAT,LON\n", 0
	for _, row := range rows[1:] {
		if source := row[col("position_source")]; source == "street" || source == "approximate" || source == "missing" {
			points += fmt.Sprintf("%q,%s\n", strings.ToUpper(strings.Replace(row[col("address")], "Street", "St.", 1)), home)
			wanting++
		}
	}
	if wanting == 0 {
		t.Fatal("no site of the small county wants a position")
	}
	file := filepath.Join(dir, "points.csv")
	if err := os.WriteFile(file, []byte(points+"12 NOWHERE LN,9000000,17\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out := must(t, "import", "--dir", log, "--positions", file, "--take", "none")
	if !strings.Contains(out, "0 positions taken") || !strings.Contains(out, "the same house number, street name") || !strings.Contains(out, "1 left out") {
		t.Errorf("a first look says:\n%s", out)
	}
	sure := regexp.MustCompile(`(?m)^sure (\d+), likely`).FindStringSubmatch(out)
	if sure == nil || sure[1] == "0" {
		t.Fatalf("none is sure:\n%s", out)
	}
	if out := must(t, "import", "--dir", log, "--positions", file); !strings.Contains(out, "\n"+sure[1]+" positions taken") {
		t.Errorf("%s are sure, and this was taken:\n%s", sure[1], out)
	}
	if out := must(t, "import", "--dir", log, "--positions", file); !strings.Contains(out, "sure 0,") || !strings.Contains(out, "\n0 positions taken") {
		t.Errorf("the same file again says:\n%s", out)
	}
}

func TestAskedWrongly(t *testing.T) {
	missing := filepath.Join(t.TempDir(), "nothing-here")
	for _, c := range []struct {
		name string
		args []string
		code int
		want string
	}{
		{"nothing", nil, 2, "--help"},
		{"no such command", []string{"dance"}, 2, "dance"},
		{"neither demo nor files", []string{"plan"}, 2, "--demo"},
		{"both", []string{"plan", "--demo", "--from", t.TempDir()}, 2, "can't be used together"},
		{"a date that is none", []string{"plan", "--demo", "--date", "31.2.2026"}, 1, "--date"},
		{"a negative search", []string{"plan", "--demo", "--date", "2026-05-13", "--seconds=-1"}, 1, "--seconds"},
		{"no crews", []string{"plan", "--demo", "--date", "2026-05-13", "--crews", "0"}, 1, "crews"},
		{"a folder that is not there", []string{"plan", "--from", missing}, 2, "nothing-here"},
		{"an empty folder", []string{"plan", "--from", t.TempDir(), "--date", "2026-05-13"}, 1, "sites.csv"},
		{"a plan that is not there", []string{"check", "--demo", missing}, 2, "nothing-here"},
		{"a log that is none", []string{"log", "verify", "--dir", t.TempDir()}, 1, "init"},
		{"a list without a purveyor", []string{"import", "--dir", t.TempDir(), "--list", "story_test.go"}, 1, "--purveyor"},
		{"serve without a log", []string{"serve"}, 1, "--dir"},
		{"a port that is none", []string{"serve", "--demo", "--port", "99999", "--sites", "20"}, 1, "port"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errOut := valveround(t, c.args...)
			if code != c.code || !strings.Contains(out+errOut, c.want) {
				t.Errorf("exit %d, want %d and %q in:\n%s%s", code, c.code, c.want, out, errOut)
			}
			if strings.Contains(out+errOut, "panic") || strings.Contains(out+errOut, "goroutine") {
				t.Errorf("it fell over:\n%s%s", out, errOut)
			}
		})
	}
}

// TestPlanWithOtherSettings: a file of settings is planned, printed and checked with; one that makes no sense is refused with its name.
func TestPlanWithOtherSettings(t *testing.T) {
	command := func(t *testing.T, want int, args ...string) string {
		t.Helper()
		code, out, errOut := valveround(t, args...)
		if code != want {
			t.Fatalf("valveround %s: exit %d, want %d\n%s%s", strings.Join(args, " "), code, want, out, errOut)
		}
		return out + errOut
	}
	dir := t.TempDir()
	file, plan := filepath.Join(dir, "settings.json"), filepath.Join(dir, "plan.json")
	if err := os.WriteFile(file, []byte(`{"crew_hour_usd": 52}`), 0o600); err != nil {
		t.Fatal(err)
	}
	small := []string{"--demo", "--sites", "40", "--crews", "2", "--settings", file}
	said := command(t, 0, append([]string{"plan", "--date", "2026-05-13", "--seconds", "0.2", "--out", plan}, small...)...)
	if !strings.Contains(said, "52 USD an hour (default 48)") {
		t.Errorf("the plan says %s", said)
	}
	command(t, 0, append([]string{"check", plan}, small...)...)
	if said := command(t, 1, append([]string{"check", plan}, small[:5]...)...); !strings.Contains(said, "made with other settings") {
		t.Errorf("checked by the defaults: %s", said)
	}
	if said := command(t, 0, "settings", file); !strings.Contains(said, "crew_hour_usd") || !strings.Contains(said, "52 USD an hour (default 48)") {
		t.Errorf("the settings are %s", said)
	}
	if err := os.WriteFile(file, []byte(`{"crew_hour_usd": -1}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if said := command(t, 1, "settings", file); !strings.Contains(said, "crew hour") {
		t.Errorf("refused with %s", said)
	}
	if said := command(t, 0, "times", "--demo", "--date", "2026-05-13"); !strings.Contains(said, "test of a reduced pressure assembly, to 2 in: ") {
		t.Errorf("the log says %s", said)
	}
}
