package crew

import (
	"cmp"
	"slices"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// AlarmView is one thing recorded in the field that looks impossible. Both it and what it disagrees with are kept; somebody
// of the office looks at it and says what came of it.
type AlarmView struct {
	Event    events.EventID `json:"event" doc:"what settling names"`
	Kind     string         `json:"kind" enum:"assembly,site,feed"`
	ID       string         `json:"id"`
	Site     words.Site     `json:"site"`
	What     string         `json:"what,omitempty" doc:"the assembly or the feed"`
	Words    string         `json:"words"`
	Said     time.Time      `json:"said" doc:"when it happened, by the server's clock as well as it is known"`
	Received time.Time      `json:"received"`
	Who      string         `json:"who" doc:"the crew or person who recorded it"`
	Settled  *SettledView   `json:"settled,omitempty"`
}

// SettledView is what came of an alarm.
type SettledView struct {
	By    string    `json:"by"`
	Words string    `json:"words"`
	On    time.Time `json:"on"`
}

// settledFor is how long a settled alarm stays on the list.
const settledFor = 7 * 24 * time.Hour

// Alarms lists the alarms of an office, the newest first: those that nobody has settled, and those settled of late.
func Alarms(b *events.Book, office events.OfficeID, people *words.People, now time.Time) []AlarmView {
	list := []AlarmView{}
	add := func(kind events.Kind, id string, site events.SiteID, what string, alarms []events.RaisedAlarm) {
		for _, a := range alarms {
			if a.Settled != nil && now.Sub(a.Settled.On) > settledFor {
				continue
			}
			list = append(list, alarmView(b, people, a, AlarmView{Kind: string(kind), ID: id, Site: words.SiteOf(b, site), What: what}, words.Zone(b, site)))
		}
	}
	for id, a := range b.Assemblies {
		if a.Office == office {
			add(events.KindAssembly, string(id), a.Site, assemblyWords(a), a.Alarms)
		}
	}
	for id, f := range b.Feeds {
		if f.Office == office {
			add(events.KindFeed, string(id), f.Site, f.Name, f.Alarms)
		}
	}
	for id, s := range b.Sites {
		if s.Office == office {
			add(events.KindSite, string(id), id, "", s.Alarms)
		}
	}
	slices.SortFunc(list, func(x, y AlarmView) int {
		return cmp.Or(y.Received.Compare(x.Received), cmp.Compare(x.Event, y.Event))
	})
	return list
}

func alarmView(b *events.Book, people *words.People, a events.RaisedAlarm, v AlarmView, loc *time.Location) AlarmView {
	v.Event, v.Words, v.Said, v.Received, v.Who = a.Event, a.Words, a.At.In(loc), a.In.In(loc), who(b, people, a.By)
	if a.Settled != nil {
		v.Settled = &SettledView{By: who(b, people, a.Settled.By), Words: a.Settled.Words, On: a.Settled.On.In(loc)}
	}
	return v
}

// who names a crew's phone or a person.
func who(b *events.Book, people *words.People, id events.PersonID) string {
	if c := b.Crews[events.CrewID(id)]; c != nil {
		return c.Name
	}
	return people.Name(id)
}

func assemblyWords(a *events.Assembly) string {
	text := string(a.Type)
	if !a.Size.IsZero() {
		text += ", " + a.Size.String()
	}
	for _, more := range []string{a.Place, a.PurveyorNumber} {
		if more != "" {
			text += ", " + more
		}
	}
	return text
}
