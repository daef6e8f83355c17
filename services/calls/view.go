package calls

import (
	"time"

	"valveround/events"
	"valveround/services/words"
)

// View is the call list.
type View struct {
	From      events.Date `json:"from"`
	To        events.Date `json:"to"`
	Now       time.Time   `json:"now"`
	Tomorrow  events.Date `json:"tomorrow" doc:"the next working day"`
	Planned   bool        `json:"tomorrow_planned" doc:"there is a plan of tomorrow, so it is known which calls would let more in"`
	Headline  string      `json:"headline"`
	Customers []Customer  `json:"customers" doc:"the most pressing first; those where nothing is to be asked at the end"`
	Parties   []Party     `json:"parties" doc:"desks and firms to be booked, which bring what work waits for: the most pressing first"`
}

// Party is one call to a desk or firm that brings what work waits for.
type Party struct {
	ID       string         `json:"id"`
	What     events.Brought `json:"what" enum:"street-valve,alarm-company,escort,pump-out"`
	Name     string         `json:"name" doc:"the desk or firm; the customer, for an escort"`
	Phone    string         `json:"phone,omitempty" doc:"of the desk or firm, where it is noted"`
	AskBy    events.Date    `json:"ask_by,omitzero" doc:"the first deadline of the jobs that wait for it"`
	DaysLeft *int           `json:"days_left,omitempty"`
	Tomorrow []string       `json:"lets_in_tomorrow,omitempty" doc:"jobs that may come into tomorrow's plan when they come, one sentence a site"`
	JobsIn   int            `json:"jobs_let_in_tomorrow,omitempty"`
	Say      string         `json:"say" doc:"what to say, one short paragraph"`
	Whom     []Contact      `json:"whom" doc:"people of the sites who can be asked"`
	Jobs     int            `json:"jobs"`
	Places   []Place        `json:"places"`
}

// Place is a site, or one feed of it, at which others are wanted and not booked.
type Place struct {
	Site     words.Site  `json:"site"`
	Feed     string      `json:"feed,omitempty" doc:"empty: every feed of the site"`
	Name     string      `json:"feed_name,omitempty"`
	Jobs     []words.Job `json:"jobs"`
	Minutes  int         `json:"minutes" doc:"for how long they are wanted: with the water off, or from arriving to leaving"`
	Deadline events.Date `json:"deadline,omitzero"`
	DaysLeft int         `json:"days_left"`
	Together []string    `json:"together,omitempty" doc:"who else is booked there already, and for which day"`
	Late     bool        `json:"late,omitempty" doc:"all are booked, but for a day after the deadline"`
	Open     []Day       `json:"open" doc:"days on which it could be, before the deadline"`
	Last     []string    `json:"last,omitempty" doc:"what they said last, newest first"`
}

// Customer is one call.
type Customer struct {
	ID       string      `json:"id"`
	Name     string      `json:"name"`
	OnHold   string      `json:"on_hold,omitempty" doc:"why nothing is done for them now"`
	Needed   bool        `json:"needed" doc:"something is to be asked; otherwise the hours on record are enough"`
	AskBy    events.Date `json:"ask_by,omitzero" doc:"the last day on which asking is of use for the first deadline"`
	DaysLeft *int        `json:"days_left,omitempty" doc:"to ask_by; below zero: it is late, ask all the same"`
	Asks     []Ask       `json:"asks"`
	Tomorrow []string    `json:"lets_in_tomorrow,omitempty" doc:"jobs that this call alone may let into tomorrow's plan, one sentence a site"`
	JobsIn   int         `json:"jobs_let_in_tomorrow,omitempty"`
	Say      string      `json:"say" doc:"what to say, one short paragraph"`
	Whom     []Contact   `json:"whom"`
	Jobs     int         `json:"jobs"`
	Minutes  int         `json:"minutes" doc:"at the sites, without travel"`
	Sites    []Site      `json:"sites"`
}

// Ask is one thing to be asked, so worded that it can follow "Ask".
type Ask struct {
	Rule  string `json:"rule" enum:"standing,repair-yes,notice,window,season,stopped,fire"`
	Words string `json:"words"`
	Jobs  int    `json:"jobs"`
}

// Contact is somebody to be asked, with what that person may do.
type Contact struct {
	Person string   `json:"person"`
	Name   string   `json:"name"`
	Phone  string   `json:"phone,omitempty"`
	Roles  []string `json:"roles"`
	Sites  []string `json:"sites" doc:"ids"`
	Wrong  bool     `json:"wrong_number,omitempty" doc:"the last call found the number wrong"`
}

// Site is one place of the call.
type Site struct {
	Site        words.Site  `json:"site"`
	Access      string      `json:"access_hours"`
	Jobs        int         `json:"jobs"`
	Minutes     int         `json:"minutes"`
	Deadline    events.Date `json:"deadline,omitzero" doc:"the first of its jobs"`
	DaysLeft    int         `json:"days_left"`
	Asks        []Ask       `json:"asks"`
	NoticeDays  int         `json:"notice_days,omitempty"`
	Notice      string      `json:"notice,omitempty" doc:"the newest notice, in words"`
	NoticeUntil events.Date `json:"notice_until,omitzero" doc:"last day on which notice can be given for an open day before the deadline"`
	NoticeLate  bool        `json:"notice_late,omitempty" doc:"too late for notice before the deadline: a time must be agreed"`
	Agreed      []Agreed    `json:"agreed,omitempty" doc:"times agreed that are still to come"`
	Last        []string    `json:"last,omitempty" doc:"what was said and agreed last, newest first"`
	Feeds       []Feed      `json:"feeds"`
}

// Agreed is a time agreed with the site; it is withdrawn by the same feed, from and to.
type Agreed struct {
	Feed  string    `json:"feed,omitempty" doc:"empty: every feed"`
	From  time.Time `json:"from"`
	To    time.Time `json:"to"`
	Words string    `json:"words"`
}

// Feed is what one shutdown dries.
type Feed struct {
	ID     string      `json:"id"`
	Name   string      `json:"name"`
	Fire   bool        `json:"fire,omitempty"`
	Window string      `json:"shutdown_window" doc:"as written on record"`
	Dry    int         `json:"dry_minutes" doc:"with the water off"`
	Jobs   []words.Job `json:"jobs"`
	Open   []Day       `json:"open" doc:"days on which the water may be off long enough while a crew works"`
}

// Day is a day and its hours, by the clocks of the site.
type Day struct {
	Date    events.Date `json:"date"`
	Name    string      `json:"name" doc:"Tue 3 Mar"`
	Hours   string      `json:"hours" doc:"05:00–09:00, 13:00–15:00"`
	Agreed  bool        `json:"agreed,omitempty"`
	TooSoon bool        `json:"too_soon,omitempty" doc:"for notice given now; a time agreed is needed"`
}
