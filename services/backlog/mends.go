package backlog

import (
	"slices"
	"time"

	"valveround/events"
)

// Mend is one thing that can be done about an entry: the entry is wrong, or what it says holds no more. What is done is an
// entry of its own; the first one stays.
type Mend struct {
	How  string            `json:"how" enum:"note-mistake,correct-readings,void-result,release-part,wrong-part,send-back-kit,withdraw-time"`
	Of   events.AssemblyID `json:"assembly,omitempty"`
	Job  events.JobID      `json:"job,omitempty"`
	Who  events.PersonID   `json:"who,omitempty" doc:"of readings: the tester, who alone changes them"`
	Nth  int               `json:"nth,omitempty" doc:"of a part: its place in the job's list"`
	Code string            `json:"code,omitempty"`
	Item events.KitID      `json:"item,omitempty"`
	Feed events.FeedID     `json:"feed,omitempty" doc:"of a time agreed, as it was agreed"`
	From *time.Time        `json:"from,omitempty"`
	To   *time.Time        `json:"to,omitempty"`
}

// notByHand are written by the program, or are mends themselves.
var notByHand = []string{"registered", "corrected", "dispatched", "stood-down", "alarm-raised", "entry-corrected", "result-voided", "readings-corrected", "time-withdrawn", "booking-withdrawn"}

// mends lists what can be done about an entry as its entity stands now.
func (t *telling) mends(r events.Record, event any) []Mend {
	var list []Mend
	switch r.Entity.Kind {
	case events.KindAssembly:
		if a := t.b.Assemblies[events.AssemblyID(r.Entity.ID)]; a != nil {
			list = t.jobMends(a, r.ID, event)
		}
	case events.KindSite:
		if e, ok := event.(events.TimeAgreed); ok {
			list = t.timeMends(events.SiteID(r.Entity.ID), e)
		}
	case events.KindKit:
		return t.kitMends(events.KitID(r.Entity.ID), event)
	case events.KindFeed:
	default:
		return nil
	}
	if !slices.Contains(notByHand, r.Name) {
		list = append(list, Mend{How: "note-mistake"})
	}
	return list
}

// jobMends are those of an entry about a job.
func (t *telling) jobMends(a *events.Assembly, id events.EventID, event any) []Mend {
	switch e := event.(type) {
	case events.Tested:
		if j := a.Job(e.Job); j != nil && slices.ContainsFunc(j.Tests, func(x events.TestTaken) bool { return x.Event == id }) {
			return []Mend{{How: "correct-readings", Of: a.ID, Job: e.Job, Who: e.Tester}}
		}
	case events.PartReceived:
		return t.partMends(a, e.PartOfJob, e.Item)
	case events.PartReserved:
		return t.partMends(a, e.PartOfJob, e.Item)
	case events.PartWrong:
		return t.sendBack(e.Item)
	}
	for _, j := range a.Jobs {
		if r := j.StandingResult(); r != nil && r.Event == id {
			return []Mend{{How: "void-result", Of: a.ID, Job: j.ID}}
		}
	}
	return nil
}

// partMends are those of a kit that is at hand for a job now.
func (t *telling) partMends(a *events.Assembly, p events.PartOfJob, item events.KitID) []Mend {
	j := a.Job(p.Job)
	if j == nil || !j.NeedsRepair() || p.Nth < 1 || p.Nth > len(j.Parts) || j.Parts[p.Nth-1].Code != p.Code {
		return nil
	}
	of := Mend{Of: a.ID, Job: p.Job, Nth: p.Nth, Code: p.Code, Item: item}
	named := func(how string) Mend { m := of; m.How = how; return m }
	switch now := j.Parts[p.Nth-1]; {
	case now.Item == item:
		return []Mend{named("release-part"), named("wrong-part")}
	case now.Item == "" && now.Received == item:
		return []Mend{named("wrong-part")}
	}
	return nil
}

// kitMends are those of a kit's own entries: the newest that holds is mended, so that each is offered once.
func (t *telling) kitMends(id events.KitID, event any) []Mend {
	kit := t.b.Kits[id]
	if kit == nil {
		return nil
	}
	switch e := event.(type) {
	case events.KitReserved:
		a := t.b.Assemblies[e.Assembly]
		if a == nil || a.Job(e.Job) == nil || kit.For == nil || *kit.For != e.JobRef {
			return nil
		}
		for i, p := range a.Job(e.Job).Parts {
			if p.Item == id {
				return t.partMends(a, events.PartOfJob{Job: e.Job, Nth: i + 1, Code: p.Code}, id)
			}
		}
	case events.KitWrong, events.KitReceived, events.Registered[events.KitFacts]:
		return t.sendBack(id)
	}
	return nil
}

// sendBack is offered for a kit that is on record, set aside for no job, and has not gone back.
func (t *telling) sendBack(id events.KitID) []Mend {
	if kit := t.b.Kits[id]; kit == nil || kit.For != nil || !kit.SentBack.IsZero() {
		return nil
	}
	return []Mend{{How: "send-back-kit", Item: id}}
}

func (t *telling) timeMends(id events.SiteID, e events.TimeAgreed) []Mend {
	site := t.b.Sites[id]
	if site == nil || !slices.ContainsFunc(site.Agreed, func(x events.AgreedTime) bool { return x.Feed == e.Feed && x.From.Equal(e.From) && x.To.Equal(e.To) }) {
		return nil
	}
	return []Mend{{How: "withdraw-time", Feed: e.Feed, From: &e.From, To: &e.To}}
}
