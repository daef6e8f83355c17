package planner

import (
	"errors"
	"fmt"
	"slices"

	"valveround/geo"
)

// Settings are every weight and duration of planning. All are common practice to start from, to be set by the firm.
type Settings struct {
	Travel geo.GreatCircle `json:"travel"`

	// Money.
	KilometreUSD      float64     `json:"kilometre_usd"`
	CrewHourUSD       float64     `json:"crew_hour_usd"`            // from leaving home to return
	OvertimeHourUSD   float64     `json:"overtime_hour_usd"`        // on top of CrewHourUSD
	TestWorthUSD      float64     `json:"test_worth_usd"`           // what one job earns
	FarWorthUSD       float64     `json:"far_worth_usd"`            // the same on a day from which it can wait FarDays or longer; in between it rises evenly
	FarDays           int         `json:"far_days"`                 // 0: a job is never worth less for being able to wait
	Urgency           []WorthStep `json:"urgency"`                  // what waiting would cost, by days left; first step that holds
	FailedFactor      float64     `json:"failed_factor"`            // urgency of a failed assembly is this many times as great
	UnknownDeadlineAs int         `json:"unknown_deadline_as_days"` // a deadline that is not known counts as so many days left
	MovedCrewUSD      float64     `json:"moved_crew_usd"`           // a visit that changes crew against the plan before
	MovedOutUSD       float64     `json:"moved_out_usd"`            // the same on a day that is out, whose crews have their routes
	PromiseUSD        float64     `json:"promise_usd"`              // a held or promised visit that is left out, on top of its worth
	AskSiteUSD        float64     `json:"ask_site_usd"`             // to ask a site for other hours, when changes are compared
	AskCrewUSD        float64     `json:"ask_crew_usd"`             // to ask a crew for a longer day, when changes are compared

	// Time at a stop, in minutes.
	VisitBefore int        `json:"visit_before_minutes"` // arrive, find the person, safety survey
	VisitAfter  int        `json:"visit_after_minutes"`  // paper, put away
	JobBefore   int        `json:"job_before_minutes"`   // record identity and line pressure, set up
	JobAfter    int        `json:"job_after_minutes"`    // tag, report
	FireCalls   int        `json:"fire_calls_minutes"`   // once a visit with a fire feed: coordinator, alarm company, fire department
	VaultEntry  int        `json:"vault_entry_minutes"`  // once an assembly in a vault
	Inspection  int        `json:"inspection_minutes"`   // of what is inspected only: AVB and air gap
	BypassTest  int        `json:"bypass_test_minutes"`  // of a detector, with the main in service
	Test        TestTimes  `json:"test_minutes"`         // water off
	Repair      SizedTimes `json:"repair_minutes"`       // rubber kit and retest, water off
	// A unit that fails may be cleaned and tested again at once. FailPercent is how often a test fails as found; cleaning and
	// retest take from CleanFrom to CleanTo minutes, each as likely. LateUSD is what it costs that a crew then comes too late.
	FailPercent  TestChances `json:"fail_percent"`
	CleanFrom    SizedTimes  `json:"clean_from_minutes"`
	CleanTo      SizedTimes  `json:"clean_to_minutes"`
	LateUSD      float64     `json:"late_usd"`
	LongestVisit int         `json:"longest_visit_minutes"` // a longer one is split
	// FireOut is the longest a fire feed may be dry in any 24 hours without measures noted, in minutes. The default is 10 hours
	// (NFPA 25, chapter on impairments, from memory); local code decides.
	FireOut     int `json:"fire_out_minutes"`
	LittleSlack int `json:"little_slack_minutes"`
	// TwoPeopleFromEighths is the nominal size, in eighths of an inch, from which a repair takes two people.
	TwoPeopleFromEighths int `json:"two_people_from_eighths"`
}

// WorthStep: with at most DaysLeft days left, waiting costs USD.
type WorthStep struct {
	DaysLeft int     `json:"days_left"`
	USD      float64 `json:"usd"`
}

// SizedTimes are minutes by nominal size: up to 2 in, up to 4 in, larger.
type SizedTimes struct {
	Small  int `json:"to_2_in"`
	Middle int `json:"to_4_in"`
	Large  int `json:"larger"`
}

// TestTimes are minutes of a test by what is tested.
type TestTimes struct {
	VacuumBreaker int        `json:"vacuum_breaker"`
	DoubleCheck   SizedTimes `json:"double_check"`
	Reduced       SizedTimes `json:"reduced_pressure"`
}

// DefaultSettings are the middle of the planning table that is common practice in the trade.
func DefaultSettings() Settings {
	return Settings{
		Travel:       geo.GreatCircle{DetourFactor: 1.3, SpeedKmh: 45, FixedSeconds: 180},
		KilometreUSD: 0.45, CrewHourUSD: 48, OvertimeHourUSD: 30, TestWorthUSD: 75, FarWorthUSD: 18, FarDays: 180,
		Urgency:      []WorthStep{{-1, 320}, {0, 260}, {2, 200}, {7, 130}, {14, 80}, {30, 40}, {60, 15}},
		FailedFactor: 2, UnknownDeadlineAs: 2, MovedCrewUSD: 10, MovedOutUSD: 50, PromiseUSD: 10_000, AskSiteUSD: 25, AskCrewUSD: 15,
		VisitBefore: 5, VisitAfter: 5, JobBefore: 3, JobAfter: 2, FireCalls: 20, VaultEntry: 40, Inspection: 10, BypassTest: 20,
		Test:        TestTimes{VacuumBreaker: 15, DoubleCheck: SizedTimes{18, 35, 50}, Reduced: SizedTimes{25, 40, 60}},
		FailPercent: TestChances{10, 10, 10}, CleanFrom: SizedTimes{30, 60, 120}, CleanTo: SizedTimes{60, 90, 180}, LateUSD: 75,
		Repair: SizedTimes{45, 90, 180}, LongestVisit: 300, FireOut: 600, LittleSlack: 15, TwoPeopleFromEighths: 6 * 8,
	}
}

// Validate reports every setting that makes no sense.
func (s Settings) Validate() error {
	errs := []error{s.Travel.Validate()}
	for _, m := range []struct {
		name  string
		value float64
	}{{"kilometre", s.KilometreUSD}, {"crew hour", s.CrewHourUSD}, {"overtime hour", s.OvertimeHourUSD}, {"test worth", s.TestWorthUSD}, {"worth far ahead", s.FarWorthUSD},
		{"failed factor", s.FailedFactor}, {"moved crew", s.MovedCrewUSD}, {"moved crew on a day that is out", s.MovedOutUSD}, {"promise", s.PromiseUSD}, {"ask a site", s.AskSiteUSD}, {"ask a crew", s.AskCrewUSD}, {"coming too late", s.LateUSD}} {
		if !(m.value >= 0 && m.value <= 1e6) {
			errs = append(errs, fmt.Errorf("%s: %v is outside 0 to 1,000,000", m.name, m.value))
		}
	}
	for _, m := range []struct {
		name  string
		value int
	}{{"visit before", s.VisitBefore}, {"visit after", s.VisitAfter}, {"job before", s.JobBefore}, {"job after", s.JobAfter},
		{"fire calls", s.FireCalls}, {"vault entry", s.VaultEntry}, {"inspection", s.Inspection}, {"bypass test", s.BypassTest},
		{"longest visit", s.LongestVisit}, {"test of a vacuum breaker", s.Test.VacuumBreaker},
		{"test of a double check to 2 in", s.Test.DoubleCheck.Small}, {"test of a double check to 4 in", s.Test.DoubleCheck.Middle}, {"test of a larger double check", s.Test.DoubleCheck.Large},
		{"test of a reduced pressure assembly to 2 in", s.Test.Reduced.Small}, {"test of a reduced pressure assembly to 4 in", s.Test.Reduced.Middle}, {"test of a larger reduced pressure assembly", s.Test.Reduced.Large},
		{"repair to 2 in", s.Repair.Small}, {"repair to 4 in", s.Repair.Middle}, {"repair of a larger one", s.Repair.Large}, {"fire line out", s.FireOut}, {"little slack", s.LittleSlack}} {
		if m.value < 0 || m.value > 24*60 {
			errs = append(errs, fmt.Errorf("%s: %d minutes is outside 0 to 1,440", m.name, m.value))
		}
	}
	if !slices.IsSortedFunc(s.Urgency, func(a, b WorthStep) int { return a.DaysLeft - b.DaysLeft }) {
		errs = append(errs, errors.New("what waiting costs: the steps must be in the order of days left"))
	}
	for _, step := range s.Urgency {
		if !(step.USD >= 0 && step.USD <= 1e6) || step.DaysLeft < -3650 || step.DaysLeft > 3650 {
			errs = append(errs, fmt.Errorf("what waiting costs: %v USD with %d days left is outside 0 to 1,000,000 USD or ten years", step.USD, step.DaysLeft))
		}
	}
	for _, p := range []float64{s.FailPercent.VacuumBreaker, s.FailPercent.DoubleCheck, s.FailPercent.Reduced} {
		if !(p >= 0 && p <= 100) {
			errs = append(errs, fmt.Errorf("tests that fail: %v in 100 is outside 0 to 100", p))
		}
	}
	for _, m := range [][2]int{{s.CleanFrom.Small, s.CleanTo.Small}, {s.CleanFrom.Middle, s.CleanTo.Middle}, {s.CleanFrom.Large, s.CleanTo.Large}} {
		if m[0] < 0 || m[1] < m[0] || m[1] > 24*60 {
			errs = append(errs, fmt.Errorf("cleaning and retest: %d to %d minutes is no span within a day", m[0], m[1]))
		}
	}
	if s.FarDays < 0 || s.FarDays > 3650 || s.FarWorthUSD > s.TestWorthUSD {
		errs = append(errs, fmt.Errorf("worth far ahead: %v USD with %d days left or more; it must be no more than the %v USD that a job earns, and at most ten years", s.FarWorthUSD, s.FarDays, s.TestWorthUSD))
	}
	if s.UnknownDeadlineAs < 0 || s.UnknownDeadlineAs > 60 {
		errs = append(errs, fmt.Errorf("a deadline that nobody knows: %d days is outside 0 to 60", s.UnknownDeadlineAs))
	}
	if s.TwoPeopleFromEighths < 0 || s.TwoPeopleFromEighths > 24*8 {
		errs = append(errs, fmt.Errorf("two people: %d eighths of an inch is outside 0 to 192", s.TwoPeopleFromEighths))
	}
	return errors.Join(errs...)
}

// Describe says the travel model and the money in words, to be printed with every plan.
func (s Settings) Describe() []string {
	return append([]string{
		"travel: " + s.Travel.Describe(),
		fmt.Sprintf("money: %.2f USD a km, %.0f USD a crew hour, %.0f USD more in overtime, a job is worth %.0f USD and more the fewer days are left",
			s.KilometreUSD, s.CrewHourUSD, s.OvertimeHourUSD, s.TestWorthUSD),
		"durations: the planning table of common practice, to be set by the firm",
	}, s.Differing()...)
}
