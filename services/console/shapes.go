package console

import (
	"time"

	"valveround/events"
	"valveround/geo"
)

// The shapes of the API: what a page shows is what a script can ask for. Money is in US dollars, lengths in metres,
// times are instants (RFC 3339); a site's zone stands beside them.

// OfficeView is what every page needs first.
type OfficeView struct {
	Office    string         `json:"office"`
	Name      string         `json:"name"`
	Zone      string         `json:"zone"`
	Now       time.Time      `json:"now"`
	Today     events.Date    `json:"today"`
	Tomorrow  events.Date    `json:"tomorrow" doc:"the next day on which any crew works"`
	Notice    string         `json:"notice,omitempty" doc:"to be shown on every page"`
	Crews     []CrewView     `json:"crews"`
	Purveyors []PurveyorView `json:"purveyors"`
}

// CrewView names a crew.
type CrewView struct {
	ID     string    `json:"id"`
	Name   string    `json:"name"`
	Letter string    `json:"letter"`
	People []string  `json:"people" doc:"names, from the details kept apart from the log"`
	Home   geo.Point `json:"home"`
	Off    string    `json:"off,omitempty" doc:"why it does not work on the day asked about"`
}

// PurveyorView names a purveyor.
type PurveyorView struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Rules string `json:"rules" doc:"its clocks in words"`
}

// Span is a stretch of time.
type Span struct {
	Open  time.Time `json:"open"`
	Close time.Time `json:"close"`
}

// DayView is a day as planned or sent out.
type DayView struct {
	Date     events.Date   `json:"date"`
	Zone     string        `json:"zone"`
	Status   string        `json:"status" enum:"empty,planning,proposed,sent-out"`
	Headline string        `json:"headline"`
	Position uint64        `json:"position" doc:"of the book the plan was made on"`
	Stale    string        `json:"stale,omitempty" doc:"why the plan should be made again"`
	Digest   string        `json:"digest,omitempty" doc:"of the plan shown; send-out names it, so that what is sent is what was seen"`
	SentAt   *time.Time    `json:"sent_at,omitempty"`
	Amend    []RefusalView `json:"amend,omitempty" doc:"what has changed under a day that is out, so that it should be amended"`
	Refusals []RefusalView `json:"refusals,omitempty" doc:"what the independent checker says against the plan"`
	Settings []string      `json:"settings" doc:"travel model and other settings in words"`
	Costs    []CostView    `json:"costs"`
	TotalUSD float64       `json:"total_usd"`
	Routes   []RouteView   `json:"routes"`
	LeftOut  []LeftOutView `json:"left_out"`
	Progress *ProgressView `json:"progress,omitempty"`
	Crews    []CrewView    `json:"crews"`
	Jobs     DayCounts     `json:"jobs"`
	Wishes   []WishView    `json:"wishes,omitempty"`
}

// DayCounts sums a day up.
type DayCounts struct {
	Planned int `json:"planned"`
	LeftOut int `json:"left_out"`
	Done    int `json:"done"`
}

// RefusalView is one thing a rule says against a plan.
type RefusalView struct {
	Rule  string `json:"rule"`
	Words string `json:"words"`
	Crew  string `json:"crew,omitempty"`
	Site  string `json:"site,omitempty"`
	Job   string `json:"job,omitempty"`
}

// CostView is one part of the money.
type CostView struct {
	Name string  `json:"name"`
	USD  float64 `json:"usd"`
}

// ProgressView tells how planning goes.
type ProgressView struct {
	Date    events.Date `json:"date"`
	Step    string      `json:"step" doc:"collecting, solving, explaining, checking, done"`
	Seconds float64     `json:"seconds" doc:"since it began"`
	Budget  float64     `json:"budget_seconds"`
	Cost    []CostPoint `json:"cost" doc:"best so far against time"`
	Visits  int         `json:"visits_planned"`
}

// CostPoint is one point of the falling line.
type CostPoint struct {
	Seconds float64 `json:"seconds"`
	USD     float64 `json:"usd"`
}

// RouteView is one crew's day.
type RouteView struct {
	Crew      CrewView    `json:"crew"`
	Start     time.Time   `json:"start"`
	End       time.Time   `json:"end"`
	Hours     []Span      `json:"hours" doc:"working time"`
	DriveS    int         `json:"drive_s"`
	DriveM    int         `json:"drive_m"`
	HomeDrive int         `json:"home_drive_s" doc:"the last leg"`
	HomeM     int         `json:"home_drive_m"`
	OvertimeS int         `json:"overtime_s"`
	Visits    []VisitView `json:"visits"`
}

// SiteView names a site.
type SiteView struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"`
	Address  string    `json:"address,omitempty"`
	Use      string    `json:"use,omitempty"`
	Zone     string    `json:"zone"`
	Position geo.Point `json:"position"`
	Sure     string    `json:"position_source,omitempty"`
	Area     string    `json:"neighbourhood,omitempty"`
}

// VisitView is one stop of a route.
type VisitView struct {
	Key      string         `json:"key" doc:"names the visit within its day: the site, and the part of it where it is visited in parts"`
	Order    int            `json:"order" doc:"from 1"`
	Site     SiteView       `json:"site"`
	Arrive   time.Time      `json:"arrive"`
	Leave    time.Time      `json:"leave"`
	DriveS   int            `json:"drive_s" doc:"from the stop before, or from home"`
	DriveM   int            `json:"drive_m"`
	WaitS    int            `json:"wait_s"`
	SlackS   int            `json:"slack_s" doc:"how much later it could begin within its own windows"`
	Little   bool           `json:"little_slack"`
	Jobs     []JobView      `json:"jobs"`
	Access   []Span         `json:"access"`
	WaterOff []WaterOffView `json:"water_off"`
	Hold     bool           `json:"hold"`
	Notes    []string       `json:"notes,omitempty"`
	State    string         `json:"state,omitempty" doc:"on a sent-out day, in words: at the site since 07:02, done 07:41"`
	Feed     string         `json:"feed,omitempty" doc:"names the part of the site in wishes; empty: the whole"`
}

// WaterOffView is when one feed is dry, and when it may be.
type WaterOffView struct {
	Feed    string    `json:"feed"`
	Name    string    `json:"name"`
	Fire    bool      `json:"fire,omitempty"`
	From    time.Time `json:"from"`
	To      time.Time `json:"to"`
	Windows []Span    `json:"windows" doc:"the shutdown windows of the day"`
}

// JobView is one job in lists.
type JobView struct {
	Assembly string           `json:"assembly"`
	Job      string           `json:"job"`
	Work     string           `json:"work,omitempty" doc:"in words: test; repair and retest"`
	Type     string           `json:"type"`
	TypeName string           `json:"type_name"`
	Size     string           `json:"size,omitempty"`
	Service  string           `json:"service,omitempty"`
	Hazard   string           `json:"hazard,omitempty"`
	Place    string           `json:"place,omitempty"`
	Serial   string           `json:"serial,omitempty"`
	Purveyor string           `json:"purveyor"`
	Stage    string           `json:"stage"`
	Due      events.Date      `json:"due,omitzero"`
	Deadline *events.Deadline `json:"retest_by,omitempty"`
	DaysLeft *int             `json:"days_left,omitempty" doc:"to the retest deadline, else to the due date"`
	Minutes  int              `json:"minutes"`
}

// LeftOutView is a visit that is not on the plan, and why.
type LeftOutView struct {
	Key      string    `json:"key"`
	Feed     string    `json:"feed,omitempty"`
	Site     SiteView  `json:"site"`
	Jobs     []JobView `json:"jobs"`
	Minutes  int       `json:"minutes"`
	Reason   string    `json:"reason"`
	Change   string    `json:"change,omitempty" doc:"the cheapest change that would fit it"`
	DaysLeft *int      `json:"days_left,omitempty"`
	Wished   bool      `json:"wished" doc:"left out by the dispatcher"`
}

// WishView is what the dispatcher decided about a site's visit.
type WishView struct {
	Site  string `json:"site"`
	Feed  string `json:"feed,omitempty"`
	Name  string `json:"name"`
	Hold  bool   `json:"hold,omitempty"`
	Crew  string `json:"crew,omitempty"`
	Place int    `json:"place,omitempty"`
	Out   bool   `json:"out,omitempty"`
	Why   string `json:"why,omitempty"`
}

// PlanRequest asks for a plan of the day.
type PlanRequest struct {
	Seconds float64 `json:"seconds,omitempty" minimum:"0" maximum:"600" doc:"for the search; the default suits the demo"`
}

// WishRequest holds, moves or leaves out a visit.
type WishRequest struct {
	CommandID string `json:"command_id"`
	Site      string `json:"site"`
	Feed      string `json:"feed,omitempty"`
	Hold      bool   `json:"hold,omitempty"`
	Crew      string `json:"crew,omitempty"`
	Place     int    `json:"place,omitempty" minimum:"0" doc:"from 1; 0: wherever it fits best"`
	Out       bool   `json:"out,omitempty"`
	Why       string `json:"why,omitempty"`
	Drop      bool   `json:"drop,omitempty" doc:"leave the visit to the planner again"`
}

// SendRequest sends out the very plan that was seen.
type SendRequest struct {
	CommandID string `json:"command_id"`
	Digest    string `json:"digest"`
}

// TakeBackRequest takes a day back.
type TakeBackRequest struct {
	CommandID string `json:"command_id"`
	Why       string `json:"why,omitempty"`
}

// CrewDayView is the crew's day on a phone: all it needs without signal.
type CrewDayView struct {
	Crew      CrewView        `json:"crew"`
	Date      events.Date     `json:"date"`
	Zone      string          `json:"zone"`
	Status    string          `json:"status" enum:"not-sent,sent-out,taken-back"`
	SentAt    *time.Time      `json:"sent_at,omitempty"`
	Start     *time.Time      `json:"start,omitempty"`
	End       *time.Time      `json:"end,omitempty"`
	Position  uint64          `json:"position"`
	Now       time.Time       `json:"now"`
	People    []PersonView    `json:"people" doc:"who may be the tester"`
	Gauges    []GaugeView     `json:"gauges"`
	Bring     []string        `json:"bring" doc:"for the whole day"`
	Stops     []StopView      `json:"stops"`
	Criteria  any             `json:"criteria" doc:"the criteria profiles, as the server judges by"`
	Reasons   []string        `json:"could_not_reasons"`
	Types     []AssemblyKinds `json:"types"`
	Procedure []string        `json:"procedures"`
}

// AssemblyKinds is one type of assembly and what a test of it reads.
type AssemblyKinds struct {
	Type       string          `json:"type"`
	Name       string          `json:"name"`
	Components []ComponentView `json:"components"`
}

// ComponentView is one separately judged result.
type ComponentView struct {
	Part      string `json:"part"`
	Component string `json:"component"`
	Name      string `json:"name"`
}

// PersonView is a member of the crew.
type PersonView struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// GaugeView is a gauge on the truck.
type GaugeView struct {
	ID             string      `json:"id"`
	Serial         string      `json:"serial"`
	CertifiedUntil events.Date `json:"certified_until"`
	Valid          bool        `json:"valid"`
	Words          string      `json:"words,omitempty"`
}

// StopView is one stop on the phone.
type StopView struct {
	VisitView
	AccessWords string        `json:"access_words,omitempty"`
	Cautions    []string      `json:"cautions"`
	Contacts    []ContactView `json:"contacts"`
	Bring       []string      `json:"bring"`
	Feeds       []FeedView    `json:"feeds"`
	Work        []WorkView    `json:"work"`
	HereSince   *time.Time    `json:"here_since,omitempty"`
}

// ContactView is whom to call and what that person may do.
type ContactView struct {
	Role  string `json:"role"`
	Name  string `json:"name"`
	Phone string `json:"phone,omitempty"`
}

// FeedView is a feed of the stop and how it stands.
type FeedView struct {
	ID       string     `json:"id"`
	Name     string     `json:"name"`
	Fire     bool       `json:"fire,omitempty"`
	Valves   []string   `json:"valves"`
	DrySince *time.Time `json:"dry_since,omitempty"`
	AsLeft   string     `json:"as_left,omitempty"`
	Other    string     `json:"other,omitempty" doc:"a feed that must be proved open and flowing before this one is shut"`
}

// WorkView is one job on the phone.
type WorkView struct {
	JobView
	Components []ComponentView    `json:"components"`
	Profile    string             `json:"profile"`
	Maker      string             `json:"maker,omitempty"`
	Model      string             `json:"model,omitempty"`
	Bypass     string             `json:"bypass,omitempty"`
	Feed       string             `json:"feed"`
	Failure    string             `json:"failure,omitempty"`
	Repair     string             `json:"yes_to_repair,omitempty" doc:"in words; empty: the unit is not opened"`
	Kits       []string           `json:"kits,omitempty"`
	KitCodes   []string           `json:"kit_codes,omitempty" doc:"codes that may be asked for"`
	Last       []events.TestTaken `json:"last_tests,omitempty"`
	Outcome    string             `json:"outcome,omitempty" doc:"once the server knows it"`
}

// FieldRequest is one thing a phone has recorded. Sent twice under one command id it changes nothing twice.
type FieldRequest struct {
	CommandID     string      `json:"command_id"`
	Actor         string      `json:"actor,omitempty"`
	Happened      time.Time   `json:"happened" doc:"by the phone's clock"`
	ClockOffsetMS *int64      `json:"clock_offset_ms,omitempty" doc:"the phone's clock minus the server's, at the last sync"`
	Kind          string      `json:"kind" enum:"arrive,leave,no-access,shut-off,restore,leave-feed,finish-job"`
	Crew          string      `json:"crew"`
	Day           events.Date `json:"day"`
	Site          string      `json:"site,omitempty"`
	Feed          string      `json:"feed,omitempty"`
	// Of no-access.
	Jobs []events.JobRef `json:"jobs,omitempty"`
	// Of leave-feed.
	Condition *events.Condition `json:"condition,omitempty"`
	// Of finish-job.
	Assembly string              `json:"assembly,omitempty"`
	Job      string              `json:"job,omitempty"`
	Outcome  events.VisitOutcome `json:"outcome,omitempty"`
	Initial  *events.Test        `json:"initial,omitempty"`
	Repair   *events.Repaired    `json:"repair,omitempty"`
	Final    *events.Test        `json:"final,omitempty"`
	Why      string              `json:"why,omitempty"`
	Words    string              `json:"words,omitempty"`
	Parts    []events.PartWanted `json:"parts,omitempty"`
	New      *events.Replaced    `json:"new,omitempty"`
	Seen     events.AssemblyType `json:"seen,omitempty"`
}

// Receipt answers a command: it is in the log.
type Receipt struct {
	Position uint64    `json:"position"`
	Repeated bool      `json:"repeated" doc:"it was known already; nothing changed"`
	Alarms   []string  `json:"alarms,omitempty"`
	Now      time.Time `json:"now"`
}

// DeskRequest is one thing the office records.
type DeskRequest struct {
	CommandID string `json:"command_id"`
	Kind      string `json:"kind" enum:"yes-to-repair,want-parts,ready-parts,clear-way,set-standing,withdraw,file-report,accept-report,return-report,give-notice,agree-time,restore-feed,crew-off,crew-back,drop-gauge,verify-gauge"`
	Assembly  string `json:"assembly,omitempty"`
	Job       string `json:"job,omitempty"`
	Site      string `json:"site,omitempty"`
	Feed      string `json:"feed,omitempty"`
	Crew      string `json:"crew,omitempty"`
	Gauge     string `json:"gauge,omitempty"`

	Date         events.Date         `json:"date,omitzero"`
	From         *time.Time          `json:"from,omitempty"`
	To           *time.Time          `json:"to,omitempty"`
	Basis        string              `json:"basis,omitempty"`
	LimitUSD     int                 `json:"limit_usd,omitempty"`
	Parts        []events.PartWanted `json:"parts,omitempty"`
	Where        string              `json:"where,omitempty"`
	Standing     events.Standing     `json:"standing,omitempty"`
	How          string              `json:"how,omitempty"`
	Confirmation string              `json:"confirmation,omitempty"`
	Words        string              `json:"words,omitempty"`
}

// BacklogView is the manager's list.
type BacklogView struct {
	Now      time.Time      `json:"now"`
	Headline string         `json:"headline"`
	Rows     []BacklogRow   `json:"rows" doc:"by days left, past ones first, unknown deadlines at the top"`
	Others   []BacklogRow   `json:"others" doc:"stopped, returned reports, reports to send again"`
	Counts   map[string]int `json:"counts"`
}

// BacklogRow is one job with a clock running.
type BacklogRow struct {
	JobView
	Site       SiteView            `json:"site"`
	WaitsFor   string              `json:"waits_for" enum:"parts,access,slot,owner,way,purveyor"`
	WaitsWords string              `json:"waits_words"`
	FailedOn   events.Date         `json:"failed_on,omitzero"`
	Words      string              `json:"words,omitempty"`
	PhoneBy    *events.Deadline    `json:"phone_by,omitempty"`
	Parts      []events.PartWanted `json:"parts,omitempty"`
	Yes        string              `json:"yes_to_repair,omitempty"`
	Planned    *PlannedFor         `json:"planned,omitempty"`
	AsLeft     string              `json:"as_left,omitempty"`
}

// PlannedFor is a visit that is planned or sent out for a job.
type PlannedFor struct {
	Date           events.Date `json:"date"`
	Crew           string      `json:"crew"`
	SentOut        bool        `json:"sent_out"`
	BeforeDeadline bool        `json:"before_deadline"`
}

// HistoryView is how an assembly came to be where it is.
type HistoryView struct {
	Job     JobView        `json:"job"`
	Site    SiteView       `json:"site"`
	Entries []HistoryEntry `json:"entries" doc:"oldest first"`
}

// HistoryEntry is one thing that happened.
type HistoryEntry struct {
	Position uint64    `json:"position"`
	Happened time.Time `json:"happened"`
	Recorded time.Time `json:"recorded"`
	Who      string    `json:"who"`
	Name     string    `json:"name" doc:"the event's name in the log"`
	Words    string    `json:"words"`
	Alarm    bool      `json:"alarm,omitempty"`
	Void     bool      `json:"void,omitempty"`
}

// LeftOffView is what is shut, partly open or impaired tonight.
type LeftOffView struct {
	Now  time.Time    `json:"now"`
	Rows []LeftOffRow `json:"rows"`
}

// LeftOffRow is one feed.
type LeftOffRow struct {
	Feed        string         `json:"feed"`
	Name        string         `json:"name"`
	Fire        bool           `json:"fire"`
	Site        SiteView       `json:"site"`
	Service     string         `json:"service"`
	DryNow      bool           `json:"dry_now"`
	Valves      []events.Valve `json:"valves"`
	Since       time.Time      `json:"since"`
	By          string         `json:"by,omitempty"`
	Told        []string       `json:"told,omitempty"`
	OnTestUntil *time.Time     `json:"on_test_until,omitempty"`
	Decides     string         `json:"decides,omitempty"`
	Restores    string         `json:"restores,omitempty"`
	Words       string         `json:"words,omitempty"`
}

// ListView is a due list that was read and not yet taken in.
type ListView struct {
	ID        string         `json:"id"`
	File      string         `json:"file"`
	Sheet     string         `json:"sheet,omitempty"`
	Purveyor  string         `json:"purveyor"`
	AsOf      events.Date    `json:"as_of"`
	DateOrder string         `json:"date_order,omitempty" enum:"month-first,day-first,"`
	Columns   []ColumnView   `json:"columns"`
	Fields    []FieldView    `json:"fields" doc:"what a column may be"`
	Saved     bool           `json:"mapping_saved" doc:"the mapping was used before for this purveyor"`
	Questions []string       `json:"questions,omitempty" doc:"to be answered before the list can be taken in"`
	Counts    map[string]int `json:"counts"`
	Rows      []ListRowView  `json:"rows" doc:"at most 500"`
	Rejected  []FaultView    `json:"rejected"`
	Warnings  []FaultView    `json:"warnings"`
	Skipped   []FaultView    `json:"skipped"`
	Missing   []string       `json:"missing" doc:"assemblies of this purveyor with an open job that the list does not name"`
	Taken     bool           `json:"taken"`
}

// ColumnView is one column of the list and what it is taken for.
type ColumnView struct {
	Index   int      `json:"index"`
	Header  string   `json:"header"`
	Field   string   `json:"field,omitempty"`
	Sure    string   `json:"sure,omitempty" doc:"how sure, in words"`
	Samples []string `json:"samples,omitempty"`
}

// FieldView is something a column may hold.
type FieldView struct {
	Key  string `json:"key"`
	Name string `json:"name"`
}

// ListRowView is what a row would do.
type ListRowView struct {
	Row      int         `json:"row"`
	Action   string      `json:"action" enum:"new,moved,unchanged,not-credited,ask,not-ours,added"`
	Words    string      `json:"words"`
	Assembly string      `json:"assembly,omitempty"`
	Number   string      `json:"number,omitempty"`
	Address  string      `json:"address,omitempty"`
	Due      events.Date `json:"due,omitzero"`
}

// FaultView is something wrong with a file, where, and what to do.
type FaultView struct {
	File     string `json:"file,omitempty"`
	Sheet    string `json:"sheet,omitempty"`
	Row      int    `json:"row"`
	Col      int    `json:"col,omitempty"`
	Column   string `json:"column,omitempty"`
	Value    string `json:"value,omitempty"`
	Problem  string `json:"problem"`
	WhatToDo string `json:"what_to_do,omitempty"`
}

// MappingRequest changes how columns are read.
type MappingRequest struct {
	Columns   map[string]string `json:"columns" doc:"column index as text → field; empty field: not read"`
	DateOrder string            `json:"date_order,omitempty" enum:"month-first,day-first,"`
}

// TakeRequest takes a list in.
type TakeRequest struct {
	CommandID string `json:"command_id"`
}

// ChangeMessage tells live pages that something changed.
type ChangeMessage struct {
	Position uint64   `json:"position"`
	Kinds    []string `json:"kinds" doc:"of entity; resync: everything"`
	Dates    []string `json:"dates,omitempty" doc:"days that changed"`
}

// BeatMessage keeps the connection awake.
type BeatMessage struct {
	Now time.Time `json:"now"`
}
