package words

import (
	"strconv"
	"strings"
	"time"

	"valveround/events"
)

// site says what happened at a site.
func (t teller) site(event any) string {
	switch e := event.(type) {
	case events.NoticeGiven:
		day := ""
		if !e.For.IsZero() {
			day = " that water goes off on " + Day(e.For)
		}
		return ended("Notice given on " + Day(e.Given) + day + After(", by ", e.How))
	case events.TimeAgreed:
		feed := ""
		if f := t.b.Feeds[e.Feed]; f != nil {
			feed = f.Name + " "
		}
		with := ""
		if e.With != "" {
			with = ", with " + t.people.Name(e.With)
		}
		to := t.clock(e.To)
		if t.on(e.From).YearDay() != t.on(e.To).YearDay() {
			to = t.moment(e.To)
		}
		return ended("Agreed that the " + feed + "water may be off from " + t.moment(e.From) + " to " + to + with)
	case events.CallNoted:
		return t.call(e)
	case events.TimeWithdrawn:
		span := ""
		if !e.From.IsZero() {
			span = " from " + t.moment(e.From) + " to " + t.clock(e.To)
		}
		return ended("The time agreed" + span + " holds no more" + After(": ", e.Why))
	case events.BookingAsked:
		return sentences(BroughtBy(e.What, e.Whom)+t.forFeed(e.Feed)+": asked on "+Day(e.On)+", "+BookingAnswer(e.Answer), upper(e.Words))
	case events.SiteVacant:
		return disused("The site stands empty", e.Disuse)
	case events.Booked:
		return ended(BroughtBy(e.What, e.Whom) + t.forFeed(e.Feed) + t.spanOf(e.From, e.To) + ": booked" + After(", reference ", e.Reference))
	case events.BookingWithdrawn:
		return ended(BroughtBy(e.What, "") + t.forFeed(e.Feed) + t.spanOf(e.From, e.To) + " holds no more" + After(": ", e.Why))
	case events.Arrived:
		return ended(t.crew(e.Crew) + " came to the site")
	case events.Left:
		return ended(t.crew(e.Crew) + " left the site")
	case events.SiteNoAccess:
		return sentences(t.crew(e.Crew)+" was at the site and nobody let them in", upper(e.Words))
	case events.PositionRead:
		return ended("A crew's phone said where the site is" + within(e.AccuracyM))
	case events.SitePhoto:
		return photo(e.Photo)
	case events.SiteAlarm:
		return ended("Alarm: " + e.Words)
	case events.SiteAlarmSettled:
		return settled(e.AlarmSettled)
	case events.FactKept:
		return ended("A phone sent what could not be filed: " + e.Why)
	case events.FieldAlarmSettled:
		return settled(e.AlarmSettled)
	}
	return ""
}

func (t teller) forFeed(id events.FeedID) string {
	if f := t.b.Feeds[id]; f != nil {
		return " for " + f.Name
	}
	return ""
}

func (t teller) spanOf(from, to time.Time) string {
	if from.IsZero() {
		return ""
	}
	end := t.clock(to)
	if t.on(from).YearDay() != t.on(to).YearDay() {
		end = t.moment(to)
	}
	return " from " + t.moment(from) + " to " + end
}

// BroughtBy says what others bring, and who, at the beginning of a sentence.
func BroughtBy(w events.Brought, whom string) string {
	name, known := map[events.Brought]string{events.StreetValve: "The purveyor at the street valve", events.AlarmCompany: "The alarm company",
		events.Escort: "An escort", events.PumpOut: "The pump-out"}[w]
	if !known {
		name = upper(Plain(string(w)))
	}
	if whom != "" {
		name += " (" + whom + ")"
	}
	return name
}

// BookingAnswer says what those said who were asked to come, within a sentence.
func BookingAnswer(a events.BookingAnswer) string {
	switch a {
	case events.AnswerBooked:
		return "they come"
	case events.AnswerLeftWord:
		return "nobody could say, word was left"
	case events.AnswerWrongNumber:
		return "the number on record is wrong"
	case events.AnswerRefused:
		return "they do not come"
	}
	return Plain(string(a))
}

// call says how a call ended.
func (t teller) call(e events.CallNoted) string {
	who := ""
	if e.Who != "" {
		who = ", " + t.people.Name(e.Who) + " was asked"
	}
	return sentences("Called on "+Day(e.On)+After(": ", CallOutcome(e.Outcome))+who, upper(e.Words))
}

// CallOutcome says how a call ended, within a sentence.
func CallOutcome(o events.CallOutcome) string {
	switch o {
	case events.CallAgreed:
		return "a time was agreed"
	case events.CallLeftWord:
		return "nobody could say, word was left"
	case events.CallWrongNumber:
		return "the number on record is wrong"
	case events.CallPosted:
		return "notice was posted"
	case events.CallRefused:
		return "they will not have it done"
	case events.CallOtherFirm:
		return "they use another firm"
	}
	return Plain(string(o))
}

// feed says what happened to the water of a feed.
func (t teller) feed(event any) string {
	switch e := event.(type) {
	case events.ShutOff:
		if e.By != "" {
			return ended("Water shut off: " + e.By)
		}
		return ended("Water shut off" + t.by(e.Crew))
	case events.FeedRestored:
		return sentences("Water on again"+t.by(e.Crew), After("Said by ", e.By))
	case events.FeedAsLeft:
		return t.asLeft(e)
	case events.PeopleTold:
		return t.told(e)
	case events.MeasuresNoted:
		return measures(e)
	case events.FeedOutOfUse:
		return disused("The feed is out of use", e.Disuse)
	case events.FeedFilled:
		return sentences("Filled: it holds water again"+t.by(e.Crew), After("Said by ", e.By))
	case events.FeedDrained:
		return sentences("Found drained"+t.by(e.Crew), upper(e.Words))
	case events.FeedAlarm:
		return ended("Alarm: " + e.Words)
	case events.FeedAlarmSettled:
		return settled(e.AlarmSettled)
	}
	return ""
}

func (t teller) asLeft(e events.FeedAsLeft) string {
	var valves []string
	for _, v := range e.Valves {
		valves = append(valves, v.Name+" "+valve(v.State))
	}
	onTest := ""
	if !e.OnTestUntil.IsZero() {
		onTest = "On test until " + t.moment(e.OnTestUntil)
	}
	return sentences("Left "+Plain(string(e.Service))+t.by(e.Crew)+After(": ", strings.Join(valves, ", ")),
		upper(e.Words), After("Told: ", strings.Join(e.Told, ", ")), onTest, After("Decides: ", e.Decides), After("Restored by: ", e.Restores),
		After("Made sure of: ", strings.Join(e.Confirmed, ", ")))
}

// measures says what stands in for a fire line that is out of service long.
func measures(e events.MeasuresNoted) string {
	if e.Minutes == 0 {
		return sentences("The measures for "+Day(e.Day)+" are taken back, says the "+e.By, upper(e.Words))
	}
	return sentences("Measures for "+Day(e.Day)+", agreed with the "+e.By+": "+e.Words,
		"The line may be out of service for "+strconv.Itoa(e.Minutes)+" minutes in any 24 hours")
}

// disused says how long something was not used.
func disused(what string, d events.Disuse) string {
	if d.Since.IsZero() {
		return sentences(what+": taken back"+After(", says ", d.By), upper(d.Words))
	}
	back := "nobody knows yet when it is used again"
	if !d.Back.IsZero() {
		back = "used again on " + Day(d.Back)
	}
	return sentences(what+" from "+Day(d.Since)+" on, "+back+After(", says ", d.By), upper(d.Words))
}

// told says a call about a fire line.
func (t teller) told(e events.PeopleTold) string {
	what := "Told before the fire line was shut"
	if e.When == events.AfterRestoring {
		what = "Told that the fire line is restored"
	}
	onTest := ""
	if !e.OnTestUntil.IsZero() {
		onTest = "On test until " + t.moment(e.OnTestUntil)
	}
	return sentences(what+After(": ", e.Role), onTest, upper(e.Words))
}

func within(metres int) string {
	if metres == 0 {
		return ""
	}
	return ", within " + strconv.Itoa(metres) + " m"
}

// photo says what a picture shows; the picture itself is beside the sentence.
func photo(p events.Photo) string {
	return sentences("Photo taken"+After(": ", p.Shows), upper(p.Words))
}

// valve says how a shut-off stands.
func valve(s events.ValveState) string {
	if s == events.ValvePartly {
		return "partly open"
	}
	return string(s)
}

func upper(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// settled says what came of an alarm.
func settled(e events.AlarmSettled) string { return ended("Alarm settled: " + e.Words) }
