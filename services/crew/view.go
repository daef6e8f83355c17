package crew

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// View is the crew's day on a phone: all it needs without signal.
type View struct {
	Crew      words.Crew      `json:"crew"`
	Date      events.Date     `json:"date"`
	Zone      string          `json:"zone"`
	Status    string          `json:"status" enum:"not-sent,sent-out,taken-back"`
	SentAt    *time.Time      `json:"sent_at,omitempty"`
	Start     *time.Time      `json:"start,omitempty"`
	End       *time.Time      `json:"end,omitempty"`
	Position  uint64          `json:"position"`
	Now       time.Time       `json:"now"`
	People    []Person        `json:"people" doc:"who may be the tester"`
	Gauges    []Gauge         `json:"gauges"`
	Bring     []string        `json:"bring" doc:"for the whole day"`
	Stops     []Stop          `json:"stops"`
	Criteria  json.RawMessage `json:"criteria" doc:"the criteria profiles, as the server judges by"`
	Reasons   []string        `json:"could_not_reasons"`
	Types     []TypeView      `json:"types"`
	Procedure []string        `json:"procedures"`
}

// TypeView is one type of assembly and what a test of it reads.
type TypeView struct {
	Type       string      `json:"type"`
	Name       string      `json:"name"`
	Components []Component `json:"components"`
}

// Component is one separately judged result.
type Component struct {
	Part      string `json:"part"`
	Component string `json:"component"`
	Name      string `json:"name"`
}

// Person is a member of the crew.
type Person struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}

// Gauge is a gauge on the truck.
type Gauge struct {
	ID             string      `json:"id"`
	Serial         string      `json:"serial"`
	CertifiedUntil events.Date `json:"certified_until"`
	Valid          bool        `json:"valid"`
	Words          string      `json:"words,omitempty"`
}

// Stop is one stop on the phone.
type Stop struct {
	words.Visit
	AccessWords string     `json:"access_words,omitempty"`
	Cautions    []string   `json:"cautions"`
	Contacts    []Contact  `json:"contacts"`
	Bring       []string   `json:"bring"`
	Feeds       []Feed     `json:"feeds"`
	Work        []Work     `json:"work"`
	HereSince   *time.Time `json:"here_since,omitempty"`
	LeftAt      *time.Time `json:"left_at,omitempty"`
}

// Contact is whom to call and what that person may do.
type Contact struct {
	Role  string `json:"role"`
	Name  string `json:"name"`
	Phone string `json:"phone,omitempty"`
}

// Feed is a feed of the stop and how it stands.
type Feed struct {
	ID       string     `json:"id"`
	Name     string     `json:"name"`
	Fire     bool       `json:"fire,omitempty"`
	Valves   []string   `json:"valves"`
	DrySince *time.Time `json:"dry_since,omitempty"`
	AsLeft   string     `json:"as_left,omitempty"`
	Other    string     `json:"other,omitempty" doc:"a feed that must be proved open and flowing before this one is shut"`
}

// Work is one job on the phone.
type Work struct {
	words.Job
	Components []Component        `json:"components"`
	Profile    string             `json:"profile"`
	Maker      string             `json:"maker,omitempty"`
	Model      string             `json:"model,omitempty"`
	Bypass     string             `json:"bypass,omitempty"`
	Feed       string             `json:"feed"`
	Failure    string             `json:"failure,omitempty"`
	Repair     string             `json:"yes_to_repair,omitempty" doc:"in words; empty: the unit is not opened"`
	Kits       []string           `json:"kits,omitempty"`
	KitCodes   []string           `json:"kit_codes,omitempty" doc:"codes that may be asked for"`
	Last       []events.TestTaken `json:"last_tests,omitempty"`
	Outcome    string             `json:"outcome,omitempty" doc:"once the server knows it"`
}

// Config is what a crew's day is shown from.
type Config struct {
	Office   events.OfficeID
	Settings planner.Settings
	People   *words.People
	Now      time.Time
}

// Day shows a crew's day.
func Day(b *events.Book, cfg Config, id events.CrewID, date events.Date) (View, error) {
	crew := b.Crews[id]
	if crew == nil || crew.Office != cfg.Office {
		return View{}, &events.Refusal{Words: fmt.Sprintf("there is no crew %q in this office", id)}
	}
	criteria, err := events.CriteriaJSON()
	if err != nil {
		return View{}, err
	}
	v := View{Crew: words.CrewOf(b, cfg.People, id), Date: date, Zone: crew.Zone, Status: "not-sent", Position: b.Position(), Now: cfg.Now,
		People: []Person{}, Gauges: gauges(b, crew, date), Bring: []string{}, Stops: []Stop{}, Criteria: criteria, Reasons: events.CouldNotReasons,
		Types: types(), Procedure: procedures()}
	for _, p := range crew.People {
		v.People = append(v.People, Person{ID: string(p), Name: cfg.People.Name(p)})
	}
	day := b.Day(cfg.Office, date)
	if day == nil || day.Sent == nil {
		if day != nil && day.Taken != nil {
			v.Status = "taken-back"
		}
		return v, nil
	}
	v.Status, v.SentAt = "sent-out", &day.SentAt
	for _, r := range day.Sent.Routes {
		if r.Crew == id {
			v.show(b, cfg, r)
		}
	}
	return v, nil
}

func (v *View) show(b *events.Book, cfg Config, r events.DayRoute) {
	v.Start, v.End = &r.Start, &r.End
	for i, visit := range r.Visits {
		s := stop(b, cfg, visit, v.Date)
		s.Order = i + 1
		s.State, _ = words.StateOf(b, r.Crew, visit, v.Date)
		if site := b.Sites[visit.Site]; site != nil && site.Here != nil && site.Here.Crew == r.Crew {
			s.HereSince = &site.Here.Since
		} else if site != nil && site.Gone != nil && site.Gone.Crew == r.Crew && events.DateIn(site.Gone.Since, words.Zone(b, visit.Site)) == v.Date {
			s.LeftAt = &site.Gone.Since
		}
		for _, item := range s.Bring {
			if !slices.Contains(v.Bring, item) {
				v.Bring = append(v.Bring, item)
			}
		}
		v.Stops = append(v.Stops, s)
	}
}

func gauges(b *events.Book, crew *events.Crew, on events.Date) []Gauge {
	list := []Gauge{}
	for _, id := range crew.Gauges {
		g := b.Gauges[id]
		if g == nil {
			continue
		}
		shown := Gauge{ID: string(id), Serial: g.Serial, CertifiedUntil: g.CertifiedUntil, Valid: g.Valid(on)}
		switch {
		case g.Dropped != "":
			shown.Words = "out of use until verified: " + g.Dropped
		case !shown.Valid:
			shown.Words = "its certificate ran out on " + g.CertifiedUntil.String() + ": a test with it is not a test"
		case !g.Potable:
			shown.Words = "has been on non-potable water: never on potable"
		}
		list = append(list, shown)
	}
	return list
}

func types() []TypeView {
	var list []TypeView
	for _, t := range events.AssemblyTypes() {
		list = append(list, TypeView{Type: string(t), Name: t.Name(), Components: components(t)})
	}
	return list
}

func components(t events.AssemblyType) []Component {
	list := []Component{}
	for _, place := range t.Components() {
		name := place.Component.Name()
		if t.IsDetector() {
			name = string(place.Part) + " " + name
			if place.Component == events.BypassCheck {
				name = place.Component.Name()
			}
		}
		list = append(list, Component{Part: string(place.Part), Component: string(place.Component), Name: name})
	}
	return list
}

// procedures are the published field-test procedures a reading may have been taken by; the tester uses the one certified in.
func procedures() []string {
	return []string{"usc-10", "usc-9", "asse-5000", "epa-2003", "csa-b64.10.1", "other"}
}

func stop(b *events.Book, cfg Config, v events.DayVisit, date events.Date) Stop {
	s := Stop{Visit: words.VisitOf(b, v, date, cfg.Settings), Cautions: []string{}, Contacts: []Contact{}, Bring: []string{}, Feeds: []Feed{}, Work: []Work{}}
	if site := b.Sites[v.Site]; site != nil {
		s.AccessWords = access(site, cfg.People.Of(string(site.ID)))
		if site.Caution != "" {
			s.Cautions = append(s.Cautions, site.Caution)
		}
		for _, c := range site.Contacts {
			d := cfg.People.Of(string(c.Person))
			s.Contacts = append(s.Contacts, Contact{Role: words.Plain(c.Role), Name: cfg.People.Name(c.Person), Phone: d.Phone})
		}
	}
	seen := map[events.FeedID]bool{}
	for _, dj := range v.Jobs {
		a := b.Assemblies[dj.Assembly]
		if a == nil || a.Job(dj.Job) == nil {
			continue
		}
		s.Work = append(s.Work, work(b, cfg, a, a.Job(dj.Job), dj.Work, date))
		if f := b.Feeds[a.Feed]; f != nil && !seen[f.ID] {
			seen[f.ID] = true
			s.Feeds = append(s.Feeds, feed(b, f))
		}
		s.Bring = append(s.Bring, bring(a, a.Job(dj.Job))...)
	}
	s.Cautions = append(s.Cautions, cautions(b, v)...)
	return s
}

func access(site *events.Site, d words.Details) string {
	text := site.Access
	if d.Code != "" {
		if text != "" {
			text += "; "
		}
		text += "code " + d.Code
	}
	return text
}

func feed(b *events.Book, f *events.Feed) Feed {
	shown := Feed{ID: string(f.ID), Name: f.Name, Fire: f.Fire, Valves: []string{"No. 1 shut-off", "No. 2 shut-off"}}
	if !f.DrySince.IsZero() {
		shown.DrySince = &f.DrySince
	}
	if f.AsLeft != nil {
		shown.AsLeft = words.Condition(*f.AsLeft)
	}
	var others []string
	for _, other := range b.HangingWith(f.ID) {
		if f.Manifold != "" && other.Manifold == f.Manifold {
			others = append(others, other.Name)
		}
	}
	shown.Other = strings.Join(others, ", ")
	return shown
}

func work(b *events.Book, cfg Config, a *events.Assembly, j *events.Job, doing string, date events.Date) Work {
	w := Work{Job: words.JobOf(b, a, j, date, cfg.Settings), Components: components(a.Type), Profile: string(events.ProfileFor(b.Purveyors[a.Purveyor]).ID),
		Maker: a.Maker, Model: a.Model, Feed: string(a.Feed), Outcome: ""}
	w.Job.Work = words.Plain(doing)
	if a.Bypass != nil {
		w.Bypass = strings.TrimSpace(fmt.Sprintf("%s %s, serial %s", a.Bypass.Maker, a.Bypass.Model, orNone(a.Bypass.Serial)))
	}
	if j.Failure != nil {
		w.Failure = j.Failure.Words
	}
	w.Repair = words.YesToRepair(b, a, j)
	for _, p := range j.Parts {
		where := p.Where
		if c := b.Crews[events.CrewID(where)]; c != nil {
			where = "truck of " + c.Name
		}
		w.Kits = append(w.Kits, strings.TrimSuffix(p.Code+", "+where, ", "))
	}
	w.KitCodes = words.KitCodes(b, a)
	if n := len(j.Tests); n > 0 {
		w.Last = j.Tests[max(0, n-2):]
	}
	for _, x := range j.Attempts {
		if x.On == date {
			w.Outcome = string(x.Outcome)
		}
	}
	return w
}

func orNone(text string) string {
	if text == "" {
		return "not on record"
	}
	return text
}

func bring(a *events.Assembly, j *events.Job) []string {
	var list []string
	for _, p := range j.Parts {
		list = append(list, "repair kit "+p.Code)
	}
	switch a.Vault {
	case events.PermitVault:
		list = append(list, "gas meter, retrieval gear, entry permit")
	case events.OpenVault:
		list = append(list, "cover lifter, pump")
	}
	return list
}

// cautions are short and say who decides. They are common practice; local code and the certified procedure come first.
func cautions(b *events.Book, v events.DayVisit) []string {
	var list []string
	add := func(text string) {
		if !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	add("Close and reopen slowly, counting turns; bleed the air before the valve is full open.")
	for _, dj := range v.Jobs {
		a := b.Assemblies[dj.Assembly]
		if a == nil {
			continue
		}
		if f := b.Feeds[a.Feed]; f != nil && f.Fire {
			add("Fire protection goes out of service: impairment coordinator, alarm company and fire department first. Tags on. Local fire code decides.")
		}
		if dj.Work == string(planner.RepairWork) {
			add("Springs are under load: both shut-offs shut and locked or tagged, cocks open and dry, before a cover comes off.")
		}
		switch a.Vault {
		case events.PermitVault:
			add("Permit-required confined space: air tested, attendant outside who does nothing else, rescue arranged. The entry supervisor decides.")
		case events.OpenVault:
			add("Vault or pit: check air, water and ladder before going in.")
		}
		if a.Type.HasRelief() {
			add("An RP can dump much water: check the drain first. Never plug the relief port.")
		}
	}
	for _, off := range v.WaterOff {
		for _, other := range b.HangingWith(off.Feed) {
			if f := b.Feeds[off.Feed]; f.Manifold != "" && other.Manifold == f.Manifold {
				add("Prove " + other.Name + " open and flowing before " + f.Name + " is shut. The site's responsible person decides.")
			}
		}
	}
	return list
}
