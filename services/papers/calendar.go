package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	ics "github.com/arran4/golang-ical"

	"valveround/events"
	"valveround/services/words"
)

// Promise is one entry of a calendar: a visit that is sent out, or a time agreed with a site.
type Promise struct {
	UID      string // stays the same while the promise is the same
	From, To time.Time
	Summary  string
	Where    string
	Lat, Lon float64
	Placed   bool // Lat and Lon are known well enough to be shown
	Words    []string
	Category string
	Free     bool // does not make anybody busy: an agreed time that no crew is out for yet
}

// CalendarConfig is what calendars are made with. They are read on telephones and in other programs, so they carry no codes
// and no numbers.
type CalendarConfig struct {
	Office events.OfficeID
	Firm   string
	People *words.People
	Now    time.Time
}

// calendarPast is how many days of the past stay in a calendar.
const calendarPast = 14

func (c CalendarConfig) from() time.Time { return c.Now.AddDate(0, 0, -calendarPast) }

// CrewPromises are the sent-out visits of a crew, oldest first. A visit at a site with an agreed time says so.
func CrewPromises(b *events.Book, cfg CalendarConfig, id events.CrewID) ([]Promise, error) {
	crew := b.Crews[id]
	if crew == nil || crew.Office != cfg.Office {
		return nil, &events.Refusal{Words: fmt.Sprintf("there is no crew %q in this office", id)}
	}
	list := []Promise{}
	for _, day := range b.Days {
		if day.Office != cfg.Office || day.Sent == nil {
			continue
		}
		for _, r := range day.Sent.Routes {
			if r.Crew != id {
				continue
			}
			for i, v := range r.Visits {
				if v.Leave.After(cfg.from()) {
					list = append(list, visitPromise(b, cfg, crew, day.Date, v, i+1))
				}
			}
		}
	}
	sortPromises(list)
	return list, nil
}

// AgreedPromises are the times agreed with sites, whoever keeps them, oldest first.
func AgreedPromises(b *events.Book, cfg CalendarConfig) []Promise {
	list := []Promise{}
	for _, s := range b.Sites {
		if s.Office != cfg.Office {
			continue
		}
		for _, a := range s.Agreed {
			if a.To.After(cfg.from()) {
				list = append(list, agreedPromise(b, cfg, s, a))
			}
		}
	}
	sortPromises(list)
	return list
}

func sortPromises(list []Promise) {
	slices.SortFunc(list, func(x, y Promise) int { return cmp.Or(x.From.Compare(y.From), cmp.Compare(x.UID, y.UID)) })
}

func visitPromise(b *events.Book, cfg CalendarConfig, crew *events.Crew, date events.Date, v events.DayVisit, order int) Promise {
	p := placeOf(b, v.Site)
	loc := words.Zone(b, v.Site)
	p.UID = uid("visit", date.String(), string(crew.ID), cmp.Or(v.Key, string(v.Site)), string(cfg.Office))
	p.From, p.To, p.Category = v.Arrive, v.Leave, "Visit"
	p.Summary = fmt.Sprintf("%s, stop %d: %s", cmp.Or(crew.Name, string(crew.ID)), order, words.SiteOf(b, v.Site).Name)
	for _, dj := range v.Jobs {
		if a := b.Assemblies[dj.Assembly]; a != nil {
			p.Words = append(p.Words, upper(words.Plain(dj.Work))+": "+strings.Join(filled(strings.TrimSpace(a.Size.String()+" "+string(a.Type)), words.After("serial ", a.Serial), a.Place), ", "))
		}
	}
	for _, off := range v.WaterOff {
		name := string(off.Feed)
		if f := b.Feeds[off.Feed]; f != nil {
			name = f.Name
		}
		p.Words = append(p.Words, "Water off, "+name+": "+off.From.In(loc).Format("15:04")+" to "+off.To.In(loc).Format("15:04"))
	}
	if s := b.Sites[v.Site]; s != nil {
		for _, a := range s.Agreed {
			if events.DateIn(a.From, loc) == date {
				p.Words = append(p.Words, "Agreed with the site: "+a.From.In(loc).Format("15:04")+" to "+a.To.In(loc).Format("15:04")+feedWords(b, a.Feed))
			}
		}
	}
	p.Words = secretsOf(b, cfg.People, v.Site).clearAll(p.Words)
	return p
}

func feedWords(b *events.Book, id events.FeedID) string {
	if f := b.Feeds[id]; f != nil {
		return ", " + f.Name
	}
	return ""
}

func agreedPromise(b *events.Book, cfg CalendarConfig, s *events.Site, a events.AgreedTime) Promise {
	p := placeOf(b, s.ID)
	p.UID = uid("agreed", string(s.ID), string(a.Feed), a.From.UTC().Format("20060102T150405Z"), string(cfg.Office))
	p.From, p.To, p.Category, p.Free = a.From, a.To, "Agreed time", true
	p.Summary = "Agreed: " + s.Name + feedWords(b, a.Feed)
	p.Words = append(p.Words, "The water may be off in this time.")
	if a.With != "" {
		p.Words = append(p.Words, "Agreed with "+cfg.People.Name(a.With))
	}
	date := events.DateIn(a.From, words.Zone(b, s.ID))
	if day := b.Day(cfg.Office, date); day != nil && day.Sent != nil {
		for _, r := range day.Sent.Routes {
			if slices.ContainsFunc(r.Visits, func(v events.DayVisit) bool { return v.Site == s.ID }) && b.Crews[r.Crew] != nil {
				p.Words = append(p.Words, "Sent out with "+b.Crews[r.Crew].Name)
			}
		}
	}
	p.Words = secretsOf(b, cfg.People, s.ID).clearAll(p.Words)
	return p
}

func placeOf(b *events.Book, id events.SiteID) Promise {
	s := b.Sites[id]
	if s == nil {
		return Promise{Where: string(id)}
	}
	p := Promise{Where: strings.Join(filled(s.Name, s.Address), ", ")}
	if s.Position.IsSet() && !rough(s) {
		p.Lat, p.Lon, p.Placed = s.Position.LatDeg(), s.Position.LonDeg(), true
	}
	return p
}

// uid joins what makes a promise itself into an identifier that is the same each time (RFC 5545, section 3.8.4.7).
func uid(parts ...string) string {
	for i, p := range parts {
		parts[i] = strings.NewReplacer("~", ".", " ", ".", "@", ".").Replace(p)
	}
	last := len(parts) - 1
	return strings.Join(filled(parts[:last]...), "-") + "@" + parts[last] + ".valveround"
}

// Calendar writes promises as iCalendar (RFC 5545), in UTC: every reader shows them on its own clocks. Line breaks are CR LF
// and each entry has a DTSTAMP, which the library does not do by itself.
func Calendar(list []Promise, name string, now time.Time) string {
	cal := ics.NewCalendarFor("Valveround")
	cal.SetProductId("-//Valveround//Promises//EN")
	cal.SetCalscale("GREGORIAN")
	cal.SetMethod(ics.MethodPublish)
	cal.SetXWRCalName(oneLine(name))
	for _, p := range list {
		e := cal.AddEvent(p.UID)
		e.SetDtStampTime(now)
		e.SetStartAt(p.From)
		e.SetEndAt(p.To)
		e.SetSummary(oneLine(p.Summary))
		e.SetLocation(oneLine(p.Where))
		if len(p.Words) > 0 {
			e.SetDescription(description(p.Words))
		}
		e.AddProperty(ics.ComponentPropertyCategories, p.Category)
		e.SetStatus(ics.ObjectStatusConfirmed)
		transparency := ics.TransparencyOpaque
		if p.Free {
			transparency = ics.TransparencyTransparent
		}
		e.SetTimeTransparency(transparency)
		if p.Placed {
			e.SetProperty(ics.ComponentPropertyGeo, fmt.Sprintf("%.6f;%.6f", p.Lat, p.Lon))
		}
	}
	return cal.Serialize(ics.WithNewLineWindows)
}

// oneLine keeps a value on its line whatever was typed into a name; control characters have no place in one (RFC 5545, 3.1).
func oneLine(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && !unicode.IsSpace(r) {
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, "?"))
	return strings.Join(strings.Fields(text), " ")
}

func description(lines []string) string {
	clean := make([]string, len(lines))
	for i, l := range lines {
		clean[i] = oneLine(l)
	}
	return strings.Join(clean, "\n")
}
