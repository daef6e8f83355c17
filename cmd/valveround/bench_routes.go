package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"valveround/planner/routing"
	"valveround/planner/routing/instances"
	"valveround/planner/routing/verify"
)

// benchRoutes plans every instance of a folder, checks what comes out, and
// compares it with the best-known value, where there is one.
type benchRoutes struct {
	Instances  string  `help:"A folder of instances in Solomon's text format, or one file." required:"" type:"path"`
	Best       string  `help:"Table of best-known values (instance,customers,convention,vehicles,distance,…); best-known.csv beside the instances or above them if not given." type:"existingfile" placeholder:"FILE"`
	Seconds    float64 `help:"Time for each instance." xor:"budget"`
	Iterations int     `help:"Rounds for each instance: the same plan every time." xor:"budget"`
	Objective  string  `help:"distance, as in the DIMACS challenge of 2022; or fleet: fewest vehicles first, in double precision." enum:"distance,fleet" default:"distance"`
	Workers    int     `help:"Processors to use." default:"1"`
	Seed       uint64  `help:"Another seed is another search." default:"1"`
	Only       string  `help:"Only instances whose name fits the pattern, for example R1*." placeholder:"GLOB" default:"*"`
	CSV        string  `name:"csv" help:"Append the lines to a file, and skip instances that are in it." type:"path" placeholder:"FILE"`
	Solutions  string  `help:"Write the routes into a folder." type:"path" placeholder:"DIR"`
	JSON       bool    `name:"json" help:"Print one JSON object a line."`
}

// benchResult is one line of the table.
type benchResult struct {
	Instance   string   `json:"instance"`
	Vehicles   float64  `json:"vehicles"`
	Distance   float64  `json:"distance"`
	BestKnown  *float64 `json:"best_known"` // null when there is none
	Gap        *float64 `json:"gap_percent"`
	Iterations int      `json:"iterations"`
	Seconds    float64  `json:"seconds"`
	Feasible   bool     `json:"feasible"`

	bestVehicles int
	evaluations  int64 // 0 = read from an earlier run
}

func (b *benchRoutes) Validate() error {
	if b.Seconds <= 0 && b.Iterations <= 0 {
		return errors.New("say how long: --seconds or --iterations")
	}
	if _, err := filepath.Match(b.Only, ""); err != nil {
		return fmt.Errorf("--only %s: %w", b.Only, err)
	}
	return nil
}

// Run plans one instance after the other.
func (b *benchRoutes) Run(ctx context.Context, out streams) error {
	files, err := b.files()
	if err != nil {
		return err
	}
	best, err := b.bestKnown()
	if err != nil {
		return err
	}
	done, err := b.resume()
	if err != nil {
		return err
	}
	var results []benchResult
	if !b.JSON {
		fmt.Fprintln(out.out, "instance   vehicles      distance    best known   gap %  iterations  seconds  feasible  iterations/s  evaluations/s")
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))
		r, old := done[name]
		if !old {
			if r, err = b.one(ctx, file, name, best[name]); err != nil {
				return fmt.Errorf("%s: %w", file, err)
			}
			if ctx.Err() != nil {
				return ctx.Err()
			}
			if err := b.keep(r); err != nil {
				return err
			}
		}
		results = append(results, r)
		b.print(out.out, r)
	}
	if len(results) == 0 {
		return fmt.Errorf("no instance in %s fits %s", b.Instances, b.Only)
	}
	b.print(out.out, meanOf(results))
	return nil
}

func (b *benchRoutes) files() ([]string, error) {
	info, err := os.Stat(b.Instances)
	if err != nil {
		return nil, fmt.Errorf("--instances: %w", err)
	}
	if !info.IsDir() {
		return []string{b.Instances}, nil
	}
	all, err := filepath.Glob(filepath.Join(b.Instances, "*.txt"))
	if err != nil {
		return nil, err
	}
	var files []string
	for _, file := range all {
		if ok, _ := filepath.Match(b.Only, strings.TrimSuffix(filepath.Base(file), ".txt")); ok {
			files = append(files, file)
		}
	}
	slices.Sort(files)
	return files, nil
}

// bestValue is a best-known value.
type bestValue struct {
	vehicles int
	distance float64
}

func (b *benchRoutes) convention() string {
	if b.Objective == "fleet" {
		return "hierarchical"
	}
	return "dimacs"
}

func (b *benchRoutes) bestKnown() (map[string]bestValue, error) {
	file := b.Best
	for dir, i := b.Instances, 0; file == "" && i < 2; i++ {
		if _, err := os.Stat(filepath.Join(dir, "best-known.csv")); err == nil {
			file = filepath.Join(dir, "best-known.csv")
		}
		dir = filepath.Dir(dir)
	}
	if file == "" {
		return nil, nil
	}
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	best := map[string]bestValue{}
	for i, row := range rows {
		if len(row) < 5 || row[2] != b.convention() {
			continue
		}
		vehicles, err := strconv.Atoi(row[3])
		distance, err2 := strconv.ParseFloat(row[4], 64)
		if err := errors.Join(err, err2); err != nil {
			return nil, fmt.Errorf("%s, row %d: %w", file, i+1, err)
		}
		best[row[0]] = bestValue{vehicles, distance}
	}
	return best, nil
}

func (b *benchRoutes) one(ctx context.Context, file, name string, best bestValue) (benchResult, error) {
	f, err := os.Open(file)
	if err != nil {
		return benchResult{}, err
	}
	defer f.Close()
	instance, err := instances.ReadSolomon(f)
	if err != nil {
		return benchResult{}, err
	}
	convention, objective := instances.Truncated, routing.MinimiseCost
	if b.Objective == "fleet" {
		convention, objective = instances.Exact, routing.FewestRoutesFirst
	}
	spec := instance.Spec(convention)
	spec.Objective = objective
	started := time.Now()
	problem, err := routing.NewProblem(spec)
	if err != nil {
		return benchResult{}, err
	}
	options := routing.Options{Seed: b.Seed, Iterations: b.Iterations, Workers: b.Workers, TimeLimit: time.Duration(b.Seconds * float64(time.Second))}
	if b.Objective == "fleet" && best.vehicles > 0 {
		options.Enough = &routing.Goal{Routes: best.vehicles, Cost: bestCost(best, convention, len(instance.Customers)-1)}
	}
	plan, err := routing.Solve(ctx, problem, options)
	if err != nil {
		return benchResult{}, err
	}
	r := benchResult{Instance: name, Iterations: plan.Rounds, Seconds: time.Since(started).Seconds(), bestVehicles: best.vehicles, evaluations: plan.Evaluations}
	r.Feasible = len(verify.Check(problem, plan)) == 0
	vehicles := 0
	for _, route := range plan.Routes {
		if len(route) > 0 {
			vehicles++
		}
	}
	r.Vehicles = float64(vehicles)
	r.Distance = instance.Length(convention, plan.Routes)
	if best.distance > 0 {
		gap := 100 * (r.Distance - best.distance) / best.distance
		r.BestKnown, r.Gap = &best.distance, &gap
	}
	return r, b.writeRoutes(name, plan, r.Distance)
}

// bestCost is what the best-known plan may cost in the search's units: every leg is
// rounded up there, by less than one unit, and the table's last digit is rounded
// too.
func bestCost(best bestValue, convention instances.Convention, customers int) routing.Cost {
	legs := customers + best.vehicles
	return routing.Cost(best.distance*float64(convention.Scale())) + routing.Cost(legs) + 1
}

func (b *benchRoutes) writeRoutes(name string, plan routing.Solution, distance float64) error {
	if b.Solutions == "" {
		return nil
	}
	if err := os.MkdirAll(b.Solutions, 0o755); err != nil {
		return err
	}
	f, err := os.Create(filepath.Join(b.Solutions, name+".sol"))
	if err != nil {
		return err
	}
	err = instances.WriteRoutes(f, plan.Routes, distance)
	return errors.Join(err, f.Close())
}

func (b *benchRoutes) print(w io.Writer, r benchResult) {
	if b.JSON {
		text, err := json.Marshal(r)
		if err == nil {
			fmt.Fprintln(w, string(text))
		}
		return
	}
	best, gap := "-", "-"
	if r.BestKnown != nil {
		best, gap = fmt.Sprintf("%.1f", *r.BestKnown), fmt.Sprintf("%.3f", *r.Gap)
	}
	vehicles := strconv.FormatFloat(r.Vehicles, 'f', -1, 64)
	if r.Instance == "mean" {
		vehicles = fmt.Sprintf("%.2f", r.Vehicles)
	}
	evaluated := "-"
	if r.evaluations > 0 {
		evaluated = fmt.Sprintf("%.0f", float64(r.evaluations)/r.Seconds)
	}
	fmt.Fprintf(w, "%-10s %8s %13.1f %13s %7s %11d %8.1f  %-8v %13.0f %14s\n", r.Instance, vehicles, r.Distance, best, gap, r.Iterations, r.Seconds, r.Feasible, float64(r.Iterations)/r.Seconds, evaluated)
	const wonder = -1e-6 // rounding of the table is not news
	if r.Gap != nil && *r.Gap < wonder && r.Feasible && r.Instance != "mean" && (b.Objective == "distance" && *r.Gap < -1e-4 || b.Objective == "fleet" && int(r.Vehicles) < r.bestVehicles) {
		fmt.Fprintf(w, "*** %s: BETTER THAN THE BEST KNOWN, and checked: %v against %v ***\n", r.Instance, r.Distance, *r.BestKnown)
	}
}

// meanOf is the last line of the table. The gap is over instances with a
// best-known value.
func meanOf(results []benchResult) benchResult {
	mean := benchResult{Instance: "mean", Feasible: true}
	n := float64(len(results))
	gap, best, known := 0.0, 0.0, 0.0
	for _, r := range results {
		mean.Vehicles += r.Vehicles / n
		mean.Distance += r.Distance / n
		mean.Seconds += r.Seconds / n
		mean.evaluations += r.evaluations / int64(len(results))
		mean.Iterations += r.Iterations / len(results)
		mean.Feasible = mean.Feasible && r.Feasible
		if r.Gap != nil {
			gap, best, known = gap+*r.Gap, best+*r.BestKnown, known+1
		}
	}
	if known > 0 {
		gap, best = gap/known, best/known
		mean.Gap, mean.BestKnown = &gap, &best
	}
	return mean
}

// resume reads the lines of an earlier run.
func (b *benchRoutes) resume() (map[string]benchResult, error) {
	if b.CSV == "" {
		return nil, nil
	}
	f, err := os.Open(b.CSV)
	if errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", b.CSV, err)
	}
	done := map[string]benchResult{}
	for i, row := range rows {
		if i == 0 {
			continue
		}
		r, err := readLine(row)
		if err != nil {
			return nil, fmt.Errorf("%s, row %d: %w", b.CSV, i+1, err)
		}
		done[r.Instance] = r
	}
	return done, nil
}

var benchColumns = []string{"instance", "vehicles", "distance", "best_known", "gap_percent", "iterations", "seconds", "feasible"}

func readLine(row []string) (benchResult, error) {
	if len(row) != len(benchColumns) {
		return benchResult{}, fmt.Errorf("%d columns, need %d", len(row), len(benchColumns))
	}
	var errs []error
	number := func(text string) float64 {
		x, err := strconv.ParseFloat(text, 64)
		errs = append(errs, err)
		return x
	}
	r := benchResult{Instance: row[0], Vehicles: number(row[1]), Distance: number(row[2]), Iterations: int(number(row[5])), Seconds: number(row[6]), Feasible: row[7] == "true"}
	if row[3] != "" {
		best, gap := number(row[3]), number(row[4])
		r.BestKnown, r.Gap = &best, &gap
	}
	return r, errors.Join(errs...)
}

// keep appends a line to the file.
func (b *benchRoutes) keep(r benchResult) error {
	if b.CSV == "" {
		return nil
	}
	f, err := os.OpenFile(b.CSV, os.O_CREATE|os.O_APPEND|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	w := csv.NewWriter(f)
	if info, err := f.Stat(); err == nil && info.Size() == 0 {
		_ = w.Write(benchColumns)
	}
	text := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	row := []string{r.Instance, text(r.Vehicles), text(r.Distance), "", "", strconv.Itoa(r.Iterations), text(r.Seconds), strconv.FormatBool(r.Feasible)}
	if r.BestKnown != nil {
		row[3], row[4] = text(*r.BestKnown), text(*r.Gap)
	}
	_ = w.Write(row)
	w.Flush()
	return errors.Join(w.Error(), f.Close())
}
