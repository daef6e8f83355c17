package papers

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/crew"
	"valveround/services/words"
)

// RouteSheet is one crew's sent-out day on paper. It stays in the firm, and still has no codes and no telephone numbers.
type RouteSheet struct {
	Firm   string      `json:"firm"`
	Date   events.Date `json:"date"`
	Zone   string      `json:"zone"`
	Crew   string      `json:"crew"`
	Letter string      `json:"letter"`
	People []string    `json:"people"`
	Gauges []string    `json:"gauges" doc:"serial and last day, or why it may not be used"`
	Bring  []string    `json:"bring"`
	Start  time.Time   `json:"start"`
	End    time.Time   `json:"end"`
	Break  string      `json:"break,omitempty"` // when and where, in words
	DriveS int         `json:"drive_s" doc:"between stops and to the first, without the way home"`
	DriveM int         `json:"drive_m"`
	SentAt time.Time   `json:"sent_at"`
	Mind   []string    `json:"mind,omitempty" doc:"cautions that hold at several stops, said once"`
	Map    RouteMap    `json:"map"`
	Stops  []SheetStop `json:"stops"`
}

// SheetStop is one stop as a row.
type SheetStop struct {
	Order    int         `json:"order"`
	Name     string      `json:"name"`
	Address  string      `json:"address,omitempty"`
	Rough    bool        `json:"rough,omitempty" doc:"the position is approximate or missing: look for the address"`
	Arrive   time.Time   `json:"arrive"`
	Leave    time.Time   `json:"leave"`
	DriveS   int         `json:"drive_s"`
	DriveM   int         `json:"drive_m"`
	Access   string      `json:"access" doc:"when the crew may be there"`
	Door     string      `json:"door,omitempty" doc:"where to report; codes are on the screen only"`
	Water    []SheetFeed `json:"water"`
	Work     []SheetWork `json:"work"`
	Bring    []string    `json:"bring,omitempty"`
	Contacts []string    `json:"contacts,omitempty" doc:"role and name; numbers are on the screen only"`
	Cautions []string    `json:"cautions,omitempty"`
	Notes    []string    `json:"notes,omitempty"`
}

// SheetFeed is when one feed is to be dry and when it may be.
type SheetFeed struct {
	Feed string    `json:"feed"`
	Fire bool      `json:"fire,omitempty"`
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
	May  string    `json:"may" doc:"the shutdown window, or the time agreed"`
}

// SheetWork is one job of a stop.
type SheetWork struct {
	Do      string `json:"do" doc:"test; repair and retest; inspect"`
	Unit    string `json:"unit" doc:"size, type, maker, model, serial"`
	Place   string `json:"place,omitempty"`
	Number  string `json:"number,omitempty" doc:"the purveyor's"`
	Bypass  string `json:"bypass,omitempty"`
	Failure string `json:"failure,omitempty"`
	Yes     string `json:"yes_to_repair,omitempty"`
	Kits    string `json:"kits,omitempty"`
}

// SheetConfig is what route sheets are made with.
type SheetConfig struct {
	Firm     string
	Office   events.OfficeID
	Settings planner.Settings
	People   *words.People
	Now      time.Time
}

// RouteSheets makes the sheets of a sent-out day in the order of the crews' letters; only one crew's when it is named. A
// day that is not out, and a crew that has no route on it, are refused in words.
func RouteSheets(b *events.Book, cfg SheetConfig, date events.Date, only events.CrewID) ([]RouteSheet, error) {
	day := b.Day(cfg.Office, date)
	if day == nil || day.Sent == nil {
		return nil, &events.Refusal{Words: "There is nothing to print: " + words.Day(date) + " is not sent out."}
	}
	var sheets []RouteSheet
	for _, r := range day.Sent.Routes {
		if only != "" && r.Crew != only || len(r.Visits) == 0 {
			continue
		}
		sheet, err := routeSheet(b, cfg, day, r)
		if err != nil {
			return nil, err
		}
		sheets = append(sheets, sheet)
	}
	if len(sheets) == 0 {
		return nil, &events.Refusal{Words: "There is nothing to print: no stops on " + words.Day(date) + crewWords(b, only) + "."}
	}
	sortSheets(sheets)
	return sheets, nil
}

func crewWords(b *events.Book, id events.CrewID) string {
	if id == "" {
		return ""
	}
	if c := b.Crews[id]; c != nil {
		return " for " + c.Name
	}
	return " for a crew " + string(id)
}

func routeSheet(b *events.Book, cfg SheetConfig, day *events.Day, r events.DayRoute) (RouteSheet, error) {
	seen, err := crew.Day(b, crew.Config{Office: cfg.Office, Settings: cfg.Settings, People: cfg.People, Now: cfg.Now}, r.Crew, day.Date)
	if err != nil {
		return RouteSheet{}, err
	}
	loc, err := time.LoadLocation(seen.Zone)
	if err != nil {
		loc = time.UTC
	}
	sheet := RouteSheet{Firm: cfg.Firm, Date: day.Date, Zone: loc.String(), Crew: seen.Crew.Name, Letter: seen.Crew.Letter, People: seen.Crew.People,
		Bring: seen.Bring, Start: r.Start.In(loc), End: r.End.In(loc), SentAt: day.SentAt.In(loc), Gauges: []string{}, Stops: []SheetStop{}}
	if rest := words.BreakOf(b, r.Break); rest != nil {
		sheet.Break = fmt.Sprintf("break %d min, from %s, at %s", int(rest.To.Sub(rest.From)/time.Minute), rest.From.In(loc).Format("15:04"), rest.At)
	}
	for _, g := range seen.Gauges {
		sheet.Gauges = append(sheet.Gauges, gaugeWords(g))
	}
	for i, s := range seen.Stops {
		stop := sheetStop(b, cfg.People, r.Visits[i], s)
		sheet.DriveS += stop.DriveS
		sheet.DriveM += stop.DriveM
		sheet.Stops = append(sheet.Stops, stop)
	}
	sheet.sayOnce()
	sheet.Map = routeMap(b, r, seen.Crew.Home)
	return sheet, nil
}

// often is at how many stops a caution must hold to be said once for the whole day.
const often = 3

// sayOnce moves cautions that hold at many stops to the head of the sheet, so that those of one stop stand out.
func (s *RouteSheet) sayOnce() {
	count := map[string]int{}
	for _, stop := range s.Stops {
		for _, text := range stop.Cautions {
			if count[text]++; count[text] == often {
				s.Mind = append(s.Mind, text)
			}
		}
	}
	for i := range s.Stops {
		s.Stops[i].Cautions = slices.DeleteFunc(s.Stops[i].Cautions, func(text string) bool { return count[text] >= often })
	}
}

func gaugeWords(g crew.Gauge) string {
	if g.Words != "" {
		return g.Serial + " (" + g.Words + ")"
	}
	return g.Serial + " (certificate ends " + words.Day(g.CertifiedUntil) + ")"
}

// sheetStop takes from the phone's stop what may stand on paper: never AccessWords, which hold the code, and never a
// contact's number.
func sheetStop(b *events.Book, people *words.People, v events.DayVisit, s crew.Stop) SheetStop {
	hidden := secretsOf(b, people, v.Site)
	stop := SheetStop{Order: s.Order, Name: s.Site.Name, Address: s.Site.Address, Rough: rough(b.Sites[v.Site]), Arrive: s.Arrive, Leave: s.Leave,
		DriveS: s.DriveS, DriveM: s.DriveM, Access: spans(s.Access), Water: []SheetFeed{}, Work: []SheetWork{}, Bring: s.Bring,
		Cautions: hidden.clearAll(s.Cautions), Notes: hidden.clearAll(s.Notes)}
	if site := b.Sites[v.Site]; site != nil {
		stop.Door = hidden.clear(site.Access)
	}
	stop.Notes = slices.DeleteFunc(stop.Notes, func(text string) bool { return text == "position is approximate" }) // said by Rough
	stop.Contacts = contacts(s.Contacts)
	for _, off := range s.WaterOff {
		stop.Water = append(stop.Water, SheetFeed{Feed: off.Name, Fire: off.Fire, From: off.From, To: off.To, May: spans(off.Windows)})
	}
	for _, w := range s.Work {
		stop.Work = append(stop.Work, SheetWork{Do: w.Job.Work, Unit: unitWords(w), Place: hidden.clear(w.Place), Number: w.Number, Bypass: w.Bypass,
			Failure: hidden.clear(w.Failure), Yes: w.Repair, Kits: strings.Join(w.Kits, "; ")})
	}
	return stop
}

func rough(s *events.Site) bool {
	if s == nil || !s.Position.IsSet() {
		return true
	}
	return s.PositionSource == events.StreetCentre || s.PositionSource == events.Approximate || s.PositionSource == events.NoPosition
}

// contacts says each name once with all that the person may do.
func contacts(list []crew.Contact) []string {
	var names []string
	roles := map[string][]string{}
	for _, c := range list {
		if roles[c.Name] == nil {
			names = append(names, c.Name)
		}
		roles[c.Name] = append(roles[c.Name], c.Role)
	}
	said := make([]string, len(names))
	for i, name := range names {
		said[i] = name + ": " + strings.Join(roles[name], ", ")
	}
	return said
}

func unitWords(w crew.Work) string {
	text := strings.TrimSpace(w.Size + " " + w.Type)
	if made := strings.TrimSpace(w.Maker + " " + w.Model); made != "" {
		text += ", " + made
	}
	if w.Serial != "" {
		return text + ", serial " + w.Serial
	}
	return text + ", serial not on record"
}

// spans says times of day: 05:00–09:00, 14:00–16:00. A span that ends at midnight ends at 24:00.
func spans(list []words.Span) string {
	said := make([]string, len(list))
	for i, s := range list {
		end := s.Close.Format("15:04")
		if end == "00:00" {
			end = "24:00"
		}
		said[i] = s.Open.Format("15:04") + "–" + end
	}
	return strings.Join(said, ", ")
}

// kilometres says a distance in both ways of measuring.
func kilometres(metres int) string {
	return fmt.Sprintf("%.0f km (%.0f mi)", float64(metres)/1000, float64(metres)/metresPerMile)
}

// metresPerMile is the international mile (international yard and pound agreement, 1959).
const metresPerMile = 1609.344

func sortSheets(sheets []RouteSheet) {
	slices.SortStableFunc(sheets, func(a, b RouteSheet) int {
		return cmp.Or(cmp.Compare(len(a.Letter), len(b.Letter)), cmp.Compare(a.Letter, b.Letter), cmp.Compare(a.Crew, b.Crew))
	})
}
