package words

import (
	"fmt"
	"slices"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/planner/hours"
)

// Visit is one stop of a route.
type Visit struct {
	Key      string     `json:"key" doc:"names the visit within its day: the site, and the part of it where it is visited in parts"`
	Order    int        `json:"order" doc:"from 1"`
	Site     Site       `json:"site"`
	Arrive   time.Time  `json:"arrive"`
	Leave    time.Time  `json:"leave"`
	DriveS   int        `json:"drive_s" doc:"from the stop before, or from home"`
	DriveM   int        `json:"drive_m"`
	WaitS    int        `json:"wait_s"`
	SlackS   int        `json:"slack_s" doc:"how much later it could begin within its own windows"`
	Little   bool       `json:"little_slack"`
	Jobs     []Job      `json:"jobs"`
	Access   []Span     `json:"access"`
	WaterOff []WaterOff `json:"water_off"`
	Hold     bool       `json:"hold"`
	Notes    []string   `json:"notes,omitempty"`
	State    string     `json:"state,omitempty" doc:"on a sent-out day, in words: at the site since 07:02, done 07:41, expected late"`
	Ahead    bool       `json:"ahead,omitempty" doc:"on a sent-out day: nothing of it is recorded yet, so that it may be changed"`
	Feed     string     `json:"feed,omitempty" doc:"names the part of the site in wishes; empty: the whole"`
}

// WaterOff is when one feed is dry, and when it may be.
type WaterOff struct {
	Feed    string    `json:"feed"`
	Name    string    `json:"name"`
	Fire    bool      `json:"fire,omitempty"`
	From    time.Time `json:"from"`
	To      time.Time `json:"to"`
	Windows []Span    `json:"windows" doc:"the shutdown windows of the day"`
	// Whether there is time for a repair if a test fails.
	DecideBy *time.Time `json:"decide_by,omitempty" doc:"no unit is opened for a repair later than this"`
	TestOnly bool       `json:"test_only,omitempty" doc:"no repair fits before the water must be back"`
}

// VisitOf says one stop of a day.
func VisitOf(b *events.Book, v events.DayVisit, date events.Date, s planner.Settings) Visit {
	loc := Zone(b, v.Site)
	shown := Visit{Key: v.Key, Site: SiteOf(b, v.Site), Arrive: v.Arrive.In(loc), Leave: v.Leave.In(loc), DriveS: v.DriveS, DriveM: v.DriveM,
		Notes: v.Notes, Jobs: []Job{}, Access: []Span{}, WaterOff: []WaterOff{}}
	if site := b.Sites[v.Site]; site != nil {
		shown.Access = SpansOf(expand(site.AccessHours, site.Region, loc, date), loc)
	}
	for _, dj := range v.Jobs {
		a := b.Assemblies[dj.Assembly]
		if a == nil || a.Job(dj.Job) == nil {
			continue
		}
		job := JobOf(b, a, a.Job(dj.Job), date, s)
		job.Work = Plain(dj.Work)
		shown.Jobs = append(shown.Jobs, job)
	}
	for _, off := range v.WaterOff {
		shown.WaterOff = append(shown.WaterOff, waterOff(b, off, loc, date))
	}
	if v.Key != string(v.Site) && len(v.WaterOff) > 0 {
		shown.Feed = string(v.WaterOff[0].Feed)
	}
	return shown
}

func waterOff(b *events.Book, off events.WaterOff, loc *time.Location, date events.Date) WaterOff {
	shown := WaterOff{Feed: string(off.Feed), Name: string(off.Feed), From: off.From.In(loc), To: off.To.In(loc), Windows: []Span{}, TestOnly: off.TestOnly}
	if !off.DecideBy.IsZero() {
		by := off.DecideBy.In(loc)
		shown.DecideBy = &by
	}
	f := b.Feeds[off.Feed]
	if f == nil {
		return shown
	}
	shown.Name, shown.Fire = f.Name, f.Fire
	shown.Windows = SpansOf(AgreedOr(b, f, loc, date), loc)
	return shown
}

// AgreedOr are the times agreed for the feed on a day, or its shutdown windows when none is.
func AgreedOr(b *events.Book, f *events.Feed, loc *time.Location, date events.Date) []hours.Span {
	var agreed []hours.Span
	if site := b.Sites[f.Site]; site != nil {
		for _, a := range site.Agreed {
			if (a.Feed == "" || a.Feed == f.ID) && events.DateIn(a.From, loc) == date {
				agreed = hours.Union(agreed, []hours.Span{{Open: a.From, Close: a.To}})
			}
		}
	}
	if len(agreed) > 0 {
		return agreed
	}
	region := ""
	if site := b.Sites[f.Site]; site != nil {
		region = site.Region
	}
	return expand(f.ShutdownWindow, region, loc, date)
}

// expand gives the spans of a day; none when the text cannot be read, which the planner says in words.
func expand(text, region string, loc *time.Location, date events.Date) []hours.Span {
	h, err := hours.ParseIn(text, region)
	if err != nil {
		return nil
	}
	return h.Spans(loc, date.In(loc), date.AddDays(1).In(loc))
}

// Late says when a crew that is late would come; nothing when it is about in time.
func Late(e planner.Expected, v events.DayVisit, loc *time.Location) string {
	late := e.Reached.Sub(v.Arrive)
	if e.Over || late < 5*time.Minute {
		return ""
	}
	text := fmt.Sprintf("expected about %s, %s late", e.Reached.In(loc).Format("15:04"), Duration(late))
	if e.Begin.IsZero() {
		return text + ": too late for its hours"
	}
	return text
}

// StateOf says how a visit of a sent-out day stands: at the site since 07:02; done 07:41; not yet.
func StateOf(b *events.Book, crew events.CrewID, v events.DayVisit, date events.Date) (words string, done bool) {
	loc := Zone(b, v.Site)
	outcomes := []string{}
	for _, dj := range v.Jobs {
		if a := b.Assemblies[dj.Assembly]; a != nil {
			if j := a.Job(dj.Job); j != nil {
				if i := slices.IndexFunc(j.Attempts, func(x events.Attempt) bool { return x.On == date }); i >= 0 {
					outcomes = append(outcomes, Plain(string(j.Attempts[len(j.Attempts)-1].Outcome)))
				}
			}
		}
	}
	site := b.Sites[v.Site]
	switch {
	case len(outcomes) >= len(v.Jobs) && len(v.Jobs) > 0:
		return "done: " + summary(outcomes), true
	case site != nil && site.Here != nil && site.Here.Crew == crew:
		return "at the site since " + site.Here.Since.In(loc).Format("15:04"), false
	case len(outcomes) > 0:
		return fmt.Sprintf("%d of %d done: %s", len(outcomes), len(v.Jobs), summary(outcomes)), false
	}
	return "", false
}

func summary(outcomes []string) string {
	var list []string
	for _, o := range outcomes {
		if !slices.Contains(list, o) {
			list = append(list, o)
		}
	}
	text := ""
	for i, o := range list {
		n := 0
		for _, x := range outcomes {
			if x == o {
				n++
			}
		}
		if i > 0 {
			text += ", "
		}
		if len(outcomes) > 1 {
			text += fmt.Sprintf("%d ", n)
		}
		text += o
	}
	return text
}
