package crew

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"valveround/events"
	"valveround/planner"
	"valveround/services/words"
)

// Form is what is needed to enter one job's result away from the unit: in the office, from a paper that the tester signed.
// It asks what the phone asks and judges by the same criteria.
type Form struct {
	Date      events.Date        `json:"date" doc:"the day on which gauges and certificates are judged"`
	Zone      string             `json:"zone"`
	Site      words.Site         `json:"site"`
	Out       *Out               `json:"out,omitempty" doc:"the day and crew that the job was sent out with last"`
	Crews     []words.Crew       `json:"crews"`
	People    []Person           `json:"people" doc:"who may have tested: everyone with a tester's certificate on record"`
	Gauges    []Gauge            `json:"gauges"`
	Feed      Feed               `json:"feed"`
	Work      Work               `json:"work"`
	Tests     []events.TestTaken `json:"tests" doc:"of this job, oldest first, with their corrections applied"`
	Criteria  json.RawMessage    `json:"criteria" doc:"the criteria profiles, as the server judges by"`
	Reasons   []string           `json:"could_not_reasons"`
	NextSteps map[string]string  `json:"next_steps" doc:"what follows each outcome; could-not-test/reason for the reasons"`
	Causes    []string           `json:"causes" doc:"what is found in a component that failed"`
	Types     []TypeView         `json:"types"`
	Procedure []string           `json:"procedures"`
	Papers    []Paper            `json:"papers,omitempty" doc:"already keyed in for this job"`
}

// Out is the day and crew a job was last sent out with.
type Out struct {
	Date events.Date `json:"date"`
	Crew string      `json:"crew"`
}

// Paper is a signed paper that was keyed in.
type Paper struct {
	SHA256   string      `json:"sha256"`
	SignedOn events.Date `json:"signed_on"`
	Tester   string      `json:"tester"`
	KeyedBy  string      `json:"keyed_by"`
}

// FormOf is the form of one job, as of the day on which its paper was signed.
func FormOf(b *events.Book, cfg Config, ref events.JobRef, on events.Date) (Form, error) {
	a := b.Assemblies[ref.Assembly]
	if a == nil || a.Office != cfg.Office || a.Job(ref.Job) == nil {
		return Form{}, &events.Refusal{Words: fmt.Sprintf("there is no job %q of an assembly %q on record", ref.Job, ref.Assembly)}
	}
	criteria, err := events.CriteriaJSON()
	if err != nil {
		return Form{}, err
	}
	j := a.Job(ref.Job)
	f := Form{Date: on, Zone: words.Zone(b, a.Site).String(), Site: words.SiteOf(b, a.Site), Crews: crews(b, cfg), People: testers(b, cfg, j, on),
		Gauges: gauges(b, gaugeIDs(b, cfg.Office), on), Work: work(b, cfg, a, j, string(planner.WorkOf(a, j)), on), Tests: append([]events.TestTaken{}, j.Tests...),
		Criteria: criteria, Reasons: events.CouldNotReasons, NextSteps: nextSteps(), Causes: events.Causes, Types: types(), Procedure: procedures()}
	if j.LastOut != nil {
		f.Out = &Out{j.LastOut.Date, string(j.LastOut.Crew)}
	}
	if fd := b.Feeds[a.Feed]; fd != nil {
		f.Feed = feed(b, cfg.People, fd, events.DayVisit{Site: a.Site, Jobs: []events.DayJob{{JobRef: ref}}}, on)
	}
	for _, p := range j.Papers {
		f.Papers = append(f.Papers, Paper{p.SHA256, p.SignedOn, cfg.People.Name(p.Tester), cfg.People.Name(p.KeyedBy)})
	}
	return f, nil
}

func crews(b *events.Book, cfg Config) []words.Crew {
	list := []words.Crew{}
	for id, c := range b.Crews {
		if c.Office == cfg.Office {
			list = append(list, words.CrewOf(b, cfg.People, id))
		}
	}
	slices.SortFunc(list, func(x, y words.Crew) int { return cmp.Or(cmp.Compare(x.Letter, y.Letter), cmp.Compare(x.ID, y.ID)) })
	return list
}

// testers are the people with a tester's certificate on record and whoever tested this job already; those whose certificate
// is valid on the day come first.
func testers(b *events.Book, cfg Config, j *events.Job, on events.Date) []Person {
	list := []Person{}
	for id, p := range b.People {
		certified := slices.ContainsFunc(p.Credentials, func(c events.Credential) bool { return c.Kind == events.TesterCertificate })
		if certified || slices.ContainsFunc(j.Tests, func(t events.TestTaken) bool { return t.Tester == id }) {
			list = append(list, Person{ID: string(id), Name: cfg.People.Name(id), Lacks: personLack(p, on)})
		}
	}
	slices.SortFunc(list, func(x, y Person) int {
		return cmp.Or(cmp.Compare(min(len(x.Lacks), 1), min(len(y.Lacks), 1)), cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID))
	})
	return list
}

func gaugeIDs(b *events.Book, office events.OfficeID) []events.GaugeID {
	var ids []events.GaugeID
	for id, g := range b.Gauges {
		if g.Office == office || g.Office == events.Firm {
			ids = append(ids, id)
		}
	}
	slices.SortFunc(ids, func(x, y events.GaugeID) int {
		return cmp.Or(cmp.Compare(b.Gauges[x].Serial, b.Gauges[y].Serial), cmp.Compare(x, y))
	})
	return ids
}
