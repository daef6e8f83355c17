package backlog

import (
	"cmp"
	"slices"

	"valveround/events"
	"valveround/services/words"
)

// PartState is one repair kit that a job waits for: how far it has come and what could be set aside for it.
type PartState struct {
	Nth   int             `json:"nth" doc:"its place in the job's list, from 1"`
	Code  string          `json:"code"`
	Step  events.PartStep `json:"step" enum:"needed,ordered,promised,received,reserved"`
	Words string          `json:"words"`
	Late  bool            `json:"late,omitempty" doc:"the promised day is past"`
	Item  events.KitID    `json:"item,omitempty" doc:"the very kit"`
	Where string          `json:"where,omitempty" doc:"the shop, or the id of the crew on whose truck it is"`
	Kits  []FreeKit       `json:"kits,omitempty" doc:"at hand, of this code, set aside for no job: to be reserved"`
	// Coming are named when one is received, so that it keeps its record.
	Coming []FreeKit `json:"coming,omitempty" doc:"on record as on their way, of this code, set aside for no job"`
}

// FreeKit is a repair kit that no job has.
type FreeKit struct {
	ID    events.KitID `json:"id"`
	Where string       `json:"where" doc:"in words"`
}

// partStates tells every part of a job.
func (l looking) partStates(a *events.Assembly, j *events.Job) []PartState {
	var list []PartState
	for i, p := range j.Parts {
		s := PartState{Nth: i + 1, Code: p.Code, Step: p.Step(), Words: words.PartAt(l.b, p), Item: cmp.Or(p.Item, p.Received), Where: p.Where}
		s.Late = s.Step == events.PartIsDue && p.Promised.Before(l.today(a))
		if s.Item == "" {
			s.Kits, s.Coming = l.freeKits(p.Code)
		}
		list = append(list, s)
	}
	return list
}

// freeKits are the kits of a code that no job has: those at hand, and those on their way with the day they are promised for.
func (l looking) freeKits(code string) (here, coming []FreeKit) {
	for _, k := range l.b.Kits {
		switch {
		case k.Code != code || !k.Free():
		case k.Promised.IsZero():
			here = append(here, FreeKit{k.ID, words.Where(l.b, k.Where)})
		default:
			coming = append(coming, FreeKit{k.ID, "promised for " + words.Day(k.Promised)})
		}
	}
	for _, list := range [][]FreeKit{here, coming} {
		slices.SortFunc(list, func(x, y FreeKit) int { return cmp.Compare(x.ID, y.ID) })
	}
	return here, coming
}
