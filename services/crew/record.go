package crew

import (
	"encoding/json"
	"fmt"
	"time"

	"valveround/events"
)

// Request is one thing a phone has recorded. Sent twice under one command id it changes nothing twice.
type Request struct {
	CommandID     string      `json:"command_id"`
	Actor         string      `json:"actor,omitempty"`
	Happened      time.Time   `json:"happened" doc:"by the phone's clock"`
	ClockOffsetMS *int64      `json:"clock_offset_ms,omitempty" doc:"the phone's clock minus the server's, as learned before this was recorded"`
	Sent          *time.Time  `json:"sent,omitempty" doc:"by the phone's clock, as it sends this"`
	Kind          string      `json:"kind" enum:"arrive,leave,no-access,shut-off,restore,leave-feed,finish-job,tell,photo,serial-seen,position"`
	Crew          string      `json:"crew"`
	Day           events.Date `json:"day"`
	Site          string      `json:"site,omitempty"`
	Feed          string      `json:"feed,omitempty"`
	By            string      `json:"by,omitempty" doc:"of shut-off, when not the crew: who shut it"`
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
	Wrong    []events.KitTrouble `json:"wrong_kits,omitempty" doc:"repair kits that did not fit"`
	Obstacle *events.Obstacle    `json:"obstacle,omitempty" doc:"what stood in the way, and who clears it from when"`
	// Of tell, photo, serial-seen and position; crew and day are those of the request.
	Told     *events.PeopleTold    `json:"told,omitempty"`
	Photo    *events.Photo         `json:"photo,omitempty" doc:"its bytes are sent before, to /api/attachments"`
	Serial   *events.SerialDiffers `json:"serial,omitempty"`
	Position *events.PositionRead  `json:"position,omitempty"`
}

// Command turns what the phone recorded, received at an instant of the server's clock, into a command; the error says in
// words what the request lacks. A command that has an id then says so itself, for a fact from the field is kept also when
// nothing can be made of it.
func (r Request) Command(office events.OfficeID, received time.Time) (events.Command, error) {
	id, err := events.ParseCommandID(r.CommandID)
	if err != nil {
		return events.Command{}, err
	}
	raw, err := json.Marshal(r)
	if err != nil {
		return events.Command{}, fmt.Errorf("write down what the phone sent: %w", err)
	}
	c := events.Command{ID: id, Actor: events.PersonID(r.Actor), Office: office, Happened: r.Happened, Field: &events.FieldFact{Crew: events.CrewID(r.Crew), Request: raw}}
	if c.Actor == "" {
		c.Actor = events.PersonID(r.Crew)
	}
	if r.Happened.IsZero() {
		return c, fmt.Errorf("happened: say when it happened")
	}
	clock := r.clock(received)
	c.ClockOffset = clock.Offset
	if clock.Doubt != "" {
		c.Doubts = append(c.Doubts, clock.Doubt)
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
		c.Do = events.ShutFeed{Feed: feed, Crew: crew, By: r.By}
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
		do := events.FinishJob{JobRef: events.JobRef{Assembly: events.AssemblyID(r.Assembly), Job: events.JobID(r.Job)}, Crew: crew, Day: r.Day,
			Outcome: r.Outcome, Initial: r.Initial, Repair: r.Repair, Final: r.Final, Why: r.Why, Words: r.Words, Parts: r.Parts, New: r.New, Seen: r.Seen, Wrong: r.Wrong}
		if r.Obstacle != nil {
			do.Obstacle = *r.Obstacle
		}
		c.Do = do
	default:
		c.Do, err = r.found()
	}
	return c, err
}

// Fact is Command for whoever takes in what a phone sent: what lacks something becomes a fact that is kept as it came, with
// an alarm beside it. Only what has no id of its own is an error, for it could not be known again.
func (r Request) Fact(office events.OfficeID, received time.Time) (events.Command, error) {
	c, err := r.Command(office, received)
	switch {
	case err != nil && c.ID.IsZero():
		return c, err
	case err != nil:
		c.Do = events.NotUnderstood{Why: err.Error()}
	}
	if year := c.Happened.UTC().Year(); c.Happened.IsZero() || year < 1 || year > 9999 { // RFC 3339 cannot write it
		c.Happened, c.ClockOffset = received, nil
	}
	return c, nil
}

// found turns what was seen, told or pictured at the stop into what is to be done.
func (r Request) found() (any, error) {
	crew := events.CrewID(r.Crew)
	switch {
	case r.Kind == "tell" && r.Told != nil:
		told := *r.Told
		told.Crew, told.Day = crew, r.Day
		return events.Tell{Feed: events.FeedID(r.Feed), PeopleTold: told}, nil
	case r.Kind == "photo" && r.Photo != nil:
		photo := *r.Photo
		photo.Crew, photo.Day, photo.Job = crew, r.Day, events.JobID(r.Job)
		return events.TakePhoto{Site: events.SiteID(r.Site), Assembly: events.AssemblyID(r.Assembly), Photo: photo}, nil
	case r.Kind == "serial-seen" && r.Serial != nil:
		seen := *r.Serial
		seen.Crew, seen.On, seen.Job = crew, r.Day, events.JobID(r.Job)
		return events.SeeSerial{Assembly: events.AssemblyID(r.Assembly), SerialDiffers: seen}, nil
	case r.Kind == "position" && r.Position != nil:
		fix := *r.Position
		fix.Crew, fix.Day = crew, r.Day
		return events.ReadPosition{Site: events.SiteID(r.Site), PositionRead: fix}, nil
	case r.Kind == "tell", r.Kind == "photo", r.Kind == "serial-seen", r.Kind == "position":
		return nil, fmt.Errorf("%s: the request says nothing of it", r.Kind)
	}
	return nil, fmt.Errorf("kind: %q is not something a phone records", r.Kind)
}
