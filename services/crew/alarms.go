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
	Kind     string         `json:"kind" enum:"assembly,site,feed,field"`
	ID       string         `json:"id"`
	Site     words.Site     `json:"site"`
	What     string         `json:"what,omitempty" doc:"the assembly or the feed"`
	Words    string         `json:"words"`
	Do       string         `json:"do" doc:"what to do about it"`
	Request  string         `json:"request,omitempty" doc:"of a fact that could not be filed: as the phone sent it"`
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
	for id, u := range b.Unplaced {
		if u.Office != office {
			continue
		}
		add(events.KindField, id, "", "", u.Alarms)
		if n := len(list); n > 0 && list[n-1].ID == id {
			list[n-1].Request, list[n-1].Who = string(u.Request), who(b, people, events.PersonID(u.Crew))
		}
	}
	slices.SortFunc(list, func(x, y AlarmView) int {
		return cmp.Or(y.Received.Compare(x.Received), cmp.Compare(x.Event, y.Event))
	})
	return list
}

func alarmView(b *events.Book, people *words.People, a events.RaisedAlarm, v AlarmView, loc *time.Location) AlarmView {
	v.Event, v.Words, v.Do, v.Said, v.Received, v.Who = a.Event, a.Words, whatToDo(a.Sort), a.At.In(loc), a.In.In(loc), who(b, people, a.By)
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

// whatToDo says, for each sort of alarm, what settles it. Common practice; the purveyor's rule and local code decide.
func whatToDo(sort events.AlarmSort) string {
	switch sort {
	case events.AlarmLate:
		return "Ask both crews what they saw. If the wrong word stands, take that result back, or note on the entry what is right; look at how the feed stands now."
	case events.AlarmTakenBack:
		return "Nothing needs doing twice: if the work is done, take the stop off the other crew before it drives there. Check that both crews know."
	case events.AlarmToldTwice:
		return "Ask the crew which holds. Take the wrong result back, or note on the wrong entry what is right; a feed said to be shut is shut until somebody has looked."
	case events.AlarmOver:
		return "Compare it with the result that was there: file the right one, and take back the other."
	case events.AlarmVerdict:
		return "The tester and the criteria disagree. Have the tester look at the readings again before the report is filed; the purveyor decides."
	case events.AlarmRights:
		return "Do not file it yet. Ask the purveyor whether the test counts; if not, test again with what is valid."
	case events.AlarmTwoCrews:
		return "Call both crews: one has forgotten to leave, or two are at one site."
	case events.AlarmDry:
		return "Call the crew now: two feeds that must not be dry together are recorded so. The site's responsible person decides what is opened first."
	case events.AlarmKit:
		return "Look which kit fits the unit, and correct the record of what is wanted."
	case events.AlarmPaper:
		return "Compare the paper with what the phone sent, and take back the one that is wrong."
	case events.AlarmClock:
		return "The time is not sure. Ask the crew when it was; where a deadline hangs on it, note the right time on the entry."
	case events.AlarmUnplaced:
		return "Read what was sent, enter it where it belongs, and then say here where."
	}
	return "Look at both facts, mend the one that is wrong, and say here what came of it."
}
