package papers

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"slices"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"valveround/events"
	"valveround/planner/hours"
	"valveround/services/words"
)

// OpenHours are the access hours of a site, or the shutdown windows of a feed, as entries of a calendar for its people.
type OpenHours struct {
	About    string // what the UIDs of its entries begin with, and the office they end with
	Office   string
	Zone     *time.Location
	From, To time.Time // what was worked out
	Place    Promise   // where, as in a promise
	Summary  string
	Words    []string
	Category string
	Times    []hours.Recurrence
}

// hoursYears is how far ahead calendars of hours are worked out. Public holidays and exceptions are known that far.
const hoursYears = 2

// SiteHours are the access hours of a site and the shutdown windows of each of its feeds.
func SiteHours(b *events.Book, cfg CalendarConfig, id events.SiteID) ([]OpenHours, error) {
	s := b.Sites[id]
	if s == nil || s.Office != cfg.Office {
		return nil, &events.Refusal{Words: fmt.Sprintf("there is no site %q in this office", id)}
	}
	access, err := openHours(b, cfg, s, s.AccessHours, "the access hours of "+s.Name)
	if err != nil {
		return nil, err
	}
	access.About, access.Category = "access-"+string(id), "Access hours"
	access.Summary = "Crews may come: " + s.Name
	access.Words = append(access.Words, "When a crew may be there, not when one will be.")
	list := []OpenHours{access}
	var feeds []*events.Feed
	for _, f := range b.Feeds {
		if f.Site == id && f.Office == cfg.Office {
			feeds = append(feeds, f)
		}
	}
	slices.SortFunc(feeds, func(x, y *events.Feed) int { return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID)) })
	for _, f := range feeds {
		windows, err := FeedHours(b, cfg, f.ID)
		if err != nil {
			return nil, err
		}
		list = append(list, windows)
	}
	return list, nil
}

// FeedHours are the shutdown windows of a feed.
func FeedHours(b *events.Book, cfg CalendarConfig, id events.FeedID) (OpenHours, error) {
	f := b.Feeds[id]
	if f == nil || f.Office != cfg.Office || b.Sites[f.Site] == nil {
		return OpenHours{}, &events.Refusal{Words: fmt.Sprintf("there is no feed %q in this office", id)}
	}
	s := b.Sites[f.Site]
	windows, err := openHours(b, cfg, s, f.ShutdownWindow, "the shutdown window of "+s.Name+", "+f.Name)
	if err != nil {
		return OpenHours{}, err
	}
	windows.About, windows.Category = "window-"+string(id), "Shutdown window"
	windows.Summary = "Water may be off: " + s.Name + ", " + f.Name
	windows.Words = append(windows.Words, "When the water may be off, not when it will be: each visit is agreed or sent out by itself.")
	if f.Season != "" {
		windows.Words = append(windows.Words, "It holds water only in its season: "+secretsOf(b, cfg.People, s.ID).clear(f.Season))
	}
	if f.Fire {
		windows.Words = append(windows.Words, "A fire line. Before it is shut: the impairment coordinator told, the alarm on test, measures in place. Local code decides.")
	}
	return windows, nil
}

func openHours(b *events.Book, cfg CalendarConfig, s *events.Site, text, what string) (OpenHours, error) {
	loc, err := time.LoadLocation(s.Zone)
	if err != nil || s.Zone == "" {
		return OpenHours{}, &events.Refusal{Words: fmt.Sprintf("the time zone %q of %s is not known", s.Zone, s.Name)}
	}
	h, err := hours.ParseIn(text, s.Region)
	if err != nil {
		return OpenHours{}, &events.Refusal{Words: fmt.Sprintf("%s cannot be read: %v", what, err)}
	}
	from, to := cfg.from(), cfg.Now.AddDate(hoursYears, 0, 0)
	hidden := secretsOf(b, cfg.People, s.ID)
	times := h.Recurrences(loc, from, to)
	for i := range times {
		times[i].Note = hidden.clear(times[i].Note)
	}
	return OpenHours{Office: string(cfg.Office), Zone: loc, From: from, To: to, Place: placeOf(b, s.ID), Times: times,
		Words: []string{"Hours as entered: " + hidden.clear(text), "Worked out until " + words.Day(events.DateIn(to, loc)) + "."}}, nil
}

// HoursCalendar writes hours as iCalendar (RFC 5545): windows that repeat as one entry with a recurrence rule and its
// exceptions, on the clock of the site's zone, which is described with them; windows that stand alone in UTC. They make
// nobody busy.
func HoursCalendar(list []OpenHours, name string, cfg CalendarConfig) string {
	cal := ics.NewCalendarFor("Valveround")
	cal.SetProductId("-//Valveround//Hours//EN")
	cal.SetCalscale("GREGORIAN")
	cal.SetMethod(ics.MethodPublish)
	cal.SetXWRCalName(oneLine(name))
	described := map[string]bool{}
	for _, h := range list {
		if !described[h.Zone.String()] {
			described[h.Zone.String()] = true
			describeZone(cal.AddTimezone(h.Zone.String()), h.Zone, h.From.AddDate(-1, 0, 0), h.To.AddDate(1, 0, 0))
		}
	}
	for _, h := range list {
		h.write(cal, cfg.Now)
	}
	return cal.Serialize(ics.WithNewLineWindows)
}

// localTime is a date with time on the clock of a zone that a parameter names, or of none (RFC 5545, section 3.3.5).
const localTime = "20060102T150405"

func (h OpenHours) write(cal *ics.Calendar, now time.Time) {
	zone := h.Zone.String()
	seen := map[string]int{}
	for _, t := range h.Times {
		e := cal.AddEvent(h.uid(t, seen))
		e.SetDtStampTime(now)
		if t.Rule == "" {
			e.SetStartAt(t.First.Open)
			e.SetEndAt(t.First.Close)
		} else {
			e.AddProperty(ics.ComponentPropertyDtStart, t.First.Open.In(h.Zone).Format(localTime), ics.WithTZID(zone))
			e.AddProperty(ics.ComponentPropertyDtEnd, t.First.Close.In(h.Zone).Format(localTime), ics.WithTZID(zone))
			e.AddRrule(t.Rule)
		}
		if len(t.Except) > 0 {
			not := make([]string, len(t.Except))
			for i, at := range t.Except {
				not[i] = at.Format(localTime)
			}
			e.AddExdate(strings.Join(not, ","), ics.WithTZID(zone))
		}
		e.SetSummary(oneLine(h.Summary))
		e.SetLocation(oneLine(h.Place.Where))
		e.SetDescription(description(append(filled(strings.Split(t.Note, "\n")...), h.Words...)))
		e.AddProperty(ics.ComponentPropertyCategories, h.Category)
		e.SetStatus(ics.ObjectStatusConfirmed)
		e.SetTimeTransparency(ics.TransparencyTransparent)
		if h.Place.Placed {
			e.SetProperty(ics.ComponentPropertyGeo, fmt.Sprintf("%.6f;%.6f", h.Place.Lat, h.Place.Lon))
		}
	}
}

// uid names an entry by what it repeats, so that it stays the same from day to day while its first window and its end move
// on. A window that stands alone is named by when it is.
func (h OpenHours) uid(t hours.Recurrence, seen map[string]int) string {
	if t.Rule == "" {
		return uid(h.About, t.First.Open.UTC().Format("20060102T150405Z"), h.Office)
	}
	rule, _, _ := strings.Cut(t.Rule, ";UNTIL=")
	sum := fnv.New32a()
	fmt.Fprintf(sum, "%s %s", rule, t.Note)
	name := fmt.Sprintf("%s-%s-%s-%08x", h.About, t.First.Open.In(h.Zone).Format("1504"), t.First.Close.In(h.Zone).Format("1504"), sum.Sum32())
	seen[name]++
	if again := seen[name]; again > 1 {
		return uid(name, fmt.Sprint(again), h.Office)
	}
	return uid(name, h.Office)
}

// describeZone writes the changes of a zone's clock between two instants, and the one before, each as an observance of its
// own (RFC 5545, section 3.6.5): what is known of them, without a claim about later years.
func describeZone(tz *ics.VTimezone, loc *time.Location, from, to time.Time) {
	for at := from.In(loc); ; {
		since, until := at.ZoneBounds()
		name, offsetS := at.Zone()
		beforeS, begins := offsetS, time.Unix(0, 0)
		if !since.IsZero() {
			_, beforeS = since.Add(-time.Second).Zone()
			begins = since
		}
		var observance *ics.ComponentBase
		if at.IsDST() {
			daylight := &ics.Daylight{}
			observance, tz.Components = &daylight.ComponentBase, append(tz.Components, daylight)
		} else {
			observance = &tz.AddStandard().ComponentBase
		}
		observance.AddProperty(ics.ComponentPropertyDtStart, begins.UTC().Add(time.Duration(beforeS)*time.Second).Format(localTime))
		observance.AddProperty(ics.ComponentProperty(ics.PropertyTzoffsetfrom), utcOffset(beforeS))
		observance.AddProperty(ics.ComponentProperty(ics.PropertyTzoffsetto), utcOffset(offsetS))
		observance.AddProperty(ics.ComponentProperty(ics.PropertyTzname), name)
		if until.IsZero() || until.After(to) {
			return
		}
		at = until
	}
}

// utcOffset writes an offset as RFC 5545, section 3.3.14, has it: -0500, and the seconds only when there are some.
func utcOffset(seconds int) string {
	sign := "+"
	if seconds < 0 {
		sign, seconds = "-", -seconds
	}
	text := fmt.Sprintf("%s%02d%02d", sign, seconds/3600, seconds/60%60)
	if seconds%60 != 0 {
		text += fmt.Sprintf("%02d", seconds%60)
	}
	return text
}
