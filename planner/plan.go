package planner

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"time"

	"valveround/events"
)

// MicroUSD is money in millionths of a US dollar.
type MicroUSD int64

// USD is the amount in dollars, for printing.
func (m MicroUSD) USD() float64 { return float64(m) / 1e6 }

// Plan is proposed routes for one day of an office, and every open job that is not on them with the reason.
type Plan struct {
	Office   events.OfficeID `json:"office"`
	Date     events.Date     `json:"date"`
	MadeAt   time.Time       `json:"made_at"`  // notice rules are judged as of this instant
	Position uint64          `json:"position"` // of the book it was made on
	Settings Settings        `json:"settings"`
	// OnRecord is what the office's own log says of how often tests fail as found, which the chances of coming too late rest on.
	OnRecord []FailRecord `json:"on_record,omitempty"`
	Routes   []Route      `json:"routes"` // of every crew that works that day, also empty ones, by crew
	LeftOut  []LeftOut    `json:"left_out"`
	Cost     Cost         `json:"cost"`
}

// Route is one crew's ordered visits.
type Route struct {
	Crew   events.CrewID `json:"crew"`
	Date   events.Date   `json:"date"`
	Visits []Visit       `json:"visits"`
	// Begun is, on a day that is out, what the crew has driven or is doing; Visits are what is ahead of it.
	Begun *Begun `json:"begun,omitempty"`
	// Start is when the crew leaves home and End when it is back; both zero on an empty route.
	Start     time.Time `json:"start,omitzero"`
	End       time.Time `json:"end,omitzero"`
	HomeM     int       `json:"home_drive_m"` // the last drive, to home
	HomeS     int       `json:"home_drive_s"`
	OvertimeS int       `json:"overtime_s"` // by which Start to End is longer than the working time
	Cost      RouteCost `json:"cost"`
	// Break is where and when the crew takes its break; nil when it has none, or takes it at home before leaving or after the return.
	Break *events.DayBreak `json:"break,omitempty"`
	// Late is in how many of 1,000 such days the crew is home after its hours and overtime, for the same reason.
	Late int `json:"late_in_1000,omitempty"`
}

// RouteCost is what a route costs, part by part; the parts add up exactly to Total.
type RouteCost struct {
	Distance MicroUSD `json:"distance_microusd"` // kilometres driven
	Hours    MicroUSD `json:"hours_microusd"`    // from leaving home to return
	Overtime MicroUSD `json:"overtime_microusd"` // on top of hours
	Change   MicroUSD `json:"change_microusd"`   // visits that had another crew in the plan before
	Total    MicroUSD `json:"total_microusd"`
}

// Visit is one stop. Its timetable follows from Arrive and the order of WaterOff, see Timetable.
type Visit struct {
	Key      string            `json:"key"` // the site, and the first feed of this part when a site is visited in parts
	Site     events.SiteID     `json:"site"`
	Jobs     []Job             `json:"jobs"` // by feed in the order of WaterOff, jobs without water off first
	Arrive   time.Time         `json:"arrive"`
	Leave    time.Time         `json:"leave"`
	WaterOff []events.WaterOff `json:"water_off"`
	DriveM   int               `json:"drive_m"` // from the stop before, or home
	DriveS   int               `json:"drive_s"`
	WaitS    int               `json:"wait_s"`  // since the stop before, without drive and break; zero at the first stop
	SlackS   int               `json:"slack_s"` // how much later it could begin within the span of its own windows; at most 8 h
	Hold     bool              `json:"hold,omitempty"`
	// Late is in how many of 1,000 such days the crew is too late to begin, because it put right at once what failed before.
	Late int `json:"late_in_1000,omitempty"`
	// Notes are the planner's words for the dispatcher and the crew. The check does not judge words; only a proposal that this
	// program has just made is ever sent out, never a plan read from a file.
	Notes []string `json:"notes,omitempty"`
}

// Job is one job of a visit and the work that is to be done.
type Job struct {
	Assembly events.AssemblyID `json:"assembly"`
	Job      events.JobID      `json:"job"`
	Work     Work              `json:"work"`
}

func (j Job) ref() events.JobRef { return events.JobRef{Assembly: j.Assembly, Job: j.Job} }

// LeftOut is an open job that is not on the plan.
type LeftOut struct {
	Assembly events.AssemblyID `json:"assembly"`
	Job      events.JobID      `json:"job"`
	Site     events.SiteID     `json:"site"`
	Visit    string            `json:"visit,omitempty"` // key of the visit it would be part of
	Rule     string            `json:"rule"`            // which rule binds: one word
	Reason   string            `json:"reason"`          // in a sentence, tested and not assumed
	Change   string            `json:"change"`          // the cheapest change that would fit it
	// Worth is what leaving it out is charged with, with the trip that the first job due later of a visit would have saved, and Promise what leaving out its held or promised visit is charged with
	// besides, once a visit. Both are zero of a job that no plan of the day could hold.
	Worth   MicroUSD `json:"worth_microusd"`
	Promise MicroUSD `json:"promise_microusd,omitzero"`
	// Remedy is Change as it was tried; nil where nothing that was tried fits.
	Remedy *Remedy `json:"remedy,omitempty"`
}

// Cost is what the plan costs, part by part; the parts add up exactly to Total, which is what the search made small. The
// first three and Change are the sums of the routes' parts, LeftOut and Promise those of the jobs left out.
type Cost struct {
	Distance MicroUSD `json:"distance_microusd"` // kilometres driven
	Hours    MicroUSD `json:"hours_microusd"`    // from leaving home to return
	Overtime MicroUSD `json:"overtime_microusd"` // on top of hours
	LeftOut  MicroUSD `json:"left_out_microusd"` // worth of the collected visits that found no place
	Promise  MicroUSD `json:"promise_microusd"`  // held or promised visits that found no place, on top of their worth
	Change   MicroUSD `json:"change_microusd"`   // moved against the plan before
	Total    MicroUSD `json:"total_microusd"`
}

// Day is the plan in the compact form that is sent out.
func (p Plan) Day() events.SentOut {
	day := events.SentOut{Date: p.Date, Position: p.Position}
	for _, route := range p.Routes {
		if len(route.Visits) == 0 && route.Begun == nil {
			continue
		}
		out := events.DayRoute{Crew: route.Crew, Start: route.Start, End: route.End, Break: route.Break}
		if route.Begun != nil {
			out.Visits = slices.Clone(route.Begun.Visits)
		}
		for _, v := range route.Visits {
			visit := events.DayVisit{Site: v.Site, Arrive: v.Arrive, Leave: v.Leave, WaterOff: v.WaterOff,
				DriveM: v.DriveM, DriveS: v.DriveS, Key: v.Key, Notes: v.Notes}
			for _, j := range v.Jobs {
				visit.Jobs = append(visit.Jobs, events.DayJob{JobRef: events.JobRef{Assembly: j.Assembly, Job: j.Job}, Work: string(j.Work)})
			}
			out.Visits = append(out.Visits, visit)
		}
		day.Routes = append(day.Routes, out)
	}
	return day
}

// Digest names the plan: equal plans have equal digests.
func (p Plan) Digest() string {
	text, err := json.Marshal(p)
	if err != nil {
		panic(fmt.Sprintf("a plan is plain data: %v", err))
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:12])
}

// Write saves the plan as indented JSON.
func (p Plan) Write(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", " ")
	return enc.Encode(p)
}

// ReadPlan reads what Write wrote. Unknown fields are an error: a plan is checked as a whole or not at all.
func ReadPlan(r io.Reader) (Plan, error) {
	var p Plan
	dec := json.NewDecoder(r)
	dec.DisallowUnknownFields()
	if err := dec.Decode(&p); err != nil {
		return p, fmt.Errorf("reading the plan: %w", err)
	}
	if dec.More() {
		return p, fmt.Errorf("reading the plan: more text after its end, at byte %d", dec.InputOffset())
	}
	return p, nil
}
