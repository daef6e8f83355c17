package console

import (
	"time"
	"valveround/services/dispatch"

	"valveround/events"
	"valveround/services/words"
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
	Crews     []words.Crew   `json:"crews"`
	Purveyors []PurveyorView `json:"purveyors"`
	Me        *MeView        `json:"me,omitempty" doc:"who has signed in; missing where nobody does"`
}

// PurveyorView names a purveyor.
type PurveyorView struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Rules string `json:"rules" doc:"its clocks in words"`
}

// PlanRequest asks for a plan of the day.
type PlanRequest struct {
	Seconds float64 `json:"seconds,omitempty" minimum:"0" maximum:"600" doc:"for the search; the default suits the demo"`
}

// SupposeRequest asks what if.
type SupposeRequest struct {
	Suppose []dispatch.Supposed `json:"suppose" minItems:"1" maxItems:"20"`
}

// RestRequest sends out the plan of the rest of a day that was seen.
type RestRequest struct {
	CommandID string `json:"command_id"`
	Digest    string `json:"digest"`
	Why       string `json:"why" minLength:"1" maxLength:"500" doc:"for the history and the crews"`
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

// ChangeOutRequest changes one visit of a day that is out.
type ChangeOutRequest struct {
	CommandID string `json:"command_id"`
	Site      string `json:"site"`
	Feed      string `json:"feed,omitempty"`
	Crew      string `json:"crew,omitempty" doc:"which does it; needed unless it is taken off"`
	Place     int    `json:"place,omitempty" minimum:"0" doc:"from 1 in the crew's whole route; 0: wherever it fits best"`
	Out       bool   `json:"out,omitempty" doc:"taken off the day"`
	Why       string `json:"why,omitempty" doc:"of what is taken off"`
}

// SendRequest sends out the very plan that was seen.
type SendRequest struct {
	CommandID string `json:"command_id"`
	Digest    string `json:"digest"`
}

// UndoRequest undoes the last change of a day's proposal.
type UndoRequest struct {
	CommandID string `json:"command_id"`
}

// TakeBackRequest takes a day back.
type TakeBackRequest struct {
	CommandID string `json:"command_id"`
	Why       string `json:"why,omitempty"`
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
	Kind      string `json:"kind" enum:"yes-to-repair,want-parts,ready-parts,clear-way,set-standing,withdraw,file-report,accept-report,return-report,give-notice,agree-time,make-booking,withdraw-booking,restore-feed,note-measures,say-vacant,say-out-of-use,crew-off,crew-back,drop-gauge,verify-gauge,order-parts,promise-parts,receive-part,reserve-part,load-part,release-part,wrong-part,send-back-kit,phone-failure,void-result,correct-entry,take-serial,keep-serial,settle-alarm"`
	Kept      string `json:"kept,omitempty" doc:"of settle-alarm: the fact that could not be filed"`
	Assembly  string `json:"assembly,omitempty"`
	Job       string `json:"job,omitempty"`
	Site      string `json:"site,omitempty"`
	Feed      string `json:"feed,omitempty"`
	Crew      string `json:"crew,omitempty"`
	Gauge     string `json:"gauge,omitempty"`

	Date         events.Date         `json:"date,omitzero"`
	Since        events.Date         `json:"since,omitzero" doc:"of what is not used: the first day without use; missing: it was noted by mistake. date: the day on which it is used again, missing while nobody knows"`
	Minutes      int                 `json:"minutes,omitempty" minimum:"0" maximum:"1440" doc:"of measures for a fire line: how long it may be out of service in any 24 hours; 0 takes them back"`
	CalibratedOn events.Date         `json:"calibrated_on,omitzero" doc:"of a gauge that was verified; words: by whom, and where"`
	From         *time.Time          `json:"from,omitempty"`
	To           *time.Time          `json:"to,omitempty"`
	Basis        string              `json:"basis,omitempty"`
	LimitUSD     int                 `json:"limit_usd,omitempty"`
	Parts        []events.PartWanted `json:"parts,omitempty"`
	Where        string              `json:"where,omitempty"`
	Standing     events.Standing     `json:"standing,omitempty"`
	How          string              `json:"how,omitempty"`
	Confirmation string              `json:"confirmation,omitempty"`
	// Of a booking: what others bring, and the desk or firm that comes; confirmation is what they want to hear about it.
	What  events.Brought `json:"what,omitempty" enum:"street-valve,alarm-company,escort,pump-out"`
	Whom  string         `json:"whom,omitempty" doc:"no person's name"`
	Words string         `json:"words,omitempty"`

	// Who says so: By is the person of the office, Who the one of the customer who said yes.
	By   string `json:"by,omitempty"`
	Who  string `json:"who,omitempty"`
	Role string `json:"role,omitempty" doc:"who agreed to measures: the impairment coordinator; who says that something is not used"`
	// Of one part: its place in the job's list, from 1, and its code.
	Nth         int    `json:"nth,omitempty" minimum:"0"`
	Code        string `json:"code,omitempty"`
	Item        string `json:"item,omitempty" doc:"the very repair kit"`
	Supplier    string `json:"supplier,omitempty"`
	OrderNumber string `json:"order_number,omitempty"`
	// Of a serial that a crew read off the unit.
	Serial string      `json:"serial,omitempty"`
	Part   events.Part `json:"part,omitempty" enum:"main,bypass" doc:"default: main"`
	// Of a mistake: the event it is about.
	About string `json:"about,omitempty"`
}

// BookingsView is what others bring to a site.
type BookingsView struct {
	Booked   []BookingView `json:"booked" doc:"not over yet, the first first"`
	Unbooked []string      `json:"unbooked" doc:"what is needed there and nobody is booked for"`
}

// BookingView is one booking; it is withdrawn by the same what, feed, from and to.
type BookingView struct {
	What  events.Brought `json:"what" enum:"street-valve,alarm-company,escort,pump-out"`
	Feed  string         `json:"feed,omitempty" doc:"empty: every feed"`
	From  time.Time      `json:"from"`
	To    time.Time      `json:"to"`
	Words string         `json:"words"`
}

// DisuseView is what of a site is not used, and what is tested before it is used again.
type DisuseView struct {
	Said []DisuseSaid `json:"said" doc:"the site first"`
	Owed []OwedView   `json:"owed" doc:"the tests that are owed before use"`
}

// DisuseSaid is since when something is not used.
type DisuseSaid struct {
	Feed  string      `json:"feed,omitempty" doc:"empty: the whole site stands empty"`
	Since events.Date `json:"since"`
	Back  events.Date `json:"back,omitzero" doc:"missing: nobody knows yet"`
	By    string      `json:"by"`
	Words string      `json:"words"`
}

// OwedView is a test that is owed before a use.
type OwedView struct {
	Assembly string `json:"assembly"`
	Job      string `json:"job"`
	Unit     string `json:"unit"`
	Words    string `json:"words"`
	Known    bool   `json:"known" doc:"the day of the use is known"`
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
	Questions []QuestionView `json:"questions,omitempty" doc:"to be answered before the list can be taken in"`
	Counts    map[string]int `json:"counts"`
	Rows      []ListRowView  `json:"rows" doc:"at most 500"`
	Rejected  []FaultView    `json:"rejected"`
	Warnings  []FaultView    `json:"warnings"`
	Skipped   []FaultView    `json:"skipped"`
	Missing   []string       `json:"missing" doc:"assemblies of this purveyor with an open job that the list does not name"`
	Taken     bool           `json:"taken"`
}

// QuestionView is a decision that somebody has to take.
type QuestionView struct {
	Key     string   `json:"key"`
	Text    string   `json:"text"`
	Columns []int    `json:"columns,omitempty"`
	Choices []string `json:"choices,omitempty"`
}

// ColumnView is one column of the list and what it is taken for.
type ColumnView struct {
	Index   int      `json:"index"`
	Header  string   `json:"header"`
	Field   string   `json:"field,omitempty"`
	Sure    string   `json:"sure,omitempty" doc:"how sure, in words"`
	Why     string   `json:"why,omitempty"`
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
	Differs  []string    `json:"differs,omitempty" doc:"where list and record disagree; nothing is overwritten"`
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
	Question bool   `json:"question,omitempty"`
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
