package words

import (
	"fmt"
	"strings"

	"valveround/events"
)

// After puts a lead before a text that is not empty.
func After(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

// Sentence says an event in plain words.
func Sentence(b *events.Book, people *People, event any) string {
	t := teller{b, people}
	for _, tell := range []func(any) string{t.registry, t.site, t.feed, t.due, t.tested, t.outcome, t.repair, t.report, t.others} {
		if text := tell(event); text != "" {
			return text
		}
	}
	return ""
}

type teller struct {
	b      *events.Book
	people *People
}

func (t teller) crew(id events.CrewID) string {
	if c := t.b.Crews[id]; c != nil {
		return c.Name
	}
	return string(id)
}

func (t teller) registry(event any) string {
	switch e := event.(type) {
	case events.Registered[events.AssemblyFacts]:
		return "Entered in the registry: " + assembly(e.Facts)
	case events.Corrected[events.AssemblyFacts]:
		return "Registry corrected: " + assembly(e.Facts) + After(" Why: ", e.Why)
	case events.Registered[events.SiteFacts]:
		return "Site entered: " + e.Facts.Name + ", access " + e.Facts.AccessHours + "."
	case events.Corrected[events.SiteFacts]:
		return "Site corrected: " + e.Facts.Name + ", access " + e.Facts.AccessHours + "." + After(" Why: ", e.Why)
	case events.Registered[events.FeedFacts]:
		return "Feed entered: " + e.Facts.Name + ", may be shut off " + e.Facts.ShutdownWindow + "."
	case events.Corrected[events.FeedFacts]:
		return "Feed corrected: " + e.Facts.Name + ", may be shut off " + e.Facts.ShutdownWindow + "." + After(" Why: ", e.Why)
	case events.Registered[events.CrewFacts]:
		return "Crew entered: " + e.Facts.Name + "."
	case events.Corrected[events.CrewFacts]:
		return "Crew corrected: " + e.Facts.Name + "."
	case events.Registered[events.GaugeFacts]:
		return "Gauge entered: serial " + e.Facts.Serial + ", certified until " + e.Facts.CertifiedUntil.String() + "."
	case events.Corrected[events.GaugeFacts]:
		return "Gauge corrected: serial " + e.Facts.Serial + ", certified until " + e.Facts.CertifiedUntil.String() + "."
	case events.Registered[events.KitFacts]:
		return "Repair kit entered: " + e.Facts.Code + "."
	case events.Corrected[events.KitFacts]:
		return "Repair kit corrected: " + e.Facts.Code + "."
	case events.Registered[events.PurveyorFacts]:
		return "Purveyor entered: " + e.Facts.Name + "."
	case events.Corrected[events.PurveyorFacts]:
		return "Purveyor's rules corrected: " + e.Facts.Name + "."
	case events.Registered[events.CustomerFacts]:
		return "Customer entered: " + e.Facts.Name + "."
	case events.Corrected[events.CustomerFacts]:
		return "Customer corrected: " + e.Facts.Name + "."
	case events.Registered[events.PersonFacts]:
		return "Person entered: " + Count(len(e.Facts.Credentials), "certificate or licence", "certificates and licences") + "."
	case events.Corrected[events.PersonFacts]:
		return "Person corrected: " + Count(len(e.Facts.Credentials), "certificate or licence", "certificates and licences") + "."
	}
	return ""
}

func assembly(f events.AssemblyFacts) string {
	text := f.Type.Name()
	if !f.Size.IsZero() {
		text = f.Size.String() + " " + text
	}
	return text + After(", serial ", f.Serial) + After(", ", f.Place) + "."
}

func (t teller) site(event any) string {
	switch e := event.(type) {
	case events.NoticeGiven:
		text := "Notice given on " + e.Given.String()
		if !e.For.IsZero() {
			text += " for " + e.For.String()
		}
		return text + After(", ", e.How) + "."
	case events.TimeAgreed:
		return "Time agreed: " + e.From.Format("2 Jan 15:04") + " to " + e.To.Format("15:04") + "."
	case events.Arrived:
		return t.crew(e.Crew) + " arrived at the site."
	case events.Left:
		return t.crew(e.Crew) + " left the site."
	case events.SiteNoAccess:
		return t.crew(e.Crew) + " found no access." + After(" ", e.Words)
	case events.SiteAlarm:
		return "Alarm: " + e.Words + "."
	}
	return ""
}

func (t teller) feed(event any) string {
	switch e := event.(type) {
	case events.ShutOff:
		return "Water off, by " + t.crew(e.Crew) + "."
	case events.FeedRestored:
		return "Water restored" + After(", by ", strings.TrimSpace(t.crew(e.Crew)+" "+e.By)) + "."
	case events.FeedAsLeft:
		return "As left: " + Condition(e.Condition) + "." + After(" Told: ", strings.Join(e.Told, ", "))
	case events.FeedAlarm:
		return "Alarm: " + e.Words + "."
	}
	return ""
}

func (t teller) due(event any) string {
	switch e := event.(type) {
	case events.Due:
		text := "Due"
		if !e.Due.IsZero() {
			text += " by " + e.Due.String()
		}
		return text + ": " + Plain(string(e.Kind)) + After(", from ", e.List) + ". Whose: " + Plain(string(e.Standing)) + "."
	case events.DeadlineMoved:
		return "Due date moved from " + e.From.String() + " to " + e.To.String() + After(", by ", e.List) + "."
	case events.Ordered:
		return "Marked as " + Plain(string(e.Standing)) + After(": ", e.Why) + "."
	case events.Questioned:
		return "To be asked: " + e.Words + "."
	case events.NotCredited:
		return "Listed as due by " + e.Due.String() + " although it passed on " + e.Passed.String() + ": the report is to be sent again."
	case events.Dispatched:
		return "Sent out for " + e.Date.String() + " with " + t.crew(e.Crew) + "."
	case events.StoodDown:
		return "Stood down: the day was taken back" + After(", ", e.Why) + "."
	case events.WayCleared:
		return "The way is clear" + After(": ", e.Words) + "."
	case events.Withdrawn:
		return "Withdrawn: " + e.Why + "."
	}
	return ""
}

func (t teller) tested(event any) string {
	e, ok := event.(events.Tested)
	if !ok {
		return ""
	}
	readings := make([]string, len(e.Readings))
	for i, r := range e.Readings {
		readings[i] = reading(r)
	}
	gauge := string(e.Gauge)
	if g := t.b.Gauges[e.Gauge]; g != nil && g.Serial != "" {
		gauge = g.Serial
	}
	text := "Tested by " + t.people.Name(e.Tester) + " with gauge " + gauge + ": " + strings.Join(readings, ", ") + ". The tester says " + Plain(string(e.Says)) + "."
	if e.Computed != nil {
		text += " The criteria (" + string(e.Profile) + ") say " + Plain(string(e.Computed.Opinion()))
		if e.Computed.Buffer != nil {
			text += fmt.Sprintf(", buffer %s %s", e.Computed.Buffer, e.Computed.BufferUnit)
		}
		text += "."
	}
	return text
}

func reading(r events.Reading) string {
	text := r.Component.Name()
	if r.Part == events.BypassPart && r.Component != events.BypassCheck {
		text = "bypass " + text
	}
	if r.Result != "" {
		text += " " + Plain(string(r.Result))
	}
	if r.Number != nil {
		if r.Result == events.Opened {
			text += " at"
		}
		text += fmt.Sprintf(" %s %s", r.Number, r.Unit)
	}
	return text
}

func (t teller) outcome(event any) string {
	said := func(what string, s events.Setback) string {
		return what + After(": ", Plain(s.Why)) + "." + After(" ", s.Words)
	}
	switch e := event.(type) {
	case events.FailedRetest:
		text := "Failed: " + e.Words + ". "
		if !e.RetestBy.Known {
			return text + "Repair and retest: " + e.RetestBy.Rule + "."
		}
		return text + "Repair and retest owed by " + e.RetestBy.On.String() + " (" + e.RetestBy.Rule + ")."
	case events.Passed:
		text := "Passed"
		if e.Repaired {
			text = "Repaired and passed"
		}
		if e.ReportBy.Known {
			return text + ". Report owed by " + e.ReportBy.On.String() + "."
		}
		return text + ". Report: " + e.ReportBy.Rule + "."
	case events.CouldNotTest:
		return said("Could not be tested", events.Setback(e))
	case events.NotFound:
		return said("Not found", events.Setback(e))
	case events.Removed:
		return said("Removed", events.Setback(e))
	case events.OwnerRefused:
		return said("The owner refused", events.Setback(e))
	case events.NoAccess:
		return said("No access", events.Setback(e))
	case events.RanOut:
		return said("The shutdown window ended first", events.Setback(e))
	case events.WrongType:
		return "On record as " + string(e.Record) + ", seen to be " + string(e.Seen) + "." + After(" ", e.Words)
	case events.Replaced:
		return "Replaced: old serial " + e.OldSerial + ", new serial " + e.Serial + ", " + e.Type.Name() + "."
	case events.AssemblyAlarm:
		return "Alarm: " + e.Words + "."
	}
	return ""
}

func (t teller) repair(event any) string {
	switch e := event.(type) {
	case events.RepairAuthorised:
		text := "Yes to repair: " + e.Basis
		if e.LimitUSD > 0 {
			text += fmt.Sprintf(", up to %d USD", e.LimitUSD)
		}
		return text + "."
	case events.Repaired:
		var what []string
		if e.Cleaned {
			what = append(what, "cleaned")
		}
		for _, p := range e.Fitted {
			what = append(what, "fitted "+p.Code)
		}
		return "Repaired: " + strings.Join(what, ", ") + After(". ", e.Words) + "."
	case events.PartsPending:
		return "Waits for parts: " + parts(e.Parts) + "."
	case events.PartsReady:
		return "Parts are ready: " + parts(e.Parts) + "."
	case events.KitReserved:
		return "Reserved for job " + string(e.Job) + After(", ", e.Where) + "."
	}
	return ""
}

func parts(list []events.PartWanted) string {
	said := make([]string, len(list))
	for i, p := range list {
		said[i] = p.Code + After(" for ", p.Component.Name())
		switch {
		case p.Item != "":
			said[i] += After(", in ", p.Where)
		case !p.Promised.IsZero():
			said[i] += ", promised " + p.Promised.String()
		}
	}
	return strings.Join(said, "; ")
}

func (t teller) report(event any) string {
	switch e := event.(type) {
	case events.Reported:
		return "Report filed on " + e.On.String() + After(", ", e.How) + After(", confirmation ", e.Confirmation) + "."
	case events.ReportAccepted:
		return "Report accepted on " + e.On.String() + ": the job is over."
	case events.ReportReturned:
		return "Report returned on " + e.On.String() + ": " + e.Why + "."
	}
	return ""
}

func (t teller) others(event any) string {
	switch e := event.(type) {
	case events.Wished:
		switch {
		case e.Out:
			return "Left out by the dispatcher: " + e.Why + "."
		case e.Crew != "":
			return "Held for " + t.crew(e.Crew) + "."
		}
		return "Held."
	case events.WishDropped:
		return "Left to the planner again."
	case events.SentOut:
		return "Day sent out: " + Count(len(e.Routes), "route", "routes") + "."
	case events.Amended:
		return "Day amended" + After(": ", e.Why) + "."
	case events.TakenBack:
		return "Day taken back" + After(": ", e.Why) + "."
	case events.CrewOff:
		return "Does not work on " + e.Date.String() + After(": ", e.Why) + "."
	case events.CrewBack:
		return "Works on " + e.Date.String() + " after all."
	case events.GaugeDropped:
		return "Out of use until verified: " + e.Why + "."
	case events.GaugeVerified:
		return "Verified, certified until " + e.CertifiedUntil.String() + "."
	case events.MappingSaved:
		return "Saved how the columns of its list are read."
	case events.ListReceived:
		return "List " + e.File + " as of " + e.AsOf.String() + " taken in."
	}
	return ""
}
