package durations

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"valveround/events"
)

// SettingCounts is as how many observations a setting counts beside the log: with so many tests on record, what was learned
// lies half way between the setting and their mean.
const SettingCounts = 10

// Times outside these are taken for mistakes of recording and left out.
const (
	shortestMinutes = 3
	longestMinutes  = 600
)

// Learned is all that the log says.
type Learned struct {
	Rows    []Row `json:"rows"`
	LeftOut int   `json:"left_out"` // observations shorter or longer than any work
}

// Row is what the log says of one cell.
type Row struct {
	Cell
	Count   int     `json:"count"`            // observations
	Mean    float64 `json:"mean_minutes"`     // of them
	Setting int     `json:"setting_minutes"`  // what planning counts with
	Minutes float64 `json:"learned_minutes"`  // the mean, drawn towards the setting
	Crews   []Crew  `json:"crews"`            // by how many observations
	Spread  float64 `json:"standard_minutes"` // standard deviation of one observation about its crew's mean
}

// Crew is what the log says of one crew's work in a cell.
type Crew struct {
	Crew    events.CrewID `json:"crew"`
	Count   int           `json:"count"`
	Mean    float64       `json:"mean_minutes"`
	Minutes float64       `json:"learned_minutes"` // the mean, drawn towards the cell's
}

// Learn makes means by cell, each drawn towards its setting by how few observations it has, and within a cell means by crew,
// each drawn towards the cell's by how little crews differ (see Credibility).
func Learn(list []Observation, setting func(Cell) int) Learned {
	var l Learned
	cells := map[Cell]map[events.CrewID][]float64{}
	for _, o := range list {
		if !(o.Minutes >= shortestMinutes && o.Minutes <= longestMinutes) {
			l.LeftOut++
			continue
		}
		if cells[o.Cell] == nil {
			cells[o.Cell] = map[events.CrewID][]float64{}
		}
		cells[o.Cell][o.Crew] = append(cells[o.Cell][o.Crew], o.Minutes)
	}
	for cell, crews := range cells {
		l.Rows = append(l.Rows, rowOf(cell, crews, setting(cell)))
	}
	slices.SortFunc(l.Rows, func(x, y Row) int { return x.Cell.compare(y.Cell) })
	return l
}

func rowOf(cell Cell, crews map[events.CrewID][]float64, setting int) Row {
	r := Row{Cell: cell, Setting: setting}
	var ids []events.CrewID
	for id := range crews {
		ids = append(ids, id)
	}
	slices.SortFunc(ids, func(x, y events.CrewID) int {
		return cmp.Or(cmp.Compare(len(crews[y]), len(crews[x])), cmp.Compare(x, y))
	})
	groups := make([][]float64, len(ids))
	for i, id := range ids {
		groups[i] = crews[id]
		r.Count += len(crews[id])
	}
	c := CredibilityOf(groups)
	r.Mean, r.Spread = c.Mean, math.Sqrt(c.Within)
	r.Minutes = (SettingCounts*float64(setting) + float64(r.Count)*r.Mean) / float64(SettingCounts+r.Count)
	for i, id := range ids {
		r.Crews = append(r.Crews, Crew{Crew: id, Count: len(groups[i]), Mean: mean(groups[i]), Minutes: c.Believed(groups[i], r.Minutes)})
	}
	return r
}

var (
	classes = []Class{VacuumBreaker, DoubleCheck, Reduced, AnyClass}
	bands   = []Band{AnySize, ToTwo, ToFour, Larger}
	works   = []Work{Tested, Cleaned, Return}
)

func (c Cell) compare(d Cell) int {
	return cmp.Or(slices.Index(works, c.Work)-slices.Index(works, d.Work), slices.Index(classes, c.Class)-slices.Index(classes, d.Class),
		slices.Index(bands, c.Band)-slices.Index(bands, d.Band))
}

// Name says a cell: "test of a reduced pressure assembly, to 2 in".
func (c Cell) Name() string {
	what := " of any type"
	switch c.Class {
	case VacuumBreaker:
		what = " of a vacuum breaker"
	case DoubleCheck:
		what = " of a double check"
	case Reduced:
		what = " of a reduced pressure assembly"
	}
	if c.Band == AnySize {
		return string(c.Work) + what
	}
	return string(c.Work) + what + ", " + string(c.Band)
}

// Words says a row: "test of a reduced pressure assembly, to 2 in: 31 min from 48 visits; setting 35".
func (r Row) Words() string {
	visits := "visits"
	if r.Count == 1 {
		visits = "visit"
	}
	return fmt.Sprintf("%s: %.0f min from %d %s; setting %d", r.Name(), r.Minutes, r.Count, visits, r.Setting)
}
