package crew

import (
	"strings"
	"time"

	"valveround/events"
	"valveround/services/words"
)

// FireCall is somebody on the caller's list of a fire line: told before it is shut, and again when it is restored.
type FireCall struct {
	Role     string     `json:"role"`
	Before   string     `json:"before" doc:"what to say before shutting"`
	After    string     `json:"after" doc:"what to say once it is restored"`
	OnTest   bool       `json:"on_test,omitempty" doc:"puts the monitoring on test: ask until when"`
	Contacts []Contact  `json:"contacts" doc:"empty: ask the site whom to call"`
	ToldAt   *time.Time `json:"told_at,omitempty" doc:"before shutting, on this day"`
	BackAt   *time.Time `json:"back_at,omitempty" doc:"after restoring, on this day"`
}

// fireCalls is whom to tell, in order. The coordinator authorises (NFPA 25, 15.5); owner, alarm company, fire department and
// insurer are told (USFA bulletin cb-051219). Who else must know, local code and the site's impairment plan say.
var fireCalls = []struct {
	role, before, after string
	onTest              bool
	contacts            []string // words of a contact's role that make it this one, the best first
}{
	{"impairment coordinator", "Ask for the yes to shut the line, and say for how long. No yes, no shutting.", "Say that it is restored; have the time signed.", false, []string{"impairment", "may order shut-off"}},
	{"alarm company", "Put the monitoring on test; agree until when.", "Take it off test; ask whether the signals came in.", true, []string{"alarm"}},
	{"fire department", "Say what is out of service, where, and for how long.", "Say that it is in service again.", false, []string{"fire department"}},
	{"insurer", "Say so where the site's impairment plan asks for it.", "Say that it is in service again.", false, []string{"insurer"}},
}

// fireChecks are made sure of after a control valve was shut and opened again (common practice; NFPA 25 wants a main drain
// or valve status test then, from memory).
var fireChecks = []string{"control valves full open, locked or supervised", "main drain or valve status test done", "signals received, panel normal", "impairment tags removed", "time restored signed by the coordinator"}

func callsOf(b *events.Book, people *words.People, f *events.Feed, day events.Date) []FireCall {
	if !f.Fire {
		return nil
	}
	list := []FireCall{}
	for _, c := range fireCalls {
		call := FireCall{Role: c.role, Before: c.before, After: c.after, OnTest: c.onTest, Contacts: contactsFor(b.Sites[f.Site], people, c.contacts)}
		for _, told := range f.Told {
			at := told.At
			switch {
			case told.Role != c.role || told.Day != day:
			case told.When == events.AfterRestoring:
				call.BackAt = &at
			default:
				call.ToldAt, call.BackAt = &at, nil
			}
		}
		list = append(list, call)
	}
	return list
}

func contactsFor(s *events.Site, people *words.People, roles []string) []Contact {
	list := []Contact{}
	if s == nil {
		return list
	}
	for _, role := range roles {
		for _, c := range s.Contacts {
			if strings.Contains(strings.ToLower(c.Role), role) {
				list = append(list, Contact{Role: words.Plain(c.Role), Name: people.Name(c.Person), Phone: people.Of(string(c.Person)).Phone})
			}
		}
		if len(list) > 0 {
			return list
		}
	}
	return list
}
