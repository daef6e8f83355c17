package words

import (
	"strconv"
	"strings"
	"time"

	"valveround/events"
)

// Sentence says an event in one plain sentence or two, naming people by the details kept apart from the log. Instants are
// told on the clock they were written with; SentenceIn tells them in a zone. An event that is not in the vocabulary has none.
func Sentence(b *events.Book, people *People, event any) string {
	return SentenceIn(b, people, event, nil)
}

// SentenceIn is Sentence with every instant on the clocks of a zone.
func SentenceIn(b *events.Book, people *People, event any, loc *time.Location) string {
	t := teller{b, people, loc}
	for _, tell := range []func(any) string{t.registry, t.kept, t.site, t.feed, t.day, t.listed, t.tested, t.outcome, t.setback, t.repair, t.report, t.access} {
		if text := tell(event); text != "" {
			return text
		}
	}
	return ""
}

// After puts a lead before a text that is not empty.
func After(lead, text string) string {
	if text == "" {
		return ""
	}
	return lead + text
}

// Day says a date: 9 Mar 2026; a date that is not set is not known.
func Day(d events.Date) string {
	if d.IsZero() {
		return "a day that is not known"
	}
	year, month, day := d.YMD()
	return strconv.Itoa(day) + " " + month.String()[:3] + " " + strconv.Itoa(year)
}

// ended closes a sentence with one full stop, whatever the text that came from elsewhere ends with.
func ended(text string) string {
	text = strings.TrimRight(text, " .\n\t")
	if text == "" || strings.HasSuffix(text, "?") || strings.HasSuffix(text, "!") {
		return text
	}
	return text + "."
}

// sentences joins those that say something.
func sentences(list ...string) string {
	var said []string
	for _, s := range list {
		if s = ended(s); s != "" {
			said = append(said, s)
		}
	}
	return strings.Join(said, " ")
}

// teller says events; loc nil keeps the clock that an instant was written with.
type teller struct {
	b      *events.Book
	people *People
	loc    *time.Location
}

func (t teller) crew(id events.CrewID) string {
	if c := t.b.Crews[id]; c != nil {
		return c.Name
	}
	if id == "" {
		return "A crew"
	}
	return string(id)
}

// by is crew's name after "by", nothing without a crew.
func (t teller) by(id events.CrewID) string {
	if id == "" {
		return ""
	}
	return " by " + t.crew(id)
}

func (t teller) on(at time.Time) time.Time {
	if t.loc == nil {
		return at
	}
	return at.In(t.loc)
}

func (t teller) clock(at time.Time) string { return t.on(at).Format("15:04") }

// moment says an instant: 09:00 on 4 Mar 2026.
func (t teller) moment(at time.Time) string { return t.on(at).Format("15:04 on 2 Jan 2006") }

// registry says what the office entered or corrected.
func (t teller) registry(event any) string {
	switch e := event.(type) {
	case events.Registered[events.AssemblyFacts]:
		return entered("Assembly", assembly(e.Facts))
	case events.Corrected[events.AssemblyFacts]:
		return corrected("Assembly", assembly(e.Facts), e.Why)
	case events.Registered[events.SiteFacts]:
		return entered("Site", site(e.Facts))
	case events.Corrected[events.SiteFacts]:
		return corrected("Site", site(e.Facts), e.Why)
	case events.Registered[events.FeedFacts]:
		return entered("Feed", feed(e.Facts))
	case events.Corrected[events.FeedFacts]:
		return corrected("Feed", feed(e.Facts), e.Why)
	case events.Registered[events.CrewFacts]:
		return entered("Crew", crew(e.Facts))
	case events.Corrected[events.CrewFacts]:
		return corrected("Crew", crew(e.Facts), e.Why)
	case events.Registered[events.GaugeFacts]:
		return entered("Gauge", gauge(e.Facts))
	case events.Corrected[events.GaugeFacts]:
		return corrected("Gauge", gauge(e.Facts), e.Why)
	case events.Registered[events.KitFacts]:
		return entered("Repair kit", kit(e.Facts))
	case events.Corrected[events.KitFacts]:
		return corrected("Repair kit", kit(e.Facts), e.Why)
	case events.Registered[events.PurveyorFacts]:
		return entered("Purveyor", purveyor(e.Facts))
	case events.Corrected[events.PurveyorFacts]:
		return corrected("Purveyor", purveyor(e.Facts), e.Why)
	case events.Registered[events.CustomerFacts]:
		return entered("Customer", customer(e.Facts))
	case events.Corrected[events.CustomerFacts]:
		return corrected("Customer", customer(e.Facts), e.Why)
	case events.Registered[events.PersonFacts]:
		return entered("Person", person(e.Facts))
	case events.Corrected[events.PersonFacts]:
		return corrected("Person", person(e.Facts), e.Why)
	}
	return ""
}

func entered(what, facts string) string {
	return ended(what + " entered on record" + After(": ", facts))
}

func corrected(what, facts, why string) string {
	return sentences(what+"'s record corrected, it reads now"+After(": ", facts), After("Why: ", why))
}

// list joins what is not empty with commas.
func list(parts ...string) string {
	var said []string
	for _, p := range parts {
		if p != "" {
			said = append(said, p)
		}
	}
	return strings.Join(said, ", ")
}

func assembly(f events.AssemblyFacts) string {
	size := ""
	if !f.Size.IsZero() {
		size = f.Size.String() + " "
	}
	passed := ""
	if !f.LastPassed.IsZero() {
		passed = "last passed " + Day(f.LastPassed)
	}
	return list(size+f.Type.Name(), After("serial ", f.Serial), f.Place, After("the purveyor's number ", f.PurveyorNumber), passed)
}

func site(f events.SiteFacts) string {
	return list(f.Name, f.Address, After("crews may be there ", f.AccessHours), After("caution: ", f.Caution))
}

func feed(f events.FeedFacts) string {
	fire := ""
	if f.Fire {
		fire = "fire protection hangs on it"
	}
	return list(f.Name, After("may be shut off ", f.ShutdownWindow), fire)
}

func crew(f events.CrewFacts) string {
	return list(f.Name, Count(len(f.People), "person", "people"), After("works ", f.Hours))
}

func gauge(f events.GaugeFacts) string {
	potable := "on non-potable water only"
	if f.Potable {
		potable = ""
	}
	return list(After("serial ", f.Serial), "certified until "+Day(f.CertifiedUntil), potable)
}

func kit(f events.KitFacts) string {
	promised := ""
	if !f.Promised.IsZero() {
		promised = "promised for " + Day(f.Promised)
	}
	return list(f.Code, After("at ", f.Where), promised)
}

func purveyor(f events.PurveyorFacts) string {
	return list(f.Name, Rules(&events.Purveyor{PurveyorFacts: f}))
}

func customer(f events.CustomerFacts) string {
	return list(f.Name, After("yes to repair as a rule: ", f.Repair), After("nothing is done for them now: ", f.OnHold))
}

func person(f events.PersonFacts) string {
	return list(Count(len(f.Credentials), "certificate or licence", "certificates and licences"),
		Count(len(f.Registrations), "registration with a purveyor", "registrations with purveyors"))
}

// kept says what happened to crews, gauges, repair kits and purveyors besides their records.
func (t teller) kept(event any) string {
	switch e := event.(type) {
	case events.CrewOff:
		return ended("Does not work on " + Day(e.Date) + After(": ", e.Why))
	case events.CrewBack:
		return "Works on " + Day(e.Date) + " after all."
	case events.GaugeDropped:
		return ended("Gauge out of use until it is verified" + After(": ", e.Why))
	case events.GaugeVerified:
		return "Gauge verified and in use again, certified until " + Day(e.CertifiedUntil) + "."
	case events.KitReserved:
		return ended("Repair kit reserved" + After(" for job ", string(e.Job)) + After(", ", t.where(e.Where)))
	case events.KitReceived:
		return ended("Repair kit came" + After(", ", t.where(e.Where)))
	case events.KitLoaded:
		return ended("Repair kit is now" + After(" ", t.where(e.Where)))
	case events.KitReleased:
		return ended("Repair kit is free for any job again" + After(": ", e.Why))
	case events.KitWrong:
		return ended("The repair kit is the wrong one" + After(": ", e.Why))
	case events.KitSentBack:
		return sentences("Repair kit sent back on "+Day(e.On), upper(e.Words))
	case events.SettingsChanged:
		return ended("What the office plans with was changed" + After(": ", e.Why))
	case events.MappingSaved:
		return "How the columns of the purveyor's list are read was noted."
	case events.ListReceived:
		return ended("Due list taken in" + After(": ", e.File) + ", as of " + Day(e.AsOf))
	}
	return ""
}

// day says what happened to a day's plan.
func (t teller) day(event any) string {
	switch e := event.(type) {
	case events.Wished:
		return t.wish(e.Wish)
	case events.WishDropped:
		return t.visit(e.Site) + " is left to the planner again."
	case events.SentOut:
		return "Sent out for " + Day(e.Date) + ": " + Count(len(e.Routes), "route", "routes") + "."
	case events.Amended:
		return ended("Changed after it was sent out, " + Count(len(e.Routes), "route", "routes") + After(": ", e.Why))
	case events.TakenBack:
		return ended("Taken back after it was sent out" + After(": ", e.Why))
	}
	return ""
}

func (t teller) visit(site events.SiteID) string {
	return "The visit" + After(" to ", SiteOf(t.b, site).Name)
}

func (t teller) wish(w events.Wish) string {
	text := t.visit(w.Site)
	switch {
	case w.Out:
		return ended(text + " is left out" + After(": ", w.Why))
	case w.Hold && w.Crew != "":
		text += " is held with " + t.crew(w.Crew)
	case w.Hold:
		text += " is held with its crew"
	case w.Crew != "":
		text += " goes to " + t.crew(w.Crew)
	default:
		text += " is moved"
	}
	if w.Place > 0 {
		text += ", as stop " + strconv.Itoa(w.Place)
	}
	return ended(text + After(": ", w.Why))
}
