package crew

import (
	"fmt"
	"time"

	"valveround/events"
)

// Request is one thing a phone has recorded. Sent twice under one command id it changes nothing twice.
type Request struct {
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

// Command turns what the phone recorded into a command; the error says in words what the request lacks.
func (r Request) Command(office events.OfficeID) (events.Command, error) {
	id, err := events.ParseCommandID(r.CommandID)
	if err != nil {
		return events.Command{}, err
	}
	c := events.Command{ID: id, Actor: events.PersonID(r.Actor), Office: office, Happened: r.Happened}
	if c.Actor == "" {
		c.Actor = events.PersonID(r.Crew)
	}
	if r.Happened.IsZero() {
		return c, fmt.Errorf("happened: say when it happened")
	}
	if r.ClockOffsetMS != nil {
		offset := time.Duration(*r.ClockOffsetMS) * time.Millisecond
		c.ClockOffset = &offset
	}
	crew, site, feed := events.CrewID(r.Crew), events.SiteID(r.Site), events.FeedID(r.Feed)
	switch r.Kind {
	case "arrive":
		c.Do = events.Arrive{Site: site, Crew: crew, Day: r.Day}
	case "leave":
		c.Do = events.Leave{Site: site, Crew: crew, Day: r.Day}
	case "no-access":
		c.Do = events.MeetNoAccess{Site: site, Crew: crew, Day: r.Day, Jobs: r.Jobs, Words: r.Words}
	case "shut-off":
		c.Do = events.ShutFeed{Feed: feed, Crew: crew}
	case "restore":
		c.Do = events.RestoreFeed{Feed: feed, Crew: crew}
	case "leave-feed":
		if r.Condition == nil {
			return c, fmt.Errorf("condition: say how each shut-off was left")
		}
		c.Do = events.LeaveFeed{Feed: feed, Crew: crew, Condition: *r.Condition}
	case "finish-job":
		if r.Day.IsZero() {
			return c, fmt.Errorf("day: say of which day the visit is")
		}
		c.Do = events.FinishJob{JobRef: events.JobRef{Assembly: events.AssemblyID(r.Assembly), Job: events.JobID(r.Job)}, Crew: crew, Day: r.Day,
			Outcome: r.Outcome, Initial: r.Initial, Repair: r.Repair, Final: r.Final, Why: r.Why, Words: r.Words, Parts: r.Parts, New: r.New, Seen: r.Seen}
	default:
		return c, fmt.Errorf("kind: %q is not something a phone records", r.Kind)
	}
	return c, nil
}
