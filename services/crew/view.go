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
	Crew     words.Crew      `json:"crew"`
	Date     events.Date     `json:"date"`
	Next     events.Date     `json:"next,omitzero" doc:"the crew's next working day, to be kept on the phone as well"`
	Zone     string          `json:"zone"`
	Status   string          `json:"status" enum:"not-sent,sent-out,taken-back"`
	SentAt   *time.Time      `json:"sent_at,omitempty"`
	Start    *time.Time      `json:"start,omitempty"`
	End      *time.Time      `json:"end,omitempty"`
	Break    *words.Break    `json:"break,omitempty" doc:"on the way; missing: none, or at home"`
	Position uint64          `json:"position"`
	Now      time.Time       `json:"now"`
	People   []Person        `json:"people" doc:"who may be the tester"`
	Gauges   []Gauge         `json:"gauges"`
	Bring    []string        `json:"bring" doc:"for the whole day"`
	Stops    []Stop          `json:"stops"`
	Criteria json.RawMessage `json:"criteria" doc:"the criteria profiles, as the server judges by"`
	Reasons  []string        `json:"could_not_reasons"`
	// NextSteps by outcome, and by could-not-test/reason.
	NextSteps map[string]string `json:"next_steps" doc:"what follows each outcome; could-not-test/reason for the reasons"`
	Causes    []string          `json:"causes" doc:"what is found in a component that failed"`
	Types     []TypeView        `json:"types"`
	Procedure []string          `json:"procedures"`
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
	ID    string `json:"id"`
	Name  string `json:"name"`
	Lacks string `json:"lacks,omitempty" doc:"why a test by this person may not count today"`
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
	Lacks       []string   `json:"lacks" doc:"what is not valid today; said before work starts, and stopping nothing"`
	AskPosition bool       `json:"ask_position,omitempty" doc:"no position on record: offer the phone's, once"`
	Contacts    []Contact  `json:"contacts"`
	Bring       []string   `json:"bring"`
	Feeds       []Feed     `json:"feeds"`
	Work        []Work     `json:"work"`
	HereSince   *time.Time `json:"here_since,omitempty"`
	LeftAt      *time.Time `json:"left_at,omitempty"`
	// Late is how this stop would go by what has happened until now, when that is later than it was planned.
	Late *Late `json:"late,omitempty"`
}

// Late is a stop that would be later than planned, so that whoever waits there can be called.
type Late struct {
	Reached time.Time  `json:"reached" doc:"when the crew would be there"`
	Begin   *time.Time `json:"begin,omitempty" doc:"when work could begin; missing: it fits the hours there no more"`
	Minutes int        `json:"minutes" doc:"after the planned time"`
}

// lateBy is how much later than planned a stop would be; nil when it is not, or is over. What is less than five minutes is
// no news.
func lateBy(e planner.Expected, visit events.DayVisit) *Late {
	late := e.Reached.Sub(visit.Arrive)
	if e.Over || late < 5*time.Minute {
		return nil
	}
	shown := &Late{Reached: e.Reached, Minutes: int(late.Minutes())}
	if !e.Begin.IsZero() {
		shown.Begin = &e.Begin
	}
	return shown
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
	AsLeftAt *time.Time `json:"as_left_at,omitempty"`
	Other    string     `json:"other,omitempty" doc:"a feed that must be proved open and flowing before this one is shut"`
	// Of a fire line.
	Calls       []FireCall `json:"calls,omitempty" doc:"whom to tell before shutting and after restoring"`
	Checks      []string   `json:"checks,omitempty" doc:"what to make sure of once a fire line is restored"`
	OnTestUntil *time.Time `json:"on_test_until,omitempty"`
	RestoredAt  *time.Time `json:"restored_at,omitempty" doc:"when water came on again last"`
}

// Work is one job on the phone.
type Work struct {
	words.Job
	Components []Component         `json:"components"`
	Profile    string              `json:"profile"`
	Maker      string              `json:"maker,omitempty"`
	Model      string              `json:"model,omitempty"`
	Bypass     string              `json:"bypass,omitempty"`
	Feed       string              `json:"feed"`
	Failure    string              `json:"failure,omitempty"`
	Repair     string              `json:"yes_to_repair,omitempty" doc:"in words; empty: the unit is not opened"`
	Kits       []string            `json:"kits,omitempty"`
	KitCodes   []string            `json:"kit_codes,omitempty" doc:"codes that may be asked for"`
	Last       []events.TestTaken  `json:"last_tests,omitempty"`
	Outcome    string              `json:"outcome,omitempty" doc:"once the server knows it"`
	Next       string              `json:"next_step,omitempty" doc:"of the outcome"`
	Parts      []events.PartWanted `json:"parts,omitempty" doc:"kits this job waits for, or that are set aside for it"`
	Stopped    *events.Stop        `json:"stopped,omitempty" doc:"what stood in the way, and from when it can be tried again"`
	// Serials that a crew read and the record does not follow yet, by part.
	BypassSerial string                 `json:"bypass_serial,omitempty"`
	SerialsSeen  []events.SerialDiffers `json:"serials_seen,omitempty"`
	Photos       []events.PhotoKept     `json:"photos,omitempty"`
	Past         []Past                 `json:"past,omitempty" doc:"its history, the newest first"`
	AtHand       []KitAtHand            `json:"kits_at_hand,omitempty" doc:"free repair kits that fit it, and where they lie"`
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
	v := View{Crew: words.CrewOf(b, cfg.People, id), Date: date, Next: nextDay(crew, date), Zone: crew.Zone, Status: "not-sent", Position: b.Position(), Now: cfg.Now,
		People: []Person{}, Gauges: gauges(b, crew.Gauges, date), Bring: []string{}, Stops: []Stop{}, Criteria: criteria, Reasons: events.CouldNotReasons,
		NextSteps: nextSteps(), Causes: events.Causes, Types: types(), Procedure: procedures()}
	for _, p := range crew.People {
		v.People = append(v.People, Person{ID: string(p), Name: cfg.People.Name(p), Lacks: personLack(b.People[p], date)})
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
	v.Start, v.End, v.Break = &r.Start, &r.End, words.BreakOf(b, r.Break)
	expected := planner.Expect(b, v.Date, r, cfg.Now, cfg.Settings)
	for i, visit := range r.Visits {
		s := stop(b, cfg, visit, v.Date)
		s.Order = i + 1
		s.Lacks = append(s.Lacks, lacks(b, cfg.People, b.Crews[r.Crew], visit, v.Date)...)
		if s.State, _ = words.StateOf(b, r.Crew, visit, v.Date); s.State == "" {
			s.State = words.Late(expected[i], visit, words.Zone(b, visit.Site))
		}
		if site := b.Sites[visit.Site]; site != nil && site.Here != nil && site.Here.Crew == r.Crew {
			s.HereSince = &site.Here.Since
		} else if site != nil {
			s.LeftAt = leftAt(b, site, r.Crew, v.Date)
		}
		s.Late = lateBy(expected[i], visit)
		for _, item := range s.Bring {
			if !slices.Contains(v.Bring, item) {
				v.Bring = append(v.Bring, item)
			}
		}
		v.Stops = append(v.Stops, s)
	}
}

func gauges(b *events.Book, ids []events.GaugeID, on events.Date) []Gauge {
	list := []Gauge{}
	for _, id := range ids {
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
	s := Stop{Visit: words.VisitOf(b, v, date, cfg.Settings), Cautions: []string{}, Lacks: []string{}, Contacts: []Contact{}, Bring: []string{}, Feeds: []Feed{}, Work: []Work{}}
	if site := b.Sites[v.Site]; site != nil {
		s.AccessWords = access(site, cfg.People.Of(string(site.ID)))
		s.AskPosition = !site.Position.IsSet() || site.PositionSource == events.NoPosition
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
			s.Feeds = append(s.Feeds, feed(b, cfg.People, f, v, date))
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

func feed(b *events.Book, people *words.People, f *events.Feed, v events.DayVisit, date events.Date) Feed {
	shown := Feed{ID: string(f.ID), Name: f.Name, Fire: f.Fire, Valves: valves(b, f.ID, v), Calls: callsOf(b, people, f, date)}
	if f.Fire {
		shown.Checks = fireChecks
		if !f.Restored.IsZero() {
			shown.RestoredAt = &f.Restored
		}
		if !f.OnTestUntil.IsZero() {
			shown.OnTestUntil = &f.OnTestUntil
		}
	}
	if !f.DrySince.IsZero() {
		shown.DrySince = &f.DrySince
	}
	if f.AsLeft != nil {
		shown.AsLeft, shown.AsLeftAt = words.Condition(*f.AsLeft), &f.LeftAt
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

// valves are the shut-offs of a feed that a crew may have moved: two a unit, and two more round the meter of a detector
// assembly. Several units on one feed are told apart by type and place.
func valves(b *events.Book, id events.FeedID, v events.DayVisit) []string {
	var units []*events.Assembly
	for _, dj := range v.Jobs {
		if a := b.Assemblies[dj.Assembly]; a != nil && a.Feed == id && !slices.Contains(units, a) {
			units = append(units, a)
		}
	}
	list := []string{}
	for i, a := range units {
		of := ""
		if len(units) > 1 {
			of = ", " + strings.TrimSpace(strings.Join([]string{string(a.Type), a.Place}, " "))
			if slices.Contains(list, "No. 1 shut-off"+of) {
				of += fmt.Sprintf(" (%d)", i+1)
			}
		}
		list = append(list, "No. 1 shut-off"+of, "No. 2 shut-off"+of)
		if a.Type.IsDetector() {
			list = append(list, "bypass No. 1 shut-off"+of, "bypass No. 2 shut-off"+of)
		}
	}
	return list
}

func work(b *events.Book, cfg Config, a *events.Assembly, j *events.Job, doing string, date events.Date) Work {
	w := Work{Job: words.JobOf(b, a, j, date, cfg.Settings), Components: components(a.Type), Profile: string(events.ProfileFor(b.Purveyors[a.Purveyor]).ID),
		Maker: a.Maker, Model: a.Model, Feed: string(a.Feed), Outcome: "",
		Past: past(b, cfg.People, a), AtHand: kitsAtHand(b, a, j.ID)}
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
	w.Parts, w.Stopped, w.SerialsSeen = j.Parts, j.Stopped, a.SerialsSeen
	w.BypassSerial = a.SerialOf(events.BypassPart)
	why := ""
	if j.Stopped != nil {
		why = j.Stopped.Why
	}
	w.Next = NextStep(events.VisitOutcome(w.Outcome), why)
	for _, p := range a.Photos {
		if p.Job == j.ID {
			w.Photos = append(w.Photos, p)
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
