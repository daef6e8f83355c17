package planner

import (
	"strings"
	"time"

	"valveround/events"
)

// Doubt is something that has changed under a day that is out, so that it should be amended.
type Doubt struct {
	Rule  string
	Words string
	Crew  events.CrewID
	Site  events.SiteID
	Job   events.JobID
}

// Doubts looks at what is still to be done of a sent-out day as the book is now: a gauge dropped, a crew off, a leg left
// shut, a job withdrawn, a crew so late that its next visits fit no more.
func Doubts(b *events.Book, office events.OfficeID, date events.Date, now time.Time, s Settings) ([]Doubt, error) {
	day := b.Day(office, date)
	if day == nil || day.Sent == nil {
		return nil, nil
	}
	c := collector{b: b, s: s, date: date, now: now, clock: newClockwork(date), feeds: feedsBySite(b)}
	teams, off, err := c.clock.teams(b, office)
	if err != nil {
		return nil, err
	}
	byCrew := map[events.CrewID]team{}
	for _, t := range teams {
		byCrew[t.ID] = t
	}
	var doubts []Doubt
	for _, route := range day.Sent.Routes {
		team, works := byCrew[route.Crew]
		if why, is := off[route.Crew]; is && !works {
			doubts = append(doubts, Doubt{Rule: "crew", Words: b.Crews[route.Crew].Name + " does not work that day: " + why, Crew: route.Crew})
		}
		for _, v := range route.Visits {
			doubts = append(doubts, c.doubtsOf(route.Crew, team, works, v)...)
		}
		if works {
			doubts = append(doubts, c.late(team, route)...)
		}
	}
	return doubts, nil
}

func (c *collector) doubtsOf(crew events.CrewID, t team, works bool, v events.DayVisit) []Doubt {
	var doubts []Doubt
	var open []Job
	for _, dj := range v.Jobs {
		a := c.b.Assemblies[dj.Assembly]
		j := a.Job(dj.Job)
		if j == nil || !j.NeedsVisit() {
			if j != nil && j.Stage == events.StageWithdrawn {
				doubts = append(doubts, Doubt{"standing", "the job is withdrawn", crew, v.Site, dj.Job})
			}
			continue
		}
		if len(j.Attempts) > 0 && j.Dispatched == nil {
			continue // its visit is over
		}
		if rule, reason, _ := c.jobRules(a, j); rule != "" && rule != "dispatched" {
			doubts = append(doubts, Doubt{rule, reason, crew, v.Site, dj.Job})
		}
		open = append(open, Job{dj.Assembly, dj.Job, Work(dj.Work)})
	}
	if len(open) == 0 {
		return doubts
	}
	if !works {
		zone := ""
		if site := c.b.Sites[v.Site]; site != nil {
			zone = site.Zone
		}
		return append(doubts, Doubt{"crew", "nobody comes at " + c.clockAt(v.Arrive, zone) + ": give it to another crew, or call it off", crew, v.Site, ""})
	}
	var lacks []string
	rule := ""
	for _, need := range c.s.needsOf(c.b, open) {
		if !t.skills[need] {
			rule = ruleOfNeed(need)
			lacks = append(lacks, missingWords(c.b, need))
		}
	}
	if len(lacks) > 0 {
		doubts = append(doubts, Doubt{rule, t.Name + " lacks " + strings.Join(lacks, "; "), crew, v.Site, ""})
	}
	return doubts
}
